package sheet

import (
	"strings"
	"unicode/utf8"
)

// csvField quotes a field where RFC 4180 section 2 (rules 6 and 7) asks for it:
// around commas, double quotes and line breaks, with inner quotes doubled.
func csvField(b []byte, s string) []byte {
	if !strings.ContainsAny(s, ",\"\r\n") {
		return append(b, s...)
	}
	b = append(b, '"')
	for i := range len(s) {
		if s[i] == '"' {
			b = append(b, '"')
		}
		b = append(b, s[i])
	}
	return append(b, '"')
}

// Defuse puts an apostrophe before text that a spreadsheet program would run
// as a formula: text that begins with = + - @, a tab or a line break (OWASP,
// CSV injection; looked-up). It is meant for cells of free text only: on a
// numeric cell it would turn -2.5 into text.
func Defuse(s string) string {
	if s == "" {
		return s
	}
	switch s[0] {
	case '=', '+', '-', '@', '\t', '\r', '\n':
		return "'" + s
	}
	return s
}

// icsEscape escapes a TEXT value (RFC 5545 section 3.3.11): backslash,
// semicolon and comma get a backslash, a line break becomes \n, a colon stays.
// Other control characters cannot be in a TEXT value and are left out.
func icsEscape(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == '\\' || c == ';' || c == ',':
			b.WriteByte('\\')
			b.WriteByte(c)
		case c == '\r' && i+1 < len(s) && s[i+1] == '\n':
		case c == '\n' || c == '\r':
			b.WriteString(`\n`)
		case c == '\t' || c >= 0x20 && c != 0x7f:
			b.WriteByte(c)
		}
	}
	return strings.ToValidUTF8(b.String(), "\uFFFD")
}

// icsFold appends a content line and its CR LF, folded so that no physical
// line is longer than 75 octets without its line break; the space that begins a
// continuation counts (RFC 5545 section 3.1). A code point is never split.
func icsFold(b []byte, line string) []byte {
	room := 75
	for len(line) > room {
		cut := room
		for !utf8.RuneStart(line[cut]) {
			cut--
		}
		b = append(b, line[:cut]...)
		b = append(b, "\r\n "...)
		line = line[cut:]
		room = 74
	}
	b = append(b, line...)
	return append(b, '\r', '\n')
}

// mdCell makes text safe in a cell of a Markdown table (GitHub Flavored
// Markdown 0.29, section 4.10): a pipe gets a backslash, a line break becomes
// <br>. What Markdown or HTML would take as markup is escaped too, so that a
// name is printed as it is written.
func mdCell(s string) string {
	return mdText(s, "<br>")
}

// mdLine is mdCell for running text and headings, where a line break becomes a
// space and a sign or number at the start must not begin a list.
func mdLine(s string) string {
	s = mdText(strings.TrimSpace(s), " ")
	digits := len(s) - len(strings.TrimLeft(s, "0123456789"))
	if rest := s[digits:]; rest != "" && (digits == 0 && strings.ContainsRune("+-=", rune(rest[0])) || digits > 0 && (rest[0] == '.' || rest[0] == ')')) {
		s = s[:digits] + `\` + rest
	}
	return s
}

func mdText(s, lineBreak string) string {
	s = strings.Map(func(r rune) rune {
		if r < 0x20 && r != '\n' && r != '\r' && r != '\t' || r >= 0x7f && r < 0xa0 {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		switch c := s[i]; c {
		case '\r':
			if i+1 < len(s) && s[i+1] == '\n' {
				continue
			}
			b.WriteString(lineBreak)
		case '\n':
			b.WriteString(lineBreak)
		case '\t':
			b.WriteByte(' ')
		case '|', '\\', '`', '*', '_', '[', ']', '#', '~':
			b.WriteByte('\\')
			b.WriteByte(c)
		case '<':
			b.WriteString("&lt;")
		case '>':
			b.WriteString("&gt;")
		case '&':
			b.WriteString("&amp;")
		default:
			b.WriteByte(c)
		}
	}
	return b.String()
}

// FileName makes one file name out of parts such as a block's title and a
// lifter's name: lower case, letters and digits of any script kept, everything
// else a hyphen. The result is safe on the usual file systems: never empty,
// hidden, a device name or longer than 120 bytes before the extension.
// Different parts may give the same name; see [Names].
func FileName(ext string, parts ...string) string {
	return cleanName(strings.Join(parts, " ")) + "." + ext
}
