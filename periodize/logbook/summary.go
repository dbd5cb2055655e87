package logbook

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/estimate"
	numeric "github.com/blockwright/blockwright/internal/num"
	"github.com/blockwright/blockwright/plates"
)

// Summary adds up a log: by lifter and lift the work and the best sets, by lifter the weeks,
// the sessions' loads and the days of training. Rows may come in any order. Summaries of parts of a log, cut
// anywhere, merge and marshal as JSON; merging is associative and commutative, exactly but for the rounding of sums. Memory
// follows the number of training days, not of rows. The zero value is an empty summary in kilograms.
type Summary struct {
	unit    plates.Unit
	rows    int64
	lifters map[string]*lifterSum
	last    *lifterSum
	name    string
	shares  []float64 // of the maximum, by half repetitions from 1
}

type lifterSum struct {
	lifts    map[string]*liftSum
	weeks    map[int32]*weekSum // by the Monday that they begin on
	days     daySet
	sessions map[sessionKey]*sessionSum
}

type liftSum struct {
	sets, reps, missed int64
	tonnage            numeric.Sum
	bests              map[int16]bestSet // by repetitions
	days               []dayBest         // by day
}

type weekSum struct {
	sets, reps int64
	tonnage    numeric.Sum
}

type bestSet struct {
	load float64
	day  int32
}

// The kinds of set that say something of a maximum in ways of their own: one of each is kept a day.
const (
	keepMeasured = iota // the highest that a single or a set near failure shows, singles first
	keepLower           // the highest of the sets that only say "at least"
	keepMissed          // the lightest attempt missed
	kept
)

// dayBest is the most telling sets of a day, so that a maximum can be followed without
// keeping every set: later sets of a session are done tired and would read low.
type dayBest struct {
	day int32
	set [kept]keptSet
}

type keptSet struct {
	value  float64 // the maximum that it shows; 0 for none
	load   float64
	rir    float64 // negative where not reported
	reps   int16
	tested bool
	single bool
}

type sessionKey struct {
	day  int32
	name string
}

// sessionSum is what rows say of one session: values that should agree, each with the first
// place that gives it.
type sessionSum struct {
	minutes, effort []said
}

type said struct {
	value float64
	file  string
	line  int
}

// daySet is days in ascending order.
type daySet []int32

func (d *daySet) add(day int32) {
	s := *d
	if n := len(s); n == 0 || s[n-1] < day {
		*d = append(s, day)
		return
	}
	if i, ok := slices.BinarySearch(s, day); !ok {
		*d = slices.Insert(s, i, day)
	}
}

// NewSummary is an empty summary of loads in that unit.
func NewSummary(unit plates.Unit) *Summary {
	s := &Summary{unit: unit}
	s.ready()
	return s
}

// ready gives the zero value its tables.
func (s *Summary) ready() {
	if s.lifters != nil {
		return
	}
	s.lifters = map[string]*lifterSum{}
	curve := estimate.Curves()[0] // the general one
	for i := range 2*60 - 1 {
		f, _, err := curve.Fraction(1 + float64(i)/2)
		if err != nil {
			break
		}
		s.shares = append(s.shares, f)
	}
}

// share is the fraction of the maximum that n repetitions show, to the half repetition; 0 beyond the curve.
func (s *Summary) share(n float64) float64 {
	i := int(math.Round(2*n - 2))
	if i < 0 || i >= len(s.shares) {
		return 0
	}
	return s.shares[i]
}

// weekOf is the Monday of a day's week. Day 0, 1970-01-01, was a Thursday.
func weekOf(day int32) int32 { return day - ((day+3)%7+7)%7 }

func newLifterSum() *lifterSum {
	return &lifterSum{lifts: map[string]*liftSum{}, weeks: map[int32]*weekSum{}, sessions: map[sessionKey]*sessionSum{}}
}

func newLiftSum() *liftSum { return &liftSum{bests: map[int16]bestSet{}} }

func (s *Summary) lifter(name string) *lifterSum {
	if s.last != nil && s.name == name {
		return s.last
	}
	l := s.lifters[name]
	if l == nil {
		l = newLifterSum()
		s.lifters[name] = l
	}
	s.last, s.name = l, name
	return l
}

