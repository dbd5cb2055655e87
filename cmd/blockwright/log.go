package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/periodize/sheet/figure"
	"github.com/blockwright/blockwright/plates"
)

// logOptions are the flags of log.
type logOptions struct {
	lifters, lifts []string
	asOf           time.Time
	unit           *plates.Unit
	skipBad        bool
	json, lines    bool
	figure         string
}

const logCaution = "Maxima are estimates from what was written down; they are no instruction to lift. Load, monotony and strain describe: they are no verdict on anybody's health. No medical advice."

func logCommand(sh *shell) *cli.Command {
	var o logOptions
	return &cli.Command{
		Name: "log", Usage: "check and sum up a training log; the maxima it shows, as they moved", ArgsUsage: "LOG...",
		Description: "LOG is CSV with a header; date, lifter, lift, load and reps are needed, the rest may be\n" +
			"left out: unit, rir or rpe, count, tested, week, session, set, minutes, effort, bodyweight,\n" +
			"velocity and note. Several files are read as one log, `-` is standard input, and gzip is\n" +
			"unpacked. A bad row is named with its place and reason, and nothing is concluded then.",
		Flags: flags(
			group("What to show",
				texts(&o.lifters, "lifter", "only the lifter `NAME`, in full", "a lifter's name"),
				texts(&o.lifts, "lift", "only `LIFT`, its maximum day by day", "a lift"),
				date(&o.asOf, "as-of", "the log up to `DATE`: later rows do not count (default the last date in it)"),
			),
			group("How to read",
				unitFlag(&o.unit, "bare loads are, and answers are given, in `UNIT`, kg or lb (default kg)"),
				on(&o.skipBad, "skip-bad", "leave bad rows out, counted, and go on"),
			),
			group("Output",
				jsonFlag(&o.json),
				on(&o.lines, "json-lines", "JSON, one object a lifter on one line"),
				path(&o.figure, "figure", "draw the maximum of one lifter's lift over time to `FILE`.svg or .png"),
			),
		),
		UsageText: "blockwright log log.csv\n" +
			"blockwright log 2026.csv.gz 2027.csv --lifter Wren --skip-bad\n" +
			"blockwright log log.csv --lifter Wren --lift 'push press' --figure wren.svg",
		Action: func(c *cli.Context) error { return o.run(sh, c.Args().Slice()) },
	}
}

// wantLogs checks that there is a log.
func wantLogs(args []string) error {
	if len(args) == 0 {
		return usagef("want LOG, one or more, got nothing")
	}
	return nil
}

// showMost is how many lifters are shown in full unless they are named.
const showMost = 8

func (o *logOptions) run(sh *shell, args []string) error {
	if err := wantLogs(args); err != nil {
		return err
	}
	var format figure.Format
	if o.figure != "" {
		var err error
		if format, err = pictureFormat(o.figure); err != nil {
			return err
		}
		for _, a := range args {
			if sameFile(o.figure, a) {
				return usagef("--figure %s is a file that is read: want another name", o.figure)
			}
		}
	}
	switch {
	case o.json && o.lines:
		return usagef("want one of --json and --json-lines")
	case o.lines && o.figure != "":
		return usagef("--figure draws one lifter's lift: leave --json-lines out")
	}
	r, err := sh.logReader(args, readOptions(o.unit, o.skipBad))
	if err != nil {
		return err
	}
	if !o.brief() { // the sets that tell of maxima stay
		defer lean(args, 40)()
	}
	s, all, err := o.summarise(sh, r)
	if err != nil {
		return ofLog(r, err)
	}
	opt := logbook.LogOptions{AsOf: o.asOf, NoTracks: o.figure == ""}
	if o.asOf.IsZero() {
		opt.AsOf = all.last // of the lifters and lifts that are left out too
	}
	if o.lines {
		return o.printLines(sh, r, s, opt)
	}
	l, err := s.Log(opt)
	if err != nil {
		return err
	}
	l.Skipped = r.Report().Bad
	for i := range l.Lifters {
		o.partial(&l.Lifters[i])
	}
	if err := o.conflicts(r, l); err != nil {
		return err
	}
	if o.figure != "" {
		x, err := o.pictured(l)
		if err != nil {
			return err
		}
		f, err := figure.Maximum(l.Lifters[0].Name+", "+x.Lift, l.Unit.String(), x, l.AsOf)
		if err != nil {
			return err
		}
		if err := write(o.figure, func(w io.Writer) error { return f.Write(w, format) }); err != nil {
			return err
		}
	}
	if o.json {
		return o.printJSON(sh, r, l, all)
	}
	return sh.print(o.text(sh, r, l, all))
}

