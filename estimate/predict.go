package estimate

import "slices"

// Prediction is what one equation makes of a set.
type Prediction struct {
	ID           string // of the equation
	Family       string
	Max          float64 // in the unit of the load
	Extrapolated bool    // outside the range the equation was studied or meant for
}

// Refusal is an equation that gives no answer for a set, and why.
type Refusal struct {
	ID     string
	Family string
	Err    error // *RangeError or *BelowLoadError
}

// All puts one set through every equation: reps repetitions at load with rir in
// reserve. The answers come in the order of Equations, families together. The
// error is a *FieldError for a set that no equation could answer.
func All(load, reps, rir float64) ([]Prediction, []Refusal, error) {
	if err := checkSet(load, reps, rir); err != nil {
		return nil, nil, err
	}
	ps := make([]Prediction, 0, len(equations))
	var refused []Refusal
	for i := range equations {
		e := &equations[i]
		m, x, err := e.Max(load, reps, rir)
		if _, ok := err.(*FieldError); ok {
			return nil, nil, err
		}
		if err != nil {
			refused = append(refused, Refusal{e.ID, e.Family, err})
			continue
		}
		ps = append(ps, Prediction{e.ID, e.Family, m, x})
	}
	return ps, refused, nil
}

// Consensus is how far the families of equations agree about a set. It is no
// interval: that equations agree does not make them right, and they leave out
// how lifters differ (Max has both).
type Consensus struct {
	Median    float64 // of the families
	Low, High float64 // lightest and heaviest family
	Families  int     // how many
}

// Agreed counts each family once, as the median of its members, since equations
// that are one model under several roundings would otherwise outvote the rest.
// No predictions give the zero Consensus.
func Agreed(ps []Prediction) Consensus {
	var names []string
	members := map[string][]float64{}
	for _, p := range ps {
		if members[p.Family] == nil {
			names = append(names, p.Family)
		}
		members[p.Family] = append(members[p.Family], p.Max)
	}
	if len(names) == 0 {
		return Consensus{}
	}
	values := make([]float64, len(names))
	for i, n := range names {
		values[i] = middleOf(members[n])
	}
	return Consensus{
		Median: middleOf(values), Low: slices.Min(values), High: slices.Max(values), Families: len(values),
	}
}

// middleOf is the median; it sorts xs, which must not be empty.
func middleOf(xs []float64) float64 {
	slices.Sort(xs)
	n := len(xs)
	if n%2 == 1 {
		return xs[n/2]
	}
	return xs[n/2-1] + (xs[n/2]-xs[n/2-1])/2
}
