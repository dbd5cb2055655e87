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
// anywhere, merge and marshal as JSON; merging is associative and commutative, exactly but for the rounding of sums. Where the first
// of several rows counts, as of the sets of one day, rows stand in the order of their lines and files in that of their names, numbers
// in them by their value, wherever they were given: name the parts of a log, streams too, as they follow each other. Memory
// follows the number of training days, not of rows: about 30 bytes for each lift of each day, and 12 for each session.
// The zero value is an empty summary in kilograms.
type Summary struct {
	unit    plates.Unit
	rows    int64
	lifters map[string]*lifterSum
	files   table     // of the rows
	names   table     // of sessions
	shares  []float64 // of the maximum, by half repetitions from 1
	work    bool      // sets that tell of a maximum are not kept

	last *lifterSum // that of the last row, whose lifter is name
	name string
}

// table numbers texts in the order in which they appear, from 1.
type table struct {
	list []string
	at   map[string]int32
	last int32
}

func (t *table) number(s string) int32 {
	if t.last > 0 && t.list[t.last-1] == s {
		return t.last
	}
	id, ok := t.at[s]
	if !ok {
		if t.at == nil {
			t.at = map[string]int32{}
		}
		t.list = append(t.list, s)
		id = int32(len(t.list))
		t.at[s] = id
	}
	t.last = id
	return id
}

func (t *table) text(id int32) string {
	if id <= 0 {
		return ""
	}
	return t.list[id-1]
}

type lifterSum struct {
	lifts    map[string]*liftSum
	weeks    []weekSum         // by their Mondays
	sessions []sessionOf       // by day, then by the number of the name
	rated    []ratedSum        // what sessions say of themselves
	more     map[int][2][]said // by place in rated: what is said again, and differently, of minutes and of effort

	last *liftSum // that of the last row, whose lift is name
	name string
}

type liftSum struct {
	sets, reps, missed int64
	tonnage            numeric.Sum
	bests              []bestSet  // by repetitions
	kept               []keptSet  // by day, then kind
	heavy              [2]float64 // the two heaviest different loads of sets made, 0 for none
}

type weekSum struct {
	monday     int32
	sets, reps int64
	tonnage    numeric.Sum
}

type bestSet struct {
	load float64
	day  int32
	reps int16
}

// The kinds of set that say something of a maximum in ways of their own: one of each is kept a day.
const (
	keepMeasured = iota // a single to failure, else the first of the heaviest sets near failure
	keepLower           // the highest of the sets that only say "at least"
	keepMissed          // the lightest attempt missed
	kept
)

// keptSet is a set that tells of the maximum. One that measures is chosen by what was on the bar and by its place,
// not by the reserve that was reported: the best of several reports is on average too good by about one
// repetition, later sets are done tired, and a maximum followed by the best of each day is too high.
type keptSet struct {
	load   float64
	day    int32
	line   int32  // where it stands
	file   uint16 // the same; the last that there is room for, where there are more
	rir    uint16 // thousandths of a repetition; unreported
	reps   int16
	kind   int8
	tested bool
}

const unreported = math.MaxUint16

// keptRIR is a reported reserve, negative for none, as it is kept.
func keptRIR(rir float64) uint16 {
	if rir < 0 {
		return unreported
	}
	return uint16(math.Round(math.Min(rir, mostRIR) * 1000))
}

// reserve is the reported reserve; negative where there is none.
func (k *keptSet) reserve() float64 {
	if k.rir == unreported {
		return -1
	}
	return float64(k.rir) / 1000
}

func (k *keptSet) single() bool { return k.kind == keepMeasured && k.reps == 1 && k.rir == 0 }

// sessionOf is a session of a lifter.
type sessionOf struct {
	day, name int32
	rated     int32 // place in lifterSum.rated plus one; 0 for none
}

// ratedSum is what rows say of one session: each value with the first place that gives it, file 0 for none.
type ratedSum struct{ minutes, effort said }

