package estimate

import (
	"fmt"
	"math"

	"github.com/blockwright/blockwright/internal/num"
)

// Repeatability is how much one method differs from itself when a measurement
// is repeated on the same subject.
type Repeatability struct {
	Subjects    int     // that readings were given of
	DF          int     // readings less subjects
	Variance    float64 // within-subject: the residual mean square of a one-way analysis of variance
	SD          float64 // its root, the standard error of measurement
	Multiplier  float64 // 1.96, 2 or a quantile of t on DF, as the options say
	Coefficient float64 // Multiplier*sqrt(2)*SD: two readings differ by less, 95 % of the time
}

// Repeat computes the repeatability of a method from the readings of each
// subject; with one reading a subject adds nothing, and numbers of readings may
// differ. Bland JM, Altman DG. Lancet 1986;1:307-310 use the multiplier 2,
// their Stat Methods Med Res 1999;8:135-160 the multiplier 1.96. Errors are a
// *FieldError for values that are not finite or beyond 1e100 either way, and a
// *TooFewError when no subject has two readings.
func Repeat(readings [][]float64, multiplier LimitMultiplier) (Repeatability, error) {
	r := Repeatability{Subjects: len(readings)}
	var ss num.Sum
	for i, xs := range readings {
		mean := 0.0
		for j, x := range xs {
			if !(math.Abs(x) <= agreementLimit) {
				return Repeatability{}, &FieldError{Field: fmt.Sprintf("readings[%d][%d]", i, j), Value: x, Want: "a number from -1e100 to 1e100"}
			}
			d := x - mean
			mean += d / float64(j+1)
			ss.Add(d * (x - mean))
		}
		r.DF += max(len(xs)-1, 0)
	}
	if r.DF == 0 {
		return Repeatability{}, &TooFewError{What: "repeated readings", Got: 0, Need: 1}
	}
	switch multiplier {
	case Limits196:
		r.Multiplier = 1.96
	case Limits2:
		r.Multiplier = 2
	case LimitsT:
		r.Multiplier = studentQuantile(0.975, float64(r.DF))
	default:
		return Repeatability{}, &FieldError{Field: "multiplier", Value: float64(multiplier), Want: "Limits196, Limits2 or LimitsT"}
	}
	r.Variance = ss.Value() / float64(r.DF)
	r.SD = math.Sqrt(r.Variance)
	r.Coefficient = r.Multiplier * math.Sqrt2 * r.SD
	return r, nil
}
