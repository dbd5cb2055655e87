package plates

import (
	"cmp"
	"fmt"
	"slices"
)

// Plate is one weight plate: its mass and the unit that is stamped on it.
type Plate struct {
	Mass Mass
	Unit Unit
}

// String is the plate as stamped, with its unit: "45lb", "20kg".
func (p Plate) String() string { return p.Mass.Text(p.Unit) + p.Unit.String() }

// Label is the plate for a reader who thinks in u: the bare number where the
// plate is stamped in u ("20"), number and unit where it is not ("45lb").
func (p Plate) Label(u Unit) string {
	if p.Unit == u {
		return p.Mass.Text(u)
	}
	return p.String()
}

// Stock is how many plates of a kind there are. A bar is loaded alike on both
// sides, so plates are used in pairs and an odd one is left out.
type Stock struct {
	Plate
	Count int // single plates, not pairs
}

// Inventory is the plates of a gym. The order does not matter, and a kind may be
// listed more than once: the counts add up.
type Inventory []Stock

// Bar is a bar with its collars.
type Bar struct {
	Name    string
	Mass    Mass
	Collars Mass // both together; 0 for none, or for collars that are not counted
}

// Empty is what the bar weighs without plates: bar and collars.
func (b Bar) Empty() Mass { return b.Mass + b.Collars }

// check says what is wrong with the bar, if anything.
func (b Bar) check() error {
	for _, p := range [...]struct {
		name string
		m    Mass
	}{{"mass", b.Mass}, {"collars", b.Collars}} {
		if p.m < 0 || p.m > massLimit {
			return &FieldError{Field: named("bar", b.Name) + ": " + p.name, Got: p.m.String(), Want: "0 to 1000000 kg"}
		}
	}
	return nil
}

func named(kind, name string) string {
	if name == "" {
		return kind
	}
	return fmt.Sprintf("%s %q", kind, name)
}

// kind is one kind of plate and how many there are for each side.
type kind struct {
	plate Plate
	pairs int
}

// maxPlates and maxKinds bound the plates of an inventory; a kind's number fits
// in a byte.
const (
	maxPlates = 100_000
	maxKinds  = 200
)

// kinds is the inventory as pairs, heaviest kind first (of equal masses the one
// stamped in kg first), without the kinds of which there is no pair.
func (inv Inventory) kinds() ([]kind, error) {
	all, total := make([]kind, 0, len(inv)), 0
	for _, s := range inv {
		switch {
		case s.Mass <= 0 || s.Mass > massLimit:
			return nil, &FieldError{Field: "plate", Got: s.Mass.String(), Want: "a mass over 0 and up to 1000000 kg"}
		case s.Unit != KG && s.Unit != LB:
			return nil, &FieldError{Field: "plate " + s.Mass.String() + ": unit", Got: fmt.Sprint(uint8(s.Unit)), Want: "KG or LB"}
		case s.Count < 0 || s.Count > maxPlates-total:
			return nil, &FieldError{Field: "plate " + s.String() + ": count", Got: fmt.Sprint(s.Count), Want: fmt.Sprintf("0 or more, and at most %d plates altogether", maxPlates)}
		}
		total += s.Count
		all = append(all, kind{s.Plate, s.Count})
	}
	slices.SortFunc(all, func(a, b kind) int {
		return cmp.Or(cmp.Compare(b.plate.Mass, a.plate.Mass), cmp.Compare(a.plate.Unit, b.plate.Unit))
	})
	// Counts of a kind add up before they are halved: two single plates of a
	// kind are a pair however they are listed.
	out := all[:0]
	for _, k := range all {
		if n := len(out); n > 0 && out[n-1].plate == k.plate {
			out[n-1].pairs += k.pairs
		} else {
			out = append(out, k)
		}
	}
	for i := range out {
		out[i].pairs /= 2
	}
	out = slices.DeleteFunc(out, func(k kind) bool { return k.pairs == 0 })
	if len(out) > maxKinds {
		return nil, &FieldError{Field: "plates", Got: fmt.Sprintf("%d different kinds", len(out)), Want: fmt.Sprintf("at most %d", maxKinds)}
	}
	return out, nil
}
