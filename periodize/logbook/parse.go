package logbook

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/plates"
)

// What a row may hold. Beyond these a number is a slip of the pen, and refused.
const (
	mostLoad     = 5000 // kg, as everywhere in the module
	mostReps     = 500
	mostCount    = 200
	mostRIR      = 50
	mostWeek     = 99
	mostSet      = 999
	mostMinutes  = 24 * 60
	mostVelocity = 5   // m/s
	leastBody    = 10  // kg
	mostBody     = 500 // kg
)

// Set is one row of a log as the fast interface gives it: see [Batch].
type Set struct {
	Load   float64 // in the reader's unit
	RIR    float64 // repetitions left; negative where not reported
	Day    int32   // from 1970-01-01, see [DateOf]
	Lifter int32   // number of the name, see [Batch.Lifter]
	Lift   int32   // number of the name, see [Batch.Lift]
	Line   int32   // of the file, from 1
	Reps   int16   // 0 for a missed attempt
	Count  int16   // equal sets that the row stands for, 1 or more
	Tested bool    // a deliberate maximum attempt

	named bool // the row names its unit
}

// Reported says whether the row reports a reserve.
func (s *Set) Reported() bool { return s.RIR >= 0 }

// extra is what [Row] has beyond a Set.
type extra struct {
	written         float64
	unit            plates.Unit
	week, set       int16
	minutes, effort float64 // negative where not given
	body, velocity  float64 // 0 where not given
	session, note   string
}

// parser turns blocks into sets. It is used by one goroutine.
type parser struct {
	opt            *resolved
	lay            *layout
	split          splitter
	lifters, lifts lastName // numbered by this parser, not by the reader
	fields         []field
	date           [10]byte // of the row before
	day            int32
	start          start

	commas bool // a decimal comma was read
	slow   bool // tests: every row takes the slow way
}

// start is how the last row began that had another date, lifter or lift than the one before, where these three come
// first. Most rows of a log begin as the row before.
type start struct {
	text              []byte // with the delimiter behind the three; empty for none
	day, lifter, lift int32
}

func newParser(opt *resolved) *parser {
	return &parser{opt: opt, lifters: lastName{names: newNames()}, lifts: lastName{names: newNames()}, slow: opt.slow}
}

// use makes the parser read a file of that layout.
func (p *parser) use(l *layout) {
	if p.lay == l {
		return
	}
	p.lay = l
	p.start.text = p.start.text[:0]
	p.split = splitter{delim: l.delim, limit: p.opt.maxRecord, row: p.readsAsRow}
}

// parse reads a block.
func (p *parser) parse(b *block) {
	p.use(b.lay)
	data := b.data
	// The fast way loads eight bytes at a time, and counts on a line end.
	padded := data[:len(data)+padding]
	padded[len(data)] = '\n'
	line := int32(0)
	plain := p.lay.rest >= 0 && !b.details && !b.singles
	for i := 0; i < len(data); {
		if !p.slow {
			next := 0
			if plain {
				next = p.plain(b, padded, i, line)
			}
			if next == 0 {
				next = p.fast(b, padded, i, line)
			}
			if next > 0 {
				i = next
				line++
				continue
			}
		}
		e, next := len(data), len(data)
		if n := bytes.IndexByte(data[i:], '\n'); n >= 0 {
			e, next = i+n, i+n+1
		}
		if e > i && data[e-1] == '\r' {
			e--
		}
		if e == i {
			b.blank++
			line++
			i = next
			continue
		}
		kind := recordWhole
		if bytes.IndexByte(data[i:e], '"') >= 0 {
			next, kind = p.split.record(data, i, true)
		}
		p.record(b, data[i:next], line, kind)
		line += int32(bytes.Count(data[i:next], []byte{'\n'}))
		if next == len(data) && data[next-1] != '\n' {
			line++
		}
		i = next
	}
	b.lines = int(line)
}

