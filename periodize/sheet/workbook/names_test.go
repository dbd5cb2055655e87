package workbook

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"
)

func TestSheetNames(t *testing.T) {
	var n sheetNames
	for _, c := range [][2]string{
		{"Jo", "Jo"}, {"Jo 2", "Jo 2"}, {"jo", "jo 3"}, {"Jo", "Jo 4"}, {"Jo 4", "Jo 4 2"},
		{"a/b", "a b"}, {`a\b`, "a b 2"}, {"[x]:*?", "x"}, {"'quoted'", "quoted"},
		{"", "lifter"}, {"History", "lifter History"}, {"\x00\x1b\ufffd", "lifter 2"},
		{"=1+1", "=1+1"}, {strings.Repeat("w", 40), strings.Repeat("w", 31)}, {strings.Repeat("w", 50), strings.Repeat("w", 29) + " 2"},
		{strings.Repeat("😀", 20), strings.Repeat("😀", 15)},
	} {
		if got := n.take(c[0]); got != c[1] {
			t.Errorf("take(%q) = %q, want %q", c[0], got, c[1])
		}
	}
}

// TestSheetNamesOfOneBase: names that differ only behind what a sheet's name can hold
// stay apart, however many there are.
func TestSheetNamesOfOneBase(t *testing.T) {
	var n sheetNames
	seen := map[string]bool{}
	for i := range 30_000 {
		name := n.take(fmt.Sprintf("The long name of an invented gym, %d", i))
		if k := strings.ToLower(name); seen[k] || len(utf16.Encode([]rune(name))) > maxSheetName {
			t.Fatalf("%q is there already or too long", name)
		} else {
			seen[k] = true
		}
	}
}
