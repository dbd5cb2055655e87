package sheet

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// WriteReview writes what a plan adds up to, and what to worry about, as text:
// the weeks, volume against intensity as two rows of bars, working sets by
// muscle, sets by lift, and the findings with place, reason, evidence and advice.
func WriteReview(w io.Writer, r *periodize.Review, opt ReviewOptions) error {
	width := opt.Width
	if width <= 0 {
		width = 96
	}
	var b strings.Builder
	title := r.Name
	if title == "" {
		title = "the block by itself, for nobody in particular"
	}
	fmt.Fprintf(&b, "%s\n\n", title)
	b.WriteString(weekTable(r))
	if s := openSets(r); s != "" {
		b.WriteString(texttab.Wrap(s, width) + "\n")
	}
	if chart := weekChart(r); chart != "" {
		b.WriteString("\n" + chart)
	}
	if t := countTable(r, "sets by muscle", func(w *periodize.WeekReview) []periodize.Count { return w.Muscles }); t != "" {
		b.WriteString("\n" + t)
	}
	if t := countTable(r, "sets by pattern", func(w *periodize.WeekReview) []periodize.Count { return w.Patterns }); t != "" {
		b.WriteString("\n" + t)
	}
	b.WriteString("\n" + liftTable(r))
	b.WriteString("\n" + findingsText(r.Findings, width))
	_, err := io.WriteString(w, b.String())
	return err
}

// ReviewOptions of WriteReview. The zero value works.
type ReviewOptions struct {
	Width int // columns; default 96
}

func weekTable(r *periodize.Review) string {
	tonnage := "tonnage " + r.Unit.String()
	t := texttab.New(texttab.Right("week"), texttab.Left(""), texttab.Right("sets"), texttab.Right("reps"), texttab.Right(tonnage),
		texttab.Right("mean %"), texttab.Right("top %"), texttab.Left("minutes"))
	for i := range r.Weeks {
		w := &r.Weeks[i]
		phase := string(w.Kind)
		if w.Kind == periodize.Training {
			phase = ""
		}
		ton, mean, top := "-", "-", "-"
		if !r.Nominal {
			ton = grouped(w.Tonnage)
		}
		if w.MeanIntensity > 0 {
			mean, top = fixed(w.MeanIntensity, 1), fixed(w.Heaviest, 1)
		}
		t.Row(strconv.Itoa(w.Week), phase, strconv.Itoa(w.Sets), strconv.Itoa(w.Reps), ton, mean, top, minutesText(w.Sessions))
	}
	return t.String()
}

// openSets says how the week table counts the sets whose weight is found on the day; ""
// where there are none.
func openSets(r *periodize.Review) string {
	expected, unknown := 0, 0
	for i := range r.Weeks {
		expected += r.Weeks[i].Expected
		unknown += r.Weeks[i].Unknown
	}
	what := "tonnage, mean % and top %"
	if r.Nominal {
		what = "mean % and top %"
	}
	var parts []string
	if expected > 0 {
		parts = append(parts, fmt.Sprintf("in %s, %s whose weight is found on the day with the middle of what is expected", what, counted(expected)))
	}
	if unknown > 0 {
		parts = append(parts, fmt.Sprintf("in sets and reps alone, %s whose weight is found on the day with nothing to expect", counted(unknown)))
	}
	if len(parts) == 0 {
		return ""
	}
	return "Counted " + strings.Join(parts, "; ") + "."
}

func counted(sets int) string {
	if sets == 1 {
		return "1 set"
	}
	return strconv.Itoa(sets) + " sets"
}

func minutesText(sessions []periodize.SessionReview) string {
	var s []string
	for _, x := range sessions {
		if x.Minutes == nil {
			s = append(s, "-")
			continue
		}
		text := fixed(x.Minutes.Mid, 0)
		if x.Limit > 0 && x.Minutes.Mid > x.Limit {
			text += "!"
		}
		s = append(s, text)
	}
	return strings.Join(s, " ")
}

// weekChart draws sets and mean intensity as one bar a week.
func weekChart(r *periodize.Review) string {
	sets, mean := make([]float64, len(r.Weeks)), make([]float64, len(r.Weeks))
	most := 0.0
	low, high := math.Inf(1), 0.0
	for i := range r.Weeks {
		sets[i], mean[i] = float64(r.Weeks[i].Sets), r.Weeks[i].MeanIntensity
		most = max(most, sets[i])
		if mean[i] > 0 {
			low, high = min(low, mean[i]), max(high, mean[i])
		}
	}
	if most == 0 || high == 0 {
		return ""
	}
	// Intensity starts a little under its lowest, or all weeks would look alike.
	floor := low - (high-low)/3 - 1
	var b strings.Builder
	fmt.Fprintf(&b, "volume     %s  up to %d sets\n", bars(sets, 0, most), int(most))
	fmt.Fprintf(&b, "intensity  %s  %s to %s %% of the maximum on average\n", bars(mean, floor, high), fixed(low, 1), fixed(high, 1))
	return b.String()
}

