package workload

import (
	"cmp"
	"slices"

	"github.com/blockwright/blockwright/internal/num"
)

// Diary adds up loads by day, in any order: session loads or tonnage of a log
// that may be cut in pieces, summed apart and merged. The zero value is empty.
type Diary struct {
	days []daySum // by day
}

type daySum struct {
	day int
	sum num.Sum
}

// maxSpan is the longest run of days that a Diary writes out.
const maxSpan = 1_000_000

// Add adds a load, 0 to 1e12, to a day, which is a count of days from any date
// that the caller uses throughout.
func (d *Diary) Add(day int, load float64) error {
	if !(load >= 0 && load <= maxLoad) {
		return &FieldError{"load", load, "0 to 1e12"}
	}
	d.at(day).Add(load)
	return nil
}

func (d *Diary) at(day int) *num.Sum {
	// Logs run forward in time: look at the end first.
	if n := len(d.days); n > 0 && d.days[n-1].day == day {
		return &d.days[n-1].sum
	}
	i, ok := slices.BinarySearchFunc(d.days, day, func(e daySum, t int) int { return cmp.Compare(e.day, t) })
	if !ok {
		d.days = slices.Insert(d.days, i, daySum{day: day})
	}
	return &d.days[i].sum
}

// Merge adds another diary.
func (d *Diary) Merge(o Diary) {
	for _, e := range o.days {
		d.at(e.day).Merge(e.sum)
	}
}

// Span is the first and last day with an entry; ok is false for an empty diary.
func (d Diary) Span() (first, last int, ok bool) {
	if len(d.days) == 0 {
		return 0, 0, false
	}
	return d.days[0].day, d.days[len(d.days)-1].day, true
}

// Series is the load of each day from first to last, both included; days
// without an entry are 0. At most a million days.
func (d Diary) Series(first, last int) ([]float64, error) {
	if last < first {
		return nil, &FieldError{"last", float64(last), "a day not before the first"}
	}
	// In uint, so that a difference of far-off days cannot overflow.
	if n := uint(last) - uint(first); n >= maxSpan {
		return nil, &FieldError{"last", float64(last), "at most a million days"}
	}
	out := make([]float64, last-first+1)
	i, _ := slices.BinarySearchFunc(d.days, first, func(e daySum, t int) int { return cmp.Compare(e.day, t) })
	for ; i < len(d.days) && d.days[i].day <= last; i++ {
		out[d.days[i].day-first] = d.days[i].sum.Value()
	}
	return out, nil
}

// Clone is a diary that shares nothing with d; a copy made by assignment does.
func (d Diary) Clone() Diary { return Diary{slices.Clone(d.days)} }
