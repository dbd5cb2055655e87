package workload

// Range is a prediction, Mid, with the interval from Low to High that it is
// meant to lie in, in the unit of what is predicted.
type Range struct {
	Mid  float64 `json:"mid"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Scale multiplies all three.
func (r Range) Scale(f float64) Range { return Range{r.Mid * f, r.Low * f, r.High * f} }

// ordered reports whether Low <= Mid <= High, each from 0 to limit.
func (r Range) ordered(limit float64) bool {
	return r.Low >= 0 && r.Low <= r.Mid && r.Mid <= r.High && r.High <= limit
}
