package periodize

import "fmt"

// CheckDates reports a test day that does not fit a block dated from a start:
// one that does not lie after the last session, or that lies over a week after
// the last week's end. Without both dates there is nothing to check. The error is
// an *Error at the roster's test day.
func CheckDates(b *Block, r *Roster) error {
	if b.Weeks < 1 || b.Weeks > MaxWeeks {
		return &Error{Where: "block", Msg: fmt.Sprintf("weeks must be 1 to %d, got %d", MaxWeeks, b.Weeks)}
	}
	if err := newCalendar(b, r.Start, r.Test).check(b); err != nil {
		return &Error{Pos: r.TestPos, Msg: err.Error()}
	}
	return nil
}
