package periodize

import (
	"fmt"
	"slices"

	"github.com/blockwright/blockwright/plates"
)

// What a block asks for in one week, worked out once for all lifters.

type weekSession struct {
	index int // in Block.Sessions
	src   *Session
	items []weekItem
}

type weekItem struct {
	index   int // in Session.Work
	src     *Item
	lift    *Lift
	role    Role
	main    []group // one, or one for each entry of Each
	backoff *group
	build   *weekBuild
	final   bool
}

// group is a number of equal sets.
type group struct {
	sets            int
	reps, repsLow   int
	seconds, metres float64
	sides           int
	kind            WeightKind
	value           plates.Ratio
	rest            float64
}

type weekBuild struct {
	reps        int
	toRIR       plates.Ratio
	start, step plates.Ratio
	rest        float64
}

// needsMax reports whether any weight of the item comes from a maximum.
func (it *weekItem) needsMax() bool {
	if it.build != nil {
		return true
	}
	return slices.ContainsFunc(it.main, func(g group) bool {
		return g.kind == ByPercent || g.kind == ByRIR || g.kind == ByRPE
	})
}

// DefaultRest is the rest in seconds after a set of an exercise in a role,
// where the block gives none. Heavy work 3 to 5 min and multi-joint work 2 to 3
// min, single-joint work 1 to 2 min (ACSM position stand 2009, looked-up, and
// as quoted by Senna 2011, looked-up); the choice within those ranges is
// common practice, no published source.
func DefaultRest(r Role) float64 {
	switch r {
	case Focus:
		return 180
	case Support:
		return 150
	case Developmental:
		return 120
	}
	return 90
}

// resolver evaluates the tracks of one item in one week.
type resolver struct {
	b    *Block
	week int
	pos  Pos
	at   string
	errs *Errors
}

func (r *resolver) fail(format string, args ...any) {
	*r.errs = append(*r.errs, &Error{Pos: r.pos, Where: r.at, Msg: fmt.Sprintf(format, args...)})
}

// value is a track's value in the week, nil tracks being absent.
func (r *resolver) value(t Track, name string) (plates.Ratio, bool) {
	if t == nil {
		return plates.Ratio{}, false
	}
	v, ok := t.At(r.week, r.b.Weeks)
	if !ok {
		r.fail("%s has no value in week %d, and there are sets that week", name, r.week)
	}
	return v, ok
}

// within is a track's value in the week, which must lie in a range.
func (r *resolver) within(t Track, name string, low, high float64) plates.Ratio {
	v, ok := r.value(t, name)
	if f := v.Float64(); ok && (f < low || f > high) {
		r.fail("%s must be %g to %g in week %d, got %s", name, low, high, r.week, v)
	}
	return v
}

// sets is a number of sets, halves up; a track without a value means none.
func (r *resolver) sets(t Track, most int) int {
	if t == nil {
		return 1
	}
	v, ok := t.At(r.week, r.b.Weeks)
	if !ok {
		return 0
	}
	n := v.RoundHalfUp()
	if n < 0 || n > int64(most) {
		r.fail("sets must be 0 to %d in week %d, got %s", most, r.week, v)
		return 0
	}
	return int(n)
}

func (r *resolver) reps(t, low Track) (reps, repsLow int) {
	v, ok := r.value(t, "reps")
	n := v.RoundHalfUp()
	if ok && (n < 1 || n > MaxReps) {
		r.fail("reps must be 1 to %d in week %d, got %s", MaxReps, r.week, v)
		return 1, 0
	}
	if low == nil {
		return int(n), 0
	}
	v, ok = low.At(r.week, r.b.Weeks)
	m := v.RoundHalfUp()
	switch {
	case !ok || m == n:
		return int(n), 0
	case m < 1 || m > n:
		r.fail("the lower end of a range of reps must be from 1 to the upper end, got %d-%d in week %d", m, n, r.week)
	}
	return int(n), int(m)
}

func (r *resolver) rest(t Track, otherwise float64) float64 {
	if t == nil {
		return otherwise
	}
	v, ok := r.value(t, "rest")
	if ok && (v.Sign() < 0 || v.Float64() > 3600) {
		r.fail("rest must be 0 to 60 minutes in week %d, got %s seconds", r.week, v)
	}
	return v.Float64()
}

func (r *resolver) group(w *Work, lift *Lift, role Role) group {
	g := group{sets: r.sets(w.Sets, 100), sides: max(w.Sides, 1)}
	if g.sets == 0 {
		return g
	}
	switch {
	case w.Reps != nil:
		g.reps, g.repsLow = r.reps(w.Reps, w.RepsLow)
	case w.Seconds != nil:
		g.seconds = r.within(w.Seconds, "seconds", 0.1, 7200).Float64()
	case w.Metres != nil:
		g.metres = r.within(w.Metres, "metres", 0.1, 100_000).Float64()
	}
	g.kind = w.Weight.Kind
	if g.kind != NoWeight {
		var ok bool
		if g.value, ok = r.value(w.Weight.Track, g.kind.String()); ok {
			r.weight(g.kind, g.value, lift)
		}
	}
	g.rest = r.rest(w.Rest, DefaultRest(role))
	return g
}

