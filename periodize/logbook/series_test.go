package logbook

import (
	"math/rand/v2"
	"testing"
)

// TestSeriesTable holds the table against a map, on both sides of the lifts that are
// looked up without hashing.
func TestSeriesTable(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	var table seriesTable
	want := map[seriesKey]int32{}
	for range 20_000 {
		k := seriesKey{rng.Int32N(60), rng.Int32N(3 * denseLifts)}
		id, known := want[k]
		got := table.find(k)
		switch {
		case !known && got != -1:
			t.Fatalf("%v is %d, and was never added", k, got)
		case known && got != id:
			t.Fatalf("%v is %d, want %d", k, got, id)
		case !known:
			if want[k] = table.add(k); int(want[k]) != len(want)-1 || table.keys[want[k]] != k {
				t.Fatalf("%v was added as %d, the %d. series", k, want[k], len(want))
			}
		}
	}
}
