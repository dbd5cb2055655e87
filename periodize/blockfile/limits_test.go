package blockfile_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/blockwright/blockwright/periodize/blockfile"
)

// Files that no table of text files can hold: too large, no text, bombs.
func TestLimits(t *testing.T) {
	bomb := "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
	for c := 'b'; c <= 'i'; c++ {
		bomb += fmt.Sprintf("%c: &%c [", c, c) + strings.Repeat(fmt.Sprintf("*%c, ", c-1), 9) + fmt.Sprintf("*%c]\n", c-1)
	}
	for _, c := range []struct{ name, text, want string }{
		{"over the size", "# " + strings.Repeat("x", blockfile.MaxSize), "b.yaml: the file is too large: want at most 8 MiB"},
		{"a NUL", "block: a\x00b\n", "b.yaml:1:9: control character U+0000: want text"},
		{"an escape", "block: a\n\x1b[1m\n", "b.yaml:2:1: control character U+001B: want text"},
		{"a C1 control", "block: é\u0080\n", "b.yaml:1:9: control character U+0080: want text"},
		{"a mark inside", "block: a\ufeff\n", "b.yaml:1:9: control character U+FEFF: want text"},
		{"bytes that are no UTF-8", "block: a\nnote: caf\xe9\n", "b.yaml:2:10: byte 0xe9 is not UTF-8: save the file as UTF-8"},
		{"UTF-16", "\xff\xfeb\x00", "b.yaml:1:1: the text is in UTF-16: save the file as UTF-8"},
		{"UTF-16 the other way", "\xfe\xff\x00b", "b.yaml:1:1: the text is in UTF-16: save the file as UTF-8"},
		{"gzip", "\x1f\x8b\x08\x00", "b.yaml:1:1: the file is packed with gzip: unpack it first"},
		{"a workbook", "PK\x03\x04\x14\x00", "b.yaml:1:1: the file is a workbook or another zip archive: want a text file in YAML"},
		{"a PDF", "%PDF-1.7\n", "b.yaml:1:1: the file is a PDF: want a text file in YAML"},
		{"a log", "\ufeffDate;Lifter;\"Lift\";Load;Reps\r\n2027-09-06;Oona;row;60;5\r\n", "b.yaml:1:1: this is a log: want a block"},
		{"a long name of an anchor", "a: *" + strings.Repeat("x", 100_000), "b.yaml:1:4: there is no anchor &" + strings.Repeat("x", 60) + "... before this alias"},
		{"a long tag", "a: !<" + strings.Repeat("x", 100_000) + "> b", "b.yaml:1:4: tag " + strings.Repeat("x", 60) + "...: want a value without a tag"},
		{"a long alias inside itself", "a: &" + strings.Repeat("x", 100_000) + " [*" + strings.Repeat("x", 100_000) + "]", "b.yaml:1:100007: alias *" + strings.Repeat("x", 60) + "... stands inside what it stands for"},
		{"a long key", "block: a\nweeks: 1\nlifts: {row: {pattern: squat, uses: none}}\nsessions: [{name: a, work: [{lift: row, reps: 5}]}]\n? " + strings.Repeat("x", 100_000) + "\n: 1\n", "b.yaml:5:3: want a key of at most 200 characters, got 100000"},
		{"a title of many digits", "block: " + strings.Repeat("1", 1000) + "\nweeks: 1\nlifts: {row: {pattern: squat, uses: none}}\nsessions: [{name: a, work: [{lift: row, reps: 5}]}]\n",
			"b.yaml:1:8: block: want a title, got " + strings.Repeat("1", 60) + "...: put a text that looks like a number, true or false in quotes"},
		{"deep lists", "block: " + strings.Repeat("[", 200) + strings.Repeat("]", 200) + "\n", "b.yaml:1:31: nested too deeply: want at most 24 levels"},
		{"lists deeper than the parser goes", strings.Repeat("[", 100_000), "b.yaml:1:1: not valid YAML: exceeded max depth of 10000"},
		{"lists and mappings of 10,000 levels", "block: " + strings.Repeat("[{a: ", 5000) + strings.Repeat("}]", 5000), "b.yaml:1:64: nested too deeply: want at most 24 levels"},
		{"deep mappings", deep(), "b.yaml:24:24: nested too deeply: want at most 24 levels"},
		{"an alias bomb", bomb, "b.yaml:6:8: aliases expand to more than 200000 values: write out what is meant"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := blockfile.ReadBlock("b.yaml", strings.NewReader(c.text))
			if err == nil || err.Error() != c.want {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
		})
	}
}

