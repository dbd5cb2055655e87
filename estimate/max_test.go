package estimate

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// For one set the interval is exactly what the spread between lifters leaves:
// its ends are the load over the fractions of the lifters at the tails.
func TestOneSetFollowsTheCurve(t *testing.T) {
	for _, name := range []string{"general", "bench press", "leg press", "brzycki", "wathen"} {
		c := curve(t, name)
		for _, n := range []float64{2, 3, 5, 8, 10, 12} {
			e, err := Max([]Set{{Load: 100, Reps: n}}, Options{Curve: c})
			if err != nil {
				t.Fatal(err)
			}
			for _, q := range []struct{ got, at float64 }{{e.Max, 0.5}, {e.Low, 0.95}, {e.High, 0.05}} {
				f, _, err := c.FractionAt(n, q.at)
				if err != nil || !near(q.got, 100/f, 1e-3) {
					t.Errorf("%s, %v repetitions: %v at quantile %v, want %v (%v)", name, n, q.got, q.at, 100/f, err)
				}
			}
		}
	}
}

func TestASingleIsTheMaximum(t *testing.T) {
	for _, s := range []Set{{Load: 100, Reps: 1}, {Load: 100, Reps: 1, Tested: true, NoRIR: true}} {
		e, err := Max([]Set{s}, Options{LoadStep: 2.5})
		want := Estimate{Max: 100, Low: 100, High: 102.5, Coverage: 0.9, Curve: "general", AbilitySD: 1, Sets: 1}
		// Nine singles in ten called maximal leave less than a step: the interval
		// of 0.9 ends at the next attempt, within a cell of the grid.
		if diff := cmp.Diff(want, e, approx(2e-3)); err != nil || diff != "" {
			t.Errorf("%+v: %v (-want +got):\n%s", s, err, diff)
		}
	}
	// With a reserve it is a set like others.
	e, err := Max([]Set{{Load: 100, Reps: 1, RIR: 1}}, Options{})
	if err != nil || e.Max < 102 || e.Low <= 100 {
		t.Errorf("single with one in reserve: %+v, %v", e, err)
	}
	// A later single beats what sets before it promised.
	e, err = Max([]Set{{Load: 90, Reps: 5}, {Load: 96, Reps: 1, Day: 7}}, Options{})
	if err != nil || e.Max != 96 || e.Low != 96 {
		t.Errorf("single after a set: %+v, %v", e, err)
	}
	// An earlier one leaves room for change.
	e, err = Max([]Set{{Load: 100, Reps: 1}, {Load: 90, Reps: 5, Day: 60}}, Options{})
	if err != nil || e.Max <= 100 || e.High-e.Low < 3 {
		t.Errorf("set two months after a single: %+v, %v", e, err)
	}
}

func TestMaxProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(1, 4).Draw(t, "sets")
		sets := make([]Set, k)
		for i := range sets {
			sets[i] = Set{
				Load:  rapid.Float64Range(60, 110).Draw(t, "load"),
				Reps:  float64(rapid.IntRange(1, 12).Draw(t, "reps")),
				RIR:   float64(rapid.IntRange(0, 8).Draw(t, "rir")) / 2,
				NoRIR: rapid.IntRange(0, 5).Draw(t, "missing") == 0,
				Day:   float64(rapid.IntRange(0, 40).Draw(t, "day")),
			}
		}
		e, err := Max(sets, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !finite(e.Max) || !(e.Low > 0 && e.Low <= e.Max && e.Max <= e.High) || !finite(e.High) || !(e.AbilitySD > 0 && e.AbilitySD < 3.6) {
			t.Fatalf("%+v", e)
		}
		if k == 1 && e.Max < sets[0].Load {
			t.Fatalf("maximum %v under the load %v", e.Max, sets[0].Load)
		}
		// In any unit.
		scaled := make([]Set, k)
		for i, s := range sets {
			s.Load *= 2.5
			scaled[i] = s
		}
		if e2, err := Max(scaled, Options{}); err != nil || !near(e2.Max, 2.5*e.Max, 1e-3) {
			t.Fatalf("not homogeneous: %v, %v against 2.5 x %v", e2.Max, err, e.Max)
		}
		// In any order.
		turned := make([]Set, k)
		for i, s := range sets {
			turned[k-1-i] = s
		}
		if e2, err := Max(turned, Options{}); err != nil || !cmp.Equal(e, e2) {
			t.Fatalf("order matters: %s", cmp.Diff(e, e2))
		}
		// More coverage, wider.
		if wide, err := Max(sets, Options{Coverage: 0.99}); err != nil || wide.High < e.High || wide.Low > e.Low {
			t.Fatalf("0.99: %+v, %v inside 0.9: %+v", wide, err, e)
		}
		// Later, wider. (Contradicting sets leave several peaks, of which a later
		// day may blur one away.)
		if k > 1 {
			return
		}
		if late, err := Max(sets, Options{Layoff: 60}); err != nil || late.High/late.Low < 0.999*e.High/e.Low {
			t.Fatalf("after a lay-off %+v, %v, before %+v", late, err, e)
		}
	})
}

