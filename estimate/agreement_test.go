package estimate

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// agreementTable reads a CSV file of testdata, comment lines left out, without
// its header.
func agreementTable(t testing.TB, name string) [][]string {
	t.Helper()
	f, err := os.Open("../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func agreementColumn(t testing.TB, rows [][]string, col int) []float64 {
	t.Helper()
	var xs []float64
	for _, row := range rows {
		x, err := strconv.ParseFloat(row[col], 64)
		if err != nil {
			t.Fatal(err)
		}
		xs = append(xs, x)
	}
	return xs
}

func agreementReadings(t testing.TB, rows [][]string, cols ...int) [][]float64 {
	t.Helper()
	out := make([][]float64, len(rows))
	for _, c := range cols {
		for i, x := range agreementColumn(t, rows, c) {
			out[i] = append(out[i], x)
		}
	}
	return out
}

func mustAgree(t testing.TB, m, r []float64, opt AgreementOptions) AgreementResult {
	t.Helper()
	res, err := Agree(m, r, opt)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// Every row of agreement-results.csv, the printed digits and the recomputed
// ones. The data and their sources stand in the files.
func TestAgreementPublished(t *testing.T) {
	pefr := agreementTable(t, "agreement-pefr1986.csv")
	sbp := agreementTable(t, "agreement-sbp1999.csv")
	wright, mini := agreementColumn(t, pefr, 1), agreementColumn(t, pefr, 3)
	p2 := mustAgree(t, wright, mini, AgreementOptions{Multiplier: Limits2})
	p196 := mustAgree(t, wright, mini, AgreementOptions{})
	s := mustAgree(t, agreementColumn(t, sbp, 1), agreementColumn(t, sbp, 7), AgreementOptions{})

	repeat := func(rows [][]string, cols ...int) Repeatability {
		r, err := Repeat(agreementReadings(t, rows, cols...), Limits2)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	repWright, repMini := repeat(pefr, 1, 2), repeat(pefr, 3, 4)
	repJ, repS := repeat(sbp, 1, 2, 3), repeat(sbp, 7, 8, 9)

	// The paper of 1986 worked on with rounded inputs; r1 is its rounding.
	r1 := func(x float64) float64 { return math.Round(x*10) / 10 }
	t2 := math.Round(p2.T*100) / 100
	lower, upper := r1(p2.Bias)-2*r1(p2.SD), r1(p2.Bias)+2*r1(p2.SD)

	// Each row: what the paper printed from (rounded) results of ours, and our
	// unrounded values.
	type check struct {
		digits int
		paper  []float64
		exact  []float64
	}
	checks := map[string]check{
		"pefr1986|mean of Wright_1 - mini_1":             {1, []float64{p2.Bias}, []float64{p2.Bias}},
		"pefr1986|SD of differences (n-1)":               {1, []float64{p2.SD}, []float64{p2.SD}},
		"pefr1986|limits, mean -/+ 2 SD":                 {1, []float64{lower, upper}, []float64{p2.Lower, p2.Upper}},
		"pefr1986|limits, mean -/+ 1.96 SD":              {0, nil, []float64{p196.Lower, p196.Upper}},
		"pefr1986|SE of mean difference; t 0.975, 16 df": {-1, []float64{p2.BiasSE, p2.T}, []float64{p2.BiasSE, p2.T}},
		"pefr1986|95% CI of bias": {1, []float64{r1(p2.Bias) - t2*r1(p2.BiasSE), r1(p2.Bias) + t2*r1(p2.BiasSE)},
			[]float64{p2.BiasCI.Low, p2.BiasCI.High}},
		"pefr1986|SE of a limit, sqrt(3 s^2/n)": {1, []float64{p2.LimitSE}, []float64{p2.LimitSE}},
		"pefr1986|95% CI of the lower limit (2 SD version)": {1, []float64{r1(lower) - t2*r1(p2.LimitSE), r1(lower) + t2*r1(p2.LimitSE)},
			[]float64{p2.LowerCI.Low, p2.LowerCI.High}},
		"pefr1986|95% CI of the upper limit (2 SD version)": {1, []float64{r1(upper) - t2*r1(p2.LimitSE), r1(upper) + t2*r1(p2.LimitSE)},
			[]float64{p2.UpperCI.Low, p2.UpperCI.High}},
		"pefr1986|Pearson r": {2, []float64{p2.R}, []float64{p2.R}},
		"pefr1986|repeatability coefficient Wright; mini": {1,
			[]float64{2 * r1(repWright.SD*math.Sqrt2), 2 * r1(repMini.SD*math.Sqrt2)},
			[]float64{repWright.Coefficient, repMini.Coefficient}},
		"pefr1986|Lin concordance, sums divided by n":       {3, []float64{p2.CCC}, []float64{p2.CCC, p2.BiasFactor}},
		"pefr1986|Lin concordance, sums divided by n-1":     {0, nil, []float64{p2.CCCSample}},
		"sbp1999|J1 - S1: mean, SD, limits 1.96 SD":         {-2, []float64{s.Bias, s.SD, s.Lower, s.Upper}, []float64{s.Bias, s.SD, s.Lower, s.Upper}},
		"sbp1999|J1 - S1: 95% CI of bias":                   {1, []float64{s.BiasCI.Low, s.BiasCI.High}, []float64{s.BiasCI.Low, s.BiasCI.High}},
		"sbp1999|within-subject variance J; S (3 readings)": {3, []float64{repJ.Variance, repS.Variance}, []float64{repJ.Variance, repS.Variance}},
	}
	// numbers are the plain numbers of a cell, with the decimals they carry;
	// words and "C_b" are passed over.
	numbers := func(cell string) (xs []float64, decimals []int) {
		if i := strings.LastIndex(cell, "="); i >= 0 {
			cell = cell[i+1:]
		}
		for _, w := range strings.FieldsFunc(cell, func(r rune) bool { return r == ' ' || r == ';' }) {
			x, err := strconv.ParseFloat(w, 64)
			if err != nil {
				continue
			}
			d := 0
			if i := strings.IndexByte(w, '.'); i >= 0 {
				d = len(w) - i - 1
			}
			xs, decimals = append(xs, x), append(decimals, d)
		}
		return xs, decimals
	}
	rows := agreementTable(t, "agreement-results.csv")
	for _, row := range rows {
		key := row[0] + "|" + row[1]
		c, ok := checks[key]
		if !ok {
			t.Errorf("%s: no check", key)
			continue
		}
		delete(checks, key)
		for _, side := range []struct {
			cell string
			got  []float64
		}{{row[2], c.paper}, {row[3], c.exact}} {
			want, decimals := numbers(side.cell)
			if len(want) != len(side.got) {
				t.Errorf("%s: %d numbers in %q, %d computed", key, len(want), side.cell, len(side.got))
				continue
			}
			for i := range want {
				g := strconv.FormatFloat(side.got[i], 'f', decimals[i], 64)
				w := strconv.FormatFloat(want[i], 'f', decimals[i], 64)
				if g != w {
					t.Errorf("%s: %q: got %s, want %s", key, side.cell, g, w)
				}
			}
		}
	}
	for key := range checks {
		t.Errorf("%s: not in the file", key)
	}
}

// Divisor and multiplier conventions, by hand for differences 1, 2, 3, 6:
// mean 3, sum of squares 4+1+0+9 = 14.
func TestAgreementConventions(t *testing.T) {
	m, r := []float64{11, 22, 33, 46}, []float64{10, 20, 30, 40}
	for _, c := range []struct {
		opt      AgreementOptions
		sd, mult float64
	}{
		{AgreementOptions{}, math.Sqrt(14.0 / 3), 1.96},
		{AgreementOptions{Divisor: DivisorPopulation}, math.Sqrt(14.0 / 4), 1.96},
		{AgreementOptions{Multiplier: Limits2}, math.Sqrt(14.0 / 3), 2},
		// t 0.975 on 3 degrees of freedom, handbook table: 3.182.
		{AgreementOptions{Multiplier: LimitsT}, math.Sqrt(14.0 / 3), 3.182446305284263},
	} {
		res := mustAgree(t, m, r, c.opt)
		got := []float64{res.Bias, res.SD, res.Multiplier, res.Lower, res.Upper, res.MAE, res.RMSE, res.LimitSE}
		want := []float64{3, c.sd, c.mult, 3 - c.mult*c.sd, 3 + c.mult*c.sd, 3, math.Sqrt(12.5), c.sd * math.Sqrt(0.75)}
		if d := cmp.Diff(want, got, cmpopts.EquateApprox(1e-12, 0)); d != "" {
			t.Errorf("%v %v (-want +got):\n%s", c.opt.Multiplier, c.opt.Divisor, d)
		}
	}
}

func TestAgreementDegenerate(t *testing.T) {
	var a Agreement
	_, err := a.Result(AgreementOptions{})
	var few *TooFewError
	if !errors.As(err, &few) || few.Need != 1 {
		t.Errorf("no pairs: %v", err)
	}
	var fe *FieldError
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 2e100} {
		if err := a.Add(x, 1); !errors.As(err, &fe) || fe.Field != "method" {
			t.Errorf("Add(%v, 1): %v", x, err)
		}
		if err := a.Add(1, x); !errors.As(err, &fe) || fe.Field != "reference" {
			t.Errorf("Add(1, %v): %v", x, err)
		}
	}
	if a.N() != 0 {
		t.Errorf("refused pairs were counted: %d", a.N())
	}
	one := mustAgree(t, []float64{3}, []float64{5}, AgreementOptions{})
	if one.Bias != -2 || one.MAE != 2 || one.RMSE != 2 || one.HasSpread || one.HasConcordance || one.SD != 0 {
		t.Errorf("one pair: %+v", one)
	}
	flat := mustAgree(t, []float64{3, 3, 3}, []float64{5, 6, 7}, AgreementOptions{})
	if !flat.HasSpread || flat.HasConcordance || flat.R != 0 || flat.SDRef != 1 {
		t.Errorf("a method that does not vary: %+v", flat)
	}
	same := mustAgree(t, []float64{3, 4, 9}, []float64{3, 4, 9}, AgreementOptions{})
	if same.SD != 0 || math.Abs(same.CCC-1) > 1e-15 || math.Abs(same.R-1) > 1e-15 || same.Bias != 0 {
		t.Errorf("identical: %+v", same)
	}
	if _, err := Agree([]float64{1, 2}, []float64{1}, AgreementOptions{}); !errors.As(err, &fe) || fe.Field != "reference" {
		t.Errorf("lengths: %v", err)
	}
	if _, err := Agree([]float64{1, math.NaN()}, []float64{1, 1}, AgreementOptions{}); !errors.As(err, &fe) || fe.Field != "method[1]" {
		t.Errorf("NaN: %v", err)
	}
	for _, opt := range []AgreementOptions{{Confidence: 1}, {Confidence: -1}, {Confidence: math.NaN()}, {Multiplier: 7}, {Divisor: -1}} {
		if _, err := Agree([]float64{1, 2}, []float64{1, 2}, opt); !errors.As(err, &fe) {
			t.Errorf("%+v: %v", opt, err)
		}
	}
	if _, err := Repeat([][]float64{{1}, {2}, nil}, Limits2); !errors.As(err, &few) {
		t.Errorf("no repeats: %v", err)
	}
	if _, err := Repeat([][]float64{{1, math.Inf(1)}}, Limits2); !errors.As(err, &fe) || fe.Field != "readings[0][1]" {
		t.Errorf("infinite reading: %v", err)
	}
	if _, err := Repeat([][]float64{{1, 2}}, 9); !errors.As(err, &fe) {
		t.Errorf("multiplier: %v", err)
	}
	for _, s := range []string{`{"n":-1}`, `{"n":0,"ss_method":2}`, `{"n":1,"ss_difference":-3}`, `{"n":2,"mean_method":1e300}`, `[]`} {
		if err := json.Unmarshal([]byte(s), &a); err == nil {
			t.Errorf("%s was read", s)
		}
	}
}

// However a log is cut, the merged parts equal one accumulator, and results stay finite
// for anything that is accepted.
func TestAgreementMergeProperty(t *testing.T) {
	value := rapid.OneOf(rapid.Float64Range(-300, 300), rapid.Float64Range(-1e100, 1e100),
		rapid.SampledFrom([]float64{0, 1e-300, -1e-160, 1e100, -1e100, 100}))
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "n")
		// The scale of a set of pairs, for the tolerance.
		gen := value
		if rapid.Bool().Draw(t, "ordinary") {
			gen = rapid.Float64Range(50, 300)
		}
		scale := 0.0
		var whole Agreement
		parts := make([]Agreement, rapid.IntRange(1, 5).Draw(t, "parts"))
		for range n {
			m, r := gen.Draw(t, "m"), gen.Draw(t, "r")
			scale = math.Max(scale, math.Max(math.Abs(m), math.Abs(r)))
			if err := whole.Add(m, r); err != nil {
				t.Fatal(err)
			}
			if err := parts[rapid.IntRange(0, len(parts)-1).Draw(t, "part")].Add(m, r); err != nil {
				t.Fatal(err)
			}
		}
		var left, right Agreement
		for i := range parts {
			left.Merge(parts[i])
			right.Merge(parts[len(parts)-1-i])
		}
		opt := AgreementOptions{}
		want, err := whole.Result(opt)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range []Agreement{left, right} {
			b, err := json.Marshal(a)
			if err != nil {
				t.Fatal(err)
			}
			var back Agreement
			if err := json.Unmarshal(b, &back); err != nil {
				t.Fatal(err)
			}
			if back != a {
				t.Fatalf("JSON changed %+v to %+v", a, back)
			}
			got, err := a.Result(opt)
			if err != nil {
				t.Fatal(err)
			}
			if got.N != want.N {
				t.Fatalf("N %d, want %d", got.N, want.N)
			}
			for _, p := range [][2]float64{{got.Bias, want.Bias}, {got.MAE, want.MAE}, {got.RMSE, want.RMSE}, {got.MeanMethod, want.MeanMethod}} {
				if !(math.Abs(p[0]-p[1]) <= 1e-13*scale) {
					t.Fatalf("got %v, want %v", p[0], p[1])
				}
			}
			if !(math.Abs(got.SD-want.SD) <= 1e-7*scale) {
				t.Fatalf("SD %v, want %v", got.SD, want.SD)
			}
			for _, x := range []float64{got.R, got.CCC, got.CCCSample, got.BiasFactor, got.ScaleShift, got.Location, got.Lower, got.Upper, got.UpperCI.High, got.LimitSE} {
				if !finite(x) {
					t.Fatalf("not finite: %+v", got)
				}
			}
			if math.Abs(got.CCC) > math.Abs(got.R) || got.MAE > got.RMSE*(1+1e-12) {
				t.Fatalf("|CCC| <= |R| and MAE <= RMSE must hold: %+v", got)
			}
		}
	})
}

