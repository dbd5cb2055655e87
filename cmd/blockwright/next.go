package main

import (
	"bufio"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/plates"
)

// nextOptions are the flags of next.
type nextOptions struct {
	lifters []string
	asOf    time.Time
	unit    *plates.Unit
	out     string
	json    bool
	lines   bool
	skipBad bool
}

func nextCommand(sh *shell) *cli.Command {
	var o nextOptions
	return &cli.Command{
		Name: "next", Usage: "plan against done; the roster for the next week or the next run", ArgsUsage: "BLOCK ROSTER LOG...",
		Description: "What was due up to a day and what the log has of it, the maxima as they are now with the\n" +
			"reason in words, and adjustments for the coming week. Rows are matched by week and\n" +
			"session, else by date. Nothing is changed in place: --out writes a new roster.",
		Flags: flags(
			group("What to look at",
				texts(&o.lifters, "lifter", "only the lifter `NAME`", "a lifter's name"),
				date(&o.asOf, "as-of", "conclude on `DATE`; later rows do not count (default the log's last day)"),
				unitFlag(&o.unit, "bare loads of the log are in `UNIT`, kg or lb (default that of the lifter's gym)"),
				on(&o.skipBad, "skip-bad", "leave bad rows out instead of concluding nothing"),
			),
			group("Output",
				path(&o.out, "out", "write the roster to go on with to `FILE`"),
				jsonFlag(&o.json),
				on(&o.lines, "json-lines", "JSON, one object a lifter on one line"),
			),
		),
		UsageText: "blockwright next block.yaml roster.yaml log.csv\n" +
			"blockwright next block.yaml roster.yaml log.csv --as-of 2027-05-09 --out week2.yaml",
		Action: func(c *cli.Context) error {
			args := c.Args().Slice()
			if len(args) < 3 {
				return usagef("want BLOCK, ROSTER and LOG, got %s", gotArgs(args, 3))
			}
			return o.run(sh, args)
		},
	}
}

func (o *nextOptions) run(sh *shell, args []string) error {
	if o.json && o.lines {
		return usagef("want one of --json and --json-lines")
	}
	if o.out == "-" && (o.json || o.lines) {
		return usagef("--out - puts the roster on standard output: leave --json and --json-lines out, or give a file")
	}
	if o.out != "" && len(o.lifters) > 0 {
		return usagef("--out writes the whole roster: leave --lifter out")
	}
	for _, in := range args {
		if o.out != "" && sameFile(o.out, in) {
			return usagef("--out %s is a file that is read: want another name", o.out)
		}
	}
	prog, everybody, err := compileAmong(sh, args[0], args[1], time.Time{}, o.lifters)
	if err != nil {
		return err
	}
	opt := readOptions(o.unit, o.skipBad)
	if o.unit == nil {
		opt.Unit, opt.UnitOf = prog.Plan(0).Unit, gymUnits(prog.Roster())
	}
	r, err := sh.logReader(args[2:], opt)
	if err != nil {
		return err
	}
	res, err := logbook.PlanNext(prog, r, logbook.NextOptions{AsOf: o.asOf, Aside: everybody})
	var late *logbook.LateError
	if errors.As(err, &late) {
		return fmt.Errorf("%w: --as-of DATE", err)
	}
	if err != nil {
		return ofLog(r, err)
	}
	if o.out != "" {
		var b strings.Builder
		if err := blockfile.WriteRoster(&b, res.Roster); err != nil {
			return err
		}
		if err := sh.output(o.out, []byte(b.String())); err != nil {
			return err
		}
		if o.out != "-" {
			res.Path = o.out
		}
	}
	if o.lines {
		return printNextLines(sh, res, r)
	}
	if o.json {
		return sh.printJoined(res, struct {
			jsonReading
			Caution string `json:"caution"`
		}{readingJSON(r), nextCaution})
	}
	if o.out == "-" { // the roster alone is on standard output
		return sh.say(strings.TrimSuffix(nextText(sh, res, r, false), "\n"))
	}
	return sh.print(nextText(sh, res, r, len(o.lifters) > 0))
}

// gymUnits is the unit of each lifter's gym; nil where everybody's is the same.
func gymUnits(r *periodize.Roster) func(lifter string) plates.Unit {
	units := map[string]plates.Unit{}
	mixed := false
	for _, l := range r.Lifters {
		if gym, ok := r.Gym(l.Gym); ok {
			units[l.Name] = gym.Unit
			mixed = mixed || gym.Unit != units[r.Lifters[0].Name]
		}
	}
	if !mixed {
		return nil
	}
	return func(lifter string) plates.Unit { return units[lifter] }
}

const nextCaution = "What is done and felt on the day comes before any number here: no medical advice; the facility's own rules and licensed practice come first."

// printNextLines writes a line of JSON for each lifter; what there is to know beside goes to standard error.
func printNextLines(sh *shell, res *logbook.NextResult, r *logbook.Reader) error {
	if err := sh.sayReading(r); err != nil {
		return err
	}
	for _, n := range res.Notes {
		if err := sh.say(n); err != nil {
			return err
		}
	}
	var asOf *string
	if !res.AsOf.IsZero() {
		asOf = orNil(isoDay(res.AsOf))
	}
	w := bufio.NewWriterSize(sh.stdout, 1<<16)
	for i := range res.Lifters {
		line, err := joined(struct {
			AsOf     *string `json:"as_of"`
			Week     int     `json:"week"`
			Finished bool    `json:"finished"`
			Roster   *string `json:"roster"`
		}{asOf, res.Week, res.Finished, orNil(res.Path)}, &res.Lifters[i])
		if err != nil {
			return err
		}
		if _, err := w.Write(line); err != nil {
			return err
		}
	}
	return w.Flush()
}

