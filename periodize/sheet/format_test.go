package sheet_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
	"github.com/blockwright/blockwright/plates"
)

var update = flag.Bool("update", false, "rewrite the golden files")

var stamp = time.Date(2027, 9, 1, 12, 0, 0, 0, time.UTC)

func render(t testing.TB, prog *periodize.Program, f sheet.Format, opt sheet.Options) string {
	t.Helper()
	if opt.Stamp.IsZero() {
		opt.Stamp = stamp
	}
	var buf bytes.Buffer
	r, err := sheet.New(f, &buf, opt)
	if err != nil {
		t.Fatal(err)
	}
	if err := sheet.Render(r, prog.Block(), prog.Plans()); err != nil {
		t.Fatal(err)
	}
	return buf.String()
}

// golden compares with a file under testdata, which -update rewrites. What was
// got is kept beside it when they differ.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
		kept := filepath.Join(t.ArtifactDir(), name)
		os.WriteFile(kept, []byte(got), 0o644)
		t.Errorf("%s (-want +got):\n%s", path, diff)
	}
}

func TestGolden(t *testing.T) {
	prog := example.Program(t)
	golden(t, "all.txt", render(t, prog, sheet.Text, sheet.Options{}))
	golden(t, "all.md", render(t, prog, sheet.Markdown, sheet.Options{}))
	for _, f := range sheet.Formats() {
		golden(t, "week3."+f.Extension(), render(t, prog, f, sheet.Options{Week: 3}))
	}
	golden(t, "lines.jsonl", render(t, prog, sheet.JSON, sheet.Options{Lines: true, Week: 5, Sessions: []string{"Thursday"}}))
}

func TestTextKeepsItsWidth(t *testing.T) {
	prog := example.Program(t)
	for _, width := range []int{0, 80, 100, 120} {
		for _, week := range []int{0, 2, 3, 5, 6} {
			limit := width
			if limit == 0 {
				limit = 96
			}
			for line := range strings.Lines(render(t, prog, sheet.Text, sheet.Options{Width: width, Week: week})) {
				line = strings.TrimSuffix(line, "\n")
				if w := texttab.Width(line); w > limit {
					t.Errorf("width %d, week %d: %d columns: %s", width, week, w, line)
				}
				if strings.TrimRight(line, " ") != line {
					t.Errorf("space at the end of %q", line)
				}
			}
		}
	}
}

func TestTextColourCarriesNothing(t *testing.T) {
	prog := example.Program(t)
	for _, week := range []int{0, 3} {
		plain := render(t, prog, sheet.Text, sheet.Options{Week: week})
		colour := render(t, prog, sheet.Text, sheet.Options{Week: week, Color: true})
		if !strings.Contains(colour, "\x1b[") || strings.Contains(plain, "\x1b") {
			t.Fatal("escapes are not where they should be")
		}
		if got := regexp.MustCompile(`\x1b\[[0-9;]*m`).ReplaceAllString(colour, ""); got != plain {
			t.Errorf("without its escapes the coloured text differs:\n%s", cmp.Diff(plain, got))
		}
	}
}

func TestTextEnds(t *testing.T) {
	prog := example.Program(t)
	out := render(t, prog, sheet.Text, sheet.Options{Warnings: "blockwright review BLOCK ROSTER"})
	last := out[strings.LastIndex(strings.TrimSuffix(out, "\n"), "\n")+1:]
	n := map[periodize.Severity]int{}
	for p := range prog.Plans() {
		for _, f := range p.Warnings {
			n[f.Severity]++
		}
	}
	if n[periodize.Warning] == 0 {
		t.Fatal("the example has no warning")
	}
	if want := fmt.Sprintf("%d warnings", n[periodize.Warning]); !strings.Contains(last, want) || !strings.HasSuffix(last, ": see blockwright review BLOCK ROSTER\n") {
		t.Errorf("last line %q", last)
	}
	var buf bytes.Buffer
	r, _ := sheet.New(sheet.Text, &buf, sheet.Options{})
	if err := sheet.Render(r, prog.Block(), func(func(*periodize.Plan) bool) {}); err != nil || buf.String() != "no warnings\n" {
		t.Errorf("nobody: %q, %v", buf.String(), err)
	}
}

