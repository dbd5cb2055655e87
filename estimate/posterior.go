package estimate

import (
	"cmp"
	"math"
	"slices"
)

// The model behind Max and Fit. A lifter of ability z (standard normal between
// lifters) who could do c repetitions with a load on a day of maximum M:
//
//	ln load = ln M + ln F(c; y),   y = a z + b e,   a^2 + b^2 = 1
//
// where F(c; y) is the fraction of Curve.fractionOf and e, standard normal and
// new with every set, is what the same lifter's repetitions vary by from test to
// test. What is observed of c is the repetitions made and a report of the
// reserve. It is a location model in ln M, so a flat prior on ln M gives one set
// an interval whose coverage is exact whatever the maximum; one set is answered
// by that formula, y integrated as a whole.
//
// Several sets share z. What differs from set to set (e and the error of the
// reserve) is there a density of ln M of fixed shape, taken at the middle of the
// curve and moved along with z. Left to vary with z and M, its width would make
// agreeing sets a sign of the region where lifters vary least, and move the
// answer by several percent on that alone.
//
// ln M and z lie on even grids; the reserve lies on the midpoints of equal
// shares of its distribution; the days are joined by a random walk of ln M. No
// sampling: same sets, same answer.

// withinShare is b^2, the share of the published between-lifter variance that
// is test-to-test variation of one lifter: a standard error of measurement of
// 0.7 repetition at 90 %1RM in the bench press (Mitter B et al. PLoS ONE
// 2022;17:e0268074, looked-up) against the 1.90 of Nuzzo 2024. That the share
// is the same at other fractions is our assumption.
const withinShare = (0.7 / 1.90) * (0.7 / 1.90)

const (
	reserveNodes = 9    // of the distribution of an uncertain reserve
	gridStep     = 3e-3 // of ln M, unless a single asks for less
	maxGrid      = 500  // points of ln M, 1500 with a single

	// stray is the weight of a set whose numbers mean nothing (mistyped, cut
	// short unsaid): it keeps contradicting sets from annihilating each other.
	stray = 1e-5

	// One in ten singles called maximal leaves more than a step; how much more
	// falls off with a scale of 5 %. Our assumption, no published source.
	softSingle, softScale = 0.1, 0.05

	// Mean of a reserve that was not reported. Our assumption.
	unreportedReserve = 2
)

// posterior is the joint distribution of ln M on the last day and of z.
type posterior struct {
	opt   resolved
	sets  []Set     // by day
	tired int       // sets that were left out
	last  float64   // day of the last set
	x0    float64   // ln M at the first grid point
	dx    float64   // grid step in ln M
	n     int       // grid points
	z     []float64 // nodes of ability; a lone 0 when it is integrated out
	w     []float64 // weight of node j, point i at [j*n+i]; sums to 1
	extra bool      // a set lies outside the rows of the curve
}

func newPosterior(sets []Set, opt Options, withAbility bool) (*posterior, error) {
	o, err := opt.resolve()
	if err != nil {
		return nil, err
	}
	ss, err := checkSets(sets, o.curve)
	if err != nil {
		return nil, err
	}
	// The order within a day must not matter, to the last bit.
	slices.SortFunc(ss, func(a, b Set) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Load, b.Load), cmp.Compare(a.Reps, b.Reps), cmp.Compare(a.RIR, b.RIR))
	})
	p := &posterior{opt: o}
	p.sets, p.tired = fresh(ss)
	ss = p.sets
	p.last = ss[len(ss)-1].Day
	informative := 0
	for _, s := range ss {
		if _, x, _ := o.curve.Fraction(s.Reps + s.RIR); x {
			p.extra = true
		}
		if !s.single() {
			informative++
		}
	}
	p.layGrid()
	if withAbility || informative > 0 && len(ss) > 1 {
		p.z = abilityGrid(len(ss))
	} else {
		p.z = []float64{0}
	}
	p.run()
	return p, nil
}

// fresh leaves out what lifters do tired: sets beside which another of the same day has no less on the bar and no fewer
// repetitions, counting the reserve, and more of one of them. The model knows no fatigue, and would read the fall from set
// to set as a lifter of few repetitions. A single with none left claims to be the maximum and stays. It returns how many
// they are. The rule is ours, no published source.
func fresh(sets []Set) (good []Set, tired int) {
	for i, s := range sets {
		if s.single() || !slices.ContainsFunc(sets, func(other Set) bool { return math.Floor(other.Day) == math.Floor(s.Day) && shownBy(other, s) }) {
			good = append(good, sets[i])
		}
	}
	return good, len(sets) - len(good)
}

