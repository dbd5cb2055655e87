package estimate

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/blockwright/blockwright/internal/num"
	"gonum.org/v1/gonum/stat/distuv"
)

// Agreement accumulates pairs of a method's value and the reference value it
// should have given, for example an equation's prediction and the tested
// maximum, in any one unit. The zero value holds no pairs and is ready for use.
//
// An Agreement is a value: copy it, Merge parts that were filled apart, marshal
// it as JSON. Means and sums of squares are kept as running moments (Welford
// BP. Technometrics 1962;4:419-420; merged as in Chan TF, Golub GH, LeVeque RJ.
// Am Stat 1983;37:242-247; citations from memory), so that neither a large
// common offset nor the length of the series costs digits. Merge is associative
// and commutative up to rounding.
type Agreement struct {
	s agreementState
}

type agreementState struct {
	N      int64   `json:"n"`
	Method float64 `json:"mean_method"`
	Ref    float64 `json:"mean_reference"`
	Diff   float64 `json:"mean_difference"` // method minus reference
	MM     float64 `json:"ss_method"`       // sums of squares and products about the means
	RR     float64 `json:"ss_reference"`
	MR     float64 `json:"sp_method_reference"`
	DD     float64 `json:"ss_difference"`
	Abs    float64 `json:"sum_absolute"` // of differences, compensated
	AbsC   float64 `json:"sum_absolute_compensation"`
}

// agreementLimit keeps sums of squares finite. No mass comes near it.
const agreementLimit = 1e100

// Add adds one pair. Values that are not finite, or beyond 1e100 either way,
// are refused with a *FieldError and change nothing.
func (a *Agreement) Add(method, reference float64) error {
	if !(math.Abs(method) <= agreementLimit) {
		return &FieldError{Field: "method", Value: method, Want: "a number from -1e100 to 1e100"}
	}
	if !(math.Abs(reference) <= agreementLimit) {
		return &FieldError{Field: "reference", Value: reference, Want: "a number from -1e100 to 1e100"}
	}
	s := &a.s
	s.N++
	n := float64(s.N)
	d := method - reference
	dm, dr, dd := method-s.Method, reference-s.Ref, d-s.Diff
	s.Method += dm / n
	s.Ref += dr / n
	s.Diff += dd / n
	s.MM += dm * (method - s.Method)
	s.RR += dr * (reference - s.Ref)
	s.MR += dm * (reference - s.Ref)
	s.DD += dd * (d - s.Diff)
	s.addAbs(num.FromParts(math.Abs(d), 0))
	return nil
}

// Merge adds the pairs of another accumulator.
func (a *Agreement) Merge(b Agreement) {
	s, o := &a.s, &b.s
	if o.N == 0 {
		return
	}
	if s.N == 0 {
		*s = *o
		return
	}
	ns, no := float64(s.N), float64(o.N)
	n := ns + no
	// w is ns*no/n, the weight of a squared difference of the two means.
	share, w := no/n, ns*(no/n)
	dm, dr, dd := o.Method-s.Method, o.Ref-s.Ref, o.Diff-s.Diff
	s.N += o.N
	s.Method += dm * share
	s.Ref += dr * share
	s.Diff += dd * share
	s.MM += o.MM + w*dm*dm
	s.RR += o.RR + w*dr*dr
	s.MR += o.MR + w*dm*dr
	s.DD += o.DD + w*dd*dd
	s.addAbs(num.FromParts(o.Abs, o.AbsC))
}

func (s *agreementState) addAbs(o num.Sum) {
	sum := num.FromParts(s.Abs, s.AbsC)
	sum.Merge(o)
	s.Abs, s.AbsC = sum.Parts()
}

// N is the number of pairs.
func (a Agreement) N() int64 { return a.s.N }

// MarshalJSON writes the moments, at full precision.
func (a Agreement) MarshalJSON() ([]byte, error) { return json.Marshal(a.s) }

// UnmarshalJSON reads what MarshalJSON wrote and refuses what no pairs could
// have left behind. The error is a *DecodeError, with a *FieldError for a number
// out of bounds; it leaves a as it was.
func (a *Agreement) UnmarshalJSON(b []byte) error {
	var s agreementState
	if err := json.Unmarshal(b, &s); err != nil {
		return &DecodeError{Type: "agreement", Why: notJSON, Err: err}
	}
	if err := s.check(); err != nil {
		return &DecodeError{Type: "agreement", Why: impossible, Err: err}
	}
	a.s = s
	return nil
}

const impossible = "no pairs could leave this behind"