// nextText is what follows from plan and log, in words; full has the sessions too.
func nextText(sh *shell, res *logbook.NextResult, r *logbook.Reader, full bool) string {
	var b strings.Builder
	b.WriteString(readingText(sh, r))
	if !res.AsOf.IsZero() {
		b.WriteString("as of " + isoDay(res.AsOf))
		switch {
		case res.Finished:
			b.WriteString("; the plan is finished")
		case res.Week > 0:
			fmt.Fprintf(&b, "; adjustments are for week %d", res.Week)
		}
		b.WriteString("\n")
	}
	for _, n := range res.Notes {
		b.WriteString(item(n, "  ", sh.width))
	}
	for i := range res.Lifters {
		b.WriteString("\n" + lifterNext(sh, &res.Lifters[i], full))
	}
	if res.Path != "" {
		fmt.Fprintf(&b, "\nthe roster to go on with: %s\n", res.Path)
	}
	b.WriteString("\n" + sh.para(nextCaution))
	return b.String()
}

func lifterNext(sh *shell, l *logbook.NextLifter, full bool) string {
	var b strings.Builder
	b.WriteString(sh.bold(l.Name) + "\n")
	logged := l.Rows > l.Outside
	switch {
	case l.Due == 0:
		b.WriteString("  no set of the plan was due")
	case !logged:
		fmt.Fprintf(&b, "  nothing is logged; %s due", plural(l.Due, "set"))
	default:
		fmt.Fprintf(&b, "  %d of %s due were begun", l.Done, plural(l.Due, "set"))
		if l.Share != nil {
			fmt.Fprintf(&b, ", %.0f %% of their repetitions", 100**l.Share)
		}
	}
	if l.Outside > 0 {
		fmt.Fprintf(&b, "; %s from outside the time of the plan", plural(l.Outside, "row"))
	}
	b.WriteString("\n")
	if l.Due > 0 && logged {
		var rows []doneRow
		for i := range l.Lifts {
			rows = append(rows, doneRow{l.Lifts[i].Lift, &l.Lifts[i].Work})
		}
		b.WriteString(doneTable(sh, "lift", rows))
		rows = nil
		for i := range l.Sessions {
			s := &l.Sessions[i]
			name := fmt.Sprintf("week %d, %s", s.Week, s.Name)
			if !s.Date.IsZero() {
				name += ", " + isoDay(s.Date)
			}
			rows = append(rows, doneRow{name, &s.Work})
		}
		if full {
			b.WriteString(doneTable(sh, "session", rows))
		}
	}
	if len(l.Changes) > 0 {
		u := l.Unit
		t := texttab.New(texttab.Left("maximum"), texttab.Right("was "+u.String()), texttab.Right("now"), texttab.Right("90 % range"), texttab.Filling("why"))
		t.Indent, t.Width = "  ", sh.width-2
		for _, c := range l.Changes {
			span := ""
			if c.Coverage > 0 {
				span = maxText(c.Low, u) + "-" + maxText(c.High, u)
			}
			t.Row(c.Lift, maxText(c.Was, u), maxText(c.Now, u), span, c.Why)
		}
		b.WriteString(t.String())
	}
	for _, a := range l.Adjust {
		var what []string
		if a.Percent.Sign() != 0 {
			what = append(what, a.Percent.String()+" % on the weight")
		}
		if a.Sets != 0 {
			sets := "sets"
			if a.Sets == 1 || a.Sets == -1 {
				sets = "set"
			}
			what = append(what, fmt.Sprintf("%+d %s", a.Sets, sets))
		}
		b.WriteString(item(fmt.Sprintf("week %d, %s: %s: %s", a.Week, a.Lift, strings.Join(what, ", "), a.Why), "  ", sh.width))
	}
	for _, n := range l.Notes {
		b.WriteString(item(n, "  ", sh.width))
	}
	return b.String()
}

// doneRow is planned work and what was done of it, by name.
type doneRow struct {
	name string
	work *logbook.Work
}

func doneTable(sh *shell, head string, rows []doneRow) string {
	t := texttab.New(texttab.Left(head), texttab.Right("sets due"), texttab.Right("begun"), texttab.Right("more"), texttab.Right("reps due"), texttab.Right("done"),
		texttab.Right("share"), texttab.Right("weight to plan"))
	t.Indent, t.Style = "  ", sh.head()
	for _, r := range rows {
		w, weight := r.work, "-"
		if w.Sets == 0 && w.MoreSets == 0 {
			continue // not due yet
		}
		if w.Weight != nil {
			weight = fixed(100**w.Weight, 1) + " %"
		}
		t.Row(r.name, fmt.Sprint(w.Sets), fmt.Sprint(w.DoneSets), fmt.Sprint(w.MoreSets), fmt.Sprint(w.Reps), fmt.Sprint(w.DoneReps), fixed(100*w.Share, 0)+" %", weight)
	}
	if t.Len() == 0 {
		return ""
	}
	return t.String()
}
