package plates

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Plate is one weight plate: its mass and the unit that is stamped on it.
type Plate struct {
	Mass Mass
	Unit Unit
}

// String is the plate as stamped, with its unit: "45lb", "20kg".
func (p Plate) String() string { return p.Mass.Text(p.Unit) + p.Unit.String() }

// ParsePlate reads the size of a plate, over 0, with the unit that is stamped on it
// ("45lb") or in u without one ("20"). The error is a [*ParseError].
func ParsePlate(text string, u Unit) (Plate, error) {
	m, written, err := ParseMassIn(text, u)
	if err != nil || m <= 0 {
		return Plate{}, &ParseError{Text: text, Want: "the size of a plate over 0, such as 20 or 45lb"}
	}
	return Plate{m, written}, nil
}

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

// String is the plate and how many there are, "25kg:4".
func (s Stock) String() string { return s.Plate.String() + ":" + strconv.Itoa(s.Count) }

// Inventory is the plates of a gym. The order does not matter, and a kind may be
// listed more than once: the counts add up.
type Inventory []Stock

// String is the plates and how many there are, "25kg:4,45lb:2". ParseInventory
// reads it back where no kind is listed twice and no plate is stamped with a rounded number.
func (inv Inventory) String() string {
	kinds := make([]string, len(inv))
	for i, s := range inv {
		kinds[i] = s.String()
	}
	return strings.Join(kinds, ",")
}

// maxCount bounds how many plates of a kind are read from text.
const maxCount = 10_000

// ParseInventory reads plates and how many of each there are, in all and not on each
// side: "25:4, 20:4, 45lb:2". Sizes without a unit are in u. A count is from 0 to 10000,
// and each size stands there once. The error is a [*ParseError].
func ParseInventory(text string, u Unit) (Inventory, error) {
	var inv Inventory
	for part := range strings.SplitSeq(text, ",") {
		part = strings.TrimSpace(part)
		size, count, ok := strings.Cut(part, ":")
		if !ok {
			return nil, &ParseError{Text: part, Want: "sizes and how many there are, such as 25:4,10:4"}
		}
		size, count = strings.TrimSpace(size), strings.TrimSpace(count)
		p, err := ParsePlate(size, u)
		if err != nil {
			return nil, err
		}
		n, err := strconv.ParseUint(count, 10, 0)
		if err != nil || n > maxCount {
			return nil, &ParseError{Text: count, Want: fmt.Sprintf("how many of %s there are, from 0 to %d", size, maxCount)}
		}
		if slices.ContainsFunc(inv, func(s Stock) bool { return s.Plate == p }) {
			return nil, &ParseError{Text: size, Want: "each size of plate once"}
		}
		inv = append(inv, Stock{p, int(n)})
	}
	return inv, nil
}

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
			return nil, &FieldError{Field: "plate " + s.Plate.String() + ": count", Got: fmt.Sprint(s.Count), Want: fmt.Sprintf("0 or more, and at most %d plates altogether", maxPlates)}
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
