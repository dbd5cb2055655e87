package workload_test

import (
	"encoding/json"
	"errors"
	"testing"

	w "github.com/blockwright/blockwright/periodize/workload"
)

func TestErrorsSayWhatWouldBeRight(t *testing.T) {
	var totals w.Totals
	_, week := w.NewWeek(make([]float64, 6), w.Sample)
	_, reach := w.Recovery{}.FreshCapacity(1, []w.WorkSet{{Reps: 5, Rest: 20}, {Reps: 5}})
	bad := totals.UnmarshalJSON([]byte(`{"volume": 3}`))
	for _, tc := range []struct {
		err  error
		want string
	}{
		{totals.Add(w.Set{Load: -2.5}), "workload: load: want 0 to 1e12, got -2.5"},
		{totals.Add(w.Set{Muscles: []w.Share{{}}}), "workload: muscles[0].key: want a name in UTF-8"},
		{week, "workload: daily: want 7 days, rest days as 0, got 6"},
		{totals.Merge(w.Totals{Zones: must(w.NewZones(0.5))(t)}), "workload: zone edges: the two differ; merge only what was counted by one definition"},
		{reach, "workload: sets[1]: no prediction: the rest is shorter than any in the totals that the model was fitted to"},
		{new(w.Tally).UnmarshalBinary(nil), "workload: tally: does not start as the binary form of one, version 1"},
	} {
		if tc.err == nil || tc.err.Error() != tc.want {
			t.Errorf("got %v, want %s", tc.err, tc.want)
		}
	}
	// The cause is within reach.
	var ute *json.UnmarshalTypeError
	if !errors.As(bad, &ute) {
		t.Errorf("got %v", bad)
	}
}
