package workload

import (
	"fmt"
	"math"
	"unicode/utf8"

	"github.com/blockwright/blockwright/internal/num"
)

// Limits of one entry, so that sums of any realistic number of entries stay
// exact (counts) and finite (loads).
const (
	maxLoad  = 1e12
	maxCount = 1e6
)

// Set is one set, or several equal ones, as far as workload is concerned.
type Set struct {
	Count int // equal sets; 0 is 1
	// Reps done or planned; 0 for a set that has none (timed, carried), which
	// counts as a set and as a hard set and adds no lifts and no tonnage.
	// With Sides 2 they are repetitions a side.
	Reps  int
	Sides int // 1 or 2; 0 is 1. Lifts and tonnage count both sides
	// Load is the mass moved in each repetition, bodyweight share included, in
	// the caller's unit, which must be the same for all sets of a sum.
	Load float64
	// Max is the one-repetition maximum on the same footing and in the same
	// unit; 0 where it is not known. Quantities relative to the maximum then
	// leave the set out.
	Max     float64
	Warmup  bool     // left out, unless the Rule counts warm-ups
	Reserve *float64 // repetitions left, where known
	Pattern string   // movement pattern; "" for none
	Muscles []Share  // muscles that the set counts for
}

// Share is how much of a set counts for a muscle: customarily 1 where the
// muscle works directly and 0.5 where it helps. That fractional count fitted
// best in a meta-regression of 67 studies (Pelland et al. 2024 preprint,
// looked-up from the abstract).
type Share struct {
	Key   string
	Share float64 // 0 to 1
}

// Rule says which sets count. Two sums can be merged only if they follow the
// same rule. The zero value counts every set that is not a warm-up.
type Rule struct {
	// IncludeWarmups counts warm-up sets as well. Default: they do not count.
	IncludeWarmups bool `json:"include_warmups"`
	// Below leaves out sets lighter than this fraction of the maximum, warm-up
	// or not; sets without a known maximum stay. Default 0: none. Published
	// lift counts leave out light sets and rarely say below which weight.
	Below float64 `json:"below"`
	// HardOnly counts as hard only sets with at most HardReserve repetitions
	// left; sets with no known reserve stay. Default: every counted set is a
	// hard set. Counting sets is adequate for size where sets end at or near
	// failure (Baz-Valle et al. 2021, looked-up).
	HardOnly    bool    `json:"hard_only"`
	HardReserve float64 `json:"hard_reserve"`
}

func (r Rule) validate() error {
	if !num.Finite(r.Below) || r.Below < 0 {
		return &FieldError{"rule.below", r.Below, "a fraction of the maximum, 0 or more"}
	}
	if !num.Finite(r.HardReserve) || r.HardReserve < 0 {
		return &FieldError{"rule.hard_reserve", r.HardReserve, "repetitions, 0 or more"}
	}
	return nil
}

// counts reports whether a valid set counts at all.
func (r Rule) counts(s Set) bool {
	if s.Warmup && !r.IncludeWarmups {
		return false
	}
	return s.Max == 0 || atLeast(s.Load/s.Max, r.Below)
}

// hard reports whether a valid set that counts is a hard one.
func (r Rule) hard(s Set) bool {
	return !r.HardOnly || s.Reserve == nil || *s.Reserve <= r.HardReserve
}

func (s Set) validate() error {
	switch {
	case s.Count < 0 || s.Count > maxCount:
		return &FieldError{"count", float64(s.Count), "1 to 1000000"}
	case s.Reps < 0 || s.Reps > maxCount:
		return &FieldError{"reps", float64(s.Reps), "0 to 1000000"}
	case s.Sides < 0 || s.Sides > 2:
		return &FieldError{"sides", float64(s.Sides), "1 or 2"}
	case !(s.Load >= 0 && s.Load <= maxLoad):
		return &FieldError{"load", s.Load, "0 to 1e12"}
	case !(s.Max >= 0 && s.Max <= maxLoad) || s.Max > 0 && s.Max < 1/maxLoad:
		return &FieldError{"max", s.Max, "a maximum up to 1e12, or 0 where it is not known"}
	case s.Reserve != nil && !num.Finite(*s.Reserve):
		return &FieldError{"reserve", *s.Reserve, "a number of repetitions"}
	}
	if s.Pattern != "" && !name(s.Pattern) {
		return &FieldError{"pattern", 0, wantName}
	}
	for i, m := range s.Muscles {
		if !name(m.Key) {
			return &FieldError{fmt.Sprintf("muscles[%d].key", i), 0, wantName}
		}
		if !(m.Share >= 0 && m.Share <= 1) {
			return &FieldError{fmt.Sprintf("muscles[%d].share", i), m.Share, "0 to 1"}
		}
	}
	return nil
}

const wantName = "a name in UTF-8"

// name reports whether a key can be one: text that JSON gives back as it was.
func name(s string) bool { return s != "" && utf8.ValidString(s) }

func (s Set) count() int64 { return int64(max(s.Count, 1)) }

// lifts are the repetitions of all equal sets, both sides.
func (s Set) lifts() int64 { return s.count() * int64(s.Reps) * int64(max(s.Sides, 1)) }

// atLeast reports a >= b, forgiving the last bits: 72.1 of 103 is 70 %
// although the quotient of the two floats need not be.
func atLeast(a, b float64) bool { return a >= b-1e-9*math.Abs(b) }
