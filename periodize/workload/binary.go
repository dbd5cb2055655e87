package workload

import (
	"encoding/binary"
	"math"

	"github.com/blockwright/blockwright/internal/num"
)

// The binary form of an accumulator is a byte for its type, a byte for the
// version of the form, and its fields in order: counts as unsigned varints,
// floats as eight bytes, little-endian, names with their length before them.
// Sums keep their compensation, so that a value that was marshalled goes on
// exactly as it would have.

const formVersion = 1

const (
	tagVolume = 'V'
	tagTally  = 'T'
	tagZones  = 'Z'
	tagINOL   = 'I'
	tagTotals = 'S'
	tagDiary  = 'D'
)

// maxDecoded bounds decoded counts, so that merging any realistic number of
// decoded values cannot overflow.
const maxDecoded = 1 << 50

func appendFloat(b []byte, x float64) []byte {
	return binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
}

func appendSum(b []byte, s num.Sum) []byte {
	x, c := s.Parts()
	return appendFloat(appendFloat(b, x), c)
}

func appendBool(b []byte, x bool) []byte {
	if x {
		return append(b, 1)
	}
	return append(b, 0)
}

func appendCount(b []byte, n int64) []byte { return binary.AppendUvarint(b, uint64(n)) }

func appendString(b []byte, s string) []byte {
	return append(binary.AppendUvarint(b, uint64(len(s))), s...)
}

// decoder takes fields off a slice. After the first failure everything is zero
// and why says what went wrong.
type decoder struct {
	b   []byte
	why string
}

func (d *decoder) fail(why string) {
	if d.why == "" {
		d.why = why
	}
	d.b = nil
}

func (d *decoder) head(tag byte) {
	if len(d.b) < 2 || d.b[0] != tag || d.b[1] != formVersion {
		d.fail("does not start as the binary form of one, version 1")
		return
	}
	d.b = d.b[2:]
}

func (d *decoder) byte() byte {
	if len(d.b) == 0 {
		d.fail("ends too early")
		return 0
	}
	x := d.b[0]
	d.b = d.b[1:]
	return x
}

func (d *decoder) bool() bool {
	x := d.byte()
	if x > 1 {
		d.fail("has a flag that is neither 0 nor 1")
	}
	return x == 1
}

func (d *decoder) float() float64 {
	if len(d.b) < 8 {
		d.fail("ends too early")
		return 0
	}
	x := math.Float64frombits(binary.LittleEndian.Uint64(d.b))
	d.b = d.b[8:]
	return x
}

func (d *decoder) sum() num.Sum { return num.FromParts(d.float(), d.float()) }

func (d *decoder) count() int64 {
	x, n := binary.Uvarint(d.b)
	if n <= 0 {
		d.fail("has a broken or missing count")
		return 0
	}
	d.b = d.b[n:]
	if x > maxDecoded {
		d.fail("has a count over 2^50")
		return 0
	}
	return int64(x)
}

// length is the number of items to come, of at least size bytes each, so that
// a small forged input cannot ask for much memory.
func (d *decoder) length(size int) int {
	n := d.count()
	if n > int64(len(d.b)/size) {
		d.fail("ends too early")
		return 0
	}
	return int(n)
}

func (d *decoder) string() string {
	n := d.length(1)
	s := string(d.b[:n])
	d.b = d.b[n:]
	return s
}

func (d *decoder) int() int {
	x, n := binary.Varint(d.b)
	if n <= 0 || int64(int(x)) != x {
		d.fail("has a broken or missing number")
		return 0
	}
	d.b = d.b[n:]
	return int(x)
}

// end gives the error of a type whose decoding is over, its own check included.
func (d *decoder) end(name string, check func() string) error {
	if d.why == "" && len(d.b) > 0 {
		d.fail("has bytes after its end")
	}
	if d.why == "" {
		d.why = check()
	}
	if d.why != "" {
		return &DecodeError{Type: name, Why: d.why}
	}
	return nil
}

// MarshalBinary is the binary form. It has no errors.
func (v Volume) MarshalBinary() ([]byte, error) { return v.AppendBinary(nil) }

// AppendBinary appends the binary form. It has no errors.
func (v Volume) AppendBinary(b []byte) ([]byte, error) {
	return v.append(append(b, tagVolume, formVersion)), nil
}

