package estimate

import (
	"math"
)

// Curve is a relation between repetitions to failure and the fraction of the
// one-repetition maximum on the bar, with how far lifters differ. One
// repetition is at 1 by definition. It gives a middle prediction (Fraction,
// Reps) and that of a lifter at any quantile of the ability to do repetitions
// (FractionAt). Get one from Curves or CurveNamed; the zero Curve answers
// nothing.
//
// The curve "general" runs through the published rows of Nuzzo JL, Pinto MD,
// Nosaka K, Steele J. Sports Med 2024;54:303-321 (952 tests, 7,289 people;
// rows looked-up, secondary) at 90, 80, 75, 70 and 60 %1RM; between and beyond
// them it is our own monotone interpolation, not the paper's. "bench press" and
// "leg press" scale it, as a power of the repetitions beyond the first, through
// the two rows that were published for each (80 and 70 %1RM) and borrow its
// spread between lifters. A curve named by an equation's identifier uses that
// equation, bridged below two repetitions in a straight line to 1 at one, and
// borrows the general curve's spread relative to the repetitions beyond the
// first, since no equation was published with one.
//
// How repetitions spread between lifters at a given fraction: the repetitions
// beyond the first are log-normal about the middle prediction, with the
// published standard deviation (log-linear in the fraction, as in the paper).
// The published mean is read as the centre on the log scale, where the paper
// fitted it; the arithmetic mean of the model is 2 to 7 % above, inside the
// published 95 % interval of every row. Above 90 %1RM the spread shrinks with
// the repetitions beyond the first, so that every lifter does one at 100 %.
type Curve struct {
	Name     string  // "general", "bench press", "leg press" or an equation's identifier
	Citation string  // the publication
	Have     How     // how its rows or coefficients were obtained
	Note     string  // what is ours in it
	From, To float64 // fractions the source covers, From the lighter; outside, answers are marked
	Min      float64 // lightest fraction that is answered

	eq           *Equation // nil: scaled general
	scale, power float64   // repetitions beyond the first: scale * general^power
	absolute     bool      // borrows the spread in repetitions, not relative
}

// The published general rows, and one repetition at 1, ascending.
var (
	nuzzoFraction = [...]float64{0.60, 0.70, 0.75, 0.80, 0.90, 1}
	nuzzoReps     = [...]float64{19.53, 14.80, 12.37, 9.75, 4.94, 1}
	// Slopes of the interpolation at the rows: of the parabola through the
	// three nearest rows. All lie between zero and three times the smaller
	// neighbouring secant, which makes a cubic Hermite monotone (Fritsch FN,
	// Carlson RE. SIAM J Numer Anal 1980;17:238-246; citation from memory).
	nuzzoSlope = [...]float64{-6.965 / 0.15, -7.225 / 0.15, -50.5, -7.645 / 0.15, -43.75, -35.05}
)

// Standard deviation between lifters of the general rows: the paper's
// log-linear law, ln SD = sdLog90 + sdSlope*(f-0.9), through its rows at 90 and
// 60 %; it meets the rows between to the printed digit.
const (
	sdLog90 = 0.6418538861723947                              // ln 1.90
	sdSlope = (0.6418538861723947 - 1.4747630091074988) / 0.3 // (ln 1.90 - ln 4.37)/0.3
)

const (
	minGeneral = 0.30 // lightest fraction the meta-regression curves answer for; ours
	maxAbility = 3.5  // standard deviations of ability that are told apart; ours
)

// Scales through the published rows at 80 and 70 %1RM: bench press 8.82 and
// 14.1, leg press 13.05 and 19.0 repetitions (same paper, looked-up,
// secondary). power = ln((n70-1)/(n80-1)) / ln((14.80-1)/(9.75-1)), and
// scale = (n80-1)/(9.75-1)^power.
const (
	benchScale, benchPower = 0.6706544450334446, 1.13237667368337
	legScale, legPower     = 1.783459493114722, 0.8808032950364292
)

const citeNuzzo = "Nuzzo JL, Pinto MD, Nosaka K, Steele J. Sports Med 2024;54:303-321"

var regressionCurves = [...]Curve{
	{
		Name: "general", Citation: citeNuzzo, Have: Secondary,
		Note: "monotone interpolation of the published rows at 60 to 90 %1RM; one repetition at 100 %",
		From: 0.60, To: 0.90, Min: minGeneral, scale: 1, power: 1, absolute: true,
	},
	{
		Name: "bench press", Citation: citeNuzzo, Have: Secondary,
		Note: "the general curve scaled through the two published bench press rows at 80 and 70 %1RM; spread borrowed from the general rows",
		From: 0.70, To: 0.80, Min: minGeneral, scale: benchScale, power: benchPower, absolute: true,
	},
	{
		Name: "leg press", Citation: citeNuzzo, Have: Secondary,
		Note: "the general curve scaled through the two published leg press rows at 80 and 70 %1RM; spread borrowed from the general rows",
		From: 0.70, To: 0.80, Min: minGeneral, scale: legScale, power: legPower, absolute: true,
	},
}

