package logbook

import (
	"math"
	"slices"
)

// share is what a [Comparison] sums up, or a part of it: while rows come in order, each share has the lifters of
// its own, so that several goroutines can sum up one batch without a word between them.
type share struct {
	opt     *compare
	counts  Counts
	table   seriesTable
	series  []series // in order, or with a cell
	cells   cells
	people  []*person // by lifter; nil without pairs
	pairers int       // lifters with pairs
	odd     []float64 // repetitions that are not whole or half
	pad     scratch

	asked [2]float64 // means nothing, but that what was asked for was read
}

// scratch is room to compute in.
type scratch struct {
	burst  []float64 // sums of one test's sets: S d, S |d|, S d^2 for each method
	band   []float64 // the same of those in one band
	factor []float64
}

func newScratch(k int) scratch {
	return scratch{make([]float64, 3*k), make([]float64, 3*k), make([]float64, k)}
}

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

func newShare(o *compare) share {
	return share{opt: o, cells: cells{k: o.k}, pad: newScratch(o.k)}
}

// ahead is how many changes of lifter or lift are looked ahead.
const ahead = 64

// run is consecutive rows of one series, from a place in the batch on.
type run struct {
	at, series int32
}

// batch adds the rows of those lifters whose number leaves the remainder at when divided by of. Numbers are those
// of a reader; to has the comparison's. It returns the place of the row that came too late, and the error; -1 where none did.
//
// A row costs little but the wait for the memory of its series, which was last used some thousand rows ago. So a
// number of series are asked for at once, before the first of them is worked on, and the waits overlap.
func (p *share) batch(sets []Set, to *[2][]int32, at, of uint32) (int, *OrderError) {
	var runs [ahead]run
	for from := 0; from < len(sets); {
		n, next := 0, from
		lifter, lift, mine := int32(-1), int32(-1), false
		for ; next < len(sets); next++ {
			s := &sets[next]
			if s.Lifter == lifter && s.Lift == lift {
				continue
			}
			if s.Lifter != lifter {
				mine = uint32(to[0][s.Lifter])%of == at
			}
			if n == ahead {
				break
			}
			lifter, lift = s.Lifter, s.Lift
			if mine {
				runs[n] = run{int32(next), p.find(seriesKey{to[0][lifter], to[1][lift]})}
				n++
			} else if n == 0 || runs[n-1].series >= 0 {
				runs[n] = run{int32(next), -1}
				n++
			}
		}
		p.ask(runs[:n], sets)
		for k, r := range runs[:n] {
			if r.series < 0 {
				continue
			}
			end := next
			if k+1 < n {
				end = int(runs[k+1].at)
			}
			for i := int(r.at); i < end; i++ {
				if err := p.add(r.series, &sets[i]); err != nil {
					return i, err
				}
			}
		}
		from = next
	}
	return -1, nil
}

// ask reads a little of what the runs will need, so that it is on its way: first the series, then the ends of
// their queues, and the sums of those that have a test to settle.
func (p *share) ask(runs []run, sets []Set) {
	var n int32
	for _, r := range runs {
		if r.series >= 0 {
			n += p.series[r.series].lastDay
		}
	}
	var sum float64
	for _, r := range runs {
		if r.series < 0 {
			continue
		}
		u := &p.series[r.series]
		if len(u.wait) > 0 {
			n += u.wait[len(u.wait)-1].day
		}
		if u.testDay == noDay || sets[r.at].Day <= u.testDay || u.cell == 0 {
			continue
		}
		if int(u.head) < len(u.wait) {
			n += u.wait[u.head].day
		}
		cell := p.cells.at(u.cell - 1)
		for i := 0; i < len(cell); i += 8 {
			sum += cell[i]
		}
	}
	p.asked[0], p.asked[1] = float64(n), sum
}

// find is the number of a series.
func (p *share) find(key seriesKey) int32 {
	id := p.table.find(key)
	if id < 0 {
		id = p.table.add(key)
		p.series = append(p.series, series{seriesKey: key, lastDay: noDay, testDay: noDay})
	}
	return id
}