// Without an interval there is no column for one, and no "0% range" over it.
func TestNoRangeOfTestedMaxima(t *testing.T) {
	prog := oneLift(t, 1, nil, squats(70, 5))
	for _, f := range []sheet.Format{sheet.Text, sheet.Markdown, sheet.HTML} {
		if out := render(t, prog, f, sheet.Options{}); strings.Contains(out, "% range") || strings.Contains(out, "likely") {
			t.Errorf("%s has a range of maxima that were tested:\n%s", f, out)
		}
	}
}

// No name or note can bring in a line of its own or the escapes of a terminal.
func TestTextIsClean(t *testing.T) {
	block, roster := example.Block(), example.Roster()
	block.Title = "two\nlines \x1b[31mred"
	block.Sessions[0].Note = "a\r\nb\u0085c"
	block.Sessions[0].Work[0].Note = "\x07bell"
	roster.Lifters[0].Name = "Il\tse\x1b]0;title\x07"
	prog, err := periodize.Compile(block, roster)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range sheet.Formats() {
		for _, week := range []int{0, 1} {
			out := render(t, prog, f, sheet.Options{Week: week})
			if i := strings.IndexFunc(out, func(r rune) bool {
				return r < 0x20 && r != '\n' && r != '\r' || r == 0x7f || r == 0x85 && f != sheet.JSON
			}); i >= 0 && f != sheet.CSV {
				t.Errorf("%s: control character in %q", f, out[max(0, i-20):i+5])
			}
		}
	}
}

func TestUnitOverride(t *testing.T) {
	prog := example.Program(t)
	u := plates.LB
	out := render(t, prog, sheet.Text, sheet.Options{Unit: &u, Week: 1})
	// 140 kg is 308.647 lb, computed by hand from 0.45359237 kg exactly.
	if !strings.Contains(out, "308.6") || strings.Contains(out, "  kg  ") {
		t.Errorf("pounds for everybody:\n%.900s", out)
	}
	// A 20 kg plate keeps its own name beside pounds.
	if !strings.Contains(out, "20kg") {
		t.Error("kilogram plates lost their unit")
	}
}

func TestErrors(t *testing.T) {
	var fe *sheet.FormatError
	if _, err := sheet.New("pdf", io.Discard, sheet.Options{}); !errors.As(err, &fe) || err.Error() != `sheet: format "pdf" is not known; want text, md, html, csv, json, ics` {
		t.Errorf("err = %v", err)
	}
	for _, c := range []struct {
		f    sheet.Format
		opt  sheet.Options
		want string
	}{
		{sheet.Calendar, sheet.Options{}, "sheet: Stamp: a calendar needs the moment of its export"},
		{sheet.Calendar, sheet.Options{Stamp: stamp, Sequence: -1}, "sheet: Sequence: want 0 for the first issue and more for later ones, got -1"},
		{sheet.CSV, sheet.Options{Columns: []string{"lod"}}, `sheet: Columns: no column "lod"; there are ` + strings.Join(sheet.CSVColumns(), ", ")},
	} {
		var oe *sheet.OptionError
		if _, err := sheet.New(c.f, io.Discard, c.opt); !errors.As(err, &oe) || err.Error() != c.want {
			t.Errorf("err = %v, want %s", err, c.want)
		}
	}
	for _, c := range []struct {
		opt  sheet.Options
		want string
	}{
		{sheet.Options{Week: -1}, "sheet: Week: want a week from 1 to 57, or 0 for all, got -1"},
		{sheet.Options{Week: 99}, "sheet: Week: want a week from 1 to 57, or 0 for all, got 99"},
		{sheet.Options{Week: 7}, "sheet: Week: want a week from 1 to 6, or 0 for all, got 7"},
		{sheet.Options{Sessions: []string{"Thursdy"}}, `sheet: Sessions: there is no session "Thursdy"; want of Monday, Thursday, Test day`},
	} {
		for _, f := range sheet.Formats() {
			c.opt.Stamp = stamp
			r, err := sheet.New(f, io.Discard, c.opt)
			if err == nil {
				err = sheet.Render(r, example.Block(), example.Program(t).Plans())
			}
			var oe *sheet.OptionError
			if !errors.As(err, &oe) || err.Error() != c.want {
				t.Errorf("%s: err = %v, want %s", f, err, c.want)
			}
		}
	}
	other := example.Block()
	other.Sessions[1].Weeks = periodize.OddWeeks()
	if err := (&sheet.Options{Week: 2, Sessions: []string{other.Sessions[1].Name}}).Check(other); err == nil || err.Error() != "sheet: Sessions: week 2 has no "+other.Sessions[1].Name {
		t.Errorf("a session of other weeks: %v", err)
	}
	roster := example.Roster()
	roster.Start = time.Time{}
	prog, err := periodize.Compile(example.Block(), roster)
	if err != nil {
		t.Fatal(err)
	}
	r, err := sheet.New(sheet.Calendar, io.Discard, sheet.Options{Stamp: stamp})
	if err != nil {
		t.Fatal(err)
	}
	var de *sheet.DateError
	if err := sheet.Render(r, prog.Block(), prog.Plans()); !errors.As(err, &de) || de.Lifter != "Ilse Ørn" {
		t.Errorf("err = %v", err)
	}
}

