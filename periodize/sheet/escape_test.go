package sheet

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"strings"
	"testing"
	"unicode/utf8"
)

// vectors are the rows of one kind of testdata/format-vectors.csv: an input
// and what it becomes, computed from the rules of the standards named there.
func vectors(t *testing.T, kind string) [][2]string {
	t.Helper()
	f, err := os.Open("../../testdata/format-vectors.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out [][2]string
	for _, r := range rows {
		if r[0] == kind {
			out = append(out, [2]string{r[1], r[2]})
		}
	}
	if len(out) == 0 {
		t.Fatalf("no vectors of kind %q", kind)
	}
	return out
}

func decode[T any](t *testing.T, s string) (v T) {
	t.Helper()
	if err := json.Unmarshal([]byte(s), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

func TestCalendarTextVectors(t *testing.T) {
	for _, v := range vectors(t, "ical-text") {
		in := decode[string](t, v[0])
		want := decode[struct {
			Escaped string `json:"escaped"`
			Octets  int    `json:"octets_of_unfolded_line"`
			Lines   int    `json:"fewest_physical_lines_at_75_octets"`
		}](t, v[1])
		got := icsEscape(in)
		if got != want.Escaped {
			t.Errorf("icsEscape(%q) = %q, want %q", in, got, want.Escaped)
		}
		line := "DESCRIPTION:" + got
		if len(line) != want.Octets {
			t.Errorf("%q: %d octets, want %d", in, len(line), want.Octets)
		}
		folded := string(icsFold(nil, line))
		if n := strings.Count(folded, "\r\n"); n != want.Lines {
			t.Errorf("%q: folded to %d lines, want %d", in, n, want.Lines)
		}
	}
}

func TestCSVTextVectors(t *testing.T) {
	for _, v := range vectors(t, "csv-text-field") {
		in := decode[string](t, v[0])
		want := decode[struct {
			Field    string `json:"rfc4180_field"`
			Risky    bool   `json:"begins_with_risky_character"`
			Prefixed string `json:"with_quote_prefix_then_rfc4180"`
		}](t, v[1])
		if got := string(csvField(nil, in)); got != want.Field {
			t.Errorf("csvField(%q) = %q, want %q", in, got, want.Field)
		}
		if got := string(csvText(nil, in)); got != want.Prefixed {
			t.Errorf("csvText(%q) = %q, want %q", in, got, want.Prefixed)
		}
		if got := Defuse(in) != in; got != want.Risky {
			t.Errorf("Defuse(%q) changed it: %v, want %v", in, got, want.Risky)
		}
	}
}

func TestMarkdownCellVectors(t *testing.T) {
	// The vectors are the rules for pipes and line breaks alone. What else
	// would be markup is escaped here as well; that is taken off before the
	// comparison.
	plain := strings.NewReplacer(`\*`, `*`, `\_`, `_`)
	for _, v := range vectors(t, "gfm-cell") {
		in := decode[string](t, v[0])
		want := decode[struct {
			Cell string `json:"with_pipes_escaped_and_breaks_to_br"`
		}](t, v[1])
		if got := plain.Replace(mdCell(in)); got != want.Cell {
			t.Errorf("mdCell(%q) = %q, want %q", in, got, want.Cell)
		}
	}
}

func TestMarkdownText(t *testing.T) {
	for in, want := range map[string]string{
		"<script>":      "&lt;script&gt;",
		"a_b *c* [d]":   `a\_b \*c\* \[d\]`,
		"- not a list":  `\- not a list`,
		"+5 is added":   `\+5 is added`,
		"1. not a list": `1\. not a list`,
		"2) nor this":   `2\) nor this`,
		"# no heading":  `\# no heading`,
		"two\r\nlines":  "two lines",
		`back\slash`:    `back\\slash`,
		"5x5":           "5x5",
		"2027":          "2027",
		"":              "",
	} {
		if got := mdLine(in); got != want {
			t.Errorf("mdLine(%q) = %q, want %q", in, got, want)
		}
	}
}

// unfold and unescape are written from RFC 5545 sections 3.1 and 3.3.11.
func unfold(s string) string { return strings.NewReplacer("\r\n ", "", "\r\n\t", "").Replace(s) }

func unescape(s string) string {
	return strings.NewReplacer(`\\`, `\`, `\;`, `;`, `\,`, `,`, `\n`, "\n", `\N`, "\n").Replace(s)
}

func FuzzCalendarText(f *testing.F) {
	for _, s := range []string{"", "plain", "a;b,c\\d\ne", strings.Repeat("字", 60), strings.Repeat("é", 32), "\x00\xff", "tab\there", "\r\n\r"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		out := string(icsFold(nil, "X:"+icsEscape(s)))
		if !utf8.ValidString(out) {
			t.Fatalf("%q: not UTF-8", out)
		}
		for _, l := range strings.Split(strings.TrimSuffix(out, "\r\n"), "\r\n") {
			if len(l) > 75 || !utf8.ValidString(l) {
				t.Fatalf("line %q: %d octets", l, len(l))
			}
			if strings.ContainsAny(l, "\r\n") {
				t.Fatalf("line %q has a bare line break", l)
			}
		}
		got := unescape(strings.TrimPrefix(strings.TrimSuffix(unfold(out), "\r\n"), "X:"))
		want := strings.Map(func(r rune) rune {
			if r < 0x20 && r != '\n' && r != '\t' || r == 0x7f {
				return -1
			}
			return r
		}, strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(s))
		if want = strings.ToValidUTF8(want, "\uFFFD"); got != want && utf8.ValidString(s) {
			t.Fatalf("read back %q, wrote %q", got, want)
		}
	})
}

func FuzzCSVField(f *testing.F) {
	for _, s := range []string{"", "plain", `5'10" lifter`, "=1+2", "-2.5", "a,b", "two\nlines", "\r", "'"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		b := append(csvText(nil, s), ",end\r\n"...)
		r := csv.NewReader(bytes.NewReader(b))
		row, err := r.Read()
		if err != nil || len(row) != 2 || row[1] != "end" {
			t.Fatalf("%q reads back as %q, %v", b, row, err)
		}
		// encoding/csv reads CR LF inside quotes as LF.
		if want := strings.ReplaceAll(Defuse(s), "\r\n", "\n"); row[0] != want {
			t.Fatalf("read back %q, want %q", row[0], want)
		}
		if row[0] != "" && strings.ContainsRune("=+-@\t\r\n", rune(row[0][0])) {
			t.Fatalf("%q could run as a formula", row[0])
		}
	})
}

func FuzzJSONString(f *testing.F) {
	for _, s := range []string{"", "plain", "\"\\\n\r\t\x00\x1f\x7f", "\u2028\u2029", "\xff\xc3(", "漢字 é 😀", "</script>"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var got string
		b := appendString(nil, s)
		if err := json.Unmarshal(b, &got); err != nil {
			t.Fatalf("%q: %v", b, err)
		}
		// encoding/json replaces what is not UTF-8 in the same way.
		ref, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		var want string
		if err := json.Unmarshal(ref, &want); err != nil {
			t.Fatal(err)
		}
		if got != want {
			t.Fatalf("read back %q, want %q", got, want)
		}
	})
}

func TestFileName(t *testing.T) {
	for _, c := range []struct {
		parts []string
		want  string
	}{
		{[]string{"Autumn press & pull", "Ilse Ørn"}, "autumn-press-pull-ilse-ørn.txt"},
		{[]string{"../../etc/passwd"}, "etc-passwd.txt"},
		{[]string{"李娜"}, "李娜.txt"},
		{[]string{"O'Neil"}, "oneil.txt"},
		{[]string{"CON"}, "con-sheet.txt"},
		{[]string{"", "..."}, "sheet.txt"},
		{[]string{"a\x00b\nc"}, "a-b-c.txt"},
		{[]string{"  .hidden. "}, "hidden.txt"},
		{[]string{strings.Repeat("ab ", 100)}, strings.Repeat("ab-", 40)[:119] + ".txt"},
		{[]string{"\u0301x"}, "x.txt"},
	} {
		if got := FileName("txt", c.parts...); got != c.want {
			t.Errorf("FileName(%q) = %q, want %q", c.parts, got, c.want)
		}
	}
	var n Names
	for _, want := range []string{"jo.md", "jo-2.md", "jo-3.md"} {
		if got := n.Name("md", "Jo!"); got != want {
			t.Errorf("Name = %q, want %q", got, want)
		}
	}
	if got := n.Name("html", "Jo"); got != "jo.html" {
		t.Errorf("Name = %q, want jo.html", got)
	}
}

func FuzzFileName(f *testing.F) {
	f.Add("a/b\\c", "..")
	f.Add("", "\x00")
	f.Add(strings.Repeat("é", 200), "x")
	f.Fuzz(func(t *testing.T, a, b string) {
		name := FileName("txt", a, b)
		base, ok := strings.CutSuffix(name, ".txt")
		if !ok || base == "" || len(base) > maxName || !utf8.ValidString(name) ||
			strings.ContainsAny(base, `/\:*?"<>|. `+"\x00\n\r\t") || base[0] == '-' || base[len(base)-1] == '-' {
			t.Fatalf("FileName(%q, %q) = %q", a, b, name)
		}
	})
}
