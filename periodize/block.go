package periodize

import (
	"fmt"
	"time"

	"github.com/blockwright/blockwright/plates"
)

// Pos is the place in a file that something was read from. The zero value
// means that it was built by a program.
type Pos struct {
	File         string
	Line, Column int // from 1
}

// String is file:line:column, or "" for the zero value.
func (p Pos) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Block is a plan of several weeks for nobody in particular.
type Block struct {
	Title    string
	Weeks    int         // 1 to 52
	Unit     plates.Unit // of the bare numbers that a file of this block holds
	Goal     Goal        // default Develop
	Focus    []string    // the lifts in front, usually one lower and one upper
	Note     string
	Lifts    []Lift
	Sessions []Session // one week's sessions; each week repeats them with its own numbers
	Finish   Finish
	Pos      Pos
}

// Lift is a movement that a block uses.
type Lift struct {
	Name    string
	Pattern Pattern
	Region  Region   // follows from the pattern except for carry, trunk and isolation
	Muscles []Share  // how much of a set counts for each muscle
	Uses    string   // a bar or a station of the gym; "" for none
	Curve   string   // repetitions-%1RM relation by name; "" is the general one
	Tempo   float64  // seconds a repetition takes, up to 60; 0 is the default of the time model
	Max     *MaxFrom // where the maximum comes from when the lifter has no entry for the lift
	// BodyweightShare is the per cent of bodyweight that counts as load, 0 to
	// 100. Where it is positive, maxima, percentages and tonnage count it,
	// and sheets print the added load.
	BodyweightShare plates.Ratio
	Pos             Pos
}

// Share says how much of a set of a lift counts for a muscle: Part, above 0 up
// to 1.
type Share struct {
	Muscle Muscle
	Part   float64
}

// MaxFrom derives a maximum from another lift's: Percent of it, plus Plus.
type MaxFrom struct {
	Of      string
	Percent plates.Ratio
	Plus    plates.Mass
}

// Session is one training session of the week.
type Session struct {
	Name  string
	Day   *time.Weekday // nil spreads the sessions over the week
	Limit time.Duration // 0 for none
	Weeks WeekSet
	Note  string
	Work  []Item
	Pos   Pos
}

// Item is one exercise of a session and what is done of it.
type Item struct {
	Lift  string
	Role  Role   // "" is Focus for the block's focus lifts, Support otherwise
	Pair  string // exercises with the same letter alternate
	Weeks WeekSet
	Note  string
	Work  // the sets; unused where Each or Build is given
	// ReserveOf says which set keeps the reserve of a weight given by RIR or RPE.
	ReserveOf ReserveOf
	Spread    plates.Ratio // percentage points, 0 to 50, between the lightest and the heaviest set
	Shape     Shape        // how the spread runs; "" is Ramp
	Build     *Build
	Final     *Final
	Backoff   *Backoff
	Each      []Work // set by set instead of Work
	Pos       Pos
}

// Work is a number of sets, what is done in each and the weight.
type Work struct {
	Sets Track // nil is one set
	// One of Reps, Seconds and Metres says what a set is. With a range of
	// repetitions Reps is its upper end, which the weight is priced on, and
	// RepsLow its lower end.
	Reps, RepsLow   Track
	Seconds, Metres Track
	Sides           int // 2 for one side at a time; 0 and 1 are both sides together
	Weight          Weight
	Rest            Track // seconds after each set; nil is the role's default
}

// WeightKind is a way of giving the weight of a set.
type WeightKind uint8

// The ways of giving a weight.
const (
	NoWeight  WeightKind = iota // the lift has no weight, or it is left to the lifter
	ByPercent                   // per cent of the working maximum
	ByRIR                       // repetitions in reserve
	ByRPE                       // rating of perceived exertion, 10 less the reserve
	ByLoad                      // a mass
	ByDrop                      // per cent under the item's heaviest set
)

var weightKinds = [...]string{"none", "percent", "rir", "rpe", "load", "drop"}

// String is the key that a file gives the weight under.
func (k WeightKind) String() string {
	if int(k) < len(weightKinds) {
		return weightKinds[k]
	}
	return fmt.Sprintf("WeightKind(%d)", uint8(k))
}

// Weight says how heavy a set is. The track is in per cent, repetitions, scale
// points or counts of plates.Mass as the kind says; nil for NoWeight.
type Weight struct {
	Kind  WeightKind
	Track Track
}

// Percent gives the weight in per cent of the working maximum.
func Percent(t Track) Weight { return Weight{ByPercent, t} }

// RIR gives the weight by the repetitions left in reserve.
func RIR(t Track) Weight { return Weight{ByRIR, t} }

// RPE gives the weight by the rating of perceived exertion.
func RPE(t Track) Weight { return Weight{ByRPE, t} }

// Drop gives the weight in per cent under the item's heaviest set.
func Drop(t Track) Weight { return Weight{ByDrop, t} }

// Load gives the weight itself: one mass for all weeks, or one for each.
func Load(m ...plates.Mass) Weight {
	t := make(WeekTrack, len(m))
	for i, x := range m {
		t[i].Value = ratio(int64(x), 1)
	}
	if len(t) == 1 {
		return Weight{ByLoad, FixedTrack{t[0].Value}}
	}
	return Weight{ByLoad, t}
}

// Build works up to a best set of the day.
type Build struct {
	Reps  Track // of every set
	ToRIR Track // reserve of the best set, 0 to 30
	Start Track // first weight, 1 to 200 per cent of the working maximum
	Step  Track // percentage points from set to set, 1 to 50
	Rest  Track // seconds; nil is the role's default
}

// Final leaves the last main set open-ended.
type Final struct {
	Leave *plates.Ratio // repetitions to keep in reserve, 0 to 10; nil is 1, and 2 for novices
	Cap   int           // most repetitions, up to 200; 0 for none
	Weeks WeekSet
}

// Backoff is the lighter sets after the main sets.
type Backoff struct {
	Sets, Reps, RepsLow Track
	Drop                Track // per cent under the item's heaviest set, from that set's exact weight
	Rest                Track // seconds; nil is the item's
}

// Finish is what follows the last week.
type Finish struct {
	Deload int          // weeks of reduced work, 0 to 4
	Cut    plates.Ratio // per cent of the last week's sets that is left out
	Hold   plates.Ratio // per cent of the last week's weights that is kept; 0 is 100
	Test   bool         // a day for new maxima
	Lifts  []string     // those of the test day, in its order; none is the focus lifts
}

// TestLifts is the lifts of the test day, in its order; none without one.
func (b *Block) TestLifts() []string {
	switch {
	case !b.Finish.Test:
		return nil
	case len(b.Finish.Lifts) > 0:
		return b.Finish.Lifts
	}
	return b.Focus
}

// Lift finds a lift by name.
func (b *Block) Lift(name string) (*Lift, bool) {
	for i := range b.Lifts {
		if b.Lifts[i].Name == name {
			return &b.Lifts[i], true
		}
	}
	return nil, false
}
