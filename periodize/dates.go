package periodize

// CheckDates reports a test day that does not fit a block dated from a start:
// one that does not lie after the last session, or that lies over a week after
// the last week's end. Without both dates there is nothing to check.
func CheckDates(b *Block, r *Roster) error { return newCalendar(b, r.Start, r.Test).check(b) }
