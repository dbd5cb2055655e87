package estimate

import "math"

// Unit is a unit of load.
type Unit string

const (
	Kilogram Unit = "kg" // kilograms
	Pound    Unit = "lb" // international avoirdupois pounds
)

// kilograms in one of the unit; the pound is the international avoirdupois
// pound, exactly.
func (u Unit) kilograms() (float64, error) {
	switch u {
	case Kilogram:
		return 1, nil
	case Pound:
		return 0.45359237, nil
	}
	return 0, &UnitError{Unit: u}
}

// UnitError says that a unit is not known.
type UnitError struct{ Unit Unit }

func (e *UnitError) Error() string {
	return "estimate: unit: want kg or lb, got \"" + string(e.Unit) + "\""
}

// Measure is something a regression takes in.
type Measure string

const (
	MeasureLoad       Measure = "load"             // in the regression's unit
	MeasureReps       Measure = "reps"             // repetitions to failure
	MeasureBiacromial Measure = "biacromial width" // cm
	MeasureArmGirth   Measure = "arm girth"        // cm
	MeasureArmLength  Measure = "arm length"       // cm
	MeasureArmArea    Measure = "arm area"         // cm^2
	MeasureChestGirth Measure = "chest girth"      // cm
	MeasureBodyFat    Measure = "body fat"         // percent
)

// Measures is what a regression may need; see Regression.Needs. Loads are in the
// unit given beside it.
type Measures struct {
	Load       float64 // load of the set
	Reps       float64 // repetitions to failure
	Biacromial float64 // biacromial width, cm
	ArmGirth   float64 // arm circumference, cm
	ArmLength  float64 // arm length, cm; see the note of the equation
	ArmArea    float64 // cross-sectional area of the arm, cm^2
	ChestGirth float64 // chest circumference, cm
	BodyFat    float64 // body fat, percent
}

func (m Measures) of(k Measure) float64 {
	switch k {
	case MeasureLoad:
		return m.Load
	case MeasureReps:
		return m.Reps
	case MeasureBiacromial:
		return m.Biacromial
	case MeasureArmGirth:
		return m.ArmGirth
	case MeasureArmLength:
		return m.ArmLength
	case MeasureArmArea:
		return m.ArmArea
	case MeasureChestGirth:
		return m.ChestGirth
	}
	return m.BodyFat
}

// plausible bounds of measures, ours, wide enough for every adult: they catch a
// wrong unit, nothing else.
func plausible(k Measure) (lo, hi float64, want string) {
	switch k {
	case MeasureBiacromial:
		return 25, 60, "25 to 60 cm"
	case MeasureArmGirth:
		return 15, 65, "15 to 65 cm"
	case MeasureArmLength:
		return 20, 100, "20 to 100 cm"
	case MeasureArmArea:
		return 10, 200, "10 to 200 cm^2"
	case MeasureChestGirth:
		return 50, 180, "50 to 180 cm"
	}
	return 2, 70, "2 to 70 percent"
}

// Regression is a published prediction equation that is tied to a unit, a lift
// or a test, and so is not scale-free: the input is converted to its unit, the
// equation evaluated, the answer converted back. Outside what was studied it
// refuses rather than extrapolates. Only equations whose coefficients were seen
// in print are here. Get one from Regressions or RegressionByID.
type Regression struct {
	ID         string
	Name       string
	Formula    string // the maximum as printed: w load, r repetitions, in Unit
	Unit       Unit   // of load and maximum in Formula
	Needs      []Measure
	Lift       string
	Population string
	Citation   string
	Have       How
	Error      string  // as published, or ""
	From, To   float64 // repetitions that are answered; 0, 0 where repetitions do not enter
	Range      string  // where From and To come from
	LoadFrom   float64 // lightest load that is answered, in Unit; 0 for any
	LoadWhy    string  // what goes wrong below it
	Fixed      float64 // the only load the test is done with, in Unit; 0 for any
	Share      float64 // fraction of the maximum the set was studied at; answered within 0.1 of it; 0 for any
	Note       string

	constant, load, reps, loadReps float64
	power                          float64 // load * reps^power, when not 0
	other                          []term
}

