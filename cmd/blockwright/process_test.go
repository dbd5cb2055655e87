//go:build unix

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// What only a process of its own shows: exit statuses, pipes that close,
// interrupts, full disks, completion in a shell. The test binary stands in for
// the program.

// program is a command that runs the program.
func program(t *testing.T, words ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), self, words...)
	cmd.Env = append(os.Environ(), runAsProgram+"=1")
	return cmd
}

func starterFile(t *testing.T, name string) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("starter", name))
	if err != nil {
		t.Fatal(err)
	}
	return path
}

func TestExitStatus(t *testing.T) {
	for _, tc := range []struct {
		words string
		want  int
	}{
		{"plates 60", 0},
		{"--help", 0},
		{"plates 61 --strict", 1},
		{"plates", 2},
		{"", 2},
		{"plan none.yaml none.yaml", 2},
	} {
		cmd := program(t, strings.Fields(tc.words)...)
		err := cmd.Run()
		if got := cmd.ProcessState.ExitCode(); got != tc.want {
			t.Errorf("%q: exit status %d, want %d (%v)", tc.words, got, tc.want, err)
		}
	}
}

// TestReaderGoesAway closes the pipe before anything is read: no message, and
// nothing to complain about.
func TestReaderGoesAway(t *testing.T) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	r.Close()
	var stderr bytes.Buffer
	cmd := program(t, "plan", starterFile(t, "block.yaml"), starterFile(t, "roster.yaml"), "--json")
	cmd.Stdout, cmd.Stderr = w, &stderr
	err = cmd.Run()
	w.Close()
	if err != nil || stderr.Len() > 0 {
		t.Errorf("%v, standard error %q; want silence and status 0", err, stderr.String())
	}
}

// TestDiskFull writes to a device that is always full.
func TestDiskFull(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Log("there is no such device here:", err)
		return
	}
	defer full.Close()
	block, roster, log := starterFile(t, "block.yaml"), starterFile(t, "roster.yaml"), starterFile(t, "log.csv")
	for _, words := range [][]string{
		{"plan", block, roster}, {"plan", block, roster, "--format", "xlsx"}, {"plan", block, roster, "--format", "weights"}, {"plan", block, roster, "--warnings"},
		{"review", block}, {"next", block, roster, log, "--json"}, {"estimate", "100x5"}, {"plates", "60"}, {"taper", "--date", "2027-10-23"},
		{"attempts", "180"}, {"forecast", block, roster}, {"log", log}, {"compare", log}, {"schema", "block"}, {"completion", "fish"}, {"--help"}, {"--version"},
	} {
		var stderr bytes.Buffer
		cmd := program(t, words...)
		cmd.Stdout, cmd.Stderr = full, &stderr
		cmd.Run()
		if cmd.ProcessState.ExitCode() != statusWrong || !strings.HasSuffix(stderr.String(), ": cannot write standard output: no space left on device\n") {
			t.Errorf("%q: exit status %d, standard error %q", words, cmd.ProcessState.ExitCode(), stderr.String())
		}
	}
}

// TestInterrupt stops the program while it waits for standard input.
func TestInterrupt(t *testing.T) {
	for _, sig := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		t.Run(sig.String(), func(t *testing.T) { interrupted(t, sig) })
	}
}

func interrupted(t *testing.T, sig os.Signal) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	defer w.Close()
	var stderr bytes.Buffer
	cmd := program(t, "plan", "-", starterFile(t, "roster.yaml"))
	cmd.Stdin, cmd.Stderr = r, &stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	// More than a pipe holds: once it is written the program is known to read.
	if _, err := io.WriteString(w, strings.Repeat("# nothing\n", 20_000)); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Process.Signal(sig); err != nil {
		t.Fatal(err)
	}
	cmd.Wait()
	if got := cmd.ProcessState.ExitCode(); got != statusInterrupted || !strings.Contains(stderr.String(), "interrupted") {
		t.Errorf("exit status %d, standard error %q; want %d and a word about it", got, stderr.String(), statusInterrupted)
	}
}

// TestInterruptWhileWaiting stops the program where nobody opens the other end of
// the pipe that it is to read.
func TestInterruptWhileWaiting(t *testing.T) {
	dir := t.TempDir()
	pipe := filepath.Join(dir, "pipe")
	if err := syscall.Mkfifo(pipe, 0o666); err != nil {
		t.Fatal(err)
	}
	for _, words := range [][]string{
		{"plan", pipe, starterFile(t, "roster.yaml")},
		{"next", starterFile(t, "block.yaml"), starterFile(t, "roster.yaml"), pipe},
		{"estimate", "--sets", pipe},
	} {
		stopped(t, 300*time.Millisecond, words...)
	}
}