// generalReps is the middle of the general curve and its derivative, for
// minGeneral <= f <= 1. Below 60 % the logarithm of the repetitions goes on in
// a straight line, as the natural spline of the paper does beyond its knots.
func generalReps(f float64) (n, slope float64) {
	if f < nuzzoFraction[0] {
		k := nuzzoSlope[0] / nuzzoReps[0]
		n = nuzzoReps[0] * math.Exp(k*(f-nuzzoFraction[0]))
		return n, k * n
	}
	i := 0
	for i < len(nuzzoFraction)-2 && f >= nuzzoFraction[i+1] {
		i++
	}
	h := nuzzoFraction[i+1] - nuzzoFraction[i]
	t := (f - nuzzoFraction[i]) / h
	d := nuzzoReps[i+1] - nuzzoReps[i]
	m0, m1 := h*nuzzoSlope[i], h*nuzzoSlope[i+1]
	// Hermite in powers of t: y0 + m0 t + (3d-2m0-m1) t^2 + (m0+m1-2d) t^3.
	c2, c3 := 3*d-2*m0-m1, m0+m1-2*d
	return nuzzoReps[i] + t*(m0+t*(c2+t*c3)), (m0 + t*(2*c2+3*t*c3)) / h
}

// generalFraction is the inverse of generalReps, for n >= 1.
func generalFraction(n float64) float64 {
	if n > nuzzoReps[0] {
		return nuzzoFraction[0] + math.Log(n/nuzzoReps[0])*nuzzoReps[0]/nuzzoSlope[0]
	}
	i := 0
	for i < len(nuzzoReps)-2 && n <= nuzzoReps[i+1] {
		i++
	}
	lo, hi := nuzzoFraction[i], nuzzoFraction[i+1]
	f := lo + (hi-lo)*(nuzzoReps[i]-n)/(nuzzoReps[i]-nuzzoReps[i+1])
	// Newton; the segments are nearly straight, so this settles at once.
	for range 20 {
		y, s := generalReps(f)
		step := (y - n) / s
		f = math.Min(math.Max(f-step, lo), hi)
		if math.Abs(step) < 1e-15 {
			break
		}
	}
	return f
}

// middle is the middle number of repetitions at f and its derivative in f.
func (c *Curve) middle(f float64) (n, slope float64) {
	if c.eq == nil {
		g, gs := generalReps(f)
		if c.power == 1 {
			return g, gs
		}
		x := g - 1
		if x <= 0 {
			return 1, 0
		}
		n = c.scale * math.Pow(x, c.power)
		return 1 + n, n * c.power / x * gs
	}
	e := c.eq
	if f2 := e.raw(2); f > f2 && e.raw(1) != 1 {
		s := 1 / (f2 - 1)
		return 1 + (f-1)*s, s
	}
	n = math.Max(e.inverse(f), 1)
	return n, 1 / e.slope(n)
}

// fraction is the inverse of middle, for 1 <= n <= the repetitions at c.Min.
func (c *Curve) fraction(n float64) float64 {
	if c.eq == nil {
		if c.power != 1 {
			n = 1 + math.Pow((n-1)/c.scale, 1/c.power)
		}
		return generalFraction(n)
	}
	if n < 2 && c.eq.raw(1) != 1 {
		return 1 + (n-1)*(c.eq.raw(2)-1)
	}
	return c.eq.raw(n)
}

// slope is the derivative of f(n).
func (e *Equation) slope(n float64) float64 {
	f := e.raw(n)
	switch e.form {
	case formLinear:
		return -e.b * f * f
	case formReciprocal:
		return -e.b / e.scale
	case formPower:
		return -e.a * f / n
	case formExponential:
		return -e.c * e.b * math.Exp(-e.c*n) / e.scale
	}
	return -(e.b + n*(2*e.c+n*3*e.d)) * f * f
}

// sdRelative is the standard deviation between lifters over the middle
// repetitions beyond the first, excess, at f, and its derivative in f; dlog is
// the derivative of ln(excess).
func (c *Curve) sdRelative(f, excess, dlog float64) (r, slope float64) {
	if f >= 0.9 {
		if c.absolute {
			n, _ := c.middle(0.9)
			return math.Exp(sdLog90) / (n - 1), 0
		}
		return math.Exp(sdLog90) / (nuzzoReps[4] - 1), 0
	}
	if !c.absolute {
		g, gs := generalReps(f)
		excess, dlog = g-1, gs/(g-1)
	}
	r = math.Exp(sdLog90+sdSlope*(f-0.9)) / excess
	return r, r * (sdSlope - dlog)
}

