package workbook_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
	"github.com/blockwright/blockwright/periodize/sheet/workbook"
	"github.com/blockwright/blockwright/plates"
)

var stamp = time.Date(2027, 9, 1, 12, 0, 0, 0, time.UTC)

func render(t testing.TB, prog *periodize.Program, opt sheet.Options) []byte {
	t.Helper()
	var buf bytes.Buffer
	r, err := workbook.New(&buf, opt)
	if err != nil {
		t.Fatal(err)
	}
	if err := sheet.Render(r, prog.Block(), prog.Plans()); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func open(t testing.TB, b []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// setRows are the rows of a lifter's sheet that hold a set, in order: those
// with a number in the column of sets.
func setRows(t testing.TB, f *excelize.File, name string) []int {
	t.Helper()
	rows, err := f.GetRows(name, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	var out []int
	for i, r := range rows {
		if len(r) > 1 {
			if _, err := strconv.Atoi(r[1]); err == nil {
				out = append(out, i+1)
			}
		}
	}
	return out
}

// maxRow is the row of a lift's maximum.
func maxRow(t testing.TB, f *excelize.File, name, lift string) int {
	t.Helper()
	for row := 5; row < 60; row++ {
		if v, _ := f.GetCellValue(name, fmt.Sprintf("A%d", row)); v == lift {
			return row
		}
	}
	t.Fatalf("%s: no maximum of %s", name, lift)
	return 0
}

func sets(p *periodize.Plan) []*periodize.Set {
	var out []*periodize.Set
	for i := range p.Sessions {
		for j := range p.Sessions[i].Exercises {
			e := &p.Sessions[i].Exercises[j]
			for k := range e.Sets {
				out = append(out, &e.Sets[k])
			}
		}
	}
	return out
}

// compare recomputes every weight of a sheet and holds it against a plan. It
// counts the live ones.
func compare(t *testing.T, f *excelize.File, name string, p *periodize.Plan, u plates.Unit) (live int) {
	t.Helper()
	rows := setRows(t, f, name)
	want := sets(p)
	if len(rows) != len(want) {
		t.Fatalf("%s: %d rows of sets, the plan has %d", name, len(rows), len(want))
	}
	for i, s := range want {
		at := fmt.Sprintf("F%d", rows[i])
		if !s.HasLoad || s.Open {
			continue
		}
		formula, err := f.GetCellFormula(name, at)
		if err != nil {
			t.Fatal(err)
		}
		if formula == "" {
			continue
		}
		live++
		got, err := f.CalcCellValue(name, at, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Errorf("%s %s: %v\n%s", name, at, err, formula)
			continue
		}
		v, err := strconv.ParseFloat(got, 64)
		if err != nil || math.Abs(v-s.Load.In(u)) > 1e-6 {
			t.Errorf("%s %s = %s, plan %v\n%s", name, at, got, s.Load.In(u), formula)
		}
	}
	return live
}

func TestWeightsRecompute(t *testing.T) {
	prog := example.Program(t)
	f := open(t, render(t, prog, sheet.Options{Stamp: stamp}))
	names := []string{"Ilse Ørn", "=Bo <Jr.>", "李娜"}
	if diff := cmp.Diff(append(names, "tables"), f.GetSheetList()); diff != "" {
		t.Fatalf("sheets (-want +got):\n%s", diff)
	}
	for i, name := range names {
		p := prog.Plan(i)
		live := compare(t, f, name, p, p.Unit)
		want := 0
		for _, s := range sets(p) {
			if s.HasLoad && !s.Open && s.Origin.Kind != periodize.ByLoad && (s.Origin.Kind != periodize.ByDrop || s.Origin.Working != 0 || s.Origin.Heavy == (plates.Exact{})) {
				want++
			}
		}
		if live != want || live == 0 {
			t.Errorf("%s: %d live weights, want %d: all that come from a maximum", name, live, want)
		}
	}
}

// A maximum typed over gives the weights of a plan made with it.
func TestWeightsFollowTheMaximum(t *testing.T) {
	file := render(t, example.Program(t), sheet.Options{})
	for _, c := range []struct {
		lifter int
		name   string
		lift   string
		to     []float64
	}{
		{0, "Ilse Ørn", "box squat", []float64{152.5, 37.7}},
		{0, "Ilse Ørn", "dip", []float64{41.5}},
		{1, "=Bo <Jr.>", "box squat", []float64{63.5}},
		{1, "=Bo <Jr.>", "bench press", []float64{41, 80}},
		{2, "李娜", "box squat", []float64{271}},
		{2, "李娜", "dip", []float64{0, 60}},
	} {
		for _, to := range c.to {
			t.Run(fmt.Sprintf("%s/%s/%v", c.name, c.lift, to), func(t *testing.T) {
				f := open(t, file)
				r := example.Roster()
				l := &r.Lifters[c.lifter]
				gym, _ := r.Gym(l.Gym)
				m, err := plates.MassOf(to, gym.Unit)
				if err != nil {
					t.Fatal(err)
				}
				for i := range l.Maxes {
					if l.Maxes[i].Lift == c.lift {
						l.Maxes[i] = periodize.MaxEntry{Lift: c.lift, Tested: m}
					}
				}
				prog, err := periodize.Compile(example.Block(), r)
				if err != nil {
					t.Fatal(err)
				}
				p := prog.Plan(c.lifter)
				lm, _ := p.Max(c.lift)
				at := fmt.Sprintf("D%d", maxRow(t, f, c.name, c.lift))
				if err := f.SetCellValue(c.name, at, lm.Max.In(p.Unit)); err != nil {
					t.Fatal(err)
				}
				// A work-up may have more or fewer sets with another maximum,
				// and other steps; everything else is as it was.
				before := example.Program(t).Plan(c.lifter)
				matched(t, f, c.name, c.lift, before, p)
			})
		}
	}
}

// matched compares the sets of a lift, and of the one whose maximum is a share
// of the box squat's, in exercises that have as many in both plans.
func matched(t *testing.T, f *excelize.File, name, lift string, before, after *periodize.Plan) {
	t.Helper()
	rows := setRows(t, f, name)
	at, n := 0, 0
	for i := range before.Sessions {
		for j := range before.Sessions[i].Exercises {
			a, b := &before.Sessions[i].Exercises[j], &after.Sessions[i].Exercises[j]
			for k := range a.Sets {
				row := rows[at]
				at++
				if a.Lift.Name != lift && a.Lift.Max == nil {
					continue
				}
				if len(a.Sets) != len(b.Sets) || a.Sets[k].Origin.Working == 0 || a.Sets[k].Open || a.Sets[k].Origin.Value.Cmp(b.Sets[k].Origin.Value) != 0 {
					continue
				}
				ref := fmt.Sprintf("F%d", row)
				got, err := f.CalcCellValue(name, ref, excelize.Options{RawCellValue: true})
				if err != nil {
					t.Fatal(err)
				}
				v, err := strconv.ParseFloat(got, 64)
				if err != nil || math.Abs(v-b.Sets[k].Load.In(after.Unit)) > 1e-6 {
					t.Errorf("%s %s, %s: %s, plan %v", name, ref, a.Lift.Name, got, b.Sets[k].Load.In(after.Unit))
				}
				n++
				if a.Lift.Uses != "olympic" {
					continue
				}
				side, err := f.CalcCellValue(name, fmt.Sprintf("G%d", row))
				if got := loaded(t, a.Loads, side, after.Unit); err != nil || math.Abs(got-v) > 1e-6 {
					t.Errorf("%s row %d: %q each side makes %v, the weight is %v; %v", name, row, side, got, v, err)
				}
			}
		}
	}
	if n == 0 {
		t.Error("nothing was compared")
	}
}

// loaded is what a bar weighs with the plates named on each side.
func loaded(t *testing.T, l *plates.Loads, side string, u plates.Unit) float64 {
	t.Helper()
	bar, _ := l.Bar()
	sum := bar.Mass + bar.Collars
	if side != "empty" {
		for name := range strings.FieldsSeq(side) {
			m, _, err := plates.ParseMassIn(name, u)
			if err != nil {
				t.Fatal(err)
			}
			sum += 2 * m
		}
	}
	return sum.In(u)
}

func TestOtherUnit(t *testing.T) {
	prog := example.Program(t)
	u := plates.LB
	f := open(t, render(t, prog, sheet.Options{Unit: &u}))
	for i, name := range []string{"Ilse Ørn", "=Bo <Jr.>", "李娜"} {
		if compare(t, f, name, prog.Plan(i), u) == 0 {
			t.Errorf("%s: no live weight", name)
		}
	}
}

// The estimate of a set follows the lift's curve, and needs a weight and
// repetitions.
func TestEstimate(t *testing.T) {
	prog := example.Program(t)
	f := open(t, render(t, prog, sheet.Options{}))
	name := "Ilse Ørn"
	row := setRows(t, f, name)[0]
	at := func(col string) string { return fmt.Sprintf("%s%d", col, row) }
	calc := func() string {
		v, err := f.CalcCellValue(name, at("M"), excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if got := calc(); got != "" {
		t.Errorf("estimate of nothing is %q", got)
	}
	f.SetCellValue(name, at("J"), 100)
	f.SetCellValue(name, at("K"), 1)
	if got := calc(); got != "100" {
		t.Errorf("a single of 100 gives %s", got)
	}
	// Nuzzo et al. 2024, general row at 90 %1RM: 4.94 repetitions (looked-up,
	// secondary); in a straight line between whole repetitions that is close
	// to 100/0.9.
	f.SetCellValue(name, at("K"), 3)
	f.SetCellValue(name, at("L"), 1.94)
	if v, err := strconv.ParseFloat(calc(), 64); err != nil || math.Abs(v-100/0.9) > 0.2 {
		t.Errorf("100 for 4.94 repetitions gives %v, %v, want about %.1f", v, err, 100/0.9)
	}
	f.SetCellValue(name, at("K"), 40)
	if got := calc(); got != "" {
		t.Errorf("40 repetitions give %q, want nothing", got)
	}
}

// Text stays text: no cell of names or notes is a formula, and the file says
// who made it and when.
func TestTextAndProperties(t *testing.T) {
	prog := example.Program(t)
	f := open(t, render(t, prog, sheet.Options{Stamp: stamp}))
	if v, _ := f.GetCellValue("=Bo <Jr.>", "A1"); v != "=Bo <Jr.>" {
		t.Errorf("name is %q", v)
	}
	if v, _ := f.GetCellFormula("=Bo <Jr.>", "A1"); v != "" {
		t.Errorf("the name became the formula %q", v)
	}
	props, err := f.GetDocProps()
	if err != nil || props.Creator != "Blockwright" || props.Created != "2027-09-01T12:00:00Z" {
		t.Errorf("properties: %+v, %v", props, err)
	}
	if p, err := f.GetSheetProtection("Ilse Ørn"); err == nil && p.Password != "" {
		t.Error("the sheet is protected")
	}
}

func TestDeterministic(t *testing.T) {
	a := render(t, example.Program(t), sheet.Options{Stamp: stamp})
	b := render(t, example.Program(t), sheet.Options{Stamp: stamp})
	if !bytes.Equal(a, b) {
		t.Error("two files of the same plans differ")
	}
}

func TestSheetNames(t *testing.T) {
	block, roster := example.Block(), example.Roster()
	base := roster.Lifters[0]
	roster.Lifters = nil
	for _, n := range []string{"Tables", "a/b:c", "A B C", strings.Repeat("x", 40), strings.Repeat("x", 40) + "y", "'quoted'", "???", "漢" + strings.Repeat("字", 40)} {
		l := base
		l.Name = n
		roster.Lifters = append(roster.Lifters, l)
	}
	prog, err := periodize.Compile(block, roster)
	if err != nil {
		t.Fatal(err)
	}
	f := open(t, render(t, prog, sheet.Options{}))
	want := []string{"Tables 2", "a b c", "A B C 2", strings.Repeat("x", 31), strings.Repeat("x", 29) + " 2", "quoted", "lifter", "漢" + strings.Repeat("字", 30), "tables"}
	if diff := cmp.Diff(want, f.GetSheetList()); diff != "" {
		t.Errorf("sheets (-want +got):\n%s", diff)
	}
}

// The archive has every part that its list of contents names, each once.
func TestArchiveIsWhole(t *testing.T) {
	b := render(t, example.Program(t), sheet.Options{})
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, e := range z.File {
		if seen[e.Name] {
			t.Errorf("%s is there twice", e.Name)
		}
		seen[e.Name] = true
	}
	r, err := z.Open("[Content_Types].xml")
	if err != nil {
		t.Fatal(err)
	}
	list, _ := io.ReadAll(r)
	for _, part := range strings.Split(string(list), `PartName="/`)[1:] {
		name, _, _ := strings.Cut(part, `"`)
		if !seen[name] {
			t.Errorf("%s is listed and not there", name)
		}
	}
}

type failing struct{ left int }

func (f *failing) Write(p []byte) (int, error) {
	if f.left -= len(p); f.left < 0 {
		return 0, io.ErrShortWrite
	}
	return len(p), nil
}

func TestWriteErrorsAreReported(t *testing.T) {
	prog := example.Program(t)
	r, err := workbook.New(&failing{100}, sheet.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := sheet.Render(r, prog.Block(), prog.Plans()); err == nil {
		t.Error("a full disk gives no error")
	}
}

func newBook(w io.Writer) (sheet.Renderer, error) {
	return workbook.New(w, sheet.Options{Stamp: stamp})
}
