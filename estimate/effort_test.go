package estimate

import (
	"math"
	"strings"
	"testing"
)

// Every row of the scale of Zourdos 2016 (looked-up, secondary).
func TestEffortScale(t *testing.T) {
	for _, row := range readTable(t, "zourdos2016-effort-scale.csv") {
		lo, hi := bounds(t, row["item"])
		if row["value"] == "not defined" {
			for _, rpe := range []float64{lo, hi} {
				if _, err := RPEToRIR(rpe); err == nil {
					t.Errorf("RPE %v has a reserve; the scale defines none", rpe)
				}
			}
			continue
		}
		// A heavier rating leaves less: the ends of the row face each other.
		least, most := bounds(t, row["value"])
		for _, rpe := range []float64{lo, hi} {
			rir, err := RPEToRIR(rpe)
			if rpe == 9.5 {
				most = 0.5 // "no more repetitions, a little more load possible"
			}
			if err != nil || rir < least || rir > most {
				t.Errorf("RPE %v is %v in reserve, %v; the scale says %s", rpe, rir, err, row["value"])
			}
			if back, err := RIRToRPE(rir); err != nil || back != rpe {
				t.Errorf("RIRToRPE(%v) = %v, %v, want %v", rir, back, err, rpe)
			}
		}
	}
	for _, x := range []float64{4.9, 10.1, -1, math.NaN(), math.Inf(1)} {
		if _, err := RPEToRIR(x); err == nil {
			t.Errorf("RPE %v was accepted", x)
		}
	}
	for _, x := range []float64{5.1, -0.5, math.NaN(), math.Inf(1)} {
		if _, err := RIRToRPE(x); err == nil {
			t.Errorf("%v in reserve was accepted", x)
		}
	}
}

func bounds(t *testing.T, s string) (lo, hi float64) {
	a, b, ok := strings.Cut(s, "-")
	if !ok {
		b = a
	}
	return num64(t, a), num64(t, b)
}
