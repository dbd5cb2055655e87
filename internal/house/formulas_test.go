package house

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/response"
	"github.com/blockwright/blockwright/periodize/taper"
	"github.com/blockwright/blockwright/plates"
)

// Pages that are made out of tables in the code.
const (
	formulasPage = "../../cmd/blockwright/reference/formulas.md"
	findingsPage = "../../cmd/blockwright/reference/findings.md"
)

// TestFormulaTable: what the hand-kept table names exists, and what it quotes is
// quoted beside the code too.
func TestFormulaTable(t *testing.T) {
	exists := map[string]bool{}
	text := map[string]string{} // of a package's files, by its name
	named := map[string]bool{}  // identifiers that the table names
	for _, path := range publicPackages(t) {
		pkg := documented(t, path)
		for _, name := range identifiers(pkg) {
			exists[pkg.Name+"."+name] = true
		}
		for _, file := range goFiles(t, path) {
			b, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			text[pkg.Name] += string(b)
		}
	}
	for _, s := range formulaTable {
		for _, f := range s.rows {
			if f.what == "" || f.form == "" || f.valid == "" || len(f.where) == 0 {
				t.Errorf("%q: a column is empty", f.what)
			}
			if !slices.ContainsFunc(haves, func(h string) bool { return strings.HasPrefix(f.have, h) }) {
				t.Errorf("%q: how we have it is %q; want it to start with one of %q", f.what, f.have, haves)
			}
			quoted := ""
			for _, id := range f.where {
				if !exists[id] {
					t.Errorf("%q: there is no %s", f.what, id)
				}
				named[id] = true
				pkg, _, _ := strings.Cut(id, ".")
				quoted += text[pkg]
			}
			if f.source == "" {
				continue
			}
			for _, word := range strings.FieldsFunc(f.source, func(r rune) bool { return strings.ContainsRune(" ,;()", r) }) {
				if !strings.Contains(quoted, word) {
					t.Errorf("%q: the code of %v does not name %q of %q", f.what, f.where, word, f.source)
				}
			}
		}
	}

	// No file of the mathematics that speaks of a source is forgotten.
	speaks := regexp.MustCompile(`looked-up|from memory|no published source|[Oo]ur assumption`)
	for _, dir := range []string{"estimate", "plates", "periodize", "periodize/workload", "periodize/taper", "periodize/response", "periodize/logbook"} {
		for _, file := range goFiles(t, module+"/"+dir) {
			at := dir + "/" + filepath.Base(file)
			b, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			covered := slices.ContainsFunc(declared(t, file), func(id string) bool { return named[id] })
			switch why := noFormulas[at]; {
			case filepath.Base(file) == "doc.go" || !speaks.Match(b):
				if why != "" {
					t.Errorf("%s stands in noFormulas and speaks of no source", at)
				}
			case covered && why != "":
				t.Errorf("%s stands in noFormulas, and the table names what it declares", at)
			case !covered && why == "":
				t.Errorf("%s speaks of a source, and the table of formulas names nothing that it declares", at)
			}
		}
	}
}

// goFiles lists the files of a package that are no tests.
func goFiles(t *testing.T, path string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(root(t), filepath.FromSlash(short(path)), "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(files, func(f string) bool { return strings.HasSuffix(f, "_test.go") })
}

// declared lists what a file declares, as the table names it.
func declared(t *testing.T, file string) []string {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	pkg := f.Name.Name + "."
	var out []string
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.GenDecl:
			for _, s := range d.Specs {
				switch s := s.(type) {
				case *ast.TypeSpec:
					out = append(out, pkg+s.Name.Name)
				case *ast.ValueSpec:
					for _, n := range s.Names {
						out = append(out, pkg+n.Name)
					}
				}
			}
		case *ast.FuncDecl:
			name := d.Name.Name
			if d.Recv != nil {
				x := d.Recv.List[0].Type
				if star, ok := x.(*ast.StarExpr); ok {
					x = star.X
				}
				if id, ok := x.(*ast.Ident); ok {
					name = id.Name + "." + name
				}
			}
			out = append(out, pkg+name)
		}
	}
	return out
}

// TestFormulasPage and TestFindingsPage: the pages say what the tables in the
// code say; -update rewrites them.
func TestFormulasPage(t *testing.T) { checkFile(t, formulasPage, formulas()) }

func TestFindingsPage(t *testing.T) { checkFile(t, findingsPage, findings()) }

