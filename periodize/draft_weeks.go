package periodize

import (
	"container/heap"
	"math"
	"slices"
	"sort"

	"github.com/blockwright/blockwright/periodize/workload"
)

// The sets of every week: a rung of the ladder for each, by dynamic
// programming, inside a best-first search over rests, the largest week and the
// first and the largest week's sets.

// weekSearch looks for shapes with one selection of exercises.
type weekSearch struct {
	t         *draftTask
	sel       *selection
	modes     [2 * len(restTable)]*modeSearch
	layouts   map[layoutKey]*weekLayout
	queue     shapeQueue
	made      int
	bounded   bool
	timed     []workload.TimedExercise // scratch
	timedSets []workload.TimedSet
	why       string             // why no rest would do
	told      map[shapeKind]bool // not looked at any more
}

// shapeKind tells shapes apart that a coach would see as different.
type shapeKind struct{ week, rests int }

// modeSearch is what depends on the rests and on how the ladder grows.
type modeSearch struct {
	rests  int
	ladder *ladder
	effort float64
	pairs  []rungPair
	build  map[buildKey]climbed
	cut    map[cutKey]descended
	falls  map[int][][]int // by rung: the sets of each smaller week after it
	jumps  map[[2]int]bool
}

// rungPair is the rungs of the first week and of the largest.
type rungPair struct {
	first, top int
	cost       float64
	terms      [2]float64 // volume, rise
}

type buildKey struct{ first, top, week int }
type cutKey struct{ top, week int }

// climbed is the rungs up to the largest week, descended the sets after it.
type climbed struct {
	rungs []int
	cost  float64
}
type descended struct {
	sets [][]int
	cost float64
}

// shape is a partial or complete shape in the queue.
type shape struct {
	stage  int // 0 a mode, 1 bound only, 2 with the weeks, 3 with the days
	mode   int
	pair   int
	week   int
	bound  float64
	sets   [][]int // of each week, by exercise
	weeks  float64
	layout *weekLayout
	order  int
}

type shapeQueue []*shape

func (q shapeQueue) Len() int { return len(q) }
func (q shapeQueue) Less(i, j int) bool {
	if q[i].bound != q[j].bound {
		return q[i].bound < q[j].bound
	}
	if q[i].stage != q[j].stage {
		return q[i].stage > q[j].stage
	}
	return q[i].order < q[j].order
}
func (q shapeQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *shapeQueue) Push(x any)   { *q = append(*q, x.(*shape)) }
func (q *shapeQueue) Pop() any {
	old := *q
	n := len(old) - 1
	x := old[n]
	*q = old[:n]
	return x
}

func (w *weekSearch) effort(i int, k slotKind, rests int) *slotEffort {
	c := &w.sel.chosen[i]
	most := slotSets[c.role]
	return w.t.effortOf(c.draftLift, k, rests, most)
}

func (w *weekSearch) backoffs(i, rests int) int {
	if w.sel.chosen[i].role != Focus {
		return 0
	}
	return w.effort(i, heavySlot, rests).backoffs
}

// peakWeeks are the weeks that may be the largest.
func (t *draftTask) peakWeeks() []int {
	if t.want.week > 0 {
		return []int{t.want.week}
	}
	n := t.b.Weeks
	if n <= 2 {
		return []int{n}
	}
	var out []int
	for p := 2; p < n; p++ {
		out = append(out, p)
	}
	return out
}

func (t *draftTask) weekCost(p int) float64 {
	if t.b.Weeks <= 2 || t.want.week > 0 {
		return 0
	}
	d := (float64(p) - peakWeekAim(t.b.Goal, t.b.Weeks)) / float64(t.b.Weeks)
	return costPeakWeek * float64(d*d)
}

func (t *draftTask) newWeekSearch(sel *selection) *weekSearch {
	w := &weekSearch{t: t, sel: sel, layouts: map[layoutKey]*weekLayout{}}
	for m := range w.modes {
		w.push(&shape{mode: m})
	}
	return w
}

