package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"
	"time"

	"github.com/blockwright/blockwright/internal/texttab"
)

// shell is where a run takes place: its streams, and what is known of them.
type shell struct {
	ctx      context.Context
	stdin    io.Reader
	stdout   io.Writer
	stderr   io.Writer
	terminal bool // standard output is one
	color    bool // of standard output
	width    int  // columns of standard output
	progress *progress

	stdinTaken string // what was read from standard input, "" for nothing yet
}

// plainWidth is how wide output is that goes to no terminal.
const plainWidth = 96

func newShell(ctx context.Context, stdin io.Reader, stdout, stderr io.Writer) *shell {
	sh := &shell{ctx: ctx, stdin: stdin, stdout: stdout, stderr: stderr, width: plainWidth}
	if cols, ok := terminalWidth(stdout); ok {
		sh.terminal = true
		sh.color = colorful(os.Getenv)
		if cols > 0 {
			sh.width = min(max(cols, 40), 160)
		}
	}
	if _, ok := terminalWidth(stderr); ok {
		sh.progress = &progress{w: stderr, start: time.Now()}
	}
	return sh
}

// colorful reports whether a terminal wants colour: not with NO_COLOR set to
// anything, not one that calls itself dumb.
func colorful(getenv func(string) string) bool {
	if getenv("NO_COLOR") != "" || getenv("TERM") == "dumb" {
		return false
	}
	return runtime.GOOS != "windows" || getenv("WT_SESSION") != "" || getenv("TERM") != ""
}

func (sh *shell) print(s string) error {
	_, err := io.WriteString(sh.stdout, s)
	return err
}

// printJSON writes a value as JSON, every number with all its digits.
func (sh *shell) printJSON(v any) error {
	s, err := jsonText(v)
	if err != nil {
		return err
	}
	return sh.print(s)
}

func jsonText(v any) (string, error) {
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return "", err
	}
	return b.String(), nil
}

// bold and faint mark text on a terminal. No meaning is in them alone.
func (sh *shell) bold(s string) string { return sh.escape("1", s) }

func (sh *shell) escape(code, s string) string {
	if !sh.color {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[0m"
}

// head styles the head of a table, nil where nothing is to be styled.
func (sh *shell) head() func(string) string {
	if !sh.color {
		return nil
	}
	return func(s string) string { return sh.escape("36", s) }
}

// para is a paragraph at the width of standard output.
func (sh *shell) para(s string) string { return texttab.Wrap(s, sh.width) + "\n" }

// progress says on a terminal how far work is that takes over a second. It is
// rewritten in place and erased at the end. A nil one is silent.
type progress struct {
	w     io.Writer
	start time.Time
	last  time.Time
	shown bool
}

// step reports that n of total are done.
func (p *progress) step(n, total int, what string) {
	if p == nil {
		return
	}
	now := time.Now()
	if now.Sub(p.start) < time.Second || now.Sub(p.last) < 100*time.Millisecond {
		return
	}
	p.last, p.shown = now, true
	const cells = 24
	full := 0
	if total > 0 {
		full = min(cells, cells*n/total)
	}
	fmt.Fprintf(p.w, "\r[%s%s] %d of %d %s", strings.Repeat("#", full), strings.Repeat(".", cells-full), n, total, what)
}

func (p *progress) clear() {
	if p != nil && p.shown {
		io.WriteString(p.w, "\r\x1b[K")
		p.shown = false
	}
}
