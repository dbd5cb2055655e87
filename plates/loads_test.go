package plates

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestInventories(t *testing.T) {
	for _, g := range gyms(t) {
		l := g.loads(t)
		if got := strconv.Itoa(l.Len()); got != g.row["reachable_totals"] {
			t.Errorf("%s: %s totals, want %s", g.id, got, g.row["reachable_totals"])
		}
		if got, want := l.Lightest(), massIn(t, g.row["smallest_total"], g.unit); got != want {
			t.Errorf("%s: lightest %v, want %v", g.id, got, want)
		}
		if got, want := l.Heaviest(), massIn(t, g.row["largest_total"], g.unit); got != want {
			t.Errorf("%s: heaviest %v, want %v", g.id, got, want)
		}
		var gaps []Mass
		for i := 1; i < l.Len(); i++ {
			gaps = append(gaps, l.At(i)-l.At(i-1))
		}
		slices.Sort(gaps)
		gaps = slices.Compact(gaps)
		var want []Mass
		for _, s := range strings.Split(g.row["distinct_gaps_between_totals"], ";") {
			want = append(want, massIn(t, s, g.unit))
		}
		if d := cmp.Diff(want, gaps); d != "" {
			t.Errorf("%s: gaps (-want +got)\n%s", g.id, d)
		}
		// What filling up with the largest plates first would have cost.
		missed, wasted := 0, 0
		kinds, err := g.inv.kinds()
		if err != nil {
			t.Fatal(err)
		}
		for m := range l.All() {
			n, ok := largestFirst(kinds, (m-g.bar.Empty())/2)
			side, _ := l.PerSide(m)
			switch {
			case !ok:
				missed++
			case n > len(side):
				wasted++
			}
		}
		if got := strconv.Itoa(missed); got != g.row["totals_missed_by_largest_first_fill"] {
			t.Errorf("%s: largest-first misses %s, want %s", g.id, got, g.row["totals_missed_by_largest_first_fill"])
		}
		if got := strconv.Itoa(wasted); got != g.row["totals_where_largest_first_uses_extra_plates"] {
			t.Errorf("%s: largest-first wastes on %s, want %s", g.id, got, g.row["totals_where_largest_first_uses_extra_plates"])
		}
	}
}

// largestFirst is the filling that this package does not use.
func largestFirst(kinds []kind, rest Mass) (n int, ok bool) {
	for _, k := range kinds {
		c := min(k.pairs, int(rest/k.plate.Mass))
		n += c
		rest -= Mass(c) * k.plate.Mass
	}
	return n, rest == 0
}

// ways counts the sets of plates of one side that weigh m, and those of them
// with the fewest plates, by trying everything.
func ways(kinds []kind, m Mass) (all, fewest int) {
	best := -1
	var try func(i, n int, rest Mass)
	try = func(i, n int, rest Mass) {
		if rest == 0 {
			all++
			if best < 0 || n < best {
				best, fewest = n, 0
			}
			if n == best {
				fewest++
			}
			return
		}
		if i == len(kinds) {
			return
		}
		for c := 0; c <= kinds[i].pairs && Mass(c)*kinds[i].plate.Mass <= rest; c++ {
			try(i+1, n+c, rest-Mass(c)*kinds[i].plate.Mass)
		}
	}
	try(0, 0, m)
	return all, fewest
}

func TestLoadableTotals(t *testing.T) {
	found := map[string][]Mass{}
	for _, r := range table(t, "plates-loadable-totals.csv") {
		g := gymNamed(t, r["inventory_id"])
		l := g.loads(t)
		m := massIn(t, r["total"], g.unit)
		found[g.id] = append(found[g.id], m)
		side, ok := l.PerSide(m)
		if !ok {
			t.Errorf("%s: %v cannot be loaded", g.id, m)
			continue
		}
		if got := strconv.Itoa(len(side)); got != r["fewest_plates_per_side"] {
			t.Errorf("%s %v: %s plates a side, want %s", g.id, m, got, r["fewest_plates_per_side"])
		}
		if got, want := sideMass(side), massIn(t, r["mass_per_side"], g.unit); got != want {
			t.Errorf("%s %v: %v a side, want %v", g.id, m, got, want)
		}
		if want := stack(t, r["one_fewest_plate_stack_inner_to_outer"], g.unit); !cmp.Equal(side, want) {
			// The table prints one of the ways with the fewest plates.
			if r["number_of_fewest_plate_solutions"] == "1" {
				t.Errorf("%s %v: %v, want %v", g.id, m, side, want)
			}
		}
		kinds, _ := g.inv.kinds()
		all, few := ways(kinds, (m-g.bar.Empty())/2)
		if strconv.Itoa(all) != r["number_of_all_solutions"] || strconv.Itoa(few) != r["number_of_fewest_plate_solutions"] {
			t.Errorf("%s %v: %d ways, %d fewest, want %s and %s", g.id, m, all, few, r["number_of_all_solutions"], r["number_of_fewest_plate_solutions"])
		}
	}
	for id, want := range found {
		g := gymNamed(t, id)
		l := g.loads(t)
		if strconv.Itoa(len(want)) != g.row["reachable_totals"] {
			continue // the table lists a part of the richest gyms' totals
		}
		if d := cmp.Diff(want, slices.Collect(l.All())); d != "" {
			t.Errorf("%s: totals (-want +got)\n%s", id, d)
		}
	}
}

