package logbook

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/blockwright/blockwright/internal/spelling"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// NextOptions say how a [Next] concludes. The zero value works.
type NextOptions struct {
	AsOf time.Time   // the day to conclude on; rows after it do not count. Zero is the last day of the log
	Unit plates.Unit // of the rows' Load; PlanNext takes the reader's
	// Aside is who may be in the log without being on the roster, others of the same gym for instance: their rows are
	// passed over, and nothing is said of them.
	Aside []string
}

// Next holds a log against a plan: what was done of it, what the maxima are now, and
// the roster to go on with. Feed it the log with Add; it keeps the rows of the roster's lifters that lie in the time of
// the plan or tell of a maximum, and of others how many there were. The zero value has no
// program: it counts rows and gives no result.
type Next struct {
	p      *periodize.Program
	opt    NextOptions
	index  map[string]int // of the roster's lifters
	logs   []lifterRows   // by lifter
	others map[string]int64
	dated  bool
	start  int // days of a plan with dates: the first of the first week, the last with a session
	end    int
	until  int // the last day that counts
	last   int
	any    bool
	days   map[int]int // rows by day
}

// A row is of the plan from so many days before its first week to so many after its last session: sessions
// are moved, and what is older or younger is of another run. Common practice, no published source.
const (
	daysEarly = 6
	daysLate  = 14
)

// lifterRows is one lifter's part of the log.
type lifterRows struct {
	from int // the first day that is kept
	n    int // rows, those that are not kept too
	kept []keptRow
	sets []daySets // by day
}

// daySets is how many sets were made on a day.
type daySets struct{ day, sets int32 }

// keptRow is what is kept of a row.
type keptRow struct {
	lift, session          string
	rir, written           float64
	day                    int
	week, reps, count, set int16 // set is 0 where not numbered
	unit                   plates.Unit
	tested                 bool
}

// NewNext is a Next for the lifters of a program.
func NewNext(p *periodize.Program, opt NextOptions) *Next {
	n := &Next{p: p, opt: opt, index: map[string]int{}, others: map[string]int64{}, until: math.MaxInt}
	if !opt.AsOf.IsZero() {
		n.until = DayOf(opt.AsOf)
	}
	if p.Len() > 0 {
		if plan := p.Plan(0); !plan.Start.IsZero() {
			n.dated, n.start, n.end = true, DayOf(plan.Start), DayOf(plan.Start)
			for i := range plan.Sessions {
				n.end = max(n.end, DayOf(plan.Sessions[i].Date))
			}
		}
	}
	n.logs = make([]lifterRows, len(p.Roster().Lifters))
	for i := range p.Roster().Lifters {
		l := &p.Roster().Lifters[i]
		n.index[l.Name] = i
		n.logs[i].from = math.MinInt
		if n.dated {
			n.logs[i].from = n.start - daysEarly
			for k := range l.Maxes {
				if day, ok := heldOn(&l.Maxes[k]); ok {
					n.logs[i].from = min(n.logs[i].from, day+1)
				}
			}
		}
	}
	return n
}

// Add adds a row, in any order. Rows of people who are not on the roster are counted. The error is an *OptionError for
// numbers out of bounds; such a row is not added.
func (n *Next) Add(r *Row) error {
	if err := r.check(); err != nil {
		return err
	}
	i, ok := n.index[r.Lifter]
	if !ok {
		if n.others == nil {
			n.others = map[string]int64{}
		}
		n.others[r.Lifter]++
		return nil
	}
	if r.Day > n.until {
		return nil
	}
	if !n.any || r.Day > n.last {
		n.last, n.any = r.Day, true
	}
	if n.days == nil {
		n.days = map[int]int{}
	}
	n.days[r.Day]++
	l := &n.logs[i]
	l.n++
	day := seat(&l.sets, int64(r.Day), func(d *daySets) int64 { return int64(d.day) }, daySets{day: int32(r.Day)})
	if r.Reps > 0 {
		day.sets += int32(max(r.Count, 1))
	}
	if r.Day >= l.from {
		written, unit := r.Written, r.Unit
		if written == 0 {
			written, unit = r.Load, n.opt.Unit
		}
		l.kept = append(l.kept, keptRow{lift: r.Lift, session: r.Session, rir: r.RIR, written: written, day: r.Day,
			week: int16(r.Week), reps: int16(r.Reps), count: int16(r.Count), set: int16(r.Set), unit: unit, tested: r.Tested})
	}
	return nil
}

