package plates

import (
	"container/heap"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// checkPlan holds a plan against the rules: every load within its tolerance and
// the stock, the stack order kept, the moves those that the stacks ask for.
func checkPlan(t rapid.TB, l *Loads, targets []Target, opt SequenceOptions, s *Sequence) {
	t.Helper()
	side := slices.Clone(opt.From)
	moves, moved := 0, Mass(0)
	for i, st := range s.Steps {
		for _, p := range st.Off {
			if len(side) == 0 || side[len(side)-1] != p {
				t.Fatalf("step %d takes off %v, outermost of %v is another", i, p, side)
			}
			side = side[:len(side)-1]
			moves, moved = moves+1, moved+p.Mass
		}
		for _, p := range st.On {
			side = append(side, p)
			moves, moved = moves+1, moved+p.Mass
		}
		if !slices.Equal(side, st.Side) {
			t.Fatalf("step %d: %v on the bar, said to be %v", i, side, st.Side)
		}
		total := l.bar.Empty() + 2*sideMass(side)
		if total != st.Loaded || max(total-targets[i].Mass, targets[i].Mass-total) > targets[i].Tolerance {
			t.Fatalf("step %d: %v loaded, said to be %v, want %v within %v", i, total, st.Loaded, targets[i].Mass, targets[i].Tolerance)
		}
		used := map[Plate]int{}
		floor := targets[i].FloorPlate <= 0
		for j, p := range side {
			used[p]++
			if opt.Order == Descending && j > 0 && side[j-1].Mass < p.Mass {
				t.Fatalf("step %d: heavier outside: %v", i, side)
			}
			floor = floor || p.Mass >= targets[i].FloorPlate
		}
		if !floor {
			t.Fatalf("step %d: no plate of %v: %v", i, targets[i].FloorPlate, side)
		}
		for _, k := range l.kinds {
			if used[k.plate] > k.pairs {
				t.Fatalf("step %d: more of %v than there are: %v", i, k.plate, side)
			}
		}
	}
	for _, p := range s.Off {
		moves, moved = moves+1, moved+p.Mass
	}
	if opt.EndEmpty != (len(s.Off) == len(side) && len(side) > 0) && len(side) > 0 {
		t.Fatalf("at the end %v come off, %v are on", s.Off, side)
	}
	if moves != s.Moves || moved != s.Moved {
		t.Fatalf("%d moves and %v moved, said to be %d and %v", moves, moved, s.Moves, s.Moved)
	}
	if s.Bound > s.Moves || s.Proven && s.Bound != s.Moves {
		t.Fatalf("bound %d, moves %d, proven %v", s.Bound, s.Moves, s.Proven)
	}
}

// Cost and validity of every row; plans are not unique. The table was made by a
// programme over inner parts and checked by a breadth-first search over single
// moves.
func TestPublishedSequences(t *testing.T) {
	for _, r := range table(t, "plates-sequences.csv") {
		t.Run(r["sequence_id"], func(t *testing.T) {
			g := gymNamed(t, r["inventory_id"])
			l := g.loads(t)
			order, err := ParseOrder(r["stack_rule"])
			if err != nil {
				t.Fatal(err)
			}
			var targets []Target
			for _, s := range strings.Split(r["targets_in_order"], ";") {
				targets = append(targets, Target{Mass: massIn(t, strings.TrimSpace(s), g.unit), Tolerance: massIn(t, r["tolerance"], g.unit)})
			}
			for _, end := range []bool{false, true} {
				opt := SequenceOptions{Order: order, EndEmpty: end}
				s, err := l.Sequence(targets, opt)
				if err != nil {
					t.Fatal(err)
				}
				checkPlan(t, l, targets, opt, s)
				want := r["fewest_moves_one_side"]
				if end {
					want = r["fewest_moves_one_side_if_bar_must_end_empty"]
				}
				if got := strconv.Itoa(s.Moves); got != want || !s.Proven {
					t.Errorf("end empty %v: %s moves, want %s; proven %v", end, got, want, s.Proven)
				}
				if want := massIn(t, r["least_mass_moved_one_side_among_fewest_moves"], g.unit); !end && s.Moved != want {
					t.Errorf("%v moved, want %v", s.Moved, want)
				}
			}
		})
	}
}

// node is a state of the search over single moves.
type node struct {
	cost  [2]int64 // moves, mass
	stack string   // kinds as bytes
	next  int      // loads done
}

type queue []node

func (q queue) Len() int           { return len(q) }
func (q queue) Less(i, j int) bool { return slices.Compare(q[i].cost[:], q[j].cost[:]) < 0 }
func (q queue) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)        { *q = append(*q, x.(node)) }
func (q *queue) Pop() any {
	x := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return x
}

