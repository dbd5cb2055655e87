package response

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/diff/fd"
	"pgregory.net/rapid"
)

// customary is the customary starting set of the literature (from memory).
var customary = TwoComponent{P0: 500, K1: 1, K2: 2, Tau1: 45, Tau2: 15}

func must[T any](v T, err error) func(t interface{ Fatal(...any) }) T {
	return func(t interface{ Fatal(...any) }) T {
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func check(t *testing.T, id string, got ...float64) {
	t.Helper()
	want, tol := worked(t, id)
	if diff := cmp.Diff(want, got, cmpopts.EquateApprox(0, tol)); diff != "" {
		t.Errorf("%s (-want +got):\n%s", id, diff)
	}
}

func flat(w float64, n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = w
	}
	return x
}

func TestWorkedLags(t *testing.T) {
	for _, tc := range []struct {
		id string
		m  TwoComponent
	}{
		{"FF-04", TwoComponent{K1: 1, K2: 1.8, Tau1: 45, Tau2: 15}},
		{"FF-05", TwoComponent{K1: 1, K2: 2, Tau1: 50, Tau2: 15}},
		{"FF-06", TwoComponent{K1: 1, K2: 2, Tau1: 42, Tau2: 7}},
	} {
		tg, _, err := tc.m.PeakBenefit()
		if err != nil {
			t.Fatal(err)
		}
		check(t, tc.id, must(tc.m.BreakEven())(t), tg)
	}
	tg, benefit, err := customary.PeakBenefit()
	if err != nil {
		t.Fatal(err)
	}
	check(t, "FF-01", must(customary.BreakEven())(t))
	check(t, "FF-02", tg)
	check(t, "FF-03", benefit)
	for id, u := range map[string]float64{"FF-IC-00": 0, "FF-IC-01": 1, "FF-IC-07": 7, "FF-IC-14": 14, "FF-IC-21": 21, "FF-IC-28": 28, "FF-IC-42": 42, "FF-IC-70": 70} {
		check(t, id, customary.Influence(u))
	}
	check(t, "FF-11", must(customary.RestPeak(customary.Steady(100)))(t))
}

func TestWorkedSeries(t *testing.T) {
	var same, previous Trace
	load := flat(100, 42)
	for _, err := range []error{
		customary.Trace(&same, load, SameDay, State{}),
		customary.Trace(&previous, load, PreviousDay, State{}),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for day, suffix := range map[int]string{1: "01", 2: "02", 7: "07", 28: "28", 42: "42"} {
		i := day - 1
		check(t, "FF-S-"+suffix, same.Fitness[i], same.Fatigue[i], same.Performance[i])
		check(t, "FF-P-"+suffix, previous.Fitness[i], previous.Fatigue[i], previous.Performance[i])
	}
	s := customary.Steady(100)
	check(t, "FF-07", s.Fitness, s.Fatigue)
	var steady Trace
	if err := customary.Trace(&steady, flat(100, 1), PreviousDay, s); err != nil {
		t.Fatal(err)
	}
	check(t, "FF-08", steady.Fitness[0], steady.Fatigue[0])

	week := []float64{100, 0, 80, 0, 120, 0, 0, 90}
	if err := customary.Trace(&same, week, SameDay, State{}); err != nil {
		t.Fatal(err)
	}
	check(t, "FF-09", same.Fitness[7], same.Fatigue[7], same.Performance[7])
	p := must(customary.Series(nil, append(week, 0), PreviousDay, State{}))(t)
	check(t, "FF-10", p[7], p[8])
}

func TestWorkedVariableDose(t *testing.T) {
	m := VariableDose{P0: 250, K1: 0.031, K3: 0.000035, Tau1: 30.8, Tau2: 16.8, Tau3: 2.3}
	load := []float64{100, 0, 100, 0, 50, 0, 0}
	p := must(m.Series(nil, load, PreviousDay, State{}))(t)
	check(t, "VD-01", p[5], p[6])
	check(t, "VD-02", must(m.Gains(nil, load[:6], State{}))(t)...)
	at := func(w float64) float64 { return must(m.Series(nil, []float64{w}, PreviousDay, m.Steady(w)))(t)[0] }
	check(t, "VD-03", at(100), at(200), at(400), at(600))
	// VD-04: the load that is best in the steady state, found as the top of the
	// parabola through three of its points.
	y0, y1, y2 := at(0), at(100), at(200)
	top := 100 * (3*y0 - 4*y1 + y2) / (2 * (y0 - 2*y1 + y2))
	check(t, "VD-04", top, at(top))
}

// The taper simulations: 28 days of 100, then 14 days along each curve. The
// model ranks complete rest first, which is a defect of it and not advice.
func TestWorkedTapers(t *testing.T) {
	curve := map[string]func(d float64) float64{
		"TS-01": func(d float64) float64 { return 1 },
		"TS-02": func(d float64) float64 { return 0.5 },
		"TS-03": func(d float64) float64 { return 0 },
		"TS-04": func(d float64) float64 { return 1 - d/14 },
		"TS-05": func(d float64) float64 { return math.Exp(-d / 4) },
		"TS-06": func(d float64) float64 { return math.Exp(-d / 5) },
		"TS-07": func(d float64) float64 { return math.Exp(-d / 8) },
	}
	best, bestID := math.Inf(-1), ""
	for id, r := range curve {
		load := flat(100, 42)
		for d := 1; d <= 14; d++ {
			load[27+d] *= r(float64(d))
		}
		p := must(customary.Series(nil, load, SameDay, State{}))(t)
		check(t, id, p[34], p[41])
		if p[41] > best {
			best, bestID = p[41], id
		}
	}
	if bestID != "TS-03" {
		t.Errorf("%s ranks first, want complete rest: the defect the caveat describes", bestID)
	}
}

func TestWorkedFilter(t *testing.T) {
	f := Filter{Model: customary, Convention: PreviousDay, Q: Covariance{Fitness: 4, Fatigue: 4}, R: 25}
	if err := f.Check(); err != nil {
		t.Fatal(err)
	}
	b := Belief{} // day 1, known
	var got []float64
	for _, day := range []struct{ load, test float64 }{{100, 0}, {0, 400}, {80, 455}} {
		b = f.Predict(b, day.load)
		if day.test > 0 {
			b, _, _ = f.Update(b, day.test)
		}
		p, _ := f.performance(b)
		got = append(got, b.Fitness, b.Fatigue, p)
	}
	check(t, "KF-01", got...)
	check(t, "KF-02", b.Cov.Fitness, b.Cov.Fatigue, b.Cov.Cross)
}

func TestFilterRun(t *testing.T) {
	load := flat(50, 60)
	for _, c := range []Convention{PreviousDay, SameDay} {
		f := Filter{Model: customary, Convention: c, R: 1}
		// Without tests or noise the filter is the model.
		start := customary.Steady(20)
		steps, ll, err := f.Run(load, nil, Belief{Fitness: start.Fitness, Fatigue: start.Fatigue})
		if err != nil {
			t.Fatal(err)
		}
		want := must(customary.Series(nil, load, c, start))(t)
		for i, s := range steps {
			if math.Abs(s.Performance-want[i]) > 1e-9 || s.SD != 0 || s.Tested {
				t.Fatalf("%v day %d: %+v, want %v", c, i+1, s, want[i])
			}
		}
		if ll != 0 {
			t.Errorf("log-likelihood of no tests: %v", ll)
		}
		// A very good test is believed.
		f.Q, f.R = Covariance{Fitness: 10, Fatigue: 10}, 1e-12
		steps, _, err = f.Run(load, []Test{{Day: 30, Performance: 333}}, Belief{})
		if err != nil {
			t.Fatal(err)
		}
		if s := steps[29]; !s.Tested || math.Abs(s.Performance-333) > 1e-6 {
			t.Errorf("%v: %+v after a test of 333", c, s)
		}
		if v := steps[28].SD; !(steps[29].SD < v) {
			t.Errorf("a test did not narrow the belief: %v, %v", v, steps[29].SD)
		}
	}
}

// The log-likelihood of the filter is the normal density of all tests together.
func TestFilterLikelihood(t *testing.T) {
	f := Filter{Model: TwoComponent{P0: 100, K1: 0.5, Tau1: 30, Tau2: 10}, Convention: SameDay, Q: Covariance{Fitness: 3}, R: 2}
	tests := []Test{{1, 101}, {3, 99}}
	_, ll, err := f.Run([]float64{0, 0, 0}, tests, Belief{})
	if err != nil {
		t.Fatal(err)
	}
	// By hand: fitness is a sum of decayed shocks of variance 3, seen through 0.5.
	d := math.Exp(-1.0 / 30)
	v1, v3 := 3.0, 3*(1+d*d+d*d*d*d)
	cov := 3 * d * d
	a, b, c := 0.25*v1+2, 0.25*v3+2, 0.25*cov
	det := a*b - c*c
	r1, r3 := 1.0, -1.0
	want := -0.5*(b*r1*r1-2*c*r1*r3+a*r3*r3)/det - 0.5*math.Log(det) - math.Log(2*math.Pi)
	if math.Abs(ll-want) > 1e-12 {
		t.Errorf("log-likelihood %v, want %v", ll, want)
	}
}

func drawLoad(t *rapid.T) []float64 {
	return rapid.SliceOfN(rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 200)), 1, 120).Draw(t, "load")
}

