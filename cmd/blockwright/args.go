package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/periodize/blockfile"
)

// The library takes flags only before arguments, swallows `--` and has its own
// idea of unknown words. So the command line is read here, with the library's
// tables, and handed on in an order that it cannot misunderstand.

// line is a command line, taken apart.
type line struct {
	command       *cli.Command // nil where none was named
	flags         []string     // --name or --name=value
	args          []string
	help, version bool
}

// argv is the line in the order that the library takes.
func (l *line) argv() []string {
	out := append([]string{"blockwright", l.command.Name}, l.flags...)
	return append(append(out, "--"), l.args...)
}

// parse takes a command line apart. Flags may stand anywhere, `--` ends them,
// and `-` is an argument (standard input). The error is a *usageError; the line
// then has at least its command, where that is known.
func parse(app *cli.App, words []string) (line, error) {
	var l line
	at, err := commandAt(app, words)
	if err != nil {
		return l, err
	}
	flags := app.Flags
	if at >= 0 {
		if l.command, err = findCommand(app, words[at]); err != nil {
			return l, err
		}
		flags = l.command.Flags
	}
	given := map[string]bool{}
	for i := 0; i < len(words); i++ {
		w := words[i]
		switch {
		case i == at:
			continue
		case w == "--":
			l.args = append(l.args, words[i+1:]...)
			return l, l.checkArgs()
		case wordDash(w) != "":
			return l.wrong(words, usagef("%q begins with a dash that a word processor made: want %s, with plain hyphens", w, wordDash(w)))
		case !isFlag(w):
			l.args = append(l.args, w)
			continue
		}
		name, value, has := splitFlag(w)
		switch f := findFlag(flags, w); {
		case f == nil && at >= 0 && name == "version" && !has:
			l.version = true
		case f == nil:
			return l.wrong(words, unknownFlag(app, l.command, w))
		case f.Names()[0] == "help":
			l.help = true
		case f.Names()[0] == "version":
			l.version = true
		default:
			name = f.Names()[0]
			if given[name] && !repeats(f) {
				return l.wrong(words, usagef("--%s is given twice", name))
			}
			given[name] = true
			switch {
			case !takesValue(f) && has:
				return l.wrong(words, usagef("--%s takes no value, got %q", name, value))
			case !takesValue(f):
				l.flags = append(l.flags, "--"+name)
				continue
			case !has && i+1 == len(words):
				return l.wrong(words, usagef("--%s needs a value: %s", name, wanted(f)))
			case !has && strings.HasPrefix(words[i+1], "--"):
				return l.wrong(words, usagef("--%s needs a value: %s, got %q", name, wanted(f), words[i+1]))
			case !has:
				i++
				value = words[i]
			}
			l.flags = append(l.flags, "--"+name+"="+value)
		}
	}
	if l.command != nil && slices.Equal(l.args, []string{"help"}) && len(l.flags) == 0 {
		l.help = true
	}
	return l, l.checkArgs()
}

// wordDash is the flag that is meant by a word with a dash of print before it, as
// word processors put it for two hyphens; "" for any other word.
func wordDash(w string) string {
	name := strings.TrimLeft(w, "-\u2010\u2011\u2012\u2013\u2014\u2015\u2212")
	dashes := strings.TrimSuffix(w, name)
	if strings.Trim(dashes, "-") == "" || name == "" || name[0] < 'A' {
		return ""
	}
	return "--" + name
}

// wrong is an error, unless help is asked for further on.
func (l line) wrong(words []string, err error) (line, error) {
	for _, w := range words {
		if w == "--" {
			break
		}
		if w == "--help" || w == "-h" {
			l.help = true
			return l, nil
		}
	}
	return l, err
}

// checkArgs reports arguments without a command; those of a command are its own
// to count.
func (l *line) checkArgs() error {
	if l.command == nil && len(l.args) > 0 {
		return usagef("want a command before %q", l.args[0])
	}
	for i, a := range l.args {
		if i > 0 || len(l.flags) > 0 {
			switch a {
			case "%", "kg", "kgs", "lb", "lbs":
				return usagef("%q stands by itself: want it at its number, as in 60kg or 50%%", a)
			}
		}
	}
	return nil
}

// commandAt is the place of the command's name among the words, -1 where there
// is none. Flags before it may be the command's.
func commandAt(app *cli.App, words []string) (int, error) {
	for i := 0; i < len(words); i++ {
		w := words[i]
		if w == "--" {
			return -1, nil
		}
		if !isFlag(w) {
			return i, nil
		}
		if _, _, has := splitFlag(w); has {
			continue
		}
		if f := anyFlag(app, w); f != nil && takesValue(f) {
			i++
		}
	}
	return -1, nil
}

// isFlag reports whether a word is written as a flag. Negative numbers are not.
func isFlag(w string) bool {
	return len(w) > 1 && w[0] == '-' && w[1] != '.' && (w[1] < '0' || w[1] > '9')
}

func splitFlag(w string) (name, value string, has bool) {
	return cut3(strings.TrimPrefix(strings.TrimPrefix(w, "-"), "-"))
}

