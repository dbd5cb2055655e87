package response

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// AgreeWithin is the number of days within which two freshest days agree.
const AgreeWithin = 3

// ForecastOptions are the choices of [Predict] and [ComparePlans]. Only
// Convention has to be given.
type ForecastOptions struct {
	Convention Convention // required
	// Daily is the daily load before day 1, done for a long time: a week's
	// divided by seven. The zero value is a lifter who never trained, which
	// makes everything look like growth.
	Daily float64
	Sets  []ParameterSet // default AssumedSets
	// First and Last bound the days that are looked at for the freshest day and
	// for the scale of freshness; default day 1 and the last day.
	First, Last int
}

// Outlook is a forecast over a list of parameter sets.
type Outlook struct {
	Days     []Freshness // First to Last
	Freshest Freshest
	Sets     []SetOutlook // one for each parameter set, in the order of the list
	Caveats  []string     // to be shown with it
}

// Freshness is a day's relative freshness: 0 is the least and 1 the most fresh
// day of the period, for each parameter set by itself. Mid is the median over
// the list; Low and High are its ends, all of it, since a list is no sample.
type Freshness struct {
	Day            int // from 1, the day of the first load
	Mid, Low, High float64
}

// Freshest is the freshest day: the median over the list, its ends, and the
// share of the list whose own freshest day lies within AgreeWithin days of the
// median.
type Freshest struct {
	Day, Low, High int     // from 1, the day of the first load
	Share          float64 // Agree of Of
	Agree, Of      int     // parameter sets within AgreeWithin days, and all
}

// SetOutlook is what one parameter set says.
type SetOutlook struct {
	Set      ParameterSet
	Freshest int // day
	// Fitness and Fatigue are K1 g and K2 h, scaled by the same factor as
	// freshness, so that differences between days are comparable; Freshness is
	// the relative freshness. First to Last.
	Fitness, Fatigue, Freshness []float64
}

// Predict runs a plan's daily loads through a list of assumed parameter sets.
// load[0] is day 1; append zeros for rest days after the plan. Absolute
// performance is left out on purpose: no gains are known.
//
// It returns a *FieldError for loads, sets or days out of range, and where no
// day differs from another so that no day is freshest.
func Predict(load []float64, o ForecastOptions) (*Outlook, error) {
	if err := o.resolve(len(load)); err != nil {
		return nil, err
	}
	n := o.Last - o.First + 1
	out := &Outlook{Sets: make([]SetOutlook, len(o.Sets)), Days: make([]Freshness, n), Caveats: Caveats()}
	var tr Trace
	for i, set := range o.Sets {
		m := set.Model()
		if err := m.Trace(&tr, load, o.Convention, m.Steady(o.Daily)); err != nil {
			return nil, err
		}
		p := tr.Performance[o.First-1 : o.Last]
		lo, hi := slices.Min(p), slices.Max(p)
		if !(hi-lo > 1e-12*math.Max(math.Abs(lo), math.Abs(hi))) {
			return nil, &FieldError{Field: "load", Want: fmt.Sprintf("training that makes the days %d to %d differ", o.First, o.Last)}
		}
		s := SetOutlook{Set: set, Fitness: make([]float64, n), Fatigue: make([]float64, n), Freshness: make([]float64, n)}
		best := 0
		for k, v := range p {
			s.Freshness[k] = (v - lo) / (hi - lo)
			s.Fitness[k] = m.K1 * tr.Fitness[o.First-1+k] / (hi - lo)
			s.Fatigue[k] = m.K2 * tr.Fatigue[o.First-1+k] / (hi - lo)
			if v > p[best] {
				best = k
			}
		}
		s.Freshest = o.First + best
		out.Sets[i] = s
	}
	all := make([]float64, len(o.Sets))
	for k := range out.Days {
		for i := range out.Sets {
			all[i] = out.Sets[i].Freshness[k]
		}
		slices.Sort(all)
		out.Days[k] = Freshness{Day: o.First + k, Mid: median(all), Low: all[0], High: all[len(all)-1]}
	}
	out.Freshest = agree(out.Sets)
	return out, nil
}

