package taper

import (
	"fmt"
	"math"
	"slices"

	"github.com/blockwright/blockwright/internal/num"
)

// Shape is the form of a taper.
type Shape string

// The shapes.
const (
	Step        Shape = "step"
	Linear      Shape = "linear"
	Exponential Shape = "exponential"
)

// Shapes lists the shapes there are.
func Shapes() []Shape { return []Shape{Step, Linear, Exponential} }

// ParseShape finds a shape by its name; the error is a *NameError.
func ParseShape(s string) (Shape, error) {
	if slices.Contains(Shapes(), Shape(s)) {
		return Shape(s), nil
	}
	return "", &NameError{Kind: "shape", Name: s, Choices: []string{string(Step), string(Linear), string(Exponential)}}
}

// Fast and slow exponential decay in days, as Banister, Carter and Zarkadas
// 1999 compared them in triathletes (Eur J Appl Physiol 79(2):182-191,
// looked-up): the fast one did better on the cycle ergometer. They are evidence
// from endurance sport.
const (
	FastTau = 4.0
	SlowTau = 8.0
)

// maxDays is the longest taper that is answered: a year is no taper any more.
const maxDays = 365

// Curve is the relative training volume of each day of a taper. Its zero value
// is a taper of no days. Curves are values; the constructors check them.
type Curve struct {
	shape Shape
	days  int
	cut   float64 // step: every day's cut; linear: the last day's
	tau   float64 // exponential
	floor float64 // exponential
}

// NewStep is the step taper r = 1 - cut on each of its days (1 to 365). The cut
// is a fraction from 0 to 1. The error is a *FieldError.
func NewStep(days int, cut float64) (Curve, error) {
	if err := checkDays(days); err != nil {
		return Curve{}, err
	}
	if !(cut >= 0 && cut <= 1) {
		return Curve{}, &FieldError{Field: "cut", Value: cut, Want: "0 to 1"}
	}
	return Curve{shape: Step, days: days, cut: cut}, nil
}

// NewLinear is the linear taper r = 1 - finalCut d/D; the last day is cut by
// finalCut, a fraction from 0 to 1. The error is a *FieldError.
func NewLinear(days int, finalCut float64) (Curve, error) {
	if err := checkDays(days); err != nil {
		return Curve{}, err
	}
	if !(finalCut >= 0 && finalCut <= 1) {
		return Curve{}, &FieldError{Field: "final cut", Value: finalCut, Want: "0 to 1"}
	}
	return Curve{shape: Linear, days: days, cut: finalCut}, nil
}

// NewExponential is the exponential taper r = floor + (1-floor) exp(-d/tau),
// which falls towards the floor (0 to below 1, a fraction of the reference)
// with time constant tau in days (above 0). The error is a *FieldError.
func NewExponential(days int, tau, floor float64) (Curve, error) {
	if err := checkDays(days); err != nil {
		return Curve{}, err
	}
	if !(tau > 0) || math.IsInf(tau, 0) {
		return Curve{}, &FieldError{Field: "tau", Value: tau, Want: "days above 0"}
	}
	if err := checkFloor(floor); err != nil {
		return Curve{}, err
	}
	return Curve{shape: Exponential, days: days, tau: tau, floor: floor}, nil
}

// ForMean is the curve of a shape whose mean cut over its days is meanCut, a
// fraction: the step of that cut, the linear taper of twice that cut less the
// half day (c = 2 D m/(D+1)), the exponential taper without a floor.
//
// It returns a *NoSolutionError where the shape cannot cut so much, else as the
// constructors do.
func ForMean(shape Shape, days int, meanCut float64) (Curve, error) {
	if err := checkDays(days); err != nil {
		return Curve{}, err
	}
	switch shape {
	case Step:
		return NewStep(days, meanCut)
	case Linear:
		if !(meanCut >= 0 && meanCut <= 1) {
			return Curve{}, &FieldError{Field: "mean cut", Value: meanCut, Want: "0 to 1"}
		}
		most := float64(days+1) / float64(2*days)
		if meanCut > most {
			return Curve{}, &NoSolutionError{Shape: Linear, Days: days, Field: "mean cut", Value: meanCut, High: most, HighIncluded: true}
		}
		return NewLinear(days, min(1, meanCut/most))
	case Exponential:
		return ExponentialForMean(days, meanCut, 0)
	}
	_, err := ParseShape(string(shape))
	return Curve{}, err
}

