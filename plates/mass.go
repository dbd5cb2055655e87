package plates

import (
	"math"
	"math/bits"
	"strconv"
	"strings"
)

// Mass is a mass in counts of 1e-10 kg (a tenth of a microgram), used as
// time.Duration is: 20*plates.Kilogram. In this unit the kilogram, the gram and
// the avoirdupois pound (exactly 0.453 592 37 kg by the international agreement
// of 1959) are whole numbers, and so are the small pound plates of 2.5, 1.25 and
// 0.25 lb, so that sums of plates are exact. It reaches about 922 million kg;
// the functions that make one out of text or floats stop at a million.
type Mass int64

// One of each unit; multiply as in 20*plates.Kilogram + 500*plates.Gram.
const (
	Kilogram Mass = 10_000_000_000
	Gram     Mass = 10_000_000
	Pound    Mass = 4_535_923_700
)

// massLimit bounds what is read, so that sums and products of a few masses stay
// inside 64 bits.
const massLimit = 1_000_000 * Kilogram

// massDecimals is how many decimals a mass may be written with. In kilograms
// that many are exact.
const massDecimals = 10

// ParseMass reads a mass with its unit: "142.5kg", "45 lb", "-7.5kg". The number
// is a plain decimal of at most 10 decimals: no exponent, no digit grouping, no
// words. Kilograms are taken exactly, pounds too up to two decimals; pounds with
// more decimals are taken to the nearest 1e-10 kg. The error is a [*ParseError].
func ParseMass(s string) (Mass, error) {
	number, u, ok := cutUnit(s)
	if !ok {
		return 0, &ParseError{Text: s, Want: "a mass with its unit, such as 60kg or 45lb"}
	}
	return parseNumber(s, number, u)
}

// ParseMassIn reads a mass whose bare number is in u: "60", "60kg", "45 lb". It
// returns the unit as written too, u for a bare number. The error is a
// [*ParseError].
func ParseMassIn(s string, u Unit) (m Mass, written Unit, err error) {
	number, w, ok := cutUnit(s)
	if !ok {
		w = u
	}
	m, err = parseNumber(s, number, w)
	return m, w, err
}

// cutUnit takes the unit off the end of s, with at most one space before it.
func cutUnit(s string) (number string, u Unit, ok bool) {
	for _, u := range [...]Unit{KG, LB} {
		if t, ok := strings.CutSuffix(s, u.String()); ok {
			return strings.TrimSuffix(t, " "), u, true
		}
	}
	return s, KG, false
}

// parseNumber reads a decimal of u; s is what an error quotes.
func parseNumber(s, number string, u Unit) (Mass, error) {
	fail := func(want string) (Mass, error) { return 0, &ParseError{Text: s, Want: want} }
	d, ok := scanDecimal(number)
	if !ok {
		return fail("a mass such as 60kg or 45lb, or a plain decimal number")
	}
	if d.places > massDecimals {
		return fail("a mass of at most 10 decimals")
	}
	// d.digits / 10^places of a unit: whole counts in kilograms, since a
	// kilogram is 10^10 of them.
	hi, lo := bits.Mul64(d.digits, uint64(u.One()))
	p := pow10(d.places)
	if d.wide || hi >= p {
		return fail("a mass of at most 1,000,000 kg")
	}
	q, r := bits.Div64(hi, lo, p)
	if r >= p-r {
		q++ // nearest, half away from zero; only for pounds of three decimals or more
	}
	if q > uint64(massLimit) {
		return fail("a mass of at most 1,000,000 kg")
	}
	if d.negative {
		return -Mass(q), nil
	}
	return Mass(q), nil
}

// MassOf is v in unit u as a mass: the shortest decimal that reads back as v is
// taken as it stands where it has at most 10 decimals, to the nearest 1e-10 kg
// otherwise. NaN, infinities and more than a million kilograms are a
// [*ParseError].
func MassOf(v float64, u Unit) (Mass, error) {
	const want = "a mass of at most 1,000,000 kg"
	text := func() string { return strconv.FormatFloat(v, 'g', -1, 64) }
	if !(math.Abs(v)*float64(u.One()) <= 2*float64(massLimit)) { // NaN fails too
		return 0, &ParseError{Text: text(), Want: want}
	}
	if v == math.Trunc(v) {
		if m := Mass(v) * u.One(); -massLimit <= m && m <= massLimit { // 2e16 at most: no overflow
			return m, nil
		}
		return 0, &ParseError{Text: text(), Want: want}
	}
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if d, ok := scanDecimal(s); !ok || d.places > massDecimals || d.wide {
		s = strconv.FormatFloat(v, 'f', massDecimals, 64)
	}
	return parseNumber(s, s, u)
}

// Kilograms is m in kilograms, the nearest float64.
func (m Mass) Kilograms() float64 { return m.In(KG) }

// Pounds is m in pounds, the nearest float64.
func (m Mass) Pounds() float64 { return m.In(LB) }

// In is m in unit u, the nearest float64 (for masses under 900,000 kg).
func (m Mass) In(u Unit) float64 { return float64(m) / float64(u.One()) }

// String is the mass with its unit, always exact: in kilograms ("142.5kg"), or
// in pounds where that is the shorter exact form ("45lb" rather than
// "20.41165665kg"). ParseMass reads it back.
func (m Mass) String() string {
	kg := m.Text(KG)
	if m != 0 && exactIn(m, LB) {
		if lb := m.Text(LB); len(lb) < len(kg) {
			return lb + "lb"
		}
	}
	return kg + "kg"
}

// roundedDecimals is how many decimals Text prints of a number that has no exact
// decimal form short enough to print: a thousandth of a microplate.
const roundedDecimals = 4

// Text is the number of m in u without the unit. It is exact and as short as
// possible where m has an exact decimal form of at most 10 decimals: always in
// kilograms, in pounds for multiples of a hundredth of a pound. Otherwise it is
// rounded, half away from zero, to 4 decimals.
func (m Mass) Text(u Unit) string {
	if u == KG {
		return decimalText(m, 10)
	}
	if exactIn(m, LB) {
		return decimalText(m/(Pound/100), 2)
	}
	return decimalText(roundTo4(m, u), roundedDecimals)
}

// exactIn reports whether m has an exact decimal form of at most 10 decimals in
// u. A pound is 45,359,237 * 100 counts, and 45,359,237 has no factor 2 or 5.
func exactIn(m Mass, u Unit) bool { return u == KG || m%(Pound/100) == 0 }

// roundTo4 is m in ten-thousandths of u, rounded half away from zero: the one
// place where a printed mass is rounded.
func roundTo4(m Mass, u Unit) Mass {
	neg, n := split(int64(m))
	hi, lo := bits.Mul64(n, 10_000)
	q, r := bits.Div64(hi, lo, uint64(u.One())) // hi is under 10,000
	if r >= uint64(u.One())-r {
		q++
	}
	if neg {
		return -Mass(q)
	}
	return Mass(q)
}

// decimalText writes n / 10^places without trailing zeros.
func decimalText(n Mass, places int) string {
	neg, v := split(int64(n))
	var b [32]byte
	out := b[:0]
	if neg {
		out = append(out, '-')
	}
	p := pow10(places)
	out = strconv.AppendUint(out, v/p, 10)
	f := v % p
	if f == 0 {
		return string(out)
	}
	out = append(out, '.')
	for f != 0 {
		p /= 10
		out = append(out, byte('0'+f/p))
		f %= p
	}
	return string(out)
}
