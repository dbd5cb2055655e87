package logbook

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Comparison puts every qualifying set against the nearest later test of the same
// lifter and lift, within a window of days, and sums what the methods would have
// predicted less what was lifted. It keeps sums by lifter and lift and by lifter and band, so
// that its memory follows the number of lifters and lifts and not that of rows.
//
// There are two ways to feed one. [NewComparison] takes the rows of each
// lifter and lift in the order of their days, whatever lies between them, and pairs
// sets when their test arrives. [NewComparisonWith] takes rows in any order: it
// looks tests up that were collected before, in a first pass over the same rows. [Compare] picks the
// one that a log needs.
//
// Comparisons of parts of a log merge, and marshal as JSON: the combine step of a
// distributed computation. Made with the same collected Tests, the parts may be
// any; made in order, no lifter's lift may be in two of them.
type Comparison struct {
	opt    *compare
	counts Counts
	names  [2]*names // lifters, lifts
	table  seriesTable

	series []series // in order, or with a cell
	cells  cells
	people []*person   // by lifter; nil without pairs
	parts  [][]float64 // by series, of a look-up: for each test sets, and S |d| of each method in per cent of the test
	odd    []float64   // repetitions that are not whole or half
	tests  *Tests      // to look up; nil when in order, and after reading from JSON
	looked bool        // made with tests
	print  uint64      // fingerprint of those
	closed bool        // the result was asked for: nothing waits, and nothing more is taken

	pad   scratch
	pend  []lookedPair // pairs of a look-up that wait to be added
	from  *Reader      // whose numbers trans has
	trans [2][]int32
	seek  [][]int32 // of a look-up: the tests' series by lifter and lift; one on, 0 not asked for yet, negative for none
	last  struct {
		lifter, lift int32
		series       int32
	}
}

// scratch is room to compute in.
type scratch struct {
	burst  []float64 // sums of one test's sets: S d, S |d|, S d^2 for each method
	factor []float64
}

func newScratch(k int) scratch { return scratch{make([]float64, 3*k), make([]float64, k)} }

// series is what is kept of one lifter's lift.
type series struct {
	seriesKey
	cell    int32 // plus one; 0 before the first pair
	lastDay int32
	testDay int32 // the latest test that sets wait for; noDay for none
	test    float64
	queue
}

const noDay = math.MinInt32

// person is what is kept of one lifter.
type person struct {
	bands []float64 // a cell for each band
	bins  []float64 // for each half repetition: S load^2 and S load*test
	// Mean absolute errors of each test's sets, in per cent of the test: their sum, by
	// method, and the sum of squared differences of methods i < j.
	tests    float64
	mean, sq []float64
}

// NewComparison is a comparison of rows that come in the order of their days within
// each lifter and lift. The error is an *OptionError.
func NewComparison(opt CompareOptions) (*Comparison, error) {
	o, err := opt.resolve()
	if err != nil {
		return nil, err
	}
	return newComparison(o), nil
}

// NewComparisonWith is a comparison of rows in any order, of whose log all tests
// have been collected. The tests must not change any more.
func NewComparisonWith(opt CompareOptions, tests *Tests) (*Comparison, error) {
	c, err := NewComparison(opt)
	if err != nil {
		return nil, err
	}
	if tests.rule != c.opt.tests {
		return nil, &OptionError{"tests", tests.rule.String(), "tests collected by the same rule, " + c.opt.tests.String()}
	}
	tests.freeze()
	c.tests, c.looked, c.print = tests, true, tests.fingerprint()
	c.series, c.parts = make([]series, len(tests.series)), make([][]float64, len(tests.series))
	return c, nil
}

func newComparison(o *compare) *Comparison {
	c := &Comparison{opt: o, names: [2]*names{newNames(), newNames()}, cells: cells{k: o.k}, pad: newScratch(o.k)}
	c.last.series = -1
	return c
}

// OrderError says that a row came too late: there was a later day of the same lifter
// and lift before it.
type OrderError struct {
	File         string
	Line         int // of the row that came too late
	Lifter, Lift string
	Day, After   int // the row's day, and the one before it
}

func (e *OrderError) Error() string {
	at := ""
	if e.Line > 0 {
		at = fmt.Sprintf("%s:%d: ", e.File, e.Line)
	}
	return fmt.Sprintf("%s%s, %s: the row of %s comes after one of %s; sort the log by date, or give it as a file, which can be read twice",
		at, e.Lifter, e.Lift, DateOf(e.Day).Format("2006-01-02"), DateOf(e.After).Format("2006-01-02"))
}

var errClosed = errors.New("logbook: the comparison has given its result and takes no more rows")

