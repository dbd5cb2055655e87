package taper_test

import (
	"fmt"
	"time"

	"github.com/blockwright/blockwright/periodize/taper"
)

func ExampleForMean() {
	for _, shape := range taper.Shapes() {
		c, err := taper.ForMean(shape, 14, 0.5)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(c)
	}
	_, err := taper.ForMean(taper.Linear, 14, 0.7)
	fmt.Println(err)
	// Output:
	// step over 14 days: volume cut by 50 % on average, by 50 % on the last day
	// linear over 14 days: volume cut by 50 % on average, by 93.33 % on the last day
	// exponential over 14 days: volume cut by 50 % on average, by 76.66 % on the last day; time constant (tau) 9.623 days, falling towards 0 %
	// taper: mean cut: no linear taper of 14 days gives 70 %; it must be above 0 % and at most 53.57 %
}

func ExampleForCuts() {
	c, _ := taper.ForCuts(14, 0.5, 0.65)
	fmt.Println(c)
	// Output:
	// exponential over 14 days: volume cut by 50 % on average, by 65 % on the last day; time constant (tau) 4.251 days, falling towards 32.49 %
}

func ExampleShareOut() {
	// A deload of 40 per cent off three lifts with 6, 5 and 4 sets.
	sets := []int{6, 5, 4}
	left, _ := taper.ShareOut(sets, 0.6)
	fmt.Println(left, "cut:", taper.CutOf(sets, left))
	// Output: [4 3 2] cut: 0.4
}

func ExampleNewCalendar() {
	c, _ := taper.ForMean(taper.Exponential, 10, 0.5)
	meet := time.Date(2027, 3, 6, 0, 0, 0, 0, time.UTC)
	cal, _ := taper.NewCalendar(meet, c, taper.CalendarOptions{})
	for _, d := range cal.Days[:3] {
		fmt.Printf("%s, %d days out: volume %.0f %%\n", d.Date.Format("Mon 2 Jan"), d.Out, 100*d.Volume)
	}
	for _, l := range cal.Lifts {
		fmt.Printf("%s: last heavy %s, last session %s\n", l.Rule.Lift, l.Heavy.Day.Format("Mon 2 Jan"), l.Last.Day.Format("Mon 2 Jan"))
	}
	// Output:
	// Wed 24 Feb, 10 days out: volume 87 %
	// Thu 25 Feb, 9 days out: volume 75 %
	// Fri 26 Feb, 8 days out: volume 66 %
	// squat: last heavy Fri 26 Feb, last session Wed 3 Mar
	// bench press: last heavy Mon 1 Mar, last session Wed 3 Mar
	// deadlift: last heavy Fri 26 Feb, last session Wed 3 Mar
}

func ExampleChoose() {
	max := taper.Maximum{Mid: 182, Low: 175, High: 189, Coverage: 0.9}
	a, _ := taper.Choose(max, taper.AttemptOptions{})
	for _, x := range a.Attempts {
		fmt.Printf("%d: %.1f kg, good with %.0f %% (%.0f to %.0f)\n", x.Number, x.Load, 100*x.Chance.Mid, 100*x.Chance.Low, 100*x.Chance.High)
	}
	// Output:
	// 1: 165.0 kg, good with 100 % (100 to 100)
	// 2: 175.0 kg, good with 90 % (50 to 100)
	// 3: 180.0 kg, good with 64 % (8 to 99)
}

// How the end of a plan stands against what strength athletes do.
func ExampleAssess() {
	meet := time.Date(2027, 3, 6, 0, 0, 0, 0, time.UTC)
	var sessions []taper.Session
	for _, s := range []struct {
		out        int // days before the meet
		sets, peak float64
	}{{20, 8, 0.8}, {16, 8, 0.85}, {13, 6, 0.88}, {9, 5, 0.92}, {6, 4, 0.8}} {
		sessions = append(sessions, taper.Session{Date: meet.AddDate(0, 0, -s.out), Lift: taper.Squat, Volume: s.sets, Intensity: s.peak})
	}
	a, err := taper.Assess(meet, sessions, 14, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("sets cut by %.0f %% on average, %.0f %% in the last week\n", 100*a.MeanCut, 100*a.FinalCut)
	for _, f := range a.Findings {
		fmt.Println(f.Text)
	}
	// Output:
	// sets cut by 53 % on average, 75 % in the last week
	// the last session for the squat is 6 days out; usual is 2 to 4 days out
}

// The warm-up on the clock, back from an opener at a quarter to three.
func ExampleBackRoom() {
	opener := time.Date(2027, 3, 6, 14, 45, 0, 0, time.UTC)
	sets, err := taper.BackRoom(170, opener, taper.BackRoomOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range sets {
		fmt.Printf("%s: %.1f x %d, %d attempts to go\n", s.At.Format("15:04"), s.Load, s.Reps, s.ToGo)
	}
	// Output:
	// 14:19: 60.0 x 5, 26 attempts to go
	// 14:23: 85.0 x 5, 22 attempts to go
	// 14:27: 110.0 x 3, 18 attempts to go
	// 14:31: 127.5 x 2, 14 attempts to go
	// 14:35: 145.0 x 1, 10 attempts to go
	// 14:39: 157.5 x 1, 6 attempts to go
}
