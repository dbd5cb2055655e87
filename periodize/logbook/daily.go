package logbook

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"github.com/blockwright/blockwright/internal/num"
	"github.com/blockwright/blockwright/periodize"
)

// SessionLoad is minutes times session RPE (0 to 10), summed over the day's
// sessions: what a log can say of a day's load and a plan cannot.
const SessionLoad periodize.LoadMeasure = "session-load"

// DailyOptions say which series is made of a log. The zero value works for a log
// of one lifter who was tested in one lift.
type DailyOptions struct {
	Lifter  string                // needed where the log has several
	Lift    string                // whose tests are the performance; needed where several were tested
	Measure periodize.LoadMeasure // default periodize.RelativeVolume
}

// Daily is a log day by day, for a model of load and performance.
type Daily struct {
	periodize.DailyLoad // Start is the first day of the log, Load ends with the last
	Lifter, Lift        string
	Tests               []DayTest // by day
}

// DayTest is the heaviest tested single of a day. A missed one is no test: it
// only says less than.
type DayTest struct {
	Day  int     // 1 is the first of the log
	Load float64 // in the reader's unit
}

// dayLift is what one lift adds to a day.
type dayLift struct {
	sets    int
	tonnage num.Sum // repetitions times load
	tested  float64 // heaviest tested single; 0 for none
}

// sessionKey is a session of a lifter.
type sessionKey struct {
	day  int32
	name string
}

// sessionSaid is what rows say of one session, the first value of each.
type sessionSaid struct{ minutes, effort *saidIn }

type saidIn struct {
	value float64
	line  int
}

// dailySum gathers one lifter's rows.
type dailySum struct {
	days      map[int]map[string]*dayLift
	sessions  map[sessionKey]*sessionSaid
	conflicts []*RowError // minutes or effort of one session given in several ways
}

