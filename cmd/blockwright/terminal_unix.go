//go:build unix

package main

import (
	"io"
	"os"

	"golang.org/x/sys/unix"
)

// terminalWidth is the columns of a terminal, 0 where it does not say; ok is
// false for anything else.
func terminalWidth(w io.Writer) (columns int, ok bool) {
	f, isFile := w.(*os.File)
	if !isFile {
		return 0, false
	}
	size, err := unix.IoctlGetWinsize(int(f.Fd()), unix.TIOCGWINSZ)
	if err != nil {
		return 0, false
	}
	return int(size.Col), true
}
