package sheet_test

import (
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/plates"
)

// smallProgram is a block of two weeks and one lift for two lifters.
func smallProgram() *periodize.Program {
	block := &periodize.Block{
		Title: "Two weeks of front squats",
		Weeks: 2,
		Focus: []string{"front squat"},
		Lifts: []periodize.Lift{{Name: "front squat", Pattern: periodize.Squat, Region: periodize.Lower, Uses: "olympic"}},
		Sessions: []periodize.Session{{Name: "Friday", Work: []periodize.Item{{
			Lift: "front squat",
			Work: periodize.Work{Sets: periodize.ByWeek(4, 5), Reps: periodize.Fixed(5), Weight: periodize.Percent(periodize.Line(70, 75))},
		}}}},
	}
	plate := func(m plates.Mass) plates.Stock {
		return plates.Stock{Plate: plates.Plate{Mass: m, Unit: plates.KG}, Count: 4}
	}
	max := func(m plates.Mass) []periodize.MaxEntry {
		return []periodize.MaxEntry{{Lift: "front squat", Tested: m}}
	}
	roster := &periodize.Roster{
		Gyms: []periodize.Gym{{
			Bars:   []periodize.Bar{{Name: "olympic", Mass: 20 * plates.Kilogram}},
			Plates: plates.Inventory{plate(20 * plates.Kilogram), plate(10 * plates.Kilogram), plate(5 * plates.Kilogram), plate(2500 * plates.Gram), plate(1250 * plates.Gram)},
		}},
		Lifters: []periodize.Lifter{
			{Name: "Ada", Age: 29, Maxes: max(90 * plates.Kilogram)},
			{Name: "Sol", Age: 44, Maxes: max(120 * plates.Kilogram)},
		},
	}
	prog, err := periodize.Compile(block, roster)
	if err != nil {
		panic(err)
	}
	return prog
}

