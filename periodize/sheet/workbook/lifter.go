package workbook

import (
	"fmt"
	"math"
	"strings"

	"github.com/xuri/excelize/v2"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// lifterSheet writes one lifter's sheet.
type lifterSheet struct {
	b    *book
	p    *periodize.Plan
	u    plates.Unit
	w    *rows
	st   *styles
	rows map[string]int // row of each lift's maximum
}

// Widths of the columns of words, in digits of the default font. Longer text
// wraps, in a row that is higher.
const (
	liftWidth = 26
	sideWidth = 26
	fromWidth = 56
	lineWidth = 180 // characters of a paragraph across the sheet
)

// height is that of a row in points, by its texts and how many characters go
// on a line of each, which is more than the width says where the font is small;
// 0 leaves rows of one line to the program.
func height(texts ...any) float64 {
	most := 1
	for i := 0; i+1 < len(texts); i += 2 {
		most = max(most, 1+strings.Count(texttab.Wrap(texts[i].(string), texts[i+1].(int)), "\n"))
	}
	if most == 1 {
		return 0
	}
	return 15 * float64(most)
}

// para writes a paragraph across the sheet.
func (l *lifterSheet) para(style int, s string) {
	if s = words.OneLine(s); s == "" {
		return
	}
	for line := range strings.SplitSeq(texttab.Wrap(s, lineWidth), "\n") {
		l.w.put(text(style, line))
	}
}

func (l *lifterSheet) write() {
	w, st, p := l.w, l.st, l.p
	w.width(colLift, colLift, liftWidth)
	w.width(colSet, colSet, 5)
	w.width(colKind, colKind, 11)
	w.width(colReps, colReps, 10)
	w.width(colPct, colPct, 8)
	w.width(colLoad, colLoad, 11)
	w.width(colSide, colSide, sideWidth)
	w.width(colRest, colRest, 8)
	w.width(colLeft, colLeft, 11)
	w.width(colDone, colEst, 9)
	w.width(colFrom, colFrom, fromWidth)

	w.put(text(st.title, p.Lifter.Name))
	l.para(st.soft, strings.TrimSuffix(p.Block.Title+". "+p.Block.Note, " "))
	about := words.About(p.Lifter, l.u)
	if about != "" {
		about += ". "
	}
	l.para(st.soft, about+words.Span(p)+".")
	w.put()
	l.maxima()
	l.log()
	w.put()
	for _, c := range sheet.Cautions(p) {
		l.para(st.soft, c.Text)
	}
}

// maxima is the table that the weights follow.
func (l *lifterSheet) maxima() {
	w, st, p := l.w, l.st, l.p
	l.rows = map[string]int{}
	if len(p.Maxes) == 0 {
		return
	}
	u := l.u.String()
	w.tall(28, text(st.head, "retype a maximum and the weights follow"), value(st.head, nil), value(st.head, nil), text(st.headRight, "maximum "+u), text(st.headRight, "working, %"),
		text(st.headRight, "working "+u), text(st.head, "where from"), text(st.headRight, "likely from"), text(st.headRight, "to"), text(st.headRight, "bodyweight"), text(st.headRight, "as planned"))
	for i := range p.Maxes {
		l.rows[p.Maxes[i].Lift] = w.n + 1 + i
	}
	for i := range p.Maxes {
		m := &p.Maxes[i]
		row := w.n + 1
		pct := 100.0
		if p.Lifter.WorkingMax.Sign() > 0 {
			pct = p.Lifter.WorkingMax.Float64()
		}
		cells := []any{text(st.text, m.Lift), nil, nil, l.maximum(m), value(st.pct, pct),
			l.working(m, row, pct), l.guarded(st.from, m.Lift, words.OneLine(m.From), "no longer as planned"), nil, nil, nil, l.planned(m, row)}
		if m.Coverage > 0 {
			for col, end := range map[int]plates.Mass{colRest: m.Low, colLeft: m.High} {
				v := end.In(l.u)
				cells[col-1] = formula(st.num, fmt.Sprintf(`IF(%s,%s,"")`, l.asPlanned(m.Lift), literal(v)), v)
			}
		}
		if m.Body != 0 {
			cells[colDone-1] = value(st.num, m.Body.In(l.u))
		}
		w.tall(height(m.Lift, liftWidth+2, m.From, sideWidth+10), cells...)
	}
	w.put()
}

// maximum is the cell that a new maximum is typed into. One that is a share of
// another lift's follows it until it is typed over.
func (l *lifterSheet) maximum(m *periodize.LiftMax) excelize.Cell {
	v := m.Max.In(l.u)
	of, ok := l.shareOf(m)
	if !ok {
		return value(l.st.input, v)
	}
	k := unitFactor(l.p, l.u)
	base, _ := l.p.Max(of.Of)
	plus := of.Plus.In(l.u)
	pct := of.Percent.Float64()
	at := cell(colReps, l.rows[of.Of])
	f := tenthOf(fmt.Sprintf("%s*%s/100+%s", at, literal(pct), literal(plus)), k)
	if got := tenth((base.Max.In(l.u)*pct/100+plus)*k) / k; !same(got, v) {
		f = unless(at, base.Max.In(l.u), v, f)
	}
	return formula(l.st.input, f, v)
}

// shareOf is the lift and share that a maximum was derived from; ok is false
// for a maximum of the lifter's own or one whose lift is not on the sheet.
func (l *lifterSheet) shareOf(m *periodize.LiftMax) (*periodize.MaxFrom, bool) {
	for i := range l.p.Lifter.Maxes {
		if l.p.Lifter.Maxes[i].Lift == m.Lift {
			return nil, false
		}
	}
	def, ok := l.p.Block.Lift(m.Lift)
	if !ok || def.Max == nil {
		return nil, false
	}
	_, ok = l.rows[def.Max.Of]
	return def.Max, ok
}

// working is the cell of the working maximum.
func (l *lifterSheet) working(m *periodize.LiftMax, row int, pct float64) excelize.Cell {
	v := m.Working.In(l.u)
	k := unitFactor(l.p, l.u)
	f := tenthOf(cell(colReps, row)+"*"+cell(colPct, row)+"/100", k)
	if got := tenth(m.Max.In(l.u)*pct/100*k) / k; !same(got, v) {
		f = unless(cell(colReps, row), m.Max.In(l.u), v, f)
	}
	return formula(l.st.num, f, v)
}

// unless is the formula that gives the plan's own value as long as a cell
// holds the plan's number, and follows it otherwise.
func unless(at string, planned, v float64, follow string) string {
	return fmt.Sprintf("IF(%s,%s,%s)", holds(at, planned), literal(v), follow)
}

// holds is the condition that a cell holds a number, binary fractions aside.
func holds(at string, v float64) string {
	return fmt.Sprintf("ROUND(%s-%s,6)=0", at, literal(v))
}

// tenthOf is the formula of an expression in the sheet's unit, rounded to 0.1
// of the gym's, halves down. k is how many of the gym's units one of the
// sheet's is.
func tenthOf(expr string, k float64) string {
	if k == 1 {
		return "ROUND((" + expr + ")*10-0.000001,0)/10"
	}
	return "ROUND((" + expr + ")*" + literal(k) + "*10-0.000001,0)/10/" + literal(k)
}

// tenth is what that formula answers, in the gym's unit.
func tenth(x float64) float64 { return math.Round(x*10-1e-6) / 10 }

// same reports whether two weights are one, binary fractions aside.
func same(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(b)) }

