package periodize_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize"
)

// TestTracksThatCannotBeMeant: what a program makes of bad numbers is refused when it is compiled, with its place.
func TestTracksThatCannotBeMeant(t *testing.T) {
	for want, track := range map[string]periodize.Track{
		"percent: NaN: want a finite number under 1e18":        periodize.Fixed(math.NaN()),
		"percent: +Inf: want a finite number under 1e18":       periodize.Line(60, math.Inf(1)),
		"percent: 1e+300: want a finite number under 1e18":     periodize.Crest(60, 1e300, 2, 70),
		"percent: -Inf: want a finite number under 1e18":       periodize.ByWeek(60, math.Inf(-1), 70),
		"percent: want a value for each of 3 weeks, got 4":     periodize.ByWeek(60, 65, 70, 75),
		"percent: want the crest in a week from 1 to 3, got 9": periodize.Crest(60, 90, 9, 70),
		"percent: want the crest in a week from 1 to 3, got 0": periodize.Crest(60, 90, 0, 70),
	} {
		b := &periodize.Block{Title: "t", Weeks: 3, Lifts: []periodize.Lift{{Name: "press", Pattern: periodize.PushVertical, Uses: "bar"}},
			Sessions: []periodize.Session{{Name: "A", Work: []periodize.Item{{Lift: "press", Work: periodize.Work{Reps: periodize.Fixed(5), Weight: periodize.Percent(track)}}}}}}
		_, err := periodize.ReviewBlock(b, periodize.Thresholds{})
		var e *periodize.Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}
