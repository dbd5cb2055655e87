package workload_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	w "github.com/blockwright/blockwright/periodize/workload"
)

// sum adds sets to a sum by the zero rule.
func sum(t tester, sets ...w.Set) *w.Totals {
	var out w.Totals
	for _, s := range sets {
		if err := out.Add(s); err != nil {
			t.Fatal(err)
		}
	}
	return &out
}

func TestVolumePublished(t *testing.T) {
	// Ladlow et al. 2022, table 1, printed.
	v := sum(t, w.Set{Count: 3, Reps: 8, Load: 65}).Volume
	worked(t, "VL-01", v.Tonnage())
	worked(t, "VL-04", must(v.Density(45))(t))
	ladder := []w.Set{{Reps: 10, Load: 55, Max: 110}, {Reps: 8, Load: 65, Max: 110}, {Reps: 6, Load: 75, Max: 110}}
	v = sum(t, ladder...).Volume
	worked(t, "VL-02", v.Tonnage())
	worked(t, "VL-03", v.AverageLoad().Value, 100*v.MeanIntensity().Value)

	report := func(v w.Volume) []float64 {
		return []float64{float64(v.Lifts()), v.Tonnage(), v.AverageLoad().Value, 100 * v.MeanIntensity().Value, v.RelativeVolume()}
	}
	worked(t, "VL-05", report(sum(t, w.Set{Count: 5, Reps: 5, Load: 100, Max: 125}).Volume)...)
	worked(t, "VL-06", report(sum(t, uneven...).Volume)...)

	// The group's totals of VL-07 are over fractional mean repetitions; per
	// hundred lifters they are whole numbers.
	fifty := sum(t, w.Set{Reps: 4646, Load: 2044.31 / 46.46}).Volume
	seventy := sum(t, w.Set{Reps: 2662, Load: 1650.15 / 26.62}).Volume
	worked(t, "VL-07", fifty.AverageLoad().Value, seventy.AverageLoad().Value)
}

// uneven is the working-up series of VL-06 and IN-04.
var uneven = []w.Set{
	{Reps: 3, Load: 140, Max: 180}, {Reps: 2, Load: 150, Max: 180}, {Reps: 1, Load: 160, Max: 180}, {Reps: 1, Load: 160, Max: 180},
}

func TestINOLPublished(t *testing.T) {
	value := func(sets ...w.Set) float64 { return sum(t, sets...).INOL.Value().Value }
	worked(t, "IN-01", value(w.Set{Count: 4, Reps: 4, Load: 85, Max: 100}))
	worked(t, "IN-02", value(w.Set{Count: 4, Reps: 6, Load: 75, Max: 100}))
	worked(t, "IN-03", value(w.Set{Count: 5, Reps: 5, Load: 80, Max: 100}))
	worked(t, "IN-04", value(uneven...))

	// IN-05: at the maximum there is no number, whatever else was lifted.
	if want := row(t, "workload-worked-examples.csv", "IN-05")["expected"]; !strings.HasPrefix(want, "undefined") {
		t.Fatal(want)
	}
	n := sum(t, w.Set{Reps: 5, Load: 80, Max: 100}, w.Set{Reps: 1, Load: 100, Max: 100}).INOL
	if got := n.Value(); got.Defined() || got.Undefined != w.AtMaximum || got.Value != 0 || n.AtMaximum() != 1 {
		t.Errorf("got %v", got)
	}
	// Just under it the number is large and finite.
	if got := sum(t, w.Set{Reps: 1, Load: 99.999999, Max: 100}).INOL.Value(); !got.Defined() || math.IsInf(got.Value, 0) {
		t.Errorf("got %v", got)
	}
}

