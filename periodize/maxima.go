package periodize

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/plates"
)

// DefaultCoverage is the coverage of the interval of an estimated maximum.
const DefaultCoverage = 0.9

// maxima finds the maxima of one lifter on demand and keeps them.
type maxima struct {
	b       *Block
	l       *Lifter
	gym     *Gym
	curves  map[string]*estimate.Curve
	found   []LiftMax
	asking  []string // the lifts being worked out, to notice a circle
	derived bool     // one of them is a share of another
}

// lookup is a maximum that get has found before.
func (m *maxima) lookup(lift string) (*LiftMax, bool) {
	for i := range m.found {
		if m.found[i].Lift == lift {
			return &m.found[i], true
		}
	}
	return nil, false
}

// get is the lifter's maximum for a lift. missing is the lift that an entry
// would be needed for where there is none; err reports an entry that cannot be used.
func (m *maxima) get(lift string) (lm *LiftMax, missing string, err error) {
	def, ok := m.b.Lift(lift)
	if !ok {
		return nil, "", &Error{Pos: m.l.Pos, Where: m.l.Name, Msg: fmt.Sprintf("%q is not a lift of the block", lift)}
	}
	return m.of(def)
}

// of is get for a lift that has been looked up.
func (m *maxima) of(def *Lift) (lm *LiftMax, missing string, err error) {
	if lm, ok := m.lookup(def.Name); ok {
		return lm, "", nil
	}
	x, missing, err := m.derive(def)
	if missing != "" || err != nil {
		return nil, missing, err
	}
	if err := m.finish(&x); err != nil {
		return nil, "", err
	}
	m.found = append(m.found, x)
	return &m.found[len(m.found)-1], "", nil
}

// derive works out a maximum that has not been found before.
func (m *maxima) derive(def *Lift) (lm LiftMax, missing string, err error) {
	body, err := m.body(def)
	if err != nil {
		return lm, "", err
	}
	for i := range m.l.Maxes {
		if e := &m.l.Maxes[i]; e.Lift == def.Name {
			lm, err = m.own(def, e, body)
			return lm, "", err
		}
	}
	if def.Max == nil {
		return lm, def.Name, nil
	}
	if slices.Contains(m.asking, def.Name) {
		return lm, "", &Error{Where: def.Name, Msg: "its maximum is a share of itself; give one of the lifts in the circle a maximum of its own"}
	}
	m.asking = append(m.asking, def.Name)
	defer func() { m.asking = m.asking[:len(m.asking)-1] }()
	m.derived = true
	of, missing, err := m.get(def.Max.Of)
	if of == nil {
		return lm, missing, err
	}
	share := func(x plates.Mass) plates.Mass {
		return m.tenth(x.Percent(def.Max.Percent).Add(def.Max.Plus))
	}
	u := m.gym.Unit
	from := fmt.Sprintf("%s%% of %s %s %s", def.Max.Percent, of.Lift, shownMass(of.Max, u), u)
	switch plus := def.Max.Plus; {
	case plus > 0:
		from += fmt.Sprintf(" plus %s %s", plus.Text(u), u)
	case plus < 0:
		from += fmt.Sprintf(" less %s %s", (-plus).Text(u), u)
	}
	return LiftMax{Lift: def.Name, Max: share(of.Max), Low: share(of.Low), High: share(of.High), Coverage: of.Coverage, Body: body, From: from}, "", nil
}

