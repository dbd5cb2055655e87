package response

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"pgregory.net/rapid"
)

// synthetic reads a constructed log (derived; not measurements).
func synthetic(t testing.TB, name string) (load []float64, tests []Test) {
	t.Helper()
	for i, r := range records(t, "response-synthetic-"+name+".csv") {
		load = append(load, float(t, r["load"]))
		if r["performance"] != "" {
			tests = append(tests, Test{Day: i + 1, Performance: float(t, r["performance"])})
		}
	}
	return load, tests
}

func relative(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s = %.12g, want %.12g within %g", what, got, want, tol)
	}
}

func value(t *testing.T, f *Fit, name string) Param {
	t.Helper()
	p, ok := f.Param(name)
	if !ok {
		t.Fatalf("no parameter %s", name)
	}
	return p
}

var twoNames = []string{"p0", "k1", "k2", "tau1", "tau2"}

func TestFitFindsTheTruth(t *testing.T) {
	load, tests := synthetic(t, "exact")
	f := must(FitModel(load, tests, FitOptions{Convention: PreviousDay}))(t)
	want, tol := worked(t, "FIT-01")
	for i, n := range twoNames {
		relative(t, n, value(t, f, n).Value, want[i], tol)
	}
	if !(f.RSS < 1e-15) || !f.Converged {
		t.Errorf("sum of squares %v, converged %v", f.RSS, f.Converged)
	}
	if f.Refused() {
		t.Errorf("refused: %+v", f.Warnings)
	}
}

// FIT-02 to FIT-05 come from 40-digit arithmetic.
func TestFitOfNoisyLog(t *testing.T) {
	load, tests := synthetic(t, "noisy")
	f := must(FitModel(load, tests, FitOptions{Convention: PreviousDay}))(t)
	want, tol := worked(t, "FIT-02")
	ses, seTol := worked(t, "FIT-04")
	for i, n := range twoNames {
		relative(t, n, value(t, f, n).Value, want[i], tol)
		relative(t, "error of "+n, value(t, f, n).SE, ses[i], seTol)
	}
	fit, _ := worked(t, "FIT-03")
	relative(t, "sum of squares", f.RSS, fit[0], 1e-10)
	relative(t, "R2", f.R2, fit[1], 1e-8)
	corr, corrTol := worked(t, "FIT-05")
	for i, pair := range [][2]string{{"tau1", "tau2"}, {"k1", "k2"}} {
		r, ok := f.Corr(pair[0], pair[1])
		if !ok || math.Abs(r-corr[i]) > corrTol {
			t.Errorf("correlation of %v: %v, want %v", pair, r, corr[i])
		}
	}
	// The tests may come in any order, and one start finds the same place.
	slices.Reverse(tests)
	g := must(FitModel(load, tests, FitOptions{Convention: PreviousDay, Start: []float64{42, 7}}))(t)
	relative(t, "sum of squares from one start", g.RSS, f.RSS, 1e-12)
	if g.Starts != 1 {
		t.Errorf("%d starts, want the one given", g.Starts)
	}
}

// A log without an interior optimum has to be refused, not answered.
func TestFitRefusesDegenerateLog(t *testing.T) {
	load, tests := synthetic(t, "degenerate")
	r := must(Examine(load, tests, FitOptions{Convention: PreviousDay}, ExamineOptions{}))(t)
	if !r.Refused || !r.Fit.Refused() || !r.Fit.AtRatio || !hasCode(r.Warnings, NotIdentifiable) {
		t.Errorf("not refused: %+v", r.Warnings)
	}
	// Sums of squares given beside the data (derived): the one at a place of the
	// valley, and the one on the ratio of 1.3 between them and it.
	o := FitOptions{Model: Two, Convention: PreviousDay}
	sorted := must(prepare(load, tests, &o))(t)
	s := newSearch(&o, load, sorted, must(o.Bounds.resolve(sorted, Initial{}))(t))
	res := make([]float64, len(sorted))
	for _, tc := range []struct{ tau1, tau2, rss float64 }{{24, 22, 44.417947}, {42, 11, 45.995628}, {45, 15, 49.084127}} {
		s.d.fill([]float64{tc.tau1, tc.tau2})
		relative(t, fmt.Sprint("sum of squares at ", tc.tau1, tc.tau2), s.d.solve(res), tc.rss, 1e-7)
	}
	// With a smaller ratio allowed the fit runs after it: lower, and still refused.
	b := must(FitModel(load, tests, FitOptions{Convention: PreviousDay, Bounds: Bounds{MinRatio: 1.01}}))(t)
	if !(b.RSS < r.Fit.RSS && b.RSS > 44.41) || !b.Refused() {
		t.Errorf("with ratio 1.01: sum of squares %v against %v, refused %v", b.RSS, r.Fit.RSS, b.Refused())
	}
}

