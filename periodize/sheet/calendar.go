package sheet

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// calendar writes iCalendar (RFC 5545): an all-day event for each session with
// a date. The UID of an event comes from the block, the lifter, the week and
// the session, not from the date, so that a plan issued again with a higher
// SEQUENCE moves the events a reader already has.
type calendar struct {
	w     *errWriter
	opt   Options
	block *periodize.Block
	stamp string
}

func newCalendar(w io.Writer, opt Options) (*calendar, error) {
	switch {
	case opt.Stamp.IsZero():
		return nil, &OptionError{"Stamp", "a calendar needs the moment of its export"}
	case opt.Sequence < 0:
		return nil, &OptionError{"Sequence", fmt.Sprintf("want 0 for the first issue and more for later ones, got %d", opt.Sequence)}
	}
	return &calendar{w: newErrWriter(w), opt: opt, stamp: opt.Stamp.UTC().Format("20060102T150405Z")}, nil
}

// DateError reports a plan without dates where there must be some.
type DateError struct{ Lifter string }

// Error implements error.
func (e *DateError) Error() string {
	return fmt.Sprintf("sheet: the plan of %s has no dates for a calendar; give the roster a start or a test day", e.Lifter)
}

func (c *calendar) line(s string) { c.w.buf = icsFold(c.w.buf, s) }

// Begin implements [Renderer].
func (c *calendar) Begin(b *periodize.Block) error {
	if err := c.opt.Check(b); err != nil {
		return err
	}
	c.block = b
	c.line("BEGIN:VCALENDAR")
	c.line("VERSION:2.0")
	c.line("PRODID:-//Blockwright//Training plan//EN")
	c.line("CALSCALE:GREGORIAN")
	return c.w.err
}

// Plan implements [Renderer]. It fails with a [DateError] for a plan without dates.
func (c *calendar) Plan(p *periodize.Plan) error {
	u := c.opt.UnitOf(p)
	cautions := Cautions(p)
	seen := map[string]int{} // sessions of the same name in one week
	for i := range p.Sessions {
		s := &p.Sessions[i]
		if s.Date.IsZero() {
			return &DateError{p.Lifter.Name}
		}
		key := strconv.Itoa(s.Week) + "\x00" + s.Name
		seen[key]++
		if !c.opt.Has(s) {
			continue
		}
		c.event(p, s, u, uid(p, s, seen[key]), cautions)
		c.w.spill()
	}
	return c.w.err
}

// uid is the same for every issue of a plan.
func uid(p *periodize.Plan, s *periodize.PlannedSession, nth int) string {
	h := sha256.New()
	for _, part := range []string{p.Block.Title, p.Lifter.Name, strconv.Itoa(s.Week), string(s.Kind), s.Name, strconv.Itoa(nth)} {
		fmt.Fprintf(h, "%d:%s,", len(part), part) // lengths keep the parts apart
	}
	return hex.EncodeToString(h.Sum(nil)[:16]) + "@blockwright"
}

func (c *calendar) event(p *periodize.Plan, s *periodize.PlannedSession, u plates.Unit, id string, cautions []Caution) {
	c.line("BEGIN:VEVENT")
	c.line("UID:" + id)
	c.line("DTSTAMP:" + c.stamp)
	c.line("SEQUENCE:" + strconv.Itoa(c.opt.Sequence))
	c.line("DTSTART;VALUE=DATE:" + s.Date.Format("20060102"))
	c.line("DTEND;VALUE=DATE:" + s.Date.AddDate(0, 0, 1).Format("20060102")) // exclusive
	title := words.OneLine(p.Lifter.Name) + ": " + words.OneLine(s.Name)
	if s.Kind != periodize.TestDay || !strings.EqualFold(s.Name, "test day") {
		title += ", " + words.Week(s)
	}
	c.line("SUMMARY:" + icsEscape(title))
	c.line("DESCRIPTION:" + icsEscape(strings.Join(sessionLines(p, s, u, cautions), "\n")))
	c.line("STATUS:CONFIRMED")
	c.line("TRANSP:TRANSPARENT") // a day, not hours: it blocks no appointments
	c.line("END:VEVENT")
}

// sessionLines is a session in a few lines of plain text: one for the name of
// each exercise, one for each kind of set.
func sessionLines(p *periodize.Plan, s *periodize.PlannedSession, u plates.Unit, cautions []Caution) []string {
	var out []string
	marks := newLegend(p, u)
	if t := words.Time(s); t != "" {
		out = append(out, t)
	}
	if s.Note != "" {
		out = append(out, words.OneLine(s.Note))
	}
	for j := range s.Exercises {
		e := &s.Exercises[j]
		out = append(out, words.Lift(e))
		if e.Note != "" {
			out = append(out, "  "+words.OneLine(e.Note))
		}
		for _, r := range setRows(p, e, u) {
			marks.row(e, &r)
			l := "  "
			if w := words.Kind(r.set.Kind); w != "" {
				l += w + " "
			}
			l += strconv.Itoa(r.n) + "x" + r.amount
			if r.load != "" {
				l += " @ " + r.load + " " + u.String()
			}
			if r.side != "" {
				l += " [" + r.side + "]"
			}
			if r.set.AMRAP {
				l += " (" + words.Open(r.set) + ")"
			} else if r.left != "" {
				l += " (left " + r.left + ")"
			}
			out = append(out, l)
		}
	}
	marks.open = nil // said beside the set
	out = append(out, marks.words()...)
	for _, c := range cautions {
		out = append(out, c.Text)
	}
	return out
}

// End implements [Renderer].
func (c *calendar) End() error {
	c.line("END:VCALENDAR")
	return c.w.flush()
}
