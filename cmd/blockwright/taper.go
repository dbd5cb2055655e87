package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/periodize/sheet/figure"
	"github.com/blockwright/blockwright/periodize/taper"
)

// taperOptions are the flags of taper.
type taperOptions struct {
	date              time.Time
	shape             string
	days              *int
	meanCut, finalCut *float64
	tau, floor        *float64
	intensity         *float64
	lifts             []string
	train             string
	sets              string
	lifters           []string
	evidence          bool
	figure            string
	json              bool
}

const (
	taperDays    = 14 // the usual length, at the longer end of what surveys say
	taperMeanCut = 50 // per cent, the middle of what surveys say
	taperCaution = "Trials of tapering in lifters are few and small; most of this is what lifters do, which is habit and not proof. No medical advice; the rules of the meet and the facility and a coach who knows the lifter come first."
)

func taperCommand(sh *shell) *cli.Command {
	o := taperOptions{shape: string(taper.Exponential)}
	return &cli.Command{
		Name: "taper", Usage: "a taper to a date, or how a plan stands against one", ArgsUsage: "[BLOCK [ROSTER]]",
		Description: "Counts back from --date: how the volume falls, the last heavy day and the last session of\n" +
			"each lift. With BLOCK the end of the block, or of each lifter's plan, is measured instead.",
		Flags: flags(
			group("When",
				date(&o.date, "date", "the test or meet is on `DATE` (default the plan's test day)"),
				count(&o.days, "days", "the taper has `N` days (default 14)", 1, 365),
				text(&o.train, "train", "lifts can be trained on `DAYS`, such as mon,thu (default every day)", "days such as mon,thu"),
			),
			group("The curve",
				choice(&o.shape, "shape", "`SHAPE`: "+oneOf(shapeNames(), "or"), shapeNames()),
				percent(&o.meanCut, "mean-cut", "volume is cut by `PERCENT` on average (default 50)", 0, 100),
				percent(&o.finalCut, "final-cut", "volume is cut by `PERCENT` on the last day (default what the curve makes of --mean-cut)", 0, 100),
				number(&o.tau, "tau", "exponential: time constant of `N` days (default what makes the cut)", "days", 0.1, 365),
				percent(&o.floor, "floor", "exponential: falls towards `PERCENT` of the volume (default 0)", 0, 99),
				percent(&o.intensity, "intensity", "the weights change by `PERCENT` to the last day (default 0)", -50, 20),
			),
			group("What is trained",
				offering(texts(&o.lifts, "lift", "`LIFT`: "+oneOf(liftKinds(), "or")+" (default the first three)", oneOf(liftKinds(), "or")), liftKinds()),
				text(&o.sets, "sets", "sets planned on taper days, `LIST` such as 2:12,5:10: how many remain", "days with sets, such as 2:12,5:10"),
				texts(&o.lifters, "lifter", "only the lifter `NAME` of the roster", "a lifter's name"),
			),
			group("Output",
				on(&o.evidence, "evidence", "print the published figures about tapering instead"),
				path(&o.figure, "figure", "draw the taper to `FILE`.svg or .png"),
				jsonFlag(&o.json),
			),
		),
		UsageText: "blockwright taper --date 2027-10-23\n" +
			"blockwright taper --date 2027-10-23 --days 10 --mean-cut 55 --train mon,wed,sat\n" +
			"blockwright taper block.yaml roster.yaml",
		Action: func(c *cli.Context) error { return o.run(sh, c.Args().Slice()) },
	}
}

func shapeNames() []string {
	var out []string
	for _, s := range taper.Shapes() {
		out = append(out, string(s))
	}
	return out
}

func liftKinds() []string {
	var out []string
	for _, l := range taper.Lifts() {
		out = append(out, string(l))
	}
	return out
}

