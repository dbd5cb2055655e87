package plates

import (
	"fmt"
	"math"
	"slices"
)

// BarLoad is one bar and the total that is wanted on it.
type BarLoad struct {
	Bar    Bar
	Target Mass
}

// TogetherOptions says what may stand for a set of totals that one stock cannot
// make. The zero value never loads more than was asked for.
type TogetherOptions struct {
	Over bool  // heavier totals are allowed too; default only lighter ones
	Work int64 // elementary steps after which a proof is given up; default 5e6
}

const defaultTogetherWork = 5_000_000

// Fitted is one bar as it is loaded beside the others.
type Fitted struct {
	Target Mass
	Loaded Mass
	Side   []Plate // each side, heaviest first
}

// Fit is several bars loaded from one stock at the same time.
type Fit struct {
	Bars []Fitted
	// Exact says that every bar carries what was asked for.
	Exact bool
	// Shortage is by how much the bars miss their targets together, and Largest
	// the most that one of them misses. There is no set of loads with a smaller
	// shortage, and none with the same that has a smaller largest one; among
	// those this one uses the fewest pairs of plates.
	Shortage, Largest Mass
	Pairs             int // pairs of plates that are on the bars
	// Proven is false where the work that is allowed did not suffice to show it;
	// the answer is then the best found, and Bound the least shortage there
	// could be.
	Proven bool
	Bound  Mass
}

// Together loads several bars from one stock at the same time, each alike on both
// sides: the loads asked for where the plates suffice, otherwise those with the
// smallest shortage. A target under its empty bar is a [*FieldError]; a wrong bar
// or plate too.
func Together(inv Inventory, bars []BarLoad, opt TogetherOptions) (*Fit, error) {
	kinds, err := inv.kinds()
	if err != nil {
		return nil, err
	}
	if opt.Work <= 0 {
		opt.Work = defaultTogetherWork
	}
	t := &together{kinds: kinds, opt: opt, seen: map[string]int{}}
	if len(bars) > maxBars {
		return nil, &FieldError{Field: "bars", Got: fmt.Sprint(len(bars)), Want: fmt.Sprintf("at most %d", maxBars)}
	}
	l, err := NewLoads(Bar{}, inv)
	if err != nil {
		return nil, err
	}
	t.layers = l.layers
	rest := make([]Mass, len(bars))
	for i, b := range bars {
		if err := b.Bar.check(); err != nil {
			return nil, err
		}
		if b.Target < b.Bar.Empty() || b.Target > massLimit {
			return nil, &FieldError{Field: named("bar", b.Bar.Name) + ": target", Got: b.Target.String(), Want: "at least " + b.Bar.Empty().String() + ", the empty bar"}
		}
		rest[i] = b.Target - b.Bar.Empty() // of both sides: odd counts stay exact
	}
	t.left = make([]Mass, len(kinds)+1)
	for i := len(kinds) - 1; i >= 0; i-- {
		t.left[i] = t.left[i+1] + 2*Mass(kinds[i].pairs)*kinds[i].plate.Mass
	}
	t.use = make([][]int, len(kinds))
	for i := range t.use {
		t.use[i] = make([]int, len(bars))
	}
	t.best = score{math.MaxInt64, math.MaxInt64, math.MaxInt}
	bound := t.atLeast(0, rest)
	t.kind(0, rest, 0)

	out := &Fit{Bars: make([]Fitted, len(bars)), Shortage: t.best.sum, Largest: t.best.largest, Pairs: t.best.pairs,
		Exact: t.best.sum == 0, Proven: t.work <= opt.Work, Bound: t.best.sum}
	if !out.Proven {
		out.Bound = min(bound, t.best.sum)
	}
	for i, b := range bars {
		f := &out.Bars[i]
		f.Target, f.Loaded = b.Target, b.Bar.Empty()
		for k, n := range t.found {
			for range n[i] {
				f.Side = append(f.Side, kinds[k].plate)
				f.Loaded += 2 * kinds[k].plate.Mass
			}
		}
	}
	return out, nil
}