// fast reads the row that starts at i if there is nothing unusual about it: it has no quotes, no spaces
// around values, every column, and only values in their bounds. It returns the place behind the row; 0 where it
// has read none, and record then has the answer. Both give the same for the rows that fast takes.
func (p *parser) fast(b *block, padded []byte, i int, line int32) int {
	lay := p.lay
	delim := lay.delim
	unit := p.opt.unit
	from := i
	n := len(b.sets)
	if n == cap(b.sets) {
		b.sets = slices.Grow(b.sets, max(n, 1024))
	}
	b.sets = b.sets[:n+1]
	s := &b.sets[n]
	*s = Set{RIR: -1, Count: 1, Line: line}
	var x *extra
	if b.details {
		x = &extra{minutes: -1, effort: -1}
	}
	rpe, body := -1.0, 0.0
	lifter, lift := int32(-1), int32(-1)
	var lifterAt, liftAt int // where only tests are wanted, and most names need not be looked at
	cols := lay.cols
	again := false
	if e := i + len(p.start.text); e > i && e < len(padded) && string(padded[i:e]) == string(p.start.text) {
		again = true
		s.Day, lifter, lift = p.start.day, p.start.lifter, p.start.lift
		cols = cols[3:]
		i = e
	}
	behind := 0 // the first three columns
	for k, c := range cols {
		if k > 0 {
			if padded[i] != delim {
				goto other
			}
			i++
			if k == 3 {
				behind = i
			}
		}
		switch c {
		case colDate:
			var ok bool
			if s.Day, ok = p.dayAt(padded, i); !ok {
				goto other
			}
			i += 10
		case colLifter:
			if b.singles {
				lifterAt = i
				i = delimiter(padded, i, len(padded)-padding, delim)
				continue
			}
			var ok bool
			if lifter, i, ok = p.lifters.at(padded, i, delim); !ok {
				goto other
			}
		case colLift:
			if b.singles {
				liftAt = i
				i = delimiter(padded, i, len(padded)-padding, delim)
				continue
			}
			var ok bool
			if lift, i, ok = p.lifts.at(padded, i, delim); !ok {
				goto other
			}
		case colUnknown, colNote, colSession:
			if padded[i] == '\n' || padded[i] == delim {
				continue
			}
			j := textEnd(padded, i, delim)
			if j < 0 {
				goto other
			}
			text := padded[i:j]
			i = j
			if n := len(text); n > 0 && text[n-1] == '\r' && padded[i] == '\n' {
				text = text[:n-1]
				i--
			}
			if x != nil && c != colUnknown && len(text) > 0 {
				if text[0] <= ' ' || text[len(text)-1] <= ' ' || text[0] >= 0x80 || text[len(text)-1] >= 0x80 {
					goto other
				}
				if c == colNote {
					x.note = string(text)
				} else {
					x.session = string(text)
				}
			}
		case colUnit:
			switch {
			case padded[i] == 'k' && padded[i+1] == 'g':
				unit, s.named = plates.KG, true
				i += 2
			case padded[i] == 'l' && padded[i+1] == 'b':
				unit, s.named = plates.LB, true
				if i += 2; padded[i] == 's' {
					i++
				}
			}
		default:
			d := padded[i] - '0'
			if d > 9 {
				// Empty, or something that the columns' end will not agree with.
				if c == colLoad || c == colReps {
					goto other
				}
				continue
			}
			v := float64(d)
			whole := true
			if next := padded[i+1]; next == delim || next == '\n' {
				i++
			} else {
				m, dec, j := fixed(padded, i, '.')
				if j < 0 {
					goto other
				}
				if padded[j] != delim && padded[j] != '\n' && padded[j] != '\r' {
					if !lay.comma || padded[j] != ',' || dec > 0 {
						goto other
					}
					if m, dec, j = fixed(padded, i, ','); j < 0 {
						goto other
					}
					p.commas = true
				}
				i = j
				v = float64(m)
				if dec > 0 {
					v /= powers[dec]
					whole = false
				}
			}
			switch c {
			case colLoad:
				s.Load = v
			case colReps:
				if !whole || v > mostReps {
					goto other
				}
				s.Reps = int16(v)
			case colRIR:
				if v > mostRIR {
					goto other
				}
				s.RIR = v
			case colRPE:
				rpe = v
			case colBodyweight:
				if v == 0 {
					goto other
				}
				body = v
			default:
				if bounds(c, v) != "" {
					goto other
				}
				put(c, v, s, x)
			}
		}
	}
	if padded[i] == '\r' {
		i++
	}
	if padded[i] != '\n' {
		goto other
	}
	i++
	if rpe >= 0 {
		if rpe > 10 || s.RIR >= 0 {
			goto other
		}
		s.RIR = 10 - rpe
	}
	if i-from > p.opt.maxRecord || i > len(padded)-padding+1 {
		goto other
	}
	if b.singles {
		if s.Reps != 1 {
			b.sets = b.sets[:n]
			b.passed++
			return min(i, len(padded)-padding)
		}
		var ok bool
		if lifter, _, ok = p.lifters.at(padded, lifterAt, delim); !ok {
			goto other
		}
		if lift, _, ok = p.lifts.at(padded, liftAt, delim); !ok {
			goto other
		}
	}
	if unit != p.opt.unit || s.Load > mostLoad || body != 0 || x != nil {
		if p.finish(s, x, body, unit) != nil {
			goto other
		}
	}
	s.Lifter, s.Lift = lifter, lift
	if lay.names && !again && !b.singles {
		p.start = start{append(p.start.text[:0], padded[from:behind]...), s.Day, lifter, lift}
	}
	if x != nil {
		b.extras = append(b.extras, *x)
	}
	return min(i, len(padded)-padding)
other:
	b.sets = b.sets[:n]
	return 0
}

