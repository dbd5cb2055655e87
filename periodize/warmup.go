package periodize

import (
	"slices"

	"github.com/blockwright/blockwright/plates"
)

// warmups fills in the warm-up sets of a session: for every lift that is loaded
// and is no accessory, the first time that it comes up.
func (w *writer) warmups(ps *PlannedSession) {
	var warm []*Lift
	for i := range ps.Exercises {
		ex := &ps.Exercises[i]
		if ex.Role == Accessory || ex.Loads == nil || ex.Lift.BodyweightShare.Sign() > 0 || slices.Contains(warm, ex.Lift) {
			continue
		}
		first := slices.IndexFunc(ex.Sets, func(s Set) bool { return s.HasLoad && s.Reps > 0 })
		if first < 0 {
			continue
		}
		warm = append(warm, ex.Lift)
		ex.Warmup = w.warmup(ex, ex.Sets[first])
	}
}

// warmupStep is one set on the way to a working weight.
type warmupStep struct {
	percent plates.Ratio
	reps    int
}

// The steps of a warm-up in per cent of the first working weight: about half
// of it for 5 to 10, then 60 to 80 % for 3 to 5 (Kraemer and Fry 1995, and the
// ACSM description of a maximum test, both looked-up in summaries, restated
// here on the working weight); the last single step is common practice, no
// published source.
var warmupSteps = [...]warmupStep{{ratio(50, 1), 8}, {ratio(70, 1), 4}, {ratio(85, 1), 2}}

// warmupRest is the rest in seconds after a warm-up set: 60 s after the light
// ones (NSCA and ACSM test procedures, looked-up).
const warmupRest = 60

// warmup is the way up to a working set: loadable weights, each heavier than the
// one before and lighter than the working weight.
func (w *writer) warmup(ex *Exercise, first Set) []Set {
	out := make([]Set, 0, len(warmupSteps))
	last := plates.Mass(-1)
	for _, st := range warmupSteps {
		m := ex.Loads.Round(first.Load.Percent(st.percent), plates.Down).Mass
		if m <= last || m >= first.Load {
			continue
		}
		last = m
		out = append(out, Set{Kind: WarmupSet, Reps: st.reps, Sides: first.Sides, HasLoad: true, Load: m,
			Exact: first.Load.Percent(st.percent), Rest: warmupRest,
			Origin: Origin{Kind: ByPercent, Value: st.percent, Working: first.Load, Of: "the first working weight"}})
	}
	return out
}
