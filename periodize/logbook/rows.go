package logbook

import (
	"fmt"
	"iter"
	"time"

	"github.com/blockwright/blockwright/plates"
)

// Row is one row of a log, with everything that it says.
type Row struct {
	File string
	Line int // of the file, from 1

	Day          int // from 1970-01-01, see [DateOf]
	Lifter, Lift string
	Load         float64 // in the reader's unit
	Reps         int     // 0 for a missed attempt
	RIR          float64 // repetitions left; negative where not reported
	Count        int     // equal sets that the row stands for
	Tested       bool    // a deliberate maximum attempt

	Written float64     // the load as written; 0 where a program made the row, and Load has it
	Unit    plates.Unit // the unit it is written in

	Week       int      // of the plan; 0 where not given
	Session    string   // "" where not given
	Set        int      // 0 where not given
	Minutes    *float64 // of the session; nil where not given. Rows of one value share it
	Effort     *float64 // session RPE, 0 to 10; nil where not given. Shared in the same way
	Bodyweight float64  // in the reader's unit; 0 where not given
	Velocity   float64  // m/s; 0 where not given
	Note       string
}

// Days beyond these are no dates that a log can have.
const (
	firstDay = -25567 // 1900-01-01
	lastDay  = 84005  // 2199-12-31
)

// check refuses numbers that a [Reader] would not have read, from rows that a program made. The error is an *OptionError.
func (r *Row) check() error {
	within := func(v, low, high float64) bool { return v >= low && v <= high }
	bad := func(field string, got any, want string, args ...any) error {
		return &OptionError{"row of " + r.Lifter + ", " + field, fmt.Sprint(got), fmt.Sprintf(want, args...)}
	}
	switch {
	case !within(r.Load, 0, 1e6):
		return bad("load", r.Load, "0 to 1000000")
	case !within(r.Written, 0, 1e6):
		return bad("load as written", r.Written, "0 to 1000000")
	case r.Reps < 0 || r.Reps > mostReps:
		return bad("reps", r.Reps, "0 to %d", mostReps)
	case !(r.RIR <= mostRIR):
		return bad("rir", r.RIR, "at most %d, negative where not reported", mostRIR)
	case r.Week < 0 || r.Week > mostWeek:
		return bad("week", r.Week, "0 (not given) to %d", mostWeek)
	case r.Set < 0 || r.Set > mostSet:
		return bad("set", r.Set, "0 (not given) to %d", mostSet)
	case r.Count < 0 || r.Count > mostCount:
		return bad("count", r.Count, "0 (the same as 1) to %d", mostCount)
	case r.Day < firstDay || r.Day > lastDay:
		return bad("day", r.Day, "1900-01-01 to 2199-12-31, in days from 1970-01-01")
	case r.Minutes != nil && !within(*r.Minutes, 0, mostMinutes):
		return bad("minutes", *r.Minutes, "0 to %d", mostMinutes)
	case r.Effort != nil && !within(*r.Effort, 0, 10):
		return bad("effort", *r.Effort, "0 to 10")
	}
	return nil
}

// Date is the day at midnight UTC.
func (r *Row) Date() time.Time { return DateOf(r.Day) }

// Reported says whether the row reports a reserve.
func (r *Row) Reported() bool { return r.RIR >= 0 }

// Mass is the load as written, exactly. The error is a *plates.ParseError for a number of
// more decimals than a mass has.
func (r *Row) Mass() (plates.Mass, error) { return plates.MassOf(r.Written, r.Unit) }

// Rows reads the log row by row, in the order of the files. A row that cannot be
// used comes as a *RowError with a Row that says no more than where, and reading goes on. Any other error ends
// it: a *HeaderError, *ReadError or *LimitError.
func (r *Reader) Rows() iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		var same [2]*float64
		err := r.run(true, false, int(^uint(0)>>1), func(b *block) error {
			bad := b.bad
			for i := range b.sets {
				s := &b.sets[i]
				for len(bad) > 0 && bad[0].Line < int(s.Line) {
					if !yield(Row{File: bad[0].File, Line: bad[0].Line}, bad[0]) {
						return errStop
					}
					bad = bad[1:]
				}
				if !yield(r.row(b, s, &b.extras[i], &same), nil) {
					return errStop
				}
			}
			for _, e := range bad {
				if !yield(Row{File: e.File, Line: e.Line}, e) {
					return errStop
				}
			}
			return nil
		})
		if err != nil && err != errStop {
			yield(Row{}, err)
		}
	}
}

// row is a row with everything that it says. Minutes and effort are mostly those of the row before, same, and are
// then not made anew.
func (r *Reader) row(b *block, s *Set, x *extra, same *[2]*float64) Row {
	row := Row{
		File: r.sources[b.file].name, Line: int(s.Line), Day: int(s.Day),
		Lifter: r.lifters.list[s.Lifter], Lift: r.lifts.list[s.Lift],
		Load: s.Load, Reps: int(s.Reps), RIR: s.RIR, Count: int(s.Count), Tested: s.Tested,
		Written: x.written, Unit: x.unit, Week: int(x.week), Session: x.session, Set: int(x.set),
		Bodyweight: x.body, Velocity: x.velocity, Note: x.note,
	}
	row.Minutes, row.Effort = shared(&same[0], x.minutes), shared(&same[1], x.effort)
	return row
}

// shared is a value that rows share, nil for a negative one.
func shared(last **float64, v float64) *float64 {
	if v < 0 {
		return nil
	}
	if *last == nil || **last != v {
		own := v // only here on the heap
		*last = &own
	}
	return *last
}