// bars is one block of an eighth to a full cell for each value.
func bars(v []float64, low, high float64) string {
	const eighths = "▁▂▃▄▅▆▇█"
	var b strings.Builder
	for _, x := range v {
		k := 0
		if high > low {
			k = int(math.Round(7 * (x - low) / (high - low)))
		}
		b.WriteString(strings.Repeat(string([]rune(eighths)[min(max(k, 0), 7)]), 2))
		b.WriteByte(' ')
	}
	return strings.TrimRight(b.String(), " ")
}

// countTable is a table of names by weeks.
func countTable(r *periodize.Review, head string, of func(*periodize.WeekReview) []periodize.Count) string {
	cols := []texttab.Column{texttab.Left(head)}
	var names []string
	at := map[string]int{}
	cells := map[string][]string{}
	for i := range r.Weeks {
		w := &r.Weeks[i]
		cols = append(cols, texttab.Right("wk "+strconv.Itoa(w.Week)))
		for _, n := range of(w) {
			if _, ok := at[n.Name]; !ok {
				at[n.Name] = len(names)
				names = append(names, n.Name)
				cells[n.Name] = make([]string, len(r.Weeks))
			}
			cells[n.Name][i] = trimmed(n.Sets)
		}
	}
	if len(names) == 0 {
		return ""
	}
	t := texttab.New(cols...)
	for _, n := range names {
		t.Row(append([]string{n}, dashed(cells[n])...)...)
	}
	return t.String()
}

func dashed(cells []string) []string {
	for i := range cells {
		if cells[i] == "" {
			cells[i] = "-"
		}
	}
	return cells
}

// liftTable is sets and heaviest weight of each lift by weeks.
func liftTable(r *periodize.Review) string {
	cols := []texttab.Column{texttab.Left("sets @ top %")}
	for i := range r.Weeks {
		cols = append(cols, texttab.Right("wk "+strconv.Itoa(r.Weeks[i].Week)))
	}
	t := texttab.New(cols...)
	for _, l := range r.Lifts {
		cells := make([]string, len(r.Weeks))
		for i := range r.Weeks {
			for _, w := range l.Weeks {
				if w.Week != r.Weeks[i].Week {
					continue
				}
				cells[i] = strconv.Itoa(w.Sets)
				if w.Heaviest > 0 {
					cells[i] += " @ " + fixed(w.Heaviest, 0)
				}
			}
		}
		t.Row(append([]string{l.Lift}, dashed(cells)...)...)
	}
	return t.String()
}

// findingsText lists findings, the gravest first.
func findingsText(fs []periodize.Finding, width int) string {
	var b strings.Builder
	if len(fs) == 0 {
		return "Nothing to worry about was found. That is no proof that the plan suits anybody.\n"
	}
	b.WriteString(countFindings(fs) + "\n")
	for _, f := range fs {
		fmt.Fprintf(&b, "\n%s  %s  (%s)\n", strings.ToUpper(string(f.Severity)), f.Where, f.Code)
		for _, line := range []string{f.Text, "Evidence: " + f.Evidence} {
			for l := range strings.Lines(texttab.Wrap(line, width-4)) {
				b.WriteString("    " + strings.TrimRight(l, "\n") + "\n")
			}
		}
	}
	return b.String()
}

// countFindings is how many findings there are of each severity, in words.
func countFindings(fs []periodize.Finding) string {
	var parts []string
	for _, s := range []periodize.Severity{periodize.Problem, periodize.Warning, periodize.Note} {
		n := 0
		for _, f := range fs {
			if f.Severity == s {
				n++
			}
		}
		switch {
		case n == 1:
			parts = append(parts, "1 "+string(s))
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %ss", n, s))
		}
	}
	if len(parts) == 0 {
		return "no findings"
	}
	return strings.Join(parts, ", ")
}

