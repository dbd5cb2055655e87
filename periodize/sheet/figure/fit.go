package figure

import (
	"fmt"
	"image/color"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/response"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Fit draws a model fitted to a log: the daily load that went in, and the tests
// with the fitted performance in its band, day by day. name is whose, unit that
// of the tests, and notes are written under it: the caveats of the model, and
// what speaks against the fit.
func Fit(name, unit string, d *periodize.DailyLoad, r *response.Report, band []response.Point, notes []string) (*Figure, error) {
	f := &periodize.Forecast{Daily: d, Load: d.Load, Start: d.Start}
	load, err := loadPanel("Daily load, "+name, f, blue)
	if err != nil {
		return nil, err
	}
	title := "Tests and fitted performance, " + name
	if r.Refused {
		title = "Tests, " + name + ": the fit is refused"
	}
	p := newPlot(title, "day", unit)
	p.Add(gridLines())
	low, high := r.Fit.Tests[0].Performance, r.Fit.Tests[0].Performance
	var tests plotter.XYs
	for _, t := range r.Fit.Tests {
		tests = append(tests, plotter.XY{X: float64(t.Day), Y: t.Performance})
		low, high = min(low, t.Performance), max(high, t.Performance)
	}
	if len(band) > 0 {
		if err := addBand(p, shown{name: string(r.Fit.Model) + " model", color: blue}, 1, band, true); err != nil {
			return nil, err
		}
		for _, b := range band {
			low, high = min(low, b.Mid), max(high, b.Mid)
		}
	}
	points, err := plotter.NewScatter(tests)
	if err != nil {
		return nil, fmt.Errorf("figure: %w", err)
	}
	points.Color, points.Shape, points.Radius = color.Color(orange), draw.CircleGlyph{}, vg.Points(3)
	p.Add(points)
	p.Legend.Add("tests", points)
	span := max(high-low, 1e-9)
	p.Y.Min, p.Y.Max = low-0.2*span, high+0.4*span
	dayFrame(p, f)
	return withCaveats(notes, nil, load, p)
}
