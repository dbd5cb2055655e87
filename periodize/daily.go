package periodize

import (
	"fmt"
	"slices"
	"time"

	"github.com/blockwright/blockwright/internal/num"
	"github.com/blockwright/blockwright/plates"
)

// LoadMeasure is a way of saying in one number how much training a day holds.
type LoadMeasure string

// The measures that a plan can be counted in. Session load (minutes times
// effort) needs what the lifter felt, so that only a log has it.
const (
	// RelativeVolume is the sum of repetitions times load/maximum over all sets,
	// so that lifts and lifters of different strength add up.
	RelativeVolume LoadMeasure = "relative-volume"
	// TonnageLoad is the sum of repetitions times load in the plan's unit.
	TonnageLoad LoadMeasure = "tonnage"
)

// LoadMeasures lists the measures, the default first.
func LoadMeasures() []LoadMeasure { return []LoadMeasure{RelativeVolume, TonnageLoad} }

// DailyOptions are the choices of [Plan.Daily]. The zero value works.
type DailyOptions struct {
	Measure LoadMeasure // default RelativeVolume
	// Lifts are the only ones that are counted; default all.
	Lifts []string
	// Start is day 1 of a plan with dates, on or before its first session and at most
	// ten years before it; default the plan's own. In a plan without dates day 1 is the first day of
	// week 1.
	Start time.Time
	// CountTest counts the attempts of a test day as load of that day. By
	// default its load is 0: it is there to be measured.
	CountTest bool
}

// DailyLoad is the load of a plan day by day, days without training being 0.
type DailyLoad struct {
	Measure LoadMeasure
	Unit    string    // of Load
	Start   time.Time // day 1; zero for a plan without dates
	// Load[0] is day 1. It ends with the last session, the test day included.
	Load []float64
	Test int // day of the test; 0 for none
	// Sets were counted; LeftOut were not, since they have no weight, or no
	// maximum to relate it to.
	Sets, LeftOut int
	// Method says in words what was counted, and what was not.
	Method string
}

// Date is the date of a day, 1 being the first; zero for a plan without dates.
func (d *DailyLoad) Date(day int) time.Time {
	if d.Start.IsZero() {
		return time.Time{}
	}
	return d.Start.AddDate(0, 0, day-1)
}

// Week is the load of a week's seven days, 1 being the first week.
func (d *DailyLoad) Week(week int) float64 {
	var s num.Sum
	for day := 7*(week-1) + 1; day <= 7*week; day++ {
		if day >= 1 && day <= len(d.Load) {
			s.Add(d.Load[day-1])
		}
	}
	return s.Value()
}

// mostYearsBefore is how long before a plan its day 1 may lie. Days further back are a year
// that was mistyped, and each of them is a number in memory.
const mostYearsBefore = 10

// Daily is the load of each day of a plan: the sum over the working sets of its
// sessions in one measure. Warm-up sets and sets left open are not counted.
//
// It returns an [*Error] for an unknown measure, a lift that the plan does not
// have, a start after the first session or more than ten years before it, and a plan without sessions.
func (p *Plan) Daily(o DailyOptions) (*DailyLoad, error) {
	if o.Measure == "" {
		o.Measure = RelativeVolume
	}
	if !slices.Contains(LoadMeasures(), o.Measure) {
		return nil, &Error{Where: "daily load", Msg: fmt.Sprintf("there is no measure %q: want %s or %s", string(o.Measure), RelativeVolume, TonnageLoad)}
	}
	for _, l := range o.Lifts {
		if !p.trains(l) {
			return nil, &Error{Where: "daily load", Msg: fmt.Sprintf("the plan has no work for %q", l)}
		}
	}
	if len(p.Sessions) == 0 {
		return nil, &Error{Where: "daily load", Msg: "the plan has no sessions"}
	}
	d := &DailyLoad{Measure: o.Measure}
	days := p.dayNumbers()
	if first, ok := p.firstSession(); ok {
		d.Start = o.Start
		if d.Start.IsZero() {
			d.Start = p.Start
		}
		if d.Start.IsZero() || d.Start.After(first) {
			return nil, &Error{Where: "daily load", Msg: fmt.Sprintf("want a start on or before the first session (%s), got %s",
				first.Format(time.DateOnly), d.Start.Format(time.DateOnly))}
		}
		if d.Start.Before(first.AddDate(-mostYearsBefore, 0, 0)) {
			return nil, &Error{Where: "daily load", Msg: fmt.Sprintf("want a start at most %d years before the first session (%s), got %s",
				mostYearsBefore, first.Format(time.DateOnly), d.Start.Format(time.DateOnly))}
		}
		for i := range p.Sessions {
			days[i] = daysBetween(d.Start, p.Sessions[i].Date) + 1
		}
	}
	sums := make([]sum, slices.Max(days))
	for i := range p.Sessions {
		ps := &p.Sessions[i]
		if ps.Kind == TestDay {
			d.Test = days[i]
			if !o.CountTest {
				continue
			}
		}
		a := &sums[days[i]-1]
		for k := range ps.Exercises {
			ex := &ps.Exercises[k]
			if len(o.Lifts) > 0 && !slices.Contains(o.Lifts, ex.Lift.Name) {
				continue
			}
			lm, _ := p.Max(ex.Lift.Name)
			body := p.bodyOf(ex.Lift)
			for j := range ex.Sets {
				s := &ex.Sets[j]
				if counts(s, lm, body, o.Measure) {
					a.add(s, lm, body, p.Unit)
					d.Sets++
				} else {
					d.LeftOut++
				}
			}
		}
	}
	d.Load = make([]float64, len(sums))
	for i := range sums {
		if t := sums[i].totals(); o.Measure == TonnageLoad {
			d.Load[i] = t.Tonnage
		} else {
			d.Load[i] = t.RelativeVolume
		}
	}
	d.describe(p.Unit, o)
	return d, nil
}

