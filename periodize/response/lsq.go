package response

import "math"

// lsqProblem is a nonlinear least-squares problem with bounds: minimise the sum
// of squares of m residuals over n parameters.
type lsqProblem struct {
	n, m   int
	lo, hi []float64 // bounds; nil for none
	// residuals fills r at x.
	residuals func(x, r []float64)
	// jacobian fills the derivatives at x, one column after the other:
	// jac[j*m+i] is that of residual i by parameter j. It is called after
	// residuals at the same x. nil for central differences.
	jacobian func(x, jac []float64)
}

// lsqStatus says how a minimisation ended.
type lsqStatus int

const (
	lsqConverged  lsqStatus = iota // no step or gradient is left
	lsqStalled                     // no step lowers the sum of squares, the gradient is not yet nothing
	lsqIterations                  // the limit of iterations
	lsqNotFinite                   // the start has no finite residuals
)

type lsqResult struct {
	x          []float64
	rss        float64
	iterations int
	calls      int // of residuals
	status     lsqStatus
}

// lsq is Levenberg and Marquardt's method (Levenberg 1944, Marquardt 1963; from
// memory) with More's scaling by the largest column norms seen, Nielsen's
// update of the damping, and bounds by projection: a parameter at a bound that
// the gradient pushes outwards is held, other steps are cut at the bounds.
// Systems are solved by Householder triangularisation of the Jacobian, never by
// normal equations, since differences of exponentials are ill conditioned.
//
// A workspace is used again from one minimisation to the next; it allocates
// only to grow.
type lsq struct {
	x, trial, step, grad, scale, norm []float64
	r, rTrial, qr, jac                []float64
	tri, rhs                          []float64
	held                              []bool
	maxIter                           int     // 0 for 2000
	damping                           float64 // at the start; 0 for 1e-3
	tol                               float64 // relative change of the sum of squares that ends it; 0 for lsqTol
}

const (
	lsqTol     = 1e-14
	lsqRestart = 50    // iterations after which scale and damping start afresh
	lsqOffset  = 1e-12 // square of the relative offset below which a minimum is one
	lsqAgain   = 4     // fresh starts where small steps end at a larger offset
)

func grow(s *[]float64, n int) []float64 {
	if cap(*s) < n {
		*s = make([]float64, n)
	}
	*s = (*s)[:n]
	return *s
}

