package workbook_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
	"github.com/blockwright/blockwright/plates"
)

// openDrops adds to the example what has no percentage of its own: a best set
// of the day with drops from it in the last week, so that the deload has copies
// of both, and a weight that the roster changed, with a reason in quotes.
func openDrops(t *testing.T) *periodize.Program {
	t.Helper()
	b, r := example.Block(), example.Roster()
	for i := range b.Sessions {
		for k := range b.Sessions[i].Work {
			if w := &b.Sessions[i].Work[k]; w.Build != nil {
				w.Backoff = &periodize.Backoff{Sets: periodize.Fixed(3), Reps: periodize.Fixed(4), Drop: periodize.Fixed(10)}
			}
		}
	}
	r.Lifters[0].Adjust = []periodize.Adjustment{{Week: 1, Lift: "box squat", Percent: plates.WholeRatio(-5), Why: `"cold"&"hall" ` + strings.Repeat("long ", 60)}}
	prog, err := periodize.Compile(b, r)
	if err != nil {
		t.Fatal(err)
	}
	return prog
}

// After every maximum is typed over, no cell shows a weight, a range, a
// reserve or an origin of the old plan.
func TestNothingStaleAfterRetyping(t *testing.T) {
	prog := openDrops(t)
	for _, unit := range []*plates.Unit{nil, new(plates.LB)} {
		f := open(t, render(t, prog, sheet.Options{Unit: unit}))
		for i, name := range []string{"Ilse Ørn", "=Bo <Jr.>", "李娜"} {
			p := prog.Plan(i)
			u := p.Unit
			if unit != nil {
				u = *unit
			}
			calc := func(col string, row int) string {
				t.Helper()
				v, err := f.CalcCellValue(name, fmt.Sprintf("%s%d", col, row), excelize.Options{RawCellValue: true})
				if err != nil {
					t.Errorf("%s %s%d: %v", name, col, row, err)
				}
				return v
			}
			rows := setRows(t, f, name)
			var before [][4]string
			for _, row := range rows {
				before = append(before, [4]string{calc("F", row), calc("G", row), calc("I", row), calc("N", row)})
			}
			// What is computed is what the file already says.
			for k, row := range rows {
				for c, col := range []string{"F", "G", "I", "N"} {
					if v, _ := f.GetCellValue(name, fmt.Sprintf("%s%d", col, row), excelize.Options{RawCellValue: true}); v != before[k][c] && col != "F" {
						t.Errorf("%s %s%d computes %q, the file says %q", name, col, row, before[k][c], v)
					}
				}
			}
			// Half of each maximum: all weights stay on the ladders.
			for _, m := range p.Maxes {
				if formula, _ := f.GetCellFormula(name, fmt.Sprintf("D%d", maxRow(t, f, name, m.Lift))); formula == "" {
					f.SetCellValue(name, fmt.Sprintf("D%d", maxRow(t, f, name, m.Lift)), math.Round(m.Max.In(u)*0.5))
				}
			}
			for _, m := range p.Maxes {
				row := maxRow(t, f, name, m.Lift)
				if got := calc("G", row); got != "no longer as planned" {
					t.Errorf("%s: %s is still from %q", name, m.Lift, got)
				}
				if calc("H", row)+calc("I", row) != "" {
					t.Errorf("%s: %s keeps its old range", name, m.Lift)
				}
			}
			k := 0
			counts := map[string]int{}
			for _, s := range p.Sessions {
				for _, e := range s.Exercises {
					for _, x := range e.Sets {
						row, old := rows[k], before[k]
						k++
						if _, ok := p.Max(e.Lift.Name); !ok || x.Origin.Kind == periodize.ByLoad {
							continue
						}
						if x.Reserve != nil && !x.AMRAP && strings.ContainsAny(calc("I", row), "~<") {
							t.Errorf("%s row %d: the reserve is still %q", name, row, old[2])
						}
						if !x.HasLoad && !x.HasExpect {
							continue
						}
						at := fmt.Sprintf("%s row %d, week %d, %s, %s", name, row, s.Week, e.Lift.Name, x.Kind)
						if n := calc("N", row); n != "" && !strings.HasPrefix(n, "as many") {
							t.Errorf("%s: still from %q", at, n)
						}
						load := calc("F", row)
						if load == old[0] && !x.Below {
							t.Errorf("%s: still %q", at, load)
						}
						switch {
						case x.Open:
							counts["open"]++
							// Rough, since the ends are rounded to what can be loaded.
							low, _, _ := strings.Cut(strings.TrimSuffix(load, "?"), "-")
							v, err := strconv.ParseFloat(low, 64)
							if want := x.Expect[0].In(u) / 2; err != nil || math.Abs(v-want) > 12 {
								t.Errorf("%s: %q, about half of %q expected", at, load, old[0])
							}
						case x.Origin.Working == 0:
							counts["copied"]++
							v, err := strconv.ParseFloat(load, 64)
							if want := x.Exact.In(u) / 2; err != nil || math.Abs(v-want) > 12 {
								t.Errorf("%s: %q, about half of %q expected", at, load, old[0])
							}
						}
						if side := calc("G", row); side != "" && load != old[0] {
							v, _ := strconv.ParseFloat(load, 64)
							if got := loaded(t, e.Loads, side, u); math.Abs(got-v) > 1e-3 {
								t.Errorf("%s: %q makes %v, the weight is %v", at, side, got, v)
							}
						}
					}
				}
			}
			if counts["open"] == 0 || counts["copied"] == 0 {
				t.Errorf("%s: only %v", name, counts)
			}
		}
	}
}

// In the other unit weights show one decimal and keep their exact values.
func TestOtherUnitShowsOneDecimal(t *testing.T) {
	u := plates.LB
	prog := example.Program(t)
	for unit, want := range map[*plates.Unit]bool{nil: false, &u: true} {
		f := open(t, render(t, prog, sheet.Options{Unit: unit}))
		name, long := "Ilse Ørn", 0
		for _, row := range setRows(t, f, name) {
			at := fmt.Sprintf("F%d", row)
			shown, _ := f.GetCellValue(name, at)
			raw, _ := f.GetCellValue(name, at, excelize.Options{RawCellValue: true})
			if want && regexp.MustCompile(`\.\d\d`).MatchString(shown) {
				t.Errorf("%s shows %s", at, shown)
			}
			if _, decimals, _ := strings.Cut(raw, "."); len(decimals) > 3 {
				long++
			}
		}
		if long == 0 {
			t.Error("no weight is exact")
		}
	}
}
