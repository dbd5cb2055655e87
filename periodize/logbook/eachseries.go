package logbook

import (
	"iter"
	"math"
)

// Errors are a method's errors over some pairs, predicted less tested.
type Errors struct {
	ID    string
	Pairs int64   // of a set and a test
	Bias  float64 // mean error
	MAE   float64 // mean absolute error
	RMSE  float64 // root of the mean squared error
}

// SeriesErrors are the errors of each method in one lift of one lifter.
type SeriesErrors struct {
	Lifter, Lift string
	Tested       float64  // mean of the tests, each as often as it has pairs
	Errors       []Errors // in the order of the methods; valid until the next series
}

// Series goes through the lifters and lifts that have pairs, in the order of their names. It closes
// the comparison.
func (c *Comparison) Series() iter.Seq[SeriesErrors] {
	c.close()
	return func(yield func(SeriesErrors) bool) {
		if c.opt == nil {
			return
		}
		es := make([]Errors, c.opt.k)
		for _, i := range c.sortedSeries() {
			u := &c.series[i]
			if u.cell == 0 {
				continue
			}
			cell := c.cells.at(u.cell - 1)
			n := cell[cellN]
			for j := range es {
				s := cell[cellHead+cellPer*j:]
				es[j] = Errors{ID: c.opt.ids[j], Pairs: int64(n), Bias: s[ofD] / n, MAE: s[ofAbs] / n, RMSE: math.Sqrt(s[ofDD] / n)}
			}
			name := c.nameOf(u.seriesKey)
			if !yield(SeriesErrors{name[0], name[1], cell[cellC] + cell[cellT]/n, es}) {
				return
			}
		}
	}
}
