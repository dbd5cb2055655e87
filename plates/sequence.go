package plates

import (
	"fmt"
	"math"
	"math/bits"
	"slices"
)

// Order is a rule for the order of plates on the sleeve.
type Order uint8

const (
	Descending Order = iota // no plate outside a lighter one, as federations ask and as is safe
	Free                    // any order; saves moves at the price of small plates inside large ones
)

// String is "desc" or "free".
func (o Order) String() string {
	if o == Free {
		return "free"
	}
	return "desc"
}

// ParseOrder reads "desc" or "free". The error is a [*ParseError].
func ParseOrder(s string) (Order, error) {
	switch s {
	case "desc":
		return Descending, nil
	case "free":
		return Free, nil
	}
	return Descending, &ParseError{Text: s, Want: "the stack order desc or free"}
}

// Target is a total that is to be on the bar at some point of a sequence.
type Target struct {
	Mass      Mass
	Tolerance Mass // how much lighter or heavier will do; 0 is exactly Mass
	// FloorPlate is the lightest plate of full diameter: where it is given, each
	// side must carry one at least as heavy, as lifts from the floor need. Default
	// none.
	FloorPlate Mass
}

// SequenceOptions says how a sequence is loaded. The zero value starts and ends
// as is usual: an empty bar first, the last load left on.
type SequenceOptions struct {
	Order    Order   // default Descending
	From     []Plate // what is on each side at the start, from the innermost outwards; default nothing
	EndEmpty bool    // the plates come off at the end, and that is counted
	Work     int64   // elementary steps after which a proof is given up; default 2e9, some seconds
}

const defaultWork = 2_000_000_000

// Step is one load of a sequence.
type Step struct {
	Target Target
	Loaded Mass    // the total on the bar, within the target's tolerance
	Side   []Plate // each side, from the innermost outwards
	Off    []Plate // what comes off each side before it, in that order
	On     []Plate // what then goes on each side, in that order
}

// Sequence is how to load a list of totals one after another. A move takes one
// plate off or puts one on, on one side; the other side does the same.
type Sequence struct {
	Steps []Step
	Off   []Plate // what comes off each side at the end, where EndEmpty asks for it
	Moves int     // moves on one side
	Moved Mass    // mass moved on one side
	// Proven says that there is no plan with fewer moves, and none with as many
	// that moves less mass. Where the stock is too rich and the list too long to
	// prove it, this is the best plan found.
	Proven bool
	Bound  int // no plan takes fewer moves than this; Moves where it is proven
}

// window is what a target allows on the bar: totals from lo to hi, with a plate
// among the first heavy kinds.
type window struct {
	lo, hi Mass // mass of one side
	sums   []Mass
	heavy  int // how many kinds, the heaviest, count as heavy enough; all of them for no demand
	any    bool
}

// Sequencer plans sequences for one bar. It remembers the ways to make up each
// total, so that many sequences on one bar cost little more than the first. It
// is not for use by several goroutines at once. The zero value is that of the zero
// Loads, on which nothing can be loaded.
type Sequencer struct {
	l    *Loads
	trie *trie
}

// NewSequencer prepares for sequences on l.
func NewSequencer(l *Loads) *Sequencer {
	s := &Sequencer{l: l}
	if l.bar != nil {
		s.trie = newTrie(l)
	}
	return s
}

// loads is what the sequencer was made for.
func (s *Sequencer) loads() *Loads {
	if s.l == nil {
		s.l = &Loads{}
	}
	return s.l
}

// Sequence is the plan with the fewest moves that loads the targets in their
// order, and among those one that moves the least mass. Both sides are loaded
// alike; a plate comes off only when nothing is outside it.
//
// On a station there is nothing to move: every target is set to the nearest
// weight within its tolerance.
//
// A target that cannot be loaded is a [*NotLoadableError]; starting plates that
// are not in the stock are a [*FieldError].
func (s *Sequencer) Sequence(targets []Target, opt SequenceOptions) (*Sequence, error) {
	l := s.loads()
	if l.bar == nil {
		return l.stationSequence(targets)
	}
	from, err := s.l.stackOf(opt.From)
	if err != nil {
		return nil, err
	}
	wins := make([]window, len(targets))
	for i, t := range targets {
		if wins[i], err = s.l.window(t); err != nil {
			if n, ok := err.(*NotLoadableError); ok {
				n.Index = i
			}
			return nil, err
		}
	}
	p, err := newProblem(s.l, wins, from, opt)
	if err != nil {
		return nil, err
	}
	return p.result(targets, p.solve(s)), nil
}

// Sequence is a [Sequencer]'s Sequence for a single list.
func (l *Loads) Sequence(targets []Target, opt SequenceOptions) (*Sequence, error) {
	return NewSequencer(l).Sequence(targets, opt)
}

