package house

import (
	"os"
	"os/exec"
	"path/filepath"
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
