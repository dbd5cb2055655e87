package plates_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/blockwright/blockwright/plates"
)

const kg = plates.Kilogram

// club is a 20 kg bar and a small stock in kilograms.
func club() *plates.Loads {
	inv, err := plates.ParseInventory("20:8, 15:2, 10:4, 5:4, 2.5:4, 1.25:2", plates.KG)
	if err != nil {
		panic(err)
	}
	l, err := plates.NewLoads(plates.Bar{Name: "olympic", Mass: 20 * kg}, inv)
	if err != nil {
		panic(err)
	}
	return l
}

func labels(side []plates.Plate) string {
	if len(side) == 0 {
		return "empty"
	}
	words := make([]string, len(side))
	for i, p := range side {
		words[i] = p.Label(plates.KG)
	}
	return strings.Join(words, " ")
}

func ExampleParseMass() {
	a, _ := plates.ParseMass("142.5kg")
	b, _ := plates.ParseMass("45 lb")
	fmt.Printf("%v %v %s %.4f\n", a, b, b.Text(plates.KG), (a + b).In(plates.LB))
	_, err := plates.ParseMass("1e3kg")
	fmt.Println(err)
	// Output:
	// 142.5kg 45lb 20.41165665 359.1587
	// plates: want a mass such as 60kg or 45lb, or a plain decimal number, got "1e3kg"
}

func ExampleNewLoads() {
	// A kilogram bar with one pair each of kilogram and pound plates.
	bar := plates.Bar{Name: "olympic", Mass: 20 * kg}
	inv, err := plates.ParseInventory("45lb:2, 20:2", plates.KG)
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := plates.NewLoads(bar, inv)
	if err != nil {
		fmt.Println(err)
		return
	}
	for m := range l.All() {
		side, _ := l.PerSide(m)
		fmt.Printf("%s: %s\n", m.Text(plates.KG), labels(side))
	}
	// Output:
	// 20: empty
	// 60: 20
	// 60.8233133: 45lb
	// 100.8233133: 45lb 20
}

// Counts are plates in all, so that four make two pairs. A literal says the same at more length.
func ExampleParseInventory() {
	inv, err := plates.ParseInventory("25:4, 2.5:2, 45lb:2", plates.KG)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(inv)
	fmt.Println(inv[1] == plates.Stock{Plate: plates.Plate{Mass: 2500 * plates.Gram}, Count: 2})
	_, err = plates.ParseInventory("25:4, 2.5", plates.KG)
	fmt.Println(err)
	// Output:
	// 25kg:4,2.5kg:2,45lb:2
	// true
	// plates: want sizes and how many there are, such as 25:4,10:4, got "2.5"
}

// Masses, ratios and units are text in JSON, and come back exactly.
func ExampleMass_MarshalText() {
	type done struct {
		Load    plates.Mass
		Percent plates.Ratio
		Unit    plates.Unit
	}
	percent, _ := plates.ParseRatio("72.5")
	b, err := json.Marshal(done{142500 * plates.Gram, percent, plates.KG})
	fmt.Println(string(b), err)
	var back done
	err = json.Unmarshal([]byte(`{"Load": "315lb", "Percent": "80", "Unit": "lb"}`), &back)
	fmt.Println(back.Load.Text(back.Unit), back.Percent, err)
	fmt.Println(json.Unmarshal([]byte(`{"Load": "315"}`), &back))
	// Output:
	// {"Load":"142.5kg","Percent":"72.5","Unit":"kg"} <nil>
	// 315 80 <nil>
	// plates: want a mass with its unit, such as 60kg or 45lb, got "315"
}

func ExampleLoads_Round() {
	l := club()
	percent, _ := plates.ParseRatio("57.5")
	max := 100 * kg
	fmt.Println(l.Round(max.Percent(percent), plates.Down).Mass)

	heavy := l.RoundMass(300*kg, plates.Nearest)
	fmt.Println(heavy.Mass, "over the stock:", heavy.Above)
	// Output:
	// 57.5kg
	// 282.5kg over the stock: true
}

func ExampleLoads_PerSide() {
	side, ok := club().PerSide(140 * kg)
	fmt.Println(labels(side), ok)
	_, ok = club().PerSide(141 * kg)
	fmt.Println(ok)
	// Output:
	// 20 20 20 true
	// false
}

func ExampleLoads_Prepare() {
	l := club()
	var percents []plates.Ratio
	for _, p := range []string{"60", "72.5", "85"} {
		r, _ := plates.ParseRatio(p)
		percents = append(percents, r)
	}
	ready := l.Prepare(percents, plates.Down)
	var at []int32
	for _, max := range []plates.Mass{95 * kg, 142 * kg} {
		at = ready.Indexes(at, max)
		fmt.Println(max, l.At(int(at[0])), l.At(int(at[1])), l.At(int(at[2])))
	}
	// Output:
	// 95kg 55kg 67.5kg 80kg
	// 142kg 85kg 102.5kg 120kg
}