type term struct {
	of Measure
	by float64
}

// Max is the maximum in unit, from measures whose load is in unit. Errors are a
// *FieldError for a measure that is missing or implausible, a *RangeError
// outside what was studied, a *BelowLoadError for an answer under the load, and a
// *UnitError.
func (r *Regression) Max(m Measures, unit Unit) (float64, error) {
	if r.ID == "" {
		return 0, &FieldError{Field: "regression", Want: "one that Regressions or RegressionByID returned"}
	}
	kg, err := unit.kilograms()
	if err != nil {
		return 0, err
	}
	own, err := r.Unit.kilograms()
	if err != nil {
		return 0, err
	}
	for _, k := range r.Needs {
		v := m.of(k)
		switch k {
		case MeasureLoad:
			if !(v > 0) || math.IsInf(v, 0) {
				return 0, &FieldError{Field: "load", Value: v, Want: "above 0"}
			}
		case MeasureReps:
			if !(v >= 1) || math.IsInf(v, 0) {
				return 0, &FieldError{Field: "reps", Value: v, Want: "1 or more"}
			}
			if v < r.From || v > r.To {
				want := number(r.From) + " to " + number(r.To)
				if r.From == r.To {
					want = number(r.From)
				}
				return 0, &RangeError{Model: r.ID, Field: "reps", Value: v, Want: want, Why: r.Range}
			}
		default:
			if lo, hi, want := plausible(k); !(v >= lo && v <= hi) {
				return 0, &FieldError{Field: string(k), Value: v, Want: want}
			}
		}
	}
	w := m.Load * kg / own
	if r.Fixed > 0 {
		// A load given in the other unit is the printed one within rounding.
		if math.Abs(w-r.Fixed) > 0.005*r.Fixed {
			return 0, &RangeError{Model: r.ID, Field: "load", Value: m.Load,
				Want: number(round(r.Fixed*own/kg, 2)) + " " + string(unit), Why: "the test is a set with that load"}
		}
	}
	if w < r.LoadFrom && r.has(MeasureLoad) {
		return 0, &RangeError{Model: r.ID, Field: "load", Value: m.Load,
			Want: number(round(r.LoadFrom*own/kg, 2)) + " " + string(unit) + " or more", Why: r.LoadWhy}
	}
	max := r.constant + r.load*w + r.reps*m.Reps + r.loadReps*m.Reps*w
	if r.power != 0 {
		max += w * math.Pow(m.Reps, r.power)
	}
	for _, t := range r.other {
		max += t.by * m.of(t.of)
	}
	if !finite(max) {
		return 0, &FieldError{Field: "load", Value: m.Load, Want: "a load whose maximum is a finite number"}
	}
	if r.has(MeasureLoad) {
		if max < w {
			return 0, &BelowLoadError{Model: r.ID, Load: m.Load, Max: max * own / kg}
		}
		if r.Share > 0 && math.Abs(w/max-r.Share) > 0.1 {
			return 0, &RangeError{Model: r.ID, Field: "load", Value: m.Load,
				Want: "a load near " + number(100*r.Share) + " % of the maximum",
				Why:  "its answer makes this load " + number(round(100*w/max, 0)) + " %, and sets at " + number(100*r.Share) + " % were studied"}
		}
	} else if max <= 0 {
		return 0, &RangeError{Model: r.ID, Field: "measures", Value: max, Want: "measures like those of the people studied", Why: "the answer is not above 0"}
	}
	return max * own / kg, nil
}

func (r *Regression) has(k Measure) bool {
	for _, n := range r.Needs {
		if n == k {
			return true
		}
	}
	return false
}

// Regressions returns every equation that is tied to a unit, a lift or a test,
// in a fixed order. The slice is the caller's.
func Regressions() []Regression {
	return regressions()
}

// RegressionByID returns the one with that identifier; the error is a *NameError
// with the choices.
func RegressionByID(id string) (Regression, error) {
	rs := regressions()
	ids := make([]string, len(rs))
	for i, r := range rs {
		if r.ID == id {
			return r, nil
		}
		ids[i] = r.ID
	}
	return Regression{}, nameError("regression", id, ids)
}