// NextResult is what follows from plan and log.
type NextResult struct {
	AsOf time.Time // zero where the log has no row of the roster's lifters
	Unit plates.Unit
	// Week is the week that adjustments are for, the first that has not begun; 0 where there is none.
	Week     int
	Finished bool // every session of the plan has passed
	Lifters  []NextLifter
	// Roster is the roster to go on with: that of the program with the new maxima, adjustments and what was done
	// lately. Once the plan is finished it is one for the next run: without start, test day and
	// adjustments, which belong to the weeks of the old one.
	Roster *periodize.Roster
	Path   string // where Roster was written; the caller's to fill in
	Notes  []string
}

// NextLifter is one lifter of the roster, in its order.
type NextLifter struct {
	Name      string
	Unit      plates.Unit // of the lifter's gym
	Rows      int         // of the log up to AsOf
	Outside   int         // of them from before or after the time of the plan
	Unmatched int         // of them in the time of the plan, of no planned exercise
	Due, Done int         // planned sets up to AsOf, and how many of them were begun
	Share     *float64    // of the repetitions that were due, set by set; nil where nothing was due
	Lifts     []LiftDone  // in the order of the plan
	Sessions  []SessionDone
	Changes   []MaxChange
	Adjust    []periodize.Adjustment // new ones
	Notes     []string
}

// Work is planned work and what was done of it.
type Work struct {
	Sets, DoneSets       int     // sets planned, and of them matched by sets done
	MoreSets             int     // done beyond them
	Reps, DoneReps       int     // planned, of a range the fewest, and done in the matched sets
	Tonnage, DoneTonnage float64 // load x repetitions, planned and done in the matched sets
	// Share is done of due: of each planned set the repetitions that were done in the set matched with it, at most all; a set
	// without repetitions counts as begun or not.
	Share float64
	// Weight is what was on the bar over what was planned, weighed by repetitions; nil where no
	// matched set has both.
	Weight *float64

	credit, loads, weight float64
}

// LiftDone is the work of one lift, over all sessions that were due.
type LiftDone struct {
	Lift string
	Work
}

// SessionDone is the work of one session that was due.
type SessionDone struct {
	Week int // of the block, from 1
	Name string
	Date time.Time // zero in a plan without dates
	Work
}

// MaxChange is what becomes of a maximum. Masses count the share of bodyweight where the lift does; Entry is the
// number that goes on the roster, without it.
type MaxChange struct {
	Lift      string
	Was, Now  plates.Mass
	Low, High plates.Mass // interval of Now, with Coverage
	Coverage  float64
	Entry     plates.Mass
	Changed   bool // up or down; false where it is kept
	Day       int  // of the last set that was counted; 0 where none was
	Capped    bool // held back because one day's sets alone spoke for more
	Why       string
}

// MatchError says that rows cannot be put against a plan.
type MatchError struct {
	Lifter string
	Rows   int // how many
}

func (e *MatchError) Error() string {
	return fmt.Sprintf("logbook: %s: %d rows name no week and the plan has no dates; give the plan a start or the log a column week", e.Lifter, e.Rows)
}

// lateDays and lateRows: the last day of a log that lies so many days after all others, with so few rows, is taken for
// a typing error. Common practice, no published source.
const lateDays, lateRows = 56, 3

// LateError says that a few rows lie so long after all others that their date must be mistyped: what they would
// conclude, that the plan is over and everything of it missed, is not concluded without being told the day.
type LateError struct {
	Day, Before time.Time // of the late rows, the first of them; of the last row before
	Rows, Of    int       // late rows, of all
}

