package estimate

import "encoding/json"

// DecodeError says why bytes are not a marshalled value of this package.
type DecodeError struct {
	Type string // "agreement", "agreement bands" or "velocity line"
	Why  string
	Err  error // cause, such as a *FieldError; may be nil
}

func (e *DecodeError) Error() string {
	s := "estimate: " + e.Type + ": " + e.Why
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s
}

func (e *DecodeError) Unwrap() error { return e.Err }

const notJSON = "is not the JSON form of one"

// EncodeError refuses to marshal what cannot be read back, so that it is not lost
// without a word.
type EncodeError struct {
	Type string // "lifter curve"
	Want string // what to keep instead
}

func (e *EncodeError) Error() string {
	return "estimate: " + e.Type + ": there is no JSON form: " + e.Want
}

// MarshalJSON refuses with an *EncodeError: keep the sets, and Fit them again.
func (l LifterCurve) MarshalJSON() ([]byte, error) {
	return nil, &EncodeError{Type: "lifter curve", Want: "keep the sets and options, and call Fit with them again"}
}

// velocityLineJSON has the exported fields under their own names.
type velocityLineJSON struct {
	Intercept, Slope   float64
	N                  int
	Residual           float64
	Lightest, Heaviest float64
	Slowest, Fastest   float64
	MeanLoad           float64
	SumSquares         float64 // of the loads about their mean
}

// MarshalJSON writes the line at full precision, with what Max needs of the loads.
func (l VelocityLine) MarshalJSON() ([]byte, error) {
	return json.Marshal(velocityLineJSON{l.Intercept, l.Slope, l.N, l.Residual, l.Lightest, l.Heaviest, l.Slowest, l.Fastest, l.meanLoad, l.sxx})
}

// UnmarshalJSON reads what MarshalJSON wrote. The error is a *DecodeError and
// leaves l as it was; one without MeanLoad and SumSquares is no line that Max could
// answer from.
func (l *VelocityLine) UnmarshalJSON(b []byte) error {
	var j velocityLineJSON
	if err := json.Unmarshal(b, &j); err != nil {
		return &DecodeError{Type: "velocity line", Why: notJSON, Err: err}
	}
	x := VelocityLine{j.Intercept, j.Slope, j.N, j.Residual, j.Lightest, j.Heaviest, j.Slowest, j.Fastest, j.MeanLoad, j.SumSquares}
	switch {
	case x == (VelocityLine{}):
	case !x.fitted():
		return &DecodeError{Type: "velocity line", Why: "want one that FitVelocityLine returned, marshalled whole"}
	case !(x.Residual >= 0 && x.Lightest > 0 && x.Lightest < x.Heaviest && x.Heaviest <= agreementLimit &&
		x.meanLoad >= x.Lightest && x.meanLoad <= x.Heaviest &&
		x.Slowest > 0 && x.Slowest <= x.Fastest && x.Fastest <= velocityLimit):
		return &DecodeError{Type: "velocity line", Why: "no points could give these numbers"}
	}
	*l = x
	return nil
}
