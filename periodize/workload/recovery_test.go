package workload_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	w "github.com/blockwright/blockwright/periodize/workload"
)

func restored(t *testing.T, m w.Recovery, rests ...float64) (out []float64) {
	t.Helper()
	for _, s := range rests {
		out = append(out, must(m.Restored(s))(t))
	}
	return out
}

func TestRestoredPublished(t *testing.T) {
	worked(t, "RE-01", restored(t, w.BiExponential(), 30, 60, 90, 120, 180, 300)...)
	second := w.BiExponential()
	second.TauSlow = 716
	worked(t, "RE-02", restored(t, second, 180, 240)...)
	// Phosphocreatine is another quantity; the row says which numbers the curve
	// gives beside it, and that they agree to a twentieth.
	r := row(t, "workload-worked-examples.csv", "RE-03")
	got := restored(t, w.BiExponential(), 90, 360)
	for i, pcr := range numbers(t, r["expected"]) {
		if math.Abs(got[i]-pcr) > 0.05 {
			t.Errorf("RE-03: %v, phosphocreatine %v", got[i], pcr)
		}
	}
	// RE-06 gives the constants and, in its note, five values to three digits.
	want := numbers(t, row(t, "workload-worked-examples.csv", "RE-06")["expected"])
	own := w.Recovery{A: want[0], Tau: want[1]}
	rests := []float64{60, 120, 180, 300, 480}
	if a, b := restored(t, own, rests...), restored(t, w.Recovery{}, rests...); !slices.Equal(a, b) {
		t.Errorf("the default is not RE-06: %v, %v", b, a)
	}
	for i, v := range []float64{0.509, 0.624, 0.713, 0.832, 0.925} {
		if math.Abs(restored(t, own, rests[i])[0]-v) > 0.0006 {
			t.Errorf("RE-06: R(%v) is %v, want %v", rests[i], restored(t, own, rests[i])[0], v)
		}
	}
}

// toFailure is the repetitions that sets to failure add up to.
func toFailure(t tester, m w.Recovery, capacity float64, sets int, rest float64) float64 {
	list := slices.Repeat([]w.WorkSet{{Open: true, Rest: rest}}, sets)
	list[0].Fresh.Mean = capacity
	total := 0.0
	for _, r := range must(m.Reserves(list))(t) {
		total += r.Possible.Mid
	}
	return total
}

// publishedTotals are the totals of workload-rest-interval.csv that a model of
// sets to failure can be held against, as the table in the package comment
// prints them. Where the studies give a quantity relative to another rest, or
// in kilograms at a constant weight, it is a ratio of totals.
var publishedTotals = []struct {
	study      string
	rows       []string // the rows; with two, the first over the second
	lifts      float64  // exercises
	capacity   float64
	sets       int
	rest, over float64 // seconds; over 0: the total itself
}{
	{"Senna 2009, 9 sets of 10RM", []string{"R-01"}, 3, 10, 3, 120, 0},
	{"Senna 2009, 9 sets of 10RM", []string{"R-02"}, 3, 10, 3, 300, 0},
	{"Willardson 2005, bench, 4x8RM", []string{"R-03"}, 1, 8, 4, 120, 60},
	{"Willardson 2005, bench, 4x8RM", []string{"R-04"}, 1, 8, 4, 300, 60},
	{"Willardson 2005, squat, 4x8RM", []string{"R-05"}, 1, 8, 4, 120, 60},
	{"Willardson 2005, squat, 4x8RM", []string{"R-06"}, 1, 8, 4, 300, 60},
	{"Lopes 2018, 6 lifts, 4x10RM", []string{"R-08", "R-10"}, 6, 10, 4, 30, 120},
	{"Lopes 2018, 6 lifts, 4x10RM", []string{"R-09", "R-10"}, 6, 10, 4, 60, 120},
	{"Richmond 2004, bench, 2 sets", []string{"R-11", "R-13"}, 1, 10, 2, 60, 300},
	{"Richmond 2004, bench, 2 sets", []string{"R-12", "R-13"}, 1, 10, 2, 180, 300},
}

