package response

import (
	"math"

	"github.com/blockwright/blockwright/internal/num"
)

// Covariance is a symmetric 2 by 2 covariance of fitness and fatigue, in units
// of load squared.
type Covariance struct {
	Fitness, Fatigue, Cross float64 // the two variances, and the covariance
}

// Belief is what is known of a lifter's state on a day.
type Belief struct {
	Fitness, Fatigue float64 // most likely values, in units of load
	Cov              Covariance
}

// Filter is the two-component model as a linear state space (Kolossa et al.
// 2017, Int J Comput Sci Sport 16(2):117-135; method looked-up):
//
//	x(n) = A (x(n-1) + w(n-1)) + noise of covariance Q   (previous-day)
//	x(n) = A x(n-1) + w(n) + noise of covariance Q        (same-day)
//	p(n) = P0 + [K1, -K2] x(n) + noise of variance R
//
// with A = diag(exp(-1/Tau1), exp(-1/Tau2)). It corrects the state whenever a
// test comes in, which the plain model cannot.
type Filter struct {
	Model      TwoComponent
	Convention Convention
	Q          Covariance // of one day's process noise
	R          float64    // variance of a test, above 0
}

// FilterStep is one day of a filtered series.
type FilterStep struct {
	Day         int     // from 1
	Belief      Belief  // after the day's test, where there was one
	Performance float64 // from that belief
	SD          float64 // of Performance, without the noise of a test
	Tested      bool    // there was a test on the day
	Innovation  float64 // test minus what was predicted before it
	Expected    float64 // standard deviation that the innovation was expected to have
}

// Check says whether the filter can run, with a *FieldError.
func (f Filter) Check() error {
	if err := first(f.Model.Check(), f.Convention.check()); err != nil {
		return err
	}
	if !(f.R > 0 && f.R <= 1e24) {
		return &FieldError{Field: "r", Value: f.R, Want: "a variance above 0"}
	}
	return f.Q.check("q")
}

func (c Covariance) check(name string) error {
	switch {
	case !(c.Fitness >= 0 && c.Fitness <= 1e24):
		return &FieldError{Field: name + ".fitness", Value: c.Fitness, Want: "a variance of 0 or more"}
	case !(c.Fatigue >= 0 && c.Fatigue <= 1e24):
		return &FieldError{Field: name + ".fatigue", Value: c.Fatigue, Want: "a variance of 0 or more"}
	case !(c.Cross*c.Cross <= c.Fitness*c.Fatigue*(1+1e-9)):
		return &FieldError{Field: name + ".cross", Value: c.Cross, Want: "a covariance that its variances allow"}
	}
	return nil
}

// Predict takes a belief one day on. In the previous-day convention b is the
// state before the day's session and load is that session; in the same-day
// convention b is the state after yesterday's session and load is today's. It
// trusts its arguments; [Filter.Run] checks them.
func (f Filter) Predict(b Belief, load float64) Belief {
	d1, d2 := decay(f.Model.Tau1), decay(f.Model.Tau2)
	if f.Convention == PreviousDay {
		b.Fitness, b.Fatigue = d1*(b.Fitness+load), d2*(b.Fatigue+load)
	} else {
		b.Fitness, b.Fatigue = float64(d1*b.Fitness)+load, float64(d2*b.Fatigue)+load
	}
	b.Cov = Covariance{
		Fitness: float64(d1*d1*b.Cov.Fitness) + f.Q.Fitness,
		Fatigue: float64(d2*d2*b.Cov.Fatigue) + f.Q.Fatigue,
		Cross:   float64(d1*d2*b.Cov.Cross) + f.Q.Cross,
	}
	return b
}