func TestNearest(t *testing.T) {
	for _, r := range table(t, "plates-nearest.csv") {
		g := gymNamed(t, r["inventory_id"])
		l := g.loads(t)
		x := ExactOf(massIn(t, r["target"], g.unit))
		below, above, haveBelow, haveAbove := l.Neighbours(x)
		for _, c := range []struct {
			how  Rounding
			want string
		}{{Down, r["down"]}, {Up, r["up"]}, {Nearest, r["nearest_tie_goes_down"]}} {
			got := l.Round(x, c.how)
			want := c.want
			switch {
			case r["down"] == "":
				want = r["up"]
				if !got.Below || got.Above || haveBelow {
					t.Errorf("%s %s %v: %+v, want it marked as under the lightest", g.id, r["target"], c.how, got)
				}
			case r["up"] == "":
				want = r["down"]
				if !got.Above || got.Below || haveAbove {
					t.Errorf("%s %s %v: %+v, want it marked as over the heaviest", g.id, r["target"], c.how, got)
				}
			case got.Above || got.Below || !haveBelow || !haveAbove:
				t.Errorf("%s %s %v: %+v is marked", g.id, r["target"], c.how, got)
			}
			if w := massIn(t, want, g.unit); got.Mass != w {
				t.Errorf("%s %s %v: %v, want %v", g.id, r["target"], c.how, got.Mass, w)
			}
		}
		if haveBelow && below != massIn(t, r["down"], g.unit) || haveAbove && above != massIn(t, r["up"], g.unit) {
			t.Errorf("%s %s: neighbours %v and %v", g.id, r["target"], below, above)
		}
		near := l.Round(x, Nearest).Mass
		tie := haveBelow && haveAbove && below != above && x.cmpMid(below, above) == 0
		if got := map[bool]string{true: "yes", false: "no"}[tie]; got != r["is_tie"] {
			t.Errorf("%s %s: tie %s, want %s", g.id, r["target"], got, r["is_tie"])
		}
		if up := l.Round(x, NearestUp).Mass; tie && up != above || !tie && up != near {
			t.Errorf("%s %s: %v with ties up", g.id, r["target"], up)
		}
		if got := near - massIn(t, r["target"], g.unit); got != massIn(t, r["nearest_minus_target"], g.unit) {
			t.Errorf("%s %s: off by %v, want %s", g.id, r["target"], got, r["nearest_minus_target"])
		}
		side, _ := l.PerSide(near)
		if got := strconv.Itoa(len(side)); got != r["fewest_plates_per_side"] {
			t.Errorf("%s %s: %s plates, want %s", g.id, r["target"], got, r["fewest_plates_per_side"])
		}
		if got, want := sideMass(side), sideMass(stack(t, r["one_fewest_plate_stack_inner_to_outer"], g.unit)); got != want {
			t.Errorf("%s %s: side weighs %v, want %v", g.id, r["target"], got, want)
		}
	}
}

