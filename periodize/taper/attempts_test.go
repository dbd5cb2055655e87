package taper_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"github.com/blockwright/blockwright/periodize/taper"
)

// With one spread the chance of a good lift is the normal distribution, whose
// values at 0, 1 and 2 standard deviations are in every table: 0.5, 0.8413447,
// 0.9772499.
func TestGoodLiftIsNormal(t *testing.T) {
	tested := taper.Maximum{Mid: 200}
	for load, want := range map[float64]float64{200: 0.5, 196: 0.8413447, 192: 0.9772499, 204: 1 - 0.8413447} {
		c := must(taper.GoodLift(tested, load, 0.02))(t)
		if math.Abs(c.Mid-want) > 1e-6 || c.Low != c.High {
			t.Errorf("%v of a tested 200: %+v, want %v and no range", load, c, want)
		}
	}
	// Without form on the day the interval's own ends: 5 % lie beyond either end
	// of a 90 % interval, whatever its skew.
	skew := taper.Maximum{Mid: 200, Low: 180, High: 210, Coverage: 0.9}
	for load, want := range map[float64]float64{180: 0.95, 200: 0.5, 210: 0.05} {
		if c := must(taper.GoodLift(skew, load, 0))(t); math.Abs(c.Mid-want) > 1e-12 {
			t.Errorf("%v: %v, want %v", load, c.Mid, want)
		}
	}
	// Both together, symmetric: the sum of two normal spreads to first order in
	// the form, sqrt(10^2 + 4^2) at 200.
	both := taper.Maximum{Mid: 200, Low: 190, High: 210, Coverage: math.Erf(1 / math.Sqrt2)}
	want := 0.5 * math.Erfc(-10/math.Sqrt(2*(100+16)))
	if c := must(taper.GoodLift(both, 190, 0.02))(t); math.Abs(c.Mid-want) > 2e-3 {
		t.Errorf("190: %v, want about %v", c.Mid, want)
	}
	// The range is the chances at the ends of the 90 % interval: of a weight well
	// below it the middle lies inside, not at an end.
	ends := taper.Maximum{Mid: 180, Low: 172.5, High: 187.5, Coverage: 0.9}
	low, high := 0.5*math.Erfc((167.5-172.5)/(0.02*172.5*math.Sqrt2)), 0.5*math.Erfc((167.5-187.5)/(0.02*187.5*math.Sqrt2))
	if c := must(taper.GoodLift(ends, 167.5, 0.02))(t); math.Abs(c.Low-low) > 1e-9 || math.Abs(c.High-high) > 1e-9 || c.Mid-c.Low < 0.03 {
		t.Errorf("167.5: %+v, want %v to %v around the middle", c, low, high)
	}
}

func TestGoodLiftFallsWithLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := taper.Maximum{Mid: rapid.Float64Range(10, 500).Draw(t, "mid"), Coverage: rapid.Float64Range(0.05, 0.99).Draw(t, "coverage")}
		m.Low = m.Mid * rapid.Float64Range(0.3, 1).Draw(t, "low")
		m.High = m.Mid * rapid.Float64Range(1, 1.7).Draw(t, "high")
		form := rapid.Float64Range(0, 0.1).Draw(t, "form")
		last := taper.Chance{Mid: 1, Low: 1, High: 1}
		for f := 0.1; f < 2; f += 0.05 {
			c := must(taper.GoodLift(m, f*m.Mid, form))(t)
			if !(0 <= c.Low && c.Low <= c.Mid && c.Mid <= c.High && c.High <= 1) {
				t.Fatalf("%v: out of order: %+v", f, c)
			}
			if c.Mid > last.Mid+1e-12 || c.Low > last.Low+1e-12 || c.High > last.High+1e-12 {
				t.Fatalf("%v: %+v after %+v", f, c, last)
			}
			last = c
		}
	})
}

