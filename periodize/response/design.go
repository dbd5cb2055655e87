package response

import "math"

// design is a fitting problem cut in two: for given time constants (theta) the
// model is linear in level and gains (coef), so these are solved for, and only
// theta is searched (variable projection, Golub and Pereyra 1973, from memory).
//
// Columns are those that coef multiplies: ones, fitness, and minus fatigue, at
// the days of the tests.
type design struct {
	kind    Kind
	conv    Convention
	load    []float64 // up to the day of the last test
	day     []int     // of each test, from 0, rising
	y       []float64
	initial Initial

	nTheta, nCoef  int
	cols           [3][]float64
	dcols          [3][maxTheta][]float64 // derivative of a column by theta
	q              [3][]float64           // orthonormal basis of the free columns
	free           [3]bool
	coef           [3]float64
	coefLo, coefHi [3]float64
	work           []float64
}

// maxTheta: three time constants and the daily load before day 1.
const maxTheta = 4

func newDesign(kind Kind, conv Convention, load []float64, tests []Test, initial Initial) *design {
	d := &design{kind: kind, conv: conv, initial: initial}
	m := len(tests)
	d.day, d.y = make([]int, m), make([]float64, m)
	for i, t := range tests {
		d.day[i], d.y[i] = t.Day-1, t.Performance
	}
	d.load = load[:tests[m-1].Day]
	d.nTheta, d.nCoef = kind.taus(), kind.coefs()
	if initial.Kind == FittedStart && kind != Constant {
		d.nTheta++
	}
	slices := []*[]float64{&d.work}
	for l := range d.nCoef {
		slices = append(slices, &d.cols[l], &d.q[l])
		for j := range d.nTheta {
			if d.depends(l, j) {
				slices = append(slices, &d.dcols[l][j])
			}
		}
	}
	block := make([]float64, m*len(slices))
	for i, s := range slices {
		*s = block[i*m : (i+1)*m : (i+1)*m]
	}
	for i := range d.cols[0] {
		d.cols[0][i] = 1
	}
	for l := range 3 {
		d.coefLo[l], d.coefHi[l] = 0, maxGain
	}
	d.coefLo[0], d.coefHi[0] = math.Inf(-1), math.Inf(1)
	return d
}

// prior is the daily load before day 1 at theta, and the index of theta that
// gives it, -1 where it is not fitted.
func (d *design) prior(theta []float64) (u float64, index int) {
	switch d.initial.Kind {
	case SteadyStart:
		return d.initial.Daily, -1
	case FittedStart:
		return theta[d.nTheta-1], d.nTheta - 1
	}
	return 0, -1
}

// powers are what a time constant gives: the decay over a day, its derivative,
// the sum of all decays 1/(1-d) and its derivative.
type powers struct{ d, dd, a, da float64 }

func newPowers(tau float64) powers {
	d := math.Exp(-1 / tau)
	dd := d / (tau * tau)
	a := 1 / -math.Expm1(-1/tau)
	return powers{d, dd, a, dd * a * a}
}

// fill works out the columns at theta and their derivatives.
func (d *design) fill(theta []float64) {
	switch d.kind {
	case One, Two:
		d.fillExponentials(theta)
	case Variable:
		d.fillVariable(theta)
	}
}

