package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize"
)

// A roster without any maxima is not printed back in full.
func TestMissingTextIsCut(t *testing.T) {
	e := &periodize.MissingMaxError{}
	for i := range 5000 {
		e.Missing = append(e.Missing, periodize.MissingMax{Lifter: fmt.Sprintf("Lifter %d", i), Lift: "row"})
	}
	got := missingText("blockwright plan", e)
	for _, want := range []string{"Lifter 99 has no maximum", "... and 4900 more\n", "5000 maxima are missing", "  - name: Lifter 99\n", "# and so on: 4900 more\n"} {
		if !strings.Contains(got, want) {
			t.Errorf("it lacks %q", want)
		}
	}
	if n := strings.Count(got, "\n"); n > 500 || strings.Contains(got, "Lifter 100") {
		t.Errorf("%d lines", n)
	}
}
