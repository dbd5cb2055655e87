package workload

import (
	"fmt"
	"math"
)

// Capacity is the repetitions possible at a weight when fresh.
type Capacity struct {
	Mean float64 // more than 0; below 1 the weight is above the maximum
	SD   float64 // uncertainty of Mean, lifter and maximum together; 0 for none
}

// Overlap says how far the work between two sets of an exercise, in a superset
// or circuit, tires the same muscles.
type Overlap int

// The overlaps. OverlapUnknown is the default.
const (
	OverlapUnknown Overlap = iota
	NoOverlap              // other muscles: the time spent counts as rest
	SharedMuscles          // the same muscles: nobody has measured how much it costs
)

// WorkSet is one set of an exercise, warm-ups left out. Sets of several
// exercises that use the same muscles may follow each other in one list.
type WorkSet struct {
	Reps float64 // more than 0; ignored in an open set
	// Open is a set done until Leave repetitions are left; with Leave 0, to failure.
	Open  bool
	Leave float64
	// Fresh is the capacity at this set's weight. Zero: that of the set before.
	Fresh Capacity
	Rest  float64 // seconds of rest after the set
	// Between is seconds of paired work between this set and the next, on top
	// of Rest, and Overlap what that work tires.
	Between float64
	Overlap Overlap
}

// Reason says why there is no prediction. The zero value is "there is one".
type Reason string

// The reasons.
const (
	NoCapacity      Reason = "the fresh capacity at this weight is not known"
	FarFromFailure  Reason = "far from failure, where recovery between sets has not been measured"
	MaximalSingle   Reason = "a repeated maximal single, which does not follow the repetition rule"
	OverlapNotKnown Reason = "paired work between the sets may tire the same muscles by an unknown amount"
	RestTooShort    Reason = "the rest is shorter than any in the totals that the model was fitted to"
)

// Reserve is what is predicted for one set.
type Reserve struct {
	// Left is the repetitions left at the end of the set. Negative: so many of
	// the prescribed repetitions are missing at failure.
	Left Range `json:"left"`
	// Possible is the repetitions possible in the set, done to failure.
	Possible Range `json:"possible"`
	// Reason is why Left and Possible say nothing; both are then zero.
	Reason Reason `json:"reason,omitempty"`
}

// Known reports whether there is a prediction.
func (r Reserve) Known() bool { return r.Reason == "" }

// ReachError says that the model does not answer for a set.
type ReachError struct {
	Set    int // index
	Reason Reason
}

func (e *ReachError) Error() string {
	return fmt.Sprintf("workload: sets[%d]: no prediction: %s", e.Set, string(e.Reason))
}

// gap is the rest between two sets as the model takes it, or why it cannot.
func (m Recovery) gap(s WorkSet) (float64, Reason) {
	t := s.Rest
	if s.Between > 0 {
		if s.Overlap != NoOverlap {
			return 0, OverlapNotKnown
		}
		t += s.Between
	}
	if t > 0 && t < m.MinRest {
		return 0, RestTooShort
	}
	return t, ""
}

// maximal reports whether a set is a single with less than one repetition in
// reserve when fresh.
func maximal(s WorkSet) bool { return !s.Open && s.Reps <= 1 && s.Fresh.Mean < 2 }

const maxReps = 1e6

