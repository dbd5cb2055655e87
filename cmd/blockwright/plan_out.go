package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/internal/legible"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/workbook"
)

// xlsx is the one format that a package of its own writes, and weights a short
// table for programs, written in bulk.
const (
	xlsx    = workbook.Extension
	weights = "weights"
)

// formats lists the formats of plan.
func formats() []string {
	var out []string
	for _, f := range sheet.Formats() {
		out = append(out, string(f))
	}
	return append(out, xlsx, weights)
}

// extension is the ending of a format's files, without the point.
func extension(format string) string {
	switch format {
	case xlsx:
		return xlsx
	case weights:
		return sheet.CSV.Extension()
	}
	return sheet.Format(format).Extension()
}

func renderer(format string, w io.Writer, opt sheet.Options) (sheet.Renderer, error) {
	if format == xlsx {
		return workbook.New(w, opt)
	}
	return sheet.New(sheet.Format(format), w, opt)
}

// endings are those of all formats, each once.
func endings() []string {
	var out []string
	for _, f := range formats() {
		if e := "." + extension(f); !slices.Contains(out, e) {
			out = append(out, e)
		}
	}
	return out
}

// endingOf is the ending of a file's name in lower case, without the point; ""
// for none, for a hidden name without another point, and for a folder that is
// written as one.
func endingOf(path string) string {
	if strings.HasSuffix(path, "/") || strings.HasSuffix(path, string(filepath.Separator)) {
		return ""
	}
	ext := filepath.Ext(path)
	if ext == filepath.Base(path) {
		return ""
	}
	return strings.ToLower(strings.TrimPrefix(ext, "."))
}

// settle checks the flags against each other and works out the format.
func (o *planOptions) settle(sh *shell) error {
	if o.out == "-" { // as for the other commands
		o.out = ""
	}
	chosen := 0
	for _, is := range []bool{o.format != "", o.json, o.lines} {
		if is {
			chosen++
		}
	}
	switch {
	case chosen > 1:
		return usagef("want one of --format, --json and --json-lines")
	case o.warnings && (chosen > 0 || o.out != ""):
		return usagef("--warnings prints text: leave --format, --json, --json-lines and --out out")
	case o.json || o.lines:
		o.format = string(sheet.JSON)
	}
	ending := endingOf(o.out)
	i := slices.IndexFunc(formats(), func(f string) bool { return extension(f) == ending })
	switch {
	case ending == "": // a folder
	case i >= 0:
		o.together = true
		if o.format == "" {
			o.format = formats()[i]
		}
	default:
		if info, err := os.Stat(o.out); err != nil || !info.IsDir() {
			return usagef("--out %s: no format has the ending .%s: want %s, or a folder, with a / after its name", o.out, ending, oneOf(endings(), "or"))
		}
	}
	if o.format == "" {
		o.format = string(sheet.Text)
	}
	switch {
	case o.together && extension(o.format) != ending:
		return usagef("--out %s is not the name of a %s file: want one that ends in .%s, or a folder", o.out, o.format, extension(o.format))
	case o.out == "" && o.format == xlsx && sh.terminal:
		return usagef("a workbook is not for a terminal: say where to with --out")
	case o.format == weights && (o.week != nil || len(o.sessions) > 0):
		return usagef("--format weights has every week and session: leave --week and --session out")
	case o.format == weights && o.out != "" && !o.together:
		return usagef("--format weights is one table: want a name that ends in .csv after --out")
	case o.columns != "" && o.format != string(sheet.CSV):
		return usagef("--columns is for --format csv")
	case o.issue != nil && o.format != string(sheet.Calendar):
		return usagef("--issue is for --format ics")
	case !o.issued.IsZero() && o.format != string(sheet.Calendar) && o.format != xlsx:
		return usagef("--issued is for --format ics and xlsx")
	}
	for _, in := range []string{o.blockF, o.rosterF} {
		if o.together && sameFile(o.out, in) {
			return usagef("--out %s is a file that is read: want another name", o.out)
		}
	}
	return nil
}

// print writes all plans to standard output.
func (o *planOptions) print(sh *shell, prog *periodize.Program, found *tally) error {
	opt := o.sheetOptions(prog)
	opt.Width, opt.Color = sh.width, sh.color
	return o.render(sh, sh.stdout, opt, prog, found)
}

