package periodize

import (
	"testing"

	"github.com/blockwright/blockwright/plates"

	"github.com/google/go-cmp/cmp"
)

// A single with nothing in reserve is the maximum itself for everybody, so that
// the range of the best set can be worked out by hand.

// The ramp of a lift that counts bodyweight stays under the best set too, whose
// added load may be nothing or less. The maximum is 80 + 5 = 85.
func TestWorkUpWithBodyweight(t *testing.T) {
	b := oneItem(1, Item{Build: &Build{Reps: Fixed(1), ToRIR: Fixed(0), Start: Fixed(70), Step: Fixed(10)}})
	b.Finish = Finish{Deload: 1}
	for _, c := range []struct {
		uses string
		max  int // kg added
		want []string
	}{
		// 70, 80 and 90 % of 85 are 59.5, 68 and 76.5, all under the bodyweight of
		// 80: on the belt that is marked, and no set comes after the first at 0.
		{"belt", 5, []string{"1: main 1x0< heavy 1x[5..5]", "2: main 1x0< main 1x5"}},
		// 20.5, 12 and 3.5 are taken off; the best has 5 added, and the stack adds nothing.
		{"assistance", 5, []string{"1: main 1x-20 main 1x-10 main 1x-5 heavy 1x[0..0]", "2: main 1x-20 main 1x-10 main 1x-5 main 1x0"}},
		// The maximum is 80 - 10 = 70: 31, 24 and 17 off.
		{"assistance", -10, []string{"1: main 1x-30 main 1x-25 main 1x-15 heavy 1x[-10..-10]", "2: main 1x-30 main 1x-25 main 1x-15 main 1x-10"}},
	} {
		b.Lifts[0] = Lift{Name: "pull", Pattern: PullVertical, Uses: c.uses, BodyweightShare: ratio(100, 1)}
		want(t, plan(t, b, oneLifter(Lifter{Bodyweight: 80 * kg, Maxes: []MaxEntry{{Lift: "pull", Tested: plates.Mass(c.max) * kg}}})), c.want...)
	}
}

// A working maximum under the maximum does not end the ramp early: 100 % of 80
// is under the best set, 100.
func TestWorkUpPastTheWorkingMaximum(t *testing.T) {
	it := Item{Build: &Build{Reps: Fixed(1), ToRIR: Fixed(0), Start: Fixed(80), Step: Fixed(20)}}
	want(t, plan(t, oneItem(1, it), oneLifter(Lifter{WorkingMax: ratio(80, 1)})), "1: main 1x65 main 1x80 main 1x95 heavy 1x[100..100]")
}

// A small step fills no page: from 50 in steps of 1 % there are twenty weights
// from 50 to 97.5, of which every second one stays, and the last.
func TestWorkUpInSmallSteps(t *testing.T) {
	it := Item{Build: &Build{Reps: Fixed(1), ToRIR: Fixed(0), Start: Fixed(50), Step: Fixed(1)}}
	want(t, plan(t, oneItem(1, it), oneLifter(Lifter{})),
		"1: main 1x52.5 main 1x57.5 main 1x62.5 main 1x67.5 main 1x72.5 main 1x77.5 main 1x82.5 main 1x87.5 main 1x92.5 main 1x97.5 heavy 1x[100..100]")
}

// The lifter's share of the sets is of the best set and its back-offs: half of
// 1 + 4 is 2.5, half up 3; a set less leaves 2.
func TestWorkUpVolume(t *testing.T) {
	it := Item{Build: &Build{Reps: Fixed(1), ToRIR: Fixed(0), Start: Fixed(80), Step: Fixed(10)},
		Backoff: &Backoff{Sets: Fixed(4), Reps: Fixed(3), Drop: Fixed(10)}}
	l := Lifter{Volume: ratio(50, 1)}
	want(t, plan(t, oneItem(1, it), oneLifter(l)), "1: main 1x80 main 1x90 heavy 1x[100..100] backoff 3x[90..90] backoff 3x[90..90]")
	l.Adjust = []Adjustment{{Week: 1, Lift: "pull", Sets: -1}}
	want(t, plan(t, oneItem(1, it), oneLifter(l)), "1: main 1x80 main 1x90 heavy 1x[100..100] backoff 3x[90..90]")
}

