package estimate

import "math"

// trackerFilter is the state of the Kalman filter.
type trackerFilter struct {
	m     *trackerModel
	drift float64 // variance of the level per day
	noise float64 // squared multiplier
	a     trackerVec
	p     trackerMat
}

func newTrackerFilter(m *trackerModel, drift, noise, centre, sd float64) trackerFilter {
	f := trackerFilter{m: m, drift: drift * drift / 7, noise: noise * noise}
	f.a[trackerLevel] = centre
	f.p[trackerLevel][trackerLevel] = sd * sd
	f.p[trackerAbility][trackerAbility] = 1 // between lifters, by definition of z and u
	f.p[trackerReporting][trackerReporting] = 1
	return f
}

// trackerWalk is the most variance that one gap adds to the level: a standard
// deviation of 0.3, a factor of about two and a half either way at 3 of them.
const trackerWalk = 0.09

// step moves the state over a gap: days, extra variance of the level, what stays
// of ability, and whether a new day's form starts.
func (f *trackerFilter) step(days, extra, phi float64, newDay bool) {
	if days > 0 || extra > 0 {
		f.p[trackerLevel][trackerLevel] += math.Min(f.drift*days+extra, trackerWalk)
	}
	if phi != 1 {
		f.a[trackerAbility] *= phi
		for j := range trackerDim {
			if j != trackerAbility {
				f.p[trackerAbility][j] *= phi
				f.p[j][trackerAbility] *= phi
			}
		}
		f.p[trackerAbility][trackerAbility] = 1 + phi*phi*(f.p[trackerAbility][trackerAbility]-1)
	}
	if newDay {
		f.a[trackerForm] = 0
		for j := range trackerDim {
			f.p[trackerForm][j], f.p[j][trackerForm] = 0, 0
		}
		f.p[trackerForm][trackerForm] = f.m.form * f.m.form * f.noise
	}
}

// trackerUpdate is what one set did: score and curvature of its log-likelihood
// along its loadings, ll that log-likelihood, v the forecast error and s its
// variance.
type trackerUpdate struct {
	c1, c2, ll, v, s float64
	z, pz            trackerVec
}

// project fills in P z, and returns the forecast and its variance.
func (f *trackerFilter) project(z *trackerVec, pz *trackerVec) (mean, variance float64) {
	for i := range trackerDim {
		t := 0.0
		for j := range trackerDim {
			t += f.p[i][j] * z[j]
		}
		pz[i] = t
		variance += z[i] * t
		mean += z[i] * f.a[i]
	}
	return mean, variance
}

// update takes in a set.
func (f *trackerFilter) update(o *trackerObs) trackerUpdate {
	var u trackerUpdate
	if o.kind == TrackerUnused {
		return u
	}
	u.z = o.z
	za, zpz := f.project(&u.z, &u.pz)
	u.v = o.y - za
	u.s = zpz + o.r*f.noise
	if o.curved {
		// Linearised at what was believed before the set, unless that was next to
		// nothing: then near what is believed with it.
		known := f.p[trackerLevel][trackerLevel] + 2*f.p[trackerLevel][trackerForm] + f.p[trackerForm][trackerForm]
		known *= known
		k := known / (known + trackerVague) * u.v / u.s
		top := f.a[trackerLevel] + f.a[trackerForm] + (u.pz[trackerLevel]+u.pz[trackerForm])*k
		forecast, r := f.m.linearise(o, &u.z, top, f.a[trackerAbility]+u.pz[trackerAbility]*k, &f.a)
		_, zpz = f.project(&u.z, &u.pz)
		u.v = o.y - forecast
		u.s = zpz + r*f.noise
	}
	switch o.kind {
	case TrackerMeasured:
		u.c1, u.c2 = u.v/u.s, 1/u.s
		u.ll = -0.5 * (math.Log(2*math.Pi*u.s) + u.v*u.v/u.s)
		if t := math.Abs(u.v) / math.Sqrt(u.s); t > trackerCut {
			weight, cost := trackerCut/t, trackerCut*(t-0.5*trackerCut)
			if t > trackerAbsurd {
				weight *= trackerAbsurd / t
				cost = trackerCut * (trackerAbsurd*(1+math.Log(t/trackerAbsurd)) - 0.5*trackerCut)
			}
			u.c1, u.c2 = u.c1*weight, u.c2*weight
			u.ll += 0.5*t*t - cost
		}
	default:
		// The probability that the maximum lies above (below) what was shown.
		side := 1.0
		if o.kind == TrackerUpper {
			side = -1
		}
		root := math.Sqrt(u.s)
		alpha := -side * u.v / root
		ll, mills, bend := logNormalCDF(alpha)
		u.ll = ll
		u.c1 = side * mills / root
		u.c2 = bend / u.s
	}
	for i := range trackerDim {
		f.a[i] += u.pz[i] * u.c1
		k := u.pz[i] * u.c2
		for j := i; j < trackerDim; j++ {
			f.p[i][j] -= k * u.pz[j]
			f.p[j][i] = f.p[i][j]
		}
	}
	return u
}

