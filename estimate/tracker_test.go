package estimate

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

type trackerRefSet struct {
	Day, Load, Reps, RIR float64
	NoRIR, Tested        bool
}

type trackerReference struct {
	NumPy  string
	States struct {
		Sets     []trackerRefSet
		Jumps    []TrackerJump
		Drift    float64
		Noise    float64
		LogLik   float64
		Filtered [][6]float64
		Smoothed [][6]float64
	}
	Fit struct {
		Sets                 []trackerRefSet
		Drift, Noise, LogLik float64
	}
}

// readTrackerReference reads the output of testdata/tracker_reference.py.txt, a
// dense computation with numpy and scipy that shares no algorithm with the filter;
// their versions stand in the file.
func readTrackerReference(t testing.TB) trackerReference {
	t.Helper()
	b, err := os.ReadFile("testdata/tracker_reference.json")
	if err != nil {
		t.Fatal(err)
	}
	var r trackerReference
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	if r.NumPy == "" || len(r.States.Filtered) != len(r.States.Sets) || len(r.Fit.Sets) == 0 {
		t.Fatal("the reference is incomplete")
	}
	return r
}

func trackerSets(ref []trackerRefSet) []Set {
	out := make([]Set, len(ref))
	for i, s := range ref {
		out[i] = Set{Load: s.Load, Reps: s.Reps, RIR: s.RIR, NoRIR: s.NoRIR, Tested: s.Tested, Day: s.Day}
	}
	return out
}

