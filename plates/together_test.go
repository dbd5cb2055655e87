package plates

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

func bars(targets ...Mass) []BarLoad {
	out := make([]BarLoad, len(targets))
	for i, m := range targets {
		out[i] = BarLoad{Bar{Mass: 20 * Kilogram}, m}
	}
	return out
}

// checkFit holds a fit against the stock and its own sums.
func checkFit(t rapid.TB, inv Inventory, want []BarLoad, f *Fit) {
	t.Helper()
	have := map[Plate]int{}
	for _, s := range inv {
		have[s.Plate] += s.Count
	}
	for p := range have {
		have[p] -= have[p] % 2
	}
	var sum, largest Mass
	pairs := 0
	for i, b := range f.Bars {
		if got := want[i].Bar.Empty() + 2*sideMass(b.Side); got != b.Loaded || b.Target != want[i].Target {
			t.Fatalf("bar %d: %v loaded, said to be %v", i, got, b.Loaded)
		}
		d := max(b.Target-b.Loaded, b.Loaded-b.Target)
		sum, largest, pairs = sum+d, max(largest, d), pairs+len(b.Side)
		for _, p := range b.Side {
			if have[p] -= 2; have[p] < 0 {
				t.Fatalf("more of %v than there are", p)
			}
		}
	}
	if sum != f.Shortage || largest != f.Largest || pairs != f.Pairs || f.Exact != (sum == 0) || f.Bound > sum {
		t.Fatalf("%v, %v, %d pairs, said to be %+v", sum, largest, pairs, f)
	}
}

// The stock of the table: pairs of 20 20 15 10 10 5 5 2.5 2.5 1.25 kg, which its
// stacks and numbers of pairs imply.
func TestTwoBars(t *testing.T) {
	inv := Inventory{}
	for _, s := range []struct {
		grams Mass
		pairs int
	}{{20_000, 2}, {15_000, 1}, {10_000, 2}, {5000, 2}, {2500, 2}, {1250, 1}} {
		inv = append(inv, Stock{Plate{s.grams * Gram, KG}, 2 * s.pairs})
	}
	l, err := NewLoads(Bar{Mass: 20 * Kilogram}, inv)
	if err != nil {
		t.Fatal(err)
	}
	yes := map[bool]string{true: "yes", false: "no"}
	for _, r := range table(t, "plates-two-bars.csv") {
		want := bars(massIn(t, r["bar1_target_kg"], KG), massIn(t, r["bar2_target_kg"], KG))
		if got := yes[l.Has(want[0].Target)]; got != r["bar1_reachable_alone"] {
			t.Errorf("%s: bar 1 alone %s", r["case_id"], got)
		}
		if got := yes[l.Has(want[1].Target)]; got != r["bar2_reachable_alone"] {
			t.Errorf("%s: bar 2 alone %s", r["case_id"], got)
		}
		f, err := Together(inv, want, TogetherOptions{})
		if err != nil {
			t.Fatal(err)
		}
		checkFit(t, inv, want, f)
		if !f.Proven || yes[f.Exact] != r["both_reachable_together"] || f.Shortage != massIn(t, r["sum_of_shortfalls_kg"], KG) || f.Largest != massIn(t, r["largest_shortfall_kg"], KG) || strconv.Itoa(f.Pairs) != r["fewest_plate_pairs_in_use"] {
			t.Errorf("%s: %+v, want %v", r["case_id"], f, r)
		}
	}
}

// Every deal of a small stock, tried one by one.
func TestTogetherAgainstEveryDeal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sizes := []Plate{{20 * Kilogram, KG}, {15 * Kilogram, KG}, {10 * Kilogram, KG}, {5 * Kilogram, KG}, {25 * Kilogram / 10, KG}, {25 * Pound, LB}}
		var inv Inventory
		for range rapid.IntRange(0, 4).Draw(t, "kinds") {
			inv = append(inv, Stock{rapid.SampledFrom(sizes).Draw(t, "plate"), 2 * rapid.IntRange(0, 2).Draw(t, "pairs")})
		}
		var want []BarLoad
		for range rapid.IntRange(1, 3).Draw(t, "bars") {
			want = append(want, bars(Mass(rapid.IntRange(40, 200).Draw(t, "target"))*Kilogram/2)...)
		}
		opt := TogetherOptions{Over: rapid.Bool().Draw(t, "over")}
		f, err := Together(inv, want, opt)
		if err != nil {
			t.Fatal(err)
		}
		checkFit(t, inv, want, f)
		kinds, _ := inv.kinds()
		best := score{math.MaxInt64, math.MaxInt64, math.MaxInt}
		rest := make([]Mass, len(want))
		for i, w := range want {
			rest[i] = w.Target - w.Bar.Empty()
		}
		var deal func(k, b, have, pairs int)
		deal = func(k, b, have, pairs int) {
			switch {
			case k == len(kinds):
				s := score{pairs: pairs}
				for _, m := range rest {
					if m < 0 && !opt.Over {
						return
					}
					m = max(m, -m)
					s.sum, s.largest = s.sum+m, max(s.largest, m)
				}
				if s.less(best) {
					best = s
				}
				return
			case b == len(want):
				next := 0
				if k+1 < len(kinds) {
					next = kinds[k+1].pairs
				}
				deal(k+1, 0, next, pairs)
				return
			}
			for n := 0; n <= have; n++ {
				rest[b] -= 2 * Mass(n) * kinds[k].plate.Mass
				deal(k, b+1, have-n, pairs+n)
				rest[b] += 2 * Mass(n) * kinds[k].plate.Mass
			}
		}
		first := 0
		if len(kinds) > 0 {
			first = kinds[0].pairs
		}
		deal(0, 0, first, 0)
		if got := (score{f.Shortage, f.Largest, f.Pairs}); got != best || !f.Proven {
			t.Fatalf("%+v, want %+v", got, best)
		}
	})
}

func TestTogetherLarge(t *testing.T) {
	_, inv := mixedGym()
	want := bars(1005*Kilogram/10, 140*Kilogram, 83*Kilogram, 62*Kilogram, 177*Kilogram)
	f, err := Together(inv, want, TogetherOptions{Work: 20_000})
	if err != nil {
		t.Fatal(err)
	}
	checkFit(t, inv, want, f)
	if f.Proven && f.Bound != f.Shortage {
		t.Errorf("%+v", f)
	}
	var e *FieldError
	if _, err := Together(inv, bars(15*Kilogram), TogetherOptions{}); !errors.As(err, &e) || err.Error() != "plates: bar: target: want at least 20kg, the empty bar, got 15kg" {
		t.Error(err)
	}
	if _, err := Together(inv, slices.Repeat(bars(20*Kilogram), 17), TogetherOptions{}); err == nil {
		t.Error("17 bars")
	}
}
