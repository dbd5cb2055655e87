package estimate

import (
	"math"
)

// How says how the coefficients of a published relation were obtained for this
// module.
type How string

const (
	LookedUp  How = "looked-up"             // seen in the publication or its abstract
	Secondary How = "looked-up (secondary)" // seen in a text that quotes the publication
	Memory    How = "memory"                // recalled, in no retrieved text
)

// Equation is a published scale-free equation for the one-repetition maximum:
// load and maximum in any one unit, and
//
//	maximum = load / f(n),   n = repetitions + repetitions in reserve
//
// The exported fields describe it; changing them in a copy changes no answer.
// Get one from Equations or EquationByID; the zero Equation answers nothing.
type Equation struct {
	ID         string  // stable identifier, such as "brzycki"
	Name       string  // author and year
	Formula    string  // the maximum as printed, w the load, r the repetitions
	Family     string  // equations that are one model under several roundings share it
	VariantOf  string  // identifier of the equation this is a printed variant of, or ""
	Citation   string  // the publication
	Have       How     // how the coefficients were obtained
	Lift       string  // lift it was made for
	Population string  // who was measured, where known
	From, To   float64 // repetitions it was studied or meant for; outside, answers are marked
	Range      string  // where From and To come from
	Pole       float64 // repetitions at which the maximum becomes infinite; 0 for none
	Turn       float64 // repetitions at which the maximum stops growing; 0 for none
	Limit      float64 // answers are given for 1 <= n <= Limit (n < Limit at a turning point)
	Note       string  // peculiarities

	form       form
	a, b, c, d float64
	scale      float64
}

// form is the algebraic form of f(n).
type form uint8

const (
	formNone        form = iota
	formLinear           // 1/f = a + b n
	formReciprocal       // f = (a - b n)/scale
	formPower            // f = n^-a
	formExponential      // f = (a + b exp(-c n))/scale
	formCubic            // 1/f = a + b n + c n^2 + d n^3
)

// limitFraction is the lightest fraction of a maximum any equation or curve of
// this package answers for: the meta-regression of Nuzzo 2024 tabulates
// repetitions for 15 to 95 %1RM, and nothing published reaches below.
const limitFraction = 0.15

// limitReps is the most repetitions an equation without a pole answers for.
// Common practice, no published source.
const limitReps = 50

// raw is f(n) without any check.
func (e *Equation) raw(n float64) float64 {
	switch e.form {
	case formLinear:
		return 1 / (e.a + e.b*n)
	case formReciprocal:
		return (e.a - e.b*n) / e.scale
	case formPower:
		return math.Pow(n, -e.a)
	case formExponential:
		return (e.a + e.b*math.Exp(-e.c*n)) / e.scale
	case formCubic:
		return 1 / (e.a + n*(e.b+n*(e.c+n*e.d)))
	}
	return 0
}

// Fraction is f(n), the fraction of the maximum that can be lifted n times as
// the equation prints it, n repetitions to failure (or repetitions plus
// reserve, fractions allowed). At one repetition that need not be 1: see Max.
// extrapolated is true outside the range the equation was studied or meant for.
// The error is a *FieldError for n below 1 or not finite and a *RangeError
// beyond Limit.
func (e *Equation) Fraction(n float64) (f float64, extrapolated bool, err error) {
	if e.form == formNone {
		return 0, false, &FieldError{Field: "equation", Want: "one that Equations or EquationByID returned"}
	}
	if !(n >= 1) || math.IsInf(n, 0) {
		return 0, false, &FieldError{Field: "reps", Value: n, Want: "1 or more"}
	}
	if n > e.Limit || n == e.Turn {
		return 0, false, e.beyond(n)
	}
	return e.raw(n), n < e.From || n > e.To, nil
}

func (e *Equation) beyond(n float64) error {
	r := &RangeError{Model: e.ID, Field: "reps", Value: n, Want: "1 to " + number(e.Limit)}
	switch {
	case e.Turn > 0:
		r.Want = "1 to less than " + number(round(e.Limit, 4))
		r.Why = "its maximum falls with more repetitions from there"
	case e.Pole > 0 && n >= e.Pole:
		r.Why = "its maximum is infinite at " + number(round(e.Pole, 4)) + " repetitions and negative beyond"
	case e.Pole > 0:
		r.Why = "too near its pole at " + number(round(e.Pole, 4)) + " repetitions"
	default:
		r.Why = "no such set has been studied"
	}
	return r
}

// Max is the maximum predicted from a set of reps repetitions at load with rir
// repetitions in reserve (0 at failure), in the unit of load. A true single,
// one repetition with none in reserve, is the maximum by definition and comes
// back as it is; RawMax gives what the equation prints for it. An answer below
// the load is refused with a *BelowLoadError.
func (e *Equation) Max(load, reps, rir float64) (max float64, extrapolated bool, err error) {
	if err := checkSet(load, reps, rir); err != nil {
		return 0, false, err
	}
	if reps == 1 && rir == 0 && e.form != formNone {
		return load, false, nil
	}
	return e.RawMax(load, reps, rir)
}