func hasCode(ws []Warning, c Code) bool {
	return slices.ContainsFunc(ws, func(w Warning) bool { return w.Code == c })
}

// Every fit is at least as good as a fine grid over its time constants.
func TestFitBeatsGrid(t *testing.T) {
	for _, name := range []string{"noisy", "degenerate"} {
		load, tests := synthetic(t, name)
		for _, kind := range []Kind{One, Two, Variable} {
			o := FitOptions{Model: kind, Convention: SameDay}
			f := must(FitModel(load, tests, o))(t)
			sorted := must(prepare(load, tests, &o))(t)
			s := newSearch(&o, load, sorted, must(o.Bounds.resolve(sorted, Initial{}))(t))
			res := make([]float64, len(sorted))
			n := s.d.nTheta
			for i := range 20 * 20 * 8 {
				var th [maxTheta]float64
				for j, k := range []int{i % 20, i / 20 % 20, i / 400}[:n] {
					steps := []float64{19, 19, 7}[j]
					th[j] = s.lo[j] * math.Pow(s.hi[j]/s.lo[j], float64(k)/steps)
				}
				if !s.allowed(th) {
					continue
				}
				s.d.fill(th[:n])
				if rss := s.d.solve(res); rss < f.RSS*(1-1e-9) {
					t.Fatalf("%s %s: %v at %v, the fit has %v", name, kind, rss, th[:n], f.RSS)
				}
			}
		}
	}
}

func TestFitOtherModelsFindTheTruth(t *testing.T) {
	load, _ := synthetic(t, "exact")
	one := OneComponent{P0: 100, K: 0.02, Tau: 30}
	vd := VariableDose{P0: 250, K1: 0.031, K3: 0.000035, Tau1: 30.8, Tau2: 16.8, Tau3: 2.3}
	for _, c := range []Convention{PreviousDay, SameDay} {
		for _, tc := range []struct {
			m     Model
			kind  Kind
			names []string
			want  []float64
		}{
			{one, One, []string{"p0", "k1", "tau1"}, []float64{100, 0.02, 30}},
			{vd, Variable, []string{"p0", "k1", "k3", "tau1", "tau2", "tau3"}, []float64{250, 0.031, 0.000035, 30.8, 16.8, 2.3}},
		} {
			p := must(tc.m.Series(nil, load, c, State{}))(t)
			var tests []Test
			for d := 2; d < len(p); d += 3 {
				tests = append(tests, Test{Day: d + 1, Performance: p[d]})
			}
			f := must(FitModel(load, tests, FitOptions{Model: tc.kind, Convention: c}))(t)
			for i, n := range tc.names {
				relative(t, fmt.Sprint(c, tc.kind, n), value(t, f, n).Value, tc.want[i], 1e-5)
			}
			if f.Fitted().Check() != nil {
				t.Errorf("%v", f.Fitted())
			}
		}
	}
}