// reached gives the published and the predicted number of row i.
func reached(t *testing.T, i int, m w.Recovery) (published, got float64) {
	t.Helper()
	p := publishedTotals[i]
	value := func(id string) float64 { return parse(t, row(t, "workload-rest-interval.csv", id)["value"]) }
	published = value(p.rows[0])
	got = p.lifts * toFailure(t, m, p.capacity, p.sets, p.rest)
	switch {
	case len(p.rows) == 2:
		published /= value(p.rows[1])
	case p.over > 0: // "+26" per cent
		published = 1 + published/100
	}
	if p.over > 0 {
		got /= p.lifts * toFailure(t, m, p.capacity, p.sets, p.over)
	}
	return published, got
}

func TestRecoveryReachesPublishedTotals(t *testing.T) {
	// The errors that the package comment states, in per cent of the published
	// number. They are what the models reach, not what one would wish.
	single := []float64{1, -1, -10, -8, 0, 8, -8, -8, 1, 7}
	bi := []float64{2, -6, -13, -16, -3, -2, -12, -5, 7, 9}
	for i, p := range publishedTotals {
		for _, m := range []struct {
			name  string
			model w.Recovery
			want  float64
			limit float64
		}{{"single", w.Recovery{}, single[i], 10.5}, {"bi-exponential", w.BiExponential(), bi[i], 16.5}} {
			pub, got := reached(t, i, m.model)
			off := 100 * (got/pub - 1)
			if math.Round(off) != m.want && !(math.Round(off) == 0 && m.want == 0) || math.Abs(off) > m.limit {
				t.Errorf("%s, %v s, %s: %.3f, published %.3f, off %+.1f %%, documented %+v %%", p.study, p.rest, m.name, got, pub, off, m.want)
			}
		}
	}
	// RE-04 and RE-05 state their own margins: 8 repetitions and 0.15.
	var re04, re05 []float64
	for i := range 6 {
		_, got := reached(t, i, w.Recovery{})
		if i < 2 {
			re04 = append(re04, got)
		} else {
			re05 = append(re05, got)
		}
	}
	worked(t, "RE-04", re04...)
	worked(t, "RE-05", re05...)
}

func TestRecoveryAgainstRepetitionsAtPercent(t *testing.T) {
	// Silva et al. 2014: three bench sets to failure at 70 % with 60 s of rest,
	// 26.62 repetitions. How many a fresh set allows comes from elsewhere: 14.1
	// at 70 % in the bench press (Nuzzo et al. 2024). Neither was fitted to the
	// other; within the honest 15 %.
	published := numbers(t, row(t, "workload-rest-interval.csv", "R-26")["value"])[0]
	got := toFailure(t, w.Recovery{}, 14.1, 3, 60)
	if off := got/published - 1; math.Abs(off) > 0.15 {
		t.Errorf("got %.1f, published %.1f", got, published)
	}
}

func TestRecoveryAgreesWithPublishedOrders(t *testing.T) {
	// Longer rests, more repetitions, R-24 (looked-up).
	for _, rests := range [][]float64{{60, 120, 180}, {120, 300, 480}, {60, 180, 300}, {60, 120, 300}, {60, 180}} {
		last := 0.0
		for _, r := range rests {
			got := toFailure(t, w.Recovery{}, 10, 4, r)
			if got <= last {
				t.Errorf("rest %v s: %v, not more than %v", r, got, last)
			}
			last = got
		}
	}
	// R-15 (looked-up): at 120 s the sets lost 8 to 29 % from the third on. The
	// model loses more, and earlier, as the package comment says.
	if loss := 1 - restored(t, w.Recovery{}, 120)[0]; loss < 0.29 {
		t.Errorf("loss %v: the package comment says that it is larger than published", loss)
	}
}