// RawMax is Max without the rule for a true single: the equation as printed at
// one repetition too, up to 8.9 % above the load (Mayhew 1992).
func (e *Equation) RawMax(load, reps, rir float64) (max float64, extrapolated bool, err error) {
	if err := checkSet(load, reps, rir); err != nil {
		return 0, false, err
	}
	f, extrapolated, err := e.Fraction(reps + rir)
	if err != nil {
		return 0, false, err
	}
	m := load / f
	if m < load {
		return 0, false, &BelowLoadError{Model: e.ID, Load: load, Max: m}
	}
	if math.IsInf(m, 0) {
		return 0, false, &FieldError{Field: "load", Value: load, Want: "a load whose maximum is a finite number"}
	}
	return m, extrapolated, nil
}

// Load is the inverse of Max: the load for reps repetitions with rir in
// reserve, given a maximum. One repetition with none in reserve is the maximum.
func (e *Equation) Load(max, reps, rir float64) (load float64, extrapolated bool, err error) {
	if err := checkSet(max, reps, rir); err != nil {
		if fe, ok := err.(*FieldError); ok && fe.Field == "load" {
			fe.Field = "max"
		}
		return 0, false, err
	}
	if reps == 1 && rir == 0 && e.form != formNone {
		return max, false, nil
	}
	f, extrapolated, err := e.Fraction(reps + rir)
	if err != nil {
		return 0, false, err
	}
	if f > 1 {
		return 0, false, &BelowLoadError{Model: e.ID, Load: f * max, Max: max}
	}
	return f * max, extrapolated, nil
}

// Reps is the inverse of Fraction: the repetitions to failure at a fraction of
// the maximum, 0 < fraction. Every equation is strictly monotone up to its
// Limit, and there are no repetitions for fractions it does not reach: then the
// error is a *RangeError (Mayhew 1992 for instance starts at 0.919).
func (e *Equation) Reps(fraction float64) (reps float64, extrapolated bool, err error) {
	if e.form == formNone {
		return 0, false, &FieldError{Field: "equation", Want: "one that Equations or EquationByID returned"}
	}
	if !(fraction > 0) || math.IsInf(fraction, 0) {
		return 0, false, &FieldError{Field: "fraction", Value: fraction, Want: "above 0"}
	}
	hi, lo := e.raw(1), e.raw(e.Limit)
	// The ends themselves must survive the rounding of an inverse of an inverse.
	const eps = 1e-12
	if fraction > hi*(1+eps) || fraction < lo*(1-eps) {
		return 0, false, &RangeError{Model: e.ID, Field: "fraction", Value: fraction,
			Want: number(round(lo, 4)) + " to " + number(round(hi, 4)), Why: "the equation does not reach it"}
	}
	n := math.Min(math.Max(e.inverse(fraction), 1), e.Limit)
	return n, n < e.From || n > e.To, nil
}

func (e *Equation) inverse(f float64) float64 {
	switch e.form {
	case formLinear:
		return (1/f - e.a) / e.b
	case formReciprocal:
		return (e.a - f*e.scale) / e.b
	case formPower:
		return math.Pow(f, -1/e.a)
	case formExponential:
		return -math.Log((f*e.scale-e.a)/e.b) / e.c
	}
	// The cubic rises strictly up to its limit: bisection, to the last bit.
	lo, hi := 1.0, e.Limit
	for range 64 {
		mid := lo + (hi-lo)/2
		if e.raw(mid) > f {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo + (hi-lo)/2
}

func round(x float64, digits int) float64 {
	p := math.Pow(10, float64(digits))
	return math.Round(x*p) / p
}

func checkSet(load, reps, rir float64) error {
	if !(load > 0) || math.IsInf(load, 0) {
		return &FieldError{Field: "load", Value: load, Want: "above 0"}
	}
	if !(reps >= 1) || math.IsInf(reps, 0) {
		return &FieldError{Field: "reps", Value: reps, Want: "1 or more"}
	}
	if !(rir >= 0) || math.IsInf(rir, 0) {
		return &FieldError{Field: "rir", Value: rir, Want: "0 or more"}
	}
	return nil
}

// Equations returns every scale-free equation of the package, families
// together, in a fixed order. The slice is the caller's.
func Equations() []Equation {
	return append([]Equation(nil), equations[:]...)
}

// EquationByID returns the equation of that identifier; the error is a
// *NameError with the choices.
func EquationByID(id string) (Equation, error) {
	for i := range equations {
		if equations[i].ID == id {
			return equations[i], nil
		}
	}
	ids := make([]string, len(equations))
	for i := range equations {
		ids[i] = equations[i].ID
	}
	return Equation{}, nameError("equation", id, ids)
}
