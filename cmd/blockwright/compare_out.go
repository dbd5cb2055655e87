package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize/logbook"
)

// How compare prints for people. Equations come in the order of their errors.

// shownBest is how many equations a group shows unless they are named.
const shownBest = 3

func (o *compareOptions) text(sh *shell, r *logbook.Reader, res *logbook.Result, opt logbook.CompareOptions) string {
	var b strings.Builder
	b.WriteString(readingText(sh, r))
	b.WriteString(countsText(sh, res, opt))
	for _, w := range res.Warnings {
		b.WriteString(item("- "+w.Text, "", sh.width))
	}
	if res.All.Pairs == 0 {
		return b.String()
	}
	b.WriteString("\n" + o.mainTable(sh, res))
	if s := againstTable(sh, res); s != "" {
		b.WriteString("\n" + s)
	}
	for _, g := range []struct {
		by     string
		groups []logbook.Group
		name   func(*logbook.Group) string
	}{
		{"lift", res.ByLift, func(g *logbook.Group) string { return g.Lift }},
		{"band", res.ByBand, func(g *logbook.Group) string { return g.Band }},
		{"lifter", res.ByLifter, func(g *logbook.Group) string { return g.Lifter }},
	} {
		if slices.Contains(o.by, g.by) {
			b.WriteString("\n" + o.groupTable(sh, res, g.by, g.groups, g.name))
		}
	}
	b.WriteString("\n" + o.choiceText(sh, res))
	b.WriteString("\n" + refitTable(sh, res))
	b.WriteString("\n" + sh.para(compareCaution))
	return b.String()
}

// countsText says what became of every set.
func countsText(sh *shell, res *logbook.Result, opt logbook.CompareOptions) string {
	c := res.Counts
	reps := fmt.Sprintf("%d to %d repetitions", opt.MinReps, opt.MaxReps)
	if opt.MinReps == opt.MaxReps {
		reps = plural(opt.MinReps, "repetition")
	}
	s := item(fmt.Sprintf("%s. %s of a set and a test, of %s: sets of %s with at most %s left, against the nearest test in the %s after them. %s: %s.",
		pluralThousands(c.Sets, "set"), pluralThousands(res.All.Pairs, "pair"), plural(res.Lifters, "lifter"), reps, decimals(max(opt.MaxRIR, 0), 2), plural(opt.Window, "day"), pluralThousands(c.Tests, "test"), opt.Tests), "", sh.width)
	var out []string
	for _, x := range []struct {
		n    int64
		what string
	}{
		{c.NoTest, "no test in the window"}, {c.Unreported, "no reserve reported"}, {c.FarOff, "too many left"}, {c.FewReps, "too few repetitions"},
		{c.ManyReps, "too many repetitions"}, {c.Missed, "missed"}, {c.Unloaded, "no load"}, {c.NoAnswer, "an equation has no answer"},
	} {
		if x.n > 0 {
			out = append(out, fmt.Sprintf("%s %s", thousands(x.n), x.what))
		}
	}
	if len(out) > 0 {
		s += item("Sets left out: "+strings.Join(out, ", ")+".", "", sh.width)
	}
	return s
}

// ranked is the methods of a group by mean absolute error.
func ranked(g *logbook.Group) []*logbook.Measure {
	var out []*logbook.Measure
	for i := range g.Methods {
		out = append(out, &g.Methods[i])
	}
	slices.SortStableFunc(out, func(a, b *logbook.Measure) int {
		// Two names of one model differ by rounding alone.
		switch {
		case a.MAE < b.MAE*(1-1e-9):
			return -1
		case b.MAE < a.MAE*(1-1e-9):
			return 1
		}
		return 0
	})
	return out
}

// figures is how many decimals errors are printed with.
const errorPlaces = 2

func spanOf(i *estimate.Interval) string {
	if i == nil {
		return "-"
	}
	return fixed(i.Low, errorPlaces) + " to " + fixed(i.High, errorPlaces)
}

