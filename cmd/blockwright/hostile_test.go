package main

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/internal/legible"
)

// Hostile files: for each, every command that reads a file of its kind must answer
// with status 2, the place and what would be right, or with a clean result. None
// may panic, hang, print what a terminal would obey, or leave something half-written.
// What a reader says of each mistake in full is tested beside the reader; big files
// and those that are no files are in hostile_unix_test.go.

// readings are the commands that read a file of a kind, HERE.
var readings = map[string][]string{
	"block": {
		"plan HERE roster.yaml", "plan HERE roster.yaml --out made --format html", "review HERE", "review HERE roster.yaml", "review block.yaml --against HERE",
		"taper HERE --date 2027-10-23", "taper HERE roster.yaml", "forecast HERE", "forecast HERE roster.yaml", "forecast block.yaml --against HERE",
		"next HERE roster.yaml log.csv --out made.yaml", "review HERE --figure made.svg",
	},
	"roster": {
		"plan block.yaml HERE", "plan block.yaml HERE --out made.xlsx", "review block.yaml HERE", "taper block.yaml HERE", "forecast block.yaml HERE",
		"next block.yaml HERE log.csv --out made.yaml", "draft brief.yaml --fit HERE",
	},
	"gym":   {"plates 60 --gym HERE --bar bar"},
	"brief": {"draft HERE", "draft HERE --out made.yaml", "draft HERE --explain", "draft HERE --fit roster.yaml"},
	"log": {
		"log HERE", "log HERE --skip-bad", "compare HERE", "compare HERE --skip-bad", "compare HERE --figure made.svg", "next block.yaml roster.yaml HERE --out made.yaml",
		"forecast --log HERE", "log log.csv HERE",
	},
	"sets": {"estimate --sets HERE", "estimate 100x5 --sets HERE --json"},
}