// mdTable writes a Markdown table.
type mdTable struct {
	strings.Builder
}

func (m *mdTable) head(columns ...string) {
	m.row(columns...)
	m.row(slices.Repeat([]string{"---"}, len(columns))...)
}

func (m *mdTable) row(cells ...string) {
	for _, c := range cells {
		c = strings.NewReplacer("|", `\|`, "<", "&lt;", "\n", " ").Replace(c)
		if !strings.Contains(c, "`") {
			c = strings.NewReplacer("*", `\*`, "_", `\_`).Replace(c)
		}
		m.WriteString("| " + c + " ")
	}
	m.WriteString("|\n")
}

func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// span is two numbers as a range.
func span(from, to float64) string {
	if from == to {
		return number(from)
	}
	return number(from) + " to " + number(to)
}

func lines(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), "; ")
}

// formulas is the page of formulas.
func formulas() string {
	var m mdTable
	m.WriteString(`# Every formula, and how we have it

Written by ` + "`go test ./internal/house -update`" + ` out of the tables beside the code, and out of
formula_table_test.go for what has none. How we have a source:

- *looked-up*: read in the publication or its abstract; *(secondary)*: read in a text that quotes it.
- *memory*: recalled, in no retrieved text. Never a hard check, never shown as a published fact.
- *derived*: follows from what stands beside it. *definition*: a choice of words or of arithmetic.
- *our assumption* and *common practice, no published source*: what the words say.

w is a load, r and n are repetitions (done and left), %1RM is per cent of the maximum.

`)
	for _, s := range formulaTable {
		m.WriteString("## " + s.title + "\n\n")
		m.head("what", "formula or rule", "studied, or answered for", "source", "how we have it", "in Go")
		for _, f := range s.rows {
			m.row(f.what, f.form, f.valid, f.source, f.have, "`"+strings.Join(f.where, "`, `")+"`")
		}
		m.WriteString("\n")
	}

	m.WriteString("## Equations for any unit of load (`estimate.Equations`)\n\n")
	m.head("id", "maximum", "made for", "repetitions", "source", "how we have it")
	for _, e := range estimate.Equations() {
		m.row("`"+e.ID+"`", "`"+e.Formula+"`", lines(e.Lift, e.Population), span(e.From, e.To)+": "+e.Range, e.Citation, lines(string(e.Have), e.Note))
	}
	m.WriteString("\n## Equations tied to a unit, a lift or a test (`estimate.Regressions`)\n\n")
	m.head("id", "maximum", "made for", "repetitions", "source", "how we have it")
	for _, e := range estimate.Regressions() {
		reps := "-"
		if e.To > 0 {
			reps = span(e.From, e.To) + ": " + e.Range
		}
		m.row("`"+e.ID+"`", "`"+e.Formula+"`, in "+string(e.Unit), lines(e.Lift, e.Population), reps, e.Citation, lines(string(e.Have), e.Note))
	}
	m.WriteString("\n## Curves of repetitions and the fraction of the maximum (`estimate.Curves`)\n\nEvery equation above is a curve too, by its identifier.\n\n")
	m.head("name", "%1RM covered", "lightest answered", "source", "how we have it")
	for _, c := range estimate.Curves() {
		if _, err := estimate.EquationByID(c.Name); err != nil {
			m.row(c.Name, span(100*c.From, 100*c.To), number(100*c.Min), c.Citation, lines(string(c.Have), c.Note))
		}
	}
	m.WriteString("\n## Printed tables (`estimate.Handbooks`)\n\n")
	m.head("id", "repetitions: %1RM", "source", "how we have it")
	for _, h := range estimate.Handbooks() {
		var rows, memory []string
		for _, r := range h.Rows {
			rows = append(rows, fmt.Sprintf("%d: %.0f", r.Reps, 100*r.Fraction))
			if r.Have == estimate.Memory {
				memory = append(memory, strconv.Itoa(r.Reps))
			}
		}
		have := string(h.Rows[0].Have)
		if len(memory) > 0 {
			have += ", memory for " + strings.Join(memory, ", ")
		}
		m.row("`"+h.ID+"`", strings.Join(rows, ", "), h.Citation, have)
	}
	m.WriteString("\n## Velocity lines of groups (`estimate.VelocityRelations`)\n\n")
	m.head("id", "%1RM, v in m/s", "exercise, measure", "studied", "source", "how we have it")
	for _, v := range estimate.VelocityRelations() {
		m.row("`"+v.ID+"`", "`"+v.Formula+"`", v.Exercise+", "+string(v.Measure), v.Range, v.Citation, lines(string(v.Have), v.Note))
	}
	m.WriteString("\n## Velocities of a maximal single (`estimate.VelocityThresholds`)\n\n")
	m.head("id", "m/s (SD)", "exercise, measure", "condition", "source", "how we have it")
	for _, v := range estimate.VelocityThresholds() {
		sd := ""
		if v.SD > 0 {
			sd = " (" + number(v.SD) + ")"
		}
		m.row("`"+v.ID+"`", number(v.Velocity)+sd, v.Exercise+", "+string(v.Measure), v.Condition, v.Citation, lines(string(v.Have), v.Note))
	}
	m.WriteString("\n## Warm-up protocols (`plates.Protocols`)\n\n")
	m.head("name", "%1RM x repetitions, rest in s", "source", "how we have it")
	for _, p := range plates.Protocols() {
		var steps []string
		for _, s := range p.Steps {
			step := fmt.Sprintf("%d-%d x %d-%d", s.Low, s.High, s.RepsLow, s.RepsHigh)
			if s.RestHigh > 0 {
				step += ", " + span(float64(s.RestLow), float64(s.RestHigh))
			}
			if s.Note != "" {
				step += " (" + s.Note + ")"
			}
			steps = append(steps, step)
		}
		m.row("`"+p.Name+"`", strings.Join(steps, "; "), p.Source, p.Have)
	}
	m.WriteString("\n## Last sessions before a meet (`taper.Rules`)\n\nDays before the meet; T-numbers are rows of `blockwright taper --evidence`.\n\n")
	m.head("lift", "last heavy", "last session", "evidence", "how we have it")
	for _, r := range taper.Rules() {
		m.row(string(r.Lift), fmt.Sprintf("%d to %d", r.Heavy.Near, r.Heavy.Far), fmt.Sprintf("%d to %d", r.Last.Near, r.Last.Far),
			strings.Join(r.Evidence, ", "), lines(string(r.How), r.Note))
	}
	m.WriteString("\n## Parameter sets of forecasts (`response.AssumedSets`)\n\nNone was measured on lifters.\n\n")
	m.head("name", "tau1, days", "tau2, days", "k2/k1", "from")
	for _, p := range response.AssumedSets() {
		m.row(p.Name, number(p.Tau1), number(p.Tau2), strconv.FormatFloat(p.Ratio, 'f', 2, 64), p.From)
	}
	return m.String()
}

