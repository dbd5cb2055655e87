package blockfile_test

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/plates"
)

// equal compares blocks and rosters but for the places they were read from.
var equal = cmp.Options{
	cmpopts.IgnoreTypes(periodize.Pos{}),
	cmpopts.EquateEmpty(),
	cmp.AllowUnexported(periodize.WeekSet{}),
	cmp.Comparer(func(a, b plates.Ratio) bool { return a == b }),
	cmp.Comparer(func(a, b time.Time) bool { return a.Equal(b) }),
}

// goodFiles lists the good files of a kind.
func goodFiles(t testing.TB, kind string) []string {
	t.Helper()
	var all []string
	for i, pattern := range []string{"testdata/good/*" + kind + ".yaml", "testdata/" + kind + ".yaml", "../../examples/*/*" + kind + ".yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		if len(files) == 0 && i < 2 {
			t.Fatalf("no files %s", pattern)
		}
		all = append(all, files...)
	}
	return all
}

func TestGoodFilesReadBackEqual(t *testing.T) {
	t.Run("block", func(t *testing.T) { readBack(t, "block", blockfile.ReadBlock, blockfile.WriteBlock) })
	t.Run("roster", func(t *testing.T) { readBack(t, "roster", blockfile.ReadRoster, blockfile.WriteRoster) })
	t.Run("brief", func(t *testing.T) { readBack(t, "brief", blockfile.ReadBrief, blockfile.WriteBrief) })
}

func readBack[T any](t *testing.T, kind string, read reading[T], write writing[T]) {
	for _, name := range goodFiles(t, kind) {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		v, err := read(filepath.Base(name), bytes.NewReader(data))
		if err != nil {
			t.Errorf("%s:\n%v", name, err)
			continue
		}
		if _, _, err := again(v, read, write); err != "" {
			t.Errorf("%s: %s", name, err)
		}
	}
}

type (
	reading[T any] = func(string, io.Reader) (*T, error)
	writing[T any] = func(io.Writer, *T) error
)

// again writes a value, reads it and writes what was read: the values and the
// texts must be equal.
func again[T any](v *T, read reading[T], write writing[T]) (back *T, text, problem string) {
	var first, second bytes.Buffer
	if err := write(&first, v); err != nil {
		return nil, "", "write: " + err.Error()
	}
	back, err := read("written", bytes.NewReader(first.Bytes()))
	if err != nil {
		return nil, first.String(), "read again: " + err.Error() + "\n" + first.String()
	}
	if diff := cmp.Diff(v, back, equal); diff != "" {
		return back, first.String(), "read, written and read again (-first +second):\n" + diff + "\n" + first.String()
	}
	if err := write(&second, back); err != nil {
		return back, first.String(), "write again: " + err.Error()
	}
	if diff := cmp.Diff(first.String(), second.String()); diff != "" {
		return back, first.String(), "written twice (-first +second):\n" + diff
	}
	return back, first.String(), ""
}

