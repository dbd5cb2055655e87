package periodize

import (
	"fmt"
	"slices"
	"time"

	"github.com/blockwright/blockwright/estimate"
)

// check reports what is wrong with a block whoever built it: names that do not
// resolve, closed lists, and choices that exclude each other. The values of
// tracks are checked week by week as they are resolved.
func (b *Block) check() Errors {
	c := &checker{b: b}
	if b.Weeks < 1 || b.Weeks > MaxWeeks {
		c.fail(b.Pos, "", "weeks must be 1 to %d, got %d", MaxWeeks, b.Weeks)
		return c.errs
	}
	if b.Goal != "" && !slices.Contains(Goals(), b.Goal) {
		c.fail(b.Pos, "", "goal must be one of %v, got %q", Goals(), b.Goal)
	}
	names := map[string]bool{}
	for i := range b.Lifts {
		l := &b.Lifts[i]
		if names[l.Name] {
			c.fail(l.Pos, l.Name, "the lift is there twice")
		}
		names[l.Name] = true
		c.lift(l)
	}
	for _, f := range b.Focus {
		if !names[f] {
			c.fail(b.Pos, "", "focus: %q is not a lift of the block", f)
		}
	}
	if len(b.Sessions) == 0 {
		c.fail(b.Pos, "", "the block has no sessions")
	}
	for i := range b.Sessions {
		s := &b.Sessions[i]
		for k := range b.Sessions[:i] {
			if o := &b.Sessions[k]; o.Name == s.Name && c.meet(s.Weeks, o.Weeks) {
				c.fail(s.Pos, s.Name, "two sessions of one name share a week; name them apart")
			}
		}
		c.weeks(s.Pos, s.Name, "weeks", s.Weeks)
		if d := s.Day; d != nil && (*d < time.Sunday || *d > time.Saturday) {
			c.fail(s.Pos, s.Name, "day must be %d (Sunday) to %d (Saturday), got %d", time.Sunday, time.Saturday, *d)
		}
		if s.Limit != 0 && (s.Limit < MinLimit || s.Limit > MaxLimit) {
			c.fail(s.Pos, s.Name, "limit must be %s to %s, or 0 for none, got %s", MinLimit, MaxLimit, s.Limit)
		}
		for j := range s.Work {
			c.item(s, &s.Work[j], names)
		}
	}
	for _, f := range b.Finish.Lifts {
		if !names[f] {
			c.fail(b.Pos, "finish", "lifts: %q is not a lift of the block", f)
		}
	}
	if f := b.Finish; len(f.Lifts) > 0 && !f.Test {
		c.fail(b.Pos, "finish", "lifts are those of a test day, and there is none")
	} else if f.Deload < 0 || f.Deload > MaxDeload {
		c.fail(b.Pos, "finish", "deload must be 0 to %d weeks, got %d", MaxDeload, f.Deload)
	} else if v := f.Cut.Float64(); v < 0 || v > 100 {
		c.fail(b.Pos, "finish", "cut must be 0 to 100 per cent, got %s", f.Cut)
	} else if v := f.Hold.Float64(); v < 0 || v > 150 {
		c.fail(b.Pos, "finish", "hold must be above 0 and at most 150 per cent, got %s", f.Hold)
	}
	return c.errs
}

type checker struct {
	b    *Block
	errs Errors
}

func (c *checker) fail(pos Pos, where, format string, args ...any) {
	c.errs = append(c.errs, &Error{Pos: pos, Where: where, Msg: fmt.Sprintf(format, args...)})
}

func (c *checker) meet(a, b WeekSet) bool {
	for w := 1; w <= c.b.Weeks; w++ {
		if a.Has(w) && b.Has(w) {
			return true
		}
	}
	return false
}

// weeks reports a set of weeks that is not of the block: what it names would be left out without a word.
func (c *checker) weeks(pos Pos, at, name string, w WeekSet) {
	if why := w.fault(c.b.Weeks); why != "" {
		c.fail(pos, at, "%s: %s", name, why)
	}
}

func (c *checker) lift(l *Lift) {
	if !slices.Contains(Patterns(), l.Pattern) {
		c.fail(l.Pos, l.Name, "pattern must be one of %v, got %q", Patterns(), l.Pattern)
	}
	for _, m := range l.Muscles {
		if !slices.Contains(muscles[:], m.Muscle) {
			c.fail(l.Pos, l.Name, "%q is not in the list of muscles", m.Muscle)
		}
		if !(m.Part > 0 && m.Part <= 1) {
			c.fail(l.Pos, l.Name, "the share of %s must be above 0 up to 1, got %v", m.Muscle, m.Part)
		}
	}
	if s := l.BodyweightShare.Float64(); s < 0 || s > 100 {
		c.fail(l.Pos, l.Name, "bodyweight_share must be 0 to 100 per cent, got %s", l.BodyweightShare)
	}
	if !(l.Tempo >= 0 && l.Tempo <= 60) {
		c.fail(l.Pos, l.Name, "tempo must be 0 to 60 seconds, got %v", l.Tempo)
	}
	if l.Curve != "" {
		if _, err := estimate.CurveNamed(l.Curve); err != nil {
			c.fail(l.Pos, l.Name, "curve: %v", err)
		}
	}
	if l.Max != nil {
		if _, ok := c.b.Lift(l.Max.Of); !ok {
			c.fail(l.Pos, l.Name, "max: %q is not a lift of the block", l.Max.Of)
		}
		if l.Max.Percent.Sign() <= 0 {
			c.fail(l.Pos, l.Name, "max: percent must be above 0, got %s", l.Max.Percent)
		}
	}
}