// ExponentialForMean solves for the time constant: the exponential taper with
// the given floor whose mean cut is meanCut. For 14 days, a cut of 0.5 and no
// floor tau is 9.62 days. The mean cut must lie above 0 and below 1 - floor,
// else the error is a *NoSolutionError.
func ExponentialForMean(days int, meanCut, floor float64) (Curve, error) {
	if err := checkDays(days); err != nil {
		return Curve{}, err
	}
	if err := checkFloor(floor); err != nil {
		return Curve{}, err
	}
	if math.IsNaN(meanCut) || math.IsInf(meanCut, 0) {
		return Curve{}, &FieldError{Field: "mean cut", Value: meanCut, Want: "0 to 1"}
	}
	none := &NoSolutionError{Shape: Exponential, Days: days, Field: "mean cut", Value: meanCut, High: 1 - floor}
	if !(meanCut > 0 && meanCut < 1-floor) {
		return Curve{}, none
	}
	want := 1 - meanCut/(1-floor) // mean of exp(-d/tau)
	tau, ok := solveTau(func(tau float64) float64 { return meanExp(days, tau) - want })
	if !ok {
		return Curve{}, none
	}
	return NewExponential(days, tau, floor)
}

// FloorForMean solves for the floor: the exponential taper with the given time
// constant whose mean cut is meanCut. The error is a *NoSolutionError where the
// decay is too slow for the cut even without a floor.
func FloorForMean(days int, meanCut, tau float64) (Curve, error) {
	c, err := NewExponential(days, tau, 0)
	if err != nil {
		return Curve{}, err
	}
	if math.IsNaN(meanCut) || math.IsInf(meanCut, 0) {
		return Curve{}, &FieldError{Field: "mean cut", Value: meanCut, Want: "0 to 1"}
	}
	most := c.MeanCut()
	if !(meanCut > 0 && meanCut <= most) {
		return Curve{}, &NoSolutionError{Shape: Exponential, Days: days, Field: "mean cut", Value: meanCut, High: most, HighIncluded: true}
	}
	return NewExponential(days, tau, max(0, 1-meanCut/most))
}

// ForCuts solves for time constant and floor together: the exponential taper
// with the given mean cut and the given cut on its last day. The mean lies
// above (D+1)/2D of the final cut, where the curve would be the straight line,
// and below all of it, where it would be the step; and the floor must not be
// negative. Otherwise the error is a *NoSolutionError.
func ForCuts(days int, meanCut, finalCut float64) (Curve, error) {
	if err := checkDays(days); err != nil {
		return Curve{}, err
	}
	if !(finalCut > 0 && finalCut < 1) {
		return Curve{}, &FieldError{Field: "final cut", Value: finalCut, Want: "above 0, below 1"}
	}
	if math.IsNaN(meanCut) || math.IsInf(meanCut, 0) {
		return Curve{}, &FieldError{Field: "mean cut", Value: meanCut, Want: "0 to 1"}
	}
	d := float64(days)
	line := (d + 1) / (2 * d)
	none := &NoSolutionError{Shape: Exponential, Days: days, Field: "mean cut", Value: meanCut, Low: line * finalCut, High: finalCut}
	ratio := meanCut / finalCut
	if !(ratio > line && ratio < 1) {
		return Curve{}, none
	}
	// (1-E(tau))/(1-exp(-D/tau)) falls from 1 at tau = 0 to the line's ratio.
	tau, ok := solveTau(func(tau float64) float64 {
		return ratio - (1-meanExp(days, tau))/-math.Expm1(-d/tau)
	})
	if !ok {
		return Curve{}, none
	}
	drop := finalCut / -math.Expm1(-d/tau)
	if drop > 1+1e-9 {
		// The slowest decay that still reaches the final cut has no floor.
		none.Low = Curve{shape: Exponential, days: days, tau: d / -math.Log1p(-finalCut)}.MeanCut()
		return Curve{}, none
	}
	return NewExponential(days, tau, max(0, 1-drop))
}

func checkDays(days int) error {
	if days < 1 || days > maxDays {
		return &FieldError{Field: "days", Value: float64(days), Want: fmt.Sprintf("1 to %d", maxDays)}
	}
	return nil
}

