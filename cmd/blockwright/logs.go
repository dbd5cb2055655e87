package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"

	"github.com/blockwright/blockwright/internal/legible"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/plates"
)

// What the commands that read logs have in common.

// readOptions are those of a log whose bare loads are in a unit; nil is the library's default.
func readOptions(unit *plates.Unit, skipBad bool) logbook.Options {
	opt := logbook.Options{SkipBad: skipBad}
	if unit != nil {
		opt.Unit = *unit
	}
	return opt
}

// logReader is a reader of the logs of these names, "-" being standard input.
func (sh *shell) logReader(paths []string, opt logbook.Options) (*logbook.Reader, error) {
	var sources []logbook.Source
	var size, read int64
	for i, p := range paths {
		for _, other := range paths[:i] {
			if p != "-" && sameFile(p, other) {
				return nil, usagef("%s is given twice: its rows would count twice", p)
			}
		}
		// What is no file, a folder or nothing included, is for open to deal with. A
		// pipe cannot be opened again, as a file can.
		info, err := os.Stat(p)
		if p == "-" || err != nil || !info.Mode().IsRegular() {
			in, name, err := sh.open(p, "log")
			if err != nil {
				return nil, err
			}
			sources = append(sources, logbook.Stream(name, in))
			continue
		}
		size += info.Size()
		sources = append(sources, logbook.Opener(p, func() (io.ReadCloser, error) {
			f, err := os.Open(p)
			if err != nil {
				return nil, err
			}
			if read >= size {
				read = 0 // read once more from the start
			}
			return &watched{File: f, ctx: sh.ctx, sh: sh, read: &read, size: size}, nil
		}))
	}
	return logbook.NewReader(opt, sources...), nil
}

// largeLog is the size in bytes from which memory is worth some time.
const largeLog = 16 << 20

// lean lets the collector run after so many per cent of growth while large logs, or such of unknown size, are read, and gives what
// ends it: sums stay and there is little else, so that this costs next to no time and keeps memory near to them.
func lean(paths []string, percent int) (end func()) {
	size := int64(0)
	for _, p := range paths {
		info, err := os.Stat(p)
		if err != nil || !info.Mode().IsRegular() {
			size += largeLog
			continue
		}
		size += info.Size()
	}
	if size < largeLog {
		return func() {}
	}
	was := debug.SetGCPercent(percent)
	return func() { debug.SetGCPercent(was) }
}

// watched is a file that lets an interrupt through and shows how far it is read.
type watched struct {
	*os.File
	ctx  context.Context
	sh   *shell
	read *int64 // of all files together
	size int64
}

// Read implements io.Reader.
func (w *watched) Read(b []byte) (int, error) {
	if err := w.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := w.File.Read(b)
	*w.read += int64(n)
	w.sh.progress.step(int(*w.read>>20), int(w.size>>20), "MiB")
	return n, err
}

// badRows is a log that nothing was concluded from, and how it was read.
type badRows struct {
	*logbook.BadRowsError
	notices []logbook.Notice
}

// Unwrap keeps the rows from being listed one by one.
func (b *badRows) Unwrap() error { return b.BadRowsError }

// ofLog is an error of reading a log with what is known of the reading.
func ofLog(r *logbook.Reader, err error) error {
	var bad *logbook.BadRowsError
	if errors.As(err, &bad) {
		return &badRows{bad, r.Report().Notices}
	}
	return err
}

// text is what is printed about bad rows.
func (b *badRows) text(name string) string {
	var s strings.Builder
	for _, e := range b.Listed {
		s.WriteString(e.Error() + "\n")
	}
	if n := b.Bad - int64(len(b.Listed)); n > 0 {
		fmt.Fprintf(&s, "... and %s more\n", thousands(n))
	}
	for _, n := range b.notices {
		s.WriteString(noticeLine(n) + "\n")
	}
	what := "bad rows"
	if b.Bad == 1 {
		what = "bad row"
	}
	fmt.Fprintf(&s, "%s: %s %s beside %s that can be read; nothing was concluded. Mend them, or leave them out with --skip-bad\n",
		name, thousands(b.Bad), what, thousands(b.Rows))
	return s.String()
}

