package main

import (
	"bytes"
	"context"
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

// documented is the command tree as the reference pages show it: each command's
// description and synopsis stand with its examples.
func documented() *cli.App {
	app := testApp()
	for _, c := range app.Commands {
		synopsis := strings.TrimSpace("blockwright " + c.Name + " [FLAGS] " + c.ArgsUsage)
		if c.Name == "help" {
			synopsis = "blockwright help [COMMAND]"
		}
		if c.UsageText != "" {
			synopsis += "\n\n" + c.UsageText
		}
		c.UsageText = synopsis + "\n"
		if c.Description != "" {
			c.Usage += "\n\n" + c.Description
		}
	}
	return app
}

// TestReference holds the reference pages to the commands; -update rewrites them.
func TestReference(t *testing.T) {
	md, err := documented().ToMarkdown()
	if err != nil {
		t.Fatal(err)
	}
	man, err := documented().ToManWithSection(1)
	if err != nil {
		t.Fatal(err)
	}
	for name, got := range map[string]string{"blockwright.md": md, "blockwright.1": man} {
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
const oneScreen = 50

func TestHelpPages(t *testing.T) {
	for _, c := range testApp().Commands {
		page := commandHelp(c)
		if n := strings.Count(page, "\n"); n > oneScreen {
			t.Errorf("the page of %s has %d lines, want %d at most", c.Name, n, oneScreen)
		}
		for line := range strings.Lines(page) {
			if len(line) > 100 {
				t.Errorf("the page of %s has a line of %d characters: %s", c.Name, len(line), line)
			}
		}
		if c.Name != "help" && !strings.Contains(page, "Examples") {
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
