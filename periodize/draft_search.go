package periodize

import "slices"

// maxSelections bounds the choices of exercises that are tried where none of
// the sessions they make fits, and maxReviewed the shapes that are held against
// a review where the best one has warnings.
const (
	maxSelections = 12
	maxReviewed   = 12
)

// shapes yields the searches of the selections that have a shape at all, in
// the order of preference, with the best shape of each.
func (t *draftTask) shapes(yield func(w *weekSearch, s *shape) bool) (bounded bool) {
	for i := range t.lifts {
		if t.want.avoid[i] && (t.lifts[i].focus || t.want.keep[i]) {
			return false
		}
	}
	// Where no usual choice fits, the choices of the least time are tried.
	for _, lean := range []bool{false, true} {
		c := t.newCover(lean)
		for range maxSelections {
			sel := c.next()
			if sel == nil {
				break
			}
			w := t.newWeekSearch(sel)
			if s := w.next(); s != nil && !yield(w, s) {
				return bounded
			}
			bounded = bounded || w.bounded
		}
		bounded = bounded || c.queue.Len() > 0
	}
	return bounded
}

// feasible reports whether any shape meets the wishes; bounded that the search
// ended before all were tried.
func (t *draftTask) feasible() (ok, bounded bool) {
	t.any = true
	bounded = t.shapes(func(*weekSearch, *shape) bool {
		ok = true
		return false
	})
	t.any = false
	return ok, bounded
}

// best is the draft; nil where there is none.
func (t *draftTask) best() (*Drafted, bool) {
	var found *Drafted
	bounded := t.shapes(func(w *weekSearch, s *shape) bool {
		found = w.reviewed(s)
		return found == nil
	})
	return found, bounded
}

// reviewed holds the best shapes against the review and takes the first one
// without a warning, or the one with the fewest. A shape with a problem is
// none.
func (w *weekSearch) reviewed(s *shape) *Drafted {
	var best *Drafted
	var bestShape *shape
	var passed []*shape
	cost := 0.0
	for n := 0; s != nil && n < maxReviewed; n++ {
		if best != nil && s.bound >= cost {
			passed = append(passed, s)
			break
		}
		v := w.review(s)
		if total := s.bound + costWarning*float64(v.warnings); v.problems == 0 && (best == nil || total < cost) {
			if bestShape != nil {
				passed = append(passed, bestShape)
			}
			cost, bestShape = total, s
			best = &Drafted{Block: v.block, Reasons: v.reasons, Review: v.review, Shape: w.shapeOf(s), Score: w.score(s, v.warnings)}
		} else {
			passed = append(passed, s)
		}
		if best != nil && v.warnings == 0 {
			break
		}
		s = w.next()
	}
	if best == nil {
		return nil
	}
	w.runnersUp(best, passed)
	return best
}

// reviewedShape is a shape as a block, and what the review found.
type reviewedShape struct {
	block              *Block
	reasons            []Reason
	review             *Review
	warnings, problems int
}

// review writes a shape and holds it against the review.
func (w *weekSearch) review(s *shape) (v reviewedShape) {
	v.block, v.reasons = w.block(s)
	var err error
	if v.review, err = ReviewBlock(v.block, w.t.opt.Thresholds); err != nil {
		panic("periodize: a draft does not compile: " + err.Error()) // every name and number in it is checked
	}
	for _, f := range v.review.Findings {
		switch f.Severity {
		case Warning:
			v.warnings++
		case Problem:
			v.problems++
		}
	}
	return v
}

// runnersUp tells the next best shape, and then the best ones with the largest
// week or the rests somewhere else.
func (w *weekSearch) runnersUp(d *Drafted, passed []*shape) {
	most := w.t.opt.RunnersUp
	if most == 0 {
		most = 3
	}
	if len(passed) == 0 && most > 0 {
		if s := w.next(); s != nil {
			passed = append(passed, s)
		}
	}
	w.told = map[shapeKind]bool{{d.Shape.Overreach, d.Shape.Rests}: true}
	slices.SortStableFunc(passed, func(a, b *shape) int { return compare(a.bound, b.bound) })
	for n := 0; len(d.RunnersUp) < most && n < most+maxReviewed; n++ {
		var s *shape
		if n < len(passed) {
			s = passed[n]
		} else if s = w.next(); s == nil {
			break
		}
		v := w.review(s)
		if v.problems > 0 {
			continue
		}
		w.told[shapeKind{s.week, restsOf(s.mode)}] = true
		d.RunnersUp = append(d.RunnersUp, DraftedAs{w.shapeOf(s), w.score(s, v.warnings)})
	}
	slices.SortStableFunc(d.RunnersUp, func(a, b DraftedAs) int { return compare(a.Score.Weeks, b.Score.Weeks) })
}

func (w *weekSearch) shapeOf(s *shape) DraftShape {
	out := DraftShape{Overreach: s.week, Rests: restsOf(s.mode)}
	for _, week := range s.sets {
		n := 0
		for _, k := range week {
			n += k
		}
		out.Sets = append(out.Sets, n)
	}
	out.Rise = 100 * (float64(out.Sets[s.week-1])/float64(out.Sets[0]) - 1)
	return out
}

func (w *weekSearch) score(s *shape, warnings int) Score {
	ms := w.modes[s.mode]
	p := &ms.pairs[s.pair]
	terms := slices.Clone(w.sel.terms)
	terms = append(terms,
		Term{"volume", p.terms[0], "sets of the largest week beside the usual"},
		Term{"rise", p.terms[1], "rise to the largest week beside the usual"},
		Term{"largest week", w.t.weekCost(s.week), "its place beside the usual"},
		Term{"even weeks", s.weeks, "sets of each week beside even steps"},
		Term{"rests and growth", modeCost(s.mode), "rests shorter than usual, and a first week with few sets of the focus lifts"},
		Term{"effort", ms.effort, "repetitions, reserve and weight beside even steps"},
		Term{"days", s.layout.cost, "spacing of lifts and patterns, and balance of the sessions"},
		Term{"warnings", costWarning * float64(warnings), "findings of the review"},
	)
	sc := Score{Exercises: w.sel.cost, Terms: terms}
	for _, t := range terms[len(w.sel.terms):] {
		sc.Weeks += t.Value
	}
	return sc
}
