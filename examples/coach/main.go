// Command coach builds a block in Go, without a file: with a track of its own that climbs like
// stairs, and a check of its own in the review. The club, its lifter and all numbers are invented.
package main

import (
	"fmt"
	"log"
	"os"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/plates"
)

const kg = plates.Kilogram

// stairs is a track that keeps a value for two weeks and then goes up a step.
type stairs struct{ from, step int64 }

// At implements periodize.Track.
func (s stairs) At(week, weeks int) (plates.Ratio, bool) {
	return plates.WholeRatio(s.from + s.step*int64((week-1)/2)), true
}

func work(sets periodize.Track, reps float64, percent periodize.Track) periodize.Work {
	return periodize.Work{Sets: sets, Reps: periodize.Fixed(reps), Weight: periodize.Percent(percent)}
}

var block = &periodize.Block{Title: "Pulls by the canal", Weeks: 6, Focus: []string{"rack pull"},
	Lifts: []periodize.Lift{
		{Name: "rack pull", Pattern: periodize.Hinge, Uses: "bar"}, {Name: "row", Pattern: periodize.PullHorizontal, Uses: "bar"},
		{Name: "lunge", Pattern: periodize.Lunge, Uses: "bar"}, {Name: "push press", Pattern: periodize.PushVertical, Uses: "bar"}},
	Sessions: []periodize.Session{
		{Name: "Tuesday", Work: []periodize.Item{
			{Lift: "rack pull", Work: work(periodize.ByWeek(4, 5, 7, 4, 4, 3), 4, stairs{70, 6})},
			{Lift: "row", Work: work(periodize.ByWeek(3, 4, 5, 3, 3, 3), 8, stairs{60, 3})}}},
		{Name: "Friday", Work: []periodize.Item{
			{Lift: "lunge", Work: work(periodize.ByWeek(3, 3, 4, 3, 3, 2), 6, periodize.Fixed(62.5))},
			{Lift: "push press", Work: work(periodize.ByWeek(3, 4, 5, 4, 3, 2), 4, periodize.Line(70, 82.5))}}}}}

var roster = &periodize.Roster{
	Gyms: []periodize.Gym{{Bars: []periodize.Bar{{Name: "bar", Mass: 20 * kg}}, Plates: must(plates.ParseInventory("20:6, 10:2, 5:2, 2.5:2, 1.25:2", plates.KG))}},
	Lifters: []periodize.Lifter{{Name: "Ngaio", Age: 34, Maxes: []periodize.MaxEntry{
		{Lift: "rack pull", Tested: 160 * kg}, {Lift: "row", Tested: 72 * kg}, {Lift: "lunge", Tested: 80 * kg}, {Lift: "push press", Tested: 58 * kg}}}}}

// busy finds sessions that keep the club's one bar busy with changing plates.
func busy(p *periodize.Plan, _ *periodize.Review) (found []periodize.Finding) {
	for _, s := range p.Sessions {
		if s.Moves > 15 {
			found = append(found, periodize.Finding{
				Where: s.Where(""),
				Text:  fmt.Sprintf("%d plates go on or off each side", s.Moves)})
		}
	}
	return found
}

func must[T any](v T, err error) T {
	if err != nil {
		log.Fatal(err)
	}
	return v
}

func main() {
	prog := must(periodize.Compile(block, roster))
	if err := sheet.Render(must(sheet.New(sheet.Text, os.Stdout, sheet.Options{})), block, prog.Plans()); err != nil {
		log.Fatal(err)
	}
	check := must(periodize.NewCheck(periodize.Rule{Code: "club_busy_bar", Severity: periodize.Note,
		Evidence: "this club's own rule, no published source", Advice: "put lifts of like weight next to one another"}, busy))
	for _, f := range prog.Plan(0).Review(periodize.Thresholds{}, check).Findings {
		fmt.Printf("%s, %s (%s): %s\n", f.Severity, f.Where, f.Code, f.Text)
	}
}