func deep() string {
	var b strings.Builder
	for i := range 40 {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

// Aliases that a person may use are no bomb.
func TestModerateAliases(t *testing.T) {
	text := "block: Same again\nweeks: 1\nlifts: {row: {pattern: pull-horizontal, uses: none}}\nsessions:\n  - &s {name: S0, work: [&w {lift: row, reps: 5}" + strings.Repeat(", *w", 50) + "]}\n"
	for i := 1; i < 200; i++ {
		text += fmt.Sprintf("  - {name: S%d, work: [*w, *w]}\n", i)
	}
	b, err := blockfile.ReadBlock("b.yaml", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Sessions) != 200 || len(b.Sessions[0].Work) != 51 {
		t.Errorf("%d sessions, the first with %d exercises", len(b.Sessions), len(b.Sessions[0].Work))
	}
}

// A file that is something else altogether does not fill the memory with what
// is wrong with it.
func TestManyMistakes(t *testing.T) {
	text := "block: Keys\n"
	for i := range 12_000 {
		text += fmt.Sprintf("key%d: 1\n", i)
	}
	_, err := blockfile.ReadBlock("b.yaml", strings.NewReader(text))
	var all blockfile.Errors
	if !errors.As(err, &all) {
		t.Fatal(err)
	}
	if n := len(all); n != 10_001 {
		t.Errorf("%d errors, want 10001", n)
	}
	if got, want := all[len(all)-1].Error(), "b.yaml: 2003 more mistakes are not listed"; got != want {
		t.Errorf("the last is %q, want %q", got, want)
	}
}

func TestReadError(t *testing.T) {
	_, err := blockfile.ReadBlock("b.yaml", iotest.ErrReader(io.ErrUnexpectedEOF))
	var e *blockfile.Error
	if !errors.As(err, &e) || e.Error() != "b.yaml: cannot be read: unexpected EOF" || !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("got %v", err)
	}
	if _, err := blockfile.ReadBlock("b.yaml", strings.NewReader("a: 1\n")); err == nil || errors.Unwrap(firstOf(err)) != nil {
		t.Errorf("what is wrong with the file has a cause: %v", err)
	}
}

func firstOf(err error) error {
	var e *blockfile.Error
	errors.As(err, &e)
	return e
}

// A byte order mark, CRLF and the directive of YAML 1.2 are no mistakes, and do
// not move the places of mistakes.
func TestHarmlessBytes(t *testing.T) {
	const text = "\ufeff%YAML 1.2\r\n---\r\nblock: a\r\nweek: 1\r\n"
	_, err := blockfile.ReadBlock("b.yaml", strings.NewReader(text))
	want := `b.yaml:3:1: lifts is missing: want a mapping of lifts
b.yaml:3:1: sessions is missing: want a list of sessions
b.yaml:4:1: week: unknown key; did you mean "weeks"?`
	if err == nil || err.Error() != want {
		t.Errorf("got:\n%v\nwant:\n%s", err, want)
	}
}

func TestSuggest(t *testing.T) {
	choices := []string{"mon", "bench press", "squat", "Row", "kg"}
	for word, want := range map[string]string{
		"squat": "squat", "sqaut": "squat", "squa": "squat", "squats": "squat", "sqautt": "squat", "skwat": "squat", "sqwadz": "",
		"benchpress": "bench press", "BENCH PRES": "bench press", "row": "Row", "raw": "Row", "rwa": "", "mno": "mon", "men": "mon",
		"lb": "", "kgs": "kg", "": "", "deadlift": "",
	} {
		if got := blockfile.Suggest(word, choices); got != want {
			t.Errorf("Suggest(%q) = %q, want %q", word, got, want)
		}
	}
	if got := blockfile.Suggest("row", nil); got != "" {
		t.Errorf("a suggestion %q out of none", got)
	}
	if got := blockfile.Suggest("aaaa", []string{"aaab", "aaac"}); got != "aaab" {
		t.Errorf("of equally near ones %q, want the first", got)
	}
}