// own is the maximum of an entry of the roster.
func (m *maxima) own(def *Lift, e *MaxEntry, body plates.Mass) (lm LiftMax, err error) {
	u := m.gym.Unit
	if len(e.Sets) == 0 {
		x := e.Tested + body
		lm = LiftMax{Lift: def.Name, Max: x, Low: x, High: x, Body: body, From: "tested"}
		if e.Estimated() {
			lm.Low, lm.High, lm.Coverage, lm.From = e.Low+body, e.High+body, DefaultCoverage, "estimated"
			if lm.Low <= 0 || lm.Low > x || x > lm.High {
				return lm, &Error{Pos: e.Pos, Where: m.l.Name + ", " + def.Name, Msg: fmt.Sprintf("%s lies outside %s to %s %s, or that reaches to 0: want an interval that holds it",
					shownMass(e.Tested, u), shownMass(e.Low, u), shownMass(e.High, u), u)}
			}
		}
		if !e.Date.IsZero() {
			lm.From += " on " + e.Date.Format(time.DateOnly)
		}
		return lm, nil
	}
	c, err := m.curve(def)
	if err != nil {
		return lm, err
	}
	sets := make([]estimate.Set, len(e.Sets))
	latest := e.Sets[0].Date
	for _, s := range e.Sets {
		if s.Date.After(latest) {
			latest = s.Date
		}
	}
	for i, s := range e.Sets {
		sets[i] = estimate.Set{Load: (s.Load + body).In(u), Reps: float64(s.Reps), NoRIR: s.RIR == nil}
		if s.RIR != nil {
			sets[i].RIR = s.RIR.Float64()
		}
		if !s.Date.IsZero() {
			sets[i].Day = s.Date.Sub(latest).Hours() / 24
		}
	}
	est, err := estimate.Max(sets, estimate.Options{Curve: c, Coverage: DefaultCoverage})
	if err != nil {
		return lm, &Error{Pos: e.Pos, Where: m.l.Name + ", " + def.Name, Msg: err.Error()}
	}
	lm = LiftMax{Lift: def.Name, Coverage: est.Coverage, Body: body, From: setsInWords(e.Sets, u)}
	if !latest.IsZero() {
		lm.From += ", on " + latest.Format(time.DateOnly)
	}
	for _, p := range []struct {
		to   *plates.Mass
		from float64
	}{{&lm.Max, est.Max}, {&lm.Low, est.Low}, {&lm.High, est.High}} {
		x, err := plates.MassOf(p.from, u)
		if err != nil {
			return lm, &Error{Pos: e.Pos, Where: m.l.Name + ", " + def.Name, Msg: err.Error()}
		}
		*p.to = m.tenth(plates.ExactOf(x))
	}
	return lm, nil
}

// shownMass is a mass for people: as it is where two decimals say it, else to one, as of a
// maximum that was written in the other unit.
func shownMass(m plates.Mass, u plates.Unit) string {
	x := plates.ExactOf(m)
	if short := x.RoundTo(u.One()/100, plates.Nearest); short == m {
		return m.Text(u)
	}
	return x.RoundTo(u.One()/10, plates.Nearest).Text(u)
}

func setsInWords(sets []DoneSet, u plates.Unit) string {
	s := sets[0]
	from := fmt.Sprintf("estimated from %s %s x %d", shownMass(s.Load, u), u, s.Reps)
	if s.RIR != nil {
		from += fmt.Sprintf(", %s in reserve", *s.RIR)
	}
	if n := len(sets); n > 1 {
		from += fmt.Sprintf(" and %d more", n-1)
	}
	return from
}

// finish works out the working maximum and refuses one that nothing can be
// computed from.
func (m *maxima) finish(lm *LiftMax) error {
	share := m.l.WorkingMax
	if share.Sign() <= 0 {
		share = hundred
	}
	lm.Working = m.tenth(lm.Max.Percent(share))
	if lm.Max > 0 && lm.Working > 0 {
		return nil
	}
	u := m.gym.Unit
	e := &Error{Pos: m.l.Pos, Where: m.l.Name + ", " + lm.Lift,
		Msg: fmt.Sprintf("the maximum comes to %s %s and the working maximum to %s %s: want more than 0", shownMass(lm.Max, u), u, shownMass(lm.Working, u), u)}
	for i := range m.l.Maxes {
		if x := &m.l.Maxes[i]; x.Lift == lm.Lift && x.Pos != (Pos{}) {
			e.Pos = x.Pos
		}
	}
	return e
}

// tenth rounds to 0.1 of the gym's unit, halves down. The rounded number is the
// one that is printed, and everything else is computed from it.
func (m *maxima) tenth(x plates.Exact) plates.Mass {
	return x.RoundTo(m.gym.Unit.One()/10, plates.Nearest)
}

// body is the bodyweight that counts for a lift.
func (m *maxima) body(def *Lift) (plates.Mass, error) {
	if def.BodyweightShare.Sign() <= 0 {
		return 0, nil
	}
	if m.l.Bodyweight <= 0 {
		return 0, &Error{Pos: m.l.Pos, Where: m.l.Name, Msg: fmt.Sprintf("%q counts bodyweight; give bodyweight", def.Name)}
	}
	return m.tenth(m.l.Bodyweight.Percent(def.BodyweightShare)), nil
}

// curve is the repetitions relation of a lift. Compile asks for that of every
// lift of the block, so that no plan has to look one up.
func (m *maxima) curve(def *Lift) (*estimate.Curve, error) {
	name := cmp.Or(def.Curve, "general")
	if c, ok := m.curves[name]; ok {
		return c, nil
	}
	c, err := estimate.CurveNamed(name)
	if err != nil {
		return nil, &Error{Pos: def.Pos, Where: def.Name, Msg: "curve: " + err.Error()}
	}
	m.curves[name] = c
	return c, nil
}