// hostile are files that none of the commands may take. Where kinds is "" the
// file is read as each of the YAML kinds. HERE: stands before the message.
var hostile = []struct {
	name, kinds, text, want string
}{
	{"nothing", "", "", "1:1: the file is empty: want a "},
	{"a comment", "", "# nothing\n\n", "1:1: the file is empty: want a "},
	{"a text", "", "hello\n", "1:1: want a mapping with "},
	{"a list", "", "- a\n- b\n", "1:1: want a mapping with "},
	{"two documents", "", "---\na: 1\n---\nb: 2\n", "3:1: a second document begins here: want one document in a file"},
	{"UTF-16", "", "\xff\xfea\x00:\x00", "1:1: the text is in UTF-16: save the file as UTF-8"},
	{"no UTF-8", "", "note: caf\xe9\n", "1:10: byte 0xe9 is not UTF-8: save the file as UTF-8"},
	{"a NUL", "", "a: b\x00\n", "1:5: control character U+0000: want text"},
	{"a terminal's sequence", "", "a: \x1b[2Jb\n", "1:4: control character U+001B: want text"},
	{"a tab for indentation", "", "a:\n\tb: 1\n", "2:1: a tab stands in the indentation: want spaces"},
	{"noise", "", "\x89\x00\x02\xf3\x9c", "1:1: byte 0x89 is not UTF-8: save the file as UTF-8"},
	{"gzip", "", "\x1f\x8b\x08\x00\x00\x00\x00\x00", "1:1: the file is packed with gzip: unpack it first"},
	{"a workbook", "", "PK\x03\x04", "1:1: the file is a workbook or another zip archive: want a text file in YAML"},
	{"a page", "", "<!DOCTYPE html>\n<title>x</title>\n", "1:1: want a mapping with "},
	{"a log", "", "date,lifter,lift,load,reps\n", "1:1: this is a log: want a "},
	{"10,000 lists", "", "a: " + strings.Repeat("[", 10_000) + strings.Repeat("]", 10_000), "1:27: nested too deeply: want at most 24 levels"},
	{"10,000 mappings", "", strings.Repeat("{a: ", 10_000) + strings.Repeat("}", 10_000), "1:94: nested too deeply: want at most 24 levels"},
	{"an open list", "", strings.Repeat("[", 1000), "1:1: not valid YAML: "},
	{"a bomb of aliases", "", bomb(), "6:8: aliases expand to more than 200000 values: write out what is meant"},
	{"an alias inside itself", "", "a: &x [*x]\n", "1:8: alias *x stands inside what it stands for"},
	{"a merge key", "", "a: &x {b: 1}\nc: {<<: *x}\n", "2:5: merge key <<: write the keys out"},
	{"an alias of nothing", "", "a: *x\n", "1:4: there is no anchor &x before this alias"},
	{"a tag", "", "a: !!binary aGVsbG8=\n", "1:4: tag !!binary: want a value without a tag"},
	{"a quote left open", "", "a: \"b\nc: d\n", "1:4: a quotation mark is never closed"},
	{"a list as a key", "", "? [a, b]\n: c\n", "1:3: want a text as key"},

	{"a key twice", "block", "weeks: 2\nweeks: 3\n" + blockRest, "2:1: weeks: given twice, first in line 1"},
	{"a number with an exponent", "block", "weeks: 1e308\n" + blockRest, `1:8: weeks: want a whole number from 1 to 52, got "1e308": want a number without an exponent`},
	{"a number too large for a machine", "block", "weeks: 1e999\n" + blockRest, `1:8: weeks: want a whole number from 1 to 52, got "1e999": want a number without an exponent`},
	{"twenty nines", "block", "weeks: 99999999999999999999\n" + blockRest, `1:8: weeks: want a whole number from 1 to 52, got "99999999999999999999": want at most 9 digits`},
	{"hexadecimal", "block", "weeks: 0x10\n" + blockRest, `1:8: weeks: want a whole number from 1 to 52, got "0x10": want a decimal number`},
	{"a leading zero", "block", "weeks: 010\n" + blockRest, `1:8: weeks: want a whole number from 1 to 52, got "010": a number has no leading zero`},
	{"an underscore", "block", "weeks: 1_0\n" + blockRest, `1:8: weeks: want a whole number from 1 to 52, got "1_0": want digits without underscores`},
	{"not a number", "block", "weeks: .nan\n" + blockRest, `1:8: weeks: want a whole number from 1 to 52, got ".nan": want a finite number`},
	{"minus infinity", "block", "weeks: -.inf\n" + blockRest, `1:8: weeks: want a whole number from 1 to 52, got "-.inf": want a finite number`},
	{"minus nothing", "block", "weeks: -0\n" + blockRest, `1:8: weeks: want a whole number from 1 to 52, got "-0"`},
	{"a mass without end", "roster", rosterOf("row: 1e308"), `6:28: lifters[0].maxes.row: want a mass from -500 to 5000 kg, got "1e308": want a number without an exponent`},
	{"a mass of many digits", "roster", rosterOf("row: 99999999999999999999"), `got "99999999999999999999": want at most 15 digits`},
	{"a mass that is none", "roster", rosterOf("row: .nan"), `got ".nan": want a finite number`},
	{"a mass of a tonne", "roster", rosterOf("row: 5000.1"), `got "5000.1"`},
	{"a name that a terminal obeys", "roster", rosterNamed(`"\e[31mred"`), `5:18: lifters[0].name: want text in one line, without control or invisible characters, got "\x1b[31mred"`},
	{"a name that turns the line around", "roster", rosterNamed(`"\u202egro.live"`), `5:18: lifters[0].name: want text in one line, without control or invisible characters, got "\u202egro.live"`},
	{"a name with a space of no width", "roster", rosterNamed(`"Oo\u200bna"`), `5:18: lifters[0].name: want text in one line, without control or invisible characters, got "Oo\u200bna"`},
	{"a name of two lines", "roster", rosterNamed(`"a\nEND:VCALENDAR"`), `5:18: lifters[0].name: want text in one line, without control or invisible characters, got "a\nEND:VCALENDAR"`},
	{"a name with a tab", "roster", rosterNamed(`"\t=1+1"`), `5:18: lifters[0].name: want text in one line, without control or invisible characters, got "\t=1+1"`},
	{"a name that ends in a blank", "roster", rosterNamed(`"Oona "`), `5:18: lifters[0].name: want text without blanks or invisible characters at its ends, got "Oona "`},
	{"a name of 300 characters", "roster", rosterNamed(strings.Repeat("n", 300)), `5:18: lifters[0].name: want at most 200 characters, got 300`},

	{"a log of nothing", "log", "", "the file is empty; want a first line that names the columns"},
	{"a log of UTF-16", "log", "\xff\xfed\x00", "1: the text is in UTF-16; save it as UTF-8"},
	{"a log of noise", "log", "\x89\x00\x02\xf3\x9c\n", "1: the first line must name the columns date, lifter, lift, load and reps; this is not a text file in UTF-8"},
	{"a workbook for a log", "log", "PK\x03\x04\x14\x00\n", "this is a workbook or another zip archive; save it as CSV"},
	{"a log with a terminal's sequence for a header", "log", "\x1b[31mdate,lifter\n", `1: the first line must name the columns date, lifter, lift, load and reps`},
	{"a log that is a block", "log", "block: x\nweeks: 2\n", "1: the first line must name the columns date, lifter, lift, load and reps"},
	{"a log packed and cut off", "log", "\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\x03", "the file is packed with gzip and its end is missing"},
	{"a log packed wrongly", "log", "\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\x03\xff\xff\xff\xff\xff", "the file is packed with gzip and is damaged"},
	{"something else packed", "log", packed("block: x\n"), "1: the first line must name the columns date, lifter, lift, load and reps"},

	{"no sets", "sets", "", "1: there is no set; want a set such as"},
	{"sets of noise", "sets", "\x89\x00\x02\xf3\x9c", `1: "\x89\x00\x02\xf3\x9c": want a set such as`},
	{"a long set", "sets", strings.Repeat("9", 300) + "x5\n", "1: the line is too long; want one set a line"},
	{"too many sets", "sets", strings.Repeat("100x5\n", 1001), "1001: want at most 1000 sets; a longer history is a log"},
	{"a set without end", "sets", "1e999x5\n", `1: "1e999x5": want a load such as 100, 100kg or 225lb, got "1e999": want a number without an exponent`},
}

