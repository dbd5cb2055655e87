package estimate

import (
	"fmt"
	"math"
	"testing"
)

var tenEquations = []string{"epley", "brzycki", "lander", "lombardi", "mayhew1992", "oconner", "wathen", "adams", "brown", "kemmler"}

func BenchmarkEquationMax(b *testing.B) {
	e := equation(b, "wathen")
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := e.Max(100, 8, 0.5); err != nil {
			b.Fatal(err)
		}
	}
}

// Ten equations on one set, called one by one and through the table.
func BenchmarkTenEquationsDirect(b *testing.B) {
	var es []*Equation
	for _, id := range tenEquations {
		es = append(es, equation(b, id))
	}
	dst := make([]float64, len(es))
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		i++
		for j, e := range es {
			dst[j], _, _ = e.Max(100, float64(2+i%11), 0.5)
		}
	}
}

func BenchmarkTenEquationsFactors(b *testing.B) {
	t, err := NewFactors(tenEquations...)
	if err != nil {
		b.Fatal(err)
	}
	dst := make([]float64, t.Len())
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		i++
		t.Max(dst, 100, float64(2+i%11), 0.5)
	}
}

func BenchmarkCurveFraction(b *testing.B) {
	for _, name := range []string{"general", "bench press", "epley"} {
		c := curve(b, name)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, _, _ = c.Fraction(8.5)
			}
		})
	}
}

func BenchmarkCurveFractionAt(b *testing.B) {
	c := curve(b, "general")
	b.ReportAllocs()
	for b.Loop() {
		_, _, _ = c.FractionAt(8.5, 0.25)
	}
}

func BenchmarkCurveReps(b *testing.B) {
	c := curve(b, "general")
	b.ReportAllocs()
	for b.Loop() {
		_, _, _, _ = c.Reps(0.77)
	}
}

// The answer with an interval: one set to failure, one with a reserve, and
// several over two weeks.
func BenchmarkMax(b *testing.B) {
	for _, k := range []int{1, 2, 8, 32} {
		sets := make([]Set, k)
		for i := range sets {
			sets[i] = Set{Load: 80 + float64(i%4), Reps: 8 - float64(i%4), RIR: 2, Day: math.Floor(float64(i*14) / float64(k))}
		}
		b.Run(fmt.Sprintf("sets=%d", k), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Max(sets, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("failure", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := Max([]Set{{Load: 80, Reps: 8}}, Options{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkFit(b *testing.B) {
	sets := []Set{{Load: 100, Reps: 1, Tested: true}, {Load: 80, Reps: 7}, {Load: 70, Reps: 11}}
	b.ReportAllocs()
	for b.Loop() {
		l, err := Fit(sets, Options{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := l.Load(5, 1); err != nil {
			b.Fatal(err)
		}
	}
}

// A point evaluation allocates nothing.
func TestPointEvaluationsDoNotAllocate(t *testing.T) {
	e, c, bench := equation(t, "kemmler"), curve(t, "general"), curve(t, "bench press")
	table, err := NewFactors(tenEquations...)
	if err != nil {
		t.Fatal(err)
	}
	dst := make([]float64, table.Len())
	for name, f := range map[string]func(){
		"Equation.Fraction": func() { _, _, _ = e.Fraction(8) },
		"Equation.Max":      func() { _, _, _ = e.Max(100, 8, 1) },
		"Equation.Reps":     func() { _, _, _ = e.Reps(0.8) },
		"Curve.Fraction":    func() { _, _, _ = bench.Fraction(8.5) },
		"Curve.FractionAt":  func() { _, _, _ = c.FractionAt(8.5, 0.25) },
		"Curve.Reps":        func() { _, _, _, _ = c.Reps(0.77) },
		"Factors.Max":       func() { table.Max(dst, 100, 8, 1) },
	} {
		if n := testing.AllocsPerRun(100, f); n != 0 {
			t.Errorf("%s allocates %v times", name, n)
		}
	}
}
