package plates

import (
	"iter"
	"slices"
	"sort"
)

// MaxLoads is how many different totals a table may have. The richest ordinary
// gym, twenty kinds of kilogram and pound plates mixed, has some tens of
// thousands.
const MaxLoads = 1_000_000

// Loads is everything that one implement can be loaded to, prepared once: a bar
// with a stock of plates, or a station with fixed weights. It does not change and
// may be shared between goroutines. The zero value is a station with no weights:
// nothing can be loaded on it.
type Loads struct {
	name   string
	bar    *Bar   // nil for a station
	totals []Mass // ascending, each once; none in the zero value

	// A bar's plates. layers[i] holds what the kinds from i on, the lightest,
	// reach on one side; layers[0] is all of it, the last layer the empty side.
	kinds  []kind
	layers []layer

	// A station's fixed weights and what can be added, for Parts.
	fixed []Mass
	add   []Mass
}

// layer is the reachable sums of one side, ascending, with the fewest plates for
// each.
type layer struct {
	sums []Mass
	few  []uint16
}

// find is the place of a sum.
func (l layer) find(m Mass) (int, bool) { return slices.BinarySearch(l.sums, m) }

// NewLoads prepares the totals of a bar with the plates of inv: bar, collars and
// any plates, the same on both sides, within the stock. Every reachable total is
// found, each with the fewest plates; filling up with the largest plates first
// would miss some of them and waste plates on others.
//
// A wrong bar or plate is a [*FieldError]; a stock with more than [MaxLoads]
// totals is a [*SizeError].
func NewLoads(bar Bar, inv Inventory) (*Loads, error) {
	if err := bar.check(); err != nil {
		return nil, err
	}
	kinds, err := inv.kinds()
	if err != nil {
		return nil, err
	}
	var heaviest Mass
	for _, k := range kinds {
		if heaviest += 2 * Mass(k.pairs) * k.plate.Mass; heaviest > massLimit || k.plate.Mass > massLimit/Mass(2*k.pairs) {
			return nil, &FieldError{Field: named("bar", bar.Name) + ": all plates together", Got: "more", Want: "at most 1000000 kg"}
		}
	}
	l := &Loads{name: bar.Name, bar: &bar, kinds: kinds, layers: make([]layer, len(kinds)+1)}
	l.layers[len(kinds)] = layer{sums: []Mass{0}, few: []uint16{0}}
	for i := len(kinds) - 1; i >= 0; i-- {
		next := l.layers[i+1]
		// In lots of 1, 2, 4 and so on, and what is left: every number of plates
		// up to the stock is a sum of some of the lots.
		for lot, left := 1, kinds[i].pairs; left > 0; lot *= 2 {
			lot = min(lot, left)
			left -= lot
			if next = next.with(Mass(lot)*kinds[i].plate.Mass, lot); len(next.sums) > MaxLoads {
				return nil, &SizeError{Name: named("bar", bar.Name), Limit: MaxLoads}
			}
		}
		l.layers[i] = next
	}
	l.totals = make([]Mass, len(l.layers[0].sums))
	for i, s := range l.layers[0].sums {
		l.totals[i] = bar.Empty() + 2*s
	}
	return l, nil
}

// with is the sums with and without one more lot of so many plates, which weigh m
// together.
func (l layer) with(m Mass, plates int) layer {
	n := len(l.sums)
	out := layer{make([]Mass, 0, 2*n), make([]uint16, 0, 2*n)}
	for i, j := 0, 0; j < n; { // the next sum without the lot and with it; the first runs out first
		sum, few := l.sums[j]+m, l.few[j]+uint16(plates)
		if i < n && l.sums[i] <= sum {
			if l.sums[i] == sum {
				j++
			} else {
				sum, few = l.sums[i], l.few[i]
			}
			few = min(few, l.few[i])
			i++
		} else {
			j++
		}
		out.sums = append(out.sums, sum)
		out.few = append(out.few, few)
	}
	return out
}

