package logbook

import (
	"cmp"
	"encoding/json"
	"math"
	"slices"
	"strings"

	numeric "github.com/blockwright/blockwright/internal/num"
	"github.com/blockwright/blockwright/plates"
)

type summaryJSON struct {
	Unit     string          `json:"unit"`
	Rows     int64           `json:"rows"`
	WorkOnly bool            `json:"work_only,omitempty"`
	Files    []string        `json:"files"` // that lines are counted in
	Lifters  []lifterSumJSON `json:"lifters"`
}

type lifterSumJSON struct {
	Name     string        `json:"name"`
	Lifts    []liftSumJSON `json:"lifts"`
	Weeks    []weekSumJSON `json:"weeks"`
	Sessions []sessionJSON `json:"sessions"`
}

type liftSumJSON struct {
	Lift    string        `json:"lift"`
	Sets    int64         `json:"sets"`
	Reps    int64         `json:"reps"`
	Missed  int64         `json:"missed"`
	Tonnage [2]float64    `json:"tonnage"` // sum and compensation
	Bests   []bestJSON    `json:"bests"`
	Next    float64       `json:"next_load,omitempty"` // the heaviest under the heaviest of the bests
	Kept    []keptSetJSON `json:"kept"`
}

type bestJSON struct {
	Reps int16   `json:"reps"`
	Load float64 `json:"load"`
	Day  int32   `json:"day"`
}

type keptSetJSON struct {
	Day    int32   `json:"day"`
	Kind   int8    `json:"kind"`
	Load   float64 `json:"load"`
	Reps   int16   `json:"reps"`
	RIR    float64 `json:"rir"`
	Tested bool    `json:"tested,omitempty"`
	File   int32   `json:"file"` // place among the files, from 1
	Line   int32   `json:"line"`
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
	File  int32   `json:"file"`
	Line  int32   `json:"line"`
}

func parts(s numeric.Sum) [2]float64 {
	a, b := s.Parts()
	return [2]float64{a, b}
}

// MarshalJSON writes the summary, at full precision, in the order of names and days.
func (s *Summary) MarshalJSON() ([]byte, error) {
	j := summaryJSON{Unit: s.unit.String(), Rows: s.rows, WorkOnly: s.work, Lifters: []lifterSumJSON{}}
	var file map[int32]int32
	j.Files, file = s.named()
	for _, name := range keys(s.lifters) {
		l := s.lifters[name]
		lj := lifterSumJSON{Name: name}
		for _, lift := range keys(l.lifts) {
			x := l.lifts[lift]
			xj := liftSumJSON{Lift: lift, Sets: x.sets, Reps: x.reps, Missed: x.missed, Tonnage: parts(x.tonnage), Next: x.heavy[1]}
			for _, b := range x.bests {
				xj.Bests = append(xj.Bests, bestJSON{b.reps, b.load, b.day})
			}
			for _, k := range x.kept {
				xj.Kept = append(xj.Kept, keptSetJSON{k.day, k.kind, k.load, k.reps, k.reserve(), k.tested, file[int32(k.file)], k.line})
			}
			lj.Lifts = append(lj.Lifts, xj)
		}
		for _, w := range l.weeks {
			lj.Weeks = append(lj.Weeks, weekSumJSON{w.monday, w.sets, w.reps, parts(w.tonnage)})
		}
		for _, u := range l.sessions {
			said := l.saidOf(u)
			lj.Sessions = append(lj.Sessions, sessionJSON{u.day, s.names.text(u.name), saidOut(said[0], file), saidOut(said[1], file)})
		}
		slices.SortFunc(lj.Sessions, func(a, b sessionJSON) int {
			return cmp.Or(cmp.Compare(a.Day, b.Day), strings.Compare(a.Name, b.Name))
		})
		j.Lifters = append(j.Lifters, lj)
	}
	return json.Marshal(j)
}

func saidOut(all []said, file map[int32]int32) (out []saidJSON) {
	for _, v := range all {
		out = append(out, saidJSON{v.value, file[v.file], v.line})
	}
	return out
}

