package periodize

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/blockwright/blockwright/plates"
)

// FitOptions says how to fit a block to lifters. The zero value works.
type FitOptions struct {
	// Reserve is what main sets should leave. Default by the lifter's level: 2
	// to 5 for novices, 1 to 4 otherwise; common practice, no published source.
	Reserve *ReserveSpan
	// Spread is the percentage points between the lightest and the heaviest set
	// of a ramp or hill. Default 6; common practice, no published source.
	Spread float64
	// Thresholds are those of the review that tells how far above recent weeks
	// a first week may be.
	Thresholds Thresholds
}

// Fitted is a block fitted to one lifter.
type Fitted struct {
	Lifter  Lifter // with the volume and swaps found
	Block   *Block // with the shapes of the sets found; the lifter's own copy
	Changes []FitChange
	Before  FitReserve // with the block and lifter as they were; zero where they did not go together
	After   FitReserve
	// Lacks lists what the lifter cannot do and nothing in the block can stand
	// in for; there is no After then.
	Lacks []string
}

// FitChange is one change and its reason.
type FitChange struct {
	What string // volume, swap or shape
	Path string // of the item in the block, for shapes
	Lift string // for swaps and shapes
	Was  string
	Now  string
	Why  string
}

// FitReserve is what main sets are predicted to leave, accessories apart.
type FitReserve struct {
	Sets      int     // with a prediction
	Low, High float64 // of the middle predictions
	Under     int     // sets that leave less than wanted
	Over      int     // sets that leave more
	FirstWeek int     // sets of the first week
}

// The weights of a fit. Common practice, no published source: a set that leaves
// too little is worse than one that leaves too much, and a change needs to be
// worth making.
const (
	fitUnder  = 1.0  // each repetition under the range
	fitOver   = 0.25 // each repetition over it
	fitBeyond = 3.0  // each set of the first week beyond what recent weeks allow
	fitVolume = 0.1  // each per cent of volume changed
	fitShape  = 0.5  // each shape changed
	fitSwap   = 4.0  // each lift swapped without need
)

// fitVolumes are the volumes that are tried, per cent.
var fitVolumes = [...]int{100, 90, 80, 70, 60, 50}

// Fit fits a block to each lifter of a roster: it looks for the volume, the
// swaps and the shape of the sets (as written, even, ramp or hill) that keep
// the predicted reserve of the main sets in range and the first week within
// reach of recent ones, with as few changes as that takes. For each volume the
// shapes of the exercises are chosen one by one, which is exact, since the
// prediction takes each exercise by itself. Nothing is changed in place; what
// is found comes back as a block and a lifter of their own with the reasons.
func Fit(b *Block, r *Roster, opt FitOptions) ([]Fitted, error) {
	if errs := b.check(); len(errs) > 0 {
		return nil, errs
	}
	if len(r.Lifters) == 0 {
		return nil, Errors{&Error{Pos: r.Pos, Msg: "the roster has no lifters"}}
	}
	if opt.Spread == 0 {
		opt.Spread = 6
	}
	if !(opt.Spread > 0 && opt.Spread <= 50) {
		return nil, Errors{&Error{Where: "fit", Msg: fmt.Sprintf("spread must be above 0 up to 50 percentage points, got %v", opt.Spread)}}
	}
	out := make([]Fitted, 0, len(r.Lifters))
	for i := range r.Lifters {
		f := &fitter{b: b, r: r, opt: opt, th: opt.Thresholds.withDefaults(), lifter: r.Lifters[i]}
		f.low, f.high = reserveAim(f.lifter.Level)
		if s := opt.Reserve; s != nil {
			f.low, f.high = s.Low.Float64(), s.High.Float64()
		}
		one, err := f.fit()
		if err != nil {
			return nil, err
		}
		out = append(out, one)
	}
	return out, nil
}

type fitter struct {
	b         *Block
	r         *Roster
	opt       FitOptions
	th        Thresholds
	lifter    Lifter
	low, high float64
	can       map[string]bool // lifts that the lifter has a maximum and equipment for
}

// program compiles a block for the lifter alone.
func (f *fitter) program(b *Block, l Lifter) (*Program, error) {
	return compile(b, &Roster{Gyms: f.r.Gyms, Start: f.r.Start, Test: f.r.Test, Lifters: []Lifter{l}, Pos: f.r.Pos, TestPos: f.r.TestPos})
}

// itemKey is an item of the block.
type itemKey struct{ session, item int }

// outside is how far the sets of each item are outside the range.
type outside struct {
	FitReserve
	cost map[itemKey]float64
}