// Moments about a large offset: the textbook sum-of-squares formula would lose
// every digit here. Differences 0.25*(i mod 4): mean 0.375, sample SD by hand
// sqrt(n/(n-1) * 0.25^2*1.25).
func TestAgreementStable(t *testing.T) {
	const n = 100_000
	var a Agreement
	for i := range n {
		if err := a.Add(1e9+0.25*float64(i%4), 1e9); err != nil {
			t.Fatal(err)
		}
	}
	r, err := a.Result(AgreementOptions{})
	if err != nil {
		t.Fatal(err)
	}
	want := 0.25 * math.Sqrt(1.25*n/(n-1))
	if math.Abs(r.SD/want-1) > 1e-12 || math.Abs(r.Bias-0.375) > 1e-12 {
		t.Errorf("SD %v, want %v; bias %v", r.SD, want, r.Bias)
	}
}

// Under normal differences the 95 % interval of the bias covers its mean 95
// times in 100 and that of a limit about as often (its SE is approximate). 4000
// runs put the standard error of a coverage at 0.35 %.
func TestAgreementCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 8))
	const runs, n = 4000, 30
	bias, limit := 0, 0
	for range runs {
		var a Agreement
		for range n {
			ref := 100 + 20*rng.NormFloat64()
			if err := a.Add(ref+2+5*rng.NormFloat64(), ref); err != nil {
				t.Fatal(err)
			}
		}
		r, err := a.Result(AgreementOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if r.BiasCI.Low < 2 && 2 < r.BiasCI.High {
			bias++
		}
		if u := 2 + 1.96*5; r.UpperCI.Low < u && u < r.UpperCI.High {
			limit++
		}
	}
	if c := float64(bias) / runs; math.Abs(c-0.95) > 0.012 {
		t.Errorf("coverage of the bias interval %.4f", c)
	}
	if c := float64(limit) / runs; math.Abs(c-0.95) > 0.02 {
		t.Errorf("coverage of the limit interval %.4f", c)
	}
}

