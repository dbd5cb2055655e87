package periodize

import (
	"fmt"
	"math"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

// Repetitions and weights of one exercise over the weeks, by dynamic
// programming over the weights and repetitions that keep the reserve.

// slotKind is what an exercise is in a session.
type slotKind uint8

const (
	heavySlot     slotKind = iota // one heavy set of a focus lift, and back-offs
	volumeSlot                    // sets across of a focus lift
	supportSlot                   // sets across of the lift behind
	developSlot                   // sets across of developmental work
	accessorySlot                 // repetitions, seconds or metres at a weight of the lifter's choice
)

// kind is the kind of an exercise's places, heavy days apart. Developmental
// work that has no weight is done like an accessory.
func (c *candidate) kind() slotKind {
	switch {
	case c.role == Focus:
		return volumeSlot
	case c.role == Support:
		return supportSlot
	case c.role == Developmental && c.loaded:
		return developSlot
	}
	return accessorySlot
}

// weekEffort is what one set is in one week.
type weekEffort struct {
	reps    int
	from    int          // lower end of a range of repetitions; 0 for none
	rir     plates.Ratio // heavy sets, and lifts without a weight
	percent float64      // sets across
	backoff struct {
		reps int
		drop float64
	}
}

// slotEffort is the repetitions and weights of an exercise over the weeks.
type slotEffort struct {
	weeks    []weekEffort
	rest     float64
	backoffs int     // most back-off sets that keep the reserve
	low      float64 // least and most predicted reserve of the main sets, NaN where none is predicted
	high     float64
	cost     float64
	why      string              // "" or why there is no way to do it
	reps     int                 // most repetitions, for the time
	warm     []workload.TimedSet // the way up to the heaviest of the working weights
	seconds  float64
	metres   float64
}

type effortKey struct {
	lift      int    // -1 for all of a curve
	curve     string // then
	kind      slotKind
	rests     int
	most      int
	low, high float64 // reserve
	heavy     bool    // by the brief's wish
}

// loadChoice is a number of repetitions at a weight that keeps the reserve in
// every one of the sets.
type loadChoice struct {
	reps        int
	percent     float64
	first, last float64 // predicted reserve of the first set and of the last
}

type spanKey struct {
	curve string
	rest  float64
	sets  int
	least float64
	most  float64
}

// percentStep is the grid of percentages, common practice in block files.
const percentStep = 0.5

// edge keeps predictions off the ends of the wanted reserve by what rounding
// to plates moves.
const edge = 0.05

// reservesOf predicts the reserves of sets into a scratch list; nil where the
// model refuses them.
func (t *draftTask) reservesOf(sets []workload.WorkSet) []workload.Reserve {
	var model workload.Recovery
	out, err := model.AppendReserves(t.left[:0], sets)
	if err != nil {
		return nil
	}
	t.left = out
	return out
}

// missing is what a rest leaves of a deficit.
func (t *draftTask) missing(rest float64) float64 {
	var model workload.Recovery
	r, err := model.Restored(rest)
	if err != nil {
		return 1
	}
	return 1 - r
}

func capacityAt(c *estimate.Curve, percent float64) (workload.Capacity, bool) {
	mean, sd, _, err := c.Reps(math.Min(percent/100, 1))
	return workload.Capacity{Mean: mean, SD: sd}, err == nil
}

// within reports whether the predicted reserves lie in the wanted range, with
// the first and the last of them.
func within(left []workload.Reserve, low, high float64) (first, last float64, ok bool) {
	first, last = math.NaN(), math.NaN()
	for _, r := range left {
		if !r.Known() {
			// Nothing is predicted far from failure, which only a wish for a
			// large reserve asks for, nor for singles at the maximum.
			if r.Reason == workload.FarFromFailure && high <= 6 {
				return first, last, false
			}
			continue
		}
		if r.Left.Mid < low || r.Left.Mid > high {
			return first, last, false
		}
		if math.IsNaN(first) {
			first = r.Left.Mid
		}
		last = r.Left.Mid
	}
	return first, last, len(left) > 0 && !math.IsNaN(first)
}

// choices lists the repetitions and percentages at which a number of sets
// across keeps the reserve.
func (t *draftTask) choices(c *estimate.Curve, rest float64, sets int, low, high float64) []loadChoice {
	key := spanKey{c.Name, rest, sets, low, high}
	if out, ok := t.spans[key]; ok {
		return out
	}
	in := edge
	if high-low < 4*edge {
		in = (high - low) / 4
	}
	var out []loadChoice
	work := make([]workload.WorkSet, sets)
	// What the sets before the last one take from it, in shares of their
	// repetitions; it saves asking the model about what cannot be.
	missing := t.missing(rest)
	spent := 0.0
	for range sets - 1 {
		spent = (spent + 1) * missing
	}
	for p := 30.0; p <= 100; p += percentStep {
		fresh, ok := capacityAt(c, p)
		for reps := 1; ok && reps <= 12; reps++ {
			if r := float64(reps); fresh.Mean-r > high || reps > 1 && fresh.Mean-r-spent*r < low-0.1 && high <= 6 || fresh.Mean-r < low {
				continue
			}
			for i := range work {
				work[i] = workload.WorkSet{Reps: float64(reps), Rest: rest, Fresh: fresh}
			}
			if first, last, ok := within(t.reservesOf(work), low+in, high-in); ok {
				out = append(out, loadChoice{reps, p, first, last})
			}
		}
	}
	t.spans[key] = out
	return out
}

// effortOf is the repetitions and weights of a lift in a kind of slot with the
// rests of a column of the table; most is the most sets across.
func (t *draftTask) effortOf(l *draftLift, kind slotKind, rests, most int) *slotEffort {
	low, high := t.span()
	key := effortKey{l.place, "", kind, rests, most, low, high, t.want.heavy != nil}
	if e, ok := t.effort[key]; ok {
		return e
	}
	var e *slotEffort
	switch {
	case kind == accessorySlot:
		e = t.accessory(l)
	case !l.loaded:
		e = t.unloaded(l, kind)
	default:
		// Lifts of one repetitions relation share all but the way up.
		shared := key
		shared.lift, shared.curve = -1, l.curve.Name
		of, ok := t.effort[shared]
		if !ok {
			if kind == heavySlot {
				of = t.heavy(l, restTable[rests][kind], most)
			} else {
				of = t.across(l, kind, rests, most)
			}
			t.effort[shared] = of
		}
		one := *of
		e = &one
	}
	if e.rest == 0 {
		e.rest = restTable[rests][kind]
	}
	for _, w := range e.weeks {
		e.reps = max(e.reps, w.reps)
	}
	if kind != accessorySlot && l.loaded && e.why == "" {
		e.warm = t.warmup(l, e)
	}
	t.effort[key] = e
	return e
}

// accessory is the same every week: a range of repetitions, and the reserve
// of the last set, which is the least. The sets before it may leave more than
// main sets do.
func (t *draftTask) accessory(l *draftLift) *slotEffort {
	e := &slotEffort{low: math.NaN(), high: math.NaN(), weeks: make([]weekEffort, t.b.Weeks)}
	low, high := t.span()
	leave := low + min(0.5, (high-low)/2)
	one := weekEffort{reps: 12, from: 8, rir: number(math.Round(100*leave) / 100)}
	switch {
	case l.def.Pattern == Carry:
		e.metres = 30
	case l.def.Pattern == TrunkWork && !l.priced:
		e.seconds = 30
	case l.priced:
		one.reps = 10
	}
	for w := range e.weeks {
		e.weeks[w] = one
	}
	return e
}

// unloaded is a lift without an implement in the place of a main lift: its
// weight is a reserve, and nothing is predicted.
func (t *draftTask) unloaded(l *draftLift, kind slotKind) *slotEffort {
	e := &slotEffort{low: math.NaN(), high: math.NaN(), weeks: make([]weekEffort, t.b.Weeks)}
	switch l.def.Pattern {
	case Carry:
		e.metres = 30
	case TrunkWork:
		e.seconds = 30
	}
	low, high := t.span()
	reps := repsAim(kind, t.b.Goal, t.b.Level)
	if kind == heavySlot {
		h := t.heavyPath(nil)
		for w := range e.weeks {
			e.weeks[w] = weekEffort{reps: h[w].reps, rir: h[w].rir}
		}
		e.cost = 0
		return e
	}
	for w := range e.weeks {
		rir := math.Round(2*(high-(high-low)*0.3)) / 2
		e.weeks[w] = weekEffort{reps: int(math.Round(reps.at(w+1, t.b.Weeks))), rir: number(min(max(rir, low), high))}
	}
	return e
}

// across is sets across of one weight: repetitions that do not rise and a
// percentage that does not fall, both as near as can be to even steps.
func (t *draftTask) across(l *draftLift, kind slotKind, rests, most int) *slotEffort {
	low, high := t.span()
	rest := restTable[rests][kind]
	var best *slotEffort
	for _, more := range longRests {
		// A minute more is worth one repetition less in each week, and more
		// where time is short.
		longer := float64(t.b.Weeks) * more / 60 * float64(1+2*rests)
		if best != nil && longer >= best.cost {
			break
		}
		e := t.acrossRest(l, kind, rest+more, most, low, high)
		if e == nil {
			continue
		}
		e.cost += longer
		if best == nil || e.cost < best.cost {
			best = e
		}
	}
	if best == nil {
		return &slotEffort{why: fmt.Sprintf("no weight and repetitions keep %d sets between %s and %s in reserve, even with %s s of rest",
			most, short(low), short(high), short(rest+longRests[len(longRests)-1]))}
	}
	return best
}

func (t *draftTask) acrossRest(l *draftLift, kind slotKind, rest float64, most int, low, high float64) *slotEffort {
	all := t.choices(l.curve, rest, most, low, high)
	if len(all) == 0 {
		return nil
	}
	weeks := t.b.Weeks
	reps := repsAim(kind, t.b.Goal, t.b.Level)
	// The effort climbs: the last set's reserve goes down over the range.
	left := fromTo{low + 0.6*(high-low), low + 0.15*(high-low)}
	percentAt := func(reps, left float64) float64 {
		f, _, err := l.curve.Fraction(max(reps+left+1.5, 1)) // the sets before cost one or two repetitions
		if err != nil {
			return 70
		}
		return 100 * f
	}
	line := fromTo{percentAt(reps.from, left.from), percentAt(reps.to, left.to)}
	own := func(w int, c loadChoice) float64 {
		r, q, p := float64(c.reps)-reps.at(w, weeks), c.last-left.at(w, weeks), c.percent-line.at(w, weeks)
		if math.IsNaN(q) {
			q = 0
		}
		cost := float64(r*r) + float64(0.5*q*q) + float64(0.25*p*p)
		switch {
		case kind != volumeSlot && c.percent >= 100*t.th.HeavyWork:
			cost += 100 // heavy work belongs to the lift in front
		case kind == volumeSlot && c.percent >= 100*t.th.HeavyDay:
			cost += 100 // and the volume day is not a heavy day
		}
		return cost
	}
	path, cost := cheapest(weeks, all, own, func(a, b loadChoice) bool { return b.reps <= a.reps && b.percent >= a.percent })
	e := &slotEffort{rest: rest, cost: cost, low: math.Inf(1), high: math.Inf(-1)}
	for _, c := range path {
		e.weeks = append(e.weeks, weekEffort{reps: c.reps, percent: c.percent})
		e.low, e.high = min(e.low, c.last, c.first), max(e.high, c.first)
	}
	return e
}

// cheapest is the path over the weeks of least cost, one choice a week, each
// following the one before where that is allowed; staying always is. Of equal
// paths the one with the earlier choices is taken.
func cheapest[C any](weeks int, all []C, own func(week int, c C) float64, follows func(a, b C) bool) ([]C, float64) {
	n := len(all)
	cost := make([]float64, n)
	from := make([][]int32, weeks)
	for i := range all {
		cost[i] = own(1, all[i])
	}
	for w := 2; w <= weeks; w++ {
		next := make([]float64, n)
		from[w-1] = make([]int32, n)
		for j := range all {
			best, at := cost[j], int32(j)
			for i := range all {
				if cost[i] < best && follows(all[i], all[j]) {
					best, at = cost[i], int32(i)
				}
			}
			next[j] = best + own(w, all[j])
			from[w-1][j] = at
		}
		cost = next
	}
	return traced(weeks, all, cost, from)
}

// heavyChoice is one heavy set.
type heavyChoice struct {
	reps    int
	rir     plates.Ratio
	percent float64
}

// heavyPath is the heaviest set of each week, from the wanted first one to the
// wanted last one: neither repetitions nor reserve turn round, the weight does
// not fall unless it was asked to, and the steps are as even as they can be.
func (t *draftTask) heavyPath(c *estimate.Curve) []heavyChoice {
	weeks := t.b.Weeks
	reps, rir := heavyAim(t.b.Goal, t.b.Level)
	h := t.want.heavy
	if h != nil {
		reps = fromTo{float64(h.Reps[0]), float64(h.Reps[1])}
		rir = fromTo{h.RIR[0].Float64(), h.RIR[1].Float64()}
	}
	fraction := func(n float64) float64 {
		if c == nil {
			return -n
		}
		f, _, err := c.Fraction(n)
		if err != nil {
			return 0.3
		}
		return 100 * f
	}
	line := fromTo{fraction(reps.from + rir.from), fraction(reps.to + rir.to)}
	var reserves []plates.Ratio
	low, high := min(rir.from, rir.to), max(rir.from, rir.to)
	for k := 0; k <= 20; k++ {
		if v := float64(k) / 2; v > low && v < high {
			reserves = append(reserves, number(v))
		}
	}
	ends := [2]plates.Ratio{number(rir.from), number(rir.to)}
	if h != nil {
		ends = h.RIR
	}
	reserves = append(reserves, ends[0])
	if ends[0].Cmp(ends[1]) != 0 {
		reserves = append(reserves, ends[1])
	}
	var all []heavyChoice
	for r := int(min(reps.from, reps.to)); r <= int(max(reps.from, reps.to)); r++ {
		for _, v := range reserves {
			all = append(all, heavyChoice{r, v, fraction(float64(r) + v.Float64())})
		}
	}
	own := func(w int, x heavyChoice) float64 {
		if w == 1 && (float64(x.reps) != reps.from || x.rir.Cmp(ends[0]) != 0) ||
			w == weeks && weeks > 1 && (float64(x.reps) != reps.to || x.rir.Cmp(ends[1]) != 0) {
			return math.Inf(1)
		}
		a, b, p := float64(x.reps)-reps.at(w, weeks), x.rir.Float64()-rir.at(w, weeks), x.percent-line.at(w, weeks)
		return float64(a*a) + float64(b*b) + float64(0.5*p*p)
	}
	turn := func(a, b, from, to float64) bool { return from >= to && b > a || from <= to && b < a }
	heavier := reps.from+rir.from >= reps.to+rir.to
	path, _ := cheapest(weeks, all, own, func(a, b heavyChoice) bool {
		return !turn(float64(a.reps), float64(b.reps), reps.from, reps.to) &&
			!turn(a.rir.Float64(), b.rir.Float64(), rir.from, rir.to) &&
			(b.percent >= a.percent) == heavier || b.percent == a.percent && b.reps == a.reps && b.rir.Cmp(a.rir) == 0
	})
	return path
}

// backoffChoice is the back-offs of a week.
type backoffChoice struct {
	reps int
	drop float64
}

// backoffFrom and backoffTo are the drops that are tried, per cent under the
// heavy set: common practice, no published source.
const backoffFrom, backoffTo = 5, 20

// heavy is one heavy set and back-offs.
func (t *draftTask) heavy(l *draftLift, rest float64, most int) *slotEffort {
	path := t.heavyPath(l.curve)
	low, high := t.span()
	e := &slotEffort{rest: rest, backoffs: most - 1, low: math.Inf(1), high: math.Inf(-1)}
	// fits[week] says which back-offs keep the reserve after that week's heavy set.
	var all []backoffChoice
	ends := [2]int{path[0].reps, path[len(path)-1].reps}
	for r := min(max(min(ends[0], ends[1])-2, 1), 12); r <= min(12, max(ends[0], ends[1])+5); r++ {
		for d := float64(backoffFrom); d <= backoffTo; d++ {
			all = append(all, backoffChoice{r, d})
		}
	}
	type result struct {
		first, last float64
		ok          bool
	}
	missing := t.missing(rest)
	table := func(high float64) []map[backoffChoice]result {
		out := make([]map[backoffChoice]result, len(path))
		for w, h := range path {
			if w > 0 && path[w-1] == h {
				out[w] = out[w-1]
				continue
			}
			out[w] = map[backoffChoice]result{}
			top, ok := capacityAt(l.curve, h.percent)
			if !ok {
				continue
			}
			work := make([]workload.WorkSet, most)
			work[0] = workload.WorkSet{Reps: float64(h.reps), Rest: rest, Fresh: top}
			for _, c := range all {
				fresh, ok := capacityAt(l.curve, h.percent*(100-c.drop)/100)
				if !ok || fresh.Mean-float64(c.reps) < low || hopeless(top, fresh, h.reps, c.reps, most, missing, low, high) {
					continue
				}
				for i := 1; i < most; i++ {
					work[i] = workload.WorkSet{Reps: float64(c.reps), Rest: rest, Fresh: fresh}
				}
				left := t.reservesOf(work)
				if len(left) == 0 {
					continue
				}
				first, last, ok := within(left[1:], low+edge, high-edge)
				// After a heavy single the model may have no answer at all.
				if !ok && !left[1].Known() && left[1].Reason != workload.FarFromFailure {
					ok = fresh.Mean-float64(c.reps) <= high && fresh.Mean-1.5*float64(c.reps) >= low
				}
				if ok {
					out[w][c] = result{first, last, true}
				}
			}
		}
		return out
	}
	if most > 1 {
		fits := table(high)
		for w := range fits {
			if len(fits[w]) == 0 { // back-offs are lighter on purpose: let them leave more
				fits = table(high + 4)
				break
			}
		}
		own := func(w int, c backoffChoice) float64 {
			r, ok := fits[w-1][c]
			if !ok {
				return math.Inf(1)
			}
			reps := float64(c.reps) - min(float64(path[w-1].reps)+1, 6)
			drop := (c.drop - 11) / 4
			last := r.last - (low + 0.4*(high-low))
			if math.IsNaN(last) {
				last = 0
			}
			return float64(reps*reps) + float64(drop*drop) + float64(0.3*last*last)
		}
		// Small steps from week to week, and repetitions that follow the heavy set's.
		picked, cost := cheapestStep(len(path), all, own, func(a, b backoffChoice) float64 {
			up := max(float64(b.reps-a.reps), 0)
			return float64(0.15*math.Abs(a.drop-b.drop)) + float64(2*up)
		})
		if math.IsInf(cost, 1) {
			e.backoffs = 0
		} else {
			e.cost = cost
			for w, c := range picked {
				we := weekEffort{reps: path[w].reps, rir: path[w].rir, percent: path[w].percent}
				we.backoff.reps, we.backoff.drop = c.reps, c.drop
				e.weeks = append(e.weeks, we)
				if r := fits[w][c]; !math.IsNaN(r.first) {
					e.low, e.high = min(e.low, r.last, r.first), max(e.high, r.first)
				}
			}
			return e
		}
	}
	for _, h := range path {
		e.weeks = append(e.weeks, weekEffort{reps: h.reps, rir: h.rir, percent: h.percent})
	}
	return e
}

// hopeless reports back-offs whose first or last set is far from the wanted
// reserve, so that the model need not be asked.
func hopeless(top, back workload.Capacity, reps, backReps, sets int, missing, low, high float64) bool {
	if reps < 2 || high > 6 {
		return false // singles cost less than their share
	}
	r := float64(backReps) / back.Mean
	spent := float64(reps) / top.Mean * missing
	if back.Mean*(1-spent)-float64(backReps) > high+0.2 {
		return true
	}
	for range sets - 2 {
		spent = (spent + r) * missing
	}
	return back.Mean*(1-spent)-float64(backReps) < low-0.2
}

// cheapestStep is cheapest with a cost for each step instead of a rule.
func cheapestStep[C any](weeks int, all []C, own func(week int, c C) float64, step func(a, b C) float64) ([]C, float64) {
	n := len(all)
	cost := make([]float64, n)
	from := make([][]int32, weeks)
	for i := range all {
		cost[i] = own(1, all[i])
	}
	for w := 2; w <= weeks; w++ {
		next := make([]float64, n)
		from[w-1] = make([]int32, n)
		for j := range all {
			mine := own(w, all[j])
			best, at := math.Inf(1), int32(0)
			if !math.IsInf(mine, 1) {
				for i := range all {
					if cost[i] >= best {
						continue
					}
					if c := cost[i] + step(all[i], all[j]); c < best {
						best, at = c, int32(i)
					}
				}
			}
			next[j] = best + mine
			from[w-1][j] = at
		}
		cost = next
	}
	return traced(weeks, all, cost, from)
}

// traced is the path that ends where the cost is least: from has, for each week
// after the first and each choice of that week, the choice of the week before.
func traced[C any](weeks int, all []C, cost []float64, from [][]int32) ([]C, float64) {
	end := 0
	for i := range cost {
		if cost[i] < cost[end] {
			end = i
		}
	}
	out := make([]C, weeks)
	for w, at := weeks, int32(end); w >= 1; w-- {
		out[w-1] = all[at]
		if w > 1 {
			at = from[w-1][at]
		}
	}
	return out, cost[end]
}
