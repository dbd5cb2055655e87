package workbook

import (
	"archive/zip"
	"io"
	"io/fs"
	"strings"

	"github.com/xuri/excelize/v2"
)

// The library keeps all sheets of a file in memory until it is written. To
// keep memory flat each lifter's sheet is made in a file of its own, of which
// only the sheet's part goes into the real archive; the parts that tie the
// sheets together come from one last file that has the same styles and an
// empty sheet for each lifter.

// pick is an archive that passes on the parts it wants and drops the others.
type pick struct {
	to   *zip.Writer
	want func(name string) (as string, ok bool)
}

// Create implements the library's archive.
func (p *pick) Create(name string) (io.Writer, error) {
	as, ok := p.want(name)
	if !ok {
		return io.Discard, nil
	}
	return p.to.Create(as)
}

// AddFS implements the library's archive; nothing calls it.
func (p *pick) AddFS(fs.FS) error { return nil }

// Close leaves the real archive open.
func (p *pick) Close() error { return nil }

// sendSheet writes the only sheet of f into the archive as sheet number n.
func sendSheet(f *excelize.File, to *zip.Writer, name string) error {
	f.SetZipWriter(func(io.Writer) excelize.ZipWriter {
		return &pick{to, func(part string) (string, bool) { return name, part == "xl/worksheets/sheet1.xml" }}
	})
	return f.Write(io.Discard)
}

// sendShell writes everything but the sheets of f into the archive.
func sendShell(f *excelize.File, to *zip.Writer) error {
	f.SetZipWriter(func(io.Writer) excelize.ZipWriter {
		return &pick{to, func(part string) (string, bool) {
			return part, !strings.HasPrefix(part, "xl/worksheets/sheet")
		}}
	})
	return f.Write(io.Discard)
}
