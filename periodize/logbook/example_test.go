package logbook_test

import (
	"encoding/json"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/blockwright/blockwright/examples/logs/invent"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/plates"
)

func ExampleReader_Rows() {
	file := `date;lifter;lift;load;reps;rir
2027-09-06;Oona;push press;42,5;5;2
2027-09-06;Oona;push press;4O;5;1
`
	r := logbook.NewReader(logbook.Options{}, logbook.Stream("log.csv", strings.NewReader(file)))
	for row, err := range r.Rows() {
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(row.Date().Format(time.DateOnly), row.Lifter, row.Lift, row.Load, "x", row.Reps)
	}
	rep := r.Report()
	fmt.Println(rep.Rows, "row,", rep.Bad, "bad")
	for _, n := range rep.Notices {
		fmt.Println(n.Text)
	}
	// Output:
	// 2027-09-06 Oona push press 42.5 x 5
	// log.csv:3:28: load: want a load from 0 to 5000 kg, a plain number such as 142.5, got "4O"
	// 1 row, 1 bad
	// columns are separated by semicolons
	// commas are read as decimal signs
}

func ExampleReader_Batches() {
	var file strings.Builder
	invent.Write(&file, invent.Options{Rows: 2000, Seed: 1})
	tonnage := map[string]float64{}
	for b, err := range logbook.NewReader(logbook.Options{}, logbook.Stream("log", strings.NewReader(file.String()))).Batches() {
		if err != nil {
			log.Fatal(err)
		}
		for i := range b.Sets {
			s := &b.Sets[i]
			tonnage[b.Lifter(s.Lifter)] += s.Load * float64(s.Reps) * float64(s.Count)
		}
	}
	fmt.Printf("%d lifters, Bram moved %.0f kg\n", len(tonnage), tonnage["Bram"])
	// Output: 4 lifters, Bram moved 104325 kg
}

func ExampleCompare() {
	var file strings.Builder
	invent.Write(&file, invent.Options{Rows: 20_000, Seed: 1})
	r := logbook.NewReader(logbook.Options{}, logbook.Stream("invented", strings.NewReader(file.String())))
	methods, err := logbook.Published("epley", "brzycki", "lombardi")
	if err != nil {
		log.Fatal(err)
	}
	c, err := logbook.Compare(r, logbook.CompareOptions{Methods: methods})
	if err != nil {
		log.Fatal(err)
	}
	res, err := c.Result(logbook.ResultOptions{})
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range res.All.Methods {
		fmt.Printf("%-8s bias %5.2f (%5.2f to %5.2f), mean absolute error %.2f kg\n", m.ID, m.Bias, m.BiasBoot.Low, m.BiasBoot.High, m.MAE)
	}
	fmt.Printf("%d sets against tests, %d lifters\n", res.All.Pairs, res.Lifters)
	for _, d := range res.Paired {
		fmt.Printf("%s less %s: %.2f (%.2f to %.2f), told apart: %v\n", d.A, d.B, d.MAE, d.Interval.Low, d.Interval.High, d.Told())
	}
	for _, w := range res.Warnings {
		fmt.Println(w.Text)
	}
	// Output:
	// epley    bias  2.17 ( 0.31 to  4.58), mean absolute error 3.75 kg
	// brzycki  bias  1.06 (-0.75 to  3.36), mean absolute error 3.89 kg
	// lombardi bias -0.18 (-1.83 to  1.80), mean absolute error 3.62 kg
	// 3456 sets against tests, 8 lifters
	// epley less brzycki: -0.14 (-0.49 to 0.35), told apart: false
	// epley less lombardi: 0.12 (-0.79 to 1.21), told apart: false
	// brzycki less lombardi: 0.26 (-0.39 to 0.92), told apart: false
	// intervals over 8 lifters are too narrow as a rule; ten or more are wanted (common practice, no published source)
}