func checkFloor(floor float64) error {
	if !(floor >= 0 && floor < 1) {
		return &FieldError{Field: "floor", Value: floor, Want: "0 to below 1"}
	}
	return nil
}

// meanExp is the mean of exp(-d/tau) over d = 1..days.
func meanExp(days int, tau float64) float64 {
	var s num.Sum
	for d := 1; d <= days; d++ {
		s.Add(math.Exp(-float64(d) / tau))
	}
	return s.Value() / float64(days)
}

// solveTau bisects log(tau) for the root of a function that rises with tau,
// between 1e-3 and 1e6 days. Beyond those ends a curve is a step or a line to
// nine digits.
func solveTau(f func(tau float64) float64) (float64, bool) {
	lo, hi := math.Log(1e-3), math.Log(1e6)
	if f(math.Exp(lo)) > 0 || f(math.Exp(hi)) < 0 {
		return 0, false
	}
	for range 100 {
		mid := (lo + hi) / 2
		if f(math.Exp(mid)) < 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Exp((lo + hi) / 2), true
}

// Shape is the curve's shape; empty for the zero value.
func (c Curve) Shape() Shape { return c.shape }

// Days is the length of the taper.
func (c Curve) Days() int { return c.days }

// Tau is the time constant of an exponential taper in days, 0 for others.
func (c Curve) Tau() float64 { return c.tau }

// Floor is the relative load that an exponential taper falls towards.
func (c Curve) Floor() float64 { return c.floor }

// At is the relative load on taper day d, where 1 is no cut. Day 0 and before
// are 1; days after the last are as the last.
func (c Curve) At(d int) float64 {
	if d <= 0 || c.days == 0 {
		return 1
	}
	d = min(d, c.days)
	switch c.shape {
	case Step:
		return 1 - c.cut
	case Linear:
		// One division, so that a cut of 1 ends at exactly 0.
		return 1 - float64(c.cut*float64(d))/float64(c.days)
	}
	return c.floor + float64((1-c.floor)*math.Exp(-float64(d)/c.tau))
}

// Values is the relative load of days 1 to D.
func (c Curve) Values() []float64 {
	v := make([]float64, c.days)
	for i := range v {
		v[i] = c.At(i + 1)
	}
	return v
}

// MeanCut is one minus the mean of the daily values: the part of the reference
// volume that the taper takes away in all. 0 for a taper of no days.
func (c Curve) MeanCut() float64 {
	if c.days == 0 {
		return 0
	}
	var s num.Sum
	for d := 1; d <= c.days; d++ {
		s.Add(c.At(d))
	}
	return max(0, 1-s.Value()/float64(c.days))
}

// FinalCut is one minus the value of the last day.
func (c Curve) FinalCut() float64 { return 1 - c.At(c.days) }

// HalfLife is the time in days in which an exponential taper halves its
// distance from the floor, tau ln 2; 0 for other shapes.
func (c Curve) HalfLife() float64 { return c.tau * math.Ln2 }

// String says the curve in words, with both cuts in per cent, and for how long
// it leaves no training at all.
func (c Curve) String() string {
	switch c.shape {
	case Step, Linear:
		return fmt.Sprintf("%s over %d days: volume cut by %s %% on average, by %s %% on the last day%s",
			c.shape, c.days, percent(c.MeanCut()), percent(c.FinalCut()), c.nothingLeft())
	case Exponential:
		return fmt.Sprintf("exponential over %d days: volume cut by %s %% on average, by %s %% on the last day; time constant (tau) %.4g days, falling towards %s %%%s",
			c.days, percent(c.MeanCut()), percent(c.FinalCut()), c.tau, percent(c.floor), c.nothingLeft())
	}
	return "no taper"
}

// nothingLeft says on how many last days the volume is 0 in whole per cent; ""
// for none.
func (c Curve) nothingLeft() string {
	n := 0
	for d := c.days; d > 0 && c.At(d) < 0.005; d-- {
		n++
	}
	switch n {
	case 0:
		return ""
	case 1:
		return "; nothing is left of the volume on the last day"
	}
	return fmt.Sprintf("; nothing is left of the volume on the last %d days", n)
}
