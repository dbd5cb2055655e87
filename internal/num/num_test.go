package num

import (
	"math"
	"testing"
)

func TestSumKeepsWhatPlainAdditionLoses(t *testing.T) {
	// Computed by hand: 1e16 + 1 + 1 - 1e16 = 2; plain addition gives 0.
	var s Sum
	for _, x := range []float64{1e16, 1, 1, -1e16} {
		s.Add(x)
	}
	if got := s.Value(); got != 2 {
		t.Errorf("Sum = %v, want 2", got)
	}
	var a, b Sum
	a.Add(1e16)
	a.Add(1)
	b.Add(1)
	b.Add(-1e16)
	a.Merge(b)
	if got := a.Value(); got != 2 {
		t.Errorf("merged Sum = %v, want 2", got)
	}
	if got := FromParts(a.Parts()).Value(); got != a.Value() {
		t.Errorf("FromParts(Parts()) = %v, want %v", got, a.Value())
	}
}

func TestQuantileType7(t *testing.T) {
	// numpy.quantile([2, 3, 5, 9], p), numpy 1.24.2 (default method "linear").
	x := []float64{2, 3, 5, 9}
	for _, c := range []struct{ p, want float64 }{
		{0, 2}, {0.25, 2.75}, {0.5, 4}, {0.9, 7.8}, {1, 9}, {-1, 2}, {2, 9},
	} {
		if got := Quantile(x, c.p); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("Quantile(%v) = %v, want %v", c.p, got, c.want)
		}
	}
	if got := Quantile(nil, 0.5); got != 0 {
		t.Errorf("Quantile of nothing = %v, want 0", got)
	}
	y := []float64{9, 2, 5, 3}
	if got := Median(y); got != 4 || y[0] != 9 {
		t.Errorf("Median = %v with input %v, want 4 and the input untouched", got, y)
	}
}

func TestFinite(t *testing.T) {
	if !Finite(0, -1e308) || Finite(1, math.NaN()) || Finite(math.Inf(-1)) {
		t.Error("Finite does not tell finite from not finite")
	}
}
