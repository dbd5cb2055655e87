package estimate

import (
	"fmt"
	"math"
)

// Set is one set of one lift. The zero RIR is a set to failure: the last
// repetition made was the last possible. The loads of a call share one unit,
// which may be any.
type Set struct {
	Load   float64 // above 0
	Reps   float64 // repetitions made, 1 or more
	RIR    float64 // reported repetitions in reserve, 0 or more; 0 means failure
	NoRIR  bool    // the reserve was not reported: RIR is ignored
	Day    float64 // days from any origin, the same one for all sets
	Tested bool    // a deliberate maximum attempt: to failure if no reserve was reported
}

// Options of Max and Fit. The zero value works.
type Options struct {
	Curve    *Curve  // repetitions-%1RM relation; nil is "general"
	Coverage float64 // of the intervals, 0 < Coverage < 1; 0 is 0.9
	// LoadStep is the smallest jump between attempts. A maximal single means
	// that the maximum lies between its load and the next. 0 is 2.5 % of the
	// load: common practice, no published source. It must not be negative.
	LoadStep float64
	// Drift is the standard deviation of the change of the logarithm of the
	// maximum over one week, for sets on several days. 0 is 0.01 (1 % a week):
	// our assumption, no published source. Negative: no change.
	Drift float64
	// Layoff is the number of days from the last set to the day the maximum is
	// wanted for; the interval widens with Drift. It must not be negative.
	Layoff float64
	// ReserveBias is the number of repetitions by which people leave more in
	// reserve than they report, for sets reported to stop one or more short
	// (proportionally less below one; none at failure). 0 is 0.95: Halperin I
	// et al. Sports Med 2022;52:377-390, underprediction of 0.95 [0.17-1.73]
	// repetitions, 414 people, very heterogeneous (looked-up). Trained people
	// called within three of failure showed 0.17 (Refalo MC et al. J Strength
	// Cond Res 2023, looked-up). Negative: none.
	ReserveBias float64
	// ReserveSpread multiplies the standard deviation of the reported reserve
	// about the true one: 1 repetition for reports of 1 to 5 (Refalo 2023:
	// 1.00; Hackett DA et al. J Strength Cond Res 2017;31:2162-2168: about 1
	// with 0 to 5 left, more than 2 with 7 to 10 left; both looked-up), rising
	// in a straight line from 5 to 2 at 7 and on; proportionally less below 1,
	// none at failure. 0 is 1. Negative: reports are exact.
	ReserveSpread float64
}

// Estimate is a maximum with its interval, in the unit of the loads.
type Estimate struct {
	Max       float64 // posterior median; for a maximal single its load
	Low, High float64 // interval of Coverage, equal tails
	Coverage  float64 // probability of the interval under the model
	Curve     string  // name of the repetitions-%1RM relation used
	// Ability is where the lifter's ability to do repetitions at a given
	// fraction lies among lifters, in standard deviations, and AbilitySD how
	// well that is known; 0 and 1 for a single set, which says nothing of it.
	Ability, AbilitySD float64
	Extrapolated       bool // a set lies outside the rows of the curve
	Sets               int  // sets used
	Warnings           []Warning
}

// resolved is Options with defaults filled in.
type resolved struct {
	curve                               *Curve
	coverage, step, drift, bias, spread float64
	layoff                              float64
}

func (o Options) resolve() (resolved, error) {
	r := resolved{curve: o.Curve, coverage: o.Coverage, step: o.LoadStep, drift: o.Drift, bias: o.ReserveBias, spread: o.ReserveSpread, layoff: o.Layoff}
	for _, f := range []struct {
		name string
		v    float64
	}{{"coverage", o.Coverage}, {"load step", o.LoadStep}, {"drift", o.Drift}, {"layoff", o.Layoff}, {"reserve bias", o.ReserveBias}, {"reserve spread", o.ReserveSpread}} {
		if !finite(f.v) {
			return r, &FieldError{Field: f.name, Value: f.v, Want: "a finite number"}
		}
	}
	if r.curve == nil {
		r.curve = &regressionCurves[0]
	} else if r.curve.Min == 0 {
		return r, &FieldError{Field: "curve", Want: "one that Curves or CurveNamed returned"}
	}
	if r.coverage == 0 {
		r.coverage = 0.9
	}
	if !(r.coverage > 0 && r.coverage < 1) {
		return r, &FieldError{Field: "coverage", Value: r.coverage, Want: "above 0, below 1"}
	}
	if r.step < 0 {
		return r, &FieldError{Field: "load step", Value: r.step, Want: "0 (2.5 % of the load) or more"}
	}
	if r.layoff < 0 {
		return r, &FieldError{Field: "layoff", Value: r.layoff, Want: "0 days or more"}
	}
	r.drift = orDefault(r.drift, 0.01)
	r.bias = orDefault(r.bias, reserveBias)
	r.spread = orDefault(r.spread, 1)
	return r, nil
}