func ExampleLoads_Sequence() {
	l := club()
	var targets []plates.Target
	for _, m := range []plates.Mass{60, 80, 100, 120, 140} {
		targets = append(targets, plates.Target{Mass: m * kg})
	}
	s, err := l.Sequence(targets, plates.SequenceOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, st := range s.Steps {
		fmt.Printf("%v: off %s, on %s\n", st.Loaded, labels(st.Off), labels(st.On))
	}
	fmt.Printf("%d moves a side, proven %v\n", s.Moves, s.Proven)
	// Output:
	// 60kg: off empty, on 20
	// 80kg: off empty, on 10
	// 100kg: off 10, on 20
	// 120kg: off empty, on 10
	// 140kg: off empty, on 10
	// 6 moves a side, proven true
}

func ExampleNotLoadableError() {
	_, err := club().Sequence([]plates.Target{{Mass: 101 * kg}}, plates.SequenceOptions{})
	fmt.Println(err)
	var n *plates.NotLoadableError
	if errors.As(err, &n) {
		fmt.Println("buy", n.Missing)
	}
	// Output:
	// plates: 101kg cannot be loaded; nearest are 100kg and 102.5kg; missing: a pair of 0.5kg
	// buy [0.5kg]
}

func ExampleWarmup() {
	r, err := plates.Warmup(club(), 120*kg, plates.WarmupOptions{BarFirst: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range r.Sets {
		fmt.Printf("%v x %d, rest %d s (%s)\n", s.Mass, s.Reps, s.RestSeconds, labels(s.Side))
	}
	fmt.Println(r.Sequence.Moves, "moves a side up to the working load")
	// Output:
	// 20kg x 10, rest 60 s (empty)
	// 60kg x 8, rest 60 s (20)
	// 80kg x 4, rest 120 s (20 10)
	// 100kg x 2, rest 180 s (20 10 10)
	// 5 moves a side up to the working load
}

func ExampleLoads_Share() {
	sets := [][]plates.Target{
		{{Mass: 120 * kg}, {Mass: 130 * kg}}, // the first lifter
		{{Mass: 60 * kg}, {Mass: 65 * kg}},
		{{Mass: 100 * kg}, {Mass: 110 * kg}},
	}
	listed, _ := club().Share(sets, plates.ShareOptions{AsListed: true})
	best, _ := club().Share(sets, plates.ShareOptions{})
	fmt.Println(listed.Sequence.Moves, "moves as listed,", best.Sequence.Moves, "in the order", best.Order)
	// Output:
	// 13 moves as listed, 10 in the order [1 2 0]
}

func ExampleTogether() {
	inv, err := plates.ParseInventory("20:2, 10:2, 5:2, 2.5:2, 1.25:2", plates.KG)
	if err != nil {
		fmt.Println(err)
		return
	}
	bar := plates.Bar{Mass: 20 * kg}
	f, err := plates.Together(inv, []plates.BarLoad{{Bar: bar, Target: 60 * kg}, {Bar: bar, Target: 60 * kg}}, plates.TogetherOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, b := range f.Bars {
		fmt.Printf("%v: %s\n", b.Loaded, labels(b.Side))
	}
	fmt.Println("short by", f.Shortage)
	// Output:
	// 60kg: 20
	// 57.5kg: 10 5 2.5 1.25
	// short by 2.5kg
}

func ExampleDraw() {
	side := []plates.Plate{{Mass: 20 * kg}, {Mass: 5 * kg}, {Mass: 5 * plates.Pound, Unit: plates.LB}}
	bar := plates.Bar{Mass: 20 * kg, Collars: 5 * kg}
	fmt.Println(plates.Draw(bar, side, plates.DrawOptions{}))
	fmt.Println(plates.Draw(bar, nil, plates.DrawOptions{OneSide: true}))
	// Output:
	// --(2.5)[ 5lb ][  5  ][     20      ]|== 20 kg ==|[     20      ][  5  ][ 5lb ](2.5)--
	// |== 20 kg ==|(2.5)--
}

// Dumbbells from 10 to 40 kg, to which one small magnet each can be added.
func ExampleNewStation() {
	var rack []plates.Mass
	for m := 10 * kg; m <= 40*kg; m += 2 * kg {
		rack = append(rack, m)
	}
	l, err := plates.NewStation("dumbbells", rack, []plates.Mass{500 * plates.Gram, kg})
	if err != nil {
		fmt.Println(err)
		return
	}
	percent, _ := plates.ParseRatio("70")
	load := l.Round((33 * kg).Percent(percent), plates.Down)
	fixed, added, _ := l.Parts(load.Mass)
	fmt.Println(load.Mass, "is", fixed, "and", added)
	// Output:
	// 23kg is 22kg and [1kg]
}

// A share of an estimate is a float; from here on it is exact.
func ExampleMassOf() {
	maximum, share := 131.4, 0.72
	m, err := plates.MassOf(share*maximum, plates.KG)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(m, club().RoundMass(m, plates.Down).Mass)
	_, err = plates.MassOf(math.Inf(1), plates.KG)
	fmt.Println(err)
	// Output:
	// 94.608kg 92.5kg
	// plates: want a mass of at most 1,000,000 kg, got "+Inf"
}
