package taper_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"github.com/blockwright/blockwright/periodize/taper"
)

func must[T any](v T, err error) func(t interface{ Fatal(...any) }) T {
	return func(t interface{ Fatal(...any) }) T {
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// The worked values TA-01..TA-08 are derived from the curves' formulas,
// independently of this code; the time constants 4, 5 and 8 d are those of
// Banister, Carter and Zarkadas 1999 (looked-up).
func TestWorkedValues(t *testing.T) {
	exp := func(days int, tau, floor float64) taper.Curve {
		return must(taper.NewExponential(days, tau, floor))(t)
	}
	at := func(c taper.Curve, days ...int) (v []float64) {
		for _, d := range days {
			v = append(v, c.At(d))
		}
		return v
	}
	mean := func(c taper.Curve) float64 { return 1 - c.MeanCut() }
	half := must(taper.ForMean(taper.Exponential, 14, 0.5))(t)
	for _, tc := range []struct {
		id  string
		got []float64
	}{
		{"TA-01", at(exp(14, 4, 0), 1, 3, 7, 10, 14)},
		{"TA-02", at(exp(14, 8, 0), 1, 3, 7, 10, 14)},
		{"TA-03", []float64{mean(exp(14, 4, 0)), mean(exp(14, 5, 0)), mean(exp(14, 8, 0))}},
		{"TA-04", []float64{mean(exp(7, 4, 0)), mean(exp(7, 5, 0)), mean(exp(7, 8, 0))}},
		{"TA-05", []float64{half.Tau()}},
		{"TA-06", []float64{exp(14, taper.FastTau, 0).HalfLife(), exp(14, taper.SlowTau, 0).HalfLife()}},
		{"TA-07", []float64{mean(must(taper.NewLinear(14, 1))(t))}},
		{"TA-08", []float64{mean(exp(14, 4, 0.4))}},
	} {
		want, tol := worked(t, tc.id)
		if diff := cmp.Diff(want, tc.got, cmpopts.EquateApprox(0, tol)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tc.id, diff)
		}
	}
}

func TestBothCuts(t *testing.T) {
	step := must(taper.NewStep(10, 0.45))(t)
	line := must(taper.NewLinear(10, 0.8))(t)
	exp := must(taper.NewExponential(10, 4, 0.3))(t)
	for _, tc := range []struct {
		c           taper.Curve
		mean, final float64
	}{
		{step, 0.45, 0.45},
		{line, 0.44, 0.8}, // 0.8 * 11/20
		{exp, 0.7 * (1 - expMean(10, 4)), 0.7 * (1 - math.Exp(-2.5))},
		{taper.Curve{}, 0, 0},
	} {
		if math.Abs(tc.c.MeanCut()-tc.mean) > 1e-12 || math.Abs(tc.c.FinalCut()-tc.final) > 1e-12 {
			t.Errorf("%v: cuts %v, %v; want %v, %v", tc.c, tc.c.MeanCut(), tc.c.FinalCut(), tc.mean, tc.final)
		}
	}
	if got := must(taper.NewLinear(7, 1))(t).At(7); got != 0 {
		t.Errorf("a linear cut of all ends at %v", got)
	}
	if got := step.At(0); got != 1 {
		t.Errorf("day 0 is %v, want the reference, 1", got)
	}
	if step.At(99) != step.At(10) {
		t.Error("a day past the taper differs from its last")
	}
}

func expMean(n int, tau float64) (m float64) {
	for d := 1; d <= n; d++ {
		m += math.Exp(-float64(d)/tau) / float64(n)
	}
	return m
}

func TestSolversGiveWhatWasAskedFor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		days := rapid.IntRange(1, 60).Draw(t, "days")
		floor := rapid.Float64Range(0, 0.9).Draw(t, "floor")
		share := rapid.Float64Range(0.01, 0.99).Draw(t, "share")

		c := must(taper.ExponentialForMean(days, share*(1-floor), floor))(t)
		near(t, "exponential mean", c.MeanCut(), share*(1-floor))

		tau := rapid.Float64Range(0.5, 40).Draw(t, "tau")
		most := must(taper.NewExponential(days, tau, 0))(t).MeanCut()
		c = must(taper.FloorForMean(days, share*most, tau))(t)
		near(t, "floor mean", c.MeanCut(), share*most)

		most = float64(days+1) / float64(2*days)
		c = must(taper.ForMean(taper.Linear, days, share*most))(t)
		near(t, "linear mean", c.MeanCut(), share*most)

		c = must(taper.ForMean(taper.Step, days, share))(t)
		near(t, "step mean", c.MeanCut(), share)

		if days > 1 {
			want := must(taper.NewExponential(days, min(tau, float64(days)), floor))(t)
			if want.FinalCut()-want.MeanCut() > 1e-6 && want.FinalCut() < 1-1e-9 { // else the two cuts are one number, or all
				c = must(taper.ForCuts(days, want.MeanCut(), want.FinalCut()))(t)
				near(t, "mean of both", c.MeanCut(), want.MeanCut())
				near(t, "final of both", c.FinalCut(), want.FinalCut())
			}
		}
	})
}

