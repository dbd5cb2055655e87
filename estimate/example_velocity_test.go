package estimate_test

import (
	"fmt"

	"github.com/blockwright/blockwright/estimate"
)

// A lifter's own line through four warm-up loads and the published velocity at
// the maximum of the bench press in a Smith machine. Invented velocities.
func ExampleVelocityLine_Max() {
	line, err := estimate.FitVelocityLine([]estimate.VelocityPoint{
		{Load: 40, Velocity: 1.12}, {Load: 55, Velocity: 0.90}, {Load: 70, Velocity: 0.66}, {Load: 80, Velocity: 0.51},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	th, err := estimate.VelocityThresholdByID("bench_smith")
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := line.Max(th.Velocity, estimate.VelocityOptions{ThresholdSD: th.SD})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f kg, standard error %.1f, 90 %% interval %.1f to %.1f\n", m.Max, m.SE, m.Low, m.High)
	// Output:
	// 102.8 kg, standard error 2.7, 90 % interval 95.1 to 110.7
}

// A group relation, where the lifter has no line: coefficients looked up in
// Conceicao 2016.
func ExampleVelocityRelation_Max() {
	r, err := estimate.VelocityRelationByID("conceicao_half_squat")
	if err != nil {
		fmt.Println(err)
		return
	}
	m, extrapolated, err := r.Max(120, 0.6)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f kg, extrapolated: %v\n", m, extrapolated)
	_, err = estimate.VelocityRelationByID("conceicao_peak_squat")
	fmt.Println(err)
	// Output:
	// 155.9 kg, extrapolated: false
	// estimate: velocity conceicao_peak_squat: an intercept of 2.512 gives next to no load, or a negative one, at every velocity: a misprint
}
