//go:build unix && !race

package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// Big hostile files, each in a process of its own: neither the time nor the memory
// that it costs to refuse them may depend on what they would unfold to. The limits are those of
// the program as people run it; under the race detector it takes several times as much of both.

// tooLong is when a process is taken to hang.
const tooLong = 2 * time.Minute

// costs runs the program and gives its peak of memory in MiB too.
func costs(t *testing.T, words ...string) (status int, stdout, stderr string, peak int64) {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), tooLong)
	defer stop()
	like := program(t, words...)
	cmd := exec.CommandContext(ctx, like.Path, words...)
	cmd.Env = like.Env
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	cmd.Run()
	if ctx.Err() != nil {
		t.Errorf("%q does not end", words)
	}
	if u, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
		if peak = int64(u.Maxrss) >> 10; runtime.GOOS == "darwin" {
			peak >>= 10 // it counts bytes
		}
	}
	return cmd.ProcessState.ExitCode(), out.String(), errs.String(), peak
}

func TestBigHostileFiles(t *testing.T) {
	inHostile(t)
	const mib = 1 << 20
	row := "2027-03-01,Oona,row,60,5,2,1\n"
	head := "date,lifter,lift,load,reps,rir,week\n"
	for _, tc := range []struct {
		name  string
		kind  string // of readings, whose first command is run
		write func(io.Writer)
		want  string // on standard error
		most  int64  // MiB
	}{
		{"50 MB in a line", "block", func(w io.Writer) { io.WriteString(w, "block: "); fill(w, "x", 50*mib) },
			"big.yaml: the file is too large: want at most 8 MiB", 200},
		{"a title of 8 MB", "block", func(w io.Writer) { io.WriteString(w, "block: "); fill(w, "x", 8*mib-10) },
			"big.yaml:1:8: block: want at most 200 characters, got 8388598", 300},
		{"a list of 2 MB", "roster", func(w io.Writer) { io.WriteString(w, "["); fill(w, "1,", 2*mib); io.WriteString(w, "]") },
			"big.yaml:1:1: want a mapping with gym, gyms, start, test or lifters, got a list", 600},
		{"2 MB of aliases", "roster", func(w io.Writer) { io.WriteString(w, "a: [&a x"); fill(w, ",*a", 2*mib); io.WriteString(w, "]") },
			"aliases expand to more than 200000 values", 600},
		{"8 MB of brackets", "brief", func(w io.Writer) { fill(w, "[", 8*mib) },
			"big.yaml:1:1: not valid YAML: exceeded max depth of 10000", 300},
		{"many keys", "brief", func(w io.Writer) {
			io.WriteString(w, "brief: x\n")
			for i := range 100_000 {
				fmt.Fprintf(w, "k%d: 1\n", i)
			}
		}, "... and 9901 more\nblockwright draft: 10001 errors; nothing was done", 400},
		{"a gzip bomb of empty lines", "log", packing(func(w io.Writer) { io.WriteString(w, head+row); fill(w, "\n", 64*mib) }), "", 200},
		{"a gzip bomb of one line", "log", packing(func(w io.Writer) { fill(w, "x", 256*mib) }),
			"there is no line that names the columns in the first 1048576 bytes; this is not a log", 200},
		{"a gzip bomb of a note", "log", packing(func(w io.Writer) { io.WriteString(w, head+row); fill(w, "x", 256*mib) }),
			"1 bad row beside 1 that can be read", 200},
		{"a gzip bomb of a quote", "log", packing(func(w io.Writer) { io.WriteString(w, head+row+"\""); fill(w, "x\n", 4*mib) }),
			"bad rows beside 1 that can be read", 800},
		{"a bomb in a bomb", "log", packing(packing(func(w io.Writer) { fill(w, "x", 256*mib) })),
			"this is not a text file in UTF-8", 200},
		{"a million sets", "sets", func(w io.Writer) { fill(w, "100x5+1\n", 8_000_000) },
			"big.yaml:1001: want at most 1000 sets", 200},
	} {
		t.Run(tc.name, func(t *testing.T) {
			const file = "big.yaml"
			f, err := os.Create(file)
			if err != nil {
				t.Fatal(err)
			}
			tc.write(f)
			if err := f.Close(); err != nil {
				t.Fatal(err)
			}
			words := commandsFor(tc.kind, file)[0]
			status, stdout, stderr, peak := costs(t, words...)
			want := statusWrong
			if tc.want == "" {
				want = statusDone
			}
			if status != want || !strings.Contains(stderr, tc.want) || len(stderr) > 100_000 || (tc.want == "") != (stdout != "") {
				t.Errorf("status %d, standard output %.200q, standard error (%d bytes) %.400q; want %q", status, stdout, len(stderr), stderr, tc.want)
			}
			if peak > tc.most {
				t.Errorf("%d MiB of memory, want at most %d", peak, tc.most)
			}
			t.Logf("%d MiB", peak)
		})
	}
}

// fill writes a text over and over, about n bytes of it.
func fill(w io.Writer, s string, n int) {
	piece := strings.Repeat(s, max(64<<10/len(s), 1))
	for ; n > len(piece); n -= len(piece) {
		io.WriteString(w, piece)
	}
	io.WriteString(w, strings.Repeat(s, n/len(s)))
}

func packing(write func(io.Writer)) func(io.Writer) {
	return func(w io.Writer) {
		z, _ := gzip.NewWriterLevel(w, gzip.BestSpeed)
		write(z)
		z.Close()
	}
}

// TestNoFiles: what is no file is no reason to hang either.
func TestNoFiles(t *testing.T) {
	inHostile(t)
	if err := os.Mkdir("folder", 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("loop", "loop"); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("closed", []byte("block: x\n"), 0); err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		file, want string
		kinds      []string
	}{
		{"folder", "is a folder; want the ", nil},
		{"none", "cannot open none: no such file or directory", nil},
		{"loop", "cannot open loop: too many levels of symbolic links", nil},
		{"closed", "cannot open closed: permission denied", nil},
		{"block.yaml/x", "cannot open block.yaml/x: not a directory", nil},
		{strings.Repeat("n", 300), ": file name too long", nil},
		{"/dev/null", "/dev/null:1:1: the file is empty: want a ", []string{"block", "roster", "gym", "brief"}},
		{"/dev/null", "/dev/null: the file is empty; want a first line", []string{"log"}},
		{"/dev/null", "/dev/null:1: there is no set", []string{"sets"}},
		{"/dev/zero", "/dev/zero: the file is too large: want at most 8 MiB", []string{"block", "roster", "gym", "brief"}},
		{"/dev/zero", "/dev/zero:1: there is no line that names the columns", []string{"log"}},
		{"/dev/zero", "/dev/zero:1: the line is too long", []string{"sets"}},
	} {
		if tc.file == "closed" && os.Geteuid() == 0 {
			continue // nothing is closed to this user
		}
		if _, err := os.Stat(tc.file); err != nil && filepath.IsAbs(tc.file) {
			continue // there is no such device here
		}
		for kind := range readings {
			if tc.kinds != nil && !slices.Contains(tc.kinds, kind) {
				continue
			}
			for _, words := range commandsFor(kind, tc.file) {
				status, stdout, stderr := runHere("", words...)
				if status != statusWrong || stdout != "" || !strings.Contains(stderr, tc.want) {
					t.Errorf("%q: status %d, standard output %.200q, standard error %.300q; want %q", words, status, stdout, stderr, tc.want)
				}
				if made := wasMade(t); len(made) > 0 {
					t.Fatalf("%q: left behind: %v", words, made)
				}
			}
		}
	}
}
