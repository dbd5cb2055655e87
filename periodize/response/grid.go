package response

import (
	"cmp"
	"math"
	"slices"
)

// maxStarts is how many places of the grid are polished at most.
const maxStarts = 4

// grid looks at every place of a grid over theta and returns the best of those
// that no neighbour beats, best first.
func (s *search) grid() []spot {
	var axes [maxTheta][]float64
	n := s.d.nTheta
	points := map[Kind][3]int{One: {16}, Two: {12, 10}, Variable: {7, 6, 5}}[s.d.kind]
	for j := range s.d.kind.taus() {
		axes[j] = geometric(s.lo[j], s.hi[j], points[j])
	}
	if n > s.d.kind.taus() {
		u := s.hi[n-1] / 3 // the heaviest week's daily load
		axes[n-1] = []float64{0, 0.25 * u, 0.5 * u, u}
	}
	size := 1
	for j := range n {
		size *= len(axes[j])
	}
	spots := make([]spot, size)
	for code := range spots {
		at := code
		for j := range n {
			spots[code].theta[j] = axes[j][at%len(axes[j])]
			at /= len(axes[j])
		}
	}
	if s.d.kind == Two && n == 2 {
		s.gridOfTwo(axes[0], axes[1], spots)
	} else {
		r := make([]float64, len(s.d.y))
		for i := range spots {
			s.calls++
			if !s.allowed(spots[i].theta) {
				spots[i].rss = math.Inf(1)
				continue
			}
			s.d.fill(spots[i].theta[:n])
			spots[i].rss = s.d.solve(r)
		}
	}
	var starts []spot
	for code, p := range spots {
		if math.IsInf(p.rss, 1) || math.IsNaN(p.rss) {
			continue
		}
		lowest := true
		stride := 1
		for j := range n {
			k := code / stride % len(axes[j])
			if k > 0 && beats(spots, code-stride, code) || k < len(axes[j])-1 && beats(spots, code+stride, code) {
				lowest = false
				break
			}
			stride *= len(axes[j])
		}
		if lowest {
			starts = append(starts, p)
		}
	}
	slices.SortStableFunc(starts, func(a, b spot) int { return cmp.Compare(a.rss, b.rss) })
	if len(starts) > maxStarts {
		starts = starts[:maxStarts]
	}
	if len(starts) == 0 { // no place of the grid keeps the ratio
		p := spot{}
		for j := range n {
			p.theta[j] = math.Sqrt(max(s.lo[j], 1e-9) * s.hi[j])
		}
		starts = []spot{p}
	}
	return starts
}

// beats orders equals by place, so that of a level stretch one place is left.
func beats(spots []spot, a, b int) bool {
	return spots[a].rss < spots[b].rss || (spots[a].rss == spots[b].rss && a < b)
}

func (s *search) allowed(theta [maxTheta]float64) bool {
	return s.d.kind.taus() < 2 || theta[0] >= s.b.MinRatio*theta[1]
}

func geometric(lo, hi float64, n int) []float64 {
	if hi <= lo {
		return []float64{lo}
	}
	v := make([]float64, n)
	step := math.Log(hi/lo) / float64(n-1)
	for i := range v {
		v[i] = math.Min(hi, lo*math.Exp(float64(i)*step))
	}
	return v
}

// gridOfTwo prices a grid over two time constants from the inner products of its
// columns: each column is worked out once, not once a pair. It leaves the
// bounds of p0 out, since it only has to find places to start from.
func (s *search) gridOfTwo(tau1, tau2 []float64, spots []spot) {
	d := s.d
	m := len(d.y)
	n1, n2 := len(tau1), len(tau2)
	taus := append(slices.Clone(tau1), tau2...)
	block := make([]float64, (len(taus)+1+3)*m) // room for whole groups of four
	col := func(i int) []float64 { return block[i*m : (i+1)*m] }
	for i := 0; i < len(taus); i += 4 {
		var t [4]float64
		for k := range t {
			t[k] = taus[min(i+k, len(taus)-1)]
		}
		d.fourColumns(t, col(i), col(i+1), col(i+2), col(i+3))
	}
	s.calls += (len(taus) + 1) / 2
	y := col(len(taus))
	copy(y, d.y)
	center(y)
	yy := dot(y, y)
	gg, gy := make([]float64, len(taus)), make([]float64, len(taus))
	for i := range taus {
		c := col(i)
		center(c)
		gg[i], gy[i] = dot(c, c), dot(c, y)
	}
	for j := range n2 {
		h := n1 + j
		for i := range n1 {
			p := &spots[j*n1+i]
			if !s.allowed(p.theta) {
				p.rss = math.Inf(1)
				continue
			}
			gh := dot(col(i), col(h))
			// Gains of 0 or more, y = k1 g - k2 h.
			p.rss = yy
			if gg[i] > 0 && gy[i] > 0 {
				p.rss = min(p.rss, yy-float64(gy[i]*gy[i])/gg[i])
			}
			if gg[h] > 0 && gy[h] < 0 {
				p.rss = min(p.rss, yy-float64(gy[h]*gy[h])/gg[h])
			}
			if det := float64(gg[i]*gg[h]) - float64(gh*gh); det > 1e-12*gg[i]*gg[h] {
				k1 := (float64(gy[i]*gg[h]) - float64(gy[h]*gh)) / det
				k2 := -(float64(gy[h]*gg[i]) - float64(gy[i]*gh)) / det
				if k1 >= 0 && k2 >= 0 {
					p.rss = yy - float64(k1*gy[i]) + float64(k2*gy[h])
				}
			}
		}
	}
}

func center(v []float64) {
	s := 0.0
	for _, x := range v {
		s += x
	}
	s /= float64(len(v))
	for i := range v {
		v[i] -= s
	}
}

// fourColumns works out the columns of four time constants in one pass, side by
// side in the processor.
func (d *design) fourColumns(tau [4]float64, a, b, c, e []float64) {
	var p [4]powers
	u, _ := d.prior(nil)
	var g [4]float64
	for k := range tau {
		p[k] = newPowers(tau[k])
		g[k] = u * p[k].a
	}
	d0, d1, d2, d3 := p[0].d, p[1].d, p[2].d, p[3].d
	g0, g1, g2, g3 := g[0], g[1], g[2], g[3]
	next := 0
	for k, day := range d.day {
		if k > 0 && day == d.day[k-1] {
			a[k], b[k], c[k], e[k] = a[k-1], b[k-1], c[k-1], e[k-1]
			continue
		}
		// The same-day state; the test day's own load comes off again below.
		for _, w := range d.load[next : day+1] {
			g0 = float64(g0*d0) + w
			g1 = float64(g1*d1) + w
			g2 = float64(g2*d2) + w
			g3 = float64(g3*d3) + w
		}
		next = day + 1
		a[k], b[k], c[k], e[k] = g0, g1, g2, g3
		if d.conv == PreviousDay {
			w := d.load[day]
			a[k], b[k], c[k], e[k] = g0-w, g1-w, g2-w, g3-w
		}
	}
}
