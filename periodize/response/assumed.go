package response

import (
	"math"
	"slices"
)

// ParameterSet is a pair of time constants and a ratio of gains to forecast
// with. Gains themselves have a unit of performance and cancel from relative
// freshness.
type ParameterSet struct {
	Name  string
	Tau1  float64 // days
	Tau2  float64 // days
	Ratio float64 // K2/K1
	Mark  string  // AssumedMark
	From  string  // where the numbers come from, and how that is known
}

// Model is the set as a model with K1 of 1 and no level.
func (p ParameterSet) Model() TwoComponent {
	return TwoComponent{K1: 1, K2: p.Ratio, Tau1: p.Tau1, Tau2: p.Tau2}
}

// AssumedSets is the list that forecasts run over. None was measured on
// lifters: no human barbell parameters are published. Three come from swimmers,
// the others span the values that texts customarily use. The slice is the
// caller's own.
func AssumedSets() []ParameterSet {
	sets := []ParameterSet{
		{Name: "customary", Tau1: 45, Tau2: 15, Ratio: 2,
			From: "customary starting set of the literature on runners (Morton, Fitz-Clarke and Banister 1990; from memory)"},
		{Name: "customary, lower fatigue gain", Tau1: 45, Tau2: 15, Ratio: 1.8,
			From: "the customary set with a gain ratio of 1.8: assumption"},
		{Name: "customary, slower fitness", Tau1: 50, Tau2: 15, Ratio: 2,
			From: "the customary set with tau1 of 50 d: assumption"},
		{Name: "averages", Tau1: 42, Tau2: 7, Ratio: 2,
			From: "time constants of the customary running averages; not a fitted model (Vermeire et al. 2022, looked-up); ratio of 2: assumption"},
		{Name: "swimmers, mean", Tau1: 38, Tau2: 19, Ratio: fromBreakEven(38, 19, 19),
			From: "means of nine swimmers: tau 38 and 19 d, break-even 19 d (Hellard et al. 2006, looked-up); ratio derived from these"},
		{Name: "swimmers, short", Tau1: 17, Tau2: 6, Ratio: fromBreakEven(17, 6, 7),
			From: "lower ends of the same intervals: 17, 6 and 7 d (Hellard et al. 2006, looked-up); ratio derived from these"},
		{Name: "swimmers, long", Tau1: 59, Tau2: 32, Ratio: fromBreakEven(59, 32, 35),
			From: "upper ends of the same intervals: 59, 32 and 35 d (Hellard et al. 2006, looked-up); ratio derived from these"},
	}
	for _, s := range []struct {
		name              string
		tau1, tau2, ratio float64
	}{
		{"spread, 30/10 low", 30, 10, 1.5},
		{"spread, 30/10 high", 30, 10, 2.5},
		{"spread, 45/10 low", 45, 10, 1.5},
		{"spread, 45/10 high", 45, 10, 2.5},
		{"spread, 60/15", 60, 15, 2},
		{"spread, 60/20", 60, 20, 1.8},
	} {
		sets = append(sets, ParameterSet{Name: s.name, Tau1: s.tau1, Tau2: s.tau2, Ratio: s.ratio,
			From: "placed to spread the list over the ranges in use: assumption"})
	}
	for i := range sets {
		sets[i].Mark = AssumedMark
	}
	return slices.Clip(sets)
}

// fromBreakEven is the ratio of gains that makes a session break even after tn
// days.
func fromBreakEven(tau1, tau2, tn float64) float64 {
	return math.Exp(tn * (1/tau2 - 1/tau1))
}