type failing struct{ left int }

func (f *failing) Write(p []byte) (int, error) {
	if f.left -= len(p); f.left < 0 {
		return 0, io.ErrShortWrite
	}
	return len(p), nil
}

func TestWriteErrorsAreReported(t *testing.T) {
	prog := example.Program(t)
	for _, f := range sheet.Formats() {
		for _, room := range []int{0, 5000} {
			r, err := sheet.New(f, &failing{room}, sheet.Options{Stamp: stamp})
			if err != nil {
				t.Fatal(err)
			}
			if err := sheet.Render(r, prog.Block(), prog.Plans()); !errors.Is(err, io.ErrShortWrite) {
				t.Errorf("%s with room for %d bytes: err = %v", f, room, err)
			}
		}
	}
}

// The shapes that scripts rely on, with every field named.
type (
	jsonDoc struct {
		Unit    string       `json:"unit"`
		Block   string       `json:"block"`
		Lifters []jsonLifter `json:"lifters"`
	}
	jsonLine struct {
		Unit  string `json:"unit"`
		Block string `json:"block"`
		jsonLifter
	}
	jsonLifter struct {
		Name     string             `json:"name"`
		Level    *string            `json:"level"`
		Maxes    map[string]jsonMax `json:"maxes"`
		Sessions []jsonSession      `json:"sessions"`
		Warnings []jsonFinding      `json:"warnings"`
		Cautions []map[string]string
	}
	jsonMax struct {
		Max, Low, High, Working, Body float64
		Coverage                      *float64
		From                          string
	}
	jsonSession struct {
		Week       int
		Name, Kind string
		Day, Date  *string
		Minutes    *jsonRange
		Limit      *float64
		Moves      int
		Note       *string
		Exercises  []jsonExercise
	}
	jsonExercise struct {
		Lift                   string
		Role, Pair, Uses, Note *string
		Warmup, Sets           []jsonSet
	}
	jsonSet struct {
		Kind            string
		Load            *float64
		Reps            *int
		RepsLow         *int `json:"reps_low"`
		Seconds, Metres *float64
		Sides           int
		AMRAP           bool `json:"amrap"`
		Leave           *float64
		Cap             *int
		Open            bool
		Expect          *[2]float64
		Percent, Exact  *float64
		PerSide         []any   `json:"per_side"`
		Rest            float64 `json:"rest_s"`
		RIR             *float64
		Reserve         *jsonRange
		Below           bool `json:"below_minimum"`
		Above           bool `json:"above_stock"`
		From            *string
	}
	jsonRange   struct{ Mid, Low, High float64 }
	jsonFinding struct{ Code, Severity, Where, Text, Evidence string }
)

