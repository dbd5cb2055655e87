package periodize

import (
	"fmt"
	"iter"
	"slices"
	"sync"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/plates"
)

// Program is a block checked against a roster and prepared once, from which
// each lifter's plan is computed on demand, so that a large roster never has
// to be in memory at once. It is safe for concurrent use.
type Program struct {
	block   *Block
	roster  *Roster
	weeks   [][]weekSession // by week, from 0
	lifters []lifterSetup
}

// lifterSetup is what a lifter's plan is computed from.
type lifterSetup struct {
	lifter *Lifter
	gym    *Gym
	loads  map[string]*implement
	maxes  maxima
	cal    calendar
}

// Compile checks a block against a roster: every name resolves, every track
// has a value where one is needed, every lifter has the maxima and the
// equipment for what is asked. The error holds everything that is wrong, as
// [Errors]; maxima that are missing come together in one [MissingMaxError]. The
// program works with copies of its own, so that b and r may be changed afterwards; a
// changed block or roster is compiled anew.
func Compile(b *Block, r *Roster) (*Program, error) {
	return compile(b.Clone(), r.Clone())
}

// compile is Compile for a block and a roster that nobody changes.
func compile(b *Block, r *Roster) (*Program, error) {
	var errs Errors
	p := &Program{block: b, roster: r}
	if errs = b.check(); len(errs) > 0 {
		return nil, errs
	}
	for w := 1; w <= b.Weeks; w++ {
		p.weeks = append(p.weeks, resolveWeek(b, w, &errs))
	}
	if len(errs) > 0 {
		return nil, dedupe(errs)
	}
	if len(r.Lifters) == 0 {
		return nil, Errors{&Error{Pos: r.Pos, Msg: "the roster has no lifters"}}
	}
	cal := newCalendar(b, r.Start, r.Test)
	if err := cal.check(b); err != nil {
		errs = append(errs, &Error{Pos: r.Pos, Msg: err.Error()})
	}
	curves := map[string]*estimate.Curve{}
	for i := range b.Lifts {
		if _, err := (&maxima{curves: curves}).curve(&b.Lifts[i]); err != nil {
			return nil, Errors{err}
		}
	}
	gymNames := map[string]bool{}
	for i := range r.Gyms {
		g := &r.Gyms[i]
		if gymNames[g.Name] {
			errs = append(errs, &Error{Pos: g.Pos, Where: "gym " + g.Name, Msg: "a second gym of this name: want names that differ"})
		}
		gymNames[g.Name] = true
		errs = append(errs, g.check()...)
	}
	gyms := map[*Gym]map[string]*implement{}
	needed := p.needed()
	p.lifters = make([]lifterSetup, 0, len(r.Lifters))
	missing := &MissingMaxError{}
	names := make(map[string]bool, len(r.Lifters))
	for i := range r.Lifters {
		l := &r.Lifters[i]
		if names[l.Name] && l.Name != "" {
			errs = append(errs, &Error{Pos: l.Pos, Where: l.Name, Msg: "a second lifter of this name: want names that differ"})
			continue
		}
		names[l.Name] = true
		gym, ok := r.Gym(l.Gym)
		if !ok {
			errs = append(errs, &Error{Pos: l.Pos, Where: l.place(), Msg: fmt.Sprintf("there is no gym %q in the roster", l.Gym)})
			errs = append(errs, l.check(b)...)
			continue
		}
		if gyms[gym] == nil {
			gyms[gym] = map[string]*implement{}
		}
		s := lifterSetup{lifter: l, gym: gym, loads: gyms[gym], cal: cal,
			maxes: maxima{b: b, l: l, gym: gym, curves: curves, found: make([]LiftMax, 0, len(needed))}}
		errs = append(errs, p.prepare(&s, needed, missing)...)
		p.sortMaxima(&s)
		p.lifters = append(p.lifters, s)
	}
	if len(missing.Missing) > 0 {
		errs = append(errs, missing)
	}
	if len(errs) > 0 {
		return nil, dedupe(errs)
	}
	return p, nil
}

