package figure

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/periodize/logbook"
)

const maximumLog = `date,lifter,lift,load,reps,rir,tested
2027-03-01,Ada,row,60,5,1,
2027-03-01,Ada,row,60,5,0,
2027-03-15,Ada,row,72.5,1,0,1
2027-03-15,Ada,row,75,0,,1
2027-04-12,Ada,row,65,5,1,
`

func maximumOf(t *testing.T) *logbook.LiftLog {
	t.Helper()
	s, err := logbook.Summarise(logbook.NewReader(logbook.Options{}, logbook.Stream("log", strings.NewReader(maximumLog))))
	if err != nil {
		t.Fatal(err)
	}
	l, err := s.Log(logbook.LogOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return &l.Lifters[0].Lifts[0]
}

func TestMaximumSaysWhatItShows(t *testing.T) {
	x := maximumOf(t)
	f, err := Maximum("Ada, row", "kg", x, logbook.DateOf(int(x.Track.Points[0].Set.Day)+60))
	if err != nil {
		t.Fatal(err)
	}
	var svg bytes.Buffer
	if err := f.Write(&svg, SVG); err != nil {
		t.Fatal(err)
	}
	for _, s := range []string{"Maximum over time, Ada, row", "90 % interval", "single to the limit", "missed", "load of another telling set", "1 Mar", "kg"} {
		if !strings.Contains(svg.String(), s) {
			t.Errorf("the picture lacks %q", s)
		}
	}
	if _, err := Maximum("Ada", "kg", &logbook.LiftLog{}, time.Time{}); !errors.Is(err, ErrEmpty) {
		t.Errorf("a lift without a maximum: %v, want ErrEmpty", err)
	}
}

// The band passes through the track on the days of sets, and has every day once.
func TestDailyBand(t *testing.T) {
	x := maximumOf(t)
	from := int(x.Track.Points[0].Set.Day)
	band, err := dailyBand(x, from, from+50)
	if err != nil {
		t.Fatal(err)
	}
	if len(band) != 51 {
		t.Fatalf("%d days, want 51", len(band))
	}
	for _, p := range x.Track.Points {
		if d := int(p.Set.Day) - from; band[d].Mid <= 0 || !(band[d].Low < band[d].Mid && band[d].Mid < band[d].High) {
			t.Errorf("day %d: %+v", d, band[d])
		}
	}
	last := x.Track.Points[len(x.Track.Points)-1]
	if got, want := band[42].Mid, last.All.Max(); got != want {
		t.Errorf("day 42: %v, the track has %v", got, want)
	}
	if !(band[50].High-band[50].Low > band[42].High-band[42].Low) {
		t.Error("the band does not widen after the last set")
	}
}

func TestDateTicks(t *testing.T) {
	start := time.Date(2027, 1, 20, 0, 0, 0, 0, time.UTC)
	for _, days := range []int{1, 2, 10, 70, 71, 200, 1000, 20_000} {
		ticks := dateTicks(start, days)
		if len(ticks) == 0 || len(ticks) > 12 {
			t.Errorf("%d ticks on %d days", len(ticks), days)
		}
		for _, k := range ticks {
			if k.Value < 0.9 || k.Value > float64(days)+0.5 {
				t.Errorf("a tick at %v of %d days", k.Value, days)
			}
		}
	}
}
