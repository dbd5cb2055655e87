package plates

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// A stock too rich, or too little work allowed: the answer is a valid plan, does
// not claim to be proven, and its bound is under the true optimum.
func TestNotProven(t *testing.T) {
	rich := richBar(t)
	targets := sessionTargets(t, 30)
	for _, order := range []Order{Descending, Free} {
		best, err := rich.Sequence(targets, SequenceOptions{Order: order})
		if err != nil || !best.Proven {
			t.Fatal(err)
		}
		for _, work := range []int64{1, 100, 3000, 100_000, 1_000_000} {
			opt := SequenceOptions{Order: order, Work: work}
			s, err := rich.Sequence(targets, opt)
			if err != nil {
				t.Fatal(err)
			}
			checkPlan(t, rich, targets, opt, s)
			if s.Moves < best.Moves || s.Bound > best.Moves || s.Proven && s.Moves != best.Moves {
				t.Errorf("%v with %d steps: %d moves, bound %d, proven %v; the optimum is %d", order, work, s.Moves, s.Bound, s.Proven, best.Moves)
			}
			if work == 1 && s.Proven {
				t.Errorf("%v: proven in one step", order)
			}
		}
	}
}

// A gym with many pairs of many kinds: descending stacks are proven by mass
// alone, free ones get an honest bound.
func TestVeryRichStock(t *testing.T) {
	var inv Inventory
	for _, g := range []Mass{25_000, 20_000, 15_000, 10_000, 5000, 2500, 2000, 1500, 1250, 1000, 500, 250} {
		inv = append(inv, Stock{Plate{g * Gram, KG}, 12})
	}
	l, err := NewLoads(Bar{Mass: 20 * Kilogram}, inv)
	if err != nil {
		t.Fatal(err)
	}
	targets := sessionTargets(t, 12)
	d, err := l.Sequence(targets, SequenceOptions{})
	if err != nil || !d.Proven {
		t.Fatalf("descending: %v, %v", d, err)
	}
	checkPlan(t, l, targets, SequenceOptions{}, d)
	opt := SequenceOptions{Order: Free, Work: 100_000_000}
	f, err := l.Sequence(targets, opt)
	if err != nil || f.Moves > d.Moves || f.Bound < 1 {
		t.Fatalf("free: %+v, %v", f, err)
	}
	checkPlan(t, l, targets, opt, f)
}

// Sequences one after another on one bar answer the same as each on its own.
func TestSequencerRemembers(t *testing.T) {
	l := gymNamed(t, "MIX-BOTH").loads(t)
	s := NewSequencer(l)
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		var targets []Target
		for range 1 + r.IntN(8) {
			targets = append(targets, Target{Mass: l.At(r.IntN(l.Len())), Tolerance: Mass(r.IntN(3)) * Kilogram})
		}
		a, err := s.Sequence(targets, SequenceOptions{})
		if err != nil {
			t.Fatal(err)
		}
		b, err := l.Sequence(targets, SequenceOptions{})
		if err != nil || a.Moves != b.Moves || a.Moved != b.Moved {
			t.Fatal(a, b, err)
		}
	}
}