// Training before day 1: given or fitted it is recovered, left out it biases the
// level upwards, as Ludwig et al. 2019 (looked-up) report.
func TestFitOfStart(t *testing.T) {
	load, _ := synthetic(t, "exact")
	truth := TwoComponent{P0: 150, K1: 0.0125, K2: 0.021, Tau1: 42, Tau2: 11}
	for _, c := range []Convention{PreviousDay, SameDay} {
		p := must(truth.Series(nil, load, c, truth.Steady(30)))(t)
		var tests []Test
		for d := 1; d < len(p); d += 3 {
			tests = append(tests, Test{Day: d + 1, Performance: p[d]})
		}
		given := must(FitModel(load, tests, FitOptions{Convention: c, Initial: Initial{Kind: SteadyStart, Daily: 30}}))(t)
		fitted := must(FitModel(load, tests, FitOptions{Convention: c, Initial: Initial{Kind: FittedStart}}))(t)
		for i, n := range twoNames {
			want := []float64{150, 0.0125, 0.021, 42, 11}[i]
			relative(t, "given "+n, value(t, given, n).Value, want, 1e-6)
			relative(t, "fitted "+n, value(t, fitted, n).Value, want, 1e-4)
		}
		relative(t, "daily before", value(t, fitted, "daily before").Value, 30, 1e-4)
		relative(t, "daily of the start", fitted.Initial.Daily, 30, 1e-4)
		out := must(FitModel(load, tests, FitOptions{Convention: c}))(t)
		if !(value(t, out, "p0").Value > 151) {
			t.Errorf("start left out: p0 %v", value(t, out, "p0").Value)
		}
		// The residuals are tests minus the model as returned.
		series := must(fitted.Fitted().Series(nil, load, c, fitted.Start()))(t)
		for i, x := range fitted.Tests {
			if math.Abs(x.Performance-series[x.Day-1]-fitted.Residuals[i]) > 1e-7 {
				t.Fatalf("residual %d: %v, want %v", i, fitted.Residuals[i], x.Performance-series[x.Day-1])
			}
		}
	}
}

// Columns and their derivatives: against the series and finite differences.
func TestDerivatives(t *testing.T) {
	load, tests := synthetic(t, "noisy")
	tests = append(tests, Test{Day: tests[9].Day, Performance: 151}, Test{Day: 1, Performance: 150}) // two on a day, one on the first
	for _, kind := range []Kind{One, Two, Variable} {
		for _, conv := range []Convention{PreviousDay, SameDay} {
			for _, init := range []Initial{{}, {Kind: SteadyStart, Daily: 25}, {Kind: FittedStart}} {
				sorted := must(sortTests(tests, len(load)))(t)
				d := newDesign(kind, conv, load, sorted, init)
				theta := []float64{38, 12, 3.5}[:kind.taus()]
				if init.Kind == FittedStart {
					theta = append(slices.Clone(theta), 31)
				}
				model := func(th []float64) []float64 { // with gains of 1
					u, _ := d.prior(th)
					var m Model
					switch kind {
					case One:
						m = OneComponent{K: 1, Tau: th[0]}
					case Two:
						m = TwoComponent{K1: 1, K2: 1, Tau1: th[0], Tau2: th[1]}
					default:
						m = VariableDose{K1: 1, K3: 1, Tau1: th[0], Tau2: th[1], Tau3: th[2]}
					}
					return must(m.Series(nil, load, conv, m.Steady(u)))(t)
				}
				d.coef = [3]float64{0, 1, 1}
				d.fill(theta)
				series := model(theta)
				for k, x := range sorted {
					got := d.cols[1][k]
					if d.nCoef == 3 {
						got += d.cols[2][k]
					}
					if math.Abs(got-series[x.Day-1]) > 1e-9*(1+math.Abs(series[x.Day-1])) {
						t.Fatalf("%s %v %s: test %d: %v, the series has %v", kind, conv, init.Kind, k, got, series[x.Day-1])
					}
				}
				slope := make([]float64, len(sorted))
				for j := range theta {
					d.slope(j, slope)
					for k, x := range sorted {
						want := fd.Derivative(func(v float64) float64 {
							th := slices.Clone(theta)
							th[j] = v
							return model(th)[x.Day-1]
						}, theta[j], &fd.Settings{Formula: fd.Central, Step: 1e-4})
						if math.Abs(slope[k]-want) > 1e-6*(1+math.Abs(want)+1e-6*math.Abs(series[x.Day-1])) {
							t.Fatalf("%s %v %s: test %d by theta %d: %v, differences give %v", kind, conv, init.Kind, k, j, slope[k], want)
						}
					}
				}
			}
		}
	}
}

