package logbook

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

const (
	// testedSD is how well a tested maximum on a roster is known when it comes to be used, as a standard
	// deviation of its logarithm: our assumption, no published source. It is some weeks old, and went up in steps.
	testedSD = 0.03
	// noChange is the least change of a maximum that is written down, as a share of it: common practice, no published source.
	noChange = 0.01
	// mistyped is the surprise, in standard deviations, from which a set is not believed: see estimate.TrackerPoint.
	mistyped = 4
)

// belief is what a roster's maximum says before the log is read.
type belief struct {
	max, sd float64
}

func (b belief) high(z float64) float64 { return b.max * math.Exp(z*b.sd) }

// quantileOf is how many standard deviations an interval of that coverage reaches.
func quantileOf(coverage float64) float64 { return math.Sqrt2 * math.Erfinv(coverage) }

func believe(m *periodize.LiftMax, u plates.Unit) belief {
	b := belief{m.Max.In(u), testedSD}
	if low, high := m.Low.In(u), m.High.In(u); m.Coverage > 0 && m.Coverage < 1 && low > 0 && high > low {
		b.sd = math.Max(math.Log(high/low)/(2*quantileOf(m.Coverage)), 0.01)
	}
	return b
}

// maxima follows every maximum of the roster through the log.
func (l *ledger) maxima() []MaxChange {
	var out []MaxChange
	for i := range l.plan.Maxes {
		m := &l.plan.Maxes[i]
		own := slices.ContainsFunc(l.plan.Lifter.Maxes, func(e periodize.MaxEntry) bool { return e.Lift == m.Lift })
		c, ok := l.maximum(m)
		if !ok {
			continue
		}
		if !own {
			// Its maximum follows another lift's, as the block has it.
			if c.Changed && (m.Max < c.Low || m.Max > c.High) {
				l.notes = append(l.notes, fmt.Sprintf("%s: the maximum, %s, is a share of another lift's, but the log shows %s to %s %s; give it an entry of its own",
					m.Lift, m.Max.Text(l.plan.Unit), c.Low.Text(l.plan.Unit), c.High.Text(l.plan.Unit), l.plan.Unit))
			}
			continue
		}
		out = append(out, c)
	}
	return out
}

// telling is the sets of a lift since the roster's maximum was made, the most telling of each day.
func (l *ledger) telling(m *periodize.LiftMax) *liftSum {
	since := math.MinInt
	if l.dated {
		since = l.start
	}
	if r := l.plan.Lifter.Recent; r != nil && !r.LastTrained.IsZero() {
		// What was done up to then is in the roster's maximum already.
		since = max(since, DayOf(r.LastTrained)+1)
	}
	s := NewSummary(l.plan.Unit)
	x := newLiftSum()
	body := m.Body.In(l.plan.Unit)
	for i := range l.rows {
		r := &l.rows[i]
		if r.lift != m.Lift || r.day < since {
			continue
		}
		if k, set := s.telling(&Row{Load: in(r.written, r.unit, l.plan.Unit) + body, Reps: r.reps, RIR: r.rir, Tested: r.tested}); k >= 0 {
			x.day(int32(r.day)).keep(k, set)
		}
	}
	return x
}