// linearise expands y about a maximum of the day, exp(top), and an ability: it
// fills in the loadings, and returns the forecast at the state a and the variance
// of what differs from set to set.
func (m *trackerModel) linearise(o *trackerObs, z *trackerVec, top, ability float64, a *trackerVec) (forecast, r float64) {
	c := m.curve
	// Inside the curve, and with a repetition or so beyond the first, where a
	// set of several repetitions still has errors.
	f := math.Min(math.Max(math.Exp(o.lnLoad-top), c.Min), m.heaviest)
	top = o.lnLoad - math.Log(f)
	ability = math.Min(math.Max(ability, -maxAbility), maxAbility)

	n, slope := c.middle(f)
	excess := n - 1
	rel, relSlope := c.sdRelative(f, excess, slope/excess)
	s, sSlope := spread(rel)
	sSlope *= relSlope
	grow := math.Exp(s * m.abilityShare * ability)
	reps := math.Min(1+excess*grow, m.most)
	fr := c.fraction(reps)
	_, frSlope := c.middle(fr)
	g := 1 / (frSlope * fr) // of ln F with a repetition

	z[trackerLevel] = g * grow * f * (slope + excess*sSlope*m.abilityShare*ability)
	z[trackerForm] = z[trackerLevel]
	m.noisy(z, &r, -g*excess*grow*s, g, o.rirSD)
	forecast = o.lnLoad - math.Log(fr) +
		z[trackerLevel]*(a[trackerLevel]+a[trackerForm]-top) +
		z[trackerAbility]*(a[trackerAbility]-ability) +
		z[trackerReporting]*a[trackerReporting]
	return forecast, r
}

// trackerVague is the fourth power of the standard deviation of the day's
// maximum, 5 %, at which forecast and set have an equal say in where a set is
// linearised. Ours.
const trackerVague = 0.05 * 0.05 * 0.05 * 0.05

// What one set can do is bounded, so that a mistyped load does not carry the
// maximum away: a forecast error beyond trackerCut standard deviations counts as
// that many (Huber PJ. Ann Math Stat 1964;35:73-101, citation from memory), and
// beyond trackerAbsurd less and less. The numbers are ours.
const (
	trackerCut    = 4
	trackerAbsurd = 10
)

// trackerLeastExcess is the fewest repetitions beyond the first at which a set
// is linearised. Ours.
const trackerLeastExcess = 0.25

// trackerBack is the backward recursion of the smoother: r and N of de Jong P.
// J Am Stat Assoc 1989;84:1085-1088 (citation from memory). It gives the states
// of the Rauch-Tung-Striebel smoother without inverting a covariance, which
// would be singular for what does not change.
type trackerBack struct {
	r trackerVec
	n trackerMat
}

