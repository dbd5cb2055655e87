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
// test. It is a location model in ln M, so a flat prior on ln M gives intervals
// whose coverage is exact for one set whatever the maximum. What is observed of
// c is the repetitions made and a report of the reserve.
//
// ln M and z lie on even grids (for one set, z is integrated out exactly); the
// reserve lies on the midpoints of equal shares of its distribution; the days
// are joined by a random walk of ln M. No sampling: same sets, same answer.

// withinShare is b^2, the share of the published between-lifter variance that
// is test-to-test variation of one lifter: a standard error of measurement of
// 0.7 repetition at 90 %1RM in the bench press (Mitter B et al. PLoS ONE
// 2022;17:e0268074, looked-up) against the 1.90 of Nuzzo 2024. That the share
// is the same at other fractions is our assumption.
const withinShare = (0.7 / 1.90) * (0.7 / 1.90)

const (
	abilityNodes = 41   // grid of z, from -maxAbility to maxAbility
	reserveNodes = 9    // of the distribution of an uncertain reserve
	gridStep     = 2e-3 // of ln M, unless a single asks for less
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
	p := &posterior{opt: o, sets: ss}
	p.opt.asOf = math.Max(o.asOf, ss[len(ss)-1].Day)
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
	a, b := math.Sqrt(1-withinShare), math.Sqrt(withinShare)
	if withAbility || informative > 1 {
		p.z = make([]float64, abilityNodes)
		for j := range p.z {
			p.z[j] = maxAbility * (2*float64(j)/(abilityNodes-1) - 1)
		}
	} else {
		p.z, a, b = []float64{0}, 0, 1
	}
	p.run(a, b)
	return p, nil
}

// walk is the standard deviation of the drift of ln M over a number of days,
// held under what moves a maximum by a factor of about two and a half.
func (p *posterior) walk(days float64) float64 {
	return math.Min(p.opt.drift*math.Sqrt(math.Max(days, 0)/7), 0.3)
}

// step is the relative distance to the next attempt.
func (p *posterior) step(load float64) float64 {
	if p.opt.step == 0 {
		return 0.025
	}
	return p.opt.step / load
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
			c := p.reserve(s)
			if f, _, err := p.opt.curve.fractionOf(math.Max(s.Reps+c[0], 1+leastExcess), maxAbility); err == nil {
				slo -= math.Log(f)
			}
			if f, _, err := p.opt.curve.fractionOf(math.Max(s.Reps+c[len(c)-1], 1+leastExcess), -maxAbility); err == nil {
				shi -= math.Log(f)
			} else {
				shi -= math.Log(p.opt.curve.Min)
			}
		}
		d := 4 * p.walk(p.opt.asOf-s.Day)
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
func (p *posterior) run(a, b float64) {
	p.w = make([]float64, len(p.z)*p.n)
	for j, z := range p.z {
		prior := math.Exp(-z * z / 2)
		for i := range p.n {
			p.w[j*p.n+i] = prior
		}
	}
	scratch := make([]float64, p.n)
	lik := make([]float64, len(p.w))
	day := p.sets[0].Day
	for _, s := range p.sets {
		if s.Day > day {
			p.drift(p.walk(s.Day-day), scratch)
			day = s.Day
		}
		if s.single() {
			p.mulSingle(s)
		} else {
			p.mulSet(s, a, b, lik)
		}
		p.normalise()
	}
	if p.opt.asOf > day {
		p.drift(p.walk(p.opt.asOf-day), scratch)
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

// drift convolves the distribution of ln M with a normal of deviation sd.
func (p *posterior) drift(sd float64, scratch []float64) {
	half := int(4*sd/p.dx) + 1
	if sd < p.dx/8 {
		return
	}
	half = min(half, p.n-1)
	kernel := make([]float64, half+1)
	sum := 0.0
	for k := range kernel {
		t := float64(k) * p.dx / sd
		kernel[k] = math.Exp(-t * t / 2)
		sum += kernel[k]
		if k > 0 {
			sum += kernel[k]
		}
	}
	for k := range kernel {
		kernel[k] /= sum
	}
	for j := range p.z {
		row := p.w[j*p.n : (j+1)*p.n]
		clear(scratch)
		for i, v := range row {
			if v == 0 {
				continue
			}
			scratch[i] += v * kernel[0]
			for k := 1; k <= half; k++ {
				// What would leave the grid stays at its edge.
				scratch[max(i-k, 0)] += v * kernel[k]
				scratch[min(i+k, p.n-1)] += v * kernel[k]
			}
		}
		copy(row, scratch)
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

// mulSet multiplies in a set of repetitions.
func (p *posterior) mulSet(s Set, a, b float64, lik []float64) {
	c := p.opt.curve
	nodes := p.reserve(s)
	for k := range nodes {
		nodes[k] = math.Log(math.Max(s.Reps+nodes[k]-1, leastExcess))
	}
	share := 1 / float64(len(nodes))
	clear(lik)
	lnLoad := math.Log(s.Load)
	h := 0.0
	if len(p.z) > 1 {
		h = p.z[1] - p.z[0]
	}
	delta := a * h / b
	shrink := math.Exp(-delta * delta)
	for i := range p.n {
		lnf := lnLoad - (p.x0 + float64(i)*p.dx)
		if lnf >= 0 {
			continue
		}
		f := math.Exp(lnf)
		if f < c.Min {
			break
		}
		mid, slope := c.middle(f)
		excess := mid - 1
		if excess < 1e-9 {
			continue
		}
		dlog := slope / excess
		r, rs := c.sdRelative(f, excess, dlog)
		sc, ds := spread(r)
		ds *= rs
		lnExcess := math.Log(excess)
		for _, lc := range nodes {
			y := (lc - lnExcess) / sc
			if math.Abs(y) > maxAbility+1 {
				continue
			}
			// |dy/d ln M|
			g := -f * (dlog + y*ds) / sc
			if g <= 0 {
				continue
			}
			g *= share / b
			if len(p.z) == 1 {
				lik[i] += g * math.Exp(-y*y/2)
				continue
			}
			// exp(-t^2/2) at t = (y - a z_j)/b over the even grid of z by
			// recurrence, outwards from the largest so that it stays accurate.
			j0 := int(math.Round((y/a - p.z[0]) / h))
			j0 = min(max(j0, 0), len(p.z)-1)
			t0 := (y - a*p.z[j0]) / b
			top := g * math.Exp(-t0*t0/2)
			v, q := top, math.Exp(t0*delta-delta*delta/2)
			for j := j0; j < len(p.z) && v > 0; j++ {
				lik[j*p.n+i] += v
				v *= q
				q *= shrink
			}
			v, q = top, math.Exp(-t0*delta-delta*delta/2)
			for j := j0 - 1; j >= 0 && v > 0; j-- {
				v *= q
				q *= shrink
				lik[j*p.n+i] += v
			}
		}
	}
	// The density integrates to sqrt(2 pi) over ln M; so does the stray part.
	floor := stray * math.Sqrt(2*math.Pi) / (float64(p.n) * p.dx)
	for i := range p.w {
		p.w[i] *= lik[i] + floor
	}
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
		if s.single() && s.Day == p.opt.asOf {
			single = math.Max(single, s.Load)
		}
	}
	if single > 0 && e.Max <= single*(1+p.step(single)) {
		e.Max, e.Low = single, single
		e.High = math.Max(math.Exp(p.quantile(m, p.opt.coverage)), single)
	}
	e.Warnings = p.warnings()
	return e
}
