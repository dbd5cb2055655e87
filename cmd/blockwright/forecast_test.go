package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"html"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

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
	if d.Lifter != nil || d.Freshest.Date != nil || d.Days[0].Date != nil || d.Against == nil || d.Against.Block != "Three spring weeks" || len(d.Against.Days) != len(d.Days) ||
		c == nil || c.AheadA+c.AheadB+c.Even != len(d.Sets) || len(c.Difference) != len(d.Sets) || c.Day != *d.Test {
		t.Errorf("%+v %+v", d, c)
	}
}

// constructedLog writes a constructed series of testdata (derived, not
// measurements; see testdata/response-README.md) as a log: the load is minutes at
// an effort of 1.
func constructedLog(t *testing.T, name string) string {
	t.Helper()
	f, err := os.Open("../../testdata/response-synthetic-" + name + ".csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	first := time.Date(2027, 1, 4, 0, 0, 0, 0, time.UTC)
	var b strings.Builder
	b.WriteString("date,lifter,lift,load,reps,tested,minutes,effort\n")
	for i, r := range rows[1:] {
		date := first.AddDate(0, 0, i).Format(time.DateOnly)
		switch {
		case r[2] != "":
			fmt.Fprintf(&b, "%s,Oda,press,%s,1,1,%s,1\n", date, r[2], r[1])
		case r[1] != "0":
			fmt.Fprintf(&b, "%s,Oda,press,40,5,,%s,1\n", date, r[1])
		}
	}
	return b.String()
}

type fitDoc struct {
	Lift, Unit string
	Days       []struct{ Test, Mid, Low, High *float64 }
	Freshest   *json.RawMessage
	Fit        *struct {
		Refused bool
		Params  []struct {
			Name      string
			Value     float64
			Low, High *float64
		}
		Models       []struct{ Model string }
		Correlations []struct{ R float64 }
		Warnings     []struct {
			Code   string
			Refuse bool
		}
	}
}

func fitLog(t *testing.T, log string, words ...string) fitDoc {
	t.Helper()
	status, stdout, stderr := runHere(log, append([]string{"forecast", "--log", "-", "--json"}, words...)...)
	if status != statusDone || stderr != "" {
		t.Fatalf("status %d, %s", status, stderr)
	}
	sayWhatTheModelCannot(t, "fit", stdout)
	if !strings.Contains(stdout, response.NoSinglePoint) {
		t.Errorf("does not say %q", response.NoSinglePoint)
	}
	var d fitDoc
	if err := json.Unmarshal([]byte(stdout), &d); err != nil {
		t.Fatal(err)
	}
	return d
}

// TestForecastFitsALog: the parameters that a series was made with come back, and
// one that cannot tell them apart is refused.
func TestForecastFitsALog(t *testing.T) {
	d := fitLog(t, constructedLog(t, "exact"), "--measure", "session-load", "--before", "0")
	want := map[string]float64{"p0": 150, "k1": 0.0125, "k2": 0.0210, "tau1": 42, "tau2": 11}
	if d.Lift != "press" || d.Unit != "kg" || len(d.Days) != 140 || d.Freshest != nil || d.Fit.Refused || len(d.Fit.Params) != 5 || len(d.Fit.Correlations) != 10 || len(d.Fit.Models) != 3 {
		t.Fatalf("%+v", d)
	}
	for _, p := range d.Fit.Params {
		if math.Abs(p.Value/want[p.Name]-1) > 1e-4 {
			t.Errorf("%s: %v, want %v", p.Name, p.Value, want[p.Name])
		}
	}
	for i, x := range d.Days {
		if x.Test != nil && math.Abs(*x.Test-*x.Mid) > 0.01 {
			t.Errorf("day %d: fitted %v, tested %v", i+1, *x.Mid, *x.Test)
		}
	}
	d = fitLog(t, constructedLog(t, "degenerate"), "--measure", "session-load", "--before", "0")
	if !d.Fit.Refused || d.Days[20].Mid != nil {
		t.Errorf("the data cannot tell the time constants apart: %+v", d.Fit)
	}
	d = fitLog(t, constructedLog(t, "noisy"), "--measure", "tonnage", "--model", "one-component", "--convention", "same-day", "--unit", "lb")
	if d.Unit != "lb" || len(d.Fit.Params) != 3 {
		t.Errorf("%+v", d.Fit)
	}
	// Text and pictures.
	dir := t.TempDir()
	for name, says := range map[string]string{"noisy": "Fitted, with doubts", "degenerate": "REFUSED: the data do not support this model"} {
		file := filepath.Join(dir, name+".svg")
		status, stdout, stderr := runHere(constructedLog(t, name), "forecast", "--log", "-", "--lifter", "Oda", "--lift", "press", "--measure", "session-load", "--before", "0", "--figure", file)
		if status != statusDone || stderr != "" || !strings.Contains(stdout, says) || strings.Contains(stdout, "x test, o fitted") == (name == "degenerate") {
			t.Errorf("%s: status %d %s\n%s", name, status, stderr, stdout)
		}
		sayWhatTheModelCannot(t, name, stdout)
		svg, err := os.ReadFile(file)
		if err != nil || !strings.Contains(string(svg), "fit is refused") == (name == "degenerate") {
			t.Errorf("%s: %v, the picture does not say how the fit ended", name, err)
		}
	}
}
