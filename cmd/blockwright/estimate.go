package main

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/plates"
)

// estimateOptions are the flags of estimate.
type estimateOptions struct {
	load          mass
	reps          *int
	rir, rpe      *float64
	velocity      *float64
	file          string
	curve         string
	coverage      *float64
	threshold     string
	unit          *plates.Unit
	repsAt        *float64
	loadFor       string
	list, curves  bool
	json          bool
	forReps       int
	forRIR        float64
	wantedLoadFor bool
	tied          bool
	measureTexts  []string
	measures      map[estimate.Measure]float64
}

const estimateCaution = "An estimate is no instruction to lift it. Test maxima only with clearance, supervision and spotters or safety pins, by the facility's own rules. No medical advice."

// curveNames names the repetitions relations.
func curveNames() []string {
	var out []string
	for _, c := range estimate.Curves() {
		out = append(out, c.Name)
	}
	return out
}

// thresholdIDs names the published velocities of a maximum.
func thresholdIDs() []string {
	var out []string
	for _, t := range estimate.VelocityThresholds() {
		out = append(out, t.ID)
	}
	return out
}

func estimateCommand(sh *shell) *cli.Command {
	o := estimateOptions{curve: "general"}
	return &cli.Command{
		Name: "estimate", Usage: "a maximum from one or more sets, with an interval", ArgsUsage: "[SET...]",
		Description: "SET is LOADxREPS, with the repetitions left in reserve behind a plus (100x5+2, to failure\n" +
			"100x5+0) or the RPE behind an at sign (100x5@8). Every published equation answers, and\n" +
			"one answer has an interval. LOADvM/S (80v0.62) is a load and the velocity of its fastest\n" +
			"repetition: one goes through published lines of groups, two or more make your own line.",
		Flags: flags(
			group("A set in flags, or sets in a file",
				massFlag(&o.load, "load", "`LOAD` of the set"),
				count(&o.reps, "reps", "`N` repetitions made", 1, mostReps),
				number(&o.rir, "rir", "`N` repetitions left in reserve, 0 for a set to failure", "a number", 0, mostReserve),
				number(&o.rpe, "rpe", "rating of perceived exertion `N`, 10 for a set to failure", "a number", 5, 10),
				number(&o.velocity, "velocity", "the load was moved at `M/S`", "metres per second", 0.01, 5),
				path(&o.file, "sets", "read `FILE`, one SET a line with its date behind it; - is standard input"),
			),
			group("How",
				offering(text(&o.curve, "curve", "repetitions-%1RM relation `NAME`, see --curves", "the name of a curve"), curveNames()),
				percent(&o.coverage, "coverage", "intervals hold the maximum with `PERCENT` (default 90)", 1, 99.9),
				offering(text(&o.threshold, "threshold", "velocity of a maximum, `M/S` or a published name (default all published)", "metres per second or a name"), thresholdIDs()),
				unitFlag(&o.unit, "bare loads and answers in `UNIT`, kg or lb (default the first set's, else kg)"),
			),
			group("What else to answer",
				percent(&o.repsAt, "reps-at", "repetitions that go at `PERCENT` of the maximum", 20, 100),
				text(&o.loadFor, "load-for", "load for `REPS`, or REPS+RESERVE such as 5+2", "repetitions such as 5 or 5+2"),
				on(&o.tied, "tied", "by equations of one lift, unit or test too; each refuses what it was not made for"),
				bodyFlag(&o.measureTexts, "measure", "`NAME=VALUE` that some need: 'arm girth=38', in cm or %"),
			),
			group("Output",
				on(&o.list, "list", "list every equation with its source instead"),
				on(&o.curves, "curves", "list the repetitions-%1RM relations instead"),
				jsonFlag(&o.json),
			),
		),
		UsageText: "blockwright estimate 100x5+1\n" +
			"blockwright estimate --load 225lb --reps 3 --rpe 8.5 --load-for 5+1\n" +
			"blockwright estimate 100x3+0 85x8+0 --reps-at 80\n" +
			"blockwright estimate 225lbx12+0 --tied --measure 'arm girth=40' --measure 'arm length=37'",
		Action: func(c *cli.Context) error { return o.run(sh, c.Args().Slice()) },
	}
}