// A maximal single is the maximum of its day, not of one two months on.
func TestLayoffWidens(t *testing.T) {
	s := []Set{{Load: 100, Reps: 1, Tested: true}}
	now, err := Max(s, Options{})
	later, err2 := Max(s, Options{Layoff: 60})
	if err != nil || err2 != nil || later.Low >= now.Low || later.High <= now.High {
		t.Errorf("now %+v, %v; 60 days later %+v, %v", now, err, later, err2)
	}
}

// A second informative set narrows the interval, yet by less than independent
// errors would: the lifter's ability is shared.
func TestSetsShareTheLiftersAbility(t *testing.T) {
	width := func(sets ...Set) float64 {
		e, err := Max(sets, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return math.Log(e.High / e.Low)
	}
	s := Set{Load: 80, Reps: 8}
	one, four := width(s), width(s, s, s, s)
	if !(four < one && four > 0.85*one) {
		t.Errorf("width %v for one set, %v for four of the same", one, four)
	}
	// Sets at different loads tell ability and maximum apart; equal ones do not.
	apart := width(Set{Load: 80, Reps: 8}, Set{Load: 93, Reps: 3})
	if !(apart < 0.75*one) {
		t.Errorf("width %v for one set, %v with a heavy triple", one, apart)
	}
}

func TestReserveModel(t *testing.T) {
	mid := func(s Set, o Options) Estimate {
		e, err := Max([]Set{s}, o)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	s := Set{Load: 100, Reps: 5, RIR: 2}
	exact := mid(s, Options{ReserveBias: -1, ReserveSpread: -1})
	f, _, _ := curve(t, "general").Fraction(7)
	if !near(exact.Max, 100/f, 1e-4) {
		t.Errorf("exact reports: %v, want %v", exact.Max, 100/f)
	}
	if e := mid(s, Options{}); !(e.Max > exact.Max && e.High-e.Low > exact.High-exact.Low) {
		t.Errorf("published bias and spread: %+v against exact %+v", e, exact)
	}
	// The bias is the published number of repetitions.
	biased := mid(s, Options{ReserveSpread: -1})
	f, _, _ = curve(t, "general").Fraction(7.95)
	if !near(biased.Max, 100/f, 1e-4) {
		t.Errorf("bias of 0.95: %v, want %v", biased.Max, 100/f)
	}
	missing := mid(Set{Load: 100, Reps: 5, NoRIR: true}, Options{})
	failure := mid(Set{Load: 100, Reps: 5}, Options{})
	if !(missing.Max > failure.Max && missing.High-missing.Low > failure.High-failure.Low) || len(missing.Warnings) == 0 {
		t.Errorf("missing reserve: %+v against failure %+v", missing, failure)
	}
	for rir, want := range map[float64]float64{0: 0, 0.5: 0.5, 1: 1, 5: 1, 6: 1.5, 7: 2, 10: 2} {
		if got := reserveSD(rir); got != want {
			t.Errorf("spread of a report of %v = %v, want %v", rir, got, want)
		}
	}
}

func TestContradictingSetsDoNotBreak(t *testing.T) {
	for _, sets := range [][]Set{
		{{Load: 100, Reps: 5}, {Load: 1, Reps: 5}},
		{{Load: 100, Reps: 1}, {Load: 5, Reps: 1}},
		{{Load: 100, Reps: 1}, {Load: 100, Reps: 20}},
		{{Load: 1e-6, Reps: 3}, {Load: 1e9, Reps: 3, Day: 1}},
		{{Load: 100, Reps: 1, Tested: true}, {Load: 80, Reps: 1, Tested: true, Day: 1}},
	} {
		e, err := Max(sets, Options{})
		if err != nil || !(e.Low > 0 && e.Low <= e.Max && e.Max <= e.High) || !finite(e.High) {
			t.Errorf("%+v: %+v, %v", sets, e, err)
		}
	}
}

func TestMaxErrors(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		sets []Set
		opt  Options
		want string
	}{
		{nil, Options{}, "estimate: sets: want one or more, got 0"},
		{[]Set{{Load: 100, Reps: 5}, {Reps: 5}}, Options{}, "estimate: sets[1].load: want above 0, got 0"},
		{[]Set{{Load: nan, Reps: 5}}, Options{}, "estimate: sets[0].load: want above 0, got NaN"},
		{[]Set{{Load: 1e301, Reps: 5}}, Options{}, "estimate: sets[0].load: want a load between 1e-300 and 1e300, got 1e+301"},
		{[]Set{{Load: 100}}, Options{}, "estimate: sets[0].reps: want 1 or more, got 0"},
		{[]Set{{Load: 100, Reps: 5, RIR: -1}}, Options{}, "estimate: sets[0].rir: want 0 or more, got -1"},
		{[]Set{{Load: 100, Reps: 5, RIR: nan}}, Options{}, "estimate: sets[0].rir: want 0 or more, got NaN"},
		{[]Set{{Load: 100, Reps: 5, Day: nan}}, Options{}, "estimate: sets[0].day: want a day from -1e9 to 1e9, got NaN"},
		{[]Set{{Load: 100, Reps: 60}}, Options{}, "estimate: general: sets[0]: reps and reserve together: want 1 to 39.8, got 60 (too light a load for the curve)"},
		{[]Set{{Load: 100, Reps: 5}}, Options{Coverage: 1}, "estimate: coverage: want above 0, below 1, got 1"},
		{[]Set{{Load: 100, Reps: 5}}, Options{Coverage: nan}, "estimate: coverage: want a finite number, got NaN"},
		{[]Set{{Load: 100, Reps: 5}}, Options{LoadStep: -1}, "estimate: load step: want 0 (2.5 % of the load) or more, got -1"},
		{[]Set{{Load: 100, Reps: 5}}, Options{Curve: &Curve{}}, "estimate: curve: want one that Curves or CurveNamed returned, got 0"},
		{[]Set{{Load: 100, Reps: 5}}, Options{Layoff: math.Inf(1)}, "estimate: layoff: want a finite number, got +Inf"},
		{[]Set{{Load: 100, Reps: 5}}, Options{Layoff: -1}, "estimate: layoff: want 0 days or more, got -1"},
	} {
		if _, err := Max(c.sets, c.opt); err == nil || err.Error() != c.want {
			t.Errorf("%+v %+v:\n got %v\nwant %s", c.sets, c.opt, err, c.want)
		}
	}
	var fe *FieldError
	if _, err := Max(nil, Options{}); !errors.As(err, &fe) || fe.Field != "sets" {
		t.Errorf("no sets: %v", err)
	}
	// A reserve that was not reported is not looked at.
	if _, err := Max([]Set{{Load: 100, Reps: 5, RIR: nan, NoRIR: true}}, Options{}); err != nil {
		t.Errorf("reserve not reported, NaN in the field: %v", err)
	}
}

func TestWarnings(t *testing.T) {
	for _, c := range []struct {
		set  Set
		opt  Options
		want []string
	}{
		{Set{Load: 100, Reps: 5}, Options{}, nil},
		{Set{Load: 100, Reps: 3}, Options{}, []string{"extrapolated"}},
		{Set{Load: 100, Reps: 5, NoRIR: true}, Options{}, []string{"reserve-missing"}},
		{Set{Load: 100, Reps: 12}, Options{}, []string{"many-repetitions"}},
		{Set{Load: 100, Reps: 12}, Options{Curve: curve(t, "bench press")}, []string{"many-repetitions", "borrowed-spread"}},
		{Set{Load: 100, Reps: 5}, Options{Curve: curve(t, "wathen")}, []string{"borrowed-spread"}},
	} {
		e, err := Max([]Set{c.set}, c.opt)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, w := range e.Warnings {
			got = append(got, w.Code)
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%+v (-want +got):\n%s", c.set, diff)
		}
	}
}

// The posterior of several sets against dense quadrature in another language;
// the script and its versions stand beside the figures.
func TestPosteriorAgainstAnIndependentComputation(t *testing.T) {
	for _, row := range readTable(t, "../estimate/testdata/posterior_reference.csv") {
		var sets []Set
		for _, text := range strings.Fields(row["sets"]) {
			p := strings.Split(text, "/")
			sets = append(sets, Set{Load: num64(t, p[0]), Reps: num64(t, p[1]), RIR: num64(t, p[2])})
		}
		// The script knows no days; of one day, sets that another shows more than would be left out.
		for i := range sets {
			sets[i].Day = float64(i)
		}
		e, err := Max(sets, Options{Drift: -1})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			name string
			got  float64
			tol  float64
		}{{"max", e.Max, 1e-3}, {"low", e.Low, 1e-3}, {"high", e.High, 1e-3}, {"ability_sd", e.AbilitySD, 1e-2}} {
			if want := num64(t, row[c.name]); !near(c.got, want, c.tol) {
				t.Errorf("%s: %s = %v, want %v", row["sets"], c.name, c.got, want)
			}
		}
		if want := num64(t, row["ability"]); math.Abs(e.Ability-want) > 0.01 {
			t.Errorf("%s: ability %v, want %v", row["sets"], e.Ability, want)
		}
	}
}

