package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/periodize/blockfile"
)

// Completion: the scripts ask the program, with askFlag as the last word, what
// may stand where the cursor is. The word before it is the one being typed. No
// answer means a file name.

const askFlag = "--generate-bash-completion"

// completing reports whether the command line is such a question.
func completing(words []string) (asked []string, ok bool) {
	if n := len(words); n > 0 && words[n-1] == askFlag {
		return words[:n-1], true
	}
	return nil, false
}

// complete writes what the last word may become, one to a line.
func complete(app *cli.App, words []string, w io.Writer) error {
	var b strings.Builder
	for _, c := range candidates(app, words) {
		fmt.Fprintln(&b, c)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func candidates(app *cli.App, words []string) []string {
	typed := ""
	if n := len(words); n > 0 {
		typed, words = words[n-1], words[:n-1]
	}
	for _, w := range words {
		if w == "--" {
			return nil // only arguments follow
		}
	}
	at, err := commandAt(app, words)
	if err != nil {
		return nil
	}
	flags := app.Flags
	var cmd *cli.Command
	if at >= 0 {
		if cmd, err = findCommand(app, words[at]); err != nil {
			return nil
		}
		flags = cmd.Flags
	}
	// The value of a flag, after a space or an equals sign.
	if n := len(words); n > 0 && isFlag(words[n-1]) && !strings.Contains(words[n-1], "=") {
		if f := findFlag(flags, words[n-1]); f != nil && takesValue(f) {
			return starting(choicesOf(f), typed, "")
		}
	}
	if name, value, ok := strings.Cut(typed, "="); ok && isFlag(typed) {
		if f := findFlag(flags, name); f != nil && takesValue(f) {
			return starting(choicesOf(f), value, name+"=")
		}
		return nil
	}
	if strings.HasPrefix(typed, "-") && typed != "-" {
		var free []string
		for _, f := range flags {
			long := "--" + f.Names()[0]
			if repeats(f) || !given(words, long) {
				free = append(free, long)
			}
		}
		return starting(free, typed, "")
	}
	if cmd == nil {
		var names []string
		for _, c := range app.Commands {
			names = append(names, c.Name)
		}
		return starting(names, typed, "")
	}
	return starting(argumentsOf(app, cmd), typed, "")
}

func given(words []string, long string) bool {
	for _, w := range words {
		if name, _, _ := strings.Cut(w, "="); name == long {
			return true
		}
	}
	return false
}

func choicesOf(f cli.Flag) []string {
	if v := valueOf(f); v != nil {
		return v.choices
	}
	return nil
}

// argumentsOf lists the arguments of commands that take one of a few words.
func argumentsOf(app *cli.App, c *cli.Command) []string {
	switch c.Name {
	case "schema":
		return blockfile.Kinds()
	case "completion":
		return shells()
	case "help":
		var names []string
		for _, c := range app.Commands {
			names = append(names, c.Name)
		}
		return names
	}
	return nil
}

func starting(choices []string, typed, before string) []string {
	var out []string
	for _, c := range choices {
		if strings.HasPrefix(c, typed) {
			out = append(out, before+c)
		}
	}
	return out
}
