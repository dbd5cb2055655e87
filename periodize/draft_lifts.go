package periodize

import (
	"container/heap"
	"fmt"
	"math"
	"slices"
)

// Choosing the exercises: a set cover with costs, searched best first.

// candidate is a lift as it would be used.
type candidate struct {
	*draftLift
	role   Role
	cost   float64
	covers uint64 // needs
	sets   int    // in the largest week, as a start
	second float64
	serves []Lacking
}

// need is something that exercises should cover.
type coverNeed struct {
	name    string
	penalty float64
	hard    bool
	covers  func(c *candidate) bool
}

// serves reports whether a lift is developmental work for what is lacking, and
// how far down the remedy it stands.
func serves(l *draftLift, r *Remedy) (rank int, share float64, ok bool) {
	rank = slices.Index(r.Patterns, l.def.Pattern)
	if rank < 0 || l.focus {
		return 0, 0, false
	}
	for _, m := range r.Muscles {
		share += l.shares[slices.Index(muscles[:], m)]
	}
	// Any isolation is of that pattern; only one that trains the muscles helps.
	if l.def.Pattern == Isolation && share == 0 {
		return 0, 0, false
	}
	return rank, share, true
}

// candidates are the lifts that may be used, with roles and costs.
func (t *draftTask) candidates() []candidate {
	var out []candidate
	fronts := map[Pattern]bool{}
	for i := range t.lifts {
		if t.lifts[i].focus {
			fronts[t.lifts[i].def.Pattern] = true
		}
	}
	lv := levelIndex(t.b.Level)
	for i := range t.lifts {
		l := &t.lifts[i]
		if t.want.avoid[i] {
			continue
		}
		c := candidate{draftLift: l, cost: costExercise + costPlace*float64(i)}
		remedy := math.Inf(1)
		for _, lack := range t.want.lacking {
			r, _ := lack.Remedy()
			if rank, share, ok := serves(l, &r); ok {
				c.serves = append(c.serves, lack)
				remedy = min(remedy, costRemedyRank*(float64(rank)+1/(1+share)))
			}
		}
		variation := false
		if m := l.def.Max; m != nil {
			of, _ := t.b.Lift(m.Of)
			variation = slices.Contains(t.b.Focus, m.Of) && of.Pattern == l.def.Pattern
		}
		switch {
		case l.focus:
			c.role, c.cost = Focus, 0
		case len(c.serves) > 0:
			c.role = Developmental
			c.cost += remedy
		case variation:
			c.role = Developmental
			c.cost += costRepeat
		case mainPattern(l.def.Pattern) && l.priced && l.def.BodyweightShare.Sign() <= 0:
			c.role = Support
			if fronts[l.def.Pattern] {
				c.cost += costRepeat
			}
		default:
			c.role = Accessory
		}
		c.sets = peakSets[c.role][lv]
		if c.role == Focus && len(t.b.Days) == 1 {
			c.sets = (c.sets + 1) / 2
		}
		c.second = t.roughSeconds(&c)
		out = append(out, c)
		if c.role == Support || c.role == Developmental && c.loaded {
			// In place of that, without a way up to it and in a pair.
			c.role = Accessory
			c.cost += costLighter
			c.sets = peakSets[c.role][lv]
			c.second = t.roughSeconds(&c)
			out = append(out, c)
		}
	}
	return out
}

// free is a lift whose weight the lifter finds.
func (c *candidate) free() bool {
	return c.role == Accessory && (!c.priced || c.def.Pattern == Carry)
}

// mainPattern is a pattern that barbell lifts are trained in.
func mainPattern(p Pattern) bool { _, ok := p.Region(); return ok }