// The projected Jacobian gives the gradient of the projected sum of squares.
func TestProjectedGradient(t *testing.T) {
	load, tests := synthetic(t, "noisy")
	for _, kind := range []Kind{One, Two, Variable} {
		d := newDesign(kind, PreviousDay, load, tests, Initial{Kind: FittedStart})
		theta := append(slices.Clone([]float64{38, 12, 3.5}[:kind.taus()]), 20)
		r := make([]float64, len(tests))
		jac := make([]float64, len(tests)*d.nTheta)
		half := func(th []float64) float64 { d.fill(th); return d.solve(r) / 2 }
		want := fd.Gradient(nil, half, theta, &fd.Settings{Formula: fd.Central, Step: 1e-4})
		half(theta)
		d.projected(jac)
		for j := range theta {
			got := dot(jac[j*len(tests):(j+1)*len(tests)], r)
			if math.Abs(got-want[j]) > 1e-5*(1e-3+math.Abs(want[j])) {
				t.Errorf("%s: gradient by theta %d: %v, differences give %v", kind, j, got, want[j])
			}
		}
	}
}

// The bounded linear solution is the best within the bounds.
func TestLinearSolutionWithinBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := 12
		d := newDesign(Two, SameDay, flat(1, m), make12(), Initial{})
		for l := 1; l < 3; l++ {
			for i := range m {
				d.cols[l][i] = rapid.Float64Range(-3, 3).Draw(t, "col")
			}
		}
		for i := range m {
			d.y[i] = rapid.Float64Range(-5, 5).Draw(t, "y")
		}
		d.coefLo[0] = rapid.Float64Range(-2, 0).Draw(t, "lo")
		d.coefHi[0] = rapid.Float64Range(0, 2).Draw(t, "hi")
		r := make([]float64, m)
		rss := d.solve(r)
		c := d.coef
		price := func(c [3]float64) float64 {
			s := 0.0
			for i := range m {
				v := c[0] + c[1]*d.cols[1][i] + c[2]*d.cols[2][i] - d.y[i]
				s += v * v
			}
			return s
		}
		if math.Abs(price(c)-rss) > 1e-8*(1+rss) {
			t.Fatalf("coefficients cost %v, said %v", price(c), rss)
		}
		for range 40 {
			var o [3]float64
			o[0] = rapid.Float64Range(d.coefLo[0], d.coefHi[0]).Draw(t, "c0")
			o[1] = math.Max(0, c[1]+rapid.Float64Range(-1, 1).Draw(t, "c1"))
			o[2] = math.Max(0, c[2]+rapid.Float64Range(-1, 1).Draw(t, "c2"))
			if price(o) < rss-1e-8*(1+rss) {
				t.Fatalf("%v costs %v, less than %v at %v", o, price(o), rss, c)
			}
		}
		for l := range 3 {
			if c[l] < d.coefLo[l]-1e-12 || c[l] > d.coefHi[l]+1e-12 {
				t.Fatalf("%v is out of bounds", c)
			}
		}
	})
}

func make12() []Test {
	tests := make([]Test, 12)
	for i := range tests {
		tests[i] = Test{Day: i + 1, Performance: 1}
	}
	return tests
}