// shownBy reports whether a set shows all that another does, and more.
func shownBy(s, less Set) bool {
	n, m := s.Reps+s.RIR, less.Reps+less.RIR
	if less.NoRIR && !s.NoRIR {
		m += unreportedReserve
	}
	return s.Load >= less.Load && n >= m && (s.Load > less.Load || n > m)
}

// abilityGrid is the even grid of z. Its step is at most what k sets with the
// maximum known would leave uncertain of z, where the trapezoid rule is accurate
// to about 1e-8.
func abilityGrid(k int) []float64 {
	step := math.Sqrt(withinShare/float64(max(k, 4))) / math.Sqrt(1-withinShare)
	half := int(maxAbility/step) + 1
	z := make([]float64, 2*half+1)
	for j := range z {
		z[j] = maxAbility * float64(j-half) / float64(half)
	}
	return z
}

// walk is the standard deviation of the drift of ln M over a number of days,
// held under what moves a maximum by a factor of about two and a half.
func (p *posterior) walk(days float64) float64 {
	return math.Min(p.opt.drift*math.Sqrt(math.Max(days, 0)/7), 0.3)
}

// step is the relative distance to the next attempt; beyond a thousandfold it no longer matters how far.
func (p *posterior) step(load float64) float64 {
	if p.opt.step == 0 {
		return 0.025
	}
	return math.Min(p.opt.step/load, 1e3)
}

// layGrid chooses a grid of ln M that holds what each set allows, widened by
// what the maximum may have drifted since.
func (p *posterior) layGrid() {
	lo, hi := math.Inf(1), math.Inf(-1)
	finest, limit := gridStep, maxGrid
	for _, s := range p.sets {
		x := math.Log(s.Load)
		slo, shi := x, x
		if s.single() {
			st := math.Log1p(p.step(s.Load))
			shi += st + 4*softScale
			finest, limit = math.Min(finest, st/8), 1500
		} else {
			r := p.reserve(s)
			slo -= p.opt.curve.lnFraction(s.Reps+r[0], maxAbility)
			shi -= p.opt.curve.lnFraction(s.Reps+r[len(r)-1], -maxAbility)
		}
		d := 4 * p.walk(p.last-s.Day+p.opt.layoff)
		lo, hi = math.Min(lo, slo-d), math.Max(hi, shi+d)
	}
	p.dx = math.Max(finest, (hi-lo)/float64(limit))
	p.n = int((hi-lo)/p.dx) + 3
	p.x0 = lo - p.dx
}

// leastExcess keeps repetitions beyond the first away from zero where a reserve
// is uncertain.
const leastExcess = 0.05

// reserve is the true reserve of a set as midpoints of equal shares of its
// distribution, ascending.
func (p *posterior) reserve(s Set) []float64 {
	if s.NoRIR {
		out := make([]float64, reserveNodes)
		for k := range out {
			out[k] = -unreportedReserve * math.Log1p(-(float64(k)+0.5)/reserveNodes)
		}
		return out
	}
	mean, sd := s.RIR+p.opt.bias*math.Min(s.RIR, 1), p.opt.spread*reserveSD(s.RIR)
	if sd == 0 {
		return []float64{mean}
	}
	out := make([]float64, reserveNodes)
	below := 0.5 * math.Erfc(mean/sd/math.Sqrt2) // probability of a negative reserve
	for k := range out {
		u := below + (1-below)*(float64(k)+0.5)/reserveNodes
		out[k] = math.Max(mean+sd*normalQuantile(u), 0)
	}
	return out
}

// reserveSD is the standard deviation of the true reserve about the reported,
// see Options.ReserveSpread.
func reserveSD(rir float64) float64 {
	switch {
	case rir <= 1:
		return rir
	case rir <= 5:
		return 1
	default:
		return math.Min(1+(rir-5)/2, 2)
	}
}

