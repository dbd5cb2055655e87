package periodize

import (
	"time"

	"github.com/blockwright/blockwright/plates"
)

// Roster is who does a block, and with what.
type Roster struct {
	Gyms    []Gym
	Start   time.Time // day 1 of week 1; zero for none
	Test    time.Time // day of the test or meet; zero for none
	Lifters []Lifter
	Pos     Pos
	TestPos Pos // where Test was given
}

// Gym is the equipment of one place.
type Gym struct {
	Name     string // "" where the roster has one gym
	Unit     plates.Unit
	Bars     []Bar
	Collars  plates.Mass // both together, used where a bar has none of its own
	Plates   plates.Inventory
	Stations []Station
	Pos      Pos
}

// Bar is a bar of the gym.
type Bar struct {
	Name    string
	Mass    plates.Mass
	Collars *plates.Mass // both together; nil is the gym's
	Have    int          // how many there are; 0 is 1
}

// Station is anything with weights of its own: dumbbells (the mass in each
// hand), a stack, fixed barbells.
type Station struct {
	Name           string
	From, To, Step plates.Mass   // a regular ladder, where Step is positive
	List           []plates.Mass // or the weights one by one
	Add            []plates.Mass // small weights that can be hung on, each at most once
	// Assist marks a station whose weights take load off a bodyweight lift.
	Assist bool
}

// Lifter is one person.
type Lifter struct {
	Name       string
	Gym        string // "" for the roster's only gym
	Level      Level  // default Intermediate
	Age        int    // years; 0 is not given. Chooses cautions
	Sex        Sex
	Bodyweight plates.Mass // 0 is not given
	Maxes      []MaxEntry
	WorkingMax plates.Ratio // per cent of the maximum that percentages apply to, up to 120; 0 is 100
	Rounding   plates.Rounding
	Aim        Aim          // "" is AimLower for novices, AimMiddle otherwise
	Volume     plates.Ratio // per cent of each item's sets, up to 300; 0 is 100
	Recent     *Recent
	Swaps      []Swap
	Adjust     []Adjustment
	Pos        Pos
}

// MaxEntry is what is known of a lifter's maximum in one lift: a tested
// maximum, an estimate with its interval, or sets that it is estimated from. For
// a lift that counts bodyweight its masses are what is added.
type MaxEntry struct {
	Lift   string
	Tested plates.Mass // used where Sets is empty
	// Low and High make Tested an estimate: they are its interval, with
	// [DefaultCoverage]. Both are 0 for a maximum that was tested, or of which
	// nothing more is known.
	Low, High plates.Mass
	Date      time.Time // when Tested held; zero where not given
	Sets      []DoneSet
	Pos       Pos
}

// Estimated says whether the entry is a maximum with an interval.
func (m *MaxEntry) Estimated() bool { return len(m.Sets) == 0 && (m.Low != 0 || m.High != 0) }

// DoneSet is a set that was lifted. For a lift that counts bodyweight the load
// is the added one.
type DoneSet struct {
	Load plates.Mass
	Reps int           // made
	RIR  *plates.Ratio // repetitions left; nil where not reported
	Date time.Time     // zero where not given
}

// Recent is what a lifter did before the block.
type Recent struct {
	WeeklySets  *int // sets a week, 0 for none; nil where not known
	LastTrained time.Time
}

// sets is the sets a week, where they are known. r may be nil.
func (r *Recent) sets() (n int, known bool) {
	if r == nil || r.WeeklySets == nil || *r.WeeklySets < 0 {
		return 0, false
	}
	return *r.WeeklySets, true
}

// Swap replaces one lift of the block by another for one lifter, in every item;
// the item keeps its role. A lift that takes another's place is not swapped on.
type Swap struct {
	From, To string
	Pos      Pos
}

// Adjustment changes one lift in one week for one lifter, wherever the lift
// comes up in that week. Several for the same lift and week add up. A deload
// week is reckoned from the last week with that week's adjustments.
type Adjustment struct {
	Week    int          // 1 to the last deload week
	Lift    string       // as the block names it, or the lift that it is swapped for
	Percent plates.Ratio // change of the weight, in per cent of itself, -90 to 100
	Sets    int          // change of each item's number of sets, -50 to 50; at least one set stays
	Why     string
	Pos     Pos
}

// Gym finds a lifter's gym.
func (r *Roster) Gym(name string) (*Gym, bool) {
	for i := range r.Gyms {
		if r.Gyms[i].Name == name || name == "" && len(r.Gyms) == 1 {
			return &r.Gyms[i], true
		}
	}
	return nil, false
}
