package logbook

import (
	"errors"
	"fmt"
	"math"
	"sync"
)

// Comparison puts every qualifying set against the nearest later test of the same
// lifter and lift, on a later day and within a window of days; of several tests of a day the heaviest counts, and a test is
// never a set. It sums what the methods would have
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
// any; made in order, no lifter's lift may be in two of them. The zero value holds nothing
// and has no methods: a sum to merge the first part into. It takes no rows and gives no result.
type Comparison struct {
	share              // the sums: of all rows of a look-up, of all shares once closed
	shares []*share    // of rows in order: each has the lifters whose number leaves its place as remainder
	names  [2]*names   // lifters, lifts
	parts  [][]float64 // by series, of a look-up: for each test sets, and S |d| of each method in per cent of the test
	tests  *Tests      // to look up; nil when in order, and after reading from JSON
	looked bool        // made with tests
	print  uint64      // fingerprint of those
	closed bool        // the result was asked for: nothing waits, and nothing more is taken

	pend  []lookedPair // pairs of a look-up that wait to be added
	from  *Reader      // whose numbers trans has
	trans [2][]int32
	seek  [][]int32 // of a look-up: the tests' series by lifter and lift; one on, 0 not asked for yet, negative for none
}

// NewComparison is a comparison of rows that come in the order of their days within
// each lifter and lift. The error is an *OptionError.
func NewComparison(opt CompareOptions) (*Comparison, error) {
	o, err := opt.resolve()
	if err != nil {
		return nil, err
	}
	c := newComparison(o)
	for range o.workers {
		p := newShare(o)
		c.shares = append(c.shares, &p)
	}
	return c, nil
}

// NewComparisonWith is a comparison of rows in any order, of whose log all tests
// have been collected. The tests must not change any more; several comparisons may look
// them up at once. The error is an *OptionError.
func NewComparisonWith(opt CompareOptions, tests *Tests) (*Comparison, error) {
	c, err := NewComparison(opt)
	if err != nil {
		return nil, err
	}
	if tests == nil {
		return nil, &OptionError{"tests", "none", "those that CollectTests or NewTests made"}
	}
	if tests.rule != c.opt.tests {
		return nil, &OptionError{"tests", tests.rule.String(), "tests collected by the same rule, " + c.opt.tests.String()}
	}
	c.shares, c.tests, c.looked, c.print = nil, tests.frozen(), true, tests.fingerprint()
	c.series, c.parts = make([]series, len(tests.series)), make([][]float64, len(tests.series))
	return c, nil
}

func newComparison(o *compare) *Comparison {
	return &Comparison{share: newShare(o), names: [2]*names{newNames(), newNames()}}
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

// ErrClosed says that a comparison has given its result or was merged, and takes no more rows.
var ErrClosed = errors.New("logbook: the comparison has given its result and takes no more rows")

// made says what is wrong with the zero value.
func (c *Comparison) made() error {
	if c.opt == nil {
		return &OptionError{"comparison", "the zero value", "one that NewComparison made, that was read from JSON or that others were merged into"}
	}
	return nil
}

// Add adds a set of a lifter's lift; the numbers of names in s are not used. The error is an *OrderError,
// an *OptionError for numbers out of bounds, an empty name or the zero Comparison, or [ErrClosed].
func (c *Comparison) Add(lifter, lift string, s Set) error {
	if err := c.made(); err != nil {
		return err
	}
	if c.closed {
		return ErrClosed
	}
	if !(s.Load >= 0 && s.Load <= 1e6) || s.Reps < 0 || s.Count < 0 || math.IsNaN(s.RIR) || s.RIR > 1e6 {
		return &OptionError{"set", fmt.Sprintf("load %v, %d repetitions, %v left, count %d", s.Load, s.Reps, s.RIR, s.Count), "finite numbers, 0 or more"}
	}
	if lifter == "" || lift == "" {
		return &OptionError{"set", fmt.Sprintf("lifter %q, lift %q", lifter, lift), "a name for both"}
	}
	s.Count = max(s.Count, 1)
	a, l := c.names[0].number(lifter), c.names[1].number(lift)
	if c.tests != nil {
		c.look(c.seekSeries(a, l), &s)
		return nil
	}
	p := c.shares[int(a)%len(c.shares)]
	if e := p.add(p.find(seriesKey{a, l}), &s); e != nil {
		e.Lifter, e.Lift, e.Line = lifter, lift, 0
		return e
	}
	return nil
}

// AddBatch adds the rows of a batch that a [Reader] gave. The error is an *OrderError, after which the comparison is
// of no more use, an *OptionError for the zero Comparison, or [ErrClosed].
func (c *Comparison) AddBatch(b *Batch) error {
	if err := c.made(); err != nil {
		return err
	}
	if c.closed {
		return ErrClosed
	}
	if b.r == nil { // made by hand: there are no names to the numbers
		return nil
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
	if c.tests != nil {
		c.lookBatch(b.Sets)
		return nil
	}
	if i, err := c.spread(b.Sets); err != nil {
		s := &b.Sets[i]
		err.File, err.Lifter, err.Lift = b.File, b.Lifter(s.Lifter), b.Lift(s.Lift)
		return err
	}
	return nil
}

// leastSpread is how many rows a batch has at least for more than one goroutine to add it.
const leastSpread = 512

// spread lets each share add its rows of a batch. It returns the first row that came too late.
func (c *Comparison) spread(sets []Set) (int, *OrderError) {
	n := len(c.shares)
	rows, errs := make([]int, n), make([]*OrderError, n)
	one := func(k int) { rows[k], errs[k] = c.shares[k].batch(sets, &c.trans, uint32(k), uint32(n)) }
	var wg sync.WaitGroup
	for k := 1; k < n; k++ {
		if len(sets) < leastSpread {
			one(k)
			continue
		}
		wg.Go(func() { one(k) })
	}
	one(0)
	wg.Wait()
	first := -1
	for k, err := range errs {
		if err != nil && (first < 0 || rows[k] < rows[first]) {
			first = k
		}
	}
	if first < 0 {
		return 0, nil
	}
	return rows[first], errs[first]
}

// close settles what waits, and brings the shares together.
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
	for _, p := range c.shares {
		p.close()
		c.absorb(p)
	}
	c.shares = nil
	c.parts = make([][]float64, len(c.series))
}