const (
	maxBars = 16
	maxSeen = 1_000_000 // what is remembered, some 100 MB
)

// together deals the kinds out, the heaviest first, and keeps the best deal.
type together struct {
	kinds  []kind
	layers []layer
	left   []Mass // mass of the kinds from i on, both sides
	opt    TogetherOptions
	use    [][]int // pairs of each kind on each bar
	found  [][]int
	best   score
	seen   map[string]int // what was left to do, and the fewest pairs with which
	work   int64
	key    []byte
}

// score compares deals: shortage, largest shortage, pairs of plates.
type score struct {
	sum, largest Mass
	pairs        int
}

func (s score) less(o score) bool {
	switch {
	case s.sum != o.sum:
		return s.sum < o.sum
	case s.largest != o.largest:
		return s.largest < o.largest
	}
	return s.pairs < o.pairs
}

// near is the least that a bar misses which still wants m (both sides) from the
// kinds from i on, as if it had them alone.
func (t *together) near(i int, m Mass) Mass {
	sums := t.layers[i].sums
	at, ok := slices.BinarySearchFunc(sums, m, func(s, m Mass) int { return sign(int64(2*s - m)) })
	switch {
	case ok:
		return 0
	case at == 0:
		return -m // too much already: only where that is allowed
	}
	d := m - 2*sums[at-1]
	if t.opt.Over && at < len(sums) {
		d = min(d, 2*sums[at]-m)
	}
	return d
}

// atLeast is a shortage that nothing can undercut.
func (t *together) atLeast(i int, rest []Mass) Mass {
	var alone, all, over Mass
	for _, m := range rest {
		alone += t.near(i, m)
		if all += m; m < 0 {
			all, over = all-m, over-m
		}
	}
	return max(alone, all-t.left[i]+over)
}

// kind deals out the kinds from i on.
func (t *together) kind(i int, rest []Mass, pairs int) {
	if t.work++; t.work > t.opt.Work && t.found != nil {
		return
	}
	if i == len(t.kinds) {
		s := score{pairs: pairs}
		for _, m := range rest {
			m = max(m, -m)
			s.sum += m
			s.largest = max(s.largest, m)
		}
		if s.less(t.best) {
			t.best = s
			t.found = make([][]int, len(t.use))
			for k := range t.use {
				t.found[k] = slices.Clone(t.use[k])
			}
		}
		return
	}
	low := t.atLeast(i, rest)
	var largest Mass
	for _, m := range rest {
		largest = max(largest, t.near(i, m))
	}
	if !(score{low, largest, pairs}).less(t.best) {
		return
	}
	// What follows depends only on what is left: with no fewer pairs so far it
	// cannot end better.
	t.key = append(t.key[:0], byte(i))
	for _, m := range rest {
		for s := 0; s < 64; s += 8 {
			t.key = append(t.key, byte(m>>s))
		}
	}
	if before, ok := t.seen[string(t.key)]; ok && before <= pairs {
		return
	}
	if len(t.seen) < maxSeen {
		t.seen[string(t.key)] = pairs
	}
	t.bar(i, 0, t.kinds[i].pairs, rest, pairs)
}

// bar deals pairs of kind i to the bars from b on.
func (t *together) bar(i, b, have int, rest []Mass, pairs int) {
	if b == len(rest) {
		t.kind(i+1, rest, pairs)
		return
	}
	m := 2 * t.kinds[i].plate.Mass
	most := min(have, int(max(rest[b], 0)/m))
	if t.opt.Over && most < have && rest[b]-Mass(most)*m > 0 {
		most++ // one beyond the target; a second would only be worse
	}
	was := rest[b]
	for n := most; n >= 0; n-- {
		rest[b] = was - Mass(n)*m
		t.use[i][b] = n
		t.bar(i, b+1, have-n, rest, pairs+n)
	}
	rest[b], t.use[i][b] = was, 0
}
