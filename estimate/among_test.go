package estimate

import (
	"strings"
	"testing"
)

func codes(ws []Warning) map[string]string {
	out := map[string]string{}
	for _, w := range ws {
		out[w.Code] = w.Text
	}
	return out
}

// Sets that contradict each other, and answers that no set gives by itself.
func TestWarningsAmongSets(t *testing.T) {
	for _, c := range []struct {
		name               string
		sets               []Set
		disagree, together bool
	}{
		{"two maximal singles far apart", []Set{{Load: 100, Reps: 1}, {Load: 200, Reps: 1}}, true, false},
		{"two maximal singles one step apart", []Set{{Load: 97.5, Reps: 1}, {Load: 100, Reps: 1}}, false, false},
		{"a mistyped weight", []Set{{Load: 60, Reps: 10}, {Load: 300, Reps: 4}}, true, false},
		{"a lifter of few repetitions", []Set{{Load: 60, Reps: 10}, {Load: 80, Reps: 4}}, false, true},
		{"the same set twice", []Set{{Load: 100, Reps: 5}, {Load: 100, Reps: 5}}, false, false},
		{"sets that agree", []Set{{Load: 100, Reps: 3, RIR: 1}, {Load: 95, Reps: 5, RIR: 1}}, false, false},
		{"one set", []Set{{Load: 100, Reps: 5}}, false, false},
		// Years apart a maximum may well have moved by a quarter.
		{"far apart in time", []Set{{Load: 80, Reps: 5}, {Load: 100, Reps: 5, Day: 3650}}, false, false},
		{"the same in a week", []Set{{Load: 80, Reps: 5}, {Load: 100, Reps: 5, Day: 7}}, true, false},
	} {
		e, err := Max(c.sets, Options{})
		if err != nil {
			t.Fatal(err)
		}
		got := codes(e.Warnings)
		_, disagree := got["sets-disagree"]
		text, together := got["sets-together"]
		if disagree != c.disagree || together != c.together {
			t.Errorf("%s: disagree %v, together %v; want %v, %v (%+v)", c.name, disagree, together, c.disagree, c.together, e)
		}
		if together && !strings.Contains(text, "ability to do repetitions") {
			t.Errorf("%s: %q", c.name, text)
		}
	}
}

// A reserve is not taken at its word, and where that counts it is said.
func TestWarningReserveCorrected(t *testing.T) {
	one := Set{Load: 100, Reps: 5, RIR: 1}
	for _, c := range []struct {
		name string
		set  Set
		opt  Options
		want string // a part of the text; "" for no warning
	}{
		{"one in reserve", one, Options{}, "5 repetitions with 1 reported in reserve count as about 6.95 to failure, not 6"},
		{"half in reserve", Set{Load: 100, Reps: 5, RIR: 0.5}, Options{}, "count as about 5.975 to failure, not 5.5"},
		{"another bias", one, Options{ReserveBias: 0.17}, "on average 0.17 repetitions where they stop one or more short; so"},
		{"no bias", one, Options{ReserveBias: -1}, ""},
		{"to failure", Set{Load: 100, Reps: 6}, Options{}, ""},
		{"not reported", Set{Load: 100, Reps: 5, NoRIR: true}, Options{}, ""},
	} {
		e, err := Max([]Set{c.set}, c.opt)
		if err != nil {
			t.Fatal(err)
		}
		text, ok := codes(e.Warnings)["reserve-corrected"]
		if ok != (c.want != "") || !strings.Contains(text, c.want) {
			t.Errorf("%s: %q, want %q", c.name, text, c.want)
		}
	}
}