// What the rarer forms mean.
func TestForms(t *testing.T) {
	b := mustReadBlock(t, "testdata/good/forms-block.yaml")
	work := b.Sessions[0].Work
	whole := func(n int64) plates.Ratio { return plates.WholeRatio(n) }
	lb := func(n int64) plates.Ratio { return whole(n * int64(plates.Pound)) }
	for _, c := range []struct {
		what      string
		got, want any
	}{
		{"title in quotes", b.Title, "7"},
		{"unit", b.Unit, plates.LB},
		{"note", b.Note, "Two lines\nwith a \"quotation\": and a colon."},
		{"tempo of four phases", b.Lifts[1].Tempo, 3.5},
		{"tempo of seconds", b.Lifts[2].Tempo, 2.5},
		{"plus in kilograms", b.Lifts[0].Max.Plus, -25 * plates.Kilogram / 10},
		{"uses none", b.Lifts[2].Uses, ""},
		{"day", *b.Sessions[0].Day, time.Sunday},
		{"limit", b.Sessions[0].Limit, 75 * time.Minute},
		{"weeks of a list", b.Sessions[0].Weeks.String(), "[1, 3]"},
		{"alias", work[1].Spread, work[0].Spread},
		{"empty weeks", work[0].Sets, periodize.Track(periodize.WeekTrack{{Value: whole(2)}, {Empty: true}, {Empty: true}})},
		{"upper ends", work[0].Reps, periodize.Track(periodize.WeekTrack{{Value: whole(8)}, {Value: whole(5)}, {Empty: true}})},
		{"lower ends", work[0].RepsLow, periodize.Track(periodize.WeekTrack{{Value: whole(5)}, {Value: whole(5)}, {Empty: true}})},
		{"line of rests", work[0].Rest, periodize.Track(periodize.LineTrack{From: whole(120), To: whole(210)})},
		{"crest", work[2].Metres, periodize.Crest(20, 42.5, 2, 10)},
		{"line of loads", work[2].Weight, periodize.Weight{Kind: periodize.ByLoad, Track: periodize.LineTrack{From: whole(20 * int64(plates.Kilogram)), To: lb(100)}}},
		{"no rest", work[2].Rest, periodize.Fixed(0)},
		{"rest of the item in each", work[3].Each[1].Rest, periodize.Fixed(90)},
		{"and not beside it", work[3].Rest, nil},
		{"another item with the same each", work[4].Each[1].Rest, nil},
		{"range that becomes one", work[3].Each[0].RepsLow, periodize.Line(8, 4)},
		{"range at a crest", work[3].Each[1].RepsLow, periodize.Crest(5, 8, 2, 3)},
		{"drop of nothing", work[3].Each[1].Weight, periodize.Drop(periodize.Fixed(0))},
		{"leave of nothing", *work[4].Final.Leave, plates.Ratio{}},
		{"weeks of one", work[5].Weeks.String(), "2"},
	} {
		if diff := cmp.Diff(c.want, c.got, equal); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.what, diff)
		}
	}

	r := mustReadRoster(t, "testdata/good/gyms-roster.yaml")
	yard := r.Gyms[0]
	for _, c := range []struct {
		what      string
		got, want any
	}{
		{"collars", yard.Collars, 25 * plates.Kilogram / 10},
		{"bar in pounds", yard.Bars[0].Mass, 45 * plates.Pound},
		{"bar in kilograms", yard.Bars[1].Mass, 20 * plates.Kilogram},
		{"collars of a bar", *yard.Bars[1].Collars, plates.Mass(0)},
		{"plates", yard.Plates, plates.Inventory{
			{Plate: plates.Plate{Mass: 45 * plates.Pound, Unit: plates.LB}, Count: 4},
			{Plate: plates.Plate{Mass: 20 * plates.Kilogram, Unit: plates.KG}, Count: 2},
			{Plate: plates.Plate{Mass: plates.Pound / 4, Unit: plates.LB}, Count: 2},
		}},
		{"ladder", yard.Stations[0], periodize.Station{Name: "lift-off rack", To: 100 * plates.Pound, Step: 10 * plates.Pound, Assist: true}},
		{"list", yard.Stations[1].List, []plates.Mass{0, 50 * plates.Kilogram, 235 * plates.Pound}},
		{"bodyweight in the gym's pounds", r.Lifters[0].Bodyweight, 150 * plates.Pound},
		{"no sets before the block", r.Lifters[1].Recent, &periodize.Recent{WeeklySets: new(0)}},
		{"bodyweight in kilograms", r.Lifters[1].Bodyweight, 6125 * plates.Kilogram / 100},
		{"tested with assistance", r.Lifters[0].Maxes[0].Tested, -5 * plates.Kilogram},
		{"an estimate with assistance", r.Lifters[0].Maxes[3], periodize.MaxEntry{Lift: "dip", Tested: -5 * plates.Pound, Low: -75 * plates.Pound / 10, Date: time.Date(2027, 2, 1, 0, 0, 0, 0, time.UTC)}},
		{"tested on a day", r.Lifters[0].Maxes[4], periodize.MaxEntry{Lift: "press", Tested: 60 * plates.Kilogram, Date: time.Date(2027, 2, 1, 0, 0, 0, 0, time.UTC)}},
		{"reserve from rpe", *r.Lifters[0].Maxes[1].Sets[0].RIR, periodize.Fixed(2.5).(periodize.FixedTrack).Value},
		{"date", r.Lifters[0].Maxes[1].Sets[0].Date, time.Date(2027, 1, 31, 0, 0, 0, 0, time.UTC)},
		{"name in quotes", r.Lifters[1].Name, "null"},
		{"several lines", r.Lifters[1].Adjust[1].Why, "went well\nand again"},
	} {
		if diff := cmp.Diff(c.want, c.got, equal); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.what, diff)
		}
	}
}

