package sheet

import (
	_ "embed"
	"html"
	"io"
	"strconv"
	"strings"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

//go:embed sheet.css
var stylesheet string

// htmlSheet writes one self-contained page: no scripts, nothing fetched, one
// printed page or more for each lifter and week, with boxes to write in what
// was done.
type htmlSheet struct {
	w     *errWriter
	opt   Options
	pages int
}

func newHTML(w io.Writer, opt Options) *htmlSheet {
	return &htmlSheet{w: newErrWriter(w), opt: opt}
}

var esc = html.EscapeString

// Begin implements [Renderer].
func (h *htmlSheet) Begin(b *periodize.Block) error {
	if err := h.opt.Check(b); err != nil {
		return err
	}
	h.w.str(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>`, esc(words.OneLine(b.Title)), `</title>
<style>
`, stylesheet, `</style>
</head>
<body>
`)
	return h.w.err
}

// Plan implements [Renderer].
func (h *htmlSheet) Plan(p *periodize.Plan) error {
	u := h.opt.UnitOf(p)
	cautions := Cautions(p)
	for i := 0; i < len(p.Sessions); {
		from := i
		for i++; i < len(p.Sessions) && p.Sessions[i].Week == p.Sessions[from].Week; i++ {
		}
		h.page(p, p.Sessions[from:i], u, cautions)
		h.w.spill()
	}
	return h.w.err
}

// End implements [Renderer].
func (h *htmlSheet) End() error {
	if h.pages == 0 {
		h.w.str("<p>No sessions.</p>\n")
	}
	h.w.str("</body>\n</html>\n")
	return h.w.flush()
}

// page is what one lifter does in one week.
func (h *htmlSheet) page(p *periodize.Plan, sessions []periodize.PlannedSession, u plates.Unit, cautions []Caution) {
	begun := false
	marks := newLegend(p, u)
	for k := range sessions {
		s := &sessions[k]
		if !h.opt.Has(s) {
			continue
		}
		if !begun {
			begun = true
			h.pages++
			h.head(p, s, u)
		}
		h.session(p, s, u, marks)
	}
	if !begun {
		return
	}
	h.w.str("<footer>\n<p class=\"who\">", esc(words.OneLine(p.Lifter.Name)), ", ", words.Week(&sessions[0]), "</p>\n")
	if words := marks.words(); len(words) > 0 {
		h.w.str("<p>", esc(strings.Join(words, ". ")), ".</p>\n")
	}
	h.w.str("<p>")
	for i, c := range cautions {
		if i > 0 {
			h.w.str(" ")
		}
		h.w.str(esc(c.Text))
	}
	h.w.str("</p>\n</footer>\n</article>\n")
}

func (h *htmlSheet) head(p *periodize.Plan, s *periodize.PlannedSession, u plates.Unit) {
	h.w.str("<article>\n<header>\n<h1>", esc(words.OneLine(p.Lifter.Name)), "</h1>\n<p class=\"week\">")
	if s.Kind == periodize.Training {
		h.w.str("week ", strconv.Itoa(s.Week), " of ", strconv.Itoa(p.Block.Weeks))
	} else {
		h.w.str(words.Week(s))
	}
	h.w.str("</p>\n<p class=\"block\">", esc(words.OneLine(p.Block.Title)))
	if p.Block.Note != "" {
		h.w.str(". ", esc(words.OneLine(p.Block.Note)))
	}
	h.w.str("</p>\n")
	if len(p.Maxes) > 0 {
		h.w.str(`<p class="maxes">Working maximum, `, u.String(), ":")
		for i := range p.Maxes {
			m := &p.Maxes[i]
			if i > 0 {
				h.w.str(";")
			}
			h.w.str(" ", esc(words.OneLine(m.Lift)), " <b>", words.Mass(m.Working, u), "</b>")
			if r := words.Range(m, u); r != "" {
				h.w.str(" (maximum ", words.Max(m, u), ", likely ", r, ")")
			}
		}
		h.w.str("</p>\n")
	}
	h.w.str("</header>\n")
}

func (h *htmlSheet) session(p *periodize.Plan, s *periodize.PlannedSession, u plates.Unit, marks *legend) {
	h.w.str("<section>\n<h2>", esc(words.OneLine(s.Name)))
	if d := words.Day(s); d != "" && !strings.EqualFold(d, s.Name) {
		h.w.str(" <span>", esc(d), "</span>")
	}
	if t := words.Time(s); t != "" {
		h.w.str(" <span>", esc(t), "</span>")
	}
	// A page that a session begins must say whose it is.
	h.w.str(` <span class="who">`, esc(words.OneLine(p.Lifter.Name)), ", ", words.Week(s), "</span></h2>\n")
	if s.Note != "" {
		h.w.str(`<p class="note">`, esc(words.OneLine(s.Note)), "</p>\n")
	}
	for j := range s.Exercises {
		h.exercise(p, &s.Exercises[j], u, marks)
	}
	h.w.str("</section>\n")
}

func (h *htmlSheet) exercise(p *periodize.Plan, e *periodize.Exercise, u plates.Unit, marks *legend) {
	h.w.str("<div class=\"lift\">\n<h3>", esc(words.Lift(e)))
	if d := words.Details(e, u); d != "" {
		h.w.str(" <span>", esc(d), "</span>")
	}
	h.w.str("</h3>\n")
	if e.Note != "" {
		h.w.str(`<p class="note">`, esc(words.OneLine(e.Note)), "</p>\n")
	}
	from := `<span class="from">where from</span>` // not printed, like what is under it
	if words.IsBar(e.Loads) {
		from = "each side, inner first"
	}
	h.w.str("<table>\n<thead><tr><th>sets<th>", words.AmountHead(e), "<th>", u.String(), "<th>", from, "<th>rest<th>left<th>done</tr></thead>\n<tbody>\n")
	unit := `<span class="u"> ` + u.String() + `</span>` // shown where the heads are not
	for _, r := range setRows(p, e, u) {
		marks.row(e, &r)
		if r.set.Kind == periodize.WarmupSet {
			h.w.str(`<tr class="warmup">`)
		} else {
			h.w.str("<tr>")
		}
		load := esc(r.load)
		switch {
		case r.set.Open:
			load = `<i></i> <small>` + load + unit + `</small>`
		case load == "":
			load = "&ndash;"
		default:
			load += unit
		}
		amount, kind := esc(r.amount), ""
		if r.set.AMRAP {
			amount = strings.Replace(amount, " open", " <small>open</small>", 1)
		}
		if w := words.Kind(r.set.Kind); w != "" {
			kind = " <small>" + w + "</small>"
		}
		h.w.str(`<td class="n">`, strconv.Itoa(r.n), `<td class="a">`, amount, kind, `<td class="w">`, load,
			`<td class="p">`)
		if r.side != "" {
			h.w.str("<span>", esc(r.side), "</span>")
		}
		if r.from != "" {
			h.w.str(` <small class="from">`, esc(r.from), `</small>`)
		}
		h.w.str(`<td class="r">`, r.rest, `<td class="l">`, esc(r.left), `<td class="d">`)
		if r.set.Kind != periodize.WarmupSet {
			for range r.n {
				h.w.str("<i></i>")
			}
		}
		h.w.str("</tr>\n")
	}
	h.w.str("</tbody>\n</table>\n</div>\n")
}
