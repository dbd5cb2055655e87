// Package texttab writes aligned text tables for terminals and plain-text
// sheets. Widths are those of a terminal cell, so that wide characters and
// combining marks stay in line; numbers go to the right, each column names its
// unit in the head, and a cell may hold several lines.
package texttab

import (
	"slices"
	"strings"

	"github.com/mattn/go-runewidth"
)

// Align says which end of a column its cells are pushed to.
type Align uint8

// The two alignments. AlignLeft is the zero value.
const (
	AlignLeft Align = iota
	AlignRight
)

// Column is one column: its head, which may have several lines, and where its
// cells go.
type Column struct {
	Head  string
	Align Align
	// Max wraps longer cells at words; 0 lets the column grow as it needs to.
	Max int
	// Fill wraps cells at what the other columns leave of the table's width.
	Fill bool
}

// Left is a column of words.
func Left(head string) Column { return Column{Head: head} }

// Right is a column of numbers.
func Right(head string) Column { return Column{Head: head, Align: AlignRight} }

// Wrapped is a column of words that wraps at a width.
func Wrapped(head string, width int) Column { return Column{Head: head, Max: width} }

// Filling is a column of words that takes what the others leave of the table's
// width. A table has at most one.
func Filling(head string) Column { return Column{Head: head, Fill: true} }

// leastFill is how narrow a filling column may get.
const leastFill = 12

// Table collects rows until it is written. The zero value has no columns; use
// [New].
type Table struct {
	// Width is what a filling column fills up to. Default 80.
	Width int
	// Indent goes before every line. Default none.
	Indent string
	// Gap goes between columns. Default two spaces.
	Gap string
	// Style, where set, decorates a whole padded head line, for instance with
	// the escapes of a terminal.
	Style func(string) string

	cols []Column
	rows [][]string
}

// New makes a table with the columns given.
func New(cols ...Column) *Table { return &Table{cols: cols} }

// Row adds a row. Missing cells are empty; cells beyond the columns are
// dropped.
func (t *Table) Row(cells ...string) {
	t.rows = append(t.rows, cells)
}

// Len is the number of rows added.
func (t *Table) Len() int { return len(t.rows) }

// String is the table as text: the head, unless every head is empty, then the
// rows. No line ends in a space, and each ends in a line break.
func (t *Table) String() string {
	gap := t.Gap
	if gap == "" {
		gap = "  "
	}
	t.fill(Width(gap))
	head := make([]string, len(t.cols))
	hasHead := false
	for i, c := range t.cols {
		head[i] = c.Head
		hasHead = hasHead || c.Head != ""
	}
	grid := make([][][]string, 0, len(t.rows)+1) // row, column, line
	if hasHead {
		grid = append(grid, t.lines(head))
	}
	for _, r := range t.rows {
		grid = append(grid, t.lines(r))
	}
	width := make([]int, len(t.cols))
	for _, row := range grid {
		for i, cell := range row {
			for _, l := range cell {
				width[i] = max(width[i], Width(l))
			}
		}
	}
	var b strings.Builder
	for k, row := range grid {
		high := 0
		for _, cell := range row {
			high = max(high, len(cell))
		}
		for l := range high {
			var line strings.Builder
			line.WriteString(t.Indent)
			for i, cell := range row {
				if i > 0 {
					line.WriteString(gap)
				}
				s := ""
				// Heads stand on the row they describe: short ones sink.
				if off := high - len(cell); k == 0 && hasHead {
					if l >= off {
						s = cell[l-off]
					}
				} else if l < len(cell) {
					s = cell[l]
				}
				if t.cols[i].Align == AlignRight {
					s = PadLeft(s, width[i])
				} else {
					s = PadRight(s, width[i])
				}
				line.WriteString(s)
			}
			s := strings.TrimRight(line.String(), " ")
			if k == 0 && hasHead && t.Style != nil && s != "" {
				s = t.Style(s)
			}
			b.WriteString(s)
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// fill sets the width of the filling column.
func (t *Table) fill(gap int) {
	at := slices.IndexFunc(t.cols, func(c Column) bool { return c.Fill })
	if at < 0 {
		return
	}
	room := t.Width
	if room <= 0 {
		room = 80
	}
	room -= Width(t.Indent) + gap*(len(t.cols)-1)
	for i := range t.cols {
		if i == at {
			continue
		}
		w := t.widest(i, t.cols[i].Head)
		for _, row := range t.rows {
			if i < len(row) {
				w = max(w, t.widest(i, row[i]))
			}
		}
		room -= w
	}
	t.cols[at].Max = max(room, leastFill)
}

// widest is the width of the widest line of a cell of column i.
func (t *Table) widest(i int, s string) int {
	if t.cols[i].Max > 0 {
		s = Wrap(s, t.cols[i].Max)
	}
	w := 0
	for l := range strings.SplitSeq(s, "\n") {
		w = max(w, Width(l))
	}
	return w
}

// lines cuts the cells of a row into lines, one slice for every column.
func (t *Table) lines(cells []string) [][]string {
	out := make([][]string, len(t.cols))
	for i := range t.cols {
		s := ""
		if i < len(cells) {
			s = cells[i]
		}
		if t.cols[i].Max > 0 {
			s = Wrap(s, t.cols[i].Max)
		}
		out[i] = strings.Split(s, "\n")
	}
	return out
}

// cells is how wide terminals draw text: ambiguous characters are narrow
// whatever the locale, so that the same input gives the same table everywhere.
var cells = &runewidth.Condition{StrictEmojiNeutral: true}

// Width is the number of terminal cells that s takes.
func Width(s string) int {
	for i := range len(s) {
		if s[i] >= 0x80 || s[i] < 0x20 || s[i] == 0x7f {
			return cells.StringWidth(s)
		}
	}
	return len(s)
}

// PadLeft puts spaces before s up to a width.
func PadLeft(s string, width int) string {
	return strings.Repeat(" ", max(0, width-Width(s))) + s
}

// PadRight puts spaces after s up to a width.
func PadRight(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-Width(s)))
}

// Wrap breaks text at spaces so that no line is wider than width, except for a
// single word that is wider by itself. Line breaks in the text stay.
func Wrap(s string, width int) string {
	if Width(s) <= width && !strings.Contains(s, "\n") {
		return s
	}
	var b strings.Builder
	for i, para := range strings.Split(s, "\n") {
		if i > 0 {
			b.WriteByte('\n')
		}
		at := 0
		for k, word := range strings.Fields(para) {
			w := Width(word)
			switch {
			case k == 0:
			case at+1+w > width:
				b.WriteByte('\n')
				at = 0
			default:
				b.WriteByte(' ')
				at++
			}
			b.WriteString(word)
			at += w
		}
	}
	return b.String()
}