func (w *lsq) minimize(p *lsqProblem, x0 []float64) lsqResult {
	n, m := p.n, p.m
	x, trial, step := grow(&w.x, n), grow(&w.trial, n), grow(&w.step, n)
	grad, scale, norm := grow(&w.grad, n), grow(&w.scale, n), grow(&w.norm, n)
	r, rTrial := grow(&w.r, m), grow(&w.rTrial, m)
	jac, qr := grow(&w.jac, n*m), grow(&w.qr, n*m+m)
	if cap(w.held) < n {
		w.held = make([]bool, n)
	}
	held := w.held[:n]
	copy(x, x0)
	p.clip(x)
	clear(scale)

	res := lsqResult{}
	p.residuals(x, r)
	res.calls++
	rss := sumSquares(r)
	if math.IsNaN(rss) || math.IsInf(rss, 0) {
		return lsqResult{x: x, rss: rss, status: lsqNotFinite, calls: 1}
	}
	maxIter := w.maxIter
	if maxIter == 0 {
		maxIter = 2000
	}
	tol := w.tol
	if tol == 0 {
		tol = lsqTol
	}
	lambda, nu := w.damping, 2.0
	if lambda == 0 {
		lambda = 1e-3
	}
	restart := lsqRestart
	fresh := true // the Jacobian has to be worked out
	small := 0    // successive steps that changed next to nothing
	// offset is how much of the sum of squares an undamped step would remove by
	// the linear model (the square of Bates and Watts's relative offset; from
	// memory). Small steps prove nothing while it is large: the damping may only
	// be too strong. again then starts scale and damping afresh.
	offset, agains := 0.0, 0
	again := func() bool {
		if offset < lsqOffset || agains == lsqAgain {
			return false
		}
		agains++
		small = 0
		for j := range n {
			if norm[j] > 0 {
				scale[j] = norm[j]
			}
		}
		lambda, nu = math.Pow(10, float64(-3*agains)), 2
		return true
	}
	res.status = lsqIterations
	for res.iterations = 0; res.iterations < maxIter; res.iterations++ {
		if fresh {
			p.derivatives(w, x, r, jac, &res.calls)
			flat := true
			rn := math.Sqrt(rss)
			for j := range n {
				col := jac[j*m : (j+1)*m]
				norm[j] = math.Sqrt(sumSquares(col))
				grad[j] = dot(col, r)
				held[j] = p.lo != nil && ((x[j] <= p.lo[j] && grad[j] >= 0) || (x[j] >= p.hi[j] && grad[j] <= 0))
				if !held[j] && math.Abs(grad[j]) > lsqTol*norm[j]*rn {
					flat = false
				}
				scale[j] = max(scale[j], norm[j])
			}
			if res.iterations >= restart {
				// A scale that remembers a far start crawls along a valley: forget it.
				copy(scale, norm)
				lambda, nu = 1e-3, 2
				restart = res.iterations + lsqRestart
			}
			if flat {
				res.status = lsqConverged
				break
			}
			// Held columns count as zero: their step comes out as zero.
			k := 0
			for j := range n {
				if held[j] {
					continue
				}
				copy(qr[k*m:(k+1)*m], jac[j*m:(j+1)*m])
				k++
			}
			copy(qr[k*m:(k+1)*m], r)
			triangulate(qr, m, k, k+1)
			offset = sumSquares(qr[k*m:k*m+min(k, m)]) / rss
			fresh = false
		}
		if !w.solve(qr, m, n, lambda, held, scale, step) {
			lambda *= nu
			nu *= 2
			continue
		}
		moved := 0.0
		for j := range n {
			trial[j] = x[j] + step[j]
		}
		p.clip(trial)
		for j := range n {
			step[j] = trial[j] - x[j]
			moved = max(moved, math.Abs(step[j])/(math.Abs(x[j])+1e-300))
		}
		// What the linear model says of the step as it is, cut at the bounds.
		copy(rTrial, r)
		for j := range n {
			if c := step[j]; c != 0 {
				for i, v := range jac[j*m : (j+1)*m] {
					rTrial[i] += float64(c * v)
				}
			}
		}
		predicted := rss - sumSquares(rTrial)
		p.residuals(trial, rTrial)
		res.calls++
		rssTrial := sumSquares(rTrial)
		gain := rss - rssTrial
		if moved == 0 || (predicted <= tol*rss && math.Abs(gain) <= tol*rss) || moved < 1e-15 {
			// Steps this small are beyond the arithmetic.
			if gain > 0 {
				copy(x, trial)
				copy(r, rTrial)
				rss = rssTrial
				fresh = true
			}
			if again() {
				continue
			}
			res.status = lsqConverged
			break
		}
		if gain > 0 && predicted > 0 { // false for a NaN
			copy(x, trial)
			copy(r, rTrial)
			t := 2*gain/predicted - 1
			lambda *= max(1.0/3, 1-t*t*t)
			lambda = max(lambda, 1e-20)
			nu = 2
			fresh = true
			if gain <= 1e-13*rss && moved < 1e-9 {
				small++
			} else {
				small = 0
			}
			rss = rssTrial
			if rss == 0 || (small >= 3 && !again()) {
				res.status = lsqConverged
				break
			}
			continue
		}
		lambda *= nu
		nu *= 2
		if lambda > 1e30 {
			if again() {
				continue
			}
			res.status = lsqStalled
			break
		}
	}
	res.x, res.rss = x, rss
	return res
}

// search minimises from one start twice, with a bold first step and with a
// timid one, and returns the better: a bold step can land on a plateau from
// which nothing leads back.
func (w *lsq) search(p *lsqProblem, x0 []float64) lsqResult {
	defer func(d float64) { w.damping = d }(w.damping)
	w.damping = 0
	bold := w.minimize(p, x0)
	bold.x = append([]float64(nil), bold.x...)
	w.damping = 100
	timid := w.minimize(p, x0)
	best := bold
	if bold.status == lsqNotFinite || timid.rss < bold.rss*(1-1e-9) { // a mirror image is not better
		best = timid
		best.x = append([]float64(nil), timid.x...)
	}
	best.calls = bold.calls + timid.calls
	best.iterations = bold.iterations + timid.iterations
	return best
}

func (p *lsqProblem) clip(x []float64) {
	if p.lo == nil {
		return
	}
	for j := range x {
		x[j] = min(max(x[j], p.lo[j]), p.hi[j])
	}
}

// derivatives fills jac at x, by central differences where there is no formula.
func (p *lsqProblem) derivatives(w *lsq, x, r, jac []float64, calls *int) {
	if p.jacobian != nil {
		p.jacobian(x, jac)
		return
	}
	for j := range p.n {
		h := 6e-6 * math.Abs(x[j]) // cube root of the unit roundoff
		if h == 0 {
			h = 6e-6
		}
		keep := x[j]
		up, down := keep+h, keep-h
		if p.lo != nil {
			up, down = min(up, p.hi[j]), max(down, p.lo[j])
		}
		col := jac[j*p.m : (j+1)*p.m]
		x[j] = up
		p.residuals(x, w.rTrial)
		copy(col, w.rTrial)
		x[j] = down
		p.residuals(x, w.rTrial)
		x[j] = keep
		*calls += 2
		for i := range col {
			if up > down {
				col[i] = (col[i] - w.rTrial[i]) / (up - down)
			}
			if math.IsNaN(col[i]) || math.IsInf(col[i], 0) {
				col[i] = 0
			}
		}
	}
}

