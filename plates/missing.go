package plates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// NotLoadableError is the error of a total that a stock cannot make, with what
// is nearest and what is missing.
type NotLoadableError struct {
	Index  int // which target of a sequence, from 0
	Target Target
	// The nearest totals that can be loaded; HaveBelow and HaveAbove are false where there is none.
	Below, Above         Mass
	HaveBelow, HaveAbove bool
	// Missing is the fewest further pairs of plates that would make the target
	// loadable, one of each pair, and among as few the smallest ones: of the kinds
	// in the stock and the usual sizes of their units. Empty where none of up to four pairs would, or no plate
	// could.
	Missing []Plate
	// Floor is set where the total can be loaded, but not with a plate of the
	// target's FloorPlate.
	Floor bool
}

func (e *NotLoadableError) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "plates: %s cannot be loaded", e.Target.Mass)
	if e.Target.Tolerance > 0 {
		fmt.Fprintf(&b, " within %s", e.Target.Tolerance)
	}
	if e.Target.FloorPlate > 0 {
		fmt.Fprintf(&b, " with a plate of at least %s on each side", e.Target.FloorPlate)
	}
	switch {
	case e.HaveBelow && e.HaveAbove:
		fmt.Fprintf(&b, "; nearest are %s and %s", e.Below, e.Above)
	case e.HaveBelow:
		fmt.Fprintf(&b, "; the heaviest is %s", e.Below)
	case e.HaveAbove:
		fmt.Fprintf(&b, "; the lightest is %s", e.Above)
	}
	if len(e.Missing) > 0 {
		words := make([]string, len(e.Missing))
		for i, p := range e.Missing {
			words[i] = "a pair of " + p.String()
		}
		fmt.Fprintf(&b, "; missing: %s", strings.Join(words, " and "))
	}
	return b.String()
}

// Explain says why t cannot be loaded, what is nearest and which plates are
// missing. It is nil where t can be loaded.
func (l *Loads) Explain(t Target) *NotLoadableError {
	if l.bar == nil {
		if m := l.RoundMass(t.Mass, Nearest).Mass; len(l.totals) > 0 && max(m-t.Mass, t.Mass-m) <= t.Tolerance && t.FloorPlate <= 0 {
			return nil
		}
	} else if _, ok := l.span(t.Mass-t.Tolerance, t.Mass+t.Tolerance, t.FloorPlate); ok {
		return nil
	}
	return l.notLoadable(0, t)
}

func (l *Loads) notLoadable(index int, t Target) *NotLoadableError {
	e := &NotLoadableError{Index: index, Target: t}
	if t.FloorPlate <= 0 || l.bar == nil {
		e.Below, e.Above, e.HaveBelow, e.HaveAbove = l.Neighbours(ExactOf(t.Mass))
	} else {
		e.Floor = l.Has(t.Mass)
		if w, ok := l.span(t.Mass, massLimit, t.FloorPlate); ok {
			e.Above, e.HaveAbove = l.bar.Empty()+2*w.lo, true
		}
		if w, ok := l.span(0, t.Mass, t.FloorPlate); ok {
			e.Below, e.HaveBelow = l.bar.Empty()+2*w.hi, true
		}
	}
	if l.bar != nil {
		e.Missing = l.missing(t)
	}
	return e
}

// usualSizes are plates that are commonly sold: the kilogram discs of the
// weightlifting and powerlifting federations (looked up in federation texts and
// summaries of them), the pound plates of an encyclopaedia's list (looked up).
var usualSizes = [...]struct {
	unit   Unit
	places Mass // the sizes are in 1/places of the unit
	sizes  [12]Mass
}{
	{KG, 100, [12]Mass{2500, 2000, 1500, 1000, 500, 250, 200, 150, 125, 100, 50, 25}},
	{LB, 100, [12]Mass{10000, 4500, 3500, 2500, 1000, 500, 250, 125}},
}

// maxMissing is how many pairs are searched for.
const maxMissing = 4

// missing is the fewest further plates of one side that make t loadable exactly.
func (l *Loads) missing(t Target) []Plate {
	side := t.Mass - l.bar.Empty()
	if side < 0 || side%2 != 0 {
		return nil
	}
	side /= 2
	var buy []Plate
	units := [2]bool{}
	for _, k := range l.kinds {
		buy = append(buy, k.plate)
		units[k.plate.Unit] = true
	}
	if len(buy) == 0 {
		units[KG] = true
	}
	for _, u := range usualSizes {
		for _, s := range u.sizes {
			p := Plate{s * (u.unit.One() / u.places), u.unit}
			if units[u.unit] && s > 0 && !slices.Contains(buy, p) {
				buy = append(buy, p)
			}
		}
	}
	slices.SortStableFunc(buy, func(a, b Plate) int { return cmp.Compare(a.Mass, b.Mass) })
	for n := 1; n <= maxMissing; n++ {
		if p := l.buy(buy, side, n, t.FloorPlate); p != nil {
			slices.Reverse(p)
			return p
		}
	}
	return nil
}

// buy is n of the plates, which may repeat, that leave a rest which the stock
// makes; from small to large, the smallest first that will do.
func (l *Loads) buy(from []Plate, rest Mass, n int, floor Mass) []Plate {
	if n == 0 {
		if _, ok := l.layers[0].find(rest); ok && (floor <= 0 || l.startsHeavy(rest, l.heavy(floor))) {
			return []Plate{}
		}
		return nil
	}
	for i, p := range from {
		if p.Mass > rest {
			break
		}
		need := floor
		if p.Mass >= floor {
			need = 0
		}
		if more := l.buy(from[i:], rest-p.Mass, n-1, need); more != nil {
			return append([]Plate{p}, more...)
		}
	}
	return nil
}

// heavy is how many kinds weigh floor or more.
func (l *Loads) heavy(floor Mass) int {
	n := slices.IndexFunc(l.kinds, func(k kind) bool { return k.plate.Mass < floor })
	if n < 0 {
		return len(l.kinds)
	}
	return n
}
