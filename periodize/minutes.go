package periodize

import (
	"github.com/blockwright/blockwright/periodize/workload"
)

// metresPerSecond is how fast carries are walked: common practice, no
// published source.
const metresPerSecond = 1

// minutes works out how long a session takes.
func (w *writer) minutes(ps *PlannedSession) {
	w.timed = w.timed[:0]
	n := 0
	for i := range ps.Exercises {
		n += len(ps.Exercises[i].Warmup) + len(ps.Exercises[i].Sets)
	}
	sets := make([]workload.TimedSet, 0, n)
	for i := range ps.Exercises {
		ex := &ps.Exercises[i]
		first := len(sets)
		for _, list := range [][]Set{ex.Warmup, ex.Sets} {
			for k := range list {
				sets = append(sets, timedSet(&list[k], ex.Lift))
			}
		}
		w.timed = append(w.timed, workload.TimedExercise{Pair: ex.Pair, Sets: sets[first:]})
	}
	var model workload.TimeModel
	r, err := model.Session(w.timed)
	if err != nil {
		return // a session that would not end in a thousand years
	}
	r = r.Scale(1. / 60)
	ps.Minutes = &Range{Mid: r.Mid, Low: r.Low, High: r.High}
}

func timedSet(s *Set, l *Lift) workload.TimedSet {
	t := workload.TimedSet{Reps: s.Reps, PerRep: l.Tempo, Sides: s.Sides, Rest: s.Rest, Warmup: s.Kind == WarmupSet, Moves: s.Moves}
	switch {
	case s.Seconds > 0:
		t.Work = s.Seconds
	case s.Metres > 0:
		t.Work = s.Metres / metresPerSecond
	}
	return t
}
