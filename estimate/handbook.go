package estimate

import (
	"strconv"
	"strings"
)

// Handbook is a printed table of repetitions and the fraction of the maximum.
// It has the rows that were printed and nothing between them: the textbook
// drops five points from 10 to 11 repetitions and three from 9 to 10, so
// interpolation would invent a shape. It rounds to whole percents, and two
// tables of the same body disagree at 12 repetitions (67 and 70 %).
type Handbook struct {
	ID       string // stable identifier
	Citation string
	Rows     []HandbookRow // ascending in Reps
}

// HandbookRow is one printed row.
type HandbookRow struct {
	Reps     int     // to failure
	Fraction float64 // of the maximum
	Have     How
}

// Handbooks returns the printed tables. They are the caller's.
func Handbooks() []Handbook {
	books := []Handbook{
		{ID: "nsca_textbook", Citation: "Essentials of Strength Training and Conditioning (Baechle and Earle; Haff and Triplett), percent of 1RM and repetitions allowed"},
		{ID: "nsca_load_chart", Citation: "NSCA training load chart (handout)"},
	}
	for i, percents := range [][]float64{
		{100, 95, 93, 90, 87, 85, 83, 80, 77, 75, 70, 67, 0, 0, 65},
		{100, 95, 93, 90, 87, 85, 83, 80, 77, 75, 0, 70},
	} {
		for n, p := range percents {
			if p == 0 {
				continue
			}
			row := HandbookRow{Reps: n + 1, Fraction: p / 100, Have: Secondary}
			if i == 0 && n+1 == 12 {
				row.Have = Memory
			}
			books[i].Rows = append(books[i].Rows, row)
		}
	}
	return books
}

// Fraction is the printed fraction for that many repetitions. Repetitions that
// are not printed are a *RangeError that lists those that are.
func (h Handbook) Fraction(reps int) (float64, error) {
	printed := make([]string, len(h.Rows))
	for i, r := range h.Rows {
		if r.Reps == reps {
			return r.Fraction, nil
		}
		printed[i] = strconv.Itoa(r.Reps)
	}
	return 0, &RangeError{Model: h.ID, Field: "reps", Value: float64(reps),
		Want: "one of " + strings.Join(printed, ", "), Why: "the table has no such row and is not interpolated"}
}
