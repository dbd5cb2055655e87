package response

import (
	"fmt"
	"math"
	"slices"
)

// Test is a measured performance. Day 1 is the day of the first load.
// Performance is in any one unit, above 0; more is better.
type Test struct {
	Day         int
	Performance float64
}

// sortTests checks tests against a log of so many days and returns them by day.
func sortTests(tests []Test, days int) ([]Test, error) {
	for i, t := range tests {
		if t.Day < 1 || t.Day > days {
			return nil, &FieldError{Field: fmt.Sprintf("tests[%d].day", i), Value: float64(t.Day), Want: fmt.Sprintf("1 to %d, the days of the log", days)}
		}
		if !(t.Performance > 0 && t.Performance <= maxLevel) || math.IsNaN(t.Performance) {
			return nil, &FieldError{Field: fmt.Sprintf("tests[%d].performance", i), Value: t.Performance, Want: "above 0"}
		}
	}
	s := slices.Clone(tests)
	slices.SortStableFunc(s, func(a, b Test) int { return a.Day - b.Day })
	return s, nil
}