// The products in these rows are whole loadable weights, but lie below them in
// binary floating point: a float rounded down loses a whole step.
func TestRoundingTraps(t *testing.T) {
	for _, r := range table(t, "plates-rounding-traps.csv") {
		u := unit(t, r["unit"])
		bar, step := massIn(t, r["bar_mass"], u), massIn(t, r["loadable_step"], u)
		l, err := NewRange("trap", bar, bar+400*step, step)
		if err != nil {
			t.Fatal(err)
		}
		max, percent := massIn(t, r["one_rm"], u), mustRatio(t, r["percent"])
		want := massIn(t, r["exact_product"], u)
		x := max.Percent(percent)
		if x != ExactOf(want) {
			t.Errorf("%s%% of %v is %v, want %v", r["percent"], max, x, want)
		}
		if y := max.Times(percent.Div(WholeRatio(100))); y != x {
			t.Errorf("%s%% of %v by its ratio is %v, want %v", r["percent"], max, y, x)
		}
		for _, how := range []Rounding{Nearest, Down, Up, NearestUp} {
			if got := l.Round(x, how); got != (Load{Mass: want}) {
				t.Errorf("%s%% of %v %v: %+v, want %v", r["percent"], max, how, got, want)
			}
			if got := l.At(int(l.Prepare([]Ratio{percent}, how).Indexes(nil, max)[0])); got != want {
				t.Errorf("%s%% of %v %v, prepared: %v, want %v", r["percent"], max, how, got, want)
			}
			if got := x.RoundTo(step, how); got != want {
				t.Errorf("%s%% of %v to a multiple of %v: %v, want %v", r["percent"], max, step, got, want)
			}
		}
	}
}

// The plates of a system in unlimited number: largest-first filling against the
// fewest plates, up to the sum of the two largest plates.
func TestLargestFirstAgainstFewest(t *testing.T) {
	systems := map[string]string{
		"IWF kg set 0.5 to 25": "0.5 1 1.5 2 2.5 5 10 15 20 25",
	}
	for _, r := range table(t, "plates-largest-first.csv") {
		name, u := r["plate_system_per_side_unlimited"], unit(t, r["unit"])
		text := systems[name]
		if text == "" {
			f := strings.Fields(name)
			for len(f) > 0 {
				if _, err := strconv.ParseFloat(f[0], 64); err == nil {
					break
				}
				f = f[1:]
			}
			if i := slices.Index(f, "set"); i >= 0 {
				f = f[i+1:]
			}
			text = strings.Join(f, " ")
			if i := strings.Index(name, ": "); i >= 0 {
				text = name[i+2:]
			}
		}
		var inv Inventory
		var two []Mass
		for _, p := range strings.Fields(text) {
			m := massIn(t, p, u)
			inv = append(inv, Stock{Plate{m, u}, 2 * 120})
			two = append(two, m)
		}
		slices.Sort(two)
		l, err := NewLoads(Bar{}, inv)
		if err != nil {
			t.Fatal(err)
		}
		kinds, _ := inv.kinds()
		var wrong []string
		for m := range l.All() {
			if m > 2*(two[len(two)-1]+two[len(two)-2]) {
				break
			}
			side, _ := l.PerSide(m)
			if n, ok := largestFirst(kinds, m/2); !ok || n != len(side) {
				wrong = append(wrong, fmt.Sprintf("%s: largest-first %d, fewest %d", (m/2).Text(u), n, len(side)))
			}
		}
		if got := map[bool]string{true: "yes", false: "no"}[len(wrong) == 0]; got != r["largest_first_always_fewest"] {
			t.Errorf("%s (%s): always fewest %s, want %s", name, text, got, r["largest_first_always_fewest"])
		}
		if got := strings.Join(wrong, "; "); got != r["counterexamples_per_side_within_bound"] {
			t.Errorf("%s: %q, want %q", name, got, r["counterexamples_per_side_within_bound"])
		}
	}
}

// drawGym is any small gym with kilogram and pound plates mixed.
func drawGym(t *rapid.T) (Bar, Inventory) {
	masses := []Plate{{25 * Kilogram, KG}, {20 * Kilogram, KG}, {15 * Kilogram, KG}, {10 * Kilogram, KG}, {75 * Kilogram / 10, KG}, {5 * Kilogram, KG},
		{25 * Kilogram / 10, KG}, {125 * Kilogram / 100, KG}, {Kilogram, KG}, {Kilogram / 2, KG}, {45 * Pound, LB}, {35 * Pound, LB}, {25 * Pound, LB}, {10 * Pound, LB}, {5 * Pound, LB}, {5 * Pound / 2, LB}, {5 * Pound / 4, LB}}
	bar := Bar{Name: "any", Mass: rapid.SampledFrom([]Mass{0, 15 * Kilogram, 20 * Kilogram, 45 * Pound}).Draw(t, "bar"),
		Collars: rapid.SampledFrom([]Mass{0, 5 * Kilogram}).Draw(t, "collars")}
	var inv Inventory
	for range rapid.IntRange(0, 7).Draw(t, "kinds") {
		inv = append(inv, Stock{rapid.SampledFrom(masses).Draw(t, "plate"), rapid.IntRange(0, 7).Draw(t, "count")})
	}
	return bar, inv
}

