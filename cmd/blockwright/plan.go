package main

import (
	"errors"
	"fmt"
	"iter"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/plates"
)

// planOptions are the flags of plan.
type planOptions struct {
	lifters, sessions []string
	week              *int
	unit              *plates.Unit
	warnings          bool
	start             time.Time

	format          string
	json, lines     bool
	out             string
	together        bool
	issued          time.Time
	issue           *int
	columns         string
	strict          bool
	blockF, rosterF string
}

func planCommand(sh *shell) *cli.Command {
	var o planOptions
	return &cli.Command{
		Name: "plan", Usage: "the sheets: every lifter, session, set, weight and plates", ArgsUsage: "BLOCK ROSTER",
		Description: "One table for each lifter and session, the weeks as columns; with --week that week's\n" +
			"sheets in full. `-` for BLOCK or ROSTER is standard input.",
		Flags: flags(
			group("What to print",
				texts(&o.lifters, "lifter", "only the lifter `NAME`", "a lifter's name"),
				count(&o.week, "week", "only week `N`, in full: warm-ups, plates, rests, reserve (default all, as columns)", 1, 60),
				texts(&o.sessions, "session", "only the session `NAME`", "a session's name"),
				unitFlag(&o.unit, "weights in `UNIT`, kg or lb, instead of the gym's"),
				on(&o.warnings, "warnings", "print the warnings instead of the sheets"),
			),
			group("What to assume",
				date(&o.start, "start", "day 1 of week 1 is `DATE`, whatever the roster says (default the roster's)"),
			),
			group("Output",
				choice(&o.format, "format", "`FORMAT`: "+oneOf(formats(), "or")+", the last in bulk (default text, or that of --out's ending)", formats()),
				on(&o.json, "json", "the same as --format json"),
				on(&o.lines, "json-lines", "JSON, one object a lifter on one line"),
				path(&o.out, "out", "write to `PATH`: with the ending of a format one file for all, else a folder of files"),
				text(&o.columns, "columns", "for csv: `LIST` of columns, with commas between (default all)", "names of columns"),
				date(&o.issued, "issued", "for ics and xlsx: made on `DATE` (default the plan's first day)"),
				count(&o.issue, "issue", "for ics: the `N`th change, so that phones replace what they have (default 0)", 0, 1_000_000),
			),
			group("Checks",
				on(&o.strict, "strict", "exit status 1 where there are warnings or problems"),
			),
		),
		UsageText: "blockwright plan block.yaml roster.yaml\n" +
			"blockwright plan block.yaml roster.yaml --lifter Wren --week 2\n" +
			"blockwright plan block.yaml roster.yaml --out sheets --format html",
		Action: func(c *cli.Context) error {
			args := c.Args().Slice()
			if err := wantArgs(args, "BLOCK", "ROSTER"); err != nil {
				return err
			}
			o.blockF, o.rosterF = args[0], args[1]
			return o.run(sh)
		},
	}
}

func (o *planOptions) run(sh *shell) error {
	if err := o.settle(sh); err != nil {
		return err
	}
	prog, err := compile(sh, o.blockF, o.rosterF, o.start, o.lifters)
	if err != nil {
		return err
	}
	if err := o.check(prog); err != nil {
		return err
	}
	found := &tally{}
	switch {
	case o.warnings:
		err = o.printWarnings(sh, prog, found)
	case o.out != "":
		err = o.write(sh, prog, found)
	default:
		err = o.print(sh, prog, found)
	}
	if err != nil {
		return err
	}
	if n := found.warnings + found.problems; o.strict && n > 0 {
		return &strictError{fmt.Sprintf("strict: %s; see them with --warnings", found)}
	}
	return nil
}

// compile reads a block and a roster and makes the program of the lifters named,
// all of them where none is.
func compile(sh *shell, blockFile, rosterFile string, start time.Time, lifters []string) (*periodize.Program, error) {
	p, _, err := compileAmong(sh, blockFile, rosterFile, start, lifters)
	return p, err
}

