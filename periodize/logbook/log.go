package logbook

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

// LogOptions say how a [Summary] is written out. The zero value works.
type LogOptions struct {
	AsOf     time.Time               // maxima are for this day, and later rows do not count for them; zero is the last day of the log
	Gap      int                     // days without training that are listed; 0 is 14
	SD       workload.SD             // of monotony and strain; default the sample one
	Tracker  estimate.TrackerOptions // of the maxima
	NoMaxima bool                    // leave the maxima out, which take longest
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
	Days        int // of training
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
	// Max is the maximum on the log's AsOf, and Track how it moved; nil where the sets do not tell, and Why says so.
	Max   *estimate.Estimate
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

// Log writes the summary out. The error is of the tracker's options.
func (s *Summary) Log(opt LogOptions) (*Log, error) {
	if opt.Gap == 0 {
		opt.Gap = 14
	}
	if opt.Gap < 1 {
		return nil, &OptionError{"gap", fmt.Sprint(opt.Gap), "1 day or more"}
	}
	out := &Log{Unit: s.unit, Rows: s.rows, Conflicts: s.conflicts()}
	asOf, any := s.lastDay()
	if any {
		out.AsOf = DateOf(int(asOf))
	}
	if !opt.AsOf.IsZero() {
		out.AsOf = opt.AsOf
		asOf = int32(DayOf(opt.AsOf))
	}
	for _, name := range keys(s.lifters) {
		l := s.lifters[name]
		ll := LifterLog{Name: name, Days: len(l.days)}
		if n := len(l.days); n > 0 {
			ll.First, ll.Last = DateOf(int(l.days[0])), DateOf(int(l.days[n-1]))
		}
		for i := 1; i < len(l.days); i++ {
			if d := int(l.days[i]-l.days[i-1]) - 1; d >= opt.Gap {
				ll.Gaps = append(ll.Gaps, Gap{DateOf(int(l.days[i-1])), DateOf(int(l.days[i])), d})
			}
		}
		for _, lift := range keys(l.lifts) {
			x, err := l.lifts[lift].log(opt, asOf)
			if err != nil {
				return nil, fmt.Errorf("logbook: %s, %s: %w", name, lift, err)
			}
			x.Lift = lift
			ll.Lifts = append(ll.Lifts, x)
		}
		var err error
		if ll.Weeks, err = l.weekLogs(opt.SD); err != nil {
			return nil, err
		}
		out.Lifters = append(out.Lifters, ll)
	}
	return out, nil
}

func (s *Summary) lastDay() (day int32, ok bool) {
	for _, l := range s.lifters {
		if n := len(l.days); n > 0 && (!ok || l.days[n-1] > day) {
			day, ok = l.days[n-1], true
		}
	}
	return day, ok
}

// AsOf is the last day of the log; false for an empty one.
func (s *Summary) AsOf() (time.Time, bool) {
	d, ok := s.lastDay()
	return DateOf(int(d)), ok
}

func (x *liftSum) log(opt LogOptions, asOf int32) (LiftLog, error) {
	out := LiftLog{Sets: x.sets, Missed: x.missed, Reps: x.reps, Tonnage: x.tonnage.Value()}
	reps := keys(x.bests)
	top := -1.0
	for i := len(reps) - 1; i >= 0; i-- {
		if b := x.bests[reps[i]]; b.load > top {
			top = b.load
			out.Bests = append([]Best{{int(reps[i]), b.load, DateOf(int(b.day))}}, out.Bests...)
		}
	}
	if n := len(x.days); n > 0 {
		out.Last = DateOf(int(x.days[n-1].day))
	}
	if opt.NoMaxima {
		return out, nil
	}
	sets := x.history(firstDay-7, asOf)
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
			out.Why += fmt.Sprintf("; at least %.1f", bound.AtLeast)
		}
		return out, nil
	case err != nil:
		return out, err
	}
	e, err := t.At(float64(asOf))
	if err != nil {
		return out, err
	}
	out.Max, out.Track = &e, t
	return out, nil
}

// history is the sets kept of the days from one to another, as the tracker wants them.
func (x *liftSum) history(from, to int32) []estimate.Set {
	var out []estimate.Set
	for i := range x.days {
		d := &x.days[i]
		if d.day < from || d.day > to {
			continue
		}
		measured := &d.set[keepMeasured]
		for _, k := range [...]int{keepLower, keepMeasured, keepMissed} {
			set := &d.set[k]
			switch {
			case set.value == 0:
				continue
			case k == keepLower && set.value <= measured.value:
				continue // says nothing that the day does not say already
			case k == keepMissed && (set.load <= measured.load || set.load <= d.set[keepLower].load):
				continue // lifted on the same day: a slip, not a limit
			}
			e := estimate.Set{Load: set.load, Reps: float64(set.reps), Day: float64(d.day), Tested: set.tested}
			if set.rir >= 0 {
				e.RIR = set.rir
			} else {
				e.NoRIR = true
			}
			if k == keepMissed {
				e.Tested = false
			}
			out = append(out, e)
		}
	}
	return out
}

