package estimate

import (
	"fmt"
	"math"
)

// VelocityMeasure says which velocity of the concentric phase a relation means.
type VelocityMeasure string

const (
	MeanPropulsive VelocityMeasure = "mean propulsive velocity" // up to where the bar decelerates faster than gravity
	MeanVelocity   VelocityMeasure = "mean velocity"            // of the whole concentric phase
)

// VelocityRelation is a published line or parabola of a group of lifters,
//
//	%1RM = A + B v + C v^2,   v in m/s
//
// Get one from VelocityRelations or VelocityRelationByID, or make one of your own
// group with NewVelocityRelation; the zero value answers nothing. A lifter's
// own line is better: group relations were biased in opposite directions for
// concentric-only and for touch-and-go bench presses (Garcia-Ramos A et al. Int
// J Sports Physiol Perform 2018;13:474-481, looked-up).
type VelocityRelation struct {
	ID       string
	Exercise string
	Measure  VelocityMeasure
	Formula  string  // as printed
	A, B, C  float64 // %1RM, v in m/s
	// What the publication prints of its precision; 0 where it was not seen.
	R2                float64 // explained variance, adjusted where the paper's is
	ErrorPct          float64 // root mean square error, in %1RM
	SlopeLow, SlopeHi float64 // 95 % interval of B
	// From and To are the fractions of the maximum studied; both 0 where that
	// is not known, and then every answer is marked as extrapolated.
	From, To float64
	Range    string // where From and To come from
	Citation string
	Have     How
	Note     string

	ok bool
}

const (
	citeConceicao = "Conceicao F, Fernandes J, Lewis M, Gonzalez-Badillo JJ, Jimenez-Reyes P. J Sports Sci 2016;34(12):1099-1106, doi 10.1080/02640414.2015.1090010 (volume and pages from memory)"
	citeGBSM      = "Gonzalez-Badillo JJ, Sanchez-Medina L. Int J Sports Med 2010;31(5):347-352"
	citeSquat2017 = "Sanchez-Medina L, Pallares JG, Perez CE, Moran-Navarro R, Gonzalez-Badillo JJ. Sports Med Int Open 2017;1(2):E80-E88"

	rangeConceicao = "rows of the paper's velocity table, 15 to 100 %1RM"
	noteTwoTables  = "the paper's velocity table comes from the regression of velocity on load and is not the inverse of this equation"
)

