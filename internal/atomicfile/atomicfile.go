// Package atomicfile writes files whole or not at all: into a temporary file
// beside the target, renamed over it once everything is on disk.
package atomicfile

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// File is a file being written. Call Commit to put it in its place, and Close,
// best deferred, to drop it if Commit was not reached.
type File struct {
	*bufio.Writer
	tmp  *os.File
	path string
}

// Create opens a temporary file in the directory of path, which must exist.
// Nothing is seen at path before Commit.
func Create(path string) (*File, error) {
	dir, name := filepath.Split(path)
	if dir == "" {
		dir = "."
	}
	tmp, err := os.CreateTemp(dir, "."+shorten(name)+".*.tmp")
	if err != nil {
		return nil, err
	}
	return &File{Writer: bufio.NewWriterSize(tmp, 64<<10), tmp: tmp, path: path}, nil
}

// shorten keeps a temporary name within the length that file systems take.
func shorten(name string) string {
	if len(name) > 100 {
		return name[:100]
	}
	return name
}

// Commit puts the file in its place, over an older one, whose permissions are
// kept; a new file gets 0644.
func (f *File) Commit() error {
	if f.tmp == nil {
		return fs.ErrClosed
	}
	tmp := f.tmp
	f.tmp = nil
	mode := fs.FileMode(0o644)
	if old, err := os.Stat(f.path); err == nil {
		mode = old.Mode().Perm()
	}
	err := f.Flush()
	if err == nil {
		err = tmp.Chmod(mode)
	}
	if err == nil {
		err = tmp.Sync()
	}
	err = errors.Join(err, tmp.Close())
	if err == nil {
		err = os.Rename(tmp.Name(), f.path)
	}
	if err != nil {
		os.Remove(tmp.Name())
	}
	return err
}

// Close drops a file that was not committed; after Commit it does nothing.
func (f *File) Close() error {
	if f.tmp == nil {
		return nil
	}
	err := errors.Join(f.tmp.Close(), os.Remove(f.tmp.Name()))
	f.tmp = nil
	return err
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
