package periodize

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize/response"
	"github.com/google/go-cmp/cmp"
)

// TestForecastIsTheModel holds a forecast against the sum that the model is,
// written out: p(n) = sum over earlier days of w(i) (exp(-(n-i)/tau1) - k2/k1
// exp(-(n-i)/tau2)), the load before day 1 going back for ever.
func TestForecastIsTheModel(t *testing.T) {
	b, r := fourWeeks()
	r.Start = date("2027-09-06")
	p := plan(t, b, r)
	set := response.ParameterSet{Name: "one", Tau1: 40, Tau2: 10, Ratio: 2}
	f, err := p.Forecast(ForecastOptions{Sets: []response.ParameterSet{set}})
	if err != nil {
		t.Fatal(err)
	}
	// Week 1 by hand: 20 repetitions at 0.75 and 20 at 0.6 of the maximum.
	if want := 27.0 / 7; !cmp.Equal(f.Before, want, nearly) || !strings.Contains(f.Assumed, "first week") {
		t.Errorf("load before %v, want %v: %s", f.Before, want, f.Assumed)
	}
	// Day 29 is the test; 14 days are looked at after it.
	if f.Test != 29 || len(f.Load) != 43 || len(f.Days) != 43 || !f.Date(29).Equal(date("2027-10-04")) {
		t.Errorf("test %d, %d days of load, %d of outlook", f.Test, len(f.Load), len(f.Days))
	}
	perf := func(n int) (fit, fat float64) {
		for i := n - 1; i > -2000; i-- {
			w := f.Before
			if i >= 1 {
				w = f.Load[i-1]
			}
			fit += w * math.Exp(-float64(n-i)/set.Tau1)
			fat += set.Ratio * w * math.Exp(-float64(n-i)/set.Tau2)
		}
		return fit, fat
	}
	lo, hi, best := math.Inf(1), math.Inf(-1), 0
	for n := 1; n <= 43; n++ {
		fit, fat := perf(n)
		lo = min(lo, fit-fat)
		if fit-fat > hi {
			hi, best = fit-fat, n
		}
	}
	fit1, fat1 := perf(1)
	for n := 1; n <= 43; n++ {
		fit, fat := perf(n)
		got := []float64{f.Days[n-1].Mid, f.Fitness[n-1].Mid, f.Fatigue[n-1].Mid}
		want := []float64{(fit - fat - lo) / (hi - lo), (fit - fit1) / (hi - lo), (fat - fat1) / (hi - lo)}
		for i := range got {
			if math.Abs(got[i]-want[i]) > 1e-9 {
				t.Fatalf("day %d: freshness, fitness and fatigue %v, want %v", n, got, want)
			}
		}
	}
	if f.Freshest.Day != best {
		t.Errorf("freshest on day %d, want %d", f.Freshest.Day, best)
	}
	if agree, of := f.NearFreshest(best + 3); agree != 1 || of != 1 {
		t.Errorf("3 days from the freshest: %d of %d agree", agree, of)
	}
	if agree, _ := f.NearFreshest(best + 4); agree != 0 {
		t.Errorf("4 days from the freshest: %d agree", agree)
	}
	if _, ok := f.On(44); ok {
		t.Error("day 44 was not looked at")
	}
}