// Add adds a set of a lifter's lift; the numbers of names in s are not used. The error is an *OrderError.
func (c *Comparison) Add(lifter, lift string, s Set) error {
	if c.closed {
		return errClosed
	}
	if !(s.Load >= 0 && s.Load <= 1e6) || s.Reps < 0 || s.Count < 0 || math.IsNaN(s.RIR) || s.RIR > 1e6 {
		return &OptionError{"set", fmt.Sprintf("load %v, %d repetitions, %v left, count %d", s.Load, s.Reps, s.RIR, s.Count), "finite numbers, 0 or more"}
	}
	s.Count = max(s.Count, 1)
	err := c.add(c.names[0].number(lifter), c.names[1].number(lift), &s)
	if e, ok := err.(*OrderError); ok {
		e.Lifter, e.Lift, e.Line = lifter, lift, 0
	}
	return err
}

// AddBatch adds the rows of a batch. The error is an *OrderError.
func (c *Comparison) AddBatch(b *Batch) error {
	if c.closed {
		return errClosed
	}
	if c.from != b.r {
		c.from, c.trans = b.r, [2][]int32{}
	}
	for i := len(c.trans[0]); i < b.Lifters(); i++ {
		c.trans[0] = append(c.trans[0], c.names[0].number(b.Lifter(int32(i))))
	}
	for i := len(c.trans[1]); i < b.Lifts(); i++ {
		c.trans[1] = append(c.trans[1], c.names[1].number(b.Lift(int32(i))))
	}
	for i := range b.Sets {
		s := &b.Sets[i]
		if err := c.add(c.trans[0][s.Lifter], c.trans[1][s.Lift], s); err != nil {
			if e, ok := err.(*OrderError); ok {
				e.File, e.Lifter, e.Lift = b.File, b.Lifter(s.Lifter), b.Lift(s.Lift)
			}
			return err
		}
	}
	return nil
}

func (c *Comparison) add(lifter, lift int32, s *Set) error {
	if c.tests != nil {
		c.look(lifter, lift, s)
		return nil
	}
	id := c.last.series
	if id < 0 || c.last.lifter != lifter || c.last.lift != lift {
		key := seriesKey{lifter, lift}
		if id = c.table.find(key); id < 0 {
			id = c.table.add(key)
			c.series = append(c.series, series{seriesKey: key, lastDay: noDay, testDay: noDay})
			c.parts = append(c.parts, nil)
		}
		c.last.lifter, c.last.lift, c.last.series = lifter, lift, id
	}
	u := &c.series[id]
	if s.Day != u.lastDay {
		if s.Day < u.lastDay {
			return &OrderError{Line: int(s.Line), Day: int(s.Day), After: int(u.lastDay)}
		}
		if u.testDay != noDay && s.Day > u.testDay {
			c.settle(u)
		}
		u.lastDay = s.Day
	}
	c.counts.Rows++
	count := int64(s.Count)
	c.counts.Sets += count
	r := c.opt.role(s)
	switch r {
	case isSet:
		w := waiting{load: s.Load, day: s.Day, count: s.Count}
		if !c.prepare(&w, s) {
			c.counts.NoAnswer += count
			return nil
		}
		c.counts.NoTest += u.push(w, s.Day-c.opt.window)
	case isTest:
		c.counts.Tests += count
		if u.testDay != s.Day {
			u.testDay, u.test = s.Day, s.Load
		}
		u.test = max(u.test, s.Load)
	default:
		c.counts.add(r, count)
	}
	return nil
}

// prepare finds the row of factors of a set; it reports false where some method has
// no answer.
func (c *Comparison) prepare(w *waiting, s *Set) bool {
	n := float64(s.Reps) + max(s.RIR, 0)
	i := 2*n - 2
	if k := int(i); float64(k) == i {
		w.row = int16(k)
		return c.opt.answers[k]
	}
	k := slices.Index(c.odd, n)
	if k < 0 {
		if k = len(c.odd); k == 1<<15-1 {
			return false // nobody reports reserves in so many different ways
		}
		c.odd = append(c.odd, n)
	}
	w.row = int16(-1 - k)
	return c.opt.row(c.pad.factor, n)
}

// repetitions of a waiting set, done and left.
func (c *Comparison) repetitions(w *waiting) float64 {
	if w.row >= 0 {
		return repetitions(int(w.row))
	}
	return c.odd[-1-int(w.row)]
}

// factors is the methods' factors for a waiting set, and its band.
func (c *Comparison) factors(pad *scratch, w *waiting) ([]float64, int) {
	k := c.opt.k
	if i := int(w.row); i >= 0 {
		return c.opt.factors[i*k : (i+1)*k], int(c.opt.band[i])
	}
	n := c.repetitions(w)
	c.opt.row(pad.factor, n)
	return pad.factor, int(c.opt.bandOf(n))
}