func TestReservesByHand(t *testing.T) {
	// 10 possible, 3 sets of 6, rest 180 s. q = 1-R(180) = 0.287370.
	// Set 1: 10-6 = 4. Set 2: missing 6q = 1.72422, left 2.27578.
	// Set 3: missing (6+1.72422)q = 2.21971, left 1.78029.
	sets := slices.Repeat([]w.WorkSet{{Reps: 6, Rest: 180}}, 3)
	sets[0].Fresh = w.Capacity{Mean: 10, SD: 2}
	got := must(w.Recovery{}.Reserves(sets))(t)
	for i, want := range []float64{4, 2.27578, 1.78029} {
		if math.Abs(got[i].Left.Mid-want) > 2e-5 || math.Abs(got[i].Possible.Mid-want-6) > 2e-5 {
			t.Errorf("set %d: %+v, want %v left", i+1, got[i], want)
		}
	}
	// Set 1: only the capacity is uncertain, 1.2816 SD of it for 80 % coverage.
	if z := 1.2815515655; math.Abs(got[0].Left.Low-(4-2*z)) > 1e-9 || math.Abs(got[0].Left.High-(4+2*z)) > 1e-9 {
		t.Errorf("set 1: %+v", got[0].Left)
	}
	// The reserve's interval from the model alone in set 2: 0.125 of what is
	// possible, for 6 of 10 spent, 0.125*8.27578*0.6*1.28155.
	sets[0].Fresh.SD = 0
	got = must(w.Recovery{}.Reserves(sets))(t)
	if got[0].Left.Low != 4 || got[0].Left.High != 4 {
		t.Errorf("set 1: %+v", got[0].Left)
	}
	if d := got[1].Left.Mid - got[1].Left.Low; math.Abs(d-0.795438) > 1e-5 || math.Abs(got[1].Left.High-got[1].Left.Mid-d) > 1e-12 {
		t.Errorf("set 2: %+v", got[1].Left)
	}
	got = must(w.Recovery{ModelError: -1}.Reserves(sets))(t)
	if got[2].Left.Low != got[2].Left.High {
		t.Errorf("no model error: %+v", got[2].Left)
	}
}

func TestReservesOfImpossibleSets(t *testing.T) {
	// More asked than there is: the repetitions missing, and the lifter stops at failure.
	sets := []w.WorkSet{{Reps: 12, Fresh: w.Capacity{Mean: 10}, Rest: 120}, {Reps: 12, Rest: 120}, {Reps: 5}}
	got := must(w.Recovery{}.Reserves(sets))(t)
	r := restored(t, w.Recovery{}, 120)[0]
	for i, want := range []float64{-2, 10*r - 12, 10*r - 5} {
		if !near(got[i].Left.Mid, want, 1e-12) {
			t.Errorf("set %d: %+v, want %v", i+1, got[i].Left, want)
		}
	}
	// A weight above the maximum.
	got = must(w.Recovery{}.Reserves([]w.WorkSet{{Reps: 1, Fresh: w.Capacity{Mean: 0.4, SD: 0.5}}}))(t)
	if !near(got[0].Left.Mid, -0.6, 1e-12) || got[0].Possible.Low != 0 {
		t.Errorf("got %+v", got[0])
	}
}

func TestReservesAcrossWeights(t *testing.T) {
	// Half of the capacity spent with one weight is half spent for the next.
	m := w.Recovery{ModelError: -1}
	sets := []w.WorkSet{
		{Reps: 3, Fresh: w.Capacity{Mean: 6}, Rest: 240},
		{Reps: 8, Fresh: w.Capacity{Mean: 14}, Rest: 0},
		{Open: true, Leave: 1},
	}
	got := must(m.Reserves(sets))(t)
	x := 1 - 0.5*(1-restored(t, m, 240)[0])
	// No rest between the last two: they are one set as far as fatigue goes.
	for i, want := range []float64{3, 14*x - 8, 1} {
		if !near(got[i].Left.Mid, want, 1e-12) {
			t.Errorf("set %d: %+v, want %v", i+1, got[i].Left, want)
		}
	}
	if !near(got[2].Possible.Mid, 14*x-8, 1e-9) {
		t.Errorf("open set: %+v", got[2].Possible)
	}
}