func (l *Loads) stationSequence(targets []Target) (*Sequence, error) {
	out := &Sequence{Proven: true}
	for i, t := range targets {
		m := l.RoundMass(t.Mass, Nearest).Mass
		if d := max(m-t.Mass, t.Mass-m); len(l.totals) == 0 || d > max(t.Tolerance, 0) || t.FloorPlate > 0 {
			return nil, l.notLoadable(i, t)
		}
		out.Steps = append(out.Steps, Step{Target: t, Loaded: m})
	}
	return out, nil
}

// stackOf is a stack as numbers of kinds, checked against the stock.
func (l *Loads) stackOf(side []Plate) ([]uint8, error) {
	out := make([]uint8, len(side))
	used := make([]int, len(l.kinds))
	for i, p := range side {
		k := slices.IndexFunc(l.kinds, func(k kind) bool { return k.plate == p })
		if k >= 0 {
			used[k]++
		}
		if k < 0 || used[k] > l.kinds[k].pairs {
			return nil, &FieldError{Field: "plates at the start", Got: "more of " + p.String() + " than there are pairs", Want: "plates of the stock"}
		}
		out[i] = uint8(k)
	}
	return out, nil
}

// window is what a target allows, or why it cannot be loaded.
func (l *Loads) window(t Target) (window, error) {
	if t.Mass < 0 || t.Mass > massLimit || t.Tolerance < 0 || t.Tolerance > massLimit {
		return window{}, &FieldError{Field: "target", Got: t.Mass.String() + " within " + t.Tolerance.String(), Want: "a mass and a tolerance of 0 to 1000000 kg"}
	}
	w, ok := l.span(t.Mass-t.Tolerance, t.Mass+t.Tolerance, t.FloorPlate)
	if !ok {
		return window{}, l.notLoadable(0, t)
	}
	return w, nil
}

// span is what totals from lo to hi allow; ok is false where none can be loaded.
func (l *Loads) span(lo, hi, floor Mass) (w window, ok bool) {
	w = window{any: floor <= 0, heavy: l.heavy(floor)}
	i, _ := slices.BinarySearch(l.totals, lo)
	j, found := slices.BinarySearch(l.totals, hi)
	if found {
		j++
	}
	for _, s := range l.layers[0].sums[min(i, j):j] {
		if w.any || l.startsHeavy(s, w.heavy) {
			w.sums = append(w.sums, s)
		}
	}
	if len(w.sums) == 0 {
		return w, false
	}
	w.lo, w.hi = w.sums[0], w.sums[len(w.sums)-1]
	return w, true
}

// startsHeavy reports whether s can be made up with a plate of the first heavy
// kinds.
func (l *Loads) startsHeavy(s Mass, heavy int) bool {
	for q := range heavy {
		m := l.kinds[q].plate.Mass
		for c := 1; c <= l.kinds[q].pairs && Mass(c)*m <= s; c++ {
			if _, ok := l.layers[q+1].find(s - Mass(c)*m); ok {
				return true
			}
		}
	}
	return false
}

// allows reports whether a side of mass m whose heaviest kind is first will do.
func (w *window) allows(m Mass, first int) bool {
	if m < w.lo || m > w.hi {
		return false
	}
	return w.any || first < w.heavy // every reachable sum between lo and hi that starts heavy is in sums
}

// problem is a sequence to plan, in small numbers.
type problem struct {
	l        *Loads
	wins     []window // repeated windows taken together
	at       []int    // for every target its window
	from     []uint8
	endEmpty bool
	order    Order
	work     int64 // what is allowed to each attempt
	spent    int64

	weight []int64 // of a move of each kind: one move, and the mass in the low digits
	one    int64   // one move without its mass
	unit   Mass    // the mass that counts as 1 in the low digits
}

func newProblem(l *Loads, wins []window, from []uint8, opt SequenceOptions) (*problem, error) {
	p := &problem{l: l, from: from, endEmpty: opt.EndEmpty, order: opt.Order, work: opt.Work, at: make([]int, len(wins))}
	if p.work <= 0 {
		p.work = defaultWork
	}
	for i, w := range wins {
		// The same demand twice in a row is met by leaving the bar as it is.
		if n := len(p.wins); n == 0 || !sameWindow(p.wins[n-1], w) {
			p.wins = append(p.wins, w)
		}
		p.at[i] = len(p.wins) - 1
	}
	// A move and its mass are one number: the mass, in units of the largest
	// mass that divides every plate, never reaches one move.
	var g uint64
	for _, k := range l.kinds {
		g = gcd(g, uint64(k.plate.Mass))
	}
	p.unit = Mass(max(g, 1))
	var side Mass
	plates := 0
	for _, k := range l.kinds {
		side += Mass(k.pairs) * k.plate.Mass / p.unit
		plates += k.pairs
	}
	loads := uint64(2*len(p.wins) + 2)
	hi, lo := bits.Mul64(loads, uint64(side)+1)
	p.one = 1 << (bits.Len64(lo))
	if hi != 0 || bits.Len64(lo)+bits.Len64(loads*uint64(plates+1)) > 61 {
		return nil, &FieldError{Field: "targets", Got: fmt.Sprintf("%d for a stock of %d pairs", len(wins), plates), Want: "a shorter list or fewer plates"}
	}
	for _, k := range l.kinds {
		p.weight = append(p.weight, p.one+int64(k.plate.Mass/p.unit))
	}
	return p, nil
}

