package sheet

import (
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// csvColumn writes one field of a row.
type csvColumn struct {
	name  string
	doc   string
	perEx bool // the same for all sets of an exercise
	set   func(b []byte, r *csvRow) []byte
}

// csvRow is what a row is written from. Fields that stay the same from set to
// set are made once.
type csvRow struct {
	unit       plates.Unit
	p          *periodize.Plan
	s          *periodize.PlannedSession
	e          *periodize.Exercise
	set        *periodize.Set
	n          int    // number of the set within its exercise and kind of work
	lifter     []byte // quoted and defused
	session    []byte
	date, day  []byte
	lift       []byte
	pair, note []byte

	mass     plates.Mass // the weight that massText is
	massText []byte
}

// load writes a weight; the sets of an exercise mostly have one and the same.
func (r *csvRow) load(b []byte, m plates.Mass) []byte {
	if m != r.mass || len(r.massText) == 0 {
		r.mass, r.massText = m, appendMass(r.massText[:0], m, r.unit)
	}
	return append(b, r.massText...)
}

// csvColumns are in the order in which they are written. Warm-ups have a row of
// their own, numbered from 1 before the sets.
var csvColumns = [...]csvColumn{
	{"lifter", "name; text", true, func(b []byte, r *csvRow) []byte { return append(b, r.lifter...) }},
	{"week", "1 is the first", true, func(b []byte, r *csvRow) []byte { return strconv.AppendInt(b, int64(r.s.Week), 10) }},
	{"date", "2006-01-02, empty without dates", true, func(b []byte, r *csvRow) []byte { return append(b, r.date...) }},
	{"day", "mon to sun, empty where it is not set", true, func(b []byte, r *csvRow) []byte { return append(b, r.day...) }},
	{"session", "name; text", true, func(b []byte, r *csvRow) []byte { return append(b, r.session...) }},
	{"phase", "training, deload or test", true, func(b []byte, r *csvRow) []byte { return append(b, r.s.Kind...) }},
	{"lift", "name; text", true, func(b []byte, r *csvRow) []byte { return append(b, r.lift...) }},
	{"role", "focus, support, developmental or accessory", true, func(b []byte, r *csvRow) []byte { return append(b, r.e.Role...) }},
	{"pair", "letter; text", true, func(b []byte, r *csvRow) []byte { return append(b, r.pair...) }},
	{"set", "counts from 1, warm-ups apart", false, func(b []byte, r *csvRow) []byte { return strconv.AppendInt(b, int64(r.n), 10) }},
	{"kind", "main, heavy, backoff, warmup or test", false, func(b []byte, r *csvRow) []byte { return append(b, r.set.Kind...) }},
	{"reps", "upper end of a range", false, func(b []byte, r *csvRow) []byte { return csvCount(b, r.set.Reps) }},
	{"reps_low", "lower end of a range", false, func(b []byte, r *csvRow) []byte { return csvCount(b, r.set.RepsLow) }},
	{"seconds", "", false, func(b []byte, r *csvRow) []byte { return csvAbove0(b, r.set.Seconds) }},
	{"metres", "", false, func(b []byte, r *csvRow) []byte { return csvAbove0(b, r.set.Metres) }},
	{"sides", "2 for one side at a time", false, func(b []byte, r *csvRow) []byte { return strconv.AppendInt(b, int64(max(r.set.Sides, 1)), 10) }},
	{"amrap", "1 for an open-ended set", false, func(b []byte, r *csvRow) []byte { return csvBool(b, r.set.AMRAP) }},
	{"load", "in unit; empty where it is open or there is none", false, func(b []byte, r *csvRow) []byte {
		if r.set.HasLoad && !r.set.Open {
			return r.load(b, r.set.Load)
		}
		return b
	}},
	{"unit", "kg or lb", true, func(b []byte, r *csvRow) []byte { return append(b, r.unit.String()...) }},
	{"expect_low", "lower end of an open weight", false, func(b []byte, r *csvRow) []byte { return csvExpect(b, r, 0) }},
	{"expect_high", "upper end of an open weight", false, func(b []byte, r *csvRow) []byte { return csvExpect(b, r, 1) }},
	{"percent", "of the working maximum", false, func(b []byte, r *csvRow) []byte {
		if r.set.HasPercent {
			return appendFloat(b, r.set.Percent.Float64())
		}
		return b
	}},
	{"exact", "weight before rounding, in unit", false, func(b []byte, r *csvRow) []byte {
		if r.set.HasLoad {
			return appendFloat(b, r.set.Exact.In(r.unit))
		}
		return b
	}},
	{"per_side", "plates of one side, inner first; text", false, func(b []byte, r *csvRow) []byte {
		return csvField(b, Defuse(words.PerSideText(r.e, r.set, r.unit)))
	}},
	{"rest_s", "seconds after the set", false, func(b []byte, r *csvRow) []byte { return appendFloat(b, r.set.Rest) }},
	{"rir", "repetitions in reserve asked for", false, func(b []byte, r *csvRow) []byte {
		switch {
		case r.set.AMRAP:
			return appendFloat(b, r.set.Leave.Float64())
		case r.set.RIR != nil:
			return appendFloat(b, *r.set.RIR)
		}
		return b
	}},
	{"reserve", "repetitions in reserve predicted, to 0.1", false, func(b []byte, r *csvRow) []byte {
		if r.set.Reserve != nil {
			return appendFloat(b, math.Round(r.set.Reserve.Mid*10)/10+0) // no -0
		}
		return b
	}},
	{"below_minimum", "1 where nothing lighter can be loaded", false, func(b []byte, r *csvRow) []byte { return csvBool(b, r.set.Below) }},
	{"above_stock", "1 where nothing heavier can be loaded", false, func(b []byte, r *csvRow) []byte { return csvBool(b, r.set.Above) }},
	{"note", "text", true, func(b []byte, r *csvRow) []byte { return append(b, r.note...) }},
	{"from", "where the weight came from; text", false, func(b []byte, r *csvRow) []byte {
		return csvField(b, Defuse(r.set.Origin.Words(r.unit)))
	}},
}

// CSVColumns lists the columns that CSV can have, in their default order.
func CSVColumns() []string {
	out := make([]string, len(csvColumns))
	for i := range csvColumns {
		out[i] = csvColumns[i].name
	}
	return out
}

// csvSheet writes comma-separated values (RFC 4180): a header line, then one
// row for each set, lines ending in CR LF. Cells of free text that a
// spreadsheet program would run as a formula begin with an apostrophe; see
// [Defuse].
type csvSheet struct {
	w    *errWriter
	opt  Options
	cols []csvColumn
	row  csvRow
	// Columns that do not change within an exercise are written once into
	// fixed and copied for each set: up to ends[i] before column vary[i].
	fixed []byte
	vary  []int
	ends  []int
}

func newCSV(w io.Writer, opt Options) (*csvSheet, error) {
	c := &csvSheet{w: newErrWriter(w), opt: opt, cols: csvColumns[:]}
	if len(opt.Columns) > 0 {
		c.cols = nil
		for _, name := range opt.Columns {
			at := slices.IndexFunc(csvColumns[:], func(c csvColumn) bool { return c.name == name })
			if at < 0 {
				return nil, &OptionError{"Columns", `no column "` + name + `"; there are ` + strings.Join(CSVColumns(), ", ")}
			}
			c.cols = append(c.cols, csvColumns[at])
		}
	}
	return c, nil
}

// Begin implements [Renderer].
func (c *csvSheet) Begin(b *periodize.Block) error {
	if err := c.opt.Check(b); err != nil {
		return err
	}
	for i := range c.cols {
		if i > 0 {
			c.w.str(",")
		}
		c.w.str(c.cols[i].name)
	}
	c.w.str("\r\n")
	return c.w.err
}

// Plan implements [Renderer].
func (c *csvSheet) Plan(p *periodize.Plan) error {
	r := &c.row
	r.unit, r.p = c.opt.UnitOf(p), p
	r.massText = r.massText[:0]
	r.lifter = csvText(r.lifter, p.Lifter.Name)
	for i := range p.Sessions {
		s := &p.Sessions[i]
		if !c.opt.Has(s) {
			continue
		}
		r.s = s
		r.session = csvText(r.session, s.Name)
		r.date, r.day = r.date[:0], r.day[:0]
		if !s.Date.IsZero() {
			r.date = s.Date.AppendFormat(r.date, time.DateOnly)
		}
		if s.Day != nil {
			r.day = append(r.day, strings.ToLower(s.Day.String()[:3])...)
		}
		for j := range s.Exercises {
			e := &s.Exercises[j]
			r.e = e
			r.lift = csvText(r.lift, e.Lift.Name)
			r.pair = csvText(r.pair, e.Pair)
			note := e.Note
			if note == "" && j == 0 {
				note = s.Note
			} else if j == 0 && s.Note != "" {
				note = s.Note + "; " + note
			}
			r.note = csvText(r.note, note)
			c.prepare()
			c.rows(e.Warmup)
			c.rows(e.Sets)
			if c.w.spill(); c.w.err != nil {
				return c.w.err
			}
		}
	}
	return c.w.err
}

// prepare writes what all rows of an exercise have in common.
func (c *csvSheet) prepare() {
	c.fixed, c.vary, c.ends = c.fixed[:0], c.vary[:0], c.ends[:0]
	for k := range c.cols {
		if k > 0 {
			c.fixed = append(c.fixed, ',')
		}
		if c.cols[k].perEx {
			c.fixed = c.cols[k].set(c.fixed, &c.row)
		} else {
			c.vary = append(c.vary, k)
			c.ends = append(c.ends, len(c.fixed))
		}
	}
	c.fixed = append(c.fixed, '\r', '\n')
}

func (c *csvSheet) rows(sets []periodize.Set) {
	b := c.w.buf
	for i := range sets {
		c.row.set, c.row.n = &sets[i], i+1
		from := 0
		for v, k := range c.vary {
			b = append(b, c.fixed[from:c.ends[v]]...)
			from = c.ends[v]
			b = c.cols[k].set(b, &c.row)
		}
		b = append(b, c.fixed[from:]...)
	}
	c.w.buf = b
}

// End implements [Renderer].
func (c *csvSheet) End() error { return c.w.flush() }

func csvText(b []byte, s string) []byte { return csvField(b[:0], Defuse(s)) }

func csvCount(b []byte, n int) []byte {
	if n <= 0 {
		return b
	}
	return strconv.AppendInt(b, int64(n), 10)
}

func csvAbove0(b []byte, x float64) []byte {
	if x <= 0 {
		return b
	}
	return appendFloat(b, x)
}

func csvBool(b []byte, v bool) []byte {
	if v {
		return append(b, '1')
	}
	return append(b, '0')
}

func csvExpect(b []byte, r *csvRow, i int) []byte {
	if !r.set.Open || !r.set.HasExpect {
		return b
	}
	return appendMass(b, r.set.Expect[i], r.unit)
}

// appendMass writes a weight for a cell: the digits people read off a plate.
func appendMass(b []byte, m plates.Mass, u plates.Unit) []byte {
	// Whole hundredths of the unit are the usual case and need no division of floats.
	step := u.One() / 100
	if q := m / step; step > 0 && q*step == m {
		n := int64(q)
		if n < 0 {
			b = append(b, '-')
			n = -n
		}
		b = strconv.AppendInt(b, n/100, 10)
		if f := n % 100; f != 0 {
			b = append(b, '.', byte('0'+f/10))
			if f%10 != 0 {
				b = append(b, byte('0'+f%10))
			}
		}
		return b
	}
	return appendFloat(b, m.In(u))
}
