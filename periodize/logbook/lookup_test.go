package logbook

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestFlush: how often pairs of a look-up are added, and by how many goroutines, changes no sum.
func TestFlush(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 5))
	var b strings.Builder
	b.WriteString("date,lifter,lift,load,reps,rir,tested\n")
	for range 4000 {
		reps, tested := 1+rng.IntN(9), ""
		if rng.IntN(6) == 0 {
			reps, tested = 1, "1"
		}
		fmt.Fprintf(&b, "2027-%02d-%02d,lifter %d,lift %d,%d,%d,%.1f,%s\n", 1+rng.IntN(12), 1+rng.IntN(28), rng.IntN(13), rng.IntN(3), 60+rng.IntN(60), reps, float64(rng.IntN(30))/10, tested)
	}
	r := NewReader(Options{}, Stream("log", strings.NewReader(b.String())))
	tests, err := CollectTests(r, TestedOrSingle)
	if err != nil {
		t.Fatal(err)
	}
	slow := NewTests(TestedOrSingle)
	if err := r.batches(func(b *Batch) error { slow.AddBatch(b); return nil }); err != nil {
		t.Fatal(err)
	}
	if tests.fingerprint() != slow.fingerprint() || tests.Len() < 300 {
		t.Fatalf("%d tests collected, %d by reading everything", tests.Len(), slow.Len())
	}
	var want []byte
	for _, pending := range []int{mostPending, 1, 7, 100} {
		c, err := NewComparisonWith(CompareOptions{}, tests)
		if err != nil {
			t.Fatal(err)
		}
		c.pend = make([]lookedPair, 0, pending)
		if err := r.batches(c.AddBatch); err != nil {
			t.Fatal(err)
		}
		got, err := c.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		if c.Counts().Pairs < 500 {
			t.Fatalf("%d pairs", c.Counts().Pairs)
		}
		if want == nil {
			want = got
		}
		if diff := cmp.Diff(string(want), string(got)); diff != "" {
			t.Fatalf("%d pending: sums differ:\n%s", pending, diff)
		}
	}
}

// TestCollectTestsMessy: in a log with every kind of trouble, too, reading for the tests finds those that reading
// everything finds.
func TestCollectTestsMessy(t *testing.T) {
	for seed := range uint64(20) {
		in := messyLog(rand.New(rand.NewPCG(seed, 6)), 2000)
		r := NewReader(Options{}, Stream("log", strings.NewReader(in)))
		tests, err := CollectTests(r, TestedOrSingle)
		if err != nil {
			t.Fatal(err)
		}
		slow := NewTests(TestedOrSingle)
		if err := r.batches(func(b *Batch) error { slow.AddBatch(b); return nil }); err != nil {
			t.Fatal(err)
		}
		if tests.fingerprint() != slow.fingerprint() || tests.Len() < 10 {
			t.Fatalf("%d tests collected, %d by reading everything", tests.Len(), slow.Len())
		}
	}
}