func TestSidesWithinStock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bar, inv := drawGym(t)
		l, err := NewLoads(bar, inv)
		if err != nil {
			t.Fatal(err)
		}
		have := map[Plate]int{}
		for _, s := range inv {
			have[s.Plate] += s.Count
		}
		i := rapid.IntRange(0, l.Len()-1).Draw(t, "total")
		side, ok := l.PerSide(l.At(i))
		if !ok {
			t.Fatalf("no plates for %v", l.At(i))
		}
		if got := bar.Empty() + 2*sideMass(side); got != l.At(i) {
			t.Fatalf("plates weigh %v, want %v", got, l.At(i))
		}
		used := map[Plate]int{}
		for j, p := range side {
			if used[p] += 2; used[p] > have[p] {
				t.Fatalf("more of %v than there are: %v", p, side)
			}
			if j > 0 && side[j-1].Mass < p.Mass {
				t.Fatalf("heavier outside: %v", side)
			}
		}
		kinds, _ := inv.kinds()
		if all, _ := ways(kinds, (l.At(i)-bar.Empty())/2); all < 1 {
			t.Fatalf("no way to %v", l.At(i))
		}
	})
}

// Every subset of a small stock, by its own means, gives the same totals.
func TestTotalsAgainstSubsets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bar, inv := drawGym(t)
		l, err := NewLoads(bar, inv)
		if err != nil {
			t.Fatal(err)
		}
		have := map[Plate]int{}
		for _, s := range inv {
			have[s.Plate] += s.Count
		}
		few := map[Mass]int{bar.Empty(): 0}
		for p, n := range have {
			next := map[Mass]int{}
			for m, k := range few {
				for c := 0; c <= n/2; c++ {
					key := m + 2*Mass(c)*p.Mass
					if old, ok := next[key]; !ok || k+c < old {
						next[key] = k + c
					}
				}
			}
			few = next
		}
		if len(few) != l.Len() {
			t.Fatalf("%d totals, want %d", l.Len(), len(few))
		}
		last := Mass(-1)
		for m := range l.All() {
			side, _ := l.PerSide(m)
			if n, ok := few[m]; !ok || n != len(side) || m <= last {
				t.Fatalf("%v: %v, want %d plates", m, side, n)
			}
			last = m
		}
	})
}

// wantRound rounds by looking at every total with big rationals.
func wantRound(l *Loads, x *big.Rat, how Rounding) Mass {
	rat := func(m Mass) *big.Rat { return new(big.Rat).SetInt64(int64(m)) }
	best := l.Lightest()
	if how == Up {
		best = l.Heaviest()
	}
	for m := range l.All() {
		d, b := new(big.Rat).Sub(x, rat(m)), new(big.Rat).Sub(x, rat(best))
		switch how {
		case Down:
			if d.Sign() >= 0 {
				best = m
			}
		case Up:
			if d.Sign() <= 0 && m < best {
				best = m
			}
		default:
			c := d.Abs(d).Cmp(b.Abs(b))
			if c < 0 || c == 0 && how == NearestUp {
				best = m
			}
		}
	}
	return best
}

func TestRoundAgainstRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bar, inv := drawGym(t)
		l, err := NewLoads(bar, inv)
		if err != nil {
			t.Fatal(err)
		}
		how := Rounding(rapid.IntRange(0, 3).Draw(t, "how"))
		var max Mass
		if rapid.Bool().Draw(t, "fine") {
			max = Mass(rapid.Int64Range(0, int64(500*Kilogram)).Draw(t, "max"))
		} else {
			max = Mass(rapid.Int64Range(0, 2000).Draw(t, "quarters")) * rapid.SampledFrom([]Mass{Kilogram, Pound}).Draw(t, "unit") / 4
		}
		percents := []Ratio{}
		for range rapid.IntRange(1, 4).Draw(t, "n") {
			switch rapid.IntRange(0, 3).Draw(t, "kind") {
			case 0:
				percents = append(percents, ratio(t, rapid.Int64Range(0, 260).Draw(t, "half"), 2))
			case 1: // exactly on a total or on a midpoint, times anything
				i := rapid.IntRange(0, l.Len()-1).Draw(t, "i")
				target := int64(l.At(i))
				if i > 0 && rapid.Bool().Draw(t, "mid") {
					target = int64(l.At(i-1)) + (int64(l.At(i))-int64(l.At(i-1)))/2
				}
				if max > 0 && target < 1<<55 {
					percents = append(percents, ratio(t, 100*target, int64(max)))
					continue
				}
				fallthrough
			case 2:
				percents = append(percents, ratio(t, rapid.Int64Range(0, 1<<40).Draw(t, "num"), rapid.Int64Range(1, 1<<40).Draw(t, "den")))
			default:
				percents = append(percents, ratio(t, rapid.Int64Range(0, 1<<62).Draw(t, "num"), rapid.Int64Range(1, 1<<62).Draw(t, "den")))
			}
		}
		got := l.Prepare(percents, how).Indexes(nil, max)
		for i, p := range percents {
			x := new(big.Rat).Mul(new(big.Rat).SetInt64(int64(max)), p.rat())
			x.Quo(x, big.NewRat(100, 1))
			e := max.Percent(p)
			r := l.Round(e, how)
			want := wantRound(l, x, how)
			if r.Mass != want {
				t.Fatalf("%v%% of %v %v: %v, want %v", p, max, how, r.Mass, want)
			}
			if l.At(int(got[i])) != want {
				t.Fatalf("%v%% of %v %v, prepared: %v, want %v", p, max, how, l.At(int(got[i])), want)
			}
			if below := x.Cmp(new(big.Rat).SetInt64(int64(l.Lightest()))) < 0; below != r.Below {
				t.Fatalf("%v%% of %v: below is %v", p, max, r.Below)
			}
			if above := x.Cmp(new(big.Rat).SetInt64(int64(l.Heaviest()))) > 0; above != r.Above {
				t.Fatalf("%v%% of %v: above is %v", p, max, r.Above)
			}
			if how == Down && !r.Below && e.Cmp(r.Mass) < 0 {
				t.Fatalf("%v is over its target %v", r.Mass, e)
			}
			if how == Up && !r.Above && e.Cmp(r.Mass) > 0 {
				t.Fatalf("%v is under its target %v", r.Mass, e)
			}
		}
	})
}

func ratio(t *rapid.T, n, d int64) Ratio {
	r, err := NewRatio(n, d)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestStations(t *testing.T) {
	kg := Kilogram
	l, err := NewStation("leg press", []Mass{45 * kg, 20 * kg, 30 * kg, 20 * kg}, []Mass{5 * kg / 2, 5 * kg / 4})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for m := range l.All() {
		got = append(got, m.String())
	}
	want := strings.Fields("20kg 21.25kg 22.5kg 23.75kg 30kg 31.25kg 32.5kg 33.75kg 45kg 46.25kg 47.5kg 48.75kg")
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("totals (-want +got)\n%s", d)
	}
	if fixed, added, ok := l.Parts(33750 * Gram); !ok || fixed != 30*kg || !cmp.Equal(added, []Mass{2500 * Gram, 1250 * Gram}) {
		t.Errorf("parts of 33.75: %v %v %v", fixed, added, ok)
	}
	if _, _, ok := l.Parts(34 * kg); ok {
		t.Error("parts of 34")
	}
	if side, ok := l.PerSide(30 * kg); side != nil || !ok {
		t.Errorf("plates of a station: %v %v", side, ok)
	}
	if _, ok := l.PerSide(31 * kg); ok {
		t.Error("31 kg on a station that has none")
	}
	if got := l.RoundMass(34*kg, Nearest); got != (Load{Mass: 33750 * Gram}) {
		t.Errorf("34 kg: %+v", got)
	}
	if _, ok := l.Bar(); ok || l.Name() != "leg press" {
		t.Error("a station is no bar")
	}
	d, err := NewRange("dumbbells", 2*kg, 40*kg, 2*kg)
	if err != nil {
		t.Fatal(err)
	}
	if d.Len() != 20 || d.Heaviest() != 40*kg || !d.Has(12*kg) || d.Has(13*kg) {
		t.Errorf("dumbbells: %d up to %v", d.Len(), d.Heaviest())
	}
	one, err := NewRange("one", 5*kg, 5*kg, 0)
	if err != nil || one.Len() != 1 {
		t.Errorf("a single weight: %v", err)
	}
	for _, how := range []Rounding{Nearest, Down, Up, NearestUp} {
		if got := one.Prepare([]Ratio{{}, WholeRatio(50), WholeRatio(200)}, how).Indexes(nil, 5*kg); !cmp.Equal(got, []int32{0, 0, 0}) {
			t.Errorf("a single weight, %v: %v", how, got)
		}
	}
}

