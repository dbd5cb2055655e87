package taper

import (
	"fmt"
	"math"

	"github.com/blockwright/blockwright/internal/num"
)

// AttemptCaution stands beside every choice of attempts.
const AttemptCaution = "No attempt is certain; chances count strength alone: not depth, commands, grip or the tiredness of earlier attempts, and they stand or fall with the maximum they start from. The meet's own rules and a coach on the day come first."

// Maximum is a one-repetition maximum with its interval. A tested maximum has
// Low and High equal to Mid, or both 0, and needs no Coverage.
type Maximum struct {
	Mid       float64 // median
	Low, High float64 // interval around it
	Coverage  float64 // of the interval, such as 0.9
}

// Chance is the probability of a good lift: Mid over all that is not known of
// the maximum, Low and High were the maximum at the low or the high end of its
// 90 % interval, whatever the coverage of the one given. Low <= Mid <= High:
// so far from the interval that Mid lies beyond an end's chance, Mid stands for
// it.
type Chance struct {
	Mid, Low, High float64
}

// DefaultDayForm is the standard deviation of form from day to day as a
// fraction of the maximum: common practice, no published source.
const DefaultDayForm = 0.02

// DefaultChances returns the chances of a good lift that the opener, second and
// third attempt aim for: common practice, no published source.
func DefaultChances() [3]float64 { return [3]float64{0.97, 0.80, 0.50} }

// ChanceTolerance is how far a chance may fall short of its aim and still meet
// it: half a percentage point, an engineering choice. Chances are told in whole
// per cent, and the average over form and maximum lies a little under a half at
// the median itself, which must not cost a step.
const ChanceTolerance = 0.005

// AttemptOptions are the choices of [Choose]. The zero value works.
type AttemptOptions struct {
	Rules   RuleBook   // default the first of RuleBooks
	Chances [3]float64 // falling, each between 0 and 1; default DefaultChances, kept apart by PublishedPattern
	DayForm float64    // SD of form from day to day, fraction of the maximum; default DefaultDayForm, negative for none
	Least   float64    // lightest weight that can be attempted, such as bar and collars; default one increment
}

// Attempt is one attempt.
type Attempt struct {
	Number       int     // 1, 2 or 3
	Load         float64 // in the unit of the rule book, bar and collars counted
	Chance       Chance
	Aim          float64 // chance that was aimed for; 0 where none was
	ShareOfMax   float64 // Load over the middle of the maximum
	ShareOfThird float64 // Load over that of the third attempt
}

// Attempts are the three attempts of a lift.
type Attempts struct {
	Max      Maximum
	Rules    RuleBook
	DayForm  float64 // as a fraction of the maximum, one standard deviation
	Attempts [3]Attempt
	Findings []Finding
}

// GoodLift is the chance of a good lift at a weight. The maximum's distribution
// is two half normal ones that meet at the median, each with the spread of its
// side of the interval; form on the day adds a normal part whose standard
// deviation is dayForm times the maximum (0 for none). Loads and maximum in one
// unit.
//
// It returns a *FieldError for a load that is not above 0, a maximum whose
// numbers are not in order, or a coverage outside 0 to 1.
func GoodLift(m Maximum, load, dayForm float64) (Chance, error) {
	d, err := newStrength(m, dayForm)
	if err != nil {
		return Chance{}, err
	}
	if !(load > 0) || math.IsInf(load, 0) {
		return Chance{}, &FieldError{Field: "load", Value: load, Want: "above 0"}
	}
	return d.chance(load), nil
}

// strength is the distribution of what a lifter can lift on the day.
type strength struct {
	mid, below, above float64 // median and spread of either side
	form              float64 // SD of a day as a fraction
	nodes             [quantileNodes]float64
}

// Averaging over the midpoints of this many equal slices of probability gives
// chances to about a thousandth, far better than the maximum is known.
const quantileNodes = 200