func drawTwo(t *rapid.T) TwoComponent {
	return TwoComponent{
		P0: rapid.Float64Range(-100, 500).Draw(t, "p0"),
		K1: rapid.Float64Range(0, 3).Draw(t, "k1"), K2: rapid.Float64Range(0, 3).Draw(t, "k2"),
		Tau1: rapid.Float64Range(0.2, 90).Draw(t, "tau1"), Tau2: rapid.Float64Range(0.2, 90).Draw(t, "tau2"),
	}
}

func drawVariable(t *rapid.T) VariableDose {
	m := drawTwo(t)
	return VariableDose{P0: m.P0, K1: m.K1, K3: m.K2 / 100, Tau1: m.Tau1, Tau2: m.Tau2, Tau3: rapid.Float64Range(0.2, 20).Draw(t, "tau3")}
}

func drawConvention(t *rapid.T) Convention {
	return rapid.SampledFrom([]Convention{PreviousDay, SameDay}).Draw(t, "convention")
}

// The recursion equals the sum over all earlier days, in both conventions.
func TestSeriesIsTheSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, load, c := drawTwo(t), drawLoad(t), drawConvention(t)
		start := m.Steady(rapid.Float64Range(0, 100).Draw(t, "before"))
		got := must(m.Series(nil, load, c, start))(t)
		v := drawVariable(t)
		gotV := must(v.Series(nil, load, c, State{}))(t)
		for n := range load {
			last := n - 1
			if c == SameDay {
				last = n
			}
			want := m.P0 + m.K1*start.Fitness*math.Exp(-float64(n+1)/m.Tau1) - m.K2*start.Fatigue*math.Exp(-float64(n+1)/m.Tau2)
			wantV := v.P0
			for i := 0; i <= last; i++ {
				want += load[i] * m.Influence(float64(n-i))
				k2 := 0.0
				for j := 0; j <= i; j++ {
					k2 += v.K3 * load[j] * math.Exp(-float64(i-j)/v.Tau3)
				}
				wantV += v.K1*load[i]*math.Exp(-float64(n-i)/v.Tau1) - k2*load[i]*math.Exp(-float64(n-i)/v.Tau2)
			}
			close := func(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+math.Abs(a)+1e4) }
			if !close(got[n], want) || !close(gotV[n], wantV) {
				t.Fatalf("day %d: %v, %v; want %v, %v", n+1, got[n], gotV[n], want, wantV)
			}
		}
	})
}

