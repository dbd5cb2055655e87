package plates

import (
	"cmp"
	"math"
	"slices"
)

// intervals finds the best plan in terms of what stays on the bar. A plate that
// is on during the loads i to e, and nothing under it moves meanwhile, splits the
// list: what happens above it during i to e depends on what lies below only
// through the plates that are left to use and the mass that is still missing.
// So, with cost(i, j, s) the least cost of the loads i to j while the stack s
// stays and nothing but s is on before and after,
//
//	cost(i, j, s) = min over e of part(i, e, s) + cost(e+1, j, s)
//	part(i, i, s) = 0 where s itself will do for load i
//	part(i, e, s) = min over plates x of 2*weight(x) + cost(i, e, s+x)
//
// with one weight instead of two where x was on at the start or stays on at the
// end. For free order s matters only as a set of plates; for descending order only
// by its mass, its outermost kind and how many of that are used. Taking the stock
// as unlimited leaves the mass and, for descending order, the outermost kind: a
// lower bound.
type intervals struct {
	p         *problem
	order     Order
	unlimited bool
	pairs     int // use at most so many pairs of each kind; 0 for all

	offset int // 1 where the stack at the start counts as load 0
	n      int // loads, the start included
	states []istate
	index  map[stateKey]int32
	tables []int64
	parts  []int64
	work   int64
	chain  []int32 // the states of the stack at the start and its inner parts
	below  int64   // cost of what must come off the start before the rest can stay
}

type stateKey struct {
	mass  Mass
	stack uint64 // what else matters
	first uint8  // the heaviest kind, where a window asks for it
}

type istate struct {
	key  stateKey
	next []edge
	runs []run
}

type edge struct {
	kind  uint8
	state int32
}

// run is a longest stretch of loads a..b that the state can serve; its costs
// begin at, one row for each first load.
type run struct{ a, b, at int }

const (
	maxStates = 1 << 18
	maxTable  = 1 << 25 // costs kept, 256 MB
)

func newIntervals(p *problem, order Order, unlimited bool) *intervals {
	return &intervals{p: p, order: order, unlimited: unlimited, index: map[stateKey]int32{}}
}

// usable is how many plates of a kind may be used.
func (v *intervals) usable(k int) int {
	n := v.p.l.kinds[k].pairs
	if v.pairs > 0 {
		n = min(n, v.pairs)
	}
	return n
}

// radix is the number of counts of a kind, for packing a set of plates; ok is
// false where they do not fit.
func (v *intervals) radix() (r []uint64, ok bool) {
	total := uint64(1)
	var top Mass
	for _, w := range v.p.wins {
		top = max(top, w.hi)
	}
	for k := range v.p.l.kinds {
		n := uint64(min(v.usable(k), int(top/v.p.l.kinds[k].plate.Mass))) + 1
		r = append(r, total)
		if total > math.MaxUint64/n {
			return nil, false
		}
		total *= n
	}
	return append(r, total), true
}

// follow is the state after one more plate outside.
func (v *intervals) follow(from stateKey, k int, radix []uint64) (stateKey, bool) {
	to := stateKey{mass: from.mass + v.p.l.kinds[k].plate.Mass, first: min(from.first, uint8(k))}
	switch {
	case v.order == Free && v.unlimited:
	case v.order == Free:
		count := from.stack % radix[k+1] / radix[k]
		if count+1 >= radix[k+1]/radix[k] {
			return to, false
		}
		to.stack = from.stack + radix[k]
	default:
		// The outermost kind plus 1, and how many of it.
		outer, count := int(from.stack>>32), from.stack&math.MaxUint32
		switch {
		case k+1 < outer:
			return to, false
		case k+1 > outer:
			count = 0
		}
		if count++; !v.unlimited && int(count) > v.usable(k) {
			return to, false
		}
		if v.unlimited {
			count = 0
		}
		to.stack = uint64(k+1)<<32 | count
	}
	return to, true
}

