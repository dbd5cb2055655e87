package taper

import (
	"cmp"
	"fmt"
	"math"
	"math/bits"
	"slices"

	"github.com/blockwright/blockwright/internal/num"
)

// maxSets bounds a single entry, far above any training, so that sums stay exact.
const maxSets = 1_000_000

// ShareOut keeps the fraction keep (0 to 1) of all the sets and shares what is
// left over the entries in proportion to what they had, in whole sets. The
// total that is left is keep times the sum, rounded half up, so that the cut
// asked for is the cut got, to half a set. A cut of 50 per cent is keep 0.5.
//
// The sharing is the method of largest remainders: every entry gets the whole
// part of its exact share, and the sets still missing go one each to the
// largest fractions; equal fractions favour the entry with more sets, then the
// earlier one. No entry gains sets, and none is more than one away from its
// exact share. The order of the entries is the caller's: lifts of a session,
// or one lift's sessions of a week.
//
// It returns a *FieldError for a keep outside 0 to 1 and for an entry that is
// negative or above a million.
func ShareOut(sets []int, keep float64) ([]int, error) {
	if !(keep >= 0 && keep <= 1) {
		return nil, &FieldError{Field: "keep", Value: keep, Want: "0 to 1"}
	}
	sum, err := total(sets)
	if err != nil {
		return nil, err
	}
	return shareTotal(sets, sum, halfUp(keep*float64(sum))), nil
}

// ShareTotal is [ShareOut] for a caller who has worked out the total that
// remains, for instance from an exact ratio.
//
// It returns a *FieldError for a total outside 0 to the sum of the sets and for
// an entry that is negative or above a million.
func ShareTotal(sets []int, remain int) ([]int, error) {
	sum, err := total(sets)
	if err != nil {
		return nil, err
	}
	if remain < 0 || remain > sum {
		return nil, &FieldError{Field: "total", Value: float64(remain), Want: fmt.Sprintf("0 to the %d sets there are", sum)}
	}
	return shareTotal(sets, sum, remain), nil
}

// CutOf is the cut from before to after as a fraction: 0.5 when half of the
// sets are gone, 0 when there were none.
func CutOf(before, after []int) float64 {
	b, a := 0, 0
	for _, n := range before {
		b += n
	}
	for _, n := range after {
		a += n
	}
	if b <= 0 {
		return 0
	}
	return 1 - float64(a)/float64(b)
}

func total(sets []int) (int, error) {
	sum := 0
	for i, n := range sets {
		if n < 0 || n > maxSets {
			return 0, &FieldError{Field: fmt.Sprintf("sets[%d]", i), Value: float64(n), Want: "0 to a million"}
		}
		sum += n
		if sum > 1<<30 {
			return 0, &FieldError{Field: "sets", Value: float64(sum), Want: "a sum of at most 2^30"}
		}
	}
	return sum, nil
}

// halfUp rounds to the nearest whole number, ties up. A product such as
// 0.35 * 10 that is a tie in decimals may lie a few units in the last place
// below it in binary; the slack takes it for the tie that was meant.
func halfUp(x float64) int { return int(math.Floor(x + 0.5 + 1e-9*max(1, math.Abs(x)*1e-3))) }

// shareTotal works in whole numbers, so that equal fractions are equal.
func shareTotal(sets []int, sum, remain int) []int {
	out := make([]int, len(sets))
	if sum == 0 {
		return out
	}
	rest := make([]uint64, len(sets))
	order := make([]int, 0, len(sets))
	for i, n := range sets {
		// n*remain may pass 64 bits for absurd input only; the wide product costs nothing.
		hi, lo := bits.Mul64(uint64(n), uint64(remain))
		q, r := bits.Div64(hi, lo, uint64(sum))
		out[i], rest[i] = int(q), r
		if r > 0 {
			order = append(order, i)
		}
	}
	left := remain
	for _, n := range out {
		left -= n
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(rest[b], rest[a]), cmp.Compare(sets[b], sets[a]))
	})
	for _, i := range order[:left] {
		out[i]++
	}
	return out
}

// Work is sets on a day of the taper, as the reference week would have them.
type Work struct {
	Day  int // taper day, 1 to the curve's days
	Sets int // planned sets before any cut
}

// Sets shares the taper out over the work that would otherwise be done on its
// days: one number of sets for each entry, in the order given. Entries may be
// sessions, or lifts of sessions; several may fall on one day.
//
// The sets that remain in all are (1 - mean cut) times the sets planned,
// rounded half up, whatever days the sessions fall on: a taper removes what it
// says. Within that total an entry's share goes with its sets times the curve's
// value on its day, no entry gains sets, and fractions are settled by largest
// remainder as in [ShareOut].
//
// It returns a *FieldError for a day outside the taper or sets outside 0 to a
// million.
func (c Curve) Sets(work []Work) ([]int, error) {
	planned := make([]int, len(work))
	for i, w := range work {
		if w.Day < 1 || w.Day > c.days {
			return nil, &FieldError{Field: fmt.Sprintf("work[%d].day", i), Value: float64(w.Day), Want: fmt.Sprintf("1 to %d", c.days)}
		}
		planned[i] = w.Sets
	}
	sum, err := total(planned)
	if err != nil {
		return nil, err
	}
	remain := halfUp((1 - c.MeanCut()) * float64(sum))

	// Each entry's quota is min(planned, scale * planned * r), with the scale
	// that makes the quotas add up; entries that reach their planned sets are
	// taken out and the rest scaled again. Every round takes out at least one
	// entry or ends, so there are at most len(work) rounds.
	quota := make([]float64, len(work))
	full := make([]bool, len(work))
	for {
		var weight, free num.Sum
		open := remain
		for i, w := range work {
			switch {
			case full[i]:
				open -= planned[i]
			default:
				weight.Add(float64(planned[i]) * c.At(w.Day))
				free.Add(float64(planned[i]))
			}
		}
		again := false
		for i, w := range work {
			if full[i] {
				quota[i] = float64(planned[i])
				continue
			}
			switch {
			case weight.Value() > 0:
				quota[i] = float64(open) * float64(planned[i]) * c.At(w.Day) / weight.Value()
			case free.Value() > 0: // only days of no work at all are left: planned sets alone decide
				quota[i] = float64(open) * float64(planned[i]) / free.Value()
			}
			if planned[i] > 0 && quota[i] > float64(planned[i]) {
				full[i], again = true, true
			}
		}
		if !again {
			break
		}
	}
	return roundQuotas(quota, planned, remain), nil
}

// roundQuotas rounds the quotas, which add up to remain within rounding error,
// by largest remainder, and never above the planned sets.
func roundQuotas(quota []float64, planned []int, remain int) []int {
	out := make([]int, len(quota))
	order := make([]int, len(quota))
	rest := make([]float64, len(quota))
	left := remain
	for i, q := range quota {
		out[i] = min(int(math.Floor(q+1e-9)), planned[i])
		// Fractions that differ by rounding error alone are one fraction.
		rest[i] = math.Round((q-float64(out[i]))*1e9) / 1e9
		order[i] = i
		left -= out[i]
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(rest[b], rest[a]), cmp.Compare(planned[b], planned[a]))
	})
	for left > 0 {
		before := left
		for _, i := range order {
			if left > 0 && out[i] < planned[i] {
				out[i]++
				left--
			}
		}
		if left == before {
			break
		}
	}
	return out
}