func (e *LateError) Error() string {
	return fmt.Sprintf("logbook: %s of %d, dated %s, lies %d weeks after the one before, %s: mend the date, or say up to which day to conclude", plural(e.Rows, "row"), e.Of,
		date(e.Day), int(e.Day.Sub(e.Before).Hours()/24/7), date(e.Before))
}

// late is the error of a few rows that lie long after all others.
func (n *Next) late() error {
	days := keys(n.days)
	all := 0
	for _, rows := range n.days {
		all += rows
	}
	rows := 0
	for i := len(days) - 1; i > 0; i-- {
		if rows += n.days[days[i]]; rows > lateRows || 10*rows > all {
			return nil
		}
		if days[i]-days[i-1] > lateDays {
			return &LateError{DateOf(days[i]), DateOf(days[i-1]), rows, all}
		}
	}
	return nil
}

// PlanNext reads a log and concludes.
//
// A maximum follows the sets since the day that its entry on the roster holds for, or since the plan began: of
// each day a single, else the first of the heaviest sets with at most five repetitions left. It changes where the 90 % interval
// excludes the old one, or where three days or more show a change that no single day decides; one day moves it
// no further than the interval of the rest, and not at all by a reported reserve alone. A report that a heavier set of the same two weeks
// proves wrong counts as a bound. In simulated training twice a week with one to four repetitions
// in reserve, with reports that are off by one repetition, a maximum that did not move was on average within 1 % of
// its own after four weeks and was moved by more than 4 % in at most 1 of 100 lifters, or 8 of 100 where they differ in the repetitions
// that they can do as published; one that fell by 8 %
// in four weeks was 2.6 to 3.9 % lower then and 6 to 8 % four weeks on; one that rose by 6 % was 1 to 2 % higher then
// and 3 to 5 % four weeks on (TestNextSimulation). So gains are followed slowly: test where it matters. Sets that show less than the
// maximum never raise it, nor do sets that show more lower it.
//
// Sets that differ from the roster's maximum as pounds do from kilograms are left out of it, with a note. Few rows dated long after
// all others are a *LateError.
//
// Errors are those of reading, a *BadRowsError where bad rows are not to be skipped, and those of Result.
func PlanNext(p *periodize.Program, r *Reader, opt NextOptions) (*NextResult, error) {
	opt.Unit = r.Unit()
	n := NewNext(p, opt)
	for row, err := range r.Rows() {
		if _, bad := err.(*RowError); bad {
			continue // the reader's report has it
		}
		if err != nil {
			return nil, err
		}
		if err := n.Add(&row); err != nil {
			return nil, err
		}
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	return n.Result()
}

// Result concludes. The program and its roster stay as they are. The error is a *MatchError, or a *LateError where
// no day is given to conclude on.
func (n *Next) Result() (*NextResult, error) {
	if n.p == nil {
		return nil, &OptionError{"program", "none", "one that NewNext takes"}
	}
	res := &NextResult{Unit: n.opt.Unit, Roster: n.p.Roster().Clone()}
	asOf := n.last
	if !n.opt.AsOf.IsZero() {
		asOf = DayOf(n.opt.AsOf)
	} else if err := n.late(); err != nil {
		return nil, err
	}
	if n.any || !n.opt.AsOf.IsZero() {
		res.AsOf = DateOf(asOf)
	}
	// A plan is large: no more than one lifter's is kept at a time. Without dates the sessions that were due are
	// those that anybody has reached, so that everybody is looked at before.
	reached := 0
	for i := 0; !n.dated && i < n.p.Len(); i++ {
		l, err := n.ledger(i, asOf)
		if err != nil {
			return nil, err
		}
		reached = max(reached, l.reached())
	}
	for i := range n.p.Len() {
		l, err := n.ledger(i, asOf)
		if err != nil {
			return nil, err
		}
		l.settle(reached)
		if i == 0 {
			res.Week, res.Finished = l.coming()
		}
		x := l.lifter()
		x.Changes = l.maxima()
		x.Notes = append(l.notes, l.unplanned()...)
		switch {
		case x.Rows == 0:
			// Nothing logged is not nothing done.
			x.Notes = append(x.Notes, "the log has no row up to the day; maxima and weeks stay as they are")
		case x.Rows == x.Outside:
			x.Notes = append(x.Notes, fmt.Sprintf("the log has no row from the time of the plan, %s to %s; weeks stay as they are", date(DateOf(n.start)), date(DateOf(n.end))))
		case !res.Finished:
			x.Adjust = l.adjust(res.Week, x.Changes, &x)
		}
		l.apply(&res.Roster.Lifters[i], &x, res.Finished, n.logs[i].sets)
		res.Lifters = append(res.Lifters, x)
	}
	if res.Finished {
		res.Roster.Start, res.Roster.Test = time.Time{}, time.Time{}
		res.Notes = append(res.Notes, "the plan is over: the roster has no start, test day or adjustments; give it a start for the next run")
	}
	res.Notes = append(res.Notes, n.strangers()...)
	return res, nil
}

// ledger is a lifter's log against the plan.
func (n *Next) ledger(i, asOf int) (*ledger, error) {
	x := &n.logs[i]
	slices.SortStableFunc(x.kept, func(a, b keptRow) int { return a.day - b.day })
	l := &ledger{plan: n.p.Plan(i), rows: x.kept, total: x.n, outside: x.n - len(x.kept), asOf: asOf, start: n.start, end: n.end, dated: n.dated}
	return l, l.fill()
}

// strangers says who is in the log and not on the roster.
func (n *Next) strangers() []string {
	var out, plain []string
	var rows int64
	meant := map[string]string{}
	var names []string
	for _, l := range n.p.Roster().Lifters {
		meant[near(l.Name)] = l.Name
		names = append(names, l.Name)
	}
	aside := map[string]bool{}
	for _, name := range n.opt.Aside {
		aside[name] = true
	}
	for _, name := range keys(n.others) {
		if aside[name] {
			continue
		}
		if who, ok := meant[near(name)]; ok {
			out = append(out, fmt.Sprintf("%q of the log (%s) is not on the roster, but %q is: names must be the same in case and spaces", name, plural(int(n.others[name]), "row"), who))
			continue
		}
		if who := spelling.Nearest(name, names); who != "" {
			out = append(out, fmt.Sprintf("%q of the log (%s) is not on the roster, and its rows do not count: did you mean %q?", name, plural(int(n.others[name]), "row"), who))
			continue
		}
		plain = append(plain, fmt.Sprintf("%q", name))
		rows += n.others[name]
	}
	if len(plain) > 0 {
		list := strings.Join(plain[:min(len(plain), 5)], ", ")
		if more := len(plain) - 5; more > 0 {
			list += fmt.Sprintf(" and %d more", more)
		}
		out = append(out, fmt.Sprintf("%s of people who are not on the roster: %s", plural(int(rows), "row"), list))
	}
	return out
}

// apply writes what follows for a lifter to the new roster; days are those of training.
func (l *ledger) apply(to *periodize.Lifter, x *NextLifter, finished bool, days []daySets) {
	for _, c := range x.Changes {
		if !c.Changed {
			continue
		}
		for i := range to.Maxes {
			if to.Maxes[i].Lift == c.Lift {
				body := c.Now - c.Entry
				to.Maxes[i] = periodize.MaxEntry{Lift: c.Lift, Tested: c.Entry, Low: c.Low - body, High: c.High - body, Date: DateOf(c.Day), Pos: to.Maxes[i].Pos}
			}
		}
	}
	to.Adjust = append(to.Adjust, x.Adjust...)
	if finished {
		to.Adjust = nil
	}
	if len(days) == 0 {
		return
	}
	last := days[len(days)-1].day
	sets := 0
	for _, d := range days {
		if d.day > last-7 {
			sets += int(d.sets)
		}
	}
	to.Recent = &periodize.Recent{WeeklySets: &sets, LastTrained: DateOf(int(last))}
}
