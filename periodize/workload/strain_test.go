package workload_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	w "github.com/blockwright/blockwright/periodize/workload"
)

func week(t *testing.T, kind w.SD, daily ...float64) w.Week {
	t.Helper()
	return must(w.NewWeek(daily, kind))(t)
}

func TestWeekPublished(t *testing.T) {
	days := []float64{450, 300, 0, 600, 360, 240, 0}
	s, p := week(t, w.Sample, days...), week(t, w.Population, days...)
	worked(t, "MO-01", s.Load, s.Mean, s.SD, p.SD)
	worked(t, "MO-02", s.Monotony.Value, p.Monotony.Value)
	worked(t, "MO-03", s.Strain.Value, p.Strain.Value)
	days = []float64{300, 320, 310, 300, 330, 290, 300}
	s, p = week(t, w.Sample, days...), week(t, w.Population, days...)
	worked(t, "MO-04", s.Load, s.Monotony.Value, p.Monotony.Value)
	if s.Kind.String() != "sample" || p.Kind.String() != "population" {
		t.Error("the SD goes unnamed")
	}
	// MO-05: never a number.
	if want := row(t, "workload-worked-examples.csv", "MO-05")["expected"]; !strings.HasPrefix(want, "undefined") {
		t.Fatal(want)
	}
	flat := week(t, w.Sample, 300, 300, 300, 300, 300, 300, 300)
	if flat.Monotony.Undefined != w.FlatWeek || flat.Strain.Undefined != w.FlatWeek || flat.Load != 2100 || flat.Mean != 300 || flat.SD != 0 {
		t.Errorf("flat week: %+v", flat)
	}
	// 0.1 has no exact float and the mean of seven rounds: still flat.
	if got := week(t, w.Population, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1); got.Monotony.Defined() {
		t.Errorf("flat week: %+v", got)
	}
	if got := week(t, w.Sample, 0, 0, 0, 0, 0, 0, 0); got.Monotony.Undefined != w.NoLoad {
		t.Errorf("week of rest: %+v", got)
	}
}

func TestMonotonyFromTonnagePublished(t *testing.T) {
	// Ladlow 2022 prints only the week's mean of 790 kg, SD 897 kg and 0.88. Three
	// days of a, one of b and three of rest have that mean and sample SD when
	// 3a + b = 5530 and 3a^2 + b^2 = 6*897^2 + 7*790^2.
	a := (33180 + math.Sqrt(33180*33180-48*(5530*5530-6*897*897-7*790*790))) / 24
	b := 5530 - 3*a
	got := week(t, w.Sample, a, 0, a, 0, b, a, 0)
	if math.Abs(got.Mean-790) > 1e-9 || math.Abs(got.SD-897) > 1e-9 {
		t.Fatalf("mean %v, SD %v", got.Mean, got.SD)
	}
	worked(t, "MO-06", got.Monotony.Value)
}

func TestWeekProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		days := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) float64 {
			return float64(rapid.IntRange(0, 1000).Draw(t, "load"))
		}), 7, 7).Draw(t, "days")
		s := must(w.NewWeek(days, w.Sample))(t)
		p := must(w.NewWeek(days, w.Population))(t)
		if !s.Monotony.Defined() {
			return
		}
		// The two SDs differ by sqrt(7/6), nothing else does.
		if !near(p.Monotony.Value, s.Monotony.Value*math.Sqrt(7.0/6), 1e-12) || s.Load != p.Load {
			t.Fatalf("%v, %v", s, p)
		}
		order := rapid.Permutation(days).Draw(t, "order")
		o := must(w.NewWeek(order, w.Sample))(t)
		if !near(o.Monotony.Value, s.Monotony.Value, 1e-12) || !near(o.Strain.Value, s.Strain.Value, 1e-12) {
			t.Fatalf("order matters: %v, %v", s, o)
		}
		// Monotony has no unit; strain has that of the load.
		for i := range order {
			order[i] *= 1e90
		}
		o = must(w.NewWeek(order, w.Sample))(t)
		if !near(o.Monotony.Value, s.Monotony.Value, 1e-12) || !near(o.Strain.Value, 1e90*s.Strain.Value, 1e-12) {
			t.Fatalf("unit matters: %v, %v", s, o)
		}
	})
}

func TestStrainErrors(t *testing.T) {
	if got := must(w.SessionLoad(6, 75))(t); got != 450 {
		t.Errorf("got %v", got)
	}
	nan := math.NaN()
	_, e1 := w.SessionLoad(10.5, 60)
	_, e2 := w.SessionLoad(nan, 60)
	_, e3 := w.SessionLoad(5, -1)
	_, e4 := w.SessionLoad(5, math.Inf(1))
	_, e5 := w.NewWeek(make([]float64, 6), w.Sample)
	_, e6 := w.NewWeek([]float64{0, 0, nan, 0, 0, 0, 0}, w.Sample)
	_, e7 := w.NewWeek([]float64{0, 0, -1, 0, 0, 0, 0}, w.Sample)
	_, e8 := w.NewWeek(make([]float64, 7), w.SD(2))
	for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8} {
		var fe *w.FieldError
		if !errors.As(err, &fe) {
			t.Errorf("%d: %v", i+1, err)
		}
	}
}
