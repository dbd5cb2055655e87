package workload_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	w "github.com/blockwright/blockwright/periodize/workload"
)

// The two athletes of EW-03 and EW-04: the same weekly sums, other days.
var (
	steady = slices.Concat(weeks3(100, 100, 100, 100, 100, 0, 0), []float64{150, 150, 150, 150, 150, 0, 0})
	peaky  = slices.Concat(weeks3(250, 0, 0, 250, 0, 0, 0), []float64{0, 0, 375, 0, 0, 0, 375})
)

func weeks3(days ...float64) []float64 { return slices.Repeat(days, 3) }

func TestRatiosPublished(t *testing.T) {
	worked(t, "EW-01", w.Lambda(7), w.Lambda(28))
	half := func(n int) float64 { return math.Log(0.5) / math.Log(1-w.Lambda(n)) }
	worked(t, "EW-02", half(7), half(28))
	for id, days := range map[string][]float64{"EW-03": steady, "EW-04": peaky} {
		d := must(w.EWMARatios(days, w.FirstLoad, w.Windows{}))(t)[27]
		worked(t, id, d.Acute, d.Chronic, d.Ratio.Value)
		if !d.Early {
			t.Error("day 28 is not flagged")
		}
		c := must(w.RollingRatios(days, w.Coupled, w.Windows{}))(t)[27]
		u := must(w.RollingRatios(days, w.Uncoupled, w.Windows{}))(t)[27]
		worked(t, "EW-05", c.Ratio.Value, u.Ratio.Value)
	}
	lolli := slices.Concat(weeks3(1000, 0, 0, 0, 0, 0, 0), []float64{3000, 0, 0, 0, 0, 0, 0})
	c := must(w.RollingRatios(lolli, w.Coupled, w.Windows{}))(t)[27]
	u := must(w.RollingRatios(lolli, w.Uncoupled, w.Windows{}))(t)[27]
	worked(t, "EW-09", c.Ratio.Value, u.Ratio.Value)

	var got []float64
	for _, x := range []float64{0.8, 1.5, 2, 3} {
		got = append(got, must(w.Windows{}.Couple(x))(t))
	}
	worked(t, "EW-07", got...)
	got = nil
	for _, x := range []float64{0.8, 1.3, 1.5, 2} {
		got = append(got, must(w.Windows{}.Uncouple(x))(t))
	}
	worked(t, "EW-08", got...)
}

func TestSeeds(t *testing.T) {
	days := slices.Repeat([]float64{100}, 40)
	for _, tc := range []struct {
		seed        w.Seed
		first, last float64 // chronic average of days 1 and 40
	}{
		{w.FirstLoad, 100, 100},
		{w.FromMean, 100, 100},
		// By hand: lambda 2/29 of the load on day 1; 1-(27/29)^40 of it on day 40.
		{w.FromZero, 200.0 / 29, 100 * (1 - math.Pow(27.0/29, 40))},
	} {
		d := must(w.EWMARatios(days, tc.seed, w.Windows{}))(t)
		if !near(d[0].Chronic, tc.first, 1e-12) || !near(d[39].Chronic, tc.last, 1e-12) {
			t.Errorf("%v: %v, %v", tc.seed, d[0].Chronic, d[39].Chronic)
		}
		if !d[27].Early || d[28].Early {
			t.Errorf("%v: the first 28 days are early, and no others", tc.seed)
		}
	}
	// From the mean of the first 28 days: day 1 moves by lambda from 50 towards 0.
	days = slices.Repeat([]float64{0, 100}, 20)
	d := must(w.EWMARatios(days, w.FromMean, w.Windows{}))(t)
	if want := 50 * 27.0 / 29; !near(d[0].Chronic, want, 1e-12) {
		t.Errorf("got %v, want %v", d[0].Chronic, want)
	}
}

func TestRatioProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		days := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) float64 {
			return float64(rapid.IntRange(0, 900).Draw(t, "load"))
		}), 0, 60).Draw(t, "days")
		win := w.Windows{Acute: rapid.IntRange(1, 7).Draw(t, "acute"), Chronic: rapid.IntRange(8, 28).Draw(t, "chronic")}
		c := must(w.RollingRatios(days, w.Coupled, win))(t)
		u := must(w.RollingRatios(days, w.Uncoupled, win))(t)
		n := float64(win.Chronic) / float64(win.Acute)
		for i := range days {
			if c[i].Early != (i+1 < win.Chronic) {
				t.Fatalf("day %d: early %v", i+1, c[i].Early)
			}
			if c[i].Early && c[i].Ratio.Undefined != w.TooFewDays {
				t.Fatalf("day %d has a ratio", i+1)
			}
			if c[i].Ratio.Defined() {
				if c[i].Ratio.Value > n+1e-9 {
					t.Fatalf("coupled ratio %v above %v", c[i].Ratio.Value, n)
				}
			}
			if u[i].Ratio.Defined() {
				back := must(win.Couple(u[i].Ratio.Value))(t)
				if !near(back, c[i].Ratio.Value, 1e-9) {
					t.Fatalf("day %d: coupled %v, from uncoupled %v", i+1, c[i].Ratio.Value, back)
				}
				again := must(win.Uncouple(back))(t)
				if !near(again, u[i].Ratio.Value, 1e-9) {
					t.Fatalf("inverse of the inverse: %v, %v", again, u[i].Ratio.Value)
				}
			}
		}
		for _, d := range must(w.EWMARatios(days, w.FromMean, win))(t) {
			if d.Ratio.Defined() && (math.IsNaN(d.Ratio.Value) || math.IsInf(d.Ratio.Value, 0)) {
				t.Fatalf("%+v", d)
			}
		}
	})
}