func strict(t *testing.T, s string, v any) {
	t.Helper()
	d := json.NewDecoder(strings.NewReader(s))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		t.Fatal(err)
	}
}

func TestJSONHoldsThePlan(t *testing.T) {
	prog := example.Program(t)
	var doc jsonDoc
	strict(t, render(t, prog, sheet.JSON, sheet.Options{}), &doc)
	if doc.Unit != "kg" || doc.Block != "Harbour squat & press" || len(doc.Lifters) != prog.Len() {
		t.Fatalf("frame: %q, %q, %d lifters", doc.Unit, doc.Block, len(doc.Lifters))
	}
	for i, l := range doc.Lifters {
		checkLifter(t, prog.Plan(i), &l, plates.KG)
	}
	// A script that needs a key must find it even where there is nothing to say.
	var raw struct {
		Lifters []struct {
			Sessions []struct {
				Exercises []struct{ Sets []map[string]any }
			}
		}
	}
	if err := json.Unmarshal([]byte(render(t, prog, sheet.JSON, sheet.Options{})), &raw); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"kind", "load", "reps", "amrap", "percent", "exact", "per_side", "rest_s", "reserve", "below_minimum", "above_stock", "from"} {
		for _, s := range raw.Lifters[0].Sessions {
			for _, e := range s.Exercises {
				for _, set := range e.Sets {
					if _, ok := set[key]; !ok {
						t.Fatalf("a set has no %q: %v", key, set)
					}
				}
			}
		}
	}
}

func TestJSONLines(t *testing.T) {
	prog := example.Program(t)
	out := render(t, prog, sheet.JSON, sheet.Options{Lines: true})
	lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	if len(lines) != prog.Len() {
		t.Fatalf("%d lines for %d lifters", len(lines), prog.Len())
	}
	for i, s := range lines {
		var l jsonLine
		strict(t, s, &l)
		if l.Unit != "kg" || l.Block == "" {
			t.Errorf("line %d: unit %q, block %q", i, l.Unit, l.Block)
		}
		checkLifter(t, prog.Plan(i), &l.jsonLifter, plates.KG)
	}
}

func checkLifter(t *testing.T, p *periodize.Plan, l *jsonLifter, u plates.Unit) {
	t.Helper()
	if l.Name != p.Lifter.Name || len(l.Maxes) != len(p.Maxes) || len(l.Sessions) != len(p.Sessions) || len(l.Warnings) != len(p.Warnings) || len(l.Cautions) == 0 {
		t.Fatalf("%s: %d maxes, %d sessions, %d warnings, %d cautions", l.Name, len(l.Maxes), len(l.Sessions), len(l.Warnings), len(l.Cautions))
	}
	for _, m := range p.Maxes {
		if got := l.Maxes[m.Lift]; got.Max != m.Max.In(u) || got.Working != m.Working.In(u) || got.Low != m.Low.In(u) || got.High != m.High.In(u) {
			t.Errorf("%s, %s: %+v", p.Lifter.Name, m.Lift, got)
		}
	}
	for i := range p.Sessions {
		s, js := &p.Sessions[i], &l.Sessions[i]
		if js.Week != s.Week || js.Name != s.Name || js.Date == nil || *js.Date != s.Date.Format(time.DateOnly) || *js.Day != strings.ToLower(s.Date.Format("Mon")) {
			t.Errorf("session %d: %+v", i, js)
		}
		for j := range s.Exercises {
			e, je := &s.Exercises[j], &js.Exercises[j]
			if je.Lift != e.Lift.Name || len(je.Sets) != len(e.Sets) || len(je.Warmup) != len(e.Warmup) {
				t.Fatalf("exercise: %+v", je)
			}
			for k := range e.Sets {
				set, jset := &e.Sets[k], &je.Sets[k]
				switch {
				case (jset.Load != nil) != set.HasLoad || set.HasLoad && *jset.Load != set.Load.In(u):
					t.Errorf("load %v, plan %v", jset.Load, set.Load)
				case (jset.Reps != nil) != (set.Reps > 0) || set.Reps > 0 && *jset.Reps != set.Reps:
					t.Errorf("reps %v, plan %v", jset.Reps, set.Reps)
				case (jset.Percent != nil) != set.HasPercent || set.HasPercent && *jset.Percent != set.Percent.Float64():
					t.Errorf("percent %v, plan %v", jset.Percent, set.Percent)
				}
				if e.Lift.Uses != "olympic" || !set.HasLoad || set.Open {
					continue
				}
				// The plates of both sides and the bar make the weight.
				bar, _ := e.Loads.Bar()
				sum := (bar.Mass + bar.Collars).In(u)
				for _, plate := range jset.PerSide {
					switch x := plate.(type) {
					case float64:
						sum += 2 * x
					case map[string]any:
						sum += 2 * x["mass"].(float64)
					}
				}
				if math.Abs(sum-*jset.Load) > 1e-9 {
					t.Errorf("%v and the bar make %v, the load is %v", jset.PerSide, sum, *jset.Load)
				}
			}
		}
	}
}