// findings is the page of the findings of a review.
func findings() string {
	var m mdTable
	m.WriteString(`# The findings of a review

Written by ` + "`go test ./internal/house -update`" + ` out of periodize.Rules. ` + "`blockwright review --rules`" + `
prints the same.

A *problem* cannot be meant, a *warning* should be looked at, a *note* is worth knowing; some
rules go up to a problem in clear cases. Most thresholds are common practice, and each says
so or names its source. No finding is no proof that a plan suits anybody, and none judges the
risk of injury. Programs set thresholds in periodize.Thresholds and add checks of their own.

`)
	m.head("code", "severity", "what is found", "default threshold", "what to do", "evidence")
	for _, r := range periodize.Rules() {
		m.row("`"+r.Code+"`", string(r.Severity), r.About, r.Default, r.Advice, r.Evidence)
	}
	return m.String()
}

// TestBenchmarksPage: the benchmarks that the page names are there.
func TestBenchmarksPage(t *testing.T) {
	page, err := os.ReadFile("../../cmd/blockwright/reference/benchmarks.md")
	if err != nil {
		t.Fatal(err)
	}
	named := regexp.MustCompile(`-bench (\w+)\s+\./([a-z/]+)`).FindAllStringSubmatch(string(page), -1)
	if len(named) < 5 {
		t.Errorf("%d benchmarks named, want 5 or more", len(named))
	}
	for _, m := range named {
		files, err := filepath.Glob(filepath.Join(root(t), filepath.FromSlash(m[2]), "*_test.go"))
		if err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(files, func(file string) bool {
			b, err := os.ReadFile(file)
			return err == nil && regexp.MustCompile(`(?m)^func Benchmark\w*`+m[1]).Match(b)
		}) {
			t.Errorf("there is no benchmark %s in %s", m[1], m[2])
		}
	}
}