func checkSet(i int, s WorkSet) error {
	at := func(f string) string { return fmt.Sprintf("sets[%d].%s", i, f) }
	switch {
	case !s.Open && !(s.Reps > 0 && s.Reps <= maxReps):
		return &FieldError{at("reps"), s.Reps, "more than 0, at most 1000000"}
	case !(s.Leave >= 0 && s.Leave <= maxReps):
		return &FieldError{at("leave"), s.Leave, "0 to 1000000"}
	case !(s.Fresh.Mean >= 0 && s.Fresh.Mean <= maxReps) || s.Fresh.Mean > 0 && s.Fresh.Mean < 1e-6:
		return &FieldError{at("fresh.mean"), s.Fresh.Mean, "more than 0, at most 1000000"}
	case !(s.Fresh.SD >= 0 && s.Fresh.SD <= maxReps):
		return &FieldError{at("fresh.sd"), s.Fresh.SD, "0 to 1000000"}
	case !(s.Rest >= 0 && s.Rest <= maxLoad):
		return &FieldError{at("rest"), s.Rest, "seconds, 0 or more"}
	case !(s.Between >= 0 && s.Between <= maxLoad):
		return &FieldError{at("between"), s.Between, "seconds, 0 or more"}
	case s.Overlap < OverlapUnknown || s.Overlap > SharedMuscles:
		return &FieldError{at("overlap"), float64(s.Overlap), "OverlapUnknown, NoOverlap or SharedMuscles"}
	}
	return nil
}

// path is one run of the model through the sets: the fraction of the capacity
// that is there, with the capacity moved by z of its SDs and the cost of
// maximal singles weighed.
type path struct {
	z, singles float64
	x          float64
	spent      float64 // capacity missing after the last set, before its rest
}

// fresh is the capacity of a set on this path; 0 where the lower end cannot
// lift the weight at all.
func (p *path) fresh(s WorkSet) float64 { return max(s.Fresh.Mean+float64(p.z*s.Fresh.SD), 0) }

// possible is what the set could have, before it is done.
func (p *path) possible(s WorkSet) float64 { return p.fresh(s) * p.x }

// do takes the set off and rests.
func (p *path) do(s WorkSet, missing float64) {
	c := p.fresh(s)
	had := c * p.x
	reps := s.Reps
	if s.Open {
		reps = max(had-s.Leave, 0)
	}
	cost := p.x // an attempt that fails takes all there is
	if reps < had {
		cost = reps / c
	}
	if maximal(s) {
		cost *= p.singles
	}
	p.spent = 1 - max(p.x-cost, 0)
	p.x = 1 - float64(p.spent*missing)
}

// Reserves predicts what is left in each set, as a range: the errors of the
// capacity and of the model are taken as normal and independent. A set done fresh needs no recovery and is always answered; a later one
// has a Reason instead where the model does not reach:
//
//   - far from failure, with more than MaxReserve repetitions left;
//   - repeated maximal singles (one repetition, less than one more possible when
//     fresh): second attempts at a maximum succeed nearly always after 20 to 60 s
//     (Scudese et al. 2016, looked-up). What a maximal single costs a later set
//     is not known: Low takes the repetition rule, High nothing, Mid halfway;
//   - after paired work that may tire the same muscles, or after a rest shorter
//     than MinRest, for that set and all after it.
func (m Recovery) Reserves(sets []WorkSet) ([]Reserve, error) {
	return m.AppendReserves(make([]Reserve, 0, len(sets)), sets)
}

