package periodize_test

import (
	"errors"
	"fmt"
	"log"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

const kg = plates.Kilogram

// wall is seven invented weeks with a pull and a press in front: sets climb to
// week 4 and are cut, weight climbs to week 6.
func wall() *periodize.Block {
	tuesday, friday := time.Tuesday, time.Friday
	return &periodize.Block{
		Title: "Harbour wall", Weeks: 7, Focus: []string{"block pull", "strict press"},
		Lifts: []periodize.Lift{
			{Name: "block pull", Pattern: periodize.Hinge, Uses: "bar"},
			{Name: "strict press", Pattern: periodize.PushVertical, Uses: "bar"},
		},
		Sessions: []periodize.Session{
			{Name: "Tuesday", Day: &tuesday, Work: []periodize.Item{{
				Lift: "block pull",
				Work: periodize.Work{
					Sets:   periodize.ByWeek(4, 5, 6, 7, 5, 4, 2),
					Reps:   periodize.ByWeek(6, 6, 5, 5, 4, 2, 3),
					Weight: periodize.Percent(periodize.ByWeek(64, 68, 71, 75, 82, 89, 80)),
				},
			}}},
			{Name: "Friday", Day: &friday, Work: []periodize.Item{{
				Lift: "strict press",
				Work: periodize.Work{Reps: periodize.Fixed(5), Weight: periodize.RIR(periodize.Line(3, 1))},
				Backoff: &periodize.Backoff{
					Sets: periodize.ByWeek(2, 3, 3, 4, 2, 2, 1), Reps: periodize.Fixed(5), Drop: periodize.Fixed(10)},
			}}},
		},
	}
}

// crew does it: one lifter with tested maxima, one whose press is estimated from a set.
func crew() *periodize.Roster {
	return &periodize.Roster{
		Start: time.Date(2028, 2, 7, 0, 0, 0, 0, time.UTC),
		Gyms: []periodize.Gym{{
			Bars: []periodize.Bar{{Name: "bar", Mass: 20 * kg}},
			Plates: plates.Inventory{
				{Plate: plates.Plate{Mass: 20 * kg}, Count: 8}, {Plate: plates.Plate{Mass: 10 * kg}, Count: 2},
				{Plate: plates.Plate{Mass: 5 * kg}, Count: 2}, {Plate: plates.Plate{Mass: 2500 * plates.Gram}, Count: 2},
			},
		}},
		Lifters: []periodize.Lifter{
			{Name: "Marit", Maxes: []periodize.MaxEntry{
				{Lift: "block pull", Tested: 150 * kg}, {Lift: "strict press", Tested: 52 * kg}}},
			{Name: "Dov", Level: periodize.Novice, Recent: &periodize.Recent{WeeklySets: new(4)}, Maxes: []periodize.MaxEntry{
				{Lift: "block pull", Tested: 110 * kg},
				{Lift: "strict press", Sets: []periodize.DoneSet{{Load: 40 * kg, Reps: 6}}}}},
		},
	}
}

// plan is Marit's.
func plan() *periodize.Plan {
	prog, err := periodize.Compile(wall(), crew())
	if err != nil {
		log.Fatal(err)
	}
	return prog.Plan(0)
}

// A program gives each lifter's plan on demand.
func ExampleCompile() {
	prog, err := periodize.Compile(wall(), crew())
	if err != nil {
		fmt.Println(err)
		return
	}
	for p := range prog.Plans() {
		fmt.Printf("%s, maxima:", p.Lifter.Name)
		for _, m := range p.Maxes {
			fmt.Printf(" %s %v (%s)", m.Lift, m.Working, m.From)
		}
		fmt.Println()
		for _, s := range p.Sessions[10:12] { // week 6
			for _, ex := range s.Exercises {
				first := ex.Sets[0]
				fmt.Printf("%s, %s: %d x %d at %v, a side %v\n", s.Date.Format("Mon 2 Jan"), ex.Lift.Name, len(ex.Sets), first.Reps, first.Load, first.Side)
			}
		}
	}
	// Output:
	// Marit, maxima: block pull 150kg (tested) strict press 52kg (tested)
	// Tue 14 Mar, block pull: 4 x 2 at 135kg, a side [20kg 20kg 10kg 5kg 2.5kg]
	// Fri 17 Mar, strict press: 3 x 5 at 45kg, a side [10kg 2.5kg]
	// Dov, maxima: block pull 110kg (tested) strict press 47.5kg (estimated from 40 kg x 6)
	// Tue 14 Mar, block pull: 4 x 2 at 100kg, a side [20kg 20kg]
	// Fri 17 Mar, strict press: 3 x 5 at 40kg, a side [10kg]
}

// Everything that is wrong comes at once, and maxima that are missing come as a
// part of a roster to fill in.
func ExampleMissingMaxError() {
	block, roster := wall(), crew()
	block.Lifts[1].Uses = "axle"
	roster.Lifters[1].Maxes = nil
	_, err := periodize.Compile(block, roster)
	fmt.Println(err)
	var missing *periodize.MissingMaxError
	if errors.As(err, &missing) {
		fmt.Print(missing.Stub())
	}
	// Output:
	// periodize: strict press: the gym has no bar or station "axle"; it has bar
	// periodize: Dov has no maximum for "block pull"
	// three ways to give one: a set (load, reps, rir), a tested maximum, or `max: {of: another lift, percent: 80}` with the lift in the block
	//   - name: Dov
	//     maxes:
	//       block pull: {load: LOAD, reps: REPS, rir: RIR}
}

// swing is a track of a program's own: up a step in odd weeks, back in even ones.
type swing struct{ low, high int64 }

func (s swing) At(week, weeks int) (plates.Ratio, bool) {
	if week%2 == 1 {
		return plates.WholeRatio(s.low), true
	}
	return plates.WholeRatio(s.high), true
}

// A track is whatever has a value for each week.
func ExampleTrack() {
	block := wall()
	block.Sessions[0].Work[0].Weight = periodize.Percent(swing{65, 75})
	prog, err := periodize.Compile(block, crew())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range prog.Plan(0).Sessions {
		if s.Name == "Tuesday" {
			fmt.Print(s.Exercises[0].Sets[0].Load, " ")
		}
	}
	// Output:
	// 95kg 110kg 95kg 110kg 95kg 110kg 95kg
}

// What everybody does alike is priced in bulk.
func ExampleProgram_Grid() {
	block := wall()
	block.Sessions = block.Sessions[:1] // the other one goes by the reserve
	block.Focus, block.Lifts = block.Focus[:1], block.Lifts[:1]
	prog, err := periodize.Compile(block, crew())
	if err != nil {
		fmt.Println(err)
		return
	}
	grid, err := prog.Grid()
	if err != nil {
		fmt.Println(err)
		return
	}
	var weights []plates.Mass
	for i := range grid.Lifters() {
		weights = grid.Price(i, weights)
		fmt.Print(grid.Name(i), ":")
		for _, row := range grid.Rows {
			if row.Set == 1 {
				fmt.Print(" ", weights[row.At])
			}
		}
		fmt.Println()
	}
	// Output:
	// Marit: 95kg 100kg 105kg 110kg 125kg 135kg 120kg
	// Dov: 70kg 75kg 80kg 80kg 90kg 100kg 90kg
}

func ExamplePlan_Review() {
	r := plan().Review(periodize.Thresholds{})
	for _, w := range r.Weeks[2:5] {
		fmt.Printf("week %d: %d sets, %d repetitions, %.0f %s, mean %.1f %%\n", w.Week, w.Sets, w.Reps, w.Tonnage, r.Unit, w.MeanIntensity)
	}
	for _, f := range r.Findings {
		fmt.Printf("%s, %s (%s): %s\n", f.Severity, f.Where, f.Code, f.Text)
	}
	// Output:
	// week 3: 10 sets, 50 repetitions, 3975 kg, mean 73.7 %
	// week 4: 12 sets, 60 repetitions, 4875 kg, mean 75.6 %
	// week 5: 8 sets, 35 repetitions, 3125 kg, mean 82.0 %
	// note, week 7, block pull (weight_falls): the heaviest set is at 80% after 90% the week before: let the weight climb throughout
	// note, week 7, block pull (heavy_reps_rise): the heaviest set has 3 repetitions after 2 the week before: let them come down, with one step back up in the overreach at most
	// note, block (missing_pattern): there is no squat or lunge: add a set or two if nothing speaks against it
	// note, block (missing_pattern): there is no pull: add a set or two if nothing speaks against it
	// note, week 1, Friday, strict press (rounding_moved): 2 sets were moved by up to 3.7%: smaller plates, or another rounding
}

// The table of what a review looks for, with the evidence of each.
func ExampleRules() {
	for _, r := range periodize.Rules() {
		if r.Code == "small_step_down" {
			fmt.Printf("%s (%s): %s\n", r.Code, r.Severity, r.About)
			fmt.Println("default:", r.Default)
			fmt.Println("evidence:", r.Evidence)
			fmt.Println("advice:", r.Advice)
		}
	}
	// Output:
	// small_step_down (warning): too small a cut before the end to recover
	// default: the last week, or the deload, at least 30 % under the largest
	// evidence: strength tapers cut 41 to 59 % (Pritchard 2016, Grgic and Mikulic 2017, Travis 2021, looked-up); threshold common practice, no published source
	// advice: cut more sets, keep the weight
}

// A check of a coach's own: no work on the days of the harbour's market.
func ExampleNewCheck() {
	market := time.Date(2028, 2, 18, 0, 0, 0, 0, time.UTC)
	check, err := periodize.NewCheck(periodize.Rule{
		Code: "harbour_market", Severity: periodize.Problem,
		Evidence: "the market has the hall", Advice: "train the day before",
	}, func(p *periodize.Plan, r *periodize.Review) (found []periodize.Finding) {
		for _, s := range p.Sessions {
			if s.Date.Equal(market) {
				found = append(found, periodize.Finding{
					Where: s.Where(""),
					Text:  "there is no hall on " + s.Date.Format(time.DateOnly)})
			}
		}
		return found
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	f := plan().Review(periodize.Thresholds{}, check).Findings[0]
	fmt.Printf("%s, %s (%s): %s\n", f.Severity, f.Where, f.Code, f.Text)

	_, err = periodize.NewCheck(periodize.Rule{Code: "over_time"}, nil)
	fmt.Println(err)
	// Output:
	// problem, week 2, Friday (harbour_market): there is no hall on 2028-02-18: train the day before
	// periodize: check "over_time": the table of rules has this code: want another, such as club_over_time
}

// A block without lifters has sets and shares of a maximum, and no masses.
func ExampleReviewBlock() {
	block := wall()
	block.Sessions[0].Work[0].Sets = periodize.ByWeek(4, 9, 9, 9, 9, 9, 9)
	r, err := periodize.ReviewBlock(block, periodize.Thresholds{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range r.Findings {
		if f.Severity != periodize.Note {
			fmt.Printf("%s, %s (%s): %s\n", f.Severity, f.Where, f.Code, f.Text)
		}
	}
	// Output:
	// warning, week 2, block pull (jump_lift): 9 sets after 4 the week before: spread the rise over more weeks
	// warning, week 2, hinge (jump_pattern): 9 sets after 4 the week before: spread the rise over more weeks
	// warning, week 5 (no_cut): 12 sets after 14 in the largest week: cut the sets at once after the overreach
}

func ExamplePlan_Daily() {
	d, err := plan().Daily(periodize.DailyOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for day := 22; day <= 28; day++ {
		fmt.Printf("%s %.1f\n", d.Date(day).Format("Mon 2 Jan"), d.Load[day-1])
	}
	fmt.Println(d.Unit, "-", d.Method)
	// Output:
	// Mon 28 Feb 0.0
	// Tue 29 Feb 25.7
	// Wed 1 Mar 0.0
	// Thu 2 Mar 0.0
	// Fri 3 Mar 19.7
	// Sat 4 Mar 0.0
	// Sun 5 Mar 0.0
	// repetitions at the maximum - relative volume load: the sum of repetitions times load/maximum over the day's working sets; days without training are 0
}

func ExamplePlan_Forecast() {
	f, err := plan().Forecast(periodize.ForecastOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Freshest.Agreement())
	last := f.Date(len(f.Daily.Load))
	band, _ := f.On(len(f.Daily.Load))
	fmt.Printf("last session, %s: freshness %.2f (%.2f to %.2f)\n", last.Format(time.DateOnly), band.Mid, band.Low, band.High)
	fmt.Println("assumed before:", f.Assumed)
	fmt.Println(len(f.Caveats), "caveats to print beside it:", f.Caveats[0])
	// Output:
	// 9 of 13 assumed parameter sets (69 %) have their freshest day within 3 days of day 58; over all of them it is day 40 to 61
	// last session, 2028-03-24: freshness 0.85 (0.58 to 0.97)
	// assumed before: the first week's load, done for a long time
	// 4 caveats to print beside it: The plain fitness-fatigue model is linear in every load, so its optimum is all-or-nothing: full load, then none for the last days. That is a defect of the model, not advice, and no optimal load is offered.
}

// Two plans of one lifter, compared on the last day: as written, and with two
// lighter weeks at the end.
func ExamplePlan_ForecastWith() {
	lighter := wall()
	lighter.Sessions[0].Work[0].Sets = periodize.ByWeek(4, 5, 6, 7, 5, 2, 1)
	prog, err := periodize.Compile(lighter, crew())
	if err != nil {
		fmt.Println(err)
		return
	}
	pair, err := plan().ForecastWith(prog.Plan(0), 47, periodize.ForecastOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	c := pair.Comparison
	fmt.Printf("on %s as written is ahead in %d parameter sets, lighter in %d\n", pair.A.Date(pair.On).Format(time.DateOnly), c.AheadA, c.AheadB)
	fmt.Println(c.Caveats[0])
	// Output:
	// on 2028-03-24 as written is ahead in 3 parameter sets, lighter in 10
	// The plain fitness-fatigue model is linear in every load, so its optimum is all-or-nothing: full load, then none for the last days. That is a defect of the model, not advice, and no optimal load is offered.
}

func ExamplePlan_TaperReview() {
	meet := time.Date(2028, 3, 26, 0, 0, 0, 0, time.UTC)
	t, err := plan().TaperReview(meet, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d days: sets cut by %.0f %% on average, %.0f %% in the last week\n", t.Days, 100*t.MeanCut, 100*t.FinalCut)
	for _, l := range t.Lifts {
		fmt.Printf("%s: last heavy %d days out, last %d days out\n", l.Lift, l.HeavyOut, l.LastOut)
		for _, f := range l.Findings {
			fmt.Println(" ", f.Text)
		}
	}
	// Output:
	// 14 days: sets cut by 31 % on average, 50 % in the last week
	// block pull: last heavy 12 days out, last 5 days out
	//   block pull, timed as deadlift: the last heavy session for the deadlift is 12 days out; usual is 7 to 10 days out
	//   block pull, timed as deadlift: the last session for the deadlift is 5 days out; usual is 2 to 4 days out
	// strict press: last heavy 2 days out, last 2 days out
	//   strict press, timed as general: the last heavy session for the lift is 2 days out; usual is 7 to 10 days out
}

// What each lifter needs changed of a block, and why. Dov has no maximum for the
// block pull, and trained little before.
func ExampleFit() {
	block, roster := wall(), crew()
	block.Lifts = append(block.Lifts, periodize.Lift{Name: "rack pull", Pattern: periodize.Hinge, Uses: "bar"})
	roster.Lifters[1].Maxes[0].Lift = "rack pull"
	fitted, err := periodize.Fit(block, roster, periodize.FitOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range fitted {
		fmt.Printf("%s: %d changes\n", f.Lifter.Name, len(f.Changes))
		for _, c := range f.Changes {
			fmt.Printf("  %s, %s to %s: %s\n", c.What, c.Was, c.Now, c.Why)
		}
	}
	// Output:
	// Marit: 0 changes
	// Dov: 2 changes
	//   swap, block pull to rack pull: Dov has no maximum or equipment for block pull; rack pull is of the same pattern
	//   volume, 100% to 80%: fewer sets leave more in reserve at their end
}

// The tracks that block files have, too.
func ExampleCrest() {
	for _, t := range []periodize.Track{
		periodize.Fixed(3), periodize.ByWeek(3, 4, 5, 2), periodize.Line(70, 79), periodize.Crest(3, 5, 3, 2),
	} {
		var values [4]plates.Ratio
		for i := range values {
			values[i], _ = t.At(i+1, len(values))
		}
		fmt.Println(values)
	}
	// Output:
	// [3 3 3 3]
	// [3 4 5 2]
	// [70 73 76 79]
	// [3 4 5 2]
}
