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

// A folder that is interrupted holds whole files alone, and it is said how many; one
// that nothing was put into is not left behind.
func TestFolderInterrupted(t *testing.T) {
	for _, tc := range []struct {
		asked, files int
		said         string
	}{
		{0, 0, ""},
		{1, 1, "1 of 2 files in DIR: each of them is whole\n"},
	} {
		above := filepath.Join(t.TempDir(), "out")
		dir := filepath.Join(above, "sheets")
		var stdout, stderr bytes.Buffer
		sh := newShell(t.Context(), strings.NewReader(""), &stdout, &stderr)
		prog, err := compile(sh, filepath.Join("starter", "block.yaml"), filepath.Join("starter", "roster.yaml"), time.Time{}, nil)
		if err != nil {
			t.Fatal(err)
		}
		sh.ctx = &stopping{t.Context(), tc.asked}
		o := planOptions{format: "csv", out: dir}
		got := sh.finish("plan", o.write(sh, prog, &tally{}))
		want := strings.ReplaceAll(tc.said, "DIR", dir) + "blockwright plan: interrupted; nothing that was not finished is left behind\n"
		if got != statusInterrupted || stderr.String() != want {
			t.Errorf("status %d, standard error %q; want %d and %q", got, stderr.String(), statusInterrupted, want)
		}
		files, err := os.ReadDir(dir)
		if len(files) != tc.files || (tc.files > 0) != (err == nil) {
			t.Errorf("%v, %v; want %d files", files, err, tc.files)
		}
		if _, err := os.Stat(above); (err == nil) != (tc.files > 0) {
			t.Errorf("the folder above: %v, with %d files", err, tc.files)
		}
	}
}
