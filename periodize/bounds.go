package periodize

import (
	"time"

	"github.com/blockwright/blockwright/plates"
)

// The bounds of what a block and a roster may hold, which [Compile] and the files' reader
// go by alike. They are beyond what anybody trains with, and keep out slips of the pen
// and numbers that sums would run over with.
const (
	MaxWeeks      = 52 // of a block, deload weeks apart
	MaxDeload     = 4  // deload weeks
	MinAge        = 5  // years
	MaxAge        = 120
	MinBodyweight = 10 * plates.Kilogram
	MaxBodyweight = 700 * plates.Kilogram
	MinAdded      = -500 * plates.Kilogram // of a maximum or a set that was lifted: assistance that takes off bodyweight
	MaxLoad       = 5000 * plates.Kilogram // of any mass on a bar or in a hand
	MaxReps       = 200                    // of a set
	MinLimit      = time.Minute            // of a session's time
	MaxLimit      = 8 * time.Hour
	MaxBars       = 1000 // of one kind
)
