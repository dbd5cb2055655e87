package estimate

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestAllAnswersOrRefusesEveryEquation(t *testing.T) {
	ps, refused, err := All(100, 5, 0)
	if err != nil || len(refused) != 0 || len(ps) != len(Equations()) {
		t.Fatalf("%d answers, %d refusals, %v", len(ps), len(refused), err)
	}
	for i, e := range Equations() {
		if ps[i].ID != e.ID || ps[i].Family != e.Family {
			t.Errorf("answer %d is of %s, want %s", i, ps[i].ID, e.ID)
		}
	}
	// Spread of the multipliers, computed: 1.080 to 1.190 at 5 repetitions with
	// every equation, 1.224 to 1.415 at 10.
	for n, want := range map[float64][2]float64{5: {1.080, 1.190}, 10: {1.224, 1.415}} {
		ps, _, err := All(1, n, 0)
		lo, hi := math.Inf(1), 0.0
		for _, p := range ps {
			lo, hi = math.Min(lo, p.Max), math.Max(hi, p.Max)
		}
		if err != nil || round(lo, 3) != want[0] || round(hi, 3) != want[1] {
			t.Errorf("at %v repetitions %v to %v, %v, want %v", n, lo, hi, err, want)
		}
	}
	// Past Kemmler's turning point and the poles.
	ps, refused, err = All(100, 36, 0)
	var ids []string
	for _, r := range refused {
		var re *RangeError
		if !errors.As(r.Err, &re) {
			t.Errorf("%s refused with %v", r.ID, r.Err)
		}
		ids = append(ids, r.ID)
	}
	if diff := cmp.Diff([]string{"brzycki", "brzycki_dec", "lander", "kemmler"}, ids); err != nil || diff != "" {
		t.Errorf("36 repetitions: %v, refused (-want +got):\n%s", err, diff)
	}
	for _, p := range ps {
		if !p.Extrapolated {
			t.Errorf("%s at 36 repetitions is not marked", p.ID)
		}
	}
	for _, c := range [][3]float64{{0, 5, 0}, {100, 0, 0}, {100, 5, -1}, {math.NaN(), 5, 0}, {1e308, 30, 0}} {
		var fe *FieldError
		if _, _, err := All(c[0], c[1], c[2]); !errors.As(err, &fe) {
			t.Errorf("All(%v): %v, want a *FieldError", c, err)
		}
	}
}

func TestConsensusCountsFamilies(t *testing.T) {
	ps := []Prediction{{"a1", "a", 100, false}, {"a2", "a", 102, false}, {"a3", "a", 101, false}, {"b", "b", 110, false}, {"c", "c", 120, false}, {"d", "d", 130, true}}
	// Families: 101, 110, 120, 130; their median is 115. Over names it would be 106.
	if diff := cmp.Diff(Consensus{115, 101, 130, 4}, Agreed(ps)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if got := Agreed(nil); got != (Consensus{}) {
		t.Errorf("no predictions: %+v", got)
	}
	all, _, _ := All(100, 8, 0)
	if got := Agreed(all).Families; got != 11 {
		t.Errorf("%d families, want 11", got)
	}
}

// The table gives what the equations give, bit for bit or within the rounding of
// one multiplication in another order.
func TestFactorsAreTheEquations(t *testing.T) {
	table, err := NewFactors()
	if err != nil || table.Len() != len(Equations()) {
		t.Fatal(err)
	}
	dst := make([]float64, table.Len())
	rapid.Check(t, func(t *rapid.T) {
		load := rapid.Float64Range(0.5, 500).Draw(t, "load")
		reps := float64(rapid.IntRange(1, 40).Draw(t, "reps"))
		rir := float64(rapid.IntRange(0, 20).Draw(t, "rir")) / 2
		if !table.Max(dst, load, reps, rir) {
			t.Fatalf("%v x %v, %v in reserve is not in the table", load, reps, rir)
		}
		for i, e := range Equations() {
			m, _, err := e.Max(load, reps, rir)
			if err != nil {
				m = 0
			}
			if !near(dst[i], m, 4e-16) && dst[i] != m {
				t.Fatalf("%s: %v in the table, %v directly (%v)", e.ID, dst[i], m, err)
			}
		}
	})
	for _, c := range [][3]float64{{0, 5, 0}, {-1, 5, 0}, {math.NaN(), 5, 0}, {math.Inf(1), 5, 0}, {100, 0.5, 0}, {100, 5.25, 0}, {100, math.NaN(), 0},
		{100, math.Inf(1), 0}, {100, 51, 0}, {100, 5, -1}, {100, 5, math.NaN()}, {100, 0, 5}} {
		dst[0] = 7
		if table.Max(dst, c[0], c[1], c[2]) || dst[0] != 7 {
			t.Errorf("the table answered %v", c)
		}
	}
	if table.Max(dst[:3], 100, 5, 0) {
		t.Error("the table wrote past its destination")
	}
	var ne *NameError
	if _, err := NewFactors("epley", "nobody"); !errors.As(err, &ne) {
		t.Errorf("unknown equation: %v", err)
	}
}
