// Package legible tells text that a person can read as it stands from text that
// hides something: control characters, which a terminal obeys; characters that
// cannot be seen, so that two names look the same; and those that turn the
// direction of writing around, so that a line reads other than it is.
package legible

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Hidden reports whether a character has no place in a text: line breaks and
// tabs included.
func Hidden(r rune) bool {
	switch {
	case r < utf8.RuneSelf:
		return r < ' ' || r == 0x7f
	case r == utf8.RuneError, r == '\u2028', r == '\u2029', r&0xfffe == 0xfffe, 0xfdd0 <= r && r <= 0xfdef:
		return true // no character, or a line break of its own kind
	case r == '\u115f', r == '\u1160', r == '\u3164', r == '\uffa0':
		return true // letters that are blank
	case unicode.Is(unicode.Cf, r):
		return !mark(r) && !shown(r)
	}
	return unicode.IsControl(r)
}

// mark reports a joiner or a mark of direction: letters of some scripts and
// pictures made of several need them, between other characters.
func mark(r rune) bool {
	return 0x200c <= r && r <= 0x200f || r == 0x061c
}

// shown reports the characters that Unicode counts as formatting and that are
// seen all the same: signs before a number, and the tags that make flags.
func shown(r rune) bool {
	return unicode.Is(unicode.Prepended_Concatenation_Mark, r) || 0xe0020 <= r && r <= 0xe007f
}

// Line reports whether a text can be a name or another text of one line: nothing
// in it is hidden, and it begins and ends with something that can be seen.
func Line(s string) bool {
	if s == "" || strings.IndexFunc(s, Hidden) >= 0 {
		return false
	}
	first, _ := utf8.DecodeRuneInString(s)
	last, _ := utf8.DecodeLastRuneInString(s)
	return !blank(first) && !blank(last)
}

func blank(r rune) bool { return unicode.IsSpace(r) || mark(r) }

// Escape writes what is hidden in a message as \u and its number, so that a
// terminal prints it and does not obey it. Line breaks stay; a tab becomes a space.
func Escape(s string) string {
	if strings.IndexFunc(s, func(r rune) bool { return r != '\n' && Hidden(r) }) < 0 {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == '\n' || !Hidden(r):
			b.WriteRune(r)
		case r == '\t':
			b.WriteByte(' ')
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\ufffd"):
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case r > 0xffff:
			fmt.Fprintf(&b, `\U%08x`, r)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}
