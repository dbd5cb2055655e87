package response

import (
	"fmt"
	"math"
)

// Convention says whether a session counts on its own day. Two conventions are
// in print and give different numbers from the same log, so one has to be
// named; the zero value is refused.
type Convention int

// The conventions.
const (
	// PreviousDay: performance is that before the day's session,
	// g(n) = (g(n-1) + w(n-1)) exp(-1/tau), a sum over i < n
	// (Busso, Candau and Lacour 1994; from memory).
	PreviousDay Convention = iota + 1
	// SameDay: today's session already counts, g(n) = g(n-1) exp(-1/tau) + w(n)
	// (Morton, Fitz-Clarke and Banister 1990; from memory).
	SameDay
)

func (c Convention) String() string {
	switch c {
	case PreviousDay:
		return "previous-day"
	case SameDay:
		return "same-day"
	}
	return fmt.Sprintf("Convention(%d)", int(c))
}

// ParseConvention finds a convention by its name, "previous-day" or "same-day";
// the error is a *NameError.
func ParseConvention(s string) (Convention, error) {
	for _, c := range []Convention{PreviousDay, SameDay} {
		if s == c.String() {
			return c, nil
		}
	}
	return 0, &NameError{Kind: "convention", Name: s, Choices: []string{PreviousDay.String(), SameDay.String()}}
}

func (c Convention) check() error {
	if c != PreviousDay && c != SameDay {
		return &FieldError{Field: "convention", Value: float64(c), Want: "PreviousDay or SameDay, named"}
	}
	return nil
}

// Limits of what is simulated: wide enough for any unit of load and
// performance, narrow enough that no sum of them overflows.
const (
	maxLoad  = 1e12
	maxGain  = 1e12
	maxLevel = 1e12
	maxTau   = 1e6 // days
)

// State is what a lifter carries into day 1 of a series: fitness and fatigue in
// units of load after the session of the day before. It means the same in both
// conventions. The zero value is a lifter who never trained.
type State struct {
	Fitness float64 // load weighted by tau1
	Fatigue float64 // for VariableDose in load squared: the gain k3 is left out
	Recent  float64 // VariableDose only: load weighted by tau3
}

func (s State) check() error {
	for _, f := range []struct {
		name string
		v    float64
	}{{"state.fitness", s.Fitness}, {"state.fatigue", s.Fatigue}, {"state.recent", s.Recent}} {
		if !(f.v >= 0 && f.v <= 1e40) {
			return &FieldError{Field: f.name, Value: f.v, Want: "0 or more"}
		}
	}
	return nil
}

// Model is a dose-response model of performance on daily load.
type Model interface {
	// Series appends the performance of each day to dst[:0] and returns it; with
	// enough capacity it does not allocate. load[0] is the load of day 1, in any
	// one unit, 0 on rest days. It returns a *FieldError for a load that is not a
	// number from 0 to 1e12 and for parameters that Check refuses.
	Series(dst, load []float64, c Convention, start State) ([]float64, error)
	// Steady is the state after the session when the same load has been done
	// every day for ever; per week, divide by seven first. A load that is not a
	// number from 0 up gives the zero state.
	Steady(daily float64) State
	// After is the state after the last day's session, from which a further
	// series goes on.
	After(load []float64, start State) (State, error)
	// Check says whether the parameters are numbers the model can use.
	Check() error
}

// OneComponent is fitness alone: p(n) = P0 + K g(n). It is the model to beat:
// in Busso, Carasso and Lacour 1991 a second component was significant in two
// of eight subjects (looked-up).
type OneComponent struct {
	P0  float64 // performance without training
	K   float64 // gain, performance per unit of load; 0 or more
	Tau float64 // days
}

// TwoComponent is fitness minus fatigue, p(n) = P0 + K1 g(n) - K2 h(n) (Banister
// 1975, Morton, Fitz-Clarke and Banister 1990; form from memory, consistent
// with the abstracts seen).
type TwoComponent struct {
	P0   float64 // performance without training
	K1   float64 // gain of fitness, 0 or more
	K2   float64 // gain of fatigue, 0 or more
	Tau1 float64 // days; decay of fitness
	Tau2 float64 // days; decay of fatigue
}

// VariableDose is the model in which fatigue grows with recent training (Busso
// 2003, Med Sci Sports Exerc 35(7):1188-1195; form from memory):
//
//	k2(i) = K3 sum over j <= i of w(j) exp(-(i-j)/Tau3)
//	p(n)  = P0 + K1 sum of w(i) exp(-(n-i)/Tau1) - sum of k2(i) w(i) exp(-(n-i)/Tau2)
//
// The sums run over i < n in the previous-day convention and i <= n in the
// other.
type VariableDose struct {
	P0   float64
	K1   float64 // gain of fitness, performance per unit of load
	K3   float64 // gain of fatigue, performance per unit of load squared
	Tau1 float64 // days
	Tau2 float64
	Tau3 float64
}

