package logbook_test

import (
	"bytes"
	"errors"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/examples/logs/invent"
	"github.com/blockwright/blockwright/periodize/logbook"
)

// TestPairs: the pairs are those that a comparison sums up, in order or not, whatever qualifies.
func TestPairs(t *testing.T) {
	for _, shuffled := range []bool{false, true} {
		log := invented(t, invent.Options{Rows: 8000, Seed: 5, Lifters: 6, Shuffle: shuffled})
		reader := func() *logbook.Reader {
			return logbook.NewReader(logbook.Options{}, logbook.Stream("log", bytes.NewReader(log)))
		}
		for _, opt := range []logbook.CompareOptions{{}, {Window: 5, MinReps: 3, MaxReps: 6, MaxRIR: 2, Tests: logbook.TestedOnly}, {UnreportedIsFailure: true}} {
			c, err := logbook.Compare(reader(), opt)
			if err != nil {
				t.Fatal(err)
			}
			res, err := c.Result(logbook.ResultOptions{Resamples: -1})
			if err != nil {
				t.Fatal(err)
			}
			methods, err := logbook.Published()
			if err != nil {
				t.Fatal(err)
			}
			n := int64(0)
			bias, abs := make([]float64, len(methods)), make([]float64, len(methods))
			for p, err := range logbook.Pairs(reader(), opt) {
				if err != nil {
					t.Fatal(err)
				}
				n += int64(p.Sets)
				for j := range methods {
					d := p.Load*methods[j].Factor(p.Reps) - p.Tested
					bias[j] += d * float64(p.Sets)
					abs[j] += math.Abs(d) * float64(p.Sets)
				}
			}
			if n == 0 || n != res.All.Pairs {
				t.Fatalf("%+v: %d pairs, want %d", opt, n, res.All.Pairs)
			}
			for j, m := range res.All.Methods {
				if !near(bias[j]/float64(n), m.Bias, 1e-9, 1e-9) || !near(abs[j]/float64(n), m.MAE, 1e-9, 1e-9) {
					t.Errorf("%+v, %s: bias %v and error %v, want %v and %v", opt, m.ID, bias[j]/float64(n), abs[j]/float64(n), m.Bias, m.MAE)
				}
			}
		}
	}
}

func TestPairsErrors(t *testing.T) {
	last := func(r *logbook.Reader, opt logbook.CompareOptions) (err error) {
		for _, err = range logbook.Pairs(r, opt) {
		}
		return err
	}
	head := "date,lifter,lift,load,reps,rir,tested\n"
	long := io.MultiReader(strings.NewReader(head), strings.NewReader(strings.Repeat("2027-09-06,Oona,press,40,5,2,\n", 1<<20)))
	if err := last(logbook.NewReader(logbook.Options{}, logbook.Stream("log", long)), logbook.CompareOptions{}); !errors.Is(err, logbook.ErrOnce) {
		t.Errorf("a long stream: %v", err)
	}
	var oe *logbook.OptionError
	if err := last(logbook.NewReader(logbook.Options{}), logbook.CompareOptions{Window: -1}); !errors.As(err, &oe) {
		t.Errorf("a window of -1: %v", err)
	}
	var bad *logbook.BadRowsError
	if err := last(logbook.NewReader(logbook.Options{}, logbook.Stream("log", strings.NewReader(head+"2027-09-06,Oona,press,x,5,2,\n"))), logbook.CompareOptions{}); !errors.As(err, &bad) {
		t.Errorf("a bad row: %v", err)
	}
	for p, err := range logbook.Pairs(logbook.NewReader(logbook.Options{}, logbook.Stream("log", strings.NewReader(head+"2027-09-06,Oona,press,40,5,1.25,\n2027-09-09,Oona,press,50,1,0,1\n2027-09-09,Oona,press,49,1,0,1\n"))), logbook.CompareOptions{}) {
		if want := (logbook.Pair{Lifter: "Oona", Lift: "press", Load: 40, Reps: 6.25, Tested: 50, Sets: 1}); err != nil || p != want {
			t.Errorf("%+v, %v", p, err)
		}
		break
	}
}

// TestLimitsBoot: the intervals of the limits are the percentiles of the limits of draws of whole lifters, worked out here from
// the pairs themselves.
func TestLimitsBoot(t *testing.T) {
	log := invented(t, invent.Options{Rows: 6000, Seed: 4, Lifters: 5})
	reader := func() *logbook.Reader {
		return logbook.NewReader(logbook.Options{}, logbook.Stream("log", bytes.NewReader(log)))
	}
	methods, err := logbook.Published("epley")
	if err != nil {
		t.Fatal(err)
	}
	opt := logbook.CompareOptions{Methods: methods}
	c, err := logbook.Compare(reader(), opt)
	if err != nil {
		t.Fatal(err)
	}
	res, err := c.Result(logbook.ResultOptions{Resamples: 400, Seed: 7})
	if err != nil {
		t.Fatal(err)
	}
	by := map[string][]float64{}
	for p, err := range logbook.Pairs(reader(), opt) {
		if err != nil {
			t.Fatal(err)
		}
		d := p.Load*methods[0].Factor(p.Reps) - p.Tested
		by[p.Lifter] = append(by[p.Lifter], d)
	}
	var sums []float64
	for _, name := range slices.Sorted(maps.Keys(by)) {
		var n, s, q float64
		for _, d := range by[name] {
			n, s, q = n+1, s+d, q+d*d
		}
		sums = append(sums, n, s, q)
	}
	var low, high []float64
	drawn := logbook.Resample(sums, 3, 400, 7, 1)
	for i := 0; i < len(drawn); i += 3 {
		n, s, q := drawn[i], drawn[i+1], drawn[i+2]
		sd := math.Sqrt((q - s*s/n) / (n - 1))
		low, high = append(low, s/n-1.96*sd), append(high, s/n+1.96*sd)
	}
	m := res.All.Methods[0]
	for name, x := range map[string]struct {
		got   *estimate.Interval
		drawn []float64
		at    float64
	}{"lower": {m.LowerBoot, low, m.Lower}, "upper": {m.UpperBoot, high, m.Upper}} {
		slices.Sort(x.drawn)
		// Type 7 quantiles at 0.025 and 0.975 of 400 values: 0.025 x 399 = 9.975 and 389.025.
		a, b := x.drawn[9]+0.975*(x.drawn[10]-x.drawn[9]), x.drawn[389]+0.025*(x.drawn[390]-x.drawn[389])
		if x.got == nil || !near(x.got.Low, a, 1e-9, 1e-9) || !near(x.got.High, b, 1e-9, 1e-9) || !(x.got.Low < x.at && x.at < x.got.High) {
			t.Errorf("%s limit %v: %v, want %v to %v", name, x.at, x.got, a, b)
		}
	}
}
