package house

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestExamples runs the command on every example file: each block and roster is
// planned and reviewed without a problem, and each brief is drafted.
func TestExamples(t *testing.T) {
	bin, examples := build(t), filepath.Join(root(t), "examples")
	run := func(args ...string) string {
		t.Helper()
		cmd := exec.Command(filepath.Join(bin, "blockwright"), args...)
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("blockwright %s: %v", strings.Join(args, " "), err)
		}
		return string(out)
	}
	blocks, err := filepath.Glob(filepath.Join(examples, "*", "block.yaml"))
	if err != nil || len(blocks) < 2 {
		t.Fatalf("%d example blocks, %v; want 2 or more", len(blocks), err)
	}
	for _, block := range blocks {
		roster := filepath.Join(filepath.Dir(block), "roster.yaml")
		if out := run("plan", block, roster); !strings.Contains(out, "medical advice") {
			t.Errorf("%s: the sheets carry no caution", block)
		}
		run("review", block, roster, "--strict")
	}
	briefs, err := filepath.Glob(filepath.Join(examples, "briefs", "*.yaml"))
	if err != nil || len(briefs) < 3 {
		t.Fatalf("%d example briefs, %v; want 3 or more", len(briefs), err)
	}
	for _, brief := range briefs {
		want, err := os.ReadFile(filepath.Join(examples, "briefs", "drafts", filepath.Base(brief)))
		if err != nil {
			t.Fatal(err)
		}
		if got := run("draft", brief); got != string(want) {
			t.Errorf("%s: the draft differs from the one shipped", brief)
		}
	}
}

// small are the example programs that show one thing each. They stay shorter than
// 80 lines, every line counted.
var small = []string{"coach", "embed", "equation", "parts", "serve"}

// TestExamplePrograms builds every program of the examples, looks for it in the
// README, and runs those that end by themselves; their own tests check what they say.
func TestExamplePrograms(t *testing.T) {
	dir := root(t)
	programs, err := filepath.Glob(filepath.Join(dir, "examples", "*", "main.go"))
	if err != nil || len(programs) < len(small) {
		t.Fatalf("%d example programs, %v; want %d or more", len(programs), err, len(small))
	}
	bin := t.TempDir()
	build := exec.Command("go", "build", "-o", bin+string(filepath.Separator), "./examples/...")
	build.Dir = dir
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	page, err := os.ReadFile(filepath.Join(dir, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range programs {
		name := filepath.Base(filepath.Dir(file))
		if !strings.Contains(string(page), "(examples/"+name+"/main.go)") && !strings.Contains(string(page), "go run ./examples/"+name) {
			t.Errorf("the README neither links to examples/%s nor runs it", name)
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(string(text), "\n"); slices.Contains(small, name) && n >= 80 {
			t.Errorf("%s has %d lines; want less than 80", file, n)
		}
	}

	log := filepath.Join(t.TempDir(), "log.csv")
	run := func(program string, args ...string) string {
		t.Helper()
		out, err := exec.Command(filepath.Join(bin, program), args...).CombinedOutput()
		if err != nil {
			t.Fatalf("%s %s: %v\n%s", program, strings.Join(args, " "), err, out)
		}
		return string(out)
	}
	if err := os.WriteFile(log, []byte(run("logs", "-rows", "500")), 0o666); err != nil {
		t.Fatal(err)
	}
	run("parts", "map", log)
	for _, x := range []struct{ got, want string }{
		{run("embed"), "sets of 5"}, {run("coach"), "club_busy_bar"}, {run("equation", log), "ours"},
		{run("parts", "combine", log+".json"), "push press"}, {run("analysis", log), "push press"},
	} {
		if !strings.Contains(x.got, x.want) {
			t.Errorf("got\n%s\nwant %q in it", x.got, x.want)
		}
	}
}
