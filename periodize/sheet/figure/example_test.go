package figure_test

import (
	"bytes"
	"fmt"
	"time"

	"github.com/blockwright/blockwright/periodize/sheet/figure"
	"github.com/blockwright/blockwright/periodize/taper"
)

// The picture of a taper of ten days, as SVG: text stays text in it, so that it
// can be searched and read aloud.
func ExampleFigure_Write() {
	meet := time.Date(2027, 4, 20, 0, 0, 0, 0, time.UTC)
	curve, err := taper.ExponentialForMean(10, 0.5, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	calendar, err := taper.NewCalendar(meet, curve, taper.CalendarOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := figure.Taper(calendar)
	if err != nil {
		fmt.Println(err)
		return
	}
	var page bytes.Buffer
	if err := f.Write(&page, figure.SVG); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(bytes.HasPrefix(page.Bytes(), []byte("<?xml")), bytes.Contains(page.Bytes(), []byte("days before")))
	// Output: true true
}
