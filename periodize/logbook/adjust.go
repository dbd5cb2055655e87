package logbook

import (
	"fmt"
	"iter"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// How a week is adjusted for what happened in the week before it. All of it is common
// practice, no published source.
const (
	stepPercent   = 2.5  // change of the weight for sets that were too easy or too hard
	backPercent   = -5   // change of the weight after two weeks with most of the work missed
	easyBy        = 2    // repetitions left beyond those planned that make a set too easy
	asPlanned     = 0.97 // share of the planned weight from which a set tells something of the plan
	missedShare   = 0.5  // share of the work under which a week counts as missed
	hardShare     = 0.25 // share of a week's sets with missed repetitions that makes it too hard
	fewestTelling = 2    // sets that have to say the same
)

// liftWeek is what a week's sets of a lift say.
type liftWeek struct {
	of                         string // the block's name of the lift
	work                       Work
	short, easy, rated, loaded int
	missing                    int // repetitions
	planned                    bool
	open                       bool // a session with it is still to come
	last                       int  // day of the latest set
}

// week is the lifts of a week, in the order of the plan.
func (l *ledger) week(week int) []*liftWeek {
	var out []*liftWeek
	at := map[string]*liftWeek{}
	for k := range l.sessions {
		s := &l.sessions[k]
		if s.s.Week != week || s.s.Kind != periodize.Training {
			continue
		}
		for i := range s.lifts {
			x := &s.lifts[i]
			w := at[x.of]
			if w == nil {
				w = &liftWeek{of: x.of}
				at[x.of] = w
				out = append(out, w)
			}
			w.planned = true
			if !s.due {
				w.open = true
				continue
			}
			w.work.work(x, l)
			for _, p := range x.pairs {
				w.judge(p, l.plan.Unit)
			}
		}
	}
	for _, w := range out {
		w.work.finish()
	}
	return out
}

// judge counts a set that was done with about the planned weight.
func (w *liftWeek) judge(p pairSet, u plates.Unit) {
	if p.done == nil {
		return
	}
	w.last = max(w.last, p.done.day)
	if !p.plan.HasLoad || p.plan.Reps == 0 {
		return
	}
	load := p.plan.Load.In(u)
	if p.done.load < load*asPlanned {
		return
	}
	w.loaded++
	if n := least(p.plan); p.done.reps < n {
		w.short++
		w.missing += n - p.done.reps
		return
	}
	var asked float64
	switch {
	case p.plan.RIR != nil:
		asked = *p.plan.RIR
	case p.plan.Reserve != nil:
		asked = p.plan.Reserve.Mid
	default:
		return
	}
	if p.done.rir >= 0 {
		w.rated++
		if p.done.rir-asked >= easyBy {
			w.easy++
		}
	}
}

// adjust changes the coming week.
func (l *ledger) adjust(week int, changes []MaxChange, x *NextLifter) []periodize.Adjustment {
	if week < 2 || week > l.plan.Block.Weeks {
		return nil
	}
	if l.unsure(changes) {
		x.Notes = append(x.Notes, "no adjustments: the unit of the log is in doubt")
		return nil
	}
	var out []periodize.Adjustment
	var silent []string
	coming := map[string]bool{}
	for _, w := range l.week(week) {
		coming[w.of] = true
	}
	earlier := map[string]*liftWeek{}
	for _, w := range l.week(week - 2) {
		earlier[w.of] = w
	}
	for _, w := range l.week(week - 1) {
		if !coming[w.of] || w.work.Sets == 0 || l.doubted[l.doneAs(w.of)] {
			continue
		}
		a := periodize.Adjustment{Week: week, Lift: w.of}
		rose, fell := l.moved(changes, l.doneAs(w.of))
		if l.known(l.doneAs(w.of), w.last) {
			rose, fell = true, true
		}
		e := earlier[w.of]
		missed := w.work.Share < missedShare && !w.open
		if missed && !l.logs(l.doneAs(w.of)) {
			silent = append(silent, fmt.Sprintf("%q", w.of))
			continue
		}
		switch {
		case missed && e != nil && e.work.Sets > 0 && e.work.Share < missedShare:
			a.Sets, a.Percent = -1, percent(backPercent)
			all := w.work.Sets + e.work.Sets
			a.Why = fmt.Sprintf("missed: %d of %s in two weeks", all-w.work.DoneSets-e.work.DoneSets, plural(all, "set"))
		case missed:
			a.Sets = -1
			a.Why = fmt.Sprintf("missed: %d of %s in week %d", w.work.Sets-w.work.DoneSets, plural(w.work.Sets, "set"), week-1)
		case w.short >= fewestTelling && float64(w.short) >= hardShare*float64(w.loaded):
			if fell {
				continue // the weights come down with the maximum
			}
			a.Percent = percent(-stepPercent)
			a.Why = fmt.Sprintf("too hard: %s short in %d of %s of week %d", plural(w.missing, "repetition"), w.short, plural(w.loaded, "set"), week-1)
		case w.easy >= fewestTelling && 2*w.easy > w.rated:
			if rose {
				continue // the weights go up with the maximum
			}
			a.Percent = percent(stepPercent)
			a.Why = fmt.Sprintf("too easy: %d or more repetitions left beyond the plan in %d of %s of week %d", easyBy, w.easy, plural(w.rated, "set"), week-1)
		default:
			continue
		}
		if had, ok := l.adjusted(week, w.of); ok {
			x.Notes = append(x.Notes, fmt.Sprintf("%s is adjusted in week %d already (%s); left as it is, though it was %s", w.of, week, had.Why, a.Why))
			continue
		}
		out = append(out, a)
	}
	if len(silent) > 0 {
		x.Notes = append(x.Notes, "nothing is logged of "+strings.Join(silent, ", ")+", which is not taken for missed")
	}
	return out
}

// logs says whether the lifter has logged a lift at all in the time of the plan.
func (l *ledger) logs(lift string) bool {
	return slices.ContainsFunc(l.sessions, func(s ledgerSession) bool {
		return slices.ContainsFunc(s.lifts, func(x ledgerLift) bool { return x.lift.Name == lift && len(x.done) > 0 })
	})
}

// doneAs is the lift that the lifter does for one of the block.
func (l *ledger) doneAs(of string) string {
	for _, s := range l.plan.Lifter.Swaps {
		if s.From == of {
			return s.To
		}
	}
	return of
}

func (l *ledger) adjusted(week int, lift string) (periodize.Adjustment, bool) {
	for _, a := range l.plan.Lifter.Adjust {
		if a.Week == week && a.Lift == lift {
			return a, true
		}
	}
	return periodize.Adjustment{}, false
}

// moved says which way a maximum goes on the new roster; one that is a share of another lift's goes with that.
func (l *ledger) moved(changes []MaxChange, lift string) (rose, fell bool) {
	for lift := range l.leads(lift) {
		for _, c := range changes {
			if c.Lift == lift {
				return c.Changed && c.Now > c.Was, c.Changed && c.Now < c.Was
			}
		}
	}
	return false, false
}

// known says whether the roster's maximum has the sets up to a day in it, so that the weights follow them already.
func (l *ledger) known(lift string, day int) bool {
	for lift := range l.leads(lift) {
		if e := l.entry(lift); e != nil {
			held, ok := heldOn(e)
			return ok && held >= day
		}
	}
	return false
}

// leads is a lift, the lift whose maximum it has a share of, and so on.
func (l *ledger) leads(lift string) iter.Seq[string] {
	return func(yield func(string) bool) {
		for range l.plan.Block.Lifts {
			def, ok := l.plan.Block.Lift(lift)
			if !yield(lift) || !ok || def.Max == nil {
				return
			}
			lift = def.Max.Of
		}
	}
}

func percent(v float64) plates.Ratio {
	r, err := plates.RatioOf(v)
	if err != nil {
		return plates.Ratio{}
	}
	return r
}
