package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"
)

var update = flag.Bool("update", false, "rewrite the expected output")

// runHere runs the program in the current folder.
func runHere(stdin string, words ...string) (status int, stdout, stderr string) {
	var out, errs bytes.Buffer
	status = run(append([]string{"blockwright"}, words...), strings.NewReader(stdin), &out, &errs)
	return status, out.String(), errs.String()
}

// shellWords takes a line apart at blanks, outside single quotes.
func shellWords(line string) []string {
	var out []string
	var word strings.Builder
	quoted, any := false, false
	for _, r := range line {
		switch {
		case r == '\'':
			quoted, any = !quoted, true
		case r == ' ' && !quoted:
			if any {
				out = append(out, word.String())
			}
			word.Reset()
			any = false
		default:
			word.WriteRune(r)
			any = true
		}
	}
	if any {
		out = append(out, word.String())
	}
	return out
}

// TestWrong runs every command line of testdata/wrong.txt: each must print
// exactly what stands below it on standard error, nothing on standard output,
// and end with status 2. `< FILE` at the end of a line is standard input.
func TestWrong(t *testing.T) {
	file, err := filepath.Abs(filepath.Join("testdata", "wrong.txt"))
	if err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	files, err := txtar.ParseFile(filepath.Join("testdata", "wrong.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	for _, f := range files.Files {
		if err := os.MkdirAll(filepath.Dir(f.Name), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(f.Name, f.Data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	head, cases, _ := strings.Cut(string(page), "\n$ ")
	got := head
	seen := map[string]bool{}
	n := 0
	for c := range strings.SplitSeq(cases, "\n$ ") {
		line, want, _ := strings.Cut(c, "\n")
		if seen[line] {
			t.Errorf("%q stands there twice", line)
		}
		seen[line] = true
		n++
		command, input, hasInput := strings.Cut(line, " < ")
		stdin := ""
		if hasInput {
			text, err := os.ReadFile(input)
			if err != nil {
				t.Fatal(err)
			}
			stdin = string(text)
		}
		status, stdout, stderr := runHere(stdin, shellWords(command)...)
		if status != statusWrong || stdout != "" {
			t.Errorf("%s: status %d, standard output %q; want %d and nothing", line, status, stdout, statusWrong)
		}
		got += "\n$ " + line + "\n" + stderr
		if d := cmp.Diff(strings.TrimRight(want, "\n"), strings.TrimRight(stderr, "\n")); d != "" && !*update {
			t.Errorf("%s (-want +got):\n%s", line, d)
		}
	}
	if n < 100 {
		t.Errorf("%d wrong command lines, want 100 or more", n)
	}
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}