type said struct {
	value      float64
	file, line int32
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

// WorkOnly forgets the sets that tell of maxima, and keeps none from then on: what takes most of the memory. The
// maxima of its [Log] are left out, as with LogOptions.NoMaxima.
func (s *Summary) WorkOnly() {
	s.work = true
	for _, l := range s.lifters {
		for _, x := range l.lifts {
			x.kept = nil
		}
	}
}

// Lifters is how many lifters the summary has.
func (s *Summary) Lifters() int { return len(s.lifters) }

func fileOf(id int32) uint16 { return uint16(min(id, math.MaxUint16)) }

// share is the fraction of the maximum that n repetitions show, to the half repetition; 0 beyond the curve.
func (s *Summary) share(n float64) float64 {
	i := int(math.Round(2*n - 2))
	if i < 0 || i >= len(s.shares) {
		return 0
	}
	return s.shares[i]
}

// value is the maximum that a set shows; 0 where it shows none.
func (s *Summary) value(k keptSet) float64 {
	n := float64(k.reps)
	switch {
	case k.kind == keepMissed:
		return k.load
	case k.kind == keepMeasured:
		n += k.reserve()
	}
	if f := s.share(n); f > 0 {
		return k.load / f
	}
	return 0
}

// weekOf is the Monday of a day's week. Day 0, 1970-01-01, was a Thursday.
func weekOf(day int32) int32 { return day - ((day+3)%7+7)%7 }

func (s *Summary) lifter(name string) *lifterSum {
	if s.last != nil && s.name == name {
		return s.last
	}
	l := s.lifters[name]
	if l == nil {
		l = &lifterSum{lifts: map[string]*liftSum{}}
		s.lifters[name] = l
	}
	s.last, s.name = l, name
	return l
}

func (l *lifterSum) lift(name string) *liftSum {
	if l.last != nil && l.name == name {
		return l.last
	}
	x := l.lifts[name]
	if x == nil {
		x = &liftSum{}
		l.lifts[name] = x
	}
	l.last, l.name = x, name
	return x
}

// seat is the element of a list sorted by a key that has this one; new is put in where there is none. Most rows come
// in the order of their days, so that it is the last or comes behind it.
func seat[T any](list *[]T, key int64, of func(*T) int64, new T) *T {
	s := *list
	n := len(s)
	at := n
	if n > 0 {
		switch last := of(&s[n-1]); {
		case last == key:
			return &s[n-1]
		case last > key:
			low, high := 0, n-1
			for low < high {
				mid := int(uint(low+high) >> 1)
				if of(&s[mid]) < key {
					low = mid + 1
				} else {
					high = mid
				}
			}
			if at = low; of(&s[at]) == key {
				return &s[at]
			}
		}
	}
	if n == cap(s) {
		// In small steps: there are many lists, and what they keep empty adds up.
		s = append(make([]T, 0, n+max(4, n/4)), s...)
	}
	*list = slices.Insert(s, at, new)
	return &(*list)[at]
}

func weekKey(w *weekSum) int64        { return int64(w.monday) }
func bestKey(b *bestSet) int64        { return int64(b.reps) }
func keptKey(k *keptSet) int64        { return int64(k.day)<<2 | int64(k.kind) }
func sessionKeyOf(u *sessionOf) int64 { return int64(u.day)<<32 | int64(u.name) }

func (l *lifterSum) week(monday int32) *weekSum {
	return seat(&l.weeks, int64(monday), weekKey, weekSum{monday: monday})
}

func (l *lifterSum) session(day, name int32) *sessionOf {
	u := sessionOf{day: day, name: name}
	return seat(&l.sessions, int64(day)<<32|int64(name), sessionKeyOf, u)
}

// Add adds a row. The error is an *OptionError for numbers out of bounds; such a row is not added.
func (s *Summary) Add(r *Row) error {
	if err := r.check(); err != nil {
		return err
	}
	s.ready()
	s.rows++
	l := s.lifter(r.Lifter)
	day := int32(r.Day)
	x := l.lift(r.Lift)
	w := l.week(weekOf(day))
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
		x.best(bestSet{r.Load, day, int16(min(r.Reps, mostReps))})
		x.lifted(r.Load)
	}
	if !s.work {
		if k, ok := s.telling(r); ok {
			k.day, k.line = day, int32(r.Line)
			k.file = fileOf(s.files.number(r.File))
			s.keep(x, k)
		}
	}
	// The session is there even if no row says how long or hard it was.
	u := l.session(day, s.names.number(r.Session))
	if r.Minutes != nil || r.Effort != nil {
		at := l.ratings(u)
		file := s.files.number(r.File)
		if r.Minutes != nil {
			s.say(l, at, 0, said{*r.Minutes, file, int32(r.Line)})
		}
		if r.Effort != nil {
			s.say(l, at, 1, said{*r.Effort, file, int32(r.Line)})
		}
	}
	return nil
}

