package plates

import (
	"math"
	"math/big"
	"math/bits"
	"strconv"
	"strings"
)

// Ratio is an exact rational number: a percentage, a repetition in reserve, a
// share. Numerator and denominator are 64-bit; equal ratios are equal values
// (==); the zero value is 0.
//
// Where the exact result of an operation does not fit, it is replaced by a ratio
// that does and differs by less than one part in 10^17 of the larger of the
// result and 1, or by the largest ratio of that sign (saturation at about
// 9.2e18). Numbers of up to nine digits never come near that.
type Ratio struct {
	num  int64
	less int64 // the denominator less one, so that the zero value is 0/1
}

// NewRatio is n/d. A zero denominator is a [*ParseError], and so is the one
// integer whose negative does not fit, math.MinInt64.
func NewRatio(n, d int64) (Ratio, error) {
	if d == 0 || d == math.MinInt64 || n == math.MinInt64 {
		return Ratio{}, &ParseError{Text: strconv.FormatInt(n, 10) + "/" + strconv.FormatInt(d, 10), Want: "a ratio with a denominator other than 0"}
	}
	if d < 0 {
		n, d = -n, -d
	}
	return reduced(n, d), nil
}

// reduced is n/d in lowest terms, d > 0.
func reduced(n, d int64) Ratio {
	_, size := split(n)
	g := int64(gcd(size, uint64(d)))
	return Ratio{n / g, d/g - 1}
}

// WholeRatio is n/1.
func WholeRatio(n int64) Ratio { return Ratio{num: max(n, -math.MaxInt64)} }

// ratioPlaces is how many decimals a ratio is read with; 10^18 is the largest
// power of ten that a denominator holds.
const ratioPlaces = 18

// ParseRatio reads a plain decimal number, exactly: "57.5", "-2.5". At most 18
// decimals; no exponent, no fraction, no words. The error is a [*ParseError].
func ParseRatio(s string) (Ratio, error) {
	d, ok := scanDecimal(s)
	switch {
	case !ok:
		return Ratio{}, &ParseError{Text: s, Want: "a plain decimal number, such as 57.5"}
	case d.wide || d.digits > math.MaxInt64 || d.places > ratioPlaces:
		return Ratio{}, &ParseError{Text: s, Want: "a number of at most 18 digits"}
	}
	n := int64(d.digits)
	if d.negative {
		n = -n
	}
	return reduced(n, int64(pow10(d.places))), nil
}

// RatioOf is the shortest decimal that reads back as v, so that RatioOf(57.5) is
// 115/2 and RatioOf(0.1) is 1/10; what lies beyond 18 decimals is rounded off.
// NaN, infinities and sizes of 1e18 and more are a [*ParseError].
func RatioOf(v float64) (Ratio, error) {
	if !(math.Abs(v) < 1e18) {
		return Ratio{}, &ParseError{Text: strconv.FormatFloat(v, 'g', -1, 64), Want: "a finite number under 1e18"}
	}
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if r, err := ParseRatio(s); err == nil {
		return r, nil
	}
	// More decimals than fit: a small number. 18 decimals of a number under 1
	// have at most 18 digits; larger ones never have more than 17 digits.
	return ParseRatio(strings.TrimPrefix(strconv.FormatFloat(v, 'f', ratioPlaces, 64), "+"))
}

// Num is the numerator, in lowest terms.
func (r Ratio) Num() int64 { return r.num }

// Den is the denominator, in lowest terms; 1 or more.
func (r Ratio) Den() int64 { return r.less + 1 }

// small reports whether products of two such parts, and their sum, fit in 64 bits.
func (r Ratio) small() bool {
	const limit = 1 << 31
	return -limit < r.num && r.num < limit && r.less < limit-1
}

// Add is r + o.
func (r Ratio) Add(o Ratio) Ratio {
	if r.small() && o.small() {
		return reduced(r.num*o.Den()+o.num*r.Den(), r.Den()*o.Den())
	}
	return fromRat(new(big.Rat).Add(r.rat(), o.rat()))
}

// Sub is r - o.
func (r Ratio) Sub(o Ratio) Ratio { return r.Add(o.Neg()) }

// Mul is r * o.
func (r Ratio) Mul(o Ratio) Ratio {
	if r.small() && o.small() {
		return reduced(r.num*o.num, r.Den()*o.Den())
	}
	return fromRat(new(big.Rat).Mul(r.rat(), o.rat()))
}

// Div is r / o. Division by zero saturates, like any result that is too large:
// the largest ratio of r's sign, or 0 where r is 0 too.
func (r Ratio) Div(o Ratio) Ratio {
	switch {
	case o.num == 0:
		return Ratio{num: int64(r.Sign()) * math.MaxInt64}
	case o.num < 0:
		return r.Neg().Mul(Ratio{o.Den(), -o.num - 1})
	}
	return r.Mul(Ratio{o.Den(), o.num - 1})
}