// seen is what a log has, whatever is left out of the summary.
type seen struct {
	lifters, lifts []string
	last           time.Time // of the rows that count
	later          int64     // rows after the day that is asked for
}

// summarise adds up the rows that are wanted.
func (o *logOptions) summarise(sh *shell, r *logbook.Reader) (*logbook.Summary, *seen, error) {
	s := logbook.NewSummary(r.Unit())
	lifters, lifts := map[string]bool{}, map[string]bool{}
	all := &seen{}
	last, until := 0, math.MaxInt
	if !o.asOf.IsZero() {
		until = logbook.DayOf(o.asOf)
	}
	for row, err := range r.Rows() {
		var bad *logbook.RowError
		if errors.As(err, &bad) {
			continue // the reader's report has it
		}
		if err != nil {
			return nil, nil, err
		}
		if !lifters[row.Lifter] {
			lifters[row.Lifter] = true
			all.lifters = append(all.lifters, row.Lifter)
		}
		if !lifts[row.Lift] {
			lifts[row.Lift] = true
			all.lifts = append(all.lifts, row.Lift)
		}
		if row.Day > until {
			all.later++
			continue
		}
		if all.last.IsZero() || row.Day > last {
			last, all.last = row.Day, row.Date()
		}
		if (len(o.lifters) == 0 || slices.Contains(o.lifters, row.Lifter)) && (len(o.lifts) == 0 || slices.Contains(o.lifts, row.Lift)) {
			if err := s.Add(&row); err != nil {
				return nil, nil, err
			}
			// Maxima take most memory and time, and only those shown are wanted.
			if s.Lifters() == showMost+1 && o.brief() {
				s.WorkOnly()
			}
		}
	}
	if err := r.Err(); err != nil {
		return nil, nil, err
	}
	return s, all, o.known(all)
}

// brief says that many lifters are shown in a line each.
func (o *logOptions) brief() bool { return !o.json && !o.lines && len(o.lifters) == 0 }

// partial takes the load of weeks out where lifts are named: what is left of a week's sessions says nothing of
// how the week was as a whole.
func (o *logOptions) partial(p *logbook.LifterLog) {
	for i := range p.Weeks {
		if w := &p.Weeks[i]; len(o.lifts) > 0 {
			w.Load, w.Week, w.Rated = nil, nil, 0
		}
	}
}

// known checks the names of the flags against those of the log.
func (o *logOptions) known(all *seen) error {
	for _, f := range []struct {
		flag         string
		want, having []string
	}{{"lifter", o.lifters, all.lifters}, {"lift", o.lifts, all.lifts}} {
		for _, n := range f.want {
			if !slices.Contains(f.having, n) {
				return usagef("--%s: the log has no %q: %s", f.flag, n, nearest(n, sorted(f.having)))
			}
		}
	}
	return nil
}

func sorted(names []string) []string { return slices.Sorted(slices.Values(names)) }

// conflicts are sessions with two numbers of minutes or of effort: bad rows.
func (o *logOptions) conflicts(r *logbook.Reader, l *logbook.Log) error {
	if len(l.Conflicts) == 0 || o.skipBad {
		return nil
	}
	n := len(l.Conflicts)
	return ofLog(r, &logbook.BadRowsError{Bad: int64(n), Rows: r.Report().Rows - int64(n), Listed: l.Conflicts[:min(n, 20)]})
}