// Performance less P0 is linear in the loads: the property that makes the plain
// model's best plan all-or-nothing.
func TestSeriesIsLinearInLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, a, c := drawTwo(t), drawLoad(t), drawConvention(t)
		m.P0 = 0
		k := rapid.Float64Range(0, 5).Draw(t, "k")
		b := make([]float64, len(a))
		mix := make([]float64, len(a))
		for i := range a {
			b[i] = rapid.Float64Range(0, 200).Draw(t, "b")
			mix[i] = a[i] + k*b[i]
		}
		pa, pb, pm := must(m.Series(nil, a, c, State{}))(t), must(m.Series(nil, b, c, State{}))(t), must(m.Series(nil, mix, c, State{}))(t)
		for i := range pm {
			if math.Abs(pm[i]-pa[i]-k*pb[i]) > 1e-6 {
				t.Fatalf("day %d: %v, want %v", i+1, pm[i], pa[i]+k*pb[i])
			}
		}
	})
}

// The previous-day value is the same-day value of the day before, decayed.
func TestConventionsAgree(t *testing.T) {
	load := []float64{100, 0, 80, 0, 120, 0, 0, 90}
	var same, previous Trace
	if err := errors.Join(customary.Trace(&same, load, SameDay, State{}), customary.Trace(&previous, load, PreviousDay, State{})); err != nil {
		t.Fatal(err)
	}
	for i := 1; i < len(load); i++ {
		if math.Abs(previous.Fitness[i]-same.Fitness[i-1]*math.Exp(-1.0/45)) > 1e-12*previous.Fitness[i] {
			t.Errorf("day %d: %v, %v", i+1, previous.Fitness[i], same.Fitness[i-1])
		}
	}
}

