package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
)

// draftOptions are the flags of draft.
type draftOptions struct {
	out       string
	explain   bool
	fit       string
	runnersUp *int
	json      bool
}

func draftCommand(sh *shell) *cli.Command {
	var o draftOptions
	return &cli.Command{
		Name: "draft", Usage: "writes a block file that meets a brief", ArgsUsage: "BRIEF",
		Description: "A brief says what a block should do: weeks, days, minutes, the lifts in front, what may\n" +
			"be used. The block comes with the reason beside each number, to be edited; it is held\n" +
			"against the checks of review. Wishes that exclude each other are named, with what would\n" +
			"make each fit. The rules behind the numbers are common practice unless a source is named.",
		Flags: flags(
			group("What to print",
				on(&o.explain, "explain", "instead of the block: the score by term, the shape, and the runners-up"),
				count(&o.runnersUp, "runners-up", "tell `N` other shapes with --explain (default 3)", 0, 20),
				path(&o.fit, "fit", "instead of the block: what each lifter of the roster `FILE` needs changed, and why"),
			),
			group("Output",
				path(&o.out, "out", "write the block to `FILE`"),
				jsonFlag(&o.json),
			),
		),
		UsageText: "blockwright draft brief.yaml --out block.yaml\n" +
			"blockwright draft brief.yaml --explain\n" +
			"blockwright draft brief.yaml --fit roster.yaml",
		Action: func(c *cli.Context) error {
			args := c.Args().Slice()
			if err := wantArgs(args, "BRIEF"); err != nil {
				return err
			}
			return o.run(sh, args[0])
		},
	}
}

func (o *draftOptions) run(sh *shell, file string) error {
	if o.out == "-" { // standard output, where it goes by itself
		o.out = ""
	}
	switch {
	case o.explain && o.fit != "":
		return usagef("want one of --explain and --fit")
	case o.out != "" && (o.explain || o.fit != ""):
		return usagef("--out is for the block: leave --explain and --fit out")
	case o.out != "" && o.json:
		return usagef("--out writes the block as YAML: leave --json out")
	case o.runnersUp != nil && !o.explain && !o.json:
		return usagef("--runners-up is for --explain and --json")
	case o.out != "" && sameFile(o.out, file):
		return usagef("--out %s is the file that is read: want another name", o.out)
	}
	brief, err := readWith(sh, file, "brief", blockfile.ReadBrief)
	if err != nil {
		return err
	}
	opt := periodize.DraftOptions{}
	if o.runnersUp != nil {
		if opt.RunnersUp = *o.runnersUp; opt.RunnersUp == 0 {
			opt.RunnersUp = -1
		}
	}
	d, err := periodize.Draft(brief, opt)
	var conflict *periodize.InfeasibleError
	switch {
	case errors.As(err, &conflict):
		return errors.New(conflictText(file, conflict))
	case err != nil:
		return err
	}
	switch {
	case o.json && o.fit == "":
		return o.printDraftJSON(sh, d)
	case o.explain:
		return sh.print(explainDraft(d, sh.width))
	case o.fit != "":
		return o.printFit(sh, d.Block)
	}
	var b strings.Builder
	if err := blockfile.WriteBlockWith(&b, d.Block, d.Comment); err != nil {
		return err
	}
	if o.out == "" {
		return sh.print(b.String())
	}
	if err := sh.output(o.out, []byte(b.String())); err != nil {
		return err
	}
	_, err = fmt.Fprintf(sh.stderr, "%s: %d weeks, %d sessions a week; review: %s\nnext: blockwright review %s\n",
		o.out, d.Block.Weeks, len(d.Block.Sessions), countFindings(d.Review), o.out)
	return err
}

func countFindings(r *periodize.Review) string {
	var t tally
	t.addAll(r.Findings)
	if s := t.String(); s != "" {
		return s
	}
	return "nothing to worry about was found"
}

// addAll counts findings.
func (t *tally) addAll(fs []periodize.Finding) {
	p := periodize.Plan{Warnings: fs}
	t.add(&p)
}