// WriteComparison writes two blocks side by side, week by week: sets,
// repetitions, mean and heaviest intensity, the sets by muscle of both, and the
// findings that only one of them has.
func WriteComparison(w io.Writer, nameA string, a *periodize.Review, nameB string, b *periodize.Review) error {
	var out strings.Builder
	fmt.Fprintf(&out, "A  %s\nB  %s\n\n", nameA, nameB)
	t := texttab.New(texttab.Right("week"), texttab.Right("sets A"), texttab.Right("B"), texttab.Right("reps A"), texttab.Right("B"),
		texttab.Right("mean % A"), texttab.Right("B"), texttab.Right("top % A"), texttab.Right("B"))
	cells := func(r *periodize.Review, i int) (sets, reps, mean, top string) {
		if i >= len(r.Weeks) {
			return "-", "-", "-", "-"
		}
		x := &r.Weeks[i]
		mean, top = "-", "-"
		if x.MeanIntensity > 0 {
			mean, top = fixed(x.MeanIntensity, 1), fixed(x.Heaviest, 1)
		}
		return strconv.Itoa(x.Sets), strconv.Itoa(x.Reps), mean, top
	}
	for i := range max(len(a.Weeks), len(b.Weeks)) {
		s1, r1, m1, t1 := cells(a, i)
		s2, r2, m2, t2 := cells(b, i)
		t.Row(strconv.Itoa(i+1), s1, s2, r1, r2, m1, m2, t1, t2)
	}
	out.WriteString(t.String())
	for _, side := range []struct {
		name string
		of   *periodize.Review
	}{{"A", a}, {"B", b}} {
		if s := openSets(side.of); s != "" {
			out.WriteString(texttab.Wrap(side.name+": "+s, 96) + "\n")
		}
	}
	out.WriteString("\nA\n" + weekChart(a) + "B\n" + weekChart(b))
	m := texttab.New(texttab.Left("sets a week, mean"), texttab.Right("A"), texttab.Right("B"))
	sa, sb := meanSets(a), meanSets(b)
	for _, name := range periodize.Muscles() {
		if x, y := sa[string(name)], sb[string(name)]; x > 0 || y > 0 {
			m.Row(string(name), trimmed(x), trimmed(y))
		}
	}
	if m.Len() > 0 {
		out.WriteString("\n" + m.String())
	}
	for _, side := range []struct {
		name      string
		has, lack *periodize.Review
	}{{"A", a, b}, {"B", b, a}} {
		var only []periodize.Finding
		for _, f := range side.has.Findings {
			if !hasFinding(side.lack, f) {
				only = append(only, f)
			}
		}
		fmt.Fprintf(&out, "\nonly %s: %s\n", side.name, countFindings(only))
		for _, f := range only {
			fmt.Fprintf(&out, "  %s  %s  (%s)\n", f.Severity, f.Where, f.Code)
		}
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// meanSets is sets a week of each muscle over the block's training weeks.
func meanSets(r *periodize.Review) map[string]float64 {
	sum, n := map[string]float64{}, 0.0
	for _, w := range r.Weeks {
		if w.Kind != periodize.Training {
			continue
		}
		n++
		for _, c := range w.Muscles {
			sum[c.Name] += c.Sets
		}
	}
	for k := range sum {
		sum[k] /= n
	}
	return sum
}

func hasFinding(r *periodize.Review, f periodize.Finding) bool {
	for _, g := range r.Findings {
		if g.Code == f.Code && g.Where == f.Where {
			return true
		}
	}
	return false
}

func fixed(x float64, digits int) string { return strconv.FormatFloat(x, 'f', digits, 64) }

func trimmed(x float64) string {
	return strconv.FormatFloat(math.Round(x*10)/10, 'f', -1, 64)
}

// grouped is a whole number with a thin space between thousands.
func grouped(x float64) string {
	s := strconv.FormatFloat(math.Round(x), 'f', 0, 64)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}

// AppendReview writes a review as JSON: name (null for a block by itself),
// weeks, by_lift and findings.
func AppendReview(b []byte, r *periodize.Review) []byte {
	b = append(b, `{"name": `...)
	b = appendStringOrNull(b, r.Name)
	b = append(b, `, `...)
	b = appendReviewBody(b, r)
	return append(b, '}')
}

// appendReviewBody writes what a lifter's review and a block's have in common.
func appendReviewBody(b []byte, r *periodize.Review) []byte {
	b = append(b, `"weeks": [`...)
	for i := range r.Weeks {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = appendWeekReview(b, r, &r.Weeks[i])
	}
	b = append(b, `], "by_lift": {`...)
	for i, l := range r.Lifts {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = appendString(b, l.Lift)
		b = append(b, ": ["...)
		for k := range l.Weeks {
			if k > 0 {
				b = append(b, ", "...)
			}
			b = append(b, '{')
			b = appendTotals(b, r, l.Weeks[k].Week, &l.Weeks[k].Totals)
			b = append(b, '}')
		}
		b = append(b, ']')
	}
	b = append(b, `}, "findings": [`...)
	for i := range r.Findings {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = appendFinding(b, &r.Findings[i])
	}
	return append(b, ']')
}

func appendTotals(b []byte, r *periodize.Review, week int, t *periodize.Totals) []byte {
	b = append(b, `"week": `...)
	b = strconv.AppendInt(b, int64(week), 10)
	b = append(b, `, "sets": `...)
	b = strconv.AppendInt(b, int64(t.Sets), 10)
	b = append(b, `, "reps": `...)
	b = strconv.AppendInt(b, int64(t.Reps), 10)
	b = append(b, `, "tonnage": `...)
	if r.Nominal {
		b = append(b, "null"...)
	} else {
		b = appendFloat(b, t.Tonnage)
	}
	b = append(b, `, "relative_volume": `...)
	b = appendFloat(b, t.RelativeVolume)
	b = append(b, `, "mean_intensity": `...)
	b = appendAbove0(b, t.MeanIntensity)
	b = append(b, `, "heaviest": `...)
	b = appendAbove0(b, t.Heaviest)
	b = append(b, `, "expected_sets": `...)
	b = strconv.AppendInt(b, int64(t.Expected), 10)
	b = append(b, `, "unknown_sets": `...)
	return strconv.AppendInt(b, int64(t.Unknown), 10)
}

func appendWeekReview(b []byte, r *periodize.Review, w *periodize.WeekReview) []byte {
	b = append(b, '{')
	b = appendTotals(b, r, w.Week, &w.Totals)
	b = append(b, `, "phase": `...)
	b = appendString(b, string(w.Kind))
	for _, c := range []struct {
		key  string
		list []periodize.Count
	}{{"hard_sets", w.Muscles}, {"patterns", w.Patterns}} {
		b = append(b, `, "`+c.key+`": {`...)
		for i, n := range c.list {
			if i > 0 {
				b = append(b, ", "...)
			}
			b = appendString(b, n.Name)
			b = append(b, ": "...)
			b = appendFloat(b, n.Sets)
		}
		b = append(b, '}')
	}
	b = append(b, `, "minutes": [`...)
	for i, s := range w.Sessions {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = appendRange(b, s.Minutes)
	}
	return append(b, "]}"...)
}

// ReviewJSON writes reviews as they come: first that of the block by itself,
// then one for each lifter, so that a roster of any length never has to be in
// memory. [NewReviewJSON] makes one; the zero value writes nothing, which is an *OptionError.
type ReviewJSON struct {
	w       io.Writer
	unit    plates.Unit
	lifters int
}

// NewReviewJSON begins a document with the review of the block by itself. The
// document's unit is that review's; lifters whose gym has another are converted.
func NewReviewJSON(w io.Writer, block *periodize.Review) (*ReviewJSON, error) {
	b := append([]byte(nil), `{"unit": `...)
	b = appendString(b, block.Unit.String())
	b = append(b, ", "...)
	b = appendReviewBody(b, block)
	b = append(b, ",\n\"lifters\": ["...)
	_, err := w.Write(b)
	return &ReviewJSON{w: w, unit: block.Unit}, err
}

// Lifter writes one lifter's review.
func (j *ReviewJSON) Lifter(r *periodize.Review) error {
	if j.w == nil {
		return errNoWriter()
	}
	var b []byte
	if j.lifters++; j.lifters > 1 {
		b = append(b, ',')
	}
	b = append(b, '\n')
	_, err := j.w.Write(AppendReview(b, reviewIn(r, j.unit)))
	return err
}

// reviewIn is a review with its tonnage in another unit.
func reviewIn(r *periodize.Review, u plates.Unit) *periodize.Review {
	if r.Unit == u {
		return r
	}
	f := float64(r.Unit.One()) / float64(u.One())
	out := *r
	out.Unit = u
	out.Weeks = slices.Clone(r.Weeks)
	for i := range out.Weeks {
		out.Weeks[i].Tonnage *= f
	}
	out.Lifts = slices.Clone(r.Lifts)
	for i := range out.Lifts {
		out.Lifts[i].Weeks = slices.Clone(r.Lifts[i].Weeks)
		for k := range out.Lifts[i].Weeks {
			out.Lifts[i].Weeks[k].Tonnage *= f
		}
	}
	return &out
}

// End closes the document.
func (j *ReviewJSON) End() error {
	if j.w == nil {
		return errNoWriter()
	}
	_, err := io.WriteString(j.w, "]}\n")
	return err
}

func errNoWriter() error {
	return &OptionError{Option: "writer", Msg: "want a ReviewJSON that NewReviewJSON made, got the zero value"}
}