// check refuses what no pairs could have left behind.
func (s agreementState) check() error {
	n := float64(s.N)
	for _, f := range []struct {
		name     string
		v        float64
		from, to float64
	}{
		{"n", n, 0, math.MaxInt64},
		{"mean_method", s.Method, -2 * agreementLimit, 2 * agreementLimit},
		{"mean_reference", s.Ref, -2 * agreementLimit, 2 * agreementLimit},
		{"mean_difference", s.Diff, -4 * agreementLimit, 4 * agreementLimit},
		{"ss_method", s.MM, 0, 16 * agreementLimit * agreementLimit * n},
		{"ss_reference", s.RR, 0, 16 * agreementLimit * agreementLimit * n},
		{"sp_method_reference", math.Abs(s.MR), 0, 16 * agreementLimit * agreementLimit * n},
		{"ss_difference", s.DD, 0, 16 * agreementLimit * agreementLimit * n},
		{"sum_absolute", s.Abs, 0, 4 * agreementLimit * n},
		{"sum_absolute_compensation", math.Abs(s.AbsC), 0, agreementLimit * n},
	} {
		if !(f.v >= f.from && f.v <= f.to) {
			return &FieldError{Field: f.name, Value: f.v, Want: number(f.from) + " to " + number(f.to)}
		}
	}
	if s.N == 0 && s != (agreementState{}) {
		return &FieldError{Field: "n", Value: 0, Want: "1 or more where there are moments"}
	}
	return nil
}

// LimitMultiplier says how many standard deviations the limits of agreement lie
// from the bias.
type LimitMultiplier int

const (
	// Limits196 is 1.96: Bland JM, Altman DG. Stat Methods Med Res 1999;8:135-160.
	Limits196 LimitMultiplier = iota
	// Limits2 is 2: Bland JM, Altman DG. Lancet 1986;1:307-310.
	Limits2
	// LimitsT is the 0.975 quantile of Student's t on n-1 degrees of freedom.
	LimitsT
)

func (m LimitMultiplier) String() string {
	switch m {
	case Limits196:
		return "1.96 SD"
	case Limits2:
		return "2 SD"
	case LimitsT:
		return "t SD"
	}
	return fmt.Sprintf("LimitMultiplier(%d)", int(m))
}

// SDDivisor says what the sum of squared deviations is divided by.
type SDDivisor int

const (
	DivisorSample     SDDivisor = iota // n-1, as Bland and Altman
	DivisorPopulation                  // n
)

func (d SDDivisor) String() string {
	switch d {
	case DivisorSample:
		return "n-1"
	case DivisorPopulation:
		return "n"
	}
	return fmt.Sprintf("SDDivisor(%d)", int(d))
}

// AgreementOptions name the conventions of an AgreementResult. The zero value
// is Bland and Altman 1999: 1.96 SD, n-1, 95 % intervals.
type AgreementOptions struct {
	Multiplier LimitMultiplier // of the limits of agreement; default Limits196
	Divisor    SDDivisor       // of the SD, and so of all that follows from it; default DivisorSample
	Confidence float64         // of the intervals of bias and limits, 0 < c < 1; 0 is 0.95
}

// Interval is a pair of confidence limits.
type Interval struct {
	Low, High float64 // in the unit of what they bound
}

// String is the interval to four digits, "3.27 to 5.81". For a pointer that may be nil see [Interval.Text].
func (i Interval) String() string {
	return fmt.Sprintf("%.4g to %.4g", i.Low, i.High)
}

// Text is String with that many decimals, and "no interval" for nil, as where there were too few lifters for one.
func (i *Interval) Text(decimals int) string {
	if i == nil {
		return noInterval
	}
	return fmt.Sprintf("%.*f to %.*f", decimals, i.Low, decimals, i.High)
}

const noInterval = "no interval"

// AgreementResult says how well a method agrees with a reference. Differences
// are method minus reference: a positive bias means that the method reads high.
type AgreementResult struct {
	Options AgreementOptions // the conventions used, defaults filled in

	N    int64   // pairs
	Bias float64 // mean difference
	MAE  float64 // mean absolute difference
	RMSE float64 // root of the mean squared difference

	// HasSpread is true from two pairs on; the fields below it are 0 otherwise.
	HasSpread            bool
	SD                   float64  // of the differences
	Multiplier           float64  // what the limits used
	Lower, Upper         float64  // limits of agreement, Bias -/+ Multiplier*SD
	T                    float64  // quantile behind the intervals, n-1 degrees of freedom
	BiasSE, LimitSE      float64  // SD/sqrt(n) and sqrt(3 SD^2/n), as Bland and Altman 1986
	BiasCI               Interval // Bias -/+ T*BiasSE
	LowerCI, UpperCI     Interval // limit -/+ T*LimitSE
	MeanMethod, MeanRef  float64
	SDMethod, SDRef      float64
	HasConcordance       bool    // both methods vary; the fields below are 0 otherwise
	R                    float64 // Pearson
	CCC                  float64 // Lin's concordance with moments divided by n: Lin LI. Biometrics 1989;45:255-268
	CCCSample            float64 // the same with n-1 in variances and covariance
	BiasFactor           float64 // C_b = CCC/R: 1 when the line of best fit is the line of identity
	ScaleShift, Location float64 // Lin's v = SDMethod/SDRef and u = (MeanMethod-MeanRef)/sqrt(SDMethod*SDRef), with n
}

