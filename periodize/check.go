package periodize

import (
	"fmt"
	"slices"

	"github.com/blockwright/blockwright/estimate"
)

// check reports what is wrong with a block whoever built it: names that do not
// resolve, closed lists, and choices that exclude each other. The values of
// tracks are checked week by week as they are resolved.
func (b *Block) check() Errors {
	c := &checker{b: b}
	if b.Weeks < 1 || b.Weeks > 52 {
		c.fail(b.Pos, "", "weeks must be 1 to 52, got %d", b.Weeks)
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
		for j := range s.Work {
			c.item(s, &s.Work[j], names)
		}
	}
	if f := b.Finish; f.Deload < 0 || f.Deload > 4 {
		c.fail(b.Pos, "finish", "deload must be 0 to 4 weeks, got %d", f.Deload)
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
	if it.Role != "" && !slices.Contains(Roles(), it.Role) {
		c.fail(it.Pos, at, "role must be one of %v, got %q", Roles(), it.Role)
	}
	if it.Shape != "" && !slices.Contains(Shapes(), it.Shape) {
		c.fail(it.Pos, at, "shape must be one of %v, got %q", Shapes(), it.Shape)
	}
	if v := it.Spread.Float64(); v < 0 || v > 50 {
		c.fail(it.Pos, at, "spread must be 0 to 50 percentage points, got %s", it.Spread)
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
