package logbook

import (
	"math"
	"slices"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize"
)

// Which sets of a day a plan's maximum is followed by. They are chosen by what was on the bar and by their
// order, not by the reserve that was reported: the best of several reports is on average too good, by about
// one repetition of four, and a maximum followed by such sets rises by itself.

// tellingDay is the sets of one lift on one day that say something of its maximum, each in a way of its own.
type tellingDay struct {
	measured *estimate.Set // a single to failure, else the first of the heaviest sets near failure
	lower    *estimate.Set // the best of the sets that only say "at least"
	missed   *estimate.Set // the lightest attempt that was missed
}

// add takes a row, in the order in which the sets were done; load counts the share of bodyweight.
func (d *tellingDay) add(r *keptRow, load float64) {
	if !(load > 0) {
		return
	}
	s := &estimate.Set{Load: load, Reps: float64(r.reps), RIR: max(r.rir, 0), NoRIR: r.rir < 0 && !r.tested, Tested: r.tested, Day: float64(r.day)}
	switch {
	case r.reps == 0:
		s.RIR, s.NoRIR, s.Tested = 0, true, false
		if d.missed == nil || s.Load < d.missed.Load {
			d.missed = s
		}
	case s.NoRIR || s.RIR > farReserve:
		if d.lower == nil || shows(*s) > shows(*d.lower) {
			d.lower = s
		}
	default:
		if d.measured == nil || before(s, d.measured) {
			d.measured = s
		}
	}
}

// before says whether a later set takes the place of an earlier one that measures too.
func before(s, had *estimate.Set) bool {
	single := func(s *estimate.Set) bool { return s.Reps == 1 && s.RIR == 0 }
	switch {
	case single(s) != single(had):
		return single(s)
	case s.Load != had.Load:
		return s.Load > had.Load
	}
	return s.Reps > had.Reps
}

// sets is the day as the tracker wants it.
func (d *tellingDay) sets() (out []estimate.Set) {
	if d.measured != nil {
		out = append(out, *d.measured)
	}
	if d.lower != nil && (d.measured == nil || shows(*d.lower) > shows(*d.measured)) {
		out = append(out, *d.lower)
	}
	if m := d.missed; m != nil && !(d.measured != nil && d.measured.Load >= m.Load) && !(d.lower != nil && d.lower.Load >= m.Load) {
		out = append(out, *m) // a weight that was lifted the same day was a slip, not a limit
	}
	return out
}

// telling is the sets of a lift from a day on that say something of its maximum, by day.
func (l *ledger) telling(m *periodize.LiftMax, from int) []estimate.Set {
	body := m.Body.In(l.plan.Unit)
	var out []estimate.Set
	for i := 0; i < len(l.rows); {
		day := l.rows[i].day
		n := i
		for ; n < len(l.rows) && l.rows[n].day == day; n++ {
		}
		if day >= from {
			var d tellingDay
			for _, r := range inOrder(l.rows[i:n], m.Lift) {
				d.add(r, in(r.written, r.unit, l.plan.Unit)+body)
			}
			out = append(out, d.sets()...)
		}
		i = n
	}
	return out
}

// inOrder is a day's rows of a lift in the order in which they were done: by the number of the set where
// all have one, else as they were written.
func inOrder(rows []keptRow, lift string) []*keptRow {
	var out []*keptRow
	numbered := true
	for i := range rows {
		if r := &rows[i]; r.lift == lift {
			out = append(out, r)
			numbered = numbered && r.set > 0
		}
	}
	if numbered {
		slices.SortStableFunc(out, func(a, b *keptRow) int { return int(a.set) - int(b.set) })
	}
	return out
}

// shows orders sets by the maximum that they speak for, by the plainest of the equations; only the order counts.
func shows(s estimate.Set) float64 {
	n := s.Reps + s.RIR
	if n <= 1 {
		return s.Load
	}
	return s.Load * (1 + n/30)
}

// refute makes bounds of sets whose report cannot be right: what other sets within two weeks show by the repetitions that were made,
// without those left, is more by a twentieth than the set shows with one left beyond its report. An easy day of which
// "1 left" was written down is such a one. So many days have to prove it, and what shows more than most proves nothing: it may be
// mistyped. The sets are by day. The two weeks and the twentieth are ours.
func refute(sets []estimate.Set, most float64, days int) {
	const window, clearly = 14, 1.05
	shown := func(s estimate.Set, left float64) float64 {
		s.RIR = left
		return shows(s)
	}
	from := 0
	for i := range sets {
		s := &sets[i]
		for s.Day-sets[from].Day > window {
			from++
		}
		if s.Reps < 1 || s.NoRIR {
			continue
		}
		over := clearly * shown(*s, s.RIR+1)
		proofs, last := 0, math.Inf(-1)
		for _, o := range sets[from:] {
			if o.Day-s.Day > window {
				break
			}
			if v := shown(o, 0); o.Reps >= 1 && o.Day != last && v > over && v <= most {
				proofs, last = proofs+1, o.Day
			}
		}
		if proofs >= days {
			s.NoRIR, s.Tested = true, false
		}
	}
}
