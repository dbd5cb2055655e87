package main

import (
	"bufio"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize/logbook"
)

// How log prints one lifter.

// How much is printed of one lifter unless more is asked for.
const (
	mostWeeks = 12
	mostMoves = 6
	mostBests = 6
)

// pluralThousands is a number of things, thousands set apart.
func pluralThousands(n int64, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return thousands(n) + " " + what + "s"
}

func (o *logOptions) lifterText(sh *shell, l *logbook.Log, p *logbook.LifterLog) string {
	var b strings.Builder
	sets, reps, tonnage := totals(p)
	b.WriteString(sh.bold(p.Name) + fmt.Sprintf(": %s of training, %s to %s; %s, %s, %s %s\n", plural(p.Days, "day"),
		isoDay(p.First), isoDay(p.Last), pluralThousands(sets, "set"), pluralThousands(reps, "repetition"), thousands(int64(tonnage+0.5)), l.Unit))
	for _, g := range p.Gaps {
		what := "training"
		if len(o.lifts) > 0 {
			what = oneOf(o.lifts, "or")
		}
		fmt.Fprintf(&b, "gap: %s without %s, %s to %s\n", plural(g.Days, "day"), what, isoDay(g.From), isoDay(g.To))
	}
	b.WriteString("\n" + o.liftTable(sh, l, p))
	b.WriteString("\n" + bestTable(sh, l, p))
	if s := o.moveTable(sh, l, p); s != "" {
		b.WriteString("\n" + s)
	}
	b.WriteString("\n" + o.weekTable(sh, l, p))
	return b.String()
}

func (o *logOptions) liftTable(sh *shell, l *logbook.Log, p *logbook.LifterLog) string {
	u := l.Unit.String()
	t := texttab.New(texttab.Left("lift"), texttab.Right("sets"), texttab.Right("missed"), texttab.Right("reps"), texttab.Right("tonnage,\n"+u),
		texttab.Right("maximum on\n"+isoDay(l.AsOf)+", "+u), texttab.Right("90 %\ninterval"), texttab.Left("last day\nthat tells"))
	t.Style = sh.head()
	notes := ""
	for i := range p.Lifts {
		x := &p.Lifts[i]
		maximum, interval, told := "-", "-", "-"
		if x.Max != nil {
			maximum, interval = fixed(x.Max.Max, 1), fixed(x.Max.Low, 1)+" to "+fixed(x.Max.High, 1)
			told = isoDay(x.Last)
		} else {
			notes += item("- no maximum of "+x.Lift+": "+x.Why, "", sh.width)
		}
		t.Row(x.Lift, thousands(x.Sets), thousands(x.Missed), thousands(x.Reps), thousands(int64(x.Tonnage+0.5)), maximum, interval, told)
	}
	for _, s := range farLoads(p, u) {
		notes += item("- "+s, "", sh.width)
	}
	var ws []estimate.Warning
	for i := range p.Lifts {
		if p.Lifts[i].Max != nil {
			ws = append(ws, p.Lifts[i].Max.Warnings...)
		}
	}
	for _, w := range gathered(ws) {
		notes += item("- "+w, "", sh.width)
	}
	return t.String() + notes
}

// farLoads asks about loads far beyond every other of their lift.
func farLoads(p *logbook.LifterLog, unit string) (out []string) {
	for i := range p.Lifts {
		if f := p.Lifts[i].Far; f != nil {
			out = append(out, fmt.Sprintf("%s: %s %s (%d x, %s) is more than twice the heaviest other load, %s: a slip of the pen? Sums and bests count it until the row is mended",
				p.Lifts[i].Lift, decimals(f.Load, 2), unit, f.Reps, isoDay(f.Date), decimals(f.Next, 2)))
		}
	}
	return out
}

var ofSets = regexp.MustCompile(`^([0-9]+) of ([0-9]+) (sets .*)$`)

// gathered says once what several warnings say, with their counts of sets added up.
func gathered(ws []estimate.Warning) []string {
	type count struct{ some, all int }
	var order []string
	counts := map[string]*count{}
	for _, w := range ws {
		text, some, all := w.Text, 0, 0
		if m := ofSets.FindStringSubmatch(w.Text); m != nil {
			text = m[3]
			some, _ = strconv.Atoi(m[1])
			all, _ = strconv.Atoi(m[2])
		}
		if counts[text] == nil {
			counts[text] = &count{}
			order = append(order, text)
		}
		counts[text].some += some
		counts[text].all += all
	}
	var out []string
	for _, text := range order {
		if c := counts[text]; c.all > 0 {
			text = fmt.Sprintf("%d of %d %s", c.some, c.all, text)
		}
		out = append(out, text)
	}
	return out
}

// bestTable has the heaviest loads by repetitions, fewest first.
func bestTable(sh *shell, l *logbook.Log, p *logbook.LifterLog) string {
	t := texttab.New(texttab.Left("best sets"), texttab.Filling("repetitions x "+l.Unit.String()+", and when first"))
	t.Width, t.Style = sh.width, sh.head()
	for i := range p.Lifts {
		var list []string
		for k, b := range p.Lifts[i].Bests {
			if k == mostBests {
				list = append(list, fmt.Sprintf("and %d more", len(p.Lifts[i].Bests)-k))
				break
			}
			list = append(list, fmt.Sprintf("%d x %s (%s)", b.Reps, decimals(b.Load, 2), isoDay(b.Date)))
		}
		if len(list) == 0 {
			list = []string{"-"}
		}
		t.Row(p.Lifts[i].Lift, strings.Join(list, ", "))
	}
	return t.String()
}

