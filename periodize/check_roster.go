package periodize

import (
	"fmt"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/plates"
)

// check reports what is wrong with a gym whoever built it. Bars, plates and stations
// that cannot be loaded are found where a lift uses them.
func (g *Gym) check() (errs []error) {
	where := "gym"
	if g.Name != "" {
		where += " " + g.Name
	}
	fail := func(format string, args ...any) {
		errs = append(errs, &Error{Pos: g.Pos, Where: where, Msg: fmt.Sprintf(format, args...)})
	}
	if g.Unit > plates.LB {
		fail("units must be kg or lb, got %s", g.Unit)
	}
	names := map[string]bool{}
	once := func(kind, name string) {
		if names[name] {
			fail("%s: a second %s of this name: want names that differ", name, kind)
		}
		names[name] = true
	}
	for i := range g.Stations {
		once("station", g.Stations[i].Name)
	}
	for i := range g.Bars {
		once("bar", g.Bars[i].Name)
		if n := g.Bars[i].Have; n < 0 || n > MaxBars {
			fail("%s: have must be 1 to %d, or 0 for one, got %d", g.Bars[i].Name, MaxBars, n)
		}
	}
	return errs
}

// check reports what is wrong with a lifter whoever built it, what only decides what a
// plan prints beside its numbers included.
func (l *Lifter) check(b *Block) (errs []error) {
	fail := func(pos Pos, format string, args ...any) {
		errs = append(errs, &Error{Pos: pos, Where: l.place(), Msg: fmt.Sprintf(format, args...)})
	}
	if strings.TrimSpace(l.Name) == "" {
		fail(l.Pos, "a lifter has no name: want one")
	}
	switch l.Level {
	case "", Novice, Intermediate, Advanced:
	default:
		fail(l.Pos, "level must be one of %v, got %q", Levels(), l.Level)
	}
	if l.Age != 0 && (l.Age < MinAge || l.Age > MaxAge) {
		fail(l.Pos, "age must be %d to %d years, or 0 where it is not given, got %d", MinAge, MaxAge, l.Age)
	}
	if l.Sex != "" && !slices.Contains(Sexes(), l.Sex) {
		fail(l.Pos, "sex must be one of %v, or left out, got %q", Sexes(), l.Sex)
	}
	if l.Bodyweight != 0 && (l.Bodyweight < MinBodyweight || l.Bodyweight > MaxBodyweight) {
		fail(l.Pos, "bodyweight must be %s to %s, or 0 where it is not given, got %s", MinBodyweight, MaxBodyweight, l.Bodyweight)
	}
	switch l.Aim {
	case "", AimLower, AimMiddle:
	default:
		fail(l.Pos, "aim must be one of %v, got %q", Aims(), l.Aim)
	}
	if l.Rounding > plates.NearestUp {
		fail(l.Pos, "rounding must be nearest, down or up, got number %d", l.Rounding)
	}
	if v := l.WorkingMax.Float64(); v < 0 || v > 120 {
		fail(l.Pos, "working_max must be 0 to 120 per cent, got %s", l.WorkingMax)
	}
	if v := l.Volume.Float64(); v < 0 || v > 300 {
		fail(l.Pos, "volume must be 0 to 300 per cent, got %s", l.Volume)
	}
	seen := map[string]bool{}
	for i := range l.Maxes {
		m := &l.Maxes[i]
		if seen[m.Lift] {
			fail(m.Pos, "%s: a second maximum for this lift: want one", m.Lift)
		}
		seen[m.Lift] = true
		m.check(fail)
	}
	clear(seen)
	for _, s := range l.Swaps {
		if _, ok := b.Lift(s.From); !ok {
			fail(s.Pos, "swap: %q is not a lift of the block", s.From)
		}
		if seen[s.From] {
			fail(s.Pos, "swap: %q is replaced twice: want one lift for it", s.From)
		}
		seen[s.From] = true
		if s.From == s.To {
			fail(s.Pos, "swap: %q is replaced by itself: want another lift, or the swap left out", s.From)
		}
	}
	for i := range l.Adjust {
		a := &l.Adjust[i]
		if _, ok := b.Lift(a.Lift); !ok {
			fail(a.Pos, "adjust: %q is not a lift of the block", a.Lift)
		}
		if last := b.Weeks + b.Finish.Deload; a.Week < 1 || a.Week > last {
			fail(a.Pos, "adjust: week must be 1 to %d, got %d", last, a.Week)
		}
		if v := a.Percent.Float64(); v < -90 || v > 100 {
			fail(a.Pos, "adjust: percent must be -90 to 100, got %s", a.Percent)
		}
		if a.Sets < -50 || a.Sets > 50 {
			fail(a.Pos, "adjust: sets must be -50 to 50, got %d", a.Sets)
		}
	}
	return errs
}

// place is a lifter in words.
func (l *Lifter) place() string {
	if strings.TrimSpace(l.Name) == "" {
		return "lifters"
	}
	return l.Name
}

// check reports masses of a maximum that cannot be meant.
func (m *MaxEntry) check(fail func(pos Pos, format string, args ...any)) {
	within := func(what string, x plates.Mass) {
		if x < MinAdded || x > MaxLoad {
			fail(m.Pos, "%s: %s must be %s to %s, got %s", m.Lift, what, MinAdded, MaxLoad, x)
		}
	}
	within("the maximum", m.Tested)
	within("the low end of the maximum", m.Low)
	within("the high end of the maximum", m.High)
	for i := range m.Sets {
		within("the load of a set", m.Sets[i].Load)
	}
}
