package periodize

import (
	"container/heap"
	"math"
	"slices"
)

// The sets of every week: a rung of the ladder for each, by dynamic
// programming, inside a best-first search over rests, the largest week and the
// first and the largest week's sets.

// weekSearch looks for shapes with one selection of exercises.
type weekSearch struct {
	t       *draftTask
	sel     *selection
	rests   [len(restTable)]*restSearch
	layouts map[layoutKey]*weekLayout
	queue   shapeQueue
	made    int
	bounded bool
	why     string             // why no rest would do
	told    map[shapeKind]bool // not looked at any more
}

// shapeKind tells shapes apart that a coach would see as different.
type shapeKind struct{ week, rests int }

// restSearch is what depends on the rests.
type restSearch struct {
	ladder *ladder
	effort float64
	pairs  []rungPair
	build  map[buildKey]rungPath
	cut    map[cutKey]rungPath
	fits   []int8 // by rung: 1 yes, -1 no
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
type rungPath struct {
	rungs []int
	cost  float64
}

// shape is a partial or complete shape in the queue.
type shape struct {
	stage  int // 0 bound only, 1 with the weeks, 2 with the days
	rests  int
	pair   int
	week   int
	bound  float64
	path   []int
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
	for r := range restTable {
		rs := w.newRest(r)
		if rs == nil {
			continue
		}
		w.rests[r] = rs
		for _, p := range t.peakWeeks() {
			w.push(&shape{rests: r, week: p})
		}
	}
	return w
}

func (w *weekSearch) newRest(r int) *restSearch {
	rs := &restSearch{build: map[buildKey]rungPath{}, cut: map[cutKey]rungPath{}, jumps: map[[2]int]bool{}}
	n := 0
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
			n++
		}
	}
	if rs.ladder = w.newLadder(r); rs.ladder == nil {
		return nil
	}
	rs.fits = make([]int8, len(rs.ladder.rungs))
	w.pairs(rs)
	return rs
}

// pairs lists the first and the largest week's rungs that meet the wishes, the
// least cost first.
func (w *weekSearch) pairs(rs *restSearch) {
	l, t := rs.ladder, w.t
	develop := t.b.Goal != Peak && t.b.Weeks >= 3
	aim := riseAim(t.b.Goal, t.b.Level)
	for top := l.low; top < len(l.rungs); top++ {
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
	rs := w.rests[s.rests]
	if s.stage == 0 && s.pair >= len(rs.pairs) {
		return
	}
	s.bound = rs.pairs[s.pair].cost + w.t.weekCost(s.week) + costRests*float64(s.rests) + rs.effort + s.weeks
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
		rs := w.rests[s.rests]
		if w.told[shapeKind{s.week, s.rests}] {
			continue
		}
		switch s.stage {
		case 0:
			w.push(&shape{rests: s.rests, week: s.week, pair: s.pair + 1})
			p := &rs.pairs[s.pair]
			if !w.fits(s.rests, p.top) {
				continue
			}
			if path, cost, ok := w.weekPath(rs, p, s.week); ok {
				w.push(&shape{stage: 1, rests: s.rests, week: s.week, pair: s.pair, path: path, weeks: cost})
			}
		case 1:
			tooSoon := s.week == w.t.b.Weeks-1
			lay := w.layout(s.rests, rs.ladder, rs.pairs[s.pair].top, tooSoon)
			if lay == nil {
				continue
			}
			w.push(&shape{stage: 2, rests: s.rests, week: s.week, pair: s.pair, path: s.path, weeks: s.weeks, layout: lay})
		default:
			return s
		}
	}
	return nil
}

// fits reports whether a rung's sets have room in the week at all, whatever
// the days: the sum of the sessions' times is not over the sum of the limits.
func (w *weekSearch) fits(rests, rung int) bool {
	rs := w.rests[rests]
	if f := rs.fits[rung]; f != 0 {
		return f > 0
	}
	ok := math.IsInf(w.t.want.seconds, 1)
	if !ok {
		work := 0.0
		sets := rs.ladder.rungs[rung]
		places, parts := w.split(sets, 0, rests)
		for i := range places {
			if places[i].kind == accessorySlot {
				continue // may be paired
			}
			work += w.sessionSeconds(rests, places[i:i+1], parts, sets) - arrival
		}
		ok = work <= float64(len(w.t.b.Days))*(w.t.want.seconds-arrival)
	}
	rs.fits[rung] = -1
	if ok {
		rs.fits[rung] = 1
	}
	return ok
}

// weekPath is the rungs of all weeks.
func (w *weekSearch) weekPath(rs *restSearch, p *rungPair, week int) ([]int, float64, bool) {
	up, ok := rs.build[buildKey{p.first, p.top, week}]
	if !ok {
		up.rungs, up.cost = w.climb(rs, p.first, p.top, week)
		rs.build[buildKey{p.first, p.top, week}] = up
	}
	if up.rungs == nil {
		return nil, 0, false
	}
	down, ok := rs.cut[cutKey{p.top, week}]
	if !ok {
		down.rungs, down.cost = w.descend(rs, p.top, week)
		rs.cut[cutKey{p.top, week}] = down
	}
	if down.rungs == nil && week < w.t.b.Weeks {
		return nil, 0, false
	}
	return slices.Concat(up.rungs, down.rungs), up.cost + down.cost, true
}

func (w *weekSearch) mayFollow(rs *restSearch, a, b int) bool {
	k := [2]int{a, b}
	ok, known := rs.jumps[k]
	if !known {
		ok = w.recoverable(rs.ladder, a, b)
		rs.jumps[k] = ok
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
func (w *weekSearch) climb(rs *restSearch, first, top, week int) ([]int, float64) {
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

// descend is the rungs after the largest week: cut at once, and never up.
func (w *weekSearch) descend(rs *restSearch, top, week int) ([]int, float64) {
	t, l := w.t, rs.ladder
	n := t.b.Weeks - week
	if n == 0 {
		return nil, 0
	}
	peak := float64(l.sum[top])
	most := func(k int) float64 { // sets of the k-th week after
		m := peak
		if t.b.Goal != Peak {
			m = (1 - t.th.CutAfter) * peak
		} else {
			m--
			if k == n {
				m = min(m, (1-t.th.SmallStep)*peak)
			}
		}
		return m + 1e-9
	}
	cost := make([]float64, top+1)
	from := make([][]int, n+1)
	for k := 1; k <= n; k++ {
		next := make([]float64, top+1)
		from[k] = make([]int, top+1)
		best, at := math.Inf(1), 0
		for j := top; j >= 0; j-- { // best of the rungs not below j
			if k == 1 {
				best, at = 0, top
			} else if cost[j] < best {
				best, at = cost[j], j
			}
			next[j] = math.Inf(1)
			if float64(l.sum[j]) <= most(k) {
				next[j] = best + uneven(float64(l.sum[j]), peak*shareAfter(t.b.Goal, k, n), l.sum[top])
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
	out := make([]int, n)
	for k, at := n, end; k >= 1; k-- {
		out[k-1] = at
		at = from[k][at]
	}
	return out, cost[end]
}
