package sheet

import (
	"io"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// jsonSheet writes JSON as it goes: one object with all lifters, or one object
// a line and lifter. Numbers have all their digits; nothing to say is null.
type jsonSheet struct {
	w       *errWriter
	opt     Options
	block   *periodize.Block
	unit    plates.Unit
	started bool
	lifters int
}

func newJSON(w io.Writer, opt Options) *jsonSheet {
	return &jsonSheet{w: newErrWriter(w), opt: opt}
}

// Begin implements [Renderer].
func (j *jsonSheet) Begin(b *periodize.Block) error {
	if err := j.opt.Check(b); err != nil {
		return err
	}
	j.block = b
	j.unit = b.Unit
	return nil
}

// start settles the unit, with the first plan where none was chosen.
func (j *jsonSheet) start(p *periodize.Plan) {
	if j.started {
		return
	}
	j.started = true
	switch {
	case j.opt.Unit != nil:
		j.unit = *j.opt.Unit
	case p != nil:
		j.unit = p.Unit
	}
	if !j.opt.Lines {
		j.w.buf = append(j.w.buf, '{')
		j.frame()
		j.w.str("\n\"lifters\": [")
	}
}

// frame writes what every document or line begins with.
func (j *jsonSheet) frame() {
	b := append(j.w.buf, `"unit": `...)
	b = appendString(b, j.unit.String())
	b = append(b, `, "block": `...)
	b = appendString(b, j.block.Title)
	j.w.buf = append(b, ", "...)
}

// Plan implements [Renderer].
func (j *jsonSheet) Plan(p *periodize.Plan) error {
	j.start(p)
	nl := "\n" // between sessions and exercises
	if j.opt.Lines {
		nl = " "
		j.w.buf = append(j.w.buf, '{')
		j.frame()
	} else {
		if j.lifters > 0 {
			j.w.str(",")
		}
		j.w.str("\n{")
	}
	j.lifters++
	b := append(j.w.buf, `"name": `...)
	b = appendString(b, p.Lifter.Name)
	b = append(b, `, "level": `...)
	b = appendStringOrNull(b, string(p.Lifter.Level))
	b = append(b, `, "maxes": {`...)
	for i := range p.Maxes {
		m := &p.Maxes[i]
		if i > 0 {
			b = append(b, ", "...)
		}
		b = appendString(b, m.Lift)
		b = append(b, `: {"max": `...)
		b = j.mass(b, m.Max)
		b = append(b, `, "low": `...)
		b = j.mass(b, m.Low)
		b = append(b, `, "high": `...)
		b = j.mass(b, m.High)
		b = append(b, `, "coverage": `...)
		if m.Coverage > 0 {
			b = appendFloat(b, m.Coverage)
		} else {
			b = append(b, "null"...)
		}
		b = append(b, `, "working": `...)
		b = j.mass(b, m.Working)
		b = append(b, `, "body": `...)
		b = j.mass(b, m.Body)
		b = append(b, `, "from": `...)
		b = appendString(b, m.From)
		b = append(b, '}')
	}
	j.w.buf = append(b, `}, "sessions": [`...)
	n := 0
	for i := range p.Sessions {
		s := &p.Sessions[i]
		if !j.opt.Has(s) {
			continue
		}
		if n > 0 {
			j.w.str(",")
		}
		n++
		j.w.str(nl)
		j.session(s, nl)
		j.w.spill()
	}
	b = append(j.w.buf, `], "warnings": [`...)
	for i := range p.Warnings {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = appendFinding(b, &p.Warnings[i])
	}
	b = append(b, `], "cautions": [`...)
	for i, c := range Cautions(p) {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = append(b, `{"id": `...)
		b = appendString(b, c.ID)
		b = append(b, `, "text": `...)
		b = appendString(b, c.Text)
		b = append(b, `, "source": `...)
		b = appendString(b, c.Source)
		b = append(b, '}')
	}
	j.w.buf = append(b, "]}"...)
	if j.opt.Lines {
		j.w.buf = append(j.w.buf, '\n')
	}
	j.w.spill()
	return j.w.err
}

// End implements [Renderer].
func (j *jsonSheet) End() error {
	j.start(nil)
	if !j.opt.Lines {
		j.w.str("\n]}\n")
	}
	return j.w.flush()
}

func (j *jsonSheet) session(s *periodize.PlannedSession, nl string) {
	b := append(j.w.buf, `{"week": `...)
	b = strconv.AppendInt(b, int64(s.Week), 10)
	b = append(b, `, "name": `...)
	b = appendString(b, s.Name)
	b = append(b, `, "kind": `...)
	b = appendString(b, string(s.Kind))
	b = append(b, `, "day": `...)
	if s.Day != nil {
		b = appendString(b, strings.ToLower(s.Day.String()[:3]))
	} else {
		b = append(b, "null"...)
	}
	b = append(b, `, "date": `...)
	if s.Date.IsZero() {
		b = append(b, "null"...)
	} else {
		b = appendString(b, s.Date.Format(time.DateOnly))
	}
	b = append(b, `, "minutes": `...)
	b = appendRange(b, s.Minutes)
	b = append(b, `, "limit": `...)
	if s.Limit > 0 {
		b = appendFloat(b, s.Limit.Minutes())
	} else {
		b = append(b, "null"...)
	}
	b = append(b, `, "moves": `...)
	b = strconv.AppendInt(b, int64(s.Moves), 10)
	b = append(b, `, "note": `...)
	b = appendStringOrNull(b, s.Note)
	b = append(b, `, "exercises": [`...)
	for i := range s.Exercises {
		e := &s.Exercises[i]
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, nl...)
		b = append(b, `{"lift": `...)
		b = appendString(b, e.Lift.Name)
		b = append(b, `, "role": `...)
		b = appendStringOrNull(b, string(e.Role))
		b = append(b, `, "pair": `...)
		b = appendStringOrNull(b, e.Pair)
		b = append(b, `, "uses": `...)
		b = appendStringOrNull(b, e.Lift.Uses)
		b = append(b, `, "note": `...)
		b = appendStringOrNull(b, e.Note)
		b = append(b, `, "warmup": [`...)
		b = j.sets(b, e, e.Warmup, nl)
		b = append(b, `], "sets": [`...)
		b = j.sets(b, e, e.Sets, nl)
		b = append(b, "]}"...)
	}
	j.w.buf = append(b, "]}"...)
}