// Add adds a row.
func (s *Summary) Add(r *Row) {
	s.ready()
	s.rows++
	l := s.lifter(r.Lifter)
	day := int32(r.Day)
	l.days.add(day)
	x := l.lifts[r.Lift]
	if x == nil {
		x = newLiftSum()
		l.lifts[r.Lift] = x
	}
	week := weekOf(day)
	w := l.weeks[week]
	if w == nil {
		w = &weekSum{}
		l.weeks[week] = w
	}
	n := int64(max(r.Count, 1))
	reps := n * int64(r.Reps)
	work := r.Load * float64(reps)
	if r.Reps == 0 {
		x.missed += n
	} else {
		x.sets += n
		x.reps += reps
		x.tonnage.Add(work)
		w.sets += n
		w.reps += reps
		w.tonnage.Add(work)
		x.best(int16(min(r.Reps, mostReps)), bestSet{r.Load, day})
	}
	if k, set := s.telling(r); k >= 0 {
		x.day(day).keep(k, set)
	}
	// The session is there even if no row says how long or hard it was.
	key := sessionKey{day, r.Session}
	u := l.sessions[key]
	if u == nil {
		u = &sessionSum{}
		l.sessions[key] = u
	}
	if r.Minutes != nil {
		u.minutes = say(u.minutes, said{*r.Minutes, r.File, r.Line})
	}
	if r.Effort != nil {
		u.effort = say(u.effort, said{*r.Effort, r.File, r.Line})
	}
}

func (x *liftSum) best(reps int16, b bestSet) {
	if was, ok := x.bests[reps]; !ok || b.load > was.load || b.load == was.load && b.day < was.day {
		x.bests[reps] = b
	}
}

// farReserve is where the tracker takes a reported reserve for a bound only.
const farReserve = 5

// telling says what a set is kept as; negative for one that says nothing of the maximum.
func (s *Summary) telling(r *Row) (int, keptSet) {
	k := keptSet{load: r.Load, rir: r.RIR, reps: int16(r.Reps), tested: r.Tested}
	if !(r.Load > 0) {
		return -1, k
	}
	if r.RIR < 0 && r.Tested {
		k.rir = 0
	}
	n := float64(r.Reps)
	kind := keepLower
	switch {
	case r.Reps == 0:
		k.value = r.Load
		k.rir = -1
		return keepMissed, k
	case k.rir >= 0 && k.rir <= farReserve:
		kind = keepMeasured
		n += k.rir
		k.single = n == 1
	}
	f := s.share(n)
	if f == 0 {
		return -1, k
	}
	k.value = r.Load / f
	return kind, k
}

func (x *liftSum) day(day int32) *dayBest {
	n := len(x.days)
	if n > 0 && x.days[n-1].day == day {
		return &x.days[n-1]
	}
	if n == 0 || x.days[n-1].day < day {
		x.days = append(x.days, dayBest{day: day})
		return &x.days[n]
	}
	i, ok := slices.BinarySearchFunc(x.days, day, func(d dayBest, day int32) int { return cmp.Compare(d.day, day) })
	if !ok {
		x.days = slices.Insert(x.days, i, dayBest{day: day})
	}
	return &x.days[i]
}

func (d *dayBest) keep(kind int, k keptSet) {
	was := &d.set[kind]
	if was.value == 0 || k.beats(was, kind) {
		*was = k
	}
}

// beats is a total order, so that the set kept does not depend on the order of the rows.
func (k *keptSet) beats(o *keptSet, kind int) bool {
	if kind == keepMissed {
		return k.load < o.load
	}
	bit := func(b bool) int {
		if b {
			return 1
		}
		return 0
	}
	return cmp.Or(cmp.Compare(bit(k.single), bit(o.single)), cmp.Compare(k.value, o.value), cmp.Compare(k.load, o.load),
		cmp.Compare(k.reps, o.reps), cmp.Compare(bit(k.tested), bit(o.tested))) > 0
}

// say adds a value to those said, in the order of their places.
func say(all []said, v said) []said {
	for i := range all {
		if all[i].value == v.value {
			if v.before(&all[i]) {
				all[i] = v
				slices.SortFunc(all, placeOrder)
			}
			return all
		}
	}
	all = append(all, v)
	slices.SortFunc(all, placeOrder)
	return all
}