// dedupe drops errors that say the same again, such as one track's error in every week.
func dedupe(errs Errors) Errors {
	seen := map[string]bool{}
	return slices.DeleteFunc(errs, func(e error) bool {
		s := e.Error()
		if seen[s] {
			return true
		}
		seen[s] = true
		return false
	})
}

// need is a lift of the block that some week asks for.
type need struct {
	lift string
	def  *Lift
	max  bool // its weight comes from a maximum
	pos  Pos
}

// needed lists the lifts in use, in the block's order.
func (p *Program) needed() []need {
	var ns []need
	add := func(lift string, max bool, pos Pos) {
		for i := range ns {
			if ns[i].lift == lift {
				if max && !ns[i].max {
					ns[i].max, ns[i].pos = true, pos
				}
				return
			}
		}
		def, _ := p.block.Lift(lift) // check has seen that it is there
		ns = append(ns, need{lift, def, max, pos})
	}
	for _, week := range p.weeks {
		for _, s := range week {
			for _, it := range s.items {
				add(it.lift.Name, it.needsMax(), it.src.Pos)
			}
		}
	}
	for _, f := range p.block.TestLifts() {
		if l, ok := p.block.Lift(f); ok && l.Uses != "" {
			add(f, true, p.block.Pos)
		}
	}
	place := func(n need) int {
		return slices.IndexFunc(p.block.Lifts, func(l Lift) bool { return l.Name == n.lift })
	}
	slices.SortStableFunc(ns, func(a, b need) int { return place(a) - place(b) })
	return ns
}

// prepare resolves the equipment and maxima of one lifter.
func (p *Program) prepare(s *lifterSetup, needed []need, missing *MissingMaxError) []error {
	var errs []error
	first := len(missing.Missing) // of this lifter's
	for i := range needed {
		n := &needed[i]
		def := n.def
		if len(s.lifter.Swaps) > 0 {
			var err error
			if def, err = s.lift(p.block, n.lift); err != nil {
				errs = append(errs, err)
				continue
			}
		}
		if _, err := s.implement(def); err != nil {
			errs = append(errs, err)
			continue
		}
		if def.BodyweightShare.Sign() > 0 {
			if _, err := s.maxes.body(def); err != nil {
				errs = append(errs, err)
				continue
			}
		}
		if !n.max || def.Uses == "" {
			continue
		}
		lm, lacks, err := s.maxes.of(def)
		switch {
		case err != nil:
			errs = append(errs, err)
		case lm == nil:
			m := MissingMax{Lifter: s.lifter.Name, LifterPos: s.lifter.Pos, Lift: lacks, ItemPos: n.pos}
			if !slices.ContainsFunc(missing.Missing[first:], func(x MissingMax) bool { return x.Lift == m.Lift }) {
				missing.Missing = append(missing.Missing, m)
			}
		}
	}
	return append(errs, s.lifter.check(p.block)...)
}

// sortMaxima puts a lifter's maxima in the block's order. They are found in it
// unless one is derived from another.
func (p *Program) sortMaxima(s *lifterSetup) {
	s.maxes.asking = nil
	if !s.maxes.derived && len(s.lifter.Swaps) == 0 {
		return
	}
	place := func(m LiftMax) int {
		return slices.IndexFunc(p.block.Lifts, func(l Lift) bool { return l.Name == m.Lift })
	}
	order := func(a, b LiftMax) int { return place(a) - place(b) }
	slices.SortFunc(s.maxes.found, order)
}

// lift is the lift that a lifter does where the block asks for name.
func (s *lifterSetup) lift(b *Block, name string) (*Lift, error) {
	for _, sw := range s.lifter.Swaps {
		if sw.From == name {
			name = sw.To
			break
		}
	}
	l, ok := b.Lift(name)
	if !ok {
		return nil, &Error{Pos: s.lifter.Pos, Where: s.lifter.Name, Msg: fmt.Sprintf("swap: %q is not a lift of the block", name)}
	}
	return l, nil
}

// Len is the number of lifters.
func (p *Program) Len() int { return len(p.lifters) }

