package logbook

import (
	"math"
	"strings"
	"testing"
)

// Two tests, one with two pairs: 120 twice and 126 once is 122 on average.
func TestSeriesSayWhatWasTested(t *testing.T) {
	const log = `date,lifter,lift,load,reps,rir,tested,count
2027-03-01,Ada,row,100,5,0,,2
2027-03-05,Ada,row,120,1,,1,1
2027-03-10,Ada,row,105,5,0,,1
2027-03-12,Ada,row,126,1,,1,1
`
	methods, err := Published("epley")
	if err != nil {
		t.Fatal(err)
	}
	c, err := Compare(NewReader(Options{}, Stream("log", strings.NewReader(log))), CompareOptions{Methods: methods})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for s := range c.Series() {
		n++
		// Epley: 100 (1 + 5/30) - 120 twice, 105 (1 + 5/30) - 126 once, by hand.
		if want := (2*(350.0/3-120) + 122.5 - 126) / 3; s.Lifter != "Ada" || s.Lift != "row" || math.Abs(s.Tested-122) > 1e-12 || math.Abs(s.Errors[0].Bias-want) > 1e-12 || s.Errors[0].Pairs != 3 {
			t.Errorf("%+v, want a mean test of 122 and a bias of %v", s, want)
		}
	}
	if n != 1 {
		t.Errorf("%d series, want 1", n)
	}
}
