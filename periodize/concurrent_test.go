package periodize

import (
	"fmt"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Plans of one program may be made out by many goroutines at once, and are the
// same as one after the other: nothing is looked up late, and what lifters
// share is guarded. Run with -race to see every slip.
func TestPlansAtTheSameTime(t *testing.T) {
	b := oneItem(2, Item{Work: Work{Sets: Fixed(3), Reps: Fixed(5), Weight: RIR(Fixed(2))}})
	b.Finish = Finish{Deload: 1, Cut: ratio(50, 1), Test: true}
	r := oneLifter(Lifter{})
	for i, curve := range []string{"general", "bench press", "leg press", "epley", "brzycki"} {
		name := fmt.Sprint("lift ", i)
		b.Lifts = append(b.Lifts, Lift{Name: name, Pattern: Hinge, Uses: "bar", Curve: curve})
		b.Sessions[0].Work = append(b.Sessions[0].Work, Item{Lift: name, Work: Work{Sets: Fixed(2), Reps: Fixed(4), Weight: RIR(Fixed(1))}})
		r.Lifters[0].Maxes = append(r.Lifters[0].Maxes, MaxEntry{Lift: name, Tested: 90 * kg})
	}
	want := brief(plan(t, b, r))
	for range 20 {
		p, err := Compile(b, r)
		if err != nil {
			t.Fatal(err)
		}
		ready := len(p.lifters[0].maxes.curves)
		var wg sync.WaitGroup
		got := make([][]string, 8)
		for i := range got {
			wg.Go(func() { got[i] = brief(p.Plan(0)) })
		}
		wg.Wait()
		if n := len(p.lifters[0].maxes.curves); n != ready {
			t.Fatalf("a plan looked up %d curves late", n-ready)
		}
		for _, g := range got {
			if d := cmp.Diff(want, g); d != "" {
				t.Fatalf("plan (-alone +at the same time):\n%s", d)
			}
		}
	}
}
