package periodize

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/blockwright/blockwright/internal/num"
	"github.com/blockwright/blockwright/periodize/response"
)

// ForecastOptions are the choices of [Plan.Forecast]. The zero value works.
type ForecastOptions struct {
	Daily      DailyOptions
	Convention response.Convention // default response.PreviousDay
	// Before is the load before the plan, done for a long time, as a share of
	// the plan's first week. Default: the lifter's recent weekly sets over those
	// of the first week where the roster has them, else 1. Zero is a lifter who
	// never trained, which makes everything look like growth.
	Before *float64
	// After is the number of days without training that are looked at after the
	// plan's last session or test; default 14, negative for none.
	After int
	Sets  []response.ParameterSet // default response.AssumedSets
}

// DefaultAfter is the number of rest days that a forecast looks at after a
// plan: an engineering choice.
const DefaultAfter = 14

// Forecast is a plan's daily loads seen through the fitness-fatigue model, as a
// band over a list of assumed parameter sets. Its Outlook's caveats are to be
// shown with it.
type Forecast struct {
	*response.Outlook
	Daily      *DailyLoad
	Convention response.Convention
	// Load is the daily load that the model saw: Daily.Load and the days after it,
	// and for plans that are compared the days before it too. Load[0] is day 1.
	Load   []float64
	Start  time.Time // day 1; zero for a plan without dates
	Test   int       // day of the test; 0 for none
	Before float64   // load a day before day 1
	// Assumed says in words what was taken to come before the plan.
	Assumed string
	// Fitness and Fatigue are the change since the first day, in parts of the
	// range that freshness runs through, so that a change of freshness is the
	// one less the other for each parameter set: median and ends over the list.
	Fitness, Fatigue []response.Point
}

// Date is the date of a day, 1 being the first; zero for a plan without dates.
func (f *Forecast) Date(day int) time.Time {
	if f.Start.IsZero() {
		return time.Time{}
	}
	return f.Start.AddDate(0, 0, day-1)
}

// On is the band of a day; ok is false for a day that was not looked at.
func (f *Forecast) On(day int) (b response.Freshness, ok bool) {
	if f.Outlook == nil {
		return response.Freshness{}, false
	}
	i := slices.IndexFunc(f.Days, func(d response.Freshness) bool { return d.Day == day })
	if i < 0 {
		return response.Freshness{}, false
	}
	return f.Days[i], true
}

// NearFreshest counts the parameter sets whose own freshest day lies within
// response.AgreeWithin days of a day.
func (f *Forecast) NearFreshest(day int) (agree, of int) {
	if f.Outlook == nil {
		return 0, 0
	}
	for _, s := range f.Outlook.Sets {
		if d := s.Freshest - day; d <= response.AgreeWithin && -d <= response.AgreeWithin {
			agree++
		}
	}
	return agree, len(f.Outlook.Sets)
}

// Forecast runs the daily loads of a plan through a list of assumed parameter
// sets: no human barbell parameters are published. It shows when the lifter may
// be freshest and how far the list agrees; it never says how much to train.
//
// It returns the errors of [Plan.Daily] and of [response.Predict].
func (p *Plan) Forecast(o ForecastOptions) (*Forecast, error) {
	f, err := p.loads(&o)
	if err != nil {
		return nil, err
	}
	if err := f.run(o); err != nil {
		return nil, err
	}
	return f, nil
}

// loads prepares a forecast that has not been run yet.
func (p *Plan) loads(o *ForecastOptions) (*Forecast, error) {
	d, err := p.Daily(o.Daily)
	if err != nil {
		return nil, err
	}
	o.Convention = cmp.Or(o.Convention, response.PreviousDay)
	o.After = max(cmp.Or(o.After, DefaultAfter), 0)
	if o.After > 365 {
		return nil, &Error{Where: "forecast", Msg: fmt.Sprintf("want at most 365 days after the plan, got %d", o.After)}
	}
	f := &Forecast{Daily: d, Start: d.Start, Test: d.Test, Convention: o.Convention}
	share, why, err := p.before(o.Before)
	if err != nil {
		return nil, err
	}
	first := 1 // day of the series that the plan begins on
	if !d.Start.IsZero() && !p.Start.IsZero() {
		first += int(math.Round(p.Start.Sub(d.Start).Hours() / 24))
	}
	week := 0.0
	for day := first; day < first+7; day++ {
		if day >= 1 && day <= len(d.Load) {
			week += d.Load[day-1]
		}
	}
	f.Before = share * week / 7
	f.Assumed = why
	f.Load = append(slices.Clone(d.Load), make([]float64, o.After)...)
	return f, nil
}