// TestInterruptOfACalculation stops the program in the middle of work that asks
// for nothing: it ends soon all the same.
func TestInterruptOfACalculation(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.csv")
	var b strings.Builder
	b.WriteString("date,lifter,lift,load,reps,rir,tested\n")
	for i := range 400 {
		fmt.Fprintf(&b, "2027-05-03,Lifter %d,row,%d,5,0,\n2027-05-06,Lifter %d,row,%d,1,0,1\n", i, 60+i%40, i, 70+i%41)
	}
	if err := os.WriteFile(log, []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	stopped(t, 500*time.Millisecond, "compare", log, "--resamples", "1000000")
}

// stopped starts the program, interrupts it after a while and waits for its end. On a busy machine the while may end
// before the program has come so far as to listen; then it gets twice as long.
func stopped(t *testing.T, after time.Duration, words ...string) {
	t.Helper()
	for ; ; after *= 2 {
		var stderr bytes.Buffer
		cmd := program(t, words...)
		cmd.Stderr = &stderr
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(after)
		if err := cmd.Process.Signal(os.Interrupt); err != nil {
			t.Fatal(err)
		}
		late := time.AfterFunc(20*time.Second, func() { cmd.Process.Kill() })
		cmd.Wait()
		late.Stop()
		if ws, ok := cmd.ProcessState.Sys().(syscall.WaitStatus); ok && ws.Signaled() && ws.Signal() == syscall.SIGINT && after < 10*time.Second {
			continue
		}
		if got := cmd.ProcessState.ExitCode(); got != statusInterrupted || !strings.Contains(stderr.String(), "interrupted") {
			t.Errorf("%q: exit status %d, standard error %q; want %d and a word about it", words, got, stderr.String(), statusInterrupted)
		}
		return
	}
}

// manyLifters is a roster of so many.
func manyLifters(t *testing.T, n int) string {
	t.Helper()
	text, err := os.ReadFile(starterFile(t, "roster.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	head, _, _ := strings.Cut(string(text), "lifters:")
	var b strings.Builder
	b.WriteString(head + "lifters:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {name: Lifter %d, maxes: {sumo deadlift: %d, incline press: 60}}\n", i, 100+i%50)
	}
	path := filepath.Join(t.TempDir(), "many.yaml")
	if err := os.WriteFile(path, []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestKilled kills the program while it fills a folder: what is there under its
// name is whole, whenever it was.
func TestKilled(t *testing.T) {
	roster := manyLifters(t, 300)
	for _, after := range []int{1, 20, 60} {
		dir := filepath.Join(t.TempDir(), "sheets")
		cmd := program(t, "plan", starterFile(t, "block.yaml"), roster, "--format", "json", "--out", dir)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		for {
			if files, _ := filepath.Glob(filepath.Join(dir, "*.json")); len(files) >= after {
				break
			}
			time.Sleep(time.Millisecond)
		}
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		cmd.Wait()
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			text, err := os.ReadFile(filepath.Join(dir, e.Name()))
			if err != nil {
				t.Fatal(err)
			}
			temporary := strings.HasPrefix(e.Name(), ".") && strings.HasSuffix(e.Name(), ".tmp")
			if !temporary && !json.Valid(text) {
				t.Errorf("%s is not whole: %d bytes", e.Name(), len(text))
			}
		}
		if len(entries) < after || len(entries) > 300 {
			t.Errorf("%d files", len(entries))
		}
	}
}

// TestNoRoom: every command that writes a file says so where there is no room for
// it, and leaves nothing: neither the file nor a part of it nor a folder for it.
// Room is taken away by the shell's limit to the size of files.
func TestNoRoom(t *testing.T) {
	block, roster, log := starterFile(t, "block.yaml"), starterFile(t, "roster.yaml"), starterFile(t, "log.csv")
	brief, err := filepath.Abs(filepath.Join("..", "..", "examples", "briefs", "two-evenings.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	plan := []string{"plan", block, roster, "--out"}
	for _, words := range [][]string{
		append(plan, "OUT/sheet.txt"), append(plan, "OUT/sheet.md"), append(plan, "OUT/sheet.html"), append(plan, "OUT/sheet.csv"),
		append(plan, "OUT/sheet.json"), append(plan, "OUT/sheet.ics"), append(plan, "OUT/sheet.xlsx"),
		append(plan, "OUT/a/folder", "--format", "html"), append(plan, "OUT/a/folder", "--format", "xlsx"),
		{"plan", block, roster, "--format", "weights", "--out", "OUT/w.csv"},
		{"review", block, "--figure", "OUT/shape.svg"},
		{"draft", brief, "--out", "OUT/block.yaml"},
		{"next", block, roster, log, "--out", "OUT/next.yaml"},
		{"taper", "--date", "2027-10-23", "--figure", "OUT/taper.png"},
		{"forecast", block, roster, "--lifter", "Iris", "--figure", "OUT/band.svg"},
		{"log", log, "--lifter", "Iris", "--lift", "sumo deadlift", "--figure", "OUT/max.svg"},
		{"schema", "block", "--out", "OUT/block.json"},
		{"init", "OUT/new/gym"},
	} {
		dir := t.TempDir()
		words = slices.Clone(words)
		file := ""
		for i := range words {
			if s := words[i]; strings.HasPrefix(s, "OUT") {
				words[i] = dir + strings.TrimPrefix(s, "OUT")
				file = words[i]
			}
		}
		cmd := program(t, words...)
		sh := exec.CommandContext(t.Context(), "sh", append([]string{"-c", `ulimit -f 0; exec "$@"`, "sh"}, cmd.Args...)...)
		sh.Args[4], sh.Env = cmd.Path, cmd.Env
		out, _ := sh.CombinedOutput()
		want := "blockwright " + words[0] + ": cannot write " + file
		if got := sh.ProcessState.ExitCode(); got != statusWrong || !strings.HasPrefix(string(out), want) || !strings.Contains(string(out), "file too large") || strings.Contains(string(out), ".tmp") {
			t.Errorf("%q: exit status %d, output %q; want %d and %q", words, got, out, statusWrong, want)
		}
		if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
			t.Errorf("%q: left behind: %v, %v", words, left, err)
		}
	}
}

// TestWrittenIntoAPipe: a pipe is written to; it is not replaced by a file.
func TestWrittenIntoAPipe(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "sheet.json")
	if err := syscall.Mkfifo(pipe, 0o666); err != nil {
		t.Fatal(err)
	}
	cmd := program(t, "plan", starterFile(t, "block.yaml"), starterFile(t, "roster.yaml"), "--out", pipe)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(pipe)
	if err := errors.Join(err, cmd.Wait()); err != nil || !json.Valid(text) {
		t.Errorf("%v, %d bytes", err, len(text))
	}
	if info, err := os.Lstat(pipe); err != nil || info.Mode().Type() != os.ModeNamedPipe {
		t.Errorf("%v, %v; want the pipe", info, err)
	}
}

// TestLogThroughAPipe: a log that comes through a pipe is read as one that is a
// file, by the commands too that read a file twice.
func TestLogThroughAPipe(t *testing.T) {
	// Lifters mixed and tests first, so that the log has to be read twice.
	const log = "date,lifter,lift,load,reps,rir,tested\n2027-05-06,Oona,row,80,1,0,1\n2027-05-03,Oona,row,70,5,0,\n2027-05-03,Bram,row,90,5,0,\n2027-05-06,Bram,row,100,1,0,1\n"
	dir := t.TempDir()
	file, pipe := filepath.Join(dir, "log.csv"), filepath.Join(dir, "pipe.csv")
	if err := errors.Join(os.WriteFile(file, []byte(log), 0o666), syscall.Mkfifo(pipe, 0o666)); err != nil {
		t.Fatal(err)
	}
	for _, words := range [][]string{{"compare", "LOG", "--resamples", "0"}, {"log", "LOG"}} {
		var got [2]string
		for i, in := range []string{file, pipe} {
			words = slices.Clone(words)
			words[1] = in
			cmd := program(t, words...)
			if in == pipe {
				go func() {
					if w, err := os.OpenFile(pipe, os.O_WRONLY, 0); err == nil {
						w.WriteString(log)
						w.Close()
					}
				}()
			}
			out, err := cmd.CombinedOutput()
			if err != nil {
				t.Fatalf("%q: %v\n%s", words, err, out)
			}
			got[i] = string(out)
		}
		if got[0] != got[1] || strings.Contains(got[0], "0 pairs") {
			t.Errorf("%s: through a pipe\n%s\nas a file\n%s", words[0], got[1], got[0])
		}
	}
}

// TestBashCompletion completes in a real shell, with its own splitting at `=`.
func TestBashCompletion(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Log("there is no bash here:", err)
		return
	}
	dir := t.TempDir()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	wrapper := filepath.Join(dir, "blockwright")
	if err := os.WriteFile(wrapper, []byte("#!/bin/sh\n"+runAsProgram+"=1 exec '"+self+"' \"$@\"\n"), 0o777); err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct{ words, want string }{
		{"blockwright pla", "plan plates"},
		{"blockwright schema ro", "roster"},
		{"blockwright plan --for", "--format"},
		{"blockwright plan --format = js", "json"},
		{"blockwright plan --format =", "text md html csv json ics xlsx weights"},
		{"blockwright plan --format = json --ou", "--out"},
		{"blockwright plan --unit k", "kg"},
		{"blockwright plan bl", ""},
	} {
		words := strings.Fields(tc.words)
		script := `source <(blockwright completion bash)
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1))
_blockwright
echo "${COMPREPLY[*]}"`
		cmd := exec.CommandContext(t.Context(), bash, append([]string{"-c", script, "bash"}, words...)...)
		cmd.Env = append(os.Environ(), "PATH="+dir+":"+os.Getenv("PATH"))
		out, err := cmd.CombinedOutput()
		if got := strings.TrimSpace(string(out)); err != nil || got != tc.want {
			t.Errorf("%s: %q (%v), want %q", tc.words, got, err, tc.want)
		}
	}
}
