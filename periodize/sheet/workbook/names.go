package workbook

import (
	"strconv"
	"strings"
	"unicode/utf16"
)

// maxSheetName is the most UTF-16 units of a sheet's name (from memory).
const maxSheetName = 31

// sheetNames makes names that a workbook accepts and keeps them apart, letter
// case aside. The zero value is ready.
type sheetNames struct {
	taken map[string]bool
	last  map[string]int // number of the last name made of a base, so that many of one base take no search
}

func (n *sheetNames) take(s string) string {
	if n.taken == nil {
		n.taken, n.last = map[string]bool{}, map[string]int{}
	}
	base := strings.Map(func(r rune) rune {
		switch {
		case r < 0x20 || r >= 0x7f && r < 0xa0 || r == '\uFFFD':
			return -1
		case strings.ContainsRune(`:\/?*[]`, r):
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	base = strings.Trim(strings.Join(strings.Fields(base), " "), "' ")
	if base == "" || strings.EqualFold(base, "history") { // a name that one program keeps to itself (from memory)
		base = strings.TrimSpace("lifter " + base)
	}
	name := clip(base, maxSheetName)
	first := strings.ToLower(name)
	for i := max(n.last[first], 1); n.taken[strings.ToLower(name)]; {
		i++
		tail := " " + strconv.Itoa(i)
		name = clip(base, maxSheetName-len(tail)) + tail
		n.last[first] = i
	}
	n.taken[strings.ToLower(name)] = true
	return name
}

// clip cuts a name to so many UTF-16 units, at a code point, with no space or
// apostrophe left at its end.
func clip(s string, units int) string {
	n := 0
	for i, r := range s {
		if n += utf16.RuneLen(r); n > units {
			return strings.TrimRight(s[:i], "' ")
		}
	}
	return s
}
