package logbook

import (
	"fmt"
	"math"
	"slices"

	"github.com/blockwright/blockwright/estimate"
)

// Refit is the coefficients of a form of equation fitted to the log, by least
// squares of the same errors that RMSE measures, so that heavy lifts count for more.
type Refit struct {
	Formula  string    // the maximum, w the load, n the repetitions done and left
	Families []string  // published families of that form
	Names    []string  // of the coefficients
	Values   []float64 // of the coefficients, in the order of Names
	RMSE     float64   // of the pairs that it was fitted to
	// Validated is the RMSE of lifters that took no part in the fit: the lifters are dealt to
	// folds at random, and each fold is predicted from the others.
	Validated float64
	// Against is the compared method of the smallest RMSE, and Gain that RMSE less
	// Validated, with its percentile interval over resampled lifters: above 0, the form fitted to
	// these lifters serves others like them better than the best of the methods did, chosen with hindsight.
	Against string
	Gain    float64
	GainIn  *estimate.Interval
	Why     string // why there is no fit; "" where there is
}

// form is a shape of equation.
type form struct {
	formula  string
	families []string
	names    []string
	start    []float64 // in internal coefficients
	factor   func(p []float64, n float64) float64
	print    func(p []float64) []float64
}

func same(p []float64) []float64 { return slices.Clone(p) }

// The forms of the published families. The starts are the published coefficients of a member.
var forms = []form{
	{"w*(1+b*n)", []string{"epley", "oconner"}, []string{"b"}, []float64{1.0 / 30},
		func(p []float64, n float64) float64 { return 1 + p[0]*n }, same},
	{"w*(a+b*n)", []string{"brown"}, []string{"a", "b"}, []float64{0.9849, 0.0328},
		func(p []float64, n float64) float64 { return p[0] + p[1]*n }, same},
	{"w*(c-1)/(c-n)", []string{"brzycki"}, []string{"c"}, []float64{1.0 / 36},
		func(p []float64, n float64) float64 { return 1 / (1 - p[0]*(n-1)) },
		func(p []float64) []float64 { return []float64{1 + 1/p[0]} }},
	{"w/(1-b*n)", []string{"adams"}, []string{"b"}, []float64{0.02},
		func(p []float64, n float64) float64 { return 1 / (1 - p[0]*n) }, same},
	{"w/(a-b*n)", []string{"brzycki"}, []string{"a", "b"}, []float64{1.013, 0.0267123},
		func(p []float64, n float64) float64 { return 1 / (p[0] - p[1]*n) }, same},
	{"w*n^a", []string{"lombardi"}, []string{"a"}, []float64{0.10},
		func(p []float64, n float64) float64 { return math.Pow(n, p[0]) }, same},
	{"w/(a+b*exp(-c*n))", []string{"mayhew", "wathen", "reynolds chest press", "reynolds leg press"}, []string{"a", "b", "c"},
		[]float64{math.Log(0.488), math.Log(0.538), math.Log(0.075)},
		func(p []float64, n float64) float64 {
			return 1 / (math.Exp(p[0]) + math.Exp(p[1])*math.Exp(-math.Exp(p[2])*n))
		},
		func(p []float64) []float64 { return []float64{math.Exp(p[0]), math.Exp(p[1]), math.Exp(p[2])} }},
	// In tens of repetitions, so that the coefficients are of one size.
	{"w*(a+b*n+c*n^2+d*n^3)", []string{"kemmler"}, []string{"a", "b", "c", "d"}, []float64{0.988, 0.104, 0.19, -0.0584},
		func(p []float64, n float64) float64 { n /= 10; return p[0] + n*(p[1]+n*(p[2]+n*p[3])) },
		func(p []float64) []float64 { return []float64{p[0], p[1] / 10, p[2] / 100, p[3] / 1000} }},
}

// points is what a fit needs of pairs: for each number of repetitions the sums of
// load^2 and of load times test, and the sum of test^2 over all. The sum of squared errors of a factor F
// is S ww F^2 - 2 S wt F + S tt.
type points struct {
	bins []float64 // S ww and S wt in turn
	tt   float64
}

func (a *points) add(o points, sign float64) {
	for i, v := range o.bins {
		a.bins[i] += sign * v
	}
	a.tt += sign * o.tt
}

