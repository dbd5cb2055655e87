package response

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// block is six weeks of training that rise, fall and end in two weeks of rest.
func block() []float64 {
	var load []float64
	for week, w := range []float64{50, 60, 70, 80, 50, 30} {
		for day := range 7 {
			if day%2 == 0 {
				load = append(load, w)
			} else {
				load = append(load, float64(week))
			}
		}
	}
	return append(load, make([]float64, 14)...)
}

func TestAssumedSets(t *testing.T) {
	names := map[string]bool{}
	for _, s := range AssumedSets() {
		if s.Mark != AssumedMark || s.From == "" || s.Name == "" || names[s.Name] {
			t.Errorf("%+v is not marked, told or named", s)
		}
		names[s.Name] = true
		if err := s.Model().Check(); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
		if _, err := s.Model().BreakEven(); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
	}
	// The swimmers' sets give back the published break-even (Hellard et al. 2006,
	// rows P-01 to P-03, looked-up).
	published := map[string][]string{}
	for _, r := range records(t, "response-published.csv") {
		published[r["id"]] = strings.FieldsFunc(r["value"], func(c rune) bool { return (c < '0' || c > '9') && c != '.' })
	}
	for name, k := range map[string]int{"swimmers, mean": 0, "swimmers, short": 1, "swimmers, long": 2} {
		for _, s := range AssumedSets() {
			if s.Name != name {
				continue
			}
			tn := must(s.Model().BreakEven())(t)
			got := []float64{s.Tau1, s.Tau2, tn}
			for i, id := range []string{"P-01", "P-02", "P-03"} {
				// P-01 prints "38 (95% bootstrap CI 17-59)".
				f := published[id]
				if id == "P-01" {
					f = []string{f[0], f[2], f[3]}
				}
				if want := float(t, f[k]); math.Abs(got[i]-want) > 1e-9 {
					t.Errorf("%s: %v, %s has %v", name, got[i], id, want)
				}
			}
		}
	}
}

func TestPredict(t *testing.T) {
	load := block()
	for _, c := range []Convention{PreviousDay, SameDay} {
		o := must(Predict(load, ForecastOptions{Convention: c, Daily: 25}))(t)
		if len(o.Days) != len(load) || len(o.Sets) != len(AssumedSets()) {
			t.Fatalf("%d days, %d sets", len(o.Days), len(o.Sets))
		}
		for _, d := range o.Days {
			if !(0 <= d.Low && d.Low <= d.Mid && d.Mid <= d.High && d.High <= 1) {
				t.Fatalf("%+v", d)
			}
		}
		agree := 0
		for _, s := range o.Sets {
			// Each set's freshest day is the top of its own series.
			m := s.Set.Model()
			p := must(m.Series(nil, load, c, m.Steady(25)))(t)
			for i, v := range p {
				if v > p[s.Freshest-1] {
					t.Fatalf("%s: day %d beats the freshest, %d", s.Set.Name, i+1, s.Freshest)
				}
				if i > 0 {
					// Fitness less fatigue moves as freshness does.
					a := s.Fitness[i] - s.Fatigue[i] - s.Fitness[i-1] + s.Fatigue[i-1]
					if b := s.Freshness[i] - s.Freshness[i-1]; math.Abs(a-b) > 1e-9 {
						t.Fatalf("%s day %d: %v, %v", s.Set.Name, i+1, a, b)
					}
				}
			}
			if s.Freshness[s.Freshest-1] != 1 {
				t.Errorf("%s: freshness %v on the freshest day", s.Set.Name, s.Freshness[s.Freshest-1])
			}
			if d := s.Freshest - o.Freshest.Day; d >= -3 && d <= 3 {
				agree++
			}
		}
		if f := o.Freshest; f.Agree != agree || f.Of != len(o.Sets) || f.Share != float64(agree)/float64(f.Of) || f.Low > f.Day || f.Day > f.High {
			t.Errorf("%+v, counted %d", f, agree)
		}
	}
}

// A window keeps the days outside it out.
func TestPredictWindow(t *testing.T) {
	load := block()
	o := must(Predict(load, ForecastOptions{Convention: PreviousDay, First: 30, Last: 42}))(t)
	if o.Days[0].Day != 30 || o.Days[len(o.Days)-1].Day != 42 || o.Freshest.Low < 30 || o.Freshest.High > 42 {
		t.Errorf("%+v", o.Freshest)
	}
}

