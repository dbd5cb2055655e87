package workload

import (
	"fmt"
	"math"

	"github.com/blockwright/blockwright/internal/num"
)

// SessionLoad is the training load of a session, session RPE (0 to 10) x
// minutes, in arbitrary units (Foster 1998, 2001). In lifting, session RPE
// follows the weight more than the volume: one set of 4 or 5 at 90 % felt
// harder than 10 at 70 % (Day et al. 2004, looked-up), so this is not a measure
// of volume.
func SessionLoad(rpe, minutes float64) (float64, error) {
	if !(rpe >= 0 && rpe <= 10) {
		return 0, &FieldError{"rpe", rpe, "0 to 10"}
	}
	if !(minutes >= 0 && minutes <= maxLoad) {
		return 0, &FieldError{"minutes", minutes, "0 or more"}
	}
	return rpe * minutes, nil
}

// SD names a standard deviation. No print of monotony that was seen says which
// one it means; for a week the population one makes the index sqrt(7/6), 8 per
// cent, larger.
type SD int

// The standard deviations. Sample is the default.
const (
	Sample     SD = iota // divides by n-1
	Population           // divides by n
)

func (s SD) String() string {
	if s == Population {
		return "population"
	}
	return "sample"
}

// Week is what seven daily loads come to. It describes; it is no verdict: the
// thresholds for illness in print differ by athlete and come from other sports.
type Week struct {
	Load     float64 `json:"load"` // sum of the week
	Mean     float64 `json:"mean"` // of a day, rest days counting as 0
	SD       float64 `json:"sd"`
	Kind     SD      `json:"sd_kind"`  // which SD
	Monotony Index   `json:"monotony"` // Mean / SD; undefined in a flat week and explodes near one
	Strain   Index   `json:"strain"`   // Load x Monotony
}

// NewWeek describes seven daily loads (session loads or tonnage, rest days 0)
// after Foster 1998. Monotony and strain of seven equal days are undefined.
func NewWeek(daily []float64, kind SD) (Week, error) {
	if len(daily) != 7 {
		return Week{}, &FieldError{"daily", float64(len(daily)), "7 days, rest days as 0"}
	}
	if kind != Sample && kind != Population {
		return Week{}, &FieldError{"kind", float64(kind), "Sample or Population"}
	}
	if err := checkLoads(daily); err != nil {
		return Week{}, err
	}
	w := Week{Load: total(daily), Kind: kind}
	w.Mean = w.Load / 7
	flat := true
	for _, x := range daily {
		flat = flat && x == daily[0]
	}
	if flat {
		// Not left to the SD, which rounding can keep above zero.
		why := FlatWeek
		if daily[0] == 0 {
			why = NoLoad
		}
		w.Monotony, w.Strain = Index{Undefined: why}, Index{Undefined: why}
		return w, nil
	}
	w.SD = deviation(daily, w.Mean, kind)
	w.Monotony = index(w.Mean/w.SD, FlatWeek)
	w.Strain = index(w.Load*w.Monotony.Value, FlatWeek)
	if !w.Monotony.Defined() {
		w.Strain = w.Monotony
	}
	return w, nil
}

// deviation is the two-pass standard deviation, corrected for the rounding of
// the mean, scaled so that no square over- or underflows.
func deviation(xs []float64, mean float64, kind SD) float64 {
	scale := 0.0
	for _, x := range xs {
		scale = max(scale, math.Abs(x-mean))
	}
	if scale == 0 {
		return 0
	}
	var ss, s num.Sum
	for _, x := range xs {
		d := (x - mean) / scale
		ss.Add(d * d)
		s.Add(d)
	}
	n := float64(len(xs))
	div := n - 1
	if kind == Population {
		div = n
	}
	return scale * math.Sqrt((ss.Value()-s.Value()*s.Value()/n)/div)
}

func total(xs []float64) float64 {
	var s num.Sum
	for _, x := range xs {
		s.Add(x)
	}
	return s.Value()
}

func checkLoads(daily []float64) error {
	for i, x := range daily {
		if !(x >= 0 && x <= 1e100) {
			return &FieldError{fmt.Sprintf("daily[%d]", i), x, "a load, 0 or more"}
		}
	}
	return nil
}
