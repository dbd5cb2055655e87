package estimate

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// FieldError says which argument was outside what can be answered at all.
type FieldError struct {
	Field string  // argument or field, such as "reps" or "sets[2].load"
	Value float64 // what was given
	Want  string  // what would be right
}

func (e *FieldError) Error() string {
	return fmt.Sprintf("estimate: %s: want %s, got %s", e.Field, e.Want, number(e.Value))
}

// RangeError says that a model has no answer there: at or past a pole or a
// turning point, or past the limit up to which its extrapolation is given.
type RangeError struct {
	Model string  // identifier of the equation or name of the curve
	Field string  // "reps", "fraction" or "load"
	Value float64 // what was given
	Want  string  // the range that is answered
	Why   string  // what lies beyond it
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("estimate: %s: %s: want %s, got %s (%s)", e.Model, e.Field, e.Want, number(e.Value), e.Why)
}

// BelowLoadError refuses a predicted maximum under the load that was lifted.
type BelowLoadError struct {
	Model     string  // identifier of the equation
	Load, Max float64 // load lifted and the maximum the equation gives for it
}

func (e *BelowLoadError) Error() string {
	return fmt.Sprintf("estimate: %s: its maximum of %s is under the load lifted, %s; use another equation",
		e.Model, number(round(e.Max, 4)), number(e.Load))
}

// NameError says that there is no equation or curve of that name.
type NameError struct {
	Kind    string   // "equation" or "curve"
	Name    string   // what was asked for
	Nearest string   // the nearest valid name, "" when none is near
	Choices []string // all valid names
}

func (e *NameError) Error() string {
	s := fmt.Sprintf("estimate: no %s is called %q", e.Kind, e.Name)
	if e.Nearest != "" {
		s += fmt.Sprintf("; did you mean %q?", e.Nearest)
	}
	return s + " (choices: " + strings.Join(e.Choices, ", ") + ")"
}

// Warning is something a reader of a result should know; it does not stop the
// work.
type Warning struct {
	Code string // stable, for programs: "extrapolated", "reserve-missing", ...
	Text string // for people
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// nameError finds the nearest choice within two edits.
func nameError(kind, name string, choices []string) error {
	best, at := 3, ""
	for _, c := range choices {
		if d := edits(strings.ToLower(name), strings.ToLower(c)); d < best {
			best, at = d, c
		}
	}
	return &NameError{Kind: kind, Name: name, Nearest: at, Choices: choices}
}

// edits is the Levenshtein distance in bytes.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diag := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diag
			if a[i] != b[j] {
				cost++
			}
			diag = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