func TestZoneEdgesPublished(t *testing.T) {
	// The contiguous print of the table: <70, 70-79, 80-89, >=90.
	var edges []float64
	for _, r := range records(t, "workload-intensity-zones.csv") {
		if !strings.HasPrefix(r["variant"], "B") {
			continue
		}
		zone := r["zone_pct_1rm"]
		if low, _, ok := strings.Cut(strings.TrimPrefix(zone, ">="), "-"); ok || strings.HasPrefix(zone, ">=") {
			edges = append(edges, parse(t, low)/100)
		}
	}
	if diff := cmp.Diff(edges, w.DefaultEdges()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestZones(t *testing.T) {
	var z w.Zones
	for _, s := range []w.Set{
		{Reps: 5, Load: 69.6, Max: 100},           // not rounded to 70
		{Reps: 3, Load: 72.1, Max: 103},           // 70 % exactly, in decimals
		{Count: 2, Reps: 2, Load: 79.9, Max: 100}, // still under 80
		{Reps: 1, Load: 110, Max: 100},
		{Reps: 8, Load: 20},
	} {
		if err := z.Add(s); err != nil {
			t.Fatal(err)
		}
	}
	var names []string
	var counts []w.ZoneCount
	for _, zone := range z.All() {
		names = append(names, zone.String())
		counts = append(counts, zone.ZoneCount)
	}
	if diff := cmp.Diff([]string{"under 70 %", "70 to under 80 %", "80 to under 90 %", "90 % and more"}, names); diff != "" {
		t.Errorf("names (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]w.ZoneCount{{1, 5}, {3, 7}, {0, 0}, {1, 1}}, counts); diff != "" {
		t.Errorf("counts (-want +got):\n%s", diff)
	}
	if got := z.Unrated(); got != (w.ZoneCount{Sets: 1, Lifts: 8}) {
		t.Errorf("unrated: %v", got)
	}
	if all := must(w.NewZones())(t).All(); len(all) != 1 || all[0].String() != "all" {
		t.Errorf("without edges: %v", all)
	}
	for _, bad := range [][]float64{{0.7, 0.7}, {0}, {-1}, {math.NaN()}, {math.Inf(1)}, {0.8, 0.7}} {
		var fe *w.FieldError
		if _, err := w.NewZones(bad...); !errors.As(err, &fe) {
			t.Errorf("edges %v: %v", bad, err)
		}
	}
}

func TestRule(t *testing.T) {
	two, four := 2.0, 4.0
	sets := []w.Set{
		{Reps: 5, Load: 40, Max: 100, Warmup: true},
		{Reps: 5, Load: 80, Max: 100, Pattern: "squat", Reserve: &two, Muscles: []w.Share{{"quads", 1}, {"glutes", 0.5}}},
		{Count: 3, Reps: 10, Load: 45, Max: 100, Pattern: "squat", Reserve: &four, Muscles: []w.Share{{"quads", 1}}},
		{Reps: 10, Load: 30, Pattern: "carry", Muscles: []w.Share{{"back", 0.5}}}, // maximum and reserve not known
	}
	type result struct {
		Sets, Excluded, Lifts int64
		Muscles, Patterns     []w.Amount
	}
	for _, tc := range []struct {
		name string
		rule w.Rule
		want result
	}{
		{"zero", w.Rule{}, result{5, 1, 45, []w.Amount{{"back", 0.5}, {"glutes", 0.5}, {"quads", 4}}, []w.Amount{{"carry", 1}, {"squat", 4}}}},
		{"warm-ups", w.Rule{IncludeWarmups: true}, result{6, 0, 50, []w.Amount{{"back", 0.5}, {"glutes", 0.5}, {"quads", 4}}, []w.Amount{{"carry", 1}, {"squat", 4}}}},
		{"below half", w.Rule{IncludeWarmups: true, Below: 0.5}, result{2, 4, 15, []w.Amount{{"back", 0.5}, {"glutes", 0.5}, {"quads", 1}}, []w.Amount{{"carry", 1}, {"squat", 1}}}},
		{"hard only", w.Rule{HardOnly: true, HardReserve: 3}, result{5, 1, 45, []w.Amount{{"back", 0.5}, {"glutes", 0.5}, {"quads", 1}}, []w.Amount{{"carry", 1}, {"squat", 1}}}},
	} {
		got := must(w.NewTotals(tc.rule))(t)
		for _, s := range sets {
			if err := got.Add(s); err != nil {
				t.Fatal(err)
			}
		}
		v := got.Volume
		if diff := cmp.Diff(tc.want, result{v.Sets(), v.Excluded(), v.Lifts(), got.Muscles.All(), got.Patterns.All()}); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tc.name, diff)
		}
		if v.Rule() != tc.rule {
			t.Errorf("%s: rule %v", tc.name, v.Rule())
		}
	}
	for _, bad := range []w.Rule{{Below: -1}, {Below: math.NaN()}, {HardReserve: math.Inf(1)}} {
		var fe *w.FieldError
		if _, err := w.NewTotals(bad); !errors.As(err, &fe) {
			t.Errorf("%v: %v", bad, err)
		}
	}
	var a w.Totals
	b := must(w.NewTotals(w.Rule{IncludeWarmups: true}))(t)
	var me *w.MismatchError
	if err := a.Merge(b); !errors.As(err, &me) || me.What != "rule" {
		t.Errorf("two rules: %v", err)
	}
	if err := a.Volume.Merge(b.Volume); !errors.As(err, &me) {
		t.Errorf("two rules: %v", err)
	}
	c := must(w.NewTotals(w.Rule{}, 0.5))(t)
	if err := a.Merge(c); !errors.As(err, &me) || me.What != "zone edges" {
		t.Errorf("two sets of edges: %v", err)
	}
}

func TestSetsWithoutRepetitions(t *testing.T) {
	// A carry counts as a set and a hard set, not as lifts or tonnage; an empty
	// sum has no means; both sides of one-sided work count.
	got := sum(t, w.Set{Load: 60, Max: 100, Muscles: []w.Share{{"forearms", 1}}})
	if v := got.Volume; v.Sets() != 1 || v.Lifts() != 0 || v.Tonnage() != 0 || got.Muscles.Of("forearms") != 1 {
		t.Errorf("carry: %+v", v)
	}
	for _, i := range []w.Index{got.Volume.AverageLoad(), got.Volume.MeanIntensity(), w.Volume{}.AverageLoad()} {
		if i.Defined() || i.Undefined != w.NoRepetitions {
			t.Errorf("mean of nothing: %v", i)
		}
	}
	v := sum(t, w.Set{Count: 3, Reps: 8, Sides: 2, Load: 20}).Volume
	if v.Lifts() != 48 || v.Tonnage() != 960 || v.AverageLoad().Value != 20 || v.RatedLifts() != 0 {
		t.Errorf("one-sided: %v lifts, %v", v.Lifts(), v.Tonnage())
	}
	if got.Muscles.Of("none") != 0 || got.Muscles.Total() != 1 {
		t.Error("tally")
	}
}

func TestBadSets(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, tc := range []struct {
		field string
		set   w.Set
	}{
		{"count", w.Set{Count: -1}}, {"count", w.Set{Count: 2e6}},
		{"reps", w.Set{Reps: -1}}, {"reps", w.Set{Reps: 2e6}},
		{"sides", w.Set{Sides: 3}},
		{"load", w.Set{Load: nan}}, {"load", w.Set{Load: inf}}, {"load", w.Set{Load: -1}}, {"load", w.Set{Load: 1e13}},
		{"max", w.Set{Max: nan}}, {"max", w.Set{Max: -1}}, {"max", w.Set{Max: 1e-300}},
		{"reserve", w.Set{Reserve: &nan}},
		{"pattern", w.Set{Pattern: "\xff"}},
		{"muscles[0].key", w.Set{Muscles: []w.Share{{"", 1}}}},
		{"muscles[1].share", w.Set{Muscles: []w.Share{{"a", 1}, {"b", 1.5}}}},
		{"muscles[0].share", w.Set{Muscles: []w.Share{{"a", nan}}}},
	} {
		got := sum(t, w.Set{Reps: 5, Load: 100})
		before := must(got.MarshalBinary())(t)
		var zones w.Zones
		var inol w.INOL
		var volume w.Volume
		for _, err := range []error{got.Add(tc.set), zones.Add(tc.set), inol.Add(tc.set), volume.Add(tc.set)} {
			var fe *w.FieldError
			if !errors.As(err, &fe) || fe.Field != tc.field {
				t.Errorf("%+v: %v", tc.set, err)
			}
		}
		if diff := cmp.Diff(before, must(got.MarshalBinary())(t)); diff != "" {
			t.Errorf("%s changed the sum", tc.field)
		}
	}
	// The largest of everything stays finite.
	v := sum(t, w.Set{Count: 1e6, Reps: 1e6, Sides: 2, Load: 1e12, Max: 1e-12}).Volume
	if x := v.Tonnage() + v.RelativeVolume(); math.IsInf(x, 0) || math.IsNaN(x) {
		t.Errorf("got %v", x)
	}
	for _, m := range []float64{0, -1, nan, inf, 1e-300} {
		if _, err := v.Density(m); err == nil {
			t.Errorf("density over %v minutes", m)
		}
	}
	var tally w.Tally
	for _, err := range []error{tally.Add("", 1), tally.Add("a", -1), tally.Add("a", nan), tally.Add("\xff", 1)} {
		var fe *w.FieldError
		if !errors.As(err, &fe) {
			t.Errorf("tally: %v", err)
		}
	}
}

var muscleNames = []string{"back", "chest", "glutes", "quads"}

// anySet draws a set of the kind that plans have.
func anySet(t *rapid.T) w.Set {
	s := w.Set{
		Count:   rapid.IntRange(0, 6).Draw(t, "count"),
		Reps:    rapid.IntRange(0, 15).Draw(t, "reps"),
		Sides:   rapid.IntRange(0, 2).Draw(t, "sides"),
		Load:    float64(rapid.IntRange(0, 2500).Draw(t, "tenths")) / 10,
		Warmup:  rapid.Bool().Draw(t, "warmup"),
		Pattern: rapid.SampledFrom([]string{"", "hinge", "squat"}).Draw(t, "pattern"),
	}
	if rapid.Bool().Draw(t, "rated") {
		s.Max = float64(rapid.IntRange(100, 3000).Draw(t, "max")) / 10
	}
	for _, m := range muscleNames {
		if x := rapid.IntRange(0, 4).Draw(t, m); x > 0 {
			s.Muscles = append(s.Muscles, w.Share{Key: m, Share: float64(x) / 4})
		}
	}
	return s
}

func anySets(t *rapid.T) []w.Set { return rapid.SliceOfN(rapid.Custom(anySet), 0, 30).Draw(t, "sets") }

// view is all that a sum says; ratios of sums are compared with a margin.
type view struct {
	Sets, Excluded, Lifts, Rated          int64
	Tonnage, Relative, Average, Intensity float64
	Muscles, Patterns                     []w.Amount
	Zones                                 []w.Zone
	Unrated                               w.ZoneCount
	INOL                                  w.Index
}

func viewOf(t *w.Totals) view {
	v := t.Volume
	return view{v.Sets(), v.Excluded(), v.Lifts(), v.RatedLifts(), v.Tonnage(), v.RelativeVolume(), v.AverageLoad().Value,
		v.MeanIntensity().Value, t.Muscles.All(), t.Patterns.All(), t.Zones.All(), t.Zones.Unrated(), t.INOL.Value()}
}

var closely = cmp.Options{cmpopts.EquateApprox(1e-12, 1e-12), cmpopts.EquateEmpty()}

func TestSumsAreTheirDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sets := anySets(t)
		got := sum(t, sets...)
		// Written out from the definitions, without any of the package's helpers.
		var lifts, tonnage, rel float64
		muscles := map[string]float64{}
		for _, s := range sets {
			if s.Warmup {
				continue
			}
			count, sides := max(s.Count, 1), max(s.Sides, 1)
			n := float64(count * s.Reps * sides)
			lifts += n
			tonnage += n * s.Load
			if s.Max > 0 {
				rel += n * s.Load / s.Max
			}
			for _, m := range s.Muscles {
				muscles[m.Key] += m.Share * float64(count)
			}
		}
		v := got.Volume
		if float64(v.Lifts()) != lifts || !near(v.Tonnage(), tonnage, 1e-12) || !near(v.RelativeVolume(), rel, 1e-12) {
			t.Fatalf("got %v %v %v, want %v %v %v", v.Lifts(), v.Tonnage(), v.RelativeVolume(), lifts, tonnage, rel)
		}
		for _, m := range muscleNames {
			if got.Muscles.Of(m) != muscles[m] { // quarters: exact
				t.Fatalf("%s: got %v, want %v", m, got.Muscles.Of(m), muscles[m])
			}
		}
		var inZones int64
		for _, z := range got.Zones.All() {
			inZones += z.Lifts
		}
		if inZones+got.Zones.Unrated().Lifts != v.Lifts() || inZones != v.RatedLifts() {
			t.Fatalf("zones hold %d lifts of %d", inZones, v.Lifts())
		}
	})
}