func (d *design) fillExponentials(theta []float64) {
	u, ui := d.prior(theta)
	p := newPowers(theta[0])
	r := p
	if d.kind == Two {
		r = newPowers(theta[1])
	}
	g, dg := u*p.a, u*p.da
	h, dh := u*r.a, u*r.da
	same := 0.0
	if d.conv == SameDay {
		same = 1
	}
	gs, dgs := d.cols[1], d.dcols[1][0]
	var hs, dhs []float64
	if d.kind == Two {
		hs, dhs = d.cols[2], d.dcols[2][1]
	}
	p1, dp1, r1, dr1 := p.d, p.dd, r.d, r.dd
	next := 0
	for k, day := range d.day {
		// All days before the test's, then the test's own, whose value is kept;
		// a second test on the same day repeats it.
		if k > 0 && day == d.day[k-1] {
			gs[k], dgs[k] = gs[k-1], dgs[k-1]
			if hs != nil {
				hs[k], dhs[k] = hs[k-1], dhs[k-1]
			}
			continue
		}
		for _, w := range d.load[next:day] {
			g, dg = float64(g*p1)+w, float64(dg*p1)+float64(g*dp1)
			h, dh = float64(h*r1)+w, float64(dh*r1)+float64(h*dr1)
		}
		w := d.load[day]
		x, dx := g*p1, float64(dg*p1)+float64(g*dp1)
		y, dy := h*r1, float64(dh*r1)+float64(h*dr1)
		g, dg, h, dh = x+w, dx, y+w, dy
		next = day + 1
		gs[k], dgs[k] = x+float64(same*w), dx
		if hs != nil {
			hs[k], dhs[k] = -y-float64(same*w), -dy
		}
	}
	if ui < 0 {
		return
	}
	for k, day := range d.day {
		n := float64(day + 1)
		d.dcols[1][ui][k] = p.a * math.Exp(-n/theta[0])
		if d.kind == Two {
			d.dcols[2][ui][k] = -r.a * math.Exp(-n/theta[1])
		}
	}
}

func (d *design) fillVariable(theta []float64) {
	u, ui := d.prior(theta)
	p, r, s := newPowers(theta[0]), newPowers(theta[1]), newPowers(theta[2])
	g, dg := u*p.a, u*p.da
	c, dc, uc := u*s.a, u*s.da, s.a                        // recent load; by tau3; by u
	h, dh2, dh3 := u*u*s.a*r.a, u*u*s.a*r.da, u*u*s.da*r.a // fatigue; by tau2; by tau3
	uh := 2 * u * s.a * r.a                                // fatigue by u
	ug := p.a                                              // fitness by u
	same := d.conv == SameDay
	next := 0
	for k, day := range d.day {
		if k > 0 && day == d.day[k-1] {
			for _, col := range [][]float64{d.cols[1], d.cols[2], d.dcols[1][0], d.dcols[2][1], d.dcols[2][2]} {
				col[k] = col[k-1]
			}
			if ui >= 0 {
				d.dcols[1][ui][k], d.dcols[2][ui][k] = d.dcols[1][ui][k-1], d.dcols[2][ui][k-1]
			}
			continue
		}
		var x, dx, y, dy2, dy3, ux, uy float64
		for _, w := range d.load[next : day+1] {
			x, dx = g*p.d, float64(dg*p.d)+float64(g*p.dd)
			y, dy2, dy3 = h*r.d, float64(dh2*r.d)+float64(h*r.dd), dh3*r.d
			ux, uy = ug*p.d, uh*r.d
			c, dc, uc = float64(c*s.d)+w, float64(dc*s.d)+float64(c*s.dd), uc*s.d
			g, dg, ug = x+w, dx, ux
			h, dh2, dh3, uh = y+float64(c*w), dy2, dy3+float64(dc*w), uy+float64(uc*w)
		}
		next = day + 1
		if same {
			x, y, dy3, uy = g, h, dh3, uh
		}
		d.cols[1][k], d.dcols[1][0][k] = x, dx
		d.cols[2][k], d.dcols[2][1][k], d.dcols[2][2][k] = -y, -dy2, -dy3
		if ui >= 0 {
			d.dcols[1][ui][k], d.dcols[2][ui][k] = ux, -uy
		}
	}
}

// States of a coefficient in a linear solution.
const (
	freeCoef = iota
	atLow
	atHigh
)

