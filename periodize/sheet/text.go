package sheet

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// text writes aligned columns. Without a week it prints, for each session of
// the week, a table with the weeks as columns; with one it prints that week's
// sessions set by set.
type text struct {
	w        *errWriter
	opt      Options
	block    *periodize.Block
	lifters  int
	findings [3]int // problems, warnings, notes
}

func newText(w io.Writer, opt Options) *text {
	if opt.Width <= 0 {
		opt.Width = 96
	}
	opt.Width = max(opt.Width, 40)
	if opt.Warnings == "" {
		opt.Warnings = "the warnings of the JSON output"
	}
	return &text{w: newErrWriter(w), opt: opt}
}

// Begin implements [Renderer].
func (t *text) Begin(b *periodize.Block) error {
	if err := t.opt.Check(b); err != nil {
		return err
	}
	t.block = b
	return nil
}

// Plan implements [Renderer].
func (t *text) Plan(p *periodize.Plan) error {
	u := t.opt.UnitOf(p)
	if t.lifters++; t.lifters > 1 {
		t.w.str("\n")
	}
	t.lifter(p, u)
	if t.opt.Week == 0 {
		t.overview(p, u)
	} else {
		t.week(p, u)
	}
	t.w.str("\n")
	for _, c := range Cautions(p) {
		t.item(c.Text)
	}
	t.count(p)
	return t.w.err
}

// End implements [Renderer].
func (t *text) End() error {
	if t.lifters > 0 {
		t.w.str("\n")
	}
	t.w.str(t.summary(), "\n")
	return t.w.flush()
}

// count adds up a plan's findings for the last line.
func (t *text) count(p *periodize.Plan) {
	for i := range p.Warnings {
		switch p.Warnings[i].Severity {
		case periodize.Problem:
			t.findings[0]++
		case periodize.Warning:
			t.findings[1]++
		default:
			t.findings[2]++
		}
	}
}

// summary is the last line: how many findings, and where to see them.
func (t *text) summary() string {
	var parts []string
	for i, what := range []string{"problem", "warning", "note"} {
		if n := t.findings[i]; n > 0 {
			parts = append(parts, words.Plural(n, what))
		}
	}
	if len(parts) == 0 {
		return "no warnings"
	}
	return strings.Join(parts, ", ") + ": see " + t.opt.Warnings
}

// bold marks a heading on a terminal.
func (t *text) bold(s string) string {
	if !t.opt.Color {
		return s
	}
	return "\x1b[1m" + s + "\x1b[0m"
}

func (t *text) faint(s string) string {
	if !t.opt.Color {
		return s
	}
	return "\x1b[36m" + s + "\x1b[0m"
}

// item prints a paragraph with a hanging indent.
func (t *text) item(s string) {
	t.w.str("- ", strings.ReplaceAll(texttab.Wrap(s, t.opt.Width-2), "\n", "\n  "), "\n")
}

// para prints a paragraph with an indent.
func (t *text) para(indent, s string) {
	if s != "" {
		t.w.str(indent, strings.ReplaceAll(texttab.Wrap(s, t.opt.Width-len(indent)), "\n", "\n"+indent), "\n")
	}
}

// lifter prints who a sheet is for, the block and the maxima.
func (t *text) lifter(p *periodize.Plan, u plates.Unit) {
	name := words.OneLine(p.Lifter.Name)
	t.w.str(t.bold(name))
	if a := words.About(p.Lifter, u); a != "" {
		t.w.str(" (", a, ")")
	}
	t.w.str("\n")
	t.para("", words.OneLine(p.Block.Title)+": "+words.Span(p))
	t.para("", words.OneLine(p.Block.Note))
	if len(p.Maxes) == 0 {
		return
	}
	t.w.str("\n")
	ranged := words.Ranged(p)
	cols := []texttab.Column{texttab.Wrapped("maximum", 32), texttab.Right(u.String())}
	if ranged {
		cols = append(cols, texttab.Right(words.RangeHead(p)))
	}
	cols = append(cols, texttab.Right("working"), texttab.Filling("where from"))
	tab := texttab.New(cols...)
	tab.Width = t.opt.Width
	tab.Style = t.style()
	for i := range p.Maxes {
		m := &p.Maxes[i]
		row := []string{words.OneLine(m.Lift), words.Max(m, u)}
		if ranged {
			row = append(row, words.Range(m, u))
		}
		from := words.OneLine(m.From)
		if m.Body > 0 {
			from += ", bodyweight counted in"
		}
		tab.Row(append(row, words.Mass(m.Working, u), from)...)
	}
	t.w.str(tab.String())
}