func mustReadBlock(t testing.TB, name string) *periodize.Block {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	b, err := blockfile.ReadBlock(filepath.Base(name), bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func mustReadRoster(t testing.TB, name string) *periodize.Roster {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	r, err := blockfile.ReadRoster(filepath.Base(name), bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Units count for the bare masses of a roster wherever the keys stand.
func TestUnitsWhateverTheOrder(t *testing.T) {
	const text = `
lifters:
  - maxes: {row: 100}
    bodyweight: 150
    gym: yard
    name: Ada
gyms:
  hall: {stations: {bells: {list: [16]}}, units: kg}
  yard: {bars: {bar: 45}, plates: {25: 4}, units: lb}
`
	r, err := blockfile.ReadRoster("roster.yaml", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	l := r.Lifters[0]
	if l.Bodyweight != 150*plates.Pound || l.Maxes[0].Tested != 100*plates.Pound || r.Gyms[1].Bars[0].Mass != 45*plates.Pound {
		t.Errorf("bare masses of a pound gym read as %v, %v and %v", l.Bodyweight, l.Maxes[0].Tested, r.Gyms[1].Bars[0].Mass)
	}
}

func TestPlacesOfRecords(t *testing.T) {
	b := mustReadBlock(t, "testdata/block.yaml")
	r := mustReadRoster(t, "testdata/roster.yaml")
	for _, c := range []struct {
		what string
		got  periodize.Pos
		want string
	}{
		{"block", b.Pos, "block.yaml:1:1"},
		{"lift", b.Lifts[1].Pos, "block.yaml:7:3"},
		{"session", b.Sessions[1].Pos, "block.yaml:31:5"},
		{"item", b.Sessions[0].Work[1].Pos, "block.yaml:22:9"},
		{"roster", r.Pos, "roster.yaml:1:1"},
		{"test day", r.TestPos, "roster.yaml:7:7"},
		{"gym", r.Gyms[0].Pos, "roster.yaml:2:3"},
		{"lifter", r.Lifters[1].Pos, "roster.yaml:18:5"},
		{"maximum", r.Lifters[0].Maxes[1].Pos, "roster.yaml:15:7"},
		{"swap", r.Lifters[1].Swaps[0].Pos, "roster.yaml:24:12"},
		{"adjustment", r.Lifters[1].Adjust[0].Pos, "roster.yaml:25:14"},
	} {
		if c.got.String() != c.want {
			t.Errorf("%s at %s, want %s", c.what, c.got, c.want)
		}
	}
}

func TestReadGym(t *testing.T) {
	for _, text := range []string{
		"gym: {units: lb, bars: {bar: 45}, plates: {45: 2}}\n",
		"gym: {units: lb, bars: {bar: 45}, plates: {45: 2}}\nlifters: [{nmae: Ada}]\n",
	} {
		gyms, err := blockfile.ReadGym("gym.yaml", strings.NewReader(text))
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if len(gyms) != 1 || gyms[0].Unit != plates.LB || gyms[0].Bars[0].Mass != 45*plates.Pound {
			t.Errorf("%q read as %+v", text, gyms)
		}
	}
	_, err := blockfile.ReadGym("gym.yaml", strings.NewReader("gym: {units: st}\nlifter: []\n"))
	want := `gym.yaml:1:6: gym: a gym without equipment: want bars or stations
gym.yaml:1:14: gym.units: want kg or lb, got "st"
gym.yaml:2:1: lifter: unknown key; did you mean "lifters"?`
	if err == nil || err.Error() != want {
		t.Errorf("got:\n%v\nwant:\n%s", err, want)
	}
}
