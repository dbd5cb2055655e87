package workload

import (
	"fmt"

	"github.com/blockwright/blockwright/internal/num"
)

// TimeEvidence is what may be said about session times beside their numbers.
const TimeEvidence = "repetitions of 2 to 4 s (ACSM 2009, looked-up); no set-up or plate-change times are published, so those are common practice, no published source; lifters who time their rests often rest less than planned (Silva 2018, looked-up)"

// TimedSet is one set as far as the clock is concerned.
type TimedSet struct {
	Reps int // a side, where Sides is 2
	// PerRep is the seconds of a repetition. 0: the model's RepSeconds.
	PerRep float64
	Work   float64 // seconds of work a side, instead of Reps and PerRep
	Sides  int     // 1 or 2; 0 is 1
	Rest   float64 // seconds of rest after the set; see WarmupRest for warm-ups
	Warmup bool    // rests are then those of warm-ups
	Moves  int     // plates put on or taken off before the set, one side counted
}

// TimedExercise is one exercise of a session. Exercises with the same Pair
// letter alternate set by set.
type TimedExercise struct {
	Pair string // "" for an exercise on its own
	Sets []TimedSet
}

// TimeModel says how long the parts of a session take, all in seconds. The
// zero value has the defaults; &Range{} takes a part out.
type TimeModel struct {
	// RepSeconds is a repetition without a tempo. Default 3 (2 to 4): 1 to 2 s
	// up and 1 to 2 s down (ACSM 2009, looked-up).
	RepSeconds *Range
	// Arrival is the general warm-up before the first exercise. Default 300 (0
	// to 600): common practice, no published source.
	Arrival *Range
	// Setup is making an exercise ready, once. Default 60 (30 to 120): common
	// practice, no published source.
	Setup *Range
	// Switch is going over to the other exercise of a pair. Default 10 (5 to
	// 20): common practice, no published source.
	Switch *Range
	// Move is a plate put on or taken off, on both sides of the bar. Default 10
	// (5 to 20): common practice, no published source.
	Move *Range
	// WarmupRest is the rest after a warm-up set that gives none. Default 60
	// (30 to 90): common practice, no published source.
	WarmupRest *Range
	// RestFactor multiplies rests. Default 1 (0.9 to 1.2): common practice, no
	// published source.
	RestFactor *Range
}

// pace is one end of the model.
type pace struct {
	rep, arrival, setup, change, move, warmupRest, rest float64
	// carry keeps the last rest of an exercise before the next exercise starts.
	carry bool
}

const maxSeconds = 1e9

func (m TimeModel) paces() (mid, low, high pace, err error) {
	mid.carry, high.carry = true, true
	for _, f := range []struct {
		name           string
		r              *Range
		def            Range
		mid, low, high *float64
	}{
		{"rep_seconds", m.RepSeconds, Range{3, 2, 4}, &mid.rep, &low.rep, &high.rep},
		{"arrival", m.Arrival, Range{300, 0, 600}, &mid.arrival, &low.arrival, &high.arrival},
		{"setup", m.Setup, Range{60, 30, 120}, &mid.setup, &low.setup, &high.setup},
		{"switch", m.Switch, Range{10, 5, 20}, &mid.change, &low.change, &high.change},
		{"move", m.Move, Range{10, 5, 20}, &mid.move, &low.move, &high.move},
		{"warmup_rest", m.WarmupRest, Range{60, 30, 90}, &mid.warmupRest, &low.warmupRest, &high.warmupRest},
		{"rest_factor", m.RestFactor, Range{1, 0.9, 1.2}, &mid.rest, &low.rest, &high.rest},
	} {
		r := f.def
		if f.r != nil {
			r = *f.r
		}
		if !r.ordered(maxSeconds) {
			return mid, low, high, &FieldError{f.name, r.Mid, "low <= mid <= high, 0 or more"}
		}
		*f.mid, *f.low, *f.high = r.Mid, r.Low, r.High
	}
	return mid, low, high, nil
}