func mustTrack(t testing.TB, sets []Set, opt TrackerOptions) *Tracking {
	t.Helper()
	tr, err := Track(sets, opt)
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

func trackerSummary(s TrackerState) [6]float64 {
	return [6]float64{s.LogMax, s.LogMaxSD, s.Ability, s.AbilitySD, s.ReserveBias, s.ReserveBiasSD}
}

// Filtered and smoothed states and the log-likelihood at fixed variances agree
// with the reference to 8 digits: sets of one day, lower bounds, tested singles,
// missed attempts, a lay-off of 45 days and a jump are all in it.
func TestTrackerReferenceStates(t *testing.T) {
	ref := readTrackerReference(t).States
	tr := mustTrack(t, trackerSets(ref.Sets), TrackerOptions{Drift: ref.Drift, Noise: ref.Noise, Jumps: ref.Jumps})
	if tr.Measured == 0 || tr.Lower == 0 || tr.Upper == 0 || tr.Unused != 0 {
		t.Errorf("kinds: %d %d %d %d", tr.Measured, tr.Lower, tr.Upper, tr.Unused)
	}
	digits := cmpopts.EquateApprox(1e-8, 1e-9)
	if d := cmp.Diff(ref.LogLik, tr.LogLik, digits); d != "" {
		t.Errorf("log-likelihood (-want +got):\n%s", d)
	}
	for i, p := range tr.Points {
		if d := cmp.Diff(ref.Filtered[i], trackerSummary(p.After), digits); d != "" {
			t.Fatalf("set %d filtered (-want +got):\n%s", i, d)
		}
		if d := cmp.Diff(ref.Smoothed[i], trackerSummary(p.All), digits); d != "" {
			t.Fatalf("set %d smoothed (-want +got):\n%s", i, d)
		}
	}
}

// Maximum-likelihood drift and noise agree with scipy's search over the dense
// likelihood to 1e-4.
func TestTrackerReferenceFit(t *testing.T) {
	ref := readTrackerReference(t).Fit
	fit, err := FitTracker(trackerSets(ref.Sets), TrackerOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if fit.Status != TrackerConverged || fit.Status.Err() != nil || fit.DriftAtBound || fit.NoiseAtBound {
		t.Errorf("status %v", fit.Status)
	}
	got := [3]float64{fit.Drift, fit.Noise, fit.LogLik}
	if d := cmp.Diff([3]float64{ref.Drift, ref.Noise, ref.LogLik}, got, cmpopts.EquateApprox(1e-4, 0)); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
	// The options that come back give that likelihood.
	if tr := mustTrack(t, trackerSets(ref.Sets), fit.Options); math.Abs(tr.LogLik-fit.LogLik) > 1e-9 {
		t.Errorf("log-likelihood %v with the fitted options, %v in the fit", tr.LogLik, fit.LogLik)
	}
	t.Logf("%d evaluations", fit.Evaluations)
}

// The values of scipy 1.10.1's log_ndtr on both sides of the switch to the
// series, and the derivatives against differences.
func TestTrackerLogNormalCDF(t *testing.T) {
	for _, c := range []struct{ x, want float64 }{
		{-10000.0, -50000010.12927892},
		{-100, -5005.524208694205},
		{-30, -454.32124395634327},
		{-25.0001, -316.6419120003136},
		{-24.9999, -316.63690402571126},
		{-10, -53.23128515051248},
		{-1, -1.841021645009264},
		{0, -0.6931471805599453},
		{2, -0.023012909328963486},
		{9, -1.1285884059538324e-19},
	} {
		got, mills, bend := logNormalCDF(c.x)
		if math.Abs(got-c.want) > 1e-12*math.Abs(c.want) {
			t.Errorf("log cdf at %v: %v, want %v", c.x, got, c.want)
		}
		if c.x < -1e3 {
			if bend <= 0.999 || bend > 1 || math.Abs(mills/-c.x-1) > 1e-7 {
				t.Errorf("far tail: %v %v", mills, bend)
			}
			continue
		}
		const h = 1e-4
		up, mu, _ := logNormalCDF(c.x + h)
		dn, md, _ := logNormalCDF(c.x - h)
		if d := (up - dn) / (2 * h); math.Abs(d-mills) > 1e-6*math.Max(1, mills) {
			t.Errorf("first derivative at %v: %v, difference %v", c.x, mills, d)
		}
		if d := -(mu - md) / (2 * h); math.Abs(d-bend) > 1e-6 {
			t.Errorf("second derivative at %v: %v, difference %v", c.x, bend, d)
		}
		if !(bend >= 0 && bend <= 1) {
			t.Errorf("bend at %v: %v", c.x, bend)
		}
	}
}

// The derivatives of y at any state are those of central differences of the
// forecast, for the general curve, a scaled one and an equation.
func TestTrackerLinearise(t *testing.T) {
	for _, name := range []string{"general", "bench press", "brzycki", "epley"} {
		c, err := CurveNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		m, err := TrackerOptions{Curve: c}.resolve()
		if err != nil {
			t.Fatal(err)
		}
		rapid.Check(t, func(t *rapid.T) {
			f := rapid.Float64Range(0.62, 0.96).Draw(t, "f")
			// Not across the knots of the curve or the bridge of an equation below
			// two repetitions, where a second derivative jumps.
			for _, k := range append(nuzzoFraction[:], 0.9, c.fraction(2)) {
				if math.Abs(f-k) < 1e-3 {
					f += 2e-3
				}
			}
			z := rapid.Float64Range(-2, 2).Draw(t, "z")
			o := trackerObs{lnLoad: math.Log(100), rirSD: 1, curved: true}
			top := o.lnLoad - math.Log(f)
			// The forecast at the point itself, nothing reported beyond: y.
			y := func(top, z float64) float64 {
				var zz trackerVec
				a := trackerVec{top, z, 0, 0}
				v, _ := m.linearise(&o, &zz, top, z, &a)
				return v
			}
			reps := c.repsOf(f, z*m.abilityShare)
			if reps > 0.95*m.most {
				return
			}
			for _, k := range append(nuzzoFraction[:], c.fraction(2)) {
				if math.Abs(c.fraction(reps)-k) < 1e-3 {
					return
				}
			}
			var load trackerVec
			a := trackerVec{top, z, 0, 0}
			m.linearise(&o, &load, top, z, &a)
			const h = 1e-5
			if d := (y(top+h, z) - y(top-h, z)) / (2 * h); math.Abs(d-load[trackerLevel]) > 2e-5*math.Max(1, math.Abs(d)) {
				t.Fatalf("%s: by the level %v, difference %v", name, load[trackerLevel], d)
			}
			if d := (y(top, z+h) - y(top, z-h)) / (2 * h); math.Abs(d-load[trackerAbility]) > 2e-5 {
				t.Fatalf("%s: by ability %v, difference %v", name, load[trackerAbility], d)
			}
			if z == 0 && math.Abs(load[trackerLevel]-1) > 1e-9 {
				t.Fatalf("%s: for a lifter in the middle y is the maximum, got slope %v", name, load[trackerLevel])
			}
		})
	}
}

// One lower bound on a believed maximum: mean and variance by the trapezoidal
// rule over normal prior times probit likelihood.
func TestTrackerBoundQuadrature(t *testing.T) {
	for _, c := range []struct {
		reps float64
		load float64
	}{{1, 90}, {1, 100}, {1, 112}, {0, 95}, {0, 108}} {
		opt := TrackerOptions{PriorMax: 100, PriorSD: 0.05, FormSD: -1, TestSD: 0.02}
		tr := mustTrack(t, []Set{{Load: c.load, Reps: c.reps, NoRIR: true}}, opt)
		noise, side := trackerSetSD, 1.0
		if c.reps == 0 {
			noise, side = 0.02, -1
		}
		var w, wx, wxx float64
		for i := range 40001 {
			x := math.Log(100) + 0.05*10*(float64(i)/20000-1)
			u := (x - math.Log(100)) / 0.05
			p := math.Exp(-u*u/2) * 0.5 * math.Erfc(-side*(x-math.Log(c.load))/noise/math.Sqrt2)
			w, wx, wxx = w+p, wx+p*x, wxx+p*x*x
		}
		mean := wx / w
		sd := math.Sqrt(wxx/w - mean*mean)
		got := tr.Points[0].After
		if math.Abs(got.LogMax-mean) > 1e-7 || math.Abs(got.LogMaxSD-sd) > 1e-7 {
			t.Errorf("%+v: mean %.9f SD %.9f, want %.9f %.9f", c, got.LogMax, got.LogMaxSD, mean, sd)
		}
	}
}

// trackerWeeks are sets of a lifter whose maximum is 150, twice a week.
func trackerWeeks(n int) []Set {
	var sets []Set
	for i := range n {
		reps, rir := float64(3+i%6), float64(i%4)
		f := generalFraction(reps + rir + 0.95*math.Min(rir, 1))
		sets = append(sets, Set{Load: 150 * f, Reps: reps, RIR: rir, Day: float64(7*i) / 2})
	}
	return sets
}

func TestTrackerErrors(t *testing.T) {
	var few *TooFewError
	if _, err := Track(nil, TrackerOptions{}); !errors.As(err, &few) {
		t.Errorf("no sets: %v", err)
	}
	var fe *FieldError
	good := Set{Load: 100, Reps: 5, RIR: 1, Day: 3}
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		set   Set
		field string
	}{
		{Set{Load: nan, Reps: 5, Day: 3}, "sets[1].load"},
		{Set{Load: 0, Reps: 5, Day: 3}, "sets[1].load"},
		{Set{Load: -20, Reps: 5, Day: 3}, "sets[1].load"},
		{Set{Load: inf, Reps: 5, Day: 3}, "sets[1].load"},
		{Set{Load: 100, Reps: nan, Day: 3}, "sets[1].reps"},
		{Set{Load: 100, Reps: 0.5, Day: 3}, "sets[1].reps"},
		{Set{Load: 100, Reps: -1, Day: 3}, "sets[1].reps"},
		{Set{Load: 100, Reps: inf, Day: 3}, "sets[1].reps"},
		{Set{Load: 100, Reps: 5, RIR: nan, Day: 3}, "sets[1].rir"},
		{Set{Load: 100, Reps: 5, RIR: -1, Day: 3}, "sets[1].rir"},
		{Set{Load: 100, Reps: 5, Day: nan}, "sets[1].day"},
		{Set{Load: 100, Reps: 5, Day: inf}, "sets[1].day"},
		{Set{Load: 100, Reps: 5, Day: 2.9}, "sets[1].day"}, // before the one before
	} {
		if _, err := Track([]Set{good, c.set}, TrackerOptions{}); !errors.As(err, &fe) || fe.Field != c.field {
			t.Errorf("%+v: %v, want %s", c.set, err, c.field)
		}
	}
	if _, err := Track([]Set{good, {Load: 100, Reps: 5, NoRIR: true, RIR: nan, Day: 3}}, TrackerOptions{}); err != nil {
		t.Errorf("an unreported reserve is ignored: %v", err)
	}
	for _, o := range []TrackerOptions{
		{Coverage: 1}, {Coverage: nan}, {Coverage: -0.5}, {Drift: inf}, {Drift: nan}, {Noise: -1}, {Noise: 1e-9}, {FormSD: 3}, {TestSD: -1}, {TestSD: 1e-9},
		{AbilityDays: -1}, {LayoffDays: -2}, {PriorMax: -1}, {PriorMax: inf}, {PriorSD: -1}, {Curve: &Curve{}}, {FarReserve: nan}, {ReserveBias: inf}, {ReserveSpread: nan},
		{Jumps: []TrackerJump{{1, 0}}}, {Jumps: []TrackerJump{{nan, 0.1}}}, {Jumps: []TrackerJump{{2, 0.1}, {1, 0.1}}},
	} {
		if _, err := Track([]Set{good}, o); !errors.As(err, &fe) {
			t.Errorf("%+v: %v", o, err)
		}
		if _, err := FitTracker(trackerWeeks(20), o); o.Drift == 0 && o.Noise == 0 && !errors.As(err, &fe) {
			t.Errorf("fit %+v: %v", o, err)
		}
	}
	var bo *BoundOnlyError
	if _, err := Track([]Set{{Load: 100, Reps: 5, NoRIR: true}, {Load: 60, Reps: 5, RIR: 8}}, TrackerOptions{}); !errors.As(err, &bo) || math.Abs(bo.AtLeast-100/generalFraction(5)) > 1e-9 {
		t.Errorf("bounds only: %v", err)
	}
	if _, err := Track([]Set{{Load: 100}}, TrackerOptions{}); !errors.As(err, &bo) || bo.AtLeast != 0 {
		t.Errorf("missed only: %v", err)
	}
	tr := mustTrack(t, []Set{good}, TrackerOptions{})
	for _, day := range []float64{2.9, nan, inf, -5} {
		if _, err := tr.At(day); !errors.As(err, &fe) || fe.Field != "day" {
			t.Errorf("At(%v): %v", day, err)
		}
	}
	if _, err := new(Tracking).At(1); !errors.As(err, &fe) {
		t.Errorf("zero tracking: %v", err)
	}
	if _, _, err := (TrackerState{}).Interval(1); !errors.As(err, &fe) {
		t.Errorf("coverage: %v", err)
	}
	if _, err := FitTracker(trackerWeeks(9), TrackerOptions{}); !errors.As(err, &few) || few.Need != trackerFitSets {
		t.Errorf("short log: %v", err)
	}
	same := trackerWeeks(20)
	for i := range same {
		same[i].Day = float64(i / 5)
	}
	if _, err := FitTracker(same, TrackerOptions{}); !errors.As(err, &few) || few.Need != trackerFitDays {
		t.Errorf("few days: %v", err)
	}
	if (TrackerLimit).Err() == nil || TrackerAtBound.Err() != nil {
		t.Error("status errors")
	}
}

// One set: the same median as Max within 2 %, and an interval of like width.
// They differ by the linearisation and the day's form.
func TestTrackerOneSet(t *testing.T) {
	for _, s := range []Set{{Load: 100, Reps: 5}, {Load: 100, Reps: 5, RIR: 2}, {Load: 100, Reps: 10, RIR: 1}, {Load: 140, Reps: 3, RIR: 3}} {
		tr := mustTrack(t, []Set{s}, TrackerOptions{})
		e, err := tr.At(0)
		if err != nil {
			t.Fatal(err)
		}
		want, err := Max([]Set{s}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(e.Max/want.Max-1) > 0.02 {
			t.Errorf("%+v: %.1f, Max says %.1f", s, e.Max, want.Max)
		}
		if r := (e.High - e.Low) / (want.High - want.Low); r < 0.75 || r > 1.4 {
			t.Errorf("%+v: %.1f to %.1f, Max says %.1f to %.1f", s, e.Low, e.High, want.Low, want.High)
		}
	}
	single := mustTrack(t, []Set{{Load: 150, Reps: 1, Tested: true, NoRIR: true}}, TrackerOptions{})
	if e, err := single.At(0); err != nil || math.Abs(e.Max-150) > 1e-9 || e.Low < 145 || e.High > 155 {
		t.Errorf("a tested single: %+v %v", e, err)
	}
}

// What sets without a reserve do.
func TestTrackerBounds(t *testing.T) {
	base := trackerWeeks(12)
	day := base[len(base)-1].Day + 3
	at := func(extra ...Set) Estimate {
		for i := range extra {
			extra[i].Day = day
		}
		tr := mustTrack(t, append(append([]Set(nil), base...), extra...), TrackerOptions{})
		e, err := tr.At(day)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	// The same log with a rest day, so that only the set differs.
	plainTr := mustTrack(t, base, TrackerOptions{})
	plain, err := plainTr.At(day)
	if err != nil {
		t.Fatal(err)
	}
	near := func(a, b Estimate) bool {
		return math.Abs(a.Max/b.Max-1) < 1e-5 && math.Abs((a.High-a.Low)/(b.High-b.Low)-1) < 1e-3
	}
	if e := at(Set{Load: 80, Reps: 5, NoRIR: true}); !near(e, plain) {
		t.Errorf("a light set without reserve changed %v to %v", plain, e)
	}
	if e := at(Set{Load: 80, Reps: 5, RIR: 9}); !near(e, plain) {
		t.Errorf("a warm-up set changed %v to %v", plain, e)
	}
	if e := at(Set{Load: 128, Reps: 3, NoRIR: true}); !near(e, plain) {
		t.Errorf("a set that shows less than believed changed %v to %v", plain, e)
	}
	if e := at(Set{Load: 128, Reps: 3, RIR: 0}); !(e.Max < plain.Max*0.995) {
		t.Errorf("the same set to failure must count: %v to %v", plain.Max, e.Max)
	}
	if e := at(Set{Load: 165, Reps: 3, NoRIR: true}); !(e.Max > plain.Max*1.02) {
		t.Errorf("a heavy set without reserve must raise: %v to %v", plain.Max, e.Max)
	}
	if e := at(Set{Load: 140}); !(e.Max < plain.Max) {
		t.Errorf("a missed attempt must lower: %v to %v", plain.Max, e.Max)
	}
	if e := at(Set{Load: 190}); !near(e, plain) {
		t.Errorf("a missed attempt far above changed %v to %v", plain, e)
	}
	for _, c := range []struct {
		rir, far float64
		want     TrackerKind
	}{{5, 0, TrackerMeasured}, {5.5, 0, TrackerLower}, {3, 2, TrackerLower}, {8, -1, TrackerMeasured}} {
		tr := mustTrack(t, []Set{{Load: 100, Reps: 5}, {Load: 100, Reps: 5, RIR: c.rir}}, TrackerOptions{FarReserve: c.far})
		if got := tr.Points[1].Kind; got != c.want {
			t.Errorf("reserve %v with FarReserve %v: %v, want %v", c.rir, c.far, got, c.want)
		}
	}
	// More repetitions than the curve reaches: with its reserve a bound, without
	// not to be used.
	tr := mustTrack(t, append(append([]Set(nil), base...), Set{Load: 50, Reps: 30, RIR: 90, Day: day}, Set{Load: 20, Reps: 200, Day: day}), TrackerOptions{FarReserve: -1})
	n := len(base)
	if tr.Points[n].Kind != TrackerLower || tr.Points[n+1].Kind != TrackerUnused || tr.Unused != 1 {
		t.Errorf("out of reach: %v %v", tr.Points[n].Kind, tr.Points[n+1].Kind)
	}
	if tr.Points[n+1].Before != tr.Points[n+1].After {
		t.Error("an unused set changed the state")
	}
}

// The interval widens with time, by a lay-off and by a jump; the estimate stays.
func TestTrackerWidens(t *testing.T) {
	base := trackerWeeks(30)
	last := base[len(base)-1].Day
	tr := mustTrack(t, base, TrackerOptions{})
	width := func(tr *Tracking, day float64) float64 {
		e, err := tr.At(day)
		if err != nil {
			t.Fatal(err)
		}
		return math.Log(e.High / e.Low)
	}
	prev := 0.0
	for _, days := range []float64{0, 1, 7, 21, 28, 60, 365, 1e6} {
		w := width(tr, last+days)
		if w <= prev && days < 1e6 {
			t.Errorf("after %v days the width is %v, before %v", days, w, prev)
		}
		prev = w
	}
	// By hand: 35 days are 5 weeks of 1 % drift and 2 weeks of lay-off at 2 %.
	sd := tr.Points[len(base)-1].After.LogMaxSD
	want := 2 * 1.6448536269514722 * math.Sqrt(sd*sd+5*1e-4+2*4e-4)
	if got := width(tr, last+35); math.Abs(got-want) > 1e-12 {
		t.Errorf("after 35 days %v, want %v", got, want)
	}
	e, err := tr.At(last + 35)
	if err != nil || e.Warnings[len(e.Warnings)-1].Code != "lay-off" {
		t.Errorf("no lay-off warning: %+v %v", e.Warnings, err)
	}
	if len(tr.Warnings) != 1 || tr.Warnings[0].Code != "extrapolated" { // triples to failure are above 90 %
		t.Errorf("warnings of a plain log: %v", tr.Warnings)
	}
	jump := mustTrack(t, base, TrackerOptions{Jumps: []TrackerJump{{last + 2, 0.05}}})
	want = 2 * 1.6448536269514722 * math.Sqrt(sd*sd+1e-4+0.0025)
	if got := width(jump, last+7); math.Abs(got-want) > 1e-12 {
		t.Errorf("after a jump %v, want %v", got, want)
	}
	old := mustTrack(t, base, TrackerOptions{Jumps: []TrackerJump{{-5, 0.05}, {base[0].Day, 0.05}}})
	if width(old, last+7) != width(tr, last+7) {
		t.Error("a jump before the log began counts after it")
	}
	if width(jump, last+1) >= width(jump, last+2) {
		t.Error("a jump before its day")
	}
	// In the log: the state before the first set after it is wider.
	in := mustTrack(t, base, TrackerOptions{Jumps: []TrackerJump{{base[20].Day, 0.05}}})
	a, b := tr.Points[20].Before, in.Points[20].Before
	if d := b.LogMaxSD*b.LogMaxSD - a.LogMaxSD*a.LogMaxSD; math.Abs(d-0.0025) > 1e-12 {
		t.Errorf("a jump added a variance of %v, want 0.0025", d)
	}
	if tr.Points[19].After != in.Points[19].After {
		t.Error("a jump changed what was before it")
	}
}

// A mistyped load is flagged and does not carry the maximum away.
func TestTrackerMistyped(t *testing.T) {
	base := trackerWeeks(30)
	bad := append([]Set(nil), base...)
	bad[20].Load *= 10
	tr, plain := mustTrack(t, bad, TrackerOptions{}), mustTrack(t, base, TrackerOptions{})
	if p := tr.Points[20]; !(p.Surprise > 10) {
		t.Errorf("surprise %v", p.Surprise)
	}
	codes := ""
	for _, w := range tr.Warnings {
		codes += w.Code + " "
	}
	if codes != "extrapolated surprising " {
		t.Errorf("warnings %q", codes)
	}
	if r := tr.Points[20].After.Max() / plain.Points[20].After.Max(); r > 1.02 {
		t.Errorf("the mistyped set carried the maximum %.2f times up", r)
	}
	if r := tr.Points[29].After.Max() / plain.Points[29].After.Max(); math.Abs(r-1) > 0.04 {
		t.Errorf("nine sets later it is %.3f", r)
	}
	for i, p := range plain.Points {
		if math.Abs(p.Surprise) > 2 {
			t.Errorf("set %d of a smooth log surprises by %v", i, p.Surprise)
		}
	}
	if e, err := plain.At(base[29].Day); err != nil || math.Abs(e.Max/150-1) > 0.01 {
		t.Errorf("of 150: %+v %v", e, err)
	}
}

// For any log: finite states, standard deviations that later sets only narrow,
// the last smoothed state equals the filtered, and neither the unit of the loads
// nor the day that counts as 0 matters.
func TestTrackerProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wild := rapid.Bool().Draw(t, "wild")
		var sets []Set
		day := 0.0
		for range rapid.IntRange(1, 25).Draw(t, "n") {
			s := Set{
				Load:   rapid.Float64Range(40, 200).Draw(t, "load"),
				Reps:   float64(rapid.IntRange(0, 12).Draw(t, "reps")),
				RIR:    float64(rapid.IntRange(0, 8).Draw(t, "rir")),
				NoRIR:  rapid.Bool().Draw(t, "norir"),
				Tested: rapid.Bool().Draw(t, "tested"),
			}
			day += rapid.SampledFrom([]float64{0, 0, 0.25, 1, 2, 3.5, 40}).Draw(t, "gap")
			if wild {
				s.Load = rapid.Float64Range(1e-300, 1e300).Draw(t, "wild load")
				s.Reps = float64(rapid.IntRange(0, 300).Draw(t, "wild reps"))
				day += rapid.SampledFrom([]float64{0, 1e7}).Draw(t, "wild gap")
			}
			s.Day = day
			sets = append(sets, s)
		}
		opt := TrackerOptions{
			Drift: rapid.SampledFrom([]float64{-1, 0, 0.05}).Draw(t, "drift"),
			Noise: rapid.SampledFrom([]float64{0.1, 0, 10}).Draw(t, "noise"),
			Jumps: []TrackerJump{{Day: 3, SD: 1}},
		}
		tr, err := Track(sets, opt)
		if err != nil {
			var bo *BoundOnlyError
			if !errors.As(err, &bo) {
				t.Fatal(err)
			}
			return
		}
		for i, p := range tr.Points {
			for _, s := range []TrackerState{p.Before, p.After, p.All} {
				lo, hi, err := s.Interval(0)
				if err != nil || !finite(s.LogMax) || !finite(s.Ability) || !finite(s.ReserveBias) || !finite(hi) || !(lo > 0 && lo <= s.Max() && s.Max() <= hi) ||
					!finite(s.LogMaxSD+s.AbilitySD+s.ReserveBiasSD) {
					t.Fatalf("set %d: %+v %v %v %v", i, s, lo, hi, err)
				}
			}
			if !finite(p.Load) || !finite(p.LoadLogSD) || !finite(p.Surprise) || !finite(p.LogLik) || !(p.Chance >= 0 && p.Chance <= 1) {
				t.Fatalf("set %d: %+v", i, p)
			}
			const eps = 1e-6
			if p.After.LogMaxSD > p.Before.LogMaxSD+eps || p.All.LogMaxSD > p.After.LogMaxSD+eps ||
				p.After.AbilitySD > p.Before.AbilitySD+eps || p.All.AbilitySD > p.After.AbilitySD+eps {
				t.Fatalf("set %d: a set widened: %+v", i, p)
			}
		}
		if p := tr.Points[len(sets)-1]; p.All != p.After {
			t.Fatalf("at the end smoothed and filtered differ: %+v", p)
		}
		e, err := tr.At(day + 5)
		if err != nil || !(e.Low <= e.Max && e.Max <= e.High) || !finite(e.High) {
			t.Fatalf("%+v %v", e, err)
		}
		if wild {
			return
		}
		moved := append([]Set(nil), sets...)
		for i := range moved {
			moved[i].Load /= 0.45359237
			moved[i].Day += 1000
		}
		opt.Jumps = []TrackerJump{{Day: 1003, SD: 1}}
		other, err := Track(moved, opt)
		if err != nil {
			t.Fatal(err)
		}
		for i := range sets {
			a, b := tr.Points[i].All, other.Points[i].All
			if math.Abs(b.LogMax-a.LogMax+math.Log(0.45359237)) > 1e-6 || math.Abs(a.LogMaxSD-b.LogMaxSD) > 1e-6 {
				t.Fatalf("set %d: in pounds, 1000 days on, %+v became %+v", i, a, b)
			}
		}
	})
}

