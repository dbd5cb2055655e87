package workbook

import (
	"archive/zip"
	"fmt"
	"io"
	"strconv"
	"time"

	"github.com/xuri/excelize/v2"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/words"
	"github.com/blockwright/blockwright/plates"
)

// Extension is the ending of a workbook's file name.
const Extension = "xlsx"

// Columns of a lifter's sheet. The maxima at its head use the same ones.
const (
	colLift = 1 + iota // A
	colSet             // B
	colKind            // C
	colReps            // D; maximum
	colPct             // E; per cent of the maximum that is the working one
	colLoad            // F; working maximum
	colSide            // G; where the maximum is from
	colRest            // H; low end of its range
	colLeft            // I; high end
	colDone            // J; bodyweight that it counts
	colDoneReps
	colDoneLeft
	colEst
	colFrom
)

// book writes a workbook as plans come.
type book struct {
	opt    sheet.Options
	zip    *zip.Writer
	block  *periodize.Block
	tables *tables
	names  sheetNames
	order  []string
}

// New makes a renderer of a workbook. Weights are in the gym's unit unless the
// options say otherwise. Options.Stamp is the date that the file carries; zero
// is the start of 2000.
func New(w io.Writer, opt sheet.Options) (sheet.Renderer, error) {
	if opt.Stamp.IsZero() {
		opt.Stamp = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	b := &book{opt: opt, zip: zip.NewWriter(w), tables: newTables()}
	b.names.take(tablesSheet)
	return b, nil
}

// Begin implements [sheet.Renderer].
func (b *book) Begin(block *periodize.Block) error {
	if err := b.opt.Check(block); err != nil {
		return err
	}
	b.block = block
	return nil
}

// Plan implements [sheet.Renderer].
func (b *book) Plan(p *periodize.Plan) error {
	name := b.names.take(p.Lifter.Name)
	b.order = append(b.order, name)
	f, st, err := newFile()
	if err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	defer f.Close()
	if err := page(f, "Sheet1"); err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	sw, err := f.NewStreamWriter("Sheet1")
	if err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	l := &lifterSheet{b: b, p: p, u: b.opt.UnitOf(p), w: &rows{sw: sw}, st: st}
	if l.u != p.Unit {
		st.weightStyles = st.other
	}
	l.write()
	if err := l.w.flush(); err != nil {
		return fmt.Errorf("workbook: sheet of %s: %w", p.Lifter.Name, err)
	}
	if err := sendSheet(f, b.zip, part(len(b.order))); err != nil {
		return fmt.Errorf("workbook: sheet of %s: %w", p.Lifter.Name, err)
	}
	return nil
}

// part is the name of a sheet's part in the archive.
func part(n int) string { return "xl/worksheets/sheet" + strconv.Itoa(n) + ".xml" }

// End implements [sheet.Renderer].
func (b *book) End() error {
	if err := b.end(); err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	return nil
}

func (b *book) end() error {
	f, st, err := newFile()
	if err != nil {
		return err
	}
	defer f.Close()
	sw, err := f.NewStreamWriter("Sheet1")
	if err != nil {
		return err
	}
	w := &rows{sw: sw}
	b.tables.write(w, st)
	if err := w.flush(); err != nil {
		return err
	}
	b.order = append(b.order, tablesSheet)
	if err := sendSheet(f, b.zip, part(len(b.order))); err != nil {
		return err
	}

	shell, _, err := newFile()
	if err != nil {
		return err
	}
	defer shell.Close()
	if err := shell.SetSheetName("Sheet1", b.order[0]); err != nil {
		return err
	}
	for _, name := range b.order[1:] {
		if _, err := shell.NewSheet(name); err != nil {
			return err
		}
	}
	stamp := b.opt.Stamp.UTC().Format(time.RFC3339)
	err = shell.SetDocProps(&excelize.DocProperties{Creator: "Blockwright", LastModifiedBy: "Blockwright",
		Title: words.OneLine(b.block.Title), Created: stamp, Modified: stamp})
	if err != nil {
		return err
	}
	if err := sendShell(shell, b.zip); err != nil {
		return err
	}
	return b.zip.Close()
}

// page sets a sheet up to print on pages across, as wide as the sheet.
func page(f *excelize.File, name string) error {
	wide, tall, fit, landscape, a4, margin := 1, 0, true, "landscape", 9, 0.4 // inches
	if err := f.SetPageMargins(name, &excelize.PageLayoutMarginsOptions{Left: &margin, Right: &margin, Top: &margin, Bottom: &margin}); err != nil {
		return err
	}
	if err := f.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
		return err
	}
	return f.SetPageLayout(name, &excelize.PageLayoutOptions{Size: &a4, Orientation: &landscape, FitToWidth: &wide, FitToHeight: &tall})
}

