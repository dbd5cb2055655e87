package plates

import "slices"

// ColourTable is a federation's colours of discs. Colours change between editions
// of a rulebook, so a table carries the edition it stands for.
type ColourTable struct {
	Body    string
	Edition string
	Have    string // how the table was obtained
	Discs   []DiscColour
}

// DiscColour is the colour of one disc; "" where the rules leave it open.
type DiscColour struct {
	Mass   Mass
	Colour string
}

// ColourTables is the tables that were seen in a text other than memory.
func ColourTables() []ColourTable {
	kg := func(grams Mass, colour string) DiscColour { return DiscColour{grams * Gram, colour} }
	return []ColourTable{
		{
			Body:    "IWF",
			Edition: "colours as a games broadcaster's page on the equipment gives them; it does not name the rulebook's edition, and an older edition had 10 kg white",
			Have:    "looked-up (secondary)",
			Discs: []DiscColour{kg(25_000, "red"), kg(20_000, "blue"), kg(15_000, "yellow"), kg(10_000, "green"), kg(5000, "white"),
				kg(2500, "red"), kg(2000, "blue"), kg(1500, "yellow"), kg(1000, "green"), kg(500, "white")},
		},
		{
			Body:    "World Para Powerlifting",
			Edition: "colours as a national body's page on the rules gives them; it does not name the edition",
			Have:    "looked-up (secondary)",
			Discs: []DiscColour{kg(25_000, "red"), kg(20_000, "blue"), kg(15_000, "yellow"), kg(10_000, ""), kg(5000, ""),
				kg(2500, ""), kg(1250, "")},
		},
	}
}

// Of is the colour of a plate, "" where it is left open; ok is false for a plate
// that the standard does not have, such as any pound plate.
func (t *ColourTable) Of(p Plate) (colour string, ok bool) {
	if p.Unit != KG {
		return "", false
	}
	i := slices.IndexFunc(t.Discs, func(d DiscColour) bool { return d.Mass == p.Mass })
	if i < 0 {
		return "", false
	}
	return t.Discs[i].Colour, true
}

// Follows reports whether every plate is one of the standard: only such a set may
// be shown in its colours.
func (t *ColourTable) Follows(side []Plate) bool {
	return !slices.ContainsFunc(side, func(p Plate) bool { _, ok := t.Of(p); return !ok })
}
