package main

import (
	"errors"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/periodize/sheet/figure"
	"github.com/blockwright/blockwright/plates"
)

// compareOptions are the flags of compare.
type compareOptions struct {
	equations  []string
	window     *int
	reps       string
	maxRIR     *float64
	testedOnly bool
	toFailure  bool
	by         []string
	resamples  *int
	seed       *int
	unit       *plates.Unit
	skipBad    bool
	json       bool
	figure     string
}

const compareCaution = "The pairs are what lifters wrote down, not an experiment: who tests, and when, is no accident. What came nearest here need not elsewhere. An estimate is no instruction to lift it. No medical advice."

// equationIDs names the equations that can be compared.
func equationIDs() []string {
	var out []string
	for _, e := range estimate.Equations() {
		out = append(out, e.ID)
	}
	return out
}

func groupings() []string { return []string{"lift", "band", "lifter"} }

func compareCommand(sh *shell) *cli.Command {
	var o compareOptions
	by := offering(texts(&o.by, "by", "also by `WHAT`: "+oneOf(groupings(), "or")+" (band of repetitions)", oneOf(groupings(), "or")), groupings())
	return &cli.Command{
		Name: "compare", Usage: "which estimation equation fits whom, with intervals", ArgsUsage: "LOG...",
		Description: "Each set of a few repetitions near failure is put against the nearest test of its lifter\n" +
			"and lift in the days after it. Errors are predicted less tested; intervals draw whole\n" +
			"lifters, since the sets of one are not independent. Rows may come in any order.",
		Flags: flags(
			group("What to compare",
				offering(texts(&o.equations, "equation", "only the equation `ID`, see estimate --list (default all)", "an equation's identifier"), equationIDs()),
				by,
			),
			group("Which sets and tests",
				count(&o.window, "window", "a test counts for the sets of `N` days before it (default 14)", 1, 3650),
				text(&o.reps, "reps", "sets of `N` repetitions, or from N to M as in 3-8 (default 1-10)", "repetitions such as 5 or 3-8"),
				number(&o.maxRIR, "max-rir", "sets with at most `N` repetitions left (default 5)", "a number", 0, mostReserve),
				on(&o.testedOnly, "tested-only", "a test is marked as one; by default so is a single with none left"),
				on(&o.toFailure, "to-failure", "sets without a reserve were done to failure; by default they do not count"),
			),
			group("How",
				count(&o.resamples, "resamples", "`N` draws of lifters behind the intervals, 0 for none (default 2000)", 0, 1_000_000),
				count(&o.seed, "seed", "`N` picks other draws (default 0)", 0, 1_000_000_000),
				unitFlag(&o.unit, "bare loads are, and errors are given, in `UNIT`, kg or lb (default kg)"),
				on(&o.skipBad, "skip-bad", "leave bad rows out, counted, and go on"),
			),
			group("Output",
				jsonFlag(&o.json),
				path(&o.figure, "figure", "draw agreement and errors by repetitions to `FILE`.svg or .png"),
			),
		),
		UsageText: "blockwright compare log.csv\n" +
			"blockwright compare log.csv --by lift --by lifter --window 7 --reps 3-8\n" +
			"blockwright compare log.csv --equation epley --equation brzycki --figure two.png",
		Action: func(c *cli.Context) error { return o.run(sh, c.Args().Slice()) },
	}
}

func (o *compareOptions) run(sh *shell, args []string) error {
	if err := wantLogs(args); err != nil {
		return err
	}
	opt, err := o.settle()
	if err != nil {
		return err
	}
	var format figure.Format
	if o.figure != "" {
		if format, err = pictureFormat(o.figure); err != nil {
			return err
		}
	}
	r, err := sh.logReader(args, readOptions(o.unit, o.skipBad))
	if err != nil {
		return err
	}
	defer lean(args, 10)()
	c, err := logbook.Compare(r, opt)
	if err != nil {
		return ofLog(r, ofOption(err))
	}
	if err := sh.ctx.Err(); err != nil {
		return err
	}
	unasked := func(by string) bool { return !o.json && !slices.Contains(o.by, by) }
	ropt := logbook.ResultOptions{NoLifts: unasked("lift"), NoBands: unasked("band") && o.figure == "", NoLifters: unasked("lifter")}
	if o.resamples != nil {
		if ropt.Resamples = *o.resamples; ropt.Resamples == 0 {
			ropt.Resamples = -1
		}
	}
	if o.seed != nil {
		ropt.Seed = uint64(*o.seed)
	}
	res, err := c.Result(ropt)
	if err != nil {
		return ofOption(err)
	}
	if o.figure != "" {
		a, err := agreement(r, opt, c, res)
		if err != nil {
			return err
		}
		f, err := figure.Comparison(res, a)
		if errors.Is(err, figure.ErrEmpty) {
			return errors.New("there are no pairs to draw" + why(res))
		}
		if err != nil {
			return err
		}
		if err := write(o.figure, func(w io.Writer) error { return f.Write(w, format) }); err != nil {
			return err
		}
	}
	if o.json {
		return sh.printJoined(res, struct {
			jsonReading
			Window     int     `json:"window"`
			MinReps    int     `json:"min_reps"`
			MaxReps    int     `json:"max_reps"`
			MaxRIR     float64 `json:"max_rir"`
			Tests      string  `json:"test_rule"`
			Confidence float64 `json:"confidence"`
			Resamples  int     `json:"resamples"`
			Seed       uint64  `json:"seed"`
			Caution    string  `json:"caution"`
		}{readingJSON(r), opt.Window, opt.MinReps, opt.MaxReps, max(opt.MaxRIR, 0), opt.Tests.String(), res.Confidence, max(res.Resamples, 0), ropt.Seed, compareCaution})
	}
	return sh.print(o.text(sh, r, res, opt))
}

