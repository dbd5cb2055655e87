package workbook_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
)

// warmupRows are the rows of a lifter's sheet that hold a warm-up, in order.
func warmupRows(t testing.TB, f *excelize.File, name string) []int {
	t.Helper()
	rows, err := f.GetRows(name)
	if err != nil {
		t.Fatal(err)
	}
	var out []int
	for i, r := range rows {
		if len(r) > 2 && r[2] == "warm-up" {
			out = append(out, i+1)
		}
	}
	return out
}

// Warm-ups are the plan's, above their sets; with another maximum they are loadable,
// go up, and stay under the work.
func TestWarmups(t *testing.T) {
	prog := example.Program(t)
	f := open(t, render(t, prog, sheet.Options{}))
	for i, name := range []string{"Ilse Ørn", "=Bo <Jr.>", "李娜"} {
		p := prog.Plan(i)
		calc := func(col string, row int) string {
			t.Helper()
			v, err := f.CalcCellValue(name, fmt.Sprintf("%s%d", col, row), excelize.Options{RawCellValue: true})
			if err != nil {
				t.Errorf("%s %s%d: %v", name, col, row, err)
			}
			return v
		}
		number := func(s string) float64 {
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				return math.NaN()
			}
			return v
		}
		each := func(look func(e *periodize.Exercise, warm []int, work int)) {
			rows, sets, k, n := warmupRows(t, f, name), setRows(t, f, name), 0, 0
			for i := range p.Sessions {
				for j := range p.Sessions[i].Exercises {
					e := &p.Sessions[i].Exercises[j]
					if len(e.Warmup) > 0 {
						look(e, rows[k:k+len(e.Warmup)], sets[n])
					}
					k, n = k+len(e.Warmup), n+len(e.Sets)
				}
			}
			if k != len(rows) || k == 0 {
				t.Fatalf("%s: %d rows of warm-ups, the plan has %d", name, len(rows), k)
			}
		}
		each(func(e *periodize.Exercise, warm []int, work int) {
			if warm[len(warm)-1] != work-1 {
				t.Errorf("%s, %s: warm-ups in rows %v, the first set in row %d", name, e.Lift.Name, warm, work)
			}
			for k, row := range warm {
				s := &e.Warmup[k]
				if got := calc("F", row); math.Abs(number(got)-s.Load.In(p.Unit)) > 1e-6 {
					t.Errorf("%s row %d: %s, plan %v", name, row, got, s.Load.In(p.Unit))
				}
				if got := calc("D", row); got != strconv.Itoa(s.Reps) {
					t.Errorf("%s row %d: %s repetitions, plan %d", name, row, got, s.Reps)
				}
				for _, col := range []string{"F", "G", "D", "H", "N"} {
					at := fmt.Sprintf("%s%d", col, row)
					if said, _ := f.GetCellValue(name, at, excelize.Options{RawCellValue: true}); said != calc(col, row) {
						t.Errorf("%s %s computes %q, the file says %q", name, at, calc(col, row), said)
					}
				}
			}
		})
		for _, share := range []float64{0.45, 1.3} {
			for _, m := range p.Maxes {
				at := fmt.Sprintf("D%d", maxRow(t, f, name, m.Lift))
				if formula, _ := f.GetCellFormula(name, at); formula == "" {
					f.SetCellValue(name, at, math.Round(m.Max.In(p.Unit)*share))
				}
			}
			moved := 0
			each(func(e *periodize.Exercise, warm []int, work int) {
				if _, ok := p.Max(e.Lift.Name); !ok || e.Sets[0].Origin.Kind == periodize.ByLoad {
					return
				}
				top := number(calc("F", work))
				last := 0.0
				for k, row := range warm {
					got := calc("F", row)
					if got == "" || got == "see plan" {
						if calc("D", row)+calc("G", row)+calc("H", row) != "" && got == "" {
							t.Errorf("%s row %d: something stands beside no weight", name, row)
						}
						continue
					}
					v := number(got)
					if !(v > last && v < top) {
						t.Errorf("%s row %d, maximum x %v: %s after %v, the work is %v", name, row, share, got, last, top)
					}
					last = v
					if v != e.Warmup[k].Load.In(p.Unit) {
						moved++
					}
					if side := calc("G", row); side != "" {
						if got := loaded(t, e.Loads, side, p.Unit); math.Abs(got-v) > 1e-6 {
							t.Errorf("%s row %d: %q makes %v, the weight is %v", name, row, side, got, v)
						}
					}
					if from := calc("N", row); from != "towards the first working weight" {
						t.Errorf("%s row %d: from %q", name, row, from)
					}
				}
			})
			if moved == 0 {
				t.Errorf("%s: no warm-up follows", name)
			}
		}
	}
}
