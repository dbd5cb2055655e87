package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/blockwright/blockwright/internal/atomicfile"
)

// stdinName is what messages call standard input.
const stdinName = "standard input"

// open opens a file, "-" being standard input, which can be read once. what
// says what the file is.
func (sh *shell) open(path, what string) (in io.ReadCloser, name string, err error) {
	if path == "-" {
		if sh.stdinTaken != "" {
			return nil, "", usagef("the %s and the %s cannot both be standard input", sh.stdinTaken, what)
		}
		sh.stdinTaken = what
		return io.NopCloser(&patient{ctx: sh.ctx, in: sh.stdin}), stdinName, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, "", err
	}
	if info, err := f.Stat(); err == nil && info.IsDir() {
		f.Close()
		return nil, "", &fs.PathError{Op: "read", Path: path, Err: errors.New("is a folder; want the " + what)}
	}
	return f, path, nil
}

// readWith reads a file through one of the readers of the module.
func readWith[T any](sh *shell, path, what string, read func(string, io.Reader) (T, error)) (T, error) {
	in, name, err := sh.open(path, what)
	if err != nil {
		var none T
		return none, err
	}
	defer in.Close()
	return read(name, in)
}

// patient is a reader that lets an interrupt through while it waits.
type patient struct {
	ctx context.Context
	in  io.Reader
}

// Read implements io.Reader.
func (p *patient) Read(b []byte) (int, error) {
	type result struct {
		data []byte
		err  error
	}
	done := make(chan result, 1)
	go func() {
		buf := make([]byte, min(len(b), 64<<10)) // b is the caller's again after an interrupt
		n, err := p.in.Read(buf)
		done <- result{buf[:n], err}
	}()
	select {
	case <-p.ctx.Done():
		return 0, p.ctx.Err()
	case r := <-done:
		return copy(b, r.data), r.err
	}
}

// write writes a file whole: into a temporary one beside it, renamed at the end.
func write(path string, fill func(io.Writer) error) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return &fs.PathError{Op: "write", Path: path, Err: errors.New("is a folder")}
	}
	err := atomicfile.Write(path, fill)
	var pe *fs.PathError
	if errors.As(err, &pe) && filepath.Dir(pe.Path) == filepath.Dir(path) && pe.Path != path {
		return &fs.PathError{Op: "write", Path: path, Err: pe.Err} // not the temporary file's name
	}
	return err
}

// output writes text to a file, or to standard output where there is none.
func (sh *shell) output(path string, text []byte) error {
	if path == "" || path == "-" {
		_, err := sh.stdout.Write(text)
		return err
	}
	return write(path, func(w io.Writer) error {
		_, err := io.Copy(w, bytes.NewReader(text))
		return err
	})
}

// sameFile reports whether two paths are one file.
func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}