// The parts of a log lie in several files, as they might on several machines. Each step of a round
// sees one file; what goes between the steps is JSON.
func ExampleComparison_Merge() {
	dir, err := os.MkdirTemp("", "parts")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	var files []string
	for i := range 3 {
		files = append(files, filepath.Join(dir, fmt.Sprintf("part%d.csv", i)))
		f, err := os.Create(files[i])
		if err != nil {
			log.Fatal(err)
		}
		// Whole logs here; rows of one lifter may be in several files just as well.
		if err := invent.Write(f, invent.Options{Rows: 5000, Seed: uint64(i + 1)}); err != nil {
			log.Fatal(err)
		}
		f.Close()
	}
	read := func(file string) *logbook.Reader { return logbook.NewReader(logbook.Options{}, logbook.File(file)) }

	// Round one, map: the tests of each part. Combine: all of them.
	tests := logbook.NewTests(logbook.TestedOrSingle)
	for _, file := range files {
		part, err := logbook.CollectTests(read(file), logbook.TestedOrSingle)
		if err != nil {
			log.Fatal(err)
		}
		sent, _ := json.Marshal(part)
		var got logbook.Tests
		if err := json.Unmarshal(sent, &got); err != nil {
			log.Fatal(err)
		}
		if err := tests.Merge(&got); err != nil {
			log.Fatal(err)
		}
	}

	// Round two, map: the sums of each part, against all tests. Combine: all sums.
	var all logbook.Comparison
	for _, file := range files {
		part, err := logbook.CompareWith(read(file), logbook.CompareOptions{}, tests)
		if err != nil {
			log.Fatal(err)
		}
		sent, _ := json.Marshal(part)
		var got logbook.Comparison
		if err := json.Unmarshal(sent, &got); err != nil {
			log.Fatal(err)
		}
		if err := all.Merge(&got); err != nil {
			log.Fatal(err)
		}
	}
	n := all.Counts()
	fmt.Println(n.Rows, "rows,", n.Tests, "tests,", n.Pairs, "pairs")
	// Output:
	// 15000 rows, 1165 tests, 6283 pairs
}

func ExampleSummarise() {
	file := `date,lifter,lift,load,reps,rir,session,minutes,effort
2027-09-06,Oona,push press,40,5,2,Mon,60,6
2027-09-06,Oona,push press,40,5,2,Mon,,
2027-09-08,Oona,push press,42.5,4,1,Wed,45,7
2027-09-11,Oona,push press,45,3,1,Sat,50,8
`
	s, err := logbook.Summarise(logbook.NewReader(logbook.Options{}, logbook.Stream("log.csv", strings.NewReader(file))))
	if err != nil {
		log.Fatal(err)
	}
	l, err := s.Log(logbook.LogOptions{})
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range l.Lifters {
		for _, x := range p.Lifts {
			fmt.Printf("%s, %s: %d sets, %.0f kg moved, maximum %.0f (%.0f to %.0f) on %s\n", p.Name, x.Lift, x.Sets, x.Tonnage, x.Max.Max, x.Max.Low, x.Max.High, l.AsOf.Format(time.DateOnly))
		}
		for _, w := range p.Weeks {
			fmt.Printf("week of %s: load %.0f, monotony %.2f\n", w.WeekOf.Format(time.DateOnly), *w.Load, w.Week.Monotony.Value)
		}
	}
	// Output:
	// Oona, push press: 4 sets, 705 kg moved, maximum 50 (46 to 53) on 2027-09-11
	// week of 2027-09-06: load 1075, monotony 0.80
}

func ExamplePlanNext() {
	block := &periodize.Block{
		Title: "Two weeks", Weeks: 2,
		Lifts: []periodize.Lift{{Name: "pause squat", Pattern: periodize.Squat, Region: periodize.Lower, Uses: "olympic"}},
		Sessions: []periodize.Session{{Name: "A", Work: []periodize.Item{{Lift: "pause squat",
			Work: periodize.Work{Sets: periodize.Fixed(3), Reps: periodize.Fixed(5), Weight: periodize.Percent(periodize.Fixed(75))}}}}},
	}
	roster := &periodize.Roster{
		Start: time.Date(2027, 9, 6, 0, 0, 0, 0, time.UTC),
		Gyms: []periodize.Gym{{Unit: plates.KG, Bars: []periodize.Bar{{Name: "olympic", Mass: 20 * plates.Kilogram}},
			Plates: plates.Inventory{{Plate: plates.Plate{Mass: 20 * plates.Kilogram}, Count: 4}, {Plate: plates.Plate{Mass: 5 * plates.Kilogram}, Count: 4}, {Plate: plates.Plate{Mass: 2500 * plates.Gram}, Count: 2}}}},
		Lifters: []periodize.Lifter{{Name: "Oona", Maxes: []periodize.MaxEntry{{Lift: "pause squat", Tested: 100 * plates.Kilogram}}}},
	}
	p, err := periodize.Compile(block, roster)
	if err != nil {
		log.Fatal(err)
	}
	file := `date,lifter,lift,load,reps,rir
2027-09-06,Oona,pause squat,75,5,1
2027-09-06,Oona,pause squat,75,4,0
2027-09-06,Oona,pause squat,75,3,0
`
	next, err := logbook.PlanNext(p, logbook.NewReader(logbook.Options{}, logbook.Stream("log.csv", strings.NewReader(file))), logbook.NextOptions{})
	if err != nil {
		log.Fatal(err)
	}
	o := next.Lifters[0]
	fmt.Printf("%s did %.0f %% of what was due\n", o.Name, 100**o.Share)
	for _, c := range o.Changes {
		fmt.Printf("%s: %v to %v (%v to %v), %s\n", c.Lift, c.Was, c.Now, c.Low, c.High, c.Why)
	}
	fmt.Println("on the next roster:", next.Roster.Lifters[0].Maxes[0].Tested)
	// Output:
	// Oona did 80 % of what was due
	// pause squat: 100kg to 100kg (93.7kg to 102.7kg), kept: the sets of 1 day point to 98.1, but may mean anything from 93.7 to 102.7 kg
	// on the next roster: 100kg
}

