//go:build !unix

package main

import (
	"io"
	"os"
)

// terminalWidth reports whether w is a terminal, of a width that is not known.
func terminalWidth(w io.Writer) (columns int, ok bool) {
	f, isFile := w.(*os.File)
	if !isFile {
		return 0, false
	}
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return 0, false
	}
	null, err := os.Stat(os.DevNull)
	return 0, err != nil || !os.SameFile(info, null)
}