func (o *taperOptions) run(sh *shell, args []string) error {
	switch {
	case o.evidence && len(args) > 0:
		return usagef("--evidence takes no file, got %q", args[0])
	case o.evidence:
		return o.printEvidence(sh)
	case len(args) > 2:
		return usagef("want BLOCK and perhaps ROSTER, or no file, got %s", gotArgs(args, 2))
	case len(args) == 1 && isDate(args[0]):
		return usagef("the day of the test or meet goes into --date: want --date %s", args[0])
	case len(o.lifters) > 0 && len(args) < 2:
		return usagef("--lifter needs BLOCK and ROSTER")
	case len(args) > 0:
		return o.assess(sh, args)
	case o.date.IsZero():
		return usagef("want the day of the test or meet in --date")
	}
	if o.figure != "" {
		if _, err := pictureFormat(o.figure); err != nil {
			return err
		}
	}
	c, err := o.curve()
	if err != nil {
		return err
	}
	opt := taper.CalendarOptions{}
	if o.intensity != nil {
		opt.Intensity = *o.intensity / 100
	}
	for _, l := range o.lifts {
		kind, err := taper.ParseLift(l)
		if err != nil {
			return usagef("--lift: there is no %q: %s", l, nearest(l, liftKinds()))
		}
		opt.Lifts = append(opt.Lifts, kind)
	}
	if opt.Sessions, err = o.sessions(opt.Lifts, c.Days()); err != nil {
		return err
	}
	work, remain, err := o.remaining(c)
	if err != nil {
		return err
	}
	cal, err := taper.NewCalendar(o.date, c, opt)
	if err != nil {
		return err
	}
	cal.Findings = append(taper.CheckCurve(c, opt.Intensity), withoutCurve(cal.Findings)...)
	if err := o.draw(cal); err != nil {
		return err
	}
	if o.json {
		return o.jsonCalendar(sh, cal, work, remain)
	}
	return o.printCalendar(sh, cal, work, remain)
}

// withoutCurve leaves out what CheckCurve says, so that nothing is said twice.
func withoutCurve(fs []taper.Finding) []taper.Finding {
	return slices.DeleteFunc(slices.Clone(fs), func(f taper.Finding) bool {
		return f.Code == taper.FindingLength || f.Code == taper.FindingCut || f.Code == taper.FindingIntensity
	})
}

// curve is the one that the flags describe.
func (o *taperOptions) curve() (taper.Curve, error) {
	days := taperDays
	if o.days != nil {
		days = *o.days
	}
	shape := taper.Shape(o.shape)
	if shape != taper.Exponential && (o.tau != nil || o.floor != nil) {
		return taper.Curve{}, usagef("--tau and --floor are for --shape exponential")
	}
	if o.tau != nil && o.floor != nil && o.meanCut != nil || o.finalCut != nil && (o.tau != nil || o.floor != nil) {
		return taper.Curve{}, usagef("the curve has two parameters: want at most two of --mean-cut, --tau and --floor, or --mean-cut with --final-cut")
	}
	share := func(p *float64, other float64) float64 {
		if p != nil {
			return *p / 100
		}
		return other
	}
	mean, floor := share(o.meanCut, taperMeanCut/100.0), share(o.floor, 0)
	var c taper.Curve
	var err error
	switch {
	case o.finalCut != nil && o.meanCut != nil && shape == taper.Exponential:
		c, err = taper.ForCuts(days, mean, *o.finalCut/100)
	case o.finalCut != nil && o.meanCut != nil:
		return c, usagef("a %s curve has one parameter: want --mean-cut or --final-cut", shape)
	case o.finalCut != nil && shape == taper.Linear:
		c, err = taper.NewLinear(days, *o.finalCut/100)
	case o.finalCut != nil && shape == taper.Step:
		c, err = taper.NewStep(days, *o.finalCut/100)
	case o.finalCut != nil:
		c, err = taper.ForCuts(days, mean, *o.finalCut/100)
	case o.tau != nil && o.meanCut != nil:
		c, err = taper.FloorForMean(days, mean, *o.tau)
	case o.tau != nil:
		c, err = taper.NewExponential(days, *o.tau, floor)
	case o.floor != nil:
		c, err = taper.ExponentialForMean(days, mean, floor)
	default:
		c, err = taper.ForMean(shape, days, mean)
	}
	return c, err
}

