package blockfile_test

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/plates"
)

// wave is a track that the package does not know.
type wave struct{}

func (wave) At(week, weeks int) (plates.Ratio, bool) {
	return ratio(int64(200+week), 3), week != 2
}

func rowing(it periodize.Item) *periodize.Block {
	it.Lift = "row"
	return &periodize.Block{
		Title: "Rows", Weeks: 3,
		Lifts:    []periodize.Lift{{Name: "row", Pattern: periodize.PullHorizontal, Uses: "bar"}},
		Sessions: []periodize.Session{{Name: "One", Work: []periodize.Item{it}}},
	}
}

func TestUnknownTracksAreWrittenWeekByWeek(t *testing.T) {
	for _, c := range []struct {
		name string
		work periodize.Work
		want string
	}{
		{"percent", periodize.Work{Reps: periodize.Fixed(5), Weight: periodize.Percent(wave{})}, `        percent: [67, "-", 67.666667]`},
		{"reps", periodize.Work{Reps: wave{}, Weight: periodize.Percent(periodize.Fixed(70))}, `        reps: [67, "-", 68]`},
		{"range", periodize.Work{Reps: wave{}, RepsLow: periodize.Fixed(60), Weight: periodize.Percent(periodize.Fixed(70))}, `        reps: [60-67, "-", 60-68]`},
		{"rest", periodize.Work{Reps: periodize.Fixed(5), Rest: wave{}, Weight: periodize.Percent(periodize.Fixed(70))}, `        rest: [67s, "-", 68s]`},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out bytes.Buffer
			if err := blockfile.WriteBlock(&out, rowing(periodize.Item{Work: c.work})); err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(out.String(), c.want+"\n") {
				t.Errorf("no line %q in\n%s", c.want, &out)
			}
		})
	}
}

// A line between numbers that are not whole reads back with the sets it had.
func TestBrokenLinesReadBack(t *testing.T) {
	half := func(n int64) plates.Ratio {
		r, err := plates.RatioOf(float64(n) / 2)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for name, sets := range map[string]periodize.Track{"line": periodize.LineTrack{From: half(5), To: half(9)},
		"crest": periodize.CrestTrack{From: half(5), Crest: half(11), To: half(7), Peak: 2}, "whole": periodize.LineTrack{From: half(4), To: half(10)}} {
		b := rowing(periodize.Item{Work: periodize.Work{Sets: sets, Reps: periodize.Fixed(5), Weight: periodize.Percent(periodize.Fixed(70))}})
		var out bytes.Buffer
		if err := blockfile.WriteBlock(&out, b); err != nil {
			t.Fatal(err)
		}
		text := out.String()
		back, err := blockfile.ReadBlock("b", &out)
		if err != nil {
			t.Fatal(err)
		}
		for week := 1; week <= b.Weeks; week++ {
			v, _ := sets.At(week, b.Weeks)
			w, _ := back.Sessions[0].Work[0].Sets.At(week, b.Weeks)
			if v.RoundHalfUp() != w.RoundHalfUp() {
				t.Errorf("%s, week %d: %d sets written, %d read back from\n%s", name, week, v.RoundHalfUp(), w.RoundHalfUp(), text)
			}
		}
		if name == "whole" && !strings.Contains(text, "sets: {from: 2, to: 5}") {
			t.Errorf("not a line any more:\n%s", text)
		}
	}
}

func TestMassesAsWritten(t *testing.T) {
	for _, c := range []struct {
		m    plates.Mass
		u    plates.Unit
		want string
	}{
		{60 * plates.Kilogram, plates.KG, "60"},
		{1425 * plates.Kilogram / 10, plates.KG, "142.5"},
		{45 * plates.Pound, plates.KG, "45lb"},
		{plates.Pound / 4, plates.LB, "0.25"},
		{20 * plates.Kilogram, plates.LB, "20kg"},
		{1, plates.KG, "0.0000000001kg"},
		{20*plates.Kilogram + 1, plates.LB, "20.0000000001kg"},
	} {
		b := rowing(periodize.Item{Work: periodize.Work{Reps: periodize.Fixed(5), Weight: periodize.Load(c.m)}})
		b.Unit = c.u
		var out bytes.Buffer
		if err := blockfile.WriteBlock(&out, b); err != nil {
			t.Error(err)
			continue
		}
		if want := "load: " + c.want + "\n"; !strings.Contains(out.String(), want) {
			t.Errorf("no %q in\n%s", want, &out)
		}
		back, err := blockfile.ReadBlock("", &out)
		if err != nil {
			t.Error(err)
			continue
		}
		if got, _ := back.Sessions[0].Work[0].Weight.Track.At(1, 3); got != plates.WholeRatio(int64(c.m)) {
			t.Errorf("%s read back as %v counts, want %d", c.want, got, c.m)
		}
	}
}

func TestBlocksThatNoFileHolds(t *testing.T) {
	five := periodize.Work{Reps: periodize.Fixed(5), Weight: periodize.Percent(periodize.Fixed(70))}
	for _, c := range []struct {
		name string
		b    *periodize.Block
		want string
	}{
		{"track of another length", rowing(periodize.Item{Work: periodize.Work{Reps: periodize.ByWeek(5, 5), Weight: five.Weight}}), "sessions[0].work[0].reps: want 3 entries"},
		{"no amount", rowing(periodize.Item{}), "sessions[0].work[0]: no amount"},
		{"two amounts", rowing(periodize.Item{Work: periodize.Work{Reps: five.Reps, Seconds: five.Reps, Weight: five.Weight}}), "reps and seconds exclude each other"},
		{"name that is no text", rowing(periodize.Item{Work: five, Note: "\xff"}), "note: want text without control or invisible characters"},
		{"not a number", func() *periodize.Block {
			b := rowing(periodize.Item{Work: five})
			b.Lifts[0].Tempo = math.NaN()
			return b
		}(), "lifts.row.tempo: want the seconds"},
		{"nothing", &periodize.Block{}, "block: want a title, got"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out bytes.Buffer
			err := blockfile.WriteBlock(&out, c.b)
			var all blockfile.Errors
			if !errors.As(err, &all) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			if out.Len() > 0 {
				t.Errorf("written all the same:\n%s", &out)
			}
		})
	}
}