// build makes the states that are not too heavy for every load.
func (v *intervals) build() bool {
	var top Mass
	demand := false
	for _, w := range v.p.wins {
		top = max(top, w.hi)
		demand = demand || !w.any
	}
	radix, ok := v.radix()
	if v.order == Free && !v.unlimited && (!ok || radix[len(radix)-1] > 16*maxStates) {
		return false // far too many sets of plates: do not even begin
	}
	none := stateKey{first: math.MaxUint8}
	if !demand {
		none.first = 0
	}
	v.states = append(v.states, istate{key: none})
	v.index[none] = 0
	for i := 0; i < len(v.states); i++ {
		from := v.states[i].key
		for k := range v.p.l.kinds {
			if from.mass+v.p.l.kinds[k].plate.Mass > top {
				continue
			}
			to, ok := v.follow(from, k, radix)
			if !ok {
				continue
			}
			if !demand {
				to.first = 0
			}
			id, ok := v.index[to]
			if !ok {
				if len(v.states) == maxStates {
					return false
				}
				id = int32(len(v.states))
				v.index[to] = id
				v.states = append(v.states, istate{key: to})
			}
			v.states[i].next = append(v.states[i].next, edge{uint8(k), id})
		}
	}
	v.start()
	return true
}

// start follows the stack that is on the bar at the beginning as far as its
// plates can stay.
func (v *intervals) start() {
	v.chain = append(v.chain, 0)
	if len(v.p.from) == 0 {
		return
	}
	v.offset = 1
	at := int32(0)
	for i, k := range v.p.from {
		next := int32(-1)
		for _, e := range v.states[at].next {
			if e.kind == k {
				next = e.state
			}
		}
		if next < 0 { // too heavy to stay, or out of order
			for _, k := range v.p.from[i:] {
				v.below += v.p.weight[k]
			}
			return
		}
		at = next
		v.chain = append(v.chain, at)
	}
}

// solve finds the best plan; stacks is false where only the cost is wanted. ok is
// false where it takes too much work or memory.
func (v *intervals) solve(stacks bool) (out plan, ok bool) {
	defer func() { v.p.spent += v.work + int64(len(v.states)) }()
	if !v.build() {
		return plan{}, false
	}
	v.n = len(v.p.wins) + v.offset
	order := make([]int32, len(v.states))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int {
		return cmp.Or(cmp.Compare(v.states[b].key.mass, v.states[a].key.mass), cmp.Compare(a, b))
	})
	serves := make([]bool, v.n)
	for _, s := range order {
		if !v.price(s, serves) {
			return plan{}, false
		}
	}
	root := &v.states[0]
	if len(root.runs) != 1 || root.runs[0].a != 0 || root.runs[0].b != v.n-1 {
		return plan{}, false // a load that this stock cannot make: only with fewer pairs than there are
	}
	out.cost = v.below + v.cost(root.runs[0], 0, v.n-1)
	if stacks {
		all := make([][]uint8, v.n)
		v.trace(0, 0, v.n-1, nil, all)
		out.stacks = all[v.offset:]
	}
	return out, true
}

// inChain is the place of a state in the stack at the start, or -1.
func (v *intervals) inChain(s int32) int {
	if v.offset == 0 {
		return -1
	}
	return slices.Index(v.chain, s)
}

// alone reports whether the state itself will do for load i.
func (v *intervals) alone(s int32, i int) bool {
	if i < v.offset {
		return s == v.chain[len(v.chain)-1]
	}
	k := v.states[s].key
	return v.p.wins[i-v.offset].allows(k.mass, int(k.first))
}

// twice is what a plate of kind k costs that is on during loads i to e.
func (v *intervals) twice(k uint8, i, e int) int64 {
	w := v.p.weight[k]
	if i >= v.offset {
		w += v.p.weight[k] // put on
	}
	if e == v.n-1 && !v.p.endEmpty {
		w -= v.p.weight[k] // not taken off
	}
	return w
}

// mayStart reports whether a plate on state s leading to state t was on at the
// start.
func (v *intervals) mayStart(s, t int32) bool {
	at := v.inChain(t)
	return at > 0 && v.chain[at-1] == s
}

// row is the costs of a run from load i on.
func (v *intervals) row(r run, i int) []int64 {
	n := r.b - r.a + 1
	skip := i - r.a // rows before it, of n, n-1, ... costs
	at := r.at + skip*n - skip*(skip-1)/2
	return v.tables[at : at+r.b-i+1]
}

func (v *intervals) cost(r run, i, e int) int64 { return v.row(r, i)[e-i] }

