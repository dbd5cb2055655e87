// Package example is an invented block and roster for the tests of all formats.
package example

import (
	"testing"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

func day(d time.Weekday) *time.Weekday { return &d }

func ratio(n, d int64) plates.Ratio {
	r, err := plates.NewRatio(n, d)
	if err != nil {
		panic(err)
	}
	return r
}

func ptr[T any](x T) *T { return &x }

// Block is an invented block that has something of everything that a
// sheet can show.
func Block() *periodize.Block {
	return &periodize.Block{
		Title: "Harbour squat & press",
		Weeks: 4,
		Unit:  plates.KG,
		Goal:  periodize.Develop,
		Focus: []string{"box squat", "bench press"},
		Note:  "Chalk is by the door.",
		Lifts: []periodize.Lift{
			{Name: "box squat", Pattern: periodize.Squat, Region: periodize.Lower, Uses: "olympic", Muscles: []periodize.Share{{Muscle: "quads", Part: 1}}},
			{Name: "bench press", Pattern: periodize.PushHorizontal, Region: periodize.Upper, Uses: "olympic", Muscles: []periodize.Share{{Muscle: "chest", Part: 1}}},
			{Name: "good morning", Pattern: periodize.Hinge, Region: periodize.Lower, Uses: "olympic", Max: &periodize.MaxFrom{Of: "box squat", Percent: ratio(55, 1)}},
			{Name: "dip", Pattern: periodize.PushVertical, Region: periodize.Upper, Uses: "belt", BodyweightShare: ratio(90, 1)},
			{Name: "one-arm row", Pattern: periodize.PullHorizontal, Region: periodize.Upper, Uses: "dumbbells"},
			{Name: "side plank", Pattern: periodize.TrunkWork, Region: periodize.Trunk},
			{Name: "sled push", Pattern: periodize.Carry, Region: periodize.Lower},
		},
		Sessions: []periodize.Session{
			{Name: "Monday", Day: day(time.Monday), Limit: 75 * time.Minute, Note: "Upper back warm first.", Work: []periodize.Item{
				{Lift: "box squat", Note: "sit back, stay tight", Work: periodize.Work{
					Sets: periodize.ByWeek(3, 4, 5, 3), Reps: periodize.ByWeek(6, 6, 5, 4),
					Weight: periodize.Percent(periodize.Line(68, 80)), Rest: periodize.Fixed(180)},
					Final: &periodize.Final{Cap: 10, Weeks: periodize.OnlyWeeks(3)}},
				{Lift: "bench press", Work: periodize.Work{
					Sets: periodize.Fixed(1), Reps: periodize.ByWeek(6, 5, 4, 3), Weight: periodize.RIR(periodize.ByWeek(2, 2, 1, 1))},
					Backoff: &periodize.Backoff{Sets: periodize.ByWeek(3, 3, 4, 2), Reps: periodize.Fixed(6), Drop: periodize.Fixed(12)}},
				{Lift: "dip", Role: periodize.Accessory, Pair: "A", Work: periodize.Work{
					Sets: periodize.Fixed(3), Reps: periodize.Fixed(12), RepsLow: periodize.Fixed(8), Weight: periodize.RIR(periodize.Fixed(2)), Rest: periodize.Fixed(75)}},
				{Lift: "one-arm row", Role: periodize.Accessory, Pair: "A", Work: periodize.Work{
					Sets: periodize.Fixed(3), Reps: periodize.Fixed(10), Sides: 2, Weight: periodize.Load(24 * plates.Kilogram), Rest: periodize.Fixed(75)}},
			}},
			{Name: "Thursday", Day: day(time.Thursday), Work: []periodize.Item{
				{Lift: "bench press", Work: periodize.Work{
					Sets: periodize.Fixed(5), Reps: periodize.Fixed(5), Weight: periodize.Percent(periodize.Fixed(72.5))},
					Spread: ratio(8, 1), Shape: periodize.Hill},
				{Lift: "box squat", Weeks: periodize.OnlyWeeks(2, 4), Build: &periodize.Build{
					Reps: periodize.Fixed(2), ToRIR: periodize.Fixed(1), Start: periodize.Fixed(70), Step: periodize.Fixed(7)}},
				{Lift: "good morning", Role: periodize.Developmental, Weeks: periodize.OddWeeks(), Work: periodize.Work{
					Sets: periodize.Fixed(3), Reps: periodize.Fixed(8), Weight: periodize.Percent(periodize.Fixed(60))}},
				{Lift: "side plank", Role: periodize.Accessory, Work: periodize.Work{Sets: periodize.Fixed(2), Seconds: periodize.ByWeek(30, 35, 40, 30), Sides: 2}},
				{Lift: "sled push", Role: periodize.Accessory, Work: periodize.Work{Sets: periodize.Fixed(2), Metres: periodize.Fixed(20)}},
			}},
		},
		Finish: periodize.Finish{Deload: 1, Cut: ratio(50, 1), Hold: ratio(90, 1), Test: true},
	}
}

// KG is a mass in kilograms.
func KG(x float64) plates.Mass {
	m, err := plates.MassOf(x, plates.KG)
	if err != nil {
		panic(err)
	}
	return m
}

// LB is a mass in pounds.
func LB(x float64) plates.Mass {
	m, err := plates.MassOf(x, plates.LB)
	if err != nil {
		panic(err)
	}
	return m
}

func stock(u plates.Unit, pairs ...float64) plates.Inventory {
	var inv plates.Inventory
	for i := 0; i < len(pairs); i += 2 {
		m, err := plates.MassOf(pairs[i], u)
		if err != nil {
			panic(err)
		}
		inv = append(inv, plates.Stock{Plate: plates.Plate{Mass: m, Unit: u}, Count: int(pairs[i+1])})
	}
	return inv
}

// Roster has a kilogram gym with one pound plate among its plates, and a
// pound gym; lifters with tested and estimated maxima, of different age.
func Roster() *periodize.Roster {
	inv := stock(plates.KG, 25, 4, 20, 2, 15, 2, 10, 4, 5, 2, 2.5, 2, 1.25, 2)
	inv = append(inv, stock(plates.LB, 45, 2)...)
	return &periodize.Roster{
		Start: time.Date(2027, 9, 6, 0, 0, 0, 0, time.UTC),
		Gyms: []periodize.Gym{
			{Name: "harbour", Unit: plates.KG, Bars: []periodize.Bar{{Name: "olympic", Mass: KG(20)}}, Plates: inv,
				Stations: []periodize.Station{
					{Name: "belt", From: KG(2.5), To: KG(40), Step: KG(2.5)},
					{Name: "dumbbells", From: KG(4), To: KG(40), Step: KG(2)},
				}},
			{Name: "hill", Unit: plates.LB, Bars: []periodize.Bar{{Name: "olympic", Mass: LB(45)}},
				Plates: stock(plates.LB, 45, 6, 25, 2, 10, 4, 5, 2, 2.5, 2),
				Stations: []periodize.Station{
					{Name: "belt", From: LB(5), To: LB(90), Step: LB(5)},
					{Name: "dumbbells", From: LB(10), To: LB(90), Step: LB(5)},
				}},
		},
		Lifters: []periodize.Lifter{
			{Name: "Ilse Ørn", Gym: "harbour", Level: periodize.Advanced, Age: 31, Bodyweight: KG(71.5), Maxes: []periodize.MaxEntry{
				{Lift: "box squat", Tested: KG(140)},
				{Lift: "bench press", Sets: []periodize.DoneSet{{Load: KG(70), Reps: 5, RIR: ptr(ratio(1, 1)), Date: time.Date(2027, 8, 28, 0, 0, 0, 0, time.UTC)}}},
				{Lift: "dip", Tested: KG(30)},
			}},
			{Name: "=Bo <Jr.>", Gym: "harbour", Level: periodize.Novice, Age: 16, Bodyweight: KG(58), Rounding: plates.Down, WorkingMax: ratio(95, 1),
				Recent: &periodize.Recent{WeeklySets: new(10), LastTrained: time.Date(2027, 8, 1, 0, 0, 0, 0, time.UTC)},
				Maxes: []periodize.MaxEntry{
					{Lift: "box squat", Tested: KG(62.5)},
					{Lift: "bench press", Tested: KG(38)},
					{Lift: "dip", Sets: []periodize.DoneSet{{Load: 0, Reps: 4}}},
				}},
			{Name: "李娜", Gym: "hill", Bodyweight: LB(150), Volume: ratio(80, 1), Maxes: []periodize.MaxEntry{
				{Lift: "box squat", Tested: LB(265)},
				{Lift: "bench press", Tested: LB(150)},
				{Lift: "dip", Tested: LB(45)},
			}},
		},
	}
}

// Program is the block compiled for the roster.
func Program(t testing.TB) *periodize.Program {
	t.Helper()
	prog, err := periodize.Compile(Block(), Roster())
	if err != nil {
		t.Fatal(err)
	}
	return prog
}

// Large is a block of so many weeks with four days of six exercises, five sets
// each, for one lifter.
func Large(t testing.TB, weeks int) *periodize.Program {
	t.Helper()
	b := Block()
	b.Weeks = weeks
	b.Sessions = nil
	b.Finish = periodize.Finish{}
	names := []string{"box squat", "bench press", "good morning", "dip", "box squat", "bench press"}
	for d := range 4 {
		s := periodize.Session{Name: []string{"Mill", "Yard", "Quay", "Weir"}[d]}
		for k := range 6 {
			s.Work = append(s.Work, periodize.Item{Lift: names[(d+k)%6], Work: periodize.Work{Sets: periodize.Fixed(5), Reps: periodize.Fixed(float64(3 + k)),
				Weight: periodize.Percent(periodize.Line(60+float64(d), 80+float64(k)))}})
		}
		b.Sessions = append(b.Sessions, s)
	}
	r := Roster()
	r.Lifters = r.Lifters[:1]
	prog, err := periodize.Compile(b, r)
	if err != nil {
		t.Fatal(err)
	}
	return prog
}