// dayAt is the day of the date that starts at i.
func (p *parser) dayAt(padded []byte, i int) (int32, bool) {
	if i+10 >= len(padded) {
		return 0, false
	}
	d := padded[i : i+10 : i+10]
	if string(d) != string(p.date[:]) {
		v, ok := day(d)
		if !ok {
			return 0, false
		}
		copy(p.date[:], d)
		p.day = v
	}
	return p.day, true
}

// lastName numbers names, and keeps the one of the row before, with which most rows agree.
type lastName struct {
	*names
	last string // as it stands in a row without quotes; "" for none
	id   int32
}

// at numbers the name that starts at i and ends with a delimiter, if it is known. New names are for
// record to look at.
func (l *lastName) at(padded []byte, i int, delim byte) (id int32, end int, ok bool) {
	if j := i + len(l.last); j < len(padded) && padded[j] == delim && string(padded[i:j]) == l.last && j > i {
		return l.id, j, true
	}
	j := delimiter(padded, i, len(padded)-padding, delim)
	if j-i > longestName || j == i || l.quote && bytes.IndexByte(padded[i:j], '"') >= 0 {
		return 0, i, false
	}
	id, _, ok = l.find(padded[i:j])
	if ok {
		l.last, l.id = l.list[id], id
	}
	return id, j, ok
}

