package taper_test

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"github.com/blockwright/blockwright/periodize/taper"
)

func TestShareOut(t *testing.T) {
	for _, tc := range []struct {
		sets []int
		keep float64
		want []int
	}{
		// By hand: quotas 2.5, 2, 1.5, total 6; whole parts 2, 2, 1, one set left, equal fractions: the larger entry.
		{[]int{5, 4, 3}, 0.5, []int{3, 2, 1}},
		// Quotas 0.5 each, total 2: the earlier entries.
		{[]int{1, 1, 1, 1}, 0.5, []int{1, 1, 0, 0}},
		// Total 0.35 * 10 = 3.5, a tie, up: 4. Quotas 2.4, 1.6.
		{[]int{6, 4}, 0.35, []int{2, 2}},
		{[]int{6, 0, 4}, 0, []int{0, 0, 0}},
		{[]int{6, 0, 4}, 1, []int{6, 0, 4}},
		{nil, 0.5, []int{}},
		{[]int{0, 0}, 0.5, []int{0, 0}},
	} {
		got, err := taper.ShareOut(tc.sets, tc.keep)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(tc.want, got); diff != "" {
			t.Errorf("%v keep %v (-want +got):\n%s", tc.sets, tc.keep, diff)
		}
	}
}

func TestShareOutRemovesWhatItSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sets := rapid.SliceOfN(rapid.IntRange(0, 12), 1, 30).Draw(t, "sets")
		keep := float64(rapid.IntRange(0, 1000).Draw(t, "keep")) / 1000
		got := must(taper.ShareOut(sets, keep))(t)
		before, after := sum(sets), sum(got)
		if d := math.Abs(float64(after) - keep*float64(before)); d > 0.5+1e-9 {
			t.Fatalf("keep %v of %d left %d", keep, before, after)
		}
		for i := range sets {
			if before == 0 {
				continue
			}
			exact := float64(sets[i]) * float64(after) / float64(before)
			if got[i] < 0 || got[i] > sets[i] || math.Abs(float64(got[i])-exact) >= 1 {
				t.Fatalf("entry %d: %d of %d, exact share %v", i, got[i], sets[i], exact)
			}
			for j := range sets {
				if sets[i] > sets[j] && got[i] < got[j] {
					t.Fatalf("more sets before, fewer after: %v, %v", sets, got)
				}
			}
		}
		if before > 0 {
			if cut := taper.CutOf(sets, got); math.Abs(cut-(1-keep)) > 0.5/float64(before)+1e-9 {
				t.Fatalf("cut %v, asked for %v", cut, 1-keep)
			}
		}
	})
}

func TestCurveSetsRemoveWhatTheySay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		days := rapid.IntRange(1, 28).Draw(t, "days")
		f := rapid.Float64Range(0, 1).Draw(t, "fraction")
		var c taper.Curve
		switch rapid.SampledFrom(taper.Shapes()).Draw(t, "shape") {
		case taper.Step:
			c = must(taper.NewStep(days, f))(t)
		case taper.Linear:
			c = must(taper.NewLinear(days, f))(t)
		default:
			c = must(taper.NewExponential(days, rapid.Float64Range(0.2, 30).Draw(t, "tau"), f*0.99))(t)
		}
		work := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) taper.Work {
			return taper.Work{Day: rapid.IntRange(1, days).Draw(t, "day"), Sets: rapid.IntRange(0, 12).Draw(t, "sets")}
		}), 0, 20).Draw(t, "work")
		got := must(c.Sets(work))(t)
		planned := 0
		for i, w := range work {
			planned += w.Sets
			if got[i] < 0 || got[i] > w.Sets {
				t.Fatalf("entry %d: %d of %d", i, got[i], w.Sets)
			}
		}
		if d := math.Abs(float64(sum(got)) - (1-c.MeanCut())*float64(planned)); d > 0.5+1e-6 {
			t.Fatalf("%v: %d of %d sets left", c, sum(got), planned)
		}
	})
}

func TestCurveSetsByHand(t *testing.T) {
	// Linear to nothing over 4 days: 0.75, 0.5, 0.25, 0; mean cut 0.625, so 15 of
	// 40 sets stay; quotas 7.5, 5, 2.5, 0, and the larger of equal fractions first
	// is the earlier of equal entries.
	c := must(taper.NewLinear(4, 1))(t)
	got := must(c.Sets([]taper.Work{{1, 10}, {2, 10}, {3, 10}, {4, 10}}))(t)
	if diff := cmp.Diff([]int{8, 5, 2, 0}, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	// Sessions on the last days alone still lose the mean cut, no more: 4.5 of 12,
	// half up 5, and the day whose value is 0 takes what the other cannot hold.
	got = must(c.Sets([]taper.Work{{3, 4}, {4, 8}}))(t)
	if diff := cmp.Diff([]int{4, 1}, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestShareErrors(t *testing.T) {
	c := must(taper.NewStep(7, 0.5))(t)
	for name, f := range map[string]func() ([]int, error){
		"keep NaN":       func() ([]int, error) { return taper.ShareOut([]int{1}, math.NaN()) },
		"keep above one": func() ([]int, error) { return taper.ShareOut([]int{1}, 1.1) },
		"negative":       func() ([]int, error) { return taper.ShareOut([]int{-1}, 0.5) },
		"huge":           func() ([]int, error) { return taper.ShareOut([]int{math.MaxInt}, 0.5) },
		"too many left":  func() ([]int, error) { return taper.ShareTotal([]int{3}, 4) },
		"fewer than 0":   func() ([]int, error) { return taper.ShareTotal([]int{3}, -1) },
		"negative total": func() ([]int, error) { return taper.ShareTotal([]int{-3}, 0) },
		"day 0":          func() ([]int, error) { return c.Sets([]taper.Work{{0, 3}}) },
		"day 8":          func() ([]int, error) { return c.Sets([]taper.Work{{8, 3}}) },
		"day's sets":     func() ([]int, error) { return c.Sets([]taper.Work{{2, -3}}) },
	} {
		_, err := f()
		var fe *taper.FieldError
		if !errors.As(err, &fe) {
			t.Errorf("%s: %v, want a *FieldError", name, err)
		}
	}
	if got := taper.CutOf(nil, nil); got != 0 {
		t.Errorf("a cut of nothing is %v", got)
	}
}

func sum(xs []int) (s int) {
	for _, x := range xs {
		s += x
	}
	return s
}