// counts reports whether a measure has a number for a set.
func counts(s *Set, lm *LiftMax, body plates.Mass, m LoadMeasure) bool {
	if s.Open || s.Reps == 0 {
		return false
	}
	if m == RelativeVolume {
		return s.HasLoad && lm != nil && lm.Max > 0
	}
	return s.HasLoad || body > 0
}

func (d *DailyLoad) describe(u plates.Unit, o DailyOptions) {
	switch d.Measure {
	case TonnageLoad:
		d.Unit = u.String()
		d.Method = "tonnage: the sum of repetitions times load over the day's working sets, counted bodyweight included"
	default:
		d.Unit = "repetitions at the maximum"
		d.Method = "relative volume load: the sum of repetitions times load/maximum over the day's working sets"
	}
	if len(o.Lifts) > 0 {
		d.Method += "; of " + wordList(o.Lifts) + " alone"
	}
	d.Method += "; days without training are 0"
	if d.Test > 0 {
		if o.CountTest {
			d.Method += "; the attempts of the test day count, its open one does not"
		} else {
			d.Method += "; the test day's own attempts do not count"
		}
	}
	if d.LeftOut > 0 {
		why := "without a weight"
		if d.Measure == RelativeVolume {
			why = "without a weight, or without a maximum to relate it to"
		}
		d.Method += fmt.Sprintf("; %d of %d sets are %s and do not count", d.LeftOut, d.Sets+d.LeftOut, why)
	}
}

func wordList(words []string) string {
	s := words[0]
	for i, w := range words[1:] {
		if i == len(words)-2 {
			s += " and " + w
		} else {
			s += ", " + w
		}
	}
	return s
}

// firstSession is the date of the first session; ok is false without dates.
func (p *Plan) firstSession() (first time.Time, ok bool) {
	for i := range p.Sessions {
		if d := p.Sessions[i].Date; !d.IsZero() && (!ok || d.Before(first)) {
			first, ok = d, true
		}
	}
	return first, ok
}

// trains reports whether any session has the lift.
func (p *Plan) trains(lift string) bool {
	return slices.ContainsFunc(p.Sessions, func(ps PlannedSession) bool {
		return slices.ContainsFunc(ps.Exercises, func(ex Exercise) bool { return ex.Lift.Name == lift })
	})
}

// daysBetween counts by the calendar: days are not always 24 hours long, and a duration
// holds no more than 292 years.
func daysBetween(from, to time.Time) int {
	days := func(t time.Time) int64 {
		y, m, d := t.Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / (24 * 60 * 60)
	}
	return int(days(to) - days(from))
}

// dayNumbers is the day of each session, 1 being the first day of week 1, as
// the calendar would place them in weeks that begin on a Monday. The test is
// the day after the last week.
func (p *Plan) dayNumbers() []int {
	at := dayOffsets(p.Block, time.Monday)
	out := make([]int, len(p.Sessions))
	for i := range p.Sessions {
		ps := &p.Sessions[i]
		if ps.Kind == TestDay {
			out[i] = 7*(ps.Week-1) + 1
			continue
		}
		out[i] = 7*(ps.Week-1) + 1
		for k := range p.Block.Sessions {
			// Two sessions of one name never share a week.
			if s := &p.Block.Sessions[k]; s.Name == ps.Name && s.Weeks.Has(min(ps.Week, p.Block.Weeks)) {
				out[i] += at[k]
			}
		}
	}
	return out
}

// PlanBlock is the plan of a block by itself, as [ReviewBlock] sees it: for
// nobody in particular, with one nominal maximum for every lift. Shares of a
// maximum, sets and days mean something, masses and tonnage do not. start and
// test date it as those of a roster do; both may be zero.
func PlanBlock(b *Block, start, test time.Time) (*Plan, error) {
	r := nominalRoster(b)
	r.Start, r.Test = start, test
	prog, err := Compile(b, r)
	if err != nil {
		return nil, err
	}
	p := prog.Plan(0)
	p.forgetMasses()
	return p, nil
}
