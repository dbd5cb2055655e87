package workload

import (
	"fmt"
	"math"
	"strconv"
)

// FieldError says which argument was outside what can be answered.
type FieldError struct {
	Field string  // argument or field, such as "reps" or "sets[2].rest"
	Value float64 // what was given; 0 where it is not a number
	Want  string  // what would be right
}

func (e *FieldError) Error() string {
	if e.Want == wantName {
		return "workload: " + e.Field + ": want " + e.Want
	}
	return fmt.Sprintf("workload: %s: want %s, got %s", e.Field, e.Want, strconv.FormatFloat(e.Value, 'g', -1, 64))
}

// MismatchError says that two accumulators were fed by different definitions,
// so that their sum would mean nothing.
type MismatchError struct {
	What string // "rule" or "zone edges"
}

func (e *MismatchError) Error() string {
	return "workload: " + e.What + ": the two differ; merge only what was counted by one definition"
}

// DecodeError says why bytes are not a marshalled value of this package.
type DecodeError struct {
	Type string // "volume", "tally", "zones", "INOL", "totals" or "diary"
	Why  string
	Err  error // cause; may be nil
}

func (e *DecodeError) Error() string {
	if e.Err != nil {
		return "workload: " + e.Type + ": " + e.Why + ": " + e.Err.Error()
	}
	return "workload: " + e.Type + ": " + e.Why
}

func (e *DecodeError) Unwrap() error { return e.Err }

// Undefined says why a quantity has no value. The zero value is "it has one".
type Undefined string

// The reasons.
const (
	FlatWeek      Undefined = "every day has the same load, so the standard deviation is zero"
	NoLoad        Undefined = "there is no load in the window"
	TooFewDays    Undefined = "the window is not full yet"
	NoRepetitions Undefined = "there are no repetitions"
	AtMaximum     Undefined = "a set at or above the maximum divides by zero or less"
)

// Index is a ratio that may have no value.
type Index struct {
	Value     float64   `json:"value"` // 0 where undefined
	Undefined Undefined `json:"undefined,omitempty"`
}

// Defined reports whether the index has a value.
func (i Index) Defined() bool { return i.Undefined == "" }

func (i Index) String() string {
	if !i.Defined() {
		return "undefined: " + string(i.Undefined)
	}
	return strconv.FormatFloat(i.Value, 'g', -1, 64)
}

// index is x, or the reason where that is not a number that can be held.
func index(x float64, why Undefined) Index {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return Index{Undefined: why}
	}
	return Index{Value: x}
}