// named is the files that something is kept of, in the order of their names, and the place of each by its number here.
func (s *Summary) named() (names []string, place map[int32]int32) {
	place = map[int32]int32{}
	for _, l := range s.lifters {
		for _, x := range l.lifts {
			for _, k := range x.kept {
				place[int32(k.file)] = 0
			}
		}
		for _, u := range l.sessions {
			for _, list := range l.saidOf(u) {
				for _, v := range list {
					place[v.file] = 0
				}
			}
		}
	}
	names = []string{}
	for id := range place {
		names = append(names, s.files.text(id))
	}
	slices.Sort(names)
	for id := range place {
		at, _ := slices.BinarySearch(names, s.files.text(id))
		place[id] = int32(at + 1)
	}
	return names, place
}

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
	n.rows, n.work = j.Rows, j.WorkOnly
	for _, f := range j.Files {
		n.files.number(f)
	}
	if len(n.files.list) != len(j.Files) {
		return bad("a file twice")
	}
	good := func(v float64) bool { return v >= 0 && v <= 1e15 }
	sum := func(t [2]float64) bool { return good(t[0]) && math.Abs(t[1]) <= 1e15 }
	dated := func(day int32) bool { return day >= firstDay-7 && day <= lastDay }
	stands := func(file, line int32) bool { return file >= 1 && int(file) <= len(j.Files) && line >= 0 }
	if j.Rows < 0 {
		return bad("a negative number of rows")
	}
	for _, lj := range j.Lifters {
		if n.lifters[lj.Name] != nil {
			return bad("a lifter twice")
		}
		l := n.lifter(lj.Name)
		for _, xj := range lj.Lifts {
			if l.lifts[xj.Lift] != nil || xj.Sets < 0 || xj.Reps < 0 || xj.Missed < 0 || !sum(xj.Tonnage) || !good(xj.Next) {
				return bad("sums out of bounds, or a lift twice")
			}
			x := l.lift(xj.Lift)
			x.sets, x.reps, x.missed, x.tonnage = xj.Sets, xj.Reps, xj.Missed, numeric.FromParts(xj.Tonnage[0], xj.Tonnage[1])
			for _, p := range xj.Bests {
				if p.Reps < 1 || p.Reps > mostReps || !good(p.Load) || !dated(p.Day) {
					return bad("a best set out of bounds")
				}
				x.best(bestSet{p.Load, p.Day, p.Reps})
				x.lifted(p.Load)
			}
			if xj.Next > x.heavy[0] {
				return bad("a next load that is heavier than the best")
			}
			x.lifted(xj.Next)
			for _, k := range xj.Kept {
				set := keptSet{load: k.Load, day: k.Day, line: k.Line, file: fileOf(k.File), rir: keptRIR(k.RIR), reps: k.Reps, kind: k.Kind, tested: k.Tested}
				if n.work || k.Kind < 0 || k.Kind >= kept || !(k.Load > 0 && k.Load <= 1e9) || k.Reps < 0 || k.Reps > mostReps || (k.Reps == 0) != (k.Kind == keepMissed) ||
					!(k.RIR >= -1 && k.RIR <= mostRIR) || (set.rir <= farReserve*1000) != (k.Kind == keepMeasured) || !dated(k.Day) || !stands(k.File, k.Line) || n.value(set) == 0 {
					return bad("a set out of bounds")
				}
				n.keep(x, set)
			}
		}
		for _, w := range lj.Weeks {
			if !dated(w.Monday) || weekOf(w.Monday) != w.Monday || w.Sets < 0 || w.Reps < 0 || !sum(w.Tonnage) {
				return bad("a week out of bounds")
			}
			had := len(l.weeks)
			to := l.week(w.Monday)
			if len(l.weeks) == had {
				return bad("a week twice")
			}
			to.sets, to.reps, to.tonnage = w.Sets, w.Reps, numeric.FromParts(w.Tonnage[0], w.Tonnage[1])
		}
		for _, u := range lj.Sessions {
			if !dated(u.Day) {
				return bad("a session out of bounds")
			}
			had := len(l.sessions)
			to := l.session(u.Day, n.names.number(u.Name))
			if len(l.sessions) == had {
				return bad("a session twice")
			}
			for field, list := range [2][]saidJSON{u.Minutes, u.Effort} {
				for _, v := range list {
					if !(v.Value >= 0 && v.Value <= [2]float64{mostMinutes, 10}[field]) || !stands(v.File, v.Line) {
						return bad("a session's minutes or effort out of bounds")
					}
					n.say(l, l.ratings(to), field, said{v.Value, v.File, v.Line})
				}
			}
		}
		if !l.attended() {
			return bad("a set on a day without a session")
		}
	}
	*s = *n
	return nil
}

// attended reports whether every set that is kept was done on the day of a session, as those are whose rows were added.
func (l *lifterSum) attended() bool {
	days := map[int32]bool{}
	for _, u := range l.sessions {
		days[u.day] = true
	}
	for _, x := range l.lifts {
		for _, b := range x.bests {
			if !days[b.day] {
				return false
			}
		}
		for _, k := range x.kept {
			if !days[k.day] {
				return false
			}
		}
	}
	return true
}