// triangulate turns the first k of all columns of m rows into R, and the columns
// after them into Q' of themselves, by Householder reflections, in place.
func triangulate(a []float64, m, k, all int) {
	for c := 0; c < min(k, m); c++ {
		col := a[c*m : (c+1)*m]
		alpha := math.Sqrt(sumSquares(col[c:]))
		if alpha == 0 {
			continue
		}
		if col[c] > 0 {
			alpha = -alpha
		}
		v0 := col[c] - alpha
		// v = (v0, col[c+1:]); beta = 2/|v|^2 = -1/(alpha v0).
		beta := -1 / (alpha * v0)
		for d := c + 1; d < all; d++ {
			other := a[d*m : (d+1)*m]
			s := beta * (float64(v0*other[c]) + dot(col[c+1:], other[c+1:]))
			other[c] -= s * v0
			for i := c + 1; i < m; i++ {
				other[i] -= s * col[i]
			}
		}
		col[c] = alpha
		for i := c + 1; i < m; i++ {
			col[i] = 0
		}
	}
}

// solve finds the damped step from the triangle: the least-squares solution of
// [R; sqrt(lambda) D] s = [-Q'r; 0]. It is false where the system is singular.
func (w *lsq) solve(qr []float64, m, n int, lambda float64, held []bool, scale, step []float64) bool {
	k := 0
	for _, h := range held {
		if !h {
			k++
		}
	}
	rows := 2 * k
	a := grow(&w.tri, (k+1)*rows)
	clear(a)
	c := 0
	for j := range n {
		if held[j] {
			continue
		}
		for i := 0; i <= min(c, m-1); i++ {
			a[c*rows+i] = qr[c*m+i]
		}
		d := scale[j]
		if d == 0 {
			d = 1
		}
		a[c*rows+k+c] = math.Sqrt(lambda) * d
		c++
	}
	for i := 0; i < min(k, m); i++ {
		a[k*rows+i] = -qr[k*m+i]
	}
	triangulate(a, rows, k, k+1)
	z := grow(&w.rhs, k)
	for i := k - 1; i >= 0; i-- {
		s := a[k*rows+i]
		for j := i + 1; j < k; j++ {
			s -= a[j*rows+i] * z[j]
		}
		if a[i*rows+i] == 0 {
			return false
		}
		z[i] = s / a[i*rows+i]
		if math.IsNaN(z[i]) || math.IsInf(z[i], 0) {
			return false
		}
	}
	c = 0
	for j := range n {
		step[j] = 0
		if !held[j] {
			step[j] = z[c]
			c++
		}
	}
	return true
}

// inverseGram is (A'A)^-1 of k columns of m rows, by triangulation of the
// columns scaled to unit length; ok is false where they are dependent to
// working accuracy. It is stored row by row, k by k. A is destroyed.
func inverseGram(a []float64, m, k int) (inv []float64, ok bool) {
	norm := make([]float64, k)
	for j := range k {
		col := a[j*m : (j+1)*m]
		norm[j] = math.Sqrt(sumSquares(col))
		if norm[j] == 0 || math.IsInf(norm[j], 0) || math.IsNaN(norm[j]) {
			return nil, false
		}
		inv := 1 / norm[j]
		for i := range col {
			col[i] *= inv
		}
	}
	triangulate(a, m, k, k)
	// R^-1 by back substitution, column by column.
	ri := make([]float64, k*k)
	for c := range k {
		for i := c; i >= 0; i-- {
			s := 0.0
			if i == c {
				s = 1
			}
			for j := i + 1; j <= c; j++ {
				s -= a[j*m+i] * ri[j*k+c]
			}
			d := a[i*m+i]
			if math.Abs(d) < 1e-12 {
				return nil, false
			}
			ri[i*k+c] = s / d
		}
	}
	inv = make([]float64, k*k)
	for i := range k {
		for j := range k {
			s := 0.0
			for l := max(i, j); l < k; l++ {
				s += ri[i*k+l] * ri[j*k+l]
			}
			inv[i*k+j] = s / norm[i] / norm[j]
		}
	}
	return inv, true
}

func sumSquares(x []float64) float64 { return dot(x, x) }

// dot is the inner product in four interleaved sums, which the processor can
// add side by side; the order is fixed, so that results are reproducible.
func dot(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float64
	i := 0
	for ; i+4 <= len(a); i += 4 {
		s0 += float64(a[i] * b[i])
		s1 += float64(a[i+1] * b[i+1])
		s2 += float64(a[i+2] * b[i+2])
		s3 += float64(a[i+3] * b[i+3])
	}
	for ; i < len(a); i++ {
		s0 += float64(a[i] * b[i])
	}
	return (s0 + s1) + (s2 + s3)
}
