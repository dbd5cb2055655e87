package blockfile_test

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
)

func TestPairsThatFit(t *testing.T) {
	for _, pair := range [][2]string{
		{"testdata/block.yaml", "testdata/roster.yaml"},
		{"testdata/good/autumn-block.yaml", "testdata/good/autumn-roster.yaml"},
		{"../../examples/garage/block.yaml", "../../examples/garage/roster.yaml"},
		{"../../examples/quayside/block.yaml", "../../examples/quayside/roster.yaml"},
	} {
		if err := blockfile.CheckPair(mustReadBlock(t, pair[0]), mustReadRoster(t, pair[1])); err != nil {
			t.Errorf("%s with %s:\n%v", pair[0], pair[1], err)
		}
	}
}

// Each roster is testdata/roster.yaml with edits, held against testdata/block.yaml.
func TestPairsThatDoNotFit(t *testing.T) {
	data, err := os.ReadFile("testdata/roster.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b := mustReadBlock(t, "testdata/block.yaml")
	for _, c := range []struct {
		name  string
		edits []string
		want  []string
	}{
		{"a maximum of no lift", []string{"press: 42.5", "pres: 42.5"}, []string{
			`roster.yaml:15:7: lifters[0].maxes.pres: the block has no lift "pres": did you mean "press"?`}},
		{"a maximum of nothing", []string{"press: 42.5", "press: 0"}, []string{
			`roster.yaml:15:7: lifters[0].maxes.press: want a mass above 0, since "press" counts no bodyweight`}},
		{"a set of less than nothing", []string{"load: 100,", "load: -5,"}, []string{
			`roster.yaml:22:7: lifters[1].maxes.deadlift[1].load: want a mass above 0, since "deadlift" counts no bodyweight`}},
		{"more assistance than bodyweight", []string{"press: 42.5", "pull-up: -61"}, []string{
			`roster.yaml:15:7: lifters[0].maxes.pull-up: takes off all of the bodyweight that "pull-up" counts: want less assistance`}},
		{"a swap from no lift", []string{"swap: {deficit pull", "swap: {deficit row"}, []string{
			`roster.yaml:24:12: lifters[1].swap.deficit row: the block has no lift "deficit row": want deadlift, press, deficit pull, pull-up or plank`}},
		{"a swap to no lift", []string{"pull: deadlift}", "pull: deadlifts}"}, []string{
			`roster.yaml:24:12: lifters[1].swap.deficit pull: the block has no lift "deadlifts": did you mean "deadlift"?`}},
		{"a change of no lift, in no week", []string{"week: 4, lift: press", "week: 6, lift: bench"}, []string{
			`roster.yaml:25:14: lifters[1].adjust[0].lift: the block has no lift "bench": want deadlift, press, deficit pull, pull-up or plank`,
			`roster.yaml:25:14: lifters[1].adjust[0].week: week 6 is not in the block: want weeks from 1 to 5`}},
		{"a bar that the gym lacks", []string{"olympic: 20", "olympia: 20"}, []string{
			`roster.yaml:2:3: gym: there is no bar or station "olympic", which "press" uses: did you mean "olympia"?`}},
		{"a bar that is nowhere", []string{"trap: {mass: 25, have: 1}", "safety: 25"}, []string{
			`roster.yaml:2:3: gym: there is no bar or station "trap", which "deadlift" uses: want olympic, safety, dumbbells or stack`,
			`roster.yaml:2:3: gym: there is no bar or station "trap", which "deficit pull" uses: want olympic, safety, dumbbells or stack`}},
		{"a station that takes load off", []string{", trap: {mass: 25, have: 1}", "", "dumbbells: {from: 2, to: 40, step: 2}", "trap: {from: 2, to: 40, step: 2, assist: true}"}, []string{
			`roster.yaml:2:3: gym.stations.trap: takes load off bodyweight, and "deadlift" counts none: want bodyweight_share, or another station`,
			`roster.yaml:2:3: gym.stations.trap: takes load off bodyweight, and "deficit pull" counts none: want bodyweight_share, or another station`}},
		{"no bodyweight", []string{"    bodyweight: 61\n", ""}, []string{
			`roster.yaml:9:5: lifters[0]: bodyweight is missing: want it, since "pull-up" counts 100 per cent of it`}},
		{"a test day before the last session", []string{"test: 2027-10-09", "test: 2027-10-04"}, []string{
			`roster.yaml:7:7: test: the test day 2027-10-04 must lie after the last session (2027-10-04) and at most a week after the last week ends, so from 2027-10-05 to 2027-10-17`}},
		{"a test day too late", []string{"test: 2027-10-09", "test: 2027-10-18"}, []string{
			`roster.yaml:7:7: test: the test day 2027-10-18 must lie after the last session (2027-10-04) and at most a week after the last week ends, so from 2027-10-05 to 2027-10-17`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := string(data)
			for i := 0; i < len(c.edits); i += 2 {
				if !strings.Contains(text, c.edits[i]) {
					t.Fatalf("the roster has no %q", c.edits[i])
				}
				text = strings.Replace(text, c.edits[i], c.edits[i+1], 1)
			}
			r, err := blockfile.ReadRoster("roster.yaml", strings.NewReader(text))
			if err != nil {
				t.Fatal(err)
			}
			err = blockfile.CheckPair(b, r)
			var all blockfile.Errors
			var one *blockfile.Error
			if !errors.As(err, &all) || !errors.As(err, &one) {
				t.Fatalf("got %v", err)
			}
			if diff := cmp.Diff(c.want, strings.Split(err.Error(), "\n")); diff != "" {
				t.Errorf("messages (-want +got):\n%s", diff)
			}
		})
	}
}

// What a program built has no places, and is checked all the same.
func TestPairWithoutPlaces(t *testing.T) {
	b := mustReadBlock(t, "testdata/block.yaml")
	r := &periodize.Roster{
		Gyms:    []periodize.Gym{{Name: "hall"}},
		Lifters: []periodize.Lifter{{Name: "Ada", Gym: "yard", Bodyweight: 1, Swaps: []periodize.Swap{{From: "a.b", To: "press"}}}},
	}
	err := blockfile.CheckPair(b, r)
	want := `lifters[0].swap["a.b"]: the block has no lift "a.b": want deadlift, press, deficit pull, pull-up or plank
lifters[0].gym: the roster has no gym "yard"`
	if err == nil || err.Error() != want {
		t.Errorf("got:\n%v\nwant:\n%s", err, want)
	}
}

// A lifter who swaps a lift away does not need what it uses.
func TestPairCountsSwaps(t *testing.T) {
	b := mustReadBlock(t, "testdata/block.yaml")
	data, err := os.ReadFile("testdata/roster.yaml")
	if err != nil {
		t.Fatal(err)
	}
	text := bytes.ReplaceAll(data, []byte("swap: {deficit pull: deadlift}"), []byte("swap: {pull-up: plank}"))
	text = bytes.ReplaceAll(text, []byte("    bodyweight: 61\n"), []byte("    swap: {pull-up: press}\n"))
	r, err := blockfile.ReadRoster("roster.yaml", bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if err := blockfile.CheckPair(b, r); err != nil {
		t.Error(err)
	}
}
