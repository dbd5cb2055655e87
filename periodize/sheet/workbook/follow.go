package workbook

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// Nothing on a sheet may stay as it was planned once a maximum is typed over:
// an old weight beside new ones is one that somebody lifts. What a formula
// cannot work out again is blanked, or points to the plan.

// seePlan stands where a weight must be planned again.
const seePlan = "see plan"

// planned is the cell that says whether a row of the maxima is still the
// plan's; everything that does not follow by itself looks at it.
func (l *lifterSheet) planned(m *periodize.LiftMax, row int) excelize.Cell {
	conds := []string{holds(cell(colReps, row), m.Max.In(l.u)), holds(cell(colLoad, row), m.Working.In(l.u))}
	if m.Body != 0 {
		conds = append(conds, holds(cell(colDone, row), m.Body.In(l.u)))
	}
	return formula(l.st.num, `IF(AND(`+strings.Join(conds, ",")+`),"yes","no")`, "yes")
}

// asPlanned is the condition that a lift's maximum is still the plan's.
func (l *lifterSheet) asPlanned(lift string) string {
	return fixed(colDoneReps, l.rows[lift]) + `="yes"`
}

// guarded is text that holds for the planned maximum of a lift only, and what
// stands there with another. A lift without a maximum on the sheet has nothing
// that could change.
func (l *lifterSheet) guarded(style int, lift, s, other string) excelize.Cell {
	if l.rows[lift] == 0 || s == other {
		return text(style, s)
	}
	s, other = words.OneLine(s), words.OneLine(other)
	quoted := quote(s)
	if len(quoted) > maxQuoted || len(other) > maxQuoted {
		return text(style, "for the planned maximum: "+s)
	}
	return formula(style, fmt.Sprintf("IF(%s,%s,%s)", l.asPlanned(lift), quoted, quote(other)), s)
}

// A text within a formula has at most 255 characters, a formula 8192 (from
// memory); longer texts are joined out of pieces.
const (
	maxPiece  = 200
	maxQuoted = 3000
)

// quote writes text into a formula: quotation marks doubled, so that nothing
// in it ends the text.
func quote(s string) string {
	var parts []string
	for r := []rune(s); ; {
		n := min(len(r), maxPiece)
		parts = append(parts, `"`+strings.ReplaceAll(string(r[:n]), `"`, `""`)+`"`)
		if r = r[n:]; len(r) == 0 {
			return strings.Join(parts, "&")
		}
	}
}

// follows reports whether a set's weight, or the range of an open one, would be
// another with another maximum: all but weights that the block gives as a mass
// and drops from those.
func (l *lifterSheet) follows(e *periodize.Exercise, s *periodize.Set) bool {
	if l.rows[e.Lift.Name] == 0 || !s.HasLoad && !s.HasExpect {
		return false
	}
	switch s.Origin.Kind {
	case periodize.ByLoad:
		return false
	case periodize.ByDrop:
		// A drop from an open set does not name it.
		return s.Origin.Working != 0 || s.Origin.Heavy.RoundTo(1, plates.Nearest) == 0
	}
	return true
}

// reserve is the cell of the repetitions left: a prediction holds for the
// planned maximum, what the block asks for holds for any.
func (l *lifterSheet) reserve(e *periodize.Exercise, s *periodize.Set) excelize.Cell {
	t := words.Reserve(s, true)
	if s.AMRAP || s.Reserve == nil {
		return text(l.st.num, t)
	}
	asked := *s
	asked.Reserve = nil
	return l.guarded(l.st.num, e.Lift.Name, t, words.Reserve(&asked, true))
}

// expected is the cell of an open weight: the range it is expected in, as
// shares of the maximum, each end on its own side of what can be loaded; those
// of a drop are rounded as the lifter rounds.
func (l *lifterSheet) expected(e *periodize.Exercise, s *periodize.Set) excelize.Cell {
	t := words.Load(e, s, l.u)
	if !l.follows(e, s) {
		return text(l.st.num, t)
	}
	m, _ := l.p.Max(e.Lift.Name)
	if m.Max <= 0 || e.Loads == nil || e.Lift.BodyweightShare.Sign() > 0 {
		return l.guarded(l.st.num, e.Lift.Name, t, seePlan)
	}
	how := [2]plates.Rounding{plates.Down, plates.Up}
	if s.Origin.Kind == periodize.ByDrop {
		how = [2]plates.Rounding{l.p.Lifter.Rounding, l.p.Lifter.Rounding}
	}
	decimals := 2
	if l.u != l.p.Unit {
		decimals = 1
	}
	var end [2]string
	for i := range end {
		lad := l.b.tables.ladder(e, how[i], assists(l.p, e), l.u)
		share := round(s.Expect[i].In(l.u)/m.Max.In(l.u), 12)
		end[i] = "ROUND(" + lad.formula(fixed(colReps, l.rows[e.Lift.Name])+"*"+literal(share)) + fmt.Sprintf(",%d)", decimals)
	}
	return formula(l.st.num, fmt.Sprintf(`IF(%s,%s,IF(%s=%s,%s,%s&"-"&%s)&"?")`, l.asPlanned(e.Lift.Name), quote(t),
		end[0], end[1], end[0], end[0], end[1]), t)
}
