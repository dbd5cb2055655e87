package periodize

import "github.com/blockwright/blockwright/plates"

// maxRamp bounds the sets of a work-up, so that a small step cannot fill a
// page. Of a longer ramp every second set is left out, or every second and
// third, and so on: the one just under the best set stays.
const maxRamp = 12

// buildUp writes a work-up to a best set of the day: sets from the start
// percentage up in equal steps while they stay under what the lifter is
// expected to manage, and an open box for the best set. Of the lifter's share
// of the sets, the best set counts as one and stays; the ramp is the way to it
// and is not counted.
func (x *pricing) buildUp(ex *Exercise, it *weekItem) {
	b := it.build
	blank := Set{Kind: MainSet, Reps: b.reps, Sides: max(it.src.Sides, 1), Rest: b.rest}
	best := blank
	best.Kind, best.Open = HeavySet, true
	rir := b.toRIR.Float64()
	best.RIR = &rir
	best.Origin.Kind, best.Origin.Value = ByRIR, b.toRIR
	if x.im != nil && x.lm != nil {
		x.expect(&best, float64(b.reps)+rir)
		ex.Sets = x.ramp(b, blank, &best)
	}
	ex.Sets = append(ex.Sets, best)
	heavy := len(ex.Sets) - 1
	if it.backoff != nil {
		for range x.wanted(1+it.backoff.sets) - 1 {
			s := x.blank(it.backoff)
			s.Kind = BackoffSet
			x.drop(&s, it.backoff, ex.Sets, heavy)
			ex.Sets = append(ex.Sets, s)
		}
	}
}

// ramp is the sets up to the best one, all under what it is expected to be; up
// to the maximum where nothing is expected.
func (x *pricing) ramp(b *weekBuild, blank Set, best *Set) []Set {
	var sets []Set
	for pct := b.start; best.HasExpect || pct.Cmp(hundred) <= 0; pct = pct.Add(b.step) {
		s := blank
		s.Origin = Origin{Kind: ByPercent, Value: pct}
		x.percent(&s, pct, plates.Ratio{})
		if s.Above || best.HasExpect && s.Load >= best.Expect[0] {
			break
		}
		if n := len(sets); n > 0 && s.Load == sets[n-1].Load {
			continue // rounding gave the same weight again
		}
		sets = append(sets, s)
	}
	if every := (len(sets) + maxRamp - 1) / maxRamp; every > 1 {
		kept := sets[:0]
		for i := (len(sets) - 1) % every; i < len(sets); i += every {
			kept = append(kept, sets[i])
		}
		return kept
	}
	return sets
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
	top := at(x.lm.High, high, plates.Up)
	if top+x.lm.Body > x.lm.High {
		top = at(x.lm.High, high, plates.Down) // nothing is expected beyond what the maximum may be
	}
	bottom := at(x.lm.Low, low, plates.Down)
	s.HasExpect, s.Expect = true, [2]plates.Mass{bottom, max(bottom, top)}
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
