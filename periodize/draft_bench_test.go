package periodize

import (
	"fmt"
	"testing"
	"time"
)

// benchBrief is a brief of some weeks, days and lifts.
func benchBrief(weeks, days, lifts int) *Brief {
	b := &Brief{Title: "bench", Weeks: weeks, Minutes: 75, Focus: []string{"back squat", "flat press"},
		WeeklySets: []SetRange{{"quads", 6, 18}, {"back", 4, 16}}, Lacking: []Lacking{"upper back"}}
	for d := range days {
		b.Days = append(b.Days, time.Weekday((1+2*d)%7))
	}
	for i := range lifts {
		l := yard[i%len(yard)]
		if n := i / len(yard); n > 0 {
			l.Name = fmt.Sprintf("%s %d", l.Name, n+1)
		}
		b.Lifts = append(b.Lifts, l)
	}
	return b
}

// BenchmarkDraft is a whole draft, with review and runners-up, and how it grows
// with weeks, days and lifts to choose from.
func BenchmarkDraft(b *testing.B) {
	for _, size := range [][3]int{{4, 4, 18}, {8, 4, 18}, {12, 4, 18}, {24, 4, 18}, {12, 2, 18}, {12, 6, 18}, {12, 4, 9}, {12, 4, 36}, {12, 4, 72}} {
		b.Run(fmt.Sprintf("weeks=%d/days=%d/lifts=%d", size[0], size[1], size[2]), func(b *testing.B) {
			brief := benchBrief(size[0], size[1], size[2])
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Draft(brief, DraftOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkConflict is finding why a brief cannot be met.
func BenchmarkConflict(b *testing.B) {
	brief := benchBrief(12, 4, 18)
	brief.Minutes = 12
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Draft(brief, DraftOptions{}); err == nil {
			b.Fatal("it drafts")
		}
	}
}

// BenchmarkFit fits a draft to one lifter after the other.
func BenchmarkFit(b *testing.B) {
	d, err := Draft(benchBrief(12, 4, 18), DraftOptions{})
	if err != nil {
		b.Fatal(err)
	}
	r := fitRoster(d.Block)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Fit(d.Block, r, FitOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