func newStrength(m Maximum, form float64) (*strength, error) {
	if !(m.Mid > 0 && m.Mid <= 1e6) {
		return nil, &FieldError{Field: "max.mid", Value: m.Mid, Want: "above 0"}
	}
	if m.Low == 0 && m.High == 0 {
		m.Low, m.High = m.Mid, m.Mid
	}
	if !(m.Low > 0 && m.Low <= m.Mid) {
		return nil, &FieldError{Field: "max.low", Value: m.Low, Want: "above 0 and at most the middle, " + number(m.Mid)}
	}
	if !(m.High >= m.Mid && m.High <= 1e6) {
		return nil, &FieldError{Field: "max.high", Value: m.High, Want: "at least the middle, " + number(m.Mid)}
	}
	if !(form >= 0 && form <= 0.5) {
		return nil, &FieldError{Field: "day form", Value: form, Want: "0 to 0.5"}
	}
	s := &strength{mid: m.Mid, form: form}
	if m.Low < m.High {
		if !(m.Coverage >= 0.01 && m.Coverage < 1) {
			return nil, &FieldError{Field: "max.coverage", Value: m.Coverage, Want: "0.01 to below 1 where there is an interval"}
		}
		z := math.Sqrt2 * math.Erfinv(m.Coverage)
		s.below, s.above = (m.Mid-m.Low)/z, (m.High-m.Mid)/z
	}
	for i := range s.nodes {
		s.nodes[i] = s.quantile((float64(i) + 0.5) / quantileNodes)
	}
	return s, nil
}

// quantile of the maximum; never at or below 0, where a wide interval would
// otherwise reach.
func (s *strength) quantile(p float64) float64 {
	z := math.Sqrt2 * math.Erfinv(2*p-1)
	if z < 0 {
		return max(s.mid+float64(z*s.below), 1e-6*s.mid)
	}
	return s.mid + float64(z*s.above)
}

// given is the chance were the maximum known to be m.
func (s *strength) given(m, load float64) float64 {
	if s.form == 0 {
		if load <= m {
			return 1
		}
		return 0
	}
	return 0.5 * math.Erfc((load-m)/(s.form*m*math.Sqrt2))
}

// atLeast is the chance that the maximum is load or more.
func (s *strength) atLeast(load float64) float64 {
	spread := s.above
	if load < s.mid {
		spread = s.below
	}
	if spread == 0 {
		return s.given(s.mid, load)
	}
	return 0.5 * math.Erfc((load-s.mid)/(spread*math.Sqrt2))
}

func (s *strength) chance(load float64) Chance {
	c := Chance{Low: s.given(s.quantile(0.05), load), High: s.given(s.quantile(0.95), load)}
	if s.form == 0 {
		c.Mid = s.atLeast(load)
	} else {
		var sum num.Sum
		for _, m := range s.nodes {
			sum.Add(s.given(m, load))
		}
		c.Mid = min(1, sum.Value()/quantileNodes)
	}
	// Far out in a tail the mean passes the ends; the range holds it still.
	c.Low, c.High = min(c.Low, c.Mid), max(c.High, c.Mid)
	return c
}

