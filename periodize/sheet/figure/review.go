package figure

import (
	"errors"
	"fmt"
	"image/color"

	"github.com/blockwright/blockwright/periodize"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// ErrEmpty reports that there is nothing to draw.
var ErrEmpty = errors.New("figure: nothing to draw: there are no sets")

// Review draws a review: volume and intensity by week, sets by muscle as a map,
// and session minutes against their limits, below one another.
func Review(r *periodize.Review) (*Figure, error) {
	volume, err := volumePanel(r)
	if err != nil {
		return nil, err
	}
	f := &Figure{panels: []*plot.Plot{volume}, width: 18 * vg.Centimeter, height: 9 * vg.Centimeter}
	for _, panel := range []func(*periodize.Review) (*plot.Plot, error){intensityPanel, musclePanel, minutesPanel} {
		p, err := panel(r)
		if err != nil {
			return nil, err
		}
		if p != nil {
			f.panels = append(f.panels, p)
		}
	}
	return f, nil
}

func who(r *periodize.Review) string {
	if r.Name == "" {
		return ""
	}
	return ", " + r.Name
}

// weekNames label the weeks.
func weekNames(r *periodize.Review) named {
	var n named
	for _, w := range r.Weeks {
		switch w.Kind {
		case periodize.DeloadWeek:
			n = append(n, fmt.Sprintf("%d\ndeload", w.Week))
		case periodize.TestDay:
			n = append(n, fmt.Sprintf("%d\ntest", w.Week))
		default:
			n = append(n, fmt.Sprint(w.Week))
		}
	}
	return n
}

func frame(p *plot.Plot, r *periodize.Review) {
	p.X.Tick.Marker = weekNames(r)
	p.X.Min, p.X.Max = -0.6, float64(len(r.Weeks))-0.4
}

// volumePanel is sets as bars.
func volumePanel(r *periodize.Review) (*plot.Plot, error) {
	var values plotter.Values
	var tops plotter.XYs
	var text []string
	most := 0.0
	for i, w := range r.Weeks {
		values = append(values, float64(w.Sets))
		tops = append(tops, plotter.XY{X: float64(i), Y: float64(w.Sets)})
		text = append(text, fmt.Sprint(w.Sets))
		most = max(most, float64(w.Sets))
	}
	if most == 0 {
		return nil, ErrEmpty
	}
	p := newPlot("Sets by week"+who(r), "week", "sets")
	p.Add(gridLines())
	bars, err := plotter.NewBarChart(values, vg.Points(26))
	if err != nil {
		return nil, fmt.Errorf("figure: %w", err)
	}
	bars.Color, bars.LineStyle.Width = blue, 0
	l, err := labels(tops, text, vg.Points(8), ink)
	if err != nil {
		return nil, err
	}
	p.Add(bars, l)
	frame(p, r)
	p.Y.Min, p.Y.Max = 0, most*1.12
	return p, nil
}

// intensityPanel is mean and heaviest intensity as lines; nil where no weight
// comes from a maximum.
func intensityPanel(r *periodize.Review) (*plot.Plot, error) {
	var mean, top plotter.XYs
	var meanText, topText []string
	low, high := 200.0, 0.0
	for i, w := range r.Weeks {
		if w.MeanIntensity <= 0 {
			continue
		}
		mean = append(mean, plotter.XY{X: float64(i), Y: w.MeanIntensity})
		top = append(top, plotter.XY{X: float64(i), Y: w.Heaviest})
		meanText = append(meanText, short(w.MeanIntensity, 0))
		topText = append(topText, short(w.Heaviest, 0))
		low, high = min(low, w.MeanIntensity), max(high, w.Heaviest)
	}
	if len(mean) == 0 {
		return nil, nil
	}
	p := newPlot("Intensity by week"+who(r), "week", "% of maximum")
	p.Add(gridLines())
	for _, s := range []struct {
		name  string
		xys   plotter.XYs
		text  []string
		color color.Color
		shape draw.GlyphDrawer
		dash  []vg.Length
		dy    vg.Length
	}{
		{"heaviest set", top, topText, orange, draw.TriangleGlyph{}, nil, 9},
		{"mean of all repetitions", mean, meanText, blue, draw.CircleGlyph{}, []vg.Length{vg.Points(5), vg.Points(3)}, -10},
	} {
		line, points, err := plotter.NewLinePoints(s.xys)
		if err != nil {
			return nil, fmt.Errorf("figure: %w", err)
		}
		line.Color, line.Width, line.Dashes = s.color, vg.Points(1.6), s.dash
		points.Color, points.Shape, points.Radius = s.color, s.shape, vg.Points(3.5)
		l, err := labels(s.xys, s.text, s.dy, s.color)
		if err != nil {
			return nil, err
		}
		p.Add(line, points, l)
		p.Legend.Add(s.name, line, points)
	}
	frame(p, r)
	span := max(high-low, 5)
	p.Y.Min, p.Y.Max = low-0.25*span, high+0.55*span
	return p, nil
}

// musclePanel is sets by muscle and week as a map of numbers; nil without muscles.
func musclePanel(r *periodize.Review) (*plot.Plot, error) {
	var names named
	at := map[string]int{}
	most := 0.0
	for _, m := range periodize.Muscles() {
		for _, w := range r.Weeks {
			for _, n := range w.Muscles {
				if n.Name == string(m) {
					if _, ok := at[n.Name]; !ok {
						at[n.Name] = len(names)
						names = append(names, n.Name)
					}
					most = max(most, n.Sets)
				}
			}
		}
	}
	if len(names) == 0 {
		return nil, nil
	}
	p := newPlot("Sets by muscle"+who(r), "week", "")
	var where plotter.XYs
	var text []string
	for i, w := range r.Weeks {
		for _, n := range w.Muscles {
			y := float64(len(names) - 1 - at[n.Name])
			cell, err := plotter.NewPolygon(plotter.XYs{{X: float64(i) - 0.48, Y: y - 0.46}, {X: float64(i) + 0.48, Y: y - 0.46}, {X: float64(i) + 0.48, Y: y + 0.46}, {X: float64(i) - 0.48, Y: y + 0.46}})
			if err != nil {
				return nil, fmt.Errorf("figure: %w", err)
			}
			cell.Color, cell.LineStyle.Width = shade(n.Sets/most), 0
			p.Add(cell)
			where = append(where, plotter.XY{X: float64(i), Y: y})
			text = append(text, short(n.Sets, 1))
		}
	}
	l, err := labels(where, text, 0, ink)
	if err != nil {
		return nil, err
	}
	p.Add(l)
	frame(p, r)
	up := make(named, len(names))
	for i, n := range names {
		up[len(names)-1-i] = n
	}
	p.Y.Tick.Marker = up
	p.Y.Min, p.Y.Max = -0.6, float64(len(names))-0.4
	return p, nil
}

// shade is a tint that dark text stays readable on.
func shade(x float64) color.Color {
	mix := func(a, b uint8) uint8 { return uint8(float64(a) + x*(float64(b)-float64(a))) }
	full := color.RGBA{0x86, 0xb4, 0xdd, 0xff}
	return color.RGBA{mix(0xff, full.R), mix(0xff, full.G), mix(0xff, full.B), 0xff}
}

// minutesPanel is each session's minutes as a range, and its limit as a bar;
// nil without times.
func minutesPanel(r *periodize.Review) (*plot.Plot, error) {
	p := newPlot("Minutes by session"+who(r), "week", "minutes")
	p.Add(gridLines())
	colors := []color.Color{blue, orange, ink}
	shapes := []draw.GlyphDrawer{draw.CircleGlyph{}, draw.TriangleGlyph{}, draw.SquareGlyph{}, draw.PyramidGlyph{}, draw.RingGlyph{}}
	type series struct {
		mid, span plotter.XYs
	}
	var names []string
	by := map[string]*series{}
	most, limit := 0.0, 0.0
	for i, w := range r.Weeks {
		for k, s := range w.Sessions {
			if s.Minutes == nil {
				continue
			}
			x := float64(i) + (float64(k)-float64(len(w.Sessions)-1)/2)*0.16
			if by[s.Name] == nil {
				by[s.Name] = &series{}
				names = append(names, s.Name)
			}
			by[s.Name].mid = append(by[s.Name].mid, plotter.XY{X: x, Y: s.Minutes.Mid})
			by[s.Name].span = append(by[s.Name].span, plotter.XY{X: x, Y: s.Minutes.Low}, plotter.XY{X: x, Y: s.Minutes.High})
			most, limit = max(most, s.Minutes.High, s.Limit), max(limit, s.Limit)
		}
	}
	if len(names) == 0 {
		return nil, nil
	}
	for k, name := range names {
		s := by[name]
		c := colors[k%len(colors)]
		for i := 0; i < len(s.span); i += 2 {
			line, err := plotter.NewLine(s.span[i : i+2])
			if err != nil {
				return nil, fmt.Errorf("figure: %w", err)
			}
			line.Color, line.Width = c, vg.Points(1.2)
			p.Add(line)
		}
		points, err := plotter.NewScatter(s.mid)
		if err != nil {
			return nil, fmt.Errorf("figure: %w", err)
		}
		points.Color, points.Shape, points.Radius = c, shapes[k%len(shapes)], vg.Points(3.5)
		p.Add(points)
		p.Legend.Add(name, points)
	}
	if limit > 0 {
		line, err := plotter.NewLine(plotter.XYs{{X: -0.6, Y: limit}, {X: float64(len(r.Weeks)) - 0.4, Y: limit}})
		if err != nil {
			return nil, fmt.Errorf("figure: %w", err)
		}
		line.Color, line.Width, line.Dashes = ink, vg.Points(1), []vg.Length{vg.Points(2), vg.Points(2)}
		p.Add(line)
		p.Legend.Add("longest limit", line)
	}
	frame(p, r)
	p.Y.Min, p.Y.Max = 0, most*(1.2+0.12*float64(len(names)+1)) // room for the legend
	return p, nil
}