func TestFitErrors(t *testing.T) {
	load, tests := synthetic(t, "noisy")
	var few *TooFewError
	for name, f := range map[string]func() error{
		"no tests": func() error { _, err := FitModel(load, nil, FitOptions{Convention: SameDay}); return err },
		"14 tests": func() error { _, err := FitModel(load, tests[:14], FitOptions{Convention: SameDay}); return err },
		"56 days":  func() error { _, err := FitModel(load[:56], daily(56), FitOptions{Convention: SameDay}); return err },
		"one day":  func() error { _, err := FitModel(load, same(40), FitOptions{Convention: SameDay}); return err },
		"six for 5": func() error {
			_, err := FitModel(load, tests[:6], FitOptions{Convention: SameDay, MinTests: 1, MinDays: 1})
			return err
		},
		"examine": func() error {
			_, err := Examine(nil, nil, FitOptions{Convention: SameDay}, ExamineOptions{})
			return err
		},
	} {
		if err := f(); !errors.As(err, &few) {
			t.Errorf("%s: %v, want a *TooFewError", name, err)
		}
	}
	if _, err := FitModel(load, tests[:7], FitOptions{Convention: SameDay, MinTests: 7, MinDays: 20}); err != nil {
		t.Errorf("seven tests, when asked for: %v", err)
	}
	bad := slices.Clone(tests)
	bad[3].Performance = math.NaN()
	late := append(slices.Clone(tests), Test{Day: len(load) + 1, Performance: 1})
	nanLoad := append([]float64{math.NaN()}, load...)
	ok := FitOptions{Convention: SameDay}
	with := func(f func(o *FitOptions)) FitOptions { o := ok; f(&o); return o }
	var fe *FieldError
	for name, f := range map[string]func() (*Fit, error){
		"no convention": func() (*Fit, error) { return FitModel(load, tests, FitOptions{}) },
		"test NaN":      func() (*Fit, error) { return FitModel(load, bad, ok) },
		"test late":     func() (*Fit, error) { return FitModel(load, late, ok) },
		"load NaN":      func() (*Fit, error) { return FitModel(nanLoad, tests, ok) },
		"start": func() (*Fit, error) {
			return FitModel(load, tests, with(func(o *FitOptions) { o.Start = []float64{1} }))
		},
		"start NaN": func() (*Fit, error) {
			return FitModel(load, tests, with(func(o *FitOptions) { o.Start = []float64{1, math.NaN()} }))
		},
		"initial": func() (*Fit, error) { return FitModel(load, tests, with(func(o *FitOptions) { o.Initial.Kind = "x" })) },
		"initial NaN": func() (*Fit, error) {
			return FitModel(load, tests, with(func(o *FitOptions) { o.Initial = Initial{SteadyStart, math.NaN()} }))
		},
		"bounds": func() (*Fit, error) {
			return FitModel(load, tests, with(func(o *FitOptions) { o.Bounds.Tau1 = [2]float64{9, 4} }))
		},
		"bounds NaN": func() (*Fit, error) {
			return FitModel(load, tests, with(func(o *FitOptions) { o.Bounds.Tau2 = [2]float64{math.NaN(), 4} }))
		},
		"ratio": func() (*Fit, error) {
			return FitModel(load, tests, with(func(o *FitOptions) { o.Bounds.MinRatio = 0.5 }))
		},
		"no room": func() (*Fit, error) {
			return FitModel(load, tests, with(func(o *FitOptions) { o.Bounds = Bounds{Tau1: [2]float64{4, 5}, Tau2: [2]float64{6, 9}} }))
		},
		"p0": func() (*Fit, error) {
			return FitModel(load, tests, with(func(o *FitOptions) { o.Bounds.P0 = [2]float64{2, 1} }))
		},
	} {
		if got, err := f(); !errors.As(err, &fe) {
			t.Errorf("%s: %v, %v, want a *FieldError", name, got, err)
		}
	}
	var ne *NameError
	if _, err := FitModel(load, tests, with(func(o *FitOptions) { o.Model = "seven" })); !errors.As(err, &ne) {
		t.Errorf("model seven: %v", err)
	}
	if _, err := ParseConvention("today"); !errors.As(err, &ne) {
		t.Errorf("convention today: %v", err)
	}
	for _, c := range []Convention{PreviousDay, SameDay} {
		if got, err := ParseConvention(c.String()); got != c || err != nil {
			t.Errorf("%v: %v, %v", c, got, err)
		}
	}
	fit := must(FitModel(load, tests, ok))(t)
	if _, err := fit.Profile("tau9", 0.95); !errors.As(err, &fe) {
		t.Errorf("tau9: %v", err)
	}
	if _, err := fit.Profile("tau1", math.NaN()); !errors.As(err, &fe) {
		t.Errorf("level NaN: %v", err)
	}
	if _, err := fit.Forecast(load, 2, false); !errors.As(err, &fe) {
		t.Errorf("level 2: %v", err)
	}
	if _, err := fit.Forecast([]float64{-1}, 0.9, false); !errors.As(err, &fe) {
		t.Errorf("load -1: %v", err)
	}
	for _, e := range []ExamineOptions{{Level: 1}, {HoldOut: 0.9}, {HoldOut: math.NaN()}} {
		if _, err := Examine(load, tests, ok, e); !errors.As(err, &fe) {
			t.Errorf("%+v: %v", e, err)
		}
	}
}

