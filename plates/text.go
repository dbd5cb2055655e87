package plates

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Masses and their kin are text in JSON and wherever else encoding goes by
// encoding.TextMarshaler, never bare numbers: a count of 1e-10 kg means nothing to
// another program, and a float would not come back as it went. What is written is
// read back as the same value; what cannot be written that way is an error.

// MarshalText is m as [Mass.String] has it: "142.5kg". A mass of more than a
// million kilograms, which ParseMass would not read, is a [*ParseError].
func (m Mass) MarshalText() ([]byte, error) {
	if m < -massLimit || m > massLimit {
		return nil, &ParseError{Text: m.String(), Want: "a mass of at most 1,000,000 kg"}
	}
	return []byte(m.String()), nil
}

// UnmarshalText reads what [ParseMass] reads: a number with its unit. The error
// is a [*ParseError].
func (m *Mass) UnmarshalText(text []byte) error { return unmarshal(m, text, ParseMass) }

// MarshalText is r as a decimal where [ParseRatio] reads that ("57.5"), and as a
// fraction otherwise ("1/3").
func (r Ratio) MarshalText() ([]byte, error) {
	s := r.String()
	if back, err := ParseRatio(s); err != nil || back != r {
		s = r.fraction()
	}
	return []byte(s), nil
}

// UnmarshalText reads a decimal as [ParseRatio] does, or a fraction of two whole
// numbers ("1/3", "-2/7"). The error is a [*ParseError].
func (r *Ratio) UnmarshalText(text []byte) error {
	return unmarshal(r, text, func(s string) (Ratio, error) {
		num, den, ok := strings.Cut(s, "/")
		if !ok {
			return ParseRatio(s)
		}
		n, errN := strconv.ParseInt(num, 10, 64)
		d, errD := strconv.ParseUint(den, 10, 63)
		if errN != nil || errD != nil || d == 0 || num[0] == '+' || n == math.MinInt64 {
			return Ratio{}, &ParseError{Text: s, Want: "a plain decimal number such as 57.5, or a fraction such as 1/3"}
		}
		return reduced(n, int64(d)), nil
	})
}

// String is x as a mass with its unit, to the nearest 1e-10 kg: "72.5kg". The text
// that loses nothing is that of MarshalText.
func (x Exact) String() string { return x.RoundTo(1, Nearest).String() }

// MarshalText is x as text of a mass where it is a whole number of counts
// ("72.5kg"), and as a fraction of kilograms in lowest terms where it is not
// ("200/3kg").
func (x Exact) MarshalText() ([]byte, error) {
	if x.num == 0 {
		return Mass(x.whole).MarshalText()
	}
	if m := Mass(x.whole); m < -massLimit || m >= massLimit {
		return nil, &ParseError{Text: x.String(), Want: "a mass of at most 1,000,000 kg"}
	}
	y := x.rat()
	return []byte(y.Quo(y, big.NewRat(int64(Kilogram), 1)).String() + "kg"), nil
}

// UnmarshalText reads a mass as [ParseMass] does, or a fraction of kilograms
// ("200/3kg"). The error is a [*ParseError].
func (x *Exact) UnmarshalText(text []byte) error {
	return unmarshal(x, text, func(s string) (Exact, error) {
		if !strings.Contains(s, "/") {
			m, err := ParseMass(s)
			return ExactOf(m), err
		}
		bad := &ParseError{Text: s, Want: "a mass with its unit, such as 60kg, or a fraction such as 200/3kg, of at most 1,000,000 kg"}
		number, isKG := strings.CutSuffix(s, "kg")
		digits := strings.TrimPrefix(strings.Replace(number, "/", "", 1), "-")
		if !isKG || len(number) > 80 || strings.Trim(digits, "0123456789") != "" {
			return Exact{}, bad
		}
		y, ok := new(big.Rat).SetString(number)
		if !ok || new(big.Rat).Abs(y).Cmp(big.NewRat(int64(massLimit/Kilogram), 1)) > 0 {
			return Exact{}, bad
		}
		return fromBig(y.Mul(y, big.NewRat(int64(Kilogram), 1))), nil
	})
}

// MarshalText is "kg" or "lb"; any other unit is a [*FieldError].
func (u Unit) MarshalText() ([]byte, error) { return marshal(u, LB, "unit", "KG or LB") }

// UnmarshalText reads what [ParseUnit] reads.
func (u *Unit) UnmarshalText(text []byte) error { return unmarshal(u, text, ParseUnit) }

// MarshalText is the rounding as [Rounding.String] has it; a rounding that is none
// of the four is a [*FieldError].
func (r Rounding) MarshalText() ([]byte, error) {
	return marshal(r, NearestUp, "rounding", "Nearest, Down, Up or NearestUp")
}

// UnmarshalText reads what [ParseRounding] reads.
func (r *Rounding) UnmarshalText(text []byte) error { return unmarshal(r, text, ParseRounding) }

// MarshalText is "desc" or "free"; any other order is a [*FieldError].
func (o Order) MarshalText() ([]byte, error) { return marshal(o, Free, "order", "Descending or Free") }

// UnmarshalText reads what [ParseOrder] reads.
func (o *Order) UnmarshalText(text []byte) error { return unmarshal(o, text, ParseOrder) }

// marshal is the text of one of the values from 0 to last.
func marshal[T interface {
	~uint8
	fmt.Stringer
}](v, last T, field, want string) ([]byte, error) {
	if v > last {
		return nil, &FieldError{Field: field, Got: strconv.Itoa(int(v)), Want: want}
	}
	return []byte(v.String()), nil
}

// unmarshal sets to what the text says, and leaves it as it was where the text is wrong.
func unmarshal[T any](to *T, text []byte, parse func(string) (T, error)) error {
	v, err := parse(string(text))
	if err == nil {
		*to = v
	}
	return err
}
