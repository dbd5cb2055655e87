package main

import (
	"encoding/json"
	"html"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize/response"
)

const (
	garageBlock  = "../../examples/garage/block.yaml"
	garageRoster = "../../examples/garage/roster.yaml"
)

// TestForecastAlwaysSaysWhatTheModelCannot: whatever is asked for, the output
// says that the model's optimum is all-or-nothing and that no human barbell
// parameters are published, and speaks of an optimal load nowhere else.
func TestForecastAlwaysSaysWhatTheModelCannot(t *testing.T) {
	dir := t.TempDir()
	one, pair := filepath.Join(dir, "one.svg"), filepath.Join(dir, "pair.svg")
	// The garage roster's first lifter.
	for name, words := range map[string][]string{
		"block":      {garageBlock},
		"lifters":    {garageBlock, garageRoster},
		"lifter":     {garageBlock, garageRoster, "--lifter", "Piotr", "--figure", one},
		"pair":       {garageBlock, "--against", "starter/block.yaml", "--figure", pair},
		"json":       {garageBlock, garageRoster, "--lifter", "Piotr", "--json"},
		"json pair":  {garageBlock, "--against", "starter/block.yaml", "--json"},
		"json lines": {garageBlock, garageRoster, "--json-lines"},
		"list":       {"--list"},
		"list json":  {"--list", "--json"},
	} {
		status, stdout, stderr := runHere("", append([]string{"forecast"}, words...)...)
		if status != statusDone || stderr != "" {
			t.Fatalf("%s: status %d, %s", name, status, stderr)
		}
		sayWhatTheModelCannot(t, name, stdout)
	}
	for _, file := range []string{one, pair} {
		svg, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var texts []string
		for _, part := range strings.Split(string(svg), "</text>") {
			texts = append(texts, strings.TrimSpace(part[strings.LastIndex(part, ">")+1:]))
		}
		sayWhatTheModelCannot(t, file, html.UnescapeString(strings.Join(texts, " ")))
	}
	_, page, _ := runHere("", "forecast", "--help")
	if strings.Contains(page, "optim") {
		t.Errorf("the help page speaks of an optimum:\n%s", page)
	}
}

func sayWhatTheModelCannot(t *testing.T, name, text string) {
	t.Helper()
	text = strings.Join(strings.Fields(text), " ") // wrapped or not
	for _, s := range append(response.Caveats(), response.AllOrNothing, response.NoBarbellParameters) {
		if !strings.Contains(text, s) {
			t.Errorf("%s does not say %q", name, s)
		}
	}
	if rest := strings.ReplaceAll(text, response.AllOrNothing, ""); strings.Contains(rest, "optim") {
		t.Errorf("%s speaks of an optimum beside the caveat", name)
	}
}

func TestForecastJSON(t *testing.T) {
	type band struct{ Mid, Low, High float64 }
	type doc struct {
		Lifter *string
		Block  string
		Days   []struct {
			Date             *string
			Day              int
			Mid, Low, High   float64
			Load             float64
			Fitness, Fatigue band
		}
		Freshest struct {
			Date, Low, High *string
			Day, Agree, Of  int
			LowDay          int `json:"low_day"`
			HighDay         int `json:"high_day"`
			Share           float64
		}
		Test    *int
		Measure string
		Sets    []struct {
			Name, Mark string
			Freshest   int
		}
		Fit     *json.RawMessage
		Against *struct {
			Block string
			Days  []struct{ Load float64 }
		}
		Comparison *struct {
			Day        int
			AheadA     int `json:"ahead_a"`
			AheadB     int `json:"ahead_b"`
			Even       int
			Difference []float64
		}
	}
	d := decode[doc](t, "forecast", garageBlock, garageRoster, "--lifter", "Piotr")
	// Eight weeks to the test on 19 June, and 14 days.
	if d.Lifter == nil || *d.Lifter != "Piotr" || d.Test == nil || d.Fit != nil || d.Measure != "relative-volume" || d.Against != nil {
		t.Fatalf("%+v", d)
	}
	if test := d.Days[*d.Test-1]; test.Date == nil || *test.Date != "2027-06-19" || test.Load != 0 || len(d.Days) != *d.Test+14 {
		t.Errorf("test on day %d of %d: %+v", *d.Test, len(d.Days), test)
	}
	for i, x := range d.Days {
		if x.Day != i+1 || !(0 <= x.Low && x.Low <= x.Mid && x.Mid <= x.High && x.High <= 1) || x.Fitness.Low > x.Fitness.High || x.Fatigue.Low > x.Fatigue.High {
			t.Errorf("%+v", x)
		}
	}
	agree := 0
	for _, s := range d.Sets {
		if s.Mark != response.AssumedMark {
			t.Errorf("%s is marked %q", s.Name, s.Mark)
		}
		if s.Freshest-d.Freshest.Day <= 3 && d.Freshest.Day-s.Freshest <= 3 {
			agree++
		}
	}
	f := d.Freshest
	if f.Date == nil || *f.Date != *d.Days[f.Day-1].Date || *f.Low != *d.Days[f.LowDay-1].Date || *f.High != *d.Days[f.HighDay-1].Date ||
		f.Agree != agree || f.Of != len(d.Sets) || f.Share != float64(agree)/float64(f.Of) {
		t.Errorf("%+v; %d agree", f, agree)
	}
	d = decode[doc](t, "forecast", garageBlock, "--against", "starter/block.yaml")
	c := d.Comparison
	if d.Lifter != nil || d.Freshest.Date != nil || d.Days[0].Date != nil || d.Against == nil || d.Against.Block != "First bridge" || len(d.Against.Days) != len(d.Days) ||
		c == nil || c.AheadA+c.AheadB+c.Even != len(d.Sets) || len(c.Difference) != len(d.Sets) || c.Day != *d.Test {
		t.Errorf("%+v %+v", d, c)
	}
}
