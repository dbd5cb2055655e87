package estimate

import (
	"fmt"
	"math"

	"github.com/blockwright/blockwright/internal/num"
)

// VelocityPoint is the fastest repetition of a set, or the mean of the set's
// best ones, done with full intent: a load, in any one unit, and the velocity
// of the concentric phase in metres per second, mean or mean propulsive but one
// measure for all points and for the threshold.
type VelocityPoint struct {
	Load     float64 // above 0
	Velocity float64 // m/s, above 0, at most 5
}

// velocityLimit refuses velocities that no lift reaches, such as one in cm/s.
// Common practice, no published source.
const velocityLimit = 5

// VelocityLine is one lifter's own load-velocity line for one lift,
//
//	velocity = Intercept + Slope*load
//
// fitted by least squares of velocity on load. From two loads it is the
// two-point method: Garcia-Ramos A, Haff GG, Pestana-Melero FL, et al. Int J
// Sports Physiol Perform 2018;13:474-481 (loads moved at about 1.0 and 0.5 m/s;
// in the bench press bias -2.3 to 0.5 kg and random error 3.0 to 3.8 kg;
// looked-up). A line did better than a parabola in the bench press, mean
// absolute error 2.79 against 3.54 kg (Janicijevic D, Jukic I, Weakley J,
// Garcia-Ramos A; 86 men; looked-up), so no parabola is offered.
type VelocityLine struct {
	Intercept float64 // m/s at no load
	Slope     float64 // m/s per unit of load, negative
	N         int     // points
	// Residual is the residual standard deviation in m/s, on N-2 degrees of
	// freedom; 0 for two points, which leave none.
	Residual         float64
	Lightest         float64 // load
	Heaviest         float64 // load
	Slowest, Fastest float64 // measured velocities

	meanLoad, sxx float64
}

// VelocityError refuses a load-velocity relation or what was asked of it.
type VelocityError struct {
	Relation string // identifier, or "line" for a lifter's own
	Why      string
}

func (e *VelocityError) Error() string {
	return fmt.Sprintf("estimate: velocity %s: %s", e.Relation, e.Why)
}

func checkVelocity(field string, v float64) error {
	if !(v > 0 && v <= velocityLimit) {
		return &FieldError{Field: field, Value: v, Want: fmt.Sprintf("above 0, at most %d m/s", velocityLimit)}
	}
	return nil
}

// FitVelocityLine fits a lifter's line through two or more points. Errors are a
// *FieldError for values outside what VelocityPoint says, a *TooFewError, and a
// *VelocityError when all loads are the same or heavier loads were not moved
// more slowly.
func FitVelocityLine(points []VelocityPoint) (VelocityLine, error) {
	if len(points) < 2 {
		return VelocityLine{}, &TooFewError{What: "velocity points", Got: len(points), Need: 2}
	}
	l := VelocityLine{N: len(points), Lightest: math.Inf(1), Slowest: math.Inf(1)}
	var meanV, sxy, syy float64
	for i, p := range points {
		if !(p.Load > 0 && p.Load <= agreementLimit) {
			return VelocityLine{}, &FieldError{Field: fmt.Sprintf("points[%d].load", i), Value: p.Load, Want: "above 0, at most 1e100"}
		}
		if err := checkVelocity(fmt.Sprintf("points[%d].velocity", i), p.Velocity); err != nil {
			return VelocityLine{}, err
		}
		n := float64(i + 1)
		dx, dy := p.Load-l.meanLoad, p.Velocity-meanV
		l.meanLoad += dx / n
		meanV += dy / n
		l.sxx += dx * (p.Load - l.meanLoad)
		sxy += dx * (p.Velocity - meanV)
		syy += dy * (p.Velocity - meanV)
		l.Lightest, l.Heaviest = math.Min(l.Lightest, p.Load), math.Max(l.Heaviest, p.Load)
		l.Slowest, l.Fastest = math.Min(l.Slowest, p.Velocity), math.Max(l.Fastest, p.Velocity)
	}
	// Loads closer than this are one load; their difference is rounding.
	if !(l.Heaviest-l.Lightest > 1e-6*l.Heaviest) {
		return VelocityLine{}, &VelocityError{Relation: "line", Why: "all points have the same load; measure a clearly lighter or heavier one"}
	}
	l.Slope = sxy / l.sxx
	l.Intercept = meanV - l.Slope*l.meanLoad
	if !(l.Slope < 0) || !finite(l.Slope) || -l.Slope*(l.Heaviest-l.Lightest) < 1e-9 {
		return VelocityLine{}, &VelocityError{Relation: "line", Why: "heavier loads were not moved more slowly; check the points and that every repetition was done with full intent"}
	}
	if l.N > 2 {
		// Residuals afresh: syy - sxy^2/sxx loses its digits on a good line.
		ss := 0.0
		for _, p := range points {
			r := p.Velocity - meanV - l.Slope*(p.Load-l.meanLoad)
			ss += r * r
		}
		l.Residual = math.Sqrt(ss / float64(l.N-2))
	}
	return l, nil
}