// Neg is -r.
func (r Ratio) Neg() Ratio { return Ratio{-r.num, r.less} }

// Cmp is -1, 0 or 1 where r is less than, equal to or more than o.
func (r Ratio) Cmp(o Ratio) int {
	if a, b := r.Sign(), o.Sign(); a != b || a == 0 {
		return sign(int64(a - b))
	}
	_, a := split(r.num)
	_, b := split(o.num)
	ah, al := bits.Mul64(a, uint64(o.Den()))
	bh, bl := bits.Mul64(b, uint64(r.Den()))
	c := 0
	switch {
	case ah > bh || ah == bh && al > bl:
		c = 1
	case ah != bh || al != bl:
		c = -1
	}
	return c * r.Sign()
}

// Sign is -1, 0 or 1.
func (r Ratio) Sign() int { return sign(r.num) }

func sign(v int64) int {
	switch {
	case v < 0:
		return -1
	case v > 0:
		return 1
	}
	return 0
}

// IsInt reports whether r is a whole number.
func (r Ratio) IsInt() bool { return r.less == 0 }

// RoundHalfUp is the nearest whole number; halves go up, towards +infinity.
func (r Ratio) RoundHalfUp() int64 {
	d := r.Den()
	q, rem := r.num/d, r.num%d
	if rem < 0 {
		q, rem = q-1, rem+d
	}
	if rem >= d-rem {
		q++
	}
	return q
}

// Float64 is the nearest float64.
func (r Ratio) Float64() float64 {
	const exact = 1 << 53
	if -exact <= r.num && r.num <= exact && r.less < exact {
		return float64(r.num) / float64(r.Den())
	}
	f, _ := r.rat().Float64()
	return f
}

// String is r as a decimal where it terminates within 18 decimals ("57.5"), and
// as a fraction where it does not ("1/3").
func (r Ratio) String() string {
	d, twos, fives := uint64(r.Den()), 0, 0
	twos = bits.TrailingZeros64(d)
	d >>= twos
	for d%5 == 0 {
		d /= 5
		fives++
	}
	places := max(twos, fives)
	if d != 1 || places > ratioPlaces {
		return r.fraction()
	}
	neg, n := split(r.num)
	hi, lo := bits.Mul64(n, pow10(places)/uint64(r.Den()))
	whole, part := bits.Div64(hi, lo, pow10(places)) // n/den fits in 64 bits
	var b [48]byte
	out := b[:0]
	if neg {
		out = append(out, '-')
	}
	out = strconv.AppendUint(out, whole, 10)
	if part != 0 {
		out = append(out, '.')
		for p := pow10(places - 1); part != 0; p /= 10 {
			out = append(out, byte('0'+part/p))
			part %= p
		}
	}
	return string(out)
}

// fraction is r as "1/3".
func (r Ratio) fraction() string {
	return strconv.FormatInt(r.num, 10) + "/" + strconv.FormatInt(r.Den(), 10)
}

func (r Ratio) rat() *big.Rat { return big.NewRat(r.num, r.Den()) }

// fromRat is x, or the closest of its continued fraction's convergents that
// fits, or the largest ratio of its sign.
func fromRat(x *big.Rat) Ratio {
	if x.Num().IsInt64() && x.Denom().IsInt64() && x.Num().Int64() != math.MinInt64 {
		return Ratio{x.Num().Int64(), x.Denom().Int64() - 1}
	}
	neg := x.Sign() < 0
	n, d := new(big.Int).Abs(x.Num()), new(big.Int).Set(x.Denom())
	// Convergents h/k of n/d by the usual recurrence.
	h0, k0 := big.NewInt(0), big.NewInt(1)
	h1, k1 := big.NewInt(1), big.NewInt(0)
	q, rem := new(big.Int), new(big.Int)
	for d.Sign() != 0 {
		q.QuoRem(n, d, rem)
		h2 := new(big.Int).Mul(q, h1)
		h2.Add(h2, h0)
		k2 := new(big.Int).Mul(q, k1)
		k2.Add(k2, k0)
		if !h2.IsInt64() || !k2.IsInt64() {
			break
		}
		h0, k0, h1, k1 = h1, k1, h2, k2
		n, d = d, new(big.Int).Set(rem)
	}
	out := Ratio{num: math.MaxInt64}
	if k1.Sign() != 0 {
		out = Ratio{h1.Int64(), k1.Int64() - 1}
	}
	if neg {
		out.num = -out.num
	}
	return out
}