// over moves back over a gap.
func (b *trackerBack) over(phi float64, newDay bool) {
	if phi != 1 {
		b.r[trackerAbility] *= phi
		for j := range trackerDim {
			b.n[trackerAbility][j] *= phi
			b.n[j][trackerAbility] *= phi
		}
	}
	if newDay {
		b.r[trackerForm] = 0
		for j := range trackerDim {
			b.n[trackerForm][j], b.n[j][trackerForm] = 0, 0
		}
	}
}

// smooth corrects a filtered state by what came after it.
func (b *trackerBack) smooth(a trackerVec, p trackerMat) (trackerVec, trackerMat) {
	var pn trackerMat
	for i := range trackerDim {
		for j := range trackerDim {
			a[i] += p[i][j] * b.r[j]
			for k := range trackerDim {
				pn[i][j] += p[i][k] * b.n[k][j]
			}
		}
	}
	out := p
	for i := range trackerDim {
		for j := range trackerDim {
			for k := range trackerDim {
				out[i][j] -= pn[i][k] * p[k][j]
			}
		}
	}
	return a, out
}

// before moves back over the set itself: r = z c1 + L'r, N = z z' c2 + L'N L,
// with L = I - c2 P z z'.
func (b *trackerBack) before(u *trackerUpdate) {
	z := &u.z
	if u.c2 == 0 && u.c1 == 0 {
		return
	}
	var n trackerVec // N P z
	rp, npp := 0.0, 0.0
	for i := range trackerDim {
		rp += b.r[i] * u.pz[i]
		for j := range trackerDim {
			n[i] += b.n[i][j] * u.pz[j]
		}
	}
	for i := range trackerDim {
		npp += n[i] * u.pz[i]
	}
	for i := range trackerDim {
		b.r[i] += z[i] * (u.c1 - u.c2*rp)
		for j := range trackerDim {
			b.n[i][j] += u.c2*(u.c2*npp+1)*z[i]*z[j] - u.c2*(n[i]*z[j]+z[i]*n[j])
		}
	}
}

// logNormalCDF is the logarithm of the standard normal distribution function at
// x, its derivative (the inverse Mills ratio, density over distribution
// function) and minus its second derivative, which lies between 0 and 1.
func logNormalCDF(x float64) (ll, mills, bend float64) {
	if x > -25 {
		upper := 0.5 * math.Erfc(x/math.Sqrt2)
		p := 0.5 * math.Erfc(-x/math.Sqrt2)
		if p > 0.5 {
			ll = math.Log1p(-upper)
		} else {
			ll = math.Log(p)
		}
		mills = math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) / p
		return ll, mills, math.Min(math.Max(mills*(mills+x), 0), 1)
	}
	// Asymptotic series of the upper tail (Abramowitz and Stegun 26.2.12, from
	// memory), whose next term is below 1e-12 here. The difference mills+x is
	// taken from the series, not from rounded numbers.
	q := 1 / (x * x)
	rest := 1 - q*(3-q*(15-q*(105-q*945)))
	series := 1 - q*rest
	return -x*x/2 - math.Log(-x*math.Sqrt(2*math.Pi)) + math.Log(series), -x / series, math.Min(rest/(series*series), 1)
}

// centre is the prior mean and standard deviation of the level.
func (m *trackerModel) centre(obs []trackerObs) (mean, sd float64, ok bool) {
	if m.priorMax > 0 {
		return math.Log(m.priorMax), m.priorSD, true
	}
	for i := range obs {
		if obs[i].kind == TrackerMeasured {
			return obs[i].y, 1, true
		}
	}
	return 0, 0, false
}

// logLik is the log-likelihood of the sets at given variances.
func (m *trackerModel) logLik(obs []trackerObs, drift, noise, centre, sd float64) float64 {
	f := newTrackerFilter(m, drift, noise, centre, sd)
	sum := 0.0
	for i := range obs {
		o := &obs[i]
		f.step(o.days, o.extra, o.phi, o.newDay)
		u := f.update(o)
		sum += u.ll
	}
	return sum
}