// reserveBias is the default of Options.ReserveBias, with its source there.
const reserveBias = 0.95

// orDefault is the default for 0 and 0 for a negative value.
func orDefault(x, def float64) float64 {
	if x == 0 {
		return def
	}
	return math.Max(x, 0)
}

// normalised returns the set with Tested and NoRIR resolved against each other.
func (s Set) normalised() Set {
	if s.NoRIR {
		s.RIR = 0
		if s.Tested {
			s.NoRIR = false
		}
	}
	return s
}

// single says that the set is a maximum in itself.
func (s Set) single() bool { return s.Reps == 1 && s.RIR == 0 && !s.NoRIR }

// Max is the one answer for a lift from one or more sets of it: the posterior
// median of the maximum and an interval, from the repetitions-%1RM relation and
// its spread between lifters.
//
// Several sets share the lifter's own ability to do repetitions; sets of
// several days see a maximum that drifts (Options.Drift), and the answer is for
// the last day (or Options.Layoff days later). Reported reserve carries its published bias and spread; a
// reserve that was not reported is taken as anything from none up, on average
// 2 repetitions (our assumption), and says so in a warning. A true single
// (repetition 1, reserve 0) is the maximum by definition: Max is its load, and
// High reaches to the next attempt. Sets whose own intervals lie apart, and an
// answer that lies in none of them, are told in warnings.
//
// Of the sets of one day those count that no other of that day shows more than,
// in weight and in repetitions with the reserve: the rest are taken for done
// tired, which the model does not know, and are told in a warning (our rule, no
// published source).
//
// The cost grows faster than the number of sets, from a fraction of a
// millisecond for one to seconds for a thousand: for a history of training use
// [Track], whose cost grows with it.
//
// Errors are a *FieldError for wrong arguments and a *RangeError for sets with
// more repetitions than the curve reaches.
func Max(sets []Set, opt Options) (Estimate, error) {
	p, err := newPosterior(sets, opt, false)
	if err != nil {
		return Estimate{}, err
	}
	return p.estimate(), nil
}

// checkSets checks what a set may hold and returns the sets normalised.
func checkSets(sets []Set, c *Curve) ([]Set, error) {
	if len(sets) == 0 {
		return nil, &FieldError{Field: "sets", Want: "one or more"}
	}
	out := make([]Set, len(sets))
	for i, s := range sets {
		s = s.normalised()
		out[i] = s
		err := checkSet(s.Load, s.Reps, s.RIR)
		if err == nil && !(math.Abs(s.Day) <= trackerLastDay) {
			err = &FieldError{Field: "day", Value: s.Day, Want: "a day from -1e9 to 1e9"}
		}
		if err == nil && s.Load > 1e300 || err == nil && s.Load < 1e-300 {
			err = &FieldError{Field: "load", Value: s.Load, Want: "a load between 1e-300 and 1e300"}
		}
		if fe, ok := err.(*FieldError); ok {
			fe.Field = fmt.Sprintf("sets[%d].%s", i, fe.Field)
			return nil, fe
		}
		if _, _, err := c.Fraction(s.Reps + s.RIR); err != nil {
			if re, ok := err.(*RangeError); ok {
				re.Field = fmt.Sprintf("sets[%d]: reps and reserve together", i)
			}
			return nil, err
		}
	}
	return out, nil
}