// bounds says what a number in a column should be; "" where it is.
func bounds(c column, v float64) string {
	switch c {
	case colReps:
		if !(v >= 0 && v <= mostReps && v == float64(int(v))) {
			return fmt.Sprintf("want a whole number from 0 (a missed attempt) to %d", mostReps)
		}
	case colRIR:
		if !(v >= 0 && v <= mostRIR) {
			return fmt.Sprintf("want repetitions left, 0 to %d", mostRIR)
		}
	case colRPE:
		if !(v >= 0 && v <= 10) {
			return "want a rating from 0 to 10"
		}
	case colCount:
		if !(v >= 1 && v <= mostCount && v == float64(int(v))) {
			return fmt.Sprintf("want a whole number of sets, 1 to %d", mostCount)
		}
	case colTested:
		if v != 0 && v != 1 {
			return "want 1 for a deliberate maximum attempt, otherwise 0 or nothing"
		}
	case colWeek:
		if !(v >= 1 && v <= mostWeek && v == float64(int(v))) {
			return fmt.Sprintf("want a whole number of the plan's week, 1 to %d", mostWeek)
		}
	case colSet:
		if !(v >= 1 && v <= mostSet && v == float64(int(v))) {
			return fmt.Sprintf("want a whole number from 1 to %d", mostSet)
		}
	case colMinutes:
		if !(v >= 0 && v <= mostMinutes) {
			return fmt.Sprintf("want the minutes of the session, 0 to %d", mostMinutes)
		}
	case colEffort:
		if !(v >= 0 && v <= 10) {
			return "want the session's rating from 0 to 10"
		}
	case colVelocity:
		if !(v > 0 && v <= mostVelocity) {
			return fmt.Sprintf("want metres per second, above 0 to %d", mostVelocity)
		}
	}
	return ""
}

// put keeps the number of a column that is not one of the set's own.
func put(c column, v float64, s *Set, x *extra) {
	switch c {
	case colCount:
		s.Count = int16(v)
	case colTested:
		s.Tested = v == 1
	}
	if x == nil {
		return
	}
	switch c {
	case colWeek:
		x.week = int16(v)
	case colSet:
		x.set = int16(v)
	case colMinutes:
		x.minutes = v
	case colEffort:
		x.effort = v
	case colVelocity:
		x.velocity = v
	}
}

const poundKilograms = 0.45359237 // exact, international agreement of 1959

// in converts a mass from one unit to another.
func in(v float64, from, to plates.Unit) float64 {
	switch {
	case from == to:
		return v
	case from == plates.LB:
		return v * poundKilograms
	}
	return v / poundKilograms
}

// fault is what is wrong with a value.
type fault struct {
	col  column
	want string
}

// finish brings the masses to the reader's unit.
func (p *parser) finish(s *Set, x *extra, body float64, unit plates.Unit) *fault {
	if !(in(s.Load, unit, plates.KG) <= mostLoad) {
		return &fault{colLoad, fmt.Sprintf("want a load from 0 to %d kg", mostLoad)}
	}
	if kg := in(body, unit, plates.KG); body != 0 && !(kg >= leastBody && kg <= mostBody) {
		return &fault{colBodyweight, fmt.Sprintf("want a bodyweight from %d to %d kg", leastBody, mostBody)}
	}
	if x != nil {
		x.written, x.unit = s.Load, unit
		x.body = in(body, unit, p.opt.unit)
	}
	s.Load = in(s.Load, unit, p.opt.unit)
	return nil
}

// record reads a record with care: it takes quotes and spaces, and says what is
// wrong and where.
func (p *parser) record(b *block, rec []byte, line int32, kind recordKind) {
	text := trimLine(rec)
	fail := func(f *RowError) {
		b.badRow(f, int(line))
	}
	switch {
	case len(rec) > p.opt.maxRecord:
		fail(&RowError{Got: excerpt(text), Want: fmt.Sprintf("want a row of at most %d bytes", p.opt.maxRecord)})
		return
	case kind == recordUnclosed:
		fail(&RowError{Got: excerpt(text), Want: "a double quote opens a field here and is not closed before lines that read as rows, or not as it should be: " +
			"by another one before a delimiter or the end of a line; close it, or double it where it is part of the text"})
		return
	}
	fs, at, ok := fields(p.fields[:0], rec, p.lay.delim)
	p.fields = fs[:0]
	if !ok {
		f := &RowError{Got: excerpt(text[at:]), Want: "a double quote out of place: quote the whole field and double the quotes in it"}
		place(f, rec, at)
		fail(f)
		return
	}
	if blankFields(fs) {
		b.blank++
		return
	}
	var s Set
	var x extra
	if f, fl := p.values(fs, &s, &x, true); fl != nil {
		e := &RowError{Field: columnNames[fl.col], Want: fl.want}
		if f != nil {
			e.Got = excerpt(bytes.TrimSpace(f.text))
			at := f.at
			if f.quoted {
				at++
			}
			place(e, rec, at)
		}
		fail(e)
		return
	}
	s.Line = line
	b.sets = append(b.sets, s)
	if b.details {
		b.extras = append(b.extras, x)
	}
}

