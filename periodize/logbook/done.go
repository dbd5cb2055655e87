package logbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/internal/spelling"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// ledger holds one lifter's log against the plan.
type ledger struct {
	plan  *periodize.Plan
	rows  []keptRow // up to the day to conclude on, by day
	total int       // with those that are not kept
	asOf  int
	start int // day 1 of the plan, and that of its last session; only where dated
	end   int
	dated bool

	sessions  []ledgerSession
	at        map[weekLift][]int // the sessions that have a lift in a week, in their order
	named     map[weekName]bool  // that a week has a session of a name
	tests     []int              // the test days among the sessions
	unmatched int
	outside   int             // rows before or after the time of the plan
	others    map[string]int  // rows by lifts that are not planned in their weeks
	called    map[string]int  // rows by the names of sessions that the plan does not have in their weeks
	doubted   map[string]bool // lifts most of whose sets seem to be written in the wrong unit
	notes     []string
}

// weekLift is a lift in a week.
type weekLift struct {
	week int
	lift string
}

// weekName is a session's name in a week, as [near] has it.
type weekName struct {
	week int
	name string
}

type ledgerSession struct {
	s     *periodize.PlannedSession
	name  string // of s, as [near] has it
	day   int    // where the plan is dated
	due   bool
	lifts []ledgerLift
	began bool // a row was matched
}

// ledgerLift is the sets of one lift in a session, planned and done.
type ledgerLift struct {
	lift    *periodize.Lift
	of      string // the block's name for it, where the lifter has swapped it
	planned []*periodize.Set
	done    []doneSet
	pairs   []pairSet
}

type doneSet struct {
	load   float64 // in the gym's unit, as logged
	reps   int
	rir    float64 // negative where not reported
	volume float64 // with the share of bodyweight
	tested bool
	day    int
}

// pairSet is a planned set and the set done for it.
type pairSet struct {
	plan *periodize.Set
	done *doneSet // nil for none
}

// fill puts the rows to the sessions of the plan.
func (l *ledger) fill() error {
	plan := l.plan
	l.at, l.named = map[weekLift][]int{}, map[weekName]bool{}
	l.others, l.called = map[string]int{}, map[string]int{}
	for i := range plan.Sessions {
		s := &plan.Sessions[i]
		ls := ledgerSession{s: s, name: near(s.Name)}
		if !s.Date.IsZero() {
			ls.day = DayOf(s.Date)
		}
		for j := range s.Exercises {
			ls.add(plan, &s.Exercises[j])
		}
		for j := range ls.lifts {
			k := weekLift{s.Week, ls.lifts[j].lift.Name}
			l.at[k] = append(l.at[k], i)
		}
		l.named[weekName{s.Week, ls.name}] = true
		if s.Kind == periodize.TestDay {
			l.tests = append(l.tests, i)
		}
		l.sessions = append(l.sessions, ls)
	}
	return l.match()
}

// add adds an exercise; a lift that comes twice in a session is one entry.
func (s *ledgerSession) add(plan *periodize.Plan, ex *periodize.Exercise) {
	i := slices.IndexFunc(s.lifts, func(x ledgerLift) bool { return x.lift.Name == ex.Lift.Name })
	if i < 0 {
		i = len(s.lifts)
		s.lifts = append(s.lifts, ledgerLift{lift: ex.Lift, of: blockName(plan, s.s, ex)})
	}
	for k := range ex.Sets {
		s.lifts[i].planned = append(s.lifts[i].planned, &ex.Sets[k])
	}
}

// blockName is the lift that the block names where the lifter does ex, which differs where one is swapped.
func blockName(plan *periodize.Plan, ps *periodize.PlannedSession, ex *periodize.Exercise) string {
	for i := range plan.Block.Sessions {
		s := &plan.Block.Sessions[i]
		if s.Name == ps.Name && ex.Item >= 0 && ex.Item < len(s.Work) {
			name := s.Work[ex.Item].Lift
			if name == ex.Lift.Name || slices.ContainsFunc(plan.Lifter.Swaps, func(w periodize.Swap) bool { return w.From == name && w.To == ex.Lift.Name }) {
				return name
			}
		}
	}
	return ex.Lift.Name
}

