package workbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// tablesSheet is the name of the sheet that holds what formulas look up.
const tablesSheet = "tables"

// firstRow is the first row of every table on it, under the heads.
const firstRow = 4

// tieGap lifts a bound off its tie. Exact weights are rounded to eight
// decimals before they are looked up, so half of the last one is between two
// neighbours and on neither.
const tieGap = 5e-9

// ladder is the weights of one implement with their lower bounds.
type ladder struct {
	title    string
	unit     plates.Unit
	how      plates.Rounding
	total    []plates.Mass // ascending; assistance is negative
	value    []float64     // total in the sheet's unit
	from     []float64     // lower bound of the exact weight
	side     []string      // plates of one side, as text; nil for stations
	firstCol int
}

// relation is a curve of repetitions to failure against the share of the
// maximum, a row for each half repetition from 0.5, which is never looked up.
type relation struct {
	name  string
	share []float64
	col   int
}

// tables collects what the lifters' formulas look up. What two lifters share
// is there once.
type tables struct {
	ladders  []*ladder
	byLoads  map[ladderKey]*ladder
	bySign   map[string]*ladder
	relation []*relation
	cols     int
}

type ladderKey struct {
	loads  *plates.Loads
	how    plates.Rounding
	assist bool
	unit   plates.Unit
}

func newTables() *tables {
	return &tables{byLoads: map[ladderKey]*ladder{}, bySign: map[string]*ladder{}}
}

// ladder finds or adds the table of what an exercise is loaded on.
func (t *tables) ladder(e *periodize.Exercise, how plates.Rounding, assist bool, u plates.Unit) *ladder {
	key := ladderKey{e.Loads, how, assist, u}
	if l, ok := t.byLoads[key]; ok {
		return l
	}
	l := makeLadder(e, how, assist, u)
	sign := fmt.Sprint(l.title, "\x00", u, how, l.total, "\x00", strings.Join(l.side, "\x00"))
	if old, ok := t.bySign[sign]; ok {
		l = old
	} else {
		t.bySign[sign] = l
		l.firstCol = t.cols + 1
		t.cols += 4 // totals, bounds, plates, and a gap
		t.ladders = append(t.ladders, l)
	}
	// Programs may make their plans' Loads anew for each lifter; forgetting old
	// keys keeps memory flat, and bySign still finds the table.
	if len(t.byLoads) > 1000 {
		clear(t.byLoads)
	}
	t.byLoads[key] = l
	return l
}

func makeLadder(e *periodize.Exercise, how plates.Rounding, assist bool, u plates.Unit) *ladder {
	l := &ladder{title: words.OneLine(e.Lift.Uses), unit: u, how: how}
	for m := range e.Loads.All() {
		if assist {
			m = -m
		}
		l.total = append(l.total, m)
	}
	slices.Sort(l.total)
	l.total = slices.Compact(l.total)
	bar := words.IsBar(e.Loads)
	for i, m := range l.total {
		l.value = append(l.value, m.In(u))
		l.from = append(l.from, l.bound(i, how))
		if bar {
			side, _ := e.Loads.PerSide(m) // the fewest plates
			l.side = append(l.side, words.Plates(side, u))
		}
	}
	return l
}

// bound is the least exact weight that is rounded to total i.
func (l *ladder) bound(i int, how plates.Rounding) float64 {
	if i == 0 {
		return -1e9
	}
	low, high := l.total[i-1], l.total[i]
	switch how {
	case plates.Down:
		return high.In(l.unit) - tieGap
	case plates.Up:
		return low.In(l.unit) + tieGap
	case plates.NearestUp:
		return (low+high).In(l.unit)/2 - tieGap
	}
	return (low+high).In(l.unit)/2 + tieGap
}

// lookUp is what the formula of a weight answers, for its cached value and to
// check it against the plan.
func (l *ladder) lookUp(working, percent, body float64) int {
	x := round(float64(working*percent)/100-body, 8)
	i, exact := slices.BinarySearch(l.from, x)
	if !exact {
		i--
	}
	return max(i, 0)
}

// formula is the total that an exact weight, as an expression, is rounded to.
func (l *ladder) formula(exact string) string {
	n := len(l.value)
	return fmt.Sprintf("INDEX(%s,MATCH(ROUND(%s,8),%s,1))", column(l.firstCol, n), exact, column(l.firstCol+1, n))
}

// round is ROUND of spreadsheet programs, halves away from zero.
func round(x float64, digits int) float64 {
	p := math.Pow10(digits)
	return math.Round(x*p) / p
}

// curve finds or adds the relation of a lift. It is nil where the curve is not known.
func (t *tables) curve(name string) *relation {
	if name == "" {
		name = "general"
	}
	for _, r := range t.relation {
		if r.name == name {
			return r
		}
	}
	c, err := estimate.CurveNamed(name)
	if err != nil {
		return nil
	}
	r := &relation{name: name}
	const most = 30 // repetitions
	for n := 1; n <= 2*most; n++ {
		f, _, err := c.Fraction(max(1, float64(n)/2))
		if err != nil {
			break
		}
		r.share = append(r.share, f)
	}
	if len(r.share) == 0 {
		return nil
	}
	t.cols++
	r.col = t.cols
	t.cols++ // a gap
	t.relation = append(t.relation, r)
	return r
}