func sameWindow(a, b window) bool {
	return a.any == b.any && (a.any || a.heavy == b.heavy) && slices.Equal(a.sums, b.sums)
}

// plan is an answer: a stack for every window.
type plan struct {
	stacks [][]uint8
	cost   int64
	proven bool
	bound  int
	moves  int // the cost taken apart, for comparing plans of different problems
	mass   Mass
}

const noCost = math.MaxInt64 / 4

// solve finds the best plan that the allowed work can find, and says what it is
// worth.
func (p *problem) solve(s *Sequencer) plan {
	if len(p.wins) == 0 {
		c := int64(0)
		if p.endEmpty {
			for _, k := range p.from {
				c += p.weight[k]
			}
		}
		return plan{cost: c, proven: true, bound: int(c / p.one)}
	}
	if len(s.trie.parent) > maxNodes/2 {
		s.trie = newTrie(s.l) // what is remembered must not stand in the way of what is asked
	}
	if p.order == Descending {
		if out, ok := s.trie.solve(p, noCap); ok {
			return p.exactly(out)
		}
	}
	if out, ok := newIntervals(p, p.order, false).solve(true); ok {
		return p.exactly(out)
	}
	// Too rich to prove. A lower bound: as if there were plates without end.
	bound := p.simpleBound()
	if out, ok := newIntervals(p, p.order, true).solve(false); ok {
		bound = max(bound, int(out.cost/p.one))
	}
	// The best of some plans of restricted kinds.
	best := plan{cost: noCost}
	try := func(out plan, ok bool) {
		if ok && out.cost < best.cost {
			best = out
		}
	}
	for spare := 3; spare >= 0 && best.cost == noCost; spare-- {
		try(s.trie.solve(p, spare))
	}
	if best.cost == noCost {
		best = s.trie.greedy(p)
	}
	if p.order == Free {
		for spare := 4; spare >= 1; spare /= 2 { // fewer pairs of each kind, as long as every load can still be made
			thin := newIntervals(p, Free, false)
			thin.pairs = spare
			if out, ok := thin.solve(true); ok {
				try(out, true)
				break
			}
		}
	}
	best.bound = min(bound, int(best.cost/p.one))
	return best
}

func (p *problem) exactly(out plan) plan {
	out.proven, out.bound = true, int(out.cost/p.one)
	return out
}

// simpleBound counts only what no plan can avoid: each of two loads in a row
// with nothing in common takes a move, the first one as many as its fewest
// plates where the bar starts empty.
func (p *problem) simpleBound() int {
	n := 0
	for i, w := range p.wins {
		if i > 0 && (w.lo > p.wins[i-1].hi || w.hi < p.wins[i-1].lo) {
			n++
		}
	}
	if len(p.from) == 0 {
		fewest := math.MaxInt
		for _, s := range p.wins[0].sums {
			at, _ := p.l.layers[0].find(s)
			fewest = min(fewest, int(p.l.layers[0].few[at]))
		}
		n += fewest
	}
	return n
}

// result turns a plan into what goes on and off.
func (p *problem) result(targets []Target, out plan) *Sequence {
	q := &Sequence{Steps: make([]Step, len(targets)), Proven: out.proven, Bound: out.bound}
	side := p.plates(p.from)
	change := func(to []Plate) (off, on []Plate) {
		common := 0
		for common < len(side) && common < len(to) && side[common] == to[common] {
			common++
		}
		off, on = slices.Clone(side[common:]), to[common:]
		slices.Reverse(off)
		q.Moves += len(off) + len(on)
		q.Moved += sideMass(off) + sideMass(on)
		side = to
		return off, on
	}
	for i, t := range targets {
		st := &q.Steps[i]
		st.Target, st.Side = t, p.plates(out.stacks[p.at[i]])
		st.Loaded = p.l.bar.Empty() + 2*sideMass(st.Side)
		st.Off, st.On = change(st.Side)
	}
	if p.endEmpty {
		q.Off, _ = change(nil)
	}
	return q
}

func (p *problem) plates(stack []uint8) []Plate {
	out := make([]Plate, len(stack))
	for i, k := range stack {
		out[i] = p.l.kinds[k].plate
	}
	return out
}

func sideMass(side []Plate) (m Mass) {
	for _, p := range side {
		m += p.Mass
	}
	return m
}