// weekdayNames are as block files have them.
var weekdayNames = []string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// sessions are the days of the last weeks on which every lift can be trained.
func (o *taperOptions) sessions(lifts []taper.Lift, days int) ([]taper.Session, error) {
	if o.train == "" {
		return nil, nil
	}
	var on [7]bool
	for _, name := range splitList(o.train) {
		i := slices.Index(weekdayNames, name)
		if i < 0 {
			return nil, usagef("--train: want days such as mon,thu, got %q: %s", name, nearest(name, weekdayNames))
		}
		on[i] = true
	}
	if len(lifts) == 0 {
		lifts = []taper.Lift{taper.Squat, taper.Bench, taper.Deadlift} // the calendar's own default
	}
	var out []taper.Session
	for d := 1; d <= max(days, 14); d++ {
		day := o.date.AddDate(0, 0, -d)
		if !on[day.Weekday()] {
			continue
		}
		for _, l := range lifts {
			out = append(out, taper.Session{Date: day, Lift: l})
		}
	}
	return out, nil
}

// remaining shares the taper out over the sets that were planned.
func (o *taperOptions) remaining(c taper.Curve) (work []taper.Work, remain []int, err error) {
	if o.sets == "" {
		return nil, nil, nil
	}
	for _, part := range splitList(o.sets) {
		day, sets, ok := strings.Cut(part, ":")
		d, err1 := readCount(day, 1, c.Days())
		n, err2 := readCount(sets, 0, 1000)
		if !ok || err1 != nil || err2 != nil {
			return nil, nil, usagef("--sets: want taper days from 1 to %d with their sets, such as 2:12,5:10, got %q", c.Days(), part)
		}
		if slices.ContainsFunc(work, func(w taper.Work) bool { return w.Day == d }) {
			return nil, nil, usagef("--sets: day %d stands there twice: want its sets added up", d)
		}
		work = append(work, taper.Work{Day: d, Sets: n})
	}
	remain, err = c.Sets(work)
	return work, remain, err
}

func (o *taperOptions) printCalendar(sh *shell, cal *taper.Calendar, work []taper.Work, remain []int) error {
	var b strings.Builder
	b.WriteString(sh.bold("taper to "+dayWords(cal.Meet)) + "\n" + sh.para(cal.Curve.String()) + "\n")
	marks := map[int][]string{}
	for _, l := range cal.Lifts {
		marks[l.Heavy.Out] = append(marks[l.Heavy.Out], "last heavy "+string(l.Rule.Lift))
		marks[l.Last.Out] = append(marks[l.Last.Out], "last "+string(l.Rule.Lift))
	}
	cols := []texttab.Column{texttab.Left("day"), texttab.Right("days out"), texttab.Right("volume %"), texttab.Left("")}
	changes := o.intensity != nil && *o.intensity != 0
	if changes {
		cols = append(cols, texttab.Right("weights %"))
	}
	if len(work) > 0 {
		cols = append(cols, texttab.Right("sets"))
	}
	t := texttab.New(append(cols, texttab.Filling(""))...)
	t.Width, t.Style = sh.width, sh.head()
	const cells = 20
	for _, d := range cal.Days {
		row := []string{dayWords(d.Date), fmt.Sprint(d.Out), fixed(100*d.Volume, 0), strings.Repeat("#", int(math.Round(cells*d.Volume)))}
		if changes {
			row = append(row, fixed(100*d.Intensity, 1))
		}
		if len(work) > 0 {
			var sets []string
			for i, w := range work {
				if w.Day == d.Taper {
					sets = append(sets, fmt.Sprintf("%d of %d", remain[i], w.Sets))
				}
			}
			row = append(row, strings.Join(sets, ", "))
		}
		t.Row(append(row, strings.Join(marks[d.Out], ", "))...)
		delete(marks, d.Out)
	}
	t.Row(dayWords(cal.Meet), "0", "", "", "", "")
	b.WriteString(t.String())
	for _, l := range cal.Lifts { // days before the taper begins
		for _, w := range []struct {
			name string
			d    taper.DateWindow
		}{{"last heavy " + string(l.Rule.Lift), l.Heavy}, {"last " + string(l.Rule.Lift), l.Last}} {
			if len(marks[w.d.Out]) > 0 {
				fmt.Fprintf(&b, "before the taper: %s on %s, %d days out\n", w.name, dayWords(w.d.Day), w.d.Out)
			}
		}
	}
	b.WriteString("\n" + liftTable(sh, cal.Lifts))
	b.WriteString("\n" + usualTable(sh, cal.Curve.Shape()))
	b.WriteString(findingsText(sh, cal.Findings))
	b.WriteString("\n" + sh.para(taperCaution))
	return sh.print(b.String())
}

