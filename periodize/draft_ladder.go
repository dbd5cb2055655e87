package periodize

import (
	"slices"
)

// The ladder of weekly volume: each rung is the sets of a week by exercise, and
// the next rung has one set more. Which exercise gets it is decided by
// Webster's divisor method, so that at every height each exercise has about its
// share: the shape of a block is then one rung for each week.
type ladder struct {
	rungs [][]int // sets by exercise of the selection
	sum   []int   // sets of each rung
	low   int     // the first rung on which every exercise is there and every low end is met
	ideal int     // sets of the largest week as a start
}

// dozens of dead ends are enough to see that low ends and high ends exclude
// each other.
const maxLowTries = 4000

// limits are the most sets of each exercise.
func (w *weekSearch) limits(rests int) []int {
	out := make([]int, len(w.sel.chosen))
	days := len(w.t.b.Days)
	for i := range w.sel.chosen {
		c := &w.sel.chosen[i]
		if c.role != Focus {
			out[i] = slotSets[c.role] * days
			continue
		}
		heavy := slotSets[Focus]
		if c.loaded {
			heavy = 1 + w.effort(i, heavySlot, rests).backoffs
		}
		out[i] = heavy + slotSets[Focus]*(days-1)
	}
	return out
}

func (w *weekSearch) newLadder(rests int, grow growth) *ladder {
	chosen := w.sel.chosen
	n := len(chosen)
	most := w.limits(rests)
	l := &ladder{}
	now := make([]int, n)
	count := make([]float64, len(muscles))
	give := func(i, by int) {
		now[i] += by
		for m, s := range chosen[i].shares {
			count[m] += float64(by) * s
		}
	}
	shares := make([]float64, n)
	for i := range chosen {
		l.ideal += chosen[i].sets
		shares[i] = float64(chosen[i].sets)
	}
	// First what a week has at the least: the focus lifts on their days, then
	// one set of everything else, lifts behind first.
	push := func() {
		sum := 0
		for _, k := range now {
			sum += k
		}
		l.rungs = append(l.rungs, slices.Clone(now))
		l.sum = append(l.sum, sum)
	}
	for i := range chosen {
		if chosen[i].role == Focus {
			give(i, min(2, len(w.t.b.Days), most[i]))
		}
	}
	push()
	for i := range chosen {
		if chosen[i].role != Focus {
			give(i, 1)
			push()
		}
	}
	for m, high := range w.t.want.high {
		if count[m] > high+1e-9 {
			return nil
		}
	}
	// Then half of the focus lifts' usual sets, and the fewest more that meet the
	// low ends, in the order of their shares.
	start := slices.Clone(now)
	if grow == fullGrowth {
		for i := range chosen {
			if n := min((chosen[i].sets+1)/2, most[i]) - now[i]; chosen[i].role == Focus && n > 0 {
				give(i, n)
			}
		}
		for m, high := range w.t.want.high {
			if count[m] > high+1e-9 {
				return nil
			}
		}
	}
	if !w.meetLows(now, count, most) {
		return nil
	}
	target := slices.Clone(now)
	copy(now, start)
	clear(count)
	for i := range chosen {
		for m, s := range chosen[i].shares {
			count[m] += float64(now[i]) * s
		}
	}
	for {
		i := w.furthestBelow(shares, now, target, nil)
		if i < 0 {
			break
		}
		give(i, 1)
		push()
	}
	l.low = len(l.rungs) - 1
	// Then shares as far as they go. Where the low ends have made some exercises
	// larger than their shares, growing all alike jumps less from week to week.
	if grow == alikeGrowth {
		for i := range shares {
			shares[i] = float64(now[i])
		}
	}
	top := max(float64(l.ideal)*1.5, float64(l.sum[l.low])*1.5+6)
	if r := w.t.want.rise; r != nil {
		top = max(top, float64(l.sum[l.low])*(1+r.Float64()/100)+8)
	}
	rise := 1 + riseAim(w.t.b.Goal, w.t.b.Level)
	if r := w.t.want.rise; r != nil {
		rise = 1 + r.Float64()/100
	}
	for float64(l.sum[len(l.sum)-1]) < min(top, 400) {
		i := w.furthestBelow(shares, now, most, func(i int) bool {
			for m, s := range chosen[i].shares {
				high := w.t.want.high[m]
				high = min(high, max(muscleGuide, w.t.want.low[m]*rise))
				if s > 0 && count[m]+s > high+1e-9 {
					return false
				}
			}
			return true
		})
		if i < 0 {
			break
		}
		give(i, 1)
		push()
	}
	return l
}

