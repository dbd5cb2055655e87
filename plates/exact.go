package plates

import (
	"cmp"
	"math"
	"math/big"
	"math/bits"
)

// Exact is a mass that need not be a whole number of counts: a percentage of a
// maximum before it is rounded to what can be loaded. Equal masses are equal
// values (==); the zero value is 0.
//
// Sums and products are exact while the denominator stays under 2^63, which
// percentages of at most nine digits of a mass do. Beyond that the fraction of a
// count is cut to 62 bits, the last bit set to say that something was cut off:
// comparing with a mass, or with the midpoint of two, is still exact, so that
// the rounding is right. Values beyond 9.2e8 kg saturate.
type Exact struct {
	whole    int64  // counts of 1e-10 kg, rounded down
	num, den uint64 // the rest in lowest terms, 0 <= num < den; 0, 0 for none
}

// ExactOf is m as it is.
func ExactOf(m Mass) Exact { return Exact{whole: int64(m)} }

// Times is m * r.
func (m Mass) Times(r Ratio) Exact { return ExactOf(m).scale(r.num, uint64(r.Den())) }

// Percent is r per cent of m, m * r / 100.
func (m Mass) Percent(r Ratio) Exact {
	const den = math.MaxInt64 / 100
	if r.Den() <= den {
		return ExactOf(m).scale(r.num, uint64(r.Den())*100)
	}
	return ExactOf(m).Scale(r).scale(1, 100)
}

// Scale is x * r.
func (x Exact) Scale(r Ratio) Exact { return x.scale(r.num, uint64(r.Den())) }

// scale is x * n / d.
func (x Exact) scale(n int64, d uint64) Exact {
	if x.num != 0 {
		y := new(big.Rat).Mul(x.rat(), new(big.Rat).SetFrac(big.NewInt(n), new(big.Int).SetUint64(d)))
		return fromBig(y)
	}
	negA, a := split(x.whole)
	negB, b := split(n)
	hi, lo := bits.Mul64(a, b)
	if hi >= d {
		return saturated(negA != negB)
	}
	q, r := bits.Div64(hi, lo, d)
	if q > math.MaxInt64 {
		return saturated(negA != negB)
	}
	y := Exact{whole: int64(q)}
	if r != 0 {
		g := gcd(d, r)
		y.num, y.den = r/g, d/g
	}
	if negA != negB {
		return y.Neg()
	}
	return y
}

// Add is x + m.
func (x Exact) Add(m Mass) Exact {
	s := x.whole + int64(m)
	if (m > 0) != (s > x.whole) && m != 0 { // overflow
		return saturated(m < 0)
	}
	x.whole = s
	return x
}

// Neg is -x.
func (x Exact) Neg() Exact {
	if x.whole == math.MinInt64 {
		return saturated(false)
	}
	if x.num == 0 {
		return Exact{whole: -x.whole}
	}
	return Exact{-x.whole - 1, x.den - x.num, x.den}
}

// Cmp is -1, 0 or 1 where x is less than, equal to or more than m.
func (x Exact) Cmp(m Mass) int {
	switch {
	case x.whole < int64(m):
		return -1
	case x.whole > int64(m) || x.num != 0:
		return 1
	}
	return 0
}

// cmpMid compares x with the midpoint of two masses whose sum fits in 64 bits.
func (x Exact) cmpMid(a, b Mass) int {
	sum := int64(a) + int64(b)
	half, odd := sum>>1, sum&1 // the midpoint is half + odd/2
	if x.whole != half {
		return cmp.Compare(x.whole, half)
	}
	if odd == 0 {
		return sign(int64(x.num))
	}
	switch rest := x.den - x.num; { // the fraction against a half
	case x.num == 0 || x.num < rest:
		return -1
	case x.num > rest:
		return 1
	}
	return 0
}

// Sign is -1, 0 or 1.
func (x Exact) Sign() int { return x.Cmp(0) }

// In is x in unit u as a float64, within two units in the last place.
func (x Exact) In(u Unit) float64 {
	if x.whole < 0 && x.num != 0 { // the fraction counts upwards: -0.01 is -1 + 0.99
		return -x.Neg().In(u)
	}
	f := float64(x.whole)
	if x.num != 0 {
		f += float64(x.num) / float64(x.den)
	}
	return f / float64(u.One())
}

// RoundTo is the multiple of step that stands for x: how says which. Nearest
// takes the lower one where two are equally near, NearestUp the higher one. A
// step of 0 or less is taken as one count. Multiples beyond 9.2e8 kg are not
// reached: the last one inside stands for them.
func (x Exact) RoundTo(step Mass, how Rounding) Mass {
	s := max(int64(step), 1)
	below := x.whole / s * s
	if below > x.whole { // division truncates: negative values
		if below < math.MinInt64+s {
			return Mass(below)
		}
		below -= s
	}
	if below == x.whole && x.num == 0 || below > math.MaxInt64-s {
		return Mass(below)
	}
	above := below + s
	// The distance to the lower multiple against the one to the upper, in
	// whole counts and the fraction beyond.
	switch lo, hi := x.whole-below, above-x.whole; {
	case how == Down:
		return Mass(below)
	case how == Up:
		return Mass(above)
	case lo > hi, lo == hi && x.num != 0, lo == hi && how == NearestUp:
		return Mass(above)
	case lo == hi-1 && x.num != 0: // the half lies inside this count
		rest := x.den - x.num
		if x.num > rest || x.num == rest && how == NearestUp {
			return Mass(above)
		}
	}
	return Mass(below)
}

func saturated(negative bool) Exact {
	if negative {
		return Exact{whole: -math.MaxInt64}
	}
	return Exact{whole: math.MaxInt64}
}

func (x Exact) rat() *big.Rat {
	y := new(big.Rat).SetInt64(x.whole)
	if x.num != 0 {
		y.Add(y, new(big.Rat).SetFrac(new(big.Int).SetUint64(x.num), new(big.Int).SetUint64(x.den)))
	}
	return y
}

// fractionBits is how much of a fraction is kept where its denominator does not
// fit.
const fractionBits = 62

func fromBig(y *big.Rat) Exact {
	whole, rem := new(big.Int).DivMod(y.Num(), y.Denom(), new(big.Int)) // Euclidean: rem >= 0
	if !whole.IsInt64() || whole.Int64() == math.MinInt64 {
		return saturated(y.Sign() < 0)
	}
	x := Exact{whole: whole.Int64()}
	switch {
	case rem.Sign() == 0:
	case y.Denom().IsInt64():
		x.num, x.den = rem.Uint64(), y.Denom().Uint64()
	default:
		rem.Lsh(rem, fractionBits)
		q := rem.Quo(rem, y.Denom()).Uint64() | 1 // odd: in lowest terms, and never 0 or a half
		x.num, x.den = q, 1<<fractionBits
	}
	return x
}