func (c *checker) item(s *Session, it *Item, names map[string]bool) {
	at := s.Name + ", " + it.Lift
	if !names[it.Lift] {
		c.fail(it.Pos, at, "%q is not a lift of the block", it.Lift)
		return
	}
	c.weeks(it.Pos, at, "weeks", it.Weeks)
	if it.Role != "" && !slices.Contains(Roles(), it.Role) {
		c.fail(it.Pos, at, "role must be one of %v, got %q", Roles(), it.Role)
	}
	if it.Shape != "" && !slices.Contains(Shapes(), it.Shape) {
		c.fail(it.Pos, at, "shape must be one of %v, got %q", Shapes(), it.Shape)
	}
	if v := it.Spread.Float64(); v < 0 || v > 50 {
		c.fail(it.Pos, at, "spread must be 0 to 50 percentage points, got %s", it.Spread)
	}
	if it.ReserveOf != "" && !slices.Contains(ReserveOfs(), it.ReserveOf) {
		c.fail(it.Pos, at, "rir_of must be one of %v, got %q", ReserveOfs(), it.ReserveOf)
	}
	if it.Spread.Sign() != 0 && (it.Build != nil || len(it.Each) > 0) {
		c.fail(it.Pos, at, "spread is for sets that are all given alike; leave it out beside each and build")
	}
	if f := it.Final; f != nil {
		c.weeks(it.Pos, at, "weeks of final", f.Weeks)
		if it.Build != nil {
			c.fail(it.Pos, at, "final cannot stand beside build, whose last set is the best of the day")
		}
		if f.Leave != nil && (f.Leave.Sign() < 0 || f.Leave.Float64() > 10) {
			c.fail(it.Pos, at, "final must leave 0 to 10 repetitions, got %s", f.Leave)
		}
		if f.Cap < 0 || f.Cap > MaxReps {
			c.fail(it.Pos, at, "the cap of final must be 0 to %d repetitions, got %d", MaxReps, f.Cap)
		}
	}
	if bo := it.Backoff; bo != nil && (bo.Reps == nil || bo.Drop == nil) {
		c.fail(it.Pos, at, "backoff needs reps and drop")
	}
	if bo := it.Backoff; bo != nil {
		c.track(it, at, "sets of backoff", bo.Sets)
		c.track(it, at, "reps of backoff", bo.Reps)
		c.track(it, at, "the lower end of reps of backoff", bo.RepsLow)
		c.track(it, at, "drop of backoff", bo.Drop)
		c.track(it, at, "rest of backoff", bo.Rest)
	}
	if bu := it.Build; bu != nil {
		c.track(it, at, "reps of build", bu.Reps)
		c.track(it, at, "to_rir of build", bu.ToRIR)
		c.track(it, at, "start of build", bu.Start)
		c.track(it, at, "step of build", bu.Step)
		c.track(it, at, "rest of build", bu.Rest)
	}
	if it.Build != nil {
		if len(it.Each) > 0 || it.Reps != nil || it.Seconds != nil || it.Metres != nil || it.Weight.Kind != NoWeight {
			c.fail(it.Pos, at, "build says what the sets are; leave out each, sets, reps and the weight")
		}
		if it.Build.Reps == nil || it.Build.ToRIR == nil || it.Build.Start == nil || it.Build.Step == nil {
			c.fail(it.Pos, at, "build needs reps, to_rir, start and step")
		}
		return
	}
	if len(it.Each) > 0 {
		if it.Sets != nil || it.Reps != nil || it.Seconds != nil || it.Metres != nil || it.Weight.Kind != NoWeight {
			c.fail(it.Pos, at, "each says what the sets are; leave out sets, reps and the weight beside it")
		}
		for i := range it.Each {
			c.work(it, &it.Each[i], fmt.Sprintf("%s, each[%d]", at, i), true)
		}
		return
	}
	c.work(it, &it.Work, at, false)
}

func (c *checker) work(it *Item, w *Work, at string, each bool) {
	n := 0
	for _, t := range []Track{w.Reps, w.Seconds, w.Metres} {
		if t != nil {
			n++
		}
	}
	if n != 1 {
		c.fail(it.Pos, at, "want exactly one of reps, seconds and metres")
	}
	c.track(it, at, "sets", w.Sets)
	c.track(it, at, "reps", w.Reps)
	c.track(it, at, "the lower end of reps", w.RepsLow)
	c.track(it, at, "seconds", w.Seconds)
	c.track(it, at, "metres", w.Metres)
	c.track(it, at, "rest", w.Rest)
	c.track(it, at, w.Weight.Kind.String(), w.Weight.Track)
	if w.Weight.Kind > ByDrop {
		c.fail(it.Pos, at, "%s is no way of giving a weight", w.Weight.Kind)
	}
	if w.Weight.Kind != NoWeight && w.Weight.Track == nil {
		c.fail(it.Pos, at, "%s has no track", w.Weight.Kind)
	}
	if w.Weight.Kind == ByDrop && !each {
		c.fail(it.Pos, at, "drop belongs in each or backoff")
	}
	if (w.Weight.Kind == ByRIR || w.Weight.Kind == ByRPE) && w.Reps == nil {
		c.fail(it.Pos, at, "%s needs reps to be reserved", w.Weight.Kind)
	}
	if w.Sides < 0 || w.Sides > 2 {
		c.fail(it.Pos, at, "sides must be 1 or 2, got %d", w.Sides)
	}
}

// track reports a track that cannot be meant for the block.
func (c *checker) track(it *Item, at, name string, t Track) {
	if why := trackFault(t, c.b.Weeks); why != "" {
		c.fail(it.Pos, at, "%s: %s", name, why)
	}
}