// fitted says that the line knows its loads: one that was put together by hand, or
// carried by a format that leaves unexported fields out, does not.
func (l VelocityLine) fitted() bool { return l.N >= 2 && l.Slope < 0 && l.sxx > 0 && l.meanLoad > 0 }

// Velocity is the velocity of the line at a load, m/s; it may be negative past
// the load at zero velocity.
func (l VelocityLine) Velocity(load float64) float64 { return l.Intercept + l.Slope*load }

// ZeroLoad is the load at which the line reaches zero velocity; 0 for a line that does not fall, as the zero value.
func (l VelocityLine) ZeroLoad() float64 {
	if !(l.Slope < 0) {
		return 0
	}
	return -l.Intercept / l.Slope
}

// VelocityOptions of VelocityLine.Max. The zero value works.
type VelocityOptions struct {
	Coverage float64 // of the interval, 0 < Coverage < 1; 0 is 0.9
	// ThresholdSD is how well the velocity at the maximum is known, as a standard
	// deviation in m/s, for instance the SD of a VelocityThreshold. 0: exactly.
	ThresholdSD float64
	// MeasurementSD is the standard deviation of one measured velocity about
	// the line, m/s, where it is known from elsewhere: it replaces the residuals
	// and is the only way to an interval from two points. 0: use the residuals.
	MeasurementSD float64
}

// VelocityMax is a maximum read off a load-velocity line, in the unit of the
// loads.
type VelocityMax struct {
	Max float64 // load at the threshold velocity
	// SE is the standard error of Max by propagation of the variances of line
	// and threshold; Low and High are the interval of Coverage by Fieller's
	// theorem. All are 0 when HasInterval is false: two points and no
	// MeasurementSD, or a line too uncertain to bound the maximum.
	HasInterval bool
	SE          float64
	Low, High   float64
	Coverage    float64
	Warnings    []Warning
}

// Max is the maximum as the load at which the line falls to threshold, the
// velocity of a maximal single in m/s (see VelocityThresholds; the lifter's own
// is better). The interval holds every load L for which the velocity of the line
// at L cannot be told from the threshold:
//
//	(threshold - Intercept - Slope*L)^2 = t^2 (SD_threshold^2 + s^2 (1/n + (L-mean)^2/Sxx))
//
// solved for L (Fieller EC. J R Stat Soc B 1954;16:175-185, citation from
// memory), with Student's t on n-2 degrees of freedom, or the normal quantile
// when MeasurementSD is given.
//
// Errors are a *FieldError, a *VelocityError for a threshold at or above the
// velocity at no load, and a *BelowLoadError when the answer is under the
// heaviest load measured.
func (l VelocityLine) Max(threshold float64, opt VelocityOptions) (VelocityMax, error) {
	if !l.fitted() {
		return VelocityMax{}, &VelocityError{Relation: "line", Why: "want one that FitVelocityLine returned"}
	}
	if err := checkVelocity("threshold", threshold); err != nil {
		return VelocityMax{}, err
	}
	if opt.Coverage == 0 {
		opt.Coverage = 0.9
	}
	if !(opt.Coverage > 0 && opt.Coverage < 1) {
		return VelocityMax{}, &FieldError{Field: "coverage", Value: opt.Coverage, Want: "above 0, below 1"}
	}
	for _, f := range []struct {
		name string
		v    float64
	}{{"threshold SD", opt.ThresholdSD}, {"measurement SD", opt.MeasurementSD}} {
		if !(f.v >= 0 && f.v <= velocityLimit) {
			return VelocityMax{}, &FieldError{Field: f.name, Value: f.v, Want: fmt.Sprintf("0 to %d m/s", velocityLimit)}
		}
	}
	if threshold >= l.Intercept {
		return VelocityMax{}, &VelocityError{Relation: "line", Why: fmt.Sprintf(
			"the threshold of %.2f m/s is not below the %.2f m/s of the line at no load", threshold, l.Intercept)}
	}
	m := VelocityMax{Max: (threshold - l.Intercept) / l.Slope, Coverage: opt.Coverage}
	if !finite(m.Max) {
		return VelocityMax{}, &VelocityError{Relation: "line", Why: "it falls too slowly to reach the threshold"}
	}
	// The threshold may sit right at the heaviest load; rounding must not refuse it.
	if m.Max < l.Heaviest*(1-1e-12) {
		return VelocityMax{}, &BelowLoadError{Model: "velocity line", Load: l.Heaviest, Max: m.Max}
	}
	s, q := l.Residual, 0.0
	switch {
	case opt.MeasurementSD > 0:
		s, q = opt.MeasurementSD, normalQuantile(0.5-opt.Coverage/2)
	case l.N > 2:
		q = studentQuantile(0.5-opt.Coverage/2, float64(l.N-2))
	}
	if q != 0 {
		l.interval(&m, threshold, s, opt.ThresholdSD, math.Abs(q))
	}
	m.Warnings = l.warnings(m)
	return m, nil
}

