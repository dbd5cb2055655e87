package periodize

import (
	"slices"

	"github.com/blockwright/blockwright/periodize/taper"
	"github.com/blockwright/blockwright/plates"
)

// deload appends the block's deload weeks: the last week again with fewer sets
// and lighter weights. The sets that stay are shared out over the lifts and
// then over each lift's exercises by largest remainder, so that the whole week
// is cut by what the block asks for, to the nearest set.
func (w *writer) deload(order []int) {
	f := w.p.block.Finish
	if f.Deload == 0 {
		return
	}
	var last []PlannedSession
	for _, ps := range w.plan.Sessions {
		if ps.Week == w.p.block.Weeks {
			last = append(last, ps)
		}
	}
	keep := w.deloadCounts(last, f.Cut)
	hold := f.Hold
	if hold.Sign() <= 0 {
		hold = hundred
	}
	for d := 1; d <= f.Deload; d++ {
		week := w.p.block.Weeks + d
		k := 0
		for _, src := range last {
			index := w.sessionIndex(src)
			ps := w.header(index, week, DeloadWeek)
			for e := range src.Exercises {
				if n := keep[k]; n > 0 {
					ex := &src.Exercises[e]
					w.notes.at = place{week, ps.Name}
					asked := w.p.block.Sessions[index].Work[ex.Item].Lift
					ps.Exercises = append(ps.Exercises, w.lighter(ex, n, hold, w.adjustment(week, asked, ex.Lift.Name)))
				}
				k++
			}
			if len(ps.Exercises) > 0 {
				w.complete(&ps)
				w.plan.Sessions = append(w.plan.Sessions, ps)
			}
		}
	}
}

// sessionIndex finds the block's session that a planned one of the last week came from.
func (w *writer) sessionIndex(ps PlannedSession) int {
	return slices.IndexFunc(w.p.block.Sessions, func(s Session) bool {
		return s.Name == ps.Name && s.Weeks.Has(w.p.block.Weeks)
	})
}

// deloadCounts is the number of sets that each exercise of the week keeps.
func (w *writer) deloadCounts(week []PlannedSession, cut plates.Ratio) []int {
	var lifts []string
	var byLift []int   // sets of each lift
	var member [][]int // exercises of each lift
	var sets []int     // sets of each exercise
	total := 0
	for _, ps := range week {
		for _, ex := range ps.Exercises {
			i := slices.Index(lifts, ex.Lift.Name)
			if i < 0 {
				i = len(lifts)
				lifts = append(lifts, ex.Lift.Name)
				byLift = append(byLift, 0)
				member = append(member, nil)
			}
			byLift[i] += len(ex.Sets)
			member[i] = append(member[i], len(sets))
			sets = append(sets, len(ex.Sets))
			total += len(ex.Sets)
		}
	}
	share := hundred.Sub(cut).Div(hundred)
	left := int(ratio(int64(total), 1).Mul(share).RoundHalfUp())
	keep := make([]int, len(sets))
	for i, n := range shareOut(byLift, left) {
		own := make([]int, len(member[i]))
		for k, e := range member[i] {
			own[k] = sets[e]
		}
		for k, m := range shareOut(own, n) {
			keep[member[i][k]] = m
		}
	}
	w.plan.Deload = &DeloadCut{Before: total, After: left, Asked: cut.Float64()}
	if total > 0 {
		w.plan.Deload.Got = 100 * float64(total-left) / float64(total)
	}
	return keep
}

// shareOut divides left over the parts by largest remainder.
func shareOut(parts []int, left int) []int {
	out, err := taper.ShareTotal(parts, left)
	if err != nil {
		panic("periodize: " + err.Error()) // the parts are numbers of sets, and left is a share of them
	}
	return out
}

// lighter is an exercise with n of its sets, each at hold per cent of its
// weight, and what the roster changes of that. Back-offs give way first, then
// the earliest sets.
func (w *writer) lighter(src *Exercise, n int, hold plates.Ratio, adjust Adjustment) Exercise {
	ex := *src
	n = min(max(n+adjust.Sets, 1), len(src.Sets))
	ex.Warmup = nil
	sets := slices.Clone(src.Sets)
	for i := len(sets) - 1; i >= 0 && len(sets) > n; i-- {
		if sets[i].Kind == BackoffSet {
			sets = slices.Delete(sets, i, i+1)
		}
	}
	sets = sets[len(sets)-n:]
	im, lm := w.kit(src.Lift)
	x := &pricing{w: w, def: src.Lift, im: im, lm: lm, adjust: adjust}
	for i := range sets {
		x.hold(&sets[i], hold)
	}
	ex.Sets = sets
	w.notes.read(&ex)
	return ex
}

// hold restates a set of the last week at a share of its weight.
func (x *pricing) hold(s *Set, hold plates.Ratio) {
	s.AMRAP, s.Cap, s.Leave = false, 0, plates.Ratio{}
	s.Kind = MainSet
	s.Reserve = nil
	s.Origin.Held = hold
	if change := x.adjust.Percent; change.Sign() != 0 {
		factor := hundred.Add(change)
		hold = hold.Mul(factor).Div(hundred)
		s.Origin.Adjusted = hundred.Add(s.Origin.Adjusted).Mul(factor).Div(hundred).Sub(hundred)
		s.Origin.Why = x.adjust.Why
	}
	body := x.body()
	switch {
	case s.HasExpect:
		// A best set of the day becomes one set from the careful end of what was expected.
		s.Open, s.HasExpect, s.RIR = false, false, nil
		x.load(s, (s.Expect[0] + body).Percent(hold).Add(-body))
		s.Expect = [2]plates.Mass{}
	case s.HasPercent:
		s.RIR = nil
		s.Percent = s.Percent.Mul(hold).Div(hundred)
		x.load(s, x.lm.Working.Percent(s.Percent).Add(-body))
	case s.HasLoad:
		x.load(s, s.Exact.Add(body).Scale(hold.Div(hundred)).Add(-body))
	}
}
