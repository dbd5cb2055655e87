package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/periodize/response"
	"github.com/blockwright/blockwright/periodize/sheet/figure"
	"github.com/blockwright/blockwright/plates"
)

// forecast --log fits the model to what was lifted, and says when the data
// cannot carry that.

// fitted is a log, and the model fitted to it.
type fitted struct {
	d      *logbook.Daily
	r      *response.Report
	unit   plates.Unit
	before float64          // load a day before day 1
	band   []response.Point // of the log's days; nil where the fit is refused or has none
	report *logbook.Report
}

const fitLevel = 0.95 // of intervals and of the band

func models() []string {
	return []string{string(response.One), string(response.Two), string(response.Variable)}
}

// fitLog reads the log and fits.
func (o *forecastOptions) fitLog(sh *shell, args []string) error {
	switch {
	case len(args) > 0:
		return usagef("--log is fitted by itself: leave %s out", oneOf(args, "and"))
	case o.against != "" || o.on != "" || o.after != nil || o.countTest || !o.start.IsZero():
		return usagef("--log is fitted by itself: leave --against, --on, --after, --start and --count-test out")
	case len(o.lifters) > 1:
		return usagef("--log is fitted for one lifter: give --lifter once")
	case len(o.lifts) > 1:
		return usagef("--log is fitted to the tests of one lift: give --lift once")
	}
	f, err := o.readLog(sh)
	if err != nil {
		return err
	}
	if err := o.fit(f); err != nil {
		return err
	}
	if o.figure != "" {
		if err := o.drawFit(f); err != nil {
			return err
		}
	}
	if o.json || o.lines {
		return o.printFitJSON(sh, f)
	}
	return sh.print(f.text(sh))
}

func (o *forecastOptions) readLog(sh *shell) (*fitted, error) {
	r, err := sh.logReader([]string{o.log}, readOptions(o.unit, o.skipBad))
	if err != nil {
		return nil, err
	}
	f := &fitted{unit: r.Unit()}
	opt := logbook.DailyOptions{Measure: periodize.LoadMeasure(o.measure)}
	if len(o.lifters) > 0 {
		opt.Lifter = o.lifters[0]
	}
	if len(o.lifts) > 0 {
		opt.Lift = o.lifts[0]
	}
	f.d, err = logbook.ReadDaily(r, opt)
	f.report = r.Report()
	var oe *logbook.OptionError
	if errors.As(err, &oe) {
		switch oe.Field {
		case "lifter", "lift", "measure":
			return nil, usagef("--%s: want %s, got %s", oe.Field, oe.Want, oe.Got)
		}
		return nil, fmt.Errorf("%s: want %s, got %s", o.log, oe.Want, oe.Got)
	}
	return f, ofLog(r, err)
}

func (o *forecastOptions) fit(f *fitted) error {
	conv, err := response.ParseConvention(o.convention)
	if err != nil {
		return err
	}
	share := 1.0
	if o.before != nil {
		share = *o.before / 100
	}
	f.before = share * f.d.Week(1) / 7
	opt := response.FitOptions{Model: response.Kind(o.model), Convention: conv}
	if f.before > 0 {
		opt.Initial = response.Initial{Kind: response.SteadyStart, Daily: f.before}
	}
	var tests []response.Test
	for _, t := range f.d.Tests {
		tests = append(tests, response.Test{Day: t.Day, Performance: t.Load})
	}
	if f.r, err = response.Examine(f.d.Load, tests, opt, response.ExamineOptions{Level: fitLevel}); err != nil {
		return err
	}
	if f.r.Refused {
		return nil
	}
	band, err := f.r.Fit.Forecast(f.d.Load, fitLevel, false)
	var fe *response.FieldError
	if errors.As(err, &fe) {
		return nil // no standard errors: the warnings say so
	}
	f.band = band
	return err
}

// verdict is what the report comes to, in a sentence.
func (f *fitted) verdict() string {
	switch {
	case f.r.Refused:
		return "REFUSED: the data do not support this model, and its parameters and forecasts are not to be used"
	case len(f.r.Warnings) > 0:
		return "fitted, with doubts: see the warnings"
	}
	return "fitted; nothing spoke against it, which proves nothing"
}

// caveats are what must stand beside a fit.
func (f *fitted) caveats() []string { return append(response.Caveats(), response.NoSinglePoint) }

func (f *fitted) text(sh *shell) string {
	var b strings.Builder
	d, r := f.d, f.r
	b.WriteString(sh.bold(d.Lifter+", "+d.Lift) + fmt.Sprintf(": %s over %d days, %s to %s\n", plural(r.Fit.N, "test"), len(d.Load), dayWords(d.Date(1)), dayWords(d.Date(len(d.Load)))))
	b.WriteString(item("load: "+d.Method, "", sh.width))
	b.WriteString(item(fmt.Sprintf("before day 1: %s %s a day for a long time", decimals(f.before, 2), d.Unit), "", sh.width))
	if f.report.Bad > 0 {
		b.WriteString(item(fmt.Sprintf("%s left out", plural(int(f.report.Bad), "bad row")), "", sh.width))
	}
	b.WriteString("\n" + sh.bold(capital(f.verdict())) + "\n")
	for _, w := range r.Warnings {
		mark := "- "
		if w.Refuse {
			mark = "- (refuses) "
		}
		b.WriteString(item(mark+w.Text, "", sh.width))
	}
	b.WriteString("\n" + item(fmt.Sprintf("%s model, %s convention: R2 %s, residual SD %s %s", r.Fit.Model, r.Fit.Convention, fixed(r.Fit.R2, 3), fixed(r.Fit.SD, 2), f.unit), "", sh.width))
	b.WriteString(f.paramTable(sh) + "\n" + f.modelTable(sh))
	if f.band != nil {
		b.WriteString("\n" + fitChart(f, sh.width))
	}
	b.WriteString("\n")
	for _, c := range f.caveats() {
		b.WriteString(item("- "+c, "", sh.width))
	}
	b.WriteString(item("- The band is of the parameters alone; the errors of the model itself are larger. A fit describes the past of one lifter. No medical advice.", "", sh.width))
	return b.String()
}