func TestLoadsErrors(t *testing.T) {
	kg := Kilogram
	plate := func(m Mass, n int) Inventory { return Inventory{{Plate{m, KG}, n}} }
	rich := Inventory{}
	for i := range 24 {
		rich = append(rich, Stock{Plate{kg + Mass(1)<<i, KG}, 2})
	}
	for _, c := range []struct {
		name string
		err  error
		want string
	}{
		{"bar", second(NewLoads(Bar{Name: "olympic", Mass: -20 * kg}, nil)), `plates: bar "olympic": mass: want 0 to 1000000 kg, got -20kg`},
		{"collars", second(NewLoads(Bar{Mass: 20 * kg, Collars: -1}, nil)), `plates: bar: collars: want 0 to 1000000 kg, got -0.0000000001kg`},
		{"plate", second(NewLoads(Bar{}, plate(0, 2))), `plates: plate: want a mass over 0 and up to 1000000 kg, got 0kg`},
		{"count", second(NewLoads(Bar{}, plate(20*kg, -1))), `plates: plate 20kg: count: want 0 or more, and at most 100000 plates altogether, got -1`},
		{"many", second(NewLoads(Bar{}, plate(20*kg, 100_001))), `plates: plate 20kg: count: want 0 or more, and at most 100000 plates altogether, got 100001`},
		{"heavy", second(NewLoads(Bar{Name: "b"}, plate(1000*kg, 2000))), `plates: bar "b": all plates together: want at most 1000000 kg, got more`},
		{"unit", second(NewLoads(Bar{}, Inventory{{Plate{kg, 9}, 2}})), `plates: plate 1kg: unit: want KG or LB, got 9`},
		{"rich", second(NewLoads(Bar{Name: "b"}, rich)), `plates: bar "b": more than 1000000 different totals can be loaded; leave out some sizes of plate or count fewer of them`},
		{"station", second(NewStation("rack", nil, nil)), `plates: station "rack": want at least one, got no weights`},
		{"station mass", second(NewStation("rack", []Mass{-kg}, nil)), `plates: station "rack": want weights of 0 to 1000000 kg, got -1kg`},
		{"station add", second(NewStation("rack", []Mass{kg}, []Mass{0})), `plates: station "rack": add: want a mass over 0 and up to 1000000 kg, got 0kg`},
		{"range", second(NewRange("rack", 10*kg, 5*kg, kg)), `plates: station "rack": want from 0 or more to a mass that is no lighter, got from 10kg to 5kg`},
		{"step", second(NewRange("rack", 2*kg, 5*kg, 2*kg)), `plates: station "rack": step: want a step that leads from 2kg to 5kg exactly, got 2kg`},
		{"no step", second(NewRange("rack", 2*kg, 5*kg, 0)), `plates: station "rack": step: want a mass over 0, got 0kg`},
		{"long range", second(NewRange("rack", 0, kg, 1)), `plates: station "rack": more than 1000000 different totals can be loaded; leave out some sizes of plate or count fewer of them`},
	} {
		if c.err == nil || c.err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, c.err, c.want)
			continue
		}
		var f *FieldError
		var s *SizeError
		if !errors.As(c.err, &f) && !errors.As(c.err, &s) {
			t.Errorf("%s: %T", c.name, c.err)
		}
	}
}

func second[T any](_ T, err error) error { return err }

// Two single plates of a kind are a pair however they are listed; an odd one is
// left out.
func TestPairs(t *testing.T) {
	l, err := NewLoads(Bar{Mass: 20 * Kilogram}, Inventory{{Plate{10 * Kilogram, KG}, 1}, {Plate{5 * Kilogram, KG}, 1}, {Plate{10 * Kilogram, KG}, 2}})
	if err != nil {
		t.Fatal(err)
	}
	if got := slices.Collect(l.All()); !cmp.Equal(got, []Mass{20 * Kilogram, 40 * Kilogram}) {
		t.Errorf("totals %v", got)
	}
}
