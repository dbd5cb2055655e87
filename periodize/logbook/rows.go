package logbook

import (
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

	Written float64     // the load as written
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

// Date is the day at midnight UTC.
func (r *Row) Date() time.Time { return DateOf(r.Day) }

// Reported says whether the row reports a reserve.
func (r *Row) Reported() bool { return r.RIR >= 0 }

// Mass is the load as an exact mass. The error is a *plates.ParseError for a number of
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
