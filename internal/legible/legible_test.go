package legible_test

import (
	"testing"

	"github.com/blockwright/blockwright/internal/legible"
)

func TestLine(t *testing.T) {
	for _, s := range []string{
		"Iris", "=1+1", "a/b", "O'Neil", "李娜", "אב", "e\u0301\u0302", "Zo\u200cë", "👩\u200d👩\u200d👧", "🏴\U000e0067\U000e0062\U000e007f", "❤\ufe0f",
		"a\u200eb", "\u0600x", "two words",
	} {
		if !legible.Line(s) {
			t.Errorf("Line(%q) is false", s)
		}
	}
	for _, s := range []string{
		"", " ", "x ", "\u00a0x", "a\tb", "a\nb", "a\x00b", "\x1b[31mred", "a\u0080b", "\x7f", "a\xffb", "\ufffd",
		"\u2028x", "a\ufeffb", "\u00adx", "a\u200bb", "a\u2060b", "\u202eevil", "\u2066x\u2069", "x\u200e", "\u200dx", "\u061cx",
		"\u3164", "a\u115fb", "a\uffffb", "a\U0001fffeb", "\ufdd0x", "\U000e0001x",
	} {
		if legible.Line(s) {
			t.Errorf("Line(%q) is true", s)
		}
	}
}

func TestEscape(t *testing.T) {
	for in, want := range map[string]string{
		"plain\nlines é 李":      "plain\nlines é 李",
		"\x1b[31mred\x07":       `\u001b[31mred\u0007`,
		"a\tb\r\n":              "a b\\u000d\n",
		"\u202eevil\u200b":      `\u202eevil\u200b`,
		"\xff\ufffd\U000e0001":  `\xff\ufffd\U000e0001`,
		"👩\u200d👧 stays joined": "👩\u200d👧 stays joined",
	} {
		if got := legible.Escape(in); got != want {
			t.Errorf("Escape(%q) = %q, want %q", in, got, want)
		}
	}
}

func FuzzEscape(f *testing.F) {
	f.Add("\x1b[2J\xff\u202e\U000e0001\t\r\n")
	f.Fuzz(func(t *testing.T, s string) {
		for _, r := range legible.Escape(s) {
			if r != '\n' && legible.Hidden(r) {
				t.Fatalf("Escape(%q) has %q", s, r)
			}
		}
	})
}