// solve finds the coefficients within their bounds that fit best with the
// columns as they are, leaves them in coef and the residuals, model minus data,
// in r; it returns the sum of squares.
func (d *design) solve(r []float64) float64 {
	var state [3]int
	for l := range d.nCoef {
		if d.coefLo[l] == d.coefHi[l] {
			state[l] = atLow
		}
	}
	rss, ok := d.solveState(state, r)
	if ok {
		return rss
	}
	// The free solution is out of bounds: try every way of holding coefficients
	// at a bound, at most 27, and keep the best that is within bounds. There is
	// one, with all of them held.
	best, bestState := math.Inf(1), state
	for code := range 27 {
		s := [3]int{code % 3, code / 3 % 3, code / 9}
		valid := true
		for l := range 3 {
			switch {
			case l >= d.nCoef:
				valid = valid && s[l] == 0
			case d.coefLo[l] == d.coefHi[l]:
				valid = valid && s[l] == atLow
			case s[l] == atLow:
				valid = valid && !math.IsInf(d.coefLo[l], 0)
			case s[l] == atHigh:
				valid = valid && !math.IsInf(d.coefHi[l], 0)
			}
		}
		if !valid {
			continue
		}
		if v, ok := d.solveState(s, r); ok && v < best {
			best, bestState = v, s
		}
	}
	rss, _ = d.solveState(bestState, r)
	return rss
}

// solveState solves with some coefficients held at a bound, by modified
// Gram-Schmidt on the free columns. ok is false where a free coefficient leaves
// its bounds. Columns that depend on earlier ones get no part.
func (d *design) solveState(state [3]int, r []float64) (rss float64, ok bool) {
	y := d.work
	copy(y, d.y)
	for l := range d.nCoef {
		d.free[l] = state[l] == freeCoef
		if d.free[l] {
			continue
		}
		c := d.coefLo[l]
		if state[l] == atHigh {
			c = d.coefHi[l]
		}
		d.coef[l] = c
		if c != 0 {
			for i, v := range d.cols[l] {
				y[i] -= float64(c * v)
			}
		}
	}
	var tri [3][3]float64
	var rhs [3]float64
	for l := range d.nCoef {
		if !d.free[l] {
			continue
		}
		q := d.q[l]
		copy(q, d.cols[l])
		before := 0.0 // square of the length that earlier columns take
		for k := range l {
			if d.free[k] {
				tri[k][l] = take(q, d.q[k])
				before += tri[k][l] * tri[k][l]
			}
		}
		n := norm(q)
		if !(n*n > 1e-22*(before+n*n)) {
			d.free[l] = false
			d.coef[l] = max(0, d.coefLo[l])
			continue
		}
		inv := 1 / n
		for i := range q {
			q[i] *= inv
		}
		tri[l][l] = n
		rhs[l] = take(y, q)
	}
	ok = true
	for l := d.nCoef - 1; l >= 0; l-- {
		if !d.free[l] {
			continue
		}
		s := rhs[l]
		for k := l + 1; k < d.nCoef; k++ {
			if d.free[k] {
				s -= float64(tri[l][k] * d.coef[k])
			}
		}
		d.coef[l] = s / tri[l][l]
		if d.coef[l] < d.coefLo[l] || d.coef[l] > d.coefHi[l] {
			ok = false
		}
	}
	for i, v := range y {
		r[i] = -v
	}
	return sumSquares(y), ok
}

// slope is the derivative by theta j of the model at the tests, the
// coefficients held: into out.
func (d *design) slope(j int, out []float64) {
	clear(out)
	for l := 1; l < d.nCoef; l++ {
		c := d.coef[l]
		if c == 0 || !d.depends(l, j) {
			continue
		}
		for i, v := range d.dcols[l][j] {
			out[i] += float64(c * v)
		}
	}
}

// depends says whether column l changes with theta j.
func (d *design) depends(l, j int) bool {
	switch {
	case l == 0:
		return false
	case j >= d.kind.taus():
		return true // the load before day 1
	case l == 1:
		return j == 0
	}
	return j >= 1
}

// projected is the derivative of the residuals by theta, coefficients following
// (Kaufman's simplification of 1975, from memory; the gradient is exact).
func (d *design) projected(jac []float64) {
	m := len(d.y)
	for j := range d.nTheta {
		col := jac[j*m : (j+1)*m]
		d.slope(j, col)
		for l := range d.nCoef {
			if d.free[l] {
				take(col, d.q[l])
			}
		}
	}
}

// take removes the part along the unit vector q from v and returns its length.
func take(v, q []float64) float64 {
	q = q[:len(v)]
	s := dot(v, q)
	for i := range v {
		v[i] -= float64(s * q[i])
	}
	return s
}

func norm(v []float64) float64 { return math.Sqrt(dot(v, v)) }
