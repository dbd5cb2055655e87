package sheet

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// markdown writes GitHub Flavored Markdown: the same tables as text, an
// overview with the weeks as columns or one week in full.
type markdown struct {
	w    *errWriter
	opt  Options
	text *text // counts the findings
}

func newMarkdown(w io.Writer, opt Options) *markdown {
	t := newText(w, opt)
	return &markdown{w: t.w, opt: t.opt, text: t}
}

// Begin implements [Renderer].
func (m *markdown) Begin(b *periodize.Block) error {
	if err := m.opt.Check(b); err != nil {
		return err
	}
	m.w.str("# ", mdLine(b.Title), "\n")
	if b.Note != "" {
		m.w.str("\n", mdLine(b.Note), "\n")
	}
	return m.w.err
}

// Plan implements [Renderer].
func (m *markdown) Plan(p *periodize.Plan) error {
	u := m.opt.UnitOf(p)
	m.w.str("\n## ", mdLine(p.Lifter.Name), "\n\n")
	if a := words.About(p.Lifter, u); a != "" {
		m.w.str(mdLine(a), ". ")
	}
	m.w.str(mdLine(words.Span(p)), ".\n")
	m.maxes(p, u)
	marks := newLegend(p, u)
	if m.opt.Week == 0 {
		for _, g := range grids(p, &m.opt, u) {
			m.grid(&g, u)
			marks.merge(g.marks)
		}
	} else {
		for i := range p.Sessions {
			if s := &p.Sessions[i]; m.opt.Has(s) {
				m.session(p, s, u, marks)
			}
		}
	}
	if w := marks.words(); len(w) > 0 {
		m.w.str("\n")
		for _, s := range w {
			m.w.str("- ", mdLine(s), "\n")
		}
	}
	m.w.str("\n")
	for _, c := range Cautions(p) {
		m.w.str("- ", mdLine(c.Text), "\n")
	}
	m.text.count(p)
	return m.w.err
}

// End implements [Renderer].
func (m *markdown) End() error {
	m.w.str("\n", mdLine(m.text.summary()), "\n")
	return m.w.flush()
}

// table writes a table; right says which columns are numbers.
func (m *markdown) table(head []string, right []bool, rows [][]string) {
	m.w.str("\n|")
	for _, h := range head {
		m.w.str(" ", h, " |")
	}
	m.w.str("\n|")
	for _, r := range right {
		if r {
			m.w.str(" --: |")
		} else {
			m.w.str(" :-- |")
		}
	}
	m.w.str("\n")
	for _, row := range rows {
		m.w.str("|")
		for _, c := range row {
			m.w.str(" ", c, " |")
		}
		m.w.str("\n")
	}
}

func (m *markdown) maxes(p *periodize.Plan, u plates.Unit) {
	if len(p.Maxes) == 0 {
		return
	}
	head, right := []string{"maximum", u.String()}, []bool{false, true}
	ranged := words.Ranged(p)
	if ranged {
		head, right = append(head, words.RangeHead(p)), append(right, true)
	}
	head, right = append(head, "working", "where from"), append(right, true, false)
	var rows [][]string
	for i := range p.Maxes {
		x := &p.Maxes[i]
		from := x.From
		if x.Body > 0 {
			from += ", bodyweight counted in"
		}
		row := []string{mdCell(x.Lift), words.Max(x, u)}
		if ranged {
			row = append(row, words.Range(x, u))
		}
		rows = append(rows, append(row, words.Mass(x.Working, u), mdCell(from)))
	}
	m.table(head, right, rows)
}

func (m *markdown) grid(g *grid, u plates.Unit) {
	m.w.str("\n### ", mdLine(g.name), "\n")
	head := []string{"sets and " + u.String()}
	right := []bool{false}
	for w := range g.weeks {
		head = append(head, strings.Join(g.head(w), "<br>"))
		right = append(right, true)
	}
	var rows [][]string
	for i := range g.lines {
		l := &g.lines[i]
		row := []string{mdCell(strings.TrimSpace(l.label))}
		if l.first {
			row[0] = "**" + row[0] + "**"
		}
		for _, c := range l.cells {
			row = append(row, mdCell(strings.TrimSpace(c.amount+" "+c.load)))
		}
		rows = append(rows, row)
	}
	if g.hasMinutes() {
		row := []string{"minutes"}
		for w := range g.weeks {
			row = append(row, mdCell(g.minutes(w)))
		}
		rows = append(rows, row)
	}
	m.table(head, right, rows)
	if notes := g.notes(); len(notes) > 0 {
		m.w.str("\n")
		for _, n := range notes {
			m.w.str("- ", mdLine(n), "\n")
		}
	}
}

func (m *markdown) session(p *periodize.Plan, s *periodize.PlannedSession, u plates.Unit, marks *legend) {
	m.w.str("\n### ", mdLine(words.SessionTitle(s)), "\n")
	if t := words.Time(s); t != "" {
		m.w.str("\n", mdLine(t), "\n")
	}
	if s.Note != "" {
		m.w.str("\n", mdLine(s.Note), "\n")
	}
	for j := range s.Exercises {
		e := &s.Exercises[j]
		m.w.str("\n**", mdLine(words.Lift(e)), "**")
		if d := words.Details(e, u); d != "" {
			m.w.str(", ", mdLine(d))
		}
		m.w.str("\n")
		if e.Note != "" {
			m.w.str("\n", mdLine(e.Note), "\n")
		}
		rows := setRows(p, e, u)
		side := slices.ContainsFunc(rows, func(r setRow) bool { return r.side != "" })
		left := slices.ContainsFunc(rows, func(r setRow) bool { return r.left != "" })
		head := []string{"set", "sets", words.AmountHead(e), u.String()}
		right := []bool{false, true, true, true}
		if side {
			head, right = append(head, "each side, inner first"), append(right, false)
		}
		head, right = append(head, "rest"), append(right, true)
		if left {
			head, right = append(head, "left"), append(right, true)
		}
		head, right = append(head, "where from", "done"), append(right, false, false)
		var out [][]string
		for _, r := range rows {
			marks.row(e, &r)
			row := []string{mdCell(r.label), strconv.Itoa(r.n), mdCell(r.amount), mdCell(r.load)}
			if side {
				row = append(row, mdCell(r.side))
			}
			row = append(row, r.rest)
			if left {
				row = append(row, mdCell(r.left))
			}
			out = append(out, append(row, mdCell(r.from), ""))
		}
		m.table(head, right, out)
	}
}