func TestCSVRows(t *testing.T) {
	prog := example.Program(t)
	out := render(t, prog, sheet.CSV, sheet.Options{})
	if strings.Count(out, "\n") != strings.Count(out, "\r\n") || !strings.HasSuffix(out, "\r\n") {
		t.Error("lines do not all end in CR LF")
	}
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	head := rows[0]
	col := func(name string) int { return slices.Index(head, name) }
	n := 1
	for p := range prog.Plans() {
		u := p.Unit
		for i := range p.Sessions {
			for j := range p.Sessions[i].Exercises {
				e := &p.Sessions[i].Exercises[j]
				for _, set := range slices.Concat(e.Warmup, e.Sets) {
					r := rows[n]
					n++
					if want := sheet.Defuse(p.Lifter.Name); r[col("lifter")] != want || r[col("lift")] != e.Lift.Name || r[col("week")] != strconv.Itoa(p.Sessions[i].Week) {
						t.Fatalf("row %d: %v", n, r)
					}
					load := r[col("load")]
					if set.Open || !set.HasLoad {
						if load != "" {
							t.Errorf("row %d: load %q of an open set", n, load)
						}
					} else if v, err := strconv.ParseFloat(load, 64); err != nil || math.Abs(v-set.Load.In(u)) > 1e-9 {
						t.Errorf("row %d: load %q, plan %v", n, load, set.Load.In(u))
					}
				}
			}
		}
	}
	if n != len(rows) {
		t.Errorf("%d rows, the plans have %d sets", len(rows)-1, n-1)
	}
	if !strings.Contains(out, "'=Bo") {
		t.Error("a name that begins with = is not defused")
	}

	cols := []string{"lifter", "week", "day", "set", "reps", "load"}
	out = render(t, prog, sheet.CSV, sheet.Options{Columns: cols, Week: 1})
	rows, err = csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil || !slices.Equal(rows[0], cols) {
		t.Errorf("chosen columns: %v, %v", rows[0], err)
	}
}

// Assistance stays a negative number: only text is defused.
func TestCSVNegativeLoads(t *testing.T) {
	block, roster := example.Block(), example.Roster()
	roster.Gyms[0].Stations[0] = periodize.Station{Name: "belt", From: example.KG(2.5), To: example.KG(40), Step: example.KG(2.5), Assist: true}
	roster.Lifters = roster.Lifters[1:2]
	roster.Lifters[0].Maxes[2] = periodize.MaxEntry{Lift: "dip", Sets: []periodize.DoneSet{{Load: -example.KG(20), Reps: 5}}}
	prog, err := periodize.Compile(block, roster)
	if err != nil {
		t.Fatal(err)
	}
	out := render(t, prog, sheet.CSV, sheet.Options{Columns: []string{"lift", "load"}})
	if !regexp.MustCompile(`(?m)^dip,-\d+(\.\d+)?\r$`).MatchString(out) {
		t.Errorf("no negative load:\n%.600s", out)
	}
}