// Session is how long a session takes, in seconds; Scale(1/60.) makes minutes.
//
// The clock runs through the sets in order. A set starts when the plates are
// moved (and, for the first set of an exercise, when it is set up), and not
// before the rest is over: plates are moved while resting. Exercises of a pair
// first do their warm-ups one after the other and then alternate; each waits
// for its own rest only, during which the other works, so that their rests
// overlap. The rest after the last set of an exercise or pair runs while the
// next is set up; at the low end the next does not wait for it. Nothing is
// rested after the last set of the session.
func (m TimeModel) Session(exercises []TimedExercise) (Range, error) {
	mid, low, high, err := m.paces()
	if err != nil {
		return Range{}, err
	}
	any := false
	for i, e := range exercises {
		for j, s := range e.Sets {
			if err := checkTimed(i, j, s); err != nil {
				return Range{}, err
			}
			any = true
		}
	}
	if !any {
		return Range{}, nil
	}
	rounds := alternate(exercises)
	r := Range{mid.run(exercises, rounds), low.run(exercises, rounds), high.run(exercises, rounds)}
	if !num.Finite(r.Mid, r.Low, r.High) {
		return Range{}, &FieldError{"exercises", float64(len(exercises)), "a session that ends"}
	}
	return r, nil
}

func checkTimed(i, j int, s TimedSet) error {
	at := func(f string) string { return fmt.Sprintf("exercises[%d].sets[%d].%s", i, j, f) }
	for _, f := range []struct {
		name string
		x    float64
	}{
		{"reps", float64(s.Reps)}, {"per_rep", s.PerRep}, {"work", s.Work}, {"rest", s.Rest}, {"moves", float64(s.Moves)},
	} {
		if !(f.x >= 0 && f.x <= maxSeconds) {
			return &FieldError{at(f.name), f.x, "0 to 1e9"}
		}
	}
	if s.Sides < 0 || s.Sides > 2 {
		return &FieldError{at("sides"), float64(s.Sides), "1 or 2"}
	}
	return nil
}

// step is one set in the order in which the session does them.
type step struct {
	exercise, set int
	first         bool // of its exercise
	group         int  // exercises that alternate, or one on its own
}

// alternate puts the sets in the order of the session: a pair where its first
// exercise stands, warm-ups first, then round by round.
func alternate(exercises []TimedExercise) []step {
	n := 0
	for _, e := range exercises {
		n += len(e.Sets)
	}
	out := make([]step, 0, n)
	var members []int
	for i, e := range exercises {
		members = members[:0]
		if e.Pair == "" {
			members = append(members, i)
		} else {
			if paired(exercises[:i], e.Pair) {
				continue // done with the first of the pair
			}
			for j := i; j < len(exercises); j++ {
				if exercises[j].Pair == e.Pair {
					members = append(members, j)
				}
			}
		}
		for _, j := range members {
			for k := range warmups(exercises[j].Sets) {
				out = append(out, step{j, k, k == 0, i})
			}
		}
		for round, more := 0, true; more; round++ {
			more = false
			for _, j := range members {
				if k := warmups(exercises[j].Sets) + round; k < len(exercises[j].Sets) {
					out = append(out, step{j, k, k == 0, i})
					more = true
				}
			}
		}
	}
	return out
}

func paired(exercises []TimedExercise, pair string) bool {
	for _, e := range exercises {
		if e.Pair == pair {
			return true
		}
	}
	return false
}

// warmups is the number of sets before the first that is no warm-up.
func warmups(sets []TimedSet) int {
	for i, s := range sets {
		if !s.Warmup {
			return i
		}
	}
	return len(sets)
}

// run is the time at which the last set ends.
func (p pace) run(exercises []TimedExercise, steps []step) float64 {
	now := p.arrival
	// When the last set of each exercise of the group is rested from; so few
	// that a map would cost more.
	type rested struct {
		exercise int
		at       float64
	}
	var buf [4]rested
	group := buf[:0]
	for i, st := range steps {
		s := exercises[st.exercise].Sets[st.set]
		wait := 0.0
		if i > 0 && steps[i-1].group != st.group {
			for _, r := range group {
				if p.carry {
					wait = max(wait, r.at)
				}
			}
			group = group[:0]
		}
		for _, r := range group {
			if r.exercise == st.exercise {
				wait = r.at
			}
		}
		start := now + p.move*float64(s.Moves)
		switch {
		case st.first:
			start += p.setup
		case i > 0 && steps[i-1].exercise != st.exercise:
			start += p.change
		}
		now = max(start, wait) + p.work(s)
		rest := s.Rest * p.rest
		if s.Warmup && s.Rest == 0 {
			rest = p.warmupRest * p.rest
		}
		ready := now + rest
		known := false
		for k := range group {
			if group[k].exercise == st.exercise {
				group[k].at, known = ready, true
			}
		}
		if !known {
			group = append(group, rested{st.exercise, ready})
		}
	}
	return now
}

func (p pace) work(s TimedSet) float64 {
	one := s.Work
	if one == 0 {
		per := s.PerRep
		if per == 0 {
			per = p.rep
		}
		one = per * float64(s.Reps)
	}
	return one * float64(max(s.Sides, 1))
}