// styles are the cell styles, the same numbers in every file.
type styles struct {
	title, soft, head, headRight, band, text, note, from, count, pct, inputCount int
	weightStyles
	other weightStyles // of weights planned in the other unit
}

type weightStyles struct{ num, input, inputPlus, bold, boldPlus int }

// newFile is an empty file with the styles.
func newFile() (*excelize.File, *styles, error) {
	f := excelize.NewFile()
	st := &styles{}
	rule := []excelize.Border{{Type: "bottom", Color: "767676", Style: 1}}
	box := []excelize.Border{{Type: "left", Color: "767676", Style: 1}, {Type: "right", Color: "767676", Style: 1},
		{Type: "top", Color: "767676", Style: 1}, {Type: "bottom", Color: "767676", Style: 1}}
	num, plus, pct := "0.0#", `+0.0#;-0.0#;"bw"`, "0.0"
	tenths, plusTenths := "0.0", `+0.0;-0.0;"bw"` // of weights planned in the other unit
	fill := func(color string) excelize.Fill {
		return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{color}}
	}
	font := func(size float64, color string, bold bool) *excelize.Font {
		return &excelize.Font{Family: "Arial", Size: size, Color: color, Bold: bold}
	}
	const ink, soft, entry = "111111", "444444", "FFF8DC"
	right := &excelize.Alignment{Horizontal: "right", Vertical: "center"}
	left := &excelize.Alignment{Horizontal: "left", Indent: 1, Vertical: "center"} // keeps clear of a number to its left
	wrap := &excelize.Alignment{Horizontal: "left", Indent: 1, Vertical: "center", WrapText: true}
	for _, s := range []struct {
		to *int
		as excelize.Style
	}{
		{&st.title, excelize.Style{Font: font(16, ink, true)}},
		{&st.soft, excelize.Style{Font: font(10, soft, false)}},
		{&st.head, excelize.Style{Font: font(9, soft, false), Border: rule, Alignment: &excelize.Alignment{Horizontal: "left", Indent: 1, Vertical: "bottom", WrapText: true}}},
		{&st.headRight, excelize.Style{Font: font(9, soft, false), Border: rule, Alignment: &excelize.Alignment{Horizontal: "right", Vertical: "bottom", WrapText: true}}},
		{&st.band, excelize.Style{Font: font(12, ink, true), Fill: fill("E8E8E8")}},
		{&st.text, excelize.Style{Font: font(11, ink, false), Alignment: wrap}},
		{&st.note, excelize.Style{Font: font(9, soft, false), Alignment: left}},
		{&st.from, excelize.Style{Font: font(9, soft, false), Alignment: wrap}},
		{&st.num, excelize.Style{Font: font(11, ink, false), CustomNumFmt: &num, Alignment: right}},
		{&st.count, excelize.Style{Font: font(11, ink, false), Alignment: right}},
		{&st.pct, excelize.Style{Font: font(11, ink, false), CustomNumFmt: &pct, Alignment: right}},
		{&st.input, excelize.Style{Font: font(11, ink, false), CustomNumFmt: &num, Fill: fill(entry), Border: box, Alignment: right}},
		{&st.inputPlus, excelize.Style{Font: font(11, ink, false), CustomNumFmt: &plus, Fill: fill(entry), Border: box, Alignment: right}},
		{&st.inputCount, excelize.Style{Font: font(11, ink, false), Fill: fill(entry), Border: box, Alignment: right}},
		{&st.bold, excelize.Style{Font: font(12, ink, true), CustomNumFmt: &num, Alignment: right}},
		{&st.boldPlus, excelize.Style{Font: font(12, ink, true), CustomNumFmt: &plus, Alignment: right}},
		{&st.other.num, excelize.Style{Font: font(11, ink, false), CustomNumFmt: &tenths, Alignment: right}},
		{&st.other.input, excelize.Style{Font: font(11, ink, false), CustomNumFmt: &tenths, Fill: fill(entry), Border: box, Alignment: right}},
		{&st.other.inputPlus, excelize.Style{Font: font(11, ink, false), CustomNumFmt: &plusTenths, Fill: fill(entry), Border: box, Alignment: right}},
		{&st.other.bold, excelize.Style{Font: font(12, ink, true), CustomNumFmt: &tenths, Alignment: right}},
		{&st.other.boldPlus, excelize.Style{Font: font(12, ink, true), CustomNumFmt: &plusTenths, Alignment: right}},
	} {
		id, err := f.NewStyle(&s.as)
		if err != nil {
			return nil, nil, err
		}
		*s.to = id
	}
	return f, st, nil
}

