package periodize

import (
	"github.com/blockwright/blockwright/plates"
)

// loadingWork bounds the search for the fewest plate moves of a session. A gym
// with an ordinary stock stays far under it; where it does not suffice the best
// loading found is used.
const loadingWork = 300_000

// loading says what goes on each side for every set of a session, so that the
// whole session, warm-ups included, takes the fewest plate moves: bar by bar,
// the sets on it in the order in which they are done.
func (w *writer) loading(ps *PlannedSession) {
	ps.Moves = 0
	w.order = performed(w.order[:0], ps)
	for i := range ps.Exercises {
		l := ps.Exercises[i].Loads
		if l == nil || barBefore(ps, i) {
			continue
		}
		if _, ok := l.Bar(); !ok {
			continue
		}
		im, _ := w.kit(ps.Exercises[i].Lift)
		w.bar(ps, l, im)
	}
}

// barBefore reports whether an earlier exercise is on the same bar.
func barBefore(ps *PlannedSession, i int) bool {
	for k := range i {
		if ps.Exercises[k].Loads == ps.Exercises[i].Loads {
			return true
		}
	}
	return false
}

// bar loads one bar through the session.
func (w *writer) bar(ps *PlannedSession, l *plates.Loads, im *implement) {
	w.targets, w.onBar = w.targets[:0], w.onBar[:0]
	for _, p := range w.order {
		ex := &ps.Exercises[p.exercise]
		if s := p.set(ex); ex.Loads == l && s.HasLoad {
			w.onBar = append(w.onBar, s)
			if n := len(w.targets); n == 0 || w.targets[n-1].Mass != s.Load {
				w.targets = append(w.targets, plates.Target{Mass: s.Load})
			}
		}
	}
	if len(w.targets) == 0 {
		return
	}
	im.mu.Lock()
	seq, err := im.sequencer().Sequence(w.targets, plates.SequenceOptions{Work: loadingWork})
	im.mu.Unlock()
	if err != nil {
		return // every weight was rounded to what can be loaded
	}
	ps.Moves += seq.Moves
	k := -1
	var last plates.Mass = -1
	for _, s := range w.onBar {
		s.Moves = 0 // a deload set is a copy of the last week's
		if s.Load != last {
			k, last = k+1, s.Load
			s.Moves = len(seq.Steps[k].Off) + len(seq.Steps[k].On)
		}
		s.Side = seq.Steps[k].Side
	}
}

// sequencer is the implement's planner of plate moves; hold mu.
func (im *implement) sequencer() *plates.Sequencer {
	if im.seq == nil {
		im.seq = plates.NewSequencer(im.loads)
	}
	return im.seq
}

// turn is one set in the order of a session.
type turn struct {
	exercise int
	warmup   bool
	index    int
}

func (p turn) set(ex *Exercise) *Set {
	if p.warmup {
		return &ex.Warmup[p.index]
	}
	return &ex.Sets[p.index]
}

// performed is the sets of a session in the order in which they are done:
// exercises with the same pair letter warm up one after the other and then
// alternate set by set.
func performed(dst []turn, ps *PlannedSession) []turn {
	for i := range ps.Exercises {
		pair := ps.Exercises[i].Pair
		if pair != "" && pairedBefore(ps, i) {
			continue
		}
		most := 0
		for k := i; k < len(ps.Exercises); k++ {
			ex := &ps.Exercises[k]
			if k != i && (pair == "" || ex.Pair != pair) {
				continue
			}
			for n := range ex.Warmup {
				dst = append(dst, turn{k, true, n})
			}
			most = max(most, len(ex.Sets))
		}
		for round := range most {
			for k := i; k < len(ps.Exercises); k++ {
				ex := &ps.Exercises[k]
				if (k == i || pair != "" && ex.Pair == pair) && round < len(ex.Sets) {
					dst = append(dst, turn{k, false, round})
				}
			}
		}
	}
	return dst
}

func pairedBefore(ps *PlannedSession, i int) bool {
	for k := range i {
		if ps.Exercises[k].Pair == ps.Exercises[i].Pair {
			return true
		}
	}
	return false
}
