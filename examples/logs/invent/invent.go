// Package invent makes up training logs: people, lifts and numbers that do not
// exist, for demonstrations and for tests of programs that read logs. Nothing in them is evidence of anything.
package invent

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"time"
)

// Options say what log to make up. The zero value makes 10,000 rows.
type Options struct {
	Rows    int     // 0 is 10,000
	Lifters int     // 0 is one for about every 2,500 rows, at least 4
	Seed    uint64  // the same options give the same bytes
	Typos   float64 // share of rows with a slip of the pen, 0 to 1
	Shuffle bool    // rows in random order instead of by date; all of them are then held in memory
}

// Header names the columns.
const Header = "date,lifter,lift,load,reps,rir,tested,session,minutes,effort,note\n"

var names = [...]string{"Oona", "Bram", "Ines", "Tavi", "Suri", "Leif", "Nuno", "Ayla", "Pell", "Rhea", "Odin", "Vera", "Juno", "Kofi", "Mira", "Zeno"}

// lift is a lift with the maximum of an intermediate lifter in kg, and the step that its loads go in.
type lift struct {
	name string
	max  float64
	step float64
}

var lifts = [...]lift{
	{"trap-bar deadlift", 150, 2.5}, {"push press", 62, 1.25}, {"front squat", 100, 2.5},
	{"floor press", 82, 2.5}, {"barbell row", 75, 2.5}, {"split squat", 58, 2},
}

// level is a kind of lifter.
type level struct {
	name     string
	share    float64 // of the lifters
	strength float64 // against the maxima above
	growth   float64 // of a maximum in a week
	bias     float64 // repetitions that a report of the reserve is low by
	spread   float64 // of that report
	miss     float64 // chance to miss a week
}

var levels = [...]level{
	{"novice", 0.4, 0.65, 0.005, 1.2, 1.5, 0.12},
	{"intermediate", 0.4, 1, 0.0015, 0.8, 1, 0.07},
	{"advanced", 0.2, 1.35, 0.0004, 0.3, 0.6, 0.03},
}

var notes = [...]string{"belt", "slow", "grip slipped", "felt good", "knee ached a little", `"tired, short night"`, `"coach said ""enough"""`, "\"two\nlines\""}

// person is one made-up lifter.
type person struct {
	name    string
	level   *level
	ability float64 // repetitions at a given share of the maximum, against the middle
	max     [len(lifts)]float64
	test    [len(lifts)]int // day of the next test
	days    uint8           // bits of the weekdays trained
	away    int             // no training before this day
}

type random struct{ state uint64 }

