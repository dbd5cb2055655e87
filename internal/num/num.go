// Package num holds the few numeric helpers that several leaves of the module
// need: a compensated sum, quantiles of a named type, and the guard that keeps
// NaN and infinities out. It depends on the standard library alone.
package num

import (
	"math"
	"slices"
)

// Sum adds float64 values with Neumaier's compensated summation
// (Neumaier A. Rundungsfehleranalyse einiger Verfahren zur Summation endlicher
// Summen. ZAMM 1974;54:39-51; citation from memory), so that the result does
// not depend on the length of the series. The zero value is an empty sum.
type Sum struct {
	s, c float64
}

// Add adds x.
func (s *Sum) Add(x float64) {
	t := s.s + x
	if math.Abs(s.s) >= math.Abs(x) {
		s.c += (s.s - t) + x
	} else {
		s.c += (x - t) + s.s
	}
	s.s = t
}

// Merge adds another sum to s.
func (s *Sum) Merge(o Sum) {
	s.Add(o.s)
	s.c += o.c
}

// Value is the sum so far.
func (s Sum) Value() float64 { return s.s + s.c }

// Parts returns the running sum and its compensation, for marshalling.
func (s Sum) Parts() (sum, compensation float64) { return s.s, s.c }

// FromParts rebuilds a Sum from what Parts returned.
func FromParts(sum, compensation float64) Sum { return Sum{sum, compensation} }

// Finite reports whether every x is neither NaN nor infinite.
func Finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// Quantile is the quantile p of sorted (ascending) by linear interpolation of
// the order statistics, Hyndman and Fan's type 7 (Am Stat 1996;50:361-365;
// citation from memory), which is also the default of R and numpy. It returns
// 0 for an empty slice; p outside [0, 1] is taken as the nearer end.
func Quantile(sorted []float64, p float64) float64 {
	n := len(sorted)
	if n == 0 {
		return 0
	}
	if !(p > 0) {
		return sorted[0]
	}
	if p >= 1 {
		return sorted[n-1]
	}
	h := float64(n-1) * p
	i := int(h)
	if i >= n-1 {
		return sorted[n-1]
	}
	f := h - float64(i)
	return float64(sorted[i]*(1-f)) + float64(sorted[i+1]*f)
}

// Median is the median of xs, which stay as they are; 0 for none.
func Median(xs []float64) float64 {
	s := slices.Clone(xs)
	slices.Sort(s)
	return Quantile(s, 0.5)
}