func (v Volume) append(b []byte) []byte {
	b = appendBool(b, v.rule.IncludeWarmups)
	b = appendFloat(b, v.rule.Below)
	b = appendBool(b, v.rule.HardOnly)
	b = appendFloat(b, v.rule.HardReserve)
	for _, n := range [...]int64{v.sets, v.lifts, v.ratedLifts, v.excluded} {
		b = appendCount(b, n)
	}
	return appendSum(appendSum(b, v.tonnage), v.relative)
}

func (d *decoder) volume() (v Volume) {
	v.rule = Rule{d.bool(), d.float(), d.bool(), d.float()}
	v.sets, v.lifts, v.ratedLifts, v.excluded = d.count(), d.count(), d.count(), d.count()
	v.tonnage, v.relative = d.sum(), d.sum()
	return v
}

// UnmarshalBinary reads what MarshalBinary wrote; a *DecodeError leaves v as it was.
func (v *Volume) UnmarshalBinary(b []byte) error {
	d := decoder{b: b}
	d.head(tagVolume)
	x := d.volume()
	if err := d.end("volume", x.check); err != nil {
		return err
	}
	*v = x
	return nil
}

// MarshalBinary is the binary form. It has no errors.
func (t Tally) MarshalBinary() ([]byte, error) { return t.AppendBinary(nil) }

// AppendBinary appends the binary form. It has no errors.
func (t Tally) AppendBinary(b []byte) ([]byte, error) {
	return t.append(append(b, tagTally, formVersion)), nil
}

func (t Tally) append(b []byte) []byte {
	b = appendCount(b, int64(len(t.entries)))
	for _, e := range t.entries {
		b = appendSum(appendString(b, e.key), e.sum)
	}
	return b
}

func (d *decoder) tally() (t Tally) {
	if n := d.length(17); n > 0 {
		t.entries = make([]entry, n)
		for i := range t.entries {
			t.entries[i] = entry{d.string(), d.sum()}
		}
	}
	return t
}

// UnmarshalBinary reads what MarshalBinary wrote; a *DecodeError leaves t as it was.
func (t *Tally) UnmarshalBinary(b []byte) error {
	d := decoder{b: b}
	d.head(tagTally)
	x := d.tally()
	if err := d.end("tally", x.check); err != nil {
		return err
	}
	*t = x
	return nil
}

// MarshalBinary is the binary form. It has no errors.
func (z Zones) MarshalBinary() ([]byte, error) { return z.AppendBinary(nil) }

// AppendBinary appends the binary form. It has no errors.
func (z Zones) AppendBinary(b []byte) ([]byte, error) {
	return z.append(append(b, tagZones, formVersion)), nil
}

func (z Zones) append(b []byte) []byte {
	z.init()
	b = appendCount(b, int64(len(z.edges)))
	for _, e := range z.edges {
		b = appendFloat(b, e)
	}
	for _, c := range z.counts {
		b = appendCount(appendCount(b, c.Sets), c.Lifts)
	}
	return appendCount(appendCount(b, z.unrated.Sets), z.unrated.Lifts)
}

func (d *decoder) zones() Zones {
	n := d.length(10)
	z := Zones{edges: make([]float64, n), counts: make([]ZoneCount, n+1)}
	for i := range z.edges {
		z.edges[i] = d.float()
	}
	for i := range z.counts {
		z.counts[i] = ZoneCount{d.count(), d.count()}
	}
	z.unrated = ZoneCount{d.count(), d.count()}
	return z
}

// UnmarshalBinary reads what MarshalBinary wrote; a *DecodeError leaves z as it was.
func (z *Zones) UnmarshalBinary(b []byte) error {
	d := decoder{b: b}
	d.head(tagZones)
	x := d.zones()
	if err := d.end("zones", x.check); err != nil {
		return err
	}
	*z = x
	return nil
}

// MarshalBinary is the binary form. It has no errors.
func (n INOL) MarshalBinary() ([]byte, error) { return n.AppendBinary(nil) }

// AppendBinary appends the binary form. It has no errors.
func (n INOL) AppendBinary(b []byte) ([]byte, error) {
	return n.append(append(b, tagINOL, formVersion)), nil
}

func (n INOL) append(b []byte) []byte { return appendCount(appendSum(b, n.sum), n.atMaximum) }

func (d *decoder) inol() INOL { return INOL{d.sum(), d.count()} }

// UnmarshalBinary reads what MarshalBinary wrote; a *DecodeError leaves n as it was.
func (n *INOL) UnmarshalBinary(b []byte) error {
	d := decoder{b: b}
	d.head(tagINOL)
	x := d.inol()
	if err := d.end("INOL", x.check); err != nil {
		return err
	}
	*n = x
	return nil
}

