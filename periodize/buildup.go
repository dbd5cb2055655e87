package periodize

import "github.com/blockwright/blockwright/plates"

// maxRamp bounds the sets of a work-up, so that a small step cannot fill a page.
const maxRamp = 12

// buildUp writes a work-up to a best set of the day: sets from the start
// percentage up in equal steps while they stay under what the lifter is
// expected to manage, and an open box for the best set.
func (x *pricing) buildUp(ex *Exercise, it *weekItem) {
	b := it.build
	blank := Set{Kind: MainSet, Reps: b.reps, Sides: max(it.src.Sides, 1), Rest: b.rest}
	best := blank
	best.Kind, best.Open = HeavySet, true
	rir := b.toRIR.Float64()
	best.RIR = &rir
	best.Origin.Kind, best.Origin.Value = ByRIR, b.toRIR
	if x.im == nil || x.lm == nil {
		ex.Sets = []Set{best}
		return
	}
	x.expect(&best, float64(b.reps)+rir)
	for k := range maxRamp {
		s := blank
		s.Origin = Origin{Kind: ByPercent, Value: b.start.Add(b.step.Mul(ratio(int64(k), 1)))}
		x.percent(&s, s.Origin.Value, plates.Ratio{})
		if best.Expect[0] > 0 && s.Load >= best.Expect[0] {
			break
		}
		if n := len(ex.Sets); n > 0 && s.Load == ex.Sets[n-1].Load {
			continue // rounding gave the same weight again
		}
		ex.Sets = append(ex.Sets, s)
	}
	ex.Sets = append(ex.Sets, best)
	heavy := len(ex.Sets) - 1
	if it.backoff != nil {
		for range it.backoff.sets {
			s := x.blank(it.backoff)
			s.Kind = BackoffSet
			x.drop(&s, it.backoff, ex.Sets, heavy)
			ex.Sets = append(ex.Sets, s)
		}
	}
}

// expect fills in the range that an open set is expected in: the ends of the
// maximum's interval, at what one lifter in four and three in four could do.
func (x *pricing) expect(s *Set, reps float64) {
	low, okLow := x.effort(reps, 0.25)
	high, okHigh := x.effort(reps, 0.75)
	if !okLow || !okHigh {
		return
	}
	// effort is stated on the working maximum; the interval is of the maximum
	at := func(end plates.Mass, pct plates.Ratio, how plates.Rounding) plates.Mass {
		share := x.lm.Working.Percent(pct).Scale(ratio(int64(end), int64(x.lm.Max)))
		return x.loadedHow(share.Add(-x.lm.Body), how)
	}
	s.Expect = [2]plates.Mass{at(x.lm.Low, low, plates.Down), at(x.lm.High, high, plates.Up)}
}

// loadedHow rounds in a direction of its own instead of the lifter's.
func (x *pricing) loadedHow(exact plates.Exact, how plates.Rounding) plates.Mass {
	if x.im.assist {
		if how == plates.Down {
			how = plates.Up
		} else {
			how = plates.Down
		}
		return -x.im.loads.Round(exact.Neg(), how).Mass
	}
	return x.im.loads.Round(exact, how).Mass
}