// The search on functions whose maximum is known: inside the box, on an edge,
// in a corner, along a ridge, and with a lower second hump.
func TestTrackerMaximise(t *testing.T) {
	low, high := [2]float64{-9, -1.5}, [2]float64{-2, 1.5}
	for _, c := range []struct {
		name string
		f    func(x [2]float64) float64
		want [2]float64
	}{
		{"inside", func(x [2]float64) float64 { return -(x[0]+4.321)*(x[0]+4.321) - 3*(x[1]-0.4)*(x[1]-0.4) }, [2]float64{-4.321, 0.4}},
		{"edge", func(x [2]float64) float64 { return 0.5*x[0] - (x[1]-0.4)*(x[1]-0.4) }, [2]float64{-2, 0.4}},
		{"corner", func(x [2]float64) float64 { return -x[0] - x[1] }, [2]float64{-9, -1.5}},
		{"ridge", func(x [2]float64) float64 {
			a, b := x[0]+4+2*x[1], x[1]-0.7
			return -100*a*a - 0.1*b*b
		}, [2]float64{-5.4, 0.7}},
		{"humps", func(x [2]float64) float64 {
			return math.Exp(-(x[0]+3)*(x[0]+3)-x[1]*x[1]) + 0.7*math.Exp(-(x[0]+8)*(x[0]+8)-x[1]*x[1])
		}, [2]float64{-3, 0}},
	} {
		r := trackerMaximise(c.f, low, high)
		if !r.settled || r.evals > 1000 {
			t.Errorf("%s: %+v", c.name, r)
		}
		if d := cmp.Diff(c.want, r.x, cmpopts.EquateApprox(0, 2e-5)); d != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, d)
		}
	}
	// A function that never settles is stopped and says so.
	n := 0.0
	r := trackerMaximise(func([2]float64) float64 { n++; return n }, low, high)
	if r.settled {
		t.Errorf("settled on a function that always rises: %+v", r)
	}
}

