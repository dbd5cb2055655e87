package logbook

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"time"
)

// The JSON of a summary written out, as scripts rely on it: null where there is nothing to say.

type logWeekJSON struct {
	Lifter   string   `json:"lifter,omitempty"`
	WeekOf   string   `json:"week_of"`
	Sets     int64    `json:"sets"`
	Reps     int64    `json:"reps"`
	Tonnage  float64  `json:"tonnage"`
	Load     *float64 `json:"load"`
	Monotony *float64 `json:"monotony"`
	Strain   *float64 `json:"strain"`
	Sessions int      `json:"sessions"`
	Rated    int      `json:"rated"`
}

type logLiftJSON struct {
	Lift     string        `json:"lift"`
	Sets     int64         `json:"sets"`
	Reps     int64         `json:"reps"`
	Missed   int64         `json:"missed"`
	Tonnage  float64       `json:"tonnage"`
	Max      *float64      `json:"max"`
	Low      *float64      `json:"low"`
	High     *float64      `json:"high"`
	AsOf     *string       `json:"as_of"`
	Told     *string       `json:"last_telling"` // day of the last set that tells of the maximum
	Bests    []logBestJSON `json:"bests"`
	Far      *logFarJSON   `json:"far_load"` // a load far beyond every other
	Why      *string       `json:"why"`      // there is no maximum
	Warnings []warningJSON `json:"warnings"`
}

type logBestJSON struct {
	Reps int     `json:"reps"`
	Load float64 `json:"load"`
	Date string  `json:"date"`
}

type logFarJSON struct {
	logBestJSON
	Next float64 `json:"next_load"`
}

type logGapJSON struct {
	From string `json:"from"`
	To   string `json:"to"`
	Days int    `json:"days"`
}

