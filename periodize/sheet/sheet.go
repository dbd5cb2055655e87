package sheet

import (
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// Renderer writes plans as they come, so that a roster of any length never
// has to be in memory: Begin once, Plan for each lifter, End once. After an
// error nothing more may be called. [Render] does the calling.
type Renderer interface {
	// Begin takes the block that the plans were made from. It fails with an
	// [*OptionError] for a week or a session that the block does not have.
	Begin(b *periodize.Block) error
	// Plan writes one lifter's plan. It keeps no part of p.
	Plan(p *periodize.Plan) error
	// End writes what follows the last plan and flushes. It does not close
	// the writer underneath.
	End() error
}

// Format is a way of writing plans.
type Format string

// The formats that this package writes. The workbook is in sheet/workbook, so
// that programs without it do not carry its library.
const (
	Text     Format = "text" // aligned columns for terminals and plain paper
	Markdown Format = "md"   // GitHub Flavored Markdown
	HTML     Format = "html" // one page without scripts, made for printing
	CSV      Format = "csv"  // one row a set
	JSON     Format = "json" // for programs
	Calendar Format = "ics"  // one event a session, of plans with dates
)

// Formats lists the formats that [New] knows.
func Formats() []Format { return []Format{Text, Markdown, HTML, CSV, JSON, Calendar} }

// Extension is the ending of a file in the format.
func (f Format) Extension() string {
	if f == Text {
		return "txt"
	}
	return string(f)
}

// Options choose what is written. The zero value writes everything in the
// gym's unit.
type Options struct {
	// Unit of the weights; nil is each gym's own. JSON has one unit for all
	// lifters: where their gyms differ and nothing is chosen, the first
	// lifter's.
	Unit *plates.Unit
	// Week narrows the output to one week, counted from 1 with the deload weeks
	// and the test day; 0 is all of them. Text and Markdown then print that week
	// in full instead of the overview.
	Week int
	// Sessions narrows the output to sessions of these names; empty is all. The
	// test day's is [periodize.TestDayName].
	Sessions []string
	// Width is how many columns text may take. Default 96.
	Width int
	// Color lets text mark headings with the escapes of a terminal. No
	// meaning is in colour alone.
	Color bool
	// Lines writes JSON as one object a lifter, each on one line.
	Lines bool
	// Columns chooses the columns of CSV; empty is [CSVColumns].
	Columns []string
	// Warnings says where warnings can be read in full; text ends with it.
	// Default: "the warnings of the JSON output".
	Warnings string
	// Stamp is the moment of the export. Calendars must have it and
	// workbooks carry it; it is an input so that output is reproducible.
	Stamp time.Time
	// Sequence counts the issues of a plan from 0, so that a calendar takes
	// a later one as an update of the events it has.
	Sequence int
}

// New makes the renderer of a format. The error reports options that the
// format cannot work with.
func New(f Format, w io.Writer, opt Options) (Renderer, error) {
	if err := opt.checkWeek(); err != nil {
		return nil, err
	}
	switch f {
	case Text:
		return newText(w, opt), nil
	case Markdown:
		return newMarkdown(w, opt), nil
	case HTML:
		return newHTML(w, opt), nil
	case CSV:
		return newCSV(w, opt)
	case JSON:
		return newJSON(w, opt), nil
	case Calendar:
		return newCalendar(w, opt)
	}
	return nil, &FormatError{Format: f}
}

// FormatError reports a format that is not known.
type FormatError struct{ Format Format }

// Error implements error.
func (e *FormatError) Error() string {
	var names []string
	for _, f := range Formats() {
		names = append(names, string(f))
	}
	return fmt.Sprintf("sheet: format %q is not known; want %s", string(e.Format), strings.Join(names, ", "))
}

// OptionError reports an option that a format cannot work with.
type OptionError struct {
	Option string // name of the field of Options
	Msg    string // what is wrong and what would be right
}

// Error implements error.
func (e *OptionError) Error() string { return "sheet: " + e.Option + ": " + e.Msg }

// Render writes all plans of a block.
func Render(r Renderer, b *periodize.Block, plans iter.Seq[*periodize.Plan]) error {
	if err := r.Begin(b); err != nil {
		return err
	}
	for p := range plans {
		if err := r.Plan(p); err != nil {
			return err
		}
	}
	return r.End()
}

// UnitOf is the unit that a plan is written in.
func (o *Options) UnitOf(p *periodize.Plan) plates.Unit {
	if o.Unit != nil {
		return *o.Unit
	}
	return p.Unit
}

// Has reports whether a session is among those chosen.
func (o *Options) Has(s *periodize.PlannedSession) bool {
	return (o.Week == 0 || o.Week == s.Week) && (len(o.Sessions) == 0 || slices.Contains(o.Sessions, s.Name))
}

// errWriter keeps the first error, so that long runs of writing need one check.
type errWriter struct {
	w   io.Writer
	buf []byte
	err error
}

const bufSize = 64 << 10

func newErrWriter(w io.Writer) *errWriter {
	return &errWriter{w: w, buf: make([]byte, 0, bufSize+4096)}
}

func (e *errWriter) str(parts ...string) {
	for _, s := range parts {
		e.buf = append(e.buf, s...)
	}
	e.spill()
}

// spill writes the buffer out once it has grown.
func (e *errWriter) spill() {
	if len(e.buf) >= bufSize {
		e.flush()
	}
}

func (e *errWriter) flush() error {
	if e.err == nil && len(e.buf) > 0 {
		_, e.err = e.w.Write(e.buf)
	}
	e.buf = e.buf[:0]
	return e.err
}
