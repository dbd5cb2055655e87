package logbook

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/blockwright/blockwright/internal/spelling"
)

// column is what a column of a log holds.
type column uint8

const (
	colUnknown column = iota
	colDate
	colLifter
	colLift
	colLoad
	colReps
	colUnit
	colRIR
	colRPE
	colCount
	colTested
	colWeek
	colSession
	colSet
	colMinutes
	colEffort
	colBodyweight
	colVelocity
	colNote
	columns
)

var columnNames = [columns]string{"", "date", "lifter", "lift", "load", "reps", "unit", "rir", "rpe", "count", "tested",
	"week", "session", "set", "minutes", "effort", "bodyweight", "velocity", "note"}

// behind is rest; negative where plain does not read such rows.
func (l *layout) behind() int {
	if !l.names || len(l.cols) < 5 || l.cols[3] != colLoad || l.cols[4] != colReps {
		return -1
	}
	rest := l.cols[5:]
	for k, c := range rest {
		if k == 0 && c != colRIR || k > 0 && c != colUnknown && c != colNote && c != colSession {
			return -1
		}
	}
	return len(rest)
}

// required columns of a log.
var required = []column{colDate, colLifter, colLift, colLoad, colReps}

// Columns lists the columns that a log may have, the required ones first.
func Columns() []string { return slices.Clone(columnNames[1:]) }

// layout is how the rows of one file are laid out.
type layout struct {
	cols    []column
	at      [columns]int // place of a column plus one; 0 where the file has none
	delim   byte
	comma   bool // commas may be decimal signs
	unknown []string
	names   bool // the first three columns are date, lifter and lift, in some order, and others follow
	rest    int  // how many columns there are behind these three, load and reps, where they are rir and texts; see plain
}

// readLayout reads a header line.
func readLayout(file string, line int, rec []byte) (*layout, error) {
	fail := func(why string) error {
		return &HeaderError{File: file, Line: line, Why: why}
	}
	text := trimLine(rec)
	l := &layout{delim: ','}
	if semi, comma := bytes.Count(text, []byte{';'}), bytes.Count(text, []byte{','}); semi > comma {
		l.delim, l.comma = ';', true
	}
	if bytes.HasPrefix(text, []byte("PK\x03\x04")) { // as zip archives begin
		return nil, fail("this is a workbook or another zip archive; save it as CSV")
	}
	if bytes.IndexByte(text, 0) >= 0 || !utf8.Valid(text) {
		return nil, fail("the first line must name the columns date, lifter, lift, load and reps; this is not a text file in UTF-8")
	}
	fs, _, ok := fields(nil, rec, l.delim)
	if !ok {
		return nil, fail("the header has a double quote out of place")
	}
	var have []string
	for _, f := range fs {
		name := strings.TrimSpace(string(f.text))
		i := slices.Index(columnNames[1:], strings.ToLower(name))
		c := column(i + 1)
		if i < 0 {
			c = colUnknown
			if name != "" {
				l.unknown = append(l.unknown, excerpt([]byte(name)))
			}
		} else if l.at[c] > 0 {
			return nil, fail(fmt.Sprintf("the header names %q twice", name))
		} else {
			l.at[c] = len(l.cols) + 1
		}
		l.cols = append(l.cols, c)
		have = append(have, excerpt([]byte(name)))
	}
	l.names = l.at[colDate] <= 3 && l.at[colLifter] <= 3 && l.at[colLift] <= 3 && len(l.cols) > 3
	l.rest = l.behind()
	var missing []string
	for _, c := range required {
		if l.at[c] == 0 {
			missing = append(missing, columnNames[c])
		}
	}
	if len(missing) > 0 {
		why := fmt.Sprintf("the first line must name the columns date, lifter, lift, load and reps; %s missing", strings.Join(missing, ", "))
		if bytes.IndexByte(text, '\t') >= 0 {
			why += "; the columns must be separated by commas or semicolons, not tabs"
		} else if len(have) == 1 && strings.Contains(have[0], ":") {
			why += fmt.Sprintf("; this looks like a file of another kind, it begins with %s", have[0])
		} else {
			why += "; it has " + strings.Join(have[:min(len(have), 30)], ", ") + meant(missing, l.unknown)
		}
		return nil, &HeaderError{File: file, Line: line, Missing: missing, Columns: have, Why: why}
	}
	return l, nil
}

// otherWords are what other logs call our required columns, in no full list.
var otherWords = map[string][]string{
	"date":   {"day", "datum"},
	"lifter": {"athlete", "name", "person", "client", "user"},
	"lift":   {"exercise", "movement"},
	"load":   {"weight", "mass", "kg", "lb", "lbs", "kilos", "pounds"},
	"reps":   {"repetitions", "rep", "repeats"},
}

// meant asks whether columns that are not known are the missing ones under other
// words, begin with their names or are nearly spelt so; "" for none.
func meant(missing, unknown []string) string {
	var asks []string
	for _, m := range missing {
		var may []string
		for _, u := range unknown {
			low := strings.ToLower(u)
			first := strings.FieldsFunc(low, func(r rune) bool { return r < 'a' || r > 'z' })
			if slices.Contains(otherWords[m], low) || len(first) > 0 && (first[0] == m || slices.Contains(otherWords[m], first[0])) ||
				spelling.Nearest(low, []string{m}) != "" {
				may = append(may, fmt.Sprintf("%q", u))
			}
		}
		if len(may) == 1 {
			asks = append(asks, fmt.Sprintf("did you mean %s by %s?", m, may[0]))
		}
	}
	if len(asks) == 0 {
		return ""
	}
	return "; " + strings.Join(asks, " ")
}