func TestReservesSayNothingBeyondTheirReach(t *testing.T) {
	ten := w.Capacity{Mean: 10}
	for _, tc := range []struct {
		name string
		sets []w.WorkSet
		want []w.Reason
	}{
		{"no capacity", []w.WorkSet{{Reps: 5}, {Reps: 5, Fresh: ten}}, []w.Reason{w.NoCapacity, w.NoCapacity}},
		{"far from failure, the fresh set answered", []w.WorkSet{{Reps: 2, Fresh: ten, Rest: 180}, {Reps: 2, Rest: 180}, {Reps: 6}}, []w.Reason{"", w.FarFromFailure, ""}},
		{"maximal singles", []w.WorkSet{{Reps: 1, Fresh: w.Capacity{Mean: 1.2}, Rest: 180}, {Reps: 1, Rest: 180}, {Reps: 5, Fresh: ten}}, []w.Reason{"", w.MaximalSingle, ""}},
		{"superset, unknown", []w.WorkSet{{Reps: 6, Fresh: ten, Rest: 60, Between: 40}, {Reps: 6, Rest: 60}, {Reps: 6}}, []w.Reason{"", w.OverlapNotKnown, w.OverlapNotKnown}},
		{"superset, the same muscles", []w.WorkSet{{Reps: 6, Fresh: ten, Rest: 60, Between: 40, Overlap: w.SharedMuscles}, {Reps: 6}}, []w.Reason{"", w.OverlapNotKnown}},
		{"superset, other muscles", []w.WorkSet{{Reps: 6, Fresh: ten, Rest: 60, Between: 40, Overlap: w.NoOverlap}, {Reps: 6}}, []w.Reason{"", ""}},
		{"short rest", []w.WorkSet{{Reps: 6, Fresh: ten, Rest: 15}, {Reps: 6}}, []w.Reason{"", w.RestTooShort}},
		{"none", nil, nil},
	} {
		got := must(w.Recovery{}.Reserves(tc.sets))(t)
		var reasons []w.Reason
		for _, r := range got {
			reasons = append(reasons, r.Reason)
			if !r.Known() && (r.Left != w.Range{} || r.Possible != w.Range{}) {
				t.Errorf("%s: a number beside a reason: %+v", tc.name, r)
			}
		}
		if !slices.Equal(reasons, tc.want) {
			t.Errorf("%s: got %q, want %q", tc.name, reasons, tc.want)
		}
	}
	// Time spent on other muscles is rest.
	a := must(w.Recovery{}.Reserves([]w.WorkSet{{Reps: 6, Fresh: ten, Rest: 60, Between: 40, Overlap: w.NoOverlap}, {Reps: 6}}))(t)
	b := must(w.Recovery{}.Reserves([]w.WorkSet{{Reps: 6, Fresh: ten, Rest: 100}, {Reps: 6}}))(t)
	if a[1] != b[1] {
		t.Errorf("%+v, %+v", a[1], b[1])
	}
	// What a maximal single costs lies between nothing and the repetition rule.
	c := must(w.Recovery{ModelError: -1}.Reserves([]w.WorkSet{{Reps: 1, Fresh: w.Capacity{Mean: 1}, Rest: 120}, {Reps: 5, Fresh: ten}}))(t)
	q := 1 - restored(t, w.Recovery{}, 120)[0]
	for _, p := range [][2]float64{{c[1].Left.High, 5}, {c[1].Left.Mid, 5 - 5*q}, {c[1].Left.Low, 5 - 10*q}} {
		if !near(p[0], p[1], 1e-12) {
			t.Errorf("after a single: %+v", c[1].Left)
		}
	}
	// The limits are settings.
	d := must(w.Recovery{MaxReserve: 9, MinRest: -1}.Reserves([]w.WorkSet{{Reps: 1, Fresh: ten, Rest: 10}, {Reps: 1.5}}))(t)
	if !d[1].Known() {
		t.Errorf("%+v", d[1])
	}
}