// NewStation prepares an implement with fixed weights: dumbbells, a stack, fixed
// barbells. To any of masses any of add can be added, each at most once (small
// magnetic or hanging weights). No mass, a negative one, or an addition of 0 or
// less is a [*FieldError]; more than [MaxLoads] totals are a [*SizeError].
func NewStation(name string, masses, add []Mass) (*Loads, error) {
	if len(masses) == 0 {
		return nil, &FieldError{Field: named("station", name), Got: "no weights", Want: "at least one"}
	}
	for _, m := range masses {
		if m < 0 || m > massLimit {
			return nil, &FieldError{Field: named("station", name), Got: m.String(), Want: "weights of 0 to 1000000 kg"}
		}
	}
	for _, m := range add {
		if m <= 0 || m > massLimit {
			return nil, &FieldError{Field: named("station", name) + ": add", Got: m.String(), Want: "a mass over 0 and up to 1000000 kg"}
		}
	}
	l := &Loads{name: name, fixed: sortedSet(masses), add: slices.Clone(add)}
	slices.Sort(l.add)
	slices.Reverse(l.add)
	t := layer{sums: l.fixed, few: make([]uint16, len(l.fixed))}
	for _, a := range l.add {
		if t = t.with(a, 1); len(t.sums) > MaxLoads {
			return nil, &SizeError{Name: named("station", name), Limit: MaxLoads}
		}
	}
	l.totals = t.sums
	return l, nil
}

// NewRange prepares a station whose weights go from one mass to another in equal
// steps: a rack of dumbbells. The step must divide the way, or it is a
// [*FieldError]; a step of 0 is allowed where from equals to.
func NewRange(name string, from, to, step Mass) (*Loads, error) {
	field := named("station", name)
	switch {
	case from < 0 || to > massLimit || from > to:
		return nil, &FieldError{Field: field, Got: "from " + from.String() + " to " + to.String(), Want: "from 0 or more to a mass that is no lighter"}
	case from == to:
		return NewStation(name, []Mass{from}, nil)
	case step <= 0:
		return nil, &FieldError{Field: field + ": step", Got: step.String(), Want: "a mass over 0"}
	case (to-from)%step != 0:
		return nil, &FieldError{Field: field + ": step", Got: step.String(), Want: "a step that leads from " + from.String() + " to " + to.String() + " exactly"}
	case (to-from)/step >= MaxLoads:
		return nil, &SizeError{Name: field, Limit: MaxLoads}
	}
	masses := make([]Mass, 0, (to-from)/step+1)
	for m := from; m <= to; m += step {
		masses = append(masses, m)
	}
	return NewStation(name, masses, nil)
}

func sortedSet(m []Mass) []Mass {
	m = slices.Clone(m)
	slices.Sort(m)
	return slices.Compact(m)
}

// Name is the name of the bar or station.
func (l *Loads) Name() string { return l.name }

// Bar is the bar that is loaded; ok is false for a station.
func (l *Loads) Bar() (bar Bar, ok bool) {
	if l.bar == nil {
		return Bar{}, false
	}
	return *l.bar, true
}

// Len is how many different totals there are: at least 1, but for the zero value.
func (l *Loads) Len() int { return len(l.totals) }

// At is the total number i, from 0, the lightest; 0 where there is none of that
// number.
func (l *Loads) At(i int) Mass {
	if i < 0 || i >= len(l.totals) {
		return 0
	}
	return l.totals[i]
}

// Lightest is the lightest total: the empty bar. It is 0 for the zero value.
func (l *Loads) Lightest() Mass { return l.At(0) }

// Heaviest is the heaviest total; 0 for the zero value.
func (l *Loads) Heaviest() Mass { return l.At(len(l.totals) - 1) }

// All yields the totals in ascending order.
func (l *Loads) All() iter.Seq[Mass] { return slices.Values(l.totals) }

// Has reports whether m can be loaded exactly.
func (l *Loads) Has(m Mass) bool {
	_, ok := slices.BinarySearch(l.totals, m)
	return ok
}

// Load is a computed mass as it can be loaded.
type Load struct {
	Mass  Mass // one of the table's totals
	Below bool // the mass asked for is under the lightest total, which stands for it
	Above bool // the mass asked for is over the heaviest total, which stands for it
}

// Round is the total that stands for x: how says which. The decision is exact.
// Down never exceeds x and Up is never under it, unless Below or Above says that
// there is no such total. NearestUp and Nearest differ only where x is exactly
// halfway. The zero Loads has no total for anything: 0 with both Below and Above.
func (l *Loads) Round(x Exact, how Rounding) Load {
	n := len(l.totals)
	switch {
	case n == 0:
		return Load{Below: true, Above: true}
	case x.Cmp(l.totals[0]) < 0:
		return Load{Mass: l.totals[0], Below: true}
	case x.Cmp(l.totals[n-1]) > 0:
		return Load{Mass: l.totals[n-1], Above: true}
	}
	return Load{Mass: l.totals[l.index(x, how)]}
}