func (o *outside) total() float64 {
	sum := 0.0
	for _, k := range slices.SortedFunc(maps.Keys(o.cost), func(a, b itemKey) int {
		if a.session != b.session {
			return a.session - b.session
		}
		return a.item - b.item
	}) {
		sum += o.cost[k]
	}
	return sum
}

// judge plans a block for a lifter and measures it.
func (f *fitter) judge(b *Block, l Lifter) (*outside, error) {
	prog, err := f.program(b, l)
	if err != nil {
		return nil, err
	}
	o := &outside{FitReserve: FitReserve{Low: math.Inf(1), High: math.Inf(-1)}, cost: map[itemKey]float64{}}
	for _, ps := range prog.Plan(0).Sessions {
		if ps.Kind != Training {
			continue
		}
		session := slices.IndexFunc(b.Sessions, func(s Session) bool { return s.Name == ps.Name && s.Weeks.Has(ps.Week) })
		for _, ex := range ps.Exercises {
			if ps.Week == 1 {
				o.FirstWeek += len(ex.Sets)
			}
			if ex.Role == Accessory {
				continue
			}
			for i := range ex.Sets {
				s := &ex.Sets[i]
				if s.Kind != MainSet || s.Reserve == nil || s.Open || s.AMRAP {
					continue
				}
				mid := s.Reserve.Mid
				o.Sets++
				o.Low, o.High = min(o.Low, mid), max(o.High, mid)
				switch {
				case mid < f.low-0.05: // what rounding to plates moves
					o.Under++
					o.cost[itemKey{session, ex.Item}] += fitUnder * (f.low - mid)
				case mid > f.high+0.05:
					o.Over++
					o.cost[itemKey{session, ex.Item}] += fitOver * (mid - f.high)
				}
			}
		}
	}
	if o.Sets == 0 {
		o.Low, o.High = 0, 0
	}
	return o, nil
}

// able finds the lifts that the lifter has what it takes for.
func (f *fitter) able() {
	f.can = map[string]bool{}
	plain := f.lifter
	plain.Swaps, plain.Adjust = nil, nil
	for i := range f.b.Lifts {
		l := &f.b.Lifts[i]
		it := Item{Lift: l.Name, Work: Work{Reps: FixedTrack{ratio(1, 1)}}}
		if l.Uses != "" && f.needsWeight(l.Name) {
			it.Weight = Weight{ByPercent, FixedTrack{ratio(50, 1)}}
		}
		b := &Block{Weeks: 1, Unit: f.b.Unit, Lifts: f.b.Lifts, Sessions: []Session{{Name: "one", Work: []Item{it}}}}
		_, err := compile(b, &Roster{Gyms: f.r.Gyms, Lifters: []Lifter{plain}})
		f.can[l.Name] = err == nil
	}
}

// needsWeight reports whether the block gives a lift a weight from a maximum;
// lifts that it does not use are asked for one.
func (f *fitter) needsWeight(name string) bool {
	used := false
	for _, s := range f.b.Sessions {
		for _, it := range s.Work {
			if it.Lift != name {
				continue
			}
			used = true
			if it.Build != nil || len(it.Each) > 0 {
				return true
			}
			if k := it.Weight.Kind; k == ByPercent || k == ByRIR || k == ByRPE {
				return true
			}
		}
	}
	return !used
}

// stands lists the lifts that can stand in for one: of its pattern, most
// muscles in common first.
func (f *fitter) stands(name string) []string {
	of, ok := f.b.Lift(name)
	if !ok {
		return nil
	}
	type option struct {
		name   string
		common float64
	}
	var options []option
	for i := range f.b.Lifts {
		l := &f.b.Lifts[i]
		if l.Name == name || l.Pattern != of.Pattern || !f.can[l.Name] {
			continue
		}
		common := 0.0
		for _, a := range l.Muscles {
			for _, b := range of.Muscles {
				if a.Muscle == b.Muscle {
					common += min(a.Part, b.Part)
				}
			}
		}
		options = append(options, option{l.Name, common})
	}
	slices.SortStableFunc(options, func(a, b option) int { return compare(b.common, a.common) })
	out := make([]string, len(options))
	for i, o := range options {
		out[i] = o.name
	}
	return out
}

// does is the lift that a lifter does in the place of another.
func does(l *Lifter, name string) string {
	for _, s := range l.Swaps {
		if s.From == name {
			return s.To
		}
	}
	return name
}

// swapped is a lifter who does one lift in the place of another.
func swapped(l Lifter, from, to string) Lifter {
	l.Swaps = slices.DeleteFunc(slices.Clone(l.Swaps), func(s Swap) bool { return s.From == from })
	l.Swaps = append(l.Swaps, Swap{From: from, To: to})
	return l
}

