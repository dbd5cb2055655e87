package main

import (
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize/logbook"
)

const want = `3725 sets against tests, 12 lifters, 95 % intervals over them, kg
                mean absolute error     bias                    error less that of ours
epley            4.46 (3.27 to 5.81)     3.84 (2.37 to 5.49)     1.53 (0.41 to 2.66)
epley_0333       4.45 (3.26 to 5.79)     3.83 (2.35 to 5.47)     1.51 (0.40 to 2.65)
welday           4.45 (3.26 to 5.79)     3.83 (2.35 to 5.47)     1.51 (0.40 to 2.65)
baechle          4.33 (3.18 to 5.63)     3.66 (2.19 to 5.29)     1.40 (0.33 to 2.49)
brzycki          4.31 (3.38 to 5.38)     2.49 (1.12 to 4.05)     1.38 (0.56 to 2.23)
brzycki_dec      4.32 (3.39 to 5.39)     2.51 (1.14 to 4.07)     1.39 (0.57 to 2.25)
lander           4.48 (3.42 to 5.70)     3.21 (1.79 to 4.85)     1.54 (0.56 to 2.56)
lombardi         3.58 (2.91 to 4.25)     1.29 (-0.13 to 2.68)    0.65 (0.36 to 0.97)
mayhew1992       4.60 (3.50 to 5.88)     3.92 (2.40 to 5.57)     1.67 (0.65 to 2.74)
oconner          2.84 (2.29 to 3.43)    -0.73 (-2.01 to 0.51)   -0.09 (-0.40 to 0.21)
wathen           4.83 (3.55 to 6.25)     4.23 (2.71 to 5.90)     1.90 (0.66 to 3.12)
adams            2.99 (2.44 to 3.58)    -1.14 (-2.40 to 0.06)    0.05 (-0.29 to 0.39)
brown            3.64 (2.79 to 4.64)     2.42 (1.02 to 3.93)     0.70 (-0.06 to 1.46)
kemmler          4.01 (3.16 to 4.99)    -3.35 (-4.57 to -2.19)   1.08 (0.31 to 1.83)
reynolds_cp_exp  3.95 (2.99 to 5.04)     2.76 (1.37 to 4.30)     1.01 (0.12 to 1.89)
reynolds_lp_exp  7.48 (5.70 to 9.46)     7.04 (5.14 to 9.11)     4.55 (2.89 to 6.33)
ours             2.94 (2.44 to 3.42)    -0.09 (-1.35 to 1.15)       -
`

func TestCompare(t *testing.T) {
	var out strings.Builder
	if err := compare(&out, logbook.NewReader(logbook.Options{}, invented())); err != nil {
		t.Fatal(err)
	}
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
	}
}

// One lifter alone gives no intervals, and a log without tests no figures; a wrong row is named.
func TestCompareOfLittle(t *testing.T) {
	const head = "date,lifter,lift,load,reps,rir,tested\n"
	for _, tt := range []struct{ rows, want, err string }{
		// By hand: five done and one left at 50 are 50 (1 + 5/33) = 57.58, and 60 was tested.
		{"2027-01-04,Ivo,push press,50,5,1,\n2027-01-08,Ivo,push press,60,1,0,1\n", "\nours             2.42 (no interval)     -2.42 (no interval)         -\n", ""},
		{"2027-01-04,Ivo,push press,50,5,1,\n", "the log has no tests", ""},
		{"2027-01-04,Ivo,push press,5O,5,1,\n", "", "log:2:27: load: want a load from 0 to 5000 kg"},
	} {
		var out strings.Builder
		err := compare(&out, logbook.NewReader(logbook.Options{}, logbook.Stream("log", strings.NewReader(head+tt.rows))))
		if tt.err == "" && err != nil || tt.err != "" && (err == nil || !strings.Contains(err.Error(), tt.err)) {
			t.Errorf("%s: %v, want %q", tt.rows, err, tt.err)
		}
		if !strings.Contains(out.String(), tt.want) {
			t.Errorf("%s: got\n%s\nwant %q in it", tt.rows, out.String(), tt.want)
		}
	}
}