func TestChoose(t *testing.T) {
	// Tested 200 kg, form 2 %: the heaviest multiples of 2.5 whose normal chance
	// is at least 0.97, 0.80, 0.50 to half a hundredth: 192.5 (0.9696), 195 (0.894;
	// 197.5 has 0.734), 200.
	own := taper.AttemptOptions{Chances: taper.DefaultChances()}
	a := must(taper.Choose(taper.Maximum{Mid: 200}, own))(t)
	if diff := cmp.Diff([3]float64{192.5, 195, 200}, a.Loads()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if a.Rules.ID != taper.RuleBooks()[0].ID || a.DayForm != taper.DefaultDayForm {
		t.Errorf("defaults are not told: %+v", a)
	}
	// By default they keep the published pattern's distance from the third: 0.91 x 200 = 182 and 200/1.03 = 194.2,
	// to the nearest step.
	a = must(taper.Choose(taper.Maximum{Mid: 200}, taper.AttemptOptions{}))(t)
	if diff := cmp.Diff([3]float64{182.5, 195, 200}, a.Loads()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	a = must(taper.Choose(taper.Maximum{Mid: 147.5}, taper.AttemptOptions{}))(t)
	if diff := cmp.Diff([3]float64{135, 142.5, 147.5}, a.Loads()); diff != "" || len(a.Findings) > 0 {
		t.Errorf("%+v (-want +got):\n%s", a.Findings, diff)
	}
	// An interval around 180: the mean over it lies just under a half at the
	// median, and that does not cost a step.
	near := taper.Maximum{Mid: 180, Low: 172.5, High: 187.5, Coverage: 0.9}
	if c := must(taper.GoodLift(near, 180, taper.DefaultDayForm))(t); c.Mid >= 0.5 || c.Mid < 0.5-taper.ChanceTolerance {
		t.Errorf("180 of a median of 180: %v, want just under a half", c.Mid)
	}
	if a = must(taper.Choose(near, taper.AttemptOptions{}))(t); a.Attempts[2].Load != 180 {
		t.Errorf("third attempt %v, want 180", a.Attempts[2].Load)
	}
	// Aims within the tolerance of 0 end too.
	if _, err := taper.Choose(near, taper.AttemptOptions{Chances: [3]float64{0.003, 0.002, 0.001}}); err != nil {
		t.Error(err)
	}
	// Whole kilograms.
	iwf := must(taper.RuleBookByID("iwf"))(t)
	a = must(taper.Choose(taper.Maximum{Mid: 200}, taper.AttemptOptions{Rules: iwf, Chances: taper.DefaultChances()}))(t)
	if diff := cmp.Diff([3]float64{192, 196, 200}, a.Loads()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	// A light lifter: the steps force the attempts apart, and that is said.
	a = must(taper.Choose(taper.Maximum{Mid: 30}, taper.AttemptOptions{Least: 25}))(t)
	if diff := cmp.Diff([3]float64{27.5, 30, 32.5}, a.Loads()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if !hasFinding(a.Findings, taper.FindingStep) {
		t.Errorf("no remark on the forced third attempt: %+v", a.Findings)
	}
	// An opener that cannot be light enough.
	a = must(taper.Choose(taper.Maximum{Mid: 24}, taper.AttemptOptions{Least: 25}))(t)
	if a.Attempts[0].Load != 25 || !hasFinding(a.Findings, taper.FindingOpener) {
		t.Errorf("%+v", a)
	}
}

func TestChooseKeepsItsWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := taper.Maximum{Mid: rapid.Float64Range(40, 400).Draw(t, "mid"), Coverage: 0.9}
		m.Low = m.Mid * rapid.Float64Range(0.8, 1).Draw(t, "low")
		m.High = m.Mid * rapid.Float64Range(1, 1.2).Draw(t, "high")
		book := rapid.SampledFrom(taper.RuleBooks()).Draw(t, "rules")
		a := must(taper.Choose(m, taper.AttemptOptions{Rules: book, Chances: taper.DefaultChances()}))(t)
		forced := hasFinding(a.Findings, taper.FindingStep) || hasFinding(a.Findings, taper.FindingOpener)
		last := 0.0
		for i, x := range a.Attempts {
			if n := x.Load / book.Increment; n != math.Round(n) {
				t.Fatalf("%v is no multiple of %v", x.Load, book.Increment)
			}
			if i > 0 && x.Load < last+book.MinRise-1e-9 {
				t.Fatalf("rise from %v to %v", last, x.Load)
			}
			if !forced {
				up := must(taper.GoodLift(m, x.Load+book.Increment, a.DayForm))(t)
				if x.Chance.Mid < x.Aim-taper.ChanceTolerance || up.Mid >= x.Aim-taper.ChanceTolerance {
					t.Fatalf("attempt %d of %v: chance %v, one step up %v, aim %v", i+1, x.Load, x.Chance.Mid, up.Mid, x.Aim)
				}
			}
			last = x.Load
		}
		// By default no attempt is heavier than by the chances alone, and those before the third keep their distance.
		byPattern := must(taper.Choose(m, taper.AttemptOptions{Rules: book}))(t)
		p := taper.PublishedPattern()
		for i, x := range byPattern.Attempts {
			if x.Load > a.Attempts[i].Load {
				t.Fatalf("by the pattern %v, by the chances %v", byPattern.Loads(), a.Loads())
			}
		}
		if x := byPattern.Loads(); !hasFinding(byPattern.Findings, taper.FindingStep) &&
			(x[0] > p.OpenerOfThird*x[2]+book.Increment/2+1e-9 || x[1]*(1+p.SecondRise) > x[2]+book.Increment/2*(1+p.SecondRise)+1e-9) {
			t.Fatalf("attempts %v are closer than the pattern", x)
		}
		// A wider rule never opens heavier when the interval is wider below.
		wide := m
		wide.Low *= 0.95
		if b := must(taper.Choose(wide, taper.AttemptOptions{Rules: book}))(t); b.Attempts[0].Load > a.Attempts[0].Load {
			t.Fatalf("less certain, heavier opener: %v, %v", b.Attempts[0].Load, a.Attempts[0].Load)
		}
	})
}

// The table of published attempts (looked-up; the sample made every lift).
func TestPublishedPattern(t *testing.T) {
	p := taper.PublishedPattern()
	for _, r := range records(t, "attempts-published.csv") {
		var got float64
		switch r["quantity"] {
		case "opener as a share of the third attempt":
			got = p.OpenerOfThird
		case "rise from first to second attempt":
			got = p.FirstRise
		case "rise from second to third attempt":
			got = p.SecondRise
		default:
			continue
		}
		if want := "about " + trim(100*got); r["value"] != want || r["have"] != string(p.How) {
			t.Errorf("%s: published %s (%s), have %s (%s)", r["quantity"], r["value"], r["have"], want, p.How)
		}
	}
	if f := taper.CheckPattern([3]float64{182.5, 190, 197.5}); f != nil {
		t.Errorf("remarks on attempts close to the pattern: %+v", f)
	}
	// 160 of 200 is 80 %, +15.6 %, +8.1 %: all three are off.
	if f := taper.CheckPattern([3]float64{160, 185, 200}); len(f) != 3 {
		t.Errorf("%d remarks on attempts far from the pattern, want 3: %+v", len(f), f)
	}
	if f := taper.CheckPattern([3]float64{math.NaN(), 185, 200}); f != nil {
		t.Errorf("remarks on no number: %+v", f)
	}
}

func trim(x float64) string { return strings.TrimSuffix(cmpNumber(x), ".0") }

func TestRuleBooks(t *testing.T) {
	for _, b := range taper.RuleBooks() {
		if b.Increment <= 0 || b.MinRise < b.Increment || b.Attempts != 3 || b.Edition == "" || b.How == "" {
			t.Errorf("%+v", b)
		}
		got, err := taper.RuleBookByID(b.ID)
		if err != nil || got.Edition != b.Edition {
			t.Errorf("%s: %v, %v", b.ID, got, err)
		}
	}
	// IPL Rulebook 2019, item 6.1.1 (looked-up): +2.5 kg after a good lift, the
	// same load after a failed one.
	ipl := must(taper.RuleBookByID("ipl-2019"))(t)
	if least, auto := ipl.Following(100, true); least != 102.5 || auto != 102.5 {
		t.Errorf("after a good lift: %v, %v", least, auto)
	}
	if least, auto := ipl.Following(100, false); least != 100 || auto != 100 {
		t.Errorf("after a failed lift: %v, %v", least, auto)
	}
	// IWF notice of 29 January 2007 (looked-up): automatic rise of 2 kg.
	if _, auto := must(taper.RuleBookByID("iwf-2007"))(t).Following(100, true); auto != 102 {
		t.Errorf("IWF 2007: %v", auto)
	}
	var ne *taper.NameError
	if _, err := taper.RuleBookByID("village"); !errors.As(err, &ne) {
		t.Errorf("%v, want a *NameError", err)
	}
}

func TestAttemptErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	ok := taper.Maximum{Mid: 200, Low: 190, High: 210, Coverage: 0.9}
	bad := func(f func(m *taper.Maximum)) taper.Maximum { m := ok; f(&m); return m }
	for name, m := range map[string]taper.Maximum{
		"mid NaN":     bad(func(m *taper.Maximum) { m.Mid = nan }),
		"mid 0":       bad(func(m *taper.Maximum) { m.Mid = 0 }),
		"low NaN":     bad(func(m *taper.Maximum) { m.Low = nan }),
		"low above":   bad(func(m *taper.Maximum) { m.Low = 201 }),
		"high inf":    bad(func(m *taper.Maximum) { m.High = inf }),
		"high below":  bad(func(m *taper.Maximum) { m.High = 199 }),
		"no coverage": bad(func(m *taper.Maximum) { m.Coverage = 0 }),
		"coverage 1":  bad(func(m *taper.Maximum) { m.Coverage = 1 }),
	} {
		var fe *taper.FieldError
		if _, err := taper.Choose(m, taper.AttemptOptions{}); !errors.As(err, &fe) {
			t.Errorf("%s: %v, want a *FieldError", name, err)
		}
		if _, err := taper.GoodLift(m, 100, 0.02); !errors.As(err, &fe) {
			t.Errorf("%s: %v, want a *FieldError", name, err)
		}
	}
	for name, o := range map[string]taper.AttemptOptions{
		"no step":        {Rules: taper.RuleBook{ID: "x"}},
		"negative rise":  {Rules: taper.RuleBook{Increment: 1, MinRise: -1}},
		"rising chances": {Chances: [3]float64{0.5, 0.6, 0.4}},
		"chance of 1":    {Chances: [3]float64{1, 0.6, 0.4}},
		"chance NaN":     {Chances: [3]float64{0.9, nan, 0.4}},
		"form NaN":       {DayForm: nan},
		"form all":       {DayForm: 1},
		"least inf":      {Least: inf},
	} {
		var fe *taper.FieldError
		if _, err := taper.Choose(ok, o); !errors.As(err, &fe) {
			t.Errorf("%s: %v, want a *FieldError", name, err)
		}
	}
	for _, load := range []float64{0, -1, nan, inf} {
		var fe *taper.FieldError
		if _, err := taper.GoodLift(ok, load, 0.02); !errors.As(err, &fe) {
			t.Errorf("load %v: %v, want a *FieldError", load, err)
		}
	}
}

func hasFinding(f []taper.Finding, code string) bool {
	for _, x := range f {
		if x.Code == code {
			return true
		}
	}
	return false
}