// Block is the program's copy of the block that was compiled. It is there to be
// read; [Block.Clone] gives one to change.
func (p *Program) Block() *Block { return p.block }

// Roster is the program's copy of the roster that it was compiled for. It is there
// to be read; [Roster.Clone] gives one to change.
func (p *Program) Roster() *Roster { return p.roster }

// Plans computes the lifters' plans one after the other, in the roster's order.
func (p *Program) Plans() iter.Seq[*Plan] {
	return func(yield func(*Plan) bool) {
		for i := range p.lifters {
			if !yield(p.Plan(i)) {
				return
			}
		}
	}
}

// Find is the index of the lifter of that name.
func (p *Program) Find(name string) (int, bool) {
	i := slices.IndexFunc(p.lifters, func(s lifterSetup) bool { return s.lifter.Name == name })
	return i, i >= 0
}

// implement is what a lift is loaded on in one gym. What it has worked out is
// kept for all lifters.
type implement struct {
	loads  *plates.Loads
	assist bool

	mu    sync.Mutex
	seq   *plates.Sequencer
	ramps map[plates.Mass][]Set // warm-ups by the first working weight
}

// implement finds or prepares what a lift uses; nil for lifts that use nothing.
func (s *lifterSetup) implement(def *Lift) (*implement, error) {
	if def.Uses == "" {
		return nil, nil
	}
	key := def.Uses
	if def.BodyweightShare.Sign() > 0 {
		key += "\x00body"
	}
	if im, ok := s.loads[key]; ok {
		return im, nil
	}
	im, err := s.gym.implement(def)
	if err != nil {
		return nil, &Error{Pos: s.gym.Pos, Where: def.Name, Msg: err.Error()}
	}
	s.loads[key] = im
	return im, nil
}

// implement prepares the bar or station that a lift uses.
func (g *Gym) implement(def *Lift) (*implement, error) {
	for _, bar := range g.Bars {
		if bar.Name == def.Uses {
			pb := plates.Bar{Name: bar.Name, Mass: bar.Mass, Collars: g.Collars}
			if bar.Collars != nil {
				pb.Collars = *bar.Collars
			}
			loads, err := plates.NewLoads(pb, g.Plates)
			return &implement{loads: loads}, err
		}
	}
	for i := range g.Stations {
		st := &g.Stations[i]
		if st.Name != def.Uses {
			continue
		}
		list, err := st.masses()
		if err != nil {
			return nil, err
		}
		if st.Assist && def.BodyweightShare.Sign() <= 0 {
			return nil, fmt.Errorf("station %q takes load off bodyweight, and this lift counts none", st.Name)
		}
		if def.BodyweightShare.Sign() > 0 { // nothing hung on, nothing taken off
			list = append([]plates.Mass{0}, list...)
		}
		loads, err := plates.NewStation(st.Name, list, st.Add)
		return &implement{loads: loads, assist: st.Assist}, err
	}
	return nil, fmt.Errorf("the gym has no bar or station %q; it has %s", def.Uses, g.equipment())
}

func (g *Gym) equipment() string {
	var names []string
	for _, b := range g.Bars {
		names = append(names, b.Name)
	}
	for _, s := range g.Stations {
		names = append(names, s.Name)
	}
	if len(names) == 0 {
		return "none at all"
	}
	s := names[0]
	for _, n := range names[1:] {
		s += ", " + n
	}
	return s
}

// masses lists a station's weights.
func (st *Station) masses() ([]plates.Mass, error) {
	if st.Step <= 0 {
		if len(st.List) == 0 {
			return nil, fmt.Errorf("station %q has no weights", st.Name)
		}
		return slices.Clone(st.List), nil
	}
	const most = 10000
	if st.To < st.From || (st.To-st.From)/st.Step >= most {
		return nil, fmt.Errorf("station %q: want from no higher than to and at most %d steps", st.Name, most)
	}
	var list []plates.Mass
	for m := st.From; m <= st.To; m += st.Step {
		list = append(list, m)
	}
	return list, nil
}
