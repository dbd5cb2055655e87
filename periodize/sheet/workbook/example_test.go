package workbook_test

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/workbook"
	"github.com/blockwright/blockwright/plates"
)

// A workbook whose weight follows when the maximum is typed over.
func ExampleNew() {
	block := &periodize.Block{
		Title: "One week of rows", Weeks: 1,
		Lifts: []periodize.Lift{{Name: "row", Pattern: periodize.PullHorizontal, Region: periodize.Upper, Uses: "olympic"}},
		Sessions: []periodize.Session{{Name: "Monday", Work: []periodize.Item{{
			Lift: "row", Work: periodize.Work{Reps: periodize.Fixed(6), Weight: periodize.Percent(periodize.Fixed(70))},
		}}}},
	}
	roster := &periodize.Roster{
		Gyms: []periodize.Gym{{
			Bars: []periodize.Bar{{Name: "olympic", Mass: 20 * plates.Kilogram}},
			Plates: plates.Inventory{
				{Plate: plates.Plate{Mass: 20 * plates.Kilogram}, Count: 4}, {Plate: plates.Plate{Mass: 10 * plates.Kilogram}, Count: 2},
				{Plate: plates.Plate{Mass: 5 * plates.Kilogram}, Count: 2}, {Plate: plates.Plate{Mass: 2500 * plates.Gram}, Count: 2}},
		}},
		Lifters: []periodize.Lifter{{Name: "Ada", Maxes: []periodize.MaxEntry{{Lift: "row", Tested: 80 * plates.Kilogram}}}},
	}
	prog, err := periodize.Compile(block, roster)
	if err != nil {
		fmt.Println(err)
		return
	}
	var file bytes.Buffer
	r, err := workbook.New(&file, sheet.Options{Stamp: time.Date(2027, 9, 1, 12, 0, 0, 0, time.UTC)})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := sheet.Render(r, prog.Block(), prog.Plans()); err != nil {
		fmt.Println(err)
		return
	}

	book, err := excelize.OpenReader(&file)
	if err != nil {
		fmt.Println(err)
		return
	}
	defer book.Close()
	weights := func() {
		var kg []string
		for _, at := range []string{"F10", "F11", "F12", "F13"} { // three warm-ups, then the set
			v, _ := book.CalcCellValue("Ada", at, excelize.Options{RawCellValue: true})
			kg = append(kg, v)
		}
		fmt.Println(strings.Join(kg, " "))
	}
	weights()
	book.SetCellValue("Ada", "D6", 100)
	weights()
	// Output:
	// 25 40 45 55
	// 30 50 55 70
}