func (o *estimateOptions) run(sh *shell, args []string) error {
	if o.list || o.curves {
		if len(args) > 0 || o.list && o.curves {
			return usagef("want --list or --curves alone")
		}
		if o.list {
			return o.printList(sh)
		}
		return o.printCurves(sh)
	}
	curve, err := o.settle()
	if err != nil {
		return err
	}
	written, err := o.gather(sh, args)
	if err != nil {
		return err
	}
	u := plates.KG
	if o.unit != nil {
		u = *o.unit
	} else if len(written) > 0 && strings.HasSuffix(written[0].load.text, "lb") {
		u = plates.LB
	}
	switch {
	case len(written) == 0 && o.tied && len(o.measures) > 0:
		return o.printMeasures(sh, u)
	case len(written) == 0 && (o.repsAt != nil || o.wantedLoadFor) && !o.tied:
		return o.printRelations(sh)
	case len(written) == 0:
		return usagef("want a set: as an argument such as 100x5+2, in --load and --reps, or in a file of --sets")
	}
	moved := 0
	for i := range written {
		if written[i].velocity > 0 {
			moved++
		}
	}
	switch {
	case moved > 0 && moved < len(written):
		return usagef("want repetitions for all sets or a velocity for all")
	case moved > 0 && o.tied:
		return usagef("--tied needs sets with repetitions")
	case moved > 0 && (o.repsAt != nil || o.wantedLoadFor):
		return usagef("--reps-at and --load-for need sets with repetitions")
	case moved > 0:
		return o.printVelocity(sh, written, u)
	case o.threshold != "":
		return usagef("--threshold is for loads with a velocity, such as 80v0.62")
	}
	return o.printSets(sh, written, u, curve)
}

// settle checks the flags that are no sets.
func (o *estimateOptions) settle() (*estimate.Curve, error) {
	curve, err := estimate.CurveNamed(o.curve)
	if err != nil {
		var ne *estimate.NameError
		if errors.As(err, &ne) {
			return nil, usagef("--curve: there is no curve %q: %s", ne.Name, nearest(ne.Name, ne.Choices))
		}
		return nil, err
	}
	if len(o.measureTexts) > 0 && !o.tied {
		return nil, usagef("--measure goes with --tied")
	}
	if o.measures, err = readMeasures(o.measureTexts); err != nil {
		return nil, err
	}
	if o.loadFor == "" {
		return curve, nil
	}
	o.wantedLoadFor = true
	reps, reserve, has := strings.Cut(o.loadFor, "+")
	if o.forReps, err = readCount(reps, 1, mostReps); err != nil {
		return nil, usagef("--load-for: want repetitions from 1 to %d, such as 5 or 5+2, got %q%s", mostReps, o.loadFor, hint(err))
	}
	if has {
		if o.forRIR, err = readNumber(reserve, 0, mostReserve); err != nil {
			return nil, usagef("--load-for: want a reserve from 0 to %d behind the plus, got %q%s", mostReserve, reserve, hint(err))
		}
	}
	return curve, nil
}

// gather is every set of the flags, the file and the arguments.
func (o *estimateOptions) gather(sh *shell, args []string) ([]writtenSet, error) {
	var out []writtenSet
	one, err := o.flagSet()
	if err != nil {
		return nil, err
	}
	if one != nil {
		out = append(out, *one)
	}
	for _, a := range args {
		w, err := parseSet(a)
		if err != nil {
			return nil, usagef("%v", err)
		}
		out = append(out, w)
	}
	if o.file != "" {
		more, err := readWith(sh, o.file, "file of sets", readSets)
		if err != nil {
			return nil, err
		}
		out = append(out, more...)
	}
	if len(out) > mostSets {
		return nil, usagef("want at most %d sets, got %d; a longer history is a log: see blockwright log --help", mostSets, len(out))
	}
	return out, nil
}

// flagSet is the set that the flags give, nil where they give none.
func (o *estimateOptions) flagSet() (*writtenSet, error) {
	var w writtenSet
	switch {
	case !o.load.given && o.reps == nil && o.rir == nil && o.rpe == nil && o.velocity == nil:
		return nil, nil
	case !o.load.given && o.reps == nil && o.velocity == nil:
		return nil, usagef("--rir and --rpe go with --load and --reps; of a set such as 100x5 the reserve stands behind it: 100x5+2 or 100x5@8")
	case !o.load.given:
		return nil, usagef("want --load with --reps or --velocity")
	case o.velocity != nil && (o.reps != nil || o.rir != nil || o.rpe != nil):
		return nil, usagef("--velocity goes with --load alone")
	case o.velocity == nil && o.reps == nil:
		return nil, usagef("want --reps or --velocity with --load")
	case o.rir != nil && o.rpe != nil:
		return nil, usagef("want --rir or --rpe, not both")
	}
	if m, err := o.load.in(plates.KG); err != nil || m == 0 {
		return nil, usagef("--load: want a load above 0, got %q", o.load.text)
	}
	w.load = o.load
	if o.velocity != nil {
		w.velocity = *o.velocity
		return &w, nil
	}
	w.reps, w.rir = *o.reps, o.rir
	if o.rpe != nil {
		left, err := estimate.RPEToRIR(*o.rpe)
		if err != nil {
			return nil, usagef("--rpe: %s", plain(err))
		}
		w.rir = &left
	}
	return &w, nil
}

