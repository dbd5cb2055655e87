package response

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Profile is the interval of a parameter by profile likelihood: the values at
// which the best fit of all other parameters is not significantly worse. It
// need not be symmetric, and an end can be open.
type Profile struct {
	Name      string
	Level     float64 // coverage, such as 0.95
	Low, High float64 // ends of the interval, in the unit of the parameter
	// Open ends: the range of the search ends before the interval does, or the
	// time constants have run together there and only MinRatio holds them apart.
	LowOpen, HighOpen bool
	Better            float64 // sum of squares of a better fit found on the way; 0 where none was
}

// Profile works out the interval of a parameter at a coverage between 0 and 1:
// the values whose least sum of squares stays below RSS (1 + F/DF), F the
// quantile of the F distribution with 1 and DF degrees of freedom (Bates and
// Watts 1988, from memory). It returns a *FieldError for an unknown name or a
// coverage out of range, and for a fit that [FitModel] did not make, such as one read back from JSON.
func (f *Fit) Profile(name string, level float64) (Profile, error) {
	if !(level > 0 && level < 1) {
		return Profile{}, &FieldError{Field: "level", Value: level, Want: "between 0 and 1"}
	}
	if err := f.made(); err != nil {
		return Profile{}, err
	}
	at := -1
	for i, p := range f.Params {
		if p.Name == name {
			at = i
		}
	}
	if at < 0 {
		return Profile{}, &FieldError{Field: "name", Want: "a parameter of the fit, not " + name}
	}
	par := f.Params[at]
	out := Profile{Name: name, Level: level, Low: par.Value, High: par.Value}
	t := studentQuantile(float64(f.DF), 0.5+level/2)
	target := f.RSS * (1 + t*t/float64(f.DF))
	if !(target > f.RSS) { // a perfect fit: the interval is the value
		return out, nil
	}
	o := f.options
	nc := o.Model.coefs()
	lo, hi := par.Low, par.High
	switch {
	case at == 0:
		// The level's bounds keep a fit in reason; its interval may pass them.
		lo, hi = math.Inf(-1), math.Inf(1)
	case at < nc:
		lo, hi = 0, maxGain
	}
	for _, dir := range []float64{-1, 1} {
		s := newSearch(&o, f.load, f.Tests, f.bounds)
		if at != 0 {
			s.d.coefLo[0], s.d.coefHi[0] = math.Inf(-1), math.Inf(1)
		}
		var theta [maxTheta]float64
		for j := range s.d.nTheta {
			theta[j] = f.Params[nc+j].Value
		}
		from := theta
		tied := false // at the last value within the interval
		rss := func(v float64) float64 {
			if at < nc {
				s.d.coefLo[at], s.d.coefHi[at] = v, v
			} else {
				s.lo[at-nc], s.hi[at-nc] = v, v
				from[at-nc] = v
			}
			p := s.polish(from)
			// The last solution is a good start for the next value; the fit's own
			// is the other candidate, since a path can lead astray.
			other := theta
			if at >= nc {
				other[at-nc] = v
			}
			if q := s.polish(other); q.rss < p.rss {
				p = q
			}
			if !math.IsInf(p.rss, 1) {
				from = p.theta
			}
			if p.rss <= target {
				tied = p.atRatio
			}
			if p.rss < f.RSS*(1-1e-6) && (out.Better == 0 || p.rss < out.Better) {
				out.Better = p.rss
			}
			return p.rss
		}
		end, open := bracket(par, dir, lo, hi, target, rss)
		open = open || tied
		if dir < 0 {
			out.Low, out.LowOpen = end, open
		} else {
			out.High, out.HighOpen = end, open
		}
	}
	return out, nil
}

// bracket walks outwards in growing steps until the sum of squares passes the
// target, then bisects. At the end of the range the interval is open.
func bracket(p Param, dir, lo, hi, target float64, rss func(float64) float64) (end float64, open bool) {
	step := p.SE
	if !p.KnownSE || step == 0 {
		step = 0.05 * math.Abs(p.Value)
	}
	if step == 0 {
		step = 1e-6
	}
	in, limit := p.Value, hi
	if dir < 0 {
		limit = lo
	}
	var out float64
	for i := 0; ; i++ {
		v := in + dir*step
		if (dir < 0 && v <= limit) || (dir > 0 && v >= limit) {
			v = limit
		}
		if v == in {
			return in, true
		}
		if rss(v) > target {
			out = v
			break
		}
		if v == limit || i == 30 {
			return v, true
		}
		in = v
		step *= 1.6
	}
	for range 60 {
		if math.Abs(out-in) <= 1e-6*math.Max(math.Abs(in), math.Abs(out)) {
			break
		}
		mid := (in + out) / 2
		if rss(mid) > target {
			out = mid
		} else {
			in = mid
		}
	}
	return (in + out) / 2, false
}

func studentQuantile(df, p float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(p)
}
