package estimate

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// near says that got and want agree to a relative tolerance.
func near(got, want, tol float64) bool {
	return math.Abs(got-want) <= tol*math.Max(math.Abs(want), 1e-300)
}

func equation(t testing.TB, id string) *Equation {
	t.Helper()
	e, err := EquationByID(id)
	if err != nil {
		t.Fatal(err)
	}
	return &e
}

// The grid is arithmetic on the printed coefficients, not a published table.
func TestEquationsReproduceTheComputedGrid(t *testing.T) {
	seen := map[string]bool{}
	for _, row := range readTable(t, "equation-multipliers.csv") {
		e := equation(t, row["id"])
		seen[e.ID] = true
		for col, text := range row {
			reps, ok := strings.CutPrefix(col, "r")
			if !ok {
				continue
			}
			n, want := num64(t, reps), num64(t, text)
			f, _, err := e.Fraction(n)
			if e.ID == "kemmler" && n > 24 {
				var re *RangeError
				if !errors.As(err, &re) {
					t.Errorf("kemmler at %v repetitions: %v, want a *RangeError past the turning point", n, err)
				}
				continue
			}
			// 12 decimals are printed: half a unit of the last.
			if err != nil || math.Abs(1/f-want) > 0.51e-12 {
				t.Errorf("%s at %v repetitions = %.13f, %v, want %.12f", e.ID, n, 1/f, err, want)
			}
		}
	}
	for _, e := range Equations() {
		if !seen[e.ID] && e.ID != "welday" { // the same expression as epley_0333
			t.Errorf("%s has no row in the grid", e.ID)
		}
	}
}

// Printed example of Epley and Brzycki: 100 lb for 10 repetitions is 133 lb
// (encyclopedia article One-repetition maximum, older revision; looked-up).
func TestPrintedExampleOfTenRepetitions(t *testing.T) {
	for _, id := range []string{"epley", "brzycki"} {
		m, x, err := equation(t, id).Max(100, 10, 0)
		if err != nil || x || math.Round(m) != 133 {
			t.Errorf("%s: 100 x 10 = %v, extrapolated %v, %v; want 133, inside", id, m, x, err)
		}
	}
}

// A conference abstract (51 college players, 225 lb) prints the mean of Epley
// as 316.3 lb, which, the form being linear, is its value at 12.17 repetitions
// (looked-up; the 12.3 repetitions printed beside it do not give it).
func TestEpleyMeanOfAConferenceAbstract(t *testing.T) {
	m, x, err := equation(t, "epley").Max(225, 12.17, 0)
	if err != nil || !x || round(m, 1) != 316.3 {
		t.Errorf("225 x 12.17 = %v, extrapolated %v, %v; want 316.3, extrapolated", m, x, err)
	}
}

// What the printed equations add to a true single, percent (computed from the
// coefficients; Epley and Mayhew are the known offenders).
func TestRawValueOfASingle(t *testing.T) {
	for id, want := range map[string]float64{"brzycki": 0, "lombardi": 0, "lander": 1.4, "wathen": 1.3, "brown": 1.8,
		"adams": 2.0, "oconner": 2.5, "epley": 3.3, "mayhew1992": 8.9} {
		e := equation(t, id)
		m, _, err := e.RawMax(100, 1, 0)
		if err != nil || round(m-100, 1) != want {
			t.Errorf("%s: raw single of 100 = %v, %v; want %v more", id, m, err, want)
		}
		if m, x, err := e.Max(100, 1, 0); m != 100 || x || err != nil {
			t.Errorf("%s: Max of a single = %v, %v, %v; want the load", id, m, x, err)
		}
	}
	// The nonlinear Reynolds curves give less than the load for a single.
	var below *BelowLoadError
	if _, _, err := equation(t, "reynolds_lp_exp").RawMax(100, 1, 0); !errors.As(err, &below) {
		t.Errorf("reynolds_lp_exp at a raw single: %v, want a *BelowLoadError", err)
	}
}

