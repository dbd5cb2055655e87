package figure_test

import (
	"bytes"
	"fmt"
	"time"

	"github.com/blockwright/blockwright/periodize"
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

// A block by itself: sets, intensity and sets by muscle over its weeks.
func ExampleReview() {
	block := &periodize.Block{
		Title: "Three weeks of presses", Weeks: 3,
		Lifts: []periodize.Lift{{Name: "strict press", Pattern: periodize.PushVertical, Uses: "bar",
			Muscles: []periodize.Share{{Muscle: "shoulders", Part: 1}, {Muscle: "triceps", Part: 0.5}}}},
		Sessions: []periodize.Session{{Name: "Monday", Work: []periodize.Item{{Lift: "strict press", Work: periodize.Work{
			Sets: periodize.ByWeek(3, 5, 2), Reps: periodize.Fixed(5), Weight: periodize.Percent(periodize.Line(68, 76))}}}}},
	}
	review, err := periodize.ReviewBlock(block, periodize.Thresholds{})
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := figure.Review(review)
	if err != nil {
		fmt.Println(err)
		return
	}
	var page bytes.Buffer
	if err := f.Write(&page, figure.SVG); err != nil {
		fmt.Println(err)
		return
	}
	for _, text := range []string{"Sets by week", "Intensity by week", "Sets by muscle", "shoulders"} {
		fmt.Println(text, bytes.Contains(page.Bytes(), []byte(text)))
	}
	// Output:
	// Sets by week true
	// Intensity by week true
	// Sets by muscle true
	// shoulders true
}
