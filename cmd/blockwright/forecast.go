package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/periodize/response"
	"github.com/blockwright/blockwright/periodize/sheet/figure"
	"github.com/blockwright/blockwright/plates"
)

// forecastOptions are the flags of forecast.
type forecastOptions struct {
	lifters    []string
	lifts      []string
	against    string
	on         string
	start      time.Time
	measure    string
	convention string
	before     *float64
	after      *int
	countTest  bool
	log        string
	model      string
	unit       *plates.Unit
	skipBad    bool
	list       bool
	json       bool
	lines      bool
	figure     string
}

func forecastCommand(sh *shell) *cli.Command {
	o := forecastOptions{measure: string(periodize.RelativeVolume), convention: response.PreviousDay.String(), model: string(response.Two)}
	return &cli.Command{
		Name: "forecast", Usage: "fitness, fatigue and the freshest day of a plan, as a band", ArgsUsage: "BLOCK [ROSTER]",
		Description: "Runs the daily loads of a plan through the fitness-fatigue model over a list of assumed\n" +
			"parameter sets: none is published for barbell lifts. It compares plans that a coach wrote and offers\n" +
			"no load of its own. With --log and no BLOCK the model is fitted to a lifter's log, or refused.",
		Flags: flags(
			group("What to look at",
				texts(&o.lifters, "lifter", "only the lifter `NAME`", "a lifter's name"),
				texts(&o.lifts, "lift", "only the load of `LIFT` counts; with --log, the one that was tested", "a lift"),
				path(&o.against, "against", "put the block `FILE` beside it, for the same lifters"),
				text(&o.on, "on", "with --against: compare on `DATE` or day N (default the test, else the freshest)", "a date or the number of a day"),
				count(&o.after, "after", "look at `N` days without training after the plan (default 14)", 0, 365),
			),
			group("What to assume",
				date(&o.start, "start", "day 1 of week 1 is `DATE`, whatever the roster says (default the roster's)"),
				choice(&o.measure, "measure", "daily load is `MEASURE`: "+oneOf(measures(), "or"), measures()),
				percent(&o.before, "before", "before day 1 a week had `PERCENT` of the first week's load (default the roster's recent sets, else 100)", 0, 1000),
				choice(&o.convention, "convention", "loads count up to the `WHICH`: previous-day or same-day", conventions()),
				on(&o.countTest, "count-test", "the attempts of the test day are load too"),
			),
			group("Fitting",
				path(&o.log, "log", "fit to the log `FILE`; - is standard input"),
				choice(&o.model, "model", "`MODEL`: "+oneOf(models(), "or"), models()),
				unitFlag(&o.unit, "bare loads of the log are in `UNIT`, kg or lb (default kg)"),
				on(&o.skipBad, "skip-bad", "leave bad rows of the log out"),
			),
			group("Output",
				jsonFlag(&o.json),
				on(&o.lines, "json-lines", "JSON, one object a lifter on one line"),
				path(&o.figure, "figure", "draw the forecast of one lifter, or of the block, to `FILE`.svg or .png"),
				on(&o.list, "list", "list the assumed parameter sets with their sources instead"),
			),
		),
		UsageText: "blockwright forecast block.yaml roster.yaml --lifter Wren\n" +
			"blockwright forecast block.yaml --against steeper.yaml --figure both.svg\n" +
			"blockwright forecast --log log.csv --lifter Wren --lift 'push press'",
		Action: func(c *cli.Context) error { return o.run(sh, c.Args().Slice()) },
	}
}

func measures() []string {
	var out []string
	for _, m := range periodize.LoadMeasures() {
		out = append(out, string(m))
	}
	return append(out, string(logbook.SessionLoad))
}

func conventions() []string {
	return []string{response.PreviousDay.String(), response.SameDay.String()}
}

func (o *forecastOptions) run(sh *shell, args []string) error {
	if o.list {
		if len(args) > 0 {
			return usagef("--list takes no file, got %q", args[0])
		}
		return o.printSets(sh)
	}
	if err := o.settle(args); err != nil {
		return err
	}
	if o.log != "" {
		return o.fitLog(sh, args)
	}
	if len(args) != 1 && len(args) != 2 {
		return usagef("want BLOCK and perhaps ROSTER, or --log, got %s", gotArgs(args, 2))
	}
	opt, err := o.options()
	if err != nil {
		return err
	}
	if len(args) == 1 {
		err = o.alone(sh, args[0], opt)
	} else {
		err = o.each(sh, args[0], args[1], opt)
	}
	if isKind(err, "log") {
		return fmt.Errorf("%w; a log is given by itself, in --log", err)
	}
	return err
}

