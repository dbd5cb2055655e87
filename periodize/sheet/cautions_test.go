package sheet_test

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
	"github.com/blockwright/blockwright/plates"
)

func ids(p *periodize.Plan) []string {
	var out []string
	for _, c := range sheet.Cautions(p) {
		out = append(out, c.ID)
	}
	return out
}

// always is the short set of every sheet.
var always = []string{"not_medical", "clearance", "pain", "technique"}

func set(pct int64) periodize.Set {
	return periodize.Set{Kind: periodize.MainSet, Reps: 5, Sides: 1, HasLoad: true, Load: 60 * plates.Kilogram, HasPercent: true, Percent: plates.WholeRatio(pct)}
}

// onePlan is a plan of one light exercise for a grown lifter, to be changed.
func onePlan() (*periodize.Plan, *periodize.Exercise) {
	lift := &periodize.Lift{Name: "press", Pattern: periodize.PushVertical, Uses: "olympic"}
	p := &periodize.Plan{
		Block:  &periodize.Block{Title: "x", Weeks: 1},
		Lifter: &periodize.Lifter{Name: "x", Age: 30},
		Gym:    &periodize.Gym{},
		Sessions: []periodize.PlannedSession{{Week: 1, Name: "a", Kind: periodize.Training, Date: time.Date(2027, 9, 6, 0, 0, 0, 0, time.UTC),
			Exercises: []periodize.Exercise{{Lift: lift, Role: periodize.Focus, Sets: []periodize.Set{set(70)}}}}},
	}
	return p, &p.Sessions[0].Exercises[0]
}

func TestCautionsByTrigger(t *testing.T) {
	reserve := 1.0
	for _, c := range []struct {
		name   string
		change func(*periodize.Plan, *periodize.Exercise)
		want   []string // beyond the short set
	}{
		{"light work, grown lifter", func(*periodize.Plan, *periodize.Exercise) {}, nil},
		{"age not given", func(p *periodize.Plan, _ *periodize.Exercise) { p.Lifter.Age = 0 }, []string{"youth_unknown"}},
		{"seventeen", func(p *periodize.Plan, _ *periodize.Exercise) { p.Lifter.Age = 17 }, []string{"youth", "youth_medical"}},
		{"eighteen", func(p *periodize.Plan, _ *periodize.Exercise) { p.Lifter.Age = 18 }, nil},
		{"heavy press", func(_ *periodize.Plan, e *periodize.Exercise) { e.Sets[0] = set(85) }, []string{"spotter", "pressure"}},
		{"not quite heavy", func(_ *periodize.Plan, e *periodize.Exercise) { e.Sets[0] = set(84) }, nil},
		{"heavy pull", func(_ *periodize.Plan, e *periodize.Exercise) {
			e.Lift = &periodize.Lift{Name: "row", Pattern: periodize.PullHorizontal, Uses: "olympic"}
			e.Sets[0] = set(90)
		}, []string{"pressure"}},
		{"open-ended set", func(_ *periodize.Plan, e *periodize.Exercise) { e.Sets[0].AMRAP = true }, []string{"spotter", "pressure"}},
		{"one in reserve", func(_ *periodize.Plan, e *periodize.Exercise) { e.Sets[0].RIR = &reserve }, []string{"spotter", "pressure"}},
		{"one predicted", func(_ *periodize.Plan, e *periodize.Exercise) {
			e.Sets[0].Reserve = &periodize.Range{Mid: 0.8, Low: 0, High: 3}
		}, []string{"spotter", "pressure"}},
		{"push-ups to the end", func(_ *periodize.Plan, e *periodize.Exercise) {
			e.Lift = &periodize.Lift{Name: "push-up", Pattern: periodize.PushHorizontal}
			e.Sets[0] = periodize.Set{Reps: 10, Sides: 1, AMRAP: true}
		}, []string{"pressure"}},
		{"test day", func(p *periodize.Plan, e *periodize.Exercise) {
			p.Sessions[0].Kind = periodize.TestDay
			e.Sets[0].Kind = periodize.TestSet
		}, []string{"spotter", "pressure", "test"}},
		{"two weeks off", func(p *periodize.Plan, _ *periodize.Exercise) {
			p.Lifter.Recent = &periodize.Recent{LastTrained: p.Sessions[0].Date.AddDate(0, 0, -14)}
		}, []string{"return"}},
		{"thirteen days off", func(p *periodize.Plan, _ *periodize.Exercise) {
			p.Lifter.Recent = &periodize.Recent{LastTrained: p.Sessions[0].Date.AddDate(0, 0, -13)}
		}, nil},
		{"a lift's week jumps", func(p *periodize.Plan, e *periodize.Exercise) {
			next := p.Sessions[0]
			next.Week = 2
			next.Exercises = []periodize.Exercise{{Lift: e.Lift, Sets: slices.Repeat([]periodize.Set{set(70)}, 5)}}
			p.Sessions = append(p.Sessions, next)
		}, []string{"rhabdo"}},
		{"a lift's week grows", func(p *periodize.Plan, e *periodize.Exercise) {
			e.Sets = slices.Repeat([]periodize.Set{set(70)}, 4)
			next := p.Sessions[0]
			next.Week = 2
			next.Exercises = []periodize.Exercise{{Lift: e.Lift, Sets: slices.Repeat([]periodize.Set{set(70)}, 6)}}
			p.Sessions = append(p.Sessions, next)
		}, nil},
		{"more than before the block", func(p *periodize.Plan, e *periodize.Exercise) {
			p.Lifter.Recent = &periodize.Recent{WeeklySets: new(5)}
			e.Sets = slices.Repeat([]periodize.Set{set(70)}, 8)
		}, []string{"rhabdo"}},
		{"after none before the block", func(p *periodize.Plan, e *periodize.Exercise) {
			p.Lifter.Recent = &periodize.Recent{WeeklySets: new(0)}
		}, []string{"rhabdo"}},
		{"pulls three days a week", func(p *periodize.Plan, e *periodize.Exercise) {
			e.Lift = &periodize.Lift{Name: "deadlift", Pattern: periodize.Hinge, Uses: "olympic"}
			for range 2 {
				p.Sessions = append(p.Sessions, p.Sessions[0])
			}
		}, []string{"deadlift_back"}},
		{"estimated maximum", func(p *periodize.Plan, _ *periodize.Exercise) {
			p.Maxes = []periodize.LiftMax{{Lift: "press", Coverage: 0.9}}
		}, []string{"estimate"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, e := onePlan()
			c.change(p, e)
			if got, want := ids(p), slices.Concat(always, c.want); !slices.Equal(got, want) {
				t.Errorf("cautions %v, want %v", got, want)
			}
		})
	}
}