func (o *planOptions) render(sh *shell, w io.Writer, opt sheet.Options, prog *periodize.Program, found *tally) error {
	if o.format == weights {
		return o.bulk(sh, w, prog, found)
	}
	r, err := renderer(o.format, w, opt)
	if err != nil {
		return o.explain(err)
	}
	if err := r.Begin(prog.Block()); err != nil {
		return err
	}
	for p := range plans(sh, prog, found) {
		if err := r.Plan(p); err != nil {
			return o.explain(err)
		}
	}
	if err := sh.ctx.Err(); err != nil {
		return err
	}
	return r.End()
}

// bulk writes the weights alone, without making out plans where it can.
func (o *planOptions) bulk(sh *shell, w io.Writer, prog *periodize.Program, found *tally) error {
	u := prog.Block().Unit
	switch gyms := prog.Roster().Gyms; {
	case o.unit != nil:
		u = *o.unit
	case len(gyms) > 0:
		u = gyms[0].Unit
	}
	if err := sheet.WriteWeights(w, prog, u); err != nil {
		return err
	}
	if o.strict { // the findings need the plans
		for range plans(sh, prog, found) {
		}
	}
	return sh.ctx.Err()
}

// explain says how to mend what a format cannot work with.
func (o *planOptions) explain(err error) error {
	var de *sheet.DateError
	var oe *sheet.OptionError
	switch {
	case errors.As(err, &de):
		return usagef("a calendar needs dates: give --start, or start or test in the roster")
	case errors.As(err, &oe) && oe.Option == "Columns":
		return usagef("--columns: %s", oe.Msg)
	case errors.As(err, &oe) && oe.Option == "Stamp":
		return usagef("a calendar needs dates: give --start, or start or test in the roster")
	}
	return err
}

// write writes one file with all plans, or a folder with a file for each.
func (o *planOptions) write(sh *shell, prog *periodize.Program, found *tally) error {
	opt := o.sheetOptions(prog)
	if o.together {
		if err := write(o.out, func(w io.Writer) error { return o.render(sh, w, opt, prog, found) }); err != nil {
			return err
		}
		return sh.say(fmt.Sprintf("%s in %s", plural(prog.Len(), "lifter"), o.out) + o.toRead(found, opt))
	}
	if info, err := os.Stat(o.out); err == nil && !info.IsDir() {
		return usagef("--out %s is a file: want a folder, or a name that ends in .%s", o.out, extension(o.format))
	}
	undo, err := makeFolder(o.out)
	if err != nil {
		return err
	}
	var names sheet.Names
	n := 0
	for p := range plans(sh, prog, found) {
		file := filepath.Join(o.out, names.Name(extension(o.format), p.Block.Title, p.Lifter.Name))
		err := write(file, func(w io.Writer) error {
			r, err := renderer(o.format, w, opt)
			if err != nil {
				return o.explain(err)
			}
			return o.explain(sheet.Render(r, prog.Block(), func(yield func(*periodize.Plan) bool) { yield(p) }))
		})
		if err != nil {
			return errors.Join(err, o.unfinished(sh, n, prog.Len(), undo))
		}
		n++
	}
	if err := sh.ctx.Err(); err != nil {
		return errors.Join(err, o.unfinished(sh, n, prog.Len(), undo))
	}
	return sh.say(plural(n, "file") + " in " + o.out + o.toRead(found, opt))
}

// toRead tells how many findings there are, since files are handed out without them.
func (o *planOptions) toRead(found *tally, opt sheet.Options) string {
	if found.problems+found.warnings == 0 {
		return ""
	}
	return fmt.Sprintf("; %s: see %s", found, opt.Warnings)
}

// unfinished says how far a folder is that is not written to its end. One that
// nothing was put into is removed again.
func (o *planOptions) unfinished(sh *shell, n, all int, undo func()) error {
	if n == 0 {
		undo()
		return nil
	}
	return sh.say(fmt.Sprintf("%d of %s in %s: each of them is whole", n, plural(all, "file"), o.out))
}

// say puts a line on standard error.
func (sh *shell) say(line string) error {
	sh.progress.clear()
	_, err := io.WriteString(sh.stderr, legible.Escape(line)+"\n")
	return err
}

func underlying(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}
