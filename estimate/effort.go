package estimate

import "math"

// The scale of Zourdos MC, Klemp A, Dolan C, et al. J Strength Cond Res
// 2016;30(1):267-275 (looked-up, secondary): 10 maximal, 9.5 no more
// repetitions but a little more load possible, 9 one repetition left, 8.5 one
// or two, 8 two, 7.5 two or three, 7 three, 5 to 6 four to six. Below 5 it
// describes effort in words and no repetition count is defined.

// RPEToRIR turns a rating of perceived exertion on the repetitions-in-reserve
// scale, 5 to 10, into repetitions in reserve, 10 - rpe; a half between two
// counts of the scale is the middle of them. 9.5 is 0.5: the scale says that
// load, not a repetition, is left, and half a repetition is how much load that
// is, common practice, no published source. Values outside 5 to 10 are a
// *FieldError.
func RPEToRIR(rpe float64) (float64, error) {
	if !(rpe >= 5 && rpe <= 10) {
		return 0, &FieldError{Field: "rpe", Value: rpe, Want: "5 to 10; the scale defines no repetitions in reserve below 5"}
	}
	return 10 - rpe, nil
}

// RIRToRPE is the inverse of RPEToRIR, for 0 to 5 repetitions in reserve.
func RIRToRPE(rir float64) (float64, error) {
	if !(rir >= 0 && rir <= 5) || math.Signbit(rir) {
		return 0, &FieldError{Field: "rir", Value: rir, Want: "0 to 5; the scale defines no rating for more in reserve"}
	}
	return 10 - rir, nil
}
