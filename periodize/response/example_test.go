package response_test

import (
	"fmt"
	"math"

	"github.com/blockwright/blockwright/periodize/response"
)

// The lags of one session with the customary set of the literature on runners,
// which is from memory and not measured on lifters.
func ExampleTwoComponent_BreakEven() {
	m := response.TwoComponent{K1: 1, K2: 2, Tau1: 45, Tau2: 15}
	tn, _ := m.BreakEven()
	tg, benefit, _ := m.PeakBenefit()
	fmt.Printf("break-even after %.1f days, greatest benefit after %.1f days (%.4f a unit)\n", tn, tg, benefit)

	m.K2 = 0.5
	_, err := m.BreakEven()
	fmt.Println(err)
	// Output:
	// break-even after 15.6 days, greatest benefit after 40.3 days (0.2722 a unit)
	// response: no break-even day: the gain of fatigue is not above that of fitness, so there is no negative phase
}

func ExampleTwoComponent_Series() {
	m := response.TwoComponent{P0: 500, K1: 1, K2: 2, Tau1: 45, Tau2: 15}
	load := []float64{100, 0, 80, 0, 120, 0, 0, 90}
	for _, c := range []response.Convention{response.SameDay, response.PreviousDay} {
		p, err := m.Series(nil, load, c, response.State{})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %.2f on day 8\n", c, p[7])
	}
	// Output:
	// same-day: 242.88 on day 8
	// previous-day: 332.88 on day 8
}

func ExamplePredict() {
	load := make([]float64, 56) // six weeks and a fortnight after them
	for d := range 42 {
		if d%2 == 0 {
			load[d] = 60 + float64(d)
		}
	}
	o, err := response.Predict(load, response.ForecastOptions{Convention: response.PreviousDay, Daily: 30, First: 36})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(o.Freshest.Agreement())
	fmt.Println(o.Caveats[1])
	// Output:
	// 9 of 13 assumed parameter sets (69 %) have their freshest day within 3 days of day 56; over all of them it is day 50 to 56
	// No human barbell parameters for this model are published; every parameter set used here is assumed, not measured on lifters.
}

func ExampleExamine() {
	// Invented: four months of alternating days, a test every sixth day.
	var load []float64
	var tests []response.Test
	m := response.TwoComponent{P0: 140, K1: 0.012, K2: 0.02, Tau1: 40, Tau2: 10}
	for d := range 120 {
		load = append(load, float64(d%2)*(60+20*math.Sin(float64(d)/9)))
	}
	p, _ := m.Series(nil, load, response.PreviousDay, response.State{})
	for d := 5; d < 120; d += 6 {
		tests = append(tests, response.Test{Day: d + 1, Performance: p[d] + 0.8*math.Sin(float64(d*d))})
	}
	r, err := response.Examine(load, tests, response.FitOptions{Convention: response.PreviousDay}, response.ExamineOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("refused:", r.Refused)
	for _, w := range r.Warnings { // two exponentials ask much of twenty tests
		fmt.Println(w.Code, w.Params)
	}
	_, err = response.FitModel(load, tests[:9], response.FitOptions{Convention: response.PreviousDay})
	fmt.Println(err)
	// Output:
	// refused: true
	// not-identifiable [tau1 tau2]
	// high-correlation [k1 k2]
	// high-correlation [k1 tau2]
	// high-correlation [k2 tau2]
	// open-interval [p0]
	// open-interval [k1]
	// open-interval [k2]
	// open-interval [tau1]
	// open-interval [tau2]
	// response: 9 tests in 54 days cannot support a fit; want at least 15 tests over 60 days
}

// Two plans that a coach wrote, over the same four weeks: one rests before day 28.
func ExampleComparePlans() {
	through, rested := make([]float64, 28), make([]float64, 28)
	for d := 0; d < 28; d += 2 {
		through[d], rested[d] = 80, 80
		if d >= 20 {
			rested[d] = 30
		}
	}
	c, err := response.ComparePlans(rested, through, 28, response.ForecastOptions{Convention: response.PreviousDay, Daily: 40})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("day %d: rested ahead in %d parameter sets, through in %d, no telling in %d\n", c.Day, c.AheadA, c.AheadB, c.Even)
	fmt.Println(c.Caveats[0])
	// Output:
	// day 28: rested ahead in 13 parameter sets, through in 0, no telling in 0
	// The plain fitness-fatigue model is linear in every load, so its optimum is all-or-nothing: full load, then none for the last days. That is a defect of the model, not advice, and no optimal load is offered.
}