func dayWords(d time.Time) string { return d.Format("Mon 2 Jan 2006") }

// liftTable is the windows of each lift and what they rest on.
func liftTable(sh *shell, lifts []taper.LiftDates) string {
	t := texttab.New(texttab.Left("lift"), texttab.Left("last heavy day"), texttab.Left("last session"), texttab.Left(""))
	t.Style = sh.head()
	var ids []string
	for _, l := range lifts {
		how := ""
		if l.Rule.How != taper.LookedUp {
			how = string(l.Rule.How)
		}
		t.Row(string(l.Rule.Lift), windowWords(l.Rule.Heavy, l.Rule.HeavyMax, l.Heavy), windowWords(l.Rule.Last, l.Rule.LastMax, l.Last), how)
		ids = append(ids, l.Rule.Evidence...)
	}
	return t.String() + item("evidence: "+strings.Join(sources(ids), "; "), "", sh.width)
}

// authorsYear is the short form of a source.
var authorsYear = regexp.MustCompile(`^.*?[0-9]{4}`)

// usualTable is the main figures on length, cut and shape, each with whom it was
// found in: endurance athletes are no evidence about a maximum in the squat.
func usualTable(sh *shell, shape taper.Shape) string {
	days, cut, change := taper.Usual()
	ids := []string{"T-44", "T-45", "T-52", "T-53", "T-55", "T-62", "T-01", "T-02"}
	if shape == taper.Exponential {
		ids = append(ids, "T-25")
	}
	var b strings.Builder
	b.WriteString(item(fmt.Sprintf("usual among strength athletes: %d to %d days, volume cut by %s to %s %% on average, weights kept to within %s and +%s %%",
		days.Near, days.Far, decimals(100*cut.Low, 0), decimals(100*cut.High, 0), decimals(100*change.Low, 0), decimals(100*change.High, 0)), "", sh.width))
	for _, id := range ids {
		if e, ok := taper.EvidenceByID(id); ok {
			e.Spread = "" // what it is differs from row to row
			b.WriteString(item(fmt.Sprintf("%s: %s (%s, %s)", e.Sport, e.Words(), authorsYear.FindString(e.Source), e.How), "  ", sh.width))
		}
	}
	return b.String() + "endurance athletes are no evidence about a maximum; all figures: --evidence\n"
}

// draw writes the picture, where one is asked for.
func (o *taperOptions) draw(cal *taper.Calendar) error {
	if o.figure == "" {
		return nil
	}
	format, err := pictureFormat(o.figure)
	if err != nil {
		return err
	}
	f, err := figure.Taper(cal)
	if err != nil {
		return err
	}
	return write(o.figure, func(w io.Writer) error { return f.Write(w, format) })
}

// windowWords is a window in days out, the weights in it, and the day chosen.
func windowWords(w taper.Window, weights taper.Span, d taper.DateWindow) string {
	s := fmt.Sprintf("%d-%d days out", w.Near, w.Far)
	if weights.High > 0 {
		s += fmt.Sprintf(" at %s-%s %%", decimals(100*weights.Low, 1), decimals(100*weights.High, 1))
	}
	s += ": " + d.Day.Format("Mon 2 Jan")
	if !d.Inside {
		s += " (outside)"
	}
	return s
}

// findingsText lists remarks with the sources that they rest on.
func findingsText(sh *shell, fs []taper.Finding) string {
	var b strings.Builder
	for _, f := range fs {
		b.WriteString(item("- "+f.Text, "", sh.width))
		if s := sources(f.Evidence); len(s) > 0 {
			b.WriteString(item("evidence: "+strings.Join(s, "; "), "  ", sh.width))
		}
	}
	if b.Len() > 0 {
		return "\n" + b.String()
	}
	return ""
}

