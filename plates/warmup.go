package plates

import "sort"

// WarmupOptions says how to warm up. The zero value is the general protocol on
// an empty bar, with the working load standing in for the maximum.
type WarmupOptions struct {
	Protocol Protocol // default General()
	// Max is the maximum that the protocol's shares refer to; default the working
	// load, which makes the warm-up lighter than the protocol has it.
	Max Mass
	// BarFirst begins with the empty bar (common practice, no published source).
	BarFirst bool
	BarReps  int // default 10
	// FloorPlate is for lifts from the floor: the lightest plate of full
	// diameter, one of which each side carries in every set. Default none.
	FloorPlate Mass
	Order      Order   // default Descending
	From       []Plate // on the bar at the start; default nothing
}

// WarmupSet is one set before the work.
type WarmupSet struct {
	Mass        Mass
	Reps        int     // to be done
	RestSeconds int     // after the set
	Side        []Plate // each side, from the innermost outwards; nil for a station
}

// Ramp is the way up to a working load.
type Ramp struct {
	Sets []WarmupSet // ascending, all lighter than the working load
	// Sequence loads the sets and then the working load.
	Sequence *Sequence
}

// Warmup is a ramp to a working load on l. Every step of the protocol becomes a
// loadable mass in the step's range; among those the ramp is chosen that takes
// the fewest plate moves up to and with the working load, and of these the one
// that moves the least mass. Where two of its loads lie closer than a twentieth of the working load, the middle halves of the
// ranges are tried instead (common practice, no published source). A range in which nothing can be loaded gives the
// heaviest mass under it; a step that would not be heavier than the one before
// and lighter than the working load is left out, so that repetitions never go
// with a load that is heavier than the protocol has for them.
//
// The protocols are tests of a maximum in healthy adults, and the ramp is no
// more than arithmetic on them: facility rules and coaching come first.
//
// A working load that cannot be loaded is a [*NotLoadableError].
func Warmup(l *Loads, working Mass, opt WarmupOptions) (*Ramp, error) {
	return NewSequencer(l).Warmup(working, opt)
}

// Warmup is the function of that name for many ramps on one bar.
func (s *Sequencer) Warmup(working Mass, opt WarmupOptions) (*Ramp, error) {
	l := s.loads()
	if working < 0 || working > massLimit || !l.Has(working) {
		return nil, l.notLoadable(0, Target{Mass: working})
	}
	if opt.Max < 0 || opt.Max > massLimit {
		return nil, &FieldError{Field: "maximum", Got: opt.Max.String(), Want: "0 to 1000000 kg"}
	}
	if len(opt.Protocol.Steps) == 0 {
		opt.Protocol = General()
	}
	if opt.Max == 0 {
		opt.Max = working
	}
	if opt.BarReps == 0 {
		opt.BarReps = 10
	}
	floor := opt.FloorPlate
	if l.bar == nil || !l.floorCan(working, floor) {
		floor = 0 // too light for a full plate: raised off the floor in some other way
	}
	r, err := s.ramp(working, opt, floor, 0)
	if err == nil && r.bunched(working) {
		// Steps at the ends of their ranges may lie next to each other.
		if apart, err := s.ramp(working, opt, floor, 4); err == nil && !apart.bunched(working) {
			return apart, nil
		}
	}
	return r, err
}

// leastStep is the least share of the working load, one in so many, that a step of a ramp adds to the one before, where the
// protocol's ranges and the plates let it: common practice, no published source.
const leastStep = 20

// bunched reports whether two loads of a ramp lie closer to each other than that.
func (r *Ramp) bunched(working Mass) bool {
	for i := range r.Sets {
		next := working
		if i+1 < len(r.Sets) {
			next = r.Sets[i+1].Mass
		}
		if next-r.Sets[i].Mass < working/leastStep {
			return true
		}
	}
	return false
}

