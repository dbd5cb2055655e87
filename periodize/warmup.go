package periodize

import (
	"slices"

	"github.com/blockwright/blockwright/plates"
)

// warmups fills in the warm-up sets of a session: for every lift that is loaded
// and is no accessory, the first time that it comes up. Lifts that count
// bodyweight have none: their lightest weight is the lifter.
func (w *writer) warmups(ps *PlannedSession) {
	var warm [16]*Lift
	n := 0
	for i := range ps.Exercises {
		ex := &ps.Exercises[i]
		if ex.Role == Accessory || ex.Loads == nil || ex.Lift.BodyweightShare.Sign() > 0 || slices.Contains(warm[:n], ex.Lift) {
			continue
		}
		for k := range ex.Sets {
			if s := &ex.Sets[k]; s.HasLoad && s.Reps > 0 {
				if n < len(warm) {
					warm[n] = ex.Lift
					n++
				}
				im, _ := w.kit(ex.Lift)
				ex.Warmup = im.warmup(s)
				break
			}
		}
	}
}

// warmup is the way up to a working set, by the published protocol that package
// plates has as its general one, with the working weight standing in for the
// maximum: a warm-up to 70 % need not be as heavy as one to a maximum test.
func (im *implement) warmup(first *Set) []Set {
	im.mu.Lock()
	defer im.mu.Unlock()
	ramp, ok := im.ramps[first.Load]
	if !ok {
		r, err := im.sequencer().Warmup(first.Load, plates.WarmupOptions{})
		if err == nil { // it is loadable, since it was rounded to what is
			for _, s := range r.Sets {
				ramp = append(ramp, Set{Kind: WarmupSet, Reps: s.Reps, Sides: 1, HasLoad: true, Load: s.Mass, Exact: plates.ExactOf(s.Mass),
					Rest: float64(s.RestSeconds), Origin: Origin{Kind: ByLoad, Working: first.Load, Of: "towards the first working weight"}})
			}
		}
		if im.ramps == nil {
			im.ramps = map[plates.Mass][]Set{}
		}
		im.ramps[first.Load] = ramp
	}
	out := slices.Clone(ramp)
	for i := range out {
		out[i].Sides = max(first.Sides, 1)
	}
	return out
}
