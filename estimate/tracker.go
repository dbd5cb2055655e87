package estimate

import (
	"fmt"
	"math"
)

// The model behind Track. A lifter with ability z to do repetitions who could do
// c repetitions with a load on a day whose maximum is exp(level + form) has
//
//	c = 1 + (N(f) - 1) exp(s(f) (a z + b e)),   f = load / exp(level + form)
//
// as in Max: N is the curve's middle relation, s its spread on the log scale, a^2
// the share of the published variance that is the lifter's, and b^2 = withinShare
// what differs from test to test. What is observed of c is
//
//	reps + rir + bias*min(rir, 1) = c - sd(rir) (c1 u + c2 e')
//
// with sd(rir) the standard deviation of a reported reserve. Of its variance the
// share c1^2 = reserveShare is the lifter's own way of reporting, u, which no
// number of sets averages out until there is a test; c2^2 = 1 - c1^2 changes with
// every set.
//
// Between days the level walks at random, the ability reverts to that of the
// middle lifter, u stays, and form, the day's deviation that all its sets share,
// starts anew. The states are (level, z, form, u).
//
// A set that measures enters as y = ln load - ln F(observed c), F the inverse of
// N, which is nearly linear in the states: y = level + form for a lifter in the
// middle. It is linearised about what is believed before the set, ability
// included (an extended Kalman filter; Jazwinski AH, Stochastic Processes and
// Filtering Theory, 1970, citation from memory). That it is linearised there and
// not at the observed repetitions matters: their errors would be on both sides
// of the regression on ability, and in simulation the maximum came out 2 % low.
//
// A set that only bounds the maximum enters as a probit likelihood, the normal
// probability that the maximum is on its side of the bound; mean and variance
// of the posterior of that one step are kept (assumed-density filtering; Minka
// TP, Uncertainty in Artificial Intelligence 2001:362-369, citation from memory).
// Its bound is linearised at the repetitions made, which for a lifter far from
// the middle puts it too low, never too high.

// reserveShare is the share of the variance of reported reserves that belongs to
// the lifter. Our assumption: the published figures mix lifters and sets.
const reserveShare = 0.5

// TrackerOptions of Track. The zero value works. Standard deviations are of the
// logarithm of the maximum, so that 0.01 is 1 %.
type TrackerOptions struct {
	Curve    *Curve  // repetitions-%1RM relation; nil is "general"
	Coverage float64 // of intervals, 0 < Coverage < 1; 0 is 0.9
	// Drift is the standard deviation of the change of the maximum over one
	// week. 0 is 0.01: our assumption, no published source. Negative: no change.
	// FitTracker estimates it.
	Drift float64
	// Noise multiplies the standard deviations of form and of what differs from
	// set to set, 0.1 to 10. 0 is 1. FitTracker estimates it.
	Noise float64
	// FormSD is the standard deviation of a day's form, shared by its sets. 0 is
	// 0.01: our assumption, no published source. Negative: none.
	FormSD float64
	// TestSD is the standard deviation by which a maximal single misses the
	// maximum of its day, attempts going up in steps. 0 is 0.01: common
	// practice, no published source. At least 0.001.
	TestSD float64
	// AbilityDays is how fast the lifter's own ability to do repetitions is
	// forgotten: after so many days its correlation with itself is 1/e. 0 is 365,
	// our reading of a correlation of 0.66 over 12 weeks of training, raw and so
	// lowered by measurement (Mayhew JL et al. J Strength Cond Res
	// 2008;22:1570-1577, 103 women, looked-up).
	AbilityDays float64
	// LayoffDays is the longest gap between sets of the lift that counts as
	// training on; 0 is 21. Each week beyond it adds a variance of LayoffSD^2;
	// 0 is 0.02. Both are our assumptions, no published source. The estimate
	// itself stays: the model does not say which way a lay-off went. Negative
	// LayoffSD: none.
	LayoffDays, LayoffSD float64
	// Jumps widen the interval on a day, for what the log cannot know: an
	// injury, a change of technique or equipment. In the order of their days.
	Jumps []TrackerJump
	// PriorMax is a maximum believed before the first set, in the unit of the
	// loads, and PriorSD its standard deviation; 0 is 0.1. Without PriorMax the
	// log speaks for itself: the prior is the first set that measures, with a
	// standard deviation of 1, as good as flat.
	PriorMax, PriorSD float64
	// FarReserve is the largest reported reserve that counts as a measurement:
	// from above it a set is a lower bound only. 0 is 5, where the scale of
	// Zourdos 2016 stops counting repetitions; with 7 to 10 left reports were off
	// by more than 2 (Hackett DA et al. J Strength Cond Res 2017;31:2162-2168,
	// looked-up). Negative: no limit.
	FarReserve float64
	// ReserveBias and ReserveSpread are those of Options, with the same defaults.
	ReserveBias, ReserveSpread float64
}

