package logbook

import (
	"runtime"
	"sync"
)

// lookedPair is a set and the test that was found for it.
type lookedPair struct {
	waiting
	series int32
	test   int32 // place among the tests of the series
}

// mostPending is how many pairs of a look-up are kept before they are added. Rows in no order
// touch sums all over memory; pairs in the order of their lifters touch a lifter's sums once.
const mostPending = 1 << 16

// lookBatch is look for a batch of sets. As in order, the memory of some rows is asked for at once.
func (c *Comparison) lookBatch(sets []Set) {
	var ids [ahead]int32
	for len(sets) > 0 {
		n := min(ahead, len(sets))
		for i := range sets[:n] {
			ids[i] = c.seekSeries(c.trans[0][sets[i].Lifter], c.trans[1][sets[i].Lift])
		}
		var sum int32
		for _, id := range ids[:n] {
			if id >= 0 {
				a, b := c.tests.first[id], c.tests.first[id+1]
				sum += c.tests.days[(a+b)/2]
			}
		}
		c.asked[0] = float64(sum)
		for i := range sets[:n] {
			c.look(ids[i], &sets[i])
		}
		sets = sets[n:]
	}
}

// look is add for tests that are known, of a row whose series has that number among the tests.
func (c *Comparison) look(series int32, s *Set) {
	c.counts.Rows++
	count := int64(s.Count)
	c.counts.Sets += count
	r, row := c.sort(s)
	if r != isSet {
		c.counts.add(r, count)
		return
	}
	p := lookedPair{waiting: waiting{load: s.Load, day: s.Day, count: s.Count, row: row}, series: series}
	if series < 0 {
		c.counts.NoTest += count
		return
	}
	days := c.tests.days[c.tests.first[series]:c.tests.first[series+1]]
	i := after(days, s.Day)
	if i == len(days) || days[i]-s.Day > c.opt.window {
		c.counts.NoTest += count
		return
	}
	p.test = int32(i)
	c.counts.Pairs += count
	if c.pend == nil {
		c.pend = make([]lookedPair, 0, mostPending)
	}
	c.pend = append(c.pend, p)
	if len(c.pend) == cap(c.pend) {
		c.flush()
	}
}

// seekSeries is the tests' number of a series; negative where it has no tests.
func (c *Comparison) seekSeries(lifter, lift int32) int32 {
	if int(lifter) < len(c.seek) {
		if row := c.seek[lifter]; int(lift) < len(row) && row[lift] != 0 {
			return max(row[lift]-1, -1)
		}
	}
	for int(lifter) >= len(c.seek) {
		c.seek = append(c.seek, nil)
	}
	row := &c.seek[lifter]
	for int(lift) >= len(*row) {
		*row = append(*row, 0)
	}
	id := int32(-1)
	a, okA := c.tests.lookup(0, c.names[0].list[lifter])
	l, okL := c.tests.lookup(1, c.names[1].list[lift])
	if okA && okL {
		if id = c.tests.table.find(seriesKey{a, l}); id >= 0 {
			c.series[id].seriesKey = seriesKey{lifter, lift}
		}
	}
	if (*row)[lift] = id + 1; id < 0 {
		(*row)[lift] = -1
	}
	return id
}

// flush adds the pairs that wait, by lifter and for each in the order of the rows, so that the sums do not
// depend on how many goroutines share the work.
func (c *Comparison) flush() {
	if len(c.pend) == 0 {
		return
	}
	lifters := 0
	for i := range c.pend {
		u := &c.series[c.pend[i].series]
		if u.cell == 0 && !c.opt.seriesOnly && !c.crowded() {
			c.parts[c.pend[i].series] = make([]float64, c.tests.count(c.pend[i].series)*(1+c.opt.k))
		}
		c.home(u, c.tests.load(c.pend[i].series, c.pend[i].test))
		lifters = max(lifters, int(u.lifter)+1)
	}
	c.thin()
	// A stable counting sort by lifter.
	start := make([]int32, lifters+1)
	for i := range c.pend {
		start[c.series[c.pend[i].series].lifter+1]++
	}
	for i := range lifters {
		start[i+1] += start[i]
	}
	sorted := make([]int32, len(c.pend))
	next := start[:lifters:lifters]
	ends := make([]int32, lifters)
	copy(ends, next)
	for i := range c.pend {
		l := c.series[c.pend[i].series].lifter
		sorted[ends[l]] = int32(i)
		ends[l]++
	}
	workers := min(runtime.GOMAXPROCS(0), 8)
	var wg sync.WaitGroup
	from := 0
	for w := range workers {
		to := from
		for target := int32((w + 1) * len(c.pend) / workers); to < lifters && ends[to] <= target; to++ {
		}
		if w == workers-1 {
			to = lifters
		}
		a, b := from, to
		from = to
		if a == b {
			continue
		}
		wg.Go(func() {
			pad := newScratch(c.opt.k)
			at := int32(0)
			if a > 0 {
				at = ends[a-1]
			}
			for _, i := range sorted[at:ends[b-1]] {
				c.place(&pad, &c.pend[i])
			}
		})
	}
	wg.Wait()
	c.pend = c.pend[:0]
}

// thin gives up the sums of tests once there are too many lifters for choices.
func (c *Comparison) thin() {
	if c.crowded() {
		clear(c.parts)
	}
}

// place adds one pair.
func (c *Comparison) place(pad *scratch, x *lookedPair) {
	u := &c.series[x.series]
	t := c.tests.load(x.series, x.test)
	one := [1]waiting{x.waiting}
	n := c.against(pad, u.lifter, one[:], t)
	total(c.cells.at(u.cell-1), pad.burst, n, t)
	if c.parts[x.series] == nil { // no choices are to be made
		return
	}
	k := c.opt.k
	part := c.parts[x.series][int(x.test)*(1+k) : (int(x.test)+1)*(1+k)]
	part[0] += n
	for j := range k {
		part[1+j] += 100 * pad.burst[3*j+1] / t
	}
}
