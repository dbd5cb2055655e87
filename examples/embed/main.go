// Command embed shows a coaching app that takes two packages of the module and
// nothing else: estimate says what a lifter's maximum is, plates says what goes
// on the bar. The people and numbers are invented.
package main

import (
	"fmt"
	"io"
	"log"
	"os"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/plates"
)

func main() {
	if err := prescribe(os.Stdout); err != nil {
		log.Fatal(err)
	}
}

// prescribe prints the bar for sets of five with two repetitions in reserve,
// from two training sets of last week.
func prescribe(w io.Writer) error {
	// What is the maximum? The answer has an interval.
	max, err := estimate.Max([]estimate.Set{
		{Load: 80, Reps: 5, RIR: 2, Day: 0},
		{Load: 85, Reps: 4, RIR: 1, Day: 3},
	}, estimate.Options{})
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "maximum %.1f kg, 90 %% interval %.1f to %.1f\n", max.Max, max.Low, max.High)

	// Which share of it can be lifted seven times (five done, two left)?
	curve, err := estimate.CurveNamed("general")
	if err != nil {
		return err
	}
	share, _, err := curve.Fraction(5 + 2)
	if err != nil {
		return err
	}

	// Which weight is that on this gym's bar, and which plates?
	stock, err := plates.ParseInventory("20:4, 10:2, 5:2, 1.25:2", plates.KG) // how many there are, not pairs
	if err != nil {
		return err
	}
	bar, err := plates.NewLoads(plates.Bar{Name: "olympic", Mass: 20 * plates.Kilogram}, stock)
	if err != nil {
		return err
	}
	mass, err := plates.MassOf(share*max.Max, plates.KG)
	if err != nil {
		return err
	}
	load := bar.RoundMass(mass, plates.Down)
	side, _ := bar.PerSide(load.Mass)
	fmt.Fprintf(w, "sets of 5 with 2 in reserve: %s, a side %v\n", load.Mass, side)
	return nil
}
