package blockfile

import (
	"cmp"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/periodize"
)

// Error is one thing that is wrong with a file.
type Error struct {
	Pos  periodize.Pos // line 0 where the file as a whole is meant
	Path string        // the field, such as sessions[0].work[2].sets; "" for the whole file
	Msg  string        // what is wrong and what would be right
	Err  error         // the cause: a *[KindError], or why the file could not be read to its end; nil otherwise
}

// Error is file:line:column: path: message.
func (e *Error) Error() string {
	s := e.Msg
	if e.Path != "" {
		s = e.Path + ": " + s
	}
	if p := e.Pos.String(); p != "" {
		s = p + ": " + s
	}
	return s
}

// Unwrap is the cause, nil for what is wrong with the file itself.
func (e *Error) Unwrap() error { return e.Err }

// Errors is everything that is wrong with a file, in the order of the file.
type Errors []*Error

// Error has one line for each error.
func (e Errors) Error() string {
	s := make([]string, len(e))
	for i, err := range e {
		s[i] = err.Error()
	}
	return strings.Join(s, "\n")
}

// Unwrap lets errors.As and errors.Is reach each error.
func (e Errors) Unwrap() []error {
	s := make([]error, len(e))
	for i, err := range e {
		s[i] = err
	}
	return s
}

// sorted is the errors by place, those said twice of one place (through an
// alias) once; nil where there are none.
func (e Errors) sorted() error {
	if len(e) == 0 {
		return nil
	}
	slices.SortStableFunc(e, func(a, b *Error) int {
		return cmp.Or(cmp.Compare(a.Pos.File, b.Pos.File), cmp.Compare(a.Pos.Line, b.Pos.Line), cmp.Compare(a.Pos.Column, b.Pos.Column))
	})
	type said struct {
		pos periodize.Pos
		msg string
	}
	seen := make(map[said]bool, len(e))
	return slices.DeleteFunc(e, func(x *Error) bool {
		k := said{x.Pos, x.Msg}
		if x.Pos.Line > 0 && seen[k] {
			return true
		}
		seen[k] = true
		return false
	})
}