func TestSumsMerge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sets := anySets(t)
		i := rapid.IntRange(0, len(sets)).Draw(t, "i")
		j := rapid.IntRange(i, len(sets)).Draw(t, "j")
		all := viewOf(sum(t, sets...))
		part := func(lo, hi int) *w.Totals { return sum(t, sets[lo:hi]...) }
		join := func(a, b *w.Totals) *w.Totals {
			if err := a.Merge(*b); err != nil {
				t.Fatal(err)
			}
			return a
		}
		for name, got := range map[string]*w.Totals{
			"(ab)c": join(join(part(0, i), part(i, j)), part(j, len(sets))),
			"a(bc)": join(part(0, i), join(part(i, j), part(j, len(sets)))),
			"cba":   join(join(part(j, len(sets)), part(i, j)), part(0, i)),
			"0abc":  join(&w.Totals{}, part(0, len(sets))),
			"abc0":  join(part(0, len(sets)), &w.Totals{}),
		} {
			if diff := cmp.Diff(all, viewOf(got), closely); diff != "" {
				t.Fatalf("%s (-in order +merged):\n%s", name, diff)
			}
		}
		order := rapid.Permutation(sets).Draw(t, "order")
		if diff := cmp.Diff(all, viewOf(sum(t, order...)), closely); diff != "" {
			t.Fatalf("another order (-want +got):\n%s", diff)
		}
	})
}

func TestCloneSharesNothing(t *testing.T) {
	s := w.Set{Reps: 5, Load: 80, Max: 100, Pattern: "squat", Muscles: []w.Share{{"quads", 1}}}
	a := sum(t, s)
	before := viewOf(a)
	b := a.Clone()
	if err := b.Add(s); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(before, viewOf(a)); diff != "" {
		t.Errorf("the original changed (-want +got):\n%s", diff)
	}
	// Nor does what was merged in.
	c := sum(t, s)
	if err := c.Merge(*a); err != nil {
		t.Fatal(err)
	}
	if err := c.Add(s); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(before, viewOf(a)); diff != "" {
		t.Errorf("what was merged in changed (-want +got):\n%s", diff)
	}
}

func TestLongSumsKeepTheirDigits(t *testing.T) {
	var v w.Volume
	for range 1_000_000 {
		if err := v.Add(w.Set{Reps: 1, Load: 0.1}); err != nil {
			t.Fatal(err)
		}
	}
	// A plain loop is off by 1.3e-6 here.
	if got := v.Tonnage(); got != 100000 {
		t.Errorf("got %v", got)
	}
}
