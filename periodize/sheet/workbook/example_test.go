package workbook_test

import (
	"bytes"
	"fmt"
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
	weight := func() string {
		v, _ := book.CalcCellValue("Ada", "F10")
		return v
	}
	fmt.Println(weight())
	book.SetCellValue("Ada", "D6", 100)
	fmt.Println(weight())
	// Output:
	// 55.0
	// 70.0
}
