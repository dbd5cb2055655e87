package main

import (
	"testing"

	"github.com/blockwright/blockwright/plates"
)

func Example() {
	main()
	// Output:
	// Ngaio (34 years)
	// Pulls by the canal: 6 weeks
	//
	// maximum      kg  working  where from
	// rack pull   160      160  tested
	// row          72       72  tested
	// lunge        80       80  tested
	// push press   58       58  tested
	//
	//                week 1      week 2      week 3      week 4     week 5     week 6
	// Tuesday            kg          kg          kg          kg         kg         kg
	// rack pull   4x4 112.5   5x4 112.5   7x4 122.5   4x4 122.5   4x4  130   3x4  130
	//   left                                     ~6          ~6         ~4         ~4
	// row         3x8  42.5   4x8  42.5   5x8    45   3x8    45   3x8 47.5   3x8 47.5
	//   left                                                            ~5         ~5
	// minutes           ~39         ~45         ~54         ~39        ~39        ~35
	//
	//              week 1     week 2     week 3   week 4     week 5     week 6
	// Friday           kg         kg         kg       kg         kg         kg
	// lunge        3x6 50   3x6   50   4x6   50   3x6 50   3x6   50   2x6   50
	// push press   3x4 40   4x4 42.5   5x4 42.5   4x4 45   3x4 47.5   2x4 47.5
	//   left                                          ~5         ~3         ~3
	// minutes         ~33        ~36        ~42      ~36        ~33        ~28
	//
	// left: repetitions in reserve after the last of the sets above, ~ where predicted
	//
	// - Weights are arithmetic from the numbers entered, not medical advice; the facility's rules and
	//   licensed practice come first.
	// - An open health question, or a heart, metabolic or kidney condition: clearance from a health
	//   professional first.
	// - Stop on sharp or joint pain, chest pain, faintness, unusual breathlessness or numbness. Chest
	//   pain or collapse: emergency services.
	// - Collars closed, both ends loaded evenly. When your technique changes, end the set and lower
	//   the weight.
	//
	// no warnings
	// note, week 1, Tuesday (club_busy_bar): 16 plates go on or off each side: put lifts of like weight next to one another
	// note, week 2, Tuesday (club_busy_bar): 16 plates go on or off each side: put lifts of like weight next to one another
	// note, week 5, Tuesday (club_busy_bar): 19 plates go on or off each side: put lifts of like weight next to one another
	// note, week 6, Tuesday (club_busy_bar): 19 plates go on or off each side: put lifts of like weight next to one another
}

func TestStairs(t *testing.T) {
	for week, want := range []int64{70, 70, 76, 76, 82, 82} {
		if got, ok := (stairs{70, 6}).At(week+1, 6); !ok || got != plates.WholeRatio(want) {
			t.Errorf("week %d: %v, %v, want %d", week+1, got, ok, want)
		}
	}
}
