package periodize

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/plates"
)

// oddBrief draws a brief of any kind, most of them unlikely.
func oddBrief(r *rand.Rand) *Brief {
	b := &Brief{Title: "odd", Weeks: 1 + r.IntN(14), Level: Levels()[r.IntN(3)], Goal: Goals()[r.IntN(2)]}
	for _, d := range r.Perm(7)[:1+r.IntN(7)] {
		b.Days = append(b.Days, time.Weekday(d))
	}
	for _, i := range r.Perm(len(yard))[:1+r.IntN(len(yard))] {
		l := yard[i]
		if l.Max != nil && r.IntN(2) == 0 || l.Max != nil && !slices.ContainsFunc(b.Lifts, func(o Lift) bool { return o.Name == l.Max.Of }) {
			l.Max = nil
		}
		if r.IntN(5) == 0 {
			l.Muscles = nil
		}
		if r.IntN(8) == 0 {
			l.Uses = ""
		}
		if r.IntN(8) == 0 {
			l.Curve = "leg press"
		}
		if r.IntN(8) == 0 {
			l.Tempo = float64(1 + r.IntN(9))
		}
		b.Lifts = append(b.Lifts, l)
	}
	some := func(most int) []string {
		var out []string
		for _, i := range r.Perm(len(b.Lifts))[:min(r.IntN(most+1), len(b.Lifts))] {
			out = append(out, b.Lifts[i].Name)
		}
		return out
	}
	b.Focus = append(some(2), b.Lifts[0].Name)
	slices.Sort(b.Focus)
	b.Focus = slices.Compact(b.Focus)
	if r.IntN(2) == 0 {
		b.Keep = some(4)
	}
	if r.IntN(3) == 0 {
		b.Avoid = some(2)
	}
	if r.IntN(2) == 0 {
		b.Minutes = 10 + r.IntN(110)
	}
	for range r.IntN(3) {
		b.Lacking = append(b.Lacking, Lackings()[r.IntN(len(Lackings()))])
	}
	for _, m := range r.Perm(len(muscles))[:r.IntN(4)] {
		low := r.IntN(12)
		b.WeeklySets = append(b.WeeklySets, SetRange{muscles[m], low, low + r.IntN(20)})
	}
	if b.Weeks > 1 && r.IntN(2) == 0 {
		b.Overreach = &Overreach{Week: 2 + r.IntN(b.Weeks-1), Rise: ratio(int64(1+r.IntN(120)), 1)}
	}
	if r.IntN(3) == 0 {
		b.Heavy = &HeavySets{Reps: [2]int{1 + r.IntN(12), 1 + r.IntN(12)},
			RIR: [2]plates.Ratio{ratio(int64(r.IntN(21)), 2), ratio(int64(r.IntN(31)), 3)}}
	}
	if r.IntN(3) == 0 {
		low := r.IntN(16)
		b.Reserve = &ReserveSpan{ratio(int64(low), 2), ratio(int64(low+r.IntN(12)), 2)}
	}
	return b
}

// TestOddBriefs: any brief either drafts, with its wishes met and no problem
// in the review, or is refused with an error of a kind that says so.
func TestOddBriefs(t *testing.T) {
	n := 40
	if testing.Short() {
		n = 12
	}
	r := rand.New(rand.NewPCG(5, 5))
	drafted := 0
	for i := range n {
		b := oddBrief(r)
		d, err := Draft(b, DraftOptions{RunnersUp: -1})
		var wrong Errors
		var bad *InfeasibleError
		switch {
		case err == nil:
			drafted++
			for _, f := range d.Review.Findings {
				if f.Severity == Problem {
					t.Errorf("brief %d: %s: %s", i, f.Where, f.Text)
				}
			}
			for _, w := range unmet(b, d.Block) {
				if len(w) < 8 || w[:8] != "warning:" {
					t.Errorf("brief %d: %s", i, w)
				}
			}
			again, err := Draft(b, DraftOptions{RunnersUp: -1})
			if err != nil || again.Score.Weeks != d.Score.Weeks || !slices.Equal(again.Shape.Sets, d.Shape.Sets) {
				t.Errorf("brief %d drafts differently the second time: %v", i, err)
			}
		case !errors.As(err, &wrong) && !errors.As(err, &bad):
			t.Errorf("brief %d: %v", i, err)
		}
	}
	if drafted < n/10 {
		t.Errorf("only %d of %d drafted", drafted, n)
	}
	t.Logf("%d of %d drafted", drafted, n)
}

// Every reason stands beside the item that it is for, days without work in between or not.
func TestReasonsBesideTheirItems(t *testing.T) {
	b := &Brief{
		Title: "One lift, seven days", Weeks: 2, Focus: []string{"squat.low"},
		Days: []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday, time.Saturday, time.Sunday},
		Lifts: []Lift{
			{Name: "squat.low", Pattern: Squat, Uses: "bar", Muscles: []Share{{Muscle: "quads", Part: 1}}},
		},
		WeeklySets: []SetRange{{Muscle: "quads", Low: 1, High: 3}},
	}
	d, err := Draft(b, DraftOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Block.Sessions) == len(b.Days) {
		t.Fatal("no day is empty: the test tells nothing")
	}
	named := map[string]int{}
	for _, r := range d.Reasons {
		named[r.Path]++
	}
	items := 0
	for i, s := range d.Block.Sessions {
		for k := range s.Work {
			items++
			if path := fmt.Sprintf("sessions[%d].work[%d].lift", i, k); named[path] != 1 {
				t.Errorf("%d reasons for %s", named[path], path)
			}
		}
	}
	for path := range named {
		if strings.HasSuffix(path, ".lift") {
			items--
		}
	}
	if items != 0 {
		t.Errorf("%d more items than reasons for their lifts", items)
	}
	if got := liftPath("squat.low"); got != `lifts["squat.low"]` {
		t.Errorf("path %s", got)
	}
}
