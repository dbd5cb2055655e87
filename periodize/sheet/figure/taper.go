package figure

import (
	"fmt"
	"image/color"
	"time"

	"github.com/blockwright/blockwright/periodize/taper"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Taper draws a taper: the volume of each day against the reference week, and
// under it the days of the last heavy session (a filled triangle) and the last
// session (a ring) of each lift, with the window that is usual.
func Taper(c *taper.Calendar) (*Figure, error) {
	n := len(c.Days)
	if n == 0 {
		return nil, ErrEmpty
	}
	p := newPlot("Taper to "+c.Meet.Format("Mon 2 Jan 2006"), "days before", "% of the reference week")
	p.Add(gridLines())
	var tops plotter.XYs
	var text []string
	for _, d := range c.Days {
		x, v := float64(-d.Out), 100*d.Volume
		bar, err := plotter.NewPolygon(plotter.XYs{{X: x - 0.4, Y: 0}, {X: x + 0.4, Y: 0}, {X: x + 0.4, Y: v}, {X: x - 0.4, Y: v}})
		if err != nil {
			return nil, fmt.Errorf("figure: %w", err)
		}
		bar.Color, bar.LineStyle.Width = blue, 0
		p.Add(bar)
		if n <= 28 {
			tops = append(tops, plotter.XY{X: x, Y: 4})
			text = append(text, short(v, 0))
		}
	}
	if len(tops) > 0 {
		l, err := labels(tops, text, 0, color.White)
		if err != nil {
			return nil, err
		}
		for i, d := range c.Days {
			if 100*d.Volume < 10 { // too low to write in
				l.TextStyle[i].Color, l.XYs[i].Y = ink, 100*d.Volume+4
			}
		}
		p.Add(l)
	}
	mean, err := plotter.NewLine(plotter.XYs{{X: -float64(n) - 0.5, Y: 100 * (1 - c.MeanCut)}, {X: -0.5, Y: 100 * (1 - c.MeanCut)}})
	if err != nil {
		return nil, fmt.Errorf("figure: %w", err)
	}
	mean.Color, mean.Width, mean.Dashes = orange, vg.Points(1.4), []vg.Length{vg.Points(5), vg.Points(3)}
	p.Add(mean)
	p.Legend.Add(fmt.Sprintf("mean of the taper, cut by %s %%", short(100*c.MeanCut, 1)), mean)
	first := n
	for _, l := range c.Lifts {
		first = max(first, l.Rule.Heavy.Far, l.Heavy.Out, l.Rule.Last.Far, l.Last.Out)
	}
	p.X.Tick.Marker = outTicks(c.Meet, first)
	p.X.Min, p.X.Max = -float64(first)-0.6, 0.6
	p.Y.Min, p.Y.Max = 0, 125
	f := &Figure{panels: []*plot.Plot{p}, width: 18 * vg.Centimeter, height: 9 * vg.Centimeter}
	if len(c.Lifts) == 0 {
		return f, nil
	}
	last, err := lastDaysPanel(c, first)
	if err != nil {
		return nil, err
	}
	f.panels = append(f.panels, last)
	return f, nil
}

// outTicks name days before the meet, a day in so many where there are many.
func outTicks(meet time.Time, n int) plot.ConstantTicks {
	step := 1
	for n/step > 15 {
		step++
	}
	var out plot.ConstantTicks
	for d := n; d >= 0; d-- {
		if d%step == 0 {
			t := plot.Tick{Value: float64(-d), Label: fmt.Sprint(d)}
			if d/step%2 == 0 { // every second date, so that they stay apart
				t.Label += "\n" + meet.AddDate(0, 0, -d).Format("2 Jan")
			}
			out = append(out, t)
		}
	}
	return out
}

// lastDaysPanel has a row a lift.
func lastDaysPanel(cal *taper.Calendar, first int) (*plot.Plot, error) {
	p := newPlot("Last days by lift; lines: what is usual", "days before", "")
	var names named
	for i := range cal.Lifts {
		l := &cal.Lifts[len(cal.Lifts)-1-i]
		names = append(names, string(l.Rule.Lift))
		y := float64(i)
		for _, m := range []struct {
			day    taper.DateWindow
			window taper.Window
			glyph  draw.GlyphDrawer
			name   string
			dy     float64
		}{
			{l.Heavy, l.Rule.Heavy, draw.PyramidGlyph{}, "last heavy session", 0.14},
			{l.Last, l.Rule.Last, draw.RingGlyph{}, "last session", -0.14},
		} {
			c := orange
			if m.dy < 0 {
				c = blue
			}
			span, err := plotter.NewLine(plotter.XYs{{X: -float64(m.window.Far), Y: y + m.dy}, {X: -float64(m.window.Near), Y: y + m.dy}})
			if err != nil {
				return nil, fmt.Errorf("figure: %w", err)
			}
			span.Color, span.Width = c, vg.Points(1.6)
			mark, err := plotter.NewScatter(plotter.XYs{{X: -float64(m.day.Out), Y: y + m.dy}})
			if err != nil {
				return nil, fmt.Errorf("figure: %w", err)
			}
			mark.Color, mark.Shape, mark.Radius = c, m.glyph, vg.Points(5)
			p.Add(span, mark)
			if i == 0 {
				p.Legend.Add(m.name, span, mark)
			}
		}
	}
	p.Y.Tick.Marker = names
	p.X.Tick.Marker = outTicks(cal.Meet, first)
	p.X.Min, p.X.Max = -float64(first)-0.6, 0.6
	p.Y.Min, p.Y.Max = -0.6, float64(len(names))+0.2
	p.Legend.Left = false
	return p, nil
}