// add adds a row in order.
func (p *share) add(id int32, s *Set) *OrderError {
	u := &p.series[id]
	if s.Day != u.lastDay {
		if s.Day < u.lastDay {
			return &OrderError{Line: int(s.Line), Day: int(s.Day), After: int(u.lastDay)}
		}
		if u.testDay != noDay && s.Day > u.testDay {
			p.settle(u)
		}
		u.lastDay = s.Day
	}
	count := int64(s.Count)
	p.counts.Rows++
	p.counts.Sets += count
	r, row := p.sort(s)
	switch r {
	case isSet:
		p.counts.NoTest += u.push(waiting{load: s.Load, day: s.Day, count: s.Count, row: row}, s.Day-p.opt.window)
	case isTest:
		p.counts.Tests += count
		if u.testDay != s.Day {
			u.testDay, u.test = s.Day, s.Load
		}
		u.test = max(u.test, s.Load)
	default:
		p.counts.add(r, count)
	}
	return nil
}

// sort is what a row is to the comparison, and for a qualifying set its row in the table of factors: negative, and -1
// less a place in odd, where the repetitions are not whole or half.
func (p *share) sort(s *Set) (role, int16) {
	if r, row, ok := p.opt.kinds.of(s); ok {
		return r, row
	}
	if r := p.opt.role(s); r != isSet {
		return r, 0
	}
	n := float64(s.Reps) + max(s.RIR, 0)
	i := 2*n - 2
	if k := int(i); float64(k) == i {
		if !p.opt.answers[k] {
			return isUnanswered, 0
		}
		return isSet, int16(k)
	}
	k := slices.Index(p.odd, n)
	if k < 0 {
		if k = len(p.odd); k == 1<<15-1 {
			return isUnanswered, 0 // nobody reports reserves in so many different ways
		}
		p.odd = append(p.odd, n)
	}
	if !p.opt.row(p.pad.factor, n) {
		return isUnanswered, 0
	}
	return isSet, int16(-1 - k)
}

// repetitions of a waiting set, done and left.
func (p *share) repetitions(w *waiting) float64 {
	if w.row >= 0 {
		return repetitions(int(w.row))
	}
	return p.odd[-1-int(w.row)]
}

// factors is the methods' factors for a waiting set.
func (p *share) factors(pad *scratch, w *waiting) []float64 {
	k := p.opt.k
	if i := int(w.row); i >= 0 {
		return p.opt.factors[i*k : (i+1)*k]
	}
	p.opt.row(pad.factor, p.repetitions(w))
	return pad.factor
}

func (p *share) band(w *waiting) int {
	if w.row >= 0 {
		return int(p.opt.band[w.row])
	}
	return int(p.opt.bandOf(p.repetitions(w)))
}

// settle puts the sets before a test against it. Sets of the test's own day go on
// waiting for the next one.
func (p *share) settle(u *series) {
	day, t := u.testDay, u.test
	u.testDay = noDay
	ws := u.take(day)
	for len(ws) > 0 && day-ws[0].day > p.opt.window {
		p.counts.NoTest += int64(ws[0].count)
		ws = ws[1:]
	}
	if len(ws) == 0 {
		return
	}
	cell := p.home(u, t)
	n := p.against(&p.pad, u.lifter, ws, t)
	p.counts.Pairs += int64(n)
	total(cell, p.pad.burst, n, t)
	if p.opt.seriesOnly {
		return
	}
	mean := p.pad.factor
	for j := range mean {
		mean[j] = 100 * p.pad.burst[3*j+1] / n / t
	}
	p.people[u.lifter].judge(mean)
}

// home finds or makes the cell of a series, and its lifter's sums.
func (p *share) home(u *series, t float64) (cell []float64) {
	if u.cell == 0 {
		u.cell = p.cells.add() + 1
		p.cells.at(u.cell - 1)[cellC] = t
		if !p.opt.seriesOnly {
			p.person(u.lifter)
		}
	}
	return p.cells.at(u.cell - 1)
}

func (p *share) person(lifter int32) *person {
	for int(lifter) >= len(p.people) {
		p.people = append(p.people, nil)
	}
	if p.people[lifter] == nil {
		p.people[lifter] = p.opt.newPerson()
		p.pairers++
	}
	return p.people[lifter]
}

// crowded reports whether there are too many lifters to make choices for.
func (p *share) crowded() bool { return p.opt.choicesUpTo > 0 && p.pairers > p.opt.choicesUpTo }