// log is one row for each set, with what the lifter fills in.
func (l *lifterSheet) log() {
	w, st := l.w, l.st
	u := l.u.String()
	for i := range l.p.Sessions {
		s := &l.p.Sessions[i]
		if !l.b.opt.Has(s) {
			continue
		}
		title := words.SessionTitle(s)
		if t := words.Time(s); t != "" {
			title += ", " + t
		}
		band := make([]any, colFrom)
		for k := range band {
			band[k] = value(st.band, nil)
		}
		band[0] = text(st.band, title)
		w.put(band...)
		if s.Note != "" {
			l.para(st.soft, s.Note)
		}
		w.tall(28, text(st.head, "lift"), text(st.headRight, "set"), text(st.head, "kind"), text(st.headRight, "reps"), text(st.headRight, "%"), text(st.headRight, u),
			text(st.head, "each side of the bar, inner first"), text(st.headRight, "rest"), text(st.headRight, "left"), text(st.headRight, "done "+u),
			text(st.headRight, "done reps"), text(st.headRight, "done left"), text(st.headRight, "gives maximum"), text(st.head, "where from"))
		for j := range s.Exercises {
			e := &s.Exercises[j]
			if e.Note != "" {
				l.para(st.note, e.Lift.Name+": "+e.Note)
			}
			l.warmup(e)
			for k := range e.Sets {
				l.set(e, &e.Sets[k], k+1)
			}
		}
		w.put()
	}
}