// settle checks the flags against each other.
func (o *forecastOptions) settle(args []string) error {
	if o.figure != "" {
		if _, err := pictureFormat(o.figure); err != nil {
			return err
		}
	}
	switch {
	case o.json && o.lines:
		return usagef("want one of --json and --json-lines")
	case o.log != "": // the rest is about plans
	case o.model != string(response.Two) || o.unit != nil || o.skipBad:
		return usagef("--model, --unit and --skip-bad go with --log")
	case o.measure == string(logbook.SessionLoad):
		return usagef("--measure session-load needs a log: a plan does not know how hard it will feel")
	case o.on != "" && o.against == "":
		return usagef("--on goes with --against")
	case len(args) == 1 && len(o.lifters) > 0:
		return usagef("--lifter needs a roster")
	case len(args) == 1 && o.measure == string(periodize.TonnageLoad):
		return usagef("--measure tonnage needs a roster: a block by itself has no weights")
	}
	return nil
}

func (o *forecastOptions) options() (opt periodize.ForecastOptions, err error) {
	opt.Daily = periodize.DailyOptions{Measure: periodize.LoadMeasure(o.measure), Lifts: o.lifts, CountTest: o.countTest}
	if opt.Convention, err = response.ParseConvention(o.convention); err != nil {
		return opt, err
	}
	if o.before != nil {
		share := *o.before / 100
		opt.Before = &share
	}
	if o.after != nil {
		if opt.After = *o.after; opt.After == 0 {
			opt.After = -1 // none
		}
	}
	return opt, nil
}

// forecasted is a lifter's forecast, or two side by side.
type forecasted struct {
	block, other string // titles
	lifter       string // "" for a block by itself
	f            *periodize.Forecast
	pair         *periodize.ForecastPair // nil for one
}

// alone forecasts a block without a roster.
func (o *forecastOptions) alone(sh *shell, file string, opt periodize.ForecastOptions) error {
	b, err := readWith(sh, file, "block file", blockfile.ReadBlock)
	if err != nil {
		return err
	}
	p, err := periodize.PlanBlock(b, o.start, time.Time{})
	if err != nil {
		return err
	}
	var other *periodize.Plan
	if o.against != "" {
		ob, err := readWith(sh, o.against, "block file", blockfile.ReadBlock)
		if err != nil {
			return err
		}
		if other, err = periodize.PlanBlock(ob, o.start, time.Time{}); err != nil {
			return err
		}
	}
	f, err := o.forecast(p, other, opt)
	if err != nil {
		return err
	}
	f.lifter = ""
	return o.show(sh, []*forecasted{f})
}

// each forecasts the plan of every lifter.
func (o *forecastOptions) each(sh *shell, blockFile, rosterFile string, opt periodize.ForecastOptions) error {
	prog, err := compile(sh, blockFile, rosterFile, o.start, o.lifters)
	if err != nil {
		return err
	}
	if prog.Len() > 1 {
		if o.json {
			return usagef("--json is for one lifter: give --lifter once, or take --json-lines")
		}
		if o.figure != "" {
			return usagef("--figure draws one forecast: give --lifter once, or leave the roster out")
		}
	}
	var others *periodize.Program
	if o.against != "" {
		b, err := readWith(sh, o.against, "block file", blockfile.ReadBlock)
		if err != nil {
			return err
		}
		if err := blockfile.CheckPair(b, prog.Roster()); err != nil {
			return err
		}
		if others, err = periodize.Compile(b, prog.Roster()); err != nil {
			return err
		}
	}
	var list []*forecasted
	i := 0
	for p := range plans(sh, prog, &tally{}) {
		var other *periodize.Plan
		if others != nil {
			other = others.Plan(i)
		}
		f, err := o.forecast(p, other, opt)
		if err != nil {
			if prog.Len() > 1 && !isUsage(err) {
				return fmt.Errorf("%s: %s", p.Lifter.Name, plain(err))
			}
			return err
		}
		list = append(list, f)
		i++
	}
	if err := sh.ctx.Err(); err != nil {
		return err
	}
	return o.show(sh, list)
}

