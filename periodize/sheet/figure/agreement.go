package figure

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"slices"

	"github.com/blockwright/blockwright/periodize/logbook"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// mostPoints is how many pairs are drawn one by one; more are counted in fields, so that neither memory nor the
// picture grows with the log.
const mostPoints = 1500

// Agreement gathers what the agreement of an equation with tests is drawn from: the mean of each lifter's lift
// where there is no more, and single pairs.
type Agreement struct {
	series []SeriesPoint
	points plotter.XYs // pairs, until there are too many
	fields map[field]int64
	pairs  int64
	x, y   float64 // width and height of a field
	seen   [2]span
}

type field struct{ x, y int32 }

type span struct{ low, high float64 }

func (s *span) add(v float64) { s.low, s.high = min(s.low, v), max(s.high, v) }

func nothing() span { return span{math.Inf(1), math.Inf(-1)} }

// NewAgreement is for the equation of a result that came nearest, with the means of each lifter's lift.
func NewAgreement(r *logbook.Result, series []SeriesPoint) *Agreement {
	a := &Agreement{series: series, fields: map[field]int64{}, seen: [2]span{nothing(), nothing()}}
	best := Nearest(r)
	if best < 0 {
		return a
	}
	x := nothing()
	for _, s := range series {
		x.add(s.Tested)
	}
	m := &r.All.Methods[best]
	// One lift alone has one mean; its pairs spread all the same.
	a.x, a.y = width(max(x.high-x.low, x.high/4)/80), width(5*m.RMSE/50)
	return a
}

// width is a round number of that order: 1, 2 or 5 times a power of ten.
func width(v float64) float64 {
	if !(v > 1e-3) {
		return 1e-3
	}
	step := math.Pow(10, math.Floor(math.Log10(v)))
	switch f := v / step; {
	case f > 5:
		return 10 * step
	case f > 2:
		return 5 * step
	case f > 1:
		return 2 * step
	}
	return step
}

// Add adds a pair of a set and a test, as often as sets say: what the equation predicts from the set, and the load of
// the test.
func (a *Agreement) Add(predicted, tested float64, sets int) {
	mean, diff := (predicted+tested)/2, predicted-tested
	if !(math.Abs(mean) <= 1e9 && math.Abs(diff) <= 1e9) || sets < 1 {
		return
	}
	a.pairs += int64(sets)
	a.seen[0].add(mean)
	a.seen[1].add(diff)
	if len(a.points) <= mostPoints {
		a.points = append(a.points, plotter.XY{X: mean, Y: diff})
	}
	a.fields[field{int32(math.Floor(mean / a.x)), int32(math.Floor(diff / a.y))}] += int64(sets)
}

// extent is the range of what is drawn.
func (a *Agreement) extent() (x, y span) {
	if a.pairs > 0 {
		return a.seen[0], a.seen[1]
	}
	x, y = nothing(), nothing()
	for _, s := range a.series {
		x.add(s.Tested + s.Error/2)
		y.add(s.Error)
	}
	return x, y
}

// draw adds the pairs, or what there is instead, to a plot, and says in so many lines of the legend what they are.
func (a *Agreement) draw(p *plot.Plot, unit string) (lines int, err error) {
	if a.pairs > 0 && len(a.points) > mostPoints {
		return a.drawFields(p, unit), nil
	}
	xys, name := a.points, fmt.Sprintf("a set and its test (%d)", a.pairs)
	if a.pairs == 0 {
		for _, s := range a.series {
			xys = append(xys, plotter.XY{X: s.Tested + s.Error/2, Y: s.Error})
		}
		name = fmt.Sprintf("mean of one lifter's lift (%d); single pairs are not known", len(xys))
	}
	marks, err := plotter.NewScatter(xys)
	if err != nil {
		return 0, fmt.Errorf("figure: %w", err)
	}
	marks.Shape, marks.Radius, marks.Color = draw.RingGlyph{}, vg.Points(1.8), ink
	p.Add(marks)
	p.Legend.Add(name, marks)
	return 1, nil
}

// shades are those of fields, from few pairs to many, each for ten times as many as the one before.
var shades = []color.RGBA{{0xd6, 0xe1, 0xec, 0xff}, {0xa6, 0xbf, 0xd7, 0xff}, {0x6c, 0x95, 0xbb, 0xff}, {0x35, 0x6a, 0x9f, 0xff}, {0x12, 0x3d, 0x6b, 0xff}}

// shadeOf is the place of a count's shade.
func shadeOf(n int64) int { return min(int(math.Log10(float64(n))+1e-9), len(shades)-1) }

// drawFields adds the counts of pairs by field.
func (a *Agreement) drawFields(p *plot.Plot, unit string) (lines int) {
	order := make([]field, 0, len(a.fields))
	most := 0
	for f, n := range a.fields {
		order = append(order, f)
		most = max(most, shadeOf(n))
	}
	slices.SortFunc(order, func(a, b field) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y)) })
	p.Add(&fieldPlot{a, order})
	for i := range most + 1 {
		from := int64(math.Pow(10, float64(i)))
		name := fmt.Sprintf("%d to %d", from, 10*from-1)
		if i == len(shades)-1 {
			name = fmt.Sprintf("%d or more", from)
		}
		if i == 0 {
			name += fmt.Sprintf(" pairs in a field of %s by %s %s, of %d", short(a.x, 3), short(a.y, 3), unit, a.pairs)
		}
		p.Legend.Add(name, swatch(shades[i]))
	}
	return most + 1
}

// fieldPlot draws fields of pairs.
type fieldPlot struct {
	a     *Agreement
	order []field
}

// Plot implements plot.Plotter.
func (f *fieldPlot) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for _, k := range f.order {
		left, right := x(float64(k.x)*f.a.x), x(float64(k.x+1)*f.a.x)
		low, high := y(float64(k.y)*f.a.y), y(float64(k.y+1)*f.a.y)
		c.FillPolygon(shades[shadeOf(f.a.fields[k])], c.ClipPolygonXY([]vg.Point{{X: left, Y: low}, {X: right, Y: low}, {X: right, Y: high}, {X: left, Y: high}}))
	}
}

// swatch is a colour in a legend.
type swatch color.RGBA

// Thumbnail implements plot.Thumbnailer.
func (s swatch) Thumbnail(c *draw.Canvas) {
	c.FillPolygon(color.RGBA(s), []vg.Point{{X: c.Min.X, Y: c.Min.Y}, {X: c.Max.X, Y: c.Min.Y}, {X: c.Max.X, Y: c.Max.Y}, {X: c.Min.X, Y: c.Max.Y}})
}
