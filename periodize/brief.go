package periodize

import (
	"slices"
	"time"

	"github.com/blockwright/blockwright/plates"
)

// Brief says what a block should do, for a draft of it to be made.
type Brief struct {
	Title   string
	Weeks   int            // 1 to 52
	Unit    plates.Unit    // of the bare masses that a file of this brief holds
	Days    []time.Weekday // one session on each, in this order
	Minutes int            // most minutes of a session; 0 for no limit
	Goal    Goal           // default Develop
	Focus   []string       // the lifts in front, usually one lower and one upper
	Lifts   []Lift         // what may be used
	Keep    []string       // lifts that must appear
	Avoid   []string       // lifts that must not
	Lacking []Lacking      // what the lifters lack
	Level   Level          // default Intermediate
	// WeeklySets bounds the hard sets a week of muscles.
	WeeklySets []SetRange
	Overreach  *Overreach   // nil leaves the rise of the volume to the draft
	Heavy      *HeavySets   // nil leaves the heaviest sets to the draft
	Reserve    *ReserveSpan // nil leaves the reserve of the main sets to the draft
	Note       string
	Pos        Pos
}

// SetRange bounds the hard sets that a muscle gets in a week, both ends
// included.
type SetRange struct {
	Muscle    Muscle
	Low, High int // sets
}

// Overreach is the planned peak of the volume.
type Overreach struct {
	Week int          // of the most sets, 2 to the last
	Rise plates.Ratio // per cent over the sets of the first week
}

// HeavySets are the heaviest sets of the focus lifts in the first week and in
// the last; the weeks between go from one to the other.
type HeavySets struct {
	Reps [2]int          // of a set
	RIR  [2]plates.Ratio // repetitions in reserve
}

// ReserveSpan bounds the predicted reserve of the main sets, in repetitions,
// both ends included.
type ReserveSpan struct{ Low, High plates.Ratio }

// Lift finds a lift by name.
func (b *Brief) Lift(name string) (*Lift, bool) {
	for i := range b.Lifts {
		if b.Lifts[i].Name == name {
			return &b.Lifts[i], true
		}
	}
	return nil, false
}

// Lacking is something that a lifter lacks, in a coach's words.
type Lacking string

// Remedy is what developmental work for something lacking is made of. A lift
// fits it that has one of the patterns; of several that fit, the better one
// trains more of the muscles.
type Remedy struct {
	Lacking  Lacking
	Patterns []Pattern // the likeliest first
	Muscles  []Muscle
	Why      string
}

// remedies are common practice, no published source: what coaches commonly
// prescribe for a fault seen in a lift. Where a fault comes from differs from
// lifter to lifter; the table suggests what to try, and does not diagnose.
var remedies = [...]Remedy{
	{"off the floor", []Pattern{Hinge, Squat}, []Muscle{"quads", "glutes", "hamstrings"}, "a pull that is slow to leave the floor: longer pulls and leg drive"},
	{"lockout of the pull", []Pattern{Hinge, PullHorizontal}, []Muscle{"glutes", "hamstrings", "back"}, "a pull that stops above the knee: hip extension, and a back that holds the bar close"},
	{"upright position", []Pattern{Squat, TrunkWork, Lunge}, []Muscle{"quads", "abs", "lower back"}, "a trunk that tips forward under the bar: upright squats and trunk work"},
	{"out of the bottom", []Pattern{Squat, Lunge}, []Muscle{"quads", "glutes", "adductors"}, "a squat that stops just above the bottom: deep squats and lunges"},
	{"off the chest", []Pattern{PushHorizontal}, []Muscle{"chest", "shoulders"}, "a press that is slow to leave the chest: longer presses"},
	{"lockout of the press", []Pattern{PushHorizontal, PushVertical, Isolation}, []Muscle{"triceps"}, "a press that stops short of straight elbows: short presses and elbow extension"},
	{"overhead position", []Pattern{PushVertical, PullVertical}, []Muscle{"shoulders", "traps", "rear shoulders"}, "a weight that drifts forward overhead: presses overhead, and pulls that move the shoulder blades"},
	{"upper back", []Pattern{PullHorizontal, PullVertical}, []Muscle{"back", "lats", "traps", "rear shoulders"}, "shoulders that round under load: rows and vertical pulls"},
	{"bracing", []Pattern{TrunkWork, Carry}, []Muscle{"abs", "obliques", "lower back"}, "a trunk that gives way under load: trunk work and carries"},
	{"grip", []Pattern{Carry, PullVertical}, []Muscle{"forearms"}, "a bar that slips from the hands: carries and hanging pulls"},
	{"one leg at a time", []Pattern{Lunge}, []Muscle{"glutes", "adductors", "quads"}, "legs that differ, or knees that wander: work on one leg"},
}

// Lackings lists what a brief may call lacking.
func Lackings() []Lacking {
	out := make([]Lacking, len(remedies))
	for i := range remedies {
		out[i] = remedies[i].Lacking
	}
	return out
}

// Remedies is the table of what is lacking and what is done about it: common
// practice, no published source.
func Remedies() []Remedy {
	out := slices.Clone(remedies[:])
	for i := range out {
		out[i].Patterns = slices.Clone(out[i].Patterns)
		out[i].Muscles = slices.Clone(out[i].Muscles)
	}
	return out
}

// Remedy is what is done about it; ok is false for something that is not in
// the list.
func (l Lacking) Remedy() (r Remedy, ok bool) {
	for _, r := range Remedies() {
		if r.Lacking == l {
			return r, true
		}
	}
	return Remedy{}, false
}