// match puts every row to the planned session that it is of: by week and session where the row names them,
// else by date, else by the order of the days within the week.
func (l *ledger) match() error {
	waiting := map[weekLift][]int{} // rows of plans without dates
	lost := 0
	for i := range l.rows {
		r := &l.rows[i]
		week := int(r.week)
		switch {
		case l.dated && (r.day < l.start-daysEarly || r.day > l.end+daysLate || week == 0 && r.day < l.start):
			l.outside++ // of another run, whatever week it names
			continue
		case week == 0 && !l.dated:
			lost++
			continue
		case week == 0:
			week = (r.day-l.start)/7 + 1
		}
		g := weekLift{week, r.lift}
		best, byName := l.session(r, g)
		if r.session != "" && !byName && !l.named[weekName{week, near(r.session)}] {
			l.called[r.session]++
		}
		switch {
		case best < 0:
			l.unmatched++
			l.others[r.lift]++
		case l.dated || byName:
			l.sessions[best].take(r, l)
		default:
			waiting[g] = append(waiting[g], i)
		}
	}
	if lost > 0 {
		return &MatchError{l.plan.Lifter.Name, lost}
	}
	for g, rows := range waiting { // in any order: each goes to sessions and a lift of its own
		open := l.at[g]
		at, day := 0, l.rows[rows[0]].day
		for _, i := range rows {
			if r := &l.rows[i]; r.day != day {
				day = r.day
				at = min(at+1, len(open)-1)
			}
			l.sessions[open[at]].take(&l.rows[i], l)
		}
	}
	return nil
}

// session is the session that a row is of, -1 for none, and whether the row names it.
func (l *ledger) session(r *keptRow, g weekLift) (best int, byName bool) {
	name := near(r.session)
	best = -1
	for _, k := range l.at[g] {
		switch s := &l.sessions[k]; {
		case r.session == "":
		case name == s.name:
			return k, true
		case l.named[weekName{g.week, name}]:
			continue // it names another session of the week
		}
		best = l.nearer(r.day, best, k)
	}
	if r.week != 0 {
		return best, false
	}
	// A test day may lie beyond the week that it counts as.
	for _, k := range l.tests {
		s := &l.sessions[k]
		if s.day != r.day || s.s.Week == g.week || !s.has(r.lift) {
			continue
		}
		switch {
		case r.session == "":
		case name == s.name:
			return k, true
		case l.named[weekName{g.week, name}]:
			continue
		}
		best = l.nearer(r.day, best, k)
	}
	return best, false
}

// nearer is the session of two whose day is nearer, the first where neither is. best is -1 for none.
func (l *ledger) nearer(day, best, k int) int {
	if best < 0 || l.dated && distance(day, l.sessions[k].day) < distance(day, l.sessions[best].day) {
		return k
	}
	return best
}

func distance(a, b int) int { return max(a-b, b-a) }

func (s *ledgerSession) has(lift string) bool {
	return slices.ContainsFunc(s.lifts, func(x ledgerLift) bool { return x.lift.Name == lift })
}

// take adds a row to its session.
func (s *ledgerSession) take(r *keptRow, l *ledger) {
	s.began = true
	i := slices.IndexFunc(s.lifts, func(x ledgerLift) bool { return x.lift.Name == r.lift })
	u := l.plan.Unit
	load := in(r.written, r.unit, u)
	body := 0.0
	if m, ok := l.plan.Max(r.lift); ok {
		body = m.Body.In(u)
	}
	d := doneSet{load: load, reps: int(r.reps), rir: r.rir, volume: load + body, tested: r.tested, day: r.day}
	for range max(int(r.count), 1) {
		s.lifts[i].done = append(s.lifts[i].done, d)
	}
}

// reached is the place of the last session that the log has rows of, one on.
func (l *ledger) reached() int {
	at := 0
	for k := range l.sessions {
		if l.sessions[k].began {
			at = k + 1
		}
	}
	return at
}

// settle says which sessions were due and pairs their sets. Without dates those are due up to the last one that
// anybody's log has.
func (l *ledger) settle(reached int) {
	for k := range l.sessions {
		s := &l.sessions[k]
		s.due = k < reached
		if l.dated {
			s.due = s.day <= l.asOf
		}
		for i := range s.lifts {
			s.lifts[i].pair(l.plan.Unit)
		}
	}
}

// attempted is the share of a planned weight under which a set is a warm-up and no attempt at the planned one:
// common practice, no published source.
const attempted = 2.0 / 3

// pair puts the heaviest sets done against the heaviest planned, so that warm-ups that were
// logged fall to the end. Deliberate attempts at a maximum are put against planned ones alone.
func (x *ledgerLift) pair(u plates.Unit) {
	planned := slices.Clone(x.planned)
	slices.SortStableFunc(planned, func(a, b *periodize.Set) int { return cmp.Compare(b.Load, a.Load) })
	var done [2][]*doneSet // others, tests
	for i := range x.done {
		k := 0
		if x.done[i].tested {
			k = 1
		}
		done[k] = append(done[k], &x.done[i])
	}
	for _, list := range done {
		slices.SortStableFunc(list, func(a, b *doneSet) int {
			return cmp.Or(cmp.Compare(b.load, a.load), cmp.Compare(b.reps, a.reps))
		})
	}
	x.pairs = nil
	for _, p := range planned {
		y := pairSet{plan: p}
		k := 0
		if p.Kind == periodize.TestSet && len(done[1]) > 0 {
			k = 1
		}
		if list := done[k]; len(list) > 0 && !(p.HasLoad && list[0].load < attempted*p.Load.In(u)) {
			y.done, done[k] = list[0], list[1:]
		}
		x.pairs = append(x.pairs, y)
	}
}