var velocityRelations = [...]VelocityRelation{
	{
		ID: "conceicao_full_squat", Exercise: "full squat (Smith machine)", Measure: MeanPropulsive,
		Formula: "%1RM = -71.684 MPV + 121.03", A: 121.03, B: -71.684,
		R2: 0.95, SlopeLow: -74.14, SlopeHi: -69.41, From: 0.15, To: 1, Range: rangeConceicao,
		Citation: citeConceicao, Have: LookedUp, Note: noteTwoTables, ok: true,
	},
	{
		ID: "conceicao_half_squat", Exercise: "half squat (Smith machine)", Measure: MeanPropulsive,
		Formula: "%1RM = -80.372 MPV + 125.19", A: 125.19, B: -80.372,
		R2: 0.96, SlopeLow: -82.29, SlopeHi: -77.95, From: 0.15, To: 1, Range: rangeConceicao,
		Citation: citeConceicao, Have: LookedUp, Note: noteTwoTables, ok: true,
	},
	{
		ID: "conceicao_leg_press", Exercise: "leg press, 45 degrees", Measure: MeanPropulsive,
		Formula: "%1RM = -55.509 MPV + 109.29", A: 109.29, B: -55.509,
		R2: 0.96, ErrorPct: 5.8, SlopeLow: -57.13, SlopeHi: -53.88, From: 0.15, To: 1, Range: rangeConceicao,
		Citation: citeConceicao, Have: LookedUp, Note: noteTwoTables, ok: true,
	},
	{
		ID: "gonzalez_badillo_bench", Exercise: "bench press (Smith machine)", Measure: MeanPropulsive,
		Formula: "%1RM = 8.4326 MPV^2 - 73.501 MPV + 112.33", A: 112.33, B: -73.501, C: 8.4326,
		R2:    0.98,
		Range: "not seen", Citation: citeGBSM, Have: Memory,
		Note: "coefficients from memory, R2 looked-up; the parabola turns at 4.36 m/s, outside use", ok: true,
	},
	{
		ID: "gonzalez_badillo_bench_mv", Exercise: "bench press (Smith machine)", Measure: MeanVelocity,
		Formula: "%1RM = 7.5786 MV^2 - 75.865 MV + 113.02", A: 113.02, B: -75.865, C: 7.5786,
		Range: "not seen", Citation: citeGBSM, Have: Memory,
		Note: "coefficients from memory", ok: true,
	},
	{
		ID: "sanchez_medina_squat", Exercise: "full back squat (Smith machine)", Measure: MeanPropulsive,
		Formula: "%1RM = -5.961 MPV^2 - 50.71 MPV + 117.0", A: 117.0, B: -50.71, C: -5.961,
		R2:    0.96,
		Range: "not seen", Citation: citeSquat2017, Have: Memory,
		Note: "coefficients from memory, R2 looked-up", ok: true,
	},
	{
		ID: "naclerio_parallel_squat", Exercise: "parallel squat", Measure: MeanVelocity,
		Formula: "%1RM = 120.15 - 83.54 AV", A: 120.15, B: -83.54,
		Range: "not seen", Citation: "Naclerio F, Larumbe-Zabala E, parallel squat velocity study, 290 athletes (journal and year not seen)", Have: LookedUp,
		Note: "the abstract gives an accuracy of 79 %", ok: true,
	},
}

// misprintID is the peak-velocity equation of Conceicao 2016 as printed. Its
// intercept cannot be right; it stands here so that who types it in from the
// paper learns why it is refused.
const misprintID = "conceicao_peak_squat"

// VelocityRelations returns the published group relations in a fixed order.
// The slice is the caller's.
func VelocityRelations() []VelocityRelation {
	return append([]VelocityRelation(nil), velocityRelations[:]...)
}

// VelocityRelationByID returns the relation of that identifier; the error is a
// *NameError with the choices, or a *VelocityError for
// "conceicao_peak_squat", the known misprint.
func VelocityRelationByID(id string) (VelocityRelation, error) {
	if id == misprintID {
		// As printed: %1RM = -68.581 Vmax + 2.512, full and half squat (looked-up).
		_, err := NewVelocityRelation(id, 2.512, -68.581, 0)
		return VelocityRelation{}, err
	}
	ids := make([]string, len(velocityRelations))
	for i := range velocityRelations {
		if velocityRelations[i].ID == id {
			return velocityRelations[i], nil
		}
		ids[i] = velocityRelations[i].ID
	}
	return VelocityRelation{}, nameError("velocity relation", id, ids)
}

// NewVelocityRelation makes a relation %1RM = a + b v + c v^2 of your own group,
// v in m/s; add exercise, measure and range to the result. It refuses, with a
// *VelocityError, what no group can have shown: a relation that does not fall
// with velocity, or that gives no load at all, or less than a maximum, for the
// slowest lift. Coefficients that are not finite are a *FieldError.
func NewVelocityRelation(id string, a, b, c float64) (VelocityRelation, error) {
	for _, f := range []struct {
		name string
		v    float64
	}{{"a", a}, {"b", b}, {"c", c}} {
		if !(math.Abs(f.v) <= 1e6) {
			return VelocityRelation{}, &FieldError{Field: f.name, Value: f.v, Want: "a number of %1RM from -1e6 to 1e6"}
		}
	}
	if a <= 100 {
		why := fmt.Sprintf("an intercept of %s means that no velocity belongs to a maximum; it must be above 100", number(a))
		if a < 100*limitFraction {
			why = fmt.Sprintf("an intercept of %s gives next to no load, or a negative one, at every velocity: a misprint", number(a))
		}
		return VelocityRelation{}, &VelocityError{Relation: id, Why: why}
	}
	r := VelocityRelation{ID: id, Formula: fmt.Sprintf("%%1RM = %s + %s v + %s v^2", number(a), number(b), number(c)), A: a, B: b, C: c, Range: "not given", ok: true}
	if !(b < 0) || !(r.fastest() <= velocityLimit) {
		return VelocityRelation{}, &VelocityError{Relation: id, Why: fmt.Sprintf(
			"it does not fall from %s to %s %%1RM between 0 and %d m/s", number(a), number(100*limitFraction), velocityLimit)}
	}
	return r, nil
}

