package periodize

import (
	"fmt"
	"slices"

	"github.com/blockwright/blockwright/plates"
)

// The first two attempts of a test day in per cent of the maximum that the
// block started from. Elite lifters who made every attempt opened at about 91 %
// of their third and went up by about 5 % (66 men and 43 women, looked-up; see
// testdata/attempts-published.csv); the third is left open.
var testAttempts = [...]plates.Ratio{ratio(91, 1), ratio(955, 10)}

// testRest is the rest between attempts: 3 to 5 min (ACSM's Guidelines for
// Exercise Testing and Prescription, 9th ed., 2014, 1RM procedure, looked-up).
const testRest = 240

// TestDayName is the name of the session that a test day is.
const TestDayName = "Test day"

// testDay appends a day for new maxima.
func (w *writer) testDay() {
	ps := PlannedSession{Week: w.s.cal.weeks + 1, Name: TestDayName, Kind: TestDay, Date: w.s.cal.test}
	if !ps.Date.IsZero() {
		d := ps.Date.Weekday()
		ps.Day = &d
	}
	w.notes.at = place{ps.Week, ps.Name}
	for _, name := range w.p.block.TestLifts() {
		def, im, lm := w.resolve(name)
		if im == nil || lm == nil || slices.ContainsFunc(ps.Exercises, func(e Exercise) bool { return e.Lift == def }) {
			continue
		}
		if def.Name != name {
			r := rule("swapped_test")
			w.notes.add(r.Code, r.Severity, def.Name, fmt.Sprintf("the test day works up to a new maximum of %s, which is done instead of %s: %s", def.Name, name, r.Advice), r.Evidence)
		}
		x := &pricing{w: w, def: def, im: im, lm: lm}
		ex := Exercise{Lift: def, Item: -1, Role: Focus, Loads: im.loads}
		for _, pct := range testAttempts {
			s := Set{Kind: TestSet, Reps: 1, Sides: 1, Rest: testRest}
			s.Origin = Origin{Kind: ByPercent, Value: pct, Working: lm.Max, Of: "the maximum before the block"}
			x.load(&s, lm.Max.Percent(pct).Add(-lm.Body))
			ex.Sets = append(ex.Sets, s)
		}
		open := Set{Kind: TestSet, Reps: 1, Sides: 1, Rest: testRest, Open: true}
		x.expectThird(&open, ex.Sets[len(ex.Sets)-1].Load)
		ex.Sets = append(ex.Sets, open)
		w.notes.read(&ex)
		ps.Exercises = append(ps.Exercises, ex)
	}
	if len(ps.Exercises) == 0 {
		return
	}
	w.complete(&ps)
	w.plan.Sessions = append(w.plan.Sessions, ps)
}

// expectThird is the range of the third attempt: it begins over the second, reaches at least the first weight over the
// maximum, since the day is for new ones, and is not rounded beyond what is thought possible.
func (x *pricing) expectThird(s *Set, second plates.Mass) {
	if x.expect(s, 1); !s.HasExpect {
		return
	}
	over := func(m plates.Mass) plates.Mass { return x.loadedHow(plates.ExactOf(m+1), plates.Up) }
	high := x.loadedHow(plates.ExactOf(x.lm.High-x.lm.Body), plates.Down)
	high = max(high, over(x.lm.Max-x.lm.Body))
	low := max(s.Expect[0], over(second))
	s.Expect = [2]plates.Mass{min(low, high), high}
}