type logMoveJSON struct {
	Lifter string  `json:"lifter,omitempty"`
	Lift   string  `json:"lift"`
	Date   string  `json:"date"`
	Max    float64 `json:"max"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
}

type logLifterJSON struct {
	Name  string        `json:"name"`
	Days  int           `json:"days"`
	First *string       `json:"first"`
	Last  *string       `json:"last"`
	Lifts []logLiftJSON `json:"lifts"`
	Gaps  []logGapJSON  `json:"gaps"`
}

func date(t time.Time) string { return t.Format(time.DateOnly) }

// dated is a day as text; nil for none.
func dated(t time.Time) *string {
	if t.IsZero() {
		return nil
	}
	return optional(date(t))
}

func (p *LifterLog) json() logLifterJSON {
	j := logLifterJSON{Name: p.Name, Days: p.Days, First: dated(p.First), Last: dated(p.Last), Lifts: []logLiftJSON{}, Gaps: []logGapJSON{}}
	for _, x := range p.Lifts {
		lj := logLiftJSON{Lift: x.Lift, Sets: x.Sets, Reps: x.Reps, Missed: x.Missed, Tonnage: x.Tonnage, Bests: []logBestJSON{}, Why: optional(x.Why), Warnings: []warningJSON{}}
		if x.Max != nil {
			lj.Max, lj.Low, lj.High, lj.AsOf = &x.Max.Max, &x.Max.Low, &x.Max.High, dated(p.AsOf)
			lj.Told = dated(x.Last)
			for _, w := range x.Max.Warnings {
				lj.Warnings = append(lj.Warnings, warningJSON{w.Code, w.Text})
			}
		}
		for _, b := range x.Bests {
			lj.Bests = append(lj.Bests, logBestJSON{b.Reps, b.Load, date(b.Date)})
		}
		if f := x.Far; f != nil {
			lj.Far = &logFarJSON{logBestJSON{f.Reps, f.Load, date(f.Date)}, f.Next}
		}
		j.Lifts = append(j.Lifts, lj)
	}
	for _, g := range p.Gaps {
		j.Gaps = append(j.Gaps, logGapJSON{date(g.From), date(g.To), g.Days})
	}
	return j
}

// weeksJSON is the weeks, with the lifter's name where it is given.
func (p *LifterLog) weeksJSON(name string) []logWeekJSON {
	out := []logWeekJSON{}
	for _, w := range p.Weeks {
		j := logWeekJSON{Lifter: name, WeekOf: date(w.WeekOf), Sets: w.Sets, Reps: w.Reps, Tonnage: w.Tonnage, Load: w.Load, Sessions: w.Sessions, Rated: w.Rated}
		if w.Week != nil && w.Week.Monotony.Defined() {
			j.Monotony, j.Strain = &w.Week.Monotony.Value, &w.Week.Strain.Value
		}
		out = append(out, j)
	}
	return out
}

func (p *LifterLog) movesJSON(name string) []logMoveJSON {
	out := []logMoveJSON{}
	for i := range p.Lifts {
		for _, m := range p.Lifts[i].Moves {
			out = append(out, logMoveJSON{name, p.Lifts[i].Lift, date(m.Date), m.Max, m.Low, m.High})
		}
	}
	return out
}

// MarshalJSON writes a lifter by itself: what [Log] writes of all, with the weeks and the moves of the maxima.
func (p *LifterLog) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(struct {
		logLifterJSON
		AsOf  *string       `json:"as_of"`
		Weeks []logWeekJSON `json:"weeks"`
		Moves []logMoveJSON `json:"moves"`
	}{p.json(), dated(p.AsOf), p.weeksJSON(""), p.movesJSON("")})
	return b.Bytes(), err
}

// MarshalJSON writes the log in the form that `log --json` prints.
func (l *Log) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	if err := l.WriteJSON(&b, nil); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// WriteJSON writes what MarshalJSON does, indented, one element after the other, so that long logs take no more
// memory. The fields of more, an object, follow those of the log; nil is none.
func (l *Log) WriteJSON(w io.Writer, more any) error {
	o := newObjectWriter(w)
	o.field("unit", l.Unit.String())
	o.field("rows", l.Rows)
	o.field("skipped", l.Skipped)
	o.field("as_of", dated(l.AsOf))
	list(o, "lifters", l.Lifters, func(p *LifterLog) []logLifterJSON { return []logLifterJSON{p.json()} })
	list(o, "weeks", l.Lifters, func(p *LifterLog) []logWeekJSON { return p.weeksJSON(p.Name) })
	list(o, "moves", l.Lifters, func(p *LifterLog) []logMoveJSON { return p.movesJSON(p.Name) })
	return o.end(more)
}

// objectWriter writes a JSON object field by field.
type objectWriter struct {
	w   *bufio.Writer
	n   int
	err error
}

func newObjectWriter(w io.Writer) *objectWriter {
	o := &objectWriter{w: bufio.NewWriterSize(w, 1<<16)}
	o.text("{")
	return o
}

func (o *objectWriter) text(s string) {
	if o.err == nil {
		_, o.err = o.w.WriteString(s)
	}
}

// value writes a value that stands so deep.
func (o *objectWriter) value(v any, indent string) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent(indent, "  ")
	if err := enc.Encode(v); err != nil && o.err == nil {
		o.err = err
	}
	o.text(strings.TrimSuffix(b.String(), "\n"))
}

func (o *objectWriter) key(name string) {
	if o.n++; o.n > 1 {
		o.text(",")
	}
	o.text("\n  \"" + name + "\": ")
}

func (o *objectWriter) field(name string, v any) {
	o.key(name)
	o.value(v, "  ")
}

// list writes a list of what each lifter adds to it.
func list[T any](o *objectWriter, name string, lifters []LifterLog, of func(*LifterLog) []T) {
	o.key(name)
	o.text("[")
	n := 0
	for i := range lifters {
		for _, v := range of(&lifters[i]) {
			if n++; n > 1 {
				o.text(",")
			}
			o.text("\n    ")
			o.value(v, "    ")
		}
		if o.err != nil {
			return
		}
	}
	if n > 0 {
		o.text("\n  ")
	}
	o.text("]")
}

// end writes the fields of another object and closes this one.
func (o *objectWriter) end(more any) error {
	if more != nil {
		var b bytes.Buffer
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		enc.SetIndent("", "  ")
		if err := enc.Encode(more); err != nil && o.err == nil {
			o.err = err
		}
		if fields := strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(b.String()), "{"), "}"); strings.TrimSpace(fields) != "" {
			o.text("," + strings.TrimRight(fields, "\n"))
		}
	}
	o.text("\n}\n")
	if o.err != nil {
		return o.err
	}
	return o.w.Flush()
}
