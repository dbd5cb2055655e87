package logbook

import (
	"cmp"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"math"
	"slices"
	"strings"
)

// Tests collects the tests of a log, in any order: for each lifter and lift the
// heaviest of each day. It is the first round over a log that is in no order or lies in
// several places; [NewComparisonWith] makes the second. Tests of parts merge, and marshal as JSON. Memory
// follows the number of days with a test. The zero value is ready to collect, or to merge into, by the rule TestedOrSingle.
type Tests struct {
	rule   TestRule
	names  [2]*names
	table  seriesTable
	series []tests
	from   *Reader
	trans  [2][]int32

	// For looking up: the days and loads of all series, one after the other, and where each begins.
	first []int32
	days  []int32
	loads []float64
}

// frozen is the tests laid out for looking up, and no more than that needs. They are a copy, so that several
// comparisons can be made of the same tests at once.
func (t *Tests) frozen() *Tests {
	out := &Tests{rule: t.rule, names: t.names, table: t.table}
	if t.names[0] == nil {
		out.ready()
	}
	for _, s := range t.series {
		out.first = append(out.first, int32(len(out.days)))
		for _, x := range s {
			out.days = append(out.days, x.day)
			out.loads = append(out.loads, x.load)
		}
	}
	out.first = append(out.first, int32(len(out.days)))
	return out
}

// ready gives the zero value its tables.
func (t *Tests) ready() {
	if t.names[0] == nil {
		t.names = [2]*names{newNames(), newNames()}
	}
}

func (t *Tests) load(series, i int32) float64 { return t.loads[t.first[series]+i] }

func (t *Tests) count(series int32) int { return int(t.first[series+1] - t.first[series]) }

// after is the place of the first day after a day. The days of tests look random to a processor that guesses which way a
// search goes, and so this one does not branch: the sign of a difference says whether to step.
func after(days []int32, day int32) int {
	i := 0
	for n := len(days); n > 0; {
		half := (n + 1) / 2
		later := int64(days[i+half-1]) - int64(day) - 1 // negative where the day there is no later one
		i += half & int(later>>63)
		n -= half
	}
	return i
}

// test is the heaviest test of a day.
type test struct {
	day  int32
	load float64
}

// tests is by day.
type tests []test

// after is the place of the first test after a day.
func (t tests) after(day int32) int {
	lo, hi := 0, len(t)
	for lo < hi {
		mid := int(uint(lo+hi) >> 1)
		if t[mid].day > day {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return lo
}

func (t *tests) add(x test) {
	s := *t
	n := len(s)
	if n > 0 && s[n-1].day == x.day {
		s[n-1].load = max(s[n-1].load, x.load)
		return
	}
	if n == 0 || s[n-1].day < x.day {
		*t = append(s, x)
		return
	}
	i := s.after(x.day)
	if i > 0 && s[i-1].day == x.day {
		s[i-1].load = max(s[i-1].load, x.load)
		return
	}
	*t = slices.Insert(s, i, x)
}

// NewTests collects the tests of that rule.
func NewTests(rule TestRule) *Tests {
	t := &Tests{rule: rule}
	t.ready()
	return t
}

// CollectTests reads a log for its tests: the first round of a comparison of rows in any order. Rows of more than one repetition
// are hardly looked at, so that the reader's report is complete only after the second round. Errors are those of reading.
func CollectTests(r *Reader, rule TestRule) (*Tests, error) {
	t := NewTests(rule)
	for b, err := range r.inBatches(true) {
		if err != nil {
			return nil, err
		}
		t.AddBatch(b)
	}
	return t, nil
}

// Add adds a set of a lifter's lift if it is a test.
func (t *Tests) Add(lifter, lift string, s Set) {
	t.ready()
	o := compare{tests: t.rule}
	if o.role(&s) == isTest && s.Load <= 1e6 {
		t.add(seriesKey{t.names[0].number(lifter), t.names[1].number(lift)}, test{s.Day, s.Load})
	}
}

// AddBatch adds the tests of a batch that a [Reader] gave.
func (t *Tests) AddBatch(b *Batch) {
	if b.r == nil { // made by hand: there are no names to the numbers
		return
	}
	t.ready()
	if t.from != b.r {
		t.from, t.trans = b.r, [2][]int32{}
	}
	o := compare{tests: t.rule}
	for i := range b.Sets {
		s := &b.Sets[i]
		if s.Reps != 1 || o.role(s) != isTest {
			continue
		}
		t.add(seriesKey{t.number(0, s.Lifter, b.r.lifters), t.number(1, s.Lift, b.r.lifts)}, test{s.Day, s.Load})
	}
}

func (t *Tests) number(kind int, id int32, from *names) int32 {
	for int(id) >= len(t.trans[kind]) {
		t.trans[kind] = append(t.trans[kind], -1)
	}
	n := &t.trans[kind][id]
	if *n < 0 {
		*n = t.names[kind].number(from.list[id])
	}
	return *n
}

func (t *Tests) add(k seriesKey, x test) {
	id := t.table.find(k)
	if id < 0 {
		id = t.table.add(k)
		t.series = append(t.series, nil)
	}
	t.series[id].add(x)
}

func (t *Tests) lookup(kind int, name string) (int32, bool) {
	id, _, ok := t.names[kind].find([]byte(name))
	return id, ok
}

// Merge adds the tests of another part. The error is a *MismatchError for tests of another rule; the zero value takes
// the rule of the first that is merged into it.
func (t *Tests) Merge(o *Tests) error {
	if o.names[0] == nil { // nothing was added to the zero value
		return nil
	}
	if t.names[0] == nil {
		t.rule = o.rule
		t.ready()
	}
	if t.rule != o.rule {
		return &MismatchError{"tests"}
	}
	for id, k := range o.table.keys {
		to := seriesKey{t.names[0].number(o.names[0].list[k.lifter]), t.names[1].number(o.names[1].list[k.lift])}
		for _, x := range o.series[id] {
			t.add(to, x)
		}
	}
	return nil
}

// Len is the number of days with a test, over all lifters and lifts.
func (t *Tests) Len() int {
	n := 0
	for _, s := range t.series {
		n += len(s)
	}
	return n
}

// sorted is the series in the order of their names.
func (t *Tests) sorted() []int {
	order := make([]int, len(t.series))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		x, y := t.table.keys[a], t.table.keys[b]
		return cmp.Or(strings.Compare(t.names[0].list[x.lifter], t.names[0].list[y.lifter]), strings.Compare(t.names[1].list[x.lift], t.names[1].list[y.lift]))
	})
	return order
}