func (o *compare) newPerson() *person {
	k := o.k
	l := &person{}
	all := make([]float64, len(o.bands)*cellLen(k)+2*o.rows()+k+k*(k-1)/2)
	take := func(n int) []float64 {
		s := all[:n:n]
		all = all[n:]
		return s
	}
	l.bands, l.bins = take(len(o.bands)*cellLen(k)), take(2*o.rows())
	l.mean, l.sq = take(k), take(k*(k-1)/2)
	return l
}

// against puts sets against one test of t, leaves their sums in burst, and adds them to their lifter's bands
// and bins. It returns how many they are. The sets change places: those of one band are added up together, because
// a lifter's bands lie far from the processor.
func (p *share) against(pad *scratch, lifter int32, ws []waiting, t float64) (all float64) {
	clear(pad.burst)
	if p.opt.seriesOnly {
		for i := range ws {
			w := &ws[i]
			all += float64(w.count)
			pairs(pad.burst, p.factors(pad, w), w.load, t, float64(w.count))
		}
		return all
	}
	l := p.people[lifter]
	for len(ws) > 0 {
		b := p.band(&ws[0])
		same := 1
		for i := 1; i < len(ws); i++ {
			if p.band(&ws[i]) == b {
				ws[same], ws[i] = ws[i], ws[same]
				same++
			}
		}
		clear(pad.band)
		var n float64
		for i := range ws[:same] {
			w := &ws[i]
			n += float64(w.count)
			pairs(pad.band, p.factors(pad, w), w.load, t, float64(w.count))
			p.bin(l, w, t)
		}
		size := cellLen(p.opt.k)
		cell := l.bands[b*size : (b+1)*size]
		if cell[cellN] == 0 {
			cell[cellC] = t
		}
		total(cell, pad.band, n, t)
		addTo(pad.burst, pad.band)
		all += n
		ws = ws[same:]
	}
	return all
}

// pairs adds count sets of a load, against a test of t, to the sums of each method.
func pairs(sums, factors []float64, load, t, count float64) {
	for _, f := range factors {
		d := float64(f*load) - t
		s := (*[3]float64)(sums)
		s[0] += count * d
		s[1] += count * math.Abs(d)
		s[2] += count * (d * d)
		sums = sums[3:]
	}
}

// bin adds a set to its lifter's sums by repetitions.
func (p *share) bin(l *person, w *waiting, t float64) {
	i := 2 * int(w.row)
	if w.row < 0 {
		// The fits know whole and half repetitions only.
		i = 2 * min(max(int(math.Round(2*p.repetitions(w)-2)), 0), len(l.bins)/2-1)
	}
	x := float64(w.count) * w.load
	l.bins[i] += x * w.load
	l.bins[i+1] += x * t
}

// total adds the sums of n sets against a test of t to a cell.
func total(cell, sums []float64, n, t float64) {
	dt := t - cell[cellC]
	cell[cellN] += n
	cell[cellT] += n * dt
	cell[cellTT] += n * dt * dt
	for cell = cell[cellHead:]; len(cell) >= cellPer && len(sums) >= 3; cell, sums = cell[cellPer:], sums[3:] {
		c, s := (*[cellPer]float64)(cell), (*[3]float64)(sums)
		c[ofD] += s[0]
		c[ofAbs] += s[1]
		c[ofDD] += s[2]
		c[ofDT] += s[0] * dt
	}
}

// judge adds one test's mean absolute errors.
func (l *person) judge(mean []float64) {
	l.tests++
	at := 0
	for i, a := range mean {
		l.mean[i] += a
		for _, b := range mean[i+1:] {
			d := a - b
			l.sq[at] += d * d
			at++
		}
	}
}

// close settles what waits.
func (p *share) close() {
	for i := range p.series {
		u := &p.series[i]
		if u.testDay != noDay {
			p.settle(u)
		}
		for _, w := range u.wait[u.head:] {
			p.counts.NoTest += int64(w.count)
		}
		u.queue = queue{}
	}
}

// absorb takes over another share's sums, of other lifters. Neither takes rows any more.
func (p *share) absorb(o *share) {
	p.counts.merge(o.counts)
	p.pairers += o.pairers
	moved := p.cells.append(&o.cells)
	for _, u := range o.series {
		if u.cell != 0 {
			u.cell += moved
		}
		p.series = append(p.series, u)
	}
	for len(p.people) < len(o.people) {
		p.people = append(p.people, nil)
	}
	for i, l := range o.people {
		if l != nil {
			p.people[i] = l
		}
	}
	*o = share{}
}