func (a *points) clone() points { return points{slices.Clone(a.bins), a.tt} }

func repetitions(bin int) float64 { return 1 + float64(bin)/2 }

// distinct is how many different repetitions there are.
func (a *points) distinct() int {
	n := 0
	for i := 0; i < len(a.bins); i += 2 {
		if a.bins[i] > 1e-9 {
			n++
		}
	}
	return n
}

// sse is the sum of squared errors of a form. Its minimum over all factors is taken off
// first, so that what is left is what the form can be blamed for: excess.
func (a *points) excess(f *form, p []float64) float64 {
	sum := 0.0
	for i := 0; i < len(a.bins); i += 2 {
		ww := a.bins[i]
		if ww <= 1e-9 {
			continue
		}
		v := f.factor(p, repetitions(i/2))
		if !(v > 0 && v < 1e3) {
			return math.Inf(1)
		}
		d := v - a.bins[i+1]/ww
		sum += ww * d * d
	}
	return sum
}

// floor is the sum of squared errors of the best factor for each number of repetitions.
func (a *points) floor() float64 {
	sum := a.tt
	for i := 0; i < len(a.bins); i += 2 {
		if ww := a.bins[i]; ww > 1e-9 {
			sum -= a.bins[i+1] / ww * a.bins[i+1]
		}
	}
	return math.Max(sum, 0)
}

// sse is the sum of squared errors of a form on points that it need not have been fitted to.
func (a *points) sse(f *form, p []float64) float64 { return a.floor() + a.excess(f, p) }

// fit minimises the excess by the method of Levenberg and Marquardt. ok is false where it did not settle.
func (a *points) fit(f *form, start []float64) (p []float64, ok bool) {
	k := len(start)
	p = slices.Clone(start)
	best := a.excess(f, p)
	if math.IsInf(best, 1) {
		return p, false
	}
	lambda := 1e-3
	jac := make([]float64, k)
	h := make([]float64, k*k)
	g := make([]float64, k)
	for range 500 {
		clear(h)
		clear(g)
		for i := 0; i < len(a.bins); i += 2 {
			ww := a.bins[i]
			if ww <= 1e-9 {
				continue
			}
			n := repetitions(i / 2)
			d := f.factor(p, n) - a.bins[i+1]/ww
			for j := range p {
				step := 1e-5 * math.Max(math.Abs(p[j]), 1e-3)
				was := p[j]
				p[j] = was + step
				up := f.factor(p, n)
				p[j] = was - step
				jac[j] = (up - f.factor(p, n)) / (2 * step)
				p[j] = was
			}
			for j := range p {
				g[j] += ww * jac[j] * d
				for l := range p {
					h[j*k+l] += ww * jac[j] * jac[l]
				}
			}
		}
		settled := false
		for ; lambda < 1e12; lambda *= 8 {
			step, solved := solveDamped(h, g, lambda)
			if !solved {
				continue
			}
			q := slices.Clone(p)
			size := 0.0
			for j := range q {
				q[j] -= step[j]
				size = math.Max(size, math.Abs(step[j])/math.Max(math.Abs(q[j]), 1e-3))
			}
			v := a.excess(f, q)
			if v <= best {
				settled = size < 1e-10
				p, best = q, v
				lambda = math.Max(lambda/20, 1e-12)
				break
			}
			if size < 1e-12 {
				return p, true
			}
		}
		if settled {
			return p, true
		}
		if lambda >= 1e12 {
			return p, true // no step makes it better
		}
	}
	return p, false
}

// solveDamped solves (h + lambda diag h) x = g by Cholesky's method.
func solveDamped(h, g []float64, lambda float64) ([]float64, bool) {
	k := len(g)
	l := make([]float64, k*k)
	for i := range k {
		for j := range i + 1 {
			v := h[i*k+j]
			if i == j {
				v += lambda*v + 1e-300
			}
			for m := range j {
				v -= l[i*k+m] * l[j*k+m]
			}
			if i == j {
				if !(v > 0) {
					return nil, false
				}
				l[i*k+i] = math.Sqrt(v)
			} else {
				l[i*k+j] = v / l[j*k+j]
			}
		}
	}
	x := slices.Clone(g)
	for i := range k {
		for m := range i {
			x[i] -= l[i*k+m] * x[m]
		}
		x[i] /= l[i*k+i]
	}
	for i := k - 1; i >= 0; i-- {
		for m := i + 1; m < k; m++ {
			x[i] -= l[m*k+i] * x[m]
		}
		x[i] /= l[i*k+i]
	}
	return x, true
}

