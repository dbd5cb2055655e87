package atomicfile_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/internal/atomicfile"
)

func names(t *testing.T, dir string) []string {
	t.Helper()
	es, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range es {
		out = append(out, e.Name())
	}
	return out
}

func TestWriteReplacesWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "sheet.txt")
	if err := os.WriteFile(path, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	err := atomicfile.Write(path, func(w io.Writer) error {
		io.WriteString(w, strings.Repeat("new ", 50000))
		if b, err := os.ReadFile(path); err != nil || string(b) != "old" {
			t.Errorf("half-written file is seen: %q, %v", b, err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(path)
	if err != nil || string(b) != strings.Repeat("new ", 50000) {
		t.Errorf("read %d bytes, %v", len(b), err)
	}
	if st, _ := os.Stat(path); st.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, want that of the file replaced", st.Mode())
	}
	if got := names(t, dir); len(got) != 1 {
		t.Errorf("left behind: %v", got)
	}
}

func TestFailedWriteLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "sheet.txt")
	want := errors.New("no more")
	err := atomicfile.Write(path, func(w io.Writer) error {
		io.WriteString(w, "half")
		return want
	})
	if !errors.Is(err, want) {
		t.Errorf("err = %v, want %v", err, want)
	}
	if got := names(t, dir); len(got) != 0 {
		t.Errorf("left behind: %v", got)
	}
	if err := atomicfile.Write(filepath.Join(dir, "no", "such", "dir"), func(io.Writer) error { return nil }); err == nil {
		t.Error("a missing directory gives no error")
	}
}

func TestCommitOntoDirectoryFails(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "taken")
	if err := os.Mkdir(path, 0o755); err != nil {
		t.Fatal(err)
	}
	f, err := atomicfile.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := f.Commit(); err == nil {
		t.Error("a directory was replaced")
	}
	if err := f.Commit(); err == nil {
		t.Error("a second Commit gives no error")
	}
	if got := names(t, dir); len(got) != 1 {
		t.Errorf("left behind: %v", got)
	}
}

func TestLongNames(t *testing.T) {
	path := filepath.Join(t.TempDir(), strings.Repeat("n", 250))
	if err := atomicfile.Write(path, func(io.Writer) error { return nil }); err != nil {
		t.Error(err)
	}
}
