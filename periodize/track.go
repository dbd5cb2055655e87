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

// Fixed is the same value in every week. Here and below, a value that is not finite or beyond 1e18 makes a track that
// [Compile] refuses.
func Fixed(v float64) Track {
	r, err := numbers(v)
	return sound(FixedTrack{r[0]}, err)
}

// ByWeek has one value for each week of the block.
func ByWeek(v ...float64) Track {
	r, err := numbers(v...)
	t := make(WeekTrack, len(v))
	for i := range r {
		t[i].Value = r[i]
	}
	return sound(t, err)
}

// Line goes in equal steps from the first week to the last.
func Line(from, to float64) Track {
	r, err := numbers(from, to)
	return sound(LineTrack{r[0], r[1]}, err)
}

// Crest climbs in equal steps to its highest value in week at, 1 to the last, and goes to the
// last value from there.
func Crest(from, crest float64, at int, to float64) Track {
	r, err := numbers(from, crest, to)
	return sound(CrestTrack{From: r[0], Crest: r[1], Peak: at, To: r[2]}, err)
}

// numbers takes the shortest decimals of float64s as exact ratios.
func numbers(v ...float64) ([]plates.Ratio, error) {
	out := make([]plates.Ratio, len(v))
	for i, x := range v {
		r, err := plates.RatioOf(x)
		if err != nil {
			return out, fmt.Errorf("%v: want a finite number under 1e18", x)
		}
		out[i] = r
	}
	return out, nil
}

// number is a float64 that the package itself has made as an exact ratio.
func number(v float64) plates.Ratio {
	r, err := plates.RatioOf(v)
	if err != nil {
		panic(fmt.Sprintf("periodize: %v: %v", v, err))
	}
	return r
}

// wrongTrack is one that could not be made. It has no values, and says why when it is compiled.
type wrongTrack struct{ why error }

func (wrongTrack) At(week, weeks int) (plates.Ratio, bool) { return plates.Ratio{}, false }

func sound(t Track, err error) Track {
	if err != nil {
		return wrongTrack{err}
	}
	return t
}

// trackFault is what is wrong with a track in a block of that many weeks; "" for nothing.
func trackFault(t Track, weeks int) string {
	switch t := t.(type) {
	case wrongTrack:
		return t.why.Error()
	case WeekTrack:
		if len(t) != weeks {
			return fmt.Sprintf("want a value for each of %d weeks, got %d", weeks, len(t))
		}
	case CrestTrack:
		if t.Peak < 1 || t.Peak > weeks {
			return fmt.Sprintf("want the crest in a week from 1 to %d, got %d", weeks, t.Peak)
		}
	}
	return ""
}

// ratio is n/d for constants and small counts that cannot fail.
func ratio(n, d int64) plates.Ratio {
	r, err := plates.NewRatio(n, d)
	if err != nil {
		panic(fmt.Sprintf("periodize: ratio %d/%d: %v", n, d, err))
	}
	return r
}