// spread is the scale of the log-normal repetitions beyond the first whose
// median is the middle and whose standard deviation is r times it: with
// x = exp(s^2), r^2 = x (x - 1). It returns s and ds/dr.
func spread(r float64) (s, slope float64) {
	q := math.Sqrt(1 + 4*r*r)
	x := (1 + q) / 2
	s = math.Sqrt(math.Log(x))
	return s, r / (q * s * x)
}

// Fraction is the fraction of the maximum that the middle lifter can lift reps
// times to failure (for a set that stops short, repetitions plus reserve;
// fractions of a repetition allowed), 1 at one repetition. extrapolated is true
// outside From to To. The error is a *FieldError for reps below 1 or not
// finite, and a *RangeError past the repetitions at Min.
func (c *Curve) Fraction(reps float64) (f float64, extrapolated bool, err error) {
	if err := c.checkReps(reps); err != nil {
		return 0, false, err
	}
	if reps == 1 {
		return 1, false, nil
	}
	if most, _ := c.middle(c.Min); reps > most {
		return 0, false, c.tooMany(reps, most)
	}
	f = c.fraction(reps)
	return f, c.outside(f), nil
}

// FractionAt is Fraction for a lifter at quantile q of the ability to do
// repetitions at a given fraction: 0.5 is the middle, and at 0.25 three lifters
// in four could do at least that. q runs from 0.001 to 0.999.
func (c *Curve) FractionAt(reps, q float64) (f float64, extrapolated bool, err error) {
	if !(q >= 0.001 && q <= 0.999) {
		return 0, false, &FieldError{Field: "q", Value: q, Want: "0.001 to 0.999"}
	}
	if q == 0.5 {
		return c.Fraction(reps)
	}
	if err := c.checkReps(reps); err != nil {
		return 0, false, err
	}
	if reps == 1 {
		return 1, false, nil
	}
	return c.fractionOf(reps, normalQuantile(q))
}

// fractionOf is the fraction for a lifter z standard deviations of ability
// above the middle, |z| <= maxAbility, reps > 1.
func (c *Curve) fractionOf(reps, z float64) (f float64, extrapolated bool, err error) {
	if most := c.repsOf(c.Min, z); reps > most {
		return 0, false, c.tooMany(reps, most)
	}
	// repsOf falls strictly in f: Newton steps, bisection where they leave the
	// bracket.
	lo, hi := c.Min, 1.0
	f = math.Min(math.Max(c.fraction(math.Min(reps, first(c.middle(c.Min)))), lo), hi)
	for range 60 {
		n, slope := c.repsSlope(f, z)
		if n > reps {
			lo = f
		} else {
			hi = f
		}
		next := f - (n-reps)/slope
		if !(next > lo && next < hi) {
			next = lo + (hi-lo)/2
		}
		// A Newton step this small leaves an error of its square.
		done := math.Abs(next-f) < 1e-8 || hi-lo < 1e-15
		f = next
		if done {
			break
		}
	}
	return f, c.outside(f), nil
}

// repsOf is the repetitions of a lifter z standard deviations above the middle.
func (c *Curve) repsOf(f, z float64) float64 { return first(c.repsSlope(f, z)) }

// repsSlope is repsOf and its derivative in f.
func (c *Curve) repsSlope(f, z float64) (reps, slope float64) {
	n, slope := c.middle(f)
	excess := n - 1
	if excess <= 0 {
		return 1, math.Min(slope, -1)
	}
	r, rs := c.sdRelative(f, excess, slope/excess)
	s, ds := spread(r)
	e := math.Exp(s * z)
	return 1 + excess*e, e * (slope + excess*z*ds*rs)
}

// abilityAt is what turns repetitions at f into standard deviations of ability:
// y = (ln(c-1) - lnExcess)/scale, with the derivatives in ln f.
type abilityAt struct {
	lnExcess, scale   float64
	dExcess, dlnScale float64
}

func (c *Curve) abilityAt(f float64) abilityAt {
	n, slope := c.middle(f)
	excess := n - 1
	if excess <= 0 {
		return abilityAt{lnExcess: math.Inf(-1), scale: 1}
	}
	dlog := slope / excess
	r, rs := c.sdRelative(f, excess, dlog)
	s, ds := spread(r)
	return abilityAt{lnExcess: math.Log(excess), scale: s, dExcess: f * dlog, dlnScale: f * ds * rs / s}
}