// TrackerJump is a day on which the maximum may have changed at once.
type TrackerJump struct {
	Day float64 // sets of that day and later come after it
	SD  float64 // standard deviation of the change of the logarithm, above 0, at most 1
}

// TrackerKind says what a set told.
type TrackerKind int

const (
	TrackerMeasured TrackerKind = iota // how near failure the set was is known
	TrackerLower                       // no reserve reported, or a large one: the maximum is at least what the repetitions show
	TrackerUpper                       // a missed attempt (0 repetitions): the maximum is under the load
	TrackerUnused                      // more repetitions than the curve reaches
)

func (k TrackerKind) String() string {
	switch k {
	case TrackerMeasured:
		return "measured"
	case TrackerLower:
		return "lower bound"
	case TrackerUpper:
		return "upper bound"
	case TrackerUnused:
		return "unused"
	}
	return fmt.Sprintf("TrackerKind(%d)", int(k))
}

// The states.
const (
	trackerLevel = iota
	trackerAbility
	trackerForm
	trackerReporting
	trackerDim
)

type trackerVec [trackerDim]float64

type trackerMat [trackerDim][trackerDim]float64

// trackerObs is one set, ready for the filter.
type trackerObs struct {
	kind         TrackerKind
	extrapolated bool
	curved       bool       // z and r are to be had from the curve at the state
	newDay       bool       // form starts anew before it
	lnLoad       float64    //
	y            float64    // ln load - ln F(n)
	z            trackerVec // loadings of the states, at the observed repetitions
	r            float64    // variance of what differs from set to set, at Noise 1
	rirSD        float64    // standard deviation of the reported reserve
	days         float64    // since the set before
	extra        float64    // variance added before it by a lay-off or jumps
	phi          float64    // what stays of ability
}

// trackerModel is TrackerOptions with defaults filled in.
type trackerModel struct {
	curve                     *Curve
	coverage                  float64
	drift, noise              float64
	form, test                float64
	abilityDays               float64
	layoffDays, layoffSD      float64
	jumps                     []TrackerJump
	priorMax, priorSD         float64
	far, bias, spread         float64
	abilityShare, withinShare float64 // a and b
	heaviest, most            float64 // fraction and repetitions between which a set is linearised
}