// interval fills SE, Low and High: the roots of
//
//	(slope^2 - q^2 s^2/Sxx) x^2 - 2 slope d x + d^2 - q^2 (sdT^2 + s^2/n) = 0
//
// in x = L - meanLoad, with d = threshold - velocity at the mean load.
func (l VelocityLine) interval(m *VelocityMax, threshold, s, sdT, q float64) {
	n := float64(l.N)
	d := threshold - l.Velocity(l.meanLoad)
	// In units of the spread of the loads, x = sqrt(Sxx) u, so that no unit of
	// load can overflow.
	root := math.Sqrt(l.sxx)
	b := l.Slope * root
	c0 := sdT*sdT + s*s/n
	x0 := d / b
	a := b*b - q*q*s*s
	disc := b*b*d*d - a*(d*d-q*q*c0)
	if !(a > 0) || !(disc >= 0) {
		return // the slope cannot be told from zero: no finite interval
	}
	w := math.Sqrt(disc)
	low, high := l.meanLoad+root*(b*d-w)/a, l.meanLoad+root*(b*d+w)/a
	se := root * math.Sqrt(c0+s*s*x0*x0) / -b
	if !num.Finite(low, high, se) {
		return
	}
	m.HasInterval, m.SE = true, se
	m.Low, m.High = math.Max(low, 0), high
}

func (l VelocityLine) warnings(m VelocityMax) []Warning {
	var ws []Warning
	if !m.HasInterval {
		text := "the points scatter too much about the line to bound the maximum"
		if l.N == 2 {
			text = "two points leave nothing to judge the line by: there is no interval; in the bench press the two-point method had a random error of 3.0 to 3.8 kg (Garcia-Ramos A et al. Int J Sports Physiol Perform 2018;13:474-481)"
		}
		ws = append(ws, Warning{"no-interval", text})
	}
	if l.Slowest > 0.6 {
		ws = append(ws, Warning{"far-from-maximum", fmt.Sprintf(
			"the heaviest load was moved at %.2f m/s; published two-point testing goes down to about 0.5 m/s (Garcia-Ramos A et al. 2018)", l.Slowest)})
	}
	if l.Heaviest < 1.25*l.Lightest {
		ws = append(ws, Warning{"narrow-loads", "the loads lie close together, so that small errors of velocity move the line a lot"})
	}
	ws = append(ws, Warning{"technique", "valid for this lift, technique and device only; in the free-weight squat such a line predicted -5.5 to 27.8 % off (Banyard HG, Nosaka K, Haff GG. J Strength Cond Res 2017;31:1897-1904)"})
	return ws
}

// BenchZeroVelocity is the bench press maximum from the load at zero velocity of
// a lifter's own line (VelocityLine.ZeroLoad), in kilograms:
//
//	1RM = 0.871 LD0 - 0.624
//
// Jidovtseff B, Harris NK, Crielaard JM, Cronin JB. J Strength Cond Res
// 2011;25:267-270 (112 adults, concentric-only; r 0.98, standard error of
// estimate 4 kg; looked-up, the minus sign confirmed by the sample means, LD0
// 70 (22) and 1RM 60 (19) kg). se is that 4 kg. extrapolated is true more than
// two standard deviations from the sample's mean LD0, 26 to 114 kg, our reading of
// what was studied. A zeroLoad that is not finite, or that would give nothing
// above 0, is a *FieldError.
func BenchZeroVelocity(zeroLoad float64) (max, se float64, extrapolated bool, err error) {
	if !(zeroLoad >= 1) || math.IsInf(zeroLoad, 0) {
		return 0, 0, false, &FieldError{Field: "zero load", Value: zeroLoad, Want: "1 kg or more"}
	}
	return 0.871*zeroLoad - 0.624, 4, zeroLoad < 70-2*22 || zeroLoad > 70+2*22, nil
}
