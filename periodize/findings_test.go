package periodize

import (
	"math"
	"reflect"
	"strings"
	"testing"
)

// textOf is the text of the first finding of a code, with its severity; "" for none.
func textOf(fs []Finding, code string) string {
	for _, f := range fs {
		if f.Code == code {
			return string(f.Severity) + " " + f.Where + ": " + f.Text
		}
	}
	return ""
}

// The best set of a work-up counts with the middle of what is expected, of which it is
// as much a share as that is of the maximum.
func TestBestSetOfAWorkUpCounts(t *testing.T) {
	p := plan(t, oneItem(1, Item{Build: workUp(1, 70, 10)}), oneLifter(Lifter{}))
	sets := p.Sessions[0].Exercises[0].Sets
	best := sets[len(sets)-1]
	if !best.Open || !best.HasExpect {
		t.Fatalf("%+v is no open set with something expected", best)
	}
	tonnage, reps := 0.0, 0
	for _, s := range sets[:len(sets)-1] {
		tonnage += float64(s.Reps) * s.Load.Kilograms()
		reps += s.Reps
	}
	middle := (best.Expect[0] + best.Expect[1]).Kilograms() / 2
	tonnage += float64(best.Reps) * middle
	reps += best.Reps
	w := p.Review(Thresholds{}).Weeks[0]
	// the maximum is 100 kg, so that tonnage is in per cent of it too
	if math.Abs(w.Tonnage-tonnage) > 1e-9 || math.Abs(w.MeanIntensity-tonnage/float64(reps)) > 1e-9 || math.Abs(w.Heaviest-middle) > 1e-9 || w.Expected != 1 || w.Unknown != 0 {
		t.Errorf("%+v, want tonnage %v, mean %v, heaviest %v, one set expected", w.Totals, tonnage, tonnage/float64(reps), middle)
	}
	// 100 repetitions are beyond the relation: nothing is expected
	p = plan(t, oneItem(1, Item{Work: Work{Reps: Fixed(100), Weight: RIR(Fixed(10))}}), oneLifter(Lifter{}))
	if w := p.Review(Thresholds{}).Weeks[0]; w.Expected != 0 || w.Unknown != 1 || w.Tonnage != 0 {
		t.Errorf("%+v, want one set that nothing is known of", w.Totals)
	}
}

// A threshold that is no number switches no check off.
func TestThresholdsOfNaN(t *testing.T) {
	var th Thresholds
	v := reflect.ValueOf(&th).Elem()
	for i := range v.NumField() {
		if v.Field(i).Kind() == reflect.Float64 {
			v.Field(i).SetFloat(math.NaN())
		}
	}
	if got, want := th.withDefaults(), (Thresholds{}).withDefaults(); got != want || want.IdleReserve == 0 {
		t.Errorf("%+v, want the defaults %+v", got, want)
	}
}

// The first steps of a work-up are meant to be easy.
func TestWorkUpIsNotIdle(t *testing.T) {
	each := Item{Each: []Work{
		{Reps: Fixed(3), Weight: Percent(Fixed(50))}, {Reps: Fixed(3), Weight: Percent(Fixed(65))}, {Reps: Fixed(2), Weight: Percent(Fixed(85))}}}
	for name, it := range map[string]Item{"build": {Build: workUp(1, 50, 10)}, "each": each} {
		if s := textOf(plan(t, oneItem(1, it), oneLifter(Lifter{})).Review(Thresholds{}).Findings, "idle_sets"); s != "" {
			t.Errorf("%s: %s", name, s)
		}
	}
	each.Each = each.Each[:1]
	if s := textOf(plan(t, oneItem(1, each), oneLifter(Lifter{})).Review(Thresholds{}).Findings, "idle_sets"); s == "" {
		t.Error("a set of 3 at half the maximum alone is not idle")
	}
}

// In a block that peaks the weight may fall with the volume: in a lighter week, and in a
// taper. It may not while the work goes on, nor in a developmental block.
func TestWeightFallsInATaper(t *testing.T) {
	for _, c := range []struct {
		goal          Goal
		sets, percent Track
		want          string // weeks in which the fall is found
	}{
		{Peak, ByWeek(4, 5, 6, 3, 2), ByWeek(80, 85, 90, 92, 80), ""},  // a taper to lighter openers
		{Peak, ByWeek(4, 5, 6, 3, 3), ByWeek(80, 85, 90, 92, 80), ""},  // cut once, and held
		{Peak, ByWeek(4, 6, 3, 6, 3), ByWeek(80, 85, 70, 88, 90), ""},  // a lighter week
		{Peak, ByWeek(4, 5, 6, 6, 3), ByWeek(80, 85, 90, 80, 92), "4"}, // in full work
		{Develop, ByWeek(4, 5, 6, 3, 2), ByWeek(80, 85, 90, 92, 80), "5"},
	} {
		b := oneItem(5, Item{Work: Work{Sets: c.sets, Reps: Fixed(2), Weight: Percent(c.percent)}})
		b.Goal = c.goal
		var got []string
		for _, f := range plan(t, b, oneLifter(Lifter{})).Review(Thresholds{}).Findings {
			if f.Code == "weight_falls" {
				got = append(got, f.Where)
			}
		}
		want := ""
		if c.want != "" {
			want = "week " + c.want + ", pull"
		}
		if s := strings.Join(got, "; "); s != want {
			t.Errorf("%s with %v sets at %v: found in %q, want %q", c.goal, c.sets, c.percent, s, want)
		}
	}
}

