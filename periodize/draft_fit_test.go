package periodize

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/plates"
)

// fitRoster has one lifter with a maximum for every lift of a block that needs
// one, in a gym that has everything.
func fitRoster(b *Block) *Roster {
	r := nominalRoster(b)
	r.Lifters[0].Name = "Ada"
	return r
}

// fitBlock is sets across of one lift, and a second lift of its pattern.
func fitBlock(percent float64, sets int) *Block {
	return &Block{Title: "fit", Weeks: 2, Focus: []string{"pull"},
		Lifts: []Lift{
			{Name: "pull", Pattern: Hinge, Uses: "bar", Muscles: []Share{{"glutes", 1}}},
			{Name: "high pull", Pattern: Hinge, Uses: "bar", Muscles: []Share{{"glutes", 1}}},
			{Name: "squat", Pattern: Squat, Uses: "rack"},
		},
		Sessions: []Session{{Name: "A", Work: []Item{
			{Lift: "pull", Work: Work{Sets: Fixed(float64(sets)), Reps: Fixed(6), Weight: Percent(Fixed(percent)), Rest: Fixed(150)}},
		}}}}
}

func TestFitLeavesWhatFits(t *testing.T) {
	b := fitBlock(80, 3)
	out, err := Fit(b, oneLifter(Lifter{}), FitOptions{})
	if err != nil {
		t.Fatal(err)
	}
	f := out[0]
	if len(f.Changes) != 0 || f.Before != f.After || f.After.Under+f.After.Over != 0 || f.After.Sets != 6 {
		t.Errorf("%+v", f)
	}
}

// TestFitTakesSetsAway: eight sets across leave too little at the end, fewer do not.
func TestFitTakesSetsAway(t *testing.T) {
	b := fitBlock(82.5, 8)
	out, err := Fit(b, oneLifter(Lifter{}), FitOptions{})
	if err != nil {
		t.Fatal(err)
	}
	f := out[0]
	if f.Before.Under == 0 || f.After.Under >= f.Before.Under {
		t.Errorf("%d sets under the range before, %d after", f.Before.Under, f.After.Under)
	}
	if !slices.ContainsFunc(f.Changes, func(c FitChange) bool { return c.What == "volume" && c.Was == "100%" && c.Why != "" }) {
		t.Errorf("no change of the volume in %+v", f.Changes)
	}
	if f.Lifter.Volume.Sign() <= 0 || f.Lifter.Volume.Cmp(ratio(100, 1)) >= 0 {
		t.Errorf("volume %s", f.Lifter.Volume)
	}
	if b.Sessions[0].Work[0].Spread.Sign() != 0 {
		t.Error("the block that was given has changed")
	}
	// What comes back plans as it was measured.
	prog, err := Compile(f.Block, oneLifter(f.Lifter))
	if err != nil {
		t.Fatal(err)
	}
	low := math.Inf(1)
	for _, ps := range prog.Plan(0).Sessions {
		for _, s := range ps.Exercises[0].Sets {
			low = min(low, s.Reserve.Mid)
		}
	}
	if low != f.After.Low {
		t.Errorf("the plan leaves %g at least, the fit says %g", low, f.After.Low)
	}
}

// TestFitShapesTheSets: where only the shape can be changed for the better, it is.
func TestFitShapesTheSets(t *testing.T) {
	b := fitBlock(78, 4)
	it := &b.Sessions[0].Work[0]
	it.Spread, it.Shape = ratio(14, 1), Ramp // a heavy last set
	out, err := Fit(b, oneLifter(Lifter{}), FitOptions{})
	if err != nil {
		t.Fatal(err)
	}
	f := out[0]
	if f.After.Under+f.After.Over >= f.Before.Under+f.Before.Over {
		t.Errorf("before %+v, after %+v", f.Before, f.After)
	}
	if !slices.ContainsFunc(f.Changes, func(c FitChange) bool {
		return c.What == "shape" && c.Path == "sessions[0].work[0]" && c.Was == "ramp" && c.Now != "ramp"
	}) {
		t.Errorf("no change of the shape in %+v", f.Changes)
	}
}

// A spread without a shape is a ramp, and even sets are tried beside it as beside a written one.
func TestFitRampUnsaid(t *testing.T) {
	var got [2]Fitted
	for i, shape := range []Shape{Ramp, ""} {
		b := fitBlock(78, 4)
		b.Sessions[0].Work[0].Spread, b.Sessions[0].Work[0].Shape = ratio(20, 1), shape
		out, err := Fit(b, oneLifter(Lifter{}), FitOptions{})
		if err != nil {
			t.Fatal(err)
		}
		got[i] = out[0]
	}
	if got[0].After != got[1].After || len(got[0].Changes) != len(got[1].Changes) {
		t.Errorf("written %+v %+v, unsaid %+v %+v", got[0].After, got[0].Changes, got[1].After, got[1].Changes)
	}
}