func TestForecastBefore(t *testing.T) {
	b, r := fourWeeks()
	r.Lifters[0].Recent = &Recent{WeeklySets: new(4)}
	f, err := plan(t, b, r).Forecast(ForecastOptions{})
	if err != nil {
		t.Fatal(err)
	}
	// Half of the first week's 8 sets.
	if !cmp.Equal(f.Before, 27.0/14, nearly) || !strings.Contains(f.Assumed, "roster's 4 sets a week") {
		t.Errorf("%v, %s", f.Before, f.Assumed)
	}
	if len(f.Outlook.Sets) != len(response.AssumedSets()) || !cmp.Equal(f.Caveats, response.Caveats()) {
		t.Errorf("%d sets, caveats %q", len(f.Outlook.Sets), f.Caveats)
	}
	r.Lifters[0].Recent = &Recent{WeeklySets: new(0)} // none is not unknown
	if f, err := plan(t, b, r).Forecast(ForecastOptions{}); err != nil || f.Before != 0 || !strings.Contains(f.Assumed, "none, as the roster says") {
		t.Errorf("after no training: %v, %s, %v", f.Before, f.Assumed, err)
	}
	none := 0.0
	if f, err = plan(t, b, r).Forecast(ForecastOptions{Before: &none, After: -1}); err != nil || f.Before != 0 || len(f.Load) != 29 {
		t.Errorf("%v, %d days, %v", f.Before, len(f.Load), err)
	}
	// What came before is that of the plan's first week, wherever the days begin.
	r.Lifters[0].Recent = nil
	p := plan(t, b, r)
	f, err = p.Forecast(ForecastOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if early, err := p.Forecast(ForecastOptions{Daily: DailyOptions{Start: p.Start.AddDate(0, 0, -14)}}); err != nil || !cmp.Equal(early.Before, f.Before, nearly) || f.Before == 0 {
		t.Errorf("%v before with 14 days more, want %v; %v", early.Before, f.Before, err)
	}
	for name, o := range map[string]ForecastOptions{"before": {Before: ptr(math.NaN())}, "after": {After: 366}, "measure": {Daily: DailyOptions{Measure: "x"}}} {
		var e *Error
		if _, err := plan(t, b, r).Forecast(o); !errors.As(err, &e) {
			t.Errorf("%s: %v, want an *Error", name, err)
		}
	}
}

// An error comes without a forecast, which would look like one that was made.
func TestForecastOrError(t *testing.T) {
	p := plan(t, oneItem(2, Item{Work: Work{Reps: Fixed(5), Weight: Percent(Fixed(80))}}), oneLifter(Lifter{}))
	if f, err := p.Forecast(ForecastOptions{Convention: 9}); f != nil || err == nil {
		t.Errorf("got %v, %v", f, err)
	}
}

func ptr[T any](x T) *T { return &x }

func TestForecastWith(t *testing.T) {
	b, r := fourWeeks()
	a := plan(t, b, r)
	// The same again: no parameter set can tell the two apart.
	pair, err := a.ForecastWith(plan(t, b, r), 0, ForecastOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if pair.On != 29 || pair.Comparison.Even != 13 || pair.Padded != "" {
		t.Errorf("on day %d, even in %d, padded %q", pair.On, pair.Comparison.Even, pair.Padded)
	}
	// A shorter block to the same test begins a week later, with the load before
	// the longer one until then.
	short, _ := fourWeeks()
	short.Weeks = 3
	for i := range short.Sessions {
		short.Sessions[i].Work[0].Sets, short.Sessions[i].Work[0].Reps = Fixed(4), Fixed(5)
		short.Sessions[i].Work[0].Weight = Percent(Fixed(70))
	}
	r.Test = date("2027-10-04")
	a, other := plan(t, b, r), plan(t, short, r)
	for _, swap := range []bool{false, true} {
		if swap {
			a, other = other, a
		}
		pair, err = a.ForecastWith(other, 0, ForecastOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if len(pair.A.Load) != 43 || len(pair.B.Load) != 43 || pair.A.Test != 29 || pair.B.Test != 29 || pair.Padded == "" {
			t.Errorf("%d and %d days, tests on %d and %d, padded %q", len(pair.A.Load), len(pair.B.Load), pair.A.Test, pair.B.Test, pair.Padded)
		}
		late := pair.B
		if swap {
			late = pair.A
		}
		if late.Load[0] != pair.A.Before || late.Load[6] != pair.A.Before || late.Load[7] != 14 || pair.A.Before != pair.B.Before {
			t.Errorf("the later plan begins %v, want %v for seven days and then 14", late.Load[:8], pair.A.Before)
		}
		if c := pair.Comparison; c.AheadA+c.AheadB+c.Even != 13 || !cmp.Equal(c.Caveats, response.Caveats()) {
			t.Errorf("%+v", c)
		}
	}
	dateless := oneLifter(Lifter{Maxes: r.Lifters[0].Maxes})
	var e *Error
	if _, err := a.ForecastWith(plan(t, b, dateless), 0, ForecastOptions{}); !errors.As(err, &e) {
		t.Errorf("only one with dates: %v", err)
	}
	far := *r
	far.Test = date("2029-10-01")
	if _, err := a.ForecastWith(plan(t, b, &far), 0, ForecastOptions{}); !errors.As(err, &e) {
		t.Errorf("two years apart: %v", err)
	}
	var fe *response.FieldError
	if _, err := a.ForecastWith(other, 99, ForecastOptions{}); !errors.As(err, &fe) {
		t.Errorf("a day that is not looked at: %v", err)
	}
}
