package blockfile

import (
	"errors"
	"fmt"
	"slices"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// CheckPair reports what of a roster does not fit a block: maxima, swaps and
// adjustments of lifts that the block does not have, adjusted weeks beyond its
// end, bars and stations that a lifter's gym lacks, a bodyweight that is
// needed, maxima that cannot be, and a test day that does not follow the last
// week. The error, where there is one, is [Errors] with the places in the
// roster's file.
func CheckPair(b *periodize.Block, r *periodize.Roster) error {
	c := &pairCheck{b: b, r: r, lifts: make(map[string]*periodize.Lift, len(b.Lifts)), lacking: map[lack]bool{}}
	for i := range b.Lifts {
		c.names = append(c.names, b.Lifts[i].Name)
		c.lifts[b.Lifts[i].Name] = &b.Lifts[i]
	}
	c.findUsed()
	var wrong *periodize.Error
	if errors.As(periodize.CheckDates(b, r), &wrong) {
		c.fail(wrong.Pos, &path{key: "test"}, "%s", wrong.Msg)
	}
	for i := range r.Lifters {
		c.lifter(&r.Lifters[i], &path{up: &path{key: "lifters"}, index: i})
	}
	return c.errs.sorted()
}

type pairCheck struct {
	b       *periodize.Block
	r       *periodize.Roster
	names   []string
	lifts   map[string]*periodize.Lift
	used    []string      // lifts that the sessions and the test day ask for, in their order
	lacking map[lack]bool // what has been reported
	errs    Errors
}

// lack is something that a gym has not got.
type lack struct {
	gym  *periodize.Gym
	lift string
}

func (c *pairCheck) fail(pos periodize.Pos, at *path, format string, args ...any) {
	c.errs = append(c.errs, &Error{Pos: pos, Path: at.String(), Msg: fmt.Sprintf(format, args...)})
}

func (c *pairCheck) findUsed() {
	seen := map[string]bool{}
	use := func(lift string) {
		if !seen[lift] {
			seen[lift] = true
			c.used = append(c.used, lift)
		}
	}
	for i := range c.b.Sessions {
		for j := range c.b.Sessions[i].Work {
			use(c.b.Sessions[i].Work[j].Lift)
		}
	}
	for _, f := range c.b.TestLifts() {
		use(f)
	}
}

// resolve reports a name that is no lift of the block.
func (c *pairCheck) resolve(name string, pos periodize.Pos, at *path) (*periodize.Lift, bool) {
	l, ok := c.lifts[name]
	if !ok {
		c.fail(pos, at, "the block has no lift %q: %s", name, nearest(name, c.names))
	}
	return l, ok
}

func (c *pairCheck) lifter(l *periodize.Lifter, at *path) {
	under := func(keys ...string) *path {
		p := at
		for _, k := range keys {
			p = &path{up: p, key: k}
		}
		return p
	}
	for i := range l.Maxes {
		m := &l.Maxes[i]
		here := under("maxes", m.Lift)
		if lift, ok := c.resolve(m.Lift, or(m.Pos, l.Pos), here); ok {
			c.max(l, m, lift, here)
		}
	}
	swapped := map[string]string{}
	for _, s := range l.Swaps {
		pos := or(s.Pos, l.Pos)
		here := under("swap", s.From)
		_, from := c.resolve(s.From, pos, here)
		_, to := c.resolve(s.To, pos, here)
		if from && to {
			swapped[s.From] = s.To
		}
	}
	last := c.b.Weeks + c.b.Finish.Deload
	for i := range l.Adjust {
		a := &l.Adjust[i]
		pos := or(a.Pos, l.Pos)
		here := &path{up: under("adjust"), index: i}
		c.resolve(a.Lift, pos, &path{up: here, key: "lift"})
		if a.Week < 1 || a.Week > last {
			c.fail(pos, &path{up: here, key: "week"}, "week %d is not in the block: want weeks from 1 to %d", a.Week, last)
		}
	}
	gym, ok := c.r.Gym(l.Gym)
	if !ok {
		c.fail(l.Pos, under("gym"), "the roster has no gym %q", l.Gym)
	}
	weighed := l.Bodyweight > 0
	for _, name := range c.used {
		if to, ok := swapped[name]; ok {
			name = to
		}
		lift, known := c.lifts[name]
		if !known {
			continue
		}
		if !weighed && lift.BodyweightShare.Sign() > 0 {
			c.fail(l.Pos, at, "bodyweight is missing: want it, since %q counts %s per cent of it", name, lift.BodyweightShare)
			weighed = true // said once
		}
		if ok {
			c.equipment(gym, lift)
		}
	}
}

// or is the place of a part, or of the whole for one that a program built.
func or(pos, whole periodize.Pos) periodize.Pos {
	if pos.Line == 0 {
		return whole
	}
	return pos
}

// max reports a maximum that nobody can have.
func (c *pairCheck) max(l *periodize.Lifter, m *periodize.MaxEntry, lift *periodize.Lift, at *path) {
	body := plates.Mass(0)
	if lift.BodyweightShare.Sign() > 0 {
		if l.Bodyweight <= 0 {
			return // which is reported where the lift is used
		}
		body = plates.Mass(l.Bodyweight.Percent(lift.BodyweightShare).RoundTo(1, plates.Nearest))
	}
	check := func(load plates.Mass, at *path) {
		switch {
		case load+body > 0:
		case body == 0:
			c.fail(or(m.Pos, l.Pos), at, "want a mass above 0, since %q counts no bodyweight", m.Lift)
		default:
			c.fail(or(m.Pos, l.Pos), at, "takes off all of the bodyweight that %q counts: want less assistance", m.Lift)
		}
	}
	switch {
	case len(m.Sets) > 0:
	case m.Estimated():
		check(m.Low, &path{up: at, key: "low"})
	case !m.Date.IsZero():
		check(m.Tested, &path{up: at, key: "max"})
	default:
		check(m.Tested, at)
	}
	for i := range m.Sets {
		here := at
		if len(m.Sets) > 1 {
			here = &path{up: at, index: i}
		}
		check(m.Sets[i].Load, &path{up: here, key: "load"})
	}
}

// equipment reports a bar or station that a gym lacks, once for each lift.
func (c *pairCheck) equipment(g *periodize.Gym, lift *periodize.Lift) {
	if lift.Uses == "" || c.lacking[lack{g, lift.Name}] {
		return
	}
	var names []string
	for i := range g.Bars {
		if g.Bars[i].Name == lift.Uses {
			return
		}
		names = append(names, g.Bars[i].Name)
	}
	at := &path{key: "gym"}
	if g.Name != "" {
		at = &path{up: &path{key: "gyms"}, key: g.Name}
	}
	if i := slices.IndexFunc(g.Stations, func(s periodize.Station) bool { return s.Name == lift.Uses }); i >= 0 {
		if g.Stations[i].Assist && lift.BodyweightShare.Sign() <= 0 {
			c.lacking[lack{g, lift.Name}] = true
			c.fail(g.Pos, &path{up: &path{up: at, key: "stations"}, key: lift.Uses}, "takes load off bodyweight, and %q counts none: want bodyweight_share, or another station", lift.Name)
		}
		return
	}
	for i := range g.Stations {
		names = append(names, g.Stations[i].Name)
	}
	c.lacking[lack{g, lift.Name}] = true
	c.fail(g.Pos, at, "there is no bar or station %q, which %q uses: %s", lift.Uses, lift.Name, nearest(lift.Uses, names))
}