// weekLogs is the weeks of a lifter, in order.
func (l *lifterSum) weekLogs(sd workload.SD) ([]WeekLog, error) {
	type load struct {
		days     [7]float64
		all, has int
	}
	loads := map[int32]*load{}
	for _, k := range l.sessionKeys() {
		u := l.sessions[k]
		week := weekOf(k.day)
		w := loads[week]
		if w == nil {
			w = &load{}
			loads[week] = w
		}
		w.all++
		if len(u.minutes) == 0 || len(u.effort) == 0 {
			continue
		}
		v, err := workload.SessionLoad(u.effort[0].value, u.minutes[0].value)
		if err != nil {
			return nil, err
		}
		w.has++
		w.days[k.day-week] += v
	}
	var out []WeekLog
	for _, week := range keys(l.weeks) {
		w := l.weeks[week]
		x := WeekLog{WeekOf: DateOf(int(week)), Sets: w.sets, Reps: w.reps, Tonnage: w.tonnage.Value()}
		if ld := loads[week]; ld != nil {
			x.Sessions, x.Rated = ld.all, ld.has
			if ld.has > 0 {
				wk, err := workload.NewWeek(ld.days[:], sd)
				if err != nil {
					return nil, err
				}
				x.Load = &wk.Load
				if ld.has == ld.all {
					x.Week = &wk
				}
			}
		}
		out = append(out, x)
	}
	return out, nil
}

type logWeekJSON struct {
	Lifter   string   `json:"lifter"`
	WeekOf   string   `json:"week_of"`
	Sets     int64    `json:"sets"`
	Reps     int64    `json:"reps"`
	Tonnage  float64  `json:"tonnage"`
	Load     *float64 `json:"load"`
	Monotony *float64 `json:"monotony"`
	Strain   *float64 `json:"strain"`
}

type logLiftJSON struct {
	Lift    string        `json:"lift"`
	Sets    int64         `json:"sets"`
	Reps    int64         `json:"reps"`
	Missed  int64         `json:"missed"`
	Tonnage float64       `json:"tonnage"`
	Max     *float64      `json:"max"`
	Low     *float64      `json:"low"`
	High    *float64      `json:"high"`
	AsOf    *string       `json:"as_of"`
	Bests   []logBestJSON `json:"bests"`
	Why     *string       `json:"why"`
}

type logBestJSON struct {
	Reps int     `json:"reps"`
	Load float64 `json:"load"`
	Date string  `json:"date"`
}

type logGapJSON struct {
	From string `json:"from"`
	To   string `json:"to"`
	Days int    `json:"days"`
}

type logLifterJSON struct {
	Name  string        `json:"name"`
	Days  int           `json:"days"`
	Lifts []logLiftJSON `json:"lifts"`
	Gaps  []logGapJSON  `json:"gaps"`
}

func date(t time.Time) string { return t.Format(time.DateOnly) }

// MarshalJSON writes the log in the form that `log --json` prints.
func (l *Log) MarshalJSON() ([]byte, error) {
	o := struct {
		Unit    string          `json:"unit"`
		Rows    int64           `json:"rows"`
		Skipped int64           `json:"skipped"`
		AsOf    *string         `json:"as_of"`
		Lifters []logLifterJSON `json:"lifters"`
		Weeks   []logWeekJSON   `json:"weeks"`
	}{Unit: l.Unit.String(), Rows: l.Rows, Skipped: l.Skipped, Lifters: []logLifterJSON{}, Weeks: []logWeekJSON{}}
	if !l.AsOf.IsZero() {
		o.AsOf = optional(date(l.AsOf))
	}
	for _, p := range l.Lifters {
		j := logLifterJSON{Name: p.Name, Days: p.Days, Lifts: []logLiftJSON{}, Gaps: []logGapJSON{}}
		for _, x := range p.Lifts {
			lj := logLiftJSON{Lift: x.Lift, Sets: x.Sets, Reps: x.Reps, Missed: x.Missed, Tonnage: x.Tonnage, Bests: []logBestJSON{}, Why: optional(x.Why)}
			if x.Max != nil {
				lj.Max, lj.Low, lj.High, lj.AsOf = &x.Max.Max, &x.Max.Low, &x.Max.High, o.AsOf
			}
			for _, b := range x.Bests {
				lj.Bests = append(lj.Bests, logBestJSON{b.Reps, b.Load, date(b.Date)})
			}
			j.Lifts = append(j.Lifts, lj)
		}
		for _, g := range p.Gaps {
			j.Gaps = append(j.Gaps, logGapJSON{date(g.From), date(g.To), g.Days})
		}
		o.Lifters = append(o.Lifters, j)
		for _, w := range p.Weeks {
			wj := logWeekJSON{Lifter: p.Name, WeekOf: date(w.WeekOf), Sets: w.Sets, Reps: w.Reps, Tonnage: w.Tonnage, Load: w.Load}
			if w.Week != nil && w.Week.Monotony.Defined() {
				wj.Monotony, wj.Strain = &w.Week.Monotony.Value, &w.Week.Strain.Value
			}
			o.Weeks = append(o.Weeks, wj)
		}
	}
	return json.Marshal(o)
}
