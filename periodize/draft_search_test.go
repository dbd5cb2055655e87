package periodize

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// The searches against exhaustive enumeration on small briefs. The scores are
// written out again here, in the plainest way.

// smallBrief draws a brief that can be enumerated.
func smallBrief(r *rand.Rand) *Brief {
	days := slices.Sorted(slices.Values(r.Perm(7)[:1+r.IntN(3)]))
	b := &Brief{Title: "small", Weeks: 3 + r.IntN(2), Focus: []string{yard[r.IntN(2)].Name}, Level: Levels()[r.IntN(3)], Goal: Goals()[r.IntN(2)]}
	for _, d := range days {
		b.Days = append(b.Days, time.Weekday(d))
	}
	if r.IntN(2) == 0 {
		b.Focus = append(b.Focus, yard[2+r.IntN(3)].Name)
	}
	for i, l := range yard {
		if slices.Contains(b.Focus, l.Name) || r.IntN(len(yard)) < 5 || i < 2 && l.Max == nil {
			l.Max = nil
			b.Lifts = append(b.Lifts, l)
		}
	}
	if r.IntN(2) == 0 {
		b.Minutes = 45 + 10*r.IntN(6)
	}
	if r.IntN(3) == 0 {
		b.Overreach = &Overreach{Week: 2, Rise: ratio(int64(15+10*r.IntN(5)), 1)}
	}
	if r.IntN(3) == 0 {
		b.WeeklySets = []SetRange{{Muscle: "quads", Low: r.IntN(5), High: 8 + r.IntN(12)}}
	}
	if r.IntN(3) == 0 {
		b.Keep = []string{b.Lifts[len(b.Lifts)-1].Name}
	}
	if r.IntN(3) == 0 {
		b.Lacking = []Lacking{Lackings()[r.IntN(len(Lackings()))]}
	}
	return b
}

// coverCost is the score of a choice of exercises, by its definition.
func coverCost(t *draftTask, chosen []candidate) (cost float64, ok bool) {
	seconds := 0.0
	sets := make([]float64, len(muscles))
	for i := range chosen {
		cost += chosen[i].cost
		seconds += chosen[i].second
		for m, s := range chosen[i].shares {
			sets[m] += float64(chosen[i].sets) * s
		}
	}
	for _, n := range t.needs() {
		if !slices.ContainsFunc(chosen, func(c candidate) bool { return n.covers(&c) }) {
			if n.hard {
				return 0, false
			}
			cost += n.penalty
		}
	}
	if over := seconds - float64(len(t.b.Days))*(t.want.seconds-300); over > 0 {
		cost += costOverMinute * over / 60
	}
	for m := range muscles {
		cost += costAmiss*math.Max(t.want.low[m]-usualFirst*sets[m], 0) + costAmiss*math.Max(sets[m]-t.want.high[m], 0)
	}
	return cost, true
}

// TestExercisesAreTheBestChoice: the search gives the cheapest choice of all
// subsets of the lifts, each in each way of using it.
func TestExercisesAreTheBestChoice(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for n := range 60 {
		task, err := newDraftTask(smallBrief(r), DraftOptions{})
		if err != nil {
			t.Fatal(err)
		}
		ways := map[int][]candidate{}
		for _, c := range task.candidates() {
			ways[c.place] = append(ways[c.place], c)
		}
		best := math.Inf(1)
		var chosen []candidate
		var pick func(place int)
		pick = func(place int) {
			if place == len(task.lifts) {
				if c, ok := coverCost(task, chosen); ok {
					best = min(best, c)
				}
				return
			}
			if l := &task.lifts[place]; !l.focus && !task.want.keep[place] {
				pick(place + 1)
			}
			for _, c := range ways[place] {
				chosen = append(chosen, c)
				pick(place + 1)
				chosen = chosen[:len(chosen)-1]
			}
		}
		pick(0)
		sel := task.newCover(false).next()
		switch {
		case sel == nil && !math.IsInf(best, 1):
			t.Errorf("brief %d: nothing chosen, and there is a choice at %g", n, best)
		case sel != nil && math.Abs(sel.cost-best) > 1e-9:
			t.Errorf("brief %d: chosen at %.9g, the best of all is %.9g", n, sel.cost, best)
		}
	}
}