func TestPolesAndTurningPointsAreRefused(t *testing.T) {
	for _, c := range []struct {
		id   string
		n    float64
		want string
	}{
		{"brzycki", 37, "estimate: brzycki: reps: want 1 to 31.6, got 37 (its maximum is infinite at 37 repetitions and negative beyond)"},
		{"brzycki", 36, "estimate: brzycki: reps: want 1 to 31.6, got 36 (too near its pole at 37 repetitions)"},
		{"brzycki_dec", 36.98, "estimate: brzycki_dec: reps: want 1 to 31.57, got 36.98 (its maximum is infinite at 36.9712 repetitions and negative beyond)"},
		{"lander", 38, "estimate: lander: reps: want 1 to 32.3, got 38 (its maximum is infinite at 37.9226 repetitions and negative beyond)"},
		{"adams", 50, "estimate: adams: reps: want 1 to 42.5, got 50 (its maximum is infinite at 50 repetitions and negative beyond)"},
		{"kemmler", kemmlerTurn, "estimate: kemmler: reps: want 1 to less than 24.1477, got 24.147730042994258 (its maximum falls with more repetitions from there)"},
		{"epley", 51, "estimate: epley: reps: want 1 to 50, got 51 (no such set has been studied)"},
		{"epley", 0.5, "estimate: reps: want 1 or more, got 0.5"},
		{"epley", math.NaN(), "estimate: reps: want 1 or more, got NaN"},
		{"epley", math.Inf(1), "estimate: reps: want 1 or more, got +Inf"},
	} {
		if _, _, err := equation(t, c.id).Fraction(c.n); err == nil || err.Error() != c.want {
			t.Errorf("%s at %v:\n got %v\nwant %s", c.id, c.n, err, c.want)
		}
	}
	// Just inside every limit there is an answer, marked.
	for _, e := range Equations() {
		n := e.Limit
		if e.Turn > 0 {
			n -= 1e-6
		}
		if f, x, err := e.Fraction(n); err != nil || !x || !(f > 0.14) {
			t.Errorf("%s at %v = %v, %v, %v; want an extrapolated answer", e.ID, n, f, x, err)
		}
	}
	// The turning point is where the derivative of the cubic is zero.
	e := equation(t, "kemmler")
	if s := e.slope(kemmlerTurn); math.Abs(s) > 1e-12 {
		t.Errorf("slope at the turning point = %v, want 0", s)
	}
	if m := 1 / e.raw(kemmlerTurn); round(m, 4) != 1.5247 {
		t.Errorf("Kemmler's largest multiplier = %v, want 1.5247", m)
	}
}

// The property harness: every equation goes through it.
func TestEquationProperties(t *testing.T) {
	for _, e := range Equations() {
		t.Run(e.ID, func(t *testing.T) {
			if e.Name == "" || e.Formula == "" || e.Family == "" || e.Citation == "" || e.Lift == "" || e.Population == "" || e.Range == "" || e.Have == "" {
				t.Errorf("metadata incomplete: %+v", e)
			}
			if e.VariantOf != "" && equation(t, e.VariantOf).Family != e.Family {
				t.Errorf("variant of %s, but of another family", e.VariantOf)
			}
			top := e.Limit - 1e-6
			rapid.Check(t, func(t *rapid.T) {
				n := rapid.Float64Range(1, top-0.1).Draw(t, "n")
				more := n + rapid.Float64Range(1e-3, 0.1).Draw(t, "more")
				load := rapid.Float64Range(1e-3, 1e4).Draw(t, "load")
				f, _, err := e.Fraction(n)
				g, _, err2 := e.Fraction(more)
				if err != nil || err2 != nil || !finite(f) || f <= 0 || g >= f {
					t.Fatalf("f(%v) = %v, %v; f(%v) = %v, %v: want positive and falling", n, f, err, more, g, err2)
				}
				back, _, err := e.Reps(f)
				// Where the curve is nearly flat, its inverse loses digits.
				if err != nil || math.Abs(back-n) > 1e-9+1e-15/math.Abs(e.slope(n)) && e.form != formCubic || math.Abs(back-n) > 1e-4 {
					t.Fatalf("Reps(f(%v)) = %v, %v", n, back, err)
				}
				if e.slope(n) >= 0 || !near(e.slope(n), (e.raw(n+1e-6)-e.raw(n-1e-6))/2e-6, 1e-4) && n < 0.95*e.Limit {
					t.Fatalf("slope(%v) = %v, finite difference %v", n, e.slope(n), (e.raw(n+1e-6)-e.raw(n-1e-6))/2e-6)
				}
				rir := rapid.Float64Range(0, 1).Draw(t, "share") * (n - 1)
				m, x, err := e.Max(load, n-rir, rir)
				var below *BelowLoadError
				if errors.As(err, &below) {
					if f <= 1 {
						t.Fatalf("refused below the load at f = %v", f)
					}
					return
				}
				if err != nil || m < load || x != (n-rir+rir < e.From || n-rir+rir > e.To) && n != 1 {
					t.Fatalf("Max(%v, %v, %v) = %v, %v, %v", load, n-rir, rir, m, x, err)
				}
				if n == 1 {
					return
				}
				twice, _, err := e.Max(2*load, n-rir, rir)
				if err != nil || !near(twice, 2*m, 1e-15) {
					t.Fatalf("not homogeneous in the load: %v against %v", twice, 2*m)
				}
				l, _, err := e.Load(m, n-rir, rir)
				if err != nil || !near(l, load, 1e-12) {
					t.Fatalf("Load(Max(%v)) = %v, %v", load, l, err)
				}
			})
		})
	}
}

