package figure

import (
	"fmt"
	"image/color"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/response"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Forecast draws a forecast: the daily load that went in, relative freshness as
// a band over the parameter sets, and the change of fitness and fatigue behind
// it. The sentences that belong beside every forecast are part of the picture.
func Forecast(name string, f *periodize.Forecast) (*Figure, error) {
	load, err := loadPanel("Daily load, "+name, f, blue)
	if err != nil {
		return nil, err
	}
	fresh, err := freshnessPanel("Relative freshness, "+name, []shown{{name: "median over the list; band: all of it", f: f, color: blue}})
	if err != nil {
		return nil, err
	}
	parts, err := partsPanel(name, f)
	if err != nil {
		return nil, err
	}
	return withCaveats(f.Caveats, f.Outlook.Sets, load, fresh, parts)
}

// ForecastPair draws two plans side by side: the load of each, and their bands
// over one another.
func ForecastPair(nameA, nameB string, p *periodize.ForecastPair) (*Figure, error) {
	a, err := loadPanel("A: daily load, "+nameA, p.A, blue)
	if err != nil {
		return nil, err
	}
	b, err := loadPanel("B: daily load, "+nameB, p.B, orange)
	if err != nil {
		return nil, err
	}
	most := max(a.Y.Max, b.Y.Max)
	a.Y.Max, b.Y.Max = most, most
	both := []shown{{name: "A: " + nameA + "; band: all of the list", short: "A", f: p.A, color: blue}, {name: "B: " + nameB + "; band: all of the list", short: "B", f: p.B, color: orange, dashed: true}}
	fresh, err := freshnessPanel("Relative freshness, each in its own range", both)
	if err != nil {
		return nil, err
	}
	return withCaveats(p.Comparison.Caveats, p.A.Outlook.Sets, a, b, fresh)
}

// withCaveats stacks panels and puts the caveats and the list of parameter sets,
// where there is one, under them.
func withCaveats(caveats []string, sets []response.SetOutlook, panels ...*plot.Plot) (*Figure, error) {
	p := newPlot("What to bear in mind", "", "")
	p.HideAxes()
	list := "The list (tau1, tau2 in days, gain ratio; freshest day):"
	for i, s := range sets {
		if i > 0 {
			list += ";"
		}
		list += fmt.Sprintf(" %s (%s, %s, %s; day %d)", s.Set.Name, short(s.Set.Tau1, 1), short(s.Set.Tau2, 1), short(s.Set.Ratio, 2), s.Freshest)
	}
	var xys plotter.XYs
	var lines []string
	texts := slices.Clone(caveats)
	if len(sets) > 0 {
		texts = append(texts, list+".")
	}
	for _, c := range texts {
		for _, l := range wrapped(c, 100) {
			xys = append(xys, plotter.XY{X: 0, Y: -float64(len(lines))})
			lines = append(lines, l)
		}
		lines = append(lines, "")
		xys = append(xys, plotter.XY{X: 0, Y: -float64(len(xys))})
	}
	l, err := labels(xys, lines, 0, ink)
	if err != nil {
		return nil, err
	}
	for i := range l.TextStyle {
		l.TextStyle[i].XAlign = text.XLeft
	}
	p.Add(l)
	p.X.Min, p.X.Max = 0, 1
	p.Y.Min, p.Y.Max = -max(float64(len(lines)), 16), 0.5
	return &Figure{panels: append(panels, p), width: 18 * vg.Centimeter, height: 9 * vg.Centimeter}, nil
}

// wrapped cuts text into lines of at most so many characters, at blanks.
func wrapped(s string, most int) []string {
	var out []string
	line := ""
	for w := range strings.FieldsSeq(s) {
		switch {
		case line == "":
			line = w
		case len(line)+1+len(w) > most:
			out = append(out, line)
			line = w
		default:
			line += " " + w
		}
	}
	return append(out, line)
}

// dayTicks name a day a week; a day in so many weeks where there are many.
func dayTicks(f *periodize.Forecast, days int) plot.ConstantTicks {
	step := 7
	for days/step > 10 {
		step += 7
	}
	var out plot.ConstantTicks
	for d := 1; d <= days; d++ {
		t := plot.Tick{Value: float64(d)}
		if (d-1)%step == 0 {
			t.Label = fmt.Sprint(d)
			if date := f.Date(d); !date.IsZero() {
				t.Label += "\n" + date.Format("2 Jan")
			}
			out = append(out, t)
		}
	}
	return out
}

func dayFrame(p *plot.Plot, f *periodize.Forecast) {
	n := len(f.Load)
	p.X.Tick.Marker = dayTicks(f, n)
	p.X.Min, p.X.Max = 0.4, float64(n)+0.6
}

// loadPanel is the daily load as bars, and the test day as a line.
func loadPanel(title string, f *periodize.Forecast, c color.Color) (*plot.Plot, error) {
	p := newPlot(title, "day", f.Daily.Unit)
	p.Add(gridLines())
	most := 0.0
	for i, v := range f.Load {
		most = max(most, v)
		if v <= 0 {
			continue
		}
		x := float64(i + 1)
		bar, err := plotter.NewPolygon(plotter.XYs{{X: x - 0.4, Y: 0}, {X: x + 0.4, Y: 0}, {X: x + 0.4, Y: v}, {X: x - 0.4, Y: v}})
		if err != nil {
			return nil, fmt.Errorf("figure: %w", err)
		}
		bar.Color, bar.LineStyle.Width = c, 0
		p.Add(bar)
	}
	if most == 0 {
		return nil, ErrEmpty
	}
	p.Y.Min, p.Y.Max = 0, 1.15*most
	if err := testLine(p, f, p.Y.Max, "test", ink); err != nil {
		return nil, err
	}
	dayFrame(p, f)
	return p, nil
}

// testLine marks the day of the test.
func testLine(p *plot.Plot, f *periodize.Forecast, top float64, name string, c color.Color) error {
	if f.Test == 0 {
		return nil
	}
	line, err := plotter.NewLine(plotter.XYs{{X: float64(f.Test), Y: 0}, {X: float64(f.Test), Y: top}})
	if err != nil {
		return fmt.Errorf("figure: %w", err)
	}
	line.Color, line.Width, line.Dashes = c, vg.Points(1), []vg.Length{vg.Points(2), vg.Points(2)}
	p.Add(line)
	p.Legend.Add(name, line)
	return nil
}

// shown is a forecast in a picture.
type shown struct {
	name   string // in the legend
	short  string
	f      *periodize.Forecast
	color  color.RGBA
	dashed bool
}

func (s shown) dashes() []vg.Length {
	if s.dashed {
		return []vg.Length{vg.Points(6), vg.Points(3)}
	}
	return nil
}

// freshnessPanel is relative freshness as bands, each with its median and, as a
// bar with a mark at the foot, its freshest day from first to last over the list.
func freshnessPanel(title string, list []shown) (*plot.Plot, error) {
	p := newPlot(title, "day", "0 least, 1 most fresh")
	p.Add(gridLines())
	for k, s := range list {
		points := make([]response.Point, len(s.f.Days))
		for i, d := range s.f.Days {
			points[i] = response.Point{Mid: d.Mid, Low: d.Low, High: d.High}
		}
		if err := addBand(p, s, s.f.Days[0].Day, points, true); err != nil {
			return nil, err
		}
		y := -0.09 - 0.09*float64(k)
		b := s.f.Freshest
		span, err := plotter.NewLine(plotter.XYs{{X: float64(b.Low), Y: y}, {X: float64(b.High), Y: y}})
		if err != nil {
			return nil, fmt.Errorf("figure: %w", err)
		}
		span.Color, span.Width, span.Dashes = s.color, vg.Points(1.6), s.dashes()
		mark, err := plotter.NewScatter(plotter.XYs{{X: float64(b.Day), Y: y}})
		if err != nil {
			return nil, fmt.Errorf("figure: %w", err)
		}
		mark.Color, mark.Shape, mark.Radius = s.color, draw.PyramidGlyph{}, vg.Points(4)
		p.Add(span, mark)
		p.Legend.Add(fmt.Sprintf("freshest: day %d, over the list %d to %d", b.Day, b.Low, b.High), span, mark)
	}
	top := 1.45
	if len(list) > 1 {
		top = 2.1
	}
	p.Y.Min, p.Y.Max = -0.09*float64(len(list)+1), top
	p.Y.Tick.Marker = plot.ConstantTicks{{Value: 0, Label: "0"}, {Value: 0.25, Label: "0.25"}, {Value: 0.5, Label: "0.5"}, {Value: 0.75, Label: "0.75"}, {Value: 1, Label: "1"}}
	for k, s := range list {
		name, c := "test", ink
		if len(list) > 1 {
			if k > 0 && s.f.Test == list[0].f.Test {
				continue
			}
			name, c = "test of "+s.short, s.color
		}
		if err := testLine(p, s.f, 1, name, c); err != nil {
			return nil, err
		}
	}
	dayFrame(p, list[0].f)
	return p, nil
}

// addBand draws a median between its ends.
func addBand(p *plot.Plot, s shown, first int, points []response.Point, legend bool) error {
	n := len(points)
	ring := make(plotter.XYs, 2*n)
	mid, low, high := make(plotter.XYs, n), make(plotter.XYs, n), make(plotter.XYs, n)
	for i, d := range points {
		x := float64(first + i)
		mid[i], low[i], high[i] = plotter.XY{X: x, Y: d.Mid}, plotter.XY{X: x, Y: d.Low}, plotter.XY{X: x, Y: d.High}
		ring[i], ring[2*n-1-i] = low[i], high[i]
	}
	area, err := plotter.NewPolygon(ring)
	if err != nil {
		return fmt.Errorf("figure: %w", err)
	}
	area.Color, area.LineStyle.Width = color.NRGBA{s.color.R, s.color.G, s.color.B, 0x2c}, 0
	p.Add(area)
	for _, e := range []plotter.XYs{low, high} {
		line, err := plotter.NewLine(e)
		if err != nil {
			return fmt.Errorf("figure: %w", err)
		}
		line.Color, line.Width, line.Dashes = s.color, vg.Points(0.6), s.dashes()
		p.Add(line)
	}
	line, err := plotter.NewLine(mid)
	if err != nil {
		return fmt.Errorf("figure: %w", err)
	}
	line.Color, line.Width, line.Dashes = s.color, vg.Points(2.2), s.dashes()
	p.Add(line)
	if legend {
		p.Legend.Add(s.name, area, line)
	}
	return nil
}

// partsPanel is the change of fitness and fatigue as bands.
func partsPanel(name string, f *periodize.Forecast) (*plot.Plot, error) {
	p := newPlot("Fitness and fatigue since day 1, "+name, "day", "ranges of freshness")
	p.Add(gridLines())
	low, high := 0.0, 0.0
	for _, c := range []struct {
		shown
		points []response.Point
	}{
		{shown{name: "fitness; band: all of the list", color: blue}, f.Fitness},
		{shown{name: "fatigue; band: all of the list", color: orange, dashed: true}, f.Fatigue},
	} {
		if err := addBand(p, c.shown, f.Days[0].Day, c.points, true); err != nil {
			return nil, err
		}
		for _, d := range c.points {
			low, high = min(low, d.Low), max(high, d.High)
		}
	}
	p.Y.Min, p.Y.Max = low, high+0.3*(high-low)
	dayFrame(p, f)
	return p, nil
}