// RoundMass is Round of a mass that is no percentage: one that was typed in, or
// that [MassOf] made of a float.
func (l *Loads) RoundMass(m Mass, how Rounding) Load { return l.Round(ExactOf(m), how) }

// index is the place of the total that stands for x.
func (l *Loads) index(x Exact, how Rounding) int {
	n := len(l.totals)
	// The first total that is not under x.
	up := sort.Search(n, func(i int) bool { return x.Cmp(l.totals[i]) <= 0 })
	switch {
	case n == 0:
		return 0
	case up == n:
		return n - 1
	case up == 0 || x.Cmp(l.totals[up]) == 0:
		return up
	}
	switch how {
	case Down:
		return up - 1
	case Up:
		return up
	}
	c := x.cmpMid(l.totals[up-1], l.totals[up])
	if c > 0 || c == 0 && how == NearestUp {
		return up
	}
	return up - 1
}

// Neighbours is the heaviest total that is not above x and the lightest that is
// not below it; they are the same where x can be loaded exactly. haveBelow and
// haveAbove are false where there is none.
func (l *Loads) Neighbours(x Exact) (below, above Mass, haveBelow, haveAbove bool) {
	if len(l.totals) == 0 {
		return 0, 0, false, false
	}
	if x.Cmp(l.Lightest()) >= 0 {
		below, haveBelow = l.totals[l.index(x, Down)], true
	}
	if x.Cmp(l.Heaviest()) <= 0 {
		above, haveAbove = l.totals[l.index(x, Up)], true
	}
	return below, above, haveBelow, haveAbove
}

// PerSide is the plates of one side for a total, from the innermost outwards,
// the heaviest first: as few plates as possible, and among the ways with as few
// the one with the largest plates first. It is empty for the empty bar and nil
// for a station. ok is false where the total cannot be loaded.
func (l *Loads) PerSide(total Mass) (side []Plate, ok bool) {
	if l.bar == nil {
		return nil, l.Has(total)
	}
	rest := total - l.bar.Empty()
	if rest%2 != 0 {
		return nil, false
	}
	rest /= 2
	at, ok := l.layers[0].find(rest)
	if !ok {
		return nil, false
	}
	side = make([]Plate, 0, l.layers[0].few[at])
	need := l.layers[0].few[at]
	for i, k := range l.kinds {
		// As many of the largest kind as leave a rest that the smaller kinds
		// reach with the plates that are still allowed.
		for n := min(k.pairs, int(rest/k.plate.Mass), int(need)); n >= 0; n-- {
			left := rest - Mass(n)*k.plate.Mass
			if j, ok := l.layers[i+1].find(left); ok && int(l.layers[i+1].few[j])+n == int(need) {
				for range n {
					side = append(side, k.plate)
				}
				rest, need = left, need-uint16(n)
				break
			}
		}
	}
	return side, true
}

// Parts is how a station makes up a total: one of its fixed weights and the
// additions to hang on it, heaviest first, as few as possible and among those
// with as few the ones on the heaviest fixed weight. ok is false where the total
// cannot be made up, and for a bar.
func (l *Loads) Parts(total Mass) (fixed Mass, added []Mass, ok bool) {
	if l.bar != nil {
		return 0, nil, false
	}
	for n := 0; n <= len(l.add); n++ {
		for _, f := range slices.Backward(l.fixed) {
			if f <= total {
				if added, ok := pick(l.add, total-f, n); ok {
					return f, added, true
				}
			}
		}
	}
	return 0, nil, false
}

// pick is n of the masses, which are sorted from heavy to light, that sum to m.
func pick(from []Mass, m Mass, n int) ([]Mass, bool) {
	if n == 0 {
		return nil, m == 0
	}
	for i, a := range from {
		if len(from)-i < n {
			break
		}
		if a <= m && (i == 0 || from[i-1] != a) { // an equal one has been tried
			if rest, ok := pick(from[i+1:], m-a, n-1); ok {
				return append([]Mass{a}, rest...), true
			}
		}
	}
	return nil, false
}