// set is the row of one set.
func (l *lifterSheet) set(e *periodize.Exercise, s *periodize.Set, n int) {
	st := l.st
	row := l.w.n + 1
	cells := make([]any, colFrom)
	cells[colLift-1] = text(st.text, words.Lift(e))
	cells[colSet-1] = value(st.count, n)
	cells[colKind-1] = text(st.text, words.Kind(s.Kind))
	if s.Reps > 0 && s.RepsLow == 0 && !s.AMRAP {
		cells[colReps-1] = value(st.count, s.Reps)
	} else {
		cells[colReps-1] = text(st.num, words.Amount(s))
	}
	l.weight(e, s, row, cells)
	cells[colRest-1] = text(st.num, words.Rest(s.Rest))
	cells[colLeft-1] = l.reserve(e, s)
	in := st.input
	if e.Lift.BodyweightShare.Sign() > 0 {
		in = st.inputPlus
	}
	if s.Reps > 0 {
		if e.Lift.Uses != "" || e.Lift.BodyweightShare.Sign() > 0 {
			cells[colDone-1] = value(in, nil)
			cells[colEst-1] = l.estimate(e, row)
		}
		cells[colDoneLeft-1] = value(st.inputCount, nil)
	}
	cells[colDoneReps-1] = value(st.inputCount, nil)
	from := words.From(e, s, l.u)
	if s.Below || s.Above {
		from += "; the lightest or heaviest there is"
	}
	open := ""
	if s.AMRAP {
		open = words.Open(s)
	}
	join := func(a, b string) string { return strings.Trim(a+"; "+b, "; ") }
	if l.follows(e, s) {
		cells[colFrom-1] = l.guarded(st.from, e.Lift.Name, join(from, open), open)
	} else {
		cells[colFrom-1] = text(st.from, join(from, open))
	}
	from = join(from, open)
	l.w.tall(height(words.Lift(e), liftWidth+2, words.PerSideText(e, s, l.u), sideWidth+2, from, fromWidth+18), cells...)
}

// weight fills in the percentage, the weight and its plates: live where the
// weight comes from a maximum, plain where it was given as a mass.
func (l *lifterSheet) weight(e *periodize.Exercise, s *periodize.Set, row int, cells []any) {
	st := l.st
	style := st.bold
	if e.Lift.BodyweightShare.Sign() > 0 {
		style = st.boldPlus
	}
	if s.Open {
		cells[colLoad-1] = l.expected(e, s)
		return
	}
	if !s.HasLoad {
		return
	}
	load := s.Load.In(l.u)
	var lad *ladder
	if e.Loads != nil {
		lad = l.b.tables.ladder(e, l.p.Lifter.Rounding, assists(l.p, e), l.u)
	}
	cells[colLoad-1] = value(style, load)
	if l.follows(e, s) {
		if f, pct, ok := l.live(e, s, lad, row); ok {
			cells[colPct-1] = value(st.pct, pct)
			cells[colLoad-1] = formula(style, f, load)
		} else {
			cells[colLoad-1] = formula(style, fmt.Sprintf(`IF(%s,%s,"%s")`, l.asPlanned(e.Lift.Name), literal(load), seePlan), load)
		}
	}
	cells[colSide-1] = l.side(e, s, lad, row)
}