func (r *random) next() uint64 {
	r.state += 0x9e3779b97f4a7c15
	z := r.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

func (r *random) intn(n int) int        { return int(r.next() >> 11 % uint64(n)) }
func (r *random) unit() float64         { return float64(r.next()>>11) / (1 << 53) }
func (r *random) chance(p float64) bool { return r.unit() < p }
func (r *random) between(a, b int) int  { return a + r.intn(b-a+1) }

// scale is log-normal about 1.
func (r *random) scale(s float64) float64 { return math.Exp(s * r.normal()) }

// normal is nearly normal: twelve uniform numbers less six. Products are rounded before they are added, here and
// below, so that processors which fuse the two give the same log.
func (r *random) normal() float64 {
	s := -6.0
	for range 12 {
		s += r.unit()
	}
	return s
}

// writer makes the rows.
type writer struct {
	opt  Options
	r    random
	out  *bufio.Writer
	rows int
	buf  []byte
	kept [][]byte
}

// Write makes up a log.
func Write(out io.Writer, opt Options) error {
	if opt.Rows <= 0 {
		opt.Rows = 10_000
	}
	if opt.Lifters <= 0 {
		opt.Lifters = max(4, (opt.Rows+2499)/2500)
	}
	w := &writer{opt: opt, r: random{opt.Seed}, out: bufio.NewWriterSize(out, 1<<16)}
	w.out.WriteString(Header)
	people := make([]person, opt.Lifters)
	for i := range people {
		people[i] = w.person(i)
	}
	for day := 0; w.rows < opt.Rows; day++ {
		for i := range people {
			if w.rows < opt.Rows {
				w.day(&people[i], day)
			}
		}
	}
	for i := len(w.kept) - 1; i > 0; i-- {
		j := w.r.intn(i + 1)
		w.kept[i], w.kept[j] = w.kept[j], w.kept[i]
	}
	for _, row := range w.kept {
		w.out.Write(row)
	}
	return w.out.Flush()
}

func (w *writer) person(i int) person {
	r := &w.r
	p := person{name: names[i%len(names)], ability: r.scale(0.22)}
	if i >= len(names) {
		p.name += " " + strconv.Itoa(i/len(names)+1)
	}
	u := r.unit()
	for k := range levels {
		p.level = &levels[k]
		if u -= levels[k].share; u < 0 {
			break
		}
	}
	build := r.scale(0.15)
	for l := range lifts {
		p.max[l] = lifts[l].max * p.level.strength * build * r.scale(0.08)
		p.test[l] = r.between(14, 50)
	}
	for n := r.between(2, 4); n > 0; {
		if d := uint8(1) << r.intn(6); p.days&d == 0 {
			p.days |= d
			n--
		}
	}
	return p
}

// day is one day of a lifter.
func (w *writer) day(p *person, day int) {
	r := &w.r
	if day%7 == 0 {
		for l := range p.max {
			p.max[l] *= 1 + float64(p.level.growth*2*r.unit())
		}
		if day >= p.away && r.chance(p.level.miss) {
			p.away = day + 7
			if r.chance(0.15) {
				p.away = day + 7*r.between(2, 6)
			}
		}
	}
	if day < p.away || p.days>>(day%7)&1 == 0 {
		return
	}
	form := r.scale(0.012)
	session := string(rune('A' + day%7/3))
	minutes, effort := r.between(45, 90), r.between(5, 9)
	first := r.intn(len(lifts))
	for k := range r.between(2, 3) {
		l := (first + 2*k) % len(lifts)
		if day >= p.test[l] {
			p.test[l] = day + r.between(28, 60)
			w.tests(p, l, day, form, session, minutes, effort)
			continue
		}
		w.sets(p, l, day, form, session, minutes, effort)
	}
}

// share is the share of the maximum that can be lifted n times.
func (p *person) share(n float64) float64 { return 1 / (1 + (n-1)/(31*p.ability)) }

// possible is how often a share of the maximum can be lifted.
func (p *person) possible(share float64) float64 { return 1 + float64((1/share-1)*31*p.ability) }

func (l *lift) round(load float64) float64 {
	return math.Max(math.Round(load/l.step)*l.step, l.step*4)
}

// sets is an exercise: some sets at about one weight, with a reserve that the lifter guesses.
func (w *writer) sets(p *person, l, day int, form float64, session string, minutes, effort int) {
	r := &w.r
	reps, leave := r.between(2, 10), r.between(1, 4)
	load := lifts[l].round(p.max[l] * p.share(float64(reps+leave)) * r.scale(0.02))
	says := !r.chance(0.2)
	for range r.between(3, 5) {
		left := p.possible(load/(p.max[l]*form)) - float64(reps) + float64(0.5*r.normal())
		done, rir := reps, -1
		if left < 0 {
			done = max(reps+int(math.Floor(left)), 0)
			left = 0
		}
		if says {
			rir = 0
			if left >= 0.5 {
				rir = max(int(math.Round(left-p.level.bias+float64(p.level.spread*r.normal()))), 0)
			}
		}
		w.row(p, l, day, load, done, rir, false, session, minutes, effort)
		form *= 0.995 // it gets harder
	}
}

// tests is one to three attempts at a maximum.
func (w *writer) tests(p *person, l, day int, form float64, session string, minutes, effort int) {
	best := p.max[l] * form
	for _, share := range [...]float64{0.93, 0.98, 1.01} {
		load := lifts[l].round(p.max[l] * share)
		if load > best {
			w.row(p, l, day, load, 0, -1, true, session, minutes, effort)
			return
		}
		w.row(p, l, day, load, 1, 0, true, session, minutes, effort)
	}
}

func (w *writer) row(p *person, l, day int, load float64, reps, rir int, tested bool, session string, minutes, effort int) {
	if w.rows == w.opt.Rows {
		return
	}
	r := &w.r
	note := ""
	switch {
	case w.rows == 0:
		note = "invented data"
	case r.chance(0.05):
		note = notes[r.intn(len(notes))]
	}
	w.rows++
	b := w.buf[:0]
	b = time.Date(2024, 1, 1+day, 0, 0, 0, 0, time.UTC).AppendFormat(b, time.DateOnly)
	b = append(b, ',')
	b = append(b, p.name...)
	b = append(b, ',')
	b = append(b, lifts[l].name...)
	b = append(b, ',')
	if r.chance(w.opt.Typos) {
		b = append(b, []string{"12O", "-80", "80kg", "", "8000", "NaN"}[r.intn(6)]...)
	} else {
		b = strconv.AppendFloat(b, load, 'f', -1, 64)
	}
	b = fmt.Appendf(b, ",%d,", reps)
	if rir >= 0 {
		b = strconv.AppendInt(b, int64(rir), 10)
	}
	b = append(b, ',')
	if tested {
		b = append(b, '1')
	}
	b = fmt.Appendf(b, ",%s,%d,%d,%s\n", session, minutes, effort, note)
	w.buf = b
	if w.opt.Shuffle {
		w.kept = append(w.kept, append([]byte(nil), b...))
		return
	}
	w.out.Write(b)
}
