package workbook

import (
	"fmt"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
)

// warmup writes the sets before the work, a row each, without a number and with
// nothing to fill in. Where the first working weight follows a maximum they follow
// it: with the plan's weight they are the plan's, with another one the same shares
// of it, rounded to what can be loaded. One that is then no heavier than the one
// before, or no lighter than the work, is left out.
func (l *lifterSheet) warmup(e *periodize.Exercise) {
	first := -1 // the set that is warmed up for: see the package periodize
	for k := range e.Sets {
		if e.Sets[k].HasLoad && e.Sets[k].Reps > 0 {
			first = k
			break
		}
	}
	if first < 0 || len(e.Warmup) == 0 {
		return
	}
	work := &e.Sets[first]
	ref := cell(colLoad, l.w.n+1+len(e.Warmup)+first)
	var lad *ladder
	if e.Loads != nil {
		lad = l.b.tables.ladder(e, l.p.Lifter.Rounding, assists(l.p, e), l.u)
	}
	follows := l.follows(e, work) && lad != nil && work.Load > 0 && !work.Open
	st := l.st
	before := "" // what the warm-up before it is rounded to
	for k := range e.Warmup {
		s := &e.Warmup[k]
		row := l.w.n + 1
		load, at := s.Load.In(l.u), cell(colLoad, row)
		cells := make([]any, colFrom)
		cells[colLift-1] = text(st.text, words.Lift(e))
		cells[colKind-1] = text(st.text, words.Kind(s.Kind))
		cells[colReps-1] = value(st.count, s.Reps)
		cells[colLoad-1] = value(st.num, load)
		cells[colRest-1] = text(st.num, words.Rest(s.Rest))
		cells[colFrom-1] = text(st.from, s.Origin.Of) // true of another maximum too
		if follows {
			x := lad.formula(ref + "*" + literal(round(load/work.Load.In(l.u), 12)))
			// Rounded for the comparison alone: one engine loses its way in the
			// arguments of INDEX before a sign.
			y := "ROUND(" + x + ",6)"
			fits := y + "<ROUND(" + ref + ",6)"
			if before != "" {
				fits = fmt.Sprintf("AND(%s,%s>%s)", fits, y, before)
			}
			before = y
			cells[colLoad-1] = formula(st.num, fmt.Sprintf(`IF(ISNUMBER(%s),IF(%s,%s,IF(%s,%s,"")),"%s")`,
				ref, holds(ref, work.Load.In(l.u)), literal(load), fits, x, seePlan), load)
			cells[colReps-1] = formula(st.count, fmt.Sprintf(`IF(ISNUMBER(%s),%d,"")`, at, s.Reps), s.Reps)
			cells[colRest-1] = formula(st.num, fmt.Sprintf(`IF(ISNUMBER(%s),%s,"")`, at, quote(words.Rest(s.Rest))), words.Rest(s.Rest))
		}
		cells[colSide-1] = l.side(e, s, lad, row)
		l.w.tall(height(words.Lift(e), liftWidth+2, words.PerSideText(e, s, l.u), sideWidth+2), cells...)
	}
}
