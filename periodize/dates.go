package periodize

import "fmt"

// CheckDates reports a test day that does not fit a block dated from a start:
// one that does not lie after the last session, or that lies over a week after
// the last week's end. Without both dates there is nothing to check.
func CheckDates(b *Block, r *Roster) error {
	if b.Weeks < 1 || b.Weeks > 52 {
		return fmt.Errorf("weeks must be 1 to 52, got %d", b.Weeks)
	}
	return newCalendar(b, r.Start, r.Test).check(b)
}
