package plates

import (
	"fmt"
	"math"
	"slices"
)

// ShareOptions says how lifters share a bar. The zero value looks for the best
// order of the lifters.
type ShareOptions struct {
	// AsListed keeps the order of the list; default is the order that takes the
	// fewest moves, the same in every round.
	AsListed bool
	Sequence SequenceOptions
}

// Turn is one set of one lifter.
type Turn struct {
	Lifter, Set int // both from 0
}

// Shared is a session of several lifters on one bar: everyone's first set in the
// order of the lifters, then everyone's second, and so on. A lifter with fewer
// sets is out once they are done.
type Shared struct {
	Order    []int  // lifters, first to last
	Turns    []Turn // one for each step of the sequence
	Sequence *Sequence
}

// maxExactLifters is how many lifters' orders are all compared: 8! = 40,320.
const maxExactLifters = 8

// Share finds the order of lifters and the loading that together take the fewest
// plate moves, and among those the least mass moved. sets holds every lifter's
// targets. The order is proven best for up to 8 lifters; for more, or where the
// work that is allowed does not suffice, the answer is the best found, and its
// sequence says so.
//
// A target that cannot be loaded is a [*NotLoadableError], whose Index counts the
// targets of all lifters as listed, from 0; the words before it name the lifter as
// people count, from 1.
func (l *Loads) Share(sets [][]Target, opt ShareOptions) (*Shared, error) {
	return NewSequencer(l).Share(sets, opt)
}

// Share is [Loads.Share] with what the sequencer remembers.
func (s *Sequencer) Share(sets [][]Target, opt ShareOptions) (*Shared, error) {
	l, index := s.loads(), 0
	wins := make([][]window, len(sets))
	for i, list := range sets {
		for _, t := range list {
			if l.bar != nil {
				w, err := l.window(t)
				if err != nil {
					if n, ok := err.(*NotLoadableError); ok {
						n.Index = index
					}
					return nil, fmt.Errorf("lifter %d: %w", i+1, err)
				}
				wins[i] = append(wins[i], w)
			}
			index++
		}
	}
	listed := make([]int, len(sets))
	for i := range listed {
		listed[i] = i
	}
	if opt.AsListed || len(sets) < 2 || l.bar == nil {
		return s.inOrder(sets, listed, opt.Sequence)
	}
	from, err := l.stackOf(opt.Sequence.From)
	if err != nil {
		return nil, err
	}
	f := &orders{s: s, wins: wins, from: from, opt: opt.Sequence}
	best, proven, bound, err := f.search(listed)
	if err != nil {
		return nil, err
	}
	out, err := s.inOrder(sets, best, opt.Sequence)
	if err != nil {
		return nil, err
	}
	if !proven {
		out.Sequence.Proven = false
		out.Sequence.Bound = min(bound, out.Sequence.Moves)
	}
	return out, nil
}

// inOrder is the session with the lifters in one order.
func (s *Sequencer) inOrder(sets [][]Target, order []int, opt SequenceOptions) (*Shared, error) {
	out := &Shared{Order: order, Turns: turns(order, func(i int) int { return len(sets[i]) })}
	targets := make([]Target, len(out.Turns))
	for i, t := range out.Turns {
		targets[i] = sets[t.Lifter][t.Set]
	}
	var err error
	out.Sequence, err = s.Sequence(targets, opt)
	return out, err
}

// turns is the rounds of a session.
func turns(order []int, sets func(lifter int) int) []Turn {
	var out []Turn
	for set := 0; ; set++ {
		before := len(out)
		for _, i := range order {
			if set < sets(i) {
				out = append(out, Turn{i, set})
			}
		}
		if len(out) == before {
			return out
		}
	}
}

// orders searches the orders of the lifters.
type orders struct {
	s    *Sequencer
	wins [][]window
	from []uint8
	opt  SequenceOptions
	work int64
}

// cost is the least cost of a session in one order; proven is false where it is
// only the best found.
func (f *orders) cost(order []int) (out plan, err error) {
	var wins []window
	for _, t := range turns(order, func(i int) int { return len(f.wins[i]) }) {
		wins = append(wins, f.wins[t.Lifter][t.Set])
	}
	opt := f.opt
	opt.Work = max(f.work, 1)
	p, err := newProblem(f.s.l, wins, f.from, opt)
	if err != nil {
		return plan{}, err
	}
	out = p.solve(f.s)
	f.work -= p.spent
	// The weights depend on the length of the list, which is the same for all
	// orders but for repeated loads: compare moves and mass apart.
	return out.scaled(p), nil
}

// scaled is the plan with its cost in moves and counts of mass.
func (out plan) scaled(p *problem) plan {
	out.moves = int(out.cost / p.one)
	out.mass = Mass(out.cost%p.one) * p.unit
	return out
}

func (out plan) better(than plan) bool {
	return out.moves < than.moves || out.moves == than.moves && out.mass < than.mass
}

// ordered is an order and what it takes at least.
type ordered struct {
	order []int
	bound int
}

