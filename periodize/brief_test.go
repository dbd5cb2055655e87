package periodize

import (
	"slices"
	"testing"
)

// Every remedy is made of patterns and muscles that a block may name, and the
// table is not shared with its callers.
func TestRemedies(t *testing.T) {
	if len(Lackings()) != len(Remedies()) {
		t.Fatalf("%d things lacking, %d remedies", len(Lackings()), len(Remedies()))
	}
	for i, l := range Lackings() {
		r, ok := l.Remedy()
		if !ok || r.Lacking != l || len(r.Patterns) == 0 || len(r.Muscles) == 0 || r.Why == "" {
			t.Errorf("%q: %+v, %v", l, r, ok)
		}
		if slices.Index(Lackings(), l) != i {
			t.Errorf("%q is there twice", l)
		}
		for _, p := range r.Patterns {
			if !slices.Contains(Patterns(), p) {
				t.Errorf("%q: %q is no pattern", l, p)
			}
		}
		for _, m := range r.Muscles {
			if !slices.Contains(Muscles(), m) {
				t.Errorf("%q: %q is no muscle", l, m)
			}
		}
		r.Patterns[0], r.Muscles[0] = "", ""
		if again, _ := l.Remedy(); again.Patterns[0] == "" || again.Muscles[0] == "" {
			t.Errorf("%q: the table can be changed from outside", l)
		}
	}
	if _, ok := Lacking("courage").Remedy(); ok {
		t.Error("a remedy for courage")
	}
}
