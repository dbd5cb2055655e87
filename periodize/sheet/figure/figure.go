package figure

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Format is a picture format.
type Format string

// The formats.
const (
	SVG Format = "svg"
	PNG Format = "png"
)

// FormatError reports a format that is not known.
type FormatError struct{ Format Format }

func (e *FormatError) Error() string {
	return fmt.Sprintf("figure: there is no format %q: want svg or png", string(e.Format))
}

// Figure is a picture that is ready to be written.
type Figure struct {
	panels        []*plot.Plot // below one another
	width, height vg.Length    // of one panel
}

// The palette: blue and orange that differ in lightness too, so that they stay
// apart in grey, each at least 4.5:1 against white.
var (
	ink    = color.RGBA{0x22, 0x22, 0x22, 0xff}
	blue   = color.RGBA{0x1f, 0x5a, 0x96, 0xff}
	orange = color.RGBA{0xa8, 0x4a, 0x08, 0xff}
	grid   = color.RGBA{0xdd, 0xdd, 0xdd, 0xff}
)

// Write writes the picture.
func (f *Figure) Write(w io.Writer, format Format) error {
	if format != SVG && format != PNG {
		return &FormatError{format}
	}
	height := f.height * vg.Length(len(f.panels))
	c, err := draw.NewFormattedCanvas(f.width, height, string(format))
	if err != nil {
		return fmt.Errorf("figure: %w", err)
	}
	dc := draw.New(c)
	dc.SetColor(color.White)
	dc.Fill(dc.Rectangle.Path())
	for i, p := range f.panels {
		top := height - f.height*vg.Length(i)
		part := draw.Canvas{Canvas: dc.Canvas, Rectangle: vg.Rectangle{
			Min: vg.Point{X: 0, Y: top - f.height}, Max: vg.Point{X: f.width, Y: top}}}
		p.Draw(draw.Crop(part, vg.Points(6), -vg.Points(10), vg.Points(6), -vg.Points(6)))
	}
	_, err = c.WriteTo(w)
	return err
}

// newPlot is a plot in the house style.
func newPlot(title, x, y string) *plot.Plot {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	p.BackgroundColor = color.White
	p.Y.Tick.Marker = steps{}
	for _, s := range []*text.Style{&p.Title.TextStyle, &p.X.Label.TextStyle, &p.Y.Label.TextStyle, &p.X.Tick.Label, &p.Y.Tick.Label, &p.Legend.TextStyle} {
		s.Color = ink
		s.Font.Variant = "Sans"
		s.Font.Size = font.Length(11)
	}
	p.Title.TextStyle.Font.Size = font.Length(13)
	p.Title.TextStyle.Font.Weight = 2 // bold
	p.Title.Padding = vg.Points(6)
	p.Legend.Top, p.Legend.Left = true, true
	p.Legend.Padding = vg.Points(2)
	return p
}

func gridLines() *plotter.Grid {
	g := plotter.NewGrid()
	g.Vertical.Width = 0
	g.Horizontal.Color, g.Horizontal.Width = grid, vg.Points(0.5)
	return g
}

// named ticks label whole positions from 0.
type named []string

// Ticks implements plot.Ticker.
func (n named) Ticks(min, max float64) []plot.Tick {
	var out []plot.Tick
	for i, s := range n {
		if x := float64(i); x >= min-1e-9 && x <= max+1e-9 {
			out = append(out, plot.Tick{Value: x, Label: s})
		}
	}
	return out
}

// steps ticks whole steps of 1, 2 or 5 times a power of ten, seven at most.
type steps struct{}

// Ticks implements plot.Ticker.
func (steps) Ticks(low, high float64) []plot.Tick {
	step := math.Pow(10, math.Floor(math.Log10(max(high-low, 1e-9)/7)))
	for _, f := range []float64{2, 2.5, 2} { // 1, 2, 5, 10 times the power
		if (high-low)/step <= 7 {
			break
		}
		step *= f
	}
	var out []plot.Tick
	for k := math.Ceil(low/step-1e-9) + 0; k*step <= high+1e-9*step; k++ {
		out = append(out, plot.Tick{Value: k * step, Label: short(k*step, 6)})
	}
	return out
}

// labels writes a text at each point.
func labels(xys plotter.XYs, texts []string, dy vg.Length, c color.Color) (*plotter.Labels, error) {
	l, err := plotter.NewLabels(plotter.XYLabels{XYs: xys, Labels: texts})
	if err != nil {
		return nil, fmt.Errorf("figure: %w", err)
	}
	for i := range l.TextStyle {
		l.TextStyle[i].Color = c
		l.TextStyle[i].Font.Variant = "Sans"
		l.TextStyle[i].Font.Size = font.Length(10)
		l.TextStyle[i].XAlign = text.XCenter
		l.TextStyle[i].YAlign = text.YCenter
	}
	l.Offset = vg.Point{Y: dy}
	return l, nil
}

func short(x float64, digits int) string {
	p := math.Pow(10, float64(digits))
	return strconv.FormatFloat(math.Round(x*p)/p+0, 'f', -1, 64)
}
