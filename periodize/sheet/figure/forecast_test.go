package figure

import (
	"bytes"
	"encoding/xml"
	"errors"
	"html"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/response"
	"github.com/blockwright/blockwright/periodize/taper"
)

// growing is a plan of some weeks with a test, its last week cut.
func growing(t *testing.T, weeks int, dated bool) *periodize.Plan {
	t.Helper()
	sets := make([]float64, weeks)
	for i := range sets {
		sets[i] = float64(3 + i)
	}
	sets[weeks-1] = 2
	monday := time.Monday
	b := &periodize.Block{Title: "test", Weeks: weeks, Focus: []string{"pull"},
		Lifts: []periodize.Lift{{Name: "pull", Pattern: periodize.Hinge, Uses: "bar"}},
		Sessions: []periodize.Session{{Name: "A", Day: &monday, Work: []periodize.Item{{Lift: "pull",
			Work: periodize.Work{Sets: periodize.ByWeek(sets...), Reps: periodize.Fixed(5), Weight: periodize.Percent(periodize.Line(70, 85))}}}}},
		Finish: periodize.Finish{Test: true}}
	var test time.Time
	if dated {
		test = time.Date(2027, 10, 25, 0, 0, 0, 0, time.UTC)
	}
	p, err := periodize.PlanBlock(b, time.Time{}, test)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// written writes a picture in both formats, checks that each can be read, and
// returns the texts of the drawing.
func written(t *testing.T, f *Figure, name string) string {
	t.Helper()
	var svg, again, raster bytes.Buffer
	if err := errors.Join(f.Write(&svg, SVG), f.Write(&again, SVG), f.Write(&raster, PNG)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(svg.Bytes(), again.Bytes()) {
		t.Error("the same picture gives other bytes")
	}
	if err := xml.Unmarshal(svg.Bytes(), new(struct{})); err != nil {
		t.Errorf("the drawing is no XML: %v", err)
	}
	if dir := os.Getenv("FIGURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name+".png"), raster.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := png.Decode(&raster); err != nil {
		t.Errorf("the picture is no PNG: %v", err)
	}
	var texts []string
	for _, part := range strings.Split(svg.String(), "</text>") {
		texts = append(texts, strings.TrimSpace(part[strings.LastIndex(part, ">")+1:]))
	}
	return html.UnescapeString(strings.Join(texts, " "))
}

// sayCaveats: the sentences that must stand beside every forecast are in the picture.
func sayCaveats(t *testing.T, drawing string) {
	t.Helper()
	for _, c := range response.Caveats() {
		if !strings.Contains(drawing, c) {
			t.Errorf("the picture does not say %q", c)
		}
	}
}

func TestForecast(t *testing.T) {
	f, err := growing(t, 6, true).Forecast(periodize.ForecastOptions{})
	if err != nil {
		t.Fatal(err)
	}
	fig, err := Forecast("Oda", f)
	if err != nil {
		t.Fatal(err)
	}
	drawing := written(t, fig, "forecast")
	sayCaveats(t, drawing)
	for _, s := range []string{"Daily load, Oda", "Relative freshness, Oda", "repetitions at the maximum", "fitness", "fatigue", "test", "freshest: day", "13 Sep"} {
		if !strings.Contains(drawing, s) {
			t.Errorf("the picture lacks %q", s)
		}
	}
	f.Load = make([]float64, len(f.Load))
	if _, err := Forecast("Oda", f); !errors.Is(err, ErrEmpty) {
		t.Errorf("without load: %v", err)
	}
}

func TestForecastPair(t *testing.T) {
	pair, err := growing(t, 6, false).ForecastWith(growing(t, 8, false), 0, periodize.ForecastOptions{})
	if err != nil {
		t.Fatal(err)
	}
	fig, err := ForecastPair("six weeks", "eight weeks", pair)
	if err != nil {
		t.Fatal(err)
	}
	drawing := written(t, fig, "pair")
	sayCaveats(t, drawing)
	for _, s := range []string{"A: daily load, six weeks", "B: daily load, eight weeks", "each in its own range"} {
		if !strings.Contains(drawing, s) {
			t.Errorf("the picture lacks %q", s)
		}
	}
}

func TestTaper(t *testing.T) {
	curve, err := taper.ForMean(taper.Exponential, 14, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	c, err := taper.NewCalendar(time.Date(2027, 10, 23, 0, 0, 0, 0, time.UTC), curve, taper.CalendarOptions{})
	if err != nil {
		t.Fatal(err)
	}
	fig, err := Taper(c)
	if err != nil {
		t.Fatal(err)
	}
	drawing := written(t, fig, "taper")
	for _, s := range []string{"Taper to Sat 23 Oct 2027", "cut by 50 %", "last heavy session", "last session", "bench press", "9 Oct"} {
		if !strings.Contains(drawing, s) {
			t.Errorf("the picture lacks %q", s)
		}
	}
	if _, err := Taper(&taper.Calendar{}); !errors.Is(err, ErrEmpty) {
		t.Errorf("no days: %v", err)
	}
}

func TestFit(t *testing.T) {
	// A constructed series: one component of 20 days, no noise.
	m := response.OneComponent{P0: 100, K: 0.01, Tau: 20}
	load := make([]float64, 90)
	for i := range load {
		if i%3 == 0 {
			load[i] = float64(40 + i%7)
		}
	}
	p, err := m.Series(nil, load, response.PreviousDay, response.State{})
	if err != nil {
		t.Fatal(err)
	}
	var tests []response.Test
	for d := 4; d <= len(load); d += 4 {
		tests = append(tests, response.Test{Day: d, Performance: p[d-1] + 0.1*float64(d%3)})
	}
	r, err := response.Examine(load, tests, response.FitOptions{Convention: response.PreviousDay, Model: response.One}, response.ExamineOptions{})
	if err != nil {
		t.Fatal(err)
	}
	band, err := r.Fit.Forecast(load, 0.95, false)
	if err != nil {
		t.Fatal(err)
	}
	d := &periodize.DailyLoad{Unit: "minutes x effort", Load: load, Start: time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC)}
	fig, err := Fit("Oda, press", "kg", d, r, band, response.Caveats())
	if err != nil {
		t.Fatal(err)
	}
	drawing := written(t, fig, "fit")
	sayCaveats(t, drawing)
	for _, s := range []string{"Tests and fitted performance, Oda, press", "one-component model", "tests", "minutes x effort"} {
		if !strings.Contains(drawing, s) {
			t.Errorf("the picture lacks %q", s)
		}
	}
	r.Refused = true
	if fig, err = Fit("Oda, press", "kg", d, r, nil, nil); err != nil {
		t.Fatal(err)
	}
	if drawing = written(t, fig, "refused"); !strings.Contains(drawing, "the fit is refused") || strings.Contains(drawing, "one-component model") {
		t.Error("the picture of a refused fit shows it")
	}
}