func (o *ForecastOptions) resolve(days int) error {
	if err := o.Convention.check(); err != nil {
		return err
	}
	if !okLoad(o.Daily) {
		return &FieldError{Field: "daily", Value: o.Daily, Want: "0 to 1e12"}
	}
	if o.Sets == nil {
		o.Sets = AssumedSets()
	}
	if len(o.Sets) == 0 {
		return &FieldError{Field: "sets", Want: "at least one parameter set"}
	}
	for i, s := range o.Sets {
		if err := first(s.Model().Check(), checkGain(fmt.Sprintf("sets[%d].ratio", i), s.Ratio)); err != nil {
			return err
		}
	}
	o.First, o.Last = cmp.Or(o.First, 1), cmp.Or(o.Last, days)
	if o.First < 1 || o.Last > days || o.Last <= o.First {
		return &FieldError{Field: "last", Value: float64(o.Last), Want: fmt.Sprintf("two days or more between 1 and %d, from first (%d)", days, o.First)}
	}
	return nil
}

func median(sorted []float64) float64 {
	n := len(sorted)
	if n%2 == 1 {
		return sorted[n/2]
	}
	return (sorted[n/2-1] + sorted[n/2]) / 2
}

// agree finds the median freshest day, the earlier of two.
func agree(sets []SetOutlook) Freshest {
	days := make([]int, len(sets))
	for i, s := range sets {
		days[i] = s.Freshest
	}
	slices.Sort(days)
	f := Freshest{Day: days[(len(days)-1)/2], Low: days[0], High: days[len(days)-1], Of: len(days)}
	for _, d := range days {
		if d-f.Day <= AgreeWithin && f.Day-d <= AgreeWithin {
			f.Agree++
		}
	}
	f.Share = float64(f.Agree) / float64(f.Of)
	return f
}

// Agreement says the share in words.
func (f Freshest) Agreement() string {
	return fmt.Sprintf("%d of %d assumed parameter sets (%.0f %%) have their freshest day within %d days of day %d; over all of them it is day %d to %d",
		f.Agree, f.Of, 100*f.Share, AgreeWithin, f.Day, f.Low, f.High)
}

// Comparison is two plans side by side on one day.
type Comparison struct {
	Day            int       // from 1, the day of the first load
	AheadA, AheadB int       // parameter sets that have the plan ahead on the day
	Even           int       // sets that cannot tell them apart
	Difference     []float64 // A less B by set, in parts of that set's range of performance over both plans and the period
	Caveats        []string
}

// ComparePlans puts two plans that a coach wrote side by side: on a day, for
// each parameter set, which one has the lifter ahead and by what part of the
// range that the set's performance runs through. Both start from the same
// state. It ranks what it is given and never looks for a better load: what the
// plain model calls better is, in the end, less work (see [AllOrNothing]).
//
// It returns a *FieldError for loads, sets or days out of range, or plans of
// different length.
func ComparePlans(a, b []float64, day int, o ForecastOptions) (*Comparison, error) {
	if len(a) != len(b) {
		return nil, &FieldError{Field: "b", Value: float64(len(b)), Want: fmt.Sprintf("as many days as a has, %d", len(a))}
	}
	if err := o.resolve(len(a)); err != nil {
		return nil, err
	}
	if day < o.First || day > o.Last {
		return nil, &FieldError{Field: "day", Value: float64(day), Want: fmt.Sprintf("%d to %d", o.First, o.Last)}
	}
	c := &Comparison{Day: day, Caveats: Caveats()}
	var pa, pb []float64
	for _, set := range o.Sets {
		m := set.Model()
		var err error
		if pa, err = m.Series(pa, a, o.Convention, m.Steady(o.Daily)); err != nil {
			return nil, err
		}
		if pb, err = m.Series(pb, b, o.Convention, m.Steady(o.Daily)); err != nil {
			return nil, err
		}
		wa, wb := pa[o.First-1:o.Last], pb[o.First-1:o.Last]
		span := max(slices.Max(wa), slices.Max(wb)) - min(slices.Min(wa), slices.Min(wb))
		diff := 0.0
		if span > 0 {
			diff = (pa[day-1] - pb[day-1]) / span
		}
		switch {
		case diff > 1e-9:
			c.AheadA++
		case diff < -1e-9:
			c.AheadB++
		default:
			c.Even++
		}
		c.Difference = append(c.Difference, diff)
	}
	return c, nil
}