func (t *text) style() func(string) string {
	if !t.opt.Color {
		return nil
	}
	return t.faint
}

// overview prints one table a session, the weeks as columns, cut into pieces
// that fit the width.
func (t *text) overview(p *periodize.Plan, u plates.Unit) {
	marks := newLegend(p, u)
	for _, g := range grids(p, &t.opt, u) {
		t.grid(&g, u)
		marks.merge(g.marks)
	}
	if w := marks.words(); len(w) > 0 {
		t.w.str("\n")
		for _, s := range w {
			t.para("", s)
		}
	}
}

func (t *text) grid(g *grid, u plates.Unit) {
	labelW := texttab.Width("minutes")
	for i := range g.lines {
		g.lines[i].label = texttab.Wrap(g.lines[i].label, 30)
		for l := range strings.SplitSeq(g.lines[i].label, "\n") {
			labelW = max(labelW, texttab.Width(l))
		}
	}
	widths := make([]int, len(g.weeks)) // of the columns as printed
	for w := range g.weeks {
		widths[w] = g.columnWidth(w, u)
	}
	t.w.str("\n")
	for from := 0; from < len(g.weeks); {
		to, at := from, labelW
		for to < len(g.weeks) && (to == from || at+3+widths[to] <= t.opt.Width) {
			at += 3 + widths[to]
			to++
		}
		if from > 0 {
			t.w.str("\n")
		}
		t.piece(g, from, to, u)
		from = to
	}
	for _, n := range g.notes() {
		t.para("  ", n)
	}
}

// amountWidth is how wide the amounts of a week's column are.
func (g *grid) amountWidth(w int) int {
	a := 0
	for i := range g.lines {
		a = max(a, texttab.Width(g.lines[i].cells[w].amount))
	}
	return a
}

func (g *grid) loadWidth(w int, u plates.Unit) int {
	l := texttab.Width(u.String())
	for i := range g.lines {
		l = max(l, texttab.Width(g.lines[i].cells[w].load))
	}
	return l
}

func (g *grid) columnWidth(w int, u plates.Unit) int {
	n := max(g.amountWidth(w)+1+g.loadWidth(w, u), texttab.Width(g.minutes(w)))
	for _, h := range g.head(w) {
		n = max(n, texttab.Width(h))
	}
	return n
}

// piece prints the columns of some weeks. A column is two: amounts to the
// left, weights to the right under the unit.
func (t *text) piece(g *grid, from, to int, u plates.Unit) {
	cols := []texttab.Column{texttab.Left(words.OneLine(g.name))}
	for w := from; w < to; w++ {
		width := g.columnWidth(w, u)
		head := g.head(w)
		for i, h := range head {
			head[i] = texttab.PadLeft(h, width)
		}
		head = append(head, texttab.PadLeft(u.String(), width))
		cols = append(cols, texttab.Right(strings.Join(head, "\n")))
	}
	tab := texttab.New(cols...)
	tab.Gap = "   "
	tab.Style = t.style()
	for i := range g.lines {
		l := &g.lines[i]
		row := []string{l.label}
		empty := true
		for w := from; w < to; w++ {
			c := l.cells[w]
			empty = empty && (c == gridCell{} || c == leftOut)
			width := g.columnWidth(w, u)
			row = append(row, c.amount+texttab.PadLeft(c.load, width-texttab.Width(c.amount)))
		}
		if !empty {
			tab.Row(row...)
		}
	}
	if g.hasMinutes() {
		row := []string{"minutes"}
		for w := from; w < to; w++ {
			row = append(row, g.minutes(w))
		}
		tab.Row(row...)
	}
	t.w.str(tab.String())
}

