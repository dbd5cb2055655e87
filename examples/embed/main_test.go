package main

import "os"

func Example_prescribe() {
	if err := prescribe(os.Stdout); err != nil {
		panic(err)
	}
	// Output:
	// maximum 96.6 kg, 90 % interval 89.6 to 104.6
	// sets of 5 with 2 in reserve: 82.5kg, a side [20kg 10kg 1.25kg]
}