func (j *jsonSheet) sets(b []byte, e *periodize.Exercise, sets []periodize.Set, nl string) []byte {
	for i := range sets {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, nl...)
		b = j.set(b, e, &sets[i])
	}
	return b
}

func (j *jsonSheet) set(b []byte, e *periodize.Exercise, s *periodize.Set) []byte {
	b = append(b, `{"kind": `...)
	b = appendString(b, string(s.Kind))
	b = append(b, `, "load": `...)
	if s.HasLoad {
		b = j.mass(b, s.Load)
	} else {
		b = append(b, "null"...)
	}
	b = append(b, `, "reps": `...)
	b = appendCount(b, s.Reps)
	b = append(b, `, "reps_low": `...)
	b = appendCount(b, s.RepsLow)
	b = append(b, `, "seconds": `...)
	b = appendAbove0(b, s.Seconds)
	b = append(b, `, "metres": `...)
	b = appendAbove0(b, s.Metres)
	b = append(b, `, "sides": `...)
	b = strconv.AppendInt(b, int64(max(s.Sides, 1)), 10)
	b = append(b, `, "amrap": `...)
	b = strconv.AppendBool(b, s.AMRAP)
	if s.AMRAP {
		b = append(b, `, "leave": `...)
		b = appendFloat(b, s.Leave.Float64())
		b = append(b, `, "cap": `...)
		b = appendCount(b, s.Cap)
	}
	if s.Open {
		b = append(b, `, "open": true, "expect": `...)
		if !s.HasExpect {
			b = append(b, "null"...)
		} else {
			b = append(b, '[')
			b = j.mass(b, s.Expect[0])
			b = append(b, ", "...)
			b = j.mass(b, s.Expect[1])
			b = append(b, ']')
		}
	}
	b = append(b, `, "percent": `...)
	if s.HasPercent {
		b = appendFloat(b, s.Percent.Float64())
	} else {
		b = append(b, "null"...)
	}
	b = append(b, `, "exact": `...)
	if s.HasLoad {
		b = appendFloat(b, s.Exact.In(j.unit))
	} else {
		b = append(b, "null"...)
	}
	b = append(b, `, "per_side": `...)
	b = j.perSide(b, e, s)
	b = append(b, `, "rest_s": `...)
	b = appendFloat(b, s.Rest)
	b = append(b, `, "rir": `...)
	if s.RIR != nil {
		b = appendFloat(b, *s.RIR)
	} else {
		b = append(b, "null"...)
	}
	b = append(b, `, "reserve": `...)
	b = appendRange(b, s.Reserve)
	b = append(b, `, "below_minimum": `...)
	b = strconv.AppendBool(b, s.Below)
	b = append(b, `, "above_stock": `...)
	b = strconv.AppendBool(b, s.Above)
	b = append(b, `, "from": `...)
	b = appendStringOrNull(b, s.Origin.Words(j.unit))
	return append(b, '}')
}

