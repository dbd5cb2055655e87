package logbook

import (
	"fmt"
	"math"
	"slices"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

const (
	// testedSD is how well a tested maximum on a roster is known on its day, as a standard deviation of its
	// logarithm: our assumption, no published source. Attempts go up in steps, and days differ. One without a
	// date is taken as five weeks old, which makes it 0.03.
	testedSD, undated = 0.02, 5 * 7
	// driftSD is what a maximum moves in a week, the default of estimate.TrackerOptions.Drift.
	driftSD = 0.01
	// noChange is the least change of a maximum that is written down, as a share of it: common practice, no published source.
	noChange = 0.01
	// A change counts where the interval excludes the old maximum, or where at least agreeDays days tell and the
	// others show a change still when the most telling of them is left out: ours. TestNextSimulation says what that does.
	agreeDays = 3
	// mistyped is the surprise, in standard deviations, from which a set is not believed, and unlikely the
	// chance of a bound that is as far off: see estimate.TrackerPoint.
	mistyped, unlikely = 4, 3e-5
)

// belief is what a roster's maximum says before the log is read.
type belief struct {
	max, sd float64
}

// at is an end of its interval, z standard deviations up or down.
func (b belief) at(z float64) float64 { return b.max * math.Exp(z*b.sd) }

// quantileOf is how many standard deviations an interval of that coverage reaches.
func quantileOf(coverage float64) float64 { return math.Sqrt2 * math.Erfinv(coverage) }

// believe is what is believed of a maximum on a day, from its entry, which is nil for one that follows another lift's.
func (l *ledger) believe(m *periodize.LiftMax, e *periodize.MaxEntry, day int) belief {
	u := l.plan.Unit
	b := belief{m.Max.In(u), testedSD}
	age := undated
	if low, high := m.Low.In(u), m.High.In(u); m.Coverage > 0 && m.Coverage < 1 && low > 0 && high > low {
		b.sd, age = math.Max(math.Log(high/low)/(2*quantileOf(m.Coverage)), 0.01), 0
	}
	if e != nil {
		if held, ok := heldOn(e); ok {
			age = day - held
		}
	}
	b.sd = math.Hypot(b.sd, driftSD*math.Sqrt(float64(max(age, 0))/7))
	return b
}

// heldOn is the day that an entry's maximum is of.
func heldOn(e *periodize.MaxEntry) (day int, ok bool) {
	if len(e.Sets) == 0 {
		return DayOf(e.Date), !e.Date.IsZero()
	}
	for _, s := range e.Sets {
		if !s.Date.IsZero() {
			day, ok = max(day, DayOf(s.Date)), true
		}
	}
	return day, ok
}

// entry is the roster's own entry for a lift; nil for none.
func (l *ledger) entry(lift string) *periodize.MaxEntry {
	for i := range l.plan.Lifter.Maxes {
		if e := &l.plan.Lifter.Maxes[i]; e.Lift == lift {
			return e
		}
	}
	return nil
}

// since is the first day whose sets are not in the maximum yet: the day after the entry's, or else the first of the plan.
func (l *ledger) since(e *periodize.MaxEntry) int {
	if e != nil {
		if day, ok := heldOn(e); ok {
			return day + 1
		}
	}
	if l.dated {
		return l.start
	}
	return math.MinInt
}

// maxima follows every maximum of the roster through the log.
func (l *ledger) maxima() []MaxChange {
	var out []MaxChange
	for i := range l.plan.Maxes {
		m := &l.plan.Maxes[i]
		own := l.entry(m.Lift)
		c, ok := l.maximum(m, own)
		if !ok {
			continue
		}
		if own == nil {
			// Its maximum follows another lift's, as the block has it.
			if c.Changed && (m.Max < c.Low || m.Max > c.High) {
				l.notes = append(l.notes, fmt.Sprintf("%s: the maximum, %s, is a share of another lift's, but the log shows %s to %s %s; give it an entry of its own",
					m.Lift, m.Max.Text(l.plan.Unit), c.Low.Text(l.plan.Unit), c.High.Text(l.plan.Unit), l.plan.Unit))
			}
			continue
		}
		out = append(out, c)
	}
	if l.unsure(out) {
		for i := range out {
			if c := &out[i]; c.Changed {
				c.Now, c.Entry, c.Changed = c.Was, c.Was-(c.Now-c.Entry), false
				c.Why = "kept: the unit of the log is in doubt"
			}
		}
	}
	return out
}

// unsure says whether half of the maxima or more have a log in what seems to be the wrong unit, so that nothing is concluded from
// the others either. The share is ours, no published source; lifts whose maxima follow others' count with those.
func (l *ledger) unsure(changes []MaxChange) bool {
	n := 0
	for _, c := range changes {
		if l.doubted[c.Lift] {
			n++
		}
	}
	return n > 0 && 2*n >= len(changes)
}

// maximum is what the log makes of a maximum; ok is false where it says nothing.
func (l *ledger) maximum(m *periodize.LiftMax, own *periodize.MaxEntry) (c MaxChange, ok bool) {
	u := l.plan.Unit
	sets := l.telling(m, l.since(own))
	if len(sets) == 0 {
		return c, false
	}
	was := l.believe(m, own, int(sets[0].Day))
	c = MaxChange{Lift: m.Lift, Was: m.Max, Now: m.Max, Low: m.Low, High: m.High, Coverage: m.Coverage, Entry: m.Max - m.Body}
	opt := l.tracker(m.Lift, was)
	sets = l.inUnit(m, sets, was)
	if len(sets) == 0 {
		c.Why = "kept: the log and the roster differ as pounds and kilograms do"
		return c, true
	}
	refute(sets, was.at(mistyped), 1)
	sets, err := l.believable(m, sets, opt)
	var t *estimate.Tracking
	var e estimate.Estimate
	if err == nil {
		t, e, err = follow(sets, opt, l.asOf)
	}
	if err != nil {
		l.notes = append(l.notes, fmt.Sprintf("%s: the maximum stays: %v", m.Lift, err))
		return c, false
	}
	e = l.backed(sets, e, was, opt)
	x := l.weigh(t, e, was, opt)
	if x.days == 0 && x.proven <= was.max {
		c.Why = "kept: " + tooFar(sets)
		return c, true
	}
	told := "the sets of " + plural(x.days, "day")
	if m.Body > 0 {
		told += " with bodyweight counted"
	}
	most := fmt.Sprintf("%s on %s", inWords(x.top, u), date(DateOf(int(x.top.Day))))
	point, span := tenth(e.Max, u).Text(u), fmt.Sprintf("%s to %s %s", tenth(e.Low, u).Text(u), tenth(e.High, u).Text(u), u)
	now := x.bounded(e.Max)
	switch {
	case x.proven > was.max && (!x.sure || now <= x.proven):
		now, c.Changed = x.proven, true
		c.Why = fmt.Sprintf("up: %s %s was lifted", tenth(now, u).Text(u), u)
	case math.Abs(e.Max/was.max-1) < noChange:
		c.Why = fmt.Sprintf("kept: %s agree with it to 1 %%", told)
	case !x.sure:
		c.Why = fmt.Sprintf("kept: %s point to %s, but may mean anything from %s", told, point, span)
		if x.report {
			c.Why = fmt.Sprintf("kept: %s point to %s (%s), by one report alone; another day, a set to failure or a test will tell", told, point, span)
		}
		if x.days >= agreeDays {
			c.Why += "; one day decides it, " + most
		}
	case math.Abs(now/was.max-1) < noChange:
		c.Why = fmt.Sprintf("kept: %s point to %s, but without %s they do not", told, point, most)
	default:
		c.Changed, c.Capped = true, now != e.Max
		c.Why = "up"
		if now < was.max {
			c.Why = "down"
		}
		c.Why += fmt.Sprintf(": %s, the most telling %s", told, most)
		if c.Capped {
			allows := "the other days allow"
			if x.days == 1 {
				allows = "its own interval"
			}
			c.Why += fmt.Sprintf("; that day alone would make it %s, but one day moves it no further than %s", point, allows)
		}
	}
	c.Coverage, c.Day = e.Coverage, int(sets[len(sets)-1].Day)
	c.Now, c.Low, c.High = tenth(now, u), tenth(math.Min(e.Low, now), u), tenth(math.Max(e.High, now), u)
	if !c.Changed {
		c.Now, c.Low, c.High = m.Max, min(c.Low, m.Max), max(c.High, m.Max)
	}
	c.Entry = c.Now - m.Body
	if c.Changed && c.Entry <= 0 && m.Max-m.Body > 0 {
		c.Changed, c.Now, c.Entry = false, m.Max, m.Max-m.Body
		c.Why = "kept: the log shows less than bodyweight alone; look at it before the next run"
	}
	return c, true
}

// tooFar says why sets tell nothing of a maximum.
func tooFar(sets []estimate.Set) string {
	far, silent := 0, 0
	for _, s := range sets {
		switch {
		case s.Reps == 0:
		case s.NoRIR:
			silent++
		default:
			far++
		}
	}
	switch {
	case silent == 0 && far == 0:
		return "there are missed attempts alone, and they do not contradict it"
	case far == 0:
		return fmt.Sprintf("none of %s says how near to failure it was", plural(silent, "set"))
	case silent == 0:
		return fmt.Sprintf("%s with more than %d repetitions left tell only that it is no less", plural(far, "set"), farReserve)
	}
	return fmt.Sprintf("none of %s says how near to failure it was, or had at most %d repetitions left", plural(far+silent, "set"), farReserve)
}

// backed is an estimate as far as the sets that speak for its change would move the maximum by themselves. Easy sets
// beside hard ones may read as a lifter of few repetitions, whose hard sets would then mean more than they say; but
// more often the reserve of an easy day was written down carelessly, and no set that shows less than the old maximum
// raises it, nor does one that shows more lower it.
func (l *ledger) backed(sets []estimate.Set, e estimate.Estimate, was belief, opt estimate.TrackerOptions) estimate.Estimate {
	up := e.Max > was.max
	var backing []estimate.Set
	for _, s := range sets {
		if _, one, err := follow([]estimate.Set{s}, opt, l.asOf); err == nil && one.Max != was.max && one.Max > was.max == up {
			backing = append(backing, s)
		}
	}
	if len(backing) == 0 {
		// Whatever the sets say together, each by itself says otherwise.
		z := quantileOf(e.Coverage)
		e.Max, e.Low, e.High = was.max, math.Min(e.Low, was.at(-z)), math.Max(e.High, was.at(z))
		return e
	}
	if len(backing) == len(sets) {
		return e
	}
	_, b, err := follow(backing, opt, l.asOf)
	if err != nil || math.Abs(math.Log(b.Max/was.max)) >= math.Abs(math.Log(e.Max/was.max)) && b.Max > was.max == up {
		return e
	}
	return b
}

// evidence is what sets say of a change.
type evidence struct {
	was    belief
	days   int          // that say something
	top    estimate.Set // the set that speaks most for the change
	limit  float64      // how far the day of that set may take the maximum: the end of what the rest allows
	proven float64      // the heaviest weight that was lifted
	alone  bool         // without the day of top the rest shows no change
	sure   bool         // the change counts
	report bool         // it would, but is what one day's report of a reserve says alone; a set to failure or missed is no report
}

// weigh asks how sure a change is. The day that speaks most for it is taken out: what the other days allow
// at most, or the old maximum's own interval where there are none, is how far that one day can take it.
func (l *ledger) weigh(t *estimate.Tracking, e estimate.Estimate, was belief, opt estimate.TrackerOptions) evidence {
	x := evidence{was: was}
	up := 1.0
	if e.Max < was.max {
		up = -1
	}
	top := -1
	day := math.Inf(-1)
	var all, others []estimate.Set
	for i := range t.Points {
		p := &t.Points[i]
		all = append(all, p.Set)
		if p.Set.Reps >= 1 && !odd(p) {
			x.proven = math.Max(x.proven, p.Set.Load)
		}
		switch {
		case p.Kind == estimate.TrackerMeasured:
		case p.Kind == estimate.TrackerLower && up > 0 && p.Chance < 0.5, p.Kind == estimate.TrackerUpper && up < 0 && p.Chance < 0.5:
			// A bound that was not expected.
		default:
			continue
		}
		if p.Set.Day != day {
			day = p.Set.Day
			x.days++
		}
		if top < 0 || up*shows(p.Set) > up*shows(t.Points[top].Set) {
			top = i
		}
	}
	if top < 0 {
		return x
	}
	x.top = t.Points[top].Set
	for _, s := range all {
		if s.Day != x.top.Day {
			others = append(others, s)
		}
	}
	z := quantileOf(periodize.DefaultCoverage)
	x.limit, x.alone = was.at(up*z), true
	if len(others) > 0 {
		if _, o, err := follow(others, opt, l.asOf); err == nil {
			o = l.backed(others, o, was, opt)
			x.limit = o.High
			if up < 0 {
				x.limit = o.Low
			}
			x.alone = up*(o.Max/was.max-1) < noChange
		}
	}
	sd := math.Log(e.High/e.Low) / (2 * quantileOf(e.Coverage))
	x.sure = up*math.Log(e.Max/was.max) > z*sd || x.days >= agreeDays && !x.alone
	if x.sure && x.days == 1 && x.top.Reps > 0 && x.top.RIR > 0 {
		x.sure, x.report = false, true
	}
	return x
}

// bounded is a maximum as far as one day may take it.
func (x *evidence) bounded(max float64) float64 {
	switch {
	case x.days == 0:
		return x.was.max
	case max > x.was.max && max > x.limit:
		return math.Max(x.limit, x.was.max)
	case max < x.was.max && max < x.limit:
		return math.Min(x.limit, x.was.max)
	}
	return max
}

// odd says that a set is so far from what was believed before it that it may be mistyped.
func odd(p *estimate.TrackerPoint) bool {
	bound := p.Kind == estimate.TrackerLower || p.Kind == estimate.TrackerUpper
	return math.Abs(p.Surprise) > mistyped || bound && p.Chance < unlikely
}

// inUnit is the sets without those that point to a maximum as far from the roster's as pounds are from kilograms, which
// somebody has written down in the wrong unit. Light sets far from failure say nothing of that.
func (l *ledger) inUnit(m *periodize.LiftMax, all []estimate.Set, was belief) []estimate.Set {
	const near = 0.12 // of the logarithm, ours; a set near failure hardly ever lies that far off by itself
	pounds := math.Log(in(1, plates.LB, plates.KG))
	var good []estimate.Set
	var first estimate.Set
	for _, s := range all {
		ratio := math.Log(shows(s) / was.max)
		heavy, light := math.Abs(ratio+pounds) < near, math.Abs(ratio-pounds) < near
		if s.Reps > 0 && (heavy || light && !s.NoRIR && s.RIR <= farReserve) {
			if first.Load == 0 {
				first = s
			}
			continue
		}
		good = append(good, s)
	}
	if n := len(all) - len(good); n > 0 {
		u := l.plan.Unit
		l.notes = append(l.notes, fmt.Sprintf("%s: %d of %s, %s on %s the first, would be as expected if pounds were written for kilograms or kilograms for pounds; left out of the maximum, look at the unit in the log and in the roster",
			m.Lift, n, plural(len(all), "set"), inWords(first, u), date(DateOf(int(first.Day)))))
		if 2*n > len(all) {
			if l.doubted == nil {
				l.doubted = map[string]bool{}
			}
			l.doubted[m.Lift] = true
		}
	}
	return good
}

// mostOdd is how many sets may be left out as mistyped, a quarter of them at most.
const mostOdd = 20

// believable is the sets without those that are so far from everything else that they must be mistyped, the
// earliest first, as long as these are few: where they are many, it may be the roster's maximum that is wrong.
func (l *ledger) believable(m *periodize.LiftMax, all []estimate.Set, opt estimate.TrackerOptions) ([]estimate.Set, error) {
	u := l.plan.Unit
	good := all
	var notes []string
	for {
		t, err := estimate.Track(good, opt)
		if err != nil {
			return nil, err
		}
		i, n := -1, 0
		for k := range t.Points {
			if odd(&t.Points[k]) {
				if n++; i < 0 {
					i = k
				}
			}
		}
		if n == 0 {
			l.notes = append(l.notes, notes...)
			return good, nil
		}
		if len(all) == 1 {
			l.notes = append(l.notes, fmt.Sprintf("%s: the one set that tells of the maximum, %s, is far from the roster's, %s %s; look whether one of them was typed wrongly",
				m.Lift, inWords(all[0], u), tenth(m.Max.In(u), u).Text(u), u))
			return all, nil
		}
		if len(good) == 1 || len(notes) == max(min(len(all)/4, mostOdd), 1) {
			l.notes = append(l.notes, fmt.Sprintf("%s: %d of %s that tell of the maximum are far from the roster's, %s %s, and from each other; look whether one of them was typed wrongly",
				m.Lift, n+len(notes), plural(len(all), "set"), tenth(m.Max.In(u), u).Text(u), u))
			return all, nil
		}
		notes = append(notes, fmt.Sprintf("%s: %s on %s is far from everything else and was left out of the maximum; was it typed wrongly?",
			m.Lift, inWords(good[i], u), date(DateOf(int(good[i].Day)))))
		good = slices.Delete(slices.Clone(good), i, i+1)
	}
}

// tracker is the options to follow a lift with.
func (l *ledger) tracker(lift string, was belief) estimate.TrackerOptions {
	o := estimate.TrackerOptions{Coverage: periodize.DefaultCoverage, PriorMax: was.max, PriorSD: was.sd}
	if def, ok := l.plan.Block.Lift(lift); ok && def.Curve != "" {
		if c, err := estimate.CurveNamed(def.Curve); err == nil {
			o.Curve = c
		}
	}
	return o
}

func follow(sets []estimate.Set, opt estimate.TrackerOptions, asOf int) (*estimate.Tracking, estimate.Estimate, error) {
	t, err := estimate.Track(sets, opt)
	if err != nil {
		return nil, estimate.Estimate{}, err
	}
	e, err := t.At(float64(asOf))
	return t, e, err
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func inWords(s estimate.Set, u plates.Unit) string {
	text := fmt.Sprintf("%s %s x %g", tenth(s.Load, u).Text(u), u, s.Reps)
	switch {
	case s.Reps == 0:
		return fmt.Sprintf("a missed attempt at %s %s", tenth(s.Load, u).Text(u), u)
	case !s.NoRIR:
		text += fmt.Sprintf(" with %g left", s.RIR)
	}
	return text
}

// tenth is a number of the unit as a mass, to 0.1.
func tenth(v float64, u plates.Unit) plates.Mass {
	m, err := plates.MassOf(math.Round(v*10)/10, u)
	if err != nil {
		return 0
	}
	return m
}
