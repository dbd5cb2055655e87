package house

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// root is the module's directory.
func root(t *testing.T) string {
	t.Helper()
	dir, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	return dir
}

// TestScratchModule does what the README tells an embedder: a new module that
// uses a checkout through `go mod edit -replace`.
func TestScratchModule(t *testing.T) {
	dir := t.TempDir()
	program := `package main

import (
	"fmt"

	"github.com/blockwright/blockwright/plates"
)

func main() {
	fmt.Println((142*plates.Kilogram + 500*plates.Gram).String())
}
`
	if err := os.WriteFile(filepath.Join(dir, "main.go"), []byte(program), 0o666); err != nil {
		t.Fatal(err)
	}
	run := func(args ...string) string {
		t.Helper()
		cmd := exec.Command(args[0], args[1:]...)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "GOWORK=off")
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", strings.Join(args, " "), err, out)
		}
		return string(out)
	}
	run("go", "mod", "init", "scratch.example/gym")
	run("go", "mod", "edit", "-require", module+"@v0.0.0", "-replace", module+"="+root(t))
	run("go", "mod", "tidy")
	if got := run("go", "run", "."); strings.TrimSpace(got) != "142.5kg" {
		t.Errorf("the program printed %q, want 142.5kg", got)
	}
}