// An equation of one's own beside two published ones.
func ExamplePublished() {
	methods, err := logbook.Published("epley", "lombardi")
	if err != nil {
		log.Fatal(err)
	}
	methods = append(methods, logbook.Method{ID: "ours", Factor: func(n float64) float64 { return 1 + (n-1)/33 }})
	file := `date,lifter,lift,load,reps,rir,tested
2027-09-06,Oona,push press,40,5,2,
2027-09-08,Oona,push press,42.5,4,1,
2027-09-11,Oona,push press,48,1,0,1
`
	r := logbook.NewReader(logbook.Options{}, logbook.Stream("log.csv", strings.NewReader(file)))
	c, err := logbook.Compare(r, logbook.CompareOptions{Methods: methods})
	if err != nil {
		log.Fatal(err)
	}
	for s := range c.Series() {
		for _, e := range s.Errors {
			fmt.Printf("%s, %s, %s: bias %.2f kg over %d sets\n", s.Lifter, s.Lift, e.ID, e.Bias, e.Pairs)
		}
	}
	// Output:
	// Oona, push press, epley: bias 1.46 kg over 2 sets
	// Oona, push press, lombardi: bias 1.26 kg over 2 sets
	// Oona, push press, ours: bias -0.54 kg over 2 sets
}

// A log as days, for a model of load and performance.
func ExampleReadDaily() {
	file := `date,lifter,lift,load,reps,rir,tested
2027-09-06,Oona,push press,40,5,2,
2027-09-06,Oona,push press,40,5,1,
2027-09-09,Oona,push press,42.5,4,1,
2027-09-11,Oona,push press,50,1,0,1
`
	r := logbook.NewReader(logbook.Options{}, logbook.Stream("log.csv", strings.NewReader(file)))
	d, err := logbook.ReadDaily(r, logbook.DailyOptions{})
	if err != nil {
		log.Fatal(err)
	}
	for i, load := range d.Load {
		fmt.Printf("%s %.1f\n", d.Date(i+1).Format(time.DateOnly), load)
	}
	for _, t := range d.Tests {
		fmt.Printf("test of the %s on day %d: %g\n", d.Lift, t.Day, t.Load)
	}
	fmt.Println(d.Method)
	// Output:
	// 2027-09-06 8.0
	// 2027-09-07 0.0
	// 2027-09-08 0.0
	// 2027-09-09 3.4
	// 2027-09-10 0.0
	// 2027-09-11 1.0
	// test of the push press on day 6: 50
	// relative volume load: the sum of repetitions times load over the heaviest test of the lift in the log; days without training are 0; warm-ups count where the log has them
}

// Summaries of parts of a log, sent as JSON and merged.
func ExampleSummary_Merge() {
	all := logbook.NewSummary(plates.KG)
	for _, rows := range []string{"2027-09-06,Oona,push press,40,5\n2027-09-06,Oona,push press,40,4\n", "2027-09-08,Oona,push press,42.5,5\n"} {
		r := logbook.NewReader(logbook.Options{}, logbook.Stream("part", strings.NewReader("date,lifter,lift,load,reps\n"+rows)))
		s, err := logbook.Summarise(r)
		if err != nil {
			log.Fatal(err)
		}
		sent, err := json.Marshal(s)
		if err != nil {
			log.Fatal(err)
		}
		var part logbook.Summary
		if err := json.Unmarshal(sent, &part); err != nil {
			log.Fatal(err)
		}
		if err := all.Merge(&part); err != nil {
			log.Fatal(err)
		}
	}
	l, err := all.Log(logbook.LogOptions{})
	if err != nil {
		log.Fatal(err)
	}
	x := l.Lifters[0].Lifts[0]
	fmt.Printf("%s: %d sets, %d repetitions, %.1f kg moved\n", x.Lift, x.Sets, x.Reps, x.Tonnage)
	// Output:
	// push press: 3 sets, 14 repetitions, 572.5 kg moved
}