func noticeLine(n logbook.Notice) string {
	if n.File == "" {
		return "note: " + n.Text
	}
	return "note: " + legible.Escape(n.File) + ": " + n.Text
}

// readingText says how a log was read: counts, then what there is to know.
func readingText(sh *shell, r *logbook.Reader) string {
	rep := r.Report()
	s := thousands(rep.Rows) + " rows"
	if rep.Rows == 1 {
		s = "1 row"
	}
	if len(rep.Files) > 1 {
		s += fmt.Sprintf(" of %d files", len(rep.Files))
	}
	switch {
	case rep.Bad == 1:
		s += ", 1 bad row left out"
	case rep.Bad > 1:
		s += ", " + thousands(rep.Bad) + " bad rows left out"
	}
	if rep.Blank > 0 {
		s += ", " + thousands(rep.Blank) + " empty lines"
	}
	s += "\n"
	for _, n := range rep.Notices {
		s += item(noticeLine(n), "", sh.width)
	}
	for _, e := range rep.Listed {
		s += item("left out: "+e.Error(), "", sh.width)
	}
	return s
}

// jsonReading is how a log was read, in JSON.
type jsonReading struct {
	Files   []jsonLogFile `json:"files"`
	Notices []jsonNotice  `json:"notices"`
	Bad     []jsonBadRow  `json:"bad"` // the first of them
}

type jsonLogFile struct {
	Name  string `json:"name"`
	Rows  int64  `json:"rows"`
	Bad   int64  `json:"bad"`
	Blank int64  `json:"blank"`
}

type jsonNotice struct {
	Code string  `json:"code"`
	File *string `json:"file"`
	Text string  `json:"text"`
}

type jsonBadRow struct {
	File   string  `json:"file"`
	Line   int     `json:"line"`
	Column *int    `json:"column"`
	Field  *string `json:"field"`
	Got    *string `json:"got"`
	Want   string  `json:"want"`
}

func jsonBad(list []*logbook.RowError) []jsonBadRow {
	out := []jsonBadRow{}
	for _, e := range list {
		out = append(out, jsonBadRow{e.File, e.Line, orNil(e.Column), orNil(e.Field), orNil(e.Got), e.Want})
	}
	return out
}

func readingJSON(r *logbook.Reader) jsonReading {
	rep := r.Report()
	out := jsonReading{Files: []jsonLogFile{}, Notices: []jsonNotice{}, Bad: jsonBad(rep.Listed)}
	for _, f := range rep.Files {
		out.Files = append(out.Files, jsonLogFile{f.Name, f.Rows, f.Bad, f.Blank})
	}
	for _, n := range rep.Notices {
		out.Notices = append(out.Notices, jsonNotice{n.Code, orNil(n.File), n.Text})
	}
	return out
}

// printJoined writes two JSON objects as one: the fields of a library's own form
// and those that the command adds.
func (sh *shell) printJoined(a, b any) error {
	line, err := joined(a, b)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, line, "", "  "); err != nil {
		return err
	}
	return sh.print(out.String())
}

// joined is two objects as one, on a line of its own.
func joined(a, b any) ([]byte, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	for _, v := range []any{a, b} {
		if err := enc.Encode(v); err != nil {
			return nil, err
		}
	}
	return bytes.Replace(out.Bytes(), []byte("}\n{"), []byte(","), 1), nil
}

// sayReading tells on standard error what there is to know of how a log was read.
func (sh *shell) sayReading(r *logbook.Reader) error {
	rep := r.Report()
	for _, n := range rep.Notices {
		if err := sh.say(noticeLine(n)); err != nil {
			return err
		}
	}
	for _, e := range rep.Listed {
		if err := sh.say("left out: " + e.Error()); err != nil {
			return err
		}
	}
	return nil
}

// thousands writes a count with its thousands set apart.
func thousands[T int | int64](n T) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// ofOption puts an option that a library refuses as the flag of that name.
func ofOption(err error) error {
	var oe *logbook.OptionError
	if errors.As(err, &oe) {
		return usagef("--%s: want %s, got %s", strings.ReplaceAll(oe.Field, "_", "-"), oe.Want, oe.Got)
	}
	return err
}