// roughSeconds is about what a lift's sets take in a usual week; the days are
// checked with the exact time model later.
func (t *draftTask) roughSeconds(c *candidate) float64 {
	n := 0.75 * float64(c.sets)
	places := math.Ceil(float64(c.sets) / float64(slotSets[c.role]))
	one := DefaultRest(c.role)
	if c.role == Accessory {
		one *= 0.6 // paired
	}
	warm := 0.0
	if c.role != Accessory && c.loaded && c.def.BodyweightShare.Sign() <= 0 {
		warm = 400 // three sets with the rests of the general protocol
	}
	return n*(one+30) + places*(60+warm)
}

// needs lists what exercises should cover, hard wishes first.
func (t *draftTask) needs() []coverNeed {
	var out []coverNeed
	for _, lack := range t.want.lacking {
		out = append(out, coverNeed{"lacking " + string(lack), impossibleLackOf, true, func(c *candidate) bool { return slices.Contains(c.serves, lack) }})
	}
	for i, low := range t.want.low {
		if low > 0 {
			out = append(out, coverNeed{string(muscles[i]), impossibleLackOf, true, func(c *candidate) bool { return c.shares[i] > 0 }})
		}
	}
	for _, b := range basicPatterns {
		out = append(out, coverNeed{b.name, costNoBasic, false, func(c *candidate) bool { return slices.Contains(b.of, c.def.Pattern) }})
	}
	for _, m := range largeMuscles {
		i := slices.Index(muscles[:], m)
		lats := slices.Index(muscles[:], Muscle("lats"))
		out = append(out, coverNeed{string(m), costNoLarge, false, func(c *candidate) bool {
			return c.shares[i] > 0 || m == "back" && c.shares[lats] > 0
		}})
	}
	for _, p := range Patterns() {
		out = append(out, coverNeed{string(p), costNoPattern, false, func(c *candidate) bool { return c.def.Pattern == p }})
	}
	for i, m := range muscles {
		// What is to have no sets needs none.
		if t.want.high[i] >= 1 {
			out = append(out, coverNeed{string(m), costNoMuscle, false, func(c *candidate) bool { return c.shares[i] > 0 }})
		}
	}
	return out
}

// selection is a choice of exercises.
type selection struct {
	chosen []candidate
	cost   float64
	terms  []Term
}

// cover is the search for selections in the order of their cost.
type cover struct {
	t        *draftTask
	cands    []candidate // forced ones first
	forced   int
	needs    []coverNeed
	lean     bool        // the least time that meets the hard wishes
	wished   []int       // muscles with a wish for their sets
	more     [][]float64 // sets of each that the candidates from i on could add
	suffix   [][]float64 // cheapest cover of each need by the candidates from i on, at most its penalty
	time     float64     // that the sessions have
	queue    coverQueue
	made     int
	expanded int
}

type coverNode struct {
	next    int
	covered uint64
	cost    float64 // of what is chosen, without penalties
	seconds float64
	sets    []float64 // of the wished muscles, in the largest week
	bound   float64
	order   int
	up      *coverNode
	chosen  int // candidate, or -1
}

type coverQueue []*coverNode

func (q coverQueue) Len() int { return len(q) }
func (q coverQueue) Less(i, j int) bool {
	if q[i].bound != q[j].bound {
		return q[i].bound < q[j].bound
	}
	// deeper first, then older first
	if q[i].next != q[j].next {
		return q[i].next > q[j].next
	}
	return q[i].order < q[j].order
}
func (q coverQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *coverQueue) Push(x any)   { *q = append(*q, x.(*coverNode)) }
func (q *coverQueue) Pop() any {
	old := *q
	n := len(old) - 1
	x := old[n]
	*q = old[:n]
	return x
}

// maxExpanded bounds the search; beyond it a choice is completed greedily.
const maxExpanded = 20000