func (o *compareOptions) mainTable(sh *shell, res *logbook.Result) string {
	level := decimals(100*res.Confidence, 1) + " %"
	t := texttab.New(texttab.Left("equation"), texttab.Right("bias,\n"+res.Unit.String()), texttab.Right("\n"+level), texttab.Right("mean abs.\nerror"), texttab.Right("\n"+level),
		texttab.Right("\nRMSE"), texttab.Right("limits of\nagreement"), texttab.Right("concor-\ndance"))
	t.Style = sh.head()
	for _, m := range ranked(&res.All) {
		limits, ccc := "-", "-"
		if m.HasSpread {
			limits = fixed(m.Lower, 1) + " to " + fixed(m.Upper, 1)
		}
		if m.HasConcordance {
			ccc = fixed(m.CCC, 4)
		}
		t.Row(m.ID, fixed(m.Bias, errorPlaces), spanOf(m.BiasBoot), fixed(m.MAE, errorPlaces), spanOf(m.MAEBoot), fixed(m.RMSE, errorPlaces), limits, ccc)
	}
	s := t.String()
	about := "Bias above 0 reads high. Limits of agreement are bias and 1.96 standard deviations of single pairs (n-1)."
	if res.Resamples > 0 && res.Lifters > 1 {
		about += fmt.Sprintf(" Intervals: %s of whole lifters.", pluralThousands(int64(res.Resamples), "draw"))
	}
	if m := ranked(&res.All)[0]; m.LowerBoot != nil && m.UpperBoot != nil {
		about += fmt.Sprintf(" The lower limit of %s lies from %s, the upper one from %s.", m.ID, tenths(m.LowerBoot), tenths(m.UpperBoot))
	}
	return s + item(about, "", sh.width)
}

func tenths(i *estimate.Interval) string { return fixed(i.Low, 1) + " to " + fixed(i.High, 1) }

// againstTable puts every equation against the one that came nearest.
func againstTable(sh *shell, res *logbook.Result) string {
	list := ranked(&res.All)
	if len(list) < 2 {
		return ""
	}
	best := list[0].ID
	t := texttab.New(texttab.Left("against "+best), texttab.Right("error more by, "+res.Unit.String()), texttab.Right(decimals(100*res.Confidence, 1)+" %"), texttab.Left(""))
	t.Style = sh.head()
	for _, m := range list[1:] {
		for i := range res.Paired {
			d := res.Paired[i]
			switch {
			case d.A == m.ID && d.B == best:
			case d.B == m.ID && d.A == best:
				d.MAE = -d.MAE
				if d.Interval != nil {
					d.Interval = &estimate.Interval{Low: -d.Interval.High, High: -d.Interval.Low}
				}
			default:
				continue
			}
			told := "cannot be told apart"
			switch {
			case d.Interval == nil:
				told = ""
			case d.Told():
				told = ""
			}
			t.Row(m.ID, fixed(d.MAE, 3), span3(d.Interval), told)
		}
	}
	return t.String() + item("On the same pairs. The first was chosen by this very table, so that small leads mean little. All pairs of equations: --json.", "", sh.width)
}

func span3(i *estimate.Interval) string {
	if i == nil {
		return "-"
	}
	return fixed(i.Low, 3) + " to " + fixed(i.High, 3)
}

