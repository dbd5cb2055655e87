package main

import (
	"bufio"
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
	if path == "" {
		return nil, "", usagef("want the name of the %s, got nothing", what)
	}
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, "", &fs.PathError{Op: "open", Path: path, Err: underlying(err)}
	case info.IsDir():
		return nil, "", &fs.PathError{Op: "read", Path: path, Err: errors.New("is a folder; want the " + what)}
	case !info.Mode().IsRegular():
		in, err := sh.openWaiting(path)
		return in, path, err
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, "", err
	}
	return &attentive{File: f, ctx: sh.ctx}, path, nil
}

// openWaiting opens a pipe or a device, whose other side may let it wait for ever:
// for being opened as for being read.
func (sh *shell) openWaiting(path string) (io.ReadCloser, error) {
	type result struct {
		f   *os.File
		err error
	}
	done := make(chan result, 1)
	go func() {
		f, err := os.Open(path)
		done <- result{f, err}
	}()
	select {
	case <-sh.ctx.Done():
		return nil, sh.ctx.Err()
	case r := <-done:
		if r.err != nil {
			return nil, r.err
		}
		return struct {
			io.Reader
			io.Closer
		}{&patient{ctx: sh.ctx, in: r.f}, r.f}, nil
	}
}

// attentive is a file that is not read on after an interrupt.
type attentive struct {
	*os.File
	ctx context.Context
}

// Read implements io.Reader.
func (a *attentive) Read(b []byte) (int, error) {
	if err := a.ctx.Err(); err != nil {
		return 0, err
	}
	return a.File.Read(b)
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
// A pipe or a device is written to as it is: it cannot be replaced.
func write(path string, fill func(io.Writer) error) error {
	info, err := os.Stat(path)
	switch {
	case err == nil && info.IsDir():
		return &fs.PathError{Op: "write", Path: path, Err: errors.New("is a folder")}
	case err != nil || info.Mode().IsRegular():
		return atomicfile.Write(path, fill)
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	err = fill(w)
	if err == nil {
		err = w.Flush()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	return err
}

// makeFolder makes a folder with those above it. undo removes again what was made,
// as far as nothing has been put into it.
func makeFolder(path string) (undo func(), err error) {
	var made []string // the lowest first
	for p := filepath.Clean(path); ; p = filepath.Dir(p) {
		if _, err := os.Stat(p); err == nil || p == filepath.Dir(p) {
			break
		}
		made = append(made, p)
	}
	undo = func() {
		for _, p := range made {
			os.Remove(p)
		}
	}
	if err := os.MkdirAll(path, 0o777); err != nil {
		undo()
		return nil, &fs.PathError{Op: "make folder", Path: path, Err: underlying(err)}
	}
	return undo, nil
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

// isFile reports whether there is a file of that name.
func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && !info.IsDir()
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
