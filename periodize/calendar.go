package periodize

import (
	"fmt"
	"slices"
	"time"
)

// calendar places sessions on days. A week is seven days from the block's
// first day, whatever day of the week that is.
type calendar struct {
	start time.Time // zero without dates
	test  time.Time // zero without a test day
	weeks int       // training and deload weeks
}

// newCalendar dates a block from a start, or back from a test day so that the
// test falls on the day after the last week ends. Days are midnights of UTC whatever zone they come in: elsewhere there are days
// without one.
func newCalendar(b *Block, start, test time.Time) calendar {
	start, test = midnight(start), midnight(test)
	c := calendar{start: start, test: test, weeks: b.Weeks + b.Finish.Deload}
	if start.IsZero() && !test.IsZero() {
		c.start = test.AddDate(0, 0, -7*c.weeks)
	}
	if test.IsZero() && !start.IsZero() && b.Finish.Test {
		c.test = start.AddDate(0, 0, 7*c.weeks)
	}
	return c
}

// check reports a test day that does not follow the block's last session
// within a week of its end.
func (c calendar) check(b *Block) error {
	if c.start.IsZero() || c.test.IsZero() {
		return nil
	}
	last := c.start
	for w := 1; w <= c.weeks; w++ {
		for i := range b.Sessions {
			if d := c.date(b, w, i); d.After(last) && b.Sessions[i].held(min(w, b.Weeks), b.Weeks) {
				last = d
			}
		}
	}
	end := c.start.AddDate(0, 0, 7*c.weeks-1)
	latest := end.AddDate(0, 0, 7)
	if !c.test.After(last) || c.test.After(latest) {
		return fmt.Errorf("the test day %s must lie after the last session (%s) and at most a week after the last week ends, so from %s to %s",
			c.test.Format(time.DateOnly), last.Format(time.DateOnly), last.AddDate(0, 0, 1).Format(time.DateOnly), latest.Format(time.DateOnly))
	}
	return nil
}

// held reports whether a session has any sets in a week of the block.
func (s *Session) held(week, weeks int) bool {
	some := func(t Track) bool {
		if t == nil {
			return true
		}
		v, ok := t.At(week, weeks)
		return ok && v.RoundHalfUp() > 0
	}
	return s.Weeks.Has(week) && slices.ContainsFunc(s.Work, func(it Item) bool {
		switch {
		case !it.Weeks.Has(week):
			return false
		case it.Build != nil:
			return true
		case len(it.Each) > 0:
			return slices.ContainsFunc(it.Each, func(w Work) bool { return some(w.Sets) })
		}
		return some(it.Sets)
	})
}

// midnight is a date as midnight UTC; zero stays zero.
func midnight(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// date is the day of session i in a week.
func (c calendar) date(b *Block, week, i int) time.Time {
	if c.start.IsZero() {
		return time.Time{}
	}
	return c.start.AddDate(0, 0, 7*(week-1)+dayOffsets(b, c.start.Weekday())[i])
}

// dayOffsets is the day of the week, 0 to 6 from the block's first day, of
// each session. A session that names its day gets it; the others are spread
// evenly over the week and move on to the next free day where one is taken.
func dayOffsets(b *Block, first time.Weekday) []int {
	n := len(b.Sessions)
	at := make([]int, n)
	var taken [7]bool
	for i := range b.Sessions {
		if d := b.Sessions[i].Day; d != nil {
			at[i] = ((int(*d)-int(first))%7 + 7) % 7 // whatever a block that Compile refuses has
			taken[at[i]] = true
		}
	}
	for i := range b.Sessions {
		if b.Sessions[i].Day != nil {
			continue
		}
		at[i] = i * 7 / n
		for k := range 7 {
			if d := (at[i] + k) % 7; !taken[d] {
				at[i] = d
				break
			}
		}
		taken[at[i]] = true
	}
	return at
}

// order is the sessions of a week by day, and by place in the file within a day.
func (c calendar) order(b *Block) []int {
	idx := make([]int, len(b.Sessions))
	for i := range idx {
		idx[i] = i
	}
	first := time.Monday
	if !c.start.IsZero() {
		first = c.start.Weekday()
	}
	// Without dates the file's own order stands unless every session names its day.
	if c.start.IsZero() && slices.ContainsFunc(b.Sessions, func(s Session) bool { return s.Day == nil }) {
		return idx
	}
	at := dayOffsets(b, first)
	slices.SortStableFunc(idx, func(x, y int) int { return at[x] - at[y] })
	return idx
}
