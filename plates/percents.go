package plates

import (
	"math"
	"slices"
)

// Percents is a list of percentages prepared for one table and one rounding, for
// pricing a whole roster: it answers the same as Round(max.Percent(p), how) for
// each of them, exactly, in a few nanoseconds and without allocating. It does not
// change and may be shared between goroutines.
type Percents struct {
	loads *Loads
	how   Rounding
	ratio []Ratio
	terms []term
	most  Mass // maxima up to this one take the quick way

	// Positions count half steps of the table's grid from the lightest total.
	// A total stands for the masses between two thresholds; first[k>>shift] is
	// where the search for the number of thresholds under position k begins,
	// and is that number itself where shift is 0.
	first      []int32
	shift      uint
	thresholds []int64
}

// term is one percentage: the position of max is (max*n - offset) / den, and a
// threshold counts where it is under the position rounded up. Where a mass on a
// threshold belongs above it, offset is less by 1, the least that a numerator can
// grow, so that rounding up goes past the threshold.
type term struct {
	n, offset, den int64
	top            int64   // numerators from here on are the heaviest total
	inverse        float64 // just under 1/den
}

const (
	maxPosition = 1 << 50 // a guess of a quotient up to here is off by at most 1
	maxDense    = 1 << 16 // positions of a table that is looked up directly
)

// Prepare makes the percentages ready for pricing many maxima on this table.
func (l *Loads) Prepare(percents []Ratio, how Rounding) *Percents {
	p := &Percents{loads: l, how: how, ratio: slices.Clone(percents), most: -1}
	t := l.totals
	if len(t) == 0 {
		return p
	}
	var grid uint64 // the largest step of which all totals are multiples, from the lightest
	for _, m := range t[1:] {
		grid = gcd(grid, uint64(m-t[0]))
	}
	g := max(int64(grid), 1)
	last := 2 * int64(t[len(t)-1]-t[0]) / g
	if last >= maxPosition {
		return p
	}
	above := int64(0)
	if how == Down || how == NearestUp {
		above = 1
	}
	for i := range t[1:] {
		a, b := int64(t[i]-t[0])/g*2, int64(t[i+1]-t[0])/g*2
		switch how {
		case Down:
			p.thresholds = append(p.thresholds, b)
		case Up:
			p.thresholds = append(p.thresholds, a)
		default:
			p.thresholds = append(p.thresholds, (a+b)/2)
		}
	}
	p.thresholds = append(p.thresholds, math.MaxInt64) // ends every search
	for last>>p.shift >= maxDense && last>>p.shift >= 4*int64(len(t)) {
		p.shift++
	}
	p.first = make([]int32, last>>p.shift+2)
	n := 0
	for i := range p.first {
		for p.thresholds[n] < int64(i)<<p.shift {
			n++
		}
		p.first[i] = int32(n)
	}
	p.terms = make([]term, len(percents))
	most := int64(math.MaxInt64)
	for i, r := range percents {
		tm, ok := newTerm(r, t[0], g, last)
		if !ok || tm.top > math.MaxInt64-above {
			return p
		}
		tm.offset -= above
		tm.top += above
		p.terms[i] = tm
		if tm.n > 0 {
			most = min(most, (math.MaxInt64-above)/tm.n)
		}
	}
	p.most = Mass(most)
	return p
}

// newTerm makes r ready, where all its parts fit in 64 bits.
func newTerm(r Ratio, lightest Mass, grid, last int64) (term, bool) {
	if r.num < 0 || r.num > math.MaxInt64/2 || r.Den() > math.MaxInt64/100 {
		return term{}, false
	}
	q := reduced(2*r.num, 100*r.Den()) // twice the share of the maximum
	den, fits := mul(q.Den(), grid)
	offset, fits2 := mul(q.Den(), 2*int64(lightest))
	top, fits3 := mul(den, last)
	// Three roundings (num, 1/den, their product) of at most 2^-53 each cannot
	// lift a guess that is lowered by 2^-51.
	const lower = 1 - 1.0/(1<<51)
	return term{q.num, offset, den, top, lower / float64(den)}, fits && fits2 && fits3 && top < math.MaxInt64
}

// mul is a*b of numbers that are not negative, where it fits.
func mul(a, b int64) (int64, bool) {
	if b != 0 && a > math.MaxInt64/b {
		return 0, false
	}
	return a * b, true
}

// Len is how many percentages there are.
func (p *Percents) Len() int { return len(p.ratio) }

// Indexes is, for every percentage of max, the place in the table (see
// [Loads.At]) of the total that stands for it. It is written to dst, which is
// made longer where needed. Masses under the lightest total get place 0 and
// masses over the heaviest the last place: compare max.Percent with them to know
// them.
func (p *Percents) Indexes(dst []int32, max Mass) []int32 {
	dst = slices.Grow(dst[:0], len(p.ratio))[:len(p.ratio)]
	if len(dst) == 0 {
		return dst
	}
	if max < 0 || max > p.most {
		for i, r := range p.ratio {
			dst[i] = int32(p.loads.index(max.Percent(r), p.how))
		}
		return dst
	}
	if p.shift == 0 {
		direct(dst, p.terms, p.first, max, int32(p.loads.Len()-1))
	} else {
		search(dst, p.terms, p.first, p.thresholds, p.shift&63, max, int32(p.loads.Len()-1))
	}
	return dst
}

// direct looks every position up.
func direct(dst []int32, terms []term, first []int32, max Mass, last int32) {
	dst = dst[:len(terms)]
	for i := range terms {
		t := &terms[i]
		num := int64(max)*t.n - t.offset
		k := last
		if num <= 0 {
			k = 0
		} else if num < t.top {
			k = first[t.position(num)]
		}
		dst[i] = k
	}
}

// search goes on from the nearest position that is kept.
func search(dst []int32, terms []term, first []int32, thresholds []int64, shift uint, max Mass, last int32) {
	dst = dst[:len(terms)]
	for i := range terms {
		t := &terms[i]
		num := int64(max)*t.n - t.offset
		k := last
		if num <= 0 {
			k = 0
		} else if num < t.top {
			q := t.position(num)
			k = first[q>>shift]
			// Mostly no step or one: taken without a branch, as in position.
			k -= int32((thresholds[k] - q) >> 63)
			for thresholds[k] < q {
				k++
			}
		}
		dst[i] = k
	}
}

// position is num/den rounded up. The product of floats guesses the quotient
// rounded down and is never too high and too low by at most 1; the remainder,
// which is exact, decides. Round numbers make either guess about as likely, so
// the two corrections are arithmetic (a shift by 63 is -1 for a negative number)
// rather than branches.
func (t *term) position(num int64) int64 {
	q := int64(float64(num) * t.inverse)
	rem := num - q*t.den
	return q - (-rem)>>63 - (t.den-rem)>>63
}