func daily(n int) []Test {
	tests := make([]Test, n)
	for i := range tests {
		tests[i] = Test{Day: i + 1, Performance: 100 + float64(i%7)}
	}
	return tests
}

func same(n int) []Test {
	tests := daily(n)
	for i := range tests {
		tests[i].Day = 90
	}
	return tests
}

// Logs that say nothing: no load at all, equal tests, the same load every day.
// They are refused or warned about, never answered with no number.
func TestFitOfLogsThatSayNothing(t *testing.T) {
	n := 70
	equal := daily(n)
	for i := range equal {
		equal[i].Performance = 100
	}
	for name, tc := range map[string]struct {
		load  []float64
		tests []Test
	}{
		"no load":     {make([]float64, n), daily(n)},
		"equal tests": {flat(50, n), equal},
		"flat load":   {flat(50, n), daily(n)},
		"huge":        {flat(1e12, n), daily(n)},
		"tiny":        {flat(1e-12, n), daily(n)},
	} {
		for _, kind := range []Kind{Constant, One, Two, Variable} {
			for _, init := range []InitialKind{ZeroStart, FittedStart} {
				if init == FittedStart && kind != Two {
					continue
				}
				r, err := Examine(tc.load, tc.tests, FitOptions{Model: kind, Convention: PreviousDay, Initial: Initial{Kind: init}}, ExamineOptions{})
				if err != nil {
					t.Errorf("%s %s %s: %v", name, kind, init, err)
					continue
				}
				if kind == Two && !r.Refused {
					t.Errorf("%s %s %s: not refused", name, kind, init)
				}
				nums := []float64{r.Fit.RSS, r.Fit.SD, r.Fit.R2, r.Fit.AICc, r.Fit.BIC}
				for _, p := range r.Fit.Params {
					nums = append(nums, p.Value, p.SE, p.Low, p.High)
				}
				for _, p := range r.Profiles {
					nums = append(nums, p.Low, p.High)
				}
				for _, h := range r.HoldOut {
					nums = append(nums, h.RMSE, h.MAE, h.Bias)
				}
				for _, v := range nums {
					if math.IsNaN(v) || (math.IsInf(v, 0)) {
						t.Errorf("%s %s %s: a number is %v: %+v %+v", name, kind, init, v, r.Fit.Params, r.Profiles)
						break
					}
				}
			}
		}
	}
}

