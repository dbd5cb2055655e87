package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// grid is a session of the week with its weeks as columns: what text and
// Markdown print when no week is asked for.
type grid struct {
	name  string
	weeks []*periodize.PlannedSession
	lines []gridLine
	marks *legend
}

// gridLine is one row: an exercise's first kind of set, or a further one.
type gridLine struct {
	label string
	first bool // begins an exercise
	cells []gridCell
}

// gridCell is one week's sets of a line: "4x6" and "72.5", or a remark alone.
type gridCell struct {
	amount, load string
}

// leftOut stands in a week without the exercise.
var leftOut = gridCell{amount: "-"}

// grids groups the chosen sessions of a plan by name, in the order of their
// first week.
func grids(p *periodize.Plan, opt *Options, u plates.Unit) []grid {
	var out []grid
	for i := range p.Sessions {
		s := &p.Sessions[i]
		if !opt.Has(s) {
			continue
		}
		at := slices.IndexFunc(out, func(g grid) bool {
			return g.name == s.Name && !slices.ContainsFunc(g.weeks, func(w *periodize.PlannedSession) bool { return w.Week == s.Week })
		})
		if at < 0 {
			out = append(out, grid{name: s.Name})
			at = len(out) - 1
		}
		out[at].weeks = append(out[at].weeks, s)
	}
	for i := range out {
		out[i].fill(p, u)
	}
	return out
}

// slot is one exercise of the session through the weeks.
type slot struct {
	item int
	lift string
	each []*periodize.Exercise // by week; nil where it is left out
}

func (g *grid) fill(p *periodize.Plan, u plates.Unit) {
	g.marks = newLegend(p, u)
	var slots []*slot
	for w, s := range g.weeks {
		for j := range s.Exercises {
			e := &s.Exercises[j]
			at := slices.IndexFunc(slots, func(x *slot) bool {
				return x.item == e.Item && x.lift == e.Lift.Name && x.each[w] == nil
			})
			if at < 0 {
				slots = append(slots, &slot{item: e.Item, lift: e.Lift.Name, each: make([]*periodize.Exercise, len(g.weeks))})
				at = len(slots) - 1
			}
			slots[at].each[w] = e
		}
	}
	// An exercise that joins in a later week stands where the block has it.
	slices.SortStableFunc(slots, func(a, b *slot) int { return a.item - b.item })
	for _, s := range slots {
		g.slot(p, s, u)
	}
}

// slot adds the lines of one exercise: sets that follow each other alike share
// a line, back-offs stand apart so that they line up through the weeks, unless
// some come before other sets.
func (g *grid) slot(p *periodize.Plan, s *slot, u plates.Unit) {
	n := len(s.each)
	var main, back [][]gridCell // by line, then week
	put := func(rows *[][]gridCell, k, w int, c gridCell) {
		for len(*rows) <= k {
			*rows = append(*rows, make([]gridCell, n))
		}
		(*rows)[k][w] = c
	}
	apart := !slices.ContainsFunc(s.each, backoffInside)
	var left [2][]gridCell // after the last main set and the last back-off
	label := ""
	for w, e := range s.each {
		if e == nil {
			put(&main, 0, w, leftOut)
			continue
		}
		if label == "" {
			label = words.Lift(e)
		}
		km, kb := 0, 0
		for _, r := range words.Runs(e.Sets) {
			st := &e.Sets[r.First]
			amount := words.Amount(st)
			if !st.AMRAP {
				amount = strings.ReplaceAll(amount, " ", "") // 30s
			}
			c := gridCell{
				amount: strconv.Itoa(r.N) + "x" + amount,
				load:   words.Load(e, st, u) + words.Mark(p, e, st),
			}
			g.marks.read(e, st)
			if apart && st.Kind == periodize.BackoffSet {
				put(&back, kb, w, c)
				kb++
			} else {
				put(&main, km, w, c)
				km++
			}
		}
		for k := range left {
			last := lastSet(e.Sets, func(s *periodize.Set) bool { return (apart && s.Kind == periodize.BackoffSet) == (k == 1) })
			if last == nil || last.AMRAP {
				continue
			}
			if t := words.Reserve(last, false); t != "" {
				if left[k] == nil {
					left[k] = make([]gridCell, n)
				}
				left[k][w].load = t
				g.marks.left(t, last, "sets above")
			}
		}
	}
	for k, cells := range main {
		l := gridLine{label: "  then", cells: cells}
		if k == 0 {
			l.label, l.first = label, true
		}
		g.lines = append(g.lines, l)
	}
	if left[0] != nil {
		g.lines = append(g.lines, gridLine{label: "  left", cells: left[0]})
	}
	for _, cells := range back {
		g.lines = append(g.lines, gridLine{label: "  back-off", cells: cells})
	}
	if left[1] != nil {
		g.lines = append(g.lines, gridLine{label: "  left", cells: left[1]})
	}
}

// backoffInside reports whether a back-off comes before another kind of set.
func backoffInside(e *periodize.Exercise) bool {
	if e == nil {
		return false
	}
	for i := 1; i < len(e.Sets); i++ {
		if e.Sets[i-1].Kind == periodize.BackoffSet && e.Sets[i].Kind != periodize.BackoffSet {
			return true
		}
	}
	return false
}

// lastSet is the last of the sets that are meant; nil for none.
func lastSet(sets []periodize.Set, of func(*periodize.Set) bool) *periodize.Set {
	for i := len(sets) - 1; i >= 0; i-- {
		if of(&sets[i]) {
			return &sets[i]
		}
	}
	return nil
}

// notesOf lists the notes of a session and its exercises, each once.
func (g *grid) notes() []string {
	var out []string
	add := func(s string) {
		if s != "" && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	for _, w := range g.weeks {
		if w.Note != "" {
			add(words.OneLine(w.Note))
		}
		for j := range w.Exercises {
			if e := &w.Exercises[j]; e.Note != "" {
				add(words.OneLine(e.Lift.Name) + ": " + words.OneLine(e.Note))
			}
		}
	}
	return out
}

// head is the lines over a week's column: the week, what it is, and its date.
func (g *grid) head(w int) []string {
	s := g.weeks[w]
	out := []string{fmt.Sprintf("week %d", s.Week)}
	switch s.Kind {
	case periodize.DeloadWeek:
		out[0] = "deload"
	case periodize.TestDay:
		out[0] = "test"
	}
	if d := words.ShortDate(s.Date); d != "" {
		out = append(out, d)
	}
	return out
}

// minutes is the times of the weeks' sessions, "" without any.
func (g *grid) minutes(w int) string {
	if m := g.weeks[w].Minutes; m != nil {
		return "~" + words.Number(m.Mid, 0)
	}
	return ""
}

func (g *grid) hasMinutes() bool {
	return slices.ContainsFunc(g.weeks, func(s *periodize.PlannedSession) bool { return s.Minutes != nil })
}