// compileAmong is compile that also gives the names of everybody on the roster.
func compileAmong(sh *shell, blockFile, rosterFile string, start time.Time, lifters []string) (p *periodize.Program, all []string, err error) {
	b, berr := readWith(sh, blockFile, "block file", blockfile.ReadBlock)
	r, rerr := readWith(sh, rosterFile, "roster file", blockfile.ReadRoster)
	if isKind(berr, "roster") && isKind(rerr, "block") {
		return nil, nil, usagef("%s is a roster and %s a block: want the block first", blockFile, rosterFile)
	}
	if err := both(berr, rerr); err != nil {
		return nil, nil, err
	}
	if !start.IsZero() {
		r.Start = start
	}
	for i := range r.Lifters {
		all = append(all, r.Lifters[i].Name)
	}
	if err := only(r, rosterFile, all, lifters); err != nil {
		return nil, nil, err
	}
	if err := blockfile.CheckPair(b, r); err != nil {
		return nil, nil, err
	}
	p, err = periodize.Compile(b, r)
	return p, all, err
}

// isKind reports whether an error says that a file is of some other kind.
func isKind(err error, kind string) bool {
	var ke *blockfile.KindError
	return errors.As(err, &ke) && ke.Is == kind
}

// both is the errors of two files, so that everything comes in one run.
func both(a, b error) error {
	switch {
	case a == nil:
		return b
	case b == nil:
		return a
	}
	return periodize.Errors(slices.Concat(flatten(a), flatten(b)))
}

// only leaves the lifters of those names in a roster, of all who are on it.
func only(r *periodize.Roster, file string, all, names []string) error {
	if len(names) == 0 {
		return nil
	}
	wanted := map[string]bool{}
	for _, n := range names {
		if parts := strings.Split(n, ","); len(parts) > 1 && !slices.Contains(all, n) && slices.Contains(all, strings.TrimSpace(parts[0])) {
			return usagef("--lifter: got %q: want one name; give the flag once for each", n)
		}
		if !slices.Contains(all, n) {
			return usagef("--lifter: %s has no %q: %s", file, n, nearest(n, all))
		}
		wanted[n] = true
	}
	r.Lifters = slices.DeleteFunc(r.Lifters, func(l periodize.Lifter) bool { return !wanted[l.Name] })
	return nil
}

// suggest is the only choice that begins with the name or holds it as a word,
// else the one that is spelt nearly so; of several that begin so, the one that
// is spelt nearly so.
func suggest(name string, choices []string) string {
	low := strings.ToLower(name)
	var begin, hold []string
	for _, c := range choices {
		switch lc := strings.ToLower(c); {
		case strings.HasPrefix(lc, low):
			begin = append(begin, c)
		case slices.Contains(strings.Fields(lc), low):
			hold = append(hold, c)
		}
	}
	few := append(begin, hold...)
	switch {
	case len(low) < 3 || len(few) == 0:
		return blockfile.Suggest(name, choices)
	case len(few) == 1 || len(begin) == 1:
		return few[0]
	}
	return blockfile.Suggest(name, few)
}

// nearest ends a message about a name that is not among the choices.
func nearest(name string, choices []string) string {
	if near := suggest(name, choices); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	const most = 12
	var quoted []string
	for _, c := range choices {
		quoted = append(quoted, fmt.Sprintf("%q", c))
	}
	if len(quoted) > most {
		return fmt.Sprintf("want %s or one of %d more", strings.Join(quoted[:most], ", "), len(quoted)-most)
	}
	return "want " + oneOf(quoted, "or")
}