func (o *estimateOptions) level() float64 {
	if o.coverage != nil {
		return *o.coverage / 100
	}
	return 0.9
}

// answer is what an equation makes of the sets.
type answer struct {
	eq           estimate.Equation
	max          float64 // the median over the sets
	bySet        []float64
	extrapolated bool
}

// equations puts every set through every equation. Equations that refuse every
// set are in refused only.
func equations(ss []estimate.Set) (answers []answer, refused []refusal, err error) {
	for _, eq := range estimate.Equations() {
		answers = append(answers, answer{eq: eq, bySet: make([]float64, len(ss))})
	}
	for i, s := range ss {
		rir := s.RIR
		if s.NoRIR {
			rir = 0
		}
		ps, rs, err := estimate.All(s.Load, s.Reps, rir)
		if err != nil {
			return nil, nil, err
		}
		for _, p := range ps {
			k := slices.IndexFunc(answers, func(a answer) bool { return a.eq.ID == p.ID })
			answers[k].bySet[i] = p.Max
			answers[k].extrapolated = answers[k].extrapolated || p.Extrapolated
		}
		for _, r := range rs {
			refused = append(refused, refusal{ID: r.ID, Why: plain(r.Err), Set: i + 1})
		}
	}
	answers = slices.DeleteFunc(answers, func(a answer) bool {
		return !slices.ContainsFunc(a.bySet, func(x float64) bool { return x > 0 })
	})
	for i := range answers {
		answers[i].max = medianOfAnswers(answers[i].bySet)
	}
	return answers, refused, nil
}

// medianOfAnswers is the median of those above 0.
func medianOfAnswers(xs []float64) float64 {
	ys := slices.DeleteFunc(slices.Clone(xs), func(x float64) bool { return x <= 0 })
	slices.Sort(ys)
	n := len(ys)
	if n%2 == 1 {
		return ys[n/2]
	}
	return ys[n/2-1]/2 + ys[n/2]/2
}

// agreed counts each family once.
func agreed(answers []answer) estimate.Consensus {
	var ps []estimate.Prediction
	for _, a := range answers {
		ps = append(ps, estimate.Prediction{ID: a.eq.ID, Family: a.eq.Family, Max: a.max})
	}
	return estimate.Agreed(ps)
}

func (o *estimateOptions) printSets(sh *shell, written []writtenSet, u plates.Unit, curve *estimate.Curve) error {
	ss, err := sets(written, u)
	if err != nil {
		return err
	}
	fit, err := estimate.Fit(ss, estimate.Options{Curve: curve, Coverage: o.level()})
	if err != nil {
		return ofSet(err)
	}
	answers, refused, err := equations(ss)
	if err != nil {
		return err
	}
	var reps, load *estimate.Predicted
	if o.repsAt != nil {
		p, err := fit.Reps(*o.repsAt / 100)
		if err != nil {
			return err
		}
		reps = &p
	}
	if o.wantedLoadFor {
		p, err := fit.Load(float64(o.forReps), o.forRIR)
		if err != nil {
			return err
		}
		load = &p
	}
	var tied *tiedAnswers
	if o.tied {
		if tied, err = o.tiedTo(ss, u); err != nil {
			return err
		}
	}
	if o.json {
		return o.jsonSets(sh, written, ss, u, fit.Estimate(), answers, refused, reps, load, tied)
	}
	e := fit.Estimate()
	var b strings.Builder
	for i := range written {
		b.WriteString(written[i].describe(ss[i].Load, u) + "\n")
	}
	b.WriteString("\n")
	b.WriteString(sh.bold(fmt.Sprintf("maximum %s %s", fixed(e.Max, 1), u)) +
		fmt.Sprintf(", %s %% interval %s to %s\n", decimals(100*e.Coverage, 1), fixed(e.Low, 1), fixed(e.High, 1)))
	b.WriteString(item("curve: "+curve.Name+", "+curve.Citation, "  ", sh.width))
	if reps != nil {
		fmt.Fprintf(&b, "at %s %%: %s repetitions (%s to %s)\n", decimals(*o.repsAt, 2), fixed(reps.Mid, 1), fixed(reps.Low, 1), fixed(reps.High, 1))
	}
	if load != nil {
		fmt.Fprintf(&b, "for %s: %s %s (%s to %s)\n", o.forWords(), fixed(load.Mid, 1), u, fixed(load.Low, 1), fixed(load.High, 1))
	}
	for _, w := range e.Warnings {
		b.WriteString(item("- "+w.Text, "", sh.width))
	}
	if len(answers) > 0 {
		b.WriteString("\n" + equationTable(sh, answers, e, u))
		if slices.ContainsFunc(ss, func(s estimate.Set) bool { return s.NoRIR }) {
			b.WriteString("The equations take a reserve that was not said as none.\n")
		}
	}
	for _, r := range refused {
		where := ""
		if len(ss) > 1 {
			where = fmt.Sprintf(", set %d", r.Set)
		}
		b.WriteString(item("no answer"+where+": "+r.Why, "", sh.width))
	}
	if tied != nil {
		b.WriteString("\n" + tied.text(sh, u, len(ss)))
	}
	b.WriteString("\n" + sh.para(estimateCaution))
	return sh.print(b.String())
}