// AppendReserves is Reserves into a slice of the caller's.
func (m Recovery) AppendReserves(dst []Reserve, sets []WorkSet) ([]Reserve, error) {
	m, err := m.filled()
	if err != nil {
		return dst, err
	}
	for i, s := range sets {
		if err := checkSet(i, s); err != nil {
			return dst, err
		}
	}
	z := m.z()
	paths := [...]path{
		{singles: 0.5, x: 1}, {z: -z, singles: 0.5, x: 1}, {z: z, singles: 0.5, x: 1},
		{singles: 1, x: 1}, {singles: 0, x: 1},
	}
	mid, weak, strong, dear, free := &paths[0], &paths[1], &paths[2], &paths[3], &paths[4]
	var fresh Capacity
	var lost Reason // once the state is unknown it stays so
	for i, s := range sets {
		if s.Fresh.Mean > 0 {
			fresh = s.Fresh
		}
		s.Fresh = fresh
		if fresh.Mean == 0 && lost == "" {
			lost = NoCapacity
		}
		if lost != "" {
			dst = append(dst, Reserve{Reason: lost})
			continue
		}
		later := i > 0
		p := mid.possible(s)
		off := z * m.ModelError * p * mid.spent
		poss := Range{
			Mid:  p,
			Low:  max(p-hypot3(p-weak.possible(s), off, p-dear.possible(s)), 0),
			High: p + hypot3(strong.possible(s)-p, off, free.possible(s)-p),
		}
		r := Reserve{Possible: poss}
		if s.Open {
			r.Left = Range{min(s.Leave, poss.Mid), min(s.Leave, poss.Low), min(s.Leave, poss.High)}
		} else {
			r.Left = Range{poss.Mid - s.Reps, poss.Low - s.Reps, poss.High - s.Reps}
		}
		switch {
		case later && maximal(s):
			r = Reserve{Reason: MaximalSingle}
		case later && r.Left.Mid > m.MaxReserve:
			r = Reserve{Reason: FarFromFailure}
		}
		dst = append(dst, r)
		t, why := m.gap(s)
		if why != "" {
			lost = why
			continue
		}
		q := m.missing(t)
		for j := range paths {
			paths[j].do(s, q)
		}
	}
	return dst, nil
}

func hypot3(a, b, c float64) float64 { return math.Hypot(math.Hypot(a, b), c) }

// FreshCapacity is the inverse of Reserves for sets of one weight: the
// repetitions to failure that the first set needs, fresh, so that the last set
// ends with the wanted reserve, 0 or more. Fresh of the sets is ignored. With
// r repetitions in each of k sets and q = 1-R of the rest,
//
//	capacity = reserve + r (1 + q + ... + q^(k-1))
//
// The reserve falls from set to set only as far as the last set's, so no set
// before it fails when sets and rests are equal; where they are not, a set that
// asks for more than there is makes a *FieldError. Low and High are the
// capacities needed if the model is off. A *ReachError says where it does not
// reach: see Reserves.
func (m Recovery) FreshCapacity(reserve float64, sets []WorkSet) (Range, error) {
	m, err := m.filled()
	if err != nil {
		return Range{}, err
	}
	if !(reserve >= 0 && reserve <= maxReps) {
		return Range{}, &FieldError{"reserve", reserve, "0 to 1000000"}
	}
	if len(sets) == 0 {
		return Range{}, &FieldError{"sets", 0, "one set or more"}
	}
	last := len(sets) - 1
	deficit, peak := 0.0, 0.0 // repetitions missing before a set; most missing after one
	spent := 0.0              // repetitions missing before the last rest
	single := false
	for i, s := range sets {
		s.Fresh = Capacity{}
		if err := checkSet(i, s); err != nil {
			return Range{}, err
		}
		if s.Open {
			return Range{}, &FieldError{fmt.Sprintf("sets[%d].reps", i), 0, "a number of repetitions, not an open set"}
		}
		single = single || s.Reps <= 1
		deficit += s.Reps
		peak = max(peak, deficit)
		if i == last {
			break
		}
		t, why := m.gap(s)
		if why != "" {
			return Range{}, &ReachError{i + 1, why}
		}
		spent = deficit
		deficit *= m.missing(t)
	}
	c := reserve + deficit
	if last == 0 {
		return Range{c, c, c}, nil
	}
	switch {
	case reserve > m.MaxReserve:
		return Range{}, &ReachError{last, FarFromFailure}
	case c < 2 && single:
		return Range{}, &ReachError{last, MaximalSingle}
	case c < peak-1e-9:
		return Range{}, &FieldError{"reserve", reserve, "more: an earlier set would fail with a capacity of " + fmt.Sprintf("%.3g", c)}
	}
	// The last set's capacity is reserve + reps; its error is that of Reserves.
	off := m.z() * m.ModelError * (reserve + sets[last].Reps) * spent / c
	return Range{Mid: c, Low: max(c-off, peak), High: c + off}, nil
}