// layoutCost is the score of a layout by its definition; ok is false where a
// session is too long or has a lift twice.
func layoutCost(w *weekSearch, rests int, places []placed, parts, sets []int, tooSoon bool) (cost float64, ok bool) {
	t := w.t
	days := len(t.b.Days)
	seconds := func(keep func(p placed) bool) float64 {
		var list []placed
		for _, p := range places {
			if keep(p) {
				p.day = 0
				list = append(list, p)
			}
		}
		w.pair(list)
		return w.sessionSeconds(rests, list, parts, sets)
	}
	mean := 0.0
	for i := range places {
		mean += seconds(func(p placed) bool {
			return p.lift == places[i].lift && p.kind == places[i].kind && p.part == places[i].part
		}) - arrival
	}
	mean = mean/float64(days) + arrival
	for d := range days {
		took := seconds(func(p placed) bool { return p.day == d })
		if took > t.want.seconds {
			return 0, false
		}
		cost += costBalance * 10 * math.Max(took/mean-1.1, 0)
		if !slices.ContainsFunc(places, func(p placed) bool { return p.day == d }) {
			cost += costEmptyDay
		}
	}
	for i, p := range places {
		last := true
		for _, o := range t.offsets {
			last = last && o <= t.offsets[p.day]
		}
		if tooSoon && p.kind == heavySlot && !last {
			cost += costTooSoon
		}
		for _, o := range places[:i] {
			gap := abs(t.offsets[p.day] - t.offsets[o.day])
			gap = min(gap, 7-gap)
			if p.lift == o.lift {
				if gap == 0 || p.kind == o.kind && o.day > p.day {
					return 0, false
				}
				if gap == 1 {
					cost += costClose
				}
				continue
			}
			heavies := p.kind == heavySlot && o.kind == heavySlot
			if heavies && gap == 0 {
				cost += costTwoHeavy
			}
			if w.sel.chosen[p.lift].def.Pattern == w.sel.chosen[o.lift].def.Pattern {
				switch {
				case heavies && gap < t.th.HeavyDaysApart:
					cost += costWarning
				case gap == 0:
					cost += costPattern
				case gap == 1:
					cost += costPattern / 4
				}
			}
		}
	}
	return cost, true
}

// bestLayout tries every day for every place.
func bestLayout(w *weekSearch, mode, rung int, tooSoon bool) float64 {
	sets := w.modes[mode].ladder.rungs[rung]
	for more := range 3 {
		places, parts := w.split(sets, more, restsOf(mode))
		best := math.Inf(1)
		var try func(k int)
		try = func(k int) {
			if k == len(places) {
				if c, ok := layoutCost(w, restsOf(mode), places, parts, sets, tooSoon); ok {
					best = min(best, c)
				}
				return
			}
			for d := range w.t.b.Days {
				places[k].day = d
				try(k + 1)
			}
		}
		if math.Pow(float64(len(w.t.b.Days)), float64(len(places))) > 300 {
			return math.NaN() // too large to enumerate
		}
		try(0)
		if !math.IsInf(best, 1) {
			return best
		}
	}
	return math.Inf(1)
}

// bestShape tries every rung in every week, in every mode and with every
// largest week.
func bestShape(t *testing.T, w *weekSearch) float64 {
	t.Helper()
	b, task := w.t.b, w.t
	develop := b.Goal != Peak
	best := math.Inf(1)
	type layoutOf struct {
		mode, rung int
		tooSoon    bool
	}
	layouts := map[layoutOf]float64{}
	for mode := range w.modes {
		ms := w.newMode(mode)
		if w.modes[mode] = ms; ms == nil {
			continue
		}
		l := ms.ladder
		for _, week := range task.peakWeeks() {
			for top := l.low; top < len(l.rungs); top++ {
				peak := float64(l.sum[top])
				// Each week's choices and their costs, one after the other.
				var visit func(k, at int, first int, cost float64)
				visit = func(k, at, first int, cost float64) {
					if cost >= best {
						return
					}
					if k > b.Weeks {
						key := layoutOf{mode, top, week == b.Weeks-1}
						lay, ok := layouts[key]
						if !ok {
							lay = bestLayout(w, mode, top, key.tooSoon)
							layouts[key] = lay
						}
						if math.IsNaN(lay) {
							best = math.NaN()
							return
						}
						best = min(best, cost+lay)
						return
					}
					if k <= week {
						from, to := at, top-1
						if k == 1 {
							from = l.low
						}
						if k == week {
							from, to = top, top
						}
						for rung := from; rung <= to; rung++ {
							if k > 1 && !w.recoverable(l, at, rung) {
								continue
							}
							if k == 1 {
								visit(2, rung, rung, cost)
								continue
							}
							line := float64(l.sum[first]) + (peak-float64(l.sum[first]))*float64(k-1)/float64(week-1)
							d := (float64(l.sum[rung]) - line) / peak
							visit(k+1, rung, first, cost+costUneven*d*d)
						}
						return
					}
					// at counts the sets taken away so far
					taken := at
					if k == week+1 {
						taken = 0
					}
					for j := taken; j < len(w.fall(ms, top)); j++ {
						sets := peak - float64(j)
						n := b.Weeks - week
						if develop && sets > (1-task.th.CutAfter)*peak+1e-9 || !develop && (j == 0 || k == b.Weeks && sets > (1-task.th.SmallStep)*peak+1e-9) {
							continue
						}
						d := (sets - peak*shareAfter(b.Goal, k-week, n)) / peak
						visit(k+1, j, first, cost+costUneven*d*d)
					}
				}
				for first := l.low; first < top; first++ {
					rise := peak/float64(l.sum[first]) - 1
					v := peak/float64(l.ideal) - 1
					cost := costVolume*v*v + task.weekCost(week) + modeCost(mode) + ms.effort
					if want := task.want.rise; want != nil {
						if int(math.Floor(float64(l.sum[first])*(1+want.Float64()/100)+0.5+1e-9)) != l.sum[top] {
							continue
						}
						d := rise - want.Float64()/100
						cost += costWished * d * d
					} else {
						d := rise - riseAim(b.Goal, b.Level)
						cost += costRise * d * d
						if develop && rise < task.th.Overreach {
							cost += costNoRise
						}
					}
					visit(2, first, first, cost)
				}
			}
		}
	}
	return best
}