func TestHTMLIsSelfContainedAndEscaped(t *testing.T) {
	prog := example.Program(t)
	out := render(t, prog, sheet.HTML, sheet.Options{})
	for _, bad := range []string{"<script", "http:", "https:", "url(", "<link", "<img", "<Jr.>", "@import", "javascript:"} {
		if strings.Contains(out, bad) {
			t.Errorf("the page has %q", bad)
		}
	}
	if !strings.Contains(out, "=Bo &lt;Jr.&gt;") || !strings.Contains(out, "Harbour squat &amp; press") {
		t.Error("names are not escaped")
	}
	// One page for each lifter and week: four weeks, a deload week, a test day.
	if got, want := strings.Count(out, "<article>"), 6*prog.Len(); got != want {
		t.Errorf("%d pages, want %d", got, want)
	}
	for _, tag := range []string{"article", "section", "table", "div", "header", "footer", "h1", "h2", "h3", "p", "span", "small", "i"} {
		opens := len(regexp.MustCompile(`<`+tag+`[ >]`).FindAllString(out, -1))
		if closes := strings.Count(out, "</"+tag+">"); opens != closes {
			t.Errorf("<%s> opens %d times and closes %d times", tag, opens, closes)
		}
	}
	// A box for every set, and none for warm-ups.
	sets, open := 0, 0
	for p := range prog.Plans() {
		for _, s := range p.Sessions {
			for _, e := range s.Exercises {
				sets += len(e.Sets)
				for _, set := range e.Sets {
					if set.Open {
						open++
					}
				}
			}
		}
	}
	if got := strings.Count(out, "<i></i>"); got != sets+open {
		t.Errorf("%d boxes, want %d for %d sets and %d open weights", got, sets+open, sets, open)
	}
}

// luminance and contrast are WCAG 2.2's relative luminance and contrast ratio
// (definitions; looked-up, the form of the ratio from memory).
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	hex = strings.TrimPrefix(strings.TrimSpace(hex), "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	n, err := strconv.ParseUint(hex, 16, 32)
	if err != nil || len(hex) != 6 {
		t.Fatalf("colour %q: %v", hex, err)
	}
	lin := func(c uint64) float64 {
		s := float64(c&0xff) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(n>>16) + 0.7152*lin(n>>8) + 0.0722*lin(n)
}

func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func TestContrastVectors(t *testing.T) {
	f, err := os.Open("../../testdata/contrast.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		if got := fmt.Sprintf("%.2f %.2f", contrast(t, r[1], "#fff"), contrast(t, r[1], "#000")); got != r[2]+" "+r[3] {
			t.Errorf("%s: %s, want %s %s", r[0], got, r[2], r[3])
		}
	}
}

// Every colour of text stands out from both backgrounds by at least 4.5:1, and
// every rule and box by at least 3:1, on screen light and dark and on paper.
func TestHTMLContrast(t *testing.T) {
	css, err := os.ReadFile("sheet.css")
	if err != nil {
		t.Fatal(err)
	}
	themes := regexp.MustCompile(`:root \{([^}]*)\}`).FindAllStringSubmatch(string(css), -1)
	if len(themes) != 2 {
		t.Fatalf("%d sets of colours, want light and dark", len(themes))
	}
	for i, th := range themes {
		c := map[string]string{}
		for _, m := range regexp.MustCompile(`--(\w+): (#\w+);`).FindAllStringSubmatch(th[1], -1) {
			c[m[1]] = m[2]
		}
		for _, fore := range []string{"ink", "soft", "rule"} {
			for _, back := range []string{"paper", "band"} {
				least := 4.5
				if fore == "rule" {
					least = 3
				}
				if got := contrast(t, c[fore], c[back]); got < least {
					t.Errorf("theme %d: %s on %s is %.2f:1, want %.1f:1", i, fore, back, got, least)
				}
			}
		}
	}
	// All other colours are by these names, so that the above covers them.
	rest := regexp.MustCompile(`:root \{[^}]*\}`).ReplaceAllString(string(css), "")
	for _, m := range regexp.MustCompile(`#[0-9a-fA-F]{3,6}\b`).FindAllString(rest, -1) {
		if m != "#fff" { // white paper
			t.Errorf("the colour %s is outside the named ones", m)
		}
	}
}
