package periodize

import (
	"fmt"
	"strings"
)

// Error is one thing that is wrong with a block or a roster.
type Error struct {
	Pos   Pos    // zero for a block built by a program
	Where string // block, lifter, session or lift, in words
	Msg   string // what is wrong and what would be right
}

func (e *Error) Error() string {
	switch p := e.Pos.String(); {
	case p != "" && e.Where != "":
		return p + ": " + e.Where + ": " + e.Msg
	case p != "":
		return p + ": " + e.Msg
	case e.Where != "":
		return "periodize: " + e.Where + ": " + e.Msg
	}
	return "periodize: " + e.Msg
}

// Errors is everything that is wrong, in the order of the files.
type Errors []error

func (e Errors) Error() string {
	s := make([]string, len(e))
	for i, err := range e {
		s[i] = err.Error()
	}
	return strings.Join(s, "\n")
}

// Unwrap lets errors.As reach each error.
func (e Errors) Unwrap() []error { return e }

// MissingMax is a lift that a lifter has no maximum for.
type MissingMax struct {
	Lifter    string
	LifterPos Pos
	Lift      string
	ItemPos   Pos // the first item that needs it
}

// MissingMaxError lists every maximum that a roster lacks, so that all of them
// can be filled in at once.
type MissingMaxError struct{ Missing []MissingMax }

func (e *MissingMaxError) Error() string {
	var b strings.Builder
	for _, m := range e.Missing {
		if p := m.LifterPos.String(); p != "" {
			b.WriteString(p + ": ")
		} else {
			b.WriteString("periodize: ")
		}
		fmt.Fprintf(&b, "%s has no maximum for %q", m.Lifter, m.Lift)
		if p := m.ItemPos.String(); p != "" {
			fmt.Fprintf(&b, ", which %s needs", p)
		}
		b.WriteString("\n")
	}
	b.WriteString("three ways to give one: a set (load, reps, rir), a tested maximum, or `max: {of: another lift, percent: 80}` with the lift in the block")
	return b.String()
}

// Stub is the roster part to fill in, one entry for each missing maximum. The
// numbers in it are placeholders to replace, not suggestions.
func (e *MissingMaxError) Stub() string {
	var b strings.Builder
	last := ""
	for _, m := range e.Missing {
		if m.Lifter != last {
			fmt.Fprintf(&b, "  - name: %s\n    maxes:\n", yamlWord(m.Lifter))
			last = m.Lifter
		}
		fmt.Fprintf(&b, "      %s: {load: LOAD, reps: REPS, rir: RIR}\n", yamlWord(m.Lift))
	}
	return b.String()
}

// yamlWord quotes a name where plain YAML would read something else.
func yamlWord(s string) string {
	plain := s != "" && s[0] != '-' && s[0] != '?' && strings.TrimSpace(s) == s &&
		!strings.ContainsAny(s, ":#{}[],&*!|>'\"%@`\\\n\t") && strings.Trim(s, "0123456789.+-_eExX") != ""
	switch strings.ToLower(s) {
	case "true", "false", "yes", "no", "on", "off", "null", "~", "y", "n":
		plain = false
	}
	if plain {
		return s
	}
	return fmt.Sprintf("%q", s)
}