// usedLifts lists the lifts that the block's sessions name, in its order.
func (f *fitter) usedLifts() []string {
	var out []string
	for i := range f.b.Lifts {
		name := f.b.Lifts[i].Name
		if slices.ContainsFunc(f.b.Sessions, func(s Session) bool {
			return slices.ContainsFunc(s.Work, func(it Item) bool { return it.Lift == name })
		}) {
			out = append(out, name)
		}
	}
	return out
}

func (f *fitter) fit() (Fitted, error) {
	out := Fitted{}
	f.able()
	if o, err := f.judge(f.b, f.lifter); err == nil {
		out.Before = o.FitReserve
	}
	l := f.lifter
	for _, name := range f.usedLifts() {
		now := does(&l, name)
		if f.can[now] {
			continue
		}
		to := f.stands(name)
		if len(to) == 0 {
			out.Lacks = append(out.Lacks, fmt.Sprintf("%s: there is no maximum or equipment for it, and no other lift of its pattern that there is", now))
			continue
		}
		l = swapped(l, name, to[0])
		out.Changes = append(out.Changes, FitChange{What: "swap", Lift: name, Was: now, Now: to[0],
			Why: fmt.Sprintf("%s has no maximum or equipment for %s; %s is of the same pattern", l.Name, now, to[0])})
	}
	out.Lifter, out.Block = l, f.b
	if len(out.Lacks) > 0 {
		return out, nil
	}
	if _, err := f.program(f.b, l); err != nil {
		return out, err // what no swap can mend
	}
	best, err := f.search(l)
	if err != nil {
		return out, err
	}
	// A lift behind whose sets stay outside is tried as another one.
	for _, name := range f.usedLifts() {
		if slices.Contains(f.b.Focus, name) || slices.ContainsFunc(out.Changes, func(c FitChange) bool { return c.Lift == name }) {
			continue
		}
		if f.worst(best, name) <= fitSwap {
			continue
		}
		for _, to := range f.stands(name) {
			if to == does(&l, name) {
				continue
			}
			try, err := f.search(swapped(l, name, to))
			if err != nil || try.cost+fitSwap >= best.cost {
				continue
			}
			out.Changes = append(out.Changes, FitChange{What: "swap", Lift: name, Was: does(&l, name), Now: to,
				Why: fmt.Sprintf("its sets leave what is wanted, which those of %s do not at any volume or shape", does(&l, name))})
			l, best = swapped(l, name, to), try
			break
		}
	}
	out.Lifter, out.Block, out.After = best.lifter, best.block, best.reserve
	out.Changes = append(out.Changes, f.changes(best, &out)...)
	return out, nil
}

// fitting is one way of fitting the block.
type fitting struct {
	lifter  Lifter
	block   *Block
	shapes  map[itemKey]Shape // "" is even
	reserve FitReserve
	left    *outside
	cost    float64
}

func (f *fitter) worst(x *fitting, lift string) float64 {
	sum := 0.0
	for i, s := range f.b.Sessions {
		for k, it := range s.Work {
			if it.Lift == lift {
				sum += x.left.cost[itemKey{i, k}]
			}
		}
	}
	return sum
}

// shaped is a copy of the block with the sets of some items in another shape.
func (f *fitter) shaped(shapes map[itemKey]Shape) *Block {
	b := *f.b
	b.Sessions = slices.Clone(b.Sessions)
	for i := range b.Sessions {
		b.Sessions[i].Work = slices.Clone(b.Sessions[i].Work)
		for k := range b.Sessions[i].Work {
			s, ok := shapes[itemKey{i, k}]
			if !ok {
				continue
			}
			it := &b.Sessions[i].Work[k]
			it.Spread, it.Shape = plates.Ratio{}, ""
			if s != "" {
				it.Spread, it.Shape = number(f.opt.Spread), s
			}
		}
	}
	return &b
}

// shapeable reports whether an item's sets have a shape to change: sets across
// by a weight, with no heaviest set that back-offs hang on.
func shapeable(it *Item) bool {
	return len(it.Each) == 0 && it.Build == nil && it.Backoff == nil && it.Final == nil && it.Role != Accessory &&
		(it.Weight.Kind == ByPercent || it.Weight.Kind == ByRIR || it.Weight.Kind == ByRPE)
}

// fitShapes are the shapes that are tried beside the written one; "" is even.
var fitShapes = [...]Shape{"", Ramp, Hill}