func (j *jsonSheet) perSide(b []byte, e *periodize.Exercise, s *periodize.Set) []byte {
	side, ok := words.PerSide(e, s)
	if !ok {
		return append(b, "null"...)
	}
	b = append(b, '[')
	for i, p := range side {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = AppendPlate(b, p, j.unit)
	}
	return append(b, ']')
}

func (j *jsonSheet) mass(b []byte, m plates.Mass) []byte { return appendFloat(b, m.In(j.unit)) }

// AppendPlate writes a plate as JSON: its number where it is stamped in the
// unit of the document, else {"plate": "45lb", "mass": 20.41165665}.
func AppendPlate(b []byte, p plates.Plate, u plates.Unit) []byte {
	if p.Unit == u {
		return appendFloat(b, p.Mass.In(u))
	}
	b = append(b, `{"plate": `...)
	b = appendString(b, p.Label(u))
	b = append(b, `, "mass": `...)
	b = appendFloat(b, p.Mass.In(u))
	return append(b, '}')
}

// appendRange writes a range as JSON, {"mid", "low", "high"}, or null.
func appendRange(b []byte, r *periodize.Range) []byte {
	if r == nil {
		return append(b, "null"...)
	}
	b = append(b, `{"mid": `...)
	b = appendFloat(b, r.Mid)
	b = append(b, `, "low": `...)
	b = appendFloat(b, r.Low)
	b = append(b, `, "high": `...)
	b = appendFloat(b, r.High)
	return append(b, '}')
}

// appendFinding writes a finding as JSON.
func appendFinding(b []byte, f *periodize.Finding) []byte {
	b = append(b, `{"code": `...)
	b = appendString(b, f.Code)
	b = append(b, `, "severity": `...)
	b = appendString(b, string(f.Severity))
	b = append(b, `, "where": `...)
	b = appendStringOrNull(b, f.Where)
	b = append(b, `, "text": `...)
	b = appendString(b, f.Text)
	b = append(b, `, "evidence": `...)
	b = appendStringOrNull(b, f.Evidence)
	return append(b, '}')
}

func appendCount(b []byte, n int) []byte {
	if n <= 0 {
		return append(b, "null"...)
	}
	return strconv.AppendInt(b, int64(n), 10)
}

func appendAbove0(b []byte, x float64) []byte {
	if x <= 0 {
		return append(b, "null"...)
	}
	return appendFloat(b, x)
}

// appendFloat writes the shortest number that reads back as x. Plans hold no
// NaN or infinity; should a program put one in, it is null rather than a
// document that nothing can read.
func appendFloat(b []byte, x float64) []byte {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return append(b, "null"...)
	}
	if a := math.Abs(x); a != 0 && (a < 1e-6 || a >= 1e21) {
		return strconv.AppendFloat(b, x, 'e', -1, 64)
	}
	return strconv.AppendFloat(b, x, 'f', -1, 64)
}

func appendStringOrNull(b []byte, s string) []byte {
	if s == "" {
		return append(b, "null"...)
	}
	return appendString(b, s)
}

// appendString writes a JSON string (RFC 8259 section 7). Bytes that are not
// UTF-8 become U+FFFD.
func appendString(b []byte, s string) []byte {
	const hex = "0123456789abcdef"
	b = append(b, '"')
	for i := 0; i < len(s); {
		c := s[i]
		if c < utf8.RuneSelf {
			switch {
			case c == '"' || c == '\\':
				b = append(b, '\\', c)
			case c == '\n':
				b = append(b, '\\', 'n')
			case c == '\r':
				b = append(b, '\\', 'r')
			case c == '\t':
				b = append(b, '\\', 't')
			case c < 0x20 || c == 0x7f:
				b = append(b, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
			default:
				b = append(b, c)
			}
			i++
			continue
		}
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			b = append(b, "\uFFFD"...)
		case r == '\u2028' || r == '\u2029': // line breaks to some readers
			b = append(b, '\\', 'u', '2', '0', '2', hex[r&15])
		default:
			b = append(b, s[i:i+n]...)
		}
		i += n
	}
	return append(b, '"')
}