// refits fits every form.
func (s *summary) refits(people []int, all *Group) []Refit {
	c := s.c
	if len(people) == 0 {
		return nil
	}
	k := c.opt.k
	best := 0
	for j := range all.Methods {
		if less(all.Methods[j].RMSE, all.Methods[best].RMSE) {
			best = j
		}
	}
	byLifter := make([]points, len(people))
	published := make([]float64, len(people)) // squared errors of the best method
	pairs := make([]float64, len(people))
	total := points{bins: make([]float64, 2*c.opt.rows())}
	n := cellLen(k)
	for i, id := range people {
		p := c.people[id]
		byLifter[i].bins = p.bins
		for b := range c.opt.bands {
			cell := p.bands[b*n : (b+1)*n]
			byLifter[i].tt += cell[cellTT] + cell[cellC]*(2*cell[cellT]+cell[cellN]*cell[cellC])
			pairs[i] += cell[cellN]
			published[i] += cell[cellHead+cellPer*best+ofDD]
		}
		total.add(byLifter[i], 1)
	}
	folds := min(s.opt.Folds, len(people))
	fold := deal(len(people), folds, s.opt.Seed)
	out := make([]Refit, len(forms))
	for i := range forms {
		f := &forms[i]
		r := &out[i]
		*r = Refit{Formula: f.formula, Families: f.families, Names: f.names, Against: all.Methods[best].ID}
		if d := total.distinct(); d < len(f.start)+1 {
			r.Why = fmt.Sprintf("%d coefficients cannot be told from sets of %d different repetitions", len(f.start), d)
			continue
		}
		if len(people) < 3 {
			r.Why = "fewer than three lifters: nothing to validate on"
			continue
		}
		p, ok := total.fit(f, f.start)
		if !ok {
			r.Why = "the fit did not settle"
			continue
		}
		r.Values = f.print(p)
		r.RMSE = math.Sqrt(total.sse(f, p) / float64(all.Pairs))
		sums := make([]float64, 3*len(people))
		for x := range folds {
			train := total.clone()
			for i := range people {
				if fold[i] == x {
					train.add(byLifter[i], -1)
				}
			}
			q, ok := train.fit(f, p)
			if !ok || train.distinct() < len(f.start)+1 {
				r.Why = "the fit without some of the lifters did not settle"
				break
			}
			for i := range people {
				if fold[i] != x {
					continue
				}
				sums[3*i], sums[3*i+1] = pairs[i], byLifter[i].sse(f, q)
				sums[3*i+2] = published[i]
			}
		}
		if r.Why != "" {
			r.Values, r.RMSE = nil, 0
			continue
		}
		var sse float64
		for i := range people {
			sse += sums[3*i+1]
		}
		if math.IsInf(sse, 1) {
			r.Why, r.Values, r.RMSE = "the form has no answer for repetitions of lifters that took no part in the fit", nil, 0
			continue
		}
		r.Validated = math.Sqrt(sse / float64(all.Pairs))
		r.Gain = all.Methods[best].RMSE - r.Validated
		if s.opt.Resamples > 0 {
			z := Resample(sums, 3, s.opt.Resamples, s.opt.Seed, s.opt.Workers)
			v := make([]float64, len(z)/3)
			for i := range v {
				v[i] = math.Sqrt(z[3*i+2]/z[3*i]) - math.Sqrt(z[3*i+1]/z[3*i])
			}
			r.GainIn = s.percentiles(v)
		}
	}
	return out
}

// deal deals n lifters to folds of nearly one size, by a shuffle of its own stream.
func deal(n, folds int, seed uint64) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i % folds
	}
	s := newStream(seed, mostResamples)
	for i := n - 1; i > 0; i-- {
		// The remainder favours small numbers by less than n/2^64.
		j := int(s.next() % uint64(i+1))
		out[i], out[j] = out[j], out[i]
	}
	return out
}
