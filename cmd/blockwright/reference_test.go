package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/urfave/cli/v2"
)

func testApp() *cli.App {
	return newApp(newShell(context.Background(), strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{}))
}

// Reference pages: the same words as help, as a Markdown page and a man page.

// marked is text for Markdown: what help sets in backquotes stays so.
func marked(s string) string { return strings.NewReplacer("|", `\|`, "<", "&lt;").Replace(s) }

// markdownReference is the page of all commands.
func markdownReference(app *cli.App) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n%s\n\nUsage: `%s`\n\n%s\n\n", app.Name, sentence(app.Usage), app.UsageText, app.Description)
	b.WriteString("Every command has `--help`, and every flag may stand anywhere behind `blockwright`. A value stands\n" +
		"behind its flag after a space or an equals sign.\n\n")
	b.WriteString("| command | what it does |\n| --- | --- |\n")
	for _, c := range app.Commands {
		fmt.Fprintf(&b, "| [%s](#%s) | %s |\n", c.Name, c.Name, c.Usage)
	}
	for _, c := range app.Commands {
		fmt.Fprintf(&b, "\n## %s\n\n%s\n\n    %s\n", c.Name, sentence(c.Usage), synopsis(c))
		if c.Description != "" {
			fmt.Fprintf(&b, "\n%s\n", marked(c.Description))
		}
		for _, g := range groupsOf(c) {
			fmt.Fprintf(&b, "\n%s:\n\n| flag | what it does |\n| --- | --- |\n", g.heading)
			for _, f := range g.flags {
				name, usage := flagWords(f)
				fmt.Fprintf(&b, "| `%s` | %s |\n", name, marked(usage))
			}
		}
		b.WriteString("\nExamples:\n\n")
		for line := range strings.Lines(c.UsageText) {
			b.WriteString("    " + strings.TrimRight(line, "\n") + "\n")
		}
	}
	return b.String()
}

// roff is text for a man page.
func roff(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`, "`", "").Replace(s)
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	return s
}

// manReference is the man page.
func manReference(app *cli.App) string {
	var b strings.Builder
	fmt.Fprintf(&b, ".TH %s 1\n.SH NAME\n%s \\- %s\n", strings.ToUpper(app.Name), app.Name, roff(app.Usage))
	fmt.Fprintf(&b, ".SH SYNOPSIS\n.B %s\n.I COMMAND\n[\\fIFLAGS\\fR] [\\fIFILES\\fR]\n.SH DESCRIPTION\n", app.Name)
	paragraphs := func(text string) {
		for i, p := range strings.Split(text, "\n\n") {
			if i > 0 {
				b.WriteString(".PP\n")
			}
			for line := range strings.Lines(p + "\n") {
				b.WriteString(roff(line))
			}
		}
	}
	paragraphs(app.Description)
	b.WriteString(".SH COMMANDS\n")
	for _, c := range app.Commands {
		fmt.Fprintf(&b, ".TP\n.B %s\n%s\n", roff(c.Name), roff(c.Usage))
	}
	for _, c := range app.Commands {
		fmt.Fprintf(&b, ".SH %s\n%s\n.PP\n.B %s\n", strings.ToUpper(roff(c.Name)), roff(sentence(c.Usage)), roff(synopsis(c)))
		if c.Description != "" {
			b.WriteString(".PP\n")
			paragraphs(c.Description)
		}
		for _, g := range groupsOf(c) {
			fmt.Fprintf(&b, ".SS %s\n", roff(g.heading))
			for _, f := range g.flags {
				name, usage := flagWords(f)
				flag, value, _ := strings.Cut(name, " ")
				fmt.Fprintf(&b, ".TP\n\\fB%s\\fR", roff(flag))
				if value != "" {
					fmt.Fprintf(&b, " \\fI%s\\fR", roff(value))
				}
				fmt.Fprintf(&b, "\n%s\n", roff(usage))
			}
		}
		b.WriteString(".SS Examples\n.nf\n")
		for line := range strings.Lines(c.UsageText + "\n") {
			b.WriteString(roff(line))
		}
		b.WriteString(".fi\n")
	}
	return b.String()
}

// TestReference holds the reference pages to the commands; -update rewrites them.
func TestReference(t *testing.T) {
	for name, got := range map[string]string{"blockwright.md": markdownReference(testApp()), "blockwright.1": manReference(testApp())} {
		path := filepath.Join("reference", name)
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(string(want), got); d != "" {
			t.Errorf("%s is not what the commands say; go test -update rewrites it (-page +commands):\n%s", path, d)
		}
	}
}

// oneScreen is how many lines a help page may have.
const oneScreen = 40

func TestHelpPages(t *testing.T) {
	for _, c := range testApp().Commands {
		page := commandHelp(c)
		if n := strings.Count(page, "\n"); n > oneScreen {
			t.Errorf("the page of %s has %d lines, want %d at most", c.Name, n, oneScreen)
		}
		for line := range strings.Lines(page) {
			if line = strings.TrimRight(line, "\n"); len(line) > helpWidth {
				t.Errorf("the page of %s has a line of %d characters: %s", c.Name, len(line), line)
			}
		}
		if !strings.Contains(page, "Examples") {
			t.Errorf("the page of %s has no example", c.Name)
		}
		for _, f := range c.Flags {
			if name := "--" + f.Names()[0]; name != "--help" && !strings.Contains(page, "  "+name) {
				t.Errorf("the page of %s does not have %s", c.Name, name)
			}
		}
	}
}

// TestExamplesParse reads the command lines of the help pages.
func TestExamplesParse(t *testing.T) {
	for _, c := range testApp().Commands {
		for line := range strings.Lines(c.UsageText) {
			for _, part := range strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune("&|()<\n", r) }) {
				words := shellWords(strings.TrimSpace(part))
				if len(words) == 0 || words[0] != "blockwright" {
					continue
				}
				l, err := parse(testApp(), words[1:])
				if err != nil || l.command == nil {
					t.Errorf("%s: %v", part, err)
				}
			}
		}
	}
}

// TestFlagsAgree: a flag before the command is read before the command is known,
// so a name takes a value everywhere or nowhere.
func TestFlagsAgree(t *testing.T) {
	takes := map[string]bool{}
	for _, c := range testApp().Commands {
		for _, f := range c.Flags {
			for _, n := range f.Names() {
				if was, ok := takes[n]; ok && was != takesValue(f) {
					t.Errorf("%s of %s takes a value here and not there", n, c.Name)
				}
				takes[n] = takesValue(f)
			}
		}
	}
}