func (v *said) before(o *said) bool { return placeOrder(*v, *o) < 0 }

func placeOrder(a, b said) int {
	return cmp.Or(strings.Compare(a.file, b.file), cmp.Compare(a.line, b.line), cmp.Compare(a.value, b.value))
}

// Merge adds the summary of another part. The error is a *MismatchError where the units differ; the zero value takes
// the unit of the first that is merged into it.
func (s *Summary) Merge(o *Summary) error {
	if o.lifters == nil { // nothing was added to the zero value
		return nil
	}
	if s.lifters == nil {
		s.unit = o.unit
		s.ready()
	}
	if s.unit != o.unit {
		return &MismatchError{"unit"}
	}
	s.rows += o.rows
	for name, ol := range o.lifters {
		l := s.lifter(name)
		for lift, ox := range ol.lifts {
			x := l.lifts[lift]
			if x == nil {
				x = newLiftSum()
				l.lifts[lift] = x
			}
			x.sets += ox.sets
			x.reps += ox.reps
			x.missed += ox.missed
			x.tonnage.Merge(ox.tonnage)
			for reps, b := range ox.bests {
				x.best(reps, b)
			}
			for i := range ox.days {
				d := x.day(ox.days[i].day)
				for k, set := range ox.days[i].set {
					if set.value != 0 {
						d.keep(k, set)
					}
				}
			}
		}
		for week, ow := range ol.weeks {
			w := l.weeks[week]
			if w == nil {
				w = &weekSum{}
				l.weeks[week] = w
			}
			w.sets += ow.sets
			w.reps += ow.reps
			w.tonnage.Merge(ow.tonnage)
		}
		for _, d := range ol.days {
			l.days.add(d)
		}
		for key, ou := range ol.sessions {
			u := l.sessions[key]
			if u == nil {
				u = &sessionSum{}
				l.sessions[key] = u
			}
			for _, v := range ou.minutes {
				u.minutes = say(u.minutes, v)
			}
			for _, v := range ou.effort {
				u.effort = say(u.effort, v)
			}
		}
	}
	return nil
}

// conflicts is the places where a session's minutes or effort are given again, and differently.
func (s *Summary) conflicts() []*RowError {
	var out []*RowError
	for _, name := range keys(s.lifters) {
		l := s.lifters[name]
		for _, key := range l.sessionKeys() {
			u := l.sessions[key]
			for _, f := range []struct {
				name string
				said []said
			}{{"minutes", u.minutes}, {"effort", u.effort}} {
				for i := 1; i < len(f.said); i++ {
					v, first := f.said[i], f.said[0]
					out = append(out, &RowError{File: v.file, Line: v.line, Field: f.name, Got: short(v.value),
						Want: fmt.Sprintf("want the %s of the session, given once or always the same; %s:%d has %s", f.name, first.file, first.line, short(first.value))})
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b *RowError) int {
		return cmp.Or(strings.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line))
	})
	return out
}

func (l *lifterSum) sessionKeys() []sessionKey {
	ks := make([]sessionKey, 0, len(l.sessions))
	for k := range l.sessions {
		ks = append(ks, k)
	}
	slices.SortFunc(ks, func(a, b sessionKey) int {
		return cmp.Or(cmp.Compare(a.day, b.day), strings.Compare(a.name, b.name))
	})
	return ks
}

// keys is the keys of a map in their order.
func keys[K cmp.Ordered, V any](m map[K]V) []K {
	ks := make([]K, 0, len(m))
	for k := range m {
		ks = append(ks, k)
	}
	slices.Sort(ks)
	return ks
}

// Summarise reads a log and adds it up. Errors are those of reading, and a *BadRowsError where bad rows are not
// to be skipped; a session whose minutes or effort are given in two ways counts as one.
func Summarise(r *Reader) (*Summary, error) {
	s := NewSummary(r.Unit())
	for row, err := range r.Rows() {
		if _, bad := err.(*RowError); bad {
			continue // the reader's report has it
		}
		if err != nil {
			return nil, err
		}
		s.Add(&row)
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	if c := s.conflicts(); len(c) > 0 && !r.skipBad {
		return nil, &BadRowsError{Bad: int64(len(c)), Rows: s.rows - int64(len(c)), Listed: c[:min(len(c), r.opt.listed)]}
	}
	return s, nil
}