// Done with a lift that has no weight, the work-up keeps its back-offs.
func TestWorkUpSwappedToALiftWithoutWeight(t *testing.T) {
	it := Item{Build: &Build{Reps: Fixed(5), ToRIR: Fixed(1), Start: Fixed(80), Step: Fixed(10)},
		Backoff: &Backoff{Sets: Fixed(2), Reps: Fixed(8), Drop: Fixed(10)}}
	b := oneItem(1, it)
	b.Lifts = append(b.Lifts, Lift{Name: "band pull", Pattern: Hinge})
	p := plan(t, b, oneLifter(Lifter{Swaps: []Swap{{From: "pull", To: "band pull"}}}))
	var got []int
	for _, s := range p.Sessions[0].Exercises[0].Sets {
		got = append(got, s.Reps)
	}
	if d := cmp.Diff([]int{5, 8, 8}, got); d != "" {
		t.Errorf("repetitions (-want +got):\n%s", d)
	}
}

// Where no weight is predicted for the heaviest set there is none for the drop
// from it either.
func TestDropFromAnOpenSet(t *testing.T) {
	it := Item{Work: Work{Reps: Fixed(150), Weight: RIR(Fixed(2))}, Backoff: &Backoff{Sets: Fixed(1), Reps: Fixed(5), Drop: Fixed(10)}}
	p := plan(t, oneItem(1, it), oneLifter(Lifter{}))
	for i, s := range p.Sessions[0].Exercises[0].Sets {
		if !s.Open || s.HasExpect || s.Expect[0] != 0 || s.Expect[1] != 0 {
			t.Errorf("set %d: open %v, expected %v from %s to %s; want it open and nothing expected", i+1, s.Open, s.HasExpect, s.Expect[0], s.Expect[1])
		}
	}
}

// Sets that are added go to the back-offs: 140 % of 1 + 4 are 7, set by set
// 150 % of 1 + 1 + 2 are 6, and of two equal sets there are three.
func TestMoreVolume(t *testing.T) {
	more := Lifter{Volume: ratio(140, 1)}
	it := Item{Work: Work{Reps: Fixed(3), Weight: Percent(Fixed(90))}, Backoff: &Backoff{Sets: Fixed(4), Reps: Fixed(5), Drop: Fixed(10)}}
	want(t, plan(t, oneItem(1, it), oneLifter(more)), "1: heavy 3x90 backoff 5x80 backoff 5x80 backoff 5x80 backoff 5x80 backoff 5x80 backoff 5x80")
	more.Volume = ratio(150, 1)
	each := Item{Each: []Work{{Reps: Fixed(3), Weight: Percent(Fixed(80))}, {Reps: Fixed(1), Weight: Percent(Fixed(90))}, {Sets: Fixed(2), Reps: Fixed(5), Weight: Drop(Fixed(10))}}}
	want(t, plan(t, oneItem(1, each), oneLifter(more)), "1: main 3x80 heavy 1x90 backoff 5x80 backoff 5x80 backoff 5x80 backoff 5x80")
	plain := Item{Work: Work{Sets: Fixed(2), Reps: Fixed(5), Weight: Percent(Fixed(80))}}
	want(t, plan(t, oneItem(1, plain), oneLifter(more)), "1: main 5x80 main 5x80 main 5x80")
}

// What a best set is expected to be never reaches beyond the maximum's own interval, on coarse loads too, and review takes
// it in per cent of the middle of that.
func TestExpectedWithinTheMaximum(t *testing.T) {
	for top := 48 * kg; top <= 60*kg; top += 300 * plates.Gram {
		r := oneLifter(Lifter{Maxes: []MaxEntry{{Lift: "pull", Tested: 474 * kg / 10, Low: 421 * kg / 10, High: top}}})
		for rir := range 4 {
			p := plan(t, oneItem(1, Item{Build: &Build{Reps: Fixed(1), ToRIR: Fixed(float64(rir)), Start: Fixed(40), Step: Fixed(10)}}), r)
			sets := p.Sessions[0].Exercises[0].Sets
			best := sets[len(sets)-1]
			lm, _ := p.Max("pull")
			if !best.HasExpect || best.Expect[1] > lm.High || best.Expect[0] > best.Expect[1] {
				t.Errorf("%d left, maximum to %s: expected %s to %s", rir, top, best.Expect[0], best.Expect[1])
			}
			if got := (&reviewer{}).share(&best, lm); got > 100 {
				t.Errorf("%d left, maximum to %s: %.1f %% of the maximum", rir, top, got)
			}
		}
	}
}