func isUsage(err error) bool {
	var u *usageError
	return errors.As(err, &u)
}

// forecast runs one plan, and the other beside it where there is one.
func (o *forecastOptions) forecast(p, other *periodize.Plan, opt periodize.ForecastOptions) (*forecasted, error) {
	if err := o.checkLifts(p, other); err != nil {
		return nil, err
	}
	out := &forecasted{block: p.Block.Title, lifter: p.Lifter.Name}
	if other == nil {
		f, err := p.Forecast(opt)
		out.f = f
		return out, explainForecast(err)
	}
	out.other = other.Block.Title
	day, err := o.day(p, other)
	if err != nil {
		return nil, err
	}
	if out.pair, err = p.ForecastWith(other, day, opt); err != nil {
		var fe *response.FieldError
		if errors.As(err, &fe) && fe.Field == "day" {
			return nil, usagef("--on: %s is day %d, which is not looked at: want a day from %s", o.on, day, fe.Want)
		}
		return nil, explainForecast(err)
	}
	out.f = out.pair.A
	return out, nil
}

// explainForecast says what no flag can mend.
func explainForecast(err error) error {
	var fe *response.FieldError
	if errors.As(err, &fe) && fe.Field == "load" {
		return errors.New("the plan has no load to tell its days apart: want sets whose weight comes from a maximum, or --measure tonnage")
	}
	return err
}

// checkLifts reports lifts that no plan has work for.
func (o *forecastOptions) checkLifts(plans ...*periodize.Plan) error {
	for _, p := range plans {
		if p == nil {
			continue
		}
		var names []string
		for i := range p.Block.Lifts {
			names = append(names, p.Block.Lifts[i].Name)
		}
		for _, l := range o.lifts {
			if !slices.Contains(names, l) {
				return usagef("--lift: %s has no %q: %s", p.Block.Title, l, nearest(l, names))
			}
		}
	}
	return nil
}

// day is the day of the comparison, counted from the earlier start; 0 where none
// is asked for.
func (o *forecastOptions) day(p, other *periodize.Plan) (int, error) {
	if o.on == "" {
		return 0, nil
	}
	if n, err := readCount(o.on, 1, 1000); err == nil {
		return n, nil
	}
	d, err := readDate(o.on)
	if err != nil {
		return 0, usagef("--on: want a date such as 2027-09-06, or the number of a day, got %q%s", o.on, hint(err))
	}
	start := p.Start
	if other.Start.Before(start) {
		start = other.Start
	}
	if start.IsZero() {
		return 0, usagef("--on: the plans have no dates: want the number of a day, or dates through --start")
	}
	n := int(d.Sub(start)/(24*time.Hour)) + 1
	if d.Before(start) {
		return 0, usagef("--on: want %s, the first day, or later, got %s", start.Format(time.DateOnly), o.on)
	}
	return n, nil
}

// show draws and prints what was worked out.
func (o *forecastOptions) show(sh *shell, list []*forecasted) error {
	if o.figure != "" {
		if err := o.draw(list[0]); err != nil {
			return err
		}
	}
	switch {
	case o.lines:
		return o.printLines(sh, list)
	case o.json:
		return sh.printJSON(forecastJSON(list[0]))
	}
	return o.print(sh, list)
}

func (o *forecastOptions) draw(f *forecasted) error {
	format, err := pictureFormat(o.figure)
	if err != nil {
		return err
	}
	var fig *figure.Figure
	if f.pair != nil {
		fig, err = figure.ForecastPair(f.block, f.other, f.pair)
	} else {
		name := f.block
		if f.lifter != "" {
			name = f.lifter
		}
		fig, err = figure.Forecast(name, f.f)
	}
	if err != nil {
		return err
	}
	return write(o.figure, func(w io.Writer) error { return fig.Write(w, format) })
}

// title is the block, and the lifter where there is one.
func (f *forecasted) title() string {
	who := f.lifter
	if who == "" {
		who = "the block by itself, for nobody in particular"
	}
	if f.pair != nil {
		return "A " + f.block + ", B " + f.other + ": " + who
	}
	return f.block + ": " + who
}

// dayName is a day in words, with its date where there is one.
func dayName(f *periodize.Forecast, day int) string {
	s := fmt.Sprintf("day %d", day)
	if d := f.Date(day); !d.IsZero() {
		s = dayWords(d) + " (" + s + ")"
	}
	return s
}

// capital makes a sentence of words.
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