// groupTable has the nearest equations of each group, or those named.
func (o *compareOptions) groupTable(sh *shell, res *logbook.Result, by string, groups []logbook.Group, name func(*logbook.Group) string) string {
	head := by
	if by == "band" {
		head = "repetitions, done and left"
	}
	t := texttab.New(texttab.Left(head), texttab.Right("pairs"), texttab.Right("lifters"), texttab.Left("equation"), texttab.Right("bias, "+res.Unit.String()),
		texttab.Right("error"), texttab.Right(decimals(100*res.Confidence, 1)+" %"), texttab.Right("limits of agreement"))
	t.Style = sh.head()
	for i := range groups {
		g := &groups[i]
		list := ranked(g)
		if len(o.equations) == 0 {
			list = list[:min(shownBest, len(list))]
		}
		for k, m := range list {
			limits := "-"
			if m.HasSpread {
				limits = fixed(m.Lower, 1) + " to " + fixed(m.Upper, 1)
			}
			row := []string{"", "", "", m.ID, fixed(m.Bias, errorPlaces), fixed(m.MAE, errorPlaces), spanOf(m.MAEBoot), limits}
			if k == 0 {
				row[0], row[1], row[2] = name(g), thousands(g.Pairs), thousands(g.Lifters)
			}
			t.Row(row...)
		}
	}
	s := t.String()
	if len(o.equations) == 0 {
		s += item(fmt.Sprintf("The %d of least error in each; others with --equation or --json.", shownBest), "", sh.width)
	}
	return s
}

// mostChoosers is up to how many lifters choices are made for without being asked for: a gym's. The list of more would push
// the rest off the screen, and with rows in no order its sums take more memory than all others.
const mostChoosers = 50

// mostChoices is how many lifters are listed of whom nothing can be said.
const mostChoices = 12

// choiceText says which equation fits whom, where the tests can tell.
func (o *compareOptions) choiceText(sh *shell, res *logbook.Result) string {
	var b strings.Builder
	b.WriteString(sh.bold("Which equation for whom") + "\n")
	if len(res.Choices) == 0 {
		fmt.Fprintf(&b, "  %s lifters are too many to list: --by lifter\n", thousands(res.Lifters))
		return b.String()
	}
	decided, left := 0, 0
	for i := range res.Choices {
		c := &res.Choices[i]
		switch {
		case c.Decided:
			decided++
		case left >= mostChoices && !slices.Contains(o.by, "lifter"):
			left++
			continue
		default:
			left++
		}
		words := c.Words()
		if len(c.Rivals) > 3 {
			words = fmt.Sprintf("%s came nearest in %s but cannot be told from %d others", c.Best, plural(c.Tests, "test"), len(c.Rivals))
		}
		b.WriteString(item(c.Lifter+": "+words, "  ", sh.width))
	}
	if left > mostChoices && !slices.Contains(o.by, "lifter") {
		fmt.Fprintf(&b, "  and %d more of whom the tests cannot tell: --by lifter\n", left-mostChoices)
	}
	if decided == 0 {
		b.WriteString(item("The tests tell of nobody which equation is best.", "", sh.width))
	}
	return b.String()
}

// refitTable has the forms fitted to the log.
func refitTable(sh *shell, res *logbook.Result) string {
	t := texttab.New(texttab.Left("fitted to this log"), texttab.Left("coefficients"), texttab.Right("RMSE"), texttab.Right("of lifters\nleft out"), texttab.Right("less than the\nbest published"),
		texttab.Right(decimals(100*res.Confidence, 1)+" %"))
	t.Style = sh.head()
	notes := ""
	for i := range res.Refits {
		f := &res.Refits[i]
		if f.Why != "" {
			notes += item("- "+f.Formula+" is not fitted: "+f.Why, "", sh.width)
			continue
		}
		var values []string
		for k, n := range f.Names {
			v := f.Values[k]
			if math.Abs(v) < 1e-9 {
				v = 0 // at its bound
			}
			values = append(values, n+" "+short4(v))
		}
		t.Row(f.Formula, strings.Join(values, ", "), fixed(f.RMSE, 3), fixed(f.Validated, 3), fixed(f.Gain, 3), span3(f.GainIn))
	}
	if t.Len() == 0 {
		return notes
	}
	return t.String() + notes + item("w the load, n the repetitions done and left. Lifters left out took no part in their fit; above 0 in the last columns, the fitted form served them better than the published equation of the smallest error.", "", sh.width)
}