// side is the cell of the plates: those that the plan puts on, chosen for few
// changes through the session, as long as the weight is the plan's; else the
// fewest. They are numbers and units, so nothing that anybody typed gets into a
// formula.
func (l *lifterSheet) side(e *periodize.Exercise, s *periodize.Set, lad *ladder, row int) any {
	if lad == nil || lad.side == nil {
		return nil
	}
	side := words.PerSideText(e, s, l.u)
	return formula(l.st.text, fmt.Sprintf(`IF(ISNUMBER(%s),IF(%s,"%s",INDEX(%s,MATCH(%s,%s,0))),"")`,
		cell(colLoad, row), holds(cell(colLoad, row), s.Load.In(l.u)), side,
		column(lad.firstCol+2, len(lad.side)), cell(colLoad, row), column(lad.firstCol, len(lad.value))), side)
}

// live is the formula of a weight. ok is false for one that comes from no
// maximum on the sheet, or that the formula would not get to the last plate.
func (l *lifterSheet) live(e *periodize.Exercise, s *periodize.Set, lad *ladder, row int) (f string, pct float64, ok bool) {
	m, found := l.p.Max(e.Lift.Name)
	at := l.rows[e.Lift.Name]
	if !found || at == 0 || lad == nil {
		return "", 0, false
	}
	// The percentage is stated on the working maximum; a test day's on the maximum.
	base, ref := m.Working, fixed(colLoad, at)
	if s.Kind == periodize.TestSet {
		base, ref = m.Max, fixed(colReps, at)
	}
	if base <= 0 {
		return "", 0, false
	}
	if s.HasPercent && s.Kind != periodize.TestSet {
		pct = s.Percent.Float64()
	} else {
		pct = 100 * s.Exact.Add(m.Body).In(l.u) / base.In(l.u)
		pct = round(pct, 9) // 91 rather than 91.00000000000001
	}
	body := m.Body.In(l.u)
	if lad.total[lad.lookUp(base.In(l.u), pct, body)] != s.Load {
		return "", 0, false
	}
	exact := ref + "*" + cell(colPct, row) + "/100"
	if m.Body != 0 {
		exact += "-" + fixed(colDone, at)
	}
	return lad.formula(exact), pct, true
}

// estimate is the maximum that follows from what was done: the weight over the
// share of the maximum at the repetitions done and left, to the half. What was
// left may be blank.
func (l *lifterSheet) estimate(e *periodize.Exercise, row int) any {
	r := l.b.tables.curve(e.Lift.Curve)
	if r == nil {
		return nil
	}
	load, reps := cell(colDone, row), cell(colDoneReps, row)
	n := fmt.Sprintf("SUM(%s,%s)", reps, cell(colDoneLeft, row))
	system := load
	if at, ok := l.rows[e.Lift.Name]; ok {
		if m, _ := l.p.Max(e.Lift.Name); m.Body != 0 {
			system = "(" + load + "+" + fixed(colDone, at) + ")"
		}
	}
	return formula(l.st.num, fmt.Sprintf(`IF(AND(ISNUMBER(%s),ISNUMBER(%s)),IF(AND(%s>=1,%s<=%d),%s/INDEX(%s,ROUND(%s*2,0)),""),"")`,
		load, reps, reps, n, len(r.share)/2, system, column(r.col, len(r.share)), n), "")
}
