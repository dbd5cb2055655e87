//go:build unix

package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
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
	var stderr bytes.Buffer
	cmd := program(t, "plan", starterFile(t, "block.yaml"), starterFile(t, "roster.yaml"))
	cmd.Stdout, cmd.Stderr = full, &stderr
	cmd.Run()
	if cmd.ProcessState.ExitCode() != statusWrong || !strings.Contains(stderr.String(), "no space left on device") {
		t.Errorf("exit status %d, standard error %q", cmd.ProcessState.ExitCode(), stderr.String())
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
