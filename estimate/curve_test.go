package estimate

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func curve(t testing.TB, name string) *Curve {
	t.Helper()
	c, err := CurveNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The acceptance test of the curves: the published rows (looked-up, secondary).
func TestCurvesRunThroughThePublishedRows(t *testing.T) {
	names := map[string]string{"all (main model)": "general", "bench press": "bench press", "leg press": "leg press"}
	general := curve(t, "general")
	for _, row := range readTable(t, "nuzzo2024-reps-at-pct.csv") {
		c := curve(t, names[row["exercise"]])
		f, want := num64(t, row["pct_1rm"])/100, num64(t, row["mean_reps"])
		n, sd, x, err := c.Reps(f)
		if err != nil || x || math.Abs(n-want) > 1e-9 {
			t.Errorf("%s at %v: %v repetitions, extrapolated %v, %v; want %v", c.Name, f, n, x, err, want)
		}
		if back, x, err := c.Fraction(want); err != nil || x || math.Abs(back-f) > 1e-12 {
			t.Errorf("%s at %v repetitions: %v, %v, %v; want %v", c.Name, want, back, x, err, f)
		}
		// To the printed digit where a deviation was published; the general one else.
		if row["sd_reps"] != "" {
			if want := num64(t, row["sd_reps"]); round(sd, 2) != want {
				t.Errorf("%s at %v: SD %v, want %v", c.Name, f, sd, want)
			}
		} else if _, want, _, _ := general.Reps(f); !near(sd, want, 1e-12) {
			t.Errorf("%s at %v: SD %v, want the general %v", c.Name, f, sd, want)
		}
		// The model's arithmetic mean stays inside the published interval.
		s, _ := spread(sd / (n - 1))
		if mean := 1 + (n-1)*math.Exp(s*s/2); mean < num64(t, row["low"]) || mean > num64(t, row["high"]) {
			t.Errorf("%s at %v: the model's mean %v is outside [%s, %s]", c.Name, f, mean, row["low"], row["high"])
		}
	}
}

// Coefficients written out in the package, derived again.
func TestCurveConstants(t *testing.T) {
	for name, rows := range map[string][2]float64{"bench press": {8.82, 14.1}, "leg press": {13.05, 19.0}} {
		c := curve(t, name)
		power := math.Log((rows[1]-1)/(rows[0]-1)) / math.Log((14.80-1)/(9.75-1))
		scale := (rows[0] - 1) / math.Pow(9.75-1, power)
		if !near(c.power, power, 1e-12) || !near(c.scale, scale, 1e-12) {
			t.Errorf("%s: scale %v power %v, want %v %v", name, c.scale, c.power, scale, power)
		}
	}
	// Slope at each row of the parabola through it and its neighbours (at the
	// ends, through the nearest three), and the bound for monotonicity.
	x, y := nuzzoFraction[:], nuzzoReps[:]
	last := len(x) - 1
	for i := range x {
		k := min(max(i, 1), last-1)
		h0, h1 := x[k]-x[k-1], x[k+1]-x[k]
		d0, d1 := (y[k]-y[k-1])/h0, (y[k+1]-y[k])/h1
		// Newton form: d0 + second difference * (2x - x0 - x1).
		want := d0 + (d1-d0)/(h0+h1)*(2*x[i]-x[k-1]-x[k])
		if !near(nuzzoSlope[i], want, 1e-12) {
			t.Errorf("slope at %v = %v, want %v", x[i], nuzzoSlope[i], want)
		}
		if nuzzoSlope[i] >= 0 || nuzzoSlope[i] < 3*math.Max(d0, d1) {
			t.Errorf("slope at %v = %v breaks the bound for monotonicity", x[i], nuzzoSlope[i])
		}
	}
}

// The property harness of the curves.
func TestCurveProperties(t *testing.T) {
	for _, c := range Curves() {
		t.Run(c.Name, func(t *testing.T) {
			if c.Citation == "" || c.Have == "" || c.Note == "" || !(c.Min > 0 && c.From > c.Min && c.To > c.From) {
				t.Errorf("metadata incomplete: %+v", c)
			}
			if f, x, err := c.Fraction(1); f != 1 || x || err != nil {
				t.Errorf("Fraction(1) = %v, %v, %v, want 1", f, x, err)
			}
			if f, _, err := c.FractionAt(1, 0.1); f != 1 || err != nil {
				t.Errorf("FractionAt(1) = %v, %v, want 1", f, err)
			}
			if n, sd, x, err := c.Reps(1); n != 1 || sd != 0 || x || err != nil {
				t.Errorf("Reps(1) = %v, %v, %v, %v, want 1, 0", n, sd, x, err)
			}
			rapid.Check(t, func(t *rapid.T) {
				f := rapid.Float64Range(c.Min, 0.998).Draw(t, "f")
				lighter := math.Max(f-rapid.Float64Range(1e-3, 0.05).Draw(t, "less"), c.Min)
				q := rapid.Float64Range(0.001, 0.999).Draw(t, "q")
				n, sd, _, err := c.Reps(f)
				if err != nil || !finite(n) || n <= 1 || !(sd > 0) {
					t.Fatalf("Reps(%v) = %v, %v, %v", f, n, sd, err)
				}
				back, _, err := c.Fraction(n)
				if err != nil || math.Abs(back-f) > 1e-8 {
					t.Fatalf("Fraction(Reps(%v)) = %v, %v", f, back, err)
				}
				at, _, err := c.RepsAt(f, q)
				if err != nil || at < 1 {
					t.Fatalf("RepsAt(%v, %v) = %v, %v", f, q, at, err)
				}
				if lighter < f {
					if more, _, _ := c.RepsAt(lighter, q); more <= at {
						t.Fatalf("RepsAt falls with lighter load at quantile %v: %v at %v, %v at %v", q, at, f, more, lighter)
					}
				}
				back, _, err = c.FractionAt(at, q)
				if err != nil || math.Abs(back-f) > 1e-8 {
					t.Fatalf("FractionAt(RepsAt(%v, %v)) = %v, %v", f, q, back, err)
				}
				if q < 0.49 && at >= n || q > 0.51 && at <= n {
					t.Fatalf("quantile %v does %v repetitions, the middle %v", q, at, n)
				}
				// Derivatives against differences, away from the joints.
				h := 1e-6
				if f > c.Min+h {
					up, s := c.middle(f)
					lo, s0 := c.middle(f - h)
					hi, s1 := c.middle(f + h)
					if d := (hi - lo) / (2 * h); !near(s, d, 1e-4) && (d < math.Min(s0, s1) || d > math.Max(s0, s1)) {
						t.Fatalf("slope of the middle at %v (%v) = %v, difference %v", f, up, s, d)
					}
				}
			})
		})
	}
}

func TestSpreadHasTheAskedDeviation(t *testing.T) {
	// Log-normal of median 1 and scale s: variance exp(s^2)(exp(s^2)-1).
	for _, r := range []float64{0.01, 0.236, 0.48, 1, 3} {
		s, d := spread(r)
		x := math.Exp(s * s)
		if got := math.Sqrt(x * (x - 1)); !near(got, r, 1e-12) {
			t.Errorf("spread(%v) has deviation %v", r, got)
		}
		hi, _ := spread(r + 1e-6)
		lo, _ := spread(r - 1e-6)
		if !near(d, (hi-lo)/2e-6, 1e-6) {
			t.Errorf("derivative of spread at %v = %v, difference %v", r, d, (hi-lo)/2e-6)
		}
	}
}

// Textbook and meta-regression disagree, as the reference lists: 80 % is 8 or
// 9.75 repetitions, 10 repetitions are at 75 or about 80 %.
func TestTextbookAgainstMetaRegression(t *testing.T) {
	f, _, err := curve(t, "general").Fraction(10)
	if err != nil || round(100*f, 0) != 80 {
		t.Errorf("ten repetitions at %v, %v, want about 80 %%", f, err)
	}
}

// Richens and Cleather 2014 (looked-up): eight weightlifters did 7.0 (2.1)
// repetitions at 90 % and 17.9 (2.8) at 70 % in the leg press. The curve scaled
// through the rows at 80 and 70 % alone comes within a standard error.
func TestLegPressAgainstASampleOutsideTheMetaRegression(t *testing.T) {
	for _, c := range []struct{ f, mean, sd float64 }{{0.9, 7.0, 2.1}, {0.7, 17.9, 2.8}} {
		n, _, _, err := curve(t, "leg press").Reps(c.f)
		if err != nil || math.Abs(n-c.mean) > 1.2*c.sd/math.Sqrt(8) {
			t.Errorf("at %v: %v repetitions, %v; the sample did %v (%v)", c.f, n, err, c.mean, c.sd)
		}
	}
}

// Load with one repetition in reserve, 15 novice men (Lovegrove S et al. J
// Strength Cond Res 2022;36:2696-2700, looked-up): bench press 93.0 % for three
// and 79.6 % for eight, deadlift 88.2 % for three and 84.3 % for five. The curves,
// at one repetition more, are within three points in the bench press; the
// deadlift, which has no curve, lies three to four under the general one.
func TestLoadsAtOneInReserve(t *testing.T) {
	for _, c := range []struct {
		curve            string
		reps, want, most float64 // most: points of difference allowed
	}{{"bench press", 3, 93.0, 3}, {"bench press", 8, 79.6, 1}, {"general", 3, 88.2, 4.5}, {"general", 5, 84.3, 4}} {
		f, _, err := curve(t, c.curve).Fraction(c.reps + 1)
		if err != nil || math.Abs(100*f-c.want) > c.most {
			t.Errorf("%s, %v repetitions and one in reserve: %.1f %%, %v; measured %v", c.curve, c.reps, 100*f, err, c.want)
		}
	}
}

func TestCurveMarksAndErrors(t *testing.T) {
	g := curve(t, "general")
	for f, want := range map[float64]bool{1: false, 0.95: true, 0.9: false, 0.6: false, 0.59: true} {
		if _, _, x, err := g.Reps(f); x != want || err != nil {
			t.Errorf("Reps(%v): extrapolated %v, %v; want %v", f, x, err, want)
		}
	}
	var fe *FieldError
	var re *RangeError
	for _, n := range []float64{0, 0.99, -1, math.NaN(), math.Inf(1)} {
		if _, _, err := g.Fraction(n); !errors.As(err, &fe) {
			t.Errorf("Fraction(%v): %v, want a *FieldError", n, err)
		}
	}
	for _, f := range []float64{0, -0.1, 1.01, math.NaN(), math.Inf(1)} {
		if _, _, _, err := g.Reps(f); !errors.As(err, &fe) {
			t.Errorf("Reps(%v): %v, want a *FieldError", f, err)
		}
	}
	for _, q := range []float64{0, 1, -1, math.NaN()} {
		if _, _, err := g.FractionAt(5, q); !errors.As(err, &fe) {
			t.Errorf("FractionAt(5, %v): %v, want a *FieldError", q, err)
		}
	}
	if _, _, err := g.Fraction(100); !errors.As(err, &re) ||
		err.Error() != "estimate: general: reps: want 1 to 39.8, got 100 (too light a load for the curve)" {
		t.Errorf("Fraction(100): %v", err)
	}
	if _, _, err := g.FractionAt(100, 0.1); !errors.As(err, &re) {
		t.Errorf("FractionAt(100, 0.1): %v", err)
	}
	if _, _, _, err := g.Reps(0.2); !errors.As(err, &re) {
		t.Errorf("Reps(0.2): %v", err)
	}
	for _, err := range []error{second(g.RepsAt(0.8, 0)), second(g.RepsAt(2, 0.5)), second(g.FractionAt(0.5, 0.3)), second(curve(t, "brzycki").RepsAt(0.2, 0.5))} {
		if !errors.As(err, &fe) && !errors.As(err, &re) {
			t.Errorf("outside: %v", err)
		}
	}
	if n, x, err := g.RepsAt(1, 0.9); n != 1 || x || err != nil {
		t.Errorf("repetitions at the maximum: %v, %v, %v", n, x, err)
	}
	for _, c := range []*Curve{nil, {}} {
		if _, _, err := c.Fraction(5); !errors.As(err, &fe) {
			t.Errorf("a curve from nowhere answered: %v", err)
		}
	}
	_, err := CurveNamed("bench pres")
	var ne *NameError
	if !errors.As(err, &ne) || ne.Nearest != "bench press" || !slices.Contains(ne.Choices, "general") {
		t.Errorf("misspelt curve: %v", err)
	}
	_, err = CurveNamed("deadlift")
	if want := "estimate: no curve is called \"deadlift\" (choices: general, bench press, leg press, epley,"; !strings.HasPrefix(err.Error(), want) {
		t.Errorf("unknown curve:\n got %v\nwant %s...", err, want)
	}
}