// sources names publications, each once.
func sources(ids []string) []string {
	var out []string
	for _, id := range ids {
		e, ok := taper.EvidenceByID(id)
		if !ok {
			continue
		}
		s := fmt.Sprintf("%s (%s, %s)", e.Source, e.Sport, e.How)
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

func (o *taperOptions) printEvidence(sh *shell) error {
	if o.json {
		type figure struct {
			ID         string `json:"id"`
			Sport      string `json:"sport"`
			Kind       string `json:"kind"`
			Parameter  string `json:"parameter"`
			Value      string `json:"value"`
			Spread     string `json:"spread"`
			Unit       string `json:"unit"`
			Population string `json:"population"`
			N          string `json:"n"`
			Source     string `json:"source"`
			Have       string `json:"have"`
			Note       string `json:"note"`
		}
		list := []figure{}
		for _, e := range taper.Published() {
			list = append(list, figure{e.ID, string(e.Sport), e.Kind, e.Parameter, e.Value, e.Spread, e.Unit, e.Population, e.N, e.Source, string(e.How), e.Note})
		}
		return sh.printJSON(struct {
			Evidence []figure `json:"evidence"`
		}{list})
	}
	var b strings.Builder
	for _, e := range taper.Published() {
		b.WriteString(item(e.ID+"  "+e.Words(), "", sh.width))
		about := fmt.Sprintf("%s, %s: %s", e.Sport, e.Kind, e.Population)
		if e.N != "" {
			about += ", n " + e.N
		}
		b.WriteString(item(about, "      ", sh.width))
		b.WriteString(item(e.Source+" ("+string(e.How)+")", "      ", sh.width))
		if e.Note != "" {
			b.WriteString(item(e.Note, "      ", sh.width))
		}
	}
	return sh.print(b.String() + "\nin brackets: the standard deviation, unless the note says otherwise\n")
}

// assessed is the end of a plan measured against a taper.
type assessed struct {
	name string // of the lifter; "" for a block by itself
	r    *periodize.TaperReview
}

// assess measures the end of a block, or of every lifter's plan.
func (o *taperOptions) assess(sh *shell, args []string) error {
	if o.shape != string(taper.Exponential) || o.meanCut != nil || o.finalCut != nil || o.tau != nil || o.floor != nil || o.intensity != nil ||
		o.train != "" || o.sets != "" || len(o.lifts) > 0 || o.figure != "" {
		return usagef("a plan is measured as it is: with BLOCK leave everything but --date, --days, --lifter and --json out")
	}
	var list []assessed
	if len(args) == 1 {
		b, err := readWith(sh, args[0], "block file", blockfile.ReadBlock)
		if err != nil {
			return err
		}
		if o.date.IsZero() {
			return usagef("a block by itself has no dates: want the day of the test or meet in --date")
		}
		p, err := periodize.PlanBlock(b, time.Time{}, o.date)
		if err != nil {
			return err
		}
		r, err := o.review(p)
		if err != nil {
			return err
		}
		list = append(list, assessed{r: r})
	} else {
		prog, err := o.program(sh, args)
		if err != nil {
			return err
		}
		for p := range plans(sh, prog, &tally{}) {
			r, err := o.review(p)
			if err != nil {
				if isUsage(err) {
					return err
				}
				return fmt.Errorf("%s: %s", p.Lifter.Name, plain(err))
			}
			list = append(list, assessed{p.Lifter.Name, r})
		}
		if err := sh.ctx.Err(); err != nil {
			return err
		}
	}
	if o.json {
		return jsonAssessed(sh, list)
	}
	return o.printAssessed(sh, list)
}

// program is the plans, dated back from --date where the roster has no dates.
func (o *taperOptions) program(sh *shell, args []string) (*periodize.Program, error) {
	prog, err := compile(sh, args[0], args[1], time.Time{}, o.lifters)
	if err != nil {
		return nil, err
	}
	if r := prog.Roster(); r.Start.IsZero() && r.Test.IsZero() && !o.date.IsZero() {
		r = r.Clone()
		r.Test = o.date
		return periodize.Compile(prog.Block(), r)
	}
	return prog, nil
}

// review measures one plan, to --date or else to its test day.
func (o *taperOptions) review(p *periodize.Plan) (*periodize.TaperReview, error) {
	if p.Start.IsZero() {
		return nil, usagef("the plan has no dates: want start or test in the roster, or --date")
	}
	meet := o.date
	for i := range p.Sessions {
		if s := &p.Sessions[i]; s.Kind == periodize.TestDay && meet.IsZero() {
			meet = s.Date
		}
	}
	if meet.IsZero() {
		return nil, usagef("the block has no test day: want the day in --date")
	}
	days := taperDays
	if o.days != nil {
		days = *o.days
	}
	r, err := p.TaperReview(meet, days)
	var fe *taper.FieldError
	if errors.As(err, &fe) && fe.Field == "sessions" {
		return nil, usagef("want %s: a shorter taper is asked for with --days", fe.Want)
	}
	return r, err
}

func (o *taperOptions) printAssessed(sh *shell, list []assessed) error {
	var b strings.Builder
	for i, l := range list {
		if i > 0 {
			b.WriteString("\n")
		}
		name := l.name
		if name == "" {
			name = "the block by itself"
		}
		b.WriteString(sh.bold(name) + ", test on " + dayWords(l.r.Meet) + "\n")
		b.WriteString(sh.para(fmt.Sprintf("volume in sets: %s in the week before the last %d days; cut by %s %% over them, by %s %% in the last week; in repetitions by %s %% and %s %%; %s without training before the test",
			decimals(l.r.Reference, 1), l.r.Days, fixed(100*l.r.MeanCut, 0), fixed(100*l.r.FinalCut, 0), fixed(100*l.r.RepsMeanCut, 0), fixed(100*l.r.RepsFinalCut, 0), plural(l.r.DaysOff, "day"))))
		t := texttab.New(texttab.Left("focus lift"), texttab.Left("timed as"), texttab.Left("last heavy day"), texttab.Left("last session"))
		t.Style = sh.head()
		findings := l.r.Findings
		for _, x := range l.r.Lifts {
			t.Row(x.Lift, string(x.As), lastWords(x.HeavyDate, x.HeavyOut, x.HeavyTop), lastWords(x.LastDate, x.LastOut, x.LastTop))
			findings = append(findings, x.Findings...)
		}
		if t.Len() > 0 {
			b.WriteString("\n" + t.String())
		}
		near := ""
		for _, x := range l.r.Lifts {
			near += nearText(sh, &x)
		}
		if near != "" {
			b.WriteString("\n" + near)
		}
		b.WriteString(findingsText(sh, findings))
	}
	b.WriteString("\n" + sh.para(fmt.Sprintf("Heavy is over %s %% of the maximum, and that is the line: just under it is not heavy. Focus lifts of the patterns squat, hinge and horizontal push are held against the windows of squat, deadlift and bench press, others against general ones (%s); lifts that are not in focus count as volume alone.",
		decimals(100*taper.HeavyFrom, 0), taper.Practice)) + "\n")
	b.WriteString(sh.para(taperCaution))
	return sh.print(b.String())
}

// nearText names the sessions whose heaviest set lies so near to the line that
// a little on the bar moves the last heavy day.
func nearText(sh *shell, x *periodize.TaperLift) string {
	if len(x.Near) == 0 {
		return ""
	}
	var days []string
	for _, n := range x.Near {
		days = append(days, fmt.Sprintf("%s (%s %%, %s out)", n.Date.Format("Mon 2 Jan"), decimals(100*n.Top, 1), plural(n.Out, "day")))
	}
	lie := "lies"
	if len(days) > 1 {
		lie = "lie"
	}
	return item(fmt.Sprintf("- %s: %s %s within 1 %% of the line of %s %%; a little on the bar moves the last heavy day",
		x.Lift, oneOf(days, "and"), lie, decimals(100*taper.HeavyFrom, 0)), "", sh.width)
}

// lastWords is a day, how far out it is, and its heaviest set.
func lastWords(d time.Time, out int, top float64) string {
	if out == 0 {
		return "-"
	}
	s := fmt.Sprintf("%s, %s out", d.Format("Mon 2 Jan"), plural(out, "day"))
	if top > 0 {
		s += fmt.Sprintf(", up to %s %%", decimals(100*top, 1))
	}
	return s
}
