package main

import (
	"bytes"
	"encoding/csv"
	"testing"

	"github.com/blockwright/blockwright/examples/logs/invent"
	"github.com/blockwright/blockwright/periodize/logbook"
)

func TestAnalyse(t *testing.T) {
	var last []byte
	for _, shuffle := range []bool{false, true} {
		var log, out bytes.Buffer
		if err := invent.Write(&log, invent.Options{Rows: 5000, Shuffle: shuffle}); err != nil {
			t.Fatal(err)
		}
		if err := analyse(&out, logbook.NewReader(logbook.Options{}, logbook.Stream("log", &log))); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(bytes.NewReader(out.Bytes())).ReadAll()
		if err != nil || len(rows) != 1+4*6 || len(rows[0]) != 45 {
			t.Fatalf("%d rows, %v", len(rows), err)
		}
		var cols []byte // what does not depend on the order of a sum
		for _, r := range rows {
			for _, v := range append(r[:3:3], r[4:15]...) {
				cols = append(cols, v+"\n"...)
			}
		}
		if last != nil && !bytes.Equal(last, cols) {
			t.Error("shuffled rows give another result")
		}
		last = cols
	}
}
