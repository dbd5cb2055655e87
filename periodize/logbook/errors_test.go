package logbook

import (
	"errors"
	"testing"
)

func TestErrors(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&ReadError{File: "a.csv", Err: errors.New("gone")}, "a.csv: gone"},
		{&ReadError{File: "a.csv", Line: 7, Err: errors.New("gone")}, "a.csv: after line 7: gone"},
		{&LimitError{"different lifters", 5}, "logbook: more than 5 different lifters: the columns may be mixed up; raise Options.MaxNames if they are not"},
		{&BadRowsError{Bad: 3}, "logbook: 3 bad rows"},
		{&BadRowsError{Bad: 1, Listed: []*RowError{{File: "a.csv", Line: 2, Want: "want a row"}}}, "logbook: one bad row: a.csv:2: want a row"},
		{&BadRowsError{Bad: 2, Listed: []*RowError{{File: "a.csv", Line: 2, Column: 4, Field: "load", Got: "x", Want: "want a load"}}}, `logbook: 2 bad rows, the first: a.csv:2:4: load: want a load, got "x"`},
		{&MatchError{"Oona", 4}, "logbook: Oona: 4 rows name no week and the plan has no dates; give the plan a start or the log a column week"},
		{&MismatchError{"units"}, "logbook: the parts differ in their units and cannot be merged"},
		{&OverlapError{"Oona", "row"}, "logbook: both parts have rows of Oona, row: collect the tests of all parts first and compare with them"},
		{&DecodeError{"a summary", "it is cut off"}, "logbook: a summary: it is cut off"},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("%T: %q, want %q", c.err, got, c.want)
		}
	}
}
