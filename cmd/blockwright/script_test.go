package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The scripts of testdata/script are txtar archives in the language of testscript
// (github.com/rogpeppe/go-internal), of which this file runs the part that they
// use, in this process:
//
//	exec blockwright WORDS    runs the program; `! exec` where it must not end with 0
//	status N                  how it ended
//	stdin FILE                what the next exec reads
//	stdout REGEXP, stderr REGEXP, ! stdout REGEXP, ! stderr REGEXP
//	cmp stdout FILE, cmp stderr FILE, cmp FILE FILE    rewritten by -update
//	exists FILE, ! exists FILE, mkdir DIR, grep REGEXP FILE
//
// Words are apart at blanks; single quotes keep them together.

// archive is the text before the files and the files.
type archive struct {
	text  string
	files []archived
}

type archived struct{ name, data string }

var fileMark = regexp.MustCompile(`(?m)^-- (.+) --\n`)

func readArchive(t *testing.T, path string) archive {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s := string(b)
	marks := fileMark.FindAllStringSubmatchIndex(s, -1)
	a := archive{text: s}
	for i, m := range marks {
		end := len(s)
		if i+1 < len(marks) {
			end = marks[i+1][0]
		}
		if i == 0 {
			a.text = s[:m[0]]
		}
		a.files = append(a.files, archived{s[m[2]:m[3]], s[m[1]:end]})
	}
	return a
}

func (a *archive) String() string {
	s := a.text
	for _, f := range a.files {
		s += "-- " + f.name + " --\n" + f.data
		if f.data != "" && !strings.HasSuffix(f.data, "\n") {
			s += "\n"
		}
	}
	return s
}

// extract writes the files into a new folder and goes there.
func (a *archive) extract(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	for _, f := range a.files {
		if err := os.MkdirAll(filepath.Dir(f.name), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(f.name, []byte(f.data), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

func TestScripts(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "script", "*.txtar"))
	if err != nil || len(files) == 0 {
		t.Fatal("there are no scripts", err)
	}
	for _, f := range files {
		path, err := filepath.Abs(f)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(strings.TrimSuffix(filepath.Base(f), ".txtar"), func(t *testing.T) {
			s := script{t: t, path: path, archive: readArchive(t, path)}
			s.run()
		})
	}
}

// script is one being run.
type script struct {
	t              *testing.T
	path           string
	archive        archive
	stdin          string
	stdout, stderr string
	status         int
	changed        bool
}

func (s *script) run() {
	starter, err := filepath.Abs("starter")
	if err != nil {
		s.t.Fatal(err)
	}
	s.archive.extract(s.t)
	if err := os.CopyFS("gym", os.DirFS(starter)); err != nil {
		s.t.Fatal(err)
	}
	n := 0
	for line := range strings.Lines(s.archive.text) {
		n++
		words := shellWords(strings.TrimSpace(line))
		if len(words) == 0 || strings.HasPrefix(words[0], "#") {
			continue
		}
		not := words[0] == "!"
		if not {
			words = words[1:]
		}
		if err := s.step(not, words[0], words[1:]); err != nil {
			s.t.Errorf("line %d: %s\n%v\nstandard output:\n%s\nstandard error:\n%s", n, strings.TrimSpace(line), err, s.stdout, s.stderr)
			return
		}
	}
	if s.changed {
		if err := os.WriteFile(s.path, []byte(s.archive.String()), 0o666); err != nil {
			s.t.Fatal(err)
		}
	}
}

func (s *script) step(not bool, command string, words []string) error {
	switch command {
	case "exec":
		s.status, s.stdout, s.stderr = runHere(s.stdin, words[1:]...)
		s.stdin = ""
		if (s.status != 0) != not {
			return fmt.Errorf("status %d", s.status)
		}
	case "status":
		if fmt.Sprint(s.status) != words[0] {
			return fmt.Errorf("status %d, want %s", s.status, words[0])
		}
	case "stdin":
		b, err := os.ReadFile(words[0])
		s.stdin = string(b)
		return err
	case "stdout":
		return matches(not, words[0], s.stdout)
	case "stderr":
		return matches(not, words[0], s.stderr)
	case "grep":
		b, err := os.ReadFile(words[1])
		return errors.Join(err, matches(not, words[0], string(b)))
	case "exists":
		if _, err := os.Stat(words[0]); (err == nil) == not {
			return fmt.Errorf("exists: %v", err == nil)
		}
	case "mkdir":
		return os.MkdirAll(words[0], 0o777)
	case "cmp":
		return s.cmp(words[0], words[1])
	default:
		return fmt.Errorf("unknown command %q", command)
	}
	return nil
}

func matches(not bool, pattern, text string) error {
	if regexp.MustCompile("(?m)"+pattern).MatchString(text) == not {
		return errors.New("pattern not as wanted")
	}
	return nil
}

func (s *script) cmp(a, b string) error {
	var got string
	switch a {
	case "stdout":
		got = s.stdout
	case "stderr":
		got = s.stderr
	default:
		text, err := os.ReadFile(a)
		if err != nil {
			return err
		}
		got = string(text)
	}
	for i := range s.archive.files {
		f := &s.archive.files[i]
		if f.name == b && *update && f.data != got {
			f.data, s.changed = got, true
			return os.WriteFile(b, []byte(got), 0o666)
		}
	}
	text, err := os.ReadFile(b)
	if err != nil {
		return err
	}
	if d := cmp.Diff(string(text), got); d != "" {
		return fmt.Errorf("-%s +%s:\n%s", b, a, d)
	}
	return nil
}
