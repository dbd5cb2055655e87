package response

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"
)

// nistModels are the nine models of the NIST Statistical Reference Datasets for
// nonlinear regression that are kept in testdata (looked-up; a work of the
// United States government), on complex numbers: the imaginary part of a model
// at b + ih is h times its derivative, to the last digit.
var nistModels = map[string]func(b []complex128, x complex128) complex128{
	"Misra1a":  func(b []complex128, x complex128) complex128 { return b[0] * (1 - cmplx.Exp(-b[1]*x)) },
	"BoxBOD":   func(b []complex128, x complex128) complex128 { return b[0] * (1 - cmplx.Exp(-b[1]*x)) },
	"Chwirut2": func(b []complex128, x complex128) complex128 { return cmplx.Exp(-b[0]*x) / (b[1] + b[2]*x) },
	"MGH17": func(b []complex128, x complex128) complex128 {
		return b[0] + b[1]*cmplx.Exp(-x*b[3]) + b[2]*cmplx.Exp(-x*b[4])
	},
	"MGH09": func(b []complex128, x complex128) complex128 { return b[0] * (x*x + x*b[1]) / (x*x + x*b[2] + b[3]) },
	"Thurber": func(b []complex128, x complex128) complex128 {
		return (b[0] + x*(b[1]+x*(b[2]+x*b[3]))) / (1 + x*(b[4]+x*(b[5]+x*b[6])))
	},
	"Hahn1": func(b []complex128, x complex128) complex128 {
		return (b[0] + x*(b[1]+x*(b[2]+x*b[3]))) / (1 + x*(b[4]+x*(b[5]+x*b[6])))
	},
	"Lanczos3": func(b []complex128, x complex128) complex128 {
		return b[0]*cmplx.Exp(-b[1]*x) + b[2]*cmplx.Exp(-b[3]*x) + b[4]*cmplx.Exp(-b[5]*x)
	},
	"Eckerle4": func(b []complex128, x complex128) complex128 {
		z := (x - b[2]) / b[1]
		return b[0] / b[1] * cmplx.Exp(-0.5*z*z)
	},
}

type nistSet struct {
	name         string
	x, y         []float64
	starts       [2][]float64
	want, wantSD []float64 // deviations nil where the certified values are not kept
	wantRSS      float64
	tol          float64 // of the parameters, relative
}

func nistSets(t testing.TB) []nistSet {
	t.Helper()
	byName := map[string]*nistSet{}
	var order []string
	add := func(r map[string]string) *nistSet {
		n := r["dataset"]
		if byName[n] == nil {
			s := &nistSet{name: n, tol: 1e-6}
			for _, d := range records(t, "nist-"+lower(n)+".csv") {
				s.x, s.y = append(s.x, float(t, d["x"])), append(s.y, float(t, d["y"]))
			}
			byName[n] = s
			order = append(order, n)
		}
		return byName[n]
	}
	for _, r := range records(t, "nist-certified.csv") {
		s := add(r)
		switch r["quantity"] {
		case "rss":
			s.wantRSS = float(t, r["certified"])
		case "rsd":
		default:
			s.starts[0] = append(s.starts[0], float(t, r["start1"]))
			s.starts[1] = append(s.starts[1], float(t, r["start2"]))
			s.want = append(s.want, float(t, r["certified"]))
			s.wantSD = append(s.wantSD, float(t, r["certified_sd"]))
		}
	}
	for _, r := range records(t, "nist-starts-only.csv") {
		s := add(r)
		s.starts[0] = append(s.starts[0], float(t, r["start1"]))
		s.starts[1] = append(s.starts[1], float(t, r["start2"]))
	}
	for _, r := range records(t, "nist-scipy.csv") {
		s := byName[r["dataset"]]
		s.want, s.wantRSS, s.tol = append(s.want, float(t, r["value"])), float(t, r["rss"]), 1e-5
	}
	var out []nistSet
	for _, n := range order {
		out = append(out, *byName[n])
	}
	return out
}

func lower(s string) string {
	b := []byte(s)
	for i, c := range b {
		if c >= 'A' && c <= 'Z' {
			b[i] = c + 'a' - 'A'
		}
	}
	return string(b)
}

func (s nistSet) problem(formula bool) *lsqProblem {
	f := nistModels[s.name]
	n, m := len(s.starts[0]), len(s.y)
	at := func(b []float64) []complex128 {
		z := make([]complex128, n)
		for j, v := range b {
			z[j] = complex(v, 0)
		}
		return z
	}
	p := &lsqProblem{n: n, m: m, residuals: func(b, r []float64) {
		z := at(b)
		for i, x := range s.x {
			r[i] = real(f(z, complex(x, 0))) - s.y[i]
		}
	}}
	if formula {
		p.jacobian = func(b, jac []float64) {
			const h = 1e-30
			z := at(b)
			for j := range n {
				z[j] += complex(0, h)
				for i, x := range s.x {
					jac[j*m+i] = imag(f(z, complex(x, 0))) / h
				}
				z[j] = complex(b[j], 0)
			}
		}
	}
	return p
}

