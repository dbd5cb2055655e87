package logbook_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/plates"
)

// TestRowsByHand: rows of a program's own are held to the bounds of those of a file, and one that is refused leaves nothing behind.
func TestRowsByHand(t *testing.T) {
	good := logbook.Row{Lifter: "Wren", Lift: "row", Load: 60, Written: 60, Reps: 5, RIR: 2, Count: 1, Day: 20_000}
	ptr := func(v float64) *float64 { return &v }
	s := logbook.NewSummary(plates.KG)
	n := logbook.NewNext(program(t, quarry(), quarryRoster()), logbook.NextOptions{})
	if err := errors.Join(s.Add(&good), n.Add(&good)); err != nil {
		t.Fatal(err)
	}
	before := asJSON(t, s)
	for name, change := range map[string]func(*logbook.Row){
		"load NaN":        func(r *logbook.Row) { r.Load = math.NaN() },
		"load":            func(r *logbook.Row) { r.Load = -1 },
		"load infinite":   func(r *logbook.Row) { r.Load = math.Inf(1) },
		"load as written": func(r *logbook.Row) { r.Written = math.NaN() },
		"rir NaN":         func(r *logbook.Row) { r.RIR = math.NaN() },
		"rir":             func(r *logbook.Row) { r.RIR = 51 },
		"reps":            func(r *logbook.Row) { r.Reps = -5 },
		"reps many":       func(r *logbook.Row) { r.Reps = 65541 },
		"count":           func(r *logbook.Row) { r.Count = math.MaxInt },
		"count negative":  func(r *logbook.Row) { r.Count = -1 },
		"week":            func(r *logbook.Row) { r.Week = 65537 },
		"set":             func(r *logbook.Row) { r.Set = -1 },
		"day":             func(r *logbook.Row) { r.Day = math.MaxInt },
		"day early":       func(r *logbook.Row) { r.Day = math.MinInt },
		"minutes":         func(r *logbook.Row) { r.Minutes = ptr(-50) },
		"effort":          func(r *logbook.Row) { r.Effort = ptr(70) },
		"effort NaN":      func(r *logbook.Row) { r.Effort = ptr(math.NaN()) },
	} {
		row := good
		change(&row)
		var oe *logbook.OptionError
		if err := s.Add(&row); !errors.As(err, &oe) || !strings.Contains(err.Error(), "Wren") {
			t.Errorf("%s: summary: %v", name, err)
		}
		if err := n.Add(&row); !errors.As(err, &oe) {
			t.Errorf("%s: next: %v", name, err)
		}
	}
	if after := asJSON(t, s); after != before {
		t.Errorf("refused rows changed the sums: %s", after)
	}
	var back logbook.Summary
	if err := json.Unmarshal([]byte(before), &back); err != nil {
		t.Error(err)
	}
}

// TestRowsWithLoadAlone: a row that a program made needs its load once.
func TestRowsWithLoadAlone(t *testing.T) {
	var got []string
	for _, written := range []float64{60, 0} {
		n := logbook.NewNext(program(t, quarry(), quarryRoster()), logbook.NextOptions{})
		for range 3 {
			if err := n.Add(&logbook.Row{Lifter: "Wren", Lift: "row", Load: 60, Written: written, Reps: 8, RIR: 2, Count: 1, Week: 1}); err != nil {
				t.Fatal(err)
			}
		}
		res, err := n.Result()
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, asJSON(t, res))
	}
	if got[0] != got[1] || !strings.Contains(got[0], "Wren") {
		t.Errorf("%s\n%s", got[0], got[1])
	}
}

// TestFilesInOrder: of sets that only their places tell apart the first counts, and ten comes behind nine.
func TestFilesInOrder(t *testing.T) {
	head := "date,lifter,lift,load,reps,rir\n"
	fresh, tired := head+"2027-03-01,Wren,row,60,5,3\n", head+"2027-03-01,Wren,row,60,5,0\n"
	read := func(names ...string) string {
		sources := []logbook.Source{logbook.Stream(names[0], strings.NewReader(fresh)), logbook.Stream(names[1], strings.NewReader(tired))}
		s, err := logbook.Summarise(logbook.NewReader(logbook.Options{}, sources...))
		if err != nil {
			t.Fatal(err)
		}
		l, err := s.Log(logbook.LogOptions{})
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprintf("%.6f", l.Lifters[0].Lifts[0].Max.Max)
	}
	want := read("a", "b")
	for _, names := range [][]string{{"part9.csv", "part10.csv"}, {"9", "10"}, {"w01.csv", "w2.csv"}, {"log", "log2"}, {"2027-02", "2027-11"}, {"part09b", "part9c"}} {
		if got := read(names...); got != want {
			t.Errorf("%q: %s, want %s", names, got, want)
		}
	}
	if got := read("part10.csv", "part9.csv"); got == want {
		t.Errorf("the tired set came first and gives %s too", got)
	}
}

// TestMergeOtherEquations: parts made with other equations of the same name do not merge, through JSON neither.
func TestMergeOtherEquations(t *testing.T) {
	part := func(per float64) *logbook.Comparison {
		c, err := logbook.NewComparison(logbook.CompareOptions{Methods: []logbook.Method{{ID: "ours", Factor: func(n float64) float64 { return 1 + (n-1)/per }}}})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	again := func(c *logbook.Comparison) *logbook.Comparison {
		back := &logbook.Comparison{}
		through(t, c, back)
		return back
	}
	var mismatch *logbook.MismatchError
	for name, pair := range map[string][2]*logbook.Comparison{
		"both made": {part(30), part(10)}, "one read": {part(30), again(part(10))}, "both read": {again(part(30)), again(part(10))}, "twice read": {again(again(part(30))), part(10)},
	} {
		if err := pair[0].Merge(pair[1]); !errors.As(err, &mismatch) || mismatch.What != "methods" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := again(part(30)).Merge(part(30)); err != nil {
		t.Error(err)
	}
}

// TestLogRefuted: a report that the heavy sets of two days prove wrong does not pull a maximum down; a single heavy set, which may
// be mistyped, proves nothing.
func TestLogRefuted(t *testing.T) {
	max := func(rows string) float64 {
		s, err := logbook.Summarise(logbook.NewReader(logbook.Options{}, logbook.Stream("l", strings.NewReader("date,lifter,lift,load,reps,rir\n"+rows))))
		if err != nil {
			t.Fatal(err)
		}
		l, err := s.Log(logbook.LogOptions{})
		if err != nil {
			t.Fatal(err)
		}
		return l.Lifters[0].Lifts[0].Max.Max
	}
	hard := "2027-01-13,K,bench press,110,4,2\n2027-01-20,K,bench press,114,3,2\n2027-01-27,K,bench press,114,3,2\n"
	easy := "2027-01-11,K,bench press,85,5,%[1]d\n2027-01-18,K,bench press,88,5,%[1]d\n2027-01-25,K,bench press,90,5,%[1]d\n"
	want := max(hard)
	for left := range 3 {
		if got := max(hard + fmt.Sprintf(easy, left)); math.Abs(got/want-1) > 0.02 {
			t.Errorf("easy days with %d left: %.1f, the hard days alone %.1f", left, got, want)
		}
	}
	plain := fmt.Sprintf(easy, 1)
	if got, want := max(plain+"2027-01-20,K,bench press,185,4,2\n"), max(plain); got > 1.2*want {
		t.Errorf("one set that may be mistyped: %.1f, without it %.1f", got, want)
	}
}