// ramp is a ramp within the ranges of the protocol, of which one part in inset is left out at either end; 0 for none.
func (s *Sequencer) ramp(working Mass, opt WarmupOptions, floor Mass, inset int) (*Ramp, error) {
	l := s.loads()
	var sets []WarmupSet
	var spans [][2]Mass
	over := Mass(-1) // the top of the ranges so far
	if opt.BarFirst && floor <= 0 && l.Lightest() < working {
		over = l.Lightest()
		sets = append(sets, WarmupSet{Reps: opt.BarReps, RestSeconds: ProtocolStep{}.Rest()})
		spans = append(spans, [2]Mass{over, over})
	}
	ranges := opt.Protocol.ranges(opt.Max)
	for i, st := range opt.Protocol.Steps {
		if ranges[i][0] >= working {
			break
		}
		from, to := ranges[i][0], ranges[i][1]
		if inset > 0 {
			part := (to - from) / Mass(inset)
			from, to = from+part, to-part
		}
		lo, hi, ok := l.within(from, min(to, working-1), over, floor)
		if !ok {
			continue
		}
		sets = append(sets, WarmupSet{Reps: st.Reps(), RestSeconds: st.Rest()})
		spans = append(spans, [2]Mass{lo, hi})
		over = hi
	}
	spans = append(spans, [2]Mass{working, working})
	seq, err := s.spans(spans, floor, SequenceOptions{Order: opt.Order, From: opt.From})
	if err != nil {
		return nil, err
	}
	for i := range sets {
		sets[i].Mass, sets[i].Side = seq.Steps[i].Loaded, seq.Steps[i].Side
	}
	return &Ramp{Sets: sets, Sequence: seq}, nil
}

// ranges is the steps' ranges of a maximum. Ranges that overlap are parted in the
// middle of what they share, so that the ramp goes up.
func (p Protocol) ranges(of Mass) [][2]Mass {
	out := make([][2]Mass, len(p.Steps))
	for i, st := range p.Steps {
		out[i] = [2]Mass{
			of.Times(reduced(int64(st.Low), 100)).RoundTo(1, Up),
			of.Times(reduced(int64(st.High), 100)).RoundTo(1, Down),
		}
		if i > 0 && out[i-1][1] >= out[i][0] {
			mid := out[i][0] + (out[i-1][1]-out[i][0])/2
			out[i-1][1], out[i][0] = mid, mid+1
		}
	}
	return out
}

// floorCan reports whether a total can be loaded with a plate of floor or more.
func (l *Loads) floorCan(total, floor Mass) bool {
	if floor <= 0 {
		return true
	}
	_, ok := l.span(total, total, floor)
	return ok
}

// within is the loadable part of lo..hi, of the totals over one mass; where there
// is none the heaviest total under lo.
func (l *Loads) within(lo, hi, over, floor Mass) (first, last Mass, ok bool) {
	below := Mass(-1)
	first = -1
	for _, m := range l.totals[sort.Search(len(l.totals), func(i int) bool { return l.totals[i] > over }):] {
		switch {
		case m > hi:
			if first < 0 {
				first, last = below, below
			}
			return first, last, first >= 0
		case !l.floorCan(m, floor):
		case m < lo:
			below = m
		default:
			if first < 0 {
				first = m
			}
			last = m
		}
	}
	if first < 0 {
		first, last = below, below
	}
	return first, last, first >= 0
}

// spans is a sequence through ranges of totals. All of them can be loaded.
func (s *Sequencer) spans(spans [][2]Mass, floor Mass, opt SequenceOptions) (*Sequence, error) {
	targets := make([]Target, len(spans))
	if s.l.bar == nil {
		for i, sp := range spans { // nothing to move: the weight nearest to the middle
			m := s.l.RoundMass(sp[0]+(sp[1]-sp[0])/2, Nearest).Mass
			targets[i].Mass = min(max(m, sp[0]), sp[1])
		}
		return s.l.stationSequence(targets)
	}
	from, err := s.l.stackOf(opt.From)
	if err != nil {
		return nil, err
	}
	wins := make([]window, len(spans))
	for i, sp := range spans {
		wins[i], _ = s.l.span(sp[0], sp[1], floor)
		targets[i] = Target{Mass: sp[0] + (sp[1]-sp[0])/2, Tolerance: (sp[1] - sp[0] + 1) / 2, FloorPlate: floor}
	}
	p, err := newProblem(s.l, wins, from, opt)
	if err != nil {
		return nil, err
	}
	return p.result(targets, p.solve(s)), nil
}
