// Package atomicfile writes files whole or not at all: into a temporary file
// beside the target, renamed over it once everything is on disk.
package atomicfile

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
)

// File is a file being written. Call Commit to put it in its place, and Close,
// best deferred, to drop it if Commit was not reached. Errors are a
// *fs.PathError with the name of the target, never that of the temporary file.
type File struct {
	*bufio.Writer
	tmp    *os.File
	name   string // as it was given
	target string // where it is put
	mode   fs.FileMode
}

// unfinished are the temporary files that this process has open.
var unfinished struct {
	sync.Mutex
	names map[string]bool
}

// Create opens a temporary file in the directory of path, which must exist.
// Nothing is seen at path before Commit. A symbolic link is followed, so that it
// is what it points at that is replaced. A file that its owner may not write is
// left alone, although its directory would allow it to be replaced.
func Create(path string) (*File, error) {
	f := &File{name: path, target: path}
	if end, err := filepath.EvalSymlinks(path); err == nil {
		f.target = end
	}
	if old, err := os.Stat(f.target); err == nil {
		if f.mode = old.Mode().Perm(); f.mode&0o200 == 0 {
			return nil, f.fail(fs.ErrPermission)
		}
	}
	dir, name := filepath.Split(f.target)
	for range 10_000 {
		// With the permissions that any new file of this process gets.
		tmp, err := os.OpenFile(filepath.Join(dir, fmt.Sprintf(".%s.%08x.tmp", shorten(name), rand.Uint32())), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		switch {
		case errors.Is(err, fs.ErrExist):
			continue
		case err != nil:
			return nil, f.fail(err)
		}
		f.tmp = tmp
		f.Writer = bufio.NewWriterSize(named{f}, 64<<10)
		unfinished.Lock()
		defer unfinished.Unlock()
		if unfinished.names == nil {
			unfinished.names = map[string]bool{}
		}
		unfinished.names[tmp.Name()] = true
		return f, nil
	}
	return nil, f.fail(fs.ErrExist)
}

// named writes to the temporary file, and puts the target's name on errors.
type named struct{ f *File }

// Write implements io.Writer.
func (n named) Write(b []byte) (int, error) {
	k, err := n.f.tmp.Write(b)
	return k, n.f.fail(err)
}

// fail puts the target's name on an error.
func (f *File) fail(err error) error {
	if err == nil {
		return nil
	}
	var pe *fs.PathError
	var le *os.LinkError
	switch {
	case errors.As(err, &pe):
		err = pe.Err
	case errors.As(err, &le):
		err = le.Err
	}
	return &fs.PathError{Op: "write", Path: f.name, Err: err}
}

// shorten keeps a temporary name within the length that file systems take.
func shorten(name string) string {
	if len(name) > 100 {
		return strings.ToValidUTF8(name[:100], "")
	}
	return name
}

// Commit puts the file in its place, over an older one, whose permissions are
// kept.
func (f *File) Commit() error {
	if f.tmp == nil {
		return f.fail(fs.ErrClosed)
	}
	err := f.Flush()
	tmp := f.tmp
	f.tmp = nil
	defer forget(tmp.Name())
	if err == nil && f.mode != 0 {
		err = tmp.Chmod(f.mode)
	}
	if err == nil {
		err = tmp.Sync()
	}
	if e := tmp.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(tmp.Name(), f.target)
	}
	if err != nil {
		os.Remove(tmp.Name())
	}
	return f.fail(err)
}

// Close drops a file that was not committed; after Commit it does nothing.
func (f *File) Close() error {
	if f.tmp == nil {
		return nil
	}
	tmp := f.tmp
	f.tmp = nil
	defer forget(tmp.Name())
	return f.fail(errors.Join(tmp.Close(), os.Remove(tmp.Name())))
}

func forget(name string) {
	unfinished.Lock()
	defer unfinished.Unlock()
	delete(unfinished.names, name)
}

// RemoveUnfinished removes the temporary files of this process. It is for a
// program that ends at once; what is written to them afterwards is lost.
func RemoveUnfinished() {
	unfinished.Lock()
	defer unfinished.Unlock()
	for name := range unfinished.names {
		os.Remove(name)
	}
	clear(unfinished.names)
}

// Write fills the file at path through a function: whole when it returns nil,
// not at all when it returns an error, which Write passes on.
func Write(path string, fill func(io.Writer) error) error {
	f, err := Create(path)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := fill(f); err != nil {
		return err
	}
	return f.Commit()
}