// search tries every volume, and with it every shape of every item.
func (f *fitter) search(l Lifter) (*fitting, error) {
	was := 100.0
	if f.lifter.Volume.Sign() > 0 {
		was = f.lifter.Volume.Float64()
	}
	volumes := []float64{was}
	for _, v := range fitVolumes {
		if x := float64(v); x < was {
			volumes = append(volumes, x)
		}
	}
	var best *fitting
	for _, v := range volumes {
		x := l
		if v != was {
			x.Volume = number(v)
		}
		plain, err := f.judge(f.b, x)
		if err != nil {
			return nil, err
		}
		shapes := map[itemKey]Shape{}
		cost := map[itemKey]float64{}
		for i := range f.b.Sessions {
			for k := range f.b.Sessions[i].Work {
				key := itemKey{i, k}
				cost[key] = plain.cost[key]
			}
		}
		for _, s := range fitShapes {
			all := map[itemKey]Shape{}
			for i := range f.b.Sessions {
				for k := range f.b.Sessions[i].Work {
					it := &f.b.Sessions[i].Work[k]
					even := it.Spread.Sign() == 0
					written := s == "" && even || !even && cmp.Or(it.Shape, Ramp) == s
					if shapeable(it) && !written {
						all[itemKey{i, k}] = s
					}
				}
			}
			if len(all) == 0 {
				continue
			}
			o, err := f.judge(f.shaped(all), x)
			if err != nil {
				continue // a weight of the shape is out of range
			}
			for key := range all {
				if c := o.cost[key] + fitShape; c < cost[key]-1e-9 {
					cost[key], shapes[key] = c, s
				}
			}
		}
		block := f.shaped(shapes)
		o, err := f.judge(block, x)
		if err != nil {
			return nil, err
		}
		total := o.total() + fitShape*float64(len(shapes)) + fitVolume*math.Abs(v-was) + f.beyond(o.FirstWeek, x)
		if best == nil || total < best.cost-1e-9 {
			best = &fitting{lifter: x, block: block, shapes: shapes, reserve: o.FitReserve, left: o, cost: total}
		}
	}
	return best, nil
}

// beyond is the cost of a first week that is far above recent ones.
func (f *fitter) beyond(sets int, l Lifter) float64 {
	if most, known := f.firstWeekLimit(l); known && float64(sets) > most {
		return fitBeyond * (float64(sets) - most)
	}
	return 0
}

// firstWeekLimit is the most sets of a first week by the rules of a review, where
// recent weeks are known.
func (f *fitter) firstWeekLimit(l Lifter) (most float64, known bool) {
	was, known := l.Recent.sets()
	if !known {
		return 0, false
	}
	care := l.Level == Novice
	if start := newCalendar(f.b, f.r.Start, f.r.Test).start; !start.IsZero() && !l.Recent.LastTrained.IsZero() {
		care = care || start.Sub(l.Recent.LastTrained).Hours() >= 24*float64(f.th.LayOffDays)
	}
	if care {
		return (1 + f.th.StartRiseCare) * float64(was), true
	}
	return (1 + f.th.StartRise) * float64(was), true
}

// changes tells what a fitting changes and why.
func (f *fitter) changes(x *fitting, out *Fitted) []FitChange {
	var list []FitChange
	if x.lifter.Volume.Cmp(f.lifter.Volume) != 0 {
		was := "100%"
		if f.lifter.Volume.Sign() > 0 {
			was = f.lifter.Volume.String() + "%"
		}
		why := "fewer sets leave more in reserve at their end"
		if most, known := f.firstWeekLimit(f.lifter); known && float64(out.Before.FirstWeek) > most {
			why = fmt.Sprintf("the first week has %d sets, after %s", out.Before.FirstWeek, aWeek(*f.lifter.Recent.WeeklySets))
		}
		list = append(list, FitChange{What: "volume", Was: was, Now: x.lifter.Volume.String() + "%", Why: why})
	}
	for i := range f.b.Sessions {
		for k := range f.b.Sessions[i].Work {
			s, ok := x.shapes[itemKey{i, k}]
			if !ok {
				continue
			}
			it := &f.b.Sessions[i].Work[k]
			list = append(list, FitChange{What: "shape", Path: fmt.Sprintf("sessions[%d].work[%d]", i, k), Lift: it.Lift,
				Was: shapeWord(it.Spread.Sign() != 0, it.Shape), Now: shapeWord(s != "", s), Why: shapeWhy(s)})
		}
	}
	return list
}

func shapeWord(spread bool, s Shape) string {
	switch {
	case !spread:
		return "even"
	case s == "":
		return string(Ramp)
	}
	return string(s)
}

func shapeWhy(s Shape) string {
	switch s {
	case Ramp:
		return "lighter first sets and a heavier last one keep more of them in range"
	case Hill:
		return "a lighter last set keeps its reserve after the sets before it"
	}
	return "equal sets keep the reserve, which the written shape does not"
}
