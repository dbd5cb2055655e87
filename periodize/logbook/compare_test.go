package logbook_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/examples/logs/invent"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/google/go-cmp/cmp"
)

func invented(t testing.TB, o invent.Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := invent.Write(&b, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func compare(t testing.TB, log []byte, opt logbook.CompareOptions) *logbook.Comparison {
	t.Helper()
	c, err := logbook.Compare(logbook.NewReader(logbook.Options{}, logbook.Stream("log", bytes.NewReader(log))), opt)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func result(t testing.TB, c *logbook.Comparison, opt logbook.ResultOptions) *logbook.Result {
	t.Helper()
	r, err := c.Result(opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func lines(t testing.TB, file string) []string {
	t.Helper()
	b, err := os.ReadFile("../../testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Split(strings.TrimSpace(string(b)), "\n")
	if !strings.HasPrefix(all[0], "#") {
		t.Fatalf("%s does not name its source", file)
	}
	return all[2:]
}

// near reports whether two numbers agree to a share of a scale.
func near(a, b, scale, tol float64) bool {
	return math.Abs(a-b) <= tol*math.Max(math.Abs(scale), math.Abs(b))
}

// TestAgainstNumpy: the figures of a log of 100,000 rows, computed independently with
// numpy 1.24.2 (testdata/logbook-compare.py), to 10 digits.
func TestAgainstNumpy(t *testing.T) {
	r := result(t, compare(t, invented(t, invent.Options{Rows: 100_000, Seed: 1}), logbook.CompareOptions{}), logbook.ResultOptions{Resamples: -1})
	got := map[string]*logbook.Measure{}
	add := func(by, name string, g *logbook.Group) {
		for i := range g.Methods {
			got[by+","+name+","+g.Methods[i].ID] = &g.Methods[i]
		}
	}
	add("all", "", &r.All)
	for i := range r.ByLift {
		add("lift", r.ByLift[i].Lift, &r.ByLift[i])
	}
	for i := range r.ByBand {
		add("band", r.ByBand[i].Band, &r.ByBand[i])
	}
	for i := range r.ByLifter {
		add("lifter", r.ByLifter[i].Lifter, &r.ByLifter[i])
	}
	rows := lines(t, "logbook-compare.csv")
	for _, line := range rows {
		f := strings.Split(line, ",")
		key := strings.Join(f[:3], ",")
		m := got[key]
		if m == nil {
			t.Fatalf("%s: not there", key)
		}
		var v [7]float64
		for i := range v {
			var err error
			if v[i], err = strconv.ParseFloat(f[3+i], 64); err != nil {
				t.Fatal(err)
			}
		}
		if float64(m.N) != v[0] {
			t.Errorf("%s: n %d, want %v", key, m.N, v[0])
		}
		// A bias near zero is as exact as the errors that it is the mean of.
		for i, p := range []struct{ got, scale float64 }{{m.Bias, v[2]}, {m.MAE, 0}, {m.RMSE, 0}, {m.Lower, v[3]}, {m.Upper, v[3]}, {m.CCC, 0}} {
			if !near(p.got, v[i+1], p.scale, 1e-10) {
				t.Errorf("%s: figure %d: got %.13g, want %.13g", key, i+1, p.got, v[i+1])
			}
		}
	}
	if len(rows) != len(got) {
		t.Errorf("%d figures, numpy has %d", len(got), len(rows))
	}
}

// TestRefitAgainstSciPy: coefficients fitted to the same log by scipy.optimize.least_squares,
// scipy 1.10.1.
func TestRefitAgainstSciPy(t *testing.T) {
	r := result(t, compare(t, invented(t, invent.Options{Rows: 100_000, Seed: 1}), logbook.CompareOptions{}), logbook.ResultOptions{Resamples: -1})
	want := lines(t, "logbook-refit.csv")
	if len(want) != len(r.Refits) {
		t.Fatalf("%d forms, want %d", len(r.Refits), len(want))
	}
	for i, line := range want {
		f := strings.Split(line, ";")
		fit := r.Refits[i]
		rmse, _ := strconv.ParseFloat(f[1], 64)
		if fit.Formula != f[0] || fit.Why != "" || !near(fit.RMSE, rmse, 0, 1e-9) {
			t.Errorf("%s: %+v, want RMSE %v", f[0], fit, rmse)
			continue
		}
		for j, s := range strings.Fields(f[2]) {
			v, _ := strconv.ParseFloat(s, 64)
			if !near(fit.Values[j], v, 0, 1e-5) {
				t.Errorf("%s: %s = %v, want %v", f[0], fit.Names[j], fit.Values[j], v)
			}
		}
		if !(fit.Validated >= fit.RMSE) || !(fit.Validated < 1.2*fit.RMSE) {
			t.Errorf("%s: validated %v, fitted %v", f[0], fit.Validated, fit.RMSE)
		}
	}
}

// flat is every number of a result, by name.
func flat(t testing.TB, r *logbook.Result) map[string]any {
	t.Helper()
	b, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(b, &v); err != nil {
		t.Fatal(err)
	}
	out := map[string]any{}
	var walk func(string, any)
	walk = func(at string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, x := range v {
				walk(at+"."+k, x)
			}
		case []any:
			for i, x := range v {
				walk(fmt.Sprintf("%s[%d]", at, i), x)
			}
		default:
			out[at] = v
		}
	}
	walk("", v)
	return out
}

// sameResult compares two results to a number of digits of the errors' size.
func sameResult(t *testing.T, what string, got, want *logbook.Result, tol float64) {
	t.Helper()
	g, w := flat(t, got), flat(t, want)
	if len(g) != len(w) {
		for k, v := range w {
			if g[k] == nil && v != nil {
				t.Fatalf("%s: %d figures, want %d; %s is missing", what, len(g), len(w), k)
			}
		}
		t.Fatalf("%s: %d figures, want %d", what, len(g), len(w))
	}
	scale := want.All.Methods[0].RMSE
	bad := 0
	for k, x := range w {
		y := g[k]
		fx, ok1 := x.(float64)
		fy, ok2 := y.(float64)
		if ok1 && ok2 {
			tol := tol
			if strings.Contains(k, ".refits") {
				tol = 1e-7 // the search stops at its own tolerance
			}
			if near(fy, fx, scale, tol) {
				continue
			}
		} else if x == y {
			continue
		}
		if bad++; bad <= 5 {
			t.Errorf("%s: %s: got %v, want %v", what, k, y, x)
		}
	}
}

// TestParts cuts a log in 1 to 16 parts, row by row at random, does both rounds on the
// parts apart, through JSON, merges in random order, and gets what one reading in order gives, to 12 digits.
func TestParts(t *testing.T) {
	log := invented(t, invent.Options{Rows: 20_000, Seed: 4})
	rows := strings.SplitAfter(string(log), "\n")
	// Records, not lines: notes have line breaks.
	var recs []string
	for i := 1; i < len(rows) && rows[i] != ""; i++ {
		rec := rows[i]
		for strings.Count(rec, `"`)%2 == 1 {
			i++
			rec += rows[i]
		}
		recs = append(recs, rec)
	}
	if len(recs) != 20_000 {
		t.Fatal(len(recs))
	}
	opt := logbook.ResultOptions{Resamples: 200}
	want := result(t, compare(t, log, logbook.CompareOptions{}), opt)
	rng := rand.New(rand.NewPCG(1, 9))
	for n := 1; n <= 16; n++ {
		parts := make([]strings.Builder, n)
		for i := range parts {
			parts[i].WriteString(invent.Header)
		}
		for _, rec := range recs {
			parts[rng.IntN(n)].WriteString(rec)
		}
		reader := func(i int) *logbook.Reader {
			return logbook.NewReader(logbook.Options{Workers: 1}, logbook.Stream("part", strings.NewReader(parts[i].String())))
		}
		tests := logbook.NewTests(logbook.TestedOrSingle)
		for _, i := range rng.Perm(n) {
			part := logbook.NewTests(logbook.TestedOrSingle)
			for b, err := range reader(i).Batches() {
				if err != nil {
					t.Fatal(err)
				}
				part.AddBatch(b)
			}
			var back logbook.Tests
			through(t, part, &back)
			if err := tests.Merge(&back); err != nil {
				t.Fatal(err)
			}
		}
		var all *logbook.Comparison
		for _, i := range rng.Perm(n) {
			// Each part gets the tests by its own copy, as another machine would.
			var known logbook.Tests
			through(t, tests, &known)
			part, err := logbook.NewComparisonWith(logbook.CompareOptions{}, &known)
			if err != nil {
				t.Fatal(err)
			}
			for b, err := range reader(i).Batches() {
				if err == nil {
					err = part.AddBatch(b)
				}
				if err != nil {
					t.Fatal(err)
				}
			}
			back := &logbook.Comparison{}
			through(t, part, back)
			if all == nil {
				all = back
			} else if err := all.Merge(back); err != nil {
				t.Fatal(err)
			}
		}
		sameResult(t, fmt.Sprintf("%d parts", n), result(t, all, opt), want, 1e-12)
	}
}

func through(t testing.TB, from, to any) {
	t.Helper()
	b, err := json.Marshal(from)
	if err == nil {
		err = json.Unmarshal(b, to)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// TestLiftersApart: parts that have whole lifters need one round only, and parts that share
// one are refused.
func TestLiftersApart(t *testing.T) {
	log := invented(t, invent.Options{Rows: 10_000, Seed: 5})
	r := func() *logbook.Reader {
		return logbook.NewReader(logbook.Options{}, logbook.Stream("log", bytes.NewReader(log)))
	}
	var parts [3]*logbook.Comparison
	for i := range parts {
		parts[i], _ = logbook.NewComparison(logbook.CompareOptions{})
	}
	for row, err := range r().Rows() {
		if err != nil {
			t.Fatal(err)
		}
		s := logbook.Set{Load: row.Load, RIR: row.RIR, Day: int32(row.Day), Reps: int16(row.Reps), Count: int16(row.Count), Tested: row.Tested}
		if err := parts[int(row.Lifter[0])%3].Add(row.Lifter, row.Lift, s); err != nil {
			t.Fatal(err)
		}
	}
	for _, p := range parts[1:] {
		if err := parts[0].Merge(p); err != nil {
			t.Fatal(err)
		}
	}
	opt := logbook.ResultOptions{Resamples: 100}
	whole := compare(t, log, logbook.CompareOptions{})
	sameResult(t, "by lifter", result(t, parts[0], opt), result(t, whole, opt), 1e-12)
	before := result(t, whole, opt)
	var overlap *logbook.OverlapError
	if err := whole.Merge(parts[1]); !errors.As(err, &overlap) {
		t.Errorf("overlap: %v", err)
	}
	sameResult(t, "after a refused merge", result(t, whole, opt), before, 0)
	other, _ := logbook.NewComparison(logbook.CompareOptions{Window: 7})
	var mismatch *logbook.MismatchError
	if err := whole.Merge(other); !errors.As(err, &mismatch) {
		t.Errorf("window: %v", err)
	}
	if err := whole.Add("a", "b", logbook.Set{Load: 1, Reps: 1}); err == nil {
		t.Error("a closed comparison took a row")
	}
}

// TestShuffled: the order of the rows changes nothing.
func TestShuffled(t *testing.T) {
	log := invented(t, invent.Options{Rows: 20_000, Seed: 6})
	mixed := invented(t, invent.Options{Rows: 20_000, Seed: 6, Shuffle: true})
	opt := logbook.ResultOptions{Resamples: 100}
	sameResult(t, "shuffled", result(t, compare(t, mixed, logbook.CompareOptions{}), opt), result(t, compare(t, log, logbook.CompareOptions{}), opt), 1e-12)
	c, _ := logbook.NewComparison(logbook.CompareOptions{})
	var late *logbook.OrderError
	for b, err := range logbook.NewReader(logbook.Options{}, logbook.Stream("mixed.csv", bytes.NewReader(mixed))).Batches() {
		if err != nil {
			t.Fatal(err)
		}
		if errors.As(c.AddBatch(b), &late) {
			break
		}
	}
	if late == nil || late.File != "mixed.csv" || late.Line < 3 || late.Lifter == "" || !strings.Contains(late.Error(), "sort the log by date") {
		t.Errorf("order: %v", late)
	}
}

// byHand is a small log whose pairs can be counted on fingers.
const byHand = `date,lifter,lift,load,reps,rir,tested,count
2027-01-01,Oona,press,80,5,2,,
2027-01-05,Oona,press,84,5,1,,2
2027-01-05,Oona,press,90,1,,1,
2027-01-05,Oona,press,95,1,,1,
2027-01-05,Oona,press,99,0,,1,
2027-01-05,Oona,press,70,8,,,
2027-01-06,Oona,press,60,12,2,,
2027-01-06,Oona,press,60,5,7,,
2027-01-10,Oona,press,100,1,0,,
2027-01-19,Oona,press,85,4,2,,
2027-01-25,Oona,press,85,4,1,,
2027-02-09,Oona,press,0,10,1,,
2027-02-09,Oona,press,102,1,1,,
2027-02-10,Oona,press,101,1,,1,
`

func TestPairsByHand(t *testing.T) {
	epley, _ := logbook.Published("epley")
	c := compare(t, []byte(byHand), logbook.CompareOptions{Methods: epley})
	// 80 x 5, 2 left, and the rows of 01-05 belong to different tests: that of the 5th is 95, the
	// heavier; sets of the test's own day go to that of the 10th, 100. 85 x 4 of 01-19 and 01-25 lie 22 and 16 days before
	// the test of 02-10; 102 x 1 with one left belongs to it.
	want := logbook.Counts{Rows: 14, Sets: 15, Tests: 4, Missed: 1, Unloaded: 1, Unreported: 1, ManyReps: 1, FarOff: 1, NoTest: 2, Pairs: 4}
	if diff := cmp.Diff(want, c.Counts()); diff != "" {
		t.Errorf("counts (-want +got):\n%s", diff)
	}
	// Epley, by hand: 80(1+7/30) - 95 = 3.6667; 84(1+6/30) - 100 = 0.8, twice; 102(1+2/30) - 101 = 7.8.
	r := result(t, c, logbook.ResultOptions{})
	m := r.All.Methods[0]
	if m.N != 4 || !near(m.Bias, (3+2.0/3+0.8+0.8+7.8)/4, 0, 1e-12) || m.BiasBoot != nil {
		t.Errorf("got %+v", m)
	}
	if len(r.Choices) != 1 || r.Choices[0].Tests != 3 || r.Choices[0].Decided {
		t.Errorf("choices %+v", r.Choices)
	}
	if len(r.Warnings) == 0 || r.Warnings[0].Code != "one_lifter" {
		t.Errorf("warnings %v", r.Warnings)
	}
	// Now the test of 02-10 is the only one after that of 01-05: it is 36 and 35 days from the sets of 01-05 and 01-06.
	c = compare(t, []byte(byHand), logbook.CompareOptions{Methods: epley, Window: 30, Tests: logbook.TestedOnly, UnreportedIsFailure: true, MinReps: 2, MaxReps: 12})
	want = logbook.Counts{Rows: 14, Sets: 15, Tests: 3, Missed: 1, Unloaded: 1, FarOff: 1, FewReps: 2, NoTest: 4, Pairs: 3}
	if diff := cmp.Diff(want, c.Counts()); diff != "" {
		t.Errorf("counts with options (-want +got):\n%s", diff)
	}
}

// TestBadRows: nothing is concluded from a log with bad rows unless they are to be skipped.
func TestBadRows(t *testing.T) {
	log := invented(t, invent.Options{Rows: 5000, Typos: 0.01})
	src := func() logbook.Source { return logbook.Stream("log", bytes.NewReader(log)) }
	_, err := logbook.Compare(logbook.NewReader(logbook.Options{}, src()), logbook.CompareOptions{})
	var bad *logbook.BadRowsError
	if !errors.As(err, &bad) || bad.Bad < 20 || len(bad.Listed) != 20 {
		t.Errorf("got %v", err)
	}
	c, err := logbook.Compare(logbook.NewReader(logbook.Options{SkipBad: true}, src()), logbook.CompareOptions{})
	if err != nil || c.Counts().Rows+bad.Bad != 5000 {
		t.Errorf("skipping: %v, %+v", err, c.Counts())
	}
}

func TestCompareOptions(t *testing.T) {
	for name, o := range map[string]logbook.CompareOptions{
		"window": {Window: -1}, "reps": {MinReps: 11}, "most": {MaxReps: 51}, "rir": {MaxRIR: math.NaN()}, "bands": {Bands: []float64{4, 2}},
		"tests": {Tests: 9}, "choices": {ChoicesUpTo: -1}, "method": {Methods: []logbook.Method{{ID: "x"}}}, "none": {Methods: []logbook.Method{}},
		"twice": {Methods: []logbook.Method{{ID: "x", Factor: math.Sqrt}, {ID: "x", Factor: math.Sqrt}}},
	} {
		var oe *logbook.OptionError
		if _, err := logbook.NewComparison(o); !errors.As(err, &oe) {
			t.Errorf("%s: %v", name, err)
		}
	}
	c, _ := logbook.NewComparison(logbook.CompareOptions{})
	for _, s := range []logbook.Set{{Load: math.NaN(), Reps: 1}, {Load: math.Inf(1), Reps: 1}, {Load: 1, Reps: 1, RIR: math.NaN()}, {Load: 1, Reps: -1}} {
		var oe *logbook.OptionError
		if err := c.Add("a", "b", s); !errors.As(err, &oe) {
			t.Errorf("%+v: %v", s, err)
		}
	}
	for _, n := range [][2]string{{"", "b"}, {"a", ""}} {
		var oe *logbook.OptionError
		if err := c.Add(n[0], n[1], logbook.Set{Load: 60, Reps: 5}); !errors.As(err, &oe) {
			t.Errorf("names %q: %v", n, err)
		}
	}
	for _, o := range []logbook.ResultOptions{{Confidence: 1}, {Confidence: math.NaN()}, {Folds: 1}, {Resamples: 1 << 30}} {
		var oe *logbook.OptionError
		if _, err := c.Result(o); !errors.As(err, &oe) {
			t.Errorf("%+v: %v", o, err)
		}
	}
	r := result(t, c, logbook.ResultOptions{})
	if r.All.Pairs != 0 || len(r.Warnings) != 1 || r.Warnings[0].Code != "no_tests" {
		t.Errorf("empty: %+v", r)
	}
	if _, err := json.Marshal(r); err != nil {
		t.Error(err)
	}
}

// TestHalfRepetitions: reserves between whole and half repetitions are compared exactly as given.
func TestHalfRepetitions(t *testing.T) {
	epley, _ := logbook.Published("epley")
	log := "date,lifter,lift,load,reps,rir,tested\n2027-01-01,Oona,press,80,5,1.3,\n2027-01-02,Oona,press,80,5,1.5,\n2027-01-05,Oona,press,95,1,,1\n"
	m := result(t, compare(t, []byte(log), logbook.CompareOptions{Methods: epley}), logbook.ResultOptions{}).All.Methods[0]
	if want := (80*(1+6.3/30) + 80*(1+6.5/30) - 190) / 2; !near(m.Bias, want, 1, 1e-12) {
		t.Errorf("bias %v, want %v", m.Bias, want)
	}
}

// TestChoice: lifters made to follow one equation are found to, unless another
// family's equation says nearly the same of their sets.
func TestChoice(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 3))
	c, _ := logbook.NewComparison(logbook.CompareOptions{})
	brzycki, _ := estimate.EquationByID("brzycki")
	day := int32(20000)
	for range 30 {
		test := 100 * (1 + 0.01*rng.NormFloat64())
		for range 6 {
			reps := 3 + rng.IntN(7)
			load, _, _ := brzycki.Load(test, float64(reps), 0)
			for lifter, noise := range map[string]float64{"follows": 0.003, "noisy": 0.15} {
				if err := c.Add(lifter, "press", logbook.Set{Load: load * (1 + noise*rng.NormFloat64()), Reps: int16(reps), Day: day}); err != nil {
					t.Fatal(err)
				}
			}
		}
		day += 3
		for _, lifter := range []string{"follows", "noisy"} {
			c.Add(lifter, "press", logbook.Set{Load: test, Reps: 1, Day: day, Tested: true})
		}
		day++
	}
	r := result(t, c, logbook.ResultOptions{})
	if f := r.Choices[0]; !f.Decided || f.Best != "brzycki" && f.Best != "brzycki_dec" || !strings.Contains(f.Words(), "off by") {
		t.Errorf("follows: %s", f.Words())
	}
	if n := r.Choices[1]; n.Decided || !strings.Contains(n.Words(), "cannot be told from") {
		t.Errorf("noisy: %s", n.Words())
	}
}

func FuzzComparisonJSON(f *testing.F) {
	c, _ := logbook.NewComparison(logbook.CompareOptions{})
	for _, row := range []logbook.Set{{Load: 80, Reps: 5, RIR: 1, Day: 1}, {Load: 95, Reps: 1, Day: 4, Tested: true}} {
		c.Add("Oona", "press", row)
	}
	seed, _ := json.Marshal(c)
	f.Add(seed)
	f.Add([]byte(`{"unit":"kg","methods":["a"],"families":["a"],"window":1,"min_reps":1,"max_reps":1,"bands":[1],"series":[{"lifter":"a","lift":"b","sums":[1,2,0,0,1,1,1,0]}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		var c logbook.Comparison
		if err := json.Unmarshal(b, &c); err != nil {
			return
		}
		r, err := c.Result(logbook.ResultOptions{Resamples: 10})
		if err != nil {
			return
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatalf("a result of what was read cannot be written: %v", err)
		}
		if _, err := json.Marshal(&c); err != nil {
			t.Fatal(err)
		}
	})
}

func BenchmarkCompare(b *testing.B) {
	for _, n := range []int{1000, 100_000} {
		log := invented(b, invent.Options{Rows: n})
		b.Run(fmt.Sprintf("rows=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(log)))
			for b.Loop() {
				compare(b, log, logbook.CompareOptions{})
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
		})
	}
	c := compare(b, invented(b, invent.Options{Rows: 100_000}), logbook.CompareOptions{})
	b.Run("result", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			result(b, c, logbook.ResultOptions{})
		}
	})
}

// TestSeriesOnly: leaving out what is not asked for, and sharing the work among goroutines, changes no digit of the rest.
func TestSeriesOnly(t *testing.T) {
	for _, shuffle := range []bool{false, true} {
		log := invented(t, invent.Options{Rows: 20_000, Seed: 8, Shuffle: shuffle})
		full := compare(t, log, logbook.CompareOptions{Workers: 1})
		want := result(t, full, logbook.ResultOptions{Resamples: 50})
		for workers := 1; workers <= 5; workers++ {
			again := result(t, compare(t, log, logbook.CompareOptions{Workers: workers}), logbook.ResultOptions{Resamples: 50})
			sameResult(t, fmt.Sprintf("%d workers", workers), again, want, 0)
		}
		c := compare(t, log, logbook.CompareOptions{SeriesOnly: true})
		if diff := cmp.Diff(full.Counts(), c.Counts()); diff != "" {
			t.Errorf("counts (-full +series only):\n%s", diff)
		}
		back := &logbook.Comparison{}
		through(t, c, back)
		r := result(t, back, logbook.ResultOptions{Resamples: 50, NoBands: true})
		if r.Lifters != want.Lifters || len(r.ByLifter) != len(want.ByLifter) || len(r.ByBand)+len(r.Choices)+len(r.Refits) != 0 {
			t.Errorf("%d lifters, %d bands, %d choices, %d refits", r.Lifters, len(r.ByBand), len(r.Choices), len(r.Refits))
		}
		less := *want
		less.ByBand, less.Choices, less.Refits = nil, nil, nil
		sameResult(t, "series only", r, &less, 1e-12)
		if lean := result(t, c, logbook.ResultOptions{Resamples: 50, NoLifts: true, NoLifters: true}); len(lean.ByLift)+len(lean.ByLifter) != 0 {
			t.Error("groups that were to be left out")
		}
		var mismatch *logbook.MismatchError
		if err := full.Merge(c); !errors.As(err, &mismatch) || mismatch.What != "kinds of sums" {
			t.Errorf("merge of different sums: %v", err)
		}
	}
}

// TestChoicesUpTo: choices are made for all lifters or, where there are more than asked for, for nobody, in whatever way
// the sums came together; nothing else changes.
func TestChoicesUpTo(t *testing.T) {
	opt := logbook.ResultOptions{Resamples: 50}
	for _, shuffle := range []bool{false, true} {
		log := invented(t, invent.Options{Rows: 20_000, Seed: 8, Shuffle: shuffle})
		want := result(t, compare(t, log, logbook.CompareOptions{}), opt)
		none := *want
		none.Choices = nil
		if len(want.Choices) != want.Lifters || want.Lifters < 3 {
			t.Fatalf("%d choices, %d lifters", len(want.Choices), want.Lifters)
		}
		for _, tc := range []struct {
			most int
			want *logbook.Result
		}{{1, &none}, {want.Lifters - 1, &none}, {want.Lifters, want}, {want.Lifters + 1, want}} {
			what := fmt.Sprintf("choices for up to %d, shuffled %t", tc.most, shuffle)
			o := logbook.CompareOptions{ChoicesUpTo: tc.most}
			c := compare(t, log, o)
			sameResult(t, what, result(t, c, opt), tc.want, 0)
			back := &logbook.Comparison{}
			through(t, c, back)
			sameResult(t, what+", read back", result(t, back, opt), tc.want, 0)

			// The same log in three parts, each of fewer lifters.
			tests, err := logbook.CollectTests(logbook.NewReader(logbook.Options{}, logbook.Stream("log", bytes.NewReader(log))), logbook.TestedOrSingle)
			if err != nil {
				t.Fatal(err)
			}
			var parts [3]*logbook.Comparison
			for i := range parts {
				if parts[i], err = logbook.NewComparisonWith(o, tests); err != nil {
					t.Fatal(err)
				}
			}
			for row, err := range logbook.NewReader(logbook.Options{}, logbook.Stream("log", bytes.NewReader(log))).Rows() {
				if err != nil {
					t.Fatal(err)
				}
				s := logbook.Set{Load: row.Load, RIR: row.RIR, Day: int32(row.Day), Reps: int16(row.Reps), Count: int16(row.Count), Tested: row.Tested}
				if err := parts[int(row.Lifter[len(row.Lifter)-1])%3].Add(row.Lifter, row.Lift, s); err != nil {
					t.Fatal(err)
				}
			}
			all := &logbook.Comparison{}
			for _, p := range parts {
				if err := all.Merge(p); err != nil {
					t.Fatal(err)
				}
			}
			sameResult(t, what+", in parts", result(t, all, opt), tc.want, 1e-12)
		}
	}
	a, b := compare(t, invented(t, invent.Options{Rows: 1000}), logbook.CompareOptions{}), compare(t, invented(t, invent.Options{Rows: 1000}), logbook.CompareOptions{ChoicesUpTo: 4})
	var mismatch *logbook.MismatchError
	if err := a.Merge(b); !errors.As(err, &mismatch) || mismatch.What != "kinds of sums" {
		t.Errorf("merge of different sums: %v", err)
	}
}
