package periodize

import (
	"math"
	"testing"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/plates"
	"pgregory.net/rapid"
)

// TestReserveAcrossSets is computed by hand from the published mean of 9.75
// repetitions at 80 % (Nuzzo et al. 2024, looked-up, secondary) and the recovery
// model's starting values: 180 s leave q = 0.6425048 exp(-180/223.71301) =
// 0.28738 of a deficit. Set 1 leaves 9.75-5 = 4.75; set 2 has lost 5q = 1.4369
// and leaves 3.3131; set 3 has lost (1.4369+5)q = 1.8498 and leaves 2.9002.
func TestReserveAcrossSets(t *testing.T) {
	b := oneItem(1, Item{Work: Work{Sets: Fixed(3), Reps: Fixed(5), Weight: Percent(Fixed(80)), Rest: Fixed(180)}})
	sets := plan(t, b, oneLifter(Lifter{})).Sessions[0].Exercises[0].Sets
	for i, want := range []float64{4.75, 3.3131, 2.9002} {
		r := sets[i].Reserve
		if r == nil || math.Abs(r.Mid-want) > 1e-3 {
			t.Errorf("set %d: reserve %+v, want %v", i+1, r, want)
		} else if !(r.Low < r.Mid && r.Mid < r.High) {
			t.Errorf("set %d: %+v is no interval", i+1, *r)
		}
	}
}

// TestReserveOfTheLastSet is the same model turned round: for 2 left after three
// sets of 5 with 180 s between them the first set needs 2 + 5(1 + q + q^2) =
// 8.8498 repetitions to failure.
func TestReserveOfTheLastSet(t *testing.T) {
	it := Item{Work: Work{Sets: Fixed(3), Reps: Fixed(5), Weight: RIR(Fixed(2)), Rest: Fixed(180)}, ReserveOf: LastSet}
	s := plan(t, oneItem(1, it), oneLifter(Lifter{})).Sessions[0].Exercises[0].Sets
	c, err := estimate.CurveNamed("general")
	if err != nil {
		t.Fatal(err)
	}
	f, _, err := c.Fraction(8.8498)
	if err != nil {
		t.Fatal(err)
	}
	if got := s[0].Percent.Float64(); math.Abs(got-100*f) > 0.02 {
		t.Errorf("%v %% of the maximum, want %v", got, 100*f)
	}
	it.ReserveOf = FirstSet
	first := plan(t, oneItem(1, it), oneLifter(Lifter{})).Sessions[0].Exercises[0].Sets
	if first[0].Percent.Cmp(s[0].Percent) <= 0 {
		t.Errorf("2 left after the first set is at %s %%, after the last at %s %%: the first must be heavier", first[0].Percent, s[0].Percent)
	}
}

// TestMinutes adds up by hand: 5 min to arrive, 1 min to set up, and 5 sets of 5
// at 4 s with 180 s of rest between them, 820 s (the published tempo and rest of
// the ACSM stand 2009, looked-up): 1,180 s.
func TestMinutes(t *testing.T) {
	b := oneItem(1, Item{Role: Accessory, Work: Work{Sets: Fixed(5), Reps: Fixed(5), Weight: Load(20 * kg), Rest: Fixed(180)}})
	b.Lifts[0].Uses, b.Lifts[0].Tempo = "dumbbells", 4
	m := plan(t, b, oneLifter(Lifter{})).Sessions[0].Minutes
	if m == nil || math.Abs(m.Mid-1180./60) > 1e-9 || !(m.Low < m.Mid && m.Mid < m.High) {
		t.Errorf("minutes %+v, want 19.67 within a range", m)
	}
}

// TestSessionLoading holds for random plans: what changes from set to set adds
// up to the session's plate moves, every stack follows from the one before, and
// it takes no more moves than each weight on its own fewest plates.
func TestSessionLoading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		prog, err := Compile(drawBlock(t), oneLifter(drawLifter(t)))
		if err != nil {
			t.Fatal(err)
		}
		for _, ps := range prog.Plan(0).Sessions {
			var on, fewest []plates.Plate
			moves, plain := 0, 0
			for _, p := range performed(nil, &ps) {
				ex := &ps.Exercises[p.exercise]
				s := p.set(ex)
				if ex.Lift.Uses != "bar" || !s.HasLoad {
					continue
				}
				n := between2(on, s.Side)
				if s.Moves != n {
					t.Fatalf("%s: %d moves from %v to %v, the set says %d", ex.Lift.Name, n, on, s.Side, s.Moves)
				}
				moves += n
				on = s.Side
				side, _ := ex.Loads.PerSide(s.Load)
				plain += between2(fewest, side)
				fewest = side
			}
			if moves != ps.Moves || moves > plain {
				t.Fatalf("%d moves, the session says %d, the fewest plates for each weight take %d", moves, ps.Moves, plain)
			}
		}
	})
}

// between2 is the moves from one stack to another: all but the common inner part.
func between2(a, b []plates.Plate) int {
	same := 0
	for same < len(a) && same < len(b) && a[same] == b[same] {
		same++
	}
	return len(a) + len(b) - 2*same
}

// Where a deload brings two different weights down to the same one, nothing
// moves between them: 24 kg of the week before was 25 on the bar, and half of
// it is the empty bar, as before.
func TestNoMovesBetweenEqualWeightsOfADeload(t *testing.T) {
	b := oneItem(1, Item{Each: []Work{{Reps: Fixed(5), Weight: Percent(Fixed(70))}, {Reps: Fixed(5), Weight: Percent(Fixed(80))}}})
	b.Finish = Finish{Deload: 1, Hold: ratio(50, 1)}
	p := plan(t, b, oneLifter(Lifter{Maxes: []MaxEntry{{Lift: "pull", Tested: 30 * kg}}}))
	want(t, p, "1: main 5x20 main 5x25", "2: main 5x20< main 5x20<")
	for week, moves := range []int{1, 0} {
		ps := &p.Sessions[week]
		if got := ps.Exercises[0].Sets[1].Moves; got != moves || ps.Moves != moves {
			t.Errorf("week %d: %d moves before the second set and %d in the session, want %d", week+1, got, ps.Moves, moves)
		}
	}
}