// TestTiredSets: sets done tired, by weight and repetitions under another of the same day, do not pull the maximum down.
func TestTiredSets(t *testing.T) {
	rir := func(load, reps, left float64) Set { return Set{Load: load, Reps: reps, RIR: left} }
	open := func(load, reps float64) Set { return Set{Load: load, Reps: reps, NoRIR: true} }
	later := func(s Set, day float64) Set { s.Day = day; return s }
	for _, c := range []struct {
		name string
		sets []Set
		as   []Set // what is left
	}{
		{"to failure with one weight", []Set{rir(60, 12, 0), rir(60, 10, 0), rir(60, 8, 0)}, []Set{rir(60, 12, 0)}},
		{"in another order", []Set{rir(60, 8, 0), rir(60, 12, 0), rir(60, 10, 0)}, []Set{rir(60, 12, 0)}},
		{"less left each time", []Set{rir(100, 5, 3), rir(100, 5, 2), rir(100, 5, 1)}, []Set{rir(100, 5, 3)}},
		{"weight taken off", []Set{rir(100, 6, 0), rir(90, 6, 0), rir(95, 5, 0)}, []Set{rir(100, 6, 0)}},
		{"nothing reported", []Set{open(60, 12), open(60, 10)}, []Set{open(60, 12)}},
		{"not reported beside reported", []Set{rir(100, 8, 0), open(100, 5)}, []Set{rir(100, 8, 0)}},
		{"more weight, fewer repetitions", []Set{rir(90, 8, 0), rir(100, 5, 0)}, []Set{rir(90, 8, 0), rir(100, 5, 0)}},
		{"alike", []Set{rir(100, 5, 1), rir(100, 5, 1)}, []Set{rir(100, 5, 1), rir(100, 5, 1)}},
		{"other days", []Set{rir(60, 12, 0), later(rir(60, 10, 0), 7)}, []Set{rir(60, 12, 0), later(rir(60, 10, 0), 7)}},
		{"singles", []Set{rir(100, 1, 0), rir(97.5, 1, 0)}, []Set{rir(100, 1, 0), rir(97.5, 1, 0)}},
	} {
		got, err := Max(c.sets, Options{})
		if err != nil {
			t.Fatal(err)
		}
		want, err := Max(c.as, Options{})
		if err != nil {
			t.Fatal(err)
		}
		text, told := codes(got.Warnings)["tired-sets"]
		if n := len(c.sets) - len(c.as); told != (n > 0) || told && !strings.HasPrefix(text, fmt.Sprintf("%d of %d sets are left out", n, len(c.sets))) {
			t.Errorf("%s: %q", c.name, text)
		}
		got.Warnings, want.Warnings = nil, nil
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// Numbers as far apart as floats go give an error or a maximum, and no panic; sets of one day are those of its number without fractions.
func TestMaxFarApart(t *testing.T) {
	var fe *FieldError
	if _, err := Max([]Set{{Load: 100, Reps: 5, Day: -1e308}, {Load: 100, Reps: 5, Day: 1e308}}, Options{Drift: -1}); !errors.As(err, &fe) {
		t.Errorf("days: %v", err)
	}
	if e, err := Max([]Set{{Load: 1e-300, Reps: 1}}, Options{LoadStep: 1e308}); err != nil || !(e.Low > 0 && e.Low <= e.Max && e.Max <= e.High) {
		t.Errorf("step: %+v %v", e, err)
	}
	morning, err := Max([]Set{{Load: 100, Reps: 5, Day: 10.70}, {Load: 100, Reps: 3, Day: 10.71}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	day, _ := Max([]Set{{Load: 100, Reps: 5, Day: 10}, {Load: 100, Reps: 3, Day: 10}}, Options{})
	if math.Abs(morning.Max-day.Max) > 0.01 {
		t.Errorf("%v with the hour of the day, %v without", morning.Max, day.Max)
	}
	if v := (VelocityLine{}).ZeroLoad(); v != 0 {
		t.Errorf("the zero line reaches velocity zero at %v", v)
	}
}

// The zero value of bands takes no pair, and the first part that is merged into it.
func TestZeroAgreementBands(t *testing.T) {
	var all AgreementBands
	var fe *FieldError
	if err := all.Add(3, 100, 101); !errors.As(err, &fe) {
		t.Errorf("Add: %v", err)
	}
	part, err := NewAgreementBands(1, 5, 10)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []float64{2, 7, 11} {
		if err := part.Add(key, 100, 101); err != nil {
			t.Fatal(err)
		}
	}
	for range 2 {
		if err := all.Merge(part); err != nil {
			t.Fatal(err)
		}
	}
	if err := part.Merge(&AgreementBands{}); err != nil {
		t.Error(err)
	}
	if b := all.Bands(); len(b) != 2 || b[0].Pairs.N() != 2 || part.Bands()[0].Pairs.N() != 1 || all.Outside() != 2 {
		t.Errorf("%+v, %d outside", b, all.Outside())
	}
}