// Both pause squat, 88 % of back squat, and back squat are swapped to box squat: nobody
// is to find out under the bar that the 88 % are gone. 100 / 88 is 1.136.
func TestSwapThatLosesAShare(t *testing.T) {
	lifts := func(weight Weight) *Block {
		b := oneItem(1, Item{Work: Work{Reps: Fixed(5), Weight: weight}})
		b.Lifts = []Lift{{Name: "back squat", Pattern: Squat, Uses: "bar"}, {Name: "box squat", Pattern: Squat, Uses: "bar"},
			{Name: "pause squat", Pattern: Squat, Uses: "bar", Max: &MaxFrom{Of: "back squat", Percent: ratio(88, 1)}}}
		b.Focus = nil
		b.Sessions[0].Work[0].Lift = "pause squat"
		return b
	}
	box := MaxEntry{Lift: "box squat", Tested: 100 * kg}
	swap := func(from ...string) (s []Swap) {
		for _, f := range from {
			s = append(s, Swap{From: f, To: "box squat"})
		}
		return s
	}
	const told = "note week 1, A, box squat: pause squat goes by 88% of back squat, and box squat, done instead, by its whole maximum: " +
		"100 kg where that share of it is 88 kg, so that weights are 13.6% heavier: "
	for _, c := range []struct {
		name string
		b    *Block
		l    Lifter
		want string
	}{
		{"both swapped", lifts(Percent(Fixed(70))), Lifter{Maxes: []MaxEntry{box}, Swaps: swap("back squat", "pause squat")}, told},
		{"an effort", lifts(RIR(Fixed(2))), Lifter{Maxes: []MaxEntry{box}, Swaps: swap("back squat", "pause squat")}, told},
		{"another lift with a maximum of its own", lifts(Percent(Fixed(70))), Lifter{Maxes: []MaxEntry{box}, Swaps: swap("pause squat")}, ""},
		{"a maximum of the lift itself", lifts(Percent(Fixed(70))), Lifter{Maxes: []MaxEntry{box, {Lift: "pause squat", Tested: 90 * kg}}, Swaps: swap("back squat", "pause squat")}, ""},
		{"a mass", lifts(Load(60 * kg)), Lifter{Maxes: []MaxEntry{box}, Swaps: swap("back squat", "pause squat")}, ""},
	} {
		got := textOf(plan(t, c.b, oneLifter(c.l)).Warnings, "swap_share")
		if c.want == "" && got != "" || !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A maximum that is long past says how old it is, and from a year on it is a warning.
func TestAgeOfAMaximum(t *testing.T) {
	for _, c := range []struct {
		entry MaxEntry
		want  string
	}{
		{MaxEntry{Tested: 100 * kg, Date: date("2027-06-08")}, ""}, // 90 days
		{MaxEntry{Tested: 100 * kg, Date: date("2027-06-01")}, "note pull: the maximum is of 2027-06-01, 97 days before the block starts on 2027-09-06: "},
		{MaxEntry{Tested: 100 * kg, Date: date("2025-11-06")}, "warning pull: the maximum is of 2025-11-06, 22 months before the block starts on 2027-09-06: "},
		{MaxEntry{Tested: 100 * kg, Low: 95 * kg, High: 105 * kg, Date: date("2025-11-06")}, "warning pull: the maximum is of 2025-11-06, 22 months before the block starts on 2027-09-06, and its range is that of then: today's is wider: "},
		{setMax("pull", "2026-12-06"), "note pull: the latest set is of 2026-12-06, 9 months before"},
	} {
		c.entry.Lift = "pull"
		r := oneLifter(Lifter{Maxes: []MaxEntry{c.entry}})
		r.Start = date("2027-09-06")
		p := plan(t, oneItem(1, Item{Work: Work{Reps: Fixed(5), Weight: Percent(Fixed(70))}}), r)
		if got := textOf(p.Warnings, "old_set"); c.want == "" && got != "" || !strings.HasPrefix(got, c.want) {
			t.Errorf("%+v: %q, want %q", c.entry, got, c.want)
		}
	}
}

// A partner that is not there in a week is not named in it.
func TestPairAlone(t *testing.T) {
	work := Work{Sets: Fixed(3), Reps: Fixed(5), Weight: Percent(Fixed(70))}
	b := oneItem(2, Item{Pair: "A", Work: work})
	b.Sessions[0].Work = append(b.Sessions[0].Work, Item{Lift: b.Sessions[0].Work[0].Lift, Pair: "A", Work: work, Weeks: OnlyWeeks(1)})
	for _, s := range plan(t, b, oneLifter(Lifter{})).Sessions {
		want := ""
		if len(s.Exercises) == 2 {
			want = "A"
		}
		for _, ex := range s.Exercises {
			if ex.Pair != want || len(s.Exercises) != 3-s.Week {
				t.Errorf("week %d: %d exercises, pair %q", s.Week, len(s.Exercises), ex.Pair)
			}
		}
	}
}