// All nine sets from both starts, with derivatives by formula and by
// differences. The parameters of the six sets whose certified values are kept
// agree with them to 1e-6, the other three with an independent solver's to 1e-5
// (nist-scipy.csv names its version).
func TestNISTNonlinearRegression(t *testing.T) {
	const deviations, squares = 1e-4, 1e-9
	sets := nistSets(t)
	if len(sets) != 9 {
		t.Fatalf("%d sets, want 9", len(sets))
	}
	for _, s := range sets {
		for _, formula := range []bool{true, false} {
			for k, start := range s.starts {
				var w lsq
				r := w.search(s.problem(formula), start)
				where := fmt.Sprintf("%s, start %d, formula %v", s.name, k+1, formula)
				if r.status != lsqConverged {
					t.Errorf("%s: status %v after %d iterations", where, r.status, r.iterations)
				}
				for i := range r.x {
					if !(math.Abs(r.x[i]-s.want[i]) <= s.tol*math.Abs(s.want[i])) {
						t.Errorf("%s: b%d = %.11g, want %.11g", where, i+1, r.x[i], s.want[i])
					}
				}
				if !(math.Abs(r.rss-s.wantRSS) <= squares*s.wantRSS) {
					t.Errorf("%s: sum of squares %.11g, want %.11g", where, r.rss, s.wantRSS)
				}
				if s.wantSD == nil {
					continue
				}
				// Certified deviations: square roots of the diagonal of s^2 (J'J)^-1.
				n, m := len(r.x), len(s.y)
				jac := make([]float64, n*m)
				s.problem(true).jacobian(r.x, jac)
				inv, ok := inverseGram(jac, m, n)
				if !ok {
					t.Errorf("%s: no covariance", where)
					continue
				}
				for i := range n {
					sd := math.Sqrt(inv[i*n+i] * r.rss / float64(m-n))
					if !(math.Abs(sd-s.wantSD[i]) <= deviations*s.wantSD[i]) {
						t.Errorf("%s: deviation of b%d %.8g, certified %.8g", where, i+1, sd, s.wantSD[i])
					}
				}
			}
		}
	}
}

// With bounds the minimum lies on them where the free one is outside, and the
// gradient there points outwards.
func TestBoundsHold(t *testing.T) {
	for _, s := range nistSets(t) {
		if s.name != "Misra1a" {
			continue
		}
		p := s.problem(true)
		p.lo, p.hi = []float64{0, 0}, []float64{200, 1}
		var w lsq
		r := w.search(p, s.starts[1])
		if r.x[0] != 200 || r.status != lsqConverged {
			t.Fatalf("b1 = %v, status %v; want the bound 200", r.x[0], r.status)
		}
		// The other parameter is the best for it: no neighbour does better.
		res := make([]float64, p.m)
		for _, d := range []float64{-1e-4, 1e-4} {
			p.residuals([]float64{200, r.x[1] * (1 + d)}, res)
			if sumSquares(res) <= r.rss {
				t.Errorf("b2 moved by %v lowers the sum of squares", d)
			}
		}
	}
}

func TestNoFiniteStart(t *testing.T) {
	p := &lsqProblem{n: 1, m: 2, residuals: func(x, r []float64) { r[0], r[1] = math.NaN(), x[0] }}
	var w lsq
	if r := w.search(p, []float64{1}); r.status != lsqNotFinite {
		t.Errorf("status %v", r.status)
	}
}

func TestInverseGramRefusesDependence(t *testing.T) {
	if _, ok := inverseGram([]float64{1, 2, 3, 2, 4, 6}, 3, 2); ok {
		t.Error("two equal directions have a covariance")
	}
	if _, ok := inverseGram([]float64{1, 2, 3, 0, 0, 0}, 3, 2); ok {
		t.Error("a column of nothing has a covariance")
	}
	// By hand: columns (1,0,0) and (1,2,0): Gram [[1,1],[1,5]], inverse [[5,-1],[-1,1]]/4.
	inv, ok := inverseGram([]float64{1, 0, 0, 1, 2, 0}, 3, 2)
	for i, want := range []float64{1.25, -0.25, -0.25, 0.25} {
		if !ok || math.Abs(inv[i]-want) > 1e-15 {
			t.Errorf("%v %v", inv, ok)
		}
	}
}
