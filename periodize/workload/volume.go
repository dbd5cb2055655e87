package workload

import (
	"math"

	"github.com/blockwright/blockwright/internal/num"
)

// Volume adds up lifts, tonnage and intensity. The zero value is empty and
// counts by the zero [Rule]; [NewVolume] takes another rule.
//
//	number of lifts           NL = sum of repetitions
//	volume load (tonnage)     VL = sum of load x repetitions
//	average load              VL / NL
//	relative volume load      RV = sum of repetitions x load / maximum
//	mean intensity            RV / NL of the sets with a known maximum
//	density                   VL / minutes
//
// Definitions as in Haff 2010 and Scott et al. 2016. All means weigh by
// repetitions; a mean of ratios over a group is another number than the ratio
// of the group's means. There is no consensus on how to combine these measures
// (Scott et al. 2016, looked-up).
type Volume struct {
	rule              Rule
	sets, lifts       int64
	ratedLifts        int64 // lifts with a known maximum
	excluded          int64 // sets that the rule left out
	tonnage, relative num.Sum
}

// NewVolume is an empty Volume that counts by a rule.
func NewVolume(r Rule) (Volume, error) {
	if err := r.validate(); err != nil {
		return Volume{}, err
	}
	return Volume{rule: r}, nil
}

// Add counts a set if the rule wants it. A *FieldError leaves v as it was.
func (v *Volume) Add(s Set) error {
	if err := s.validate(); err != nil {
		return err
	}
	v.add(s, v.rule.counts(s))
	return nil
}

func (v *Volume) add(s Set, counts bool) {
	if !counts {
		v.excluded += s.count()
		return
	}
	n := s.lifts()
	v.sets += s.count()
	v.lifts += n
	v.tonnage.Add(s.Load * float64(n))
	if s.Max > 0 {
		v.ratedLifts += n
		v.relative.Add(s.Load / s.Max * float64(n))
	}
}

// Merge adds another sum, which must follow the same rule; otherwise a
// *MismatchError leaves v as it was. Merging is associative and commutative,
// exactly for counts and up to rounding for the rest.
func (v *Volume) Merge(o Volume) error {
	if v.rule != o.rule {
		return &MismatchError{"rule"}
	}
	v.sets += o.sets
	v.lifts += o.lifts
	v.ratedLifts += o.ratedLifts
	v.excluded += o.excluded
	v.tonnage.Merge(o.tonnage)
	v.relative.Merge(o.relative)
	return nil
}

// Rule is what the sum counts by.
func (v Volume) Rule() Rule { return v.rule }

// Sets is the number of sets counted.
func (v Volume) Sets() int64 { return v.sets }

// Excluded is the number of sets that the rule left out.
func (v Volume) Excluded() int64 { return v.excluded }

// Lifts is the number of repetitions, both sides of one-sided work.
func (v Volume) Lifts() int64 { return v.lifts }

// RatedLifts is the number of repetitions with a known maximum.
func (v Volume) RatedLifts() int64 { return v.ratedLifts }

// Tonnage is the volume load, the sum of load x repetitions, in the unit of the loads.
func (v Volume) Tonnage() float64 { return v.tonnage.Value() }

// RelativeVolume is the sum of repetitions x load/maximum: how many
// repetitions at the maximum the work amounts to. Sets without a known maximum
// are not in it; compare RatedLifts with Lifts.
func (v Volume) RelativeVolume() float64 { return v.relative.Value() }

// AverageLoad is the mean load of a repetition, in the unit of the loads.
func (v Volume) AverageLoad() Index {
	if v.lifts == 0 {
		return Index{Undefined: NoRepetitions}
	}
	return Index{Value: v.Tonnage() / float64(v.lifts)}
}

// MeanIntensity is the mean load of a repetition as a fraction of the maximum,
// over the repetitions with a known maximum. For one lift with one maximum it
// is the average load over that maximum.
func (v Volume) MeanIntensity() Index {
	if v.ratedLifts == 0 {
		return Index{Undefined: NoRepetitions}
	}
	return Index{Value: v.RelativeVolume() / float64(v.ratedLifts)}
}

// Density is the tonnage a minute.
func (v Volume) Density(minutes float64) (float64, error) {
	if !num.Finite(minutes) || minutes <= 0 {
		return 0, &FieldError{"minutes", minutes, "more than 0"}
	}
	d := v.Tonnage() / minutes
	if math.IsInf(d, 0) {
		return 0, &FieldError{"minutes", minutes, "long enough for a finite density"}
	}
	return d, nil
}
