package plates

import "math"

// trie holds stacks in descending order as paths from a root, the empty side:
// every node is one stack, its parent the stack without the outermost plate. The
// cheapest way from one stack to another takes off what is beyond their common
// inner part and puts on the rest; that is the walk between two nodes. So a chain
// of loads is a shortest path through layers of nodes, and one layer follows from
// the one before by keeping, for every inner part, the best stack above it: the
// work is linear in the number of nodes that are visited.
type trie struct {
	l                                  *Loads
	parent, firstChild, sibling, depth []int32
	kind, heaviest                     []uint8 // the outermost plate; the innermost
	mass                               []Mass
	emitted                            []int32 // the walk that the node was last put in
	walks                              map[walkKey]*walk
	stamp, round                       int32

	// The best of a layer above every node: two of them, the last layer's and
	// the one in the making.
	best [2]layerBest
	path []option // by depth: the best way to the stack that is walked over
}

type layerBest struct {
	cost  []int64
	from  []int32 // which candidate
	round []int32 // the layer that it was written in
}

type option struct {
	cost int64
	from int32
}

// walk is all stacks of one mass: their nodes and those of their inner parts, in
// preorder. Stacks are negative (^node).
type walk struct{ nodes []int32 }

type walkKey struct {
	sum Mass
	cap int32 // the most plates; noCap for any number
}

const (
	noCap = math.MaxInt32
	// maxNodes bounds the memory of a trie: some 100 MB.
	maxNodes = 2_000_000
)

func newTrie(l *Loads) *trie {
	t := &trie{l: l, walks: map[walkKey]*walk{}}
	t.add(-1, 0)
	return t
}

// add makes a node.
func (t *trie) add(parent int32, k uint8) int32 {
	n := int32(len(t.parent))
	t.parent = append(t.parent, parent)
	t.kind = append(t.kind, k)
	t.firstChild = append(t.firstChild, -1)
	t.emitted = append(t.emitted, 0)
	if parent < 0 {
		t.sibling = append(t.sibling, -1)
		t.depth = append(t.depth, 0)
		t.mass = append(t.mass, 0)
		t.heaviest = append(t.heaviest, math.MaxUint8)
		return n
	}
	t.sibling = append(t.sibling, t.firstChild[parent])
	t.firstChild[parent] = n
	t.depth = append(t.depth, t.depth[parent]+1)
	t.mass = append(t.mass, t.mass[parent]+t.l.kinds[k].plate.Mass)
	h := t.heaviest[parent]
	if parent == 0 {
		h = k
	}
	t.heaviest = append(t.heaviest, h)
	return n
}

// child is the node with one more plate outside.
func (t *trie) child(n int32, k uint8) int32 {
	for c := t.firstChild[n]; c >= 0; c = t.sibling[c] {
		if t.kind[c] == k {
			return c
		}
	}
	return t.add(n, k)
}

// walkTo is the walk over the stacks of mass sum with at most so many plates, or
// nil where the trie would grow too large.
func (t *trie) walkTo(sum Mass, cap int32) *walk {
	key := walkKey{sum, cap}
	if w, ok := t.walks[key]; ok {
		return w
	}
	t.stamp++
	w := &walk{}
	if !t.grow(w, 0, 0, sum, cap) {
		w = nil
	}
	t.walks[key] = w
	return w
}

// grow finds the stacks that complete node n by r with plates of the kinds from
// k on.
func (t *trie) grow(w *walk, k int, n int32, r Mass, cap int32) bool {
	if r == 0 {
		t.emit(w, n)
		return len(t.parent) < maxNodes && len(w.nodes) < 2*maxNodes
	}
	for ; k < len(t.l.kinds); k++ {
		at, ok := t.l.layers[k].find(r)
		if !ok || cap != noCap && t.depth[n]+int32(t.l.layers[k].few[at]) > cap {
			return true // nor with fewer kinds
		}
		m := t.l.kinds[k].plate.Mass
		above, rest := n, r
		for c := 0; c < t.l.kinds[k].pairs && rest >= m; c++ {
			rest -= m
			above = t.child(above, uint8(k))
			if _, ok := t.l.layers[k+1].find(rest); ok && !t.grow(w, k+1, above, rest, cap) {
				return false
			}
		}
	}
	return true
}

