package workbook_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"html"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
	"github.com/blockwright/blockwright/plates"
)

// One set as a sheet of any format says it, in the words of this test: what is
// done, and the weight to a tenth of the unit ("" for none, "open" for one
// that is left to the day).
type said struct {
	Lifter, Session string
	Week            int // 99 for the test day, which formats for people do not number
	Lift            string
	Amount          string // 5, 8-12, 5+, 30s, 40m; a + for an open-ended set
	Load            string
}

func tenthOf(x float64) string {
	return strconv.FormatFloat(math.Round(x*10)/10+0, 'f', 1, 64)
}

// planned is what a plan says, straight from its numbers.
func planned(p *periodize.Plan) []said {
	var out []said
	for _, s := range p.Sessions {
		for _, e := range s.Exercises {
			for _, x := range e.Sets {
				r := said{Lifter: p.Lifter.Name, Session: s.Name, Week: s.Week, Lift: e.Lift.Name}
				switch {
				case x.Seconds > 0:
					r.Amount = fmt.Sprint(x.Seconds, "s")
				case x.Metres > 0:
					r.Amount = fmt.Sprint(x.Metres, "m")
				case x.RepsLow > 0:
					r.Amount = fmt.Sprint(x.RepsLow, "-", x.Reps)
				default:
					r.Amount = strconv.Itoa(x.Reps)
				}
				if x.AMRAP {
					r.Amount += "+"
				}
				switch {
				case x.Open:
					r.Load = "open"
				case x.HasLoad:
					r.Load = tenthOf(x.Load.In(p.Unit))
				}
				out = append(out, r)
			}
		}
	}
	return out
}

// weightSaid reads a weight as people do: 72.5, +5, bw, a range with a question
// mark, an exclamation mark after one that is not what was asked for.
func weightSaid(t *rapid.T, s string) string {
	s = strings.TrimRight(strings.TrimSpace(s), "!^")
	switch {
	case s == "" || s == "–":
		return ""
	case strings.HasSuffix(s, "?"):
		return "open"
	case s == "bw":
		return "0.0"
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatalf("weight %q: %v", s, err)
	}
	return tenthOf(v)
}

// liftSaid takes the pair and the sides off an exercise's name.
func liftSaid(s string) string {
	s = strings.TrimSuffix(strings.TrimSpace(s), ", per side")
	if _, rest, ok := strings.Cut(s, ": "); ok {
		s = rest
	}
	return s
}

func amountSaid(s string) string {
	return strings.NewReplacer(" open", "+", " ", "").Replace(strings.TrimSpace(s))
}

func repeat(out []said, n int, r said) []said {
	for range n {
		out = append(out, r)
	}
	return out
}

func count(t *rapid.T, s string) int {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		t.Fatalf("count %q: %v", s, err)
	}
	return n
}

