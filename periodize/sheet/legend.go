package sheet

import (
	"fmt"
	"slices"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// legend says which signs a sheet used, so that only those are explained.
type legend struct {
	p        *periodize.Plan
	u        plates.Unit
	open     []string // how open-ended sets end
	find     bool     // a ? after a range
	limit    bool     // a ! after a weight
	over     bool     // a ^ after a weight
	body     bool     // added load and assistance
	odd      string   // a weight with more decimals than are printed
	side     bool     // plates of each side
	fails    bool     // <0 in reserve
	reserve  string   // what a reserve is after: "row" or "sets above"; "" without any
	predicts bool
}

func newLegend(p *periodize.Plan, u plates.Unit) *legend { return &legend{p: p, u: u} }

// row takes note of a row of a session printed in full.
func (l *legend) row(e *periodize.Exercise, r *setRow) {
	l.read(e, r.set)
	l.side = l.side || r.side != ""
	if r.left != "" {
		l.left(r.left, r.last, "row")
	}
}

// read takes note of a set's amount and weight.
func (l *legend) read(e *periodize.Exercise, s *periodize.Set) {
	if s.AMRAP {
		if t := words.Open(s); !slices.Contains(l.open, t) {
			l.open = append(l.open, t)
		}
	}
	l.find = l.find || s.Open
	l.limit = l.limit || s.Below || s.Above
	l.over = l.over || words.Over(l.p, e, s)
	l.body = l.body || s.HasLoad && e.Lift.BodyweightShare.Sign() > 0
	if l.odd == "" && s.HasLoad && !s.Open && words.Odd(s.Load, l.u) {
		l.odd = words.Mass(s.Load, l.u)
	}
}

// left takes note of a printed reserve.
func (l *legend) left(t string, s *periodize.Set, after string) {
	l.reserve = after
	l.fails = l.fails || t == "<0"
	l.predicts = l.predicts || s.Reserve != nil && !s.AMRAP
}

func (l *legend) merge(o *legend) {
	for _, t := range o.open {
		if !slices.Contains(l.open, t) {
			l.open = append(l.open, t)
		}
	}
	l.find = l.find || o.find
	l.limit = l.limit || o.limit
	l.over = l.over || o.over
	l.body = l.body || o.body
	if l.odd == "" {
		l.odd = o.odd
	}
	l.side = l.side || o.side
	l.fails = l.fails || o.fails
	l.predicts = l.predicts || o.predicts
	if l.reserve == "" {
		l.reserve = o.reserve
	}
}

// words explains the signs in use.
func (l *legend) words() []string {
	var out []string
	for _, t := range l.open {
		out = append(out, "open: "+t)
	}
	if l.find {
		out = append(out, "? work up to a weight in this range, and write down which")
	}
	if l.body {
		out = append(out, "+ or - before a weight: added to bodyweight or taken off it; bw: bodyweight alone")
	}
	if l.limit {
		out = append(out, "! the lightest or heaviest there is; the block asks for less or more")
	}
	if l.over {
		out = append(out, "^ more than the maximum that the plan is made from")
	}
	if l.odd != "" {
		out = append(out, fmt.Sprintf("weights such as %s %s are made with plates of another unit, rounded to 0.1", l.odd, l.u))
	}
	if l.side {
		out = append(out, "each side: the plates are chosen for the fewest moves through the session")
	}
	if l.reserve != "" {
		t := "left: repetitions in reserve after the last set of the row"
		if l.reserve != "row" {
			t = "left: repetitions in reserve after the last of the " + l.reserve
		}
		if l.predicts {
			t += ", ~ where predicted"
		}
		out = append(out, t)
	}
	if l.fails {
		out = append(out, "<0 left: the set is not expected to be completed as written; take a lighter weight or fewer repetitions")
	}
	return out
}