// A series may be cut anywhere and taken up again from the state.
func TestAfterContinues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		load, c := drawLoad(t), drawConvention(t)
		two := drawTwo(t)
		for _, m := range []Model{two, OneComponent{P0: two.P0, K: two.K1, Tau: two.Tau1}, drawVariable(t)} {
			start := m.Steady(50)
			whole := must(m.Series(nil, load, c, start))(t)
			cut := rapid.IntRange(0, len(load)).Draw(t, "cut")
			mid := must(m.After(load[:cut], start))(t)
			rest := must(m.Series(nil, load[cut:], c, mid))(t)
			for i, p := range rest {
				if math.Abs(p-whole[cut+i]) > 1e-9*(1+math.Abs(p)) {
					t.Fatalf("%T: day %d: %v, want %v", m, cut+i+1, p, whole[cut+i])
				}
			}
		}
	})
}

func TestSteadyStaysSteady(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, w := drawConvention(t), rapid.Float64Range(0, 300).Draw(t, "w")
		two := drawTwo(t)
		for _, m := range []Model{two, OneComponent{P0: two.P0, K: two.K1, Tau: two.Tau1}, drawVariable(t)} {
			p := must(m.Series(nil, flat(w, 200), c, m.Steady(w)))(t)
			if math.Abs(p[199]-p[0]) > 1e-8*(1+math.Abs(p[0])+w*w*1e3) {
				t.Fatalf("%T: %v at first, %v at last", m, p[0], p[199])
			}
		}
	})
}

// tn is where the influence crosses zero, tg where its slope is zero, and their
// distance does not depend on the gains.
func TestLagsAreWhatTheySay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := TwoComponent{K1: rapid.Float64Range(0.01, 3).Draw(t, "k1"), Tau2: rapid.Float64Range(0.5, 40).Draw(t, "tau2")}
		m.Tau1 = m.Tau2 * rapid.Float64Range(1.05, 10).Draw(t, "ratio")
		m.K2 = m.K1 * rapid.Float64Range(1.01, 5).Draw(t, "k2/k1")
		tn := must(m.BreakEven())(t)
		tg, benefit, err := m.PeakBenefit()
		if err != nil {
			t.Fatal(err)
		}
		if v := m.Influence(tn); math.Abs(v) > 1e-9*m.K2 {
			t.Fatalf("influence %v at tn", v)
		}
		slope := fd.Derivative(m.Influence, tg, &fd.Settings{Formula: fd.Central})
		if math.Abs(slope) > 1e-6*m.K2 || benefit != m.Influence(tg) {
			t.Fatalf("slope %v at tg, benefit %v", slope, benefit)
		}
		if d := m.Tau1 * m.Tau2 / (m.Tau1 - m.Tau2) * math.Log(m.Tau1/m.Tau2); math.Abs(tg-tn-d) > 1e-6*d {
			t.Fatalf("tg - tn = %v, want %v", tg-tn, d)
		}
		// The rest that pays most after a steady state: no day nearby pays more.
		s := m.Steady(100)
		r := must(m.RestPeak(s))(t)
		p := func(u float64) float64 {
			return m.K1*s.Fitness*math.Exp(-u/m.Tau1) - m.K2*s.Fatigue*math.Exp(-u/m.Tau2)
		}
		if r > 0 && (p(r) < p(r*0.99)-1e-9 || p(r) < p(r*1.01)-1e-9) {
			t.Fatalf("rest of %v days is no peak", r)
		}
		if r == 0 && p(0.01) > p(0)+1e-9 {
			t.Fatal("no rest, but a day's rest pays")
		}
	})
}