// blockRest is what makes a block of a line with the weeks.
const blockRest = `block: Hostile
units: kg
lifts: {row: {pattern: pull-horizontal, uses: bar}}
sessions: [{name: Only, work: [{lift: row, sets: 2, reps: 5, percent: 70}]}]
`

const rosterHead = `gym:
  units: kg
  bars: {bar: 20}
  plates: {20: 4, 10: 4, 5: 2, 2.5: 2}
`

func rosterOf(maxima string) string {
	return rosterHead + "lifters:\n  - {name: A, maxes: {" + maxima + "}}\n"
}

func rosterNamed(name string) string {
	return rosterHead + "lifters: [{name: " + name + ", maxes: {row: 80}}]\n"
}

// packed is a text packed with gzip.
func packed(s string) string {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	io.WriteString(z, s)
	z.Close()
	return b.String()
}

func bomb() string {
	b := "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
	for c := 'b'; c <= 'i'; c++ {
		b += fmt.Sprintf("%c: &%c [", c, c) + strings.Repeat(fmt.Sprintf("*%c, ", c-1), 9) + fmt.Sprintf("*%c]\n", c-1)
	}
	return b
}

// inHostile goes to an empty folder with good files beside which hostile ones are read.
func inHostile(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{
		"block.yaml":  "weeks: 2\n" + blockRest,
		"roster.yaml": rosterNamed("Oona"),
		"brief.yaml":  "brief: Two days\nweeks: 3\nunits: kg\ndays: [mon, thu]\nfocus: [row]\nlifts: {row: {pattern: pull-horizontal, uses: bar, muscles: {back: 1}}}\n",
		"log.csv":     "date,lifter,lift,load,reps,rir,week\n2027-03-01,Oona,row,60,5,2,1\n",
	} {
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// commandsFor is the commands that read a file, HERE replaced by its name.
func commandsFor(kind, file string) [][]string {
	var out [][]string
	for _, line := range readings[kind] {
		words := strings.Fields(line)
		for i := range words {
			words[i] = strings.ReplaceAll(words[i], "HERE", file)
		}
		out = append(out, words)
	}
	return out
}

// wasMade is what commands have written.
func wasMade(t *testing.T) []string {
	t.Helper()
	made, err := filepath.Glob("made*")
	hidden, err2 := filepath.Glob(".*")
	if err := errors.Join(err, err2); err != nil {
		t.Fatal(err)
	}
	return append(made, hidden...)
}

// hides reports whether something would reach a terminal that it obeys.
func hides(s string) bool {
	return strings.ContainsFunc(s, func(r rune) bool { return r != '\n' && legible.Hidden(r) })
}

func TestHostileFiles(t *testing.T) {
	inHostile(t)
	const file = "hostile.txt"
	for _, h := range hostile {
		if err := os.WriteFile(file, []byte(h.text), 0o666); err != nil {
			t.Fatal(err)
		}
		kinds := []string{h.kinds}
		if h.kinds == "" {
			kinds = []string{"block", "roster", "gym", "brief"}
		}
		for _, kind := range kinds {
			for _, words := range commandsFor(kind, file) {
				status, stdout, stderr := runHere("", words...)
				switch made := wasMade(t); {
				case len(made) > 0:
					t.Fatalf("%s: %q: left behind: %v", h.name, words, made)
				case status != statusWrong || stdout != "":
					t.Errorf("%s: %q: status %d, standard output %.200q", h.name, words, status, stdout)
				case !strings.Contains(stderr, file+":") || !strings.Contains(stderr, h.want) || hides(stderr):
					t.Errorf("%s: %q:\n%.400s\nwant it to say %q", h.name, words, stderr, h.want)
				default:
					continue
				}
				break // the others say the same
			}
		}
	}
}

// TestHarmlessFiles: what only looks hostile is read.
func TestHarmlessFiles(t *testing.T) {
	inHostile(t)
	block, roster := "weeks: 2\n"+blockRest, rosterNamed("Oona")
	log := "date,lifter,lift,load,reps,rir,week\n2027-03-01,Oona,row,60,5,2,1\n"
	for _, h := range []struct{ name, kind, text string }{
		{"a byte-order mark", "block", "\ufeff" + block},
		{"CRLF", "block", strings.ReplaceAll(block, "\n", "\r\n")},
		{"a directive", "block", "%YAML 1.2\n---\n" + block},
		{"JSON", "roster", `{"gym": {"units": "kg", "bars": {"bar": 20}, "plates": {"20": 4, "10": 4}}, "lifters": [{"name": "Oona", "maxes": {"row": 80}}]}`},
		{"an anchor used once", "roster", strings.Replace(roster, "name: Oona", "name: &n Oona, swap: {row: row}", 1)},
		{"a byte-order mark and semicolons", "log", "\ufeff" + strings.ReplaceAll(log, ",", ";")},
		{"CRLF in a log", "log", strings.ReplaceAll(log, "\n", "\r\n")},
		{"a log packed", "log", packed(log)},
	} {
		file := "harmless.txt"
		if err := os.WriteFile(file, []byte(h.text), 0o666); err != nil {
			t.Fatal(err)
		}
		words := commandsFor(h.kind, file)[0]
		status, stdout, stderr := runHere("", words...)
		if h.name == "an anchor used once" {
			if status != statusWrong || !strings.Contains(stderr, "swap") {
				t.Errorf("%s: status %d, %q", h.name, status, stderr)
			}
			continue
		}
		if status != statusDone || stderr != "" || !strings.Contains(stdout, "Oona") {
			t.Errorf("%s: %q: status %d, standard error %q, standard output %.200q", h.name, words, status, stderr, stdout)
		}
	}
}

// names that mean something to whoever reads them next: file systems, spreadsheet
// programs, pages, calendars.
var hostileNames = []string{
	"../../etc/x", `C:\x`, "CON", "nul", "aux.txt", "a/b", "/etc/passwd", "-rf", "--help", "trailing.", "..", ".", "~", "a:b*c?d[e]", `"quoted"`, "'", strings.Repeat("n", 200), strings.Repeat("李", 200),
	"=1+1", "+1", "-1", "@SUM(A1)", `=HYPERLINK("x")`, "=cmd|' /C calc'!A0", `=1+1",=2+2`, "1;2,3", "true", "1e5", "2027-01-01",
	"<b>bold</b>", "<script>alert(1)</script>", "</title>", "&amp;", `" onload="x`, "**bold**", "# head", "| a | b |", "[x](y)", "`x`", "1. one", "- item", "---", "<!--",
	"BEGIN:VEVENT", "a;b,c", `a\nb`, `END:VEVENT\`, "SUMMARY:x", "%s%d%n", "{{.}}", "$(x)", "${x}", "`x`;x", "history", "Sheet1", "李娜", "שלום", "e\u0301", "👩\u200d👩\u200d👧",
}

// TestHostileNames writes sheets for people with such names, in every format, into a
// folder and into one file: nothing comes to lie outside, nothing is a formula, a
// mark-up or a line of its own.
func TestHostileNames(t *testing.T) {
	inHostile(t)
	var b strings.Builder
	b.WriteString(rosterHead + "start: 2027-09-06\nlifters:\n")
	names := slices.Compact(slices.Sorted(slices.Values(hostileNames)))
	for _, n := range names {
		fmt.Fprintf(&b, "  - {name: '%s', maxes: {row: 80}}\n", strings.ReplaceAll(n, "'", "''"))
	}
	if err := os.WriteFile("names.yaml", []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	run := func(words ...string) string {
		t.Helper()
		status, stdout, stderr := runHere("", append([]string{"plan", "block.yaml", "names.yaml"}, words...)...)
		if status != statusDone || hides(strings.ReplaceAll(stdout, "\r\n", "\n")) && !slices.Contains(words, "xlsx") {
			t.Fatalf("%q: status %d, %.300q", words, status, stderr)
		}
		return stdout
	}
	before := namesIn(t, "..")
	for _, format := range formats() {
		if format == weights {
			continue
		}
		dir := "sheets-" + format
		run("--format", format, "--out", dir)
		files, err := os.ReadDir(dir)
		if err != nil || len(files) != len(names) {
			t.Errorf("%s: %d files, %v; want %d", format, len(files), err, len(names))
		}
		for _, f := range files {
			if base := strings.TrimSuffix(f.Name(), "."+extension(format)); strings.ContainsAny(base, `/\:*?"<>|. `) || base[0] == '-' || len(f.Name()) > 130 {
				t.Errorf("%s: a file called %q", format, f.Name())
			}
		}
	}
	if after := namesIn(t, ".."); !slices.Equal(before, after) {
		t.Errorf("written outside the folder: %v, before %v", after, before)
	}

	for _, format := range []string{"csv", "weights"} {
		rows, err := csv.NewReader(strings.NewReader(run("--format", format))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		got := map[string]bool{}
		for _, row := range rows[1:] {
			if strings.ContainsRune("=+-@\t\r", rune(row[0][0])) {
				t.Errorf("%s: a spreadsheet would run %q", format, row[0])
			}
			got[strings.TrimPrefix(row[0], "'")] = true
		}
		if len(got) != len(names) {
			t.Errorf("%s has %d of %d names", format, len(got), len(names))
		}
	}

	for line := range strings.SplitSeq(strings.TrimSuffix(run("--format", "ics"), "\r\n"), "\r\n") {
		if strings.ContainsAny(line, "\r\n") || len(line) > 75 {
			t.Errorf("ics: a line %q", line)
		}
		if name, _, _ := strings.Cut(line, ":"); strings.HasPrefix(line, "END") && line != "END:VEVENT" && line != "END:VCALENDAR" || name == "SUMMARY" && strings.HasSuffix(line, ":x") {
			t.Errorf("ics: a line of a name's own: %q", line)
		}
	}

	page := run("--format", "html")
	for _, s := range []string{"<b>bold", "<script", "</title>,", `" onload="`, "<!-->"} {
		if strings.Contains(page, s) {
			t.Errorf("html: mark-up of a name: %q", s)
		}
	}
	page = run("--format", "md")
	for _, s := range []string{"<b>", "<script", "**bold**", "[x](y)", "\n# head", "\n- item"} {
		if strings.Contains(page, s) {
			t.Errorf("md: mark-up of a name: %q", s)
		}
	}

	run("--out", "team.xlsx")
	z, err := zip.OpenReader("team.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		r.Close()
		for _, s := range []string{"<f>1+1", "<f>SUM(A1)", "<f>HYPERLINK", "<f>cmd"} {
			if err != nil || bytes.Contains(text, []byte(s)) {
				t.Errorf("xlsx: %s: a formula of a name's own, %s (%v)", f.Name, s, err)
			}
		}
	}
}

func namesIn(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}