func TestRatioEdges(t *testing.T) {
	// After a window of rest the ratio is undefined, not 0/0.
	d := must(w.RollingRatios(slices.Concat(make([]float64, 21), []float64{5, 0, 0, 0, 0, 0, 0}), w.Uncoupled, w.Windows{}))(t)
	if got := d[27]; got.Ratio.Undefined != w.NoLoad || got.Acute != 5.0/7 {
		t.Errorf("got %+v", got)
	}
	if got := must(w.EWMARatios([]float64{0, 0}, w.FirstLoad, w.Windows{}))(t)[1]; got.Ratio.Undefined != w.NoLoad {
		t.Errorf("got %+v", got)
	}
	if got := must(w.EWMARatios(nil, w.FirstLoad, w.Windows{}))(t); len(got) != 0 {
		t.Errorf("got %v", got)
	}
	if got := must(w.Windows{}.Couple(math.MaxFloat64))(t); got != 4 {
		t.Errorf("got %v", got)
	}
	nan := math.NaN()
	_, e1 := w.RollingRatios([]float64{nan}, w.Coupled, w.Windows{})
	_, e2 := w.RollingRatios(nil, w.Coupled, w.Windows{Acute: 28})
	_, e3 := w.RollingRatios(nil, w.Coupling(7), w.Windows{})
	_, e4 := w.EWMARatios([]float64{math.Inf(1)}, w.FirstLoad, w.Windows{})
	_, e5 := w.EWMARatios(nil, w.Seed(9), w.Windows{})
	_, e6 := w.EWMARatios(nil, w.FirstLoad, w.Windows{Acute: -1})
	_, e7 := w.Windows{}.Uncouple(4)
	_, e8 := w.Windows{}.Couple(-1)
	_, e9 := w.Windows{}.Uncouple(nan)
	for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8, e9} {
		var fe *w.FieldError
		if !errors.As(err, &fe) {
			t.Errorf("%d: %v", i+1, err)
		}
	}
	if w.Uncoupled.String() != "uncoupled" || w.FromZero.String() != "zero" || w.FromMean.String() != "mean" {
		t.Error("names")
	}
}

func TestDiary(t *testing.T) {
	var d w.Diary
	if _, _, ok := d.Span(); ok {
		t.Error("an empty diary has a span")
	}
	for _, e := range []struct {
		day  int
		load float64
	}{{10, 300}, {7, 100}, {10, 50}, {8, 0}} {
		if err := d.Add(e.day, e.load); err != nil {
			t.Fatal(err)
		}
	}
	first, last, _ := d.Span()
	if first != 7 || last != 10 {
		t.Errorf("span %d to %d", first, last)
	}
	got := must(d.Series(6, 11))(t)
	if want := []float64{0, 100, 0, 0, 350, 0}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if got := must(d.Series(8, 9))(t); !slices.Equal(got, []float64{0, 0}) {
		t.Errorf("got %v", got)
	}
	c := d.Clone()
	if err := c.Add(7, 1); err != nil {
		t.Fatal(err)
	}
	if must(d.Series(7, 7))(t)[0] != 100 {
		t.Error("a clone shares its days")
	}
	_, e1 := d.Series(3, 2)
	_, e2 := d.Series(math.MinInt, math.MaxInt)
	for i, err := range []error{e1, e2, d.Add(1, -1), d.Add(1, math.NaN())} {
		var fe *w.FieldError
		if !errors.As(err, &fe) {
			t.Errorf("%d: %v", i+1, err)
		}
	}
}

func TestDiaryMerges(t *testing.T) {
	type entry struct {
		Day  int
		Load float64
	}
	rapid.Check(t, func(t *rapid.T) {
		es := rapid.SliceOf(rapid.Custom(func(t *rapid.T) entry {
			return entry{rapid.IntRange(-5, 20).Draw(t, "day"), float64(rapid.IntRange(0, 9999).Draw(t, "load")) / 10}
		})).Draw(t, "entries")
		feed := func(es []entry) (d w.Diary) {
			for _, e := range es {
				if err := d.Add(e.Day, e.Load); err != nil {
					t.Fatal(err)
				}
			}
			return d
		}
		cut := rapid.IntRange(0, len(es)).Draw(t, "cut")
		all, a, b := feed(es), feed(es[:cut]), feed(es[cut:])
		a2, b2 := a.Clone(), b.Clone()
		a2.Merge(b)
		b2.Merge(a)
		want := must(all.Series(-5, 20))(t)
		for i, got := range [][]float64{must(a2.Series(-5, 20))(t), must(b2.Series(-5, 20))(t)} {
			for j := range want {
				if !near(got[j], want[j], 1e-12) {
					t.Fatalf("%d: got %v, want %v", i, got, want)
				}
			}
		}
	})
}