func cut3(s string) (string, string, bool) {
	name, value, has := strings.Cut(s, "=")
	return name, value, has
}

// findFlag is the flag that a word names: long names with two dashes, letters
// with one.
func findFlag(flags []cli.Flag, word string) cli.Flag {
	name, _, _ := splitFlag(word)
	if long := strings.HasPrefix(word, "--"); long != (len(name) > 1) {
		return nil
	}
	for _, f := range flags {
		if slices.Contains(f.Names(), name) {
			return f
		}
	}
	return nil
}

// anyFlag is the flag of that name of the program or any command.
func anyFlag(app *cli.App, word string) cli.Flag {
	if f := findFlag(app.Flags, word); f != nil {
		return f
	}
	for _, c := range app.Commands {
		if f := findFlag(c.Flags, word); f != nil {
			return f
		}
	}
	return nil
}

func takesValue(f cli.Flag) bool {
	d, ok := f.(cli.DocGenerationFlag)
	return ok && d.TakesValue()
}

// longNames are the flags as they are written.
func longNames(flags []cli.Flag) []string {
	var out []string
	for _, f := range flags {
		out = append(out, "--"+f.Names()[0])
	}
	return out
}

func unknownFlag(app *cli.App, cmd *cli.Command, word string) error {
	name, _, _ := splitFlag(word)
	flags := app.Flags
	if cmd != nil {
		flags = cmd.Flags
	}
	written, _, _ := strings.Cut(word, "=")
	choices := longNames(flags)
	var others []string
	for _, c := range app.Commands {
		if findFlag(c.Flags, word) != nil {
			others = append(others, c.Name)
		}
	}
	switch {
	case len(others) > 0 && cmd == nil:
		return usagef("%s needs a command: it is a flag of %s", written, oneOf(others, "and"))
	case len(others) > 0:
		return usagef("unknown flag %s: it is a flag of %s", written, oneOf(others, "and"))
	}
	if near := nearFlag(name, flags); near != "" {
		return usagef("unknown flag %s: did you mean %s?", written, near)
	}
	return usagef("unknown flag %s: want %s", written, oneOf(choices, "or"))
}

// nearFlag is what was meant by the name of a flag that there is not: one that is
// spelt nearly so, that begins so or is the beginning of it, or a value of one.
func nearFlag(name string, flags []cli.Flag) string {
	var names, begin []string
	for _, f := range flags {
		long := f.Names()[0]
		names = append(names, long)
		if strings.HasPrefix(long, strings.ToLower(name)) || len(long) > 2 && strings.HasPrefix(strings.ToLower(name), long) {
			begin = append(begin, "--"+long)
		}
	}
	if len(name) > 1 {
		near := blockfile.Suggest(name, names)
		if near != "" && (len(name) > 5 || strings.EqualFold(near[:1], name[:1])) {
			return "--" + near
		}
	}
	if len(begin) > 0 && len(begin) <= 3 && name != "" {
		return oneOf(begin, "or")
	}
	for _, f := range flags {
		if v := valueOf(f); v != nil && slices.Contains(v.choices, strings.ToLower(name)) {
			return "--" + f.Names()[0] + " " + strings.ToLower(name)
		}
	}
	return ""
}

// findCommand is the command of that name. The error lists the choices.
func findCommand(app *cli.App, name string) (*cli.Command, error) {
	var names []string
	for _, c := range app.Commands {
		if c.Name == name {
			return c, nil
		}
		names = append(names, c.Name)
	}
	switch near := blockfile.Suggest(name, names); {
	case near != "":
		return nil, usagef("unknown command %q: did you mean %s?", name, near)
	case findFlag(app.Flags, "--"+name) != nil:
		return nil, usagef("unknown command %q: did you mean --%s?", name, name)
	case name != "" && (isFile(name) || slices.Contains([]string{".yaml", ".yml", ".csv"}, filepath.Ext(name))):
		return nil, usagef("want a command before the file %s, such as plan", name)
	}
	return nil, usagef("unknown command %q: want %s", name, oneOf(names, "or"))
}

// oneOf lists words in words.
func oneOf(words []string, and string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " " + and + " " + words[n-1]
	}
	return strings.Join(words, "")
}

// gotArgs is the arguments of a command that has too few of them, or more than most.
func gotArgs(args []string, most int) string {
	switch {
	case len(args) == 0:
		return "nothing"
	case len(args) > most:
		return fmt.Sprintf("%q too", args[most])
	}
	quoted := make([]string, len(args))
	for i, a := range args {
		quoted[i] = fmt.Sprintf("%q", a)
	}
	return oneOf(quoted, "and") + " alone"
}

// wantArgs checks the number of a command's arguments, which are named as the
// help names them.
func wantArgs(args []string, names ...string) error {
	if len(args) == len(names) {
		return nil
	}
	if len(names) == 0 {
		return usagef("want no arguments, got %q", args[0])
	}
	if len(args) > len(names) {
		return usagef("want %s and nothing else, got %q too", oneOf(names, "and"), args[len(names)])
	}
	return usagef("want %s, got %s", oneOf(names, "and"), gotArgs(args, len(names)))
}
