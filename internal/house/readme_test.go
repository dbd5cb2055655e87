package house

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// block is a fenced block of a page.
type block struct {
	info string // the word after the fence
	line int
	text []string
}

// fenced lists the fenced blocks of a Markdown page.
func fenced(t *testing.T, file string) []block {
	t.Helper()
	page, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out []block
	open := false
	n := 0
	for line := range strings.Lines(string(page)) {
		n++
		line = strings.TrimRight(line, "\n")
		switch {
		case strings.HasPrefix(line, "```") && !open:
			open = true
			out = append(out, block{info: strings.TrimPrefix(line, "```"), line: n})
		case strings.HasPrefix(line, "```"):
			open = false
		case open:
			b := &out[len(out)-1]
			b.text = append(b.text, line)
		}
	}
	return out
}

// build makes the command once and returns the folder it is in.
func build(t *testing.T) string {
	t.Helper()
	bin := t.TempDir()
	name := "blockwright"
	if runtime.GOOS == "windows" {
		name += ".exe"
	}
	cmd := exec.Command("go", "build", "-o", filepath.Join(bin, name), "./cmd/blockwright")
	cmd.Dir = root(t)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	return bin
}

// copyTree copies the example files, so that commands that write do not touch the tree.
func copyTree(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "examples"), os.DirFS(filepath.Join(root(t), "examples"))); err != nil {
		t.Fatal(err)
	}
	return dir
}

// elsewhere holds the commands of the README that are run in another way.
var elsewhere = map[string]string{
	"go test ./...":                "this is it",
	"bash .ci/run":                 "it runs this test",
	"go install ./cmd/blockwright": "the test builds the command itself",
	"go run ./cmd/blockwright plan examples/quayside/block.yaml examples/quayside/roster.yaml": "TestReadmeMainJob",
}

// runPage runs every line of a page's sh blocks with the command on the path,
// in a copy of the examples, and the go blocks that are programs, and compares
// what is printed with the text block that follows, where there is one. A line
// `...` in that block stands for any lines. A line ending in `# exit N` is
// expected to end with that status.
func runPage(t *testing.T, page, bin string) {
	path := bin + string(os.PathListSeparator) + os.Getenv("PATH")
	dir := copyTree(t)
	blocks := fenced(t, page)
	for i, b := range blocks {
		var printed strings.Builder
		if b.info == "go" && len(b.text) > 0 && b.text[0] == "package main" {
			b.info, b.text = "sh", []string{program(t, b.text)}
		}
		if b.info != "sh" {
			continue
		}
		for _, line := range b.text {
			if line == "" || strings.HasPrefix(line, "#") || elsewhere[line] != "" || strings.HasPrefix(line, "go mod edit ") || strings.HasPrefix(line, "git ") {
				continue
			}
			want := 0
			if cut, status, ok := strings.Cut(line, "# exit "); ok {
				fmt.Sscan(status, &want)
				line = cut
			}
			if rest, ok := strings.CutPrefix(line, "go run "); ok { // a program of the checkout
				line = "go -C '" + root(t) + "' run " + rest
			}
			cmd := exec.Command("sh", "-c", line)
			cmd.Dir = dir
			cmd.Env = append(os.Environ(), "PATH="+path, "NO_COLOR=1")
			out, err := cmd.CombinedOutput()
			if cmd.ProcessState == nil {
				t.Fatalf("%s:%d: %s: %v", page, b.line, line, err)
			}
			if got := cmd.ProcessState.ExitCode(); got != want {
				t.Errorf("%s:%d: %s: exit status %d, want %d\n%s", filepath.Base(page), b.line, line, got, want, out)
			}
			printed.Write(out)
		}
		if i+1 < len(blocks) && blocks[i+1].info == "text" {
			compare(t, fmt.Sprintf("%s:%d", filepath.Base(page), blocks[i+1].line), blocks[i+1].text, printed.String())
		}
	}
}

// compare holds printed output against a page's block with elided parts.
func compare(t *testing.T, where string, want []string, printed string) {
	t.Helper()
	got := strings.Split(strings.TrimRight(printed, "\n"), "\n")
	for i := range got {
		got[i] = strings.TrimRight(got[i], " ")
	}
	for len(want) > 0 {
		if want[0] == "..." {
			want = want[1:]
			if len(want) == 0 {
				return
			}
			for len(got) > 0 && got[0] != want[0] {
				got = got[1:]
			}
			continue
		}
		if len(got) == 0 || got[0] != want[0] {
			t.Errorf("%s: the page and the program differ (-page +program):\n%s", where, cmp.Diff(strings.Join(want, "\n"), strings.Join(got, "\n")))
			return
		}
		got, want = got[1:], want[1:]
	}
	if len(got) > 0 {
		t.Errorf("%s: the program prints more than the page shows:\n%s", where, strings.Join(got, "\n"))
	}
}

// program writes a program of a page down, outside the module, and says how it
// is run as if it were inside.
func program(t *testing.T, text []string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "main.go")
	if err := os.WriteFile(file, []byte(strings.Join(text, "\n")+"\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	return "go run '" + file + "'"
}

// pages lists the README and the pages of the reference.
func pages(t *testing.T) []string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(root(t), "cmd", "blockwright", "reference", "*.md"))
	if err != nil || len(list) < 5 {
		t.Fatalf("%d pages, %v; want 5 or more", len(list), err)
	}
	return append([]string{filepath.Join(root(t), "README.md")}, list...)
}

// TestReadme runs what the README and the guides show.
func TestReadme(t *testing.T) {
	if testing.Short() {
		t.Skip("the pages run programs of their own, which -short and -race see nothing of")
	}
	bin := build(t)
	for _, page := range pages(t) {
		t.Run(filepath.Base(page), func(t *testing.T) { runPage(t, page, bin) })
	}
}

// TestLinks: what pages link to is there, and the README leads to every page of
// the reference.
func TestLinks(t *testing.T) {
	link := regexp.MustCompile(`\]\(([^)#:]+)(#[^)]*)?\)`)
	code := regexp.MustCompile("`[^`\n]*`")
	from := append(pages(t), filepath.Join(root(t), "DEVELOPERS.md"), filepath.Join(root(t), "periodize", "blockfile", "FIELDS.md"))
	linked := map[string]bool{}
	for _, page := range from {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllStringSubmatch(code.ReplaceAllString(string(text), ""), -1) {
			to := filepath.Join(filepath.Dir(page), filepath.FromSlash(m[1]))
			if _, err := os.Stat(to); err != nil {
				t.Errorf("%s links to %s, which is not there", filepath.Base(page), m[1])
			}
			if page == from[0] {
				linked[to] = true
			}
		}
	}
	for _, page := range from[1:] {
		if !linked[page] {
			t.Errorf("the README does not link to %s", filepath.Base(page))
		}
	}
}

// TestReadmeMainJob runs the command that the README puts first, as it stands
// there, in the tree itself.
func TestReadmeMainJob(t *testing.T) {
	const line = "go run ./cmd/blockwright plan examples/quayside/block.yaml examples/quayside/roster.yaml"
	page, err := os.ReadFile(filepath.Join(root(t), "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(page), line) {
		t.Fatalf("the README does not show %q", line)
	}
	cmd := exec.Command("sh", "-c", line)
	cmd.Dir = root(t)
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, name := range []string{"Maren", "Tomasz", "Abeni", "Kit", "medical advice"} {
		if !strings.Contains(string(out), name) {
			t.Errorf("the sheets do not mention %q", name)
		}
	}
}
