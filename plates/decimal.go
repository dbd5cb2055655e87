package plates

import "math/bits"

// decimal is a plain decimal number: digits / 10^places.
type decimal struct {
	negative bool
	digits   uint64
	places   int  // decimals, trailing zeros left out
	wide     bool // more digits than 64 bits hold; digits is meaningless then
}

// scanDecimal reads [-]digits[.digits] and nothing else: strconv.ParseFloat
// would take exponents, NaN, hexadecimal and underscores.
func scanDecimal(s string) (d decimal, ok bool) {
	if len(s) > 0 && s[0] == '-' {
		d.negative, s = true, s[1:]
	}
	point, seen := false, false
	zeros := 0 // zeros after the point that count only if a digit follows
	for i := range len(s) {
		c := s[i]
		switch {
		case c == '.' && !point && seen && i+1 < len(s):
			point = true
		case c == '0' && point:
			zeros++
		case '0' <= c && c <= '9':
			seen = true
			for ; zeros >= 0; zeros-- {
				digit := uint64(0)
				if zeros == 0 {
					digit = uint64(c - '0')
				}
				if point {
					d.places++
				}
				hi, lo := bits.Mul64(d.digits, 10)
				sum, carry := bits.Add64(lo, digit, 0)
				if hi != 0 || carry != 0 {
					d.wide = true
				}
				d.digits = sum
			}
			zeros = 0
		default:
			return decimal{}, false
		}
	}
	return d, seen
}

// pow10 is 10^n for 0 <= n <= 19.
func pow10(n int) uint64 {
	p := uint64(1)
	for range n {
		p *= 10
	}
	return p
}

// split is the sign and the size of v.
func split(v int64) (negative bool, size uint64) {
	if v < 0 {
		return true, -uint64(v)
	}
	return false, uint64(v)
}

func gcd(a, b uint64) uint64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
