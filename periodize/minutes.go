package periodize

import (
	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

// metresPerSecond is how fast carries are walked: common practice, no
// published source.
const metresPerSecond = 1

// minutes works out how long a session takes and how many plates it moves.
func (w *writer) minutes(ps *PlannedSession) {
	w.timed = w.timed[:0]
	n := 0
	for i := range ps.Exercises {
		n += len(ps.Exercises[i].Warmup) + len(ps.Exercises[i].Sets)
	}
	sets := make([]workload.TimedSet, 0, n)
	ps.Moves = 0
	for i := range ps.Exercises {
		ex := &ps.Exercises[i]
		first := len(sets)
		var on []plates.Plate
		last := plates.Mass(-1)
		for _, list := range [][]Set{ex.Warmup, ex.Sets} {
			for k := range list {
				t := timedSet(&list[k], ex.Lift)
				if list[k].Load != last {
					last = list[k].Load
					on, t.Moves = moves(ex, &list[k], on)
				}
				ps.Moves += t.Moves
				sets = append(sets, t)
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
	t := workload.TimedSet{Reps: s.Reps, PerRep: l.Tempo, Sides: s.Sides, Rest: s.Rest, Warmup: s.Kind == WarmupSet}
	switch {
	case s.Seconds > 0:
		t.Work = s.Seconds
	case s.Metres > 0:
		t.Work = s.Metres / metresPerSecond
	}
	return t
}

// moves is the plates of one side that change for a set, and what is on then.
func moves(ex *Exercise, s *Set, on []plates.Plate) ([]plates.Plate, int) {
	if ex.Loads == nil || !s.HasLoad || s.Load < 0 {
		return on, 0
	}
	side, ok := ex.Loads.PerSide(s.Load)
	if !ok {
		return on, 0
	}
	same := 0
	for same < len(on) && same < len(side) && on[same] == side[same] {
		same++
	}
	return side, len(on) + len(side) - 2*same
}
