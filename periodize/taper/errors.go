package taper

import (
	"fmt"
	"strconv"
)

// FieldError says which argument was outside what can be answered.
type FieldError struct {
	Field string  // argument or field, such as "days" or "sets[2]"
	Value float64 // what was given; 0 where it is not a number
	Want  string  // what would be right
}

func (e *FieldError) Error() string {
	return fmt.Sprintf("taper: %s: want %s, got %s", e.Field, e.Want, number(e.Value))
}

// NoSolutionError says that no curve of the wanted kind makes the wanted cut.
// The cuts that it does make lie strictly between Low and High, or at High
// where HighIncluded is true.
type NoSolutionError struct {
	Shape        Shape
	Days         int     // of the taper
	Field        string  // "mean cut" or "final cut"
	Value        float64 // what was asked for, a fraction
	Low, High    float64 // fractions
	HighIncluded bool
}

func (e *NoSolutionError) Error() string {
	upto := "below"
	if e.HighIncluded {
		upto = "at most"
	}
	return fmt.Sprintf("taper: %s: no %s taper of %d days gives %s %%; it must be above %s %% and %s %s %%",
		e.Field, e.Shape, e.Days, percent(e.Value), percent(e.Low), upto, percent(e.High))
}

// NameError says that there is no shape, lift kind or rule book of that name.
type NameError struct {
	Kind    string // "shape", "lift" or "rules"
	Name    string
	Choices []string
}

func (e *NameError) Error() string {
	s := fmt.Sprintf("taper: no %s is called %q; choose from", e.Kind, e.Name)
	for i, c := range e.Choices {
		if i > 0 {
			s += ","
		}
		s += " " + c
	}
	return s
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func percent(x float64) string { return strconv.FormatFloat(100*x, 'g', 4, 64) }