// MarshalBinary is the binary form. It has no errors.
func (t Totals) MarshalBinary() ([]byte, error) { return t.AppendBinary(nil) }

// AppendBinary appends the binary form. It has no errors.
func (t Totals) AppendBinary(b []byte) ([]byte, error) {
	b = t.Volume.append(append(b, tagTotals, formVersion))
	return t.INOL.append(t.Zones.append(t.Patterns.append(t.Muscles.append(b)))), nil
}

// UnmarshalBinary reads what MarshalBinary wrote; a *DecodeError leaves t as it was.
func (t *Totals) UnmarshalBinary(b []byte) error {
	d := decoder{b: b}
	d.head(tagTotals)
	x := Totals{Volume: d.volume(), Muscles: d.tally(), Patterns: d.tally(), Zones: d.zones(), INOL: d.inol()}
	if err := d.end("totals", x.check); err != nil {
		return err
	}
	*t = x
	return nil
}

// MarshalBinary is the binary form. It has no errors.
func (d Diary) MarshalBinary() ([]byte, error) { return d.AppendBinary(nil) }

// AppendBinary appends the binary form. It has no errors.
func (d Diary) AppendBinary(b []byte) ([]byte, error) {
	b = appendCount(append(b, tagDiary, formVersion), int64(len(d.days)))
	for _, e := range d.days {
		b = appendSum(binary.AppendVarint(b, int64(e.day)), e.sum)
	}
	return b, nil
}

// UnmarshalBinary reads what MarshalBinary wrote; a *DecodeError leaves d as it was.
func (d *Diary) UnmarshalBinary(b []byte) error {
	dec := decoder{b: b}
	dec.head(tagDiary)
	var x Diary
	if n := dec.length(17); n > 0 {
		x.days = make([]daySum, n)
		for i := range x.days {
			x.days[i] = daySum{dec.int(), dec.sum()}
		}
	}
	if err := dec.end("diary", x.check); err != nil {
		return err
	}
	*d = x
	return nil
}

// What follows says what is wrong with a decoded value; "" for nothing.

func soundSum(s num.Sum) bool { x, c := s.Parts(); return sound(x, c) }

const badSum = "has a sum that is no usable number"

func (v Volume) check() string {
	switch {
	case v.rule.validate() != nil:
		return "has a rule that nothing could be counted by"
	case !soundSum(v.tonnage) || !soundSum(v.relative):
		return badSum
	case v.sets < 0 || v.lifts < 0 || v.ratedLifts < 0 || v.excluded < 0,
		v.sets > maxDecoded || v.lifts > maxDecoded || v.excluded > maxDecoded:
		return "has a count outside 0 to 2^50"
	case v.ratedLifts > v.lifts:
		return "has more lifts with a maximum than lifts"
	}
	return ""
}

func (t Tally) check() string {
	for i, e := range t.entries {
		switch {
		case !name(e.key):
			return "has an entry without a name in UTF-8"
		case i > 0 && e.key <= t.entries[i-1].key:
			return "has names out of order or twice"
		case !soundSum(e.sum):
			return badSum
		}
	}
	return ""
}

func (z Zones) check() string {
	if _, err := NewZones(z.edges...); err != nil {
		return "has edges that are not increasing fractions"
	}
	if len(z.counts) != len(z.edges)+1 {
		return "does not have one zone more than edges"
	}
	for _, c := range append([]ZoneCount{z.unrated}, z.counts...) {
		if c.Sets < 0 || c.Lifts < 0 || c.Sets > maxDecoded || c.Lifts > maxDecoded {
			return "has a count outside 0 to 2^50"
		}
	}
	return ""
}

func (n INOL) check() string {
	switch {
	case !soundSum(n.sum):
		return badSum
	case n.atMaximum < 0 || n.atMaximum > maxDecoded:
		return "has a count outside 0 to 2^50"
	}
	return ""
}

func (t Totals) check() string {
	for _, why := range [...]string{t.Volume.check(), t.Muscles.check(), t.Patterns.check(), t.Zones.check(), t.INOL.check()} {
		if why != "" {
			return why
		}
	}
	return ""
}

func (d Diary) check() string {
	for i, e := range d.days {
		switch {
		case i > 0 && e.day <= d.days[i-1].day:
			return "has days out of order or twice"
		case !soundSum(e.sum):
			return badSum
		}
	}
	return ""
}