// pictured is the lift that is drawn.
func (o *logOptions) pictured(l *logbook.Log) (*logbook.LiftLog, error) {
	switch {
	case len(l.Lifters) == 0:
		return nil, usagef("--figure: the log has no rows to draw")
	case len(l.Lifters) > 1:
		return nil, usagef("--figure draws one lifter's lift: give --lifter once")
	case len(l.Lifters[0].Lifts) > 1:
		return nil, usagef("--figure draws one lift: give --lift once")
	case l.Lifters[0].Lifts[0].Max == nil:
		return nil, fmt.Errorf("the log does not show a maximum of %s to draw: %s", l.Lifters[0].Lifts[0].Lift, l.Lifters[0].Lifts[0].Why)
	}
	return &l.Lifters[0].Lifts[0], nil
}

func (o *logOptions) text(sh *shell, r *logbook.Reader, l *logbook.Log, all *seen) string {
	var b strings.Builder
	b.WriteString(readingText(sh, r))
	if all.later > 0 {
		fmt.Fprintf(&b, "%s later than %s left out\n", pluralThousands(all.later, "row"), isoDay(l.AsOf))
	}
	for _, e := range l.Conflicts[:min(len(l.Conflicts), 20)] {
		b.WriteString(item("of two, the first counts: "+e.Error(), "", sh.width))
	}
	if len(l.Lifters) == 0 {
		return b.String() + "there is nothing to sum up\n"
	}
	if len(l.Lifters) > showMost && o.brief() {
		b.WriteString("\n" + many(sh, l))
		n := 0
		for i := range l.Lifters {
			for _, s := range farLoads(&l.Lifters[i], l.Unit.String()) {
				if n++; n <= mostFar {
					b.WriteString(item("- "+l.Lifters[i].Name+", "+s, "", sh.width))
				}
			}
		}
		if n > mostFar {
			fmt.Fprintf(&b, "- and %s more\n", plural(n-mostFar, "such load"))
		}
		b.WriteString(item("Weeks, bests and maxima of one: --lifter NAME; of all: --json.", "", sh.width))
		return b.String()
	}
	for i := range l.Lifters {
		b.WriteString("\n" + o.lifterText(sh, l, &l.Lifters[i]))
	}
	b.WriteString("\n" + sh.para(logCaution))
	return b.String()
}

// mostFar is how many loads far beyond the others are listed for many lifters.
const mostFar = 10

// many is one line for each lifter.
func many(sh *shell, l *logbook.Log) string {
	t := texttab.New(texttab.Left("lifter"), texttab.Right("days"), texttab.Right("lifts"), texttab.Right("sets"), texttab.Right("reps"),
		texttab.Right("tonnage,\n"+l.Unit.String()), texttab.Left("first day"), texttab.Left("last day"), texttab.Right("longest gap,\ndays"))
	t.Style = sh.head()
	for i := range l.Lifters {
		p := &l.Lifters[i]
		sets, reps, tonnage := totals(p)
		gap := 0
		for _, g := range p.Gaps {
			gap = max(gap, g.Days)
		}
		longest := "-"
		if gap > 0 {
			longest = fmt.Sprint(gap)
		}
		t.Row(p.Name, fmt.Sprint(p.Days), fmt.Sprint(len(p.Lifts)), thousands(sets), thousands(reps), thousands(int64(tonnage+0.5)), isoDay(p.First), isoDay(p.Last), longest)
	}
	return t.String()
}

func totals(p *logbook.LifterLog) (sets, reps int64, tonnage float64) {
	for i := range p.Lifts {
		sets += p.Lifts[i].Sets
		reps += p.Lifts[i].Reps
		tonnage += p.Lifts[i].Tonnage
	}
	return sets, reps, tonnage
}

func isoDay(t time.Time) string { return t.Format(time.DateOnly) }