func (x *liftSum) best(b bestSet) {
	was := seat(&x.bests, int64(b.reps), bestKey, b)
	if b.load > was.load || b.load == was.load && b.day < was.day {
		*was = b
	}
}

// lifted keeps the two heaviest different loads.
func (x *liftSum) lifted(load float64) {
	switch h := &x.heavy; {
	case load > h[0]:
		h[0], h[1] = load, h[0]
	case load < h[0] && load > h[1]:
		h[1] = load
	}
}

// farReserve is where the tracker takes a reported reserve for a bound only.
const farReserve = 5

// telling says what a set is kept as; false for one that says nothing of the maximum.
func (s *Summary) telling(r *Row) (k keptSet, ok bool) {
	k = keptSet{load: r.Load, rir: keptRIR(r.RIR), reps: int16(min(r.Reps, mostReps)), tested: r.Tested, kind: keepLower}
	switch {
	case !(r.Load > 0):
		return k, false
	case r.Reps == 0:
		k.rir, k.kind, k.tested = unreported, keepMissed, false
		return k, true
	case r.RIR < 0 && r.Tested:
		k.rir = 0
	}
	if k.rir <= farReserve*1000 {
		k.kind = keepMeasured
	}
	return k, s.value(k) > 0
}

// keep keeps a set of a day unless another of its kind tells more.
func (s *Summary) keep(x *liftSum, k keptSet) {
	was := seat(&x.kept, int64(k.day)<<2|int64(k.kind), keptKey, k)
	if *was != k && s.beats(k, *was) {
		*was = k
	}
}

// beats is a total order of what sets say, and of their places where they say the same, so that the set kept does
// not depend on the order in which rows are added.
func (s *Summary) beats(k, o keptSet) bool {
	bit := func(b bool) int {
		if b {
			return 1
		}
		return 0
	}
	first := cmp.Or(-s.fileOrder(int32(k.file), int32(o.file)), -cmp.Compare(k.line, o.line))
	switch k.kind {
	case keepMissed:
		return cmp.Or(-cmp.Compare(k.load, o.load), first) > 0
	case keepLower:
		return cmp.Or(cmp.Compare(s.value(k), s.value(o)), cmp.Compare(k.load, o.load), first) > 0
	}
	return cmp.Or(cmp.Compare(bit(k.single()), bit(o.single())), cmp.Compare(k.load, o.load), cmp.Compare(k.reps, o.reps), first) > 0
}

// ratings is the place in rated for a session.
func (l *lifterSum) ratings(u *sessionOf) int {
	if u.rated == 0 {
		l.rated = append(l.rated, ratedSum{})
		u.rated = int32(len(l.rated))
	}
	return int(u.rated - 1)
}

// say adds a value to those said of a session's minutes, 0, or effort, 1. The first in the order of their places
// counts; others that differ are kept as conflicts.
func (s *Summary) say(l *lifterSum, at, field int, v said) {
	first := &l.rated[at].minutes
	if field == 1 {
		first = &l.rated[at].effort
	}
	switch {
	case first.file == 0:
		*first = v
		return
	case first.value == v.value:
		if s.before(v, *first) {
			*first = v
		}
		if l.more == nil || len(l.more[at][field]) == 0 {
			return
		}
	default:
		if l.more == nil {
			l.more = map[int][2][]said{}
		}
	}
	all := l.more[at]
	list := append([]said{*first}, all[field]...)
	if i := slices.IndexFunc(list, func(o said) bool { return o.value == v.value }); i < 0 {
		list = append(list, v)
	} else if s.before(v, list[i]) {
		list[i] = v
	}
	slices.SortFunc(list, s.placeOrder)
	*first, all[field] = list[0], list[1:]
	l.more[at] = all
}

func (s *Summary) before(a, b said) bool { return s.placeOrder(a, b) < 0 }