// Plans go through a renderer one by one.
func ExampleRender() {
	prog := smallProgram()
	var out strings.Builder
	r, err := sheet.New(sheet.CSV, &out, sheet.Options{Columns: []string{"lifter", "kind", "set", "reps", "load", "per_side"}, Week: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := sheet.Render(r, prog.Block(), prog.Plans()); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(strings.ReplaceAll(out.String(), "\r\n", "\n")) // lines end in CR LF
	// Output:
	// lifter,kind,set,reps,load,per_side
	// Ada,warmup,1,8,40,10
	// Ada,warmup,2,4,50,10 5
	// Ada,warmup,3,2,60,10 5 5
	// Ada,main,1,5,67.5,10 5 5 2.5 1.25
	// Ada,main,2,5,67.5,10 5 5 2.5 1.25
	// Ada,main,3,5,67.5,10 5 5 2.5 1.25
	// Ada,main,4,5,67.5,10 5 5 2.5 1.25
	// Ada,main,5,5,67.5,10 5 5 2.5 1.25
	// Sol,warmup,1,8,40,10
	// Sol,warmup,2,4,60,20
	// Sol,warmup,3,2,80,20 10
	// Sol,main,1,5,90,20 10 5
	// Sol,main,2,5,90,20 10 5
	// Sol,main,3,5,90,20 10 5
	// Sol,main,4,5,90,20 10 5
	// Sol,main,5,5,90,20 10 5
}

// A table with the weeks as columns.
func ExampleNew() {
	prog := smallProgram()
	r, err := sheet.New(sheet.Text, os.Stdout, sheet.Options{Width: 80, Warnings: "blockwright review"})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := sheet.Render(r, prog.Block(), prog.Plans()); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Ada (29 years)
	// Two weeks of front squats: 2 weeks
	//
	// maximum      kg  working  where from
	// front squat  90       90  tested
	//
	//                 week 1     week 2
	// Friday              kg         kg
	// front squat   4x5 62.5   5x5 67.5
	//   left                         ~5
	// minutes            ~23        ~26
	//
	// left: repetitions in reserve after the last of the sets above, ~ where predicted
	//
	// - Weights are arithmetic from the numbers entered, not medical advice; the
	//   facility's rules and licensed practice come first.
	// - An open health question, or a heart, metabolic or kidney condition: clearance
	//   from a health professional first.
	// - Stop on sharp or joint pain, chest pain, faintness, unusual breathlessness or
	//   numbness. Chest pain or collapse: emergency services.
	// - Collars closed, both ends loaded evenly. When your technique changes, end the
	//   set and lower the weight.
	//
	// Sol (44 years)
	// Two weeks of front squats: 2 weeks
	//
	// maximum       kg  working  where from
	// front squat  120      120  tested
	//
	//               week 1   week 2
	// Friday            kg       kg
	// front squat   4x5 85   5x5 90
	//   left                     ~5
	// minutes          ~23      ~26
	//
	// left: repetitions in reserve after the last of the sets above, ~ where predicted
	//
	// - Weights are arithmetic from the numbers entered, not medical advice; the
	//   facility's rules and licensed practice come first.
	// - An open health question, or a heart, metabolic or kidney condition: clearance
	//   from a health professional first.
	// - Stop on sharp or joint pain, chest pain, faintness, unusual breathlessness or
	//   numbness. Chest pain or collapse: emergency services.
	// - Collars closed, both ends loaded evenly. When your technique changes, end the
	//   set and lower the weight.
	//
	// no warnings
}

func ExampleCautions() {
	prog := smallProgram()
	for _, c := range sheet.Cautions(prog.Plan(0)) {
		fmt.Println(c.ID)
	}
	// Output:
	// not_medical
	// clearance
	// pain
	// technique
}

func ExampleNames() {
	var names sheet.Names
	fmt.Println(names.Name("html", "Autumn press & pull", "Mo O'Hara"))
	fmt.Println(names.Name("html", "Autumn press & pull", "Mo O'Hara"))
	fmt.Println(names.Name("ics", "2027/28", "李娜"))
	// Output:
	// autumn-press-pull-mo-ohara.html
	// autumn-press-pull-mo-ohara-2.html
	// 2027-28-李娜.ics
}

// A calendar needs dates and the moment of its export.
func ExampleDateError() {
	prog := smallProgram() // its roster has no start
	r, err := sheet.New(sheet.Calendar, os.Stderr, sheet.Options{Stamp: time.Date(2027, 9, 1, 12, 0, 0, 0, time.UTC)})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(sheet.Render(r, prog.Block(), prog.Plans()))
	// Output:
	// sheet: the plan of Ada has no dates for a calendar; give the roster a start or a test day
}

// What a plan adds up to, and what to worry about.
func ExampleWriteReview() {
	review := smallProgram().Plan(0).Review(periodize.Thresholds{})
	if err := sheet.WriteReview(os.Stdout, review, sheet.ReviewOptions{Width: 80}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Ada
	//
	// week    sets  reps  tonnage kg  mean %  top %  minutes
	//    1       4    20       1 250    69.4   69.4  23
	//    2       5    25       1 688    75.0   75.0  26
	//
	// volume     ▇▇ ██  up to 5 sets
	// intensity  ▃▃ ██  69.4 to 75.0 % of the maximum on average
	//
	// sets by pattern  wk 1  wk 2
	// squat               4     5
	//
	// sets @ top %    wk 1    wk 2
	// front squat   4 @ 69  5 @ 75
	//
	// 3 notes
	//
	// NOTE  block  (missing_pattern)
	//     there is no hinge: add a set or two if nothing speaks against it
	//     Evidence: common practice, no published source
	//
	// NOTE  block  (missing_pattern)
	//     there is no push: add a set or two if nothing speaks against it
	//     Evidence: common practice, no published source
	//
	// NOTE  block  (missing_pattern)
	//     there is no pull: add a set or two if nothing speaks against it
	//     Evidence: common practice, no published source
}

// Every lifter's weights for another program.
func ExampleWriteWeights() {
	var out strings.Builder
	if err := sheet.WriteWeights(&out, smallProgram(), plates.KG); err != nil {
		fmt.Println(err)
		return
	}
	for i, line := range strings.Split(out.String(), "\r\n") {
		if i < 6 {
			fmt.Println(line)
		}
	}
	// Output:
	// lifter,week,session,exercise,set,reps,load_kg
	// Ada,1,Friday,front squat,1,5,62.5
	// Ada,1,Friday,front squat,2,5,62.5
	// Ada,1,Friday,front squat,3,5,62.5
	// Ada,1,Friday,front squat,4,5,62.5
	// Ada,2,Friday,front squat,1,5,67.5
}
