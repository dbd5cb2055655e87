package estimate

import (
	"fmt"
	"math"
)

// TrackerStatus says how a fit ended.
type TrackerStatus int

const (
	TrackerConverged TrackerStatus = iota // the search settled inside its bounds
	// TrackerAtBound: the likelihood still rises where a parameter meets the
	// edge of what is searched, often because the log is short or the maximum
	// hardly moved. The fit is usable; the parameter is only known to lie there or
	// beyond.
	TrackerAtBound
	TrackerLimit // the search was stopped before it had settled
)

func (s TrackerStatus) String() string {
	switch s {
	case TrackerConverged:
		return "converged"
	case TrackerAtBound:
		return "at a bound"
	case TrackerLimit:
		return "stopped at the limit of evaluations"
	}
	return fmt.Sprintf("TrackerStatus(%d)", int(s))
}

// Err is nil but for a search that had not settled.
func (s TrackerStatus) Err() error {
	if s == TrackerLimit {
		return fmt.Errorf("estimate: tracker fit: %v", s)
	}
	return nil
}

// TrackerFit is the outcome of FitTracker.
type TrackerFit struct {
	Options      TrackerOptions // those given, with Drift and Noise filled in: pass them to Track
	Drift, Noise float64
	LogLik       float64 // the largest log-likelihood
	Evaluations  int     // of the likelihood
	Status       TrackerStatus
	// DriftAtBound and NoiseAtBound say which parameter ended at an edge.
	DriftAtBound, NoiseAtBound bool
}

// What is searched: drift of 0.01 to 10 % a week, noise a quarter to four times
// the assumed.
var (
	trackerFitLow  = [2]float64{math.Log(1e-4), math.Log(0.25)}
	trackerFitHigh = [2]float64{math.Log(0.1), math.Log(4)}
)

const (
	trackerFitSets = 10 // measured sets that a fit needs
	trackerFitDays = 5  // days they must come from
	trackerFitMost = 2000
	trackerFitTol  = 1e-6 // of the logarithm of a parameter
)

// FitTracker estimates Drift and Noise by maximum likelihood, the other options
// as given (their Drift and Noise are not used), and reports how the search
// ended. It needs 10 sets that measure, from 5 days; with fewer the error is a
// *TooFewError, otherwise errors are those of Track. A few dozen sets barely tell
// drift from noise: with a short log the defaults are the better guess.
func FitTracker(sets []Set, opt TrackerOptions) (TrackerFit, error) {
	opt.Drift, opt.Noise = 0, 0
	m, err := opt.resolve()
	if err != nil {
		return TrackerFit{}, err
	}
	obs, mean, sd, err := m.prepare(sets)
	if err != nil {
		return TrackerFit{}, err
	}
	measured, days := 0, 0
	last := math.Inf(-1)
	for i := range obs {
		if obs[i].kind != TrackerMeasured {
			continue
		}
		measured++
		if d := math.Floor(sets[i].Day); d != last {
			days, last = days+1, d
		}
	}
	if measured < trackerFitSets {
		return TrackerFit{}, &TooFewError{What: "measured sets", Got: measured, Need: trackerFitSets}
	}
	if days < trackerFitDays {
		return TrackerFit{}, &TooFewError{What: "days with a measured set", Got: days, Need: trackerFitDays}
	}
	r := trackerMaximise(func(x [2]float64) float64 {
		return m.logLik(obs, math.Exp(x[0]), math.Exp(x[1]), mean, sd)
	}, trackerFitLow, trackerFitHigh)
	fit := TrackerFit{
		Options: opt, Drift: math.Exp(r.x[0]), Noise: math.Exp(r.x[1]), LogLik: r.f, Evaluations: r.evals,
		DriftAtBound: r.x[0] == trackerFitLow[0] || r.x[0] == trackerFitHigh[0],
		NoiseAtBound: r.x[1] == trackerFitLow[1] || r.x[1] == trackerFitHigh[1],
	}
	switch {
	case !r.settled:
		fit.Status = TrackerLimit
	case fit.DriftAtBound || fit.NoiseAtBound:
		fit.Status = TrackerAtBound
	}
	fit.Options.Drift, fit.Options.Noise = fit.Drift, fit.Noise
	return fit, nil
}

type trackerMaximum struct {
	x       [2]float64
	f       float64
	evals   int
	settled bool
}

// trackerMaximise finds the maximum of f in a box: a coarse grid, so that a
// second hump is not missed, then a search over the eight neighbours of the best
// point, which also give a parabola whose top is tried, with a step that shrinks
// when nothing is better. A box is respected exactly and derivatives are not
// needed.
func trackerMaximise(f func([2]float64) float64, low, high [2]float64) trackerMaximum {
	const gridA, gridB = 8, 6
	r := trackerMaximum{f: math.Inf(-1)}
	eval := func(x [2]float64) float64 {
		r.evals++
		return f(x)
	}
	clamp := func(x [2]float64) [2]float64 {
		for k := range x {
			x[k] = math.Min(math.Max(x[k], low[k]), high[k])
		}
		return x
	}
	for i := range gridA {
		for j := range gridB {
			x := [2]float64{
				low[0] + (high[0]-low[0])*float64(i)/(gridA-1),
				low[1] + (high[1]-low[1])*float64(j)/(gridB-1),
			}
			if v := eval(x); v > r.f {
				r.x, r.f = x, v
			}
		}
	}
	for h := 0.5; h > trackerFitTol; {
		if r.evals > trackerFitMost {
			return r
		}
		best, bestF := r.x, r.f
		var v [3][3]float64
		inside := true
		for i := -1; i <= 1; i++ {
			for j := -1; j <= 1; j++ {
				if i == 0 && j == 0 {
					v[1][1] = r.f
					continue
				}
				want := [2]float64{r.x[0] + float64(i)*h, r.x[1] + float64(j)*h}
				x := clamp(want)
				inside = inside && x == want
				if x == r.x {
					continue
				}
				y := eval(x)
				v[i+1][j+1] = y
				if y > bestF {
					best, bestF = x, y
				}
			}
		}
		if inside {
			// Gradient and second derivatives in units of h.
			ga, gb := (v[2][1]-v[0][1])/2, (v[1][2]-v[1][0])/2
			haa, hbb := v[2][1]-2*v[1][1]+v[0][1], v[1][2]-2*v[1][1]+v[1][0]
			hab := (v[2][2] - v[2][0] - v[0][2] + v[0][0]) / 4
			if det := haa*hbb - hab*hab; haa < 0 && det > 0 {
				da, db := (hab*gb-hbb*ga)/det, (hab*ga-haa*gb)/det
				x := clamp([2]float64{r.x[0] + h*da, r.x[1] + h*db})
				if y := eval(x); y > bestF {
					best, bestF = x, y
				}
			}
		}
		if bestF > r.f+1e-13*math.Abs(r.f) {
			moved := math.Max(math.Abs(best[0]-r.x[0]), math.Abs(best[1]-r.x[1]))
			r.x, r.f = best, bestF
			if moved >= h {
				h = math.Min(2*h, 0.5) // along a ridge steps grow again
				continue
			}
		}
		h /= 4
	}
	r.settled = true
	return r
}