// bySingleMoves is the least moves and mass, found by searching over single
// moves with no idea of the structure.
func bySingleMoves(l *Loads, targets []Target, opt SequenceOptions) (moves int, moved Mass) {
	from := make([]byte, 0)
	for _, p := range opt.From {
		from = append(from, byte(slices.IndexFunc(l.kinds, func(k kind) bool { return k.plate == p })))
	}
	q := &queue{{stack: string(from)}}
	seen := map[string]bool{}
	for q.Len() > 0 {
		n := heap.Pop(q).(node)
		key := fmt.Sprint(n.next, " ", n.stack)
		if seen[key] {
			continue
		}
		seen[key] = true
		total := l.bar.Empty()
		used := make([]int, len(l.kinds))
		heaviest := Mass(0)
		desc := true
		for i := range len(n.stack) {
			k := n.stack[i]
			total += 2 * l.kinds[k].plate.Mass
			heaviest = max(heaviest, l.kinds[k].plate.Mass)
			used[k]++
			desc = desc && (i == 0 || n.stack[i-1] <= k)
		}
		if n.next == len(targets) && (!opt.EndEmpty || n.stack == "") {
			return int(n.cost[0]), Mass(n.cost[1])
		}
		if n.next < len(targets) && (desc || opt.Order == Free) {
			t := targets[n.next]
			if max(total-t.Mass, t.Mass-total) <= t.Tolerance && heaviest >= t.FloorPlate {
				heap.Push(q, node{n.cost, n.stack, n.next + 1})
			}
		}
		for k := range l.kinds {
			if used[k] < l.kinds[k].pairs && (opt.Order == Free || n.stack == "" || int(n.stack[len(n.stack)-1]) <= k) {
				heap.Push(q, node{[2]int64{n.cost[0] + 1, n.cost[1] + int64(l.kinds[k].plate.Mass)}, n.stack + string([]byte{byte(k)}), n.next})
			}
		}
		if len(n.stack) > 0 {
			k := n.stack[len(n.stack)-1]
			heap.Push(q, node{[2]int64{n.cost[0] + 1, n.cost[1] + int64(l.kinds[k].plate.Mass)}, n.stack[:len(n.stack)-1], n.next})
		}
	}
	return -1, 0
}

// drawSession is a small gym and a list of totals that it can load, some with a
// tolerance.
func drawSession(t *rapid.T, kinds, longest int) (*Loads, []Target, SequenceOptions) {
	sizes := []Plate{{20 * Kilogram, KG}, {15 * Kilogram, KG}, {10 * Kilogram, KG}, {75 * Kilogram / 10, KG}, {5 * Kilogram, KG}, {25 * Kilogram / 10, KG}, {125 * Kilogram / 100, KG}, {10 * Pound, LB}}
	var inv Inventory
	plates := 0
	for range rapid.IntRange(1, kinds).Draw(t, "kinds") {
		pairs := rapid.IntRange(1, 2).Draw(t, "pairs")
		if plates+pairs <= 5 {
			plates += pairs
			inv = append(inv, Stock{rapid.SampledFrom(sizes).Draw(t, "size"), 2 * pairs})
		}
	}
	l, err := NewLoads(Bar{Mass: 20 * Kilogram}, inv)
	if err != nil {
		t.Fatal(err)
	}
	var targets []Target
	for range rapid.IntRange(0, longest).Draw(t, "loads") {
		x := Target{Mass: l.At(rapid.IntRange(0, l.Len()-1).Draw(t, "total"))}
		if rapid.IntRange(0, 3).Draw(t, "loose") == 0 {
			x.Tolerance = Kilogram * Mass(rapid.IntRange(1, 8).Draw(t, "tolerance"))
			x.Mass += Kilogram
		}
		if rapid.IntRange(0, 5).Draw(t, "floor") == 0 {
			x.FloorPlate = 10 * Kilogram
			if l.Explain(x) != nil {
				x.FloorPlate = 0
			}
		}
		targets = append(targets, x)
	}
	opt := SequenceOptions{Order: Order(rapid.IntRange(0, 1).Draw(t, "order")), EndEmpty: rapid.Bool().Draw(t, "end empty")}
	if rapid.Bool().Draw(t, "from") {
		var all []Plate
		for _, k := range l.kinds {
			for range k.pairs {
				all = append(all, k.plate)
			}
		}
		if len(all) > 0 {
			all = rapid.Permutation(all).Draw(t, "all")
			opt.From = all[:rapid.IntRange(0, len(all)).Draw(t, "on")]
		}
	}
	return l, targets, opt
}

func TestSequenceAgainstSingleMoves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, targets, opt := drawSession(t, 4, 6)
		s, err := l.Sequence(targets, opt)
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, l, targets, opt, s)
		moves, moved := bySingleMoves(l, targets, opt)
		if s.Moves != moves || s.Moved != moved || !s.Proven {
			t.Fatalf("%d moves and %v, want %d and %v (proven %v)", s.Moves, s.Moved, moves, moved, s.Proven)
		}
	})
}

// The two ways to plan descending stacks, and the bound that takes the stock as
// unlimited, on longer lists than a search over single moves can do.
func TestDescendingTwoWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, targets, opt := drawSession(t, 6, 30)
		wins := make([]window, len(targets))
		for i, x := range targets {
			var err error
			if wins[i], err = l.window(x); err != nil {
				t.Fatal(err)
			}
		}
		from, err := l.stackOf(opt.From)
		if err != nil {
			t.Fatal(err)
		}
		p, err := newProblem(l, wins, from, opt)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.wins) == 0 {
			return
		}
		a, ok := newTrie(l).solve(p, noCap)
		if !ok {
			t.Fatal("no plan")
		}
		b, ok := newIntervals(p, Descending, false).solve(true)
		if !ok || a.cost != b.cost {
			t.Fatalf("%d and %d", a.cost, b.cost)
		}
		free, ok := newIntervals(p, Free, false).solve(true)
		if !ok || free.cost > a.cost {
			t.Fatalf("free order is worse: %d, %d", free.cost, a.cost)
		}
		for order, best := range map[Order]int64{Descending: a.cost, Free: free.cost} {
			low, ok := newIntervals(p, order, true).solve(false)
			if !ok || low.cost > best {
				t.Fatalf("%v: %d is no bound for %d", order, low.cost, best)
			}
			if n := p.simpleBound(); int64(n)*p.one > best {
				t.Fatalf("%v: %d moves are no bound for %d", order, n, best/p.one)
			}
		}
		for _, out := range []plan{a, b} {
			opt := opt
			opt.Order = Descending
			checkPlan(t, l, targets, opt, p.result(targets, p.exactly(out)))
		}
		opt.Order = Free
		checkPlan(t, l, targets, opt, p.result(targets, p.exactly(free)))
	})
}