// furthestBelow is the exercise that the divisor method gives the next set.
func (w *weekSearch) furthestBelow(shares []float64, now, most []int, allowed func(i int) bool) int {
	best, at := 0.0, -1
	for i := range now {
		if now[i] >= most[i] {
			continue
		}
		if q := shares[i] / (float64(now[i]) + 0.5); q > best && (allowed == nil || allowed(i)) {
			best, at = q, i
		}
	}
	return at
}

// meetLows adds sets until every low end is met without going over a high end,
// trying the exercise that does most for what is missing first.
func (w *weekSearch) meetLows(now []int, count []float64, most []int) bool {
	tries := 0
	var add func() bool
	add = func() bool {
		missing := -1
		gap := 1e-9
		for m, low := range w.t.want.low {
			if low-count[m] > gap {
				missing, gap = m, low-count[m]
			}
		}
		if missing < 0 {
			return true
		}
		if tries++; tries > maxLowTries {
			w.bounded = true
			return false
		}
		type option struct {
			i    int
			gain float64
		}
		var options []option
		for i := range now {
			c := &w.sel.chosen[i]
			if c.shares[missing] == 0 || now[i] >= most[i] {
				continue
			}
			gain := -0.15 * float64(now[i]) / float64(c.sets)
			over := false
			for m, s := range c.shares {
				if s == 0 {
					continue
				}
				over = over || count[m]+s > w.t.want.high[m]+1e-9
				gain += min(s, max(w.t.want.low[m]-count[m], 0))
				if count[m]+s > muscleGuide {
					gain -= s
				}
			}
			if !over {
				options = append(options, option{i, gain})
			}
		}
		slices.SortStableFunc(options, func(a, b option) int { return compare(b.gain, a.gain) })
		for _, o := range options {
			now[o.i]++
			for m, s := range w.sel.chosen[o.i].shares {
				count[m] += s
			}
			if add() {
				return true
			}
			now[o.i]--
			for m, s := range w.sel.chosen[o.i].shares {
				count[m] -= s
			}
		}
		return false
	}
	return add()
}

// recoverable reports whether a week on rung b may follow one on rung a: no
// lift, pattern or muscle grows more than a review lets it.
func (w *weekSearch) recoverable(l *ladder, a, b int) bool {
	if b <= a {
		return true
	}
	th := &w.t.th
	var patternA, patternB [16]float64
	var muscleA, muscleB [32]float64
	for i := range w.sel.chosen {
		x, y := float64(l.rungs[a][i]), float64(l.rungs[b][i])
		if y-x >= float64(th.JumpLiftSets) && y-x > th.JumpLift*x {
			return false
		}
		c := &w.sel.chosen[i]
		p := slices.Index(patterns[:], c.def.Pattern)
		patternA[p] += x
		patternB[p] += y
		for m, s := range c.shares {
			muscleA[m] += x * s
			muscleB[m] += y * s
		}
	}
	jump := func(x, y float64) bool { return y-x >= th.JumpGroupSets && y-x > th.JumpGroup*x }
	for p := range patterns {
		if jump(patternA[p], patternB[p]) {
			return false
		}
	}
	for m := range muscles {
		if jump(muscleA[m], muscleB[m]) {
			return false
		}
	}
	return true
}

// patterns is the list of [Patterns] for the inner loops.
var patterns = [...]Pattern{Squat, Hinge, Lunge, PushHorizontal, PushVertical, PullHorizontal, PullVertical, Carry, TrunkWork, Isolation}
