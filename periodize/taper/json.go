package taper

import "encoding/json"

// DecodeError says why bytes are not a marshalled value of this package.
type DecodeError struct {
	Type string // "curve"
	Why  string
	Err  error // cause, such as a *FieldError; may be nil
}

func (e *DecodeError) Error() string {
	s := "taper: " + e.Type + ": " + e.Why
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s
}

func (e *DecodeError) Unwrap() error { return e.Err }

// curveJSON is a curve by what its constructor takes.
type curveJSON struct {
	Shape Shape    `json:"shape,omitempty"`
	Days  int      `json:"days"`
	Cut   *float64 `json:"cut,omitempty"`   // step, linear
	Tau   *float64 `json:"tau,omitempty"`   // exponential, days
	Floor *float64 `json:"floor,omitempty"` // exponential
}

// MarshalJSON writes shape, days and the parameters of the shape at full precision:
// {"shape":"step","days":10,"cut":0.5}, cut of the last day for a linear taper, or
// {"shape":"exponential","days":14,"tau":9.6,"floor":0}. A taper of no days is {"days":0}.
func (c Curve) MarshalJSON() ([]byte, error) {
	j := curveJSON{Shape: c.shape, Days: c.days}
	switch c.shape {
	case Step, Linear:
		j.Cut = &c.cut
	case Exponential:
		j.Tau, j.Floor = &c.tau, &c.floor
	}
	return json.Marshal(j)
}

// UnmarshalJSON reads what MarshalJSON wrote, and checks it as the constructors do.
// The error is a *DecodeError and leaves c as it was.
func (c *Curve) UnmarshalJSON(b []byte) error {
	bad := func(why string, err error) error { return &DecodeError{Type: "curve", Why: why, Err: err} }
	var j curveJSON
	if err := json.Unmarshal(b, &j); err != nil {
		return bad("is not the JSON form of one", err)
	}
	var x Curve
	var err error
	switch {
	case j.Shape == "" && j.Days == 0:
	case (j.Shape == Step || j.Shape == Linear) && j.Cut == nil:
		return bad("want a cut", nil)
	case j.Shape == Exponential && (j.Tau == nil || j.Floor == nil):
		return bad("want tau and floor", nil)
	case j.Shape == Step:
		x, err = NewStep(j.Days, *j.Cut)
	case j.Shape == Linear:
		x, err = NewLinear(j.Days, *j.Cut)
	case j.Shape == Exponential:
		x, err = NewExponential(j.Days, *j.Tau, *j.Floor)
	default:
		_, err = ParseShape(string(j.Shape))
	}
	if err != nil {
		return bad("is not one that can be", err)
	}
	*c = x
	return nil
}
