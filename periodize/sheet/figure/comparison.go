package figure

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize/logbook"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// SeriesPoint is one lifter's lift in a comparison: the mean of its tests, and
// the mean error of the equation that is drawn, predicted less tested.
type SeriesPoint struct {
	Tested, Error float64 // in the unit of the comparison
	Pairs         int64   // behind the mean error
}

// Nearest is the place of the equation of the smallest mean absolute error, the
// first of equals; -1 where there is none.
func Nearest(r *logbook.Result) int {
	best := -1
	for i := range r.All.Methods {
		if best < 0 || r.All.Methods[i].MAE < r.All.Methods[best].MAE*(1-1e-9) {
			best = i
		}
	}
	return best
}

// Comparison draws the agreement of the equation that came nearest with what was
// tested, and the errors by repetitions of it and the nearest of three other
// families. The agreement is of single pairs where a has them, see [Agreement.Add], and otherwise of the
// mean of each lifter's lift; the limits are those of single pairs, which scatter more than means
// do. The error is [ErrEmpty] where there are no pairs.
func Comparison(r *logbook.Result, a *Agreement) (*Figure, error) {
	best := Nearest(r)
	if best < 0 || r.All.Pairs == 0 || a == nil || len(a.series) == 0 {
		return nil, ErrEmpty
	}
	agreement, err := agreementPanel(r, best, a)
	if err != nil {
		return nil, err
	}
	panels := []*plot.Plot{agreement}
	if len(r.ByBand) > 0 {
		for _, bias := range []bool{true, false} {
			p, err := bandPanel(r, bias)
			if err != nil {
				return nil, err
			}
			panels = append(panels, p)
		}
	}
	return &Figure{panels: panels, width: 18 * vg.Centimeter, height: 10 * vg.Centimeter}, nil
}

// limitBand is the colour of the intervals of limits.
var limitBand = color.RGBA{0xf6, 0xe3, 0xd2, 0xff}

// agreementPanel is the difference against the mean of the two ways to measure,
// as Bland and Altman draw it (Lancet 1986;327:307-310).
func agreementPanel(r *logbook.Result, best int, a *Agreement) (*plot.Plot, error) {
	m := &r.All.Methods[best]
	unit := r.Unit.String()
	p := newPlot("Agreement with tests, "+m.ID, "mean of predicted and tested, "+unit, "predicted less tested, "+unit)
	p.Add(gridLines())
	x, y := a.extent()
	low, high := min(m.Bias, y.low), max(m.Bias, y.high)
	p.X.Tick.Marker = steps{}
	pad := max(0.05*(x.high-x.low), 0.01*math.Abs(x.high), 1e-9)
	p.X.Min, p.X.Max = x.low-pad, x.high+pad
	lines := []struct {
		y      float64
		name   string
		color  color.Color
		dashes []vg.Length
	}{{m.Bias, "bias " + short(m.Bias, 2), blue, nil}}
	if m.HasSpread {
		low, high = min(low, m.Lower), max(high, m.Upper)
		dash := []vg.Length{vg.Points(5), vg.Points(3)}
		lines = append(lines, []struct {
			y      float64
			name   string
			color  color.Color
			dashes []vg.Length
		}{{m.Upper, fmt.Sprintf("limits of agreement of single pairs, %s to %s", short(m.Lower, 1), short(m.Upper, 1)), orange, dash}, {m.Lower, "", orange, dash}}...)
	}
	if len(lines) > 1 && m.LowerBoot != nil && m.UpperBoot != nil {
		for _, in := range []*estimate.Interval{m.LowerBoot, m.UpperBoot} {
			band, err := plotter.NewPolygon(plotter.XYs{{X: p.X.Min, Y: in.Low}, {X: p.X.Max, Y: in.Low}, {X: p.X.Max, Y: in.High}, {X: p.X.Min, Y: in.High}})
			if err != nil {
				return nil, fmt.Errorf("figure: %w", err)
			}
			band.Color, band.LineStyle.Width = limitBand, 0
			p.Add(band)
			low, high = min(low, in.Low), max(high, in.High)
		}
		lines[1].name += fmt.Sprintf("; bands: %s %% over lifters", short(100*r.Confidence, 1))
	}
	named, err := a.draw(p, unit)
	if err != nil {
		return nil, err
	}
	for _, l := range lines {
		line, err := plotter.NewLine(plotter.XYs{{X: p.X.Min, Y: l.y}, {X: p.X.Max, Y: l.y}})
		if err != nil {
			return nil, fmt.Errorf("figure: %w", err)
		}
		line.Color, line.Width, line.Dashes = l.color, vg.Points(1.4), l.dashes
		p.Add(line)
		if l.name != "" {
			p.Legend.Add(l.name, line)
		}
	}
	span := max(high-low, 1e-9)
	p.Y.Min, p.Y.Max = low-0.08*span, high+(0.33+0.09*float64(named))*span // room for the legend
	return p, nil
}