// fingerprint tells apart tests of different logs.
func (t *Tests) fingerprint() uint64 {
	h := fnv.New64a()
	var b [12]byte
	for _, i := range t.sorted() {
		k := t.table.keys[i]
		fmt.Fprintf(h, "%q %q %d\n", t.names[0].list[k.lifter], t.names[1].list[k.lift], len(t.series[i]))
		for _, x := range t.series[i] {
			binary.LittleEndian.PutUint32(b[:], uint32(x.day))
			binary.LittleEndian.PutUint64(b[4:], math.Float64bits(x.load))
			h.Write(b[:])
		}
	}
	return h.Sum64()
}

type testsJSON struct {
	Rule   TestRule          `json:"rule"`
	Series []testsSeriesJSON `json:"series"`
}

type testsSeriesJSON struct {
	Lifter string    `json:"lifter"`
	Lift   string    `json:"lift"`
	Days   []int32   `json:"days"`
	Loads  []float64 `json:"loads"`
}

// MarshalJSON writes the tests in the order of their names and days.
func (t *Tests) MarshalJSON() ([]byte, error) {
	j := testsJSON{Rule: t.rule, Series: []testsSeriesJSON{}}
	for _, i := range t.sorted() {
		k := t.table.keys[i]
		s := testsSeriesJSON{Lifter: t.names[0].list[k.lifter], Lift: t.names[1].list[k.lift]}
		for _, x := range t.series[i] {
			s.Days = append(s.Days, x.day)
			s.Loads = append(s.Loads, x.load)
		}
		j.Series = append(j.Series, s)
	}
	return json.Marshal(j)
}

// UnmarshalJSON reads what MarshalJSON wrote. The error is a *DecodeError.
func (t *Tests) UnmarshalJSON(b []byte) error {
	var j testsJSON
	if err := json.Unmarshal(b, &j); err != nil {
		return &DecodeError{"tests", err.Error()}
	}
	if j.Rule != TestedOrSingle && j.Rule != TestedOnly {
		return &DecodeError{"tests", "an unknown rule"}
	}
	n := NewTests(j.Rule)
	for _, s := range j.Series {
		if len(s.Days) != len(s.Loads) {
			return &DecodeError{"tests", "as many loads as days are wanted"}
		}
		k := seriesKey{n.names[0].number(s.Lifter), n.names[1].number(s.Lift)}
		for i, d := range s.Days {
			if !(s.Loads[i] > 0 && s.Loads[i] <= 1e6) {
				return &DecodeError{"tests", "a load out of bounds"}
			}
			n.add(k, test{d, s.Loads[i]})
		}
	}
	*t = *n
	return nil
}

// MismatchError says that two parts were not made in the same way and cannot be merged.
type MismatchError struct{ What string }

func (e *MismatchError) Error() string {
	return "logbook: the parts differ in their " + e.What + " and cannot be merged"
}

// OverlapError says that two comparisons made in order both have rows of one lifter and
// lift, so that tests of one part may belong to sets of the other.
type OverlapError struct{ Lifter, Lift string }

func (e *OverlapError) Error() string {
	return fmt.Sprintf("logbook: both parts have rows of %s, %s: collect the tests of all parts first and compare with them", e.Lifter, e.Lift)
}

// DecodeError says that what was to be read is not what this package wrote.
type DecodeError struct{ What, Why string }

func (e *DecodeError) Error() string { return "logbook: " + e.What + ": " + e.Why }