func TestSequenceErrors(t *testing.T) {
	club := gymNamed(t, "KG-CLUB").loads(t)
	home := gymNamed(t, "KG-HOME").loads(t)
	sparse := gymNamed(t, "LB-SPARSE").loads(t)
	rack, err := NewRange("dumbbells", 2*Kilogram, 10*Kilogram, 2*Kilogram)
	if err != nil {
		t.Fatal(err)
	}
	kg := Kilogram
	for _, c := range []struct {
		l    *Loads
		t    Target
		want string
	}{
		{club, Target{Mass: 101 * kg}, "plates: 101kg cannot be loaded; nearest are 100kg and 102.5kg; missing: a pair of 0.5kg"},
		{club, Target{Mass: 10 * kg}, "plates: 10kg cannot be loaded; the lightest is 20kg"},
		{club, Target{Mass: 300 * kg}, "plates: 300kg cannot be loaded; the heaviest is 282.5kg; missing: a pair of 10kg"},
		{home, Target{Mass: 100 * kg, Tolerance: kg}, "plates: 100kg cannot be loaded within 1kg; the heaviest is 97.5kg; missing: a pair of 1.25kg"},
		{home, Target{Mass: 101 * kg, Tolerance: kg}, "plates: 101kg cannot be loaded within 1kg; the heaviest is 97.5kg; missing: a pair of 1.5kg and a pair of 0.25kg"},
		{sparse, Target{Mass: 90 * Pound}, "plates: 90lb cannot be loaded; nearest are 75lb and 95lb; missing: a pair of 5lb and a pair of 2.5lb"},
		{sparse, Target{Mass: 995 * Pound}, "plates: 995lb cannot be loaded; the heaviest is 305lb; missing: a pair of 100lb and a pair of 100lb and a pair of 100lb and a pair of 45lb"},
		{sparse, Target{Mass: 2000 * Pound}, "plates: 2000lb cannot be loaded; the heaviest is 305lb"},
		{club, Target{Mass: 45 * Pound}, "plates: 45lb cannot be loaded; nearest are 20kg and 22.5kg"},
		{club, Target{Mass: 40 * kg, FloorPlate: 20 * kg}, "plates: 40kg cannot be loaded with a plate of at least 20kg on each side; the lightest is 60kg"},
		{rack, Target{Mass: 5 * kg}, "plates: 5kg cannot be loaded; nearest are 4kg and 6kg"},
		{club, Target{Mass: -kg}, "plates: target: want a mass and a tolerance of 0 to 1000000 kg, got -1kg within 0kg"},
		{club, Target{Mass: kg, Tolerance: -kg}, "plates: target: want a mass and a tolerance of 0 to 1000000 kg, got 1kg within -1kg"},
	} {
		_, err := c.l.Sequence([]Target{{Mass: c.l.Heaviest()}, c.t}, SequenceOptions{})
		if fmt.Sprint(err) != c.want {
			t.Errorf("%v\nwant %s", err, c.want)
		}
		var n *NotLoadableError
		if errors.As(err, &n) {
			if n.Index != 1 {
				t.Errorf("%v: index %d", err, n.Index)
			}
			if e := c.l.Explain(c.t); e == nil || e.Error() != c.want {
				t.Errorf("explained as %v, want %s", e, c.want)
			}
		}
	}
	if e := club.Explain(Target{Mass: 101 * kg, Tolerance: kg}); e != nil {
		t.Error(e)
	}
	if e := rack.Explain(Target{Mass: 4 * kg}); e != nil {
		t.Error(e)
	}
	_, err = club.Sequence(nil, SequenceOptions{From: []Plate{{15 * kg, KG}, {15 * kg, KG}}})
	if fmt.Sprint(err) != "plates: plates at the start: want plates of the stock, got more of 15kg than there are pairs" {
		t.Error(err)
	}
	if _, err := ParseOrder("any"); fmt.Sprint(err) != `plates: want the stack order desc or free, got "any"` {
		t.Error(err)
	}
}

// The largest mass there is rounds as any other.
func TestPercentsOfTheLargestMass(t *testing.T) {
	l, err := NewStation("two", []Mass{0, 10 * Kilogram}, nil)
	if err != nil {
		t.Fatal(err)
	}
	half, err := RatioOf(50)
	if err != nil {
		t.Fatal(err)
	}
	for _, how := range []Rounding{Nearest, Down, Up, NearestUp} {
		p := l.Prepare([]Ratio{half}, how)
		for _, m := range []Mass{0, 1, math.MaxInt64 - 1, math.MaxInt64} {
			if got, want := l.At(int(p.Indexes(nil, m)[0])), l.Round(m.Percent(half), how).Mass; got != want {
				t.Errorf("%v of %d: %v, want %v", how, m, got, want)
			}
		}
	}
}
