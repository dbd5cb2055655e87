package logbook_test

import (
	"encoding/json"
	"errors"
	"strings"
	"sync"
	"testing"

	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/plates"
)

const zeroLog = "date,lifter,lift,load,reps,rir,tested\n" +
	"2027-01-04,Ivo,push press,50,5,1,\n2027-01-08,Ivo,push press,60,1,0,1\n2027-01-11,Nia,row,70,4,2,\n2027-01-12,Nia,row,85,1,0,1\n"

func zeroReader(o logbook.Options) *logbook.Reader {
	return logbook.NewReader(o, logbook.Stream("log", strings.NewReader(zeroLog)))
}

func asJSON(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// A zero sum is where merging starts: it takes the options, rule and unit of the first, and adds nothing itself.
func TestZeroSumsMerge(t *testing.T) {
	opt := logbook.CompareOptions{Tests: logbook.TestedOnly, Window: 9}
	tests, err := logbook.CollectTests(zeroReader(logbook.Options{}), logbook.TestedOnly)
	if err != nil {
		t.Fatal(err)
	}
	inOrder, err := logbook.Compare(zeroReader(logbook.Options{Unit: plates.LB}), opt)
	if err != nil {
		t.Fatal(err)
	}
	looked, err := logbook.CompareWith(zeroReader(logbook.Options{}), opt, tests)
	if err != nil {
		t.Fatal(err)
	}
	sum, err := logbook.Summarise(zeroReader(logbook.Options{Unit: plates.LB}))
	if err != nil {
		t.Fatal(err)
	}
	for i := range 2 { // into the zero value, and the zero value into that
		for _, part := range []*logbook.Comparison{inOrder, looked} {
			var all logbook.Comparison
			if err := all.Merge(part); err != nil {
				t.Fatal(err)
			}
			if i == 1 {
				if err := all.Merge(new(logbook.Comparison)); err != nil {
					t.Fatal(err)
				}
			}
			if got, want := asJSON(t, &all), asJSON(t, part); got != want || part.Counts().Pairs != 2 {
				t.Errorf("comparison: got %s\nwant %s", got, want)
			}
		}
		var all logbook.Tests
		var allSum logbook.Summary
		if err := errors.Join(all.Merge(tests), allSum.Merge(sum)); err != nil {
			t.Fatal(err)
		}
		if i == 1 {
			if err := errors.Join(all.Merge(new(logbook.Tests)), allSum.Merge(new(logbook.Summary))); err != nil {
				t.Fatal(err)
			}
		}
		if got, want := asJSON(t, &all), asJSON(t, tests); got != want || all.Len() != 2 {
			t.Errorf("tests: got %s\nwant %s", got, want)
		}
		if got, want := asJSON(t, &allSum), asJSON(t, sum); got != want {
			t.Errorf("summary: got %s\nwant %s", got, want)
		}
	}
}

// Zero sums can be added to where that means something, and say what is missing where not.
func TestZeroSumsAdd(t *testing.T) {
	var s, made logbook.Summary
	made = *logbook.NewSummary(plates.KG)
	row := &logbook.Row{Lifter: "Ivo", Lift: "push press", Load: 60, Reps: 1, Count: 1, Tested: true}
	s.Add(row)
	made.Add(row)
	if got, want := asJSON(t, &s), asJSON(t, &made); got != want {
		t.Errorf("got %s\nwant %s", got, want)
	}
	var tests logbook.Tests
	tests.Add("Ivo", "push press", logbook.Set{Load: 60, Reps: 1, Count: 1, Tested: true})
	if tests.Len() != 1 {
		t.Errorf("%d tests, want 1", tests.Len())
	}
	var c logbook.Comparison
	var opt *logbook.OptionError
	_, errResult := c.Result(logbook.ResultOptions{})
	_, errJSON := c.MarshalJSON()
	_, errNext := new(logbook.Next).Result()
	_, errNil := logbook.NewComparisonWith(logbook.CompareOptions{}, nil)
	for name, err := range map[string]error{"Add": c.Add("a", "b", logbook.Set{}), "AddBatch": c.AddBatch(&logbook.Batch{}), "Result": errResult, "MarshalJSON": errJSON, "Next": errNext, "no tests": errNil} {
		if !errors.As(err, &opt) {
			t.Errorf("%s: %v, want an *OptionError", name, err)
		}
	}
	none, err := logbook.NewComparisonWith(logbook.CompareOptions{}, &logbook.Tests{})
	if err != nil {
		t.Fatal(err)
	}
	if err := none.Add("Ivo", "push press", logbook.Set{Load: 50, Reps: 5, Count: 1}); err != nil {
		t.Fatal(err)
	}
	if n := none.Counts(); n.Rows != 1 || n.Pairs != 0 {
		t.Errorf("%+v, want a row and no pairs", n)
	}
	if err := none.Add("Ivo", "push press", logbook.Set{}); !errors.Is(err, logbook.ErrClosed) {
		t.Errorf("%v, want ErrClosed", err)
	}
}

// Several goroutines may compare parts with the same tests; the sums are those of one after the other.
func TestCompareWithAtOnce(t *testing.T) {
	tests, err := logbook.CollectTests(zeroReader(logbook.Options{}), logbook.TestedOrSingle)
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	parts, errs := make([]*logbook.Comparison, 4), make([]error, 4)
	for i := range parts {
		wg.Go(func() {
			parts[i], errs[i] = logbook.CompareWith(zeroReader(logbook.Options{}), logbook.CompareOptions{}, tests)
		})
	}
	wg.Wait()
	var all logbook.Comparison
	for i, part := range parts {
		if err := errors.Join(errs[i], all.Merge(part)); err != nil {
			t.Fatal(err)
		}
	}
	if n := all.Counts(); n.Pairs != 8 || n.Rows != 16 {
		t.Errorf("%+v, want 8 pairs of 16 rows", n)
	}
	bad := logbook.NewReader(logbook.Options{}, logbook.Stream("log", strings.NewReader(strings.Replace(zeroLog, "50", "5O", 1))))
	var rows *logbook.BadRowsError
	if _, err := logbook.CompareWith(bad, logbook.CompareOptions{}, tests); !errors.As(err, &rows) {
		t.Errorf("%v, want a *BadRowsError", err)
	}
	var opt *logbook.OptionError
	if _, err := logbook.CompareWith(bad, logbook.CompareOptions{Tests: logbook.TestedOnly}, tests); !errors.As(err, &opt) {
		t.Errorf("%v, want an *OptionError", err)
	}
}
