package periodize

import (
	"fmt"

	"github.com/blockwright/blockwright/plates"
)

// place is a session in words.
type place struct {
	week    int
	session string
}

// in is the place of a lift of the session; of the session for "".
func (p place) in(lift string) string {
	where := inWeek(p.week) + ", " + p.session
	if lift != "" {
		where += ", " + lift
	}
	return where
}

// collector gathers the warnings of a plan, one for each lift and kind, with
// the first place and the number of sets.
type collector struct {
	at   place
	list []collected
}

type collected struct {
	Finding
	lift  string
	sets  int
	exact plates.Exact // furthest asked for
	limit plates.Mass
}

// add notes a finding once for each lift.
func (c *collector) add(code string, sev Severity, lift, text, evidence string) {
	if c.find(code, lift) == nil {
		c.list = append(c.list, collected{lift: lift, Finding: Finding{Code: code, Severity: sev, Where: c.at.in(lift), Text: text, Evidence: evidence}})
	}
}

func (c *collector) find(code, lift string) *collected {
	for i := range c.list {
		if c.list[i].Code == code && c.list[i].lift == lift {
			return &c.list[i]
		}
	}
	return nil
}

// read looks through an exercise for weights that the gym cannot load.
func (c *collector) read(ex *Exercise) {
	for i := range ex.Sets {
		switch s := &ex.Sets[i]; {
		case s.Below:
			c.limit("below_minimum", ex, s)
		case s.Above:
			c.limit("above_stock", ex, s)
		}
	}
}

func (c *collector) limit(code string, ex *Exercise, s *Set) {
	f := c.find(code, ex.Lift.Name)
	if f == nil {
		c.list = append(c.list, collected{lift: ex.Lift.Name, exact: s.Exact, limit: s.Load,
			Finding: Finding{Code: code, Severity: Warning, Where: c.at.in(ex.Lift.Name)}})
		f = &c.list[len(c.list)-1]
	}
	f.sets++
	further := s.Exact.In(plates.KG) - f.exact.In(plates.KG)
	if code == "below_minimum" && further < 0 || code == "above_stock" && further > 0 {
		f.exact = s.Exact
	}
}

// findings is what was gathered, in words.
func (c *collector) findings(u plates.Unit) []Finding {
	out := make([]Finding, 0, len(c.list))
	for _, f := range c.list {
		switch f.Code {
		case "below_minimum":
			f.Text = fmt.Sprintf("%s for less than can be loaded (down to %s %s); the lightest is %s %s: use a lighter bar, another lift, or a higher percentage",
				setsAsk(f.sets), rounded(f.exact, u), u, f.limit.Text(u), u)
			f.Evidence = "arithmetic on the gym's equipment"
		case "above_stock":
			f.Text = fmt.Sprintf("%s for more than can be loaded (up to %s %s); the heaviest is %s %s: more plates are needed",
				setsAsk(f.sets), rounded(f.exact, u), u, f.limit.Text(u), u)
			f.Evidence = "arithmetic on the gym's equipment"
			if f.exact.In(plates.KG) > 1.5*f.limit.Kilograms() {
				f.Severity = Problem
				f.Text += ", or the maximum that was typed in is wrong"
			}
		}
		out = append(out, f.Finding)
	}
	return out
}

func setsAsk(n int) string {
	if n == 1 {
		return "1 set asks"
	}
	return fmt.Sprintf("%d sets ask", n)
}

// rounded prints an exact weight to a tenth of the unit.
func rounded(x plates.Exact, u plates.Unit) string {
	return x.RoundTo(u.One()/10, plates.Nearest).Text(u)
}
