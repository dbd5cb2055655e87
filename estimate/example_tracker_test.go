package estimate_test

import (
	"fmt"

	"github.com/blockwright/blockwright/estimate"
)

// A lift followed through seven weeks of invented training: ordinary sets, one
// whose reserve was not written down, and a tested single.
func ExampleTrack() {
	sets := []estimate.Set{
		{Day: 0, Load: 100, Reps: 8, RIR: 2},
		{Day: 3, Load: 110, Reps: 5, RIR: 2},
		{Day: 7, Load: 102.5, Reps: 8, RIR: 2},
		{Day: 10, Load: 115, Reps: 4, RIR: 2},
		{Day: 14, Load: 90, Reps: 8, NoRIR: true},
		{Day: 17, Load: 117.5, Reps: 4, RIR: 1},
		{Day: 24, Load: 120, Reps: 3, RIR: 2},
		{Day: 31, Load: 137.5, Reps: 1, Tested: true},
		{Day: 45, Load: 107.5, Reps: 8, RIR: 1},
	}
	tr, err := estimate.Track(sets, estimate.TrackerOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range tr.Points {
		low, high, err := p.After.Interval(0.9)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("day %2.0f  %5.1f x %.0f  %-11v  %.1f (%.1f to %.1f)\n", p.Set.Day, p.Set.Load, p.Set.Reps, p.Kind, p.After.Max(), low, high)
	}
	for _, day := range []float64{45, 52, 120} {
		e, err := tr.At(day)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("on day %3.0f  %.1f (%.1f to %.1f)\n", day, e.Max, e.Low, e.High)
	}
	// Output:
	// day  0  100.0 x 8  measured     128.7 (115.3 to 143.6)
	// day  3  110.0 x 5  measured     131.2 (119.6 to 143.8)
	// day  7  102.5 x 8  measured     131.5 (119.9 to 144.2)
	// day 10  115.0 x 4  measured     133.8 (123.1 to 145.4)
	// day 14   90.0 x 8  lower bound  133.8 (123.0 to 145.6)
	// day 17  117.5 x 4  measured     134.7 (124.6 to 145.6)
	// day 24  120.0 x 3  measured     136.6 (126.8 to 147.1)
	// day 31  137.5 x 1  measured     137.4 (134.4 to 140.5)
	// day 45  107.5 x 8  measured     137.5 (133.3 to 141.9)
	// on day  45  137.5 (133.3 to 141.9)
	// on day  52  137.5 (132.8 to 142.5)
	// on day 120  137.5 (123.1 to 153.6)
}
