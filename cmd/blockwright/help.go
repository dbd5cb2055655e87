package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/internal/texttab"
)

// Help pages: one screen a command, flags in groups, an example at the end.

const helpWidth = 80

// appHelp is the page of the program.
func appHelp(app *cli.App) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s\n\nUsage: %s COMMAND [FLAGS] [FILES]\n\n", app.Name, app.Usage, app.Name)
	t := texttab.New(texttab.Left(""), texttab.Filling(""))
	t.Indent, t.Width = "  ", helpWidth
	for _, c := range app.Commands {
		t.Row(strings.TrimSpace(c.Name+" "+c.ArgsUsage), c.Usage)
	}
	b.WriteString(t.String())
	fmt.Fprintf(&b, "\n%s\n\n", strings.ReplaceAll(app.Description, "`", ""))
	b.WriteString(flagTable("Flags", app.Flags))
	fmt.Fprintf(&b, "\nA command's own page: %s COMMAND --help\n", app.Name)
	return b.String()
}

// commandHelp is the page of a command.
func commandHelp(c *cli.Command) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\nUsage: blockwright %s\n", sentence(c.Usage), strings.TrimSpace(c.Name+" [FLAGS] "+c.ArgsUsage))
	if c.Description != "" {
		fmt.Fprintf(&b, "\n%s\n", strings.ReplaceAll(c.Description, "`", ""))
	}
	var headings []string
	byHeading := map[string][]cli.Flag{}
	for _, f := range c.Flags {
		h := headingOf(f)
		if h == "" {
			continue
		}
		if !slices.Contains(headings, h) {
			headings = append(headings, h)
		}
		byHeading[h] = append(byHeading[h], f)
	}
	for _, h := range headings {
		b.WriteString("\n" + flagTable(h, byHeading[h]))
	}
	if c.UsageText != "" {
		b.WriteString("\nExamples\n")
		for line := range strings.Lines(c.UsageText) {
			b.WriteString("  " + line)
		}
		b.WriteString("\n")
	}
	return b.String()
}

func headingOf(f cli.Flag) string {
	if f, ok := f.(cli.CategorizableFlag); ok {
		return f.GetCategory()
	}
	return ""
}

func flagTable(heading string, flags []cli.Flag) string {
	t := texttab.New(texttab.Left(""), texttab.Filling(""))
	t.Indent, t.Width = "  ", helpWidth
	for _, f := range flags {
		d, ok := f.(cli.DocGenerationFlag)
		if !ok {
			continue
		}
		name, usage := placeholder(d)
		if v := valueOf(f); v != nil {
			if v.list {
				usage += "; may be given several times"
			}
			if v.text != "" {
				usage += " (default " + v.text + ")"
			}
		}
		t.Row(name, usage)
	}
	return heading + "\n" + t.String()
}

// placeholder is the flag as it is written, with the word that its usage has in
// backquotes for the value.
func placeholder(f cli.DocGenerationFlag) (name, usage string) {
	for _, n := range slices.Backward(f.Names()) {
		if name != "" {
			name += ", "
		}
		if len(n) > 1 {
			name += "-"
		}
		name += "-" + n
	}
	before, rest, ok := strings.Cut(f.GetUsage(), "`")
	if !ok {
		return name, f.GetUsage()
	}
	word, after, _ := strings.Cut(rest, "`")
	return name + " " + word, before + word + after
}

func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:] + "."
}
