package main

import (
	"testing"

	"github.com/blockwright/blockwright/periodize/taper"
)

// Every field that a rule book has from memory is told in words.
func TestRuleFieldWords(t *testing.T) {
	for _, r := range taper.RuleBooks() {
		for _, f := range r.FromMemory {
			if ruleFields[f] == "" {
				t.Errorf("%s: no words for %q", r.ID, f)
			}
		}
	}
}
