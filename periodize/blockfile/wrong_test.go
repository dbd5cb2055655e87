package blockfile_test

import (
	"bufio"
	"bytes"
	"errors"
	"flag"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/blockwright/blockwright/periodize/blockfile"
)

var update = flag.Bool("update", false, "rewrite the messages in testdata")

// wrongCase is a wrong file and everything that is said about it. In
// testdata/wrong.txt a case is a line "# name", a line with the kind of file,
// and then either edits of the good file testdata/KIND.yaml ("- part" is
// replaced by the "+ " lines after it) or the whole file ("| " lines); the
// messages are the "= " lines.
type wrongCase struct {
	name, kind string
	edits      [][2]string
	whole      []string
	want       []string
	lines      []string // as they stand, without the messages
}

func readWrong(t testing.TB, name string) []*wrongCase {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var cases []*wrongCase
	var c *wrongCase
	for in := bufio.NewScanner(f); in.Scan(); {
		line := in.Text()
		if line == "" {
			continue
		}
		mark, rest := line[:1], strings.TrimPrefix(line[1:], " ")
		if mark == "#" {
			c = &wrongCase{name: rest}
			cases = append(cases, c)
		}
		if mark != "=" {
			c.lines = append(c.lines, line)
		}
		rest = strings.ReplaceAll(rest, `\t`, "\t")
		switch mark {
		case "#":
		case "=":
			c.want = append(c.want, rest)
		case "-":
			c.edits = append(c.edits, [2]string{rest, ""})
		case "+":
			e := &c.edits[len(c.edits)-1]
			if e[1] != "" {
				e[1] += "\n"
			}
			e[1] += rest
		case "|":
			c.whole = append(c.whole, rest)
		default:
			c.kind = line
		}
	}
	return cases
}

func (c *wrongCase) text(t testing.TB) string {
	t.Helper()
	if c.whole != nil {
		return strings.Join(c.whole, "\n") + "\n"
	}
	good, err := os.ReadFile("testdata/" + c.kind + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	text := string(good)
	for _, e := range c.edits {
		if !strings.Contains(text, e[0]) {
			t.Fatalf("the good file has no %q", e[0])
		}
		text = strings.Replace(text, e[0], e[1], 1)
	}
	return text
}

func read(kind, text string) error {
	in := strings.NewReader(text)
	var err error
	switch kind {
	case "block":
		_, err = blockfile.ReadBlock("block.yaml", in)
	case "roster":
		_, err = blockfile.ReadRoster("roster.yaml", in)
	case "brief":
		_, err = blockfile.ReadBrief("brief.yaml", in)
	}
	return err
}

func TestWrongFiles(t *testing.T) {
	cases := readWrong(t, "testdata/wrong.txt")
	seen := map[string]string{}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			text := c.text(t)
			if other := seen[c.kind+text]; other != "" {
				t.Errorf("the same file as %q", other)
			}
			seen[c.kind+text] = c.name
			err := read(c.kind, text)
			if err == nil {
				t.Fatal("read without an error")
			}
			got := strings.Split(err.Error(), "\n")
			var all blockfile.Errors
			var one *blockfile.Error
			if !errors.As(err, &all) || !errors.As(err, &one) || len(all) != len(got) {
				t.Errorf("%T does not hold each error", err)
			}
			for _, e := range all {
				if e.Pos.Line > 0 && (e.Pos.Line > strings.Count(text, "\n")+1 || e.Pos.Column < 1) {
					t.Errorf("place outside the file: %v", e)
				}
			}
			if *update {
				c.want = got
				return
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("messages (-want +got):\n%s", diff)
			}
		})
	}
	if n := len(cases); n < 60 {
		t.Errorf("%d wrong files, want at least 60", n)
	}
	if *update {
		var out bytes.Buffer
		for i, c := range cases {
			if i > 0 {
				out.WriteByte('\n')
			}
			for _, l := range c.lines {
				out.WriteString(l + "\n")
			}
			for _, w := range c.want {
				out.WriteString("= " + strings.ReplaceAll(w, "\t", `\t`) + "\n")
			}
		}
		if err := os.WriteFile("testdata/wrong.txt", out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