func TestComments(t *testing.T) {
	b := mustReadBlock(t, "testdata/block.yaml")
	said := map[string]string{
		"":                               "A draft.\nEdit it freely.",
		"weeks":                          "as asked",
		"lifts":                          "what may be used",
		"lifts.press":                    "in front",
		"sessions[1]":                    "heavy",
		"sessions[1].work[0]":            "second",
		"sessions[1].work[0].lift":       "first line",
		"sessions[1].work[0].each[1]":    "drops",
		"sessions[0].work[0].sets":       "up to week 3\nand down: 100 %",
		"sessions[0].work[0].percent":    "climbs # all along",
		"sessions[0].work[0].percent.to": "not asked for: inside one line",
		"finish":                         "a tab\tand\x00 a NUL",
	}
	var out bytes.Buffer
	if err := blockfile.WriteBlockWith(&out, b, func(path string) string { return said[path] }); err != nil {
		t.Fatal(err)
	}
	want := `# A draft.
# Edit it freely.
block: Harbour strength
weeks: 4  # as asked
units: kg
focus: [deadlift, press]

# what may be used
lifts:
  deadlift: {pattern: hinge, muscles: {glutes: 1}, uses: trap, tempo: 4s}
  press: {pattern: push-vertical, muscles: {shoulders: 1}, uses: olympic}  # in front
  deficit pull: {pattern: hinge, uses: trap, max: {of: deadlift, percent: 85}}
  pull-up: {pattern: pull-vertical, uses: none, bodyweight_share: 100}
  plank: {pattern: trunk, region: trunk, uses: none}

sessions:
  - name: One
    day: mon
    limit: 75m
    work:
      - lift: deadlift
        # up to week 3
        # and down: 100 %
        sets: [3, 4, 5, 2]
        reps: 5
        percent: {from: 70, to: 82}  # climbs # all along
        rest: 3m
        final: {amrap: true, leave: 1, cap: 10, weeks: 4}
      - lift: press
        sets: 1
        reps: 4
        rir: 1.5
        backoff: {sets: 3, reps: 6, drop: 12}
      - lift: plank
        pair: A
        sets: {from: 2, crest: 4, at: 3, to: 2}
        seconds: 30
  # heavy
  - name: Two
    weeks: odd
    work:
      # second
      - lift: deficit pull  # first line
        each:
          - {reps: 5, percent: 60}
          - {sets: 2, reps: 5, drop: 10}  # drops
      - lift: press
        build: {reps: 1, to_rir: 1, start: 70, step: 5}
      - lift: pull-up
        reps: 8-12
        rir: 2
finish: {deload: 1, cut: 50, hold: 90, test: true}  # a tab and  a NUL
`
	if diff := cmp.Diff(want, out.String()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	back, err := blockfile.ReadBlock("", &out)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(b, back, equal); diff != "" {
		t.Errorf("read back (-want +got):\n%s", diff)
	}
}

type full struct{}

var errFull = errors.New("disk full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestWriteError(t *testing.T) {
	var w io.Writer = full{}
	if err := blockfile.WriteBlock(w, mustReadBlock(t, "testdata/block.yaml")); !errors.Is(err, errFull) {
		t.Errorf("got %v", err)
	}
}
