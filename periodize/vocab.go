package periodize

import "slices"

// The closed lists of words that a block or roster may use. The zero value of
// each type is the default named at its declaration.

// Goal says what a block is for, and so which checks apply to it.
type Goal string

// The goals. Develop is the default.
const (
	Develop Goal = "develop" // build up to a planned overreach, then cut the volume while the weight climbs
	Peak    Goal = "peak"    // meet a test or competition day recovered
)

// Goals lists the goals a block may name.
func Goals() []Goal { return []Goal{Develop, Peak} }

// Pattern is a movement pattern.
type Pattern string

// The movement patterns.
const (
	Squat          Pattern = "squat"
	Hinge          Pattern = "hinge"
	Lunge          Pattern = "lunge"
	PushHorizontal Pattern = "push-horizontal"
	PushVertical   Pattern = "push-vertical"
	PullHorizontal Pattern = "pull-horizontal"
	PullVertical   Pattern = "pull-vertical"
	Carry          Pattern = "carry"
	TrunkWork      Pattern = "trunk"
	Isolation      Pattern = "isolation"
)

// Patterns lists the movement patterns in the order in which reports print them.
func Patterns() []Pattern {
	return []Pattern{Squat, Hinge, Lunge, PushHorizontal, PushVertical, PullHorizontal, PullVertical, Carry, TrunkWork, Isolation}
}

// Region is the part of the body a lift is counted under when a block puts one
// lower and one upper lift in front.
type Region string

// The regions.
const (
	Lower Region = "lower"
	Upper Region = "upper"
	Trunk Region = "trunk"
)

// Regions lists the regions.
func Regions() []Region { return []Region{Lower, Upper, Trunk} }

// Region is the region that follows from the pattern; ok is false for carries,
// trunk work and isolation, where the block has to say it.
func (p Pattern) Region() (r Region, ok bool) {
	switch p {
	case Squat, Hinge, Lunge:
		return Lower, true
	case PushHorizontal, PushVertical, PullHorizontal, PullVertical:
		return Upper, true
	}
	return "", false
}

// Muscle is the name of a muscle or muscle group that sets are counted for.
type Muscle string

var muscles = [...]Muscle{
	"quads", "hamstrings", "glutes", "adductors", "calves", "hip flexors",
	"chest", "back", "lats", "traps", "shoulders", "rear shoulders",
	"biceps", "triceps", "forearms",
	"abs", "obliques", "lower back", "neck",
}

// Muscles lists the names a block may use, in the order in which reports print them.
func Muscles() []Muscle { return slices.Clone(muscles[:]) }

// Role is the place of an exercise in a session.
type Role string

// The roles. An item without one is focus for the block's focus lifts and
// support for the rest.
const (
	Focus         Role = "focus"
	Support       Role = "support"
	Developmental Role = "developmental"
	Accessory     Role = "accessory"
)

// Roles lists the roles.
func Roles() []Role { return []Role{Focus, Support, Developmental, Accessory} }

// Level is how long and how well somebody has trained.
type Level string

// The levels. Intermediate is the default.
const (
	Novice       Level = "novice"
	Intermediate Level = "intermediate"
	Advanced     Level = "advanced"
)

// Levels lists the levels.
func Levels() []Level { return []Level{Novice, Intermediate, Advanced} }

// Sex is kept for programs that read a roster; no number of this module differs by it.
type Sex string

// The values; the zero value is "not given".
const (
	Female Sex = "female"
	Male   Sex = "male"
)

// Sexes lists the values.
func Sexes() []Sex { return []Sex{Female, Male} }

// Aim says which part of a predicted weight an effort-based set starts from.
type Aim string

// The aims. The default is lower for novices and middle for everybody else.
const (
	AimLower  Aim = "lower"  // what three lifters in four with this maximum could do
	AimMiddle Aim = "middle" // what one lifter in two could do
)

// Aims lists the aims.
func Aims() []Aim { return []Aim{AimLower, AimMiddle} }

// Shape is how the weight changes from set to set around the prescribed percentage.
type Shape string

// The shapes. Ramp is the default where a spread is given.
const (
	Ramp   Shape = "ramp"   // each set heavier than the one before
	Hill   Shape = "hill"   // easy, harder, easy
	Valley Shape = "valley" // hard, easier, hard
)

// Shapes lists the shapes.
func Shapes() []Shape { return []Shape{Ramp, Hill, Valley} }

// ReserveOf says which set at a weight keeps the prescribed reserve.
type ReserveOf string

// The choices. FirstSet is the default.
const (
	FirstSet ReserveOf = "first"
	LastSet  ReserveOf = "last"
)

// ReserveOfs lists the choices.
func ReserveOfs() []ReserveOf { return []ReserveOf{FirstSet, LastSet} }
