package plates

// Unit is a unit of mass that plates and bars are made and written in. The zero
// value is the kilogram.
type Unit uint8

const (
	KG Unit = iota // kilogram
	LB             // avoirdupois pound, exactly 0.45359237 kg
)

// String is "kg" or "lb".
func (u Unit) String() string {
	if u == LB {
		return "lb"
	}
	return "kg"
}

// One is the mass of one unit.
func (u Unit) One() Mass {
	if u == LB {
		return Pound
	}
	return Kilogram
}

// ParseUnit reads "kg" or "lb". The error is a [*ParseError].
func ParseUnit(s string) (Unit, error) {
	switch s {
	case "kg":
		return KG, nil
	case "lb":
		return LB, nil
	}
	return KG, &ParseError{Text: s, Want: "the unit kg or lb"}
}
