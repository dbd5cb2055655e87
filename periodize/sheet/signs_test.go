package sheet_test

import (
	"encoding/csv"
	"regexp"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
	"github.com/blockwright/blockwright/plates"
)

// oneLift is a plan of one lift in the example's kilogram gym.
func oneLift(t *testing.T, weeks int, change func(b *periodize.Block), items ...periodize.Item) *periodize.Program {
	t.Helper()
	b, r := example.Block(), example.Roster()
	b.Weeks, b.Finish, b.Focus = weeks, periodize.Finish{}, nil
	b.Sessions = []periodize.Session{{Name: "Quay", Work: items}}
	if change != nil {
		change(b)
	}
	r.Lifters = r.Lifters[:1]
	prog, err := periodize.Compile(b, r)
	if err != nil {
		t.Fatal(err)
	}
	return prog
}

func squats(percent float64, reps int) periodize.Item {
	return periodize.Item{Lift: "box squat", Work: periodize.Work{Sets: periodize.Fixed(3), Reps: periodize.Fixed(float64(reps)), Weight: periodize.Percent(periodize.Fixed(percent))}}
}

// forPeople are the formats in which a week is printed in full.
var forPeople = []sheet.Format{sheet.Text, sheet.Markdown, sheet.HTML}

func TestHeavierThanTheMaximum(t *testing.T) {
	for _, f := range append(forPeople, sheet.Calendar) {
		for percent, want := range map[float64]bool{108: true, 90: false} {
			out := render(t, oneLift(t, 1, nil, squats(percent, 1)), f, sheet.Options{Week: 1})
			if strings.Contains(out, "^ more than the maximum") != want || regexp.MustCompile(`\d\^`).MatchString(out) != want {
				t.Errorf("%s, %v%%: mark or legend is not as it should be\n%s", f, percent, out)
			}
		}
	}
}

func TestNotExpectedToBeCompleted(t *testing.T) {
	for _, f := range forPeople {
		for reps, want := range map[int]bool{15: true, 3: false} {
			out := render(t, oneLift(t, 1, nil, squats(85, reps)), f, sheet.Options{Week: 1})
			if got := regexp.MustCompile(`(<|&lt;)0 left: the set is not expected`).MatchString(out); got != want {
				t.Errorf("%s, %d repetitions: %v\n%s", f, reps, got, out)
			}
		}
	}
}

// A reserve is shown after the main sets and after the back-offs.
func TestReserveOfBackoffs(t *testing.T) {
	it := squats(80, 5)
	it.Backoff = &periodize.Backoff{Sets: periodize.Fixed(2), Reps: periodize.Fixed(8), Drop: periodize.Fixed(8)}
	prog := oneLift(t, 1, nil, it)
	sets := prog.Plan(0).Sessions[0].Exercises[0].Sets
	if sets[2].Reserve == nil || sets[4].Reserve == nil {
		t.Fatal("no reserve is predicted")
	}
	for _, f := range []sheet.Format{sheet.Text, sheet.Markdown} {
		out := render(t, prog, f, sheet.Options{})
		if !regexp.MustCompile(`box squat.*\n.*left.*~\d.*\n.*back-off.*\n.*left.*~\d`).MatchString(out) {
			t.Errorf("%s:\n%s", f, out)
		}
	}
}

// An exercise is left out of a panel of weeks in which it is not done.
func TestEmptyRowsAreDropped(t *testing.T) {
	late := squats(70, 5)
	late.Lift, late.Weeks = "bench press", periodize.OnlyWeeks(8)
	out := render(t, oneLift(t, 8, nil, squats(70, 5), late), sheet.Text, sheet.Options{Width: 60})
	panels := strings.Split(out, "\nQuay ")[1:]
	if len(panels) < 2 {
		t.Fatalf("%d panels:\n%s", len(panels), out)
	}
	for i, p := range panels {
		rows, _, _ := strings.Cut(p, "minutes")
		if last := i == len(panels)-1; strings.Contains(rows, "bench press") != last {
			t.Errorf("panel %d of %d:\n%s", i+1, len(panels), p)
		}
	}
}

func TestTempoIsSaid(t *testing.T) {
	prog := oneLift(t, 1, func(b *periodize.Block) { b.Lifts[0].Tempo = 4.5 }, squats(70, 5))
	for _, f := range forPeople {
		if out := render(t, prog, f, sheet.Options{Week: 1}); !strings.Contains(out, "4.5 s a repetition") {
			t.Errorf("%s:\n%s", f, out)
		}
	}
}

func TestEffortIsRPE(t *testing.T) {
	it := squats(0, 5)
	it.Weight = periodize.Weight{Kind: periodize.ByRPE, Track: periodize.Fixed(8.5)}
	if out := render(t, oneLift(t, 1, nil, it), sheet.Text, sheet.Options{Week: 1}); !strings.Contains(out, "RPE 8.5 from 140 kg") {
		t.Error(out)
	}
}

// In a unit that is not the gym's, people read one decimal, and are told why;
// programs get all of them.
func TestOtherUnitHasOneDecimal(t *testing.T) {
	prog, u := oneLift(t, 1, nil, squats(73, 5)), plates.LB
	for _, f := range forPeople {
		out := render(t, prog, f, sheet.Options{Unit: &u, Week: 1})
		// A plate of 1.25 kg is named as it is stamped.
		if m := regexp.MustCompile(`\d\.\d{2,}\b[^k]`).FindString(strings.ReplaceAll(out[strings.LastIndex(out, "</style>")+1:], "1.25kg", "")); m != "" {
			t.Errorf("%s has %q:\n%s", f, m, out)
		}
		if strings.Count(out, "plates of another unit") != 1 {
			t.Errorf("%s does not say once why the weights are odd:\n%s", f, out)
		}
	}
	rows, err := csv.NewReader(strings.NewReader(render(t, prog, sheet.CSV, sheet.Options{Unit: &u, Columns: []string{"kind", "load", "reserve"}}))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	exact := false
	for _, r := range rows[1:] {
		exact = exact || regexp.MustCompile(`\.\d{3,}`).MatchString(r[1])
		if regexp.MustCompile(`\.\d{2,}`).MatchString(r[2]) {
			t.Errorf("reserve %s", r[2])
		}
	}
	if !exact {
		t.Error("CSV has no exact weight")
	}
}

// The words for a bar's sides stand over bars only.
func TestEachSideIsABars(t *testing.T) {
	row := periodize.Item{Lift: "one-arm row", Work: periodize.Work{Sets: periodize.Fixed(2), Reps: periodize.Fixed(8), Sides: 2, Weight: periodize.Load(20 * plates.Kilogram)}}
	for _, f := range forPeople {
		out := render(t, oneLift(t, 1, nil, row), f, sheet.Options{Week: 1})
		if out = out[strings.LastIndex(out, "</style>")+1:]; strings.Contains(out, "each side") || strings.Contains(out, "each hand") {
			t.Errorf("%s:\n%s", f, out)
		}
		if out := render(t, oneLift(t, 1, nil, squats(70, 5)), f, sheet.Options{Week: 1}); !strings.Contains(out, "fewest moves through the session") {
			t.Errorf("%s does not say how plates are chosen:\n%s", f, out)
		}
	}
}