// fastest is the velocity at limitFraction, the lightest load that is answered,
// or NaN when the relation turns before it gets there.
func (r *VelocityRelation) fastest() float64 { return r.velocity(100 * limitFraction) }

// velocity is the smaller positive root of A + B v + C v^2 = pct, written so
// that it is stable and holds for C = 0 too; B < 0.
func (r *VelocityRelation) velocity(pct float64) float64 {
	k := r.A - pct
	return 2 * k / (-r.B + math.Sqrt(r.B*r.B-4*r.C*k))
}

func (r *VelocityRelation) extrapolated(f float64) bool {
	const eps = 1e-9
	return f < r.From-eps || f > r.To+eps
}

// Fraction is the fraction of the maximum that is moved at v m/s. extrapolated
// is true outside the studied range, and always where that is not known. Errors
// are a *FieldError for v not above 0, and a *RangeError for velocities of less
// than 15 % or more than 100 % of the maximum.
func (r *VelocityRelation) Fraction(v float64) (f float64, extrapolated bool, err error) {
	if !r.ok {
		return 0, false, &FieldError{Field: "relation", Want: "one that VelocityRelations or NewVelocityRelation returned"}
	}
	if err := checkVelocity("velocity", v); err != nil {
		return 0, false, err
	}
	slow, fast := r.velocity(100), r.fastest()
	const eps = 1e-12 // the ends themselves must survive rounding
	if v < slow*(1-eps) || v > fast*(1+eps) {
		why := "slower than a maximal lift by this relation"
		if v > fast {
			why = "faster than any load it was made for"
		}
		return 0, false, &RangeError{Model: r.ID, Field: "velocity", Value: v,
			Want: fmt.Sprintf("%.3f to %.3f m/s", slow, fast), Why: why}
	}
	f = math.Min((r.A+v*(r.B+v*r.C))/100, 1)
	return f, r.extrapolated(f), nil
}

// Velocity is the inverse of Fraction, in m/s, for 0.15 <= fraction <= 1.
func (r *VelocityRelation) Velocity(fraction float64) (v float64, extrapolated bool, err error) {
	if !r.ok {
		return 0, false, &FieldError{Field: "relation", Want: "one that VelocityRelations or NewVelocityRelation returned"}
	}
	if !(fraction >= limitFraction && fraction <= 1) {
		return 0, false, &FieldError{Field: "fraction", Value: fraction, Want: number(limitFraction) + " to 1"}
	}
	return r.velocity(100 * fraction), r.extrapolated(fraction), nil
}

// Max is the maximum, in the unit of load, of a lifter who moves load at v m/s.
// Errors are those of Fraction, and a *FieldError for a load not above 0.
func (r *VelocityRelation) Max(load, v float64) (max float64, extrapolated bool, err error) {
	if !(load > 0 && load <= 1e300) {
		return 0, false, &FieldError{Field: "load", Value: load, Want: "above 0"}
	}
	f, extrapolated, err := r.Fraction(v)
	if err != nil {
		return 0, false, err
	}
	return load / f, extrapolated, nil
}

// VelocityThreshold is a published velocity of a maximal single in a group: what
// VelocityLine.Max needs for a lifter whose own is not known. They differ from
// 0.10 to 0.23 m/s in the bench press alone by device, population and technique.
type VelocityThreshold struct {
	ID        string
	Exercise  string
	Measure   VelocityMeasure
	Velocity  float64 // m/s
	SD        float64 // between lifters; 0 where none was seen
	N         int     // lifters; 0 where it was not seen
	Condition string
	Citation  string
	Have      How
	Note      string
}