// price fills in the costs of a state; those of all heavier ones are there.
func (v *intervals) price(s int32, serves []bool) bool {
	st := &v.states[s]
	clear(serves)
	for i := range serves {
		serves[i] = v.alone(s, i)
	}
	for _, e := range st.next {
		for _, r := range v.states[e.state].runs {
			a := r.a
			if a < v.offset && !v.mayStart(s, e.state) {
				a = v.offset
			}
			for i := a; i <= r.b; i++ {
				serves[i] = true
			}
		}
	}
	for i := 0; i < v.n; i++ {
		if !serves[i] {
			continue
		}
		b := i
		for b+1 < v.n && serves[b+1] {
			b++
		}
		n := b - i + 1
		if len(v.tables)+n*(n+1)/2 > maxTable {
			return false
		}
		r := run{i, b, len(v.tables)}
		v.tables = slices.Grow(v.tables, n*(n+1)/2)
		v.tables = v.tables[:len(v.tables)+n*(n+1)/2]
		st.runs = append(st.runs, r)
		i = b
	}
	for _, r := range st.runs {
		if !v.priceRun(s, r) {
			return false
		}
	}
	return true
}

func (v *intervals) priceRun(s int32, r run) bool {
	costs := v.tables[r.at : r.at+(r.b-r.a+1)*(r.b-r.a+2)/2]
	for i := range costs {
		costs[i] = noCost
	}
	// A plate on this state, for every stretch that the state with it serves.
	for _, e := range v.states[s].next {
		w := v.p.weight[e.kind]
		starts := v.mayStart(s, e.state)
		for _, c := range v.states[e.state].runs {
			if c.b < r.a || c.a > r.b {
				continue
			}
			for i := c.a; i <= c.b; i++ {
				cost := 2 * w
				if i < v.offset {
					if !starts {
						continue
					}
					cost = w
				}
				to, from := v.row(r, i), v.row(c, i)
				v.work += int64(len(from))
				for j, x := range from {
					if x += cost; x < to[j] {
						to[j] = x
					}
				}
				if c.b == v.n-1 && !v.p.endEmpty {
					j := c.b - i
					to[j] = min(to[j], from[j]+cost-w)
				}
			}
		}
	}
	// Stretches one after another, from the last first load back.
	for i := r.b; i >= r.a; i-- {
		row := v.row(r, i)
		if v.alone(s, i) {
			row[0] = 0
		}
		v.parts = append(v.parts[:0], row...)
		for e := i; e < r.b; e++ {
			part := v.parts[e-i]
			if part >= noCost || row[e-i] < part {
				continue // i..e is better divided, and what follows then too
			}
			v.work += int64(r.b - e)
			rest := v.row(r, e+1)
			to := row[e+1-i:]
			to = to[:len(rest)]
			for j, x := range rest {
				if x += part; x < to[j] {
					to[j] = x
				}
			}
		}
	}
	return v.work <= v.p.work
}

// trace follows the decisions that led to a cost. stack is what is on the bar.
func (v *intervals) trace(s int32, i, j int, stack []uint8, out [][]uint8) {
	st := &v.states[s]
	r := st.runs[slices.IndexFunc(st.runs, func(r run) bool { return r.a <= i && i <= r.b })]
	for i <= j {
		i = v.traceOne(s, r, i, j, stack, out) + 1
	}
}

// traceOne finds the first stretch of a best division of i..j, fills it in and
// returns its end.
func (v *intervals) traceOne(s int32, r run, i, j int, stack []uint8, out [][]uint8) int {
	want := v.cost(r, i, j)
	rest := func(e int) int64 {
		if e == j {
			return 0
		}
		return v.cost(r, e+1, j)
	}
	if v.alone(s, i) && rest(i) == want {
		out[i] = slices.Clone(stack)
		return i
	}
	for e := j; e >= i; e-- { // the longest stretch first
		for _, x := range v.states[s].next {
			if i < v.offset && !v.mayStart(s, x.state) {
				continue
			}
			for _, c := range v.states[x.state].runs {
				if c.a <= i && e <= c.b && v.twice(x.kind, i, e)+v.cost(c, i, e)+rest(e) == want {
					v.trace(x.state, i, e, append(slices.Clip(stack), x.kind), out)
					return e
				}
			}
		}
	}
	return j // not reached: every cost has a reason
}