// drawn is the equations of the band panels: the nearest of each family, four at
// most, by error.
func drawn(r *logbook.Result) []int {
	order := make([]int, len(r.All.Methods))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := r.All.Methods[a].MAE, r.All.Methods[b].MAE
		switch {
		case x < y*(1-1e-9):
			return -1
		case y < x*(1-1e-9):
			return 1
		}
		return 0
	})
	var out []int
	seen := map[string]bool{}
	for _, i := range order {
		if f := r.All.Methods[i].Family; !seen[f] && len(out) < 4 {
			seen[f] = true
			out = append(out, i)
		}
	}
	return out
}

// bandPanel is bias or mean absolute error by repetitions, with the interval
// over lifters of the first equation.
func bandPanel(r *logbook.Result, bias bool) (*plot.Plot, error) {
	title := "Mean absolute error by repetitions done and left"
	if bias {
		title = "Bias by repetitions done and left"
	}
	p := newPlot(title, "repetitions", r.Unit.String())
	p.Add(gridLines())
	var names named
	for _, g := range r.ByBand {
		names = append(names, g.Band+"\n"+fmt.Sprintf("%d pairs", g.Pairs))
	}
	p.X.Tick.Marker = names
	looks := []struct {
		color color.Color
		shape draw.GlyphDrawer
		dash  []vg.Length
	}{
		{blue, draw.CircleGlyph{}, nil},
		{orange, draw.TriangleGlyph{}, []vg.Length{vg.Points(6), vg.Points(3)}},
		{ink, draw.SquareGlyph{}, []vg.Length{vg.Points(2), vg.Points(2)}},
		{blue, draw.CrossGlyph{}, []vg.Length{vg.Points(8), vg.Points(3), vg.Points(2), vg.Points(3)}},
	}
	low, high := 0.0, 0.0
	for k, i := range drawn(r) {
		var xys plotter.XYs
		x := func(b int) float64 { return float64(b) + 0.06*(float64(k)-1.5) }
		for b := range r.ByBand {
			m := &r.ByBand[b].Methods[i]
			y, in := m.MAE, m.MAEBoot
			if bias {
				y, in = m.Bias, m.BiasBoot
			}
			xys = append(xys, plotter.XY{X: x(b), Y: y})
			low, high = min(low, y), max(high, y)
			if k > 0 || in == nil {
				continue
			}
			low, high = min(low, in.Low), max(high, in.High)
			bar, err := plotter.NewLine(plotter.XYs{{X: x(b), Y: in.Low}, {X: x(b), Y: in.High}})
			if err != nil {
				return nil, fmt.Errorf("figure: %w", err)
			}
			bar.Color, bar.Width = blue, vg.Points(3)
			p.Add(bar)
		}
		line, marks, err := plotter.NewLinePoints(xys)
		if err != nil {
			return nil, fmt.Errorf("figure: %w", err)
		}
		l := looks[k]
		line.Color, line.Width, line.Dashes = l.color, vg.Points(1.2), l.dash
		marks.Color, marks.Shape, marks.Radius = l.color, l.shape, vg.Points(3.5)
		p.Add(line, marks)
		name := r.All.Methods[i].ID
		if k == 0 && r.Resamples > 0 && r.Lifters > 1 {
			name += fmt.Sprintf("; bars: %s %% over lifters", short(100*r.Confidence, 1))
		}
		p.Legend.Add(name, line, marks)
	}
	span := max(high-low, 1e-9)
	p.X.Min, p.X.Max = -0.5, float64(len(r.ByBand))-0.5
	p.Y.Min, p.Y.Max = low-0.06*span, high+0.55*span
	if !bias {
		p.Y.Min = 0
	}
	return p, nil
}
