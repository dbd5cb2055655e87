package estimate

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

func fit(t testing.TB, sets []Set, opt Options) *LifterCurve {
	t.Helper()
	l, err := Fit(sets, opt)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// Knowing nothing but one set, the lifter's curve is the population's: middle,
// and spread (one set says nothing of ability).
func TestFitShrinksToThePopulation(t *testing.T) {
	l := fit(t, []Set{{Load: 80, Reps: 8}}, Options{})
	c := curve(t, "general")
	for _, f := range []float64{0.9, 0.8, 0.7, 0.6} {
		got, err := l.Reps(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range []struct{ got, at float64 }{{got.Mid, 0.5}, {got.Low, 0.05}, {got.High, 0.95}} {
			want, _, err := c.RepsAt(f, q.at)
			if err != nil || !near(q.got, want, 0.01) {
				t.Errorf("at %v: %v at quantile %v, want %v, %v", f, q.got, q.at, want, err)
			}
		}
	}
	// And yet the load for the same set is known well: what is not known of
	// maximum and ability cancels.
	p, err := l.Load(8, 0)
	if err != nil || math.Abs(p.Mid-80) > 0.1 || p.High-p.Low > 8 {
		t.Errorf("load for the same set again: %+v, %v", p, err)
	}
	far, err := l.Load(2, 0)
	if err != nil || far.High-far.Low < 1.5*(p.High-p.Low) {
		t.Errorf("load for a double: %+v, %v; near %+v", far, err, p)
	}
}

// A lifter who does many repetitions at a known maximum is told apart, the more
// surely the more sets there are, and a lifter of the middle stays there.
func TestFitFindsTheLiftersAbility(t *testing.T) {
	c := curve(t, "general")
	max := Set{Load: 100, Reps: 1, Tested: true}
	set := func(f, z float64) Set { return Set{Load: 100 * f, Reps: c.repsOf(f, z)} }
	for _, z := range []float64{-1.5, 0, 1.5} {
		two := fit(t, []Set{max, set(0.8, z)}, Options{})
		many := fit(t, []Set{max, set(0.8, z), set(0.75, z), set(0.7, z), set(0.65, z), set(0.85, z)}, Options{})
		e2, e6 := two.Estimate(), many.Estimate()
		if !(e6.AbilitySD < e2.AbilitySD && e2.AbilitySD < 0.7) {
			t.Errorf("ability %v: deviation %v from one set, %v from five", z, e2.AbilitySD, e6.AbilitySD)
		}
		// Shrinkage: between the population and the lifter. The maximum being up to
		// a step above the tested load takes a little off, too.
		if math.Abs(e6.Ability-z) > 0.45 || math.Abs(e2.Ability) > math.Abs(z)+0.35 {
			t.Errorf("ability %v: found %v from one set, %v from five", z, e2.Ability, e6.Ability)
		}
		got, err := many.Reps(0.6)
		if want := c.repsOf(0.6, z); err != nil || got.Low > want || got.High < want {
			t.Errorf("ability %v at 60 %%: %+v, %v, does %v", z, got, err, want)
		}
	}
}

// Predictions of a coming set cover as promised: 400 lifters drawn from the
// model, three sets each, one more predicted. Three standard errors of 0.9.
func TestFitPredictsAComingSet(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	c := curve(t, "general")
	w := world{spread: 1, sd: 1}
	hitLoad, hitReps, n := 0, 0, 400
	for range n {
		z := w.lifter(r)
		sets := []Set{w.set(r, c, z, 100, 5, 0), w.set(r, c, z, 100, 8, 0), w.set(r, c, z, 100, 3, 0)}
		l := fit(t, sets, Options{})
		coming := w.set(r, c, z, 100, 6, 0)
		if p, err := l.Load(6, 0); err != nil {
			t.Fatal(err)
		} else if p.Low <= coming.Load && coming.Load <= p.High {
			hitLoad++
		}
		a, b := math.Sqrt(1-withinShare), math.Sqrt(withinShare)
		does := c.repsOf(0.75, a*z+b*r.NormFloat64())
		if p, err := l.Reps(0.75); err != nil {
			t.Fatal(err)
		} else if p.Low <= does && does <= p.High {
			hitReps++
		}
	}
	for name, hits := range map[string]int{"load for six": hitLoad, "repetitions at 75 %": hitReps} {
		if got := float64(hits) / float64(n); math.Abs(got-0.9) > 0.045 {
			t.Errorf("%s: covered %v of the time, want 0.9", name, got)
		}
	}
}

func TestFitProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(1, 4).Draw(t, "sets")
		sets := make([]Set, k)
		for i := range sets {
			sets[i] = Set{
				Load: rapid.Float64Range(60, 100).Draw(t, "load"),
				Reps: float64(rapid.IntRange(1, 12).Draw(t, "reps")),
				RIR:  float64(rapid.IntRange(0, 4).Draw(t, "rir")),
				Day:  float64(rapid.IntRange(0, 20).Draw(t, "day")),
			}
		}
		l, err := Fit(sets, Options{})
		if err != nil {
			t.Fatal(err)
		}
		ordered := func(what string, p Predicted, err error) {
			if err != nil || !(p.Low <= p.Mid && p.Mid <= p.High) || !finite(p.Low) || !finite(p.High) || p.Low <= 0 {
				t.Fatalf("%s: %+v, %v", what, p, err)
			}
		}
		lastReps, lastLoad, lastFraction := math.Inf(1), math.Inf(1), math.Inf(1)
		for _, f := range []float64{0.55, 0.7, 0.8, 0.9, 1} {
			p, err := l.Reps(f)
			ordered("Reps", p, err)
			if p.Mid >= lastReps {
				t.Fatalf("repetitions rise with load: %v", p)
			}
			lastReps = p.Mid
		}
		for _, n := range []float64{2, 3, 5, 8, 12} {
			p, err := l.Fraction(n)
			ordered("Fraction", p, err)
			q, err := l.Load(n-1, 1)
			ordered("Load", q, err)
			if p.Mid >= lastFraction || q.Mid >= lastLoad {
				t.Fatalf("load rises with repetitions at %v: %+v %+v", n, p, q)
			}
			lastFraction, lastLoad = p.Mid, q.Mid
		}
	})
}

