package logbook

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// RowError says where a log has a row that cannot be used, and why. Reading goes on
// behind it.
type RowError struct {
	File   string
	Line   int    // of the file, from 1, where the field stands or the row starts
	Column int    // of the line in bytes, from 1; 0 where not known
	Field  string // name of the column; "" for the row itself
	Got    string // what stands there, shortened
	Want   string // what would be right
}

func (e *RowError) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s:%d", e.File, e.Line)
	if e.Column > 0 {
		fmt.Fprintf(&b, ":%d", e.Column)
	}
	b.WriteString(": ")
	if e.Field != "" {
		b.WriteString(e.Field + ": ")
	}
	b.WriteString(e.Want)
	if e.Got != "" {
		fmt.Fprintf(&b, ", got %q", e.Got)
	}
	return b.String()
}

// HeaderError says that a file has no header that a log can be read by.
type HeaderError struct {
	File    string
	Line    int      // of the header; 0 in an empty file
	Missing []string // required columns that are not there
	Columns []string // the columns that are
	Why     string
}

func (e *HeaderError) Error() string {
	at := e.File
	if e.Line > 0 {
		at = fmt.Sprintf("%s:%d", e.File, e.Line)
	}
	return at + ": " + e.Why
}

// ReadError says that a file could not be read on.
type ReadError struct {
	File string
	Line int // the last line that was read; 0 for none
	Err  error
}

func (e *ReadError) Error() string {
	if e.Line == 0 {
		return fmt.Sprintf("%s: %v", e.File, e.Err)
	}
	return fmt.Sprintf("%s: after line %d: %v", e.File, e.Line, e.Err)
}

func (e *ReadError) Unwrap() error { return e.Err }

// LimitError says that a log has more of something than is kept in memory.
type LimitError struct {
	What  string // "different lifters"
	Limit int    // how many are kept
}

func (e *LimitError) Error() string {
	return fmt.Sprintf("logbook: more than %d %s: the columns may be mixed up; raise Options.MaxNames if they are not", e.Limit, e.What)
}

// BadRowsError says that a log has bad rows, so that nothing was concluded from
// it. With Options.SkipBad they are counted and left out instead.
type BadRowsError struct {
	Bad, Rows int64       // bad rows, and rows that could be read
	Listed    []*RowError // the first of the bad ones
}

func (e *BadRowsError) Error() string {
	if len(e.Listed) == 0 {
		return fmt.Sprintf("logbook: %d bad rows", e.Bad)
	}
	if e.Bad == 1 {
		return "logbook: one bad row: " + e.Listed[0].Error()
	}
	return fmt.Sprintf("logbook: %d bad rows, the first: %v", e.Bad, e.Listed[0])
}

func (e *BadRowsError) Unwrap() []error {
	errs := make([]error, len(e.Listed))
	for i, r := range e.Listed {
		errs[i] = r
	}
	return errs
}

// Notice is something about how a log was read that its reader should know.
type Notice struct {
	Code string // "gzip", "byte_order_mark", "semicolons", "decimal_commas", "unknown_column", "cut_off", "near_names"
	File string // "" where it is about no single file
	Text string
}

// excerpt shortens what is shown of a file in a message.
func excerpt(b []byte) string {
	const most = 40
	cut := len(b) > most
	if cut {
		b = b[:most]
		for len(b) > 0 && !utf8.RuneStart(b[len(b)-1]) {
			b = b[:len(b)-1]
		}
		if n := len(b); n > 0 && b[n-1] >= utf8.RuneSelf {
			b = b[:n-1]
		}
	}
	s := strings.ToValidUTF8(string(b), "\uFFFD")
	if cut {
		s += "..."
	}
	return s
}