// place sets line and column of an error from a place in its record. The line is
// counted from the record's first.
func place(e *RowError, rec []byte, at int) {
	e.Line = bytes.Count(rec[:at], []byte{'\n'})
	e.Column = at - bytes.LastIndexByte(rec[:at], '\n')
}

func blankFields(fs []field) bool {
	for _, f := range fs {
		if len(bytes.TrimSpace(f.text)) > 0 {
			return false
		}
	}
	return true
}

// readsAsRow reports whether a line is a row by itself.
func (p *parser) readsAsRow(line []byte) bool {
	fs, _, ok := fields(p.fields[:0], line, p.lay.delim)
	p.fields = fs[:0]
	if !ok || blankFields(fs) {
		return false
	}
	var s Set
	var x extra
	_, fl := p.values(fs, &s, &x, false)
	return fl == nil
}

// values reads the fields of a record. Where one is wrong it says which, and what
// would be right. Names are numbered where number says so.
func (p *parser) values(fs []field, s *Set, x *extra, number bool) (*field, *fault) {
	lay := p.lay
	if len(fs) != len(lay.cols) {
		why := fmt.Sprintf("want %d fields as in the header, there are %d", len(lay.cols), len(fs))
		if number {
			why += p.commaWithin(fs)
		}
		return nil, &fault{0, why}
	}
	*s = Set{RIR: -1, Count: 1}
	*x = extra{minutes: -1, effort: -1}
	unit := p.opt.unit
	rpe, body := -1.0, 0.0
	var lifter, lift string
	for k := range fs {
		f := &fs[k]
		c := lay.cols[k]
		text := bytes.TrimSpace(f.text)
		switch c {
		case colUnknown:
		case colDate:
			d, ok := day(text)
			if !ok {
				return f, &fault{c, fmt.Sprintf("want a date such as 2027-09-06, %d to %d", firstYear, lastYear)}
			}
			s.Day = d
		case colLifter, colLift:
			if why := nameFault(text); why != "" {
				return f, &fault{c, why}
			}
			if !number {
				continue
			}
			if c == colLifter {
				lifter = string(text)
			} else {
				lift = string(text)
			}
		case colNote:
			x.note = string(text)
		case colSession:
			x.session = string(text)
		case colUnit:
			switch {
			case len(text) == 0:
			case strings.EqualFold(string(text), "kg"):
				unit, s.named = plates.KG, true
			case strings.EqualFold(string(text), "lb") || strings.EqualFold(string(text), "lbs"):
				unit, s.named = plates.LB, true
			default:
				return f, &fault{c, "want kg or lb"}
			}
		default:
			if len(text) == 0 {
				if c == colLoad {
					return f, &fault{c, "want a load, 0 where nothing is added to bodyweight"}
				}
				if c == colReps {
					return f, &fault{c, bounds(c, -1)}
				}
				continue
			}
			v, comma, ok := decimal(text, lay.comma || f.quoted && !thousands(text))
			if !ok {
				return f, &fault{c, notNumber(c, text)}
			}
			if number && comma {
				p.commas = true
			}
			if why := bounds(c, v); why != "" {
				return f, &fault{c, why}
			}
			switch c {
			case colLoad:
				s.Load = v
			case colReps:
				s.Reps = int16(v)
			case colRIR:
				s.RIR = v
			case colRPE:
				rpe = v
			case colBodyweight:
				if v == 0 {
					v = 1e-9 // given, and refused by its bounds
				}
				body = v
			default:
				put(c, v, s, x)
			}
		}
	}
	if rpe >= 0 {
		if s.RIR < 0 {
			s.RIR = 10 - rpe
		}
		if math.Abs(s.RIR+rpe-10) > 1e-9 {
			return &fs[lay.at[colRPE]-1], &fault{colRPE, fmt.Sprintf("want 10 less the rir of the same row, %v", 10-s.RIR)}
		}
	}
	if fl := p.finish(s, x, body, unit); fl != nil {
		return &fs[lay.at[fl.col]-1], fl
	}
	if number {
		s.Lifter, s.Lift = p.lifters.number(lifter), p.lifts.number(lift)
	}
	return nil, nil
}