// A growth is what a ladder starts from and how it grows.
type growth uint8

const (
	fullGrowth  growth = iota // focus lifts from half their usual sets on; then by shares
	leanGrowth                // everything from the least on; then by shares
	alikeGrowth               // from the least on; then all exercises alike
	growths
)

// A mode is a choice of rests and of a growth.
func restsOf(mode int) int     { return mode % len(restTable) }
func growthOf(mode int) growth { return growth(mode / len(restTable)) }
func modeCost(m int) float64 {
	return costRests*float64(restsOf(m)) + [...]float64{0, costLean, costAlike}[growthOf(m)]
}

// newMode prepares a mode; nil where it has no ladder.
func (w *weekSearch) newMode(mode int) *modeSearch {
	r := restsOf(mode)
	rs := &modeSearch{rests: r, build: map[buildKey]climbed{}, cut: map[cutKey]descended{}, falls: map[int][][]int{}, jumps: map[[2]int]bool{}}
	for i := range w.sel.chosen {
		c := &w.sel.chosen[i]
		kinds := []slotKind{c.kind()}
		if c.role == Focus {
			kinds = []slotKind{heavySlot, volumeSlot}
			if len(w.t.b.Days) == 1 {
				kinds = kinds[:1]
			}
		}
		for _, k := range kinds {
			e := w.effort(i, k, r)
			if e.why != "" {
				w.why = e.why
				return nil
			}
			rs.effort += costEffort * e.cost / float64(w.t.b.Weeks)
		}
	}
	if rs.ladder = w.newLadder(r, growthOf(mode)); rs.ladder == nil {
		return nil
	}
	w.pairs(rs)
	return rs
}

// pairs lists the first and the largest week's rungs that meet the wishes, the
// least cost first.
func (w *weekSearch) pairs(rs *modeSearch) {
	l, t := rs.ladder, w.t
	develop := t.b.Goal != Peak && t.b.Weeks >= 3
	aim := riseAim(t.b.Goal, t.b.Level)
	// Where a rung does not fit, those above it do not, having more sets.
	rungs := sort.Search(len(l.rungs), func(rung int) bool { return !w.fits(rs, rung) })
	for top := l.low; top < rungs; top++ {
		d := float64(l.sum[top])/float64(l.ideal) - 1
		volume := costVolume * float64(d*d)
		from := l.low
		if t.b.Weeks == 1 {
			from = top
		}
		for first := from; first <= top; first++ {
			p := rungPair{first: first, top: top, terms: [2]float64{volume, 0}}
			rise := float64(l.sum[top])/float64(l.sum[first]) - 1
			if r := t.want.rise; r != nil {
				// to the nearest set
				want := r.Div(hundred).Add(ratio(1, 1)).Mul(ratio(int64(l.sum[first]), 1)).RoundHalfUp()
				if want != int64(l.sum[top]) {
					continue
				}
				d := rise - r.Float64()/100
				p.terms[1] = costWished * float64(d*d)
			} else if t.b.Weeks > 1 {
				if first == top {
					continue
				}
				d := rise - aim
				p.terms[1] = costRise * float64(d*d)
				if develop && rise < t.th.Overreach {
					p.terms[1] += costNoRise
				}
			}
			if t.b.Weeks > 1 && first == top {
				continue
			}
			p.cost = p.terms[0] + p.terms[1]
			rs.pairs = append(rs.pairs, p)
		}
	}
	slices.SortStableFunc(rs.pairs, func(a, b rungPair) int { return compare(a.cost, b.cost) })
}

// push puts a shape into the queue with its bound.
func (w *weekSearch) push(s *shape) {
	s.bound = modeCost(s.mode)
	if s.stage > 0 {
		ms := w.modes[s.mode]
		if s.pair >= len(ms.pairs) {
			return
		}
		s.bound += ms.pairs[s.pair].cost + w.t.weekCost(s.week) + ms.effort + s.weeks
	}
	if s.layout != nil {
		s.bound += s.layout.cost
	}
	s.order = w.made
	w.made++
	heap.Push(&w.queue, s)
}