const citeHelms2017 = "Helms ER, Storey A, Cross MR, et al. J Strength Cond Res 2017;31(2):292-297"

var velocityThresholds = [...]VelocityThreshold{
	{ID: "bench_smith", Exercise: "bench press", Measure: MeanVelocity, Velocity: 0.16, SD: 0.04, N: 120,
		Condition: "Smith machine, men", Citation: citeGBSM, Have: LookedUp},
	{ID: "bench_powerlifters", Exercise: "bench press", Measure: MeanVelocity, Velocity: 0.10, SD: 0.04, N: 15,
		Condition: "free weight, powerlifters", Citation: citeHelms2017, Have: LookedUp},
	{ID: "bench_concentric", Exercise: "bench press", Measure: MeanVelocity, Velocity: 0.23, SD: 0.09, N: 112,
		Condition: "concentric only", Citation: "Jidovtseff B, Harris NK, Crielaard JM, Cronin JB. J Strength Cond Res 2011;25(1):267-270", Have: LookedUp},
	{ID: "bench_general", Exercise: "bench press", Measure: MeanVelocity, Velocity: 0.17, N: 86,
		Condition: "general value used in a comparison of methods, men", Citation: "Janicijevic D, Jukic I, Weakley J, Garcia-Ramos A (paused and touch-and-go bench press; journal and year not seen)", Have: LookedUp},
	{ID: "squat_smith", Exercise: "full back squat", Measure: MeanVelocity, Velocity: 0.32, SD: 0.03, N: 80,
		Condition: "Smith machine, men", Citation: citeSquat2017, Have: LookedUp},
	{ID: "squat_smith_mpv", Exercise: "full squat", Measure: MeanPropulsive, Velocity: 0.30, SD: 0.04,
		Condition: "Smith machine", Citation: citeConceicao, Have: LookedUp, Note: "SD 0.04 in the paper's text and table"},
	{ID: "half_squat_smith_mpv", Exercise: "half squat", Measure: MeanPropulsive, Velocity: 0.33, SD: 0.04,
		Condition: "Smith machine", Citation: citeConceicao, Have: LookedUp, Note: "SD of the paper's table; its text says 0.03"},
	{ID: "leg_press_mpv", Exercise: "leg press", Measure: MeanPropulsive, Velocity: 0.21, SD: 0.04,
		Condition: "45 degrees", Citation: citeConceicao, Have: LookedUp, Note: "SD of the paper's table; its text says 0.03"},
	{ID: "squat_free", Exercise: "full squat", Measure: MeanVelocity, Velocity: 0.24, SD: 0.06, N: 17,
		Condition: "free weight, men", Citation: "Banyard HG, Nosaka K, Haff GG. J Strength Cond Res 2017;31(7):1897-1904", Have: LookedUp,
		Note: "unreliable from test to test: ICC 0.42, CV 22.5 %"},
	{ID: "squat_powerlifters", Exercise: "back squat", Measure: MeanVelocity, Velocity: 0.23, SD: 0.05, N: 15,
		Condition: "free weight, powerlifters", Citation: citeHelms2017, Have: LookedUp},
}

// VelocityThresholds returns the published velocities at the maximum in a fixed
// order. The slice is the caller's.
func VelocityThresholds() []VelocityThreshold {
	return append([]VelocityThreshold(nil), velocityThresholds[:]...)
}

// VelocityThresholdByID returns the threshold of that identifier; the error is a
// *NameError with the choices.
func VelocityThresholdByID(id string) (VelocityThreshold, error) {
	ids := make([]string, len(velocityThresholds))
	for i := range velocityThresholds {
		if velocityThresholds[i].ID == id {
			return velocityThresholds[i], nil
		}
		ids[i] = velocityThresholds[i].ID
	}
	return VelocityThreshold{}, nameError("velocity threshold", id, ids)
}