// least is the fewest repetitions that do a planned set.
func least(s *periodize.Set) int {
	if s.RepsLow > 0 {
		return s.RepsLow
	}
	return s.Reps
}

// work adds up pairs.
func (w *Work) work(x *ledgerLift, l *ledger) {
	body := 0.0
	if m, ok := l.plan.Max(x.lift.Name); ok {
		body = m.Body.In(l.plan.Unit)
	}
	begun := 0
	for _, p := range x.pairs {
		w.Sets++
		reps := least(p.plan)
		w.Reps += reps
		load := p.plan.Load.In(l.plan.Unit)
		if p.plan.HasLoad {
			w.Tonnage += (load + body) * float64(reps)
		}
		if p.done == nil {
			continue
		}
		begun++
		w.DoneSets++
		w.DoneReps += p.done.reps
		w.DoneTonnage += p.done.volume * float64(p.done.reps)
		if reps > 0 {
			w.credit += min(1, float64(p.done.reps)/float64(reps))
		} else {
			w.credit++
		}
		if p.plan.HasLoad && load > 0 && p.done.reps > 0 {
			w.loads += p.done.load / load * float64(p.done.reps)
			w.weight += float64(p.done.reps)
		}
	}
	w.MoreSets += len(x.done) - begun
}

func (w *Work) finish() {
	if w.Sets > 0 {
		w.Share = w.credit / float64(w.Sets)
	}
	if w.weight > 0 {
		v := w.loads / w.weight
		w.Weight = &v
	}
}

// unplanned says which rows the plan has no place for, and which sessions it does not know.
func (l *ledger) unplanned() []string {
	var out []string
	if l.unmatched > 0 {
		lifts := map[string]string{}
		var names []string
		for i := range l.plan.Block.Lifts {
			lifts[near(l.plan.Block.Lifts[i].Name)] = l.plan.Block.Lifts[i].Name
			names = append(names, l.plan.Block.Lifts[i].Name)
		}
		out = append(out, fmt.Sprintf("%s of no exercise that is planned for the week: %s", plural(l.unmatched, "row"), counted(l.others, func(name string) string {
			if has := lifts[near(name)]; has != "" && has != name {
				return fmt.Sprintf("; the block has %q", has)
			}
			if meant := spelling.Nearest(name, names); meant != "" && meant != name && !slices.Contains(names, name) {
				return fmt.Sprintf("; did you mean %q?", meant)
			}
			return ""
		})))
	}
	if len(l.called) > 0 {
		out = append(out, "sessions that the plan does not have in the week, whose rows went by lift and day: "+counted(l.called, func(string) string { return "" }))
	}
	return out
}

// counted lists names with how often they come, at most five, and what more there is to say of each.
func counted(names map[string]int, more func(string) string) string {
	const most = 5
	var list []string
	for i, name := range keys(names) {
		if i == most {
			list = append(list, fmt.Sprintf("and %d more", len(names)-most))
			break
		}
		list = append(list, fmt.Sprintf("%q (%d%s)", name, names[name], more(name)))
	}
	return strings.Join(list, ", ")
}

// lifter sums up what was due.
func (l *ledger) lifter() NextLifter {
	x := NextLifter{Name: l.plan.Lifter.Name, Unit: l.plan.Unit, Rows: l.total, Outside: l.outside, Unmatched: l.unmatched}
	var all Work
	for k := range l.sessions {
		s := &l.sessions[k]
		if !s.due {
			continue
		}
		sd := SessionDone{Week: s.s.Week, Name: s.s.Name, Date: s.s.Date}
		for i := range s.lifts {
			sl := &s.lifts[i]
			sd.work(sl, l)
			all.work(sl, l)
			j := slices.IndexFunc(x.Lifts, func(d LiftDone) bool { return d.Lift == sl.lift.Name })
			if j < 0 {
				j = len(x.Lifts)
				x.Lifts = append(x.Lifts, LiftDone{Lift: sl.lift.Name})
			}
			x.Lifts[j].work(sl, l)
		}
		sd.finish()
		x.Sessions = append(x.Sessions, sd)
	}
	for i := range x.Lifts {
		x.Lifts[i].finish()
	}
	all.finish()
	x.Due, x.Done = all.Sets, all.DoneSets
	if all.Sets > 0 {
		x.Share = &all.Share
	}
	return x
}

// coming is the first week that has not begun, 0 for none, and whether every session has passed.
func (l *ledger) coming() (week int, finished bool) {
	finished = true
	began, last := 0, 0
	for k := range l.sessions {
		s := &l.sessions[k]
		last = max(last, s.s.Week)
		if s.due {
			began = max(began, s.s.Week)
		} else {
			finished = false
		}
	}
	if len(l.sessions) == 0 || finished {
		return 0, finished && len(l.sessions) > 0
	}
	if began == last {
		return 0, false // the last week has begun
	}
	return began + 1, false
}