// y is the ability at which ln(c-1) is lc, and how fast it falls with ln M
// (rises with ln f).
func (a abilityAt) y(lc float64) (y, slope float64) {
	y = (lc - a.lnExcess) / a.scale
	return y, -a.dExcess/a.scale - y*a.dlnScale
}

func first(a, _ float64) float64 { return a }

// Reps is how often the middle lifter can lift a fraction of the maximum, and
// the standard deviation between lifters (what one test finds, day-to-day
// differences included), for Min <= fraction <= 1.
func (c *Curve) Reps(fraction float64) (mean, sd float64, extrapolated bool, err error) {
	if err := c.checkFraction(fraction); err != nil {
		return 0, 0, false, err
	}
	if fraction == 1 {
		return 1, 0, false, nil
	}
	n, slope := c.middle(fraction)
	if n <= 1 {
		return 1, 0, c.outside(fraction), nil
	}
	r, _ := c.sdRelative(fraction, n-1, slope/(n-1))
	return n, r * (n - 1), c.outside(fraction), nil
}

// RepsAt is how often a lifter at quantile q of the ability to do repetitions
// can lift a fraction of the maximum: the inverse of FractionAt.
func (c *Curve) RepsAt(fraction, q float64) (reps float64, extrapolated bool, err error) {
	if !(q >= 0.001 && q <= 0.999) {
		return 0, false, &FieldError{Field: "q", Value: q, Want: "0.001 to 0.999"}
	}
	if err := c.checkFraction(fraction); err != nil {
		return 0, false, err
	}
	if fraction == 1 {
		return 1, false, nil
	}
	return c.repsOf(fraction, normalQuantile(q)), c.outside(fraction), nil
}

func (c *Curve) checkReps(reps float64) error {
	if c == nil || c.Min == 0 {
		return &FieldError{Field: "curve", Want: "one that Curves or CurveNamed returned"}
	}
	if !(reps >= 1) || math.IsInf(reps, 0) {
		return &FieldError{Field: "reps", Value: reps, Want: "1 or more"}
	}
	return nil
}

func (c *Curve) checkFraction(f float64) error {
	if c == nil || c.Min == 0 {
		return &FieldError{Field: "curve", Want: "one that Curves or CurveNamed returned"}
	}
	if !(f > 0 && f <= 1) {
		return &FieldError{Field: "fraction", Value: f, Want: "above 0, at most 1"}
	}
	if f < c.Min {
		return &RangeError{Model: c.Name, Field: "fraction", Value: f, Want: number(round(c.Min, 4)) + " to 1", Why: "no rows near it"}
	}
	return nil
}

func (c *Curve) tooMany(reps, most float64) error {
	return &RangeError{Model: c.Name, Field: "reps", Value: reps,
		Want: "1 to " + number(math.Floor(most*10)/10), Why: "too light a load for the curve"}
}

func (c *Curve) outside(f float64) bool {
	const eps = 1e-9 // a row itself is inside, whatever the last bit of an inverse
	return f < c.From-eps || (f > c.To+eps && f < 1)
}

// Curves returns the repetitions-%1RM relations: "general", "bench press" and
// "leg press" from the meta-regression, then one for each equation.
func Curves() []*Curve {
	cs := make([]*Curve, 0, len(regressionCurves)+len(equations))
	for i := range regressionCurves {
		c := regressionCurves[i]
		cs = append(cs, &c)
	}
	for i := range equations {
		cs = append(cs, equationCurve(&equations[i]))
	}
	return cs
}

// CurveNamed returns the curve of that name; the error is a *NameError with the
// choices.
func CurveNamed(name string) (*Curve, error) {
	for i := range regressionCurves {
		if regressionCurves[i].Name == name {
			c := regressionCurves[i]
			return &c, nil
		}
	}
	for i := range equations {
		if equations[i].ID == name {
			return equationCurve(&equations[i]), nil
		}
	}
	var names []string
	for _, c := range Curves() {
		names = append(names, c.Name)
	}
	return nil, nameError("curve", name, names)
}

func equationCurve(e *Equation) *Curve {
	c := &Curve{
		Name: e.ID, Citation: e.Citation, Have: e.Have,
		Note: "one repetition at 1; spread between lifters borrowed from the general curve of the meta-regression, relative to the repetitions beyond the first",
		eq:   e,
	}
	c.To, c.From = e.raw(math.Max(e.From, 2)), e.raw(e.To)
	if e.From < 2 {
		c.To = 1
	}
	// At its own limit, nudged inside where the limit itself is a turning point.
	c.Min = math.Max(e.raw(e.Limit)*(1+1e-9), minGeneral)
	return c
}

// normalQuantile is the standard normal quantile.
func normalQuantile(p float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*p) }