// Every caution has a source, the one that the reference table gives it where
// there is one.
func TestCautionSources(t *testing.T) {
	f, err := os.Open("../../testdata/cautions-sources.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	table := map[string]string{}
	for _, row := range rows[1:] {
		table[strings.ReplaceAll(row[0], "-", "_")] = row[2]
	}
	for _, c := range sheet.AllCautions() {
		want, ok := table[c.ID]
		if !ok {
			t.Errorf("%s is not in the table", c.ID)
			continue
		}
		// The first author and year, or the house, must be the table's.
		key, _, _ := strings.Cut(want, " ")
		if key == "see" || key == "general" { // our own references
			continue
		}
		if !strings.Contains(c.Source, key) {
			t.Errorf("%s: source %q, the table has %q", c.ID, c.Source, want)
		}
		if len(c.Text) > 150 || !strings.HasSuffix(c.Text, ".") {
			t.Errorf("%s: %d characters: %s", c.ID, len(c.Text), c.Text)
		}
	}
}

// Every sheet carries the short set, in every format.
func TestEverySheetHasCautions(t *testing.T) {
	prog := example.Program(t)
	for _, f := range sheet.Formats() {
		if f == sheet.CSV { // rows of numbers for other programs
			continue
		}
		flat := strings.NewReplacer("\r\n ", "", "\n  ", " ", `\,`, ",", `\;`, ";", "&#39;", "'").Replace(render(t, prog, f, sheet.Options{Week: 2}))
		for _, c := range sheet.AllCautions()[:len(always)] {
			if n := strings.Count(flat, c.Text); n < prog.Len() {
				t.Errorf("%s: %s is there %d times for %d lifters", f, c.ID, n, prog.Len())
			}
		}
	}
}
