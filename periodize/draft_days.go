package periodize

import (
	"math"
	"slices"

	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

// Placing exercises on days, by branch and bound.

// placed is one exercise of one session.
type placed struct {
	lift int // in the selection
	kind slotKind
	part int // which of the lift's places
	of   int // how many places of this kind
	day  int
	pair string
}

// week is a layout of the days.
type weekLayout struct {
	places []placed // by day, and in the order of the session
	parts  []int    // places of each lift
	cost   float64
}

// maxPlaced bounds the search for a layout.
const maxPlaced = 6000

// share is the sets of a place when its lift has n in the week.
func shareOfSets(p *placed, n, parts int, l *draftLift, backoffs int) int {
	if !l.focus {
		return evenly(n, p.of, p.part)
	}
	if parts == 1 {
		return n
	}
	heavy := slotSets[Focus]
	if l.loaded {
		heavy = 1 + backoffs
	}
	volume := parts - 1
	h := min(max((4*n+5)/10, 1), heavy)
	h = min(max(h, n-slotSets[Focus]*volume), n)
	if p.kind == heavySlot {
		return h
	}
	return evenly(n-h, volume, p.part)
}

// evenly is the k-th of n parts of a number of sets, the first ones larger.
func evenly(sets, n, k int) int {
	s := sets / n
	if k < sets%n {
		s++
	}
	return s
}

// lists the places of each lift when the week has these sets.
func (w *weekSearch) split(sets []int, more int, rests int) ([]placed, []int) {
	days := len(w.t.b.Days)
	parts := make([]int, len(sets))
	total := 0
	for i, n := range sets {
		c := &w.sel.chosen[i]
		switch {
		case c.role != Focus:
			parts[i] = (n + slotSets[c.role] - 1) / slotSets[c.role]
		case days == 1 || n < 2:
			parts[i] = 1
		default:
			heavy := slotSets[Focus]
			if c.loaded {
				heavy = 1 + w.effort(i, heavySlot, rests).backoffs
			}
			h := min(max((4*n+5)/10, 1), heavy)
			parts[i] = 1 + max((n-h+slotSets[Focus]-1)/slotSets[Focus], 1)
		}
		parts[i] = min(parts[i], days)
		total += parts[i]
	}
	// Every day has something on it; more places make smaller pieces.
	for total < days || more > 0 {
		at := -1
		for i, n := range sets {
			if parts[i] < min(days, n) && (at < 0 || n*parts[at] > sets[at]*parts[i]) {
				at = i
			}
		}
		if at < 0 {
			break
		}
		parts[at]++
		total++
		if total > days {
			more--
		}
	}
	var out []placed
	for i := range sets {
		c := &w.sel.chosen[i]
		if c.role == Focus {
			out = append(out, placed{lift: i, kind: heavySlot, of: 1})
			for k := range parts[i] - 1 {
				out = append(out, placed{lift: i, kind: volumeSlot, part: k, of: parts[i] - 1})
			}
			continue
		}
		for k := range parts[i] {
			out = append(out, placed{lift: i, kind: c.kind(), part: k, of: parts[i]})
		}
	}
	slices.SortStableFunc(out, func(a, b placed) int { return int(a.kind) - int(b.kind) })
	return out, parts
}

// layout is the best layout for a rung; nil where the sessions do not fit.
func (w *weekSearch) layout(mode, rung int, tooSoon bool) *weekLayout {
	key := layoutKey{mode, rung, tooSoon}
	if out, ok := w.layouts[key]; ok {
		return out
	}
	var best *weekLayout
	for more := 0; more <= 2 && best == nil; more++ {
		best = w.place(restsOf(mode), w.modes[mode].ladder.rungs[rung], more, tooSoon)
	}
	w.layouts[key] = best
	return best
}

type layoutKey struct {
	mode, rung int
	tooSoon    bool
}

func (w *weekSearch) place(rests int, sets []int, more int, tooSoon bool) *weekLayout {
	places, parts := w.split(sets, more, rests)
	if len(places) > 64 {
		return nil
	}
	s := &daySearch{w: w, rests: rests, places: places, parts: parts, sets: sets, days: len(w.t.b.Days), limit: w.t.want.seconds,
		memo: map[uint64]float64{}, best: math.Inf(1), tooSoon: tooSoon}
	s.on = make([]uint64, s.days)
	s.took = make([]float64, s.days)
	alone := 0.0
	for i := range places {
		alone += s.seconds(1<<i) - arrival
	}
	s.mean = alone/float64(s.days) + arrival
	s.try(0, 0)
	if s.tries > maxPlaced && s.found == nil {
		w.bounded = true
	}
	if s.found == nil {
		return nil
	}
	out := &weekLayout{places: s.found, parts: parts, cost: s.best}
	slices.SortStableFunc(out.places, func(a, b placed) int {
		if a.day != b.day {
			return a.day - b.day
		}
		return int(a.kind) - int(b.kind)
	})
	w.pair(out.places)
	return out
}

// arrival is the time model's general warm-up, once a session.
const arrival = 300

type daySearch struct {
	w       *weekSearch
	rests   int
	places  []placed
	parts   []int
	sets    []int
	days    int
	limit   float64
	mean    float64
	tooSoon bool
	on      []uint64 // places on each day
	took    []float64
	memo    map[uint64]float64
	best    float64
	found   []placed
	tries   int
}

// try places the k-th exercise.
func (s *daySearch) try(k int, cost float64) {
	if s.tries++; s.tries > maxPlaced || s.w.t.any && s.found != nil {
		return
	}
	if k == len(s.places) {
		for _, on := range s.on {
			if on == 0 {
				cost += costEmptyDay
			}
		}
		if cost < s.best-1e-9 {
			s.best = cost
			s.found = slices.Clone(s.places)
		}
		return
	}
	type option struct {
		day  int
		cost float64
		took float64
	}
	var buf [7]option
	options := buf[:0]
	for d := range s.days {
		c, took, ok := s.step(k, d)
		if ok && cost+c < s.best-1e-9 {
			options = append(options, option{d, c, took})
		}
	}
	slices.SortStableFunc(options, func(a, b option) int {
		if a.cost != b.cost {
			return compare(a.cost, b.cost)
		}
		return compare(a.took, b.took)
	})
	for _, o := range options {
		was, took := s.on[o.day], s.took[o.day]
		s.places[k].day = o.day
		s.on[o.day] |= 1 << k
		s.took[o.day] = o.took
		s.try(k+1, cost+o.cost)
		s.on[o.day], s.took[o.day] = was, took
	}
}

// step is what it costs to put place k on day d.
func (s *daySearch) step(k, d int) (cost, took float64, ok bool) {
	p := &s.places[k]
	took = s.seconds(s.on[d] | 1<<k)
	if took > s.limit {
		return 0, 0, false
	}
	over := func(t float64) float64 { return max(t/s.mean-1.1, 0) }
	cost = costBalance * 10 * (over(took) - over(s.took[d]))
	mine := &s.w.sel.chosen[p.lift]
	offsets := s.w.t.offsets
	for j := range k {
		o := &s.places[j]
		gap := abs(offsets[o.day] - offsets[d])
		gap = min(gap, 7-gap)
		if o.lift == p.lift {
			switch {
			case gap == 0:
				return 0, 0, false
			case gap == 1:
				cost += costClose
			}
			// Parts of one kind are alike: in the order of their days.
			if o.kind == p.kind && o.day > d {
				return 0, 0, false
			}
			continue
		}
		if p.kind == heavySlot && o.kind == heavySlot && gap == 0 {
			cost += costTwoHeavy
		}
		if other := &s.w.sel.chosen[o.lift]; other.def.Pattern == mine.def.Pattern {
			switch {
			case p.kind == heavySlot && o.kind == heavySlot && gap < s.w.t.th.HeavyDaysApart:
				cost += costWarning
			case gap == 0:
				cost += costPattern
			case gap == 1:
				cost += costPattern / 4
			}
		}
	}
	if s.tooSoon && p.kind == heavySlot {
		for _, o := range offsets {
			if o > offsets[d] {
				cost += costTooSoon
				break
			}
		}
	}
	return cost, took, true
}

// seconds is the time of a session of these places.
func (s *daySearch) seconds(on uint64) float64 {
	if t, ok := s.memo[on]; ok {
		return t
	}
	var list []placed
	for i := range s.places {
		if on>>i&1 == 1 {
			list = append(list, s.places[i]) // in the order of their kinds
			list[len(list)-1].day = 0        // of one session
		}
	}
	s.w.pair(list)
	t := s.w.sessionSeconds(s.rests, list, s.parts, s.sets)
	s.memo[on] = t
	return t
}

// sessionSeconds is the time of one session in the time model of plans.
func (w *weekSearch) sessionSeconds(rests int, list []placed, parts, sets []int) float64 {
	timed, all := w.timed[:0], w.timedSets[:0]
	warmed := 0
	var done [64]int
	for i := range list {
		p := &list[i]
		c := &w.sel.chosen[p.lift]
		e := w.effort(p.lift, p.kind, rests)
		n := shareOfSets(p, sets[p.lift], parts[p.lift], c.draftLift, w.backoffs(p.lift, rests))
		if n == 0 {
			continue
		}
		from := len(all)
		if p.kind != accessorySlot && c.loaded && !slices.Contains(done[:warmed], p.lift) {
			done[warmed] = p.lift
			warmed++
			all = append(all, e.warm...)
		}
		one := workload.TimedSet{Reps: e.reps, PerRep: c.def.Tempo, Sides: sidesOf(c.def), Rest: e.rest}
		switch {
		case e.seconds > 0:
			one.Reps, one.Work = 0, e.seconds
		case e.metres > 0:
			one.Reps, one.Work = 0, e.metres/metresPerSecond
		}
		back := one
		if p.kind == heavySlot && c.loaded {
			back.Reps = 0
			for _, we := range e.weeks {
				back.Reps = max(back.Reps, we.backoff.reps)
			}
		}
		for k := range n {
			if k == 0 {
				all = append(all, one)
			} else {
				all = append(all, back)
			}
		}
		timed = append(timed, workload.TimedExercise{Pair: p.pair, Sets: all[from:len(all):len(all)]})
	}
	w.timed, w.timedSets = timed, all
	var model workload.TimeModel
	r, err := model.Session(timed)
	if err != nil {
		return math.Inf(1)
	}
	return r.Mid
}

// warmup is the way up to the heaviest working weight of the weeks.
func (t *draftTask) warmup(l *draftLift, e *slotEffort) []workload.TimedSet {
	if l.def.BodyweightShare.Sign() > 0 {
		return nil
	}
	top := 0.0
	for _, we := range e.weeks {
		top = max(top, we.percent)
	}
	load := l.im.loads.Round(l.max.Working.Percent(number(math.Round(100*top)/100)), plates.Nearest)
	first := Set{Load: load.Mass, Sides: sidesOf(l.def)}
	var out []workload.TimedSet
	for _, s := range l.im.warmup(&first) {
		out = append(out, timedSet(&s, l.def))
	}
	return out
}

// sidesOf is 2 for lunges, which are done one side at a time.
func sidesOf(l *Lift) int {
	if l.Pattern == Lunge {
		return 2
	}
	return 1
}

// pair gives the accessories of each session letters, two by two where they
// train different muscles; list is in the order of the sessions.
func (w *weekSearch) pair(list []placed) {
	letter := 'A'
	for i := range list {
		list[i].pair = ""
	}
	for i := range list {
		if i > 0 && list[i].day != list[i-1].day {
			letter = 'A'
		}
		if list[i].kind != accessorySlot || list[i].pair != "" {
			continue
		}
		for j := i + 1; j < len(list) && list[j].day == list[i].day; j++ {
			if list[j].kind == accessorySlot && list[j].pair == "" && apart(&w.sel.chosen[list[i].lift], &w.sel.chosen[list[j].lift]) {
				list[i].pair, list[j].pair = string(letter), string(letter)
				letter++
				break
			}
		}
	}
}

// apart reports whether two lifts are known to share no muscle.
func apart(a, b *candidate) bool {
	if len(a.def.Muscles) == 0 || len(b.def.Muscles) == 0 {
		return false
	}
	for m := range a.shares {
		if a.shares[m] > 0 && b.shares[m] > 0 {
			return false
		}
	}
	return true
}
