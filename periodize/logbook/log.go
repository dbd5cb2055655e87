package logbook

import (
	"errors"
	"fmt"
	"iter"
	"math"
	"slices"
	"time"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

// LogOptions say how a [Summary] is written out. The zero value works.
type LogOptions struct {
	AsOf     time.Time               // the day that maxima are for, that of the last row or later; zero is that of the last row
	Gap      int                     // days without training that are listed; 0 is 14
	SD       workload.SD             // of monotony and strain; default the sample one
	Tracker  estimate.TrackerOptions // of the maxima
	NoMaxima bool                    // leave the maxima out, which take longest
	NoTracks bool                    // leave LiftLog.Track out, which takes most memory
}

// Log is what a summary shows.
type Log struct {
	Unit      plates.Unit
	Rows      int64     // good ones
	Skipped   int64     // bad rows left out; the caller's to fill in from the reader's report
	AsOf      time.Time // zero for an empty log
	Lifters   []LifterLog
	Conflicts []*RowError // sessions whose minutes or effort are given in several ways; the first counts
}

// LifterLog is one lifter, by name.
type LifterLog struct {
	Name        string
	First, Last time.Time
	AsOf        time.Time // that of the log
	Days        int       // of training
	Lifts       []LiftLog
	Weeks       []WeekLog
	Gaps        []Gap
}

// LiftLog is one lift of a lifter, by name.
type LiftLog struct {
	Lift    string
	Sets    int64   // made
	Missed  int64   // attempts that were not made
	Reps    int64   // made
	Tonnage float64 // load x repetitions, in the unit of the log
	// Bests are the heaviest loads, by repetitions; those that a heavier set of as many repetitions or
	// more beats are left out.
	Bests []Best
	// Far is the heaviest load where it is so far beyond every other that it may be a slip of the pen: over twice
	// the heaviest other and 20 kg more, of four sets or more (common practice, no published source). It counts all
	// the same, in Max too. Nil where there is none.
	Far *FarLoad
	// Max is the maximum on the log's AsOf, Moves and Track how it moved; nil where the sets do not tell, and Why says so.
	Max   *estimate.Estimate
	Moves []Move
	Track *estimate.Tracking
	// Last is the day of the last set that says something of the maximum.
	Last time.Time
	Why  string
}

// Best is the heaviest set of a number of repetitions.
type Best struct {
	Reps int       // made
	Load float64   // in the unit of the log
	Date time.Time // when it was first lifted
}

// FarLoad is a load far beyond everything else of a lifter's lift.
type FarLoad struct {
	Best
	Next float64 // the heaviest other load, in the unit of the log
}

// Move is a maximum on a day that tells something of it, as all the sets together have it, with its interval. The last
// one is of the log's day.
type Move struct {
	Date           time.Time // a day with a set that tells, or the log's
	Max, Low, High float64   // in the unit of the log
}

// WeekLog is a week, Monday to Sunday, of a lifter.
type WeekLog struct {
	WeekOf  time.Time // its Monday
	Sets    int64     // made
	Reps    int64     // made
	Tonnage float64   // load x repetitions, in the unit of the log
	// Load is the sum of the session loads, effort times minutes; nil where no session gives both. Sessions
	// counts those of the week and Rated those that give both. Week has monotony and strain, and
	// is nil unless all sessions are rated.
	Load            *float64
	Sessions, Rated int
	Week            *workload.Week
}

// Gap is a time without training.
type Gap struct {
	From, To time.Time // the days of training before and after it
	Days     int       // between them
}

// Log writes the summary out. Errors are of the options: an *OptionError, or one of the tracker. A summary
// of the rows up to a day is one that no later rows were added to.
func (s *Summary) Log(opt LogOptions) (*Log, error) {
	asOf, err := s.settle(&opt)
	if err != nil {
		return nil, err
	}
	out := &Log{Unit: s.unit, Rows: s.rows, Conflicts: s.conflicts(), AsOf: asOf}
	for x, err := range s.LifterLogs(opt) {
		if err != nil {
			return nil, err
		}
		out.Lifters = append(out.Lifters, *x)
	}
	return out, nil
}

// LifterLogs goes through what [Summary.Log] shows of each lifter, by name, one at a time: where there are many, their
// maxima are not all held at once.
func (s *Summary) LifterLogs(opt LogOptions) iter.Seq2[*LifterLog, error] {
	return func(yield func(*LifterLog, error) bool) {
		asOf, err := s.settle(&opt)
		if err != nil {
			yield(nil, err)
			return
		}
		for _, name := range keys(s.lifters) {
			x, err := s.lifters[name].log(s, opt, asOf)
			if err != nil {
				err = fmt.Errorf("logbook: %s: %w", name, err)
				x = nil
			} else {
				x.Name = name
			}
			if !yield(x, err) {
				return
			}
		}
	}
}

// settle checks the options, fills in the defaults and gives the day to look from; zero for an empty log.
func (s *Summary) settle(opt *LogOptions) (time.Time, error) {
	if opt.Gap == 0 {
		opt.Gap = 14
	}
	if opt.Gap < 1 {
		return time.Time{}, &OptionError{"gap", fmt.Sprint(opt.Gap), "1 day or more"}
	}
	last, any := s.AsOf()
	switch {
	case opt.AsOf.IsZero() && any:
		return last, nil
	case any && opt.AsOf.Before(last):
		return time.Time{}, &OptionError{"as_of", date(opt.AsOf), date(last) + ", the day of the last row, or later"}
	}
	return opt.AsOf, nil
}

func (l *lifterSum) log(s *Summary, opt LogOptions, asOf time.Time) (*LifterLog, error) {
	out := &LifterLog{AsOf: asOf}
	last := int32(0)
	for i, u := range l.sessions {
		if i > 0 && u.day == last {
			continue
		}
		if d := int(u.day-last) - 1; i > 0 && d >= opt.Gap {
			out.Gaps = append(out.Gaps, Gap{DateOf(int(last)), DateOf(int(u.day)), d})
		}
		last = u.day
		out.Days++
	}
	if n := len(l.sessions); n > 0 {
		out.First, out.Last = DateOf(int(l.sessions[0].day)), DateOf(int(last))
	}
	for _, lift := range keys(l.lifts) {
		x, err := s.liftLog(l.lifts[lift], opt, asOf)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", lift, err)
		}
		x.Lift = lift
		out.Lifts = append(out.Lifts, x)
	}
	var err error
	out.Weeks, err = l.weekLogs(opt.SD)
	return out, err
}