// rows writes rows in order and keeps the first error.
type rows struct {
	sw  *excelize.StreamWriter
	n   int // rows written
	err error
}

// put writes the next row from column A.
func (r *rows) put(cells ...any) { r.tall(0, cells...) }

// tall is put with the height of the row in points; 0 leaves it to the program.
func (r *rows) tall(height float64, cells ...any) {
	r.n++
	if r.err == nil && len(cells) > 0 {
		r.err = r.sw.SetRow("A"+strconv.Itoa(r.n), cells, excelize.RowOpts{Height: height})
	}
}

func (r *rows) width(from, to int, w float64) {
	if r.err == nil {
		r.err = r.sw.SetColWidth(from, to, w)
	}
}

func (r *rows) flush() error {
	if r.err != nil {
		return r.err
	}
	return r.sw.Flush()
}

// cell is the name of a cell, such as F12.
func cell(col, row int) string { return letters(col) + strconv.Itoa(row) }

// fixed is the name of a cell that stays when a formula is copied, such as $F$12.
func fixed(col, row int) string { return "$" + letters(col) + "$" + strconv.Itoa(row) }

// letters is a column's name: A, B, ... Z, AA.
func letters(col int) string {
	s := ""
	for ; col > 0; col = (col - 1) / 26 {
		s = string(rune('A'+(col-1)%26)) + s
	}
	return s
}

// column is the cells of a table on the tables sheet, such as tables!$A$4:$A$60.
func column(col, n int) string {
	return tablesSheet + "!" + fixed(col, firstRow) + ":" + fixed(col, firstRow+n-1)
}

// write fills the tables sheet.
func (t *tables) write(w *rows, st *styles) {
	if t.cols > 0 {
		w.width(1, t.cols, 11)
	}
	title := make([]any, t.cols)
	head := make([]any, t.cols)
	sub := make([]any, t.cols)
	high := 0
	for _, l := range t.ladders {
		c := l.firstCol - 1
		title[c] = text(st.band, l.title)
		head[c] = text(st.soft, "rounded "+l.how.String())
		sub[c] = text(st.head, l.unit.String())
		sub[c+1] = text(st.head, "from "+l.unit.String())
		if l.side != nil {
			sub[c+2] = text(st.head, "each side")
		}
		high = max(high, len(l.value))
	}
	for _, r := range t.relation {
		title[r.col-1] = text(st.band, r.name)
		head[r.col-1] = text(st.soft, "share of the maximum")
		sub[r.col-1] = text(st.head, "by half repetitions to failure, from 0.5")
		high = max(high, len(r.share))
	}
	w.put(title...)
	w.put(head...)
	w.put(sub...)
	for i := range high {
		row := make([]any, t.cols)
		for _, l := range t.ladders {
			if i >= len(l.value) {
				continue
			}
			c := l.firstCol - 1
			row[c], row[c+1] = l.value[i], l.from[i]
			if l.side != nil {
				row[c+2] = l.side[i]
			}
		}
		for _, r := range t.relation {
			if i < len(r.share) {
				row[r.col-1] = r.share[i]
			}
		}
		w.put(row...)
	}
}

// text is a cell of text, whatever it begins with.
func text(style int, s string) excelize.Cell {
	return excelize.Cell{StyleID: style, Value: words.OneLine(s)}
}

func value(style int, v any) excelize.Cell { return excelize.Cell{StyleID: style, Value: v} }

func formula(style int, f string, v any) excelize.Cell {
	return excelize.Cell{StyleID: style, Formula: f, Value: v}
}

// literal writes a number into a formula.
func literal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// assists reports whether an exercise's station takes load off bodyweight.
func assists(p *periodize.Plan, e *periodize.Exercise) bool {
	for i := range p.Gym.Stations {
		if p.Gym.Stations[i].Name == e.Lift.Uses {
			return p.Gym.Stations[i].Assist
		}
	}
	return false
}

// unitFactor is how many of the gym's units one of the sheet's is.
func unitFactor(p *periodize.Plan, u plates.Unit) float64 { return u.One().In(p.Unit) }