// settle puts the sets before a test against it. Sets of the test's own day go on
// waiting for the next one.
func (c *Comparison) settle(u *series) {
	day, t := u.testDay, u.test
	u.testDay = noDay
	var n float64
	var p *person
	var cell []float64
	ws := u.take(day)
	for i := range ws {
		w := &ws[i]
		if day-w.day > c.opt.window {
			c.counts.NoTest += int64(w.count)
			continue
		}
		if n == 0 {
			cell, p = c.homes(u, t)
			clear(c.pad.burst)
		}
		n += float64(w.count)
		c.pair(&c.pad, p, w, t)
	}
	if n == 0 {
		return
	}
	c.counts.Pairs += int64(n)
	c.total(&c.pad, cell, n, t)
	for j := range c.pad.factor {
		c.pad.factor[j] = 100 * c.pad.burst[3*j+1] / n / t
	}
	p.judge(c.pad.factor)
}

// homes finds or makes the cell of a series and its lifter's sums.
func (c *Comparison) homes(u *series, t float64) (cell []float64, p *person) {
	if u.cell == 0 {
		u.cell = c.cells.add() + 1
		c.cells.at(u.cell - 1)[cellC] = t
	}
	return c.cells.at(u.cell - 1), c.person(u.lifter)
}

func (c *Comparison) person(lifter int32) *person {
	for int(lifter) >= len(c.people) {
		c.people = append(c.people, nil)
	}
	if c.people[lifter] == nil {
		c.people[lifter] = c.opt.newPerson()
	}
	return c.people[lifter]
}

func (o *compare) newPerson() *person {
	k := o.k
	p := &person{}
	all := make([]float64, len(o.bands)*cellLen(k)+2*o.rows()+k+k*(k-1)/2)
	take := func(n int) []float64 {
		s := all[:n:n]
		all = all[n:]
		return s
	}
	p.bands, p.bins = take(len(o.bands)*cellLen(k)), take(2*o.rows())
	p.mean, p.sq = take(k), take(k*(k-1)/2)
	return p
}

// pair adds one pair to its lifter's band and bin, and to the burst.
func (c *Comparison) pair(pad *scratch, p *person, w *waiting, t float64) {
	f, b := c.factors(pad, w)
	n := cellLen(c.opt.k)
	cell := p.bands[b*n : (b+1)*n]
	count := float64(w.count)
	if cell[cellN] == 0 {
		cell[cellC] = t
	}
	dt := t - cell[cellC]
	cell[cellN] += count
	cell[cellT] += count * dt
	cell[cellTT] += count * dt * dt
	sums := cell[cellHead:]
	burst := pad.burst
	for _, m := range f {
		d := float64(m*w.load) - t
		a, q, e := math.Abs(d), d*d, d*dt
		if count != 1 {
			d, a, q, e = d*count, a*count, q*count, e*count
		}
		s, g := (*[cellPer]float64)(sums), (*[3]float64)(burst)
		s[ofD] += d
		s[ofAbs] += a
		s[ofDD] += q
		s[ofDT] += e
		g[0] += d
		g[1] += a
		g[2] += q
		sums, burst = sums[cellPer:], burst[3:]
	}
	i := 2 * int(w.row)
	if w.row < 0 {
		// The fits know whole and half repetitions only.
		i = 2 * min(max(int(math.Round(2*c.repetitions(w)-2)), 0), len(p.bins)/2-1)
	}
	p.bins[i] += count * w.load * w.load
	p.bins[i+1] += count * w.load * t
}

// total adds the burst of n sets against a test to the cell of their series.
func (c *Comparison) total(pad *scratch, cell []float64, n, t float64) {
	dt := t - cell[cellC]
	cell[cellN] += n
	cell[cellT] += n * dt
	cell[cellTT] += n * dt * dt
	for j := range c.opt.k {
		s := cell[cellHead+cellPer*j:]
		g := pad.burst[3*j:]
		s[ofD] += g[0]
		s[ofAbs] += g[1]
		s[ofDD] += g[2]
		s[ofDT] += g[0] * dt
	}
}

// judge adds one test's mean absolute errors.
func (p *person) judge(mean []float64) {
	p.tests++
	at := 0
	for i, a := range mean {
		p.mean[i] += a
		for _, b := range mean[i+1:] {
			d := a - b
			p.sq[at] += d * d
			at++
		}
	}
}

// close settles what waits.
func (c *Comparison) close() {
	if c.closed {
		return
	}
	c.closed = true
	if c.looked {
		c.flush()
		c.pend = nil
		return
	}
	for i := range c.series {
		u := &c.series[i]
		if u.testDay != noDay {
			c.settle(u)
		}
		for _, w := range u.wait[u.head:] {
			c.counts.NoTest += int64(w.count)
		}
		u.queue = queue{}
	}
}
