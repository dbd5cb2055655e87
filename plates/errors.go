package plates

import "fmt"

// ParseError is the error of a text or a number that cannot be read as a mass, a
// ratio, a unit or a rounding.
type ParseError struct {
	Text string // as it was written
	Want string // "a mass with its unit, such as 60kg or 45lb"
}

func (e *ParseError) Error() string {
	return fmt.Sprintf("plates: want %s, got %q", e.Want, e.Text)
}

// FieldError says which part of a bar, an inventory, a station or a request is
// outside what can be answered.
type FieldError struct {
	Field string // "bar mass"
	Got   string // "-20kg"
	Want  string // "0 kg or more"
}

func (e *FieldError) Error() string {
	return fmt.Sprintf("plates: %s: want %s, got %s", e.Field, e.Want, e.Got)
}

// SizeError is the error of a stock from which more different totals can be
// loaded than a table holds.
type SizeError struct {
	Name  string // the bar or station
	Limit int    // how many totals a table may have
}

func (e *SizeError) Error() string {
	return fmt.Sprintf("plates: %s: more than %d different totals can be loaded; leave out some sizes of plate or count fewer of them", e.Name, e.Limit)
}

// DecodeError says why bytes are not a marshalled value of this package.
type DecodeError struct {
	Type string // "loads"
	Why  string
	Err  error // cause, such as a *FieldError; may be nil
}

func (e *DecodeError) Error() string {
	s := "plates: " + e.Type + ": " + e.Why
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s
}

// Unwrap is the cause.
func (e *DecodeError) Unwrap() error { return e.Err }