func TestLagEdges(t *testing.T) {
	for name, tc := range map[string]struct {
		m           TwoComponent
		even, peak  bool // whether the error is a *NoLagError
		wantPeakDay float64
	}{
		"equal time constants": {TwoComponent{K1: 1, K2: 2, Tau1: 20, Tau2: 20}, true, true, 0},
		"swapped":              {TwoComponent{K1: 1, K2: 2, Tau1: 15, Tau2: 45}, true, true, 0},
		"equal gains":          {TwoComponent{K1: 1, K2: 1, Tau1: 45, Tau2: 15}, true, false, 22.5 * math.Log(3)},
		"small fatigue gain":   {TwoComponent{K1: 1, K2: 0.2, Tau1: 45, Tau2: 15}, true, false, 0},
		"no fatigue":           {TwoComponent{K1: 1, Tau1: 45, Tau2: 15}, true, false, 0},
		"no fitness":           {TwoComponent{K2: 1, Tau1: 45, Tau2: 15}, true, true, 0},
	} {
		var nl *NoLagError
		if _, err := tc.m.BreakEven(); errors.As(err, &nl) != tc.even {
			t.Errorf("%s: break-even: %v", name, err)
		}
		day, benefit, err := tc.m.PeakBenefit()
		if errors.As(err, &nl) != tc.peak || math.Abs(day-tc.wantPeakDay) > 1e-9 || math.IsNaN(benefit) {
			t.Errorf("%s: peak: %v, %v, %v", name, day, benefit, err)
		}
		if _, err := tc.m.RestPeak(State{}); errors.As(err, &nl) != tc.peak {
			t.Errorf("%s: rest: %v", name, err)
		}
		// The series is defined all the same.
		if _, err := tc.m.Series(nil, flat(10, 5), SameDay, State{}); err != nil {
			t.Errorf("%s: series: %v", name, err)
		}
	}
	var fe *FieldError
	if _, err := (TwoComponent{K1: 1, K2: 2, Tau1: math.NaN(), Tau2: 15}).BreakEven(); !errors.As(err, &fe) {
		t.Errorf("NaN: %v", err)
	}
	if got := customary.Influence(math.NaN()); got != 0 {
		t.Errorf("influence of NaN days: %v", got)
	}
}

func TestModelErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	v := VariableDose{P0: 250, K1: 0.031, K3: 0.000035, Tau1: 30.8, Tau2: 16.8, Tau3: 2.3}
	ok := []float64{1, 2}
	var fe *FieldError
	for name, f := range map[string]func() error{
		"no convention":  func() error { _, err := customary.Series(nil, ok, 0, State{}); return err },
		"convention 9":   func() error { _, err := v.Series(nil, ok, 9, State{}); return err },
		"load NaN":       func() error { _, err := customary.Series(nil, []float64{1, nan}, SameDay, State{}); return err },
		"load inf":       func() error { _, err := customary.Series(nil, []float64{inf}, PreviousDay, State{}); return err },
		"load negative":  func() error { _, err := v.Series(nil, []float64{-1}, PreviousDay, State{}); return err },
		"trace load":     func() error { return customary.Trace(new(Trace), []float64{-1}, PreviousDay, State{}) },
		"gains load":     func() error { _, err := v.Gains(nil, []float64{nan}, State{}); return err },
		"after load":     func() error { _, err := v.After([]float64{nan}, State{}); return err },
		"after load two": func() error { _, err := customary.After([]float64{nan}, State{}); return err },
		"state NaN":      func() error { _, err := customary.Series(nil, ok, SameDay, State{Fatigue: nan}); return err },
		"tau zero":       func() error { m := customary; m.Tau2 = 0; return m.Check() },
		"tau inf":        func() error { m := customary; m.Tau1 = inf; return m.Check() },
		"k negative":     func() error { m := customary; m.K1 = -1; return m.Check() },
		"p0 NaN":         func() error { m := customary; m.P0 = nan; return m.Check() },
		"k3 NaN":         func() error { m := v; m.K3 = nan; return m.Check() },
		"tau3 negative":  func() error { m := v; m.Tau3 = -1; return m.Check() },
		"one tau":        func() error { return OneComponent{K: 1, Tau: nan}.Check() },
		"rest state":     func() error { _, err := customary.RestPeak(State{Fitness: nan}); return err },
		"filter no R":    func() error { return Filter{Model: customary, Convention: SameDay}.Check() },
		"filter Q": func() error {
			return Filter{Model: customary, Convention: SameDay, R: 1, Q: Covariance{Cross: 1}}.Check()
		},
		"filter test day": func() error {
			_, _, err := Filter{Model: customary, Convention: SameDay, R: 1}.Run(ok, []Test{{Day: 3, Performance: 1}}, Belief{})
			return err
		},
		"filter test NaN": func() error {
			_, _, err := Filter{Model: customary, Convention: SameDay, R: 1}.Run(ok, []Test{{Day: 1, Performance: nan}}, Belief{})
			return err
		},
		"filter start": func() error {
			_, _, err := Filter{Model: customary, Convention: SameDay, R: 1}.Run(ok, nil, Belief{Cov: Covariance{Fitness: nan}})
			return err
		},
	} {
		if err := f(); !errors.As(err, &fe) {
			t.Errorf("%s: %v, want a *FieldError", name, err)
		}
	}
	if s := customary.Steady(nan); s != (State{}) {
		t.Errorf("steady state of NaN: %+v", s)
	}
}

// The widest arguments that are let in stay finite.
func TestNothingOverflows(t *testing.T) {
	load := flat(maxLoad, 400)
	two := TwoComponent{P0: -maxLevel, K1: maxGain, K2: maxGain, Tau1: maxTau, Tau2: 1e-300}
	vd := VariableDose{P0: maxLevel, K1: maxGain, K3: maxGain, Tau1: maxTau, Tau2: maxTau, Tau3: maxTau}
	for _, m := range []Model{two, vd, OneComponent{K: maxGain, Tau: 1e-300}} {
		for _, c := range []Convention{SameDay, PreviousDay} {
			for _, p := range must(m.Series(nil, load, c, m.Steady(maxLoad)))(t) {
				if math.IsNaN(p) || math.IsInf(p, 0) {
					t.Fatalf("%T %v: %v", m, c, p)
				}
			}
		}
	}
}

func TestSeriesDoesNotAllocate(t *testing.T) {
	load, dst := flat(40, 730), make([]float64, 0, 730)
	v := VariableDose{P0: 250, K1: 0.031, K3: 0.000035, Tau1: 30.8, Tau2: 16.8, Tau3: 2.3}
	if n := testing.AllocsPerRun(20, func() {
		if _, err := customary.Series(dst, load, PreviousDay, State{}); err != nil {
			t.Fatal(err)
		}
		if _, err := v.Series(dst, load, SameDay, State{}); err != nil {
			t.Fatal(err)
		}
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkSeries(b *testing.B) {
	for _, n := range []int{73, 730, 7300} {
		load := make([]float64, n)
		for i := range load {
			load[i] = float64(i*37%101) + 0.5
		}
		dst := make([]float64, 0, n)
		b.Run(map[int]string{73: "73d", 730: "730d", 7300: "7300d"}[n], func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := customary.Series(dst, load, PreviousDay, State{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