// ReadDaily reads a log and makes the daily load of a lifter, days without
// training being 0, and the tests of a lift. Every set that was made counts,
// warm-ups too where the log has them.
//
//   - relative volume load relates each set to the heaviest test of its lift in
//     the log; sets of lifts without a test do not count;
//   - tonnage is the sum of repetitions times load;
//   - session load needs minutes and effort of every session.
//
// It returns the errors of the [Reader], a *BadRowsError where rows are bad and
// not to be skipped, and an *OptionError where the log does not have what the
// options name, or cannot tell.
func ReadDaily(r *Reader, o DailyOptions) (*Daily, error) {
	if o.Measure == "" {
		o.Measure = periodize.RelativeVolume
	}
	if choices := append(periodize.LoadMeasures(), SessionLoad); !slices.Contains(choices, o.Measure) {
		return nil, &OptionError{"measure", fmt.Sprintf("%q", string(o.Measure)), fmt.Sprintf("%s, %s or %s", choices[0], choices[1], choices[2])}
	}
	sums := map[string]*dailySum{}
	for row, err := range r.Rows() {
		var bad *RowError
		if errors.As(err, &bad) {
			continue // the reader's report has it
		}
		if err != nil {
			return nil, err
		}
		if o.Lifter != "" && row.Lifter != o.Lifter {
			if sums[row.Lifter] == nil {
				sums[row.Lifter] = nil // the name is enough
			}
			continue
		}
		s := sums[row.Lifter]
		if s == nil {
			s = &dailySum{days: map[int]map[string]*dayLift{}, sessions: map[sessionKey]*sessionSaid{}}
			sums[row.Lifter] = s
		}
		s.add(&row)
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	s, err := pick(sums, &o)
	if err != nil {
		return nil, err
	}
	return s.daily(r, o)
}

// pick finds the lifter that is meant.
func pick(sums map[string]*dailySum, o *DailyOptions) (*dailySum, error) {
	names := keys(sums)
	switch {
	case len(names) == 0:
		return nil, &OptionError{"log", "no rows", "a log with rows"}
	case o.Lifter == "" && len(names) == 1:
		o.Lifter = names[0]
	case o.Lifter == "":
		return nil, &OptionError{"lifter", "none", "one of " + quotedList(names)}
	case sums[o.Lifter] == nil:
		return nil, &OptionError{"lifter", fmt.Sprintf("%q", o.Lifter), "one of " + quotedList(names)}
	}
	return sums[o.Lifter], nil
}

// quotedList names at most a dozen.
func quotedList(names []string) string {
	const most = 12
	s := ""
	for i, n := range names {
		if i == most {
			return s + fmt.Sprintf(" or %d more", len(names)-most)
		}
		if i > 0 {
			s += ", "
		}
		s += fmt.Sprintf("%q", n)
	}
	return s
}

func (s *dailySum) add(row *Row) {
	lifts := s.days[row.Day]
	if lifts == nil {
		lifts = map[string]*dayLift{}
		s.days[row.Day] = lifts
	}
	d := lifts[row.Lift]
	if d == nil {
		d = &dayLift{}
		lifts[row.Lift] = d
	}
	if row.Reps > 0 {
		n := float64(row.Reps) * float64(row.Count)
		d.sets += row.Count
		d.tonnage.Add(n * row.Load)
		if row.Tested && row.Reps == 1 {
			d.tested = max(d.tested, row.Load)
		}
	}
	key := sessionKey{int32(row.Day), row.Session}
	x := s.sessions[key]
	if x == nil {
		x = &sessionSaid{}
		s.sessions[key] = x
	}
	s.say(row, "minutes", &x.minutes, row.Minutes)
	s.say(row, "effort", &x.effort, row.Effort)
}

// say keeps the first value of a session; another one is a conflict.
func (s *dailySum) say(row *Row, field string, first **saidIn, v *float64) {
	switch {
	case v == nil:
	case *first == nil:
		*first = &saidIn{*v, row.Line}
	case (*first).value != *v:
		s.conflicts = append(s.conflicts, &RowError{File: row.File, Line: row.Line, Field: field, Got: fmt.Sprint(*v),
			Want: fmt.Sprintf("want one value a session; line %d has %v", (*first).line, (*first).value)})
	}
}

// daily makes the series.
func (s *dailySum) daily(r *Reader, o DailyOptions) (*Daily, error) {
	days := keys(s.days)
	first, last := days[0], days[len(days)-1]
	const most = 40 * 366
	if last-first >= most {
		return nil, &OptionError{"log", fmt.Sprintf("%d", last-first+1), fmt.Sprintf("at most %d days from first to last", most)}
	}
	top := map[string]float64{} // heaviest test by lift
	for _, lifts := range s.days {
		for name, d := range lifts {
			if d.tested > 0 {
				top[name] = max(top[name], d.tested)
			}
		}
	}
	tested := keys(top)
	switch {
	case o.Lift == "" && len(tested) == 1:
		o.Lift = tested[0]
	case o.Lift == "" && len(tested) > 1:
		return nil, &OptionError{"lift", "none", "one of those that were tested: " + quotedList(tested)}
	case len(tested) == 0:
		return nil, &OptionError{"log", "none of " + o.Lifter, "tested singles: rows with 1 in the column tested, one repetition and a load"}
	case top[o.Lift] == 0:
		return nil, &OptionError{"lift", fmt.Sprintf("%q", o.Lift), "one of those that were tested: " + quotedList(tested)}
	}
	d := &Daily{Lifter: o.Lifter, Lift: o.Lift}
	d.Measure, d.Start = o.Measure, DateOf(first)
	d.Load = make([]float64, last-first+1)
	for _, day := range days {
		var sum num.Sum
		for _, name := range keys(s.days[day]) {
			x := s.days[day][name]
			switch {
			case o.Measure == periodize.RelativeVolume && top[name] == 0:
				d.LeftOut += x.sets
				continue
			case o.Measure == periodize.RelativeVolume:
				sum.Add(x.tonnage.Value() / top[name])
			default:
				sum.Add(x.tonnage.Value())
			}
			d.Sets += x.sets
		}
		d.Load[day-first] = sum.Value()
		if x := s.days[day][o.Lift]; x != nil && x.tested > 0 {
			d.Tests = append(d.Tests, DayTest{day - first + 1, x.tested})
		}
	}
	switch o.Measure {
	case periodize.TonnageLoad:
		d.Unit = r.Unit().String()
		d.Method = "tonnage: the sum of repetitions times load over the day's sets"
	case SessionLoad:
		if n := len(s.conflicts); n > 0 && !r.skipBad {
			return nil, &BadRowsError{Bad: int64(n), Rows: int64(len(s.sessions)), Listed: s.conflicts[:min(n, r.opt.listed)]}
		}
		if err := s.sessionLoads(d, first); err != nil {
			return nil, err
		}
	default:
		d.Unit = "repetitions at the heaviest test"
		d.Method = "relative volume load: the sum of repetitions times load over the heaviest test of the lift in the log"
		if d.LeftOut > 0 {
			d.Method += fmt.Sprintf("; %d of %d sets are of lifts without a test and do not count", d.LeftOut, d.Sets+d.LeftOut)
		}
	}
	d.Method += "; days without training are 0"
	if o.Measure != SessionLoad {
		d.Method += "; warm-ups count where the log has them"
	}
	return d, nil
}

// sessionLoads replaces the series by minutes times effort.
func (s *dailySum) sessionLoads(d *Daily, first int) error {
	clear(d.Load)
	lacking := 0
	list := make([]sessionKey, 0, len(s.sessions))
	for k := range s.sessions {
		list = append(list, k)
	}
	slices.SortFunc(list, func(a, b sessionKey) int { return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.name, b.name)) })
	for _, k := range list {
		x := s.sessions[k]
		if x.minutes == nil || x.effort == nil {
			lacking++
			continue
		}
		d.Load[int(k.day)-first] += x.minutes.value * x.effort.value
	}
	if lacking > 0 {
		return &OptionError{"measure", fmt.Sprintf("%d of %d sessions without", lacking, len(list)), "minutes and effort of every session for the session load, or another measure"}
	}
	d.Unit = "minutes x effort"
	d.Method = "session load: minutes times session RPE (0 to 10), summed over the day's sessions"
	return nil
}
