package sheet

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

func TestWriteReview(t *testing.T) {
	p := weightsProgram(t, 1).Plan(0)
	var b bytes.Buffer
	if err := WriteReview(&b, p.Review(periodize.Thresholds{}), ReviewOptions{}); err != nil {
		t.Fatal(err)
	}
	// Week 1 by hand: 4 x 6 at 52.5 kg, 1 x 3 at 30 and 3 x 6 at 27.5 (12 % under
	// the exact 30 kg is 26.4, nearest 27.5): 1,260 + 90 + 495 = 1,845 kg; shares of
	// 80 and 40 kg 24 x 0.65625 + 3 x 0.75 + 18 x 0.6875 = 30.375, over 45 0.675.
	for _, s := range []string{"lifter 1\n", "   1       8    45       1 845    67.5   75.0", "volume     ", "sets by pattern", "pull, from the floor"} {
		if !strings.Contains(b.String(), s) {
			t.Errorf("the review lacks %q:\n%s", s, b.String())
		}
	}
	for line := range strings.Lines(b.String()) {
		if strings.HasSuffix(line, " \n") {
			t.Errorf("a line ends in a blank: %q", line)
		}
	}
}

// The week table says how sets count whose weight is found on the day.
func TestReviewOfOpenSets(t *testing.T) {
	for _, c := range []struct {
		of   periodize.Totals
		want string
	}{
		{periodize.Totals{Sets: 3, Reps: 3, Tonnage: 300}, ""},
		{periodize.Totals{Sets: 3, Reps: 3, Tonnage: 300, Expected: 1}, "Counted in tonnage, mean % and top %, 1 set whose weight is found on the day with the middle of\nwhat is expected.\n"},
		{periodize.Totals{Sets: 3, Reps: 3, Unknown: 2}, "Counted in sets and reps alone, 2 sets whose weight is found on the day with nothing to expect.\n"},
	} {
		r := &periodize.Review{Weeks: []periodize.WeekReview{{Week: 1, Totals: c.of}}}
		var b bytes.Buffer
		if err := WriteReview(&b, r, ReviewOptions{}); err != nil {
			t.Fatal(err)
		}
		if c.want == "" && strings.Contains(b.String(), "Counted") || !strings.Contains(b.String(), c.want) {
			t.Errorf("%+v: want %q in\n%s", c.of, c.want, b.String())
		}
	}
}

