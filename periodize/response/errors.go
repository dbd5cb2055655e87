package response

import (
	"fmt"
	"strconv"
	"strings"
)

// FieldError says which argument was outside what can be answered.
type FieldError struct {
	Field string  // argument or field, such as "tau1" or "load[12]"
	Value float64 // what was given; 0 where it is not a number
	Want  string  // what would be right
}

func (e *FieldError) Error() string {
	return fmt.Sprintf("response: %s: want %s, got %s", e.Field, e.Want, strconv.FormatFloat(e.Value, 'g', -1, 64))
}

// NoLagError says that a model has no such day: no break-even where one session
// never does harm first, no peak where its benefit only falls.
type NoLagError struct {
	Lag string // "break-even" or "peak"
	Why string
}

func (e *NoLagError) Error() string { return "response: no " + e.Lag + " day: " + e.Why }

// TooFewError refuses a fit to data that cannot carry it.
type TooFewError struct {
	Tests, MinTests int // tests that differ in day, and how many are needed
	Days, MinDays   int // days from the first load to the last test
}

func (e *TooFewError) Error() string {
	return fmt.Sprintf("response: %d tests in %d days cannot support a fit; want at least %d tests over %d days",
		e.Tests, e.Days, e.MinTests, e.MinDays)
}

// NameError says that there is no convention or model of that name.
type NameError struct {
	Kind    string // "convention" or "model"
	Name    string
	Choices []string
}

func (e *NameError) Error() string {
	return fmt.Sprintf("response: no %s is called %q; choose from %s", e.Kind, e.Name, strings.Join(e.Choices, ", "))
}
