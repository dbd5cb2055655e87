package logbook

import (
	"encoding/binary"
	"slices"
)

// plain is fast for what the rows of most large logs are: date, lifter and lift, then a load, repetitions, perhaps a reserve, and
// texts that nobody asked for. Numbers are read without a jump for each digit, which a processor guesses wrong about as often
// as lifters change their loads. It returns 0 for any other row, and fast then has the answer.
func (p *parser) plain(b *block, padded []byte, from int, line int32) int {
	i := p.begin(padded, from)
	if i == 0 {
		return 0
	}
	mant, dec, i := brief(padded, i)
	delim := p.lay.delim
	if i == 0 || padded[i] != delim {
		return 0
	}
	i++
	reps := int16(padded[i] - '0')
	if reps > 9 {
		return 0
	}
	i++
	if d := padded[i] - '0'; d <= 9 {
		reps = 10*reps + int16(d)
		i++
	}
	rir := -1.0
	for k := range p.lay.rest {
		if padded[i] != delim {
			return 0
		}
		i++
		switch next := padded[i]; {
		case next == '\n' || next == delim:
		case k == 0:
			if next -= '0'; next > 9 {
				return 0
			}
			rir = float64(next)
			i++
		default:
			j := textEnd(padded, i, delim)
			if j < 0 || padded[j-1] == '\r' {
				return 0
			}
			i = j
		}
	}
	load := float64(mant) / powers[dec]
	if padded[i] != '\n' || load > mostLoad || i-from >= p.opt.maxRecord || i > len(padded)-padding {
		return 0
	}
	n := len(b.sets)
	if n == cap(b.sets) {
		b.sets = slices.Grow(b.sets, max(n, 1024))
	}
	b.sets = b.sets[:n+1]
	s := &b.sets[n] // filled in place: a whole Set would be copied in pieces that do not fit those it was written in
	s.Load, s.RIR = load, rir
	s.Day, s.Lifter, s.Lift, s.Line = p.start.day, p.start.lifter, p.start.lift, line
	s.Reps, s.Count, s.Tested, s.named = reps, 1, false, false
	return min(i+1, len(padded)-padding)
}

// begin reads the first three columns of the row that starts at i into p.start, and returns the place behind them; 0 where
// they are unusual.
func (p *parser) begin(padded []byte, i int) int {
	from := i
	if i += len(p.start.text); i > from && i+padding <= len(padded) && string(padded[from:i]) == string(p.start.text) {
		return i
	}
	i = from
	var now start
	for _, c := range p.lay.cols[:3] {
		var ok bool
		switch c {
		case colDate:
			now.day, ok = p.dayAt(padded, i)
			i += 10
		case colLifter:
			now.lifter, i, ok = p.lifters.at(padded, i, p.lay.delim)
		default:
			now.lift, i, ok = p.lifts.at(padded, i, p.lay.delim)
		}
		if !ok || padded[i] != p.lay.delim {
			return 0
		}
		i++
	}
	now.text = append(p.start.text[:0], padded[from:i]...)
	p.start = now
	return i
}

// brief reads a plain decimal number of at most seven characters from b[i:], mant / 10^dec, and returns the place of what follows;
// 0 where there is none. b must go on for 8 bytes.
func brief(b []byte, i int) (mant uint64, dec, end int) {
	const low, high = ones * 0x7f, ones * 0x80
	w := binary.LittleEndian.Uint64(b[i:]) ^ ones*'0' // digits are 0 to 9 now
	others := (w&low + ones*(0x80-10) | w) & high     // a bit for each byte that is none
	if others == 0 {
		return 0, 0, 0
	}
	whole := trailing(others)
	point := 0
	if byte(w>>(8*whole)) == '.'^'0' {
		point = 1
	}
	others &= others - uint64(point)
	n := trailing(others)
	dec = (n - whole - 1) * point
	if whole == 0 || n > 7 || dec == 0 && point > 0 {
		return 0, 0, 0
	}
	// The number's last digit goes into the highest byte, zeros before its first, and the digits before the point move over it.
	w <<= 8 * (8 - n)
	before := uint64(1)<<(8*(8-n+whole)*point) - 1
	w = w&^(before<<8|0xff) | w&before<<8
	// Neighbours are added up, to pairs of digits, and the pairs with what each is worth; the sum is in the upper half.
	w = w*10 + w>>8
	const pair = 0xff<<32 | 0xff
	w = (w&pair*(1e6<<32+100) + w>>16&pair*(1e4<<32+1)) >> 32
	return w, dec, i + n
}