func TestReviewJSON(t *testing.T) {
	prog := weightsProgram(t, 3)
	alone, err := periodize.ReviewBlock(prog.Block(), periodize.Thresholds{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	j, err := NewReviewJSON(&b, alone)
	if err != nil {
		t.Fatal(err)
	}
	var reviews []*periodize.Review
	for p := range prog.Plans() {
		reviews = append(reviews, p.Review(periodize.Thresholds{}))
		if err := j.Lifter(reviews[len(reviews)-1]); err != nil {
			t.Fatal(err)
		}
	}
	if err := j.End(); err != nil {
		t.Fatal(err)
	}
	type week struct {
		Week          int
		Sets, Reps    int
		Tonnage       *float64
		MeanIntensity float64            `json:"mean_intensity"`
		HardSets      map[string]float64 `json:"hard_sets"`
	}
	var doc struct {
		Unit    string
		Weeks   []week
		Lifters []struct {
			Name     string
			Weeks    []week
			ByLift   map[string][]week `json:"by_lift"`
			Findings []struct{ Code, Severity, Where, Text, Evidence string }
		}
	}
	if err := json.Unmarshal(b.Bytes(), &doc); err != nil {
		t.Fatalf("%v\n%s", err, b.String())
	}
	if doc.Unit != "kg" || len(doc.Weeks) != 6 || doc.Weeks[0].Tonnage != nil || len(doc.Lifters) != 3 {
		t.Fatalf("unit %q, %d weeks, %d lifters; tonnage of a block by itself must be null", doc.Unit, len(doc.Weeks), len(doc.Lifters))
	}
	for i, l := range doc.Lifters {
		r := reviews[i]
		if l.Name != r.Name || len(l.Findings) != len(r.Findings) {
			t.Errorf("lifter %d: %s with %d findings, want %s with %d", i, l.Name, len(l.Findings), r.Name, len(r.Findings))
		}
		for k, w := range l.Weeks {
			if want := r.Weeks[k]; w.Sets != want.Sets || w.Reps != want.Reps || *w.Tonnage != want.Tonnage || w.MeanIntensity != want.MeanIntensity {
				t.Errorf("%s, week %d: %+v, want %+v", l.Name, k+1, w, want.Totals)
			}
		}
		if n := len(l.ByLift["press"]); n != 6 {
			t.Errorf("%s: press has %d weeks", l.Name, n)
		}
	}
}

// TestReviewsStream holds memory against the number of lifters: what lives after
// the last review is what lived after an early one.
func TestReviewsStream(t *testing.T) {
	prog := weightsProgram(t, 1000)
	alone, err := periodize.ReviewBlock(prog.Block(), periodize.Thresholds{})
	if err != nil {
		t.Fatal(err)
	}
	j, err := NewReviewJSON(io.Discard, alone)
	if err != nil {
		t.Fatal(err)
	}
	live := func() uint64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	var early uint64
	n := 0
	for p := range prog.Plans() {
		if err := j.Lifter(p.Review(periodize.Thresholds{})); err != nil {
			t.Fatal(err)
		}
		if n++; n == 100 {
			early = live()
		}
	}
	if late := live(); late > early+1<<20 {
		t.Errorf("%d bytes live after 100 lifters, %d after %d", early, late, n)
	}
}

func TestWriteComparison(t *testing.T) {
	b := weightsProgram(t, 1).Block()
	a, err := periodize.ReviewBlock(b, periodize.Thresholds{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := WriteComparison(&out, "one", a, "the same", a); err != nil {
		t.Fatal(err)
	}
	for _, s := range []string{"A  one\nB  the same\n", "   1       8  8      45  45 ", "only A: no findings", "only B: no findings"} {
		if !strings.Contains(out.String(), s) {
			t.Errorf("the comparison lacks %q:\n%s", s, out.String())
		}
	}
	open := *a
	open.Weeks = slices.Clone(a.Weeks)
	open.Weeks[0].Expected = 2
	out.Reset()
	if err := WriteComparison(&out, "one", a, "with open sets", &open); err != nil {
		t.Fatal(err)
	}
	if want := "B: Counted in mean % and top %, 2 sets whose weight is found on the day"; !strings.Contains(out.String(), want) || strings.Contains(out.String(), "A: Counted") {
		t.Errorf("the comparison lacks %q:\n%s", want, out.String())
	}
}

func BenchmarkReview(b *testing.B) {
	prog := weightsProgram(b, 1)
	p := prog.Plan(0)
	b.ReportAllocs()
	for b.Loop() {
		if len(AppendReview(nil, p.Review(periodize.Thresholds{}))) == 0 {
			b.Fatal(fmt.Errorf("nothing"))
		}
	}
}

// TestReviewJSONHasOneUnit: 1 lb is 0.45359237 kg exactly, so 1,000 kg lifted are
// 2,204.62262184877 lb.
func TestReviewJSONHasOneUnit(t *testing.T) {
	r := &periodize.Review{Name: "Ada", Unit: plates.KG,
		Weeks: []periodize.WeekReview{{Week: 1, Totals: periodize.Totals{Sets: 1, Reps: 10, Tonnage: 1000}}},
		Lifts: []periodize.LiftReview{{Lift: "pull", Weeks: []periodize.LiftWeek{{Week: 1, Totals: periodize.Totals{Tonnage: 1000}}}}}}
	var b bytes.Buffer
	j, err := NewReviewJSON(&b, &periodize.Review{Unit: plates.LB, Nominal: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := j.Lifter(r); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(b.String(), `"tonnage": 2204.6226`); n != 2 || !strings.HasPrefix(b.String(), `{"unit": "lb"`) {
		t.Errorf("%d tonnages in pounds, want 2:\n%s", n, b.String())
	}
	if r.Weeks[0].Tonnage != 1000 || r.Lifts[0].Weeks[0].Tonnage != 1000 {
		t.Error("the review itself was changed")
	}
}