var setIndex = regexp.MustCompile(`sets\[([0-9]+)\]`)

// ofSet counts the sets of an error as people do, from 1.
func ofSet(err error) error {
	var re *estimate.RangeError
	if errors.As(err, &re) {
		if at := setIndex.FindStringSubmatch(re.Field); at != nil {
			n, _ := strconv.Atoi(at[1])
			return fmt.Errorf("set %d has %s repetitions with those in reserve: the curve %q goes from %s; want a heavier set, the load before the x and the repetitions behind it",
				n+1, decimals(re.Value, 2), re.Model, re.Want)
		}
	}
	text := setIndex.ReplaceAllStringFunc(plain(err), func(s string) string {
		n, err := strconv.Atoi(setIndex.FindStringSubmatch(s)[1])
		if err != nil {
			return s
		}
		return fmt.Sprintf("set %d", n+1)
	})
	return errors.New(text)
}

func (o *estimateOptions) forWords() string {
	s := plural(o.forReps, "repetition")
	if o.forRIR > 0 {
		s += fmt.Sprintf(" with %s in reserve", decimals(o.forRIR, 2))
	}
	return s
}

// equationTable has a row an equation, families together, each answer also as a
// mark on one scale under that of the interval.
func equationTable(sh *shell, answers []answer, e estimate.Estimate, u plates.Unit) string {
	low, high := e.Low, e.High
	for _, a := range answers {
		low, high = min(low, a.max), max(high, a.max)
	}
	const cells = 29
	at := func(x float64) int {
		if high <= low {
			return 0
		}
		return min(cells-1, int((x-low)/(high-low)*(cells-1)+0.5))
	}
	lowText, highText := fixed(low, 1), fixed(high, 1)
	scale := lowText + strings.Repeat(" ", max(1, cells-len(lowText)-len(highText))) + highText
	t := texttab.New(texttab.Left("family"), texttab.Left("equation"), texttab.Right(u.String()), texttab.Left(scale), texttab.Left(""))
	t.Style = sh.head()
	whole := []byte(strings.Repeat(" ", cells))
	for i := at(e.Low); i <= at(e.High); i++ {
		whole[i] = '-'
	}
	whole[at(e.Low)], whole[at(e.High)] = '[', ']'
	whole[at(e.Max)] = '|'
	t.Row("(the one answer)", "", fixed(e.Max, 1), string(whole), "")
	family := ""
	for _, a := range answers {
		mark := []byte(strings.Repeat(".", cells))
		mark[at(a.max)] = 'o'
		name := a.eq.Family
		if name == family {
			name = ""
		}
		family = a.eq.Family
		note := ""
		if a.extrapolated {
			note = fmt.Sprintf("beyond its %s-%s repetitions", decimals(a.eq.From, 1), decimals(a.eq.To, 1))
		}
		t.Row(name, a.eq.ID, fixed(a.max, 1), string(mark), note)
	}
	c := agreed(answers)
	s := t.String()
	if c.Families > 1 {
		s += fmt.Sprintf("%d families, each counted once: %s, from %s to %s. That they agree does not make them right.\n",
			c.Families, fixed(c.Median, 1), fixed(c.Low, 1), fixed(c.High, 1))
	}
	return s
}