// emit puts a stack and those of its inner parts that are new into the walk.
func (t *trie) emit(w *walk, n int32) {
	start := len(w.nodes)
	w.nodes = append(w.nodes, ^n)
	for p := t.parent[n]; p >= 0 && t.emitted[p] != t.stamp; p = t.parent[p] {
		t.emitted[p] = t.stamp
		w.nodes = append(w.nodes, p)
	}
	for i, j := start, len(w.nodes)-1; i < j; i, j = i+1, j-1 {
		w.nodes[i], w.nodes[j] = w.nodes[j], w.nodes[i]
	}
}

// walksFor is the walks of a window; with a spare, only those over stacks with
// at most so many more plates than the window's fewest.
func (t *trie) walksFor(w *window, spare int) ([]*walk, bool) {
	cap := int32(noCap)
	if spare != noCap {
		cap = int32(t.fewest(w) + spare)
	}
	out := make([]*walk, 0, len(w.sums))
	size := 0
	for _, s := range w.sums {
		x := t.walkTo(s, cap)
		if x == nil {
			return nil, false
		}
		if size += len(x.nodes); size > 4*maxNodes {
			return nil, false
		}
		out = append(out, x)
	}
	return out, true
}

func (t *trie) fewest(w *window) int {
	n := math.MaxInt
	for _, s := range w.sums {
		at, _ := t.l.layers[0].find(s)
		n = min(n, int(t.l.layers[0].few[at]))
	}
	return n
}

// candidate is a stack of a layer and the best one before it.
type candidate struct{ node, from int32 }

// chain is the running state of a solution layer by layer.
type chain struct {
	t    *trie
	p    *problem
	all  []candidate
	last []option // the last layer's candidates: their cost so far
	work int64
}

// solve finds the best chain of descending stacks. ok is false where it would
// take too much work or memory.
func (t *trie) solve(p *problem, spare int) (out plan, ok bool) {
	c := t.start(p)
	for i := range p.wins {
		walks, ok := t.walksFor(&p.wins[i], spare)
		if !ok || !c.layer(&p.wins[i], walks) {
			return plan{}, false
		}
	}
	return c.finish()
}

// start begins a chain with what is on the bar.
func (t *trie) start(p *problem) *chain {
	if t.round > math.MaxInt32/2 {
		t.round = 0
		clear(t.best[0].round)
		clear(t.best[1].round)
	}
	t.round++
	c := &chain{t: t, p: p}
	// The stack at the start need not be descending; only an inner part that is
	// can stay on. All of it counts as being there.
	node, whole := int32(0), int64(0)
	for _, k := range p.from {
		whole += p.weight[k]
	}
	for i, k := range p.from {
		if i > 0 && p.from[i-1] > k {
			break
		}
		node = t.child(node, k)
	}
	c.room()
	c.all = append(c.all, candidate{node, -1})
	c.keep(&t.best[0], node, whole, 0)
	return c
}

// room makes the tables as large as the trie.
func (c *chain) room() {
	n := len(c.t.parent)
	for i := range c.t.best {
		b := &c.t.best[i]
		for len(b.cost) < n {
			b.cost, b.from, b.round = append(b.cost, 0), append(b.from, 0), append(b.round, 0)
		}
	}
}

// keep notes that the stack at node can be reached at this cost (its own weight
// included), for it and all its inner parts.
func (c *chain) keep(b *layerBest, node int32, cost int64, from int32) {
	for ; node >= 0; node = c.t.parent[node] {
		if b.round[node] == c.t.round && b.cost[node] <= cost {
			return // and so have the inner parts
		}
		b.cost[node], b.from[node], b.round[node] = cost, from, c.t.round
	}
}

// weight is what it takes to put the whole stack on.
func (c *chain) weight(node int32) int64 {
	return int64(c.t.depth[node])*c.p.one + int64(c.t.mass[node]/c.p.unit)
}

