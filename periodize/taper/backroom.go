package taper

import (
	"fmt"
	"math"
	"time"
)

// WarmupStep is one step of a warm-up: a share of the opener, and repetitions.
type WarmupStep struct {
	Share float64 // a fraction
	Reps  int     // 1 or more
}

// WarmupSteps is the default warm-up before an opener: common practice, no
// published source. Its light sets of several repetitions and rising singles
// follow the outline of published protocols for testing a maximum.
func WarmupSteps() []WarmupStep {
	return []WarmupStep{{0.35, 5}, {0.50, 5}, {0.65, 3}, {0.75, 2}, {0.85, 1}, {0.93, 1}}
}

// BackRoomOptions are the choices of [BackRoom]. The zero value works.
type BackRoomOptions struct {
	Steps      []WarmupStep  // default WarmupSteps; shares rise
	Rest       time.Duration // between sets; default 4 minutes (protocols say 3 to 5 minutes between heavy singles: ACSM 2014, looked-up)
	Lead       time.Duration // from the last set to the opener; default 6 minutes: common practice, no published source
	Increment  float64       // of the weights in the warm-up room; default 2.5
	Least      float64       // empty bar; default 20
	PerAttempt time.Duration // time an attempt takes on the platform; default 1 minute: common practice, no published source (a lifter has 60 s to start)
}

// WarmupSet is one set in the back room.
type WarmupSet struct {
	At    time.Time
	Load  float64 // in the unit of the opener, a multiple of the increment
	Reps  int     // to be done
	Share float64 // of the opener, as loaded
	ToGo  int     // attempts that are still to be made on the platform before the opener
}

// BackRoom puts the warm-up on the clock, back from the time of the opener.
// Weights are rounded to the nearest increment, ties down, and never fall under
// the empty bar or reach the opener; a step that would repeat the weight before
// it is left out.
//
// It returns a *FieldError for an opener at or under the empty bar, a step that
// is out of order, or times and weights that are not positive.
func BackRoom(opener float64, at time.Time, o BackRoomOptions) ([]WarmupSet, error) {
	if o.Steps == nil {
		o.Steps = WarmupSteps()
	}
	for _, d := range []struct {
		name string
		v    *time.Duration
		def  time.Duration
	}{{"rest", &o.Rest, 4 * time.Minute}, {"lead", &o.Lead, 6 * time.Minute}, {"per attempt", &o.PerAttempt, time.Minute}} {
		if *d.v == 0 {
			*d.v = d.def
		}
		if *d.v < time.Second || *d.v > 24*time.Hour {
			return nil, &FieldError{Field: d.name, Value: d.v.Seconds(), Want: "1 second to a day"}
		}
	}
	for _, d := range []struct {
		name string
		v    *float64
		def  float64
	}{{"increment", &o.Increment, 2.5}, {"least", &o.Least, 20}} {
		if *d.v == 0 {
			*d.v = d.def
		}
		if !(*d.v > 0 && *d.v <= 1e6) {
			return nil, &FieldError{Field: d.name, Value: *d.v, Want: "above 0"}
		}
	}
	if !(opener > o.Least && opener <= 1e6) {
		return nil, &FieldError{Field: "opener", Value: opener, Want: "above the empty bar, " + number(o.Least)}
	}
	var sets []WarmupSet
	lastShare := 0.0
	for i, s := range o.Steps {
		if !(s.Share > lastShare && s.Share < 1) {
			return nil, &FieldError{Field: fmt.Sprintf("steps[%d].share", i), Value: s.Share, Want: "rising, between 0 and 1"}
		}
		if s.Reps < 1 || s.Reps > 100 {
			return nil, &FieldError{Field: fmt.Sprintf("steps[%d].reps", i), Value: float64(s.Reps), Want: "1 to 100"}
		}
		lastShare = s.Share
		load := math.Ceil(s.Share*opener/o.Increment-0.5-1e-9) * o.Increment
		load = max(load, o.Least)
		if load >= opener || (len(sets) > 0 && load <= sets[len(sets)-1].Load) {
			continue
		}
		sets = append(sets, WarmupSet{Load: load, Reps: s.Reps, Share: load / opener})
	}
	for i := range sets {
		before := o.Lead + time.Duration(len(sets)-1-i)*o.Rest
		sets[i].At = at.Add(-before)
		sets[i].ToGo = int(before / o.PerAttempt)
	}
	return sets, nil
}

// OpensAt is when an opener is due: the start of the flight and the attempts
// before it at the time each takes (0 for 1 minute).
func OpensAt(start time.Time, attemptsBefore int, perAttempt time.Duration) time.Time {
	if perAttempt == 0 {
		perAttempt = time.Minute
	}
	return start.Add(time.Duration(attemptsBefore) * perAttempt)
}
