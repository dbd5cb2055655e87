package sheet

import (
	"errors"
	"io"
	"runtime"
	"slices"
	"strconv"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// WriteWeights writes the weights of every lifter's sets as a short CSV table
// (RFC 4180) for programs that handle large rosters: lifter, week, session,
// exercise, set, reps and load in the unit that the header names, in the
// roster's order. Sets without a weight have an empty load; warm-ups are left
// out. Where the program can be priced as a grid (see [periodize.Program.Grid])
// the rows are written by all processors at tens of millions a second in a few
// hundred kilobytes; the bytes are the same either way.
func WriteWeights(w io.Writer, p *periodize.Program, u plates.Unit) error {
	head := "lifter,week,session,exercise,set,reps,load_" + u.String() + "\r\n"
	if _, err := io.WriteString(w, head); err != nil {
		return err
	}
	g, err := p.Grid()
	var not *periodize.NotUniformError
	switch {
	case errors.As(err, &not):
		return writeWeightsByPlan(w, p, u)
	case err != nil:
		return err
	}
	return newWeightTable(g, u).write(w, runtime.GOMAXPROCS(0))
}

// writeWeightsByPlan is the way for programs whose lifters differ.
func writeWeightsByPlan(w io.Writer, p *periodize.Program, u plates.Unit) error {
	var buf []byte
	for plan := range p.Plans() {
		buf = buf[:0]
		name := append(csvText(nil, plan.Lifter.Name), ',')
		for _, ps := range plan.Sessions {
			for _, ex := range ps.Exercises {
				for k := range ex.Sets {
					s := &ex.Sets[k]
					buf = append(buf, name...)
					buf = appendRow(buf, ps.Week, ps.Name, ex.Lift.Name, k+1, s.Reps)
					if s.HasLoad {
						buf = append(buf, s.Load.Text(u)...)
					}
					buf = append(buf, "\r\n"...)
				}
			}
		}
		if _, err := w.Write(buf); err != nil {
			return err
		}
	}
	return nil
}

// appendRow is the part of a row between the lifter and the load.
func appendRow(buf []byte, week int, session, lift string, set, reps int) []byte {
	buf = strconv.AppendInt(buf, int64(week), 10)
	buf = append(buf, ',')
	buf = append(buf, csvText(nil, session)...)
	buf = append(buf, ',')
	buf = append(buf, csvText(nil, lift)...)
	buf = append(buf, ',')
	buf = strconv.AppendInt(buf, int64(set), 10)
	buf = append(buf, ',')
	buf = strconv.AppendInt(buf, int64(reps), 10)
	return append(buf, ',')
}

// weightTable is a grid with everything that does not depend on the lifter
// already in bytes.
type weightTable struct {
	g     *periodize.Grid
	unit  plates.Unit
	rows  []weightRow
	loads [][][]short // by kit and table: the text of each total, with the line's end
	size  int         // of one lifter's rows without the name, at most
	plain bool        // some text does not fit, and rows are put together the plain way
}

// weightRow is small, since all rows go through the nearest cache for every lifter.
type weightRow struct {
	text  cell // from the week to the comma before the load
	at    int32
	table int32
}

// cell and short are texts with their length in the last byte. They are copied
// whole, whatever their length: a copy of a fixed size is an instruction or two
// where one of any size is a call.
type (
	cell  [32]byte
	short [16]byte
)

// fill puts text into a cell; ok is false where it does not fit.
func fill(c, text []byte) (ok bool) {
	last := len(c) - 1
	if len(text) > last {
		return false
	}
	copy(c, text)
	c[last] = byte(len(text))
	return true
}

func newWeightTable(g *periodize.Grid, u plates.Unit) *weightTable {
	t := &weightTable{g: g, unit: u, rows: make([]weightRow, len(g.Rows))}
	var lifts []string
	for i := range g.Rows {
		r := &g.Rows[i]
		k := slices.Index(lifts, r.Lift)
		if k < 0 {
			k = len(lifts)
			lifts = append(lifts, r.Lift)
		}
		text := appendRow(nil, r.Week, r.Session, r.Lift, r.Set, r.Reps)
		t.rows[i].at, t.rows[i].table = int32(r.At), int32(k)
		t.plain = !fill(t.rows[i].text[:], text) || t.plain
		t.size += len(text)
	}
	for lifter := range g.Lifters() {
		if g.Kit(lifter) < len(t.loads) {
			continue
		}
		tables := make([][]short, len(lifts))
		for i := range g.Rows {
			k := t.rows[i].table
			if tables[k] != nil {
				continue
			}
			for m := range g.Loads(g.Kit(lifter), &g.Rows[i]).All() {
				var c short
				t.plain = !fill(c[:], []byte(m.Text(u)+"\r\n")) || t.plain
				tables[k] = append(tables[k], c)
			}
		}
		t.loads = append(t.loads, tables)
	}
	t.size += len(short{}) * len(g.Rows)
	return t
}

// lifter appends one lifter's rows.
func (t *weightTable) lifter(buf []byte, i int, at []int32) ([]byte, []int32) {
	at = t.g.Places(i, at)
	text := append(csvText(nil, t.g.Name(i)), ',')
	var name cell
	if !fill(name[:], text) || t.plain {
		return t.plainly(buf, i, text, at), at
	}
	n := len(buf)
	buf = slices.Grow(buf, t.size+len(text)*len(t.rows)+len(cell{}))
	buf = buf[:cap(buf)]
	loads := t.loads[t.g.Kit(i)]
	for k := range t.rows {
		r := &t.rows[k]
		// Values of their own, which the compiler knows do not overlap buf.
		row, load := r.text, loads[r.table][at[r.at]]
		*(*cell)(buf[n:]) = name
		n += len(text)
		*(*cell)(buf[n:]) = row
		n += int(row[len(cell{})-1])
		*(*short)(buf[n:]) = load
		n += int(load[len(short{})-1])
	}
	return buf[:n], at
}

// plainly is for names and lifts that are too long to be copied whole.
func (t *weightTable) plainly(buf []byte, i int, name []byte, at []int32) []byte {
	for k := range t.g.Rows {
		r := &t.g.Rows[k]
		buf = append(buf, name...)
		buf = appendRow(buf, r.Week, r.Session, r.Lift, r.Set, r.Reps)
		buf = append(buf, t.g.Loads(t.g.Kit(i), r).At(int(at[r.At])).Text(t.unit)...)
		buf = append(buf, "\r\n"...)
	}
	return buf
}

// write shares the lifters out over workers in turns and writes their pieces in
// order. A worker waits until its last piece is written, so that memory holds
// two pieces a worker however large the roster is.
func (t *weightTable) write(w io.Writer, workers int) error {
	const piece = 8 // lifters
	stop := make(chan struct{})
	defer close(stop)
	out := make([]chan []byte, workers)
	free := make([]chan []byte, workers)
	for k := range workers {
		out[k], free[k] = make(chan []byte), make(chan []byte, 2)
		free[k] <- make([]byte, 0, piece*t.size)
		free[k] <- make([]byte, 0, piece*t.size)
		go func() {
			var at []int32
			defer close(out[k])
			for first := k * piece; first < t.g.Lifters(); first += workers * piece {
				var buf []byte
				select {
				case buf = <-free[k]:
				case <-stop:
					return
				}
				for i := first; i < min(first+piece, t.g.Lifters()); i++ {
					buf, at = t.lifter(buf, i, at)
				}
				select {
				case out[k] <- buf:
				case <-stop:
					return
				}
			}
		}()
	}
	for k := 0; ; k = (k + 1) % workers {
		buf, ok := <-out[k]
		if !ok {
			return nil
		}
		if _, err := w.Write(buf); err != nil {
			return err
		}
		free[k] <- buf[:0]
	}
}