// A log without any scatter pushes the noise to its lower edge, which is said.
func TestTrackerFitAtBound(t *testing.T) {
	fit, err := FitTracker(trackerWeeks(60), TrackerOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if fit.Status != TrackerAtBound || !fit.NoiseAtBound || fit.Noise != 0.25 || fit.Status.Err() != nil {
		t.Errorf("%+v", fit)
	}
	for _, s := range []fmt.Stringer{TrackerConverged, TrackerAtBound, TrackerLimit, TrackerMeasured, TrackerLower, TrackerUpper, TrackerUnused, TrackerStatus(9), TrackerKind(9), LimitsT, DivisorSample} {
		if s.String() == "" {
			t.Errorf("%#v has no name", s)
		}
	}
}

func BenchmarkTracker(b *testing.B) {
	for _, n := range []int{20, 200, 2000, 20000} {
		w := trackerWorld{whole: true, unsaid: 0.2, testEvery: 8}
		sets := w.simulate(rand.New(rand.NewPCG(1, 2)), n/6+30).sets
		for len(sets) > 0 && len(sets) < n { // long logs: the same again, later
			last := sets[len(sets)-1].Day + 2
			for _, s := range sets[:min(len(sets), n-len(sets))] {
				s.Day += last
				sets = append(sets, s)
			}
		}
		sets = sets[:n]
		b.Run(fmt.Sprintf("track/sets=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Track(sets, TrackerOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
		if n != 200 && n != 2000 {
			continue
		}
		b.Run(fmt.Sprintf("fit/sets=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := FitTracker(sets, TrackerOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