func out(t *rapid.T, prog *periodize.Program, f sheet.Format, opt sheet.Options) string {
	opt.Stamp = stamp
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

func readCSV(t *rapid.T, s string) []said {
	rows, err := csv.NewReader(strings.NewReader(s)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var res []said
	at := func(r []string, name string) string { return r[slices.Index(rows[0], name)] }
	for _, r := range rows[1:] {
		if at(r, "kind") == "warmup" {
			continue
		}
		x := said{Lifter: at(r, "lifter"), Session: at(r, "session"), Week: count(t, at(r, "week")), Lift: at(r, "lift")}
		switch {
		case at(r, "seconds") != "":
			x.Amount = at(r, "seconds") + "s"
		case at(r, "metres") != "":
			x.Amount = at(r, "metres") + "m"
		case at(r, "reps_low") != "":
			x.Amount = at(r, "reps_low") + "-" + at(r, "reps")
		default:
			x.Amount = at(r, "reps")
		}
		if at(r, "amrap") == "1" {
			x.Amount += "+"
		}
		x.Load = weightSaid(t, at(r, "load"))
		if at(r, "expect_low") != "" {
			x.Load = "open"
		}
		res = append(res, x)
	}
	return res
}

func readJSON(t *rapid.T, s string) []said {
	var doc struct {
		Lifters []struct {
			Name     string
			Sessions []struct {
				Week      int
				Name      string
				Exercises []struct {
					Lift string
					Sets []struct {
						Load            *float64
						Reps            int
						RepsLow         int `json:"reps_low"`
						Seconds, Metres float64
						AMRAP, Open     bool
					}
				}
			}
		}
	}
	if err := json.Unmarshal([]byte(s), &doc); err != nil {
		t.Fatal(err)
	}
	var res []said
	for _, l := range doc.Lifters {
		for _, s := range l.Sessions {
			for _, e := range s.Exercises {
				for _, x := range e.Sets {
					r := said{Lifter: l.Name, Session: s.Name, Week: s.Week, Lift: e.Lift, Amount: strconv.Itoa(x.Reps)}
					switch {
					case x.Seconds > 0:
						r.Amount = fmt.Sprint(x.Seconds, "s")
					case x.Metres > 0:
						r.Amount = fmt.Sprint(x.Metres, "m")
					case x.RepsLow > 0:
						r.Amount = fmt.Sprint(x.RepsLow, "-", x.Reps)
					}
					if x.AMRAP {
						r.Amount += "+"
					}
					switch {
					case x.Open:
						r.Load = "open"
					case x.Load != nil:
						r.Load = tenthOf(*x.Load)
					}
					res = append(res, r)
				}
			}
		}
	}
	return res
}

var (
	reArticle = regexp.MustCompile(`(?s)<article>.*?<h1>(.*?)</h1>\s*<p class="week">(.*?)</p>(.*?)</article>`)
	reSection = regexp.MustCompile(`(?s)<section>\s*<h2>(.*?)(?: <span.*?)?</h2>(.*?)</section>`)
	reLift    = regexp.MustCompile(`(?s)<div class="lift">\s*<h3>(.*?)(?: <span.*?)?</h3>(.*?)</div>`)
	reRow     = regexp.MustCompile(`(?s)<tr>(.*?)</tr>`)
	reSmall   = regexp.MustCompile(`(?s) ?<small.*?</small>|<span class="u">.*?</span>|<i></i>`)
)

// weekOf reads a week's head.
func weekOf(t *rapid.T, head string) int {
	if f := strings.Fields(head); f[0] == "week" {
		return count(t, strings.TrimSuffix(f[1], ","))
	}
	return 99
}

func readHTML(t *rapid.T, s string) []said {
	var res []said
	for _, a := range reArticle.FindAllStringSubmatch(s, -1) {
		week := weekOf(t, a[2])
		for _, sec := range reSection.FindAllStringSubmatch(a[3], -1) {
			for _, l := range reLift.FindAllStringSubmatch(sec[2], -1) {
				for _, tr := range reRow.FindAllStringSubmatch(l[2], -1) {
					cells := map[byte]string{}
					for _, td := range strings.Split(tr[1], "<td class=\"")[1:] {
						text := strings.TrimPrefix(td[1:], `">`)
						if td[0] == 'w' && strings.Contains(text, "<i></i>") {
							text = "?"
						}
						cells[td[0]] = html.UnescapeString(reSmall.ReplaceAllString(strings.ReplaceAll(text, " <small>open</small>", "+"), ""))
					}
					if cells['n'] == "" {
						continue // the head
					}
					res = repeat(res, count(t, cells['n']), said{Lifter: html.UnescapeString(a[1]), Session: html.UnescapeString(sec[1]), Week: week,
						Lift: liftSaid(html.UnescapeString(l[1])), Amount: amountSaid(cells['a']), Load: weightSaid(t, cells['w'])})
				}
			}
		}
	}
	return res
}

// readCalendar reads the descriptions of the events; their layout is lines.
func readCalendar(t *rapid.T, s string) []said {
	var res []said
	var r said
	line := regexp.MustCompile(`^  (?:top |back-off |attempt |warm-up )?(\d+)x(.*?)(?: @ (.*?) (?:kg|lb))?(?: \[.*\])?(?: \(.*\))?$`)
	for _, l := range strings.Split(strings.ReplaceAll(s, "\r\n ", ""), "\r\n") {
		unescape := func(v string) []string {
			return strings.Split(strings.NewReplacer(`\,`, ",", `\;`, ";", `\\`, `\`, `\n`, "\n").Replace(v), "\n")
		}
		if v, ok := strings.CutPrefix(l, "SUMMARY:"); ok {
			v = unescape(v)[0]
			lifter, rest, _ := strings.Cut(v, ": ")
			name, head, ok := strings.Cut(rest, ", ")
			if !ok {
				head = "test"
			}
			r = said{Lifter: lifter, Session: name, Week: weekOf(t, head)}
		}
		v, ok := strings.CutPrefix(l, "DESCRIPTION:")
		if !ok {
			continue
		}
		for _, d := range unescape(v) {
			m := line.FindStringSubmatch(d)
			if m == nil {
				if !strings.HasPrefix(d, " ") {
					r.Lift = liftSaid(d)
				}
				continue
			}
			if strings.HasPrefix(d, "  warm-up") {
				continue
			}
			r.Amount, r.Load = amountSaid(m[2]), weightSaid(t, m[3])
			res = repeat(res, count(t, m[1]), r)
		}
	}
	return res
}

// readMarkdown reads the tables of weeks: sets and weights in one cell, a row
// for each kind of set.
func readMarkdown(t *rapid.T, s string, weeks int) []said {
	plain := strings.NewReplacer(`\*`, "*", `\_`, "_", `\+`, "+", `\-`, "-", `\~`, "~", "&amp;", "&").Replace
	var lifter, session string
	var rows [][]string
	var heads []string
	var res []said
	flush := func() {
		// column by column, so that the order is that of the plan
		var block []said
		for c := 1; c < len(heads); c++ {
			lift := ""
			week := 0
			switch h, _, _ := strings.Cut(heads[c], "<br>"); {
			case strings.HasPrefix(h, "week "):
				week = count(t, h[5:])
			case h == "deload":
				week = weeks + 1
			default:
				week = 99
			}
			for _, r := range rows {
				switch label := plain(r[0]); {
				case strings.HasPrefix(label, "**"):
					lift = liftSaid(strings.Trim(label, "*"))
				case label == "left" || label == "minutes":
					continue
				}
				f := strings.Fields(strings.ReplaceAll(plain(r[c]), " open", "+"))
				if len(f) == 0 || f[0] == "-" {
					continue
				}
				n, amount, _ := strings.Cut(f[0], "x")
				load := ""
				if len(f) > 1 {
					load = f[1]
				}
				block = repeat(block, count(t, n), said{lifter, session, week, lift, amount, weightSaid(t, load)})
			}
		}
		res = append(res, block...)
		rows, heads = nil, nil
	}
	for l := range strings.Lines(s + "\n") {
		l = strings.TrimSpace(l)
		switch {
		case strings.HasPrefix(l, "### "):
			session = plain(l[4:])
		case strings.HasPrefix(l, "## "):
			lifter, session = plain(l[3:]), ""
		case strings.HasPrefix(l, "|") && session != "":
			cells := strings.Split(strings.Trim(l, "|"), " | ")
			for i := range cells {
				cells[i] = strings.TrimSpace(cells[i])
			}
			switch {
			case heads == nil:
				heads = cells
			case strings.Contains(l, "--:"):
			default:
				rows = append(rows, cells)
			}
		case heads != nil:
			flush()
		}
	}
	return res
}

// readText reads the tables of weeks in plain text. A column ends where its
// unit does.
func readText(t *rapid.T, s string, lifters []string, weeks int) []said {
	var res []said
	lifter, session, lift := "", "", ""
	var edges, cols []int // where columns end, and their weeks
	var block [][]said
	end := func() {
		for _, b := range block {
			res = append(res, b...)
		}
		edges, block = nil, nil
	}
	for _, l := range strings.Split(s, "\n") {
		if name, _, _ := strings.Cut(l, " ("); slices.Contains(lifters, name) {
			lifter = name
			continue
		}
		if f := strings.Fields(l); edges == nil && len(f) > 0 && (strings.HasPrefix(f[0], "week") || f[0] == "deload" || f[0] == "test") && strings.HasPrefix(l, "   ") {
			cols = nil
			for k := 0; k < len(f); k++ {
				switch f[k] {
				case "week":
					k++
					cols = append(cols, count(t, f[k]))
				case "deload":
					cols = append(cols, weeks+1)
				default:
					cols = append(cols, 99)
				}
			}
			continue
		}
		if edges == nil && cols != nil && regexp.MustCompile(`( (kg|lb))+$`).MatchString(l) {
			session, _, _ = strings.Cut(l, "   ")
			for _, m := range regexp.MustCompile(` (kg|lb)\b`).FindAllStringIndex(l, -1) {
				edges = append(edges, m[1])
			}
			block = make([][]said, len(cols))
			continue
		}
		if edges == nil {
			continue
		}
		if l == "" || strings.HasPrefix(l, "  ") && !regexp.MustCompile(`^  (then|left|back-off)\b`).MatchString(l) {
			end()
			cols = nil
			continue
		}
		// The label ends before the first column begins; cells keep three spaces apart.
		label, _, _ := strings.Cut(l, "   ")
		switch strings.TrimSpace(label) {
		case "then", "back-off":
		case "left", "minutes":
			continue
		default:
			lift = liftSaid(label)
		}
		from := len(label)
		for c, to := range edges {
			if from > len(l) {
				break
			}
			f := strings.Fields(strings.ReplaceAll(l[min(from, len(l)):min(to, len(l))], " open", "+"))
			from = to
			if len(f) == 0 || f[0] == "-" {
				continue
			}
			n, amount, _ := strings.Cut(f[0], "x")
			load := ""
			if len(f) > 1 {
				load = f[1]
			}
			block[c] = repeat(block[c], count(t, n), said{lifter, session, cols[c], lift, amount, weightSaid(t, load)})
		}
	}
	end()
	return res
}

// readWeek reads one week printed in full.
func readWeek(t *rapid.T, s string, lifters []string, week int) []said {
	var res []said
	r := said{Week: week}
	cols := map[string]int{}
	for l := range strings.Lines(s) {
		l = strings.TrimRight(l, "\n")
		if name, _, _ := strings.Cut(l, " ("); slices.Contains(lifters, name) {
			r.Lifter = name
			continue
		}
		switch {
		case regexp.MustCompile(`^\S.*, (week \d+|test day)`).MatchString(l) || strings.HasPrefix(l, "Test day"):
			r.Session, _, _ = strings.Cut(l, ", ")
		case regexp.MustCompile(`^  [^ ]`).MatchString(l):
			name, _, _ := strings.Cut(strings.TrimSpace(l), "  ")
			r.Lift = liftSaid(name)
			clear(cols)
		case strings.HasPrefix(l, "    set "):
			for _, h := range []string{"reps", "time", "distance", " kg", " lb"} {
				if i := strings.Index(l, h); i >= 0 {
					cols[strings.TrimSpace(h)] = i + len(h)
				}
			}
		case regexp.MustCompile(`^    \d`).MatchString(l) && len(cols) > 0:
			m := regexp.MustCompile(`^    (\d+)(?:-(\d+))?(?: top| back-off| attempt)?`).FindStringSubmatchIndex(l)
			n := 1
			if m[4] >= 0 {
				n = count(t, l[m[4]:m[5]]) - count(t, l[m[2]:m[3]]) + 1
			}
			amountEnd := max(cols["reps"], cols["time"], cols["distance"])
			loadEnd := max(cols["kg"], cols["lb"])
			r.Amount = amountSaid(l[m[1]:min(amountEnd, len(l))])
			r.Load = weightSaid(t, l[min(amountEnd, len(l)):min(loadEnd, len(l))])
			res = repeat(res, n, r)
		}
	}
	return res
}

func readWorkbook(t *rapid.T, b []byte, names []string) []said {
	f, err := excelize.OpenReader(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var res []said
	for i, name := range f.GetSheetList()[:len(names)] {
		rows, err := f.GetRows(name, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		r := said{Lifter: names[i]}
		for _, cells := range rows {
			cells = append(cells, make([]string, 8)...)
			if m := regexp.MustCompile(`^(.*?), week (\d+)|^(Test day),`).FindStringSubmatch(cells[0]); m != nil && cells[1] == "" {
				r.Session, r.Week = m[1]+m[3], 99
				if m[2] != "" {
					r.Week = count(t, m[2])
				}
			}
			if _, err := strconv.Atoi(cells[1]); err != nil {
				continue
			}
			r.Lift, r.Amount = liftSaid(cells[0]), amountSaid(cells[3])
			r.Load = weightSaid(t, cells[5])
			res = append(res, r)
		}
	}
	return res
}

// same compares two accounts. Tables of weeks list a session's weeks together,
// so both are put in the order of lifter, week and session first, and nothing
// within a session moves.
func agree(t *rapid.T, format string, want, got []said) {
	t.Helper()
	order := func(s []said) []said {
		s = slices.Clone(s)
		for i := range s {
			if s[i].Session == "Test day" {
				s[i].Week = 99
			}
		}
		slices.SortStableFunc(s, func(a, b said) int {
			return strings.Compare(fmt.Sprintf("%s\x00%04d\x00%s", a.Lifter, a.Week, a.Session), fmt.Sprintf("%s\x00%04d\x00%s", b.Lifter, b.Week, b.Session))
		})
		return s
	}
	if diff := cmp.Diff(order(want), order(got)); diff != "" {
		t.Fatalf("%s does not say what the plan says (-plan +%s):\n%s", format, format, diff)
	}
}

// drawProgram draws a block and a roster that compile.
func drawProgram(t *rapid.T) *periodize.Program {
	weeks := rapid.IntRange(1, 4).Draw(t, "weeks")
	lifts := example.Block().Lifts
	track := func(low, high int) periodize.Track {
		if rapid.Bool().Draw(t, "fixed") {
			return periodize.Fixed(float64(rapid.IntRange(low, high).Draw(t, "value")))
		}
		v := make([]float64, weeks)
		for i := range v {
			v[i] = float64(rapid.IntRange(low, high).Draw(t, "value"))
		}
		return periodize.ByWeek(v...)
	}
	weight := func(l periodize.Lift) periodize.Weight {
		switch kind := rapid.IntRange(0, 3).Draw(t, "weight"); {
		case l.Uses == "":
			return periodize.Weight{}
		case l.Name == "one-arm row" || kind == 0:
			return periodize.Load(example.KG(float64(rapid.IntRange(1, 80).Draw(t, "load"))))
		case kind == 1:
			return periodize.RIR(track(0, 3))
		}
		return periodize.Percent(periodize.Line(float64(rapid.IntRange(300, 1050).Draw(t, "from"))/10, float64(rapid.IntRange(300, 1050).Draw(t, "to"))/10))
	}
	item := func(i int) periodize.Item {
		l := lifts[rapid.IntRange(0, len(lifts)-1).Draw(t, "lift")]
		it := periodize.Item{Lift: l.Name, Pair: rapid.SampledFrom([]string{"", "", "A", "B"}).Draw(t, "pair"), Note: rapid.SampledFrom([]string{"", "keep tight"}).Draw(t, "note")}
		if rapid.IntRange(0, 4).Draw(t, "weeks chosen") == 0 {
			it.Weeks = periodize.OnlyWeeks(rapid.IntRange(1, weeks).Draw(t, "week"))
		}
		w := periodize.Work{Sides: rapid.IntRange(1, 2).Draw(t, "sides"), Rest: track(30, 240)}
		switch {
		case l.Name == "side plank":
			w.Seconds = track(10, 60)
		case l.Name == "sled push":
			w.Metres = track(10, 60)
		default:
			w.Reps = track(3, 12)
			if rapid.IntRange(0, 4).Draw(t, "range") == 0 {
				w.Reps, w.RepsLow = track(8, 12), track(3, 7)
			}
			w.Weight = weight(l)
		}
		w.Sets = track(0, 5)
		loaded := w.Weight.Kind != periodize.NoWeight
		switch kind := rapid.IntRange(0, 5).Draw(t, "kind"); {
		case kind == 0 && l.Uses == "olympic":
			it.Build = &periodize.Build{Reps: track(1, 4), ToRIR: track(0, 2), Start: track(40, 70), Step: track(4, 15)}
			return it
		case kind == 1 && l.Uses == "olympic":
			it.Each = []periodize.Work{{Reps: track(1, 8), Weight: periodize.Percent(track(50, 95))},
				{Reps: track(1, 8), Sets: track(0, 3), Weight: periodize.Drop(track(5, 20))},
				{Reps: track(1, 8), Weight: periodize.Percent(track(50, 95))}}
			return it
		case kind == 2 && loaded:
			it.Backoff = &periodize.Backoff{Sets: track(0, 3), Reps: track(3, 10), Drop: track(5, 25)}
		case kind == 3 && loaded:
			it.Spread, it.Shape = plates.WholeRatio(int64(rapid.IntRange(0, 12).Draw(t, "spread"))), rapid.SampledFrom(periodize.Shapes()).Draw(t, "shape")
		}
		if w.Reps != nil && rapid.IntRange(0, 3).Draw(t, "final") == 0 {
			// no cap, or one that no track of repetitions here reaches
			it.Final = &periodize.Final{Cap: rapid.SampledFrom([]int{0, 15, 20}).Draw(t, "cap")}
		}
		it.Work = w
		return it
	}
	b := example.Block()
	b.Weeks = weeks
	b.Sessions = nil
	for i := range rapid.IntRange(1, 3).Draw(t, "sessions") {
		s := periodize.Session{Name: []string{"Mill", "Yard", "Quay"}[i]}
		for k := range rapid.IntRange(1, 4).Draw(t, "items") {
			s.Work = append(s.Work, item(k))
		}
		b.Sessions = append(b.Sessions, s)
	}
	b.Finish = periodize.Finish{Deload: rapid.IntRange(0, 1).Draw(t, "deload"), Cut: plates.WholeRatio(40), Hold: plates.WholeRatio(90), Test: rapid.Bool().Draw(t, "test")}
	r := example.Roster()
	r.Lifters[1].Name, r.Lifters[2].Name = "Bo", "Lina" // names that need no care are enough here
	for i := range r.Lifters {
		r.Lifters[i].Rounding = rapid.SampledFrom([]plates.Rounding{plates.Nearest, plates.Down, plates.Up}).Draw(t, "rounding")
		r.Lifters[i].WorkingMax = plates.WholeRatio(int64(rapid.IntRange(80, 100).Draw(t, "working")))
	}
	prog, err := periodize.Compile(b, r)
	if err != nil {
		t.Fatal(err)
	}
	return prog
}

// TestAllFormatsAgree holds the seven formats to the plan: the same weights,
// repetitions and order, read back from each by readers of their own.
func TestAllFormatsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		prog := drawProgram(t)
		var want []said
		var names []string
		weeks := prog.Block().Weeks
		for p := range prog.Plans() {
			want = append(want, planned(p)...)
			names = append(names, p.Lifter.Name)
		}
		// JSON has one unit for all; the pound gym is compared in pounds by
		// rendering each lifter's plan by itself.
		var inJSON []said
		for p := range prog.Plans() {
			var buf bytes.Buffer
			r, err := sheet.New(sheet.JSON, &buf, sheet.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if err := sheet.Render(r, prog.Block(), func(yield func(*periodize.Plan) bool) { yield(p) }); err != nil {
				t.Fatal(err)
			}
			inJSON = append(inJSON, readJSON(t, buf.String())...)
		}
		agree(t, "json", want, inJSON)
		agree(t, "csv", want, readCSV(t, out(t, prog, sheet.CSV, sheet.Options{})))
		agree(t, "html", want, readHTML(t, out(t, prog, sheet.HTML, sheet.Options{})))
		agree(t, "ics", want, readCalendar(t, out(t, prog, sheet.Calendar, sheet.Options{})))
		agree(t, "md", want, readMarkdown(t, out(t, prog, sheet.Markdown, sheet.Options{}), weeks))
		agree(t, "text", want, readText(t, out(t, prog, sheet.Text, sheet.Options{}), names, weeks))
		var full []said
		last := weeks + prog.Block().Finish.Deload
		if prog.Block().Finish.Test {
			last++
		}
		for w := 1; w <= last; w++ {
			full = append(full, readWeek(t, out(t, prog, sheet.Text, sheet.Options{Week: w}), names, w)...)
		}
		agree(t, "text of weeks", want, full)

		var buf bytes.Buffer
		r, err := newBook(&buf)
		if err != nil {
			t.Fatal(err)
		}
		if err := sheet.Render(r, prog.Block(), prog.Plans()); err != nil {
			t.Fatal(err)
		}
		agree(t, "xlsx", want, readWorkbook(t, buf.Bytes(), names))
	})
}
