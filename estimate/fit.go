package estimate

import "math"

// Predicted is a prediction for one coming set, with an interval of the fit's
// coverage that holds what is not known of the lifter and what a lifter's own
// repetitions vary by from test to test.
type Predicted struct {
	Mid, Low, High float64 // repetitions, or a load: what was asked for
	Extrapolated   bool    // the middle lies outside the rows of the curve
}

// LifterCurve is one lifter's own repetitions-%1RM relation: the population
// curve moved to the lifter's ability, as far as the lifter's sets at different
// loads tell it. With little to go by it stays near the population's middle, with
// the population's spread.
type LifterCurve struct {
	p       *posterior
	ability []float64 // weight of each node of z
	est     Estimate
}

// Fit fits a lifter's own curve and maximum to sets of one lift, the more apart
// in load the better: sets at one load cannot tell a strong lifter from an
// enduring one. Arguments and errors are those of Max.
func Fit(sets []Set, opt Options) (*LifterCurve, error) {
	p, err := newPosterior(sets, opt, true)
	if err != nil {
		return nil, err
	}
	l := &LifterCurve{p: p, ability: make([]float64, len(p.z)), est: p.estimate()}
	if len(p.sets) == 1 {
		// Max integrates the ability of a lone set out, where the grid of abilities takes the
		// set's shape as the same at each, off by up to some per cent in sets far from failure. One
		// answer for both.
		alone, err := newPosterior(sets, opt, false)
		if err != nil {
			return nil, err
		}
		l.est = alone.estimate()
	}
	for j := range p.z {
		for _, v := range p.w[j*p.n : (j+1)*p.n] {
			l.ability[j] += v
		}
	}
	return l, nil
}

// Estimate is the lifter's maximum, as Max answers it.
func (l *LifterCurve) Estimate() Estimate { return l.est }

// fitted says that the zero value is nobody's curve.
func (l *LifterCurve) fitted() error {
	if l.p == nil {
		return &TooFewError{What: "sets", Need: 1}
	}
	return nil
}

// abilityQuantile is the quantile q of y = a z + b e, the ability in a coming set.
func (l *LifterCurve) abilityQuantile(q float64) float64 {
	a, b := math.Sqrt(1-withinShare), math.Sqrt(withinShare)
	lo, hi := -maxAbility, maxAbility
	for range 40 {
		mid := lo + (hi-lo)/2
		below := 0.0
		for j, z := range l.p.z {
			below += l.ability[j] * 0.5 * math.Erfc((a*z-mid)/b/math.Sqrt2)
		}
		if below < q {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo + (hi-lo)/2
}

func (l *LifterCurve) tails() (lo, hi float64) {
	t := (1 - l.p.opt.coverage) / 2
	return t, 1 - t
}

// Reps predicts how often the lifter can lift a fraction of the maximum.
func (l *LifterCurve) Reps(fraction float64) (Predicted, error) {
	if err := l.fitted(); err != nil {
		return Predicted{}, err
	}
	c := l.p.opt.curve
	if err := c.checkFraction(fraction); err != nil {
		return Predicted{}, err
	}
	if fraction == 1 {
		return Predicted{1, 1, 1, false}, nil
	}
	at := func(q float64) float64 { return c.repsOf(fraction, l.abilityQuantile(q)) }
	lo, hi := l.tails()
	return Predicted{at(0.5), at(lo), at(hi), c.outside(fraction)}, nil
}

// Fraction predicts the fraction of the maximum that the lifter can lift reps
// times (counting a reserve).
func (l *LifterCurve) Fraction(reps float64) (Predicted, error) {
	if err := l.fitted(); err != nil {
		return Predicted{}, err
	}
	c := l.p.opt.curve
	if err := c.checkReps(reps); err != nil {
		return Predicted{}, err
	}
	if reps == 1 {
		return Predicted{1, 1, 1, false}, nil
	}
	if _, _, err := c.fractionOf(reps, l.abilityQuantile(0.5)); err != nil {
		return Predicted{}, err
	}
	at := func(q float64) float64 { return math.Exp(c.lnFraction(reps, l.abilityQuantile(q))) }
	lo, hi := l.tails()
	mid := at(0.5)
	return Predicted{mid, at(lo), at(hi), c.outside(mid)}, nil
}

// testNodes are the midpoints of equal shares of e, the variation of a lifter
// from test to test, in a coming set.
const testNodes = 9

// Load predicts the load with which the lifter can do reps repetitions with rir
// left in reserve, in the unit of the sets: maximum and ability together, so
// that the interval near the loads of the sets is narrower than either alone
// would make it.
func (l *LifterCurve) Load(reps, rir float64) (Predicted, error) {
	if err := l.fitted(); err != nil {
		return Predicted{}, err
	}
	c := l.p.opt.curve
	if !(rir >= 0) || math.IsInf(rir, 0) {
		return Predicted{}, &FieldError{Field: "rir", Value: rir, Want: "0 or more"}
	}
	if !(reps >= 1) || math.IsInf(reps, 0) {
		return Predicted{}, &FieldError{Field: "reps", Value: reps, Want: "1 or more"}
	}
	n := reps + rir
	if n == 1 {
		return Predicted{l.est.Max, l.est.Low, l.est.High, false}, nil
	}
	mid, err := l.Fraction(n)
	if err != nil {
		return Predicted{}, err
	}
	// ln load = ln M + ln F: the distribution of ln M at each node of z, moved.
	// ln F is smooth in y: a table and straight lines between.
	const cells = 100
	var table [cells + 1]float64
	for i := range table {
		table[i] = c.lnFraction(n, maxAbility*(2*float64(i)/cells-1))
	}
	lnF := func(y float64) float64 {
		t := math.Min(math.Max((y/maxAbility+1)*cells/2, 0), cells)
		i := min(int(t), cells-1)
		return table[i] + (t-float64(i))*(table[i+1]-table[i])
	}
	a, b := math.Sqrt(1-withinShare), math.Sqrt(withinShare)
	p := l.p
	// Gather on a grid of ln load.
	lo, width := p.x0+table[0]-p.dx, table[cells]-table[0]+float64(p.n+2)*p.dx
	m := make([]float64, int(width/p.dx)+3)
	for j, z := range p.z {
		if l.ability[j] < 1e-9 {
			continue
		}
		row := p.w[j*p.n : (j+1)*p.n]
		for k := range testNodes {
			e := normalQuantile((float64(k) + 0.5) / testNodes)
			t := (p.x0 + lnF(a*z+b*e) - lo) / p.dx
			at := int(t)
			part := t - float64(at)
			for i, v := range row {
				m[at+i] += v * (1 - part) / testNodes
				m[at+i+1] += v * part / testNodes
			}
		}
	}
	on := posterior{x0: lo, dx: p.dx, n: len(m)}
	q0, q1 := l.tails()
	return Predicted{
		math.Exp(on.quantile(m, 0.5)), math.Exp(on.quantile(m, q0)), math.Exp(on.quantile(m, q1)), mid.Extrapolated,
	}, nil
}