func TestWarnings(t *testing.T) {
	load, tests := synthetic(t, "noisy")
	r := must(Examine(load, tests, FitOptions{Convention: PreviousDay}, ExamineOptions{}))(t)
	if r.Refused || !hasCode(r.Warnings, HighCorrelation) {
		t.Errorf("want a warned, not refused, fit: %+v", r.Warnings)
	}
	// The constant load of a log has no reduced phase.
	if hasReduction(flat(50, 140), tests) {
		t.Error("a flat log has a phase of reduced training")
	}
	cut := flat(50, 140)
	for i := 100; i < 107; i++ {
		cut[i] = 30
	}
	if !hasReduction(cut, tests) {
		t.Error("a week at 60 % is no phase of reduced training")
	}
	if hasReduction(cut, tests[:20]) { // tests to day 80 only
		t.Error("a phase without a test counts")
	}
	// One component that explains everything: two are refused.
	one := OneComponent{P0: 100, K: 0.02, Tau: 30}
	p := must(one.Series(nil, load, PreviousDay, State{}))(t)
	single := slices.Clone(tests)
	for i := range single {
		noise := 0.3 * math.Sin(float64(i*i))
		single[i].Performance = p[single[i].Day-1] + noise
	}
	r = must(Examine(load, single, FitOptions{Convention: PreviousDay}, ExamineOptions{}))(t)
	if !r.Refused || !hasCode(r.Warnings, NoBetter) {
		t.Errorf("two components for one: %+v", r.Warnings)
	}
	if len(r.Models) != 3 || len(r.HoldOut) != 3 || r.Models[0].Model != Constant || r.Models[1].Model != One {
		t.Errorf("models %+v, hold-out %+v", r.Models, r.HoldOut)
	}
}

// Profile intervals of a linear parameter in a linear model are the t interval.
func TestProfileOfLinearModel(t *testing.T) {
	load, tests := synthetic(t, "noisy")
	f := must(FitModel(load, tests, FitOptions{Model: Constant, Convention: PreviousDay}))(t)
	pr := must(f.Profile("p0", 0.95))(t)
	p := value(t, f, "p0")
	// t quantile 0.975 with 34 degrees of freedom: 2.0322 (tables).
	relative(t, "low", pr.Low, p.Value-2.032245*p.SE, 1e-6)
	relative(t, "high", pr.High, p.Value+2.032245*p.SE, 1e-6)
}

// At the ends of a profile interval the best sum of squares is the target.
func TestProfileEnds(t *testing.T) {
	load, tests := synthetic(t, "noisy")
	f := must(FitModel(load, tests, FitOptions{Convention: PreviousDay}))(t)
	tq := studentQuantile(float64(f.DF), 0.975)
	target := f.RSS * (1 + tq*tq/float64(f.DF))
	pr := must(f.Profile("tau2", 0.95))(t)
	for _, end := range []float64{pr.Low, pr.High} {
		best := math.Inf(1)
		for tau1 := 5.0; tau1 <= 90; tau1 += 0.25 {
			if tau1 < 1.3*end {
				continue
			}
			o := FitOptions{Model: Two, Convention: PreviousDay}
			s := newSearch(&o, load, f.Tests, f.bounds)
			s.d.coefLo[0], s.d.coefHi[0] = math.Inf(-1), math.Inf(1)
			s.d.fill([]float64{tau1, end})
			best = min(best, s.d.solve(make([]float64, len(tests))))
		}
		relative(t, fmt.Sprint("least sum of squares at tau2 ", end), best, target, 1e-3)
	}
	if p := value(t, f, "tau2"); !(pr.Low < p.Value && p.Value < pr.High) {
		t.Errorf("interval %+v of %v", pr, p.Value)
	}
}

