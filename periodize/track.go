package periodize

import (
	"fmt"

	"github.com/blockwright/blockwright/plates"
)

// A Track gives the value of one number of a prescription for every week of a
// block: sets, repetitions, a percentage, a reserve, a rest in seconds, or a
// load in counts of plates.Mass. Values are exact rationals. The tracks that
// block files know are made by [Fixed], [ByWeek], [Line] and [Crest]; a program
// may supply any other implementation.
type Track interface {
	// At is the value in a week (1 is the first) of a block of that many
	// weeks. ok is false where the track has no value, written "-" in a file.
	At(week, weeks int) (v plates.Ratio, ok bool)
}

// FixedTrack is the same value in every week.
type FixedTrack struct{ Value plates.Ratio }

// At implements [Track].
func (t FixedTrack) At(week, weeks int) (plates.Ratio, bool) { return t.Value, true }

// Cell is one week's entry of a [WeekTrack].
type Cell struct {
	Value plates.Ratio
	Empty bool // no value that week
}

// WeekTrack has one entry for each week of the block.
type WeekTrack []Cell

// At implements [Track]. Weeks beyond the list have no value.
func (t WeekTrack) At(week, weeks int) (plates.Ratio, bool) {
	if week < 1 || week > len(t) || t[week-1].Empty {
		return plates.Ratio{}, false
	}
	return t[week-1].Value, true
}

// LineTrack goes in equal steps from the first week's value to the last week's.
type LineTrack struct{ From, To plates.Ratio }

// At implements [Track]. A block of one week has the first value.
func (t LineTrack) At(week, weeks int) (plates.Ratio, bool) {
	return between(t.From, t.To, week-1, weeks-1), true
}

// CrestTrack goes in equal steps from From in week 1 up to Crest in week Peak
// and from there to To in the last week.
type CrestTrack struct {
	From, Crest, To plates.Ratio
	Peak            int // the week of the crest, 1 to the last
}

// At implements [Track].
func (t CrestTrack) At(week, weeks int) (plates.Ratio, bool) {
	if week <= t.Peak {
		if t.Peak <= 1 {
			return t.Crest, true
		}
		return between(t.From, t.Crest, week-1, t.Peak-1), true
	}
	return between(t.Crest, t.To, week-t.Peak, weeks-t.Peak), true
}

// between is the k-th of n equal steps from a to b.
func between(a, b plates.Ratio, k, n int) plates.Ratio {
	if n <= 0 || k <= 0 {
		return a
	}
	if k >= n {
		return b
	}
	return a.Add(b.Sub(a).Mul(ratio(int64(k), int64(n))))
}

// Fixed is the same value in every week.
func Fixed(v float64) Track { return FixedTrack{number(v)} }

// ByWeek has one value for each week of the block.
func ByWeek(v ...float64) Track {
	t := make(WeekTrack, len(v))
	for i, x := range v {
		t[i].Value = number(x)
	}
	return t
}

// Line goes in equal steps from the first week to the last.
func Line(from, to float64) Track { return LineTrack{number(from), number(to)} }

// Crest climbs in equal steps to its highest value in week at and goes to the
// last value from there.
func Crest(from, crest float64, at int, to float64) Track {
	return CrestTrack{From: number(from), Crest: number(crest), Peak: at, To: number(to)}
}

// number takes the shortest decimal of a float64 as an exact ratio. It panics
// on NaN, infinities and magnitudes beyond int64, which only a programmer
// writes: files are read as text and never come through here.
func number(v float64) plates.Ratio {
	r, err := plates.RatioOf(v)
	if err != nil {
		panic(fmt.Sprintf("periodize: track value %v: %v", v, err))
	}
	return r
}

// ratio is n/d for constants and small counts that cannot fail.
func ratio(n, d int64) plates.Ratio {
	r, err := plates.NewRatio(n, d)
	if err != nil {
		panic(fmt.Sprintf("periodize: ratio %d/%d: %v", n, d, err))
	}
	return r
}