func (o TrackerOptions) resolve() (*trackerModel, error) {
	for _, f := range []struct {
		name string
		v    float64
		max  float64
	}{
		{"coverage", o.Coverage, 1}, {"drift", o.Drift, 1}, {"noise", o.Noise, 10}, {"form SD", o.FormSD, 1}, {"test SD", o.TestSD, 1},
		{"ability days", o.AbilityDays, 1e9}, {"lay-off days", o.LayoffDays, 1e9}, {"lay-off SD", o.LayoffSD, 1},
		{"prior max", o.PriorMax, 1e300}, {"prior SD", o.PriorSD, 10}, {"far reserve", o.FarReserve, 1e9},
		{"reserve bias", o.ReserveBias, 100}, {"reserve spread", o.ReserveSpread, 100},
	} {
		if !(f.v >= -1e9 && f.v <= f.max) {
			return nil, &FieldError{Field: f.name, Value: f.v, Want: "a number, at most " + number(f.max)}
		}
	}
	for _, f := range []struct {
		name string
		v    float64
	}{{"coverage", o.Coverage}, {"noise", o.Noise}, {"test SD", o.TestSD}, {"ability days", o.AbilityDays}, {"lay-off days", o.LayoffDays},
		{"prior max", o.PriorMax}, {"prior SD", o.PriorSD}} {
		if f.v < 0 {
			return nil, &FieldError{Field: f.name, Value: f.v, Want: "0 (the default) or more"}
		}
	}
	if o.Noise != 0 && o.Noise < 0.1 {
		return nil, &FieldError{Field: "noise", Value: o.Noise, Want: "0 (the default), or 0.1 to 10"}
	}
	if o.TestSD != 0 && o.TestSD < 1e-3 {
		return nil, &FieldError{Field: "test SD", Value: o.TestSD, Want: "0 (the default), or 0.001 to 1"}
	}
	if o.Coverage == 1 {
		return nil, &FieldError{Field: "coverage", Value: 1, Want: "above 0, below 1"}
	}
	m := &trackerModel{
		curve: o.Curve, coverage: orDefault(o.Coverage, 0.9),
		drift: orDefault(o.Drift, 0.01), noise: orDefault(o.Noise, 1),
		form: orDefault(o.FormSD, 0.01), test: orDefault(o.TestSD, 0.01),
		abilityDays: orDefault(o.AbilityDays, 365),
		layoffDays:  orDefault(o.LayoffDays, 21), layoffSD: orDefault(o.LayoffSD, 0.02),
		jumps: o.Jumps, priorMax: o.PriorMax, priorSD: orDefault(o.PriorSD, 0.1),
		far: orDefault(o.FarReserve, 5), bias: orDefault(o.ReserveBias, 0.95), spread: orDefault(o.ReserveSpread, 1),
		abilityShare: math.Sqrt(1 - withinShare), withinShare: math.Sqrt(withinShare),
	}
	if o.FarReserve < 0 {
		m.far = math.Inf(1)
	}
	if m.priorMax > 0 && m.priorMax < 1e-300 {
		return nil, &FieldError{Field: "prior max", Value: m.priorMax, Want: "a load between 1e-300 and 1e300"}
	}
	if m.curve == nil {
		m.curve = &regressionCurves[0]
	} else if m.curve.Min == 0 {
		return nil, &FieldError{Field: "curve", Want: "one that Curves or CurveNamed returned"}
	}
	m.heaviest = m.curve.fraction(1 + trackerLeastExcess)
	m.most, _ = m.curve.middle(m.curve.Min)
	for i, j := range m.jumps {
		field := fmt.Sprintf("jumps[%d].", i)
		if !(j.SD > 0 && j.SD <= 1) {
			return nil, &FieldError{Field: field + "sd", Value: j.SD, Want: "above 0, at most 1"}
		}
		if !(math.Abs(j.Day) <= trackerLastDay) {
			return nil, &FieldError{Field: field + "day", Value: j.Day, Want: "a day from -1e9 to 1e9"}
		}
		if i > 0 && j.Day < m.jumps[i-1].Day {
			return nil, &FieldError{Field: field + "day", Value: j.Day, Want: "no earlier than the jump before it, day " + number(m.jumps[i-1].Day)}
		}
	}
	return m, nil
}

// trackerLastDay keeps differences of days exact enough to tell days apart.
const trackerLastDay = 1e9

// trackerSetSD is what no set's logarithm is known better than: repetitions are
// whole. Ours.
const trackerSetSD = 0.005

// observe turns sets into observations.
func (m *trackerModel) observe(sets []Set) ([]trackerObs, error) {
	obs := make([]trackerObs, len(sets))
	jump := 0
	for i, s := range sets {
		s = s.normalised()
		if err := trackerCheck(s); err != nil {
			err.Field = fmt.Sprintf("sets[%d].%s", i, err.Field)
			return nil, err
		}
		o := &obs[i]
		last := s.Day
		if i > 0 {
			last = sets[i-1].Day
			if s.Day < last {
				return nil, &FieldError{Field: fmt.Sprintf("sets[%d].day", i), Value: s.Day,
					Want: "sets in the order of their days, the one before is of day " + number(last)}
			}
		}
		// Jumps before the first set change what nothing is known of.
		var v float64
		for ; jump < len(m.jumps) && m.jumps[jump].Day <= s.Day; jump++ {
			if i > 0 {
				v += m.jumps[jump].SD * m.jumps[jump].SD
			}
		}
		o.newDay = i == 0 || math.Floor(s.Day) != math.Floor(last)
		o.days, o.extra, o.phi = m.pause(s.Day - last)
		o.extra += v
		m.load(o, s)
	}
	return obs, nil
}

