package workload

import (
	"math"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/internal/num"
)

// Tally adds up amounts by name, hard sets by muscle for one. Names are the
// caller's and come back in byte order. The zero value is empty.
type Tally struct {
	entries []entry // sorted by key
}

type entry struct {
	key string
	sum num.Sum
}

// Amount is what a Tally has for one name.
type Amount struct {
	Key   string
	Value float64 // the sum of what was added
}

// Add adds an amount, 0 to 1e12, to a name.
func (t *Tally) Add(key string, amount float64) error {
	if !name(key) {
		return &FieldError{"key", 0, wantName}
	}
	if !(amount >= 0 && amount <= maxLoad) {
		return &FieldError{"amount", amount, "0 to 1e12"}
	}
	t.at(key).Add(amount)
	return nil
}

// at finds or makes the sum of a name.
func (t *Tally) at(key string) *num.Sum {
	i, ok := slices.BinarySearchFunc(t.entries, key, func(e entry, k string) int { return strings.Compare(e.key, k) })
	if !ok {
		t.entries = slices.Insert(t.entries, i, entry{key: key})
	}
	return &t.entries[i].sum
}

// Merge adds another tally.
func (t *Tally) Merge(o Tally) {
	for _, e := range o.entries {
		t.at(e.key).Merge(e.sum)
	}
}

// Of is the amount of a name; 0 for one that was never added.
func (t Tally) Of(key string) float64 {
	i, ok := slices.BinarySearchFunc(t.entries, key, func(e entry, k string) int { return strings.Compare(e.key, k) })
	if !ok {
		return 0
	}
	return t.entries[i].sum.Value()
}

// All lists the amounts in byte order of their names.
func (t Tally) All() []Amount {
	out := make([]Amount, len(t.entries))
	for i, e := range t.entries {
		out[i] = Amount{e.key, e.sum.Value()}
	}
	return out
}

// Total is the sum over all names. Over muscles it counts a set once for every
// muscle that it trains.
func (t Tally) Total() float64 {
	var s num.Sum
	for _, e := range t.entries {
		s.Merge(e.sum)
	}
	return s.Value()
}

// addSet counts a hard set for its muscles.
func (t *Tally) addSet(s Set) {
	n := float64(s.count())
	for _, m := range s.Muscles {
		if m.Share > 0 {
			t.at(m.Key).Add(m.Share * n)
		}
	}
}

// Clone is a tally that shares nothing with t; a copy made by assignment does.
func (t Tally) Clone() Tally { return Tally{slices.Clone(t.entries)} }

// sound reports whether a decoded sum can be added to without overflow.
func sound(xs ...float64) bool {
	for _, x := range xs {
		if !(math.Abs(x) <= 1e200) {
			return false
		}
	}
	return true
}
