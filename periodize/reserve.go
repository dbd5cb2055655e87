package periodize

import (
	"errors"
	"math"
	"slices"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

// reserves predicts what each set of a session leaves, from the repetitions
// that the lifter could do fresh at its weight and what the rests restore.
// Each exercise starts fresh: what the ones before it cost is not known.
func (w *writer) reserves(ps *PlannedSession) {
	for i := range ps.Exercises {
		ex := &ps.Exercises[i]
		lm, ok := w.s.maxes.lookup(ex.Lift.Name)
		if !ok || ex.Loads == nil {
			continue
		}
		c, err := w.s.maxes.curve(ex.Lift)
		if err != nil {
			panic("periodize: " + err.Error()) // Compile has looked up every curve
		}
		overlap := w.overlap(ps, i)
		w.work, w.known = w.work[:0], w.known[:0]
		for k := range ex.Sets {
			if s := &ex.Sets[k]; s.HasLoad && !s.Open && s.Reps > 0 && s.Kind != TestSet {
				w.work = append(w.work, workSet(s, lm, c, overlap))
				w.known = append(w.known, k)
			}
		}
		var model workload.Recovery
		w.left, err = model.AppendReserves(w.left[:0], w.work)
		if err != nil {
			continue // a weight so light that its repetitions cannot be counted
		}
		ranges := make([]Range, len(w.left))
		for k, r := range w.left {
			if !r.Known() {
				continue
			}
			ranges[k] = Range{Mid: r.Left.Mid, Low: r.Left.Low, High: r.Left.High}
			ex.Sets[w.known[k]].Reserve = &ranges[k]
		}
	}
}

// workSet is a set as the recovery model takes it.
func workSet(s *Set, lm *LiftMax, c *estimate.Curve, overlap workload.Overlap) workload.WorkSet {
	ws := workload.WorkSet{Reps: float64(s.Reps), Rest: s.Rest}
	if overlap != workload.NoOverlap {
		ws.Between, ws.Overlap = 1, overlap
	}
	ws.Fresh = capacity(s.Load+lm.Body, lm, c)
	return ws
}

// capacity is the repetitions that the lifter could do fresh at a weight. Its
// spread is that between lifters and that of the maximum together.
func capacity(load plates.Mass, lm *LiftMax, c *estimate.Curve) workload.Capacity {
	at := func(max plates.Mass) (mean, sd float64) {
		mean, sd, _, err := c.Reps(math.Min(load.Kilograms()/max.Kilograms(), 1))
		if err != nil {
			return 0, 0
		}
		return mean, sd
	}
	if lm.Max <= 0 || load <= 0 {
		return workload.Capacity{}
	}
	mean, sd := at(lm.Max)
	if lm.Coverage > 0 && mean > 0 {
		low, _ := at(lm.Low)
		high, _ := at(lm.High)
		if low > 0 && high > low {
			sd = math.Hypot(sd, (high-low)/(2*math.Sqrt2*math.Erfinv(lm.Coverage)))
		}
	}
	if over := load.Kilograms() / lm.Max.Kilograms(); over > 1 {
		// Above the maximum there is less than one repetition: the share that is left.
		mean = math.Max(2-over, 0.01)
	}
	return workload.Capacity{Mean: mean, SD: sd}
}

// overlap says whether an exercise alternates with one that tires the same muscles.
func (w *writer) overlap(ps *PlannedSession, i int) workload.Overlap {
	ex := &ps.Exercises[i]
	if ex.Pair == "" {
		return workload.NoOverlap
	}
	for k := range ps.Exercises {
		o := &ps.Exercises[k]
		if k == i || o.Pair != ex.Pair {
			continue
		}
		if len(o.Lift.Muscles) == 0 || len(ex.Lift.Muscles) == 0 {
			return workload.OverlapUnknown
		}
		if slices.ContainsFunc(o.Lift.Muscles, func(a Share) bool {
			return slices.ContainsFunc(ex.Lift.Muscles, func(b Share) bool { return a.Muscle == b.Muscle })
		}) {
			return workload.SharedMuscles
		}
	}
	return workload.NoOverlap
}

// lastReserve is the repetitions to failure that the first of several equal sets
// needs so that the last one keeps the reserve.
func (x *pricing) lastReserve(g *group, rir float64) (reps float64, ok bool) {
	sets := make([]workload.WorkSet, g.sets)
	for i := range sets {
		sets[i] = workload.WorkSet{Reps: float64(g.reps), Rest: g.rest}
	}
	var model workload.Recovery
	c, err := model.FreshCapacity(rir, sets)
	if err == nil {
		return c.Mid, true
	}
	why := err.Error()
	if reach := (*workload.ReachError)(nil); errors.As(err, &reach) {
		why = string(reach.Reason)
	}
	x.w.notes.add("first_reserve", Note, x.def.Name, "the reserve is that of the first set, since the last set's cannot be solved for: "+why, workload.RecoveryEvidence)
	return float64(g.reps) + rir, false
}