// pause is what a number of days without sets does.
func (m *trackerModel) pause(days float64) (d, extra, phi float64) {
	if days <= 0 {
		return 0, 0, 1
	}
	if over := days - m.layoffDays; over > 0 {
		extra = m.layoffSD * m.layoffSD * over / 7
	}
	return days, extra, math.Exp(-days / m.abilityDays)
}

func trackerCheck(s Set) *FieldError {
	switch {
	case !(s.Load >= 1e-300 && s.Load <= 1e300):
		return &FieldError{Field: "load", Value: s.Load, Want: "above 0 (1e-300 to 1e300)"}
	case s.Reps != 0 && !(s.Reps >= 1) || math.IsInf(s.Reps, 0):
		return &FieldError{Field: "reps", Value: s.Reps, Want: "1 or more, or 0 for a missed attempt"}
	case !(s.RIR >= 0) || math.IsInf(s.RIR, 0):
		return &FieldError{Field: "rir", Value: s.RIR, Want: "0 or more"}
	case !(math.Abs(s.Day) <= trackerLastDay):
		return &FieldError{Field: "day", Value: s.Day, Want: "a day from -1e9 to 1e9"}
	}
	return nil
}

// load fills in what a set says.
func (m *trackerModel) load(o *trackerObs, s Set) {
	o.lnLoad = math.Log(s.Load)
	o.y = o.lnLoad
	o.z[trackerLevel], o.z[trackerForm] = 1, 1
	if s.Reps == 0 {
		o.kind, o.r = TrackerUpper, m.test*m.test
		return
	}
	if s.single() {
		o.kind, o.r = TrackerMeasured, m.test*m.test
		return
	}
	n := s.Reps
	if s.NoRIR || s.RIR > m.far {
		o.kind = TrackerLower
	} else {
		n += s.RIR + m.bias*math.Min(s.RIR, 1)
	}
	f, x, err := m.curve.Fraction(n)
	if err != nil && o.kind == TrackerMeasured {
		// Out of the curve's reach with its reserve, but perhaps not without.
		o.kind, n = TrackerLower, s.Reps
		f, x, err = m.curve.Fraction(n)
	}
	if err != nil {
		o.kind = TrackerUnused
		return
	}
	o.y -= math.Log(f)
	if o.kind == TrackerMeasured {
		o.extrapolated, o.curved = x, true
		o.rirSD = m.spread * reserveSD(s.RIR)
	}
	h, g := m.curve.loadings(f)
	m.noisy(&o.z, &o.r, h, g, o.rirSD)
}

// noisy fills in the loadings of ability and reporting, and the variance, of a
// set whose y changes by h with a standard deviation of ability and by g with a
// repetition.
func (m *trackerModel) noisy(z *trackerVec, r *float64, h, g, rirSD float64) {
	z[trackerAbility] = m.abilityShare * h
	z[trackerReporting] = math.Sqrt(reserveShare) * g * rirSD
	*r = m.withinShare*m.withinShare*h*h + (1-reserveShare)*g*g*rirSD*rirSD + trackerSetSD*trackerSetSD
}

// loadings are the derivatives of y = ln load - ln F at the middle: with one standard
// deviation of ability, and with one repetition.
func (c *Curve) loadings(f float64) (h, g float64) {
	n, slope := c.middle(f)
	if n <= 1 || f >= 1 {
		return 0, 0
	}
	r, _ := c.sdRelative(f, n-1, slope/(n-1))
	s, _ := spread(r)
	return -s * (n - 1) / slope / f, 1 / slope / f
}