// conflictText lists wishes that exclude each other.
func conflictText(file string, e *periodize.InfeasibleError) string {
	var b strings.Builder
	b.WriteString("the brief cannot be met")
	if e.Why != "" {
		b.WriteString(": " + e.Why)
	}
	if e.Bounded {
		b.WriteString(" (the search ended before everything had been tried)")
	}
	switch len(e.Wishes) {
	case 0:
	case 1:
		b.WriteString("\nthis wish is in the way:")
	default:
		b.WriteString("\nthese wishes exclude each other; without any one of them the rest can be met:")
	}
	for _, w := range e.Wishes {
		fmt.Fprintf(&b, "\n  %s: %s", w.Path, w.Text)
		if w.Fits != "" {
			fmt.Fprintf(&b, "\n      %s", w.Fits)
		}
	}
	if e.Pos.Line > 0 {
		return e.Pos.String() + ": " + b.String()
	}
	return file + ": " + b.String()
}

// explainDraft is what a draft was chosen by.
func explainDraft(d *periodize.Drafted, width int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: the score by term, lower being better; exercises decide first\n\n", d.Block.Title)
	t := texttab.New(texttab.Left("term"), texttab.Right("score"))
	for _, x := range d.Score.Terms {
		t.Row(x.Name, digits(x.Value, 2))
	}
	t.Row("sum for the exercises", digits(d.Score.Exercises, 2))
	t.Row("sum for the weeks", digits(d.Score.Weeks, 2))
	b.WriteString(t.String())
	shapes := texttab.New(texttab.Left(""), texttab.Left("sets a week"), texttab.Right("largest week"), texttab.Right("rise %"), texttab.Right("score of weeks"))
	row := func(name string, s periodize.DraftShape, score periodize.Score) {
		sets := make([]string, len(s.Sets))
		for i, n := range s.Sets {
			sets[i] = fmt.Sprint(n)
		}
		shapes.Row(name, strings.Join(sets, " "), fmt.Sprint(s.Overreach), digits(s.Rise, 1), digits(score.Weeks, 2))
	}
	row("the draft", d.Shape, d.Score)
	for i, r := range d.RunnersUp {
		row(fmt.Sprintf("runner-up %d", i+1), r.Shape, r.Score)
	}
	b.WriteString("\n" + shapes.String())
	b.WriteString("\nreview: " + countFindings(d.Review) + "\n")
	for _, r := range d.Reasons {
		where := r.Path
		if where == "" {
			where = "block"
		}
		b.WriteString(item(where+": "+r.Text, "  ", width))
	}
	return b.String()
}

// printFit prints what each lifter needs changed.
func (o *draftOptions) printFit(sh *shell, block *periodize.Block) error {
	roster, err := readWith(sh, o.fit, "roster", blockfile.ReadRoster)
	if err != nil {
		return err
	}
	fits, err := periodize.Fit(block, roster, periodize.FitOptions{})
	if err != nil {
		return err
	}
	if o.json {
		return printFitJSON(sh, block, fits)
	}
	var b strings.Builder
	for i := range fits {
		f := &fits[i]
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(sh.bold(f.Lifter.Name) + "\n")
		for _, l := range f.Lacks {
			b.WriteString(item("cannot do "+l+", and nothing in the block stands in for it", "  ", sh.width))
		}
		if len(f.Changes) == 0 && len(f.Lacks) == 0 {
			b.WriteString("  the block fits as it is\n")
		}
		for _, c := range f.Changes {
			what := c.What
			if c.Lift != "" {
				what += ", " + c.Lift
			}
			b.WriteString(item(fmt.Sprintf("%s: %s to %s: %s", what, c.Was, c.Now, c.Why), "  ", sh.width))
		}
		if len(f.Lacks) == 0 {
			fmt.Fprintf(&b, "  main sets leave %s to %s (before: %s); %d of %d out of range\n",
				digits(f.After.Low, 1), digits(f.After.High, 1), before(f.Before), f.After.Under+f.After.Over, f.After.Sets)
		}
	}
	return sh.print(b.String())
}

func before(r periodize.FitReserve) string {
	if r.Sets == 0 {
		return "did not go together"
	}
	return digits(r.Low, 1) + " to " + digits(r.High, 1)
}

// digits prints a number to some decimals, without zeros at the end.
func digits(x float64, n int) string {
	s := fmt.Sprintf("%.*f", n, x)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
