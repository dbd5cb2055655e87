package estimate_test

import (
	"encoding/json"
	"fmt"

	"github.com/blockwright/blockwright/estimate"
)

// The first readings of two meters of peak expiratory flow, l/min, in 17
// people: Bland JM, Altman DG. Lancet 1986;1:307-310, which prints -2.1, 38.8
// and limits of -79.7 and 75.5 from rounded inputs.
func ExampleAgree() {
	wright := []float64{494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427}
	mini := []float64{512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451}
	r, err := estimate.Agree(wright, mini, estimate.AgreementOptions{Multiplier: estimate.Limits2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("bias %.1f (95 %% interval %.1f to %.1f)\n", r.Bias, r.BiasCI.Low, r.BiasCI.High)
	fmt.Printf("SD %.1f, limits (%v) %.1f to %.1f\n", r.SD, r.Options.Multiplier, r.Lower, r.Upper)
	fmt.Printf("r %.2f, concordance %.3f\n", r.R, r.CCC)
	// Output:
	// bias -2.1 (95 % interval -22.0 to 17.8)
	// SD 38.8, limits (2 SD) -79.6 to 75.4
	// r 0.94, concordance 0.943
}

// Parts of a log are summed up apart, sent as JSON and merged. Invented data.
func ExampleAgreement_Merge() {
	var monday, friday, all estimate.Agreement
	_ = monday.Add(142, 140) // predicted, tested
	_ = monday.Add(97, 100)
	_ = friday.Add(183, 180)

	part, err := json.Marshal(friday)
	if err != nil {
		fmt.Println(err)
		return
	}
	var received estimate.Agreement
	if err := json.Unmarshal(part, &received); err != nil {
		fmt.Println(err)
		return
	}
	all.Merge(monday)
	all.Merge(received)
	r, err := all.Result(estimate.AgreementOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d pairs, bias %.2f, mean absolute error %.2f\n", r.N, r.Bias, r.MAE)
	// Output:
	// 3 pairs, bias 0.67, mean absolute error 2.67
}
