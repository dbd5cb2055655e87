package blockfile_test

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
)

const ropes = `block: Rope week
weeks: 3
units: kg
lifts:
  row: {pattern: pull-horizontal, uses: straight bar, muscles: {back: 1}}
sessions:
  - name: Only day
    work:
      - {lift: row, sets: [3, 4, 2], reps: 6, percent: {from: 65, to: 75}}
`

func ExampleReadBlock() {
	b, err := blockfile.ReadBlock("ropes.yaml", strings.NewReader(ropes))
	if err != nil {
		fmt.Println(err)
		return
	}
	it := b.Sessions[0].Work[0]
	for week := 1; week <= b.Weeks; week++ {
		sets, _ := it.Sets.At(week, b.Weeks)
		percent, _ := it.Weight.Track.At(week, b.Weeks)
		fmt.Printf("week %d: %v x %s at %v %%\n", week, sets, it.Lift, percent)
	}
	// Output:
	// week 1: 3 x row at 65 %
	// week 2: 4 x row at 70 %
	// week 3: 2 x row at 75 %
}

// Every mistake of a file is found in one run, with its place.
func ExampleErrors() {
	text := strings.NewReplacer("units", "unit", "[3, 4, 2]", "[3, 4.5]", "lift: row", "lift: rwo").Replace(ropes)
	_, err := blockfile.ReadBlock("ropes.yaml", strings.NewReader(text))
	fmt.Println(err)
	var first *blockfile.Error
	if errors.As(err, &first) {
		fmt.Println("the first is in line", first.Pos.Line)
	}
	// Output:
	// ropes.yaml:3:1: unit: unknown key; did you mean "units"?
	// ropes.yaml:9:16: sessions[0].work[0].lift: there is no lift "rwo": did you mean "row"?
	// ropes.yaml:9:27: sessions[0].work[0].sets: want 3 entries, one for each week ("-" where there is none), got 2
	// ropes.yaml:9:31: sessions[0].work[0].sets[1]: want a whole number from 0 to 100, got "4.5"
	// the first is in line 3
}

func ExampleWriteBlockWith() {
	b := &periodize.Block{
		Title: "Rope week",
		Weeks: 3,
		Lifts: []periodize.Lift{{Name: "row", Pattern: periodize.PullHorizontal, Uses: "straight bar"}},
		Sessions: []periodize.Session{{Name: "Only day", Work: []periodize.Item{{
			Lift: "row",
			Work: periodize.Work{
				Sets:   periodize.ByWeek(3, 4, 2),
				Reps:   periodize.Fixed(6),
				Weight: periodize.Percent(periodize.Line(65, 75)),
			},
		}}}},
	}
	reasons := map[string]string{
		"sessions[0].work[0].sets":    "most in week 2, then cut",
		"sessions[0].work[0].percent": "climbs all along",
	}
	err := blockfile.WriteBlockWith(os.Stdout, b, func(path string) string { return reasons[path] })
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// block: Rope week
	// weeks: 3
	// units: kg
	//
	// lifts:
	//   row: {pattern: pull-horizontal, uses: straight bar}
	//
	// sessions:
	//   - name: Only day
	//     work:
	//       - lift: row
	//         sets: [3, 4, 2]  # most in week 2, then cut
	//         reps: 6
	//         percent: {from: 65, to: 75}  # climbs all along
}

func ExampleCheckPair() {
	b, err := blockfile.ReadBlock("ropes.yaml", strings.NewReader(ropes))
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := blockfile.ReadRoster("people.yaml", strings.NewReader(`
gym: {units: kg, bars: {straight-bar: 20}, plates: {20: 2, 10: 2}}
lifters:
  - {name: Imke, maxes: {rows: 60}}
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(blockfile.CheckPair(b, r))
	// Output:
	// people.yaml:2:6: gym: there is no bar or station "straight bar", which "row" uses: did you mean "straight-bar"?
	// people.yaml:4:26: lifters[0].maxes.rows: the block has no lift "rows": did you mean "row"?
}

func ExampleSuggest() {
	fmt.Println(blockfile.Suggest("revew", []string{"plan", "review", "draft"}))
	fmt.Printf("%q\n", blockfile.Suggest("export", []string{"plan", "review", "draft"}))
	// Output:
	// review
	// ""
}

func ExampleReadBrief() {
	b, err := blockfile.ReadBrief("brief.yaml", strings.NewReader(`
brief: Spring pulls
weeks: 5
days: [tue, fri]
focus: [row]
lifts:
  row: {pattern: pull-horizontal, uses: straight bar}
lacking: [upper back]
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range b.Lacking {
		r, _ := l.Remedy()
		fmt.Printf("%s: %v\n", l, r.Patterns)
	}
	// Output:
	// upper back: [pull-horizontal pull-vertical]
}

func ExampleReadGym() {
	gyms, err := blockfile.ReadGym("gym.yaml", strings.NewReader(`
gym: {units: lb, bars: {straight: 45}, plates: {45: 4, 10: 2, "20kg": 2}}
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range gyms[0].Plates {
		fmt.Println(s.Count, "of", s.Plate)
	}
	// Output:
	// 4 of 45lb
	// 2 of 10lb
	// 2 of 20kg
}

// From two files to a lifter's plan.
func ExampleReadRoster() {
	block, err := blockfile.ReadBlock("ropes.yaml", strings.NewReader(ropes))
	if err != nil {
		fmt.Println(err)
		return
	}
	roster, err := blockfile.ReadRoster("people.yaml", strings.NewReader(`
gym: {units: kg, bars: {straight bar: 15}, plates: {10: 4, 5: 2, 2.5: 2, 1.25: 2}}
start: 2028-05-01
lifters:
  - {name: Imke, maxes: {row: 62.5}}
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	prog, err := periodize.Compile(block, roster)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range prog.Plan(0).Sessions {
		sets := s.Exercises[0].Sets
		fmt.Println(s.Date.Format(time.DateOnly), len(sets), "x", sets[0].Reps, "at", sets[0].Load)
	}
	// Output:
	// 2028-05-01 3 x 6 at 40kg
	// 2028-05-08 4 x 6 at 42.5kg
	// 2028-05-15 2 x 6 at 47.5kg
}
