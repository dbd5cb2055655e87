package periodize

import (
	"fmt"
	"slices"

	"github.com/blockwright/blockwright/plates"
)

// Grid prices the sets of a large roster in bulk. Where every lifter does the
// same sets and every weight is a percentage of a maximum, only the weights
// differ from lifter to lifter, and they are looked up in prepared tables in a
// few nanoseconds each instead of making out a plan. The weights are those of
// [Program.Plan] exactly. A Grid is safe for concurrent use.
type Grid struct {
	Rows []GridRow // the sets of everybody's plan, in the plan's order

	p       *Program
	columns []gridColumn
	kits    []kit
	kitOf   []int32 // of each lifter
}

// GridRow is one set of everybody's plan.
type GridRow struct {
	Week    int // from 1
	Session string
	Lift    string
	Set     int // from 1, within the exercise
	Reps    int // a side; 0 for a set of seconds or metres
	At      int // place of its weight in what [Grid.Price] and [Grid.Places] fill in
	column  int
}

// gridColumn is the sets of one lift. A block asks for the same percentage many
// times, so each different one is priced once.
type gridColumn struct {
	lift     *Lift
	percents []plates.Ratio // the different ones
	of       []int32        // of each set, which of them
	first    int            // place of the column's first weight
}

// percent is the place of a percentage among the column's different ones.
func (c *gridColumn) percent(r plates.Ratio) int32 {
	i := slices.Index(c.percents, r)
	if i < 0 {
		i = len(c.percents)
		c.percents = append(c.percents, r)
	}
	return int32(i)
}

// kit is one gym's equipment with one way of rounding.
type kit struct {
	gym      *Gym
	how      plates.Rounding
	prepared []*plates.Percents // by column
	totals   [][]plates.Mass    // by column: what the places of its table stand for
	loads    []*plates.Loads
}

// NotUniformError says why a program cannot be priced as a grid.
type NotUniformError struct{ Why string }

func (e *NotUniformError) Error() string { return "periodize: no grid: " + e.Why }

// Grid prepares the program for bulk pricing. The error is a
// [*NotUniformError] where lifters differ in more than their maxima, gym and
// rounding, or where a weight is not a percentage of a maximum.
func (p *Program) Grid() (*Grid, error) {
	if p.block == nil {
		return nil, &NotUniformError{"the program is the zero value, not one that Compile made"}
	}
	if p.block.Finish.Test {
		return nil, &NotUniformError{"a test day has weights of its own"}
	}
	for i := range p.lifters {
		l := p.lifters[i].lifter
		if len(l.Swaps) > 0 || len(l.Adjust) > 0 || l.Volume.Sign() > 0 && l.Volume.Cmp(hundred) != 0 {
			return nil, &NotUniformError{fmt.Sprintf("%s has swaps, adjustments or a volume of their own", l.Name)}
		}
	}
	g := &Grid{p: p}
	if err := g.read(p.plan(0, true)); err != nil {
		return nil, err
	}
	n := 0
	for c := range g.columns {
		g.columns[c].first = n
		n += len(g.columns[c].of)
	}
	for i := range g.Rows {
		g.Rows[i].At += g.columns[g.Rows[i].column].first
	}
	g.kitOf = make([]int32, len(p.lifters))
	for i := range p.lifters {
		g.kitOf[i] = g.kit(&p.lifters[i])
	}
	return g, nil
}