// newCover starts a search. lean looks for the least time instead.
func (t *draftTask) newCover(lean bool) *cover {
	c := &cover{t: t, lean: lean, needs: t.needs(), time: math.Inf(1)}
	if len(c.needs) > 64 { // 11 lacking + 19 + 4 + 6 + 10 + 19 are more; soft ones at the end go first
		c.needs = c.needs[:64]
	}
	if lean {
		c.needs = slices.DeleteFunc(c.needs, func(n coverNeed) bool { return !n.hard })
	}
	if !math.IsInf(t.want.seconds, 1) {
		c.time = float64(len(t.b.Days)) * max(t.want.seconds-300, 0)
	}
	for m := range muscles {
		if t.want.low[m] > 0 || !math.IsInf(t.want.high[m], 1) {
			c.wished = append(c.wished, m)
		}
	}
	cands := t.candidates()
	for i := range cands {
		for k, n := range c.needs {
			if n.covers(&cands[i]) {
				cands[i].covers |= 1 << k
			}
		}
		if lean && !cands[i].focus {
			cands[i].cost = cands[i].second/60 + costPlace*float64(i)
		}
	}
	forced := func(x candidate) bool { return x.focus || t.want.keep[x.place] }
	for _, x := range cands {
		if forced(x) {
			c.cands = append(c.cands, x)
		}
	}
	c.forced = len(c.cands)
	// Of lifts that do the same, the cheapest is enough; where sets of muscles
	// are asked for, three of them.
	most := 1
	if len(c.wished) > 0 {
		most = 3
	}
	same := map[string]int{}
	rest := slices.DeleteFunc(cands, forced)
	slices.SortStableFunc(rest, func(a, b candidate) int { return compare(a.cost, b.cost) })
	for _, x := range rest {
		k := fmt.Sprint(x.covers, x.role, x.second)
		for _, m := range c.wished {
			k += fmt.Sprint(" ", x.shares[m])
		}
		if same[k]++; same[k] <= most && x.covers != 0 {
			c.cands = append(c.cands, x)
		}
	}
	// The ways of using one lift stand together, after the first of them.
	free := c.cands[c.forced:]
	first := map[int]int{}
	for i := range free {
		if _, ok := first[free[i].place]; !ok {
			first[free[i].place] = i
		}
	}
	slices.SortStableFunc(free, func(a, b candidate) int { return first[a.place] - first[b.place] })
	c.bounds()
	root := &coverNode{chosen: -1, sets: make([]float64, len(c.wished))}
	root.bound = c.bound(root)
	c.push(root)
	return c
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// bounds prepares, for each need and each place in the list, the least share of
// an exercise's cost that covering the need has to carry: an exercise's cost is
// split over all it covers in proportion to their penalties, so that the sum of
// the shares of the needs that it covers is never more than its cost.
func (c *cover) bounds() {
	n := len(c.cands)
	c.suffix = make([][]float64, n+1)
	c.suffix[n] = make([]float64, len(c.needs))
	for k := range c.needs {
		c.suffix[n][k] = c.needs[k].penalty
	}
	c.more = make([][]float64, n+1)
	c.more[n] = make([]float64, len(c.wished))
	for i := n - 1; i >= 0; i-- {
		c.more[i] = slices.Clone(c.more[i+1])
		for k, m := range c.wished {
			c.more[i][k] += float64(c.cands[i].sets) * c.cands[i].shares[m]
		}
		c.suffix[i] = slices.Clone(c.suffix[i+1])
		x := &c.cands[i]
		total := 0.0
		for k := range c.needs {
			if x.covers>>k&1 == 1 {
				total += c.needs[k].penalty
			}
		}
		for k := range c.needs {
			if x.covers>>k&1 == 1 {
				c.suffix[i][k] = min(c.suffix[i][k], x.cost*c.needs[k].penalty/total)
			}
		}
	}
}

// overTime is the penalty for more work than the sessions have time for.
func (c *cover) overTime(seconds float64) float64 {
	if c.lean || seconds <= c.time {
		return 0
	}
	return costOverMinute * (seconds - c.time) / 60
}

// usualFirst is the sets of a first week as a share of the largest week's.
const usualFirst = 0.75

// amiss is the penalty for muscles whose usual sets are outside what was asked
// for: too few even with all that may yet be chosen, or too many already.
func (c *cover) amiss(n *coverNode) float64 {
	if c.lean {
		return 0
	}
	out := 0.0
	for k, m := range c.wished {
		out += costAmiss * max(c.t.want.low[m]-usualFirst*(n.sets[k]+c.more[n.next][k]), 0)
		out += costAmiss * max(n.sets[k]-c.t.want.high[m], 0)
	}
	return out
}

func (c *cover) bound(n *coverNode) float64 {
	b := n.cost + c.overTime(n.seconds) + c.amiss(n)
	for k := range c.needs {
		if n.covered>>k&1 == 0 {
			b += c.suffix[n.next][k]
		}
	}
	return b
}

// next is the next best selection; nil when there is none.
func (c *cover) next() *selection {
	for c.queue.Len() > 0 {
		n := heap.Pop(&c.queue).(*coverNode)
		if n.next == len(c.cands) {
			if s := c.selection(n); s != nil {
				return s
			}
			continue
		}
		c.expanded++
		// A lift is used in one way at most, and in exactly one if it is forced.
		if n.next > 0 && n.chosenPlace(c) == c.cands[n.next].place {
			c.push(c.child(n, false))
			continue
		}
		with := c.child(n, true)
		if n.next < c.forced && (n.next+1 == len(c.cands) || c.cands[n.next+1].place != c.cands[n.next].place) {
			c.push(with)
			continue
		}
		without := c.child(n, false)
		if c.expanded > maxExpanded {
			if with.bound <= without.bound {
				c.push(with)
			} else {
				c.push(without)
			}
			continue
		}
		c.push(with)
		c.push(without)
	}
	return nil
}

// push puts a node into the queue unless a hard wish has become impossible.
func (c *cover) push(n *coverNode) {
	if n.bound < impossibleLackOf/2 {
		heap.Push(&c.queue, n)
	}
}

// chosenPlace is the lift that was used last, if it was the one before in the
// list; -1 otherwise. Ways of one lift stand together, and there are two at most.
func (n *coverNode) chosenPlace(c *cover) int {
	if n.chosen < 0 {
		return -1
	}
	return c.cands[n.chosen].place
}

func (c *cover) child(n *coverNode, use bool) *coverNode {
	m := &coverNode{next: n.next + 1, covered: n.covered, cost: n.cost, seconds: n.seconds, sets: n.sets, up: n, chosen: -1, order: c.made}
	c.made++
	if use {
		x := &c.cands[n.next]
		m.chosen = n.next
		m.covered |= x.covers
		m.cost += x.cost
		m.seconds += x.second
		if len(c.wished) > 0 {
			m.sets = slices.Clone(n.sets)
			for k, w := range c.wished {
				m.sets[k] += float64(x.sets) * x.shares[w]
			}
		}
	}
	m.bound = c.bound(m)
	return m
}

// selection makes a complete node out; nil where a hard wish is not met.
func (c *cover) selection(n *coverNode) *selection {
	s := &selection{cost: n.bound}
	missing := 0.0
	for k := range c.needs {
		if n.covered>>k&1 == 0 {
			if c.needs[k].hard {
				return nil
			}
			missing += c.needs[k].penalty
		}
	}
	seconds := n.seconds
	for at := n; at != nil; at = at.up {
		if at.chosen >= 0 {
			s.chosen = append(s.chosen, c.cands[at.chosen])
		}
	}
	slices.SortFunc(s.chosen, func(a, b candidate) int {
		if d := roleRank(a.role) - roleRank(b.role); d != 0 {
			return d
		}
		return a.place - b.place
	})
	s.terms = []Term{
		{"exercises", n.cost, "each exercise beside the focus lifts, more for a repeated pattern or a second choice"},
		{"coverage", missing, "patterns and muscles without work"},
		{"wished sets", c.amiss(n), "usual sets of muscles beside the wished ones"},
		{"time", c.overTime(seconds), "usual sets that the sessions have no time for"},
	}
	return s
}

func roleRank(r Role) int { return slices.Index([]Role{Focus, Support, Developmental, Accessory}, r) }
