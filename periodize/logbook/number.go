package logbook

import (
	"bytes"
	"encoding/binary"
	"math/bits"
	"strconv"
	"time"
)

// powers are exact in float64.
var powers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18}

// fixed reads a plain decimal number from b[i:], digits with one decimal sign between them. The number
// is mant / 10^dec, and dividing rounds correctly because both are exact in float64. end is the place of
// what follows, negative for what is no such number or has more than 15 digits. b must end with something else than a digit.
func fixed(b []byte, i int, point byte) (mant int64, dec, end int) {
	start := i
	for {
		c := b[i] - '0'
		if c > 9 {
			break
		}
		mant = mant*10 + int64(c)
		i++
	}
	n := i - start
	if n == 0 || n > 15 {
		return 0, 0, -1
	}
	if b[i] == point {
		i++
		from := i
		for {
			c := b[i] - '0'
			if c > 9 {
				break
			}
			mant = mant*10 + int64(c)
			i++
		}
		dec = i - from
		if dec == 0 || n+dec > 15 {
			return 0, 0, -1
		}
	}
	return mant, dec, i
}

// decimal reads a plain decimal number that makes up the whole of b, with any
// number of digits. A comma is its decimal sign where comma says so.
func decimal(b []byte, comma bool) (v float64, usedComma, ok bool) {
	point := -1
	for i, c := range b {
		switch {
		case c >= '0' && c <= '9':
		case (c == '.' || c == ',' && comma) && point < 0 && i > 0 && i < len(b)-1:
			point = i
		default:
			return 0, false, false
		}
	}
	if len(b) == 0 || len(b) > 400 {
		return 0, false, false
	}
	usedComma = point >= 0 && b[point] == ','
	p := byte('.')
	if usedComma {
		p = ','
	}
	if len(b) <= 16 {
		var end [17]byte
		copy(end[:], b)
		if m, dec, j := fixed(end[:], 0, p); j == len(b) {
			return float64(m) / powers[dec], usedComma, true
		}
	}
	if usedComma {
		b = bytes.Replace(b, []byte{','}, []byte{'.'}, 1)
	}
	v, err := strconv.ParseFloat(string(b), 64)
	return v, usedComma, err == nil
}

// Days are counted from 1970-01-01. The years that a log may have.
const (
	firstYear = 1900
	lastYear  = 2199
)

var monthDays = [13]int32{0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// monthStart is the place of a month's first day in days from
// 1970-01-01, less one.
func monthStart(y, m int32) int32 {
	// Days from the civil calendar, with the year beginning in March so that the
	// leap day comes last.
	if m <= 2 {
		y--
		m += 12
	}
	era := y / 400
	yoe := y - era*400
	doy := (153*(m-3) + 2) / 5
	return era*146097 + yoe*365 + yoe/4 - yoe/100 + doy - 719468 - 1
}

// day reads a date, 2027-09-06.
func day(b []byte) (int32, bool) {
	if len(b) != 10 || b[4] != '-' || b[7] != '-' {
		return 0, false
	}
	y, ok1 := digits(b[0:4])
	m, ok2 := digits(b[5:7])
	d, ok3 := digits(b[8:10])
	if !ok1 || !ok2 || !ok3 || y < firstYear || y > lastYear || m < 1 || m > 12 || d < 1 {
		return 0, false
	}
	if d > monthDays[m] && !(m == 2 && d == 29 && (y%4 == 0 && y%100 != 0 || y%400 == 0)) {
		return 0, false
	}
	return monthStart(y, m) + d, true
}

func digits(b []byte) (v int32, ok bool) {
	for _, c := range b {
		c -= '0'
		if c > 9 {
			return 0, false
		}
		v = v*10 + int32(c)
	}
	return v, true
}

// DateOf is the date of a day number, at midnight UTC.
func DateOf(day int) time.Time { return time.Unix(int64(day)*86400, 0).UTC() }

// DayOf is the day number of a date, counted from 1970-01-01; the time of the day
// is ignored.
func DayOf(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

const ones = 0x0101010101010101

// delimiter is the place of the first c in b[i:e], or e. b must go on for 8
// bytes behind e.
func delimiter(b []byte, i, e int, c byte) int {
	pat := ones * uint64(c)
	for i < e {
		x := binary.LittleEndian.Uint64(b[i:]) ^ pat
		if t := (x - ones) & ^x & (0x80 * ones); t != 0 {
			return min(i+trailing(t), e)
		}
		i += 8
	}
	return e
}

// textEnd is the place of the first delimiter or line end from i on; negative where there is a quote before it.
// b must have a line end, and go on for 8 bytes behind it.
func textEnd(b []byte, i int, delim byte) int {
	d := ones * uint64(delim)
	for {
		x := binary.LittleEndian.Uint64(b[i:])
		y := x ^ d
		t := (y - ones) & ^y & (0x80 * ones)
		y = x ^ ones*'\n'
		t |= (y - ones) & ^y & (0x80 * ones)
		y = x ^ ones*'"'
		t |= (y - ones) & ^y & (0x80 * ones)
		if t != 0 {
			i += trailing(t)
			if b[i] == '"' {
				return -1
			}
			return i
		}
		i += 8
	}
}

// trailing is which byte the lowest set bit is in.
func trailing(t uint64) int { return bits.TrailingZeros64(t) >> 3 }