// layer goes on to the next window. It reports whether the work is still
// allowed.
func (c *chain) layer(w *window, walks []*walk) bool {
	t := c.t
	c.room()
	t.best[0], t.best[1] = t.best[1], t.best[0]
	now, before := &t.best[0], &t.best[1]
	last := t.round
	t.round++
	c.last = c.last[:0]
	first := int32(len(c.all))
	for _, x := range walks {
		c.p.spent += int64(len(x.nodes))
		if c.work += int64(len(x.nodes)); c.work > c.p.work {
			return false
		}
		for _, n := range x.nodes {
			stack := n < 0
			if stack {
				n = ^n
			}
			d := int(t.depth[n])
			o := option{cost: noCost}
			if d > 0 {
				o = t.path[d-1]
			}
			weight := c.weight(n)
			if before.round[n] == last {
				if cost := before.cost[n] - 2*weight; cost < o.cost {
					o = option{cost, before.from[n]}
				}
			}
			for len(t.path) <= d {
				t.path = append(t.path, option{})
			}
			t.path[d] = o
			if stack && (w.any || int(t.heaviest[n]) < w.heavy) {
				c.all = append(c.all, candidate{n, o.from})
				c.last = append(c.last, option{cost: o.cost + weight, from: int32(len(c.all) - 1)})
			}
		}
	}
	for i, o := range c.last {
		n := c.all[int(first)+i].node
		c.keep(now, n, o.cost+c.weight(n), o.from)
	}
	return len(c.all) < math.MaxInt32/2 && len(c.last) > 0
}

// finish picks the best last stack and goes back from it.
func (c *chain) finish() (plan, bool) {
	best := option{cost: noCost}
	for _, o := range c.last {
		if c.p.endEmpty {
			o.cost += c.weight(c.all[o.from].node)
		}
		if o.cost < best.cost {
			best = o
		}
	}
	if best.cost == noCost {
		return plan{}, false
	}
	out := plan{cost: best.cost, stacks: make([][]uint8, len(c.p.wins))}
	at := best.from
	for i := len(out.stacks) - 1; i >= 0; i-- {
		out.stacks[i] = c.t.stack(c.all[at].node)
		at = c.all[at].from
	}
	return out, true
}

// stack is a node as kinds from the innermost outwards.
func (t *trie) stack(n int32) []uint8 {
	out := make([]uint8, t.depth[n])
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = t.kind[n]
		n = t.parent[n]
	}
	return out
}

// greedy is a plan for stocks that are too rich to look through: for each window
// the fewest plates for its middle sum.
func (t *trie) greedy(p *problem) plan {
	out := plan{stacks: make([][]uint8, len(p.wins))}
	var before []uint8
	before = p.from
	for i, w := range p.wins {
		var stack []uint8
		for j := range w.sums {
			// From the middle outwards: 0, +1, -1, +2 and so on.
			k := len(w.sums)/2 + (j+1)/2*(1-j%2*2)
			if k < 0 || k >= len(w.sums) {
				continue
			}
			if stack = p.l.heavyStack(w.sums[k], &w); stack != nil {
				break
			}
		}
		out.stacks[i] = stack
		out.cost += p.between(before, stack)
		before = stack
	}
	if p.endEmpty {
		out.cost += p.between(before, nil)
	}
	return out
}

// between is the cost of changing one stack into another.
func (p *problem) between(a, b []uint8) (cost int64) {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	for _, k := range a[i:] {
		cost += p.weight[k]
	}
	for _, k := range b[i:] {
		cost += p.weight[k]
	}
	return cost
}

// heavyStack is a descending stack of mass s that the window allows.
func (l *Loads) heavyStack(s Mass, w *window) []uint8 {
	side, ok := l.PerSide(l.bar.Empty() + 2*s)
	if !ok {
		return nil
	}
	out := make([]uint8, 0, len(side))
	k := 0
	for _, p := range side {
		for l.kinds[k].plate != p {
			k++
		}
		out = append(out, uint8(k))
	}
	if w.any || len(out) > 0 && int(out[0]) < w.heavy {
		return out
	}
	for q := range w.heavy { // the fewest plates are all too small: put a heavy one first
		m := l.kinds[q].plate.Mass
		for c := 1; c <= l.kinds[q].pairs && Mass(c)*m <= s; c++ {
			if _, ok := l.layers[q+1].find(s - Mass(c)*m); !ok {
				continue
			}
			out = out[:0]
			for range c {
				out = append(out, uint8(q))
			}
			return l.complete(out, q+1, s-Mass(c)*m)
		}
	}
	return nil
}

// complete adds any plates of the kinds from k on that weigh r.
func (l *Loads) complete(out []uint8, k int, r Mass) []uint8 {
	for ; r > 0; k++ {
		for c := min(l.kinds[k].pairs, int(r/l.kinds[k].plate.Mass)); c >= 0; c-- {
			if _, ok := l.layers[k+1].find(r - Mass(c)*l.kinds[k].plate.Mass); ok {
				for range c {
					out = append(out, uint8(k))
				}
				r -= Mass(c) * l.kinds[k].plate.Mass
				break
			}
		}
	}
	return out
}
