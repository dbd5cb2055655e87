package periodize

import (
	"fmt"
	"math"
	"slices"

	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

var hundred = ratio(100, 1)

// writer makes out one lifter's plan.
type writer struct {
	p     *Program
	s     *lifterSetup
	plan  *Plan
	notes collector
	bare  bool

	// scratch of reserves and minutes
	work  []workload.WorkSet
	left  []workload.Reserve
	known []int
	timed []workload.TimedExercise

	// scratch of loading
	order   []turn
	targets []plates.Target
	onBar   []*Set
}

// Plan computes the plan of lifter i, 0 to less than Len; beyond it panics, as an index does.
func (p *Program) Plan(i int) *Plan {
	return p.plan(i, false)
}

// plan computes the plan of lifter i; bare leaves out warm-ups, loading,
// reserves and minutes, which depend on the weights and not the other way round.
func (p *Program) plan(i int, bare bool) *Plan {
	s := &p.lifters[i]
	w := &writer{p: p, s: s, bare: bare, plan: &Plan{Block: p.block, Lifter: s.lifter, Gym: s.gym, Unit: s.gym.Unit, Start: s.cal.start}}
	w.plan.Maxes = slices.Clone(s.maxes.found)
	order := s.cal.order(p.block)
	for week := 1; week <= p.block.Weeks; week++ {
		w.week(week, order)
	}
	w.deload(order)
	if p.block.Finish.Test {
		w.testDay()
	}
	w.plan.Warnings = w.notes.findings(w.plan.Unit)
	if !w.bare {
		w.plan.Warnings = append(w.plan.Warnings, w.foresee()...)
	}
	return w.plan
}

func (w *writer) week(week int, order []int) {
	for _, i := range order {
		for k := range w.p.weeks[week-1] {
			if ws := &w.p.weeks[week-1][k]; ws.index == i {
				w.plan.Sessions = append(w.plan.Sessions, w.session(ws, week))
			}
		}
	}
}

func (w *writer) session(ws *weekSession, week int) PlannedSession {
	ps := w.header(ws.index, week, Training)
	ps.Exercises = make([]Exercise, 0, len(ws.items))
	for k := range ws.items {
		it := &ws.items[k]
		w.notes.at = place{week, ps.Name}
		ps.Exercises = append(ps.Exercises, w.exercise(it, week))
	}
	w.complete(&ps)
	return ps
}

// complete works out what depends on a session's sets and weights.
func (w *writer) complete(ps *PlannedSession) {
	if w.bare {
		return
	}
	unpair(ps)
	w.warmups(ps)
	w.loading(ps)
	w.reserves(ps)
	w.minutes(ps)
}

// unpair takes the letter of a pair off an exercise whose partner is not in the session, in some weeks for instance.
func unpair(ps *PlannedSession) {
	n := map[string]int{}
	for i := range ps.Exercises {
		n[ps.Exercises[i].Pair]++
	}
	for i := range ps.Exercises {
		if n[ps.Exercises[i].Pair] == 1 {
			ps.Exercises[i].Pair = ""
		}
	}
}

// header is a session's frame: name, day and date.
func (w *writer) header(index, week int, kind SessionKind) PlannedSession {
	src := &w.p.block.Sessions[index]
	ps := PlannedSession{Week: week, Name: src.Name, Kind: kind, Day: src.Day, Limit: src.Limit, Note: src.Note,
		Date: w.s.cal.date(w.p.block, week, index)}
	if !ps.Date.IsZero() {
		d := ps.Date.Weekday()
		ps.Day = &d
	}
	return ps
}

// exercise works out one item's sets in one week.
func (w *writer) exercise(it *weekItem, week int) Exercise {
	def, im, lm := w.resolve(it.lift.Name)
	ex := Exercise{Lift: def, Item: it.index, Role: it.role, Pair: it.src.Pair, Note: it.src.Note}
	if im != nil {
		ex.Loads = im.loads
	}
	x := &pricing{w: w, def: def, im: im, lm: lm, adjust: w.adjustment(week, it.lift.Name, def.Name), last: it.src.ReserveOf == LastSet}
	if it.build != nil {
		x.buildUp(&ex, it)
	} else {
		x.prescribe(&ex, it)
	}
	w.notes.read(&ex)
	if def != it.lift && it.needsMax() && lm != nil {
		w.lostShare(it.lift, def, lm)
	}
	return ex
}

// lostShare notes a swap by which weights that went by a share of a maximum go by the
// whole one: the lift from, which is left out, has a share of another's maximum, and the
// lift that is done instead is done for that other one too. A percentage is of the
// maximum of the lift that is done, so that the arithmetic stands.
func (w *writer) lostShare(from, done *Lift, lm *LiftMax) {
	if from.Max == nil || slices.ContainsFunc(w.s.lifter.Maxes, func(m MaxEntry) bool { return m.Lift == from.Name }) {
		return
	}
	if of, err := w.s.lift(w.p.block, from.Max.Of); err != nil || of != done {
		return
	}
	share := w.s.maxes.tenth(lm.Max.Percent(from.Max.Percent).Add(from.Max.Plus))
	if share <= 0 || share == lm.Max {
		return
	}
	u := w.plan.Unit
	change, more := 100*(float64(lm.Max)/float64(share)-1), "heavier"
	if change < 0 {
		change, more = -change, "lighter"
	}
	r := rule("swap_share")
	w.notes.add(r.Code, r.Severity, done.Name, fmt.Sprintf("%s goes by %s of %s, and %s, done instead, by its whole maximum: %s %s where that share of it is %s %s, so that weights are %s%% %s: %s",
		from.Name, from.Max.words(u), from.Max.Of, done.Name, shownMass(lm.Max, u), u, shownMass(share, u), u, times(change), more, r.Advice), r.Evidence)
}

// words is a share of a maximum, "88%" or "88% plus 5 kg".
func (m *MaxFrom) words(u plates.Unit) string {
	s := m.Percent.String() + "%"
	switch {
	case m.Plus > 0:
		s += fmt.Sprintf(" plus %s %s", m.Plus.Text(u), u)
	case m.Plus < 0:
		s += fmt.Sprintf(" less %s %s", (-m.Plus).Text(u), u)
	}
	return s
}

// resolve finds the lift that the lifter does for name, its implement and maximum.
func (w *writer) resolve(name string) (*Lift, *implement, *LiftMax) {
	def, err := w.s.lift(w.p.block, name)
	if err != nil {
		panic("periodize: " + err.Error()) // Compile has resolved every name
	}
	im, lm := w.kit(def)
	return def, im, lm
}

// kit is the implement and maximum of a lift that the lifter does.
func (w *writer) kit(def *Lift) (*implement, *LiftMax) {
	im, err := w.s.implement(def)
	if err != nil {
		panic("periodize: " + err.Error()) // Compile has prepared it
	}
	lm, _ := w.s.maxes.lookup(def.Name)
	return im, lm
}

// adjustment is what the roster changes for a lift in a week. The lift may be
// named as the block has it or, where the lifter swaps it, as it is done.
func (w *writer) adjustment(week int, lift, done string) (a Adjustment) {
	for i := range w.s.lifter.Adjust {
		if x := &w.s.lifter.Adjust[i]; x.Week == week && (x.Lift == lift || x.Lift == done) {
			a.Percent = a.Percent.Add(x.Percent)
			a.Sets += x.Sets
			if x.Why != "" {
				a.Why = x.Why
			}
		}
	}
	return a
}

// pricing turns what the block asks for into the weights of one lifter.
type pricing struct {
	w      *writer
	def    *Lift
	im     *implement
	lm     *LiftMax
	adjust Adjustment
	last   bool // the reserve asked for is the last set's
}

// prescribe fills in the sets of an item that is given set by set or in groups.
func (x *pricing) prescribe(ex *Exercise, it *weekItem) {
	main, backoff := x.counts(it)
	n := 0
	for _, g := range main {
		n += g.sets
	}
	total := n
	if backoff != nil {
		total += backoff.sets
	}
	sets := make([]Set, 0, total)
	drops := backoff != nil
	k := 0
	for i := range main {
		g := &main[i]
		drops = drops || g.kind == ByDrop
		for range g.sets {
			s := x.blank(g)
			if g.kind != ByDrop {
				offset := plates.Ratio{}
				if len(it.src.Each) == 0 {
					offset = spreadOffset(k, n, it.src.Spread, it.src.Shape)
				}
				x.price(&s, g, offset)
			}
			sets = append(sets, s)
			k++
		}
	}
	heavy := heaviest(sets)
	if drops {
		for i := range sets {
			if sets[i].Kind == MainSet && heavy >= 0 && sets[i].Exact == sets[heavy].Exact {
				sets[i].Kind = HeavySet
			}
		}
		k = 0
		for i := range main {
			for range main[i].sets {
				if main[i].kind == ByDrop {
					sets[k].Kind = BackoffSet
					x.drop(&sets[k], &main[i], sets, heavy)
				}
				k++
			}
		}
	}
	if it.final {
		x.open(sets, it.src.Final)
	}
	if backoff != nil {
		for range backoff.sets {
			s := x.blank(backoff)
			s.Kind = BackoffSet
			x.drop(&s, backoff, sets, heavy)
			sets = append(sets, s)
		}
	}
	ex.Sets = sets
}

// counts is the groups with the lifter's number of sets: the volume share of
// the item's sets, back-offs counted in, halves up and at least one; then the
// roster's adjustment. Back-offs give way first, then the earliest main sets,
// so that the heaviest work of the item stays; sets that are added go to the
// back-offs where there are any.
func (x *pricing) counts(it *weekItem) ([]group, *group) {
	if x.w.s.lifter.Volume.Sign() <= 0 && x.adjust.Sets == 0 {
		return it.main, it.backoff
	}
	main := slices.Clone(it.main)
	var backoff *group
	total := 0
	for _, g := range main {
		total += g.sets
	}
	if it.backoff != nil {
		g := *it.backoff
		backoff = &g
		total += g.sets
	}
	less := total - x.wanted(total)
	if less < 0 {
		g := backoff
		if g == nil {
			g = lightest(main)
		}
		g.sets -= less
		return main, backoff
	}
	take := func(g *group) {
		n := min(less, g.sets)
		g.sets -= n
		less -= n
	}
	if backoff != nil {
		take(backoff)
		if backoff.sets == 0 {
			backoff = nil
		}
	}
	for i := len(main) - 1; i >= 0; i-- {
		if main[i].kind == ByDrop {
			take(&main[i])
		}
	}
	for i := range main {
		take(&main[i])
	}
	return slices.DeleteFunc(main, func(g group) bool { return g.sets == 0 }), backoff
}

// wanted is what a number of sets of an item becomes for the lifter, at least 1.
func (x *pricing) wanted(sets int) int {
	if vol := x.w.s.lifter.Volume; vol.Sign() > 0 {
		sets = max(int(ratio(int64(sets), 1).Mul(vol).Div(hundred).RoundHalfUp()), 1)
	}
	return max(sets+x.adjust.Sets, 1)
}

// lightest is the group that takes up sets: the last drop, or the last group
// where nothing is a drop.
func lightest(main []group) *group {
	for i := len(main) - 1; i >= 0; i-- {
		if main[i].kind == ByDrop {
			return &main[i]
		}
	}
	return &main[len(main)-1]
}

// blank is a set of a group before its weight is known.
func (x *pricing) blank(g *group) Set {
	return Set{Kind: MainSet, Reps: g.reps, RepsLow: g.repsLow, Seconds: g.seconds, Metres: g.metres, Sides: g.sides,
		Rest: g.rest, Origin: Origin{Kind: g.kind, Value: g.value}}
}

// price gives a set its weight.
func (x *pricing) price(s *Set, g *group, offset plates.Ratio) {
	switch g.kind {
	case ByPercent:
		x.percent(s, g.value, offset)
	case ByRIR, ByRPE:
		rir := g.value
		if g.kind == ByRPE {
			rir = ratio(10, 1).Sub(g.value)
		}
		v := rir.Float64()
		s.RIR = &v
		if x.im == nil || x.lm == nil {
			return // an effort is an instruction without a weight too
		}
		reps := float64(g.reps) + v
		if x.last {
			reps, _ = x.lastReserve(g, v)
		}
		pct, ok := x.effort(reps, x.quantile())
		if !ok {
			s.Open = true
			return
		}
		x.percent(s, pct, offset)
	case ByLoad:
		if x.im == nil {
			x.noWeight()
			return
		}
		change := hundred.Add(offset)
		x.changed(s, offset)
		if x.adjust.Percent.Sign() != 0 {
			change = change.Mul(hundred.Add(x.adjust.Percent)).Div(hundred)
		}
		x.load(s, plates.Mass(g.value.RoundHalfUp()).Percent(change))
	}
}

// noWeight notes that a weight was asked of a lift that uses nothing, which only
// a swap brings about.
func (x *pricing) noWeight() {
	r := rule("no_weight")
	x.w.notes.add(r.Code, r.Severity, x.def.Name, "the block gives a weight, and the lift that is done instead uses no bar or station: "+r.Advice, r.Evidence)
}

// percent gives a set a weight in per cent of the working maximum.
func (x *pricing) percent(s *Set, pct, offset plates.Ratio) {
	if x.im == nil || x.lm == nil {
		x.noWeight()
		return
	}
	x.changed(s, offset)
	pct = pct.Add(offset)
	if x.adjust.Percent.Sign() != 0 {
		pct = pct.Mul(hundred.Add(x.adjust.Percent)).Div(hundred)
	}
	s.Percent, s.HasPercent = pct, true
	s.Origin.Working = x.lm.Working
	x.load(s, x.lm.Working.Percent(pct).Add(-x.lm.Body))
}

// changed keeps what moves the weight besides the block's own number.
func (x *pricing) changed(s *Set, offset plates.Ratio) {
	s.Origin.Spread = offset
	s.Origin.Adjusted, s.Origin.Why = x.adjust.Percent, x.adjust.Why
}

// drop gives a set a weight in per cent under the item's heaviest set.
func (x *pricing) drop(s *Set, g *group, sets []Set, heavy int) {
	if heavy < 0 || x.im == nil {
		return
	}
	h := &sets[heavy]
	keep := hundred.Sub(g.value)
	if h.Open {
		s.Open = true
		if s.HasExpect = h.HasExpect; !s.HasExpect {
			return
		}
		for i, m := range h.Expect {
			s.Expect[i] = x.loaded((m + x.body()).Percent(keep).Add(-x.body())).Mass
		}
		return
	}
	if !h.HasLoad {
		return
	}
	s.Origin.Heavy, s.Origin.Working = h.Exact, h.Origin.Working
	if h.HasPercent {
		s.Percent, s.HasPercent = h.Percent.Mul(keep).Div(hundred), true
		x.load(s, x.lm.Working.Percent(s.Percent).Add(-x.lm.Body))
		return
	}
	// A weight given as a mass: for a lift that counts bodyweight the drop is
	// taken from bodyweight and load together.
	body := x.body()
	system := h.Exact.Add(body)
	x.load(s, system.Scale(keep.Div(hundred)).Add(-body))
}

func (x *pricing) body() plates.Mass {
	m, _ := x.w.s.maxes.body(x.def) // Compile has asked for the bodyweight where it counts
	return m
}

// load rounds an exact weight to what can be loaded.
func (x *pricing) load(s *Set, exact plates.Exact) {
	s.Exact, s.HasLoad = exact, true
	l := x.loaded(exact)
	s.Load, s.Below, s.Above = l.Mass, l.Below, l.Above
}

func (x *pricing) loaded(exact plates.Exact) plates.Load {
	how := x.w.s.lifter.Rounding
	if !x.im.assist {
		return x.im.loads.Round(exact, how)
	}
	// Assistance: its weights count down from nothing, so less load is more
	// assistance and every direction turns round.
	switch how {
	case plates.Down:
		how = plates.Up
	case plates.Up:
		how = plates.Down
	default:
		how = plates.NearestUp
	}
	l := x.im.loads.Round(exact.Neg(), how)
	return plates.Load{Mass: -l.Mass, Below: l.Above, Above: l.Below}
}

// quantile is the part of the predicted weight that the lifter aims for.
func (x *pricing) quantile() float64 {
	switch l := x.w.s.lifter; {
	case l.Aim == AimLower, l.Aim == "" && l.Level == Novice:
		return 0.25
	}
	return 0.5
}

// effort is the per cent of the working maximum that leaves the lifter with
// nothing after reps repetitions, to 0.01 per cent. The prediction is of the
// maximum; it is restated on the working maximum so that one number is enough
// for the sheet, the workbook and whoever computes it again.
func (x *pricing) effort(reps, q float64) (plates.Ratio, bool) {
	c, err := x.w.s.maxes.curve(x.def)
	if err != nil {
		panic("periodize: " + err.Error()) // Compile has looked up every curve
	}
	f, extrapolated, err := c.FractionAt(reps, q)
	if err != nil {
		x.w.notes.add("outside_curve", Warning, x.def.Name,
			fmt.Sprintf("no weight is predicted for %g repetitions to failure (%v); the lifter finds it on the day", reps, err), c.Citation)
		return plates.Ratio{}, false
	}
	if extrapolated {
		x.w.notes.add("extrapolated", Note, x.def.Name,
			"some weights come from the repetitions relation outside the rows that its source prints", c.Citation)
	}
	share := f * x.lm.Max.Kilograms() / x.lm.Working.Kilograms()
	return ratio(int64(math.Round(share*1e4)), 100), true
}

// heaviest is the index of the heaviest main set; -1 where none has a weight.
func heaviest(sets []Set) int {
	best, at := math.Inf(-1), -1
	for i := range sets {
		switch s := &sets[i]; {
		case s.Origin.Kind == ByDrop:
		case s.Open:
			return i
		case s.HasLoad:
			if m := s.Exact.In(plates.KG); m > best {
				best, at = m, i
			}
		}
	}
	return at
}

// open leaves the last main set open-ended.
func (x *pricing) open(sets []Set, f *Final) {
	for i := len(sets) - 1; i >= 0; i-- {
		s := &sets[i]
		if s.Kind == BackoffSet || s.Reps == 0 {
			continue
		}
		s.AMRAP, s.Cap = true, f.Cap
		switch {
		case f.Leave != nil:
			s.Leave = *f.Leave
		case x.w.s.lifter.Level == Novice:
			s.Leave = ratio(2, 1)
		default:
			s.Leave = ratio(1, 1)
		}
		return
	}
}

// spreadOffset is the distance of set k of n from the prescribed percentage.
// The sets span spread points from the lightest to the heaviest, and their
// mean stays what was prescribed.
func spreadOffset(k, n int, spread plates.Ratio, shape Shape) plates.Ratio {
	if n < 2 || spread.Sign() <= 0 {
		return plates.Ratio{}
	}
	// heights of the sets before scaling, as whole numbers
	height := func(i int) int64 {
		switch h := int64(min(i, n-1-i)); shape {
		case Hill:
			return h
		case Valley:
			return -h
		}
		return int64(i)
	}
	var sum, low, high int64
	low, high = height(0), height(0)
	for i := range n {
		h := height(i)
		sum += h
		low, high = min(low, h), max(high, h)
	}
	if low == high { // two sets have no middle
		return plates.Ratio{}
	}
	// (height - mean) * spread / (high - low)
	return ratio(height(k)*int64(n)-sum, int64(n)*(high-low)).Mul(spread)
}
