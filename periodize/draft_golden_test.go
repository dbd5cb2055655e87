package periodize_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
)

var update = flag.Bool("update", false, "rewrite the drafts of the example briefs")

func exampleBrief(t testing.TB, path string) *periodize.Brief {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	b, err := blockfile.ReadBrief(filepath.Base(path), f)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestExampleDrafts holds the drafts of the example briefs, with their comments.
func TestExampleDrafts(t *testing.T) {
	paths, err := filepath.Glob("../examples/briefs/*.yaml")
	if err != nil || len(paths) < 3 {
		t.Fatalf("%d example briefs, %v", len(paths), err)
	}
	for _, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			d, err := periodize.Draft(exampleBrief(t, path), periodize.DraftOptions{})
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range d.Review.Findings {
				if f.Severity != periodize.Note {
					t.Errorf("%s: %s: %s", f.Severity, f.Where, f.Text)
				}
			}
			var got bytes.Buffer
			if err := blockfile.WriteBlockWith(&got, d.Block, d.Comment); err != nil {
				t.Fatal(err)
			}
			golden := filepath.Join(filepath.Dir(path), "drafts", filepath.Base(path))
			if *update {
				if err := os.WriteFile(golden, got.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(string(want), got.String()); d != "" {
				t.Errorf("draft (-want +got):\n%s", d)
			}
			// Every reason has its place in the file, and the file reads back.
			for _, r := range d.Reasons {
				if !strings.Contains(got.String(), strings.Split(r.Text, "\n")[0]) {
					t.Errorf("the reason for %s is not in the file: %s", r.Path, r.Text)
				}
			}
			back, err := blockfile.ReadBlock("draft", &got)
			if err != nil {
				t.Fatal(err)
			}
			if len(back.Sessions) != len(d.Block.Sessions) {
				t.Errorf("%d sessions read back, want %d", len(back.Sessions), len(d.Block.Sessions))
			}
			if len(d.RunnersUp) == 0 {
				t.Error("no runners-up")
			}
			for _, u := range d.RunnersUp {
				if u.Score.Weeks < d.Score.Weeks {
					t.Errorf("a runner-up at %g beats the draft at %g", u.Score.Weeks, d.Score.Weeks)
				}
			}
		})
	}
}

// A brief for two evenings of an hour.
func ExampleDraft() {
	b := &periodize.Brief{
		Title: "Two evenings", Weeks: 5, Minutes: 60, Focus: []string{"squat"},
		Days: []time.Weekday{time.Tuesday, time.Friday},
		Lifts: []periodize.Lift{
			{Name: "squat", Pattern: periodize.Squat, Uses: "bar", Muscles: []periodize.Share{{Muscle: "quads", Part: 1}}},
			{Name: "row", Pattern: periodize.PullHorizontal, Muscles: []periodize.Share{{Muscle: "back", Part: 1}}},
		},
	}
	d, err := periodize.Draft(b, periodize.DraftOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("sets a week:", d.Shape.Sets)
	fmt.Println("most in week", d.Shape.Overreach)
	for _, s := range d.Block.Sessions {
		for i := range s.Work {
			fmt.Println(s.Name, s.Work[i].Lift)
		}
	}
	// Output:
	// sets a week: [11 13 15 10 8]
	// most in week 3
	// Tuesday squat
	// Tuesday row
	// Friday squat
}

// What a brief asks for can exclude itself; the error says what would fit.
func ExampleInfeasibleError() {
	b := &periodize.Brief{
		Title: "In no time", Weeks: 5, Minutes: 12, Focus: []string{"squat"},
		Days:  []time.Weekday{time.Tuesday, time.Friday},
		Lifts: []periodize.Lift{{Name: "squat", Pattern: periodize.Squat, Uses: "bar"}},
	}
	_, err := periodize.Draft(b, periodize.DraftOptions{})
	fmt.Println(err)
	// Output:
	// periodize: no block meets this wish
	//   minutes: sessions of at most 12 minutes; 16 minutes would fit
}