// read takes the sets and percentages from one lifter's plan.
func (g *Grid) read(plan *Plan) error {
	column := map[*Lift]int{}
	for s := range plan.Sessions {
		ps := &plan.Sessions[s]
		for e := range ps.Exercises {
			ex := &ps.Exercises[e]
			c, ok := column[ex.Lift]
			if !ok {
				c = len(g.columns)
				column[ex.Lift] = c
				g.columns = append(g.columns, gridColumn{lift: ex.Lift})
			}
			for k := range ex.Sets {
				set := &ex.Sets[k]
				o := set.Origin.Kind
				if !set.HasPercent || ex.Lift.BodyweightShare.Sign() > 0 || o != ByPercent && o != ByDrop {
					return &NotUniformError{fmt.Sprintf("the weight of %s in week %d is no percentage of a maximum", ex.Lift.Name, ps.Week)}
				}
				g.Rows = append(g.Rows, GridRow{Week: ps.Week, Session: ps.Name, Lift: ex.Lift.Name, Set: k + 1, Reps: set.Reps,
					At: len(g.columns[c].of), column: c})
				g.columns[c].of = append(g.columns[c].of, g.columns[c].percent(set.Percent))
			}
		}
	}
	return nil
}

// kit finds or prepares a lifter's equipment.
func (g *Grid) kit(s *lifterSetup) int32 {
	for i := range g.kits {
		if g.kits[i].gym == s.gym && g.kits[i].how == s.lifter.Rounding {
			return int32(i)
		}
	}
	k := kit{gym: s.gym, how: s.lifter.Rounding}
	for i := range g.columns {
		c := &g.columns[i]
		im, err := s.implement(c.lift)
		if err != nil || im == nil {
			panic(fmt.Sprintf("periodize: %s: no equipment: %v", c.lift.Name, err)) // Compile has prepared it
		}
		k.loads = append(k.loads, im.loads)
		k.totals = append(k.totals, slices.Collect(im.loads.All()))
		k.prepared = append(k.prepared, im.loads.Prepare(c.percents, k.how))
	}
	g.kits = append(g.kits, k)
	return int32(len(g.kits) - 1)
}

// Lifters is the number of lifters.
func (g *Grid) Lifters() int { return len(g.kitOf) }

// Name is a lifter's name.
func (g *Grid) Name(lifter int) string { return g.p.lifters[lifter].lifter.Name }

// Kit is the number of a lifter's equipment and rounding; lifters of one kit
// share the tables that [Grid.Loads] returns.
func (g *Grid) Kit(lifter int) int { return int(g.kitOf[lifter]) }

// Loads is the table that a row's weight of a kit is looked up in.
func (g *Grid) Loads(kit int, row *GridRow) *plates.Loads {
	return g.kits[kit].loads[row.column]
}

// onStack is how many different percentages of a lift are priced without
// allocating.
const onStack = 512

// Price fills dst with a lifter's weights and returns it: the weight of row r is
// dst[r.At]. It allocates only where dst is too short, or where a lift has more
// than 512 different percentages.
func (g *Grid) Price(lifter int, dst []plates.Mass) []plates.Mass {
	dst = slices.Grow(dst[:0], len(g.Rows))[:len(g.Rows)]
	k := &g.kits[g.kitOf[lifter]]
	var places [onStack]int32
	var masses [onStack]plates.Mass
	for c := range g.columns {
		col := &g.columns[c]
		totals := k.totals[c]
		each := masses[:0]
		for _, p := range k.prepared[c].Indexes(places[:0], g.working(lifter, col)) {
			each = append(each, totals[p])
		}
		out := dst[col.first:][:len(col.of)]
		for i, u := range col.of {
			out[i] = each[u]
		}
	}
	return dst
}

// Places is Price with each weight as its place in the table of [Grid.Loads],
// for programs that have something ready for every total.
func (g *Grid) Places(lifter int, dst []int32) []int32 {
	dst = slices.Grow(dst[:0], len(g.Rows))[:len(g.Rows)]
	k := &g.kits[g.kitOf[lifter]]
	var places [onStack]int32
	for c := range g.columns {
		col := &g.columns[c]
		each := k.prepared[c].Indexes(places[:0], g.working(lifter, col))
		out := dst[col.first:][:len(col.of)]
		for i, u := range col.of {
			out[i] = each[u]
		}
	}
	return dst
}

// working is the maximum that a column's percentages apply to.
func (g *Grid) working(lifter int, col *gridColumn) plates.Mass {
	lm, _ := g.p.lifters[lifter].maxes.lookup(col.lift.Name)
	return lm.Working
}