// moveTable shows how each maximum moved: some days of each lift, or all where
// lifts are named.
func (o *logOptions) moveTable(sh *shell, l *logbook.Log, p *logbook.LifterLog) string {
	u := l.Unit.String()
	t := texttab.New(texttab.Left("maximum as it moved"), texttab.Left("day"), texttab.Right(u), texttab.Right("90 % interval"), texttab.Right("since the first"))
	t.Style = sh.head()
	for i := range p.Lifts {
		all := p.Lifts[i].Moves
		if len(all) < 2 {
			continue
		}
		name := p.Lifts[i].Lift
		for _, k := range spaced(len(all), mostMoves, len(o.lifts) > 0) {
			m := all[k]
			since := "-"
			if k > 0 {
				since = signed(100*(m.Max/all[0].Max-1), 1) + " %"
			}
			t.Row(name, isoDay(m.Date), fixed(m.Max, 1), fixed(m.Low, 1)+" to "+fixed(m.High, 1), since)
			name = ""
		}
	}
	if t.Len() == 0 {
		return ""
	}
	return t.String() + item("Each day with what the whole log says of it. Where intervals overlap, a change may be none.", "", sh.width)
}

// spaced is which of n to show: the first, the last, and some between.
func spaced(n, most int, all bool) []int {
	var out []int
	if all || n <= most {
		for i := range n {
			out = append(out, i)
		}
		return out
	}
	for i := range most {
		out = append(out, int(math.Round(float64(i*(n-1))/float64(most-1))))
	}
	return out
}

func signed(x float64, places int) string {
	if s := fixed(x, places); strings.HasPrefix(s, "-") {
		return s
	}
	return "+" + fixed(x, places)
}

func (o *logOptions) weekTable(sh *shell, l *logbook.Log, p *logbook.LifterLog) string {
	t := texttab.New(texttab.Left("week of"), texttab.Right("sets"), texttab.Right("reps"), texttab.Right("tonnage,\n"+l.Unit.String()),
		texttab.Right("load,\nRPE x min"), texttab.Right("\nmonotony"), texttab.Right("\nstrain"), texttab.Left(""))
	t.Style = sh.head()
	weeks := p.Weeks
	left := 0
	if len(weeks) > mostWeeks && len(l.Lifters) > 1 {
		left = len(weeks) - mostWeeks
		weeks = weeks[left:]
	}
	rated, open := false, false
	for _, w := range weeks {
		load, monotony, strain, note := "-", "-", "-", ""
		if w.Load != nil {
			rated = true
			load = fixed(*w.Load, 0)
			if w.Rated < w.Sessions {
				note = fmt.Sprintf("%d of %d sessions rated", w.Rated, w.Sessions)
			}
			if l.AsOf.Before(w.WeekOf.AddDate(0, 0, 6)) {
				open = true
				note = strings.TrimPrefix(note+", to "+isoDay(l.AsOf), ", ")
			}
		}
		if w.Week != nil && w.Week.Monotony.Defined() {
			monotony, strain = fixed(w.Week.Monotony.Value, 2), fixed(w.Week.Strain.Value, 0)
		}
		t.Row(isoDay(w.WeekOf), thousands(w.Sets), thousands(w.Reps), thousands(int64(w.Tonnage+0.5)), load, monotony, strain, note)
	}
	s := t.String()
	if left > 0 {
		s += fmt.Sprintf("%s before: --lifter shows all\n", plural(left, "week"))
	}
	if open {
		s += item("The last week is not over: its coming days count as days without training.", "", sh.width)
	}
	if rated {
		s += item("Monotony is mean over standard deviation (n-1) of a week's seven days, strain load times monotony.", "", sh.width)
	}
	return s
}

// jsonLog is what the command adds to the JSON of a log.
type jsonLog struct {
	jsonReading
	Later     int64        `json:"later"` // rows after the day that was asked for
	Conflicts []jsonBadRow `json:"conflicts"`
	Caution   string       `json:"caution"`
}

func (o *logOptions) printJSON(sh *shell, r *logbook.Reader, l *logbook.Log, all *seen) error {
	return l.WriteJSON(sh.stdout, jsonLog{readingJSON(r), all.later, jsonBad(l.Conflicts), logCaution})
}

// printLines writes a line of JSON for each lifter; what there is to know of the reading goes to standard error.
func (o *logOptions) printLines(sh *shell, r *logbook.Reader, s *logbook.Summary, opt logbook.LogOptions) error {
	brief := opt
	brief.NoMaxima = true
	head, err := s.Log(brief)
	if err != nil {
		return err
	}
	if err := o.conflicts(r, head); err != nil {
		return err
	}
	if err := sh.sayReading(r); err != nil {
		return err
	}
	w := bufio.NewWriterSize(sh.stdout, 1<<16)
	for x, err := range s.LifterLogs(opt) {
		if err != nil {
			return err
		}
		if err := sh.ctx.Err(); err != nil {
			return err
		}
		o.partial(x)
		line, err := joined(struct {
			Unit string `json:"unit"`
		}{head.Unit.String()}, x)
		if err != nil {
			return err
		}
		if _, err := w.Write(line); err != nil {
			return err
		}
	}
	return w.Flush()
}
