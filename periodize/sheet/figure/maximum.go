package figure

import (
	"errors"
	"fmt"
	"time"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/periodize/response"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Maximum draws a maximum over time in its band, as the whole log has it, with
// the tests and the misses that it stands on. name is whose and of what lift,
// unit that of the loads; the band goes on to asOf, if that is later than the
// last set. The error is [ErrEmpty] where the log does not tell the maximum.
func Maximum(name, unit string, l *logbook.LiftLog, asOf time.Time) (*Figure, error) {
	if l.Track == nil || l.Max == nil || len(l.Track.Points) == 0 {
		return nil, ErrEmpty
	}
	points := l.Track.Points
	from, to := int(points[0].Set.Day), int(points[len(points)-1].Set.Day)
	band, err := dailyBand(l, from, max(to, logbook.DayOf(asOf)))
	if err != nil {
		return nil, err
	}
	p := newPlot("Maximum over time, "+name, "", unit)
	p.Add(gridLines())
	low, high := band[0].Low, band[0].High
	for _, b := range band {
		low, high = min(low, b.Low), max(high, b.High)
	}
	title := fmt.Sprintf("maximum; band: %s %% interval", short(100*l.Max.Coverage, 1))
	if err := addBand(p, shown{name: title, color: blue}, 1, band, true); err != nil {
		return nil, err
	}
	var tests, missed, other plotter.XYs
	for _, q := range points {
		xy := plotter.XY{X: float64(int(q.Set.Day) - from + 1), Y: q.Set.Load}
		switch {
		case q.Set.Reps == 0:
			missed = append(missed, xy)
		case q.Set.Reps == 1 && (q.Set.Tested || q.Set.RIR == 0 && !q.Set.NoRIR):
			tests = append(tests, xy)
		default:
			other = append(other, xy)
		}
	}
	for _, s := range []struct {
		xys   plotter.XYs
		name  string
		shape draw.GlyphDrawer
		size  vg.Length
		empty bool
	}{
		{tests, "single to the limit", draw.CircleGlyph{}, 3, false},
		{missed, "missed", draw.CrossGlyph{}, 3.5, false},
		{other, "load of another telling set", draw.RingGlyph{}, 1.8, true},
	} {
		if len(s.xys) == 0 {
			continue
		}
		marks, err := plotter.NewScatter(s.xys)
		if err != nil {
			return nil, fmt.Errorf("figure: %w", err)
		}
		marks.Shape, marks.Radius, marks.Color = s.shape, vg.Points(float64(s.size)), orange
		if s.empty {
			marks.Color = ink
		}
		p.Add(marks)
		p.Legend.Add(s.name, marks)
		for _, xy := range s.xys {
			low, high = min(low, xy.Y), max(high, xy.Y)
		}
	}
	span := max(high-low, 0.01*high)
	p.Y.Min, p.Y.Max = low-0.06*span, high+0.45*span
	p.X.Min, p.X.Max = 0.4, float64(len(band))+0.6
	p.X.Tick.Marker = dateTicks(logbook.DateOf(from), len(band))
	return &Figure{panels: []*plot.Plot{p}, width: 18 * vg.Centimeter, height: 11 * vg.Centimeter}, nil
}

// dailyBand is the maximum day by day: on the days of sets as the track has it,
// between them on the straight line, and after the last as it is foretold.
func dailyBand(l *logbook.LiftLog, from, to int) ([]response.Point, error) {
	out := make([]response.Point, 0, to-from+1)
	at := func(s estimate.TrackerState) (response.Point, error) {
		low, high, err := s.Interval(l.Max.Coverage)
		return response.Point{Mid: s.Max(), Low: low, High: high}, err
	}
	last, err := at(l.Track.Points[0].All)
	if err != nil {
		return nil, err
	}
	day := from
	for _, q := range l.Track.Points {
		next, err := at(q.All)
		if err != nil {
			return nil, err
		}
		d := int(q.Set.Day)
		if d == day && len(out) > 0 {
			out[len(out)-1] = next // several sets of a day: with all of them
		}
		for k := day + 1; k <= d; k++ {
			f := float64(k-day) / float64(d-day)
			mix := func(a, b float64) float64 { return a + f*(b-a) }
			out = append(out, response.Point{Mid: mix(last.Mid, next.Mid), Low: mix(last.Low, next.Low), High: mix(last.High, next.High)})
		}
		if len(out) == 0 {
			out = append(out, next)
		}
		last, day = next, d
	}
	for k := day + 1; k <= to; k++ {
		e, err := l.Track.At(float64(k))
		if err != nil {
			return nil, errors.Join(ErrEmpty, err)
		}
		out = append(out, response.Point{Mid: e.Max, Low: e.Low, High: e.High})
	}
	return out, nil
}

// dateTicks names the first days of months, or of weeks in a short time, eight at most.
func dateTicks(start time.Time, days int) plot.ConstantTicks {
	var out plot.ConstantTicks
	tick := func(d time.Time, label string) {
		out = append(out, plot.Tick{Value: d.Sub(start).Hours()/24 + 1, Label: label})
	}
	if days <= 70 {
		step := 7 * ((days + 55) / 56)
		for d := 0; d < days; d += step {
			t := start.AddDate(0, 0, d)
			tick(t, t.Format("2 Jan\n2006"))
		}
		return out
	}
	months := days/30 + 1
	step := 1
	for _, s := range []int{1, 2, 3, 6, 12, 24, 60, 120, 240} {
		if step = s; months/s <= 8 {
			break
		}
	}
	first := time.Date(start.Year(), start.Month(), 1, 0, 0, 0, 0, time.UTC)
	for t := first; t.Before(start.AddDate(0, 0, days)); t = t.AddDate(0, step, 0) {
		if !t.Before(start) {
			tick(t, t.Format("Jan\n2006"))
		}
	}
	if len(out) == 0 {
		tick(start, start.Format("2 Jan\n2006"))
	}
	return out
}
