package plates

// Rounding says which loadable mass stands for a computed one. The zero value is
// Nearest.
type Rounding uint8

const (
	Nearest   Rounding = iota // the nearer one; the lighter one where both are equally near
	Down                      // the heaviest that is not above
	Up                        // the lightest that is not below
	NearestUp                 // the nearer one; the heavier one where both are equally near
)

// String is "nearest", "down", "up" or "nearest up".
func (r Rounding) String() string {
	switch r {
	case Down:
		return "down"
	case Up:
		return "up"
	case NearestUp:
		return "nearest up"
	}
	return "nearest"
}

// ParseRounding reads "nearest", "down", "up" or "nearest up". The error is a [*ParseError].
func ParseRounding(s string) (Rounding, error) {
	for _, r := range [...]Rounding{Nearest, Down, Up, NearestUp} {
		if s == r.String() {
			return r, nil
		}
	}
	return Nearest, &ParseError{Text: s, Want: "the rounding nearest, down, up or nearest up"}
}