// run fills the weights: day by day, drift and then that day's sets.
func (p *posterior) run() {
	p.w = make([]float64, len(p.z)*p.n)
	for j, z := range p.z {
		prior := math.Exp(-z * z / 2)
		for i := range p.n {
			p.w[j*p.n+i] = prior
		}
	}
	day := p.sets[0].Day
	for _, s := range p.sets {
		if s.Day > day {
			p.drift(p.walk(s.Day - day))
			day = s.Day
		}
		if s.single() {
			p.mulSingle(s)
		} else {
			nodes := p.reserve(s)
			for k := range nodes {
				nodes[k] = s.Reps + nodes[k]
			}
			if len(p.z) == 1 {
				p.mulAlone(s, nodes)
			} else {
				p.mulShared(s, nodes)
			}
		}
		p.normalise()
	}
	if p.opt.layoff > 0 {
		p.drift(p.walk(p.opt.layoff))
		p.normalise()
	}
}

// normalise scales the weights to a sum of 1.
func (p *posterior) normalise() {
	sum := 0.0
	for _, v := range p.w {
		sum += v
	}
	if sum == 0 {
		// Only where a single excludes what everything else says; then nothing
		// is known on this grid.
		for i := range p.w {
			p.w[i] = 1 / float64(len(p.w))
		}
		return
	}
	for i := range p.w {
		p.w[i] /= sum
	}
}

// drift convolves the distribution of ln M with a normal of deviation sd. What
// would leave the grid is dropped; the grid reaches four deviations beyond the
// sets, so that is next to nothing.
func (p *posterior) drift(sd float64) {
	if sd < p.dx/8 {
		return
	}
	half := min(int(4*sd/p.dx)+1, p.n-1)
	kernel := make([]float64, half+1)
	for k := range kernel {
		t := float64(k) * p.dx / sd
		kernel[k] = math.Exp(-t * t / 2)
	}
	padded := make([]float64, p.n+2*half)
	for j := range p.z {
		row := p.w[j*p.n : (j+1)*p.n]
		copy(padded[half:], row)
		for i := range row {
			row[i] = kernel[0] * padded[half+i]
		}
		for k := 1; k <= half; k++ {
			c, left, right := kernel[k], padded[half-k:half-k+p.n], padded[half+k:half+k+p.n]
			for i := range row {
				row[i] += c * (left[i] + right[i])
			}
		}
	}
}

// mulSingle multiplies in a maximal single: the maximum lies between its load
// and the next attempt, or a little above.
func (p *posterior) mulSingle(s Set) {
	x, st := math.Log(s.Load), math.Log1p(p.step(s.Load))
	for i := range p.n {
		// The share of the cell that lies above the load and below the step.
		lo, hi := p.x0+(float64(i)-0.5)*p.dx, p.x0+(float64(i)+0.5)*p.dx
		in := math.Max(math.Min(hi, x+st)-math.Max(lo, x), 0)
		v := (1 - softSingle) * in / st
		if hi > x {
			v += softSingle * (math.Exp(-math.Max(lo-x, 0)/softScale) - math.Exp(-(hi-x)/softScale))
		}
		for j := range p.z {
			p.w[j*p.n+i] *= v
		}
	}
}

// mulAlone multiplies in the only set of repetitions, y integrated as a whole;
// reps are the midpoints of what it could have been to failure.
func (p *posterior) mulAlone(s Set, reps []float64) {
	c := p.opt.curve
	lnLoad := math.Log(s.Load)
	logs := make([]float64, len(reps))
	for k, n := range reps {
		logs[k] = math.Log(math.Max(n-1, leastExcess))
	}
	floor := stray / (float64(p.n) * p.dx)
	share := 1 / (math.Sqrt(2*math.Pi) * float64(len(reps)))
	for i := range p.n {
		f := math.Exp(lnLoad - (p.x0 + float64(i)*p.dx))
		density := 0.0
		if f < 1 && f >= c.Min {
			at := c.abilityAt(f)
			for _, lc := range logs {
				y, jacobian := at.y(lc)
				if math.Abs(y) <= maxAbility+1 && jacobian > 0 {
					density += share * jacobian * math.Exp(-y*y/2)
				}
			}
		}
		p.w[i] *= density + floor
	}
}