// The band of a forecast at the tests' days is the usual one of regression.
func TestForecastBand(t *testing.T) {
	load, tests := synthetic(t, "noisy")
	f := must(FitModel(load, tests, FitOptions{Convention: PreviousDay}))(t)
	long := append(slices.Clone(load), make([]float64, 30)...)
	band := must(f.Forecast(long, 0.95, false))(t)
	wide := must(f.Forecast(long, 0.95, true))(t)
	if len(band) != 170 {
		t.Fatalf("%d days", len(band))
	}
	series := must(f.Fitted().Series(nil, long, f.Convention, f.Start()))(t)
	tq := studentQuantile(float64(f.DF), 0.975)
	lever := 0.0
	for i, b := range band {
		if b.Mid != series[i] || !(b.Low <= b.Mid && b.Mid <= b.High) || !(wide[i].Low < b.Low) {
			t.Fatalf("day %d: %+v %+v", i+1, b, wide[i])
		}
	}
	for _, x := range tests {
		se := (band[x.Day-1].High - band[x.Day-1].Mid) / tq
		lever += se * se / (f.SD * f.SD)
	}
	// The leverages of a regression add up to its number of parameters.
	relative(t, "sum of leverages", lever, 5, 1e-6)
	if f := must(f.Forecast(nil, 0.9, false))(t); f != nil {
		t.Errorf("a forecast of no days: %v", f)
	}
}

// benchLog is a log of two years with sixty tests, as large as the yardstick's.
func benchLog() (load []float64, tests []Test) {
	m := TwoComponent{P0: 250, K1: 0.1, K2: 0.13, Tau1: 45, Tau2: 11}
	for i := range 730 {
		w := float64(20 + i*37%31)
		if i%7 == 2 || i%7 == 6 {
			w = 0
		}
		if i/7%5 == 4 {
			w /= 2
		}
		load = append(load, w)
	}
	p, _ := m.Series(nil, load, PreviousDay, State{})
	for i := range 60 {
		d := 6 + i*12
		tests = append(tests, Test{Day: d + 1, Performance: p[d] + 2.5*math.Sin(float64(7*i*i+i))})
	}
	return load, tests
}

func BenchmarkFit(b *testing.B) {
	load, tests := benchLog()
	for _, tc := range []struct {
		name string
		o    FitOptions
	}{
		{"one start", FitOptions{Convention: PreviousDay, Start: []float64{42, 7}}},
		{"grid", FitOptions{Convention: PreviousDay}},
		{"variable dose", FitOptions{Convention: PreviousDay, Model: Variable}},
	} {
		b.Run(tc.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := FitModel(load, tests, tc.o); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkExamine(b *testing.B) {
	load, tests := benchLog()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Examine(load, tests, FitOptions{Convention: PreviousDay}, ExamineOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// A fit that was read back from JSON has its numbers and no intervals, and says so.
func TestFitReadBack(t *testing.T) {
	load, tests := make([]float64, 120), []Test{}
	for i := range load {
		load[i] = float64(40 + 30*(i%7%3))
	}
	m := TwoComponent{P0: 100, K1: 0.1, K2: 0.12, Tau1: 40, Tau2: 8}
	p, err := m.Series(nil, load, PreviousDay, State{})
	if err != nil {
		t.Fatal(err)
	}
	for i := 5; i < len(p); i += 6 {
		tests = append(tests, Test{Day: i + 1, Performance: p[i] + math.Sin(float64(i))})
	}
	f, err := FitModel(load, tests, FitOptions{Model: Two, Convention: PreviousDay})
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	var back Fit
	if err := json.Unmarshal(b, &back); err != nil {
		t.Fatal(err)
	}
	if _, ok := f.Corr("k1", "k2"); !ok {
		t.Error("the fit has no correlation")
	}
	if r, ok := back.Corr("k1", "k2"); ok {
		t.Errorf("correlation %v", r)
	}
	var fe *FieldError
	if _, err := back.Forecast(load, 0.9, false); !errors.As(err, &fe) || fe.Field != "fit" {
		t.Errorf("Forecast: %v", err)
	}
	if _, err := back.Profile("k1", 0.9); !errors.As(err, &fe) || fe.Field != "fit" {
		t.Errorf("Profile: %v", err)
	}
}

// A filter that nobody filled in learns nothing.
func TestZeroFilter(t *testing.T) {
	if b, _, _ := (Filter{}).Update(Belief{}, 1); b != (Belief{}) {
		t.Errorf("%+v", b)
	}
}
