package plates

import (
	"errors"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func flat(sets [][]Target, s *Shared) (out []Target) {
	for _, t := range s.Turns {
		out = append(out, sets[t.Lifter][t.Set])
	}
	return out
}

// All orders of up to four lifters, each planned by itself.
func TestShareAgainstEveryOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, targets, opt := drawSession(t, 5, 10)
		opt.EndEmpty = false
		sets := make([][]Target, rapid.IntRange(1, 4).Draw(t, "lifters"))
		for _, x := range targets {
			i := rapid.IntRange(0, len(sets)-1).Draw(t, "lifter")
			sets[i] = append(sets[i], x)
		}
		got, err := l.Share(sets, ShareOptions{Sequence: opt})
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, l, flat(sets, got), opt, got.Sequence)
		if sorted := slices.Sorted(slices.Values(got.Order)); len(sorted) != len(sets) || !got.Sequence.Proven {
			t.Fatalf("order %v, proven %v", got.Order, got.Sequence.Proven)
		}
		order := make([]int, len(sets))
		for i := range order {
			order[i] = i
		}
		s := NewSequencer(l)
		var best *Sequence
		permute(order, 0, func(o []int) {
			var list []Target
			for round := range len(targets) {
				for _, i := range o {
					if round < len(sets[i]) {
						list = append(list, sets[i][round])
					}
				}
			}
			q, err := s.Sequence(list, opt)
			if err != nil {
				t.Fatal(err)
			}
			if best == nil || q.Moves < best.Moves || q.Moves == best.Moves && q.Moved < best.Moved {
				best = q
			}
		})
		if got.Sequence.Moves != best.Moves || got.Sequence.Moved != best.Moved {
			t.Fatalf("%d moves and %v, want %d and %v", got.Sequence.Moves, got.Sequence.Moved, best.Moves, best.Moved)
		}
	})
}

func crew(n, rounds int) [][]Target {
	sets := make([][]Target, n)
	for i := range sets {
		for r := range rounds {
			sets[i] = append(sets[i], Target{Mass: Mass(24+(i*7)%11*4+r*2) * 5 * Kilogram / 2})
		}
	}
	return sets
}

func TestShareSizes(t *testing.T) {
	club := gymNamed(t, "KG-CLUB").loads(t)
	sets := crew(3, 3)
	listed, err := club.Share(sets, ShareOptions{AsListed: true})
	if err != nil || !slices.Equal(listed.Order, []int{0, 1, 2}) || !listed.Sequence.Proven {
		t.Fatal(listed, err)
	}
	best, err := club.Share(sets, ShareOptions{})
	if err != nil || best.Sequence.Moves > listed.Sequence.Moves {
		t.Fatal(best, err)
	}
	many := crew(10, 2)
	got, err := club.Share(many, ShareOptions{})
	if err != nil || got.Sequence.Proven || got.Sequence.Bound < 1 {
		t.Fatal(got, err)
	}
	checkPlan(t, club, flat(many, got), SequenceOptions{}, got.Sequence)
	// Work that does not suffice still gives an answer, and says so.
	got, err = club.Share(crew(5, 3), ShareOptions{Sequence: SequenceOptions{Order: Free, Work: 3000}})
	if err != nil || got.Sequence.Proven {
		t.Fatal(got.Sequence, err)
	}
	checkPlan(t, club, flat(crew(5, 3), got), SequenceOptions{Order: Free}, got.Sequence)
	if got, err := club.Share(nil, ShareOptions{}); err != nil || len(got.Turns) != 0 {
		t.Error(got, err)
	}
	bad := crew(2, 2)
	bad[1][1].Mass = 101 * Kilogram
	var n *NotLoadableError
	if _, err := club.Share(bad, ShareOptions{}); !errors.As(err, &n) || n.Index != 3 {
		t.Error(err)
	}
}
