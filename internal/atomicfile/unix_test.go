//go:build unix

package atomicfile_test

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/blockwright/blockwright/internal/atomicfile"
)

// TestPermissions: a new file is as open as the user wants new files to be.
func TestPermissions(t *testing.T) {
	defer syscall.Umask(syscall.Umask(0o077))
	path := filepath.Join(t.TempDir(), "sheet.txt")
	if err := atomicfile.Write(path, func(io.Writer) error { return nil }); err != nil {
		t.Fatal(err)
	}
	if st, err := os.Stat(path); err != nil || st.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v; want what a umask of 077 leaves", st.Mode(), err)
	}
}

// TestLinkIsFollowed: what a link points at is replaced, not the link.
func TestLinkIsFollowed(t *testing.T) {
	dir := t.TempDir()
	target, link := filepath.Join(dir, "far", "sheet.txt"), filepath.Join(dir, "link.txt")
	if err := errors.Join(os.Mkdir(filepath.Join(dir, "far"), 0o777), os.WriteFile(target, []byte("old"), 0o666), os.Symlink(target, link)); err != nil {
		t.Fatal(err)
	}
	if err := atomicfile.Write(link, func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err }); err != nil {
		t.Fatal(err)
	}
	if b, err := os.ReadFile(target); err != nil || string(b) != "new" {
		t.Errorf("the target holds %q, %v", b, err)
	}
	if st, err := os.Lstat(link); err != nil || st.Mode().Type() != fs.ModeSymlink {
		t.Errorf("the link is %v, %v", st, err)
	}
}

// TestProtectedFileStays: a file that may not be written is not replaced either.
func TestProtectedFileStays(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "sheet.txt")
	if err := os.WriteFile(path, []byte("kept"), 0o444); err != nil {
		t.Fatal(err)
	}
	err := atomicfile.Write(path, func(io.Writer) error { t.Error("it is filled"); return nil })
	var pe *fs.PathError
	if !errors.Is(err, fs.ErrPermission) || !errors.As(err, &pe) || pe.Path != path {
		t.Errorf("error %v", err)
	}
	if b, err := os.ReadFile(path); err != nil || string(b) != "kept" {
		t.Errorf("it holds %q, %v", b, err)
	}
	if got := names(t, dir); len(got) != 1 {
		t.Errorf("left behind: %v", got)
	}
}

// TestErrorsNameTheTarget: nobody is told of temporary files.
func TestErrorsNameTheTarget(t *testing.T) {
	path := filepath.Join(t.TempDir(), "no", "sheet.txt")
	_, err := atomicfile.Create(path)
	if want := "write " + path + ": no such file or directory"; err == nil || err.Error() != want {
		t.Errorf("error %v, want %s", err, want)
	}
	long := filepath.Join(t.TempDir(), strings.Repeat("n", 300))
	err = atomicfile.Write(long, func(io.Writer) error { return nil })
	if want := "write " + long + ": file name too long"; err == nil || err.Error() != want {
		t.Errorf("error %v, want %s", err, want)
	}
}

// TestRemoveUnfinished: what is open goes, what is finished stays.
func TestRemoveUnfinished(t *testing.T) {
	dir := t.TempDir()
	if err := atomicfile.Write(filepath.Join(dir, "done"), func(io.Writer) error { return nil }); err != nil {
		t.Fatal(err)
	}
	f, err := atomicfile.Create(filepath.Join(dir, strings.Repeat("é", 80)))
	if err != nil {
		t.Fatal(err)
	}
	io.WriteString(f, "half")
	if got := names(t, dir); len(got) != 2 {
		t.Fatalf("there are %v", got)
	}
	atomicfile.RemoveUnfinished()
	if got := names(t, dir); len(got) != 1 || got[0] != "done" {
		t.Errorf("left behind: %v", got)
	}
	if err := f.Commit(); err == nil {
		t.Error("what was removed could be put in its place")
	}
	if err := f.Close(); err != nil {
		t.Error(err)
	}
}