// next is the next best complete shape; nil when there is none.
func (w *weekSearch) next() *shape {
	for w.queue.Len() > 0 {
		s := heap.Pop(&w.queue).(*shape)
		if s.stage == 0 {
			if w.modes[s.mode] = w.newMode(s.mode); w.modes[s.mode] != nil {
				for _, p := range w.t.peakWeeks() {
					w.push(&shape{stage: 1, mode: s.mode, week: p})
				}
			}
			continue
		}
		if w.told[shapeKind{s.week, restsOf(s.mode)}] {
			continue
		}
		ms := w.modes[s.mode]
		p := &ms.pairs[s.pair]
		switch s.stage {
		case 1:
			w.push(&shape{stage: 1, mode: s.mode, week: s.week, pair: s.pair + 1})
			if sets, cost, ok := w.weekPath(ms, p, s.week); ok {
				w.push(&shape{stage: 2, mode: s.mode, week: s.week, pair: s.pair, sets: sets, weeks: cost})
			}
		case 2:
			tooSoon := s.week == w.t.b.Weeks-1
			if lay := w.layout(s.mode, p.top, tooSoon); lay != nil {
				w.push(&shape{stage: 3, mode: s.mode, week: s.week, pair: s.pair, sets: s.sets, weeks: s.weeks, layout: lay})
			}
		default:
			return s
		}
	}
	return nil
}

// fits reports whether a rung's sets have room in the week at all, whatever
// the days: the sum of the sessions' times is not over the sum of the limits.
func (w *weekSearch) fits(ms *modeSearch, rung int) bool {
	if math.IsInf(w.t.want.seconds, 1) {
		return true
	}
	work := 0.0
	sets := ms.ladder.rungs[rung]
	places, parts := w.split(sets, 0, ms.rests)
	for i := range places {
		if places[i].kind != accessorySlot { // accessories may be paired
			work += w.sessionSeconds(ms.rests, places[i:i+1], parts, sets) - arrival
		}
	}
	return work <= float64(len(w.t.b.Days))*(w.t.want.seconds-arrival)
}

// weekPath is the sets of all weeks.
func (w *weekSearch) weekPath(ms *modeSearch, p *rungPair, week int) ([][]int, float64, bool) {
	up, ok := ms.build[buildKey{p.first, p.top, week}]
	if !ok {
		up.rungs, up.cost = w.climb(ms, p.first, p.top, week)
		ms.build[buildKey{p.first, p.top, week}] = up
	}
	if up.rungs == nil {
		return nil, 0, false
	}
	down, ok := ms.cut[cutKey{p.top, week}]
	if !ok {
		down.sets, down.cost = w.descend(ms, p.top, week)
		ms.cut[cutKey{p.top, week}] = down
	}
	if down.sets == nil && week < w.t.b.Weeks {
		return nil, 0, false
	}
	var sets [][]int
	for _, r := range up.rungs {
		sets = append(sets, ms.ladder.rungs[r])
	}
	return append(sets, down.sets...), up.cost + down.cost, true
}

func (w *weekSearch) mayFollow(ms *modeSearch, a, b int) bool {
	k := [2]int{a, b}
	ok, known := ms.jumps[k]
	if !known {
		ok = w.recoverable(ms.ladder, a, b)
		ms.jumps[k] = ok
	}
	return ok
}

// uneven is the cost of a week's sets beside its place on an even line.
func uneven(sets, line float64, top int) float64 {
	d := (sets - line) / float64(top)
	return costUneven * float64(d*d)
}

