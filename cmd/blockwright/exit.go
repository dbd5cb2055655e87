package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"syscall"

	"github.com/blockwright/blockwright/internal/legible"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/periodize/logbook"
)

// The exit statuses, which scripts rely on.
const (
	statusDone        = 0
	statusStrict      = 1   // done, and a check that the user asked to be strict about failed
	statusWrong       = 2   // the input or the command line is wrong
	statusInterrupted = 130 // as shells report an interrupt
)

// usageError is a command line that is wrong.
type usageError struct{ msg string }

func (e *usageError) Error() string { return e.msg }

func usagef(format string, args ...any) error { return &usageError{fmt.Sprintf(format, args...)} }

// strictError is a check that failed where the user asked to be strict.
type strictError struct{ msg string }

func (e *strictError) Error() string { return e.msg }

// status is the one place that maps errors to exit statuses.
func status(err error) int {
	var strict *strictError
	switch {
	case err == nil, readerGone(err):
		return statusDone
	case errors.As(err, &strict):
		return statusStrict
	case errors.Is(err, context.Canceled):
		return statusInterrupted
	}
	return statusWrong
}

// readerGone reports whether whoever read the output has closed it, as head
// does: nobody is left to tell.
func readerGone(err error) bool {
	return errors.Is(err, syscall.EPIPE) || errors.Is(err, io.ErrClosedPipe)
}

// finish reports an error on standard error and gives the exit status.
func (sh *shell) finish(command string, err error) int {
	sh.progress.clear()
	if err != nil && sh.ctx.Err() != nil {
		err = sh.ctx.Err() // whatever it was called on its way here
	}
	if err != nil && !readerGone(err) {
		// A terminal must not obey what a name in a message says.
		io.WriteString(sh.stderr, legible.Escape(message(command, err)))
	}
	return status(err)
}

const interruptedText = "interrupted; nothing that was not finished is left behind\n"

// mostErrors is how many errors of files are listed.
const mostErrors = 100

// message is what is printed about an error.
func message(command string, err error) string {
	name := "blockwright"
	if command != "" {
		name += " " + command
	}
	var usage *usageError
	var strict *strictError
	var bad *badRows
	var rows *logbook.BadRowsError
	switch {
	case errors.As(err, &bad):
		return bad.text(name)
	case errors.As(err, &rows):
		return (&badRows{BadRowsError: rows}).text(name)
	case errors.As(err, &usage):
		return fmt.Sprintf("%s: %s\ntry: %s --help\n", name, usage.msg, name)
	case errors.As(err, &strict):
		return fmt.Sprintf("%s: %s\n", name, strict.msg)
	case errors.Is(err, context.Canceled):
		return name + ": " + interruptedText
	}
	list := flatten(err)
	var missing *periodize.MissingMaxError
	var b strings.Builder
	n := 0
	for _, e := range list {
		if m, ok := e.(*periodize.MissingMaxError); ok {
			missing = m
			continue
		}
		if n++; n > mostErrors {
			continue
		}
		if placed(e) {
			fmt.Fprintf(&b, "%v\n", e)
		} else {
			fmt.Fprintf(&b, "%s: %s\n", name, plain(e))
		}
	}
	if n > mostErrors {
		fmt.Fprintf(&b, "... and %d more\n", n-mostErrors)
	}
	if n > 1 {
		fmt.Fprintf(&b, "%s: %d errors; nothing was done\n", name, n)
	}
	if missing != nil {
		b.WriteString(missingText(name, missing))
	}
	return b.String()
}

// flatten lists the errors that an error is made of.
func flatten(err error) []error {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		var out []error
		for _, e := range many.Unwrap() {
			out = append(out, flatten(e)...)
		}
		return out
	}
	return []error{err}
}

// placed reports whether an error names its place in a file itself.
func placed(err error) bool {
	switch e := err.(type) {
	case *blockfile.Error:
		return e.Pos.File != ""
	case *periodize.Error:
		return e.Pos.File != ""
	case *lineError, *logbook.RowError, *logbook.HeaderError:
		return true
	}
	return false
}

// plain is an error's text without the name of the package that it comes from:
// the command's name stands before it.
func plain(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) && (err == error(pe) || pe.Op == "write") { // what was being written says nothing
		path := pe.Path
		if path == os.Stdout.Name() {
			path = "standard output"
		}
		return fmt.Sprintf("cannot %s %s: %v", pe.Op, path, pe.Err)
	}
	s := err.Error()
	for _, p := range []string{"estimate: ", "plates: ", "periodize: ", "sheet: ", "taper: ", "response: ", "logbook: ", "blockfile: ", "workbook: "} {
		if rest, ok := strings.CutPrefix(s, p); ok {
			return rest
		}
	}
	return s
}