var (
	_ Model = OneComponent{}
	_ Model = TwoComponent{}
	_ Model = VariableDose{}
)

func checkTau(name string, tau float64) error {
	if !(tau > 0 && tau <= maxTau) {
		return &FieldError{Field: name, Value: tau, Want: "days above 0, at most a million"}
	}
	return nil
}

func checkGain(name string, k float64) error {
	if !(k >= 0 && k <= maxGain) {
		return &FieldError{Field: name, Value: k, Want: "0 to 1e12"}
	}
	return nil
}

func checkLevel(p float64) error {
	if !(math.Abs(p) <= maxLevel) {
		return &FieldError{Field: "p0", Value: p, Want: "a number within 1e12"}
	}
	return nil
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// Check reports a parameter out of range as a *FieldError.
func (m OneComponent) Check() error {
	return first(checkLevel(m.P0), checkGain("k", m.K), checkTau("tau", m.Tau))
}

// Check reports a parameter out of range as a *FieldError. Equal time constants
// and gains in any order are allowed: the series is defined, only the lags are
// not.
func (m TwoComponent) Check() error {
	return first(checkLevel(m.P0), checkGain("k1", m.K1), checkGain("k2", m.K2),
		checkTau("tau1", m.Tau1), checkTau("tau2", m.Tau2))
}

// Check reports a parameter out of range as a *FieldError.
func (m VariableDose) Check() error {
	return first(checkLevel(m.P0), checkGain("k1", m.K1), checkGain("k3", m.K3),
		checkTau("tau1", m.Tau1), checkTau("tau2", m.Tau2), checkTau("tau3", m.Tau3))
}

func badLoad(i int, w float64) error {
	return &FieldError{Field: fmt.Sprintf("load[%d]", i), Value: w, Want: "0 to 1e12"}
}

// room is dst with n elements, allocating only where its capacity is too small.
func room(dst []float64, n int) []float64 {
	if cap(dst) < n {
		return make([]float64, n)
	}
	return dst[:n]
}

// decay is what is left after a day.
func decay(tau float64) float64 { return math.Exp(-1 / tau) }

// steady is a daily load summed up for ever, after the session.
func steady(tau, daily float64) float64 { return daily / -math.Expm1(-1/tau) }

// Series implements [Model].
func (m OneComponent) Series(dst, load []float64, c Convention, start State) ([]float64, error) {
	return TwoComponent{P0: m.P0, K1: m.K, Tau1: m.Tau, Tau2: m.Tau}.Series(dst, load, c, State{Fitness: start.Fitness})
}

// Series implements [Model]. It is the recursion, two multiplications and two
// additions a day; it equals the sum over all earlier days.
func (m TwoComponent) Series(dst, load []float64, c Convention, start State) ([]float64, error) {
	if err := first(m.Check(), c.check(), start.check()); err != nil {
		return nil, err
	}
	dst = room(dst, len(load))
	d1, d2 := decay(m.Tau1), decay(m.Tau2)
	g, h := start.Fitness, start.Fatigue // after yesterday's session
	p0, k1, k2 := m.P0, m.K1, m.K2
	if c == SameDay {
		for i, w := range load {
			if !(w >= 0 && w <= maxLoad) {
				return nil, badLoad(i, w)
			}
			g = float64(g*d1) + w
			h = float64(h*d2) + w
			dst[i] = p0 + float64(k1*g) - float64(k2*h)
		}
		return dst, nil
	}
	for i, w := range load {
		if !(w >= 0 && w <= maxLoad) {
			return nil, badLoad(i, w)
		}
		x, y := g*d1, h*d2
		dst[i] = p0 + float64(k1*x) - float64(k2*y)
		g, h = x+w, y+w
	}
	return dst, nil
}

// Series implements [Model].
func (m VariableDose) Series(dst, load []float64, c Convention, start State) ([]float64, error) {
	if err := first(m.Check(), c.check(), start.check()); err != nil {
		return nil, err
	}
	dst = room(dst, len(load))
	d1, d2, d3 := decay(m.Tau1), decay(m.Tau2), decay(m.Tau3)
	g, h, s := start.Fitness, start.Fatigue, start.Recent
	for i, w := range load {
		if !(w >= 0 && w <= maxLoad) {
			return nil, badLoad(i, w)
		}
		x, y := g*d1, h*d2
		s = float64(s*d3) + w
		g, h = x+w, y+float64(s*w)
		if c == SameDay {
			x, y = g, h
		}
		dst[i] = m.P0 + float64(m.K1*x) - float64(m.K3*y)
	}
	return dst, nil
}

// Gains appends to dst[:0] the varying gain of fatigue, k2(i) = K3 times recent
// load, of each day.
func (m VariableDose) Gains(dst, load []float64, start State) ([]float64, error) {
	if err := first(m.Check(), start.check()); err != nil {
		return nil, err
	}
	dst = room(dst, len(load))
	d3, s := decay(m.Tau3), start.Recent
	for i, w := range load {
		if !(w >= 0 && w <= maxLoad) {
			return nil, badLoad(i, w)
		}
		s = float64(s*d3) + w
		dst[i] = m.K3 * s
	}
	return dst, nil
}

// Trace is a series with its two components, in units of load: Performance is
// P0 + K1 Fitness - K2 Fatigue.
type Trace struct {
	Fitness, Fatigue, Performance []float64
}

// Trace computes the components day by day into t, whose slices it uses again
// where they are large enough.
func (m TwoComponent) Trace(t *Trace, load []float64, c Convention, start State) error {
	if err := first(m.Check(), c.check(), start.check()); err != nil {
		return err
	}
	t.Fitness, t.Fatigue, t.Performance = room(t.Fitness, len(load)), room(t.Fatigue, len(load)), room(t.Performance, len(load))
	d1, d2 := decay(m.Tau1), decay(m.Tau2)
	g, h := start.Fitness, start.Fatigue
	for i, w := range load {
		if !(w >= 0 && w <= maxLoad) {
			return badLoad(i, w)
		}
		x, y := g*d1, h*d2
		g, h = x+w, y+w
		if c == SameDay {
			x, y = g, h
		}
		t.Fitness[i], t.Fatigue[i] = x, y
		t.Performance[i] = m.P0 + float64(m.K1*x) - float64(m.K2*y)
	}
	return nil
}

func okLoad(w float64) bool { return w >= 0 && w <= maxLoad }

// Steady implements [Model].
func (m OneComponent) Steady(daily float64) State {
	if m.Check() != nil || !okLoad(daily) {
		return State{}
	}
	return State{Fitness: steady(m.Tau, daily)}
}

// Steady implements [Model].
func (m TwoComponent) Steady(daily float64) State {
	if m.Check() != nil || !okLoad(daily) {
		return State{}
	}
	return State{Fitness: steady(m.Tau1, daily), Fatigue: steady(m.Tau2, daily)}
}

// Steady implements [Model].
func (m VariableDose) Steady(daily float64) State {
	if m.Check() != nil || !okLoad(daily) {
		return State{}
	}
	s := steady(m.Tau3, daily)
	return State{Fitness: steady(m.Tau1, daily), Fatigue: steady(m.Tau2, s*daily), Recent: s}
}

// After implements [Model].
func (m OneComponent) After(load []float64, start State) (State, error) {
	s, err := TwoComponent{P0: m.P0, K1: m.K, Tau1: m.Tau, Tau2: m.Tau}.After(load, State{Fitness: start.Fitness})
	return State{Fitness: s.Fitness}, err
}

// After implements [Model].
func (m TwoComponent) After(load []float64, start State) (State, error) {
	if err := first(m.Check(), start.check()); err != nil {
		return State{}, err
	}
	d1, d2 := decay(m.Tau1), decay(m.Tau2)
	s := State{Fitness: start.Fitness, Fatigue: start.Fatigue}
	for i, w := range load {
		if !okLoad(w) {
			return State{}, badLoad(i, w)
		}
		s.Fitness = float64(s.Fitness*d1) + w
		s.Fatigue = float64(s.Fatigue*d2) + w
	}
	return s, nil
}

// After implements [Model].
func (m VariableDose) After(load []float64, start State) (State, error) {
	if err := first(m.Check(), start.check()); err != nil {
		return State{}, err
	}
	d1, d2, d3 := decay(m.Tau1), decay(m.Tau2), decay(m.Tau3)
	s := start
	for i, w := range load {
		if !okLoad(w) {
			return State{}, badLoad(i, w)
		}
		s.Recent = float64(s.Recent*d3) + w
		s.Fitness = float64(s.Fitness*d1) + w
		s.Fatigue = float64(s.Fatigue*d2) + float64(s.Recent*w)
	}
	return s, nil
}