// why is the first of the warnings that say why there is nothing.
func why(res *logbook.Result) string {
	if len(res.Warnings) > 0 {
		return ": " + res.Warnings[0].Text
	}
	return ""
}

// settle checks the flags and puts the defaults in, so that they can be told.
func (o *compareOptions) settle() (logbook.CompareOptions, error) {
	opt := logbook.CompareOptions{Window: 14, MinReps: 1, MaxReps: 10, MaxRIR: 5, UnreportedIsFailure: o.toFailure}
	for _, b := range o.by {
		if !slices.Contains(groupings(), b) {
			return opt, usagef("--by: want %s, got %q", oneOf(groupings(), "or"), b)
		}
	}
	if o.window != nil {
		opt.Window = *o.window
	}
	if o.reps != "" {
		low, high, has := strings.Cut(o.reps, "-")
		if !has {
			high = low
		}
		var err, err2 error
		opt.MinReps, err = readCount(low, 1, mostReps)
		opt.MaxReps, err2 = readCount(high, 1, mostReps)
		if err = errors.Join(err, err2); err != nil || opt.MaxReps < opt.MinReps {
			return opt, usagef("--reps: want repetitions such as 5 or 3-8, from 1 to %d, got %q", mostReps, o.reps)
		}
	}
	if o.maxRIR != nil {
		if opt.MaxRIR = *o.maxRIR; opt.MaxRIR == 0 {
			opt.MaxRIR = -1 // none left
		}
	}
	if o.testedOnly {
		opt.Tests = logbook.TestedOnly
	}
	var ids []string
	for _, id := range o.equations {
		if slices.Contains(ids, id) {
			return opt, usagef("--equation: %s is given twice", id)
		}
		ids = append(ids, id)
	}
	methods, err := logbook.Published(ids...)
	var ne *estimate.NameError
	if errors.As(err, &ne) {
		return opt, usagef("--equation: there is no equation %q: %s", ne.Name, nearest(ne.Name, ne.Choices))
	}
	opt.Methods = methods
	if !o.json && !slices.Contains(o.by, "lifter") {
		opt.ChoicesUpTo = mostChoosers
	}
	return opt, err
}

// agreement is what the agreement plot is drawn from: the pairs, for which the log is read again, or the means
// of each lifter's lift where it can be read but once.
func agreement(r *logbook.Reader, opt logbook.CompareOptions, c *logbook.Comparison, res *logbook.Result) (*figure.Agreement, error) {
	a := figure.NewAgreement(res, slices.Collect(series(c, res)))
	best := figure.Nearest(res)
	if best < 0 {
		return a, nil
	}
	for p, err := range logbook.Pairs(r, opt) {
		if errors.Is(err, logbook.ErrOnce) {
			return a, nil
		}
		if err != nil {
			return nil, err
		}
		a.Add(p.Load*opt.Methods[best].Factor(p.Reps), p.Tested, p.Sets)
	}
	return a, nil
}

// series are the mean errors of each lifter's lift, with the method that came
// nearest over all.
func series(c *logbook.Comparison, res *logbook.Result) func(yield func(figure.SeriesPoint) bool) {
	best := figure.Nearest(res)
	return func(yield func(figure.SeriesPoint) bool) {
		if best < 0 {
			return
		}
		for s := range c.Series() {
			if !yield(figure.SeriesPoint{Tested: s.Tested, Error: s.Errors[best].Bias, Pairs: s.Errors[best].Pairs}) {
				return
			}
		}
	}
}
