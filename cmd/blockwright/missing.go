package main

import (
	"fmt"
	"strings"

	"github.com/blockwright/blockwright/periodize"
)

// missingText is every maximum that a roster lacks, the ways to give it, and
// what to paste.
func missingText(name string, e *periodize.MissingMaxError) string {
	var b strings.Builder
	for i, m := range e.Missing {
		if i == mostErrors {
			fmt.Fprintf(&b, "... and %d more\n", len(e.Missing)-i)
			break
		}
		if p := m.LifterPos.String(); p != "" {
			b.WriteString(p + ": ")
		}
		fmt.Fprintf(&b, "%s has no maximum for %q", m.Lifter, m.Lift)
		if p := m.ItemPos.String(); p != "" {
			fmt.Fprintf(&b, ", which %s needs", p)
		}
		b.WriteString("\n")
	}
	fmt.Fprintf(&b, "%s: %s missing; nothing was done. Three ways to give one:\n", name, verb(len(e.Missing), "maximum is", "maxima are"))
	b.WriteString("  a set        LIFT: {load: LOAD, reps: REPS, rir: RIR}     in the lifter's maxes\n")
	b.WriteString("  a test       LIFT: MAXIMUM                                in the lifter's maxes\n")
	b.WriteString("  a share      max: {of: ANOTHER LIFT, percent: PERCENT}    with the lift in the block\n")
	b.WriteString("To paste into the roster, with numbers in place of the capitals:\n\nlifters:\n")
	few := *e
	if len(few.Missing) > mostErrors {
		few.Missing = few.Missing[:mostErrors]
	}
	b.WriteString(few.Stub())
	if n := len(e.Missing) - len(few.Missing); n > 0 {
		fmt.Fprintf(&b, "# and so on: %d more\n", n)
	}
	return b.String()
}

func verb(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