func (f *orders) search(listed []int) (best []int, proven bool, bound int, err error) {
	if f.work = f.opt.Work; f.work <= 0 {
		f.work = defaultWork
	}
	if len(listed) > maxExactLifters {
		return f.improve(listed)
	}
	all := f.bounded(listed)
	bestPlan := plan{moves: math.MaxInt}
	proven = true
	for i, o := range all {
		if o.bound > bestPlan.moves {
			break // and so are all that follow
		}
		if f.work <= 0 {
			return best, false, o.bound, nil
		}
		out, err := f.cost(all[i].order)
		if err != nil {
			return nil, false, 0, err
		}
		if proven = proven && out.proven; out.better(bestPlan) {
			best, bestPlan = o.order, out
		}
	}
	return best, proven, min(all[0].bound, bestPlan.moves), nil
}

// bounded is every order, the most promising first. For descending stacks the
// bound of an order adds up what each change from one load to the next takes by
// itself; for free order there is none.
func (f *orders) bounded(listed []int) []ordered {
	var all []ordered
	permute(slices.Clone(listed), 0, func(o []int) { all = append(all, ordered{order: slices.Clone(o)}) })
	slices.SortFunc(all, func(a, b ordered) int { return slices.Compare(a.order, b.order) })
	if f.opt.Order == Free {
		return all
	}
	between := map[[2]Turn]int{}
	for i := range all {
		var last Turn
		for k, t := range turns(all[i].order, func(i int) int { return len(f.wins[i]) }) {
			key := [2]Turn{{-1, -1}, t}
			if k > 0 {
				key[0] = last
			}
			n, ok := between[key]
			if !ok {
				if k == 0 {
					n = f.s.trie.leastMoves(f.l(), nil, f.win(t), f.from)
				} else {
					n = f.s.trie.leastMoves(f.l(), f.win(last), f.win(t), nil)
				}
				between[key] = n
			}
			all[i].bound += n
			last = t
		}
	}
	slices.SortStableFunc(all, func(a, b ordered) int { return a.bound - b.bound })
	return all
}

func (f *orders) l() *Loads          { return f.s.l }
func (f *orders) win(t Turn) *window { return &f.wins[t.Lifter][t.Set] }

// permute calls f with every order of x.
func permute(x []int, k int, f func([]int)) {
	if k == len(x) {
		f(x)
		return
	}
	for i := k; i < len(x); i++ {
		x[k], x[i] = x[i], x[k]
		permute(x, k+1, f)
		x[k], x[i] = x[i], x[k]
	}
}

// leastMoves is the fewest moves from any stack of one window (or the stack on
// the bar) to any of another; 0 where there are too many stacks to look through.
func (t *trie) leastMoves(l *Loads, a, b *window, from []uint8) int {
	p := &problem{l: l, wins: []window{*b}, from: from, one: 1 << 40, unit: massLimit, work: defaultWork, weight: make([]int64, len(l.kinds))}
	for i := range p.weight {
		p.weight[i] = p.one
	}
	c := t.start(p)
	if a != nil {
		walks, ok := t.walksFor(a, noCap)
		if !ok {
			return 0
		}
		c.anyOf(a, walks)
	}
	walks, ok := t.walksFor(b, noCap)
	if !ok || !c.layer(b, walks) {
		return 0
	}
	best := int64(noCost)
	for _, o := range c.last {
		best = min(best, o.cost)
	}
	return int(best / p.one)
}

// anyOf starts the chain from any stack of a window, for nothing.
func (c *chain) anyOf(w *window, walks []*walk) {
	c.t.round++
	c.room()
	for _, x := range walks {
		for _, n := range x.nodes {
			if n < 0 && (w.any || int(c.t.heaviest[^n]) < w.heavy) {
				c.keep(&c.t.best[0], ^n, c.weight(^n), 0)
			}
		}
	}
}

// improve is for more lifters than all orders can be compared of: from light to
// heavy, then exchanging lifters as long as it helps.
func (f *orders) improve(listed []int) (best []int, proven bool, bound int, err error) {
	best = slices.Clone(listed)
	slices.SortStableFunc(best, func(a, b int) int {
		weight := func(i int) (m Mass) {
			for _, w := range f.wins[i] {
				m = max(m, w.hi)
			}
			return m
		}
		return sign(int64(weight(a) - weight(b)))
	})
	bestPlan, err := f.cost(best)
	if err != nil {
		return nil, false, 0, err
	}
	for again := true; again && f.work > 0; {
		again = false
		for i := range best {
			for j := i + 1; j < len(best) && f.work > 0; j++ {
				try := slices.Clone(best)
				try[i], try[j] = try[j], try[i]
				out, err := f.cost(try)
				if err != nil {
					return nil, false, 0, err
				}
				if out.better(bestPlan) {
					best, bestPlan, again = try, out, true
				}
			}
		}
	}
	// What the heaviest load takes by itself.
	bound = 0
	if len(f.from) == 0 {
		for _, list := range f.wins {
			for i := range list {
				bound = max(bound, f.s.trie.fewest(&list[i]))
			}
		}
	}
	return best, false, bound, nil
}