// mulShared multiplies in one of several sets of repetitions.
func (p *posterior) mulShared(s Set, reps []float64) {
	c := p.opt.curve
	mid := c.lnFraction(reps[len(reps)/2], 0)
	_, jacobian := c.abilityAt(math.Exp(mid)).y(math.Log(math.Max(reps[len(reps)/2]-1, leastExcess)))
	width := math.Sqrt(withinShare) / jacobian
	// The shape about the middle, on a finer grid of its own.
	offsets := make([]float64, len(reps))
	lo, hi := 0.0, 0.0
	for k, n := range reps {
		offsets[k] = mid - c.lnFraction(n, 0)
		lo, hi = math.Min(lo, offsets[k]), math.Max(hi, offsets[k])
	}
	lo, hi = lo-6*width, hi+6*width
	step := width / 6 // straight lines between are good to half a percent
	shape := make([]float64, int((hi-lo)/step)+2)
	scale := 1 / (math.Sqrt(2*math.Pi) * width * float64(len(reps)))
	for i := range shape {
		x := lo + float64(i)*step
		for _, o := range offsets {
			t := (x - o) / width
			if t > -6 && t < 6 {
				shape[i] += scale * math.Exp(-t*t/2)
			}
		}
	}
	floor := stray / (float64(p.n) * p.dx)
	a := math.Sqrt(1 - withinShare)
	lnLoad := math.Log(s.Load)
	for j, z := range p.z {
		row := p.w[j*p.n : (j+1)*p.n]
		// Position of the first grid point in the table of the shape.
		at := (p.x0 - (lnLoad - c.lnFraction(reps[len(reps)/2], a*z)) - lo) / step
		for i := range row {
			v := floor
			if t := at + float64(i)*p.dx/step; t >= 0 && t < float64(len(shape)-1) {
				k := int(t)
				v += shape[k] + (t-float64(k))*(shape[k+1]-shape[k])
			}
			row[i] *= v
		}
	}
}

// lnFraction is ln F(c; y), held at the ends of what the curve answers.
func (c *Curve) lnFraction(reps, y float64) float64 {
	f, _, err := c.fractionOf(math.Max(reps, 1+leastExcess), y)
	if err != nil {
		f = c.Min
	}
	return math.Log(f)
}

// marginal is the distribution of ln M over the grid.
func (p *posterior) marginal() []float64 {
	m := make([]float64, p.n)
	for j := range p.z {
		for i, v := range p.w[j*p.n : (j+1)*p.n] {
			m[i] += v
		}
	}
	return m
}

// quantile of ln M, linear within a grid cell.
func (p *posterior) quantile(marginal []float64, q float64) float64 {
	sum := 0.0
	for i, v := range marginal {
		if sum+v >= q && v > 0 {
			return p.x0 + p.dx*(float64(i)-0.5+(q-sum)/v)
		}
		sum += v
	}
	return p.x0 + p.dx*float64(p.n)
}

// ability is mean and standard deviation of z.
func (p *posterior) ability() (mean, sd float64) {
	if len(p.z) == 1 {
		return 0, 1
	}
	var m1, m2 float64
	for j, z := range p.z {
		sum := 0.0
		for _, v := range p.w[j*p.n : (j+1)*p.n] {
			sum += v
		}
		m1 += sum * z
		m2 += sum * z * z
	}
	return m1, math.Sqrt(math.Max(m2-m1*m1, 0))
}

func (p *posterior) estimate() Estimate {
	m := p.marginal()
	tail := (1 - p.opt.coverage) / 2
	e := Estimate{
		Max:      math.Exp(p.quantile(m, 0.5)),
		Low:      math.Exp(p.quantile(m, tail)),
		High:     math.Exp(p.quantile(m, 1-tail)),
		Coverage: p.opt.coverage, Curve: p.opt.curve.Name, Extrapolated: p.extra, Sets: len(p.sets),
	}
	e.Ability, e.AbilitySD = p.ability()
	// A maximal single of the last day is the maximum, unless other sets put
	// most of the probability past the next attempt.
	single := 0.0
	for _, s := range p.sets {
		if s.single() && s.Day == p.last && p.opt.layoff == 0 {
			single = math.Max(single, s.Load)
		}
	}
	if single > 0 && e.Max <= single*(1+p.step(single)) {
		e.Max, e.Low = single, single
		e.High = math.Max(math.Exp(p.quantile(m, p.opt.coverage)), single)
	}
	e.Warnings = append(p.warnings(), p.among(e.Max)...)
	return e
}