// Freshness does not depend on the unit of load.
func TestPredictHasNoUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		load := append(drawLoad(t), 10, 0, 0)
		k := rapid.Float64Range(0.01, 1000).Draw(t, "k")
		scaled := make([]float64, len(load))
		for i, w := range load {
			scaled[i] = k * w
		}
		a := must(Predict(load, ForecastOptions{Convention: PreviousDay, Daily: 5}))(t)
		b := must(Predict(scaled, ForecastOptions{Convention: PreviousDay, Daily: 5 * k}))(t)
		for i := range a.Days {
			if math.Abs(a.Days[i].Mid-b.Days[i].Mid) > 1e-6 {
				t.Fatalf("day %d: %v, %v", i+1, a.Days[i], b.Days[i])
			}
		}
	})
}

func TestComparePlans(t *testing.T) {
	a, b := block(), block()
	for i := 28; i < 42; i++ {
		b[i] *= 1.5 // a heavier end
	}
	o := ForecastOptions{Convention: PreviousDay, Daily: 25}
	ab := must(ComparePlans(a, b, 43, o))(t)
	ba := must(ComparePlans(b, a, 43, o))(t)
	if ab.AheadA != ba.AheadB || ab.AheadB != ba.AheadA || ab.AheadA+ab.AheadB+ab.Even != len(AssumedSets()) {
		t.Errorf("%+v, %+v", ab, ba)
	}
	if ab.AheadA == 0 {
		t.Error("no set has the lighter end ahead the day after it")
	}
	for i := range ab.Difference {
		if d := ab.Difference[i]; d != -ba.Difference[i] || math.Abs(d) > 1 {
			t.Errorf("difference %v, the other way %v", d, ba.Difference[i])
		}
	}
	if c := must(ComparePlans(a, a, 43, o))(t); c.Even != len(AssumedSets()) {
		t.Errorf("a plan against itself: %+v", c)
	}
}

// What has to be said is said, in these words.
func TestCaveats(t *testing.T) {
	o := must(Predict(block(), ForecastOptions{Convention: PreviousDay}))(t)
	c := must(ComparePlans(block(), block(), 9, ForecastOptions{Convention: PreviousDay}))(t)
	for _, got := range [][]string{Caveats(), o.Caveats, c.Caveats} {
		all := strings.Join(got, "\n")
		for _, want := range []string{"all-or-nothing", "defect of the model", "No human barbell parameters", "not measured on lifters", "no optimal load"} {
			if !strings.Contains(all, want) {
				t.Errorf("%q is not among the caveats", want)
			}
		}
		if got[0] != AllOrNothing || got[1] != NoBarbellParameters {
			t.Errorf("the two that must be printed do not come first: %q", got)
		}
	}
}

func TestForecastErrors(t *testing.T) {
	load := block()
	ok := ForecastOptions{Convention: SameDay}
	with := func(f func(o *ForecastOptions)) ForecastOptions { o := ok; f(&o); return o }
	var fe *FieldError
	for name, f := range map[string]func() error{
		"no convention": func() error { _, err := Predict(load, ForecastOptions{}); return err },
		"no days":       func() error { _, err := Predict(nil, ok); return err },
		"one day":       func() error { _, err := Predict(load[:1], ok); return err },
		"no training":   func() error { _, err := Predict(make([]float64, 30), ok); return err },
		"load NaN":      func() error { _, err := Predict([]float64{1, math.NaN()}, ok); return err },
		"daily NaN": func() error {
			_, err := Predict(load, with(func(o *ForecastOptions) { o.Daily = math.NaN() }))
			return err
		},
		"no sets": func() error {
			_, err := Predict(load, with(func(o *ForecastOptions) { o.Sets = []ParameterSet{} }))
			return err
		},
		"set NaN": func() error {
			_, err := Predict(load, with(func(o *ForecastOptions) { o.Sets = []ParameterSet{{Tau1: 1, Tau2: 1, Ratio: math.NaN()}} }))
			return err
		},
		"window": func() error {
			_, err := Predict(load, with(func(o *ForecastOptions) { o.First, o.Last = 9, 8 }))
			return err
		},
		"lengths":  func() error { _, err := ComparePlans(load, load[1:], 9, ok); return err },
		"day":      func() error { _, err := ComparePlans(load, load, 99, ok); return err },
		"plan NaN": func() error { _, err := ComparePlans([]float64{1, 2}, []float64{1, math.NaN()}, 2, ok); return err },
	} {
		if err := f(); !errors.As(err, &fe) {
			t.Errorf("%s: %v, want a *FieldError", name, err)
		}
	}
}
