// Command rendercheck writes sheets for other programs to open, and checks what
// those programs made of them. The script .ci/render runs it:
//
//	rendercheck write DIR      pages and workbooks of invented lifters
//	rendercheck workbooks DIR  weights in DIR/recalculated against the plans
//	rendercheck pdf FILE...    text of printed pages (pdftotext -bbox) that leaves the margins
package main

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"github.com/blockwright/blockwright/internal/atomicfile"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
	"github.com/blockwright/blockwright/periodize/sheet/workbook"
	"github.com/blockwright/blockwright/plates"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "rendercheck:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) < 2 {
		return errors.New("want write DIR, workbooks DIR or pdf FILE")
	}
	switch args[0] {
	case "write":
		return write(args[1])
	case "workbooks":
		return workbooks(args[1])
	case "pdf":
		for _, f := range args[1:] {
			if err := printed(f); err != nil {
				return fmt.Errorf("%s: %w", f, err)
			}
		}
		return nil
	}
	return fmt.Errorf("unknown %q", args[0])
}

// change is a set of maxima that somebody types over, by lifter and lift, in
// the gym's unit.
type change map[string]map[string]float64

// changes are the files of workbooks that are checked.
var changes = map[string]change{
	"before.xlsx": {},
	"after1.xlsx": {"Ilse Ørn": {"box squat": 152.5}, "=Bo <Jr.>": {"bench press": 41, "box squat": 70}, "李娜": {"dip": 60}},
	"after2.xlsx": {"Ilse Ørn": {"box squat": 97.3, "dip": 12.5}, "=Bo <Jr.>": {"box squat": 58}, "李娜": {"box squat": 301, "bench press": 163}},
}

var stamp = time.Date(2027, 9, 1, 12, 0, 0, 0, time.UTC)

// compiled is the example with maxima changed to tested ones.
func compiled(c change) (*periodize.Program, error) {
	r := example.Roster()
	for i := range r.Lifters {
		l := &r.Lifters[i]
		gym, _ := r.Gym(l.Gym)
		for k := range l.Maxes {
			v, ok := c[l.Name][l.Maxes[k].Lift]
			if !ok {
				continue
			}
			m, err := plates.MassOf(v, gym.Unit)
			if err != nil {
				return nil, err
			}
			l.Maxes[k] = periodize.MaxEntry{Lift: l.Maxes[k].Lift, Tested: m}
		}
	}
	return periodize.Compile(example.Block(), r)
}

// crowded is the example with long names and notes, to see that they fit.
func crowded() (*periodize.Program, error) {
	b, r := example.Block(), example.Roster()
	b.Note = "Log every set, and write down what you changed and why: a missed repetition says more than a made one."
	for i := range b.Lifts {
		if b.Lifts[i].Name == "good morning" {
			b.Lifts[i].Name = "seated good morning from the pins with a safety bar and a three-second pause"
		}
	}
	for i := range b.Sessions {
		b.Sessions[i].Note = "Supercalifragilisticexpialidocious" + strings.Repeat("-and-further", 8)
		for k := range b.Sessions[i].Work {
			w := &b.Sessions[i].Work[k]
			if w.Lift == "good morning" {
				w.Lift = "seated good morning from the pins with a safety bar and a three-second pause"
			}
			w.Note = "Stay tight from the first repetition to the last, and end the set when that no longer works."
			w.Pair = []string{"", "", "A", "B"}[k%4]
		}
	}
	r.Lifters[0].Name = "Maximiliane-Antoinette Freifrau von Hohenfels-Traunstein zu Obersulzbach"
	return periodize.Compile(b, r)
}