// before is what came before the plan, as a share of its first week.
func (p *Plan) before(asked *float64) (share float64, why string, err error) {
	share, why = 1, "the first week's load, done for a long time"
	first := 0
	for i := range p.Sessions {
		if p.Sessions[i].Week == 1 {
			for _, ex := range p.Sessions[i].Exercises {
				first += len(ex.Sets)
			}
		}
	}
	if n, known := p.Lifter.Recent.sets(); known && first > 0 {
		share = float64(n) / float64(first)
		why = fmt.Sprintf("the roster's %d sets a week, done for a long time, each with the load of one of the first week's %d", n, first)
		if n == 0 {
			why = "none, as the roster says, which makes everything look like growth"
		}
	}
	if asked != nil {
		share = *asked
		if !(share >= 0 && share <= 10) {
			return 0, "", &Error{Where: "forecast", Msg: fmt.Sprintf("load before the plan: want 0 to 10 times the first week's, got %v", share)}
		}
		why = fmt.Sprintf("%g %% of the first week's load, done for a long time", math.Round(1e4*share)/100)
		if share == 0 {
			why = "none at all, which makes everything look like growth"
		}
	}
	return share, why, nil
}

func (f *Forecast) run(o ForecastOptions) error {
	out, err := response.Predict(f.Load, response.ForecastOptions{Convention: o.Convention, Daily: f.Before, Sets: o.Sets})
	if err != nil {
		return err
	}
	f.Outlook = out
	f.Fitness = f.changes(func(s *response.SetOutlook) []float64 { return s.Fitness })
	f.Fatigue = f.changes(func(s *response.SetOutlook) []float64 { return s.Fatigue })
	return nil
}

// changes is the band of one component's change since the first day.
func (f *Forecast) changes(of func(*response.SetOutlook) []float64) []response.Point {
	out := make([]response.Point, len(f.Days))
	all := make([]float64, len(f.Outlook.Sets))
	for k := range out {
		for i := range f.Outlook.Sets {
			c := of(&f.Outlook.Sets[i])
			all[i] = c[k] - c[0]
		}
		slices.Sort(all)
		out[k] = response.Point{Mid: num.Quantile(all, 0.5), Low: all[0], High: all[len(all)-1]}
	}
	return out
}

// ForecastPair is two plans of one lifter side by side.
type ForecastPair struct {
	A, B *Forecast // on the same days
	// On is the day of the comparison: A's test, else its freshest day.
	On         int
	Comparison *response.Comparison
	// Padded says in words how plans that begin on different days were brought
	// together; empty where they begin on the same.
	Padded string
}

// ForecastWith puts another plan for the same lifter beside this one. Both start
// from the load before this one, and both are looked at over the same days.
// Plans with dates lie side by side by date, the later one preceded by the load
// before; others begin together. on is the day that they are compared on,
// counted from the earlier start; 0 for the test, else this plan's freshest day.
//
// It ranks what a coach wrote and never looks for a better load: what the plain
// model calls better is, in the end, less work before the day.
//
// It returns an [*Error] where only one of the plans has dates or the starts are
// over a year apart, and the errors of [Plan.Forecast].
func (p *Plan) ForecastWith(other *Plan, on int, o ForecastOptions) (*ForecastPair, error) {
	oa, ob := o, o
	a, err := p.loads(&oa)
	if err != nil {
		return nil, err
	}
	b, err := other.loads(&ob)
	if err != nil {
		return nil, err
	}
	if a.Start.IsZero() != b.Start.IsZero() {
		return nil, &Error{Where: "forecast", Msg: "only one of the plans has dates: want both or neither"}
	}
	b.Before, b.Assumed = a.Before, a.Assumed
	pair := &ForecastPair{A: a, B: b}
	if gap := daysBetween(a.Start, b.Start); gap != 0 {
		if gap > 366 || gap < -366 {
			return nil, &Error{Where: "forecast", Msg: fmt.Sprintf("the plans start %d days apart: want at most a year", max(gap, -gap))}
		}
		late, early := b, a
		if gap < 0 {
			late, early, gap = a, b, -gap
		}
		late.pad(gap, early.Start)
		pair.Padded = fmt.Sprintf("the one that starts later has the load before it for its first %d days", gap)
	}
	for _, f := range []*Forecast{a, b} {
		f.Load = append(f.Load, make([]float64, max(len(a.Load), len(b.Load))-len(f.Load))...)
		if err := f.run(oa); err != nil {
			return nil, err
		}
	}
	pair.On = cmp.Or(on, a.Test, a.Freshest.Day)
	pair.Comparison, err = response.ComparePlans(a.Load, b.Load, pair.On,
		response.ForecastOptions{Convention: oa.Convention, Daily: a.Before, Sets: oa.Sets})
	if err != nil {
		return nil, err
	}
	return pair, nil
}

// pad moves a forecast to an earlier day 1.
func (f *Forecast) pad(days int, start time.Time) {
	before := make([]float64, days)
	for i := range before {
		before[i] = f.Before
	}
	f.Load = append(before, f.Load...)
	f.Start = start
	if f.Test > 0 {
		f.Test += days
	}
}