func TestEquationArguments(t *testing.T) {
	e := equation(t, "epley")
	for _, c := range []struct {
		load, reps, rir float64
		want            string
	}{
		{0, 5, 0, "estimate: load: want above 0, got 0"},
		{-5, 5, 0, "estimate: load: want above 0, got -5"},
		{math.NaN(), 5, 0, "estimate: load: want above 0, got NaN"},
		{math.Inf(1), 5, 0, "estimate: load: want above 0, got +Inf"},
		{100, 0, 0, "estimate: reps: want 1 or more, got 0"},
		{100, math.NaN(), 0, "estimate: reps: want 1 or more, got NaN"},
		{100, 5, -1, "estimate: rir: want 0 or more, got -1"},
		{100, 5, math.NaN(), "estimate: rir: want 0 or more, got NaN"},
		{100, 5, math.Inf(1), "estimate: rir: want 0 or more, got +Inf"},
		{1e308, 30, 0, "estimate: load: want a load whose maximum is a finite number, got 1e+308"},
	} {
		if _, _, err := e.Max(c.load, c.reps, c.rir); err == nil || err.Error() != c.want {
			t.Errorf("Max(%v, %v, %v): %v, want %s", c.load, c.reps, c.rir, err, c.want)
		}
	}
	if _, _, err := e.Load(0, 5, 0); err == nil || err.Error() != "estimate: max: want above 0, got 0" {
		t.Errorf("Load of no maximum: %v", err)
	}
	for f, want := range map[float64]string{
		0:          "estimate: fraction: want above 0, got 0",
		0.92:       "estimate: mayhew1992: fraction: want 0.5488 to 0.9186, got 0.92 (the equation does not reach it)",
		0.5:        "estimate: mayhew1992: fraction: want 0.5488 to 0.9186, got 0.5 (the equation does not reach it)",
		math.NaN(): "estimate: fraction: want above 0, got NaN",
	} {
		if _, _, err := equation(t, "mayhew1992").Reps(f); err == nil || err.Error() != want {
			t.Errorf("Reps(%v): %v, want %s", f, err, want)
		}
	}
	var zero Equation
	for _, err := range []error{second(zero.Fraction(5)), second(zero.Max(100, 1, 0)), second(zero.Load(100, 1, 0)), second(zero.Reps(0.8))} {
		if err == nil || !strings.Contains(err.Error(), "EquationByID") {
			t.Errorf("the zero Equation answered: %v", err)
		}
	}
	_, err := EquationByID("brzicky")
	var ne *NameError
	if !errors.As(err, &ne) || ne.Nearest != "brzycki" || len(ne.Choices) != len(Equations()) {
		t.Errorf("misspelt identifier: %v", err)
	}
	if want := `estimate: no equation is called "brzicky"; did you mean "brzycki"? (choices: epley, epley_0333,`; !strings.HasPrefix(err.Error(), want) {
		t.Errorf("misspelt identifier:\n got %v\nwant %s...", err, want)
	}
	if _, _, err := equation(t, "reynolds_lp_exp").Load(100, 1, 0.01); err == nil {
		t.Error("a load above the maximum was given out")
	}
}

func second(_ float64, _ bool, err error) error { return err }

func TestWhatIsNotShipped(t *testing.T) {
	for _, id := range []string{"berger", "naclerio", "linear25", "dohoney_46", "dohoney_710", "marzagao", "abadie1999"} {
		if _, err := EquationByID(id); err == nil {
			t.Errorf("%s is shipped; it is recalled with doubt, has no confirmed unit or is a coding rule", id)
		}
		if _, err := CurveNamed(id); err == nil {
			t.Errorf("%s is a curve", id)
		}
	}
}

func TestEquationsAreCopies(t *testing.T) {
	es := Equations()
	es[0].ID, es[0].a = "changed", 2
	if e := equation(t, "epley"); e.a != 1 {
		t.Error("a caller changed the package's equation")
	}
}

// Both tables to the printed percent, with how each row was obtained.
func TestHandbookTables(t *testing.T) {
	books := map[string]Handbook{}
	rows := 0
	for _, b := range Handbooks() {
		books[b.ID] = b
		rows += len(b.Rows)
	}
	table := readTable(t, "handbook-pct1rm.csv")
	if rows != len(table) {
		t.Errorf("%d rows, want %d", rows, len(table))
	}
	for _, row := range table {
		n := int(num64(t, row["repetitions"]))
		f, err := books[row["table"]].Fraction(n)
		if err != nil || f != num64(t, row["pct_1rm"])/100 {
			t.Errorf("%s at %d: %v, %v, want %s %%", row["table"], n, f, err, row["pct_1rm"])
		}
		for _, r := range books[row["table"]].Rows {
			if r.Reps == n {
				if diff := cmp.Diff(row["how"], string(r.Have)); diff != "" {
					t.Errorf("%s at %d: how it was obtained (-want +got):\n%s", row["table"], n, diff)
				}
			}
		}
	}
	_, err := books["nsca_textbook"].Fraction(13)
	if err == nil || err.Error() != "estimate: nsca_textbook: reps: want one of 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 15, got 13 (the table has no such row and is not interpolated)" {
		t.Errorf("13 repetitions: %v", err)
	}
}