// maximum is what the log makes of a maximum; ok is false where it says nothing.
func (l *ledger) maximum(m *periodize.LiftMax) (c MaxChange, ok bool) {
	u := l.plan.Unit
	x := l.telling(m)
	sets := x.history(math.MinInt32, int32(l.asOf))
	if len(sets) == 0 {
		return c, false
	}
	was := believe(m, u)
	z := quantileOf(periodize.DefaultCoverage)
	c = MaxChange{Lift: m.Lift, Was: m.Max, Now: m.Max, Low: m.Low, High: m.High, Coverage: periodize.DefaultCoverage, Entry: m.Max - m.Body}
	opt := l.tracker(m.Lift, was)
	t, e, err := follow(sets, opt, l.asOf)
	if err == nil {
		if sets = l.believable(m.Lift, t); len(sets) < len(t.Points) {
			t, e, err = follow(sets, opt, l.asOf)
		}
	}
	if err != nil {
		var bound *estimate.BoundOnlyError
		if !errors.As(err, &bound) {
			l.notes = append(l.notes, fmt.Sprintf("%s: the maximum stays: %v", m.Lift, err))
		}
		return c, false
	}
	if t.Measured == 0 {
		c.Why = fmt.Sprintf("kept: none of %s says how near to failure it was", plural(len(sets), "set"))
		return c, true
	}
	// The day that speaks for most is taken out. What the other days, and the maximum before, allow at most is how
	// far that one day can raise it. A weight that was lifted is proof.
	top, proven := -1, 0.0
	for i := range t.Points {
		p := &t.Points[i]
		if p.Kind == estimate.TrackerMeasured && (top < 0 || shows(p.Set) > shows(t.Points[top].Set)) {
			top = i
		}
		if p.Set.Reps >= 1 {
			proven = math.Max(proven, p.Set.Load)
		}
	}
	best := t.Points[top].Set
	var others []estimate.Set
	for _, s := range sets {
		if s.Day != best.Day {
			others = append(others, s)
		}
	}
	limit := was.high(z)
	if len(others) > 0 {
		if _, o, err := follow(others, opt, l.asOf); err == nil {
			limit = o.High
		}
	}
	now, low, high := e.Max, e.Low, e.High
	if now > limit && now > was.max {
		if held := math.Max(math.Max(limit, was.max), proven); held < now {
			now, c.Capped = held, true
			low = math.Min(low, now)
		}
	}
	c.Now, c.Low, c.High = tenth(now, u), tenth(low, u), tenth(high, u)
	c.Why = fmt.Sprintf("from the best sets of %s, the most telling %s on %s", plural(days(sets), "day"), inWords(best, u), date(DateOf(int(best.Day))))
	if m.Body > 0 {
		c.Why += " (bodyweight counted)"
	}
	if c.Capped {
		c.Why += fmt.Sprintf("; that day alone would make it %s, but the rest allows no more than this", tenth(e.Max, u).Text(u))
	}
	change := now/was.max - 1
	switch {
	case math.Abs(change) < noChange:
		c.Now = m.Max
		c.Why = "kept, within 1 % of what the log shows, " + c.Why
	case change > 0:
		c.Changed = true
		c.Why = "up, " + c.Why
	default:
		c.Changed = true
		c.Why = "down, " + c.Why
	}
	c.Entry = c.Now - m.Body
	if c.Changed && c.Entry <= 0 && m.Max-m.Body > 0 {
		c.Changed, c.Now, c.Entry = false, m.Max, m.Max-m.Body
		c.Why = "kept: the log shows less than bodyweight alone; look at it before the next run"
	}
	return c, true
}

// believable is the sets without those that are so far from everything else that they must be mistyped, as
// long as these are few: where they are many, it is the roster's maximum that is wrong.
func (l *ledger) believable(lift string, t *estimate.Tracking) []estimate.Set {
	var good []estimate.Set
	var notes []string
	for i := range t.Points {
		p := &t.Points[i]
		if math.Abs(p.Surprise) <= mistyped {
			good = append(good, p.Set)
			continue
		}
		notes = append(notes, fmt.Sprintf("%s: %s on %s is far from everything else and was left out of the maximum; was it typed wrongly?",
			lift, inWords(p.Set, l.plan.Unit), date(DateOf(int(p.Set.Day)))))
	}
	if 4*len(notes) > len(t.Points) {
		all := make([]estimate.Set, len(t.Points))
		for i := range all {
			all[i] = t.Points[i].Set
		}
		return all
	}
	l.notes = append(l.notes, notes...)
	return good
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

// shows orders sets by the maximum that they speak for, by the plainest of the equations; only the order counts.
func shows(s estimate.Set) float64 {
	n := s.Reps + s.RIR
	if n <= 1 {
		return s.Load
	}
	return s.Load * (1 + n/30)
}

func days(sets []estimate.Set) int {
	n := 0
	for i := range sets {
		if i == 0 || sets[i].Day != sets[i-1].Day {
			n++
		}
	}
	return n
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