// week prints the sessions of one week in full.
func (t *text) week(p *periodize.Plan, u plates.Unit) {
	n := 0
	marks := newLegend(p, u)
	for i := range p.Sessions {
		s := &p.Sessions[i]
		if !t.opt.Has(s) {
			continue
		}
		n++
		t.w.str("\n", t.bold(words.SessionTitle(s)))
		if m := words.Time(s); m != "" {
			t.w.str("  ", m)
		}
		t.w.str("\n")
		t.para("  ", words.OneLine(s.Note))
		for j := range s.Exercises {
			t.exercise(p, &s.Exercises[j], u, marks)
		}
	}
	if n == 0 {
		t.w.str("\nno session in week ", strconv.Itoa(t.opt.Week), "\n")
	}
	if w := marks.words(); len(w) > 0 {
		t.w.str("\n")
		for _, s := range w {
			t.para("", s)
		}
	}
}

func (t *text) exercise(p *periodize.Plan, e *periodize.Exercise, u plates.Unit, marks *legend) {
	t.w.str("\n  ", t.bold(words.Lift(e)))
	d := words.Details(e, u)
	if room := t.opt.Width - 4 - texttab.Width(words.Lift(e)); d != "" && texttab.Width(d) <= room {
		t.w.str("  ", d)
		d = ""
	}
	t.w.str("\n")
	t.para("    ", d)
	t.para("    ", words.OneLine(e.Note))

	rows := setRows(p, e, u)
	side := slices.ContainsFunc(rows, func(r setRow) bool { return r.side != "" })
	left := slices.ContainsFunc(rows, func(r setRow) bool { return r.left != "" })
	cols := []texttab.Column{texttab.Left("set"), texttab.Right(words.AmountHead(e)), texttab.Right(u.String())}
	if side {
		cols = append(cols, texttab.Wrapped("each side,\ninner first", 30))
	}
	cols = append(cols, texttab.Right("rest"))
	if left {
		cols = append(cols, texttab.Right("left"))
	}
	cols = append(cols, texttab.Filling("where from"))
	tab := texttab.New(cols...)
	tab.Width = t.opt.Width
	tab.Indent = "    "
	tab.Style = t.style()
	prev := ""
	for _, r := range rows {
		marks.row(e, &r)
		row := []string{r.label, r.amount, r.load}
		if side {
			row = append(row, r.side)
		}
		row = append(row, r.rest)
		if left {
			row = append(row, r.left)
		}
		from := r.from
		if from == prev && from != "" {
			from = `"`
		}
		prev = r.from
		tab.Row(append(row, from)...)
	}
	t.w.str(tab.String())
}

// setRow is one line of a session printed in full.
type setRow struct {
	set, last                                   *periodize.Set // the first of the run and its last
	n                                           int
	label, amount, load, side, rest, left, from string
}

// setRows is the warm-ups and sets of an exercise, alike ones together.
func setRows(p *periodize.Plan, e *periodize.Exercise, u plates.Unit) []setRow {
	var out []setRow
	add := func(sets []periodize.Set, label func(words.Run) string) {
		for _, r := range words.Runs(sets) {
			s, last := &sets[r.First], &sets[r.First+r.N-1]
			row := setRow{set: s, last: last, n: r.N, label: label(r), amount: words.Amount(s), load: words.Load(e, s, u) + words.Mark(p, e, s),
				side: words.PerSideText(e, s, u), rest: words.Rest(s.Rest), left: words.Reserve(last, true), from: words.From(e, s, u)}
			if s.Kind == periodize.WarmupSet {
				row.from = ""
			}
			if w := words.Kind(s.Kind); w != "" && s.Kind != periodize.WarmupSet {
				row.label += " " + w
			}
			out = append(out, row)
		}
	}
	add(e.Warmup, func(r words.Run) string {
		if r.N > 1 {
			return fmt.Sprintf("warm-up %dx", r.N)
		}
		return "warm-up"
	})
	add(e.Sets, func(r words.Run) string {
		if r.N > 1 {
			return fmt.Sprintf("%d-%d", r.First+1, r.First+r.N)
		}
		return strconv.Itoa(r.First + 1)
	})
	return out
}