func (f *fitted) paramTable(sh *shell) string {
	t := texttab.New(texttab.Left("parameter"), texttab.Right("value"), texttab.Right("standard error"), texttab.Right(fmt.Sprintf("%s %% profile interval", decimals(100*fitLevel, 1))), texttab.Left("unit"), texttab.Left(""))
	t.Style = sh.head()
	for i, p := range f.r.Fit.Params {
		se, note := "-", ""
		if p.KnownSE {
			se = short4(p.SE)
		}
		if p.AtBound {
			note = "at the end of its range"
		}
		pr := f.r.Profiles[i]
		low, high := short4(pr.Low), short4(pr.High)
		if pr.LowOpen {
			low = "open"
		}
		if pr.HighOpen {
			high = "open"
		}
		t.Row(p.Name, short4(p.Value), se, low+" to "+high, strings.ReplaceAll(p.Unit, "performance", f.unit.String()), note)
	}
	return t.String()
}

// short4 is a number to four digits.
func short4(x float64) string {
	if x == 0 {
		return "0"
	}
	return decimals(x, max(0, 3-int(math.Floor(math.Log10(math.Abs(x))))))
}

func (f *fitted) modelTable(sh *shell) string {
	t := texttab.New(texttab.Left("compared"), texttab.Right("sum of squares"), texttab.Right("AICc"), texttab.Right("BIC"), texttab.Right("held out RMSE"), texttab.Right("MAE"), texttab.Right("bias"))
	t.Style = sh.head()
	for _, m := range f.r.Models {
		row := []string{string(m.Model), fixed(m.RSS, 2), fixed(m.AICc, 1), fixed(m.BIC, 1), "-", "-", "-"}
		for _, h := range f.r.HoldOut {
			if h.Model == m.Model {
				row[4], row[5], row[6] = fixed(h.RMSE, 2), fixed(h.MAE, 2), fixed(h.Bias, 2)
			}
		}
		t.Row(row...)
	}
	s := t.String()
	if len(f.r.HoldOut) > 0 {
		h := f.r.HoldOut[0]
		s += item(fmt.Sprintf("held out: fitted to the first %s, held against the last %d, in %s", plural(h.Trained, "test"), h.Tested, f.unit), "", sh.width)
	}
	return s
}

// fitChart draws the fitted performance in its band, and the tests.
func fitChart(f *fitted, width int) string {
	const margin = 10
	days := len(f.band)
	per := 1
	for (days+per-1)/per > max(width-margin, 20) {
		per++
	}
	cols := (days + per - 1) / per
	low, high := f.band[0].Mid, f.band[0].Mid
	for _, p := range f.band {
		low, high = min(low, p.Mid), max(high, p.Mid)
	}
	for _, t := range f.r.Fit.Tests {
		low, high = min(low, t.Performance), max(high, t.Performance)
	}
	span := max(high-low, 1e-9)
	const rows = 11
	row := func(x float64) int {
		return min(max(int(math.Round((high-x)/span*(rows-1))), 0), rows-1)
	}
	grid := make([][]byte, rows)
	for i := range grid {
		grid[i] = []byte(strings.Repeat(" ", cols))
	}
	for c := range cols {
		p := f.band[min(c*per+per/2, days-1)]
		for r := row(p.High); r <= row(p.Low); r++ {
			grid[r][c] = ':'
		}
		grid[row(p.Mid)][c] = 'o'
	}
	for _, t := range f.r.Fit.Tests {
		grid[row(t.Performance)][(t.Day-1)/per] = 'x'
	}
	var b strings.Builder
	b.WriteString(f.unit.String() + "\n")
	for r, line := range grid {
		label := ""
		if r == 0 || r == rows-1 || r == (rows-1)/2 {
			label = fixed(high-span*float64(r)/(rows-1), 1)
		}
		b.WriteString(strings.TrimRight(fmt.Sprintf("%7s |%s", label, line), " ") + "\n")
	}
	legend := fmt.Sprintf("x test, o fitted performance, : its %s %% band", decimals(100*fitLevel, 1))
	if per > 1 {
		legend += fmt.Sprintf("; %d days a column", per)
	}
	return b.String() + legend + "\n"
}

func (o *forecastOptions) drawFit(f *fitted) error {
	format, err := pictureFormat(o.figure)
	if err != nil {
		return err
	}
	notes := append([]string{capital(f.verdict()) + "."}, f.caveats()...)
	fig, err := figure.Fit(f.d.Lifter+", "+f.d.Lift, f.unit.String(), &f.d.DailyLoad, f.r, f.band, notes)
	if err != nil {
		return err
	}
	return write(o.figure, func(w io.Writer) error { return fig.Write(w, format) })
}
