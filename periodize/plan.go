package periodize

import (
	"time"

	"github.com/blockwright/blockwright/plates"
)

// Plan is a block made out for one lifter: every session, exercise, set and
// weight. It is a value to read; changing it does not recompute anything.
type Plan struct {
	Block    *Block
	Lifter   *Lifter
	Gym      *Gym
	Unit     plates.Unit // of the gym, in which weights are meant to be printed
	Start    time.Time   // day 1 of week 1; zero without dates
	Maxes    []LiftMax   // of the lifts that needed one, in the block's order
	Sessions []PlannedSession
	Warnings []Finding
	Deload   *DeloadCut // nil without deload weeks
}

// Max finds the maximum that the plan used for a lift.
func (p *Plan) Max(lift string) (*LiftMax, bool) {
	for i := range p.Maxes {
		if p.Maxes[i].Lift == lift {
			return &p.Maxes[i], true
		}
	}
	return nil, false
}

// DeloadCut says what the deload weeks take off: sets in the last full week
// (Before), sets left in each deload week (After), and the cut that the block
// asked for and got.
// What a roster adjusts in a deload week is not counted in.
type DeloadCut struct {
	Before, After int
	Asked, Got    float64 // per cent
}

// LiftMax is a lifter's maximum in one lift. Where the lift counts bodyweight,
// every mass here does too.
type LiftMax struct {
	Lift      string
	Max       plates.Mass
	Low, High plates.Mass // interval of an estimated maximum; both equal Max for a tested one
	Coverage  float64     // of the interval, 0 to 1; 0 for a tested maximum
	Working   plates.Mass // what percentages apply to
	Body      plates.Mass // the part that is bodyweight
	From      string      // where it comes from, in words
}

// SessionKind tells training weeks from what a block's finish appends.
type SessionKind string

// The kinds of session.
const (
	Training   SessionKind = "training"
	DeloadWeek SessionKind = "deload"
	TestDay    SessionKind = "test"
)

// PlannedSession is one session of one week.
type PlannedSession struct {
	Week      int // 1 is the first; deload weeks and the test day count on
	Name      string
	Kind      SessionKind
	Day       *time.Weekday // nil where the block names none and the plan has no dates
	Date      time.Time     // zero without a start
	Limit     time.Duration
	Minutes   *Range // how long it takes; nil where that was not worked out
	Moves     int    // plates put on or taken off in the session, one side counted
	Note      string
	Exercises []Exercise
}

// Where says the place of a lift in the plan as findings do, "week 3, Tuesday, rack pull",
// or that of the session where lift is "".
func (s *PlannedSession) Where(lift string) string {
	return place{s.Week, s.Name}.in(lift)
}

// Exercise is one lift of a session.
type Exercise struct {
	Lift   *Lift
	Item   int // index of the session's item in the block; -1 on a test day
	Role   Role
	Pair   string
	Note   string
	Warmup []Set
	Sets   []Set
	Loads  *plates.Loads // what the implement can be loaded to; nil for lifts without one
}

// SetKind says what a set is for.
type SetKind string

// The kinds of set.
const (
	MainSet    SetKind = "main"
	HeavySet   SetKind = "heavy"   // the heaviest set, with lighter ones to follow, or the best set worked up to
	BackoffSet SetKind = "backoff" // lighter sets after the heaviest
	WarmupSet  SetKind = "warmup"
	TestSet    SetKind = "test" // an attempt at a new maximum
)

// Set is one set as it is to be done.
type Set struct {
	Kind SetKind
	// One of Reps, Seconds and Metres is positive. Where RepsLow is positive
	// too, the lifter does from RepsLow to Reps. With Sides 2 the amount is
	// for each side.
	Reps, RepsLow   int
	Seconds, Metres float64
	Sides           int // 1 or 2

	AMRAP bool         // open-ended: as many as possible, keeping Leave in reserve
	Leave plates.Ratio // repetitions to keep in reserve of an open-ended set
	Cap   int          // most repetitions of an open-ended set; 0 for none

	HasLoad bool        // false where the lift has no weight or it is left open
	Open    bool        // the lifter fills in the weight of the day
	Load    plates.Mass // what is put on the bar or in each hand; for a bodyweight lift the added load, negative for assistance
	// Expect is the range that an open weight is expected in, on the footing of
	// Load; HasExpect is false where there is none, and Expect is zero then.
	Expect    [2]plates.Mass
	HasExpect bool
	// Percent of the working maximum before rounding; HasPercent is false
	// where the weight does not come from a maximum.
	Percent    plates.Ratio
	HasPercent bool
	Exact      plates.Exact // the weight before rounding, on the same footing as Load
	Below      bool         // the exact weight is under the lightest loadable one
	Above      bool         // the exact weight is over the heaviest loadable one

	Side  []plates.Plate // each side of the bar, from the innermost outwards; nil where no bar is loaded
	Moves int            // plates of one side that change before the set

	Rest    float64  // seconds after the set
	Reserve *Range   // predicted repetitions left; nil where the model says nothing
	RIR     *float64 // reserve asked for, where the block gives the weight by effort
	Origin  Origin
}

// Range is a prediction, Mid, with the interval from Low to High that it is
// meant to lie in, in the unit of what is predicted.
type Range struct {
	Mid, Low, High float64
}

// Severity grades a finding.
type Severity string

// The severities.
const (
	Note    Severity = "note"    // good to know
	Warning Severity = "warning" // worth a second look before anyone lifts
	Problem Severity = "problem" // should be changed; fails --strict
)

// Finding is something about a plan or block that a coach should see.
type Finding struct {
	Code     string // stable, in snake_case
	Severity Severity
	Where    string // week, session and lift, in words
	Text     string // what, and what would be right
	Evidence string // source, or "common practice, no published source"
}

// Origin says where a set's weight came from; Words puts it in words.
type Origin struct {
	Kind     WeightKind
	Value    plates.Ratio // as the block has it that week
	Working  plates.Mass  // what a percentage or reserve applies to, where one does
	Of       string       // what Working is, where it is not the working maximum
	Heavy    plates.Exact // the heaviest set that a drop is taken from
	Spread   plates.Ratio // percentage points that the set lies off the prescribed weight
	Adjusted plates.Ratio // per cent that the roster changes the weight by
	Why      string       // the roster's reason
	Held     plates.Ratio // per cent of the last week's weight in a deload week
}

// Plain reports whether the weight is the block's own number and nothing more.
func (o Origin) Plain() bool {
	return o.Of == "" && o.Spread.Sign() == 0 && o.Adjusted.Sign() == 0 && o.Held.Sign() == 0
}
