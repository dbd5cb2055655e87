package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestParse(t *testing.T) {
	for _, tc := range []struct {
		words string
		flags string
		args  string
	}{
		{"plan a b", "", "a b"},
		{"plan a --week 2 b", "--week=2", "a b"},
		{"plan a b --week=2", "--week=2", "a b"},
		{"--week 2 plan a b", "--week=2", "a b"},
		{"--week=2 --json plan a b", "--week=2 --json", "a b"},
		{"plan --lifter x --lifter y a b", "--lifter=x --lifter=y", "a b"},
		{"plan --out - a b", "--out=-", "a b"},
		{"plan - b", "", "- b"},
		{"plan a -- --week b", "", "a --week b"},
		{"plan -- a -- b", "", "a -- b"},
		{"plates -5 -2.5 -.5", "", "-5 -2.5 -.5"},
		{"plates 60 --from -5", "--from=-5", "60"},
		{"plates --plates a=b 60", "--plates=a=b", "60"},
	} {
		l, err := parse(testApp(), strings.Fields(tc.words))
		if err != nil {
			t.Errorf("%s: %v", tc.words, err)
			continue
		}
		if d := cmp.Diff([][]string{strings.Fields(tc.flags), strings.Fields(tc.args)}, [][]string{append([]string{}, l.flags...), append([]string{}, l.args...)}); d != "" {
			t.Errorf("%s (-want +got):\n%s", tc.words, d)
		}
		if n := len(l.argv()); n != 3+len(l.flags)+len(l.args) {
			t.Errorf("%s: %d words handed on", tc.words, n)
		}
	}
}

// FuzzParse: no command line is a panic, and what is handed on keeps every
// argument in its order.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"plan a b", "--week 2 plan a --json b", "plan -- --week", "plates -5 --from 20,10", "--", "-", "plan --week=", "--help plan", "-h", "plan --lifter\x00x"} {
		f.Add(s)
	}
	app := testApp()
	f.Fuzz(func(t *testing.T, line string) {
		words := strings.Split(line, " ")
		l, err := parse(app, words)
		if err != nil || l.command == nil {
			return
		}
		rest := words
		for _, a := range l.args {
			i := slices.Index(rest, a)
			if i < 0 {
				t.Fatalf("%q: argument %q is not one of the words, or out of order", line, a)
			}
			rest = rest[i+1:]
		}
		candidates(app, words)
	})
}

func TestNumbers(t *testing.T) {
	for _, s := range []string{"", "-", "+5", "010", "0x10", "1e3", "1_000", "NaN", "nan", "Inf", "-inf", "1.", ".5", "1,5", "1.2.3", "--5", " 5", "5 ", "٣", "1234567890123456"} {
		if x, err := readNumber(s, -1e18, 1e18); err == nil {
			t.Errorf("%q is read as %v", s, x)
		}
		if n, err := readCount(s, 0, 1_000_000); err == nil {
			t.Errorf("%q is read as %d", s, n)
		}
	}
	for s, want := range map[string]float64{"0": 0, "5": 5, "-2.5": -2.5, "0.001": 0.001, "100": 100} {
		if x, err := readNumber(s, -10, 100); err != nil || x != want {
			t.Errorf("%q is read as %v, %v", s, x, err)
		}
	}
}

func FuzzParseSet(f *testing.F) {
	for _, s := range []string{"100x5", "100x5+2", "225lbx3@8.5", "80v0.62", "100x5+1 2027-09-06", "x", "0x5", "1e2x5", "100xx5", "100×5"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		w, err := parseSet(s)
		if err != nil {
			return
		}
		if m, err := w.load.in(0); err != nil || m <= 0 {
			t.Errorf("%q: load %v, %v", s, m, err)
		}
		if (w.reps < 1 || w.reps > mostReps) && w.velocity <= 0 {
			t.Errorf("%q: %d repetitions", s, w.reps)
		}
		if w.rir != nil && !(*w.rir >= 0 && *w.rir <= mostReserve) {
			t.Errorf("%q: %v in reserve", s, *w.rir)
		}
	})
}