// weight checks that a weight can be meant.
func (r *resolver) weight(k WeightKind, v plates.Ratio, lift *Lift) {
	low, high, unit := 0.0, 0.0, ""
	switch k {
	case ByPercent:
		low, high, unit = 1, 200, " per cent"
	case ByRIR:
		low, high = 0, 30
	case ByRPE:
		low, high = 5, 10
	case ByDrop:
		low, high, unit = 0, 99, " per cent"
	case ByLoad:
		v = v.Div(plates.WholeRatio(int64(plates.Kilogram)))
		low, high, unit = 0, MaxLoad.Kilograms(), " kg"
	}
	if f := v.Float64(); f < low || f > high {
		r.fail("%s must be %g to %g%s in week %d, got %s", k, low, high, unit, r.week, v)
	}
	if lift.Uses == "" && (k == ByPercent || k == ByLoad || k == ByDrop) {
		r.fail("%q uses no bar or station, so its weight cannot be given by %s; use rir, rpe or none", lift.Name, k)
	}
}

// resolveWeek works out what a block asks for in a week; items and sessions
// without sets are left out.
func resolveWeek(b *Block, week int, errs *Errors) []weekSession {
	var out []weekSession
	for i := range b.Sessions {
		s := &b.Sessions[i]
		if !s.Weeks.Has(week) {
			continue
		}
		ws := weekSession{index: i, src: s}
		for j := range s.Work {
			if it, ok := resolveItem(b, s, j, week, errs); ok {
				ws.items = append(ws.items, it)
			}
		}
		if len(ws.items) > 0 {
			out = append(out, ws)
		}
	}
	return out
}

func resolveItem(b *Block, s *Session, j, week int, errs *Errors) (weekItem, bool) {
	src := &s.Work[j]
	if !src.Weeks.Has(week) {
		return weekItem{}, false
	}
	lift, _ := b.Lift(src.Lift) // check has seen that it is there
	it := weekItem{index: j, src: src, lift: lift, role: src.Role}
	if it.role == "" {
		it.role = Support
		if slices.Contains(b.Focus, src.Lift) {
			it.role = Focus
		}
	}
	r := &resolver{b: b, week: week, pos: src.Pos, at: s.Name + ", " + src.Lift, errs: errs}
	switch {
	case src.Build != nil:
		it.build = &weekBuild{rest: r.rest(src.Build.Rest, DefaultRest(it.role))}
		it.build.reps, _ = r.reps(src.Build.Reps, nil)
		it.build.toRIR = r.within(src.Build.ToRIR, "to_rir", 0, 30)
		it.build.start = r.within(src.Build.Start, "start", 1, 200)
		it.build.step = r.within(src.Build.Step, "step", 1, 50)
		if lift.Uses == "" {
			r.fail("%q uses no bar or station, so there is no weight to build up", lift.Name)
		}
	case len(src.Each) > 0:
		for k := range src.Each {
			if g := r.group(&src.Each[k], lift, it.role); g.sets > 0 {
				it.main = append(it.main, g)
			}
		}
	default:
		if g := r.group(&src.Work, lift, it.role); g.sets > 0 {
			it.main = append(it.main, g)
		}
	}
	if it.build == nil && len(it.main) == 0 {
		return it, false
	}
	if len(it.main) > 0 && !slices.ContainsFunc(it.main, func(g group) bool { return g.kind != ByDrop }) {
		r.fail("every set is a drop from the heaviest set, and there is none to drop from in week %d", week)
	}
	if bo := src.Backoff; bo != nil {
		g := group{sets: r.sets(bo.Sets, 100), sides: max(src.Sides, 1), kind: ByDrop}
		if g.sets > 0 {
			g.reps, g.repsLow = r.reps(bo.Reps, bo.RepsLow)
			g.value, _ = r.value(bo.Drop, "drop")
			r.weight(ByDrop, g.value, lift)
			rest := DefaultRest(it.role)
			if len(it.main) > 0 {
				rest = it.main[0].rest
			}
			g.rest = r.rest(bo.Rest, rest)
			it.backoff = &g
		}
	}
	it.final = src.Final != nil && src.Final.Weeks.Has(week)
	if it.final && src.Final.Cap > 0 {
		for _, g := range slices.Backward(it.main) {
			if g.kind == ByDrop || g.reps == 0 {
				continue // not the set that is open
			}
			if g.reps > src.Final.Cap {
				r.fail("the cap of final, %d, is under the %d repetitions of its set in week %d", src.Final.Cap, g.reps, week)
			}
			break
		}
	}
	return it, true
}