// TestShapesAreTheBest: with the exercises chosen, the search gives the best of
// all shapes: every rung of the ladder in every week, every largest week, every
// choice of rests and growth, every day for every exercise.
func TestShapesAreTheBest(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	n, most := 0, 14
	if testing.Short() {
		most = 8
	}
	for tries := 0; n < most && tries < 400; tries++ {
		task, err := newDraftTask(smallBrief(r), DraftOptions{})
		if err != nil {
			t.Fatal(err)
		}
		sel := task.newCover(false).next()
		if sel == nil {
			continue
		}
		want := bestShape(t, task.newWeekSearch(sel))
		if math.IsNaN(want) {
			continue
		}
		n++
		w := task.newWeekSearch(sel)
		s := w.next()
		switch {
		case w.bounded:
			t.Errorf("brief %d: the search gave up", n)
		case s == nil && !math.IsInf(want, 1):
			t.Errorf("brief %d: no shape, and there is one at %g", n, want)
		case s != nil && math.Abs(s.bound-want) > 1e-9*math.Max(1, want):
			t.Errorf("brief %d: shape at %.9g, the best of all is %.9g", n, s.bound, want)
		}
	}
	if n < most {
		t.Errorf("only %d briefs were small enough", n)
	}
}

// TestPathsAreTheCheapest: the programming over the weeks against every path.
func TestPathsAreTheCheapest(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for n := range 200 {
		weeks, k := 1+r.IntN(5), 1+r.IntN(5)
		var all []int
		own := make([][]float64, weeks)
		for i := range k {
			all = append(all, i)
		}
		for w := range own {
			for range k {
				own[w] = append(own[w], float64(r.IntN(20)))
			}
		}
		may := make([]bool, k*k)
		step := make([]float64, k*k)
		for i := range may {
			may[i], step[i] = r.IntN(2) == 0, float64(r.IntN(5))
		}
		cost := func(w, c int) float64 { return own[w-1][c] }
		best, bestStep := math.Inf(1), math.Inf(1)
		var visit func(w, at int, sum, sumStep float64)
		visit = func(w, at int, sum, sumStep float64) {
			if w > weeks {
				best, bestStep = min(best, sum), min(bestStep, sumStep)
				return
			}
			for c := range k {
				a, b := sum+cost(w, c), sumStep+cost(w, c)
				if w > 1 {
					if b += step[at*k+c]; at != c && !may[at*k+c] {
						a = math.Inf(1)
					}
				}
				visit(w+1, c, a, b)
			}
		}
		visit(1, 0, 0, 0)
		path, got := cheapest(weeks, all, cost, func(a, b int) bool { return may[a*k+b] })
		if got != best || len(path) != weeks {
			t.Errorf("case %d: path %v at %g, the best of all is %g", n, path, got, best)
		}
		pathStep, gotStep := cheapestStep(weeks, all, cost, func(a, b int) float64 { return step[a*k+b] })
		if gotStep != bestStep || len(pathStep) != weeks {
			t.Errorf("case %d: steps %v at %g, the best of all is %g", n, pathStep, gotStep, bestStep)
		}
	}
}

// TestLadderIsWebsters: where nothing binds, each rung shares its sets out by
// the divisor method: no transfer of one set between two exercises lowers the
// larger of their quotients (Balinski and Young's characterisation of Webster's
// method, from memory).
func TestLadderIsWebsters(t *testing.T) {
	b := &Brief{Title: "ladder", Weeks: 5, Days: []time.Weekday{1, 3, 5}, Focus: []string{"back squat", "flat press"}, Lifts: slices.Clone(yard[:5])}
	task, err := newDraftTask(b, DraftOptions{})
	if err != nil {
		t.Fatal(err)
	}
	w := task.newWeekSearch(task.newCover(false).next())
	l := w.newLadder(0, leanGrowth)
	for rung := l.low + 6; rung < len(l.rungs) && l.sum[rung] <= l.ideal; rung++ {
		v := l.rungs[rung]
		for i := range v {
			for j := range v {
				a, c := w.sel.chosen[i], w.sel.chosen[j]
				if i != j && v[j] > 2 && (float64(v[j])-0.5)/float64(c.sets) > (float64(v[i])+0.5)/float64(a.sets)+1e-9 {
					t.Errorf("rung %d %v: a set of %s would go further with %s", rung, v, c.def.Name, a.def.Name)
				}
			}
		}
	}
	if testing.Verbose() {
		fmt.Println(l.rungs[l.low], l.rungs[len(l.rungs)-1])
	}
}
