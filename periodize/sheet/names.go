package sheet

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// reserved are the names that some file systems keep for devices, with any
// extension (from memory).
var reserved = []string{"con", "prn", "aux", "nul",
	"com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9",
	"lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9"}

// maxName is the most bytes of a name before its extension; file systems take
// 255 with everything that is added to it.
const maxName = 120

func cleanName(s string) string {
	var b strings.Builder
	gap := false
	for _, r := range s {
		r = unicode.ToLower(r)
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) && b.Len() > 0:
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			if b.Len()+utf8.RuneLen(r) > maxName {
				return strings.TrimRight(b.String(), "-")
			}
			b.WriteRune(r)
		case r == '\'' || r == '’': // O'Neil is oneil
		default:
			gap = true
		}
	}
	name := b.String()
	if name == "" {
		return "sheet"
	}
	if slices.Contains(reserved, name) {
		name += "-sheet"
	}
	return name
}

// Names hands out file names and keeps them apart: the second lifter of the
// same name gets a number. The zero value is ready.
type Names struct {
	taken map[string]bool
	last  map[string]int // number of the last name made of a base, so that many of one base take no search
}

// Name is [FileName], with a number before the extension where that name was
// handed out before.
func (n *Names) Name(ext string, parts ...string) string {
	if n.taken == nil {
		n.taken, n.last = map[string]bool{}, map[string]int{}
	}
	base := cleanName(strings.Join(parts, " "))
	first := base + "." + ext
	name := first
	for i := max(n.last[first], 1); n.taken[name]; {
		i++
		name = base + "-" + strconv.Itoa(i) + "." + ext
		n.last[first] = i
	}
	n.taken[name] = true
	return name
}