func TestFitErrors(t *testing.T) {
	var fe *FieldError
	var re *RangeError
	if _, err := Fit(nil, Options{}); !errors.As(err, &fe) {
		t.Errorf("no sets: %v", err)
	}
	l := fit(t, []Set{{Load: 80, Reps: 8}}, Options{})
	for _, x := range []float64{0, -1, 1.1, math.NaN()} {
		if _, err := l.Reps(x); !errors.As(err, &fe) {
			t.Errorf("Reps(%v): %v", x, err)
		}
	}
	for _, x := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := l.Fraction(x); !errors.As(err, &fe) {
			t.Errorf("Fraction(%v): %v", x, err)
		}
		if _, err := l.Load(x, 0); !errors.As(err, &fe) {
			t.Errorf("Load(%v, 0): %v", x, err)
		}
	}
	for _, x := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := l.Load(5, x); !errors.As(err, &fe) {
			t.Errorf("Load(5, %v): %v", x, err)
		}
	}
	if _, err := l.Fraction(200); !errors.As(err, &re) {
		t.Errorf("Fraction(200): %v", err)
	}
	if p, err := l.Load(1, 0); err != nil || p.Mid != l.Estimate().Max {
		t.Errorf("load for a single: %+v, %v", p, err)
	}
}

// The maximum of a fit is the answer of Max, whatever the number of sets.
func TestFitAnswersAsMax(t *testing.T) {
	for _, sets := range [][]Set{
		{{Load: 140, Reps: 5, RIR: 2}},
		{{Load: 140, Reps: 8, NoRIR: true}},
		{{Load: 180, Reps: 1, Tested: true}},
		{{Load: 180, Reps: 1}, {Load: 182.5, Reps: 1, Day: 7}},
		{{Load: 140, Reps: 5, RIR: 2}, {Load: 120, Reps: 12}},
	} {
		want, err := Max(sets, Options{})
		if err != nil {
			t.Fatal(err)
		}
		l, err := Fit(sets, Options{})
		if err != nil {
			t.Fatal(err)
		}
		got := l.Estimate()
		if math.Abs(got.Max-want.Max) > 1e-6 || math.Abs(got.Low-want.Low) > 1e-6 || math.Abs(got.High-want.High) > 1e-6 {
			t.Errorf("%v: fit %v (%v to %v), Max %v (%v to %v)", sets, got.Max, got.Low, got.High, want.Max, want.Low, want.High)
		}
	}
}
