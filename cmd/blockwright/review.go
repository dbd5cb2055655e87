package main

import (
	"io"
	"path/filepath"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/figure"
)

// reviewOptions are the flags of review.
type reviewOptions struct {
	lifters []string
	json    bool
	strict  bool
	against string
	figure  string
	rules   bool
}

func reviewCommand(sh *shell) *cli.Command {
	var o reviewOptions
	return &cli.Command{
		Name: "review", Usage: "what a block adds up to, week by week, and what to worry about", ArgsUsage: "BLOCK [ROSTER]",
		Description: "Sets, repetitions, tonnage, intensity, sets by muscle and pattern, minutes, and findings\n" +
			"with place, reason, evidence and advice. Without a roster the block is reviewed by\n" +
			"itself: shares of a maximum mean something then, masses do not. Warm-ups are not counted.",
		Flags: flags(
			group("What to review",
				texts(&o.lifters, "lifter", "only the lifter `NAME`", "a lifter's name"),
				path(&o.against, "against", "compare with the block `FILE`, week by week"),
			),
			group("Output",
				jsonFlag(&o.json),
				path(&o.figure, "figure", "draw the review of the block, or of one lifter, to `FILE`.svg or .png"),
			),
			group("Checks",
				on(&o.strict, "strict", "exit status 1 where there is a problem"),
				on(&o.rules, "rules", "print every kind of finding with its default and evidence"),
			),
		),
		UsageText: "blockwright review block.yaml\n" +
			"blockwright review block.yaml roster.yaml --lifter Wren\n" +
			"blockwright review block.yaml --against older.yaml",
		Action: func(c *cli.Context) error {
			args := c.Args().Slice()
			if o.rules {
				if len(args) > 0 {
					return usagef("--rules takes no file, got %s", args[0])
				}
				return sh.print(rulesText(sh.width))
			}
			if len(args) != 1 && len(args) != 2 {
				return usagef("want BLOCK and perhaps ROSTER, got %s", gotArgs(args, 2))
			}
			return o.run(sh, args)
		},
	}
}

// pictureFormat is the format that a file name asks for.
func pictureFormat(file string) (figure.Format, error) {
	switch f := figure.Format(strings.TrimPrefix(filepath.Ext(file), ".")); f {
	case figure.SVG, figure.PNG:
		return f, nil
	}
	return "", usagef("--figure: want a file that ends in .svg or .png, got %q", file)
}

func (o *reviewOptions) run(sh *shell, args []string) error {
	if o.figure != "" {
		if _, err := pictureFormat(o.figure); err != nil {
			return err
		}
		if len(args) == 2 && len(o.lifters) != 1 {
			return usagef("--figure draws one review: give --lifter once, or leave the roster out")
		}
	}
	if len(args) == 1 && len(o.lifters) > 0 {
		return usagef("--lifter needs a roster")
	}
	if o.against != "" && (len(args) == 2 || o.json) {
		return usagef("--against compares two blocks by themselves, as text: leave the roster and --json out")
	}
	var prog *periodize.Program
	var b *periodize.Block
	var err error
	if len(args) == 2 {
		prog, err = compile(sh, args[0], args[1], time.Time{}, o.lifters)
		if err == nil {
			b = prog.Block()
		}
	} else {
		b, err = readWith(sh, args[0], "block file", blockfile.ReadBlock)
	}
	if err != nil {
		return err
	}
	alone, err := periodize.ReviewBlock(b, periodize.Thresholds{})
	if err != nil {
		return err
	}
	if o.against != "" {
		return o.compare(sh, b, alone)
	}
	problems := 0
	if prog == nil {
		problems = countProblems(alone)
	}
	if err := o.print(sh, b, alone, prog, &problems); err != nil {
		return err
	}
	if o.strict && problems > 0 {
		return &strictError{"strict: " + plural(problems, "problem")}
	}
	return nil
}

func countProblems(r *periodize.Review) (n int) {
	for i := range r.Findings {
		if r.Findings[i].Severity == periodize.Problem {
			n++
		}
	}
	return n
}

// print writes the reviews one after the other, so that a roster of any length
// never has to be in memory.
func (o *reviewOptions) print(sh *shell, b *periodize.Block, alone *periodize.Review, prog *periodize.Program, problems *int) error {
	var doc *sheet.ReviewJSON
	var err error
	if o.json {
		if prog != nil {
			alone.Unit = prog.Plan(0).Unit // as plan --json: the first lifter's gym
		}
		if doc, err = sheet.NewReviewJSON(sh.stdout, alone); err != nil {
			return err
		}
	}
	opt := sheet.ReviewOptions{Width: sh.width}
	if prog == nil {
		if err := o.draw(alone); err != nil {
			return err
		}
		if doc != nil {
			return doc.End()
		}
		if err := sh.print(b.Title + ": "); err != nil {
			return err
		}
		return sheet.WriteReview(sh.stdout, alone, opt)
	}
	n := 0
	for p := range plans(sh, prog, &tally{}) {
		r := p.Review(periodize.Thresholds{})
		*problems += countProblems(r)
		if err := o.draw(r); err != nil {
			return err
		}
		if doc != nil {
			err = doc.Lifter(r)
		} else {
			head := b.Title + ": "
			if n > 0 {
				head = "\n" + head
			}
			if err = sh.print(head); err == nil {
				err = sheet.WriteReview(sh.stdout, r, opt)
			}
		}
		if err != nil {
			return err
		}
		n++
	}
	if err := sh.ctx.Err(); err != nil {
		return err
	}
	if doc != nil {
		return doc.End()
	}
	return nil
}

// draw writes the picture, where one is asked for.
func (o *reviewOptions) draw(r *periodize.Review) error {
	if o.figure == "" {
		return nil
	}
	format, err := pictureFormat(o.figure)
	if err != nil {
		return err
	}
	f, err := figure.Review(r)
	if err != nil {
		return err
	}
	return write(o.figure, func(w io.Writer) error { return f.Write(w, format) })
}

// compare prints two blocks side by side.
func (o *reviewOptions) compare(sh *shell, b *periodize.Block, r *periodize.Review) error {
	other, err := readWith(sh, o.against, "block file", blockfile.ReadBlock)
	if err != nil {
		return err
	}
	or, err := periodize.ReviewBlock(other, periodize.Thresholds{})
	if err != nil {
		return err
	}
	if err := sheet.WriteComparison(sh.stdout, b.Title, r, other.Title, or); err != nil {
		return err
	}
	if n := countProblems(r); o.strict && n > 0 {
		return &strictError{"strict: " + plural(n, "problem")}
	}
	return nil
}

// rulesText is the table of findings.
func rulesText(width int) string {
	var b strings.Builder
	for i, r := range periodize.Rules() {
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(r.Code + " (" + string(r.Severity) + ")\n")
		line := r.About
		if r.Default != "" {
			line += "; default: " + r.Default
		}
		b.WriteString(item(line, "  ", width))
		b.WriteString(item("evidence: "+r.Evidence, "  ", width))
		b.WriteString(item("advice: "+r.Advice, "  ", width))
	}
	return b.String()
}