func write(dir string) error {
	plain, err := compiled(nil)
	if err != nil {
		return err
	}
	full, err := crowded()
	if err != nil {
		return err
	}
	for _, f := range []struct {
		name string
		prog *periodize.Program
	}{{"plain", plain}, {"crowded", full}} {
		err := save(filepath.Join(dir, f.name+".html"), f.prog, func(w io.Writer) (sheet.Renderer, error) {
			return sheet.New(sheet.HTML, w, sheet.Options{})
		})
		if err != nil {
			return err
		}
		err = save(filepath.Join(dir, f.name+".xlsx"), f.prog, book)
		if err != nil {
			return err
		}
	}
	for name, c := range changes {
		path := filepath.Join(dir, name)
		if err := save(path, plain, book); err != nil {
			return err
		}
		if err := retype(path, plain, c); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	return nil
}

func book(w io.Writer) (sheet.Renderer, error) {
	return workbook.New(w, sheet.Options{Stamp: stamp})
}

func save(path string, prog *periodize.Program, to func(io.Writer) (sheet.Renderer, error)) error {
	return atomicfile.Write(path, func(w io.Writer) error {
		r, err := to(w)
		if err != nil {
			return err
		}
		return sheet.Render(r, prog.Block(), prog.Plans())
	})
}

// retype changes the maxima in a workbook and nothing else: the weights keep
// the values they had, so that only a program that computes gets new ones.
func retype(path string, prog *periodize.Program, c change) error {
	if len(c) == 0 {
		return nil
	}
	after, err := compiled(c)
	if err != nil {
		return err
	}
	f, err := excelize.OpenFile(path)
	if err != nil {
		return err
	}
	defer f.Close()
	for i := range prog.Len() {
		p := after.Plan(i)
		for lift := range c[p.Lifter.Name] {
			m, ok := p.Max(lift)
			if !ok {
				return fmt.Errorf("no maximum of %s", lift)
			}
			row, err := maximum(f, p.Lifter.Name, lift)
			if err != nil {
				return err
			}
			if err := f.SetCellValue(p.Lifter.Name, fmt.Sprintf("D%d", row), m.Max.In(p.Unit)); err != nil {
				return err
			}
		}
	}
	return f.Save()
}

// maximum is the row of a lift's maximum.
func maximum(f *excelize.File, name, lift string) (int, error) {
	for row := 5; row < 60; row++ {
		if v, _ := f.GetCellValue(name, fmt.Sprintf("A%d", row)); v == lift {
			return row, nil
		}
	}
	return 0, fmt.Errorf("%s: no row for the maximum of %s", name, lift)
}

// workbooks compares every weight of the recalculated files with the plans.
func workbooks(dir string) error {
	before, err := compiled(nil)
	if err != nil {
		return err
	}
	for name, c := range changes {
		after, err := compiled(c)
		if err != nil {
			return err
		}
		f, err := excelize.OpenFile(filepath.Join(dir, "recalculated", name))
		if err != nil {
			return err
		}
		n, moved := 0, 0
		for i := range before.Len() {
			a, b, err := compare(f, before.Plan(i), after.Plan(i))
			if err != nil {
				f.Close()
				return fmt.Errorf("%s: %w", name, err)
			}
			n += a
			moved += b
		}
		f.Close()
		fmt.Printf("%s: %d weights as in the plan, %d of them other than before\n", name, n, moved)
		if n == 0 || len(c) > 0 && moved == 0 {
			return fmt.Errorf("%s: nothing was compared", name)
		}
	}
	return nil
}

func compare(f *excelize.File, before, after *periodize.Plan) (n, moved int, err error) {
	name := after.Lifter.Name
	rows, err := f.GetRows(name, excelize.Options{RawCellValue: true})
	if err != nil {
		return 0, 0, err
	}
	var at []int
	for i, r := range rows {
		if len(r) > 1 {
			if _, err := strconv.Atoi(r[1]); err == nil {
				at = append(at, i)
			}
		}
	}
	k := 0
	for i := range before.Sessions {
		for j := range before.Sessions[i].Exercises {
			a, b := &before.Sessions[i].Exercises[j], &after.Sessions[i].Exercises[j]
			if err := warm(rows, at[k:], a, b, after.Unit); err != nil {
				return n, moved, fmt.Errorf("%s, %s: %w", name, a.Lift.Name, err)
			}
			for s := range a.Sets {
				if k == len(at) {
					return n, moved, fmt.Errorf("%s has too few rows", name)
				}
				row := at[k]
				k++
				x := &a.Sets[s]
				// A work-up to the weight of the day may take other steps.
				if !x.HasLoad || x.Open || len(b.Sets) != len(a.Sets) || x.Origin.Value.Cmp(b.Sets[s].Origin.Value) != 0 ||
					x.Origin.Working == 0 && x.Origin.Kind != periodize.ByLoad {
					continue
				}
				want := b.Sets[s].Load.In(after.Unit)
				got, err := strconv.ParseFloat(rows[row][5], 64)
				if err != nil || math.Abs(got-want) > 1e-6 {
					return n, moved, fmt.Errorf("%s, row %d, %s: %s, the plan has %v", name, row+1, a.Lift.Name, rows[row][5], want)
				}
				n++
				if b.Sets[s].Load != x.Load {
					moved++
				}
			}
		}
	}
	return n, moved, nil
}

// warm checks the warm-ups of an exercise, which stand above its sets: the plan's
// where its first weight is, and such as go up to the work with another one.
func warm(rows [][]string, at []int, before, after *periodize.Exercise, u plates.Unit) error {
	if len(before.Warmup) == 0 || len(at) == 0 {
		return nil
	}
	work, err := strconv.ParseFloat(rows[at[0]][5], 64)
	if err != nil {
		return nil // an open weight
	}
	last := 0.0
	for k := range before.Warmup {
		row := at[0] - len(before.Warmup) + k
		if len(rows[row]) < 6 || rows[row][2] != "warm-up" {
			return fmt.Errorf("row %d is no warm-up", row+1)
		}
		got, err := strconv.ParseFloat(rows[row][5], 64)
		if rows[row][5] == "" {
			continue // too light a weight for so many
		}
		if err != nil || got <= last || got >= work {
			return fmt.Errorf("row %d: a warm-up of %s after %v to a weight of %v", row+1, rows[row][5], last, work)
		}
		if want := before.Warmup[k].Load.In(u); before.Sets[0].Load == after.Sets[0].Load && math.Abs(got-want) > 1e-6 {
			return fmt.Errorf("row %d: a warm-up of %v, the plan has %v", row+1, got, want)
		}
		last = got
	}
	return nil
}

// printed reads the boxes of words that pdftotext -bbox found and reports those
// that leave the margins of 12 mm, and pages that hold next to nothing.
func printed(file string) error {
	b, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	var doc struct {
		Pages []struct {
			Width  float64 `xml:"width,attr"`
			Height float64 `xml:"height,attr"`
			Words  []struct {
				XMin float64 `xml:"xMin,attr"`
				YMin float64 `xml:"yMin,attr"`
				XMax float64 `xml:"xMax,attr"`
				YMax float64 `xml:"yMax,attr"`
				Text string  `xml:",chardata"`
			} `xml:"word"`
		} `xml:"body>doc>page"`
	}
	d := xml.NewDecoder(strings.NewReader(string(b)))
	d.Strict = false
	d.Entity = xml.HTMLEntity
	if err := d.Decode(&doc); err != nil {
		return err
	}
	if len(doc.Pages) == 0 {
		return errors.New("no pages")
	}
	const margin, slack = 12 / 25.4 * 72, 1.5
	for i, p := range doc.Pages {
		if len(p.Words) < 20 {
			return fmt.Errorf("page %d holds %d words", i+1, len(p.Words))
		}
		for _, w := range p.Words {
			if w.XMin < margin-slack || w.YMin < margin-slack || w.XMax > p.Width-margin+slack || w.YMax > p.Height-margin+slack {
				return fmt.Errorf("page %d (%.0f x %.0f): %q at %.0f,%.0f to %.0f,%.0f leaves the margins", i+1, p.Width, p.Height, w.Text, w.XMin, w.YMin, w.XMax, w.YMax)
			}
		}
	}
	fmt.Printf("%s: %d pages, all text within the margins\n", filepath.Base(file), len(doc.Pages))
	return nil
}