func TestAgreementBands(t *testing.T) {
	b, err := NewAgreementBands(1, 4, 7, 10)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []float64{0.5, 1, 3.9, 4, 6, 7, 10, 10.01, 200} {
		if err := b.Add(key, key, 0); err != nil {
			t.Fatal(err)
		}
	}
	var got []string
	for _, band := range b.Bands() {
		r, err := band.Pairs.Result(AgreementOptions{})
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, fmt.Sprintf("%g-%g: %d, %.4g", band.From, band.To, r.N, r.Bias))
	}
	want := []string{"1-4: 2, 2.45", "4-7: 2, 5", "7-10: 2, 8.5"}
	if d := cmp.Diff(want, got); d != "" || b.Outside() != 3 {
		t.Errorf("outside %d, bands (-want +got):\n%s", b.Outside(), d)
	}

	data, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	var back AgreementBands
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if err := back.Merge(b); err != nil {
		t.Fatal(err)
	}
	if back.Outside() != 6 || back.Bands()[1].Pairs.N() != 4 {
		t.Errorf("merged: %+v", back)
	}
	other, err := NewAgreementBands(1, 5)
	if err != nil {
		t.Fatal(err)
	}
	var fe *FieldError
	if err := back.Merge(other); !errors.As(err, &fe) {
		t.Errorf("other edges: %v", err)
	}
	if err := b.Add(math.NaN(), 1, 1); !errors.As(err, &fe) || fe.Field != "key" {
		t.Errorf("NaN key: %v", err)
	}
	for _, edges := range [][]float64{nil, {1}, {1, 1}, {2, 1}, {1, math.NaN()}, {math.Inf(-1), 2}} {
		if _, err := NewAgreementBands(edges...); !errors.As(err, &fe) {
			t.Errorf("edges %v: %v", edges, err)
		}
	}
	for _, s := range []string{`{"edges":[1,2],"bands":[]}`, `{"edges":[2,1],"bands":[{"n":0}]}`, `{"edges":[1,2],"bands":[{"n":0}],"outside":-1}`, `3`} {
		if err := json.Unmarshal([]byte(s), &back); err == nil {
			t.Errorf("%s was read", s)
		}
	}
}