// thousands reports whether a comma in a number may stand between thousands.
func thousands(text []byte) bool {
	k := bytes.IndexByte(text, ',')
	return k >= 0 && len(text)-k-1 == 3
}

// notNumber says what a column wants instead of a text that is no number.
func notNumber(c column, text []byte) string {
	if c == colLoad {
		low := strings.ToLower(string(text))
		if strings.HasPrefix(low, "-") {
			return fmt.Sprintf("want a load from 0 to %d kg", mostLoad)
		}
		if why := unitWithin(low); why != "" {
			return why
		}
	}
	if bytes.IndexByte(text, ',') >= 0 {
		return "want a plain number such as 142.5; a comma is a decimal sign in files whose columns are separated by semicolons"
	}
	if why := bounds(c, -1); why != "" {
		return why
	}
	if c == colLoad {
		return fmt.Sprintf("want a load from 0 to %d kg, a plain number such as 142.5", mostLoad)
	}
	return "want a plain number such as 142.5"
}

// unitWithin says how to write a load that stands together with its unit; "" where it does not.
func unitWithin(low string) string {
	alone, unit := strings.TrimSuffix(low, "s"), ""
	for _, u := range []string{"kg", "lb"} {
		if x, ok := strings.CutSuffix(alone, u); ok {
			alone, unit = strings.TrimSpace(x), u
		}
	}
	switch _, _, ok := decimal([]byte(alone), true); {
	case unit == "":
		return ""
	case !ok:
		return "want the number alone; the unit has a column of its own, unit"
	}
	return fmt.Sprintf("want the number alone, %s; the unit has a column of its own, unit, with %s in this row", excerpt([]byte(alone)), unit)
}

// commaWithin says of a row with one field too many which number seems to be written
// with a decimal comma where commas separate the columns, and how to write it; "" where none
// does. A number it is only where the row reads as one with it; where several may be,
// the first is named.
func (p *parser) commaWithin(fs []field) string {
	if p.lay.delim != ',' || len(fs) != len(p.lay.cols)+1 {
		return ""
	}
	for k := range fs[1:] {
		before, after := bytes.TrimSpace(fs[k].text), bytes.TrimSpace(fs[k+1].text)
		if !allDigits(before) || !allDigits(after) || fs[k].quoted || fs[k+1].quoted {
			continue
		}
		point := string(before) + "." + string(after)
		one := slices.Concat(fs[:k], []field{{text: []byte(point)}}, fs[k+2:])
		var s Set
		var x extra
		if _, fl := p.values(one, &s, &x, false); fl != nil {
			continue
		}
		what := columnNames[p.lay.cols[k]]
		if what == "" {
			what = "a column"
		}
		comma := strings.Replace(point, ".", ",", 1)
		found := fmt.Sprintf("; if the %s is %s with a decimal comma, write %s", what, comma, point)
		if !thousands([]byte(comma)) {
			found += fmt.Sprintf(" or \"%s\"", comma)
		}
		return found + ", or separate the columns by semicolons"
	}
	return ""
}

func allDigits(b []byte) bool {
	return len(b) > 0 && len(bytes.Trim(b, "0123456789")) == 0
}
