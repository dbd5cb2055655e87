package invent_test

import (
	"bytes"
	"testing"

	"github.com/blockwright/blockwright/examples/logs/invent"
	"github.com/blockwright/blockwright/periodize/logbook"
)

func TestWrite(t *testing.T) {
	for _, o := range []invent.Options{{}, {Rows: 5000, Typos: 0.01, Seed: 3}, {Rows: 3000, Shuffle: true}} {
		var a, b bytes.Buffer
		if err := invent.Write(&a, o); err != nil {
			t.Fatal(err)
		}
		invent.Write(&b, o)
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Fatalf("%+v: two runs differ", o)
		}
		if !bytes.Contains(a.Bytes(), []byte("invented data")) {
			t.Errorf("%+v: the log does not say that it is invented", o)
		}
		r := logbook.NewReader(logbook.Options{}, logbook.Stream("log", &a))
		tests := 0
		for row, err := range r.Rows() {
			if err == nil && row.Tested {
				tests++
			}
		}
		rep := r.Report()
		want := int64(o.Rows)
		if want == 0 {
			want = 10_000
		}
		if rep.Rows+rep.Bad != want || tests < 20 {
			t.Errorf("%+v: %d rows, %d bad, %d tests", o, rep.Rows, rep.Bad, tests)
		}
		if (rep.Bad > 0) != (o.Typos > 0) {
			t.Errorf("%+v: %d bad rows: %v", o, rep.Bad, rep.Err())
		}
	}
}