// check reports weeks and sessions that the plan does not have.
func (o *planOptions) check(prog *periodize.Program) error {
	b := prog.Block()
	if o.week != nil {
		last := b.Weeks + b.Finish.Deload
		if b.Finish.Test {
			last++
		}
		if *o.week > last {
			return usagef("--week: the plan has weeks 1 to %d, got %d", last, *o.week)
		}
	}
	var names []string
	for i := range b.Sessions {
		names = append(names, b.Sessions[i].Name)
	}
	if b.Finish.Test {
		names = append(names, periodize.TestDayName)
	}
	for _, s := range o.sessions {
		if !slices.Contains(names, s) {
			return usagef("--session: the block has no %q: %s", s, nearest(s, names))
		}
	}
	return nil
}

// sheetOptions are those of the renderers.
func (o *planOptions) sheetOptions(prog *periodize.Program) sheet.Options {
	opt := sheet.Options{Unit: o.unit, Sessions: o.sessions, Lines: o.lines, Stamp: o.issued,
		Warnings: "blockwright plan " + shellWord(o.blockF) + " " + shellWord(o.rosterF) + " --warnings"}
	if o.week != nil {
		opt.Week = *o.week
	}
	if o.issue != nil {
		opt.Sequence = *o.issue
	}
	if o.columns != "" {
		opt.Columns = strings.Split(o.columns, ",")
	}
	if opt.Stamp.IsZero() && prog.Len() > 0 {
		opt.Stamp = firstDay(prog.Plan(0))
	}
	return opt
}

func firstDay(p *periodize.Plan) time.Time {
	for i := range p.Sessions {
		if d := p.Sessions[i].Date; !d.IsZero() {
			return d
		}
	}
	return time.Time{}
}

// tally counts the findings of plans as they go by.
type tally struct{ problems, warnings, notes int }

func (t *tally) add(p *periodize.Plan) {
	for i := range p.Warnings {
		switch p.Warnings[i].Severity {
		case periodize.Problem:
			t.problems++
		case periodize.Warning:
			t.warnings++
		default:
			t.notes++
		}
	}
}

func (t *tally) String() string {
	var parts []string
	if t.problems > 0 {
		parts = append(parts, plural(t.problems, "problem"))
	}
	if t.warnings > 0 {
		parts = append(parts, plural(t.warnings, "warning"))
	}
	return strings.Join(parts, ", ")
}

// plans are the plans of a program one by one, counted, until an interrupt.
func plans(sh *shell, prog *periodize.Program, found *tally) iter.Seq[*periodize.Plan] {
	return func(yield func(*periodize.Plan) bool) {
		n := 0
		for p := range prog.Plans() {
			if sh.ctx.Err() != nil {
				return
			}
			found.add(p)
			if !yield(p) {
				return
			}
			n++
			sh.progress.step(n, prog.Len(), "lifters")
		}
	}
}

// printWarnings lists the findings of all lifters.
func (o *planOptions) printWarnings(sh *shell, prog *periodize.Program, found *tally) error {
	var b strings.Builder
	for p := range plans(sh, prog, found) {
		if len(p.Warnings) == 0 {
			continue
		}
		if b.Len() > 0 {
			b.WriteString("\n")
		}
		b.WriteString(sh.bold(p.Lifter.Name) + "\n")
		for i := range p.Warnings {
			f := &p.Warnings[i]
			b.WriteString(item(fmt.Sprintf("%s (%s) %s: %s", f.Severity, f.Code, f.Where, f.Text), "  ", sh.width))
			if f.Evidence != "" {
				b.WriteString(item("evidence: "+f.Evidence, "    ", sh.width))
			}
		}
	}
	if err := sh.ctx.Err(); err != nil {
		return err
	}
	if b.Len() == 0 {
		b.WriteString("no warnings\n")
	}
	return sh.print(b.String())
}

// item is a paragraph whose further lines hang.
func item(s, indent string, width int) string {
	return indent + strings.ReplaceAll(texttab.Wrap(s, width-len(indent)-2), "\n", "\n"+indent+"  ") + "\n"
}

// shellWord quotes a word where a shell would take it apart.
func shellWord(s string) string {
	if s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_./-+,:=@%") == "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
