package plates

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// DrawOptions says how a bar is drawn. The zero value draws the whole bar without
// colours, with bare numbers on kilogram plates.
type DrawOptions struct {
	Unit    Unit // plates stamped in it carry the bare number; default KG
	OneSide bool // only the right-hand side, from the middle outwards
	// Narrow draws no plate wider than its label, and alike neighbours as one:
	// [8x25]. Default widths by mass.
	Narrow bool
	// Colours is a federation's colours. They are shown only where every plate on
	// the bar is one of that federation's. Default none.
	Colours *ColourTable
	// Paint shows text in a colour: "red", "blue", "yellow", "green", "white".
	// Without it there are no colours.
	Paint func(colour, text string) string
}

// Draw is a loaded bar on one line of text, seen from the front:
//
//	--[ 5 ][     20      ]|== 20 kg ==|[     20      ][ 5 ]--
//
// The plates stand in brackets with their labels, a heavier plate never narrower
// than a lighter one; collars, where they have mass, in parentheses outside them.
func Draw(bar Bar, side []Plate, opt DrawOptions) string {
	widths := drawnWidths(side, opt.Unit)
	paint := opt.Colours != nil && opt.Paint != nil && opt.Colours.Follows(side)
	var right []string
	for i := 0; i < len(side); {
		p, n, width := side[i], 1, widths[i]
		label := p.Label(opt.Unit)
		if opt.Narrow {
			for i+n < len(side) && side[i+n] == p {
				n++
			}
			if n > 1 {
				label = strconv.Itoa(n) + "x" + label
			}
			width = len(label)
		}
		i += n
		box := "[" + centre(label, width) + "]"
		if paint {
			if c, _ := opt.Colours.Of(p); c != "" {
				box = opt.Paint(c, box)
			}
		}
		right = append(right, box)
	}
	if bar.Collars > 0 {
		right = append(right, "("+(Plate{bar.Collars / 2, opt.Unit}).Label(opt.Unit)+")")
	}
	right = append(right, "--")
	middle := "|== " + bar.Mass.Text(opt.Unit) + " " + opt.Unit.String() + " ==|"
	if opt.OneSide {
		return middle + strings.Join(right, "")
	}
	left := slices.Clone(right)
	slices.Reverse(left)
	return strings.Join(left, "") + middle + strings.Join(right, "")
}

// drawnWidths is the room inside the brackets: the label and a space on both
// sides, or one column for every 2 kg and three more, and never less than a
// lighter plate has.
func drawnWidths(side []Plate, u Unit) []int {
	order := make([]int, len(side))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(side[a].Mass, side[b].Mass) })
	widths := make([]int, len(side))
	least := 0
	for _, i := range order {
		byMass := 3 + int(min(side[i].Mass, 50*Kilogram)/(2*Kilogram))
		least = max(least, byMass, len(side[i].Label(u))+2)
		widths[i] = least
	}
	return widths
}

// centre puts text in the middle of so many columns; labels are ASCII.
func centre(text string, width int) string {
	left := (width - len(text)) / 2
	return strings.Repeat(" ", left) + text + strings.Repeat(" ", width-len(text)-left)
}
