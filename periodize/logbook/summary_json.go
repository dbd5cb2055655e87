package logbook

import (
	"encoding/json"
	"math"
	"slices"

	numeric "github.com/blockwright/blockwright/internal/num"
	"github.com/blockwright/blockwright/plates"
)

type summaryJSON struct {
	Unit    string          `json:"unit"`
	Rows    int64           `json:"rows"`
	Lifters []lifterSumJSON `json:"lifters"`
}

type lifterSumJSON struct {
	Name     string        `json:"name"`
	Lifts    []liftSumJSON `json:"lifts"`
	Weeks    []weekSumJSON `json:"weeks"`
	Days     []int32       `json:"days"`
	Sessions []sessionJSON `json:"sessions"`
}

type liftSumJSON struct {
	Lift    string        `json:"lift"`
	Sets    int64         `json:"sets"`
	Reps    int64         `json:"reps"`
	Missed  int64         `json:"missed"`
	Tonnage [2]float64    `json:"tonnage"` // sum and compensation
	Bests   []bestJSON    `json:"bests"`
	Days    []dayBestJSON `json:"days"`
}

type bestJSON struct {
	Reps int16   `json:"reps"`
	Load float64 `json:"load"`
	Day  int32   `json:"day"`
}

type dayBestJSON struct {
	Day  int32         `json:"day"`
	Sets []keptSetJSON `json:"sets"`
}

type keptSetJSON struct {
	Kind   int     `json:"kind"`
	Value  float64 `json:"value"`
	Load   float64 `json:"load"`
	Reps   int16   `json:"reps"`
	RIR    float64 `json:"rir"`
	Tested bool    `json:"tested,omitempty"`
	Single bool    `json:"single,omitempty"`
}

type weekSumJSON struct {
	Monday  int32      `json:"monday"`
	Sets    int64      `json:"sets"`
	Reps    int64      `json:"reps"`
	Tonnage [2]float64 `json:"tonnage"`
}

type sessionJSON struct {
	Day     int32      `json:"day"`
	Name    string     `json:"name"`
	Minutes []saidJSON `json:"minutes,omitempty"`
	Effort  []saidJSON `json:"effort,omitempty"`
}

type saidJSON struct {
	Value float64 `json:"value"`
	File  string  `json:"file"`
	Line  int     `json:"line"`
}

func parts(s numeric.Sum) [2]float64 {
	a, b := s.Parts()
	return [2]float64{a, b}
}

// MarshalJSON writes the summary, at full precision, in the order of names and days.
func (s *Summary) MarshalJSON() ([]byte, error) {
	j := summaryJSON{Unit: s.unit.String(), Rows: s.rows, Lifters: []lifterSumJSON{}}
	for _, name := range keys(s.lifters) {
		l := s.lifters[name]
		lj := lifterSumJSON{Name: name, Days: l.days}
		for _, lift := range keys(l.lifts) {
			x := l.lifts[lift]
			xj := liftSumJSON{Lift: lift, Sets: x.sets, Reps: x.reps, Missed: x.missed, Tonnage: parts(x.tonnage)}
			for _, reps := range keys(x.bests) {
				b := x.bests[reps]
				xj.Bests = append(xj.Bests, bestJSON{reps, b.load, b.day})
			}
			for _, d := range x.days {
				dj := dayBestJSON{Day: d.day}
				for k, set := range d.set {
					if set.value != 0 {
						dj.Sets = append(dj.Sets, keptSetJSON{k, set.value, set.load, set.reps, set.rir, set.tested, set.single})
					}
				}
				xj.Days = append(xj.Days, dj)
			}
			lj.Lifts = append(lj.Lifts, xj)
		}
		for _, week := range keys(l.weeks) {
			w := l.weeks[week]
			lj.Weeks = append(lj.Weeks, weekSumJSON{week, w.sets, w.reps, parts(w.tonnage)})
		}
		for _, k := range l.sessionKeys() {
			u := l.sessions[k]
			lj.Sessions = append(lj.Sessions, sessionJSON{k.day, k.name, saidOut(u.minutes), saidOut(u.effort)})
		}
		j.Lifters = append(j.Lifters, lj)
	}
	return json.Marshal(j)
}

func saidOut(all []said) (out []saidJSON) {
	for _, v := range all {
		out = append(out, saidJSON{v.value, v.file, v.line})
	}
	return out
}