func FuzzAgreementJSON(f *testing.F) {
	f.Add([]byte(`{"n":2,"mean_method":1.5,"mean_reference":1,"mean_difference":0.5,"ss_method":0.5,"ss_reference":0,"sp_method_reference":0,"ss_difference":0.5,"sum_absolute":1,"sum_absolute_compensation":0}`))
	f.Add([]byte(`{"n":0}`))
	f.Add([]byte(`{"n":9e18,"ss_method":1e200}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var a Agreement
		if json.Unmarshal(data, &a) != nil {
			return
		}
		b, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		var c Agreement
		if err := json.Unmarshal(b, &c); err != nil || c != a {
			t.Fatalf("%s read again: %+v, want %+v, %v", b, c, a, err)
		}
		if r, err := a.Result(AgreementOptions{}); err == nil && !finite(r.SD+r.RMSE+r.CCC+r.Lower+r.Upper+r.LowerCI.Low+r.UpperCI.High) {
			t.Fatalf("not finite: %+v", r)
		}
	})
}

func BenchmarkAgreementAdd(b *testing.B) {
	b.ReportAllocs()
	var a Agreement
	x := 100.0
	for b.Loop() {
		if err := a.Add(x, 101); err != nil {
			b.Fatal(err)
		}
		x += 0.25
		if x > 200 {
			x = 100
		}
	}
}

// An interval that is not there can be printed too.
func TestIntervalText(t *testing.T) {
	var none *Interval
	some := &Interval{Low: -1.234567, High: 12.3}
	for _, tt := range []struct{ got, want string }{
		{none.Text(2), "no interval"}, {fmt.Sprint(none), "<nil>"},
		{fmt.Sprint(some), "-1.235 to 12.3"}, {fmt.Sprint(*some), "-1.235 to 12.3"}, {some.Text(2), "-1.23 to 12.30"}, {some.Text(0), "-1 to 12"},
	} {
		if tt.got != tt.want {
			t.Errorf("%q, want %q", tt.got, tt.want)
		}
	}
}