// AsOf is the last day of the log; false for an empty one.
func (s *Summary) AsOf() (day time.Time, ok bool) {
	last := int32(0)
	for _, l := range s.lifters {
		if n := len(l.sessions); n > 0 && (!ok || l.sessions[n-1].day > last) {
			last, ok = l.sessions[n-1].day, true
		}
	}
	if !ok {
		return time.Time{}, false
	}
	return DateOf(int(last)), true
}

func (s *Summary) liftLog(x *liftSum, opt LogOptions, asOf time.Time) (LiftLog, error) {
	out := LiftLog{Sets: x.sets, Missed: x.missed, Reps: x.reps, Tonnage: x.tonnage.Value()}
	top := -1.0
	for i := len(x.bests) - 1; i >= 0; i-- {
		if b := x.bests[i]; b.load > top {
			top = b.load
			out.Bests = append(out.Bests, Best{int(b.reps), b.load, DateOf(int(b.day))})
		}
	}
	slices.Reverse(out.Bests)
	out.Far = x.far(out.Bests, s.unit)
	if n := len(x.kept); n > 0 {
		out.Last = DateOf(int(x.kept[n-1].day))
	}
	if opt.NoMaxima || s.work {
		return out, nil
	}
	sets := s.history(x)
	refute(sets, math.Inf(1), 2)
	if len(sets) == 0 {
		out.Why = "no set with a load"
		return out, nil
	}
	t, err := estimate.Track(sets, opt.Tracker)
	var bound *estimate.BoundOnlyError
	switch {
	case errors.As(err, &bound):
		out.Why = "no set says how near to failure it was"
		if bound.AtLeast > 0 {
			out.Why += fmt.Sprintf("; at least %.1f %s", bound.AtLeast, s.unit)
		}
		return out, nil
	case err != nil:
		return out, err
	}
	e, err := t.At(float64(DayOf(asOf)))
	if err != nil {
		return out, err
	}
	out.Max = &e
	if out.Moves, err = moves(t, &e, asOf); err != nil {
		return out, err
	}
	if !opt.NoTracks {
		out.Track = t
	}
	return out, nil
}