// TestFitIsTheBestOfAll: volume and shape against every combination of them.
func TestFitIsTheBestOfAll(t *testing.T) {
	for _, percent := range []float64{74, 80, 82.5, 86} {
		for _, sets := range []int{3, 5, 8} {
			b := fitBlock(percent, sets)
			second := b.Sessions[0].Work[0]
			second.Weight = Percent(Fixed(percent - 6))
			b.Sessions[0].Work = append(b.Sessions[0].Work, second)
			f := &fitter{b: b, r: oneLifter(Lifter{}), opt: FitOptions{Spread: 6}, lifter: oneLifter(Lifter{}).Lifters[0], low: 1, high: 4}
			best := math.Inf(1)
			for _, v := range fitVolumes {
				x := f.lifter
				if v != 100 {
					x.Volume = ratio(int64(v), 1)
				}
				for _, s1 := range fitShapes {
					for _, s2 := range fitShapes {
						o, err := f.judge(f.shaped(map[itemKey]Shape{{0, 0}: s1, {0, 1}: s2}), x)
						if err != nil {
							t.Fatal(err)
						}
						cost := o.total() + fitVolume*(100-float64(v))
						for _, s := range []Shape{s1, s2} {
							if s != "" {
								cost += fitShape
							}
						}
						best = min(best, cost)
					}
				}
			}
			got, err := f.search(f.lifter)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(got.cost-best) > 1e-9 {
				t.Errorf("%g%% for %d sets: found %.9g, the best of all is %.9g", percent, sets, got.cost, best)
			}
		}
	}
}

// TestFitSwaps: a lift without a maximum or without equipment is done as
// another one of its pattern, and where there is none that is said.
func TestFitSwaps(t *testing.T) {
	b := fitBlock(78, 3)
	r := oneLifter(Lifter{Maxes: []MaxEntry{{Lift: "high pull", Tested: 90 * kg}}})
	out, err := Fit(b, r, FitOptions{})
	if err != nil {
		t.Fatal(err)
	}
	f := out[0]
	if len(f.Lifter.Swaps) != 1 || f.Lifter.Swaps[0].From != "pull" || f.Lifter.Swaps[0].To != "high pull" || len(f.Changes) == 0 || f.Changes[0].What != "swap" || f.Before.Sets != 0 || f.After.Sets == 0 {
		t.Errorf("%+v", f)
	}
	b.Sessions[0].Work = append(b.Sessions[0].Work, Item{Lift: "squat", Work: Work{Reps: Fixed(5), Weight: Percent(Fixed(70))}})
	if out, err = Fit(b, r, FitOptions{}); err != nil {
		t.Fatal(err)
	}
	if len(out[0].Lacks) != 1 || !strings.Contains(out[0].Lacks[0], "squat") {
		t.Errorf("lacks %q", out[0].Lacks)
	}
}

// TestFitStartsGently: a first week far above recent ones is taken down.
func TestFitStartsGently(t *testing.T) {
	b := fitBlock(70, 10)
	b.Weeks = 1
	l := Lifter{Level: Novice, Recent: &Recent{WeeklySets: new(6), LastTrained: time.Date(2027, 2, 1, 0, 0, 0, 0, time.UTC)}}
	out, err := Fit(b, oneLifter(l), FitOptions{Reserve: &ReserveSpan{ratio(0, 1), ratio(20, 1)}})
	if err != nil {
		t.Fatal(err)
	}
	// 1.2 x 6 is 7.2 sets: 70 % of 10.
	if f := out[0]; f.Lifter.Volume.Cmp(ratio(70, 1)) != 0 || f.After.FirstWeek != 7 || !strings.Contains(f.Changes[0].Why, "after about 6") {
		t.Errorf("volume %s, %+v, %+v", f.Lifter.Volume, f.After, f.Changes)
	}
}

// TestFitAfterNothing: no sets before the block are none, not an unknown number.
func TestFitAfterNothing(t *testing.T) {
	b := fitBlock(70, 10)
	b.Weeks = 1
	out, err := Fit(b, oneLifter(Lifter{Recent: &Recent{WeeklySets: new(0)}}), FitOptions{Reserve: &ReserveSpan{ratio(0, 1), ratio(20, 1)}})
	if err != nil {
		t.Fatal(err)
	}
	if f := out[0]; f.After.FirstWeek >= 10 || !strings.Contains(f.Changes[0].Why, "after none before the block") {
		t.Errorf("%+v, %+v", f.After, f.Changes)
	}
}

func TestFitErrors(t *testing.T) {
	if _, err := Fit(&Block{}, oneLifter(Lifter{}), FitOptions{}); err == nil {
		t.Error("an empty block is fitted")
	}
	if _, err := Fit(fitBlock(70, 3), &Roster{}, FitOptions{}); err == nil {
		t.Error("nobody is fitted")
	}
	if _, err := Fit(fitBlock(70, 3), oneLifter(Lifter{}), FitOptions{Spread: math.NaN()}); err == nil {
		t.Error("a spread of NaN is taken")
	}
	if out, err := Fit(fitBlock(70, 3), oneLifter(Lifter{Maxes: []MaxEntry{{Lift: "pull", Tested: plates.Mass(1)}}}), FitOptions{}); err == nil && len(out) != 1 {
		t.Error("a tiny maximum")
	}
}