func TestFreshCapacityByHand(t *testing.T) {
	// The example of TestReservesByHand, backwards: 1.78029 left of the third set.
	sets := slices.Repeat([]w.WorkSet{{Reps: 6, Rest: 180}}, 3)
	got := must(w.Recovery{}.FreshCapacity(1.78029, sets))(t)
	if math.Abs(got.Mid-10) > 2e-5 || !(got.Low < got.Mid && got.Mid < got.High) {
		t.Errorf("got %+v", got)
	}
	// One set has nothing to recover from.
	if got := must(w.Recovery{}.FreshCapacity(2, sets[:1]))(t); got != (w.Range{Mid: 8, Low: 8, High: 8}) {
		t.Errorf("got %+v", got)
	}
	// Without rest the sets are one.
	if got := must(w.Recovery{}.FreshCapacity(1, []w.WorkSet{{Reps: 4}, {Reps: 4}}))(t); got.Mid != 9 {
		t.Errorf("got %+v", got)
	}
	for _, tc := range []struct {
		name    string
		reserve float64
		sets    []w.WorkSet
		want    w.Reason
	}{
		{"far", 7, sets, w.FarFromFailure},
		{"singles", 0.1, []w.WorkSet{{Reps: 1, Rest: 300}, {Reps: 1}}, w.MaximalSingle},
		{"superset", 1, []w.WorkSet{{Reps: 5, Rest: 60, Between: 30}, {Reps: 5}}, w.OverlapNotKnown},
		{"short", 1, []w.WorkSet{{Reps: 5, Rest: 20}, {Reps: 5}}, w.RestTooShort},
	} {
		var re *w.ReachError
		if _, err := (w.Recovery{}).FreshCapacity(tc.reserve, tc.sets); !errors.As(err, &re) || re.Reason != tc.want || re.Error() == "" {
			t.Errorf("%s: %v", tc.name, err)
		}
	}
	for i, tc := range []struct {
		reserve float64
		sets    []w.WorkSet
	}{
		{-1, sets}, {math.NaN(), sets}, {1, nil},
		{1, []w.WorkSet{{Open: true}}},
		{1, []w.WorkSet{{Reps: 10, Rest: 300}, {Reps: 2}}}, // the first set would fail
	} {
		var fe *w.FieldError
		if _, err := (w.Recovery{}).FreshCapacity(tc.reserve, tc.sets); !errors.As(err, &fe) {
			t.Errorf("%d: %v", i, err)
		}
	}
}

func anyRecovery(t *rapid.T) w.Recovery {
	if rapid.Bool().Draw(t, "default") {
		return w.Recovery{}
	}
	a := rapid.Float64Range(0.05, 1).Draw(t, "a")
	return w.Recovery{
		A: a, Tau: rapid.Float64Range(5, 400).Draw(t, "tau"),
		B: rapid.Float64Range(0, 1).Draw(t, "b") * (1 - a), TauSlow: rapid.Float64Range(100, 900).Draw(t, "slow"),
	}
}

func TestRecoveryProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyRecovery(t)
		last := 0.0
		for s := 0.0; s <= 3600; s += 30 {
			r := must(m.Restored(s))(t)
			if !(r >= last && r <= 1) || s == 0 && r != 0 {
				t.Fatalf("R(%v) = %v after %v", s, r, last)
			}
			last = r
		}
		n := rapid.IntRange(1, 8).Draw(t, "sets")
		reps := float64(rapid.IntRange(2, 12).Draw(t, "reps"))
		rest := rapid.Float64Range(30, 600).Draw(t, "rest")
		want := rapid.Float64Range(0, 6).Draw(t, "reserve")
		sets := slices.Repeat([]w.WorkSet{{Reps: reps, Rest: rest}}, n)
		c := must(m.FreshCapacity(want, sets))(t)
		sets[0].Fresh = w.Capacity{Mean: c.Mid, SD: rapid.Float64Range(0, 4).Draw(t, "sd")}
		rs := must(m.Reserves(sets))(t)
		// The inverse of the inverse, wherever it answers (6 itself may round above 6).
		if end := rs[n-1]; end.Known() && math.Abs(end.Left.Mid-want) > 1e-9 || !end.Known() && want < 5.999 {
			t.Fatalf("wanted %v, got %+v with %v", want, end, c.Mid)
		}
		for i, r := range rs {
			if !r.Known() {
				continue
			}
			if !(r.Left.Low <= r.Left.Mid && r.Left.Mid <= r.Left.High && r.Possible.Low >= 0) {
				t.Fatalf("set %d: %+v", i+1, r)
			}
			if i > 0 && rs[i-1].Known() && r.Left.Mid > rs[i-1].Left.Mid+1e-9 {
				t.Fatalf("set %d leaves more than the one before", i+1)
			}
		}
		// More rest never costs repetitions, and more capacity never reserve.
		longer := slices.Clone(sets)
		for i := range longer {
			longer[i].Rest *= 1.5
		}
		stronger := slices.Clone(sets)
		stronger[0].Fresh.Mean *= 1.1
		for name, other := range map[string][]w.WorkSet{"longer": longer, "stronger": stronger} {
			for i, r := range must(m.Reserves(other))(t) {
				if r.Known() && rs[i].Known() && r.Left.Mid < rs[i].Left.Mid-1e-9 {
					t.Fatalf("%s: set %d: %v, before %v", name, i+1, r.Left.Mid, rs[i].Left.Mid)
				}
			}
		}
	})
}

func TestRecoveryErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, m := range []w.Recovery{
		{A: -1, Tau: 1}, {A: 1.5, Tau: 1}, {A: nan, Tau: 1}, {A: 0.5}, {A: 0.5, Tau: inf}, {A: 0.5, Tau: -3}, {A: 0.5, Tau: nan},
		{A: 0.6, Tau: 20, B: 0.6, TauSlow: 300}, {A: 0.6, Tau: 20, B: 0.4}, {B: nan, TauSlow: 1},
		{ModelError: nan}, {ModelError: 2}, {Coverage: 1}, {Coverage: -0.5}, {MinRest: inf}, {MaxReserve: -1}, {MaxReserve: nan},
	} {
		_, e1 := m.Reserves(nil)
		_, e2 := m.FreshCapacity(1, []w.WorkSet{{Reps: 5}})
		_, e3 := m.Restored(60)
		for _, err := range []error{e1, e2, e3} {
			var fe *w.FieldError
			if !errors.As(err, &fe) {
				t.Errorf("%+v: %v", m, err)
			}
		}
	}
	ok := w.Capacity{Mean: 10}
	for _, s := range []w.WorkSet{
		{Fresh: ok}, {Reps: -1, Fresh: ok}, {Reps: nan, Fresh: ok}, {Reps: inf, Fresh: ok}, {Reps: 5, Fresh: w.Capacity{Mean: -1}},
		{Reps: 5, Fresh: w.Capacity{Mean: nan}}, {Reps: 5, Fresh: w.Capacity{Mean: 5, SD: -1}}, {Reps: 5, Fresh: w.Capacity{Mean: 1e-300}},
		{Reps: 5, Rest: -1}, {Reps: 5, Rest: inf}, {Reps: 5, Between: nan}, {Reps: 5, Overlap: 9}, {Open: true, Leave: -1}, {Open: true, Leave: nan},
	} {
		var fe *w.FieldError
		if _, err := (w.Recovery{}).Reserves([]w.WorkSet{s}); !errors.As(err, &fe) {
			t.Errorf("%+v: %v", s, err)
		}
	}
	for _, s := range []float64{-1, nan, inf} {
		if _, err := (w.Recovery{}).Restored(s); err == nil {
			t.Errorf("rest of %v s", s)
		}
	}
	// The largest of everything stays finite.
	for _, r := range must(w.Recovery{}.Reserves([]w.WorkSet{{Reps: 1e6, Fresh: w.Capacity{Mean: 1e6, SD: 1e6}, Rest: 1e12}, {Reps: 1e6, Fresh: w.Capacity{Mean: 1e-6, SD: 1e6}}}))(t) {
		if s := fmt.Sprint(r); math.IsNaN(r.Left.Low+r.Left.High) || math.IsInf(r.Left.High, 0) {
			t.Error(s)
		}
	}
}