func near(t interface{ Errorf(string, ...any) }, what string, got, want float64) {
	if !(math.Abs(got-want) <= 1e-9) {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

func TestCurvesFall(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		days := rapid.IntRange(1, 365).Draw(t, "days")
		tau := math.Exp(rapid.Float64Range(-20, 20).Draw(t, "log tau"))
		f := rapid.Float64Range(0, 0.999).Draw(t, "fraction")
		for _, c := range []taper.Curve{
			must(taper.NewStep(days, f))(t),
			must(taper.NewLinear(days, f))(t),
			must(taper.NewExponential(days, tau, f))(t),
		} {
			last := 1.0
			for _, r := range c.Values() {
				if !(r >= 0 && r <= last) {
					t.Fatalf("%v: %v after %v", c, r, last)
				}
				last = r
			}
			if m := c.MeanCut(); !(m >= 0 && m <= c.FinalCut()+1e-12) {
				t.Fatalf("%v: mean cut %v, final cut %v", c, m, c.FinalCut())
			}
		}
	})
}

func TestNoSuchCurve(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, f := range map[string]func() (taper.Curve, error){
		"no days":         func() (taper.Curve, error) { return taper.NewStep(0, 0.5) },
		"two years":       func() (taper.Curve, error) { return taper.NewStep(730, 0.5) },
		"cut above all":   func() (taper.Curve, error) { return taper.NewStep(7, 1.01) },
		"cut NaN":         func() (taper.Curve, error) { return taper.NewStep(7, nan) },
		"line NaN":        func() (taper.Curve, error) { return taper.NewLinear(7, nan) },
		"line mean NaN":   func() (taper.Curve, error) { return taper.ForMean(taper.Linear, 7, nan) },
		"tau zero":        func() (taper.Curve, error) { return taper.NewExponential(7, 0, 0) },
		"tau NaN":         func() (taper.Curve, error) { return taper.NewExponential(7, nan, 0) },
		"tau infinite":    func() (taper.Curve, error) { return taper.NewExponential(7, inf, 0) },
		"floor all":       func() (taper.Curve, error) { return taper.NewExponential(7, 4, 1) },
		"floor NaN":       func() (taper.Curve, error) { return taper.NewExponential(7, 4, nan) },
		"mean NaN":        func() (taper.Curve, error) { return taper.ExponentialForMean(7, nan, 0) },
		"floor mean NaN":  func() (taper.Curve, error) { return taper.FloorForMean(7, nan, 4) },
		"both NaN":        func() (taper.Curve, error) { return taper.ForCuts(7, nan, 0.5) },
		"both final NaN":  func() (taper.Curve, error) { return taper.ForCuts(7, 0.5, nan) },
		"both final all":  func() (taper.Curve, error) { return taper.ForCuts(7, 0.5, 1) },
		"negative floor":  func() (taper.Curve, error) { return taper.ExponentialForMean(7, 0.5, -0.1) },
		"both, long days": func() (taper.Curve, error) { return taper.ForCuts(1000, 0.5, 0.8) },
	} {
		_, err := f()
		var fe *taper.FieldError
		if !errors.As(err, &fe) {
			t.Errorf("%s: %v, want a *FieldError", name, err)
		}
	}
	for name, f := range map[string]func() (taper.Curve, error){
		"line too steep":       func() (taper.Curve, error) { return taper.ForMean(taper.Linear, 14, 0.6) },
		"under the floor":      func() (taper.Curve, error) { return taper.ExponentialForMean(14, 0.6, 0.4) },
		"no cut":               func() (taper.Curve, error) { return taper.ExponentialForMean(14, 0, 0) },
		"too slow":             func() (taper.Curve, error) { return taper.FloorForMean(14, 0.9, 8) },
		"straighter than line": func() (taper.Curve, error) { return taper.ForCuts(14, 0.3, 0.8) },
		"steeper than step":    func() (taper.Curve, error) { return taper.ForCuts(14, 0.8, 0.8) },
		"negative floor":       func() (taper.Curve, error) { return taper.ForCuts(14, 0.55, 0.95) },
	} {
		c, err := f()
		var ns *taper.NoSolutionError
		if !errors.As(err, &ns) {
			t.Errorf("%s: %v, %v, want a *NoSolutionError", name, c, err)
		}
	}
	var ne *taper.NameError
	if _, err := taper.ForMean("cliff", 14, 0.5); !errors.As(err, &ne) {
		t.Errorf("shape cliff: %v, want a *NameError", err)
	}
	// The limits that the error names are the limits.
	var ns *taper.NoSolutionError
	if _, err := taper.ForCuts(14, 0.55, 0.95); errors.As(err, &ns) {
		if _, err := taper.ForCuts(14, ns.Low+1e-6, 0.95); err != nil {
			t.Errorf("just above the limit: %v", err)
		}
	}
}

// A cut so deep that no training is left says so: 1.127 days of tau leave
// exp(-6/1.127) = 0.49 % on day 6 of 14, so nothing on the last nine.
func TestNothingLeft(t *testing.T) {
	for _, c := range []struct {
		curve taper.Curve
		want  string
	}{
		{must(taper.ForMean(taper.Exponential, 14, 0.95))(t), "falling towards 0 %; nothing is left of the volume on the last 9 days"},
		{must(taper.NewLinear(14, 1))(t), "by 100 % on the last day; nothing is left of the volume on the last day"},
		{must(taper.ForMean(taper.Exponential, 14, 0.5))(t), "by 76.66 % on the last day; time constant (tau) 9.623 days, falling towards 0 %"},
	} {
		if got := c.curve.String(); !strings.HasSuffix(got, c.want) {
			t.Errorf("%q, want it to end in %q", got, c.want)
		}
	}
}