// Update corrects a belief by a test on its day; it returns the innovation and
// the standard deviation expected of it as well. The covariance is updated in
// Joseph's form, which stays symmetric and positive.
func (f Filter) Update(b Belief, performance float64) (after Belief, innovation, expected float64) {
	c1, c2 := f.Model.K1, -f.Model.K2
	p, _ := f.performance(b)
	innovation = performance - p
	pc1 := float64(b.Cov.Fitness*c1) + float64(b.Cov.Cross*c2)
	pc2 := float64(b.Cov.Cross*c1) + float64(b.Cov.Fatigue*c2)
	s := float64(c1*pc1) + float64(c2*pc2) + f.R
	if !(s > 0) { // a filter that Check refuses, and a test that says nothing
		return b, innovation, 0
	}
	k1, k2 := pc1/s, pc2/s
	// M = I - K C; P+ = M P M' + K R K'.
	m11, m12 := 1-float64(k1*c1), -k1*c2
	m21, m22 := -k2*c1, 1-float64(k2*c2)
	a11 := float64(m11*b.Cov.Fitness) + float64(m12*b.Cov.Cross)
	a12 := float64(m11*b.Cov.Cross) + float64(m12*b.Cov.Fatigue)
	a21 := float64(m21*b.Cov.Fitness) + float64(m22*b.Cov.Cross)
	a22 := float64(m21*b.Cov.Cross) + float64(m22*b.Cov.Fatigue)
	return Belief{
		Fitness: b.Fitness + float64(k1*innovation),
		Fatigue: b.Fatigue + float64(k2*innovation),
		Cov: Covariance{
			Fitness: float64(a11*m11) + float64(a12*m12) + float64(k1*k1*f.R),
			Fatigue: float64(a21*m21) + float64(a22*m22) + float64(k2*k2*f.R),
			Cross:   float64(a11*m21) + float64(a12*m22) + float64(k1*k2*f.R),
		},
	}, innovation, math.Sqrt(s)
}

// performance is the expected performance of a belief and its variance.
func (f Filter) performance(b Belief) (p, variance float64) {
	c1, c2 := f.Model.K1, -f.Model.K2
	p = f.Model.P0 + float64(c1*b.Fitness) + float64(c2*b.Fatigue)
	variance = float64(c1*c1*b.Cov.Fitness) + float64(2*c1*c2*b.Cov.Cross) + float64(c2*c2*b.Cov.Fatigue)
	return p, max(0, variance)
}

// Run filters a series. start is the belief after the session of the day before
// day 1, as [State]. Several tests of one day are taken one after the other.
// The log-likelihood of the tests is for choosing Q and R.
//
// It returns a *FieldError as [Filter.Check] does and for loads, tests or a
// start out of range.
func (f Filter) Run(load []float64, tests []Test, start Belief) (steps []FilterStep, logLikelihood float64, err error) {
	if err := first(f.Check(), State{Fitness: start.Fitness, Fatigue: start.Fatigue}.check(), start.Cov.check("start.cov")); err != nil {
		return nil, 0, err
	}
	order, err := sortTests(tests, len(load))
	if err != nil {
		return nil, 0, err
	}
	steps = make([]FilterStep, len(load))
	var ll num.Sum
	b, before := start, 0.0
	for i, w := range load {
		if !okLoad(w) {
			return nil, 0, badLoad(i, w)
		}
		if f.Convention == PreviousDay {
			b = f.Predict(b, before)
		} else {
			b = f.Predict(b, w)
		}
		before = w
		st := FilterStep{Day: i + 1}
		for len(order) > 0 && order[0].Day == i+1 {
			st.Tested = true
			b, st.Innovation, st.Expected = f.Update(b, order[0].Performance)
			z := st.Innovation / st.Expected
			ll.Add(-0.5*(float64(z*z)+math.Log(2*math.Pi)) - math.Log(st.Expected))
			order = order[1:]
		}
		st.Belief = b
		var v float64
		st.Performance, v = f.performance(b)
		st.SD = math.Sqrt(v)
		steps[i] = st
	}
	return steps, ll.Value(), nil
}
