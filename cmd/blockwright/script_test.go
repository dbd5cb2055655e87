package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// runAsProgram, set in the environment, makes the test binary the program.
const runAsProgram = "BLOCKWRIGHT_TEST_PROGRAM"

// statusFile is where the program leaves its exit status for the script's
// command `status N`.
const statusFile = "BLOCKWRIGHT_TEST_STATUS"

// TestMain lets the test binary stand in for the program: for scripts through
// testscript, for the tests of processes by itself.
func TestMain(m *testing.M) {
	if os.Getenv(runAsProgram) != "" {
		main()
	}
	testscript.Main(m, map[string]func(){
		"blockwright": func() {
			status := run(os.Args, os.Stdin, os.Stdout, os.Stderr)
			if f := os.Getenv(statusFile); f != "" {
				if err := os.WriteFile(f, []byte{'0' + byte(status)}, 0o666); err != nil {
					panic(err)
				}
			}
			os.Exit(status)
		},
	})
}

// TestScripts runs testdata/script/*.txtar, each in a folder with its files and,
// under gym/, the files that `blockwright init` writes.
func TestScripts(t *testing.T) {
	starter, err := filepath.Abs("starter")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           filepath.Join("testdata", "script"),
		UpdateScripts: *update,
		Setup: func(env *testscript.Env) error {
			env.Setenv(statusFile, filepath.Join(env.WorkDir, ".status"))
			return os.CopyFS(filepath.Join(env.WorkDir, "gym"), os.DirFS(starter))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			// status N: how the last run of the program ended.
			"status": func(ts *testscript.TestScript, neg bool, args []string) {
				if neg || len(args) != 1 {
					ts.Fatalf("usage: status N")
				}
				if got := strings.TrimSpace(ts.ReadFile(".status")); got != args[0] {
					ts.Fatalf("exit status %s, want %s", got, args[0])
				}
			},
		},
	})
}
