package estimate_test

import (
	"errors"
	"fmt"

	"github.com/blockwright/blockwright/estimate"
)

// One set of five with about two left.
func ExampleMax() {
	e, err := estimate.Max([]estimate.Set{{Load: 100, Reps: 5, RIR: 2}}, estimate.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f (%.0f to %.0f, %.0f %%)\n", e.Max, e.Low, e.High, 100*e.Coverage)
	// Output: 120 (109 to 132, 90 %)
}

// Sets at different loads tell a strong lifter from an enduring one.
func ExampleMax_severalSets() {
	e, err := estimate.Max([]estimate.Set{
		{Load: 80, Reps: 8, Day: 0},
		{Load: 93, Reps: 3, Day: 4},
	}, estimate.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f (%.1f to %.1f)\n", e.Max, e.Low, e.High)
	for _, w := range e.Warnings {
		fmt.Println(w.Code)
	}
	// Output:
	// 99.6 (96.7 to 103.7)
	// extrapolated
}

func ExampleEquation_Max() {
	e, err := estimate.EquationByID("brzycki")
	if err != nil {
		fmt.Println(err)
		return
	}
	m, extrapolated, err := e.Max(100, 10, 0)
	fmt.Printf("%.1f %v %v\n", m, extrapolated, err)
	m, extrapolated, err = e.Max(100, 12, 2)
	fmt.Printf("%.1f %v %v\n", m, extrapolated, err)
	_, _, err = e.Max(100, 37, 0)
	var re *estimate.RangeError
	fmt.Println(errors.As(err, &re), err)
	// Output:
	// 133.3 false <nil>
	// 156.5 true <nil>
	// true estimate: brzycki: reps: want 1 to 31.6, got 37 (its maximum is infinite at 37 repetitions and negative beyond)
}

// How far the families of equations agree about a set of eight.
func ExampleAll() {
	ps, refused, err := estimate.All(80, 8, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	c := estimate.Agreed(ps)
	fmt.Printf("%d equations, %d refused, %d families: %.1f (%.1f to %.1f)\n",
		len(ps), len(refused), c.Families, c.Median, c.Low, c.High)
	// Output: 16 equations, 0 refused, 11 families: 99.8 (93.0 to 105.3)
}

func ExampleCurve_Reps() {
	c, err := estimate.CurveNamed("general")
	if err != nil {
		fmt.Println(err)
		return
	}
	n, sd, _, err := c.Reps(0.80)
	fmt.Printf("%.2f (%.2f) %v\n", n, sd, err)
	// Output: 9.75 (2.51) <nil>
}

// What the middle lifter, and what three lifters in four, can lift five times.
func ExampleCurve_FractionAt() {
	c, err := estimate.CurveNamed("general")
	if err != nil {
		fmt.Println(err)
		return
	}
	middle, _, _ := c.Fraction(5)
	three, _, err := c.FractionAt(5, 0.25)
	fmt.Printf("%.3f %.3f %v\n", middle, three, err)
	// Output: 0.899 0.874 <nil>
}

func ExampleFit() {
	l, err := estimate.Fit([]estimate.Set{
		{Load: 100, Reps: 1, Tested: true},
		{Load: 80, Reps: 7},
		{Load: 70, Reps: 11},
	}, estimate.Options{LoadStep: 2.5})
	if err != nil {
		fmt.Println(err)
		return
	}
	p, _ := l.Reps(0.85)
	fmt.Printf("at 85 %%: %.1f repetitions (%.1f to %.1f)\n", p.Mid, p.Low, p.High)
	p, _ = l.Load(5, 0)
	fmt.Printf("for five: %.1f (%.1f to %.1f)\n", p.Mid, p.Low, p.High)
	// Output:
	// at 85 %: 4.9 repetitions (4.1 to 5.9)
	// for five: 85.7 (83.4 to 88.0)
}

func ExampleRegression_Max() {
	r, err := estimate.RegressionByID("abadie_cp")
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := r.Max(estimate.Measures{Load: 25, Reps: 8}, estimate.Kilogram)
	fmt.Printf("%.1f kg %v\n", m, err)
	_, err = r.Max(estimate.Measures{Load: 25, Reps: 15}, estimate.Kilogram)
	fmt.Println(err)
	// Output:
	// 29.5 kg <nil>
	// estimate: abadie_cp: reps: want 5 to 10, got 15 (5 to 10 RM)
}

func ExampleFactors() {
	t, err := estimate.NewFactors("epley", "brzycki", "wathen")
	if err != nil {
		fmt.Println(err)
		return
	}
	maxima := make([]float64, t.Len())
	if t.Max(maxima, 90, 4, 1.5) {
		fmt.Printf("%.1f\n", maxima)
	}
	// Output: [106.5 102.9 106.6]
}

func ExampleHandbook_Fraction() {
	for _, h := range estimate.Handbooks() {
		f, err := h.Fraction(12)
		fmt.Println(h.ID, f, err)
	}
	// Output:
	// nsca_textbook 0.67 <nil>
	// nsca_load_chart 0.7 <nil>
}

func ExampleRPEToRIR() {
	rir, err := estimate.RPEToRIR(8.5)
	fmt.Println(rir, err)
	// Output: 1.5 <nil>
}

// Every published equation says where it comes from, how we have it and how far it goes.
func ExampleEquations() {
	for _, e := range estimate.Equations() {
		if e.Pole > 0 && e.VariantOf == "" {
			fmt.Printf("%s (%s): %s for %g to %g repetitions, infinite at %.1f\n", e.Name, e.Have, e.Formula, e.From, e.To, e.Pole)
		}
	}
	// Output:
	// Brzycki 1993, fraction form (looked-up (secondary)): w*36/(37-r) for 1 to 10 repetitions, infinite at 37.0
	// Lander 1985 (looked-up (secondary)): 100*w/(101.3-2.67123*r) for 1 to 10 repetitions, infinite at 37.9
	// Adams 1994 (memory): w/(1-0.02*r) for 1 to 10 repetitions, infinite at 50.0
}