// Days beyond these are no dates that a log can have.
const (
	firstDay = -25567 // 1900-01-01
	lastDay  = 84005  // 2199-12-31
)

// UnmarshalJSON reads what MarshalJSON wrote. The error is a *DecodeError.
func (s *Summary) UnmarshalJSON(b []byte) error {
	bad := func(why string) error { return &DecodeError{"summary", why} }
	var j summaryJSON
	if err := json.Unmarshal(b, &j); err != nil {
		return bad(err.Error())
	}
	unit, err := plates.ParseUnit(j.Unit)
	if err != nil {
		return bad("unit: want kg or lb")
	}
	n := NewSummary(unit)
	n.rows = j.Rows
	good := func(v float64) bool { return v >= 0 && v <= 1e15 }
	dated := func(day int32) bool { return day >= firstDay-7 && day <= lastDay }
	if j.Rows < 0 {
		return bad("a negative number of rows")
	}
	for _, lj := range j.Lifters {
		if n.lifters[lj.Name] != nil {
			return bad("a lifter twice")
		}
		l := n.lifter(lj.Name)
		for _, xj := range lj.Lifts {
			x := newLiftSum()
			if l.lifts[xj.Lift] != nil || xj.Sets < 0 || xj.Reps < 0 || xj.Missed < 0 || !good(xj.Tonnage[0]) || !(math.Abs(xj.Tonnage[1]) <= 1e15) {
				return bad("sums out of bounds, or a lift twice")
			}
			x.sets, x.reps, x.missed, x.tonnage = xj.Sets, xj.Reps, xj.Missed, numeric.FromParts(xj.Tonnage[0], xj.Tonnage[1])
			for _, p := range xj.Bests {
				if p.Reps < 1 || p.Reps > mostReps || !good(p.Load) || !dated(p.Day) {
					return bad("a best set out of bounds")
				}
				x.best(p.Reps, bestSet{p.Load, p.Day})
			}
			for _, d := range xj.Days {
				if !dated(d.Day) {
					return bad("a day out of bounds")
				}
				for _, k := range d.Sets {
					if k.Kind < 0 || k.Kind >= kept || !(k.Value > 0 && k.Value <= 1e9) || !(k.Load > 0 && k.Load <= 1e9) || k.Reps < 0 || k.Reps > mostReps ||
						k.Reps == 0 && k.Kind != keepMissed || !(k.RIR >= -1 && k.RIR <= mostRIR) {
						return bad("a set out of bounds")
					}
					x.day(d.Day).keep(k.Kind, keptSet{k.Value, k.Load, k.RIR, k.Reps, k.Tested, k.Single})
				}
			}
			l.lifts[xj.Lift] = x
		}
		for _, w := range lj.Weeks {
			if !dated(w.Monday) || l.weeks[w.Monday] != nil || w.Sets < 0 || w.Reps < 0 || !good(w.Tonnage[0]) || !(math.Abs(w.Tonnage[1]) <= 1e15) {
				return bad("a week out of bounds")
			}
			l.weeks[w.Monday] = &weekSum{w.Sets, w.Reps, numeric.FromParts(w.Tonnage[0], w.Tonnage[1])}
		}
		for _, d := range lj.Days {
			if !dated(d) {
				return bad("a day out of bounds")
			}
			l.days.add(d)
		}
		for _, u := range lj.Sessions {
			key := sessionKey{u.Day, u.Name}
			if !dated(u.Day) || l.sessions[key] != nil {
				return bad("a session out of bounds, or twice")
			}
			sum := &sessionSum{}
			for _, v := range u.Minutes {
				sum.minutes = say(sum.minutes, said{v.Value, v.File, v.Line})
			}
			for _, v := range u.Effort {
				sum.effort = say(sum.effort, said{v.Value, v.File, v.Line})
			}
			if slices.ContainsFunc(sum.minutes, func(v said) bool { return !(v.value >= 0 && v.value <= mostMinutes) }) ||
				slices.ContainsFunc(sum.effort, func(v said) bool { return !(v.value >= 0 && v.value <= 10) }) {
				return bad("a session's minutes or effort out of bounds")
			}
			l.sessions[key] = sum
		}
	}
	*s = *n
	return nil
}