func (s *Summary) placeOrder(a, b said) int {
	return cmp.Or(s.fileOrder(a.file, b.file), cmp.Compare(a.line, b.line), cmp.Compare(a.value, b.value))
}

// fileOrder is the order of two files by their numbers here.
func (s *Summary) fileOrder(a, b int32) int {
	if a == b {
		return 0
	}
	return nameOrder(s.files.text(a), s.files.text(b))
}

// nameOrder orders the names of files as people number them: part9 before part10.
func nameOrder(a, b string) int {
	digits := func(s string) int {
		return len(s) - len(strings.TrimLeft(s, "0123456789"))
	}
	for x, y := a, b; x != "" && y != ""; {
		i, j := digits(x), digits(y)
		if i == 0 || j == 0 {
			if x[0] != y[0] {
				return cmp.Compare(x[0], y[0])
			}
			x, y = x[1:], y[1:]
			continue
		}
		m, n := strings.TrimLeft(x[:i], "0"), strings.TrimLeft(y[:j], "0")
		if c := cmp.Or(cmp.Compare(len(m), len(n)), strings.Compare(m, n)); c != 0 {
			return c
		}
		x, y = x[i:], y[j:]
	}
	return strings.Compare(a, b)
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
	if o.work && !s.work {
		s.WorkOnly()
	}
	s.rows += o.rows
	// The numbers of the other's texts here.
	file := func(id int32) int32 { return s.files.number(o.files.text(id)) }
	for _, name := range keys(o.lifters) {
		ol, l := o.lifters[name], s.lifter(name)
		for _, lift := range keys(ol.lifts) {
			ox, x := ol.lifts[lift], l.lift(lift)
			x.sets += ox.sets
			x.reps += ox.reps
			x.missed += ox.missed
			x.tonnage.Merge(ox.tonnage)
			for _, b := range ox.bests {
				x.best(b)
			}
			for _, load := range ox.heavy {
				x.lifted(load)
			}
			if s.work {
				continue
			}
			for _, k := range ox.kept {
				k.file = fileOf(file(int32(k.file)))
				s.keep(x, k)
			}
		}
		for _, ow := range ol.weeks {
			w := l.week(ow.monday)
			w.sets += ow.sets
			w.reps += ow.reps
			w.tonnage.Merge(ow.tonnage)
		}
		for _, ou := range ol.sessions {
			u := l.session(ou.day, s.names.number(o.names.text(ou.name)))
			if ou.rated == 0 {
				continue
			}
			at := l.ratings(u)
			for field, list := range ol.saidOf(ou) {
				for _, v := range list {
					v.file = file(v.file)
					s.say(l, at, field, v)
				}
			}
		}
	}
	return nil
}

// saidOf is what is said of a session's minutes and effort, the values that count first.
func (l *lifterSum) saidOf(u sessionOf) (out [2][]said) {
	if u.rated == 0 {
		return out
	}
	r := &l.rated[u.rated-1]
	for field, v := range []said{r.minutes, r.effort} {
		if v.file > 0 {
			out[field] = append([]said{v}, l.more[int(u.rated-1)][field]...)
		}
	}
	return out
}

// conflicts is the places where a session's minutes or effort are given again, and differently.
func (s *Summary) conflicts() []*RowError {
	var out []*RowError
	for _, l := range s.lifters {
		for at, more := range l.more {
			r := &l.rated[at]
			for field, first := range [2]said{r.minutes, r.effort} {
				what := [2]string{"minutes", "effort"}[field]
				for _, v := range more[field] {
					out = append(out, &RowError{File: s.files.text(v.file), Line: int(v.line), Field: what, Got: short(v.value),
						Want: fmt.Sprintf("want the %s of the session, given once or always the same; %s:%d has %s", what, s.files.text(first.file), first.line, short(first.value))})
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b *RowError) int {
		return cmp.Or(nameOrder(a.File, b.File), cmp.Compare(a.Line, b.Line), -strings.Compare(a.Field, b.Field))
	})
	return out
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
		if err := s.Add(&row); err != nil {
			return nil, err
		}
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	if c := s.conflicts(); len(c) > 0 && !r.skipBad {
		return nil, &BadRowsError{Bad: int64(len(c)), Rows: s.rows - int64(len(c)), Listed: c[:min(len(c), r.opt.listed)]}
	}
	return s, nil
}