// Result sums up the pairs so far. Without pairs the error is a *TooFewError,
// for an unknown convention or confidence a *FieldError.
func (a Agreement) Result(opt AgreementOptions) (AgreementResult, error) {
	if opt.Confidence == 0 {
		opt.Confidence = 0.95
	}
	switch {
	case !(opt.Confidence > 0 && opt.Confidence < 1):
		return AgreementResult{}, &FieldError{Field: "confidence", Value: opt.Confidence, Want: "above 0, below 1"}
	case opt.Multiplier < Limits196 || opt.Multiplier > LimitsT:
		return AgreementResult{}, &FieldError{Field: "multiplier", Value: float64(opt.Multiplier), Want: "Limits196, Limits2 or LimitsT"}
	case opt.Divisor < DivisorSample || opt.Divisor > DivisorPopulation:
		return AgreementResult{}, &FieldError{Field: "divisor", Value: float64(opt.Divisor), Want: "DivisorSample or DivisorPopulation"}
	}
	s := a.s
	if s.N == 0 {
		return AgreementResult{}, &TooFewError{What: "pairs", Got: 0, Need: 1}
	}
	n := float64(s.N)
	r := AgreementResult{
		Options: opt, N: s.N, Bias: s.Diff,
		MAE:  num.FromParts(s.Abs, s.AbsC).Value() / n,
		RMSE: math.Hypot(s.Diff, math.Sqrt(s.DD/n)),
	}
	if s.N < 2 {
		return r, nil
	}
	div := n - 1
	if opt.Divisor == DivisorPopulation {
		div = n
	}
	r.HasSpread = true
	r.SD = math.Sqrt(s.DD / div)
	switch opt.Multiplier {
	case Limits196:
		r.Multiplier = 1.96
	case Limits2:
		r.Multiplier = 2
	case LimitsT:
		r.Multiplier = studentQuantile(0.975, n-1)
	}
	r.Lower, r.Upper = s.Diff-r.Multiplier*r.SD, s.Diff+r.Multiplier*r.SD
	r.T = studentQuantile(0.5+opt.Confidence/2, n-1)
	r.BiasSE, r.LimitSE = r.SD/math.Sqrt(n), r.SD*math.Sqrt(3/n)
	r.BiasCI = Interval{s.Diff - r.T*r.BiasSE, s.Diff + r.T*r.BiasSE}
	r.LowerCI = Interval{r.Lower - r.T*r.LimitSE, r.Lower + r.T*r.LimitSE}
	r.UpperCI = Interval{r.Upper - r.T*r.LimitSE, r.Upper + r.T*r.LimitSE}
	r.MeanMethod, r.MeanRef = s.Method, s.Ref
	r.SDMethod, r.SDRef = math.Sqrt(s.MM/div), math.Sqrt(s.RR/div)
	// Roots first: the product of two small sums of squares may vanish.
	rm, rr := math.Sqrt(s.MM), math.Sqrt(s.RR)
	if rm == 0 || rr == 0 {
		return r, nil
	}
	r.HasConcordance = true
	r.R = math.Min(math.Max(s.MR/rm/rr, -1), 1)
	// Divided through by rm*rr, so that nothing under- or overflows: Lin's
	// C_b = 2/(v + 1/v + u^2).
	v, d := rm/rr, math.Abs(s.Method-s.Ref)
	shape := v + 1/v
	u2 := d / rm * (d / rr)
	r.BiasFactor = 2 / (shape + n*u2)
	r.CCC = r.R * r.BiasFactor
	r.CCCSample = r.R * 2 / (shape + (n-1)*u2)
	r.ScaleShift = v
	r.Location = math.Copysign(math.Min(math.Sqrt(n*u2), math.MaxFloat64), s.Method-s.Ref)
	return r, nil
}

// Agree compares a method with a reference, pair by pair. The slices must be of
// one length, not empty; values as for Agreement.Add. Errors are a *FieldError
// or *TooFewError.
func Agree(method, reference []float64, opt AgreementOptions) (AgreementResult, error) {
	if len(method) != len(reference) {
		return AgreementResult{}, &FieldError{Field: "reference", Value: float64(len(reference)),
			Want: fmt.Sprintf("as many values as method, %d", len(method))}
	}
	var a Agreement
	for i := range method {
		if err := a.Add(method[i], reference[i]); err != nil {
			fe := err.(*FieldError)
			fe.Field = fmt.Sprintf("%s[%d]", fe.Field, i)
			return AgreementResult{}, fe
		}
	}
	return a.Result(opt)
}

// TooFewError says that there is not enough to answer from.
type TooFewError struct {
	What      string // what is counted, such as "pairs"
	Got, Need int    // how many there are, and the fewest that would do
}

func (e *TooFewError) Error() string {
	return fmt.Sprintf("estimate: %s: want at least %d, got %d", e.What, e.Need, e.Got)
}

// studentQuantile is the quantile p of Student's t on nu degrees of freedom,
// kept finite.
func studentQuantile(p, nu float64) float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Quantile(p)
	return math.Min(math.Max(t, -math.MaxFloat32), math.MaxFloat32)
}