// climb is the rungs from week 1 to the largest week: never down, below the
// largest before it, and never a jump; as near to even steps as can be.
func (w *weekSearch) climb(rs *modeSearch, first, top, week int) ([]int, float64) {
	if week == 1 {
		return []int{top}, 0
	}
	l := rs.ladder
	n := top - first + 1
	cost := make([]float64, n)
	for i := range cost {
		cost[i] = math.Inf(1)
	}
	cost[0] = 0
	from := make([][]int, week+1)
	line := fromTo{float64(l.sum[first]), float64(l.sum[top])}
	for k := 2; k <= week; k++ {
		next := make([]float64, n)
		from[k] = make([]int, n)
		for j := range n {
			next[j] = math.Inf(1)
			if (j == n-1) != (k == week) {
				continue
			}
			for i := 0; i <= j; i++ {
				if cost[i] < next[j] && w.mayFollow(rs, first+i, first+j) {
					next[j], from[k][j] = cost[i], i
				}
			}
			next[j] += uneven(float64(l.sum[first+j]), line.at(k, week), l.sum[top])
		}
		cost = next
	}
	if math.IsInf(cost[n-1], 1) {
		return nil, 0
	}
	out := make([]int, week)
	for k, at := week, n-1; k >= 1; k-- {
		out[k-1] = first + at
		if k > 1 {
			at = from[k][at]
		}
	}
	return out, cost[n-1]
}

// fall is the way down from a rung: each step takes one set from the exercise
// that is furthest above its share, with the share of the focus lifts doubled,
// so that what is behind gives way first and the weeks stay heavy.
func (w *weekSearch) fall(ms *modeSearch, top int) [][]int {
	if out, ok := ms.falls[top]; ok {
		return out
	}
	now := slices.Clone(ms.ladder.rungs[top])
	floor := ms.ladder.rungs[0]
	out := [][]int{slices.Clone(now)}
	for {
		best, at := -1.0, -1
		for i := range now {
			c := &w.sel.chosen[i]
			if now[i] <= floor[i] {
				continue
			}
			share := float64(c.sets)
			if c.role == Focus {
				share *= 2
			}
			if q := (float64(now[i]) - 0.5) / share; q >= best { // of equals the last one
				best, at = q, i
			}
		}
		if at < 0 {
			break
		}
		now[at]--
		out = append(out, slices.Clone(now))
	}
	ms.falls[top] = out
	return out
}

// descend is the sets of the weeks after the largest: cut at once, and never up.
func (w *weekSearch) descend(ms *modeSearch, top, week int) ([][]int, float64) {
	t := w.t
	n := t.b.Weeks - week
	if n == 0 {
		return nil, 0
	}
	way := w.fall(ms, top)
	peak := float64(ms.ladder.sum[top])
	most := func(k int) float64 { // sets of the k-th week after
		m := peak - 1
		if t.b.Goal != Peak {
			m = (1 - t.th.CutAfter) * peak
		} else if k == n {
			m = min(m, (1-t.th.SmallStep)*peak)
		}
		return m + 1e-9
	}
	cost := make([]float64, len(way)) // by sets taken away
	from := make([][]int, n+1)
	for k := 1; k <= n; k++ {
		next := make([]float64, len(way))
		from[k] = make([]int, len(way))
		best, at := math.Inf(1), 0
		for j := range way {
			if cost[j] < best { // all costs are 0 before the first week
				best, at = cost[j], j
			}
			next[j] = math.Inf(1)
			if sets := peak - float64(j); sets <= most(k) {
				next[j] = best + uneven(sets, peak*shareAfter(t.b.Goal, k, n), ms.ladder.sum[top])
				from[k][j] = at
			}
		}
		cost = next
	}
	end := 0
	for j := range cost {
		if cost[j] < cost[end] {
			end = j
		}
	}
	if math.IsInf(cost[end], 1) {
		return nil, 0
	}
	out := make([][]int, n)
	for k, at := n, end; k >= 1; k-- {
		out[k-1] = way[at]
		at = from[k][at]
	}
	return out, cost[end]
}
