package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/internal/texttab"
)

// Help pages: one screen a command, flags in groups, an example at the end.

const helpWidth = 100

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
	fmt.Fprintf(&b, "%s\n\nUsage: %s\n", sentence(c.Usage), synopsis(c))
	if c.Description != "" {
		fmt.Fprintf(&b, "\n%s\n", strings.ReplaceAll(c.Description, "`", ""))
	}
	for _, g := range groupsOf(c) {
		b.WriteString("\n" + flagTable(g.heading, g.flags))
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

// synopsis is the line that a command is called by.
func synopsis(c *cli.Command) string {
	words := "blockwright " + c.Name
	if len(groupsOf(c)) > 0 {
		words += " [FLAGS]"
	}
	return strings.TrimSpace(words + " " + c.ArgsUsage)
}

// flagGroup is flags under one heading of a page.
type flagGroup struct {
	heading string
	flags   []cli.Flag
}

// groupsOf is the flags of a command by heading, in their order. Those without a
// heading, --help, are left out.
func groupsOf(c *cli.Command) []flagGroup {
	var out []flagGroup
	for _, f := range c.Flags {
		h := ""
		if f, ok := f.(cli.CategorizableFlag); ok {
			h = f.GetCategory()
		}
		if h == "" {
			continue
		}
		i := slices.IndexFunc(out, func(g flagGroup) bool { return g.heading == h })
		if i < 0 {
			i = len(out)
			out = append(out, flagGroup{heading: h})
		}
		out[i].flags = append(out[i].flags, f)
	}
	return out
}

func flagTable(heading string, flags []cli.Flag) string {
	t := texttab.New(texttab.Left(""), texttab.Filling(""))
	t.Indent, t.Width = "  ", helpWidth
	for _, f := range flags {
		name, usage := flagWords(f)
		t.Row(name, usage)
	}
	return heading + "\n" + t.String()
}

// flagWords is a flag as it is written, and what it does.
func flagWords(f cli.Flag) (name, usage string) {
	name, usage = placeholder(f.(cli.DocGenerationFlag))
	if v := valueOf(f); v != nil {
		if v.list {
			usage += "; may be repeated"
		}
		if v.text != "" {
			usage += " (default " + v.text + ")"
		}
	}
	return name, usage
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