// What makes a load far from the others: so many times the heaviest other, so much more, and so many sets in all, fewer
// of which say little. Common practice, no published source.
const (
	farTimes = 2
	farKG    = 20
	farSets  = 4
)

// far is the heaviest of a lift's bests where it lies far from all others.
func (x *liftSum) far(bests []Best, unit plates.Unit) *FarLoad {
	top, next := x.heavy[0], x.heavy[1]
	if x.sets < farSets || !(next > 0 && top > farTimes*next) || in(top-next, unit, plates.KG) <= farKG {
		return nil
	}
	for _, b := range bests {
		if b.Load == top {
			return &FarLoad{b, next}
		}
	}
	return nil
}

func moves(t *estimate.Tracking, e *estimate.Estimate, asOf time.Time) ([]Move, error) {
	out := make([]Move, 0, len(t.Points)+1)
	for i := range t.Points {
		p := &t.Points[i]
		low, high, err := p.All.Interval(e.Coverage)
		if err != nil {
			return nil, err
		}
		m := Move{DateOf(int(p.Set.Day)), p.All.Max(), low, high}
		if n := len(out); n > 0 && out[n-1].Date.Equal(m.Date) {
			out[n-1] = m
		} else {
			out = append(out, m)
		}
	}
	if out[len(out)-1].Date.Before(asOf) {
		out = append(out, Move{asOf, e.Max, e.Low, e.High})
	}
	return out, nil
}

// history is the sets kept, as the tracker wants them.
func (s *Summary) history(x *liftSum) []estimate.Set {
	out := make([]estimate.Set, 0, len(x.kept))
	for i := 0; i < len(x.kept); {
		var day [kept]*keptSet
		for on := x.kept[i].day; i < len(x.kept) && x.kept[i].day == on; i++ {
			day[x.kept[i].kind] = &x.kept[i]
		}
		m, low, miss := day[keepMeasured], day[keepLower], day[keepMissed]
		if low != nil && m != nil && s.value(*low) <= s.value(*m) {
			low = nil // says nothing that the day does not say already
		}
		if miss != nil && (m != nil && miss.load <= m.load || day[keepLower] != nil && miss.load <= day[keepLower].load) {
			miss = nil // lifted on the same day: a slip, not a limit
		}
		for _, k := range []*keptSet{m, low, miss} {
			if k == nil {
				continue
			}
			e := estimate.Set{Load: k.load, Reps: float64(k.reps), Day: float64(k.day), Tested: k.tested}
			if e.RIR = k.reserve(); e.RIR < 0 {
				e.RIR, e.NoRIR = 0, true
			}
			out = append(out, e)
		}
	}
	return out
}

// weekLogs is the weeks of a lifter, in order.
func (l *lifterSum) weekLogs(sd workload.SD) ([]WeekLog, error) {
	out := make([]WeekLog, 0, len(l.weeks))
	next := 0
	for _, w := range l.weeks {
		x := WeekLog{WeekOf: DateOf(int(w.monday)), Sets: w.sets, Reps: w.reps, Tonnage: w.tonnage.Value()}
		var days [7]float64
		for ; next < len(l.sessions) && l.sessions[next].day < w.monday+7; next++ {
			u := l.sessions[next]
			if u.day < w.monday {
				continue // of no week: a summary that was not written by this package
			}
			x.Sessions++
			if u.rated == 0 {
				continue
			}
			r := &l.rated[u.rated-1]
			if r.minutes.file == 0 || r.effort.file == 0 {
				continue
			}
			v, err := workload.SessionLoad(r.effort.value, r.minutes.value)
			if err != nil {
				return nil, err
			}
			x.Rated++
			days[u.day-w.monday] += v
		}
		if x.Rated > 0 {
			wk, err := workload.NewWeek(days[:], sd)
			if err != nil {
				return nil, err
			}
			x.Load = &wk.Load
			if x.Rated == x.Sessions {
				x.Week = &wk
			}
		}
		out = append(out, x)
	}
	return out, nil
}