// Choose picks opener, second and third attempt: each the heaviest weight of
// the rule book's steps whose chance of a good lift is no less than the one
// aimed for (within [ChanceTolerance]), and at least the least rise above the attempt before.
//
// Of a maximum that is well known the default chances lie close together. Without chances
// of the caller's own an opener or a second attempt is therefore no heavier than where
// [PublishedPattern] has it from the third, to the nearest step: 0.91 of the third, and the third
// over 1.03. With Chances set nothing but they count.
//
// The remarks of [CheckPattern] are in the findings, with a remark where the steps forced
// a weight up or the opener's chance is below its aim.
//
// It returns a *FieldError as [GoodLift] does, for chances that do not fall,
// and for rules without a step.
func Choose(m Maximum, o AttemptOptions) (*Attempts, error) {
	if o.Rules.ID == "" && o.Rules.Increment == 0 {
		o.Rules = RuleBooks()[0]
	}
	if !(o.Rules.Increment >= 0.01 && o.Rules.Increment <= 1e4) {
		return nil, &FieldError{Field: "rules.increment", Value: o.Rules.Increment, Want: "0.01 to 10000"}
	}
	if !(o.Rules.MinRise >= 0 && o.Rules.MinRise <= 1e4) {
		return nil, &FieldError{Field: "rules.min_rise", Value: o.Rules.MinRise, Want: "0 or more"}
	}
	spaced := o.Chances == [3]float64{}
	if spaced {
		o.Chances = DefaultChances()
	}
	for i, c := range o.Chances {
		if !(c > 0 && c < 1) || (i > 0 && c > o.Chances[i-1]) {
			return nil, &FieldError{Field: fmt.Sprintf("chances[%d]", i), Value: c, Want: "between 0 and 1, none above the one before"}
		}
	}
	switch {
	case o.DayForm == 0:
		o.DayForm = DefaultDayForm
	case o.DayForm < 0:
		o.DayForm = 0
	}
	if o.Least == 0 {
		o.Least = o.Rules.Increment
	}
	if !(o.Least > 0 && o.Least <= 1e6) {
		return nil, &FieldError{Field: "least", Value: o.Least, Want: "above 0"}
	}
	d, err := newStrength(m, o.DayForm)
	if err != nil {
		return nil, err
	}
	out := &Attempts{Max: m, Rules: o.Rules, DayForm: o.DayForm}
	step := o.Rules.Increment
	steps := func(w float64) int64 { return int64(math.Ceil(w/step - 1e-9)) } // fewest steps that reach w
	least := max(steps(o.Least), 1)
	var heaviest [3]int64 // in steps, by the chances
	for i, aim := range o.Chances {
		enough := aim - min(ChanceTolerance, aim/2) // above 0, so that the search ends
		// The chance falls with the weight to nothing: find a number of steps that
		// is too many, then bisect.
		lo, hi := int64(0), int64(1)
		for d.chance(float64(hi)*step).Mid >= enough {
			lo, hi = hi, 2*hi
		}
		for hi-lo > 1 {
			if mid := (lo + hi) / 2; d.chance(float64(mid)*step).Mid >= enough {
				lo = mid
			} else {
				hi = mid
			}
		}
		heaviest[i] = lo
	}
	if spaced {
		p := PublishedPattern()
		third := float64(heaviest[2])
		heaviest[0] = min(heaviest[0], int64(math.Round(p.OpenerOfThird*third)))
		heaviest[1] = min(heaviest[1], int64(math.Round(third/(1+p.SecondRise))))
	}
	for i, aim := range o.Chances {
		n := heaviest[i]
		if n < least {
			n = least
			f := Finding{Code: FindingStep, Text: fmt.Sprintf("attempt %d is as light as the rules allow after the one before, and heavier than its aim", i+1)}
			if i == 0 {
				f = Finding{Code: FindingOpener, Text: "the opener is the lightest weight there is, and heavier than its aim"}
			}
			out.Findings = append(out.Findings, f)
		}
		load := float64(n) * step
		out.Attempts[i] = Attempt{Number: i + 1, Load: load, Chance: d.chance(load), Aim: aim, ShareOfMax: load / m.Mid}
		least = max(n+1, steps(load+o.Rules.MinRise))
	}
	share(&out.Attempts)
	out.Findings = append(out.Findings, CheckPattern(out.Loads())...)
	return out, nil
}

// Loads are the three weights.
func (a *Attempts) Loads() [3]float64 {
	return [3]float64{a.Attempts[0].Load, a.Attempts[1].Load, a.Attempts[2].Load}
}

func share(a *[3]Attempt) {
	for i := range a {
		a[i].ShareOfThird = a[i].Load / a[2].Load
	}
}

// PatternTolerance is how far, in fractions of the third attempt or of a rise,
// attempts may lie from the published pattern before [CheckPattern] remarks on
// it: an engineering choice, about the step of 2.5 kg on 100 kg.
const PatternTolerance = 0.025

// CheckPattern compares three attempts with [PublishedPattern] and remarks on
// what lies further away than [PatternTolerance]. Attempts that are not
// positive numbers are not compared.
func CheckPattern(loads [3]float64) []Finding {
	if !num.Finite(loads[:]...) || !(loads[0] > 0 && loads[1] > 0 && loads[2] > 0) {
		return nil
	}
	p := PublishedPattern()
	var f []Finding
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"the opener is %s %% of the third attempt; elite lifters with nine good lifts opened at about %s %%", loads[0] / loads[2], p.OpenerOfThird},
		{"the second attempt is %s %% above the first; elite lifters with nine good lifts rose by about %s %%", loads[1]/loads[0] - 1, p.FirstRise},
		{"the third attempt is %s %% above the second; elite lifters with nine good lifts rose by about %s %%", loads[2]/loads[1] - 1, p.SecondRise},
	} {
		if math.Abs(c.got-c.want) > PatternTolerance+1e-9 {
			f = append(f, Finding{Code: FindingPattern, Text: fmt.Sprintf(c.what, percent(c.got), percent(c.want))})
		}
	}
	return f
}

// Following is what may come after an attempt: the least weight of the next
// one, and the weight that the rules call when none is handed in. After a
// failed lift both are the same weight again.
func (r RuleBook) Following(load float64, good bool) (least, automatic float64) {
	if !good {
		return load, load
	}
	return load + r.MinRise, load + max(r.AfterGood, r.MinRise)
}
