package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/plates"
)

// Flags that take a value have values of our own: those of the library take 010
// for 8, NaN for a number and half a list for a whole one.

// value is what a flag takes. It reads the text it is given into a place that
// the command knows, and keeps what was wrong with it.
type value struct {
	want    string // what would be right, in words
	read    func(string) error
	text    string // the default, as help prints it
	list    bool   // the flag may be given several times
	file    bool   // a file name
	choices []string
	err     error
}

// Set implements [cli.Generic].
func (v *value) Set(s string) error {
	v.err = v.read(s)
	return v.err
}

func (v *value) String() string {
	if v == nil { // the flag package makes a zero one to compare with
		return ""
	}
	return v.text
}

// onUsageError names the flag whose value was wrong.
func onUsageError(c *cli.Context, err error, _ bool) error {
	for _, f := range c.Command.Flags {
		if v := valueOf(f); v != nil && v.err != nil {
			return usagef("--%s: %v", f.Names()[0], v.err)
		}
	}
	return usagef("%v", err)
}

func valueOf(f cli.Flag) *value {
	g, ok := f.(*cli.GenericFlag)
	if !ok {
		return nil
	}
	v, _ := g.Value.(*value)
	return v
}

func repeats(f cli.Flag) bool {
	v := valueOf(f)
	return v != nil && v.list
}

func wanted(f cli.Flag) string {
	if v := valueOf(f); v != nil {
		return v.want
	}
	return "one"
}

// group puts flags under a heading of the help page.
func group(heading string, flags ...cli.Flag) []cli.Flag {
	for _, f := range flags {
		switch f := f.(type) {
		case *cli.GenericFlag:
			f.Category = heading
		case *cli.BoolFlag:
			f.Category = heading
		}
	}
	return flags
}

func flags(groups ...[]cli.Flag) []cli.Flag {
	var out []cli.Flag
	for _, g := range groups {
		out = append(out, g...)
	}
	return out
}

// on is a flag without a value.
func on(dst *bool, name, usage string) cli.Flag {
	return &cli.BoolFlag{Name: name, Usage: usage, Destination: dst}
}

func jsonFlag(dst *bool) cli.Flag { return on(dst, "json", "print JSON for programs") }

func generic(name, usage string, v *value) cli.Flag {
	return &cli.GenericFlag{Name: name, Usage: usage, Value: v, TakesFile: v.file}
}

// text is a text that is not empty.
func text(dst *string, name, usage, want string) cli.Flag {
	return generic(name, usage, &value{want: want, text: *dst, read: func(s string) error {
		if strings.TrimSpace(s) == "" {
			return fmt.Errorf("want %s, got nothing", want)
		}
		*dst = s
		return nil
	}})
}

// offering is a flag whose values completion knows some of.
func offering(f cli.Flag, choices []string) cli.Flag {
	valueOf(f).choices = choices
	return f
}

// path is a file, "-" for standard input or output where the usage says so.
func path(dst *string, name, usage string) cli.Flag {
	f := text(dst, name, usage, "a file")
	valueOf(f).file = true
	f.(*cli.GenericFlag).TakesFile = true
	return f
}

// texts is a flag that may be given several times.
func texts(dst *[]string, name, usage, want string) cli.Flag {
	return generic(name, usage, &value{want: want, list: true, read: func(s string) error {
		if strings.TrimSpace(s) == "" {
			return fmt.Errorf("want %s, got nothing", want)
		}
		*dst = append(*dst, s)
		return nil
	}})
}

// choice is one word of a few.
func choice(dst *string, name, usage string, choices []string) cli.Flag {
	want := oneOf(choices, "or")
	return generic(name, usage, &value{want: want, text: *dst, choices: choices, read: func(s string) error {
		for _, c := range choices {
			if s == c {
				*dst = s
				return nil
			}
		}
		if near := suggest(s, choices); near != "" {
			return fmt.Errorf("want %s, got %q; did you mean %q?", want, s, near)
		}
		return fmt.Errorf("want %s, got %q", want, s)
	}})
}

// count is a whole number; the place is nil until it is given.
func count(dst **int, name, usage string, low, high int) cli.Flag {
	want := fmt.Sprintf("a whole number from %d to %d", low, high)
	return generic(name, usage, &value{want: want, read: func(s string) error {
		n, err := readCount(s, low, high)
		if err != nil {
			return fmt.Errorf("want %s, got %q%s", want, s, hint(err))
		}
		*dst = &n
		return nil
	}})
}

// number is a decimal number from low to high.
func number(dst **float64, name, usage, what string, low, high float64) cli.Flag {
	want := fmt.Sprintf("%s from %g to %g", what, low, high)
	return generic(name, usage, &value{want: want, read: func(s string) error {
		x, err := readNumber(s, low, high)
		if err != nil {
			return fmt.Errorf("want %s, got %q%s", want, s, hint(err))
		}
		*dst = &x
		return nil
	}})
}

// percent is a percentage; its sign may be written.
func percent(dst **float64, name, usage string, low, high float64) cli.Flag {
	f := number(dst, name, usage, "a percentage", low, high)
	read := valueOf(f).read
	valueOf(f).read = func(s string) error { return read(strings.TrimSuffix(s, "%")) }
	return f
}

// date is a day, at midnight UTC; the zero time until it is given.
func date(dst *time.Time, name, usage string) cli.Flag {
	const want = "a date such as 2027-09-06"
	return generic(name, usage, &value{want: want, read: func(s string) (err error) {
		*dst, err = readDate(s)
		if err != nil {
			return fmt.Errorf("want %s, got %q%s", want, s, hint(err))
		}
		return nil
	}})
}

// mass is a mass whose bare number is in a unit that is known only once the
// whole command line is read.
type mass struct {
	text  string
	given bool
}

// in is the mass, a bare number being in u.
func (m mass) in(u plates.Unit) (plates.Mass, error) { return readMass(m.text, u) }

func massFlag(dst *mass, name, usage string) cli.Flag {
	const want = "a mass such as 60, 60kg or 45lb"
	return generic(name, usage, &value{want: want, text: dst.text, read: func(s string) error {
		if _, err := readMass(s, plates.KG); err != nil {
			return fmt.Errorf("want %s, got %q%s", want, s, hint(err))
		}
		*dst = mass{text: s, given: true}
		return nil
	}})
}

// unitFlag is the unit of bare numbers or of the output; nil until it is given.
func unitFlag(dst **plates.Unit, usage string) cli.Flag {
	return generic("unit", usage, &value{want: "kg or lb", choices: []string{"kg", "lb"}, read: func(s string) error {
		u, err := plates.ParseUnit(s)
		if err != nil {
			if near := blockfile.Suggest(s, []string{"kg", "lb"}); near != "" {
				return fmt.Errorf("want kg or lb, got %q; did you mean %q?", s, near)
			}
			return fmt.Errorf("want kg or lb, got %q", s)
		}
		*dst = &u
		return nil
	}})
}
