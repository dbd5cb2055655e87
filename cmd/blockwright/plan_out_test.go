package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// stopping is a context that is cancelled once it has been asked a few times.
type stopping struct {
	context.Context
	left int
}

// Err implements context.Context.
func (s *stopping) Err() error {
	if s.left--; s.left < 0 {
		return context.Canceled
	}
	return nil
}

// A folder that is interrupted holds whole files alone, and it is said how many.
func TestFolderInterrupted(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "sheets")
	var stdout, stderr bytes.Buffer
	sh := newShell(&stopping{t.Context(), 1}, strings.NewReader(""), &stdout, &stderr)
	prog, err := compile(sh, filepath.Join("starter", "block.yaml"), filepath.Join("starter", "roster.yaml"), time.Time{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	o := planOptions{format: "csv", out: dir}
	got := sh.finish("plan", o.write(sh, prog, &tally{}))
	want := "1 of 2 files in " + dir + ": each of them is whole\nblockwright plan: interrupted; nothing that was not finished is left behind\n"
	if got != statusInterrupted || stderr.String() != want {
		t.Errorf("status %d, standard error %q; want %d and %q", got, stderr.String(), statusInterrupted, want)
	}
	files, err := os.ReadDir(dir)
	if err != nil || len(files) != 1 {
		t.Errorf("%v, %v; want one file", files, err)
	}
}
