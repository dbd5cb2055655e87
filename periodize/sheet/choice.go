package sheet

import (
	"fmt"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/periodize"
)

// Check reports a week or a session that a block does not have, as an [*OptionError].
// Renderers ask it when they begin, so that a slip is no empty sheet or calendar.
func (o *Options) Check(b *periodize.Block) error {
	if err := o.checkWeek(); err != nil {
		return err
	}
	last := b.Weeks + b.Finish.Deload
	if b.Finish.Test {
		last++
	}
	if o.Week > last {
		return &OptionError{"Week", fmt.Sprintf("want a week from 1 to %d, or 0 for all, got %d", last, o.Week)}
	}
	var names []string
	for i := range b.Sessions {
		names = append(names, b.Sessions[i].Name)
	}
	if b.Finish.Test {
		names = append(names, periodize.TestDayName)
	}
	for _, s := range o.Sessions {
		if !slices.Contains(names, s) {
			return &OptionError{"Sessions", fmt.Sprintf("there is no session %q; want of %s", s, strings.Join(names, ", "))}
		}
	}
	// What is left of deload weeks and the test day is known with the plans.
	if len(o.Sessions) > 0 && 0 < o.Week && o.Week <= b.Weeks && !slices.ContainsFunc(b.Sessions, func(s periodize.Session) bool {
		return slices.Contains(o.Sessions, s.Name) && s.Weeks.Has(o.Week)
	}) {
		return &OptionError{"Sessions", fmt.Sprintf("week %d has no %s", o.Week, strings.Join(o.Sessions, " and no "))}
	}
	return nil
}

// checkWeek is what can be said of a week before there is a block.
func (o *Options) checkWeek() error {
	const most = periodize.MaxWeeks + periodize.MaxDeload + 1 // the last for the test day
	if o.Week < 0 || o.Week > most {
		return &OptionError{"Week", fmt.Sprintf("want a week from 1 to %d, or 0 for all, got %d", most, o.Week)}
	}
	return nil
}
