package logbook

import (
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/plates"
	"github.com/google/go-cmp/cmp"
)

func text(s string) Source { return Stream("log.csv", strings.NewReader(s)) }

// reading is everything that came out of a log.
type reading struct {
	Rows   []Row
	Bad    []string
	Err    string
	Blank  int64
	Counts [2]int64
	Codes  []string
}

func readAll(r *Reader) (got reading) {
	for row, err := range r.Rows() {
		var bad *RowError
		switch {
		case errors.As(err, &bad):
			got.Bad = append(got.Bad, err.Error())
		case err != nil:
			got.Err = err.Error()
		default:
			got.Rows = append(got.Rows, row)
		}
	}
	rep := r.Report()
	got.Blank, got.Counts = rep.Blank, [2]int64{rep.Rows, rep.Bad}
	for _, n := range rep.Notices {
		got.Codes = append(got.Codes, n.Code)
	}
	return got
}

const head = "date,lifter,lift,load,reps,rir,note\n"

func TestReaderRows(t *testing.T) {
	five := 5.0
	ninety := 90.0
	pound := 0.45359237
	for name, tc := range map[string]struct {
		in   string
		unit plates.Unit
		want []Row
		bad  []string
		code []string
	}{
		"plain": {
			in:   head + "2027-09-06,Oona,hip hinge,102.5,5,2,belt\n2027-09-07,Bram,hip hinge,0,0,,\n",
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "hip hinge", Load: 102.5, Reps: 5, RIR: 2, Count: 1, Written: 102.5, Note: "belt"}, {Line: 3, Day: 21068, Lifter: "Bram", Lift: "hip hinge", RIR: -1, Count: 1}},
		},
		"order of columns, case, unknown column": {
			in:   "Reps,LOAD,colour,lift,date,lifter\n5,60,red,row,2027-09-06,Oona\n",
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "row", Load: 60, Reps: 5, RIR: -1, Count: 1, Written: 60}},
			code: []string{"unknown_column"},
		},
		"every column": {
			in: "date,lifter,lift,load,reps,unit,rpe,count,tested,week,session,set,minutes,effort,bodyweight,velocity,note\n" +
				"2027-09-06,Oona,row,135,5,lb,8.5,3,1,2,Tuesday,4,90,5,150,0.45,x\n",
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "row", Load: 135 * 0.45359237, Reps: 5, RIR: 1.5, Count: 3, Tested: true,
				Written: 135, Unit: plates.LB, Week: 2, Session: "Tuesday", Set: 4, Minutes: &ninety, Effort: &five, Bodyweight: 150 * 0.45359237, Velocity: 0.45, Note: "x"}},
		},
		"pounds by default": {
			in: "date,lifter,lift,load,reps,unit\n2027-09-06,Oona,row,135,5,\n2027-09-06,Oona,row,60,5,kg\n", unit: plates.LB,
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "row", Load: 135, Reps: 5, RIR: -1, Count: 1, Written: 135, Unit: plates.LB},
				{Line: 3, Day: 21067, Lifter: "Oona", Lift: "row", Load: 60 / pound, Reps: 5, RIR: -1, Count: 1, Written: 60}},
		},
		"byte-order mark, semicolons, decimal commas, CRLF": {
			in:   "\ufeffdate;lifter;lift;load;reps;rir\r\n2027-09-06;Oona;row;62,5;5;1,5\r\n\r\n2027-09-06;Oona;row;62.5;5;1\r\n",
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "row", Load: 62.5, Reps: 5, RIR: 1.5, Count: 1, Written: 62.5}, {Line: 4, Day: 21067, Lifter: "Oona", Lift: "row", Load: 62.5, Reps: 5, RIR: 1, Count: 1, Written: 62.5}},
			code: []string{"byte_order_mark", "semicolons", "decimal_commas"},
		},
		"decimal comma in quotes": {
			in:   head + "2027-09-06,Oona,row,\"62,5\",5,,\n2027-09-06,Oona,row,\"1,250\",5,,\n",
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "row", Load: 62.5, Reps: 5, RIR: -1, Count: 1, Written: 62.5}},
			bad:  []string{`log.csv:3:22: load: want a plain number such as 142.5; a comma is a decimal sign in files whose columns are separated by semicolons, got "1,250"`},
			code: []string{"decimal_commas"},
		},
		"quoted note over lines": {
			in: head + "2027-09-06,Oona,row,60,5,,\"slow, said \"\"stop\"\"\nsecond line\r\nthird\"\n2027-09-06,Oona,row,61,5,,\n",
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "row", Load: 60, Reps: 5, RIR: -1, Count: 1, Written: 60, Note: "slow, said \"stop\"\nsecond line\nthird"},
				{Line: 5, Day: 21067, Lifter: "Oona", Lift: "row", Load: 61, Reps: 5, RIR: -1, Count: 1, Written: 61}},
		},
		"unclosed quote to the end": {
			in:   head + "2027-09-06,Oona,row,60,5,,\"easy\n2027-09-06,Oona,row,61,5,,\n",
			want: []Row{{Line: 3, Day: 21067, Lifter: "Oona", Lift: "row", Load: 61, Reps: 5, RIR: -1, Count: 1, Written: 61}},
			bad:  []string{`log.csv:2: a double quote opens a field here and is not closed before lines that read as rows, or not as it should be: by another one before a delimiter or the end of a line; close it, or double it where it is part of the text, got "2027-09-06,Oona,row,60,5,,\"easy"`},
		},
		"unclosed quote that another quote would close": {
			in: head + "2027-09-06,Oona,row,60,5,,\"easy\n2027-09-06,Oona,row,61,5,,\n2027-09-06,Oona,row,62,5,,x\"\n2027-09-06,Oona,row,63,5,,\"x\"\n",
			want: []Row{{Line: 3, Day: 21067, Lifter: "Oona", Lift: "row", Load: 61, Reps: 5, RIR: -1, Count: 1, Written: 61},
				{Line: 5, Day: 21067, Lifter: "Oona", Lift: "row", Load: 63, Reps: 5, RIR: -1, Count: 1, Written: 63, Note: "x"}},
			bad: []string{`log.csv:2: a double quote opens a field here and is not closed before lines that read as rows, or not as it should be: by another one before a delimiter or the end of a line; close it, or double it where it is part of the text, got "2027-09-06,Oona,row,60,5,,\"easy"`,
				`log.csv:4:28: a double quote out of place: quote the whole field and double the quotes in it, got "\""`},
		},
		"empty rows of a spreadsheet": {
			in:   head + ",,,,,,\n2027-09-06,Oona,row,60,5,,\n , ,,,,,\n",
			want: []Row{{Line: 3, Day: 21067, Lifter: "Oona", Lift: "row", Load: 60, Reps: 5, RIR: -1, Count: 1, Written: 60}},
		},
		"names of another script, as long as a roster takes": {
			in:   head + "2027-09-06," + strings.Repeat("李", 200) + ",نه\u200cتا,60,5,,\n",
			want: []Row{{Line: 2, Day: 21067, Lifter: strings.Repeat("李", 200), Lift: "نه\u200cتا", Load: 60, Reps: 5, RIR: -1, Count: 1, Written: 60}},
		},
		"spaces around values": {
			in:   head + " 2027-09-06 ,  Oona,row , 60, 5 ,1 , x \n",
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "row", Load: 60, Reps: 5, RIR: 1, Count: 1, Written: 60, Note: "x"}},
		},
		"names that differ in case": {
			in:   head + "2027-09-06,Oona,row,60,5,,\n2027-09-06,oona,row,60,5,,\n",
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "row", Load: 60, Reps: 5, RIR: -1, Count: 1, Written: 60}, {Line: 3, Day: 21067, Lifter: "oona", Lift: "row", Load: 60, Reps: 5, RIR: -1, Count: 1, Written: 60}},
			code: []string{"near_names"},
		},
		"a name with quotes in it": {
			in:   head + "2027-09-06,\"Oona \"\"O\"\"\",row,60,5,,\n2027-09-06,\"Oona \"\"O\"\"\",row,61,5,,\n2027-09-06,Oona \"O\",row,62,5,,\n",
			want: []Row{{Line: 2, Day: 21067, Lifter: `Oona "O"`, Lift: "row", Load: 60, Reps: 5, RIR: -1, Count: 1, Written: 60}, {Line: 3, Day: 21067, Lifter: `Oona "O"`, Lift: "row", Load: 61, Reps: 5, RIR: -1, Count: 1, Written: 61}},
			bad:  []string{`log.csv:4:17: a double quote out of place: quote the whole field and double the quotes in it, got "\"O\",row,62,5,,"`},
		},
		"file that ends without a line end": {
			in:   head + "2027-09-06,Oona,row,60,5,,",
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "row", Load: 60, Reps: 5, RIR: -1, Count: 1, Written: 60}},
			code: []string{"cut_off"},
		},
		"file cut off in a row": {
			in:   head + "2027-09-06,Oona,row,60,5,,\n2027-09-06,Oona,ro",
			want: []Row{{Line: 2, Day: 21067, Lifter: "Oona", Lift: "row", Load: 60, Reps: 5, RIR: -1, Count: 1, Written: 60}},
			bad:  []string{"log.csv:3: want 7 fields as in the header, there are 3"},
			code: []string{"cut_off"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			for i := range tc.want {
				tc.want[i].File = "log.csv"
			}
			for _, size := range []int{1, 7, 40, blockSize} {
				for _, workers := range []int{1, 3} {
					r := NewReader(Options{Unit: tc.unit, Workers: workers}, text(tc.in))
					r.opt.blockSize = size
					got := readAll(r)
					if got.Err != "" {
						t.Fatalf("blocks of %d: %s", size, got.Err)
					}
					if diff := cmp.Diff(tc.want, got.Rows); diff != "" {
						t.Fatalf("blocks of %d: rows (-want +got):\n%s", size, diff)
					}
					if diff := cmp.Diff(tc.bad, got.Bad); diff != "" {
						t.Fatalf("blocks of %d: bad rows (-want +got):\n%s", size, diff)
					}
					if diff := cmp.Diff(tc.code, got.Codes); diff != "" {
						t.Fatalf("blocks of %d: notices (-want +got):\n%s", size, diff)
					}
				}
			}
		})
	}
}

// TestRowFaults: every value that cannot be meant is refused with its place.
func TestRowFaults(t *testing.T) {
	const h = "date,lifter,lift,load,reps,unit,rir,rpe,count,tested,week,session,set,minutes,effort,bodyweight,velocity,note"
	cols := strings.Split(h, ",")
	good := []string{"2027-09-06", "Oona", "row", "60", "5", "kg", "2", "", "1", "0", "1", "Tue", "1", "60", "6", "70", "0.5", "n"}
	for _, tc := range [][2]string{
		{"date", "2027-02-29"}, {"date", "2027-13-01"}, {"date", "06.09.2027"}, {"date", ""}, {"date", "1899-12-31"}, {"date", "2027-9-06"}, {"date", "2027-00-10"}, {"date", "2027-04-31"},
		{"lifter", ""}, {"lifter", "  "}, {"lifter", "a\x00b"}, {"lifter", "a\xffb"}, {"lifter", strings.Repeat("x", 201)}, {"lift", ""}, {"lift", "a\tb"}, {"lifter", "\x1b[31mOona"}, {"lifter", "Oona\u200b"}, {"lifter", "\u202eanoO"}, {"lift", "row\u200e"}, {"lift", "\u3164"}, {"lifter", strings.Repeat("李", 201)},
		{"load", ""}, {"load", "NaN"}, {"load", "Inf"}, {"load", "-5"}, {"load", "1e308"}, {"load", "1e2"}, {"load", "0x40"}, {"load", "1_0"}, {"load", "5000.5"}, {"load", "5001"}, {"load", "60kg"}, {"load", "6.0.0"}, {"load", "."}, {"load", ".5"}, {"load", "5."}, {"load", "+60"}, {"load", "99999999999999999999"},
		{"reps", ""}, {"reps", "5.5"}, {"reps", "-1"}, {"reps", "501"}, {"reps", "five"},
		{"unit", "stone"}, {"rir", "51"}, {"rir", "-1"}, {"rir", "x"}, {"rpe", "11"}, {"rpe", "8.5"}, // 8.5 contradicts rir 2
		{"count", "0"}, {"count", "201"}, {"count", "1.5"}, {"tested", "2"}, {"tested", "yes"}, {"week", "0"}, {"week", "100"}, {"week", "1.5"}, {"set", "0"}, {"set", "1000"},
		{"minutes", "1441"}, {"minutes", "-1"}, {"effort", "10.5"}, {"bodyweight", "0"}, {"bodyweight", "5"}, {"bodyweight", "600"}, {"velocity", "0"}, {"velocity", "6"},
	} {
		row := append([]string(nil), good...)
		for i, c := range cols {
			if c == tc[0] {
				row[i] = tc[1]
			}
		}
		in := h + "\n" + strings.Join(good, ",") + "\n" + strings.Join(row, ",") + "\n" + strings.Join(good, ",") + "\n"
		for _, slow := range []bool{false, true} {
			r := NewReader(Options{Workers: 1}, text(in))
			r.opt.slow = slow
			n := 0
			var bad []*RowError
			for _, err := range r.Rows() {
				var e *RowError
				if errors.As(err, &e) {
					bad = append(bad, e)
					continue
				}
				if err != nil {
					t.Fatal(err)
				}
				n++
			}
			if n != 2 || len(bad) != 1 {
				t.Errorf("%s %q (slow %v): %d rows and %d bad, want 2 and 1", tc[0], tc[1], slow, n, len(bad))
				continue
			}
			e := bad[0]
			at := 1
			for i, c := range cols {
				if c == tc[0] {
					at = len(strings.Join(row[:i], ",")) + 2
				}
			}
			if tc[0] == "date" {
				at = 1
			}
			if e.Line != 3 || e.Field != tc[0] || e.Column != at || e.Want == "" {
				t.Errorf("%s %q: got %+v, want line 3, column %d", tc[0], tc[1], e, at)
			}
		}
	}
}

func TestHeaderFaults(t *testing.T) {
	for name, tc := range map[string]struct{ in, want string }{
		"empty":     {"", "log.csv: the file is empty; want a first line that names the columns, such as date,lifter,lift,load,reps"},
		"blank":     {"\n\n", "log.csv: the file is empty; want a first line that names the columns, such as date,lifter,lift,load,reps"},
		"missing":   {"date,athlete,lift,load_kg,reps\n", "log.csv:1: the first line must name the columns date, lifter, lift, load and reps; lifter, load missing; it has date, athlete, lift, load_kg, reps; did you mean lifter by \"athlete\"? did you mean load by \"load_kg\"?"},
		"weight":    {"date,lifter,lift,Weight,reps\n", "log.csv:1: the first line must name the columns date, lifter, lift, load and reps; load missing; it has date, lifter, lift, Weight, reps; did you mean load by \"Weight\"?"},
		"misspelt":  {"date,lifter,lift,load,resp\n", "log.csv:1: the first line must name the columns date, lifter, lift, load and reps; reps missing; it has date, lifter, lift, load, resp; did you mean reps by \"resp\"?"},
		"twice":     {"\ndate,lifter,lift,load,reps,Load\n", `log.csv:2: the header names "Load" twice`},
		"tabs":      {"date\tlifter\tlift\tload\treps\n", "log.csv:1: the first line must name the columns date, lifter, lift, load and reps; date, lifter, lift, load, reps missing; the columns must be separated by commas or semicolons, not tabs"},
		"UTF-16":    {"\xff\xfed\x00a\x00", "log.csv:1: the text is in UTF-16; save it as UTF-8"},
		"workbook":  {"PK\x03\x04\x14\x00\n", "log.csv:1: this is a workbook or another zip archive; save it as CSV"},
		"quote":     {"date,\"lifter,lift\n", "log.csv:1: the header has a double quote out of place"},
		"no header": {"2027-09-06,Oona,row,60,5\n", "log.csv:1: the first line must name the columns date, lifter, lift, load and reps; date, lifter, lift, load, reps missing; it has 2027-09-06, Oona, row, 60, 5"},
	} {
		t.Run(name, func(t *testing.T) {
			got := readAll(NewReader(Options{}, text(tc.in)))
			if got.Err != tc.want {
				t.Errorf("got  %q\nwant %q", got.Err, tc.want)
			}
			var he *HeaderError
			for _, err := range NewReader(Options{}, text(tc.in)).Batches() {
				if !errors.As(err, &he) {
					t.Errorf("batches: %v", err)
				}
			}
		})
	}
}

// How to write what others write otherwise.
func TestOtherWays(t *testing.T) {
	const h = "date,lifter,lift,load,reps,rir,unit\n"
	for _, tc := range []struct{ row, want string }{
		{"2027-09-06,Oona,row,123,3,5,2,kg", `want 7 fields as in the header, there are 8; if the load is 123,3 with a decimal comma, write 123.3 or "123,3", or separate the columns by semicolons`},
		{"2027-09-06,Oona,row,1,500,5,2,kg", `want 7 fields as in the header, there are 8; if the load is 1,500 with a decimal comma, write 1.500, or separate the columns by semicolons`},
		{"2027-09-06,Oona,row,102.5,5,2,5,kg", `want 7 fields as in the header, there are 8; if the rir is 2,5 with a decimal comma, write 2.5 or "2,5", or separate the columns by semicolons`},
		{"2027-09-06,Oona,row,120,501,2,25,kg", "want 7 fields as in the header, there are 8; if the load is 120,501 with a decimal comma, write 120.501, or separate the columns by semicolons"},
		{"2027-09-06,Oona,row,120,5,2,kg,", "want 7 fields as in the header, there are 8"},
		{"2027-09-06,Oona,row,120,5,2", "want 7 fields as in the header, there are 6"},
		{"2027-09-06,Oona,row,185lb,5,2,", `load: want the number alone, 185; the unit has a column of its own, unit, with lb in this row, got "185lb"`},
		{"2027-09-06,Oona,row,82.5 KGS,5,2,", `load: want the number alone, 82.5; the unit has a column of its own, unit, with kg in this row, got "82.5 KGS"`},
		{"2027-09-06,Oona,row,heavylbs,5,2,", `load: want the number alone; the unit has a column of its own, unit, got "heavylbs"`},
	} {
		got := readAll(NewReader(Options{}, text(h+tc.row+"\n")))
		if len(got.Bad) != 1 || !strings.HasSuffix(got.Bad[0], ": "+tc.want) {
			t.Errorf("%s:\ngot  %q\nwant %q", tc.row, got.Bad, tc.want)
		}
	}
	for _, slow := range []bool{false, true} {
		r := NewReader(Options{Unit: plates.LB}, text(h+"2027-09-06,Oona,row,185,5,2,lbs\n2027-09-06,Oona,row,185,5,2,LBS\r\n"))
		r.opt.slow = slow
		if got := readAll(r); len(got.Rows) != 2 || got.Rows[0].Load != 185 || got.Rows[1].Unit != plates.LB {
			t.Errorf("lbs (slow %v): %+v", slow, got)
		}
	}
}

// Bare loads are in the unit of their lifter where people train in different gyms; a row that names one has the last word.
func TestUnitOfLifter(t *testing.T) {
	unitOf := func(lifter string) plates.Unit {
		if lifter == "Dale" {
			return plates.LB
		}
		return plates.KG
	}
	const pound = 0.45359237
	for _, h := range []string{"date,lifter,lift,load,reps,rir,unit,bodyweight\n", "date,lifter,lift,load,reps\n"} {
		rows := [][2]string{{"Oona,row,100,5", ",2,,60"}, {"Dale,row,100,5", ",2,,200"}, {"Dale,row,100,5", ",2,kg,200"}, {"Oona,row,100,5", ",2,LB,60"}, {"Dale,row,100,5", ",2,,"}}
		loads := []float64{100, 100 * pound, 100, 100 * pound, 100 * pound}
		in := h
		for _, r := range rows {
			if in += "2027-09-06," + r[0]; len(h) > 40 {
				in += r[1]
			}
			in += "\n"
		}
		if len(h) < 40 { // no unit to name
			loads = []float64{100, 100 * pound, 100 * pound, 100, 100 * pound}
		}
		for _, slow := range []bool{false, true} {
			for _, workers := range []int{1, 2} {
				r := NewReader(Options{UnitOf: unitOf, Workers: workers}, text(in))
				r.opt.slow = slow
				got := readAll(r)
				if len(got.Rows) != len(loads) {
					t.Fatalf("%+v", got)
				}
				for i, row := range got.Rows {
					if row.Load != loads[i] || row.Written != 100 || (row.Unit == plates.LB) != (loads[i] < 100) {
						t.Errorf("row %d (slow %v): %v %v %v, want %v", i, slow, row.Load, row.Written, row.Unit, loads[i])
					}
				}
				if body := got.Rows[1].Bodyweight; body != 0 && body != 200*pound {
					t.Errorf("bodyweight %v, want 200 lb in kg", body)
				}
				agree(t, got, r)
			}
		}
	}
}

// TestNoise: a file of random bytes, with and without a header, gives an error or
// bad rows and never a row.
func TestNoise(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	noise := make([]byte, 3<<20)
	for i := range noise {
		noise[i] = byte(rng.Uint32())
	}
	got := readAll(NewReader(Options{}, Stream("noise", bytes.NewReader(noise))))
	if !strings.HasPrefix(got.Err, "noise:1: the first line must name") || !strings.Contains(got.Err, "not a text file") {
		t.Errorf("got %q", got.Err)
	}
	got = readAll(NewReader(Options{}, Stream("noise", io.MultiReader(strings.NewReader(head), bytes.NewReader(noise)))))
	if got.Err != "" || len(got.Rows) != 0 || got.Counts[1] < 1000 {
		t.Errorf("got %d rows, %d bad, error %q", len(got.Rows), got.Counts[1], got.Err)
	}
}

// TestHugeNote: a note of 10 MB, closed or not, on one line or many, costs its row
// and no other.
func TestHugeNote(t *testing.T) {
	row := func(load int, note string) string {
		return fmt.Sprintf("2027-09-06,Oona,row,%d,5,,%s\n", load, note)
	}
	for name, note := range map[string]string{
		"plain":         strings.Repeat("x", 10<<20),
		"quoted":        `"` + strings.Repeat("x", 10<<20) + `"`,
		"unclosed":      `"` + strings.Repeat("x", 10<<20),
		"lines":         `"` + strings.Repeat("another line\n", 800_000) + `"`,
		"open quote":    `"` + strings.Repeat("y", 100),
		"just too long": strings.Repeat("x", 1<<20-20),
	} {
		in := head + row(60, "") + row(61, note) + row(62, "") + row(63, `"ok"`)
		for _, workers := range []int{1, 2} {
			n, sum := 0, 0.0
			r := NewReader(Options{Workers: workers}, text(in))
			first := 0
			for b, err := range r.Batches() {
				if err != nil {
					t.Fatal(name, err)
				}
				n += len(b.Sets)
				for _, s := range b.Sets {
					sum += s.Load
				}
				if len(b.Bad) > 0 && first == 0 {
					first = b.Bad[0].Line
				}
			}
			if n != 3 || sum != 60+62+63 || first != 3 || r.Report().Bad < 1 {
				t.Errorf("%s: %d rows with loads of %v, first bad line %d, %d bad", name, n, sum, first, r.Report().Bad)
			}
		}
	}
}

func TestGzip(t *testing.T) {
	in := head + strings.Repeat("2027-09-06,Oona,row,60,5,,a note of some length\n", 20000)
	var z bytes.Buffer
	w := gzip.NewWriter(&z)
	io.WriteString(w, in)
	w.Close()
	got := readAll(NewReader(Options{}, Stream("log.gz", bytes.NewReader(z.Bytes()))))
	if got.Err != "" || len(got.Rows) != 20000 || len(got.Codes) != 1 || got.Codes[0] != "gzip" {
		t.Errorf("whole: %d rows, error %q, notices %v", len(got.Rows), got.Err, got.Codes)
	}
	var re *ReadError
	var err error
	n := 0
	for _, e := range NewReader(Options{}, Stream("log.gz", bytes.NewReader(z.Bytes()[:z.Len()/2]))).Rows() {
		if e == nil {
			n++
		}
		err = e
	}
	if !errors.As(err, &re) || !errors.Is(err, io.ErrUnexpectedEOF) || n < 100 || re.Line != n+1 {
		t.Errorf("cut off: %d rows, error %v", n, err)
	}
	if want := fmt.Sprintf("log.gz: after line %d: the file is packed with gzip and its end is missing", re.Line); err.Error() != want {
		t.Errorf("cut off: error %q, want %q", err, want)
	}
	const damaged = "log.gz: the file is packed with gzip and is damaged"
	bad := slices.Clone(z.Bytes())
	bad[len(bad)-5] ^= 1 // of the checksum
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"a header cut off":    {z.Bytes()[:5], "log.gz: the file is packed with gzip and its end is missing"},
		"two bytes alone":     {z.Bytes()[:2], "log.gz: the file is packed with gzip and its end is missing"},
		"a wrong method":      {[]byte("\x1f\x8b\x07\x00\x00\x00\x00\x00\x00\x03xxx"), damaged},
		"a wrong block":       {append(slices.Clone(z.Bytes()[:10]), 0xff, 0xff, 0xff, 0xff), damaged},
		"a wrong checksum":    {bad, "log.gz: after line 20001: the file is packed with gzip and is damaged"},
		"noise after a whole": {append(slices.Clone(z.Bytes()), "noise of some length"...), "log.gz: after line 20001: the file is packed with gzip and is damaged"},
	} {
		if got := readAll(NewReader(Options{}, Stream("log.gz", bytes.NewReader(c.data)))); got.Err != c.want {
			t.Errorf("%s: error %q, want %q", name, got.Err, c.want)
		}
	}
}

func TestSeveralFiles(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a.csv"), filepath.Join(dir, "b.csv")
	os.WriteFile(a, []byte(head+"2027-09-06,Oona,row,60,5,,\nbad\n"), 0o644)
	os.WriteFile(b, []byte("reps;load;lift;lifter;date\n3;70;row;Oona;2027-09-07\n4;70;row;Oona;2027-09-07"), 0o644)
	r := NewReader(Options{}, File(a), File(b))
	for range 2 { // read twice
		got := readAll(r)
		if len(got.Rows) != 3 || got.Rows[2].Line != 3 || got.Rows[2].File != b || got.Rows[0].File != a {
			t.Errorf("rows %+v", got.Rows)
		}
		want := Report{Rows: 3, Bad: 1, Files: []FileReport{{Name: a, Rows: 1, Bad: 1}, {Name: b, Rows: 2}}}
		rep := *r.Report()
		rep.Listed, rep.Notices = nil, nil
		if diff := cmp.Diff(want, rep); diff != "" {
			t.Errorf("report (-want +got):\n%s", diff)
		}
		var be *BadRowsError
		if !errors.As(r.Err(), &be) || be.Bad != 1 || be.Listed[0].Line != 3 {
			t.Errorf("error %v", r.Err())
		}
	}
	var re *ReadError
	for _, err := range NewReader(Options{}, File(a), File(filepath.Join(dir, "none.csv"))).Rows() {
		errors.As(err, &re)
	}
	if re == nil || !errors.Is(re, os.ErrNotExist) {
		t.Errorf("missing file: %v", re)
	}
}

func TestStreamTwice(t *testing.T) {
	in := head + strings.Repeat("2027-09-06,Oona,row,60,5,,\n", 1000)
	r := NewReader(Options{}, text(in))
	for row, err := range r.Rows() { // leave half-way
		if err != nil || row.Line > 500 {
			break
		}
	}
	if got := readAll(r); len(got.Rows) != 1000 {
		t.Errorf("second reading: %d rows", len(got.Rows))
	}
	long := head + strings.Repeat("2027-09-06,Oona,row,60,5,,"+strings.Repeat("x", 500)+"\n", streamKeep/500)
	r = NewReader(Options{}, text(long))
	readAll(r)
	if got := readAll(r); !strings.Contains(got.Err, ErrOnce.Error()) {
		t.Errorf("second reading of a long stream: %q", got.Err)
	}
}

func TestMaxNames(t *testing.T) {
	in := head
	for i := range 20 {
		in += fmt.Sprintf("2027-09-06,lifter %d,row,60,5,,\n", i)
	}
	got := readAll(NewReader(Options{MaxNames: 10}, text(in)))
	if !strings.Contains(got.Err, "more than 10 different lifters") {
		t.Errorf("got %q", got.Err)
	}
}

// TestBatchesAgreeWithRows: the two interfaces say the same, whatever the blocks.
func TestBatchesAgreeWithRows(t *testing.T) {
	in := messyLog(rand.New(rand.NewPCG(3, 4)), 3000)
	want := readAll(NewReader(Options{Workers: 1}, text(in)))
	if len(want.Rows) < 2000 || len(want.Bad) < 100 {
		t.Fatalf("%d rows, %d bad", len(want.Rows), len(want.Bad))
	}
	for _, size := range []int{1, 100, 1000, 5000, blockSize} {
		for _, workers := range []int{1, 2, 5} {
			r := NewReader(Options{Workers: workers}, text(in))
			r.opt.blockSize = size
			agree(t, want, r)
		}
	}
}

// agree reads the log in batches, and compares with its rows.
func agree(t *testing.T, want reading, r *Reader) {
	t.Helper()
	i := 0
	seen := int32(-1)
	failed := ""
	for b, err := range r.Batches() {
		if err != nil {
			failed = err.Error()
			break
		}
		for _, s := range b.Sets {
			if i == len(want.Rows) {
				t.Fatalf("blocks of %d: more than %d rows: %+v", r.opt.blockSize, i, s)
			}
			w := want.Rows[i]
			if int(s.Line) != w.Line || b.Lifter(s.Lifter) != w.Lifter || b.Lift(s.Lift) != w.Lift || s.Load != w.Load || int(s.Reps) != w.Reps || s.RIR != w.RIR ||
				int(s.Day) != w.Day || int(s.Count) != w.Count || s.Tested != w.Tested {
				t.Fatalf("blocks of %d: row %d: got %+v, want %+v", r.opt.blockSize, i, s, w)
			}
			if s.Lifter > seen+1 {
				t.Fatal("numbers of names do not follow their first appearance")
			}
			seen = max(seen, s.Lifter)
			i++
		}
	}
	if rep := r.Report(); i != len(want.Rows) || rep.Bad != want.Counts[1] || rep.Blank != want.Blank || failed != want.Err {
		t.Fatalf("blocks of %d: %d rows, %d bad, %d blank, error %q; want %d, %d, %d, %q", r.opt.blockSize, i, rep.Bad, rep.Blank, failed,
			len(want.Rows), want.Counts[1], want.Blank, want.Err)
	}
}

// TestBrief: wherever brief reads a number, fixed reads the same one; and it reads what loads look like.
func TestBrief(t *testing.T) {
	const chars = "0123456789.,;\n\r -+e/:\"\x00\xae\xff"
	rng := rand.New(rand.NewPCG(9, 10))
	took := 0
	for range 200_000 {
		b := make([]byte, 24)
		for i := range b {
			b[i] = chars[rng.IntN(len(chars))]
			if i < 9 && rng.IntN(4) > 0 {
				b[i] = chars[rng.IntN(11)]
			}
		}
		b[23] = '\n'
		mant, dec, end := brief(b, 0)
		if end == 0 {
			continue
		}
		took++
		if m, d, e := fixed(b, 0, '.'); uint64(m) != mant || d != dec || e != end {
			t.Fatalf("%q: %d/10^%d to %d, want %d/10^%d to %d", b, mant, dec, end, m, d, e)
		}
	}
	if took < 50_000 {
		t.Errorf("only %d numbers", took)
	}
	for _, text := range []string{"0", "5", "60", "142.5", "61.25", "5000", "0.125", "1234567", "000060"} {
		if _, _, end := brief([]byte(text+",5,,\n        "), 0); end != len(text) {
			t.Errorf("%s: read to %d", text, end)
		}
	}
}

// messyLog is a log with every kind of trouble in it.
func messyLog(rng *rand.Rand, rows int) string {
	var b strings.Builder
	b.WriteString(head)
	notes := []string{"", "", "", "belt", `"a, b"`, `"two` + "\n" + `lines"`, `"said ""no"""`, ` spaced `, "ümlaut"}
	var begin string
	for i := range rows {
		load := fmt.Sprintf("%.*f", rng.IntN(5), 40+rng.Float64()*100)
		reps := fmt.Sprint(rng.IntN(12))
		note := notes[rng.IntN(len(notes))]
		switch rng.IntN(100) {
		case 0:
			load = "NaN"
		case 1:
			reps = "x"
		case 2:
			note = `"unclosed`
		case 3:
			note = `stray"quote`
		case 4:
			note = `"quote"after`
		case 5:
			b.WriteString("\n")
		case 6:
			note = "too,many"
		case 7:
			b.WriteString(",,,,,,\n")
		}
		end := "\n"
		if rng.IntN(5) == 0 {
			end = "\r\n"
		}
		if begin == "" || rng.IntN(3) == 0 {
			begin = fmt.Sprintf("2027-%02d-%02d,lifter %d,lift %d", 1+i*12/rows, 1+rng.IntN(28), rng.IntN(30), rng.IntN(4))
		}
		rir := []string{"", "0", "1", "2.5", "3", "12"}[rng.IntN(6)]
		fmt.Fprintf(&b, "%s,%s,%s,%s,%s%s", begin, load, reps, rir, note, end)
	}
	return b.String()
}

// FuzzReader: whatever the bytes, nothing panics, no row is lost uncounted, and the
// rows depend neither on the size of the blocks, nor on the number of workers, nor on which of the two
// ways a row is read.
func FuzzReader(f *testing.F) {
	f.Add([]byte(head + "2027-09-06,Oona,row,60,5,,\"a\nb\"\n2027-09-07,Oona,row,61.5,5,1,x\n"))
	f.Add([]byte("date;lifter;lift;load;reps;unit;rpe\r\n2027-09-06;Oona;row;62,5;5;lb;8,5\r\n;;;;;;\r\n"))
	f.Add([]byte(head + "2027-09-06,Oona,row,60,5,,\"open\n2027-09-06,Oona,row,60,5,,\n2027-09-06,Oona,row,60,5,,\"x\",\"\n"))
	f.Add([]byte("\ufeff" + "lift,lifter,date,load,reps,minutes,effort,bodyweight\nrow,Oona,2027-09-06,60,5,60,7,70\n"))
	f.Add([]byte(head + "2027-09-06,\"O\"\"\",row,60,5,,\n2027-09-06,O\",row,60,5,,\n2027-09-06,O\",row,60,5,,\n"))
	f.Add([]byte(messyLog(rand.New(rand.NewPCG(5, 6)), 30)))
	f.Add([]byte(head + "\"2027-09-06\",\"Oona\",\"row\",\"60\",\"5\",\"\",\"\r\n\"\r\n\"\n\r,"))
	f.Fuzz(func(t *testing.T, in []byte) {
		if len(in) > 1<<16 {
			return
		}
		src := func() Source { return Stream("f", bytes.NewReader(in)) }
		want := readAll(NewReader(Options{Workers: 1, MaxRecord: 300}, src()))
		for _, r := range []*Reader{
			NewReader(Options{Workers: 1, MaxRecord: 300}, src()),
			NewReader(Options{Workers: 1, MaxRecord: 300}, src()),
			NewReader(Options{Workers: 2, MaxRecord: 300}, src()),
		} {
			switch {
			case r.opt.workers == 2:
				r.opt.blockSize = 64
			case want.Blank%2 == 0:
				r.opt.slow = true
			default:
				r.opt.blockSize = 1
			}
			got := readAll(r)
			if diff := cmp.Diff(want, got); diff != "" {
				t.Fatalf("blocks of %d, slow %v (-want +got):\n%s", r.opt.blockSize, r.opt.slow, diff)
			}
			agree(t, want, r)
		}
		if want.Counts != [2]int64{int64(len(want.Rows)), int64(len(want.Bad))} {
			t.Fatalf("counts %v for %d rows and %d bad", want.Counts, len(want.Rows), len(want.Bad))
		}
		for _, r := range want.Rows {
			if !(r.Load >= 0 && r.Load <= mostLoad*1.0001) || r.Reps < 0 || r.Count < 1 || !(r.RIR >= -1 && r.RIR <= mostRIR) || r.Lifter == "" || r.Lift == "" {
				t.Fatalf("row %+v", r)
			}
		}
	})
}

// FuzzAgainstCSV compares with the standard library's reader: wherever that finds no fault
// with the quotes, the records, their first lines and their fields are the same,
// but for what this reader refuses to take for one record.
func FuzzAgainstCSV(f *testing.F) {
	f.Add([]byte("2027-09-06,Oona,row,60,5,,\"a\nb\"\n2027-09-07,Oona,row,61.5,5,1,x\n"))
	f.Add([]byte("a,\"b\"\"c\",\"\",d\r\n\n\"x\r\ny\",z"))
	f.Add([]byte("\"a\"\r,b\n\r\n\"\""))
	f.Add([]byte("2027-09-06,Oona,row,60,5,,\"a\n2027-09-06,Oona,row,60,5,,\nb\"\n"))
	f.Add([]byte("a\r\r\nb\r"))
	f.Fuzz(func(t *testing.T, body []byte) {
		if len(body) > 1<<16 || bytes.IndexByte(body, 0) >= 0 {
			return
		}
		cr := csv.NewReader(bytes.NewReader(body))
		cr.FieldsPerRecord = -1
		s := splitter{delim: ',', limit: 1 << 20}
		p := 0
		line := 1
		for {
			rec, err := cr.Read()
			if err == io.EOF {
				break
			}
			if err != nil {
				return // faulty quotes: what to read next is this reader's own choice
			}
			// Empty lines are no records.
			for {
				n := lineEnd(body, p)
				if n < 0 || len(trimLine(body[p:n])) > 0 {
					break
				}
				p = n
				line++
			}
			end, kind := s.record(body, p, true)
			if kind != recordWhole {
				t.Fatalf("record %q: kind %d", rec, kind)
			}
			fs, at, ok := fields(nil, body[p:end], ',')
			if !ok {
				t.Fatalf("record %q: quote refused at %d", rec, at)
			}
			if first, _ := cr.FieldPos(0); first != line {
				t.Fatalf("record %q: line %d, want %d", rec, line, first)
			}
			var got []string
			for _, f := range fs {
				got = append(got, string(f.text))
			}
			if diff := cmp.Diff(rec, got); diff != "" {
				t.Fatalf("fields (-csv +got):\n%s", diff)
			}
			line += bytes.Count(body[p:end], []byte{'\n'})
			p = end
		}
		if rest := bytes.Trim(body[p:], "\r\n"); len(rest) > 0 {
			t.Fatalf("left over: %q", rest)
		}
	})
}

// TestAgainstCSV reads a long well-formed log with both readers.
func TestAgainstCSV(t *testing.T) {
	var in bytes.Buffer
	w := csv.NewWriter(&in)
	cols := []string{"note", "reps", "date", "load", "lift", "rir", "lifter"}
	w.Write(cols)
	rng := rand.New(rand.NewPCG(7, 8))
	notes := []string{"", "plain", "a,b", "two\nlines", `he said "go"`, "\"", "\n", "three\n\nlines, \"quoted\""}
	for range 5000 {
		w.Write([]string{notes[rng.IntN(len(notes))], fmt.Sprint(rng.IntN(20)), fmt.Sprintf("20%02d-%02d-%02d", rng.IntN(60), 1+rng.IntN(12), 1+rng.IntN(28)),
			fmt.Sprintf("%.*f", rng.IntN(4), rng.Float64()*300), fmt.Sprintf("lift %d", rng.IntN(9)), fmt.Sprint(rng.IntN(6)), fmt.Sprintf("lifter, %d", rng.IntN(300))})
	}
	w.Flush()
	recs, err := csv.NewReader(bytes.NewReader(in.Bytes())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	r := NewReader(Options{Workers: 2}, Stream("x", &in))
	r.opt.blockSize = 2000
	i := 1
	for row, err := range r.Rows() {
		if err != nil {
			t.Fatal(err)
		}
		rec := recs[i]
		i++
		got := []string{row.Note, fmt.Sprint(row.Reps), row.Date().Format("2006-01-02"), "", row.Lift, fmt.Sprint(row.RIR), row.Lifter}
		var load float64
		fmt.Sscan(rec[3], &load)
		if load != row.Load {
			t.Fatalf("row %d: load %v, want %s", i, row.Load, rec[3])
		}
		want := append([]string(nil), rec...)
		want[3] = ""
		want[0] = strings.TrimSpace(want[0])
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("row %d (-csv +got):\n%s", i, diff)
		}
	}
	if i != len(recs) {
		t.Errorf("%d records, want %d", i, len(recs))
	}
}

func BenchmarkReader(b *testing.B) {
	for _, n := range []int{1000, 100_000} {
		var sb strings.Builder
		sb.WriteString(head)
		rng := rand.New(rand.NewPCG(1, 1))
		for i := range n {
			fmt.Fprintf(&sb, "20%02d-%02d-%02d,lifter %d,lift %d,%d.5,%d,%d,\n", 27+i*10/n, 1+rng.IntN(12), 1+rng.IntN(28), i/10%500, i/5%8, 60+rng.IntN(100), 1+rng.IntN(12), rng.IntN(5))
		}
		in := sb.String()
		b.Run(fmt.Sprintf("batches/rows=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(in)))
			for b.Loop() {
				for _, err := range NewReader(Options{}, text(in)).Batches() {
					if err != nil {
						b.Fatal(err)
					}
				}
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
		})
		b.Run(fmt.Sprintf("rows/rows=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(in)))
			for b.Loop() {
				for _, err := range NewReader(Options{}, text(in)).Rows() {
					if err != nil {
						b.Fatal(err)
					}
				}
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
		})
	}
}

// A caller's panic ends the reading: nobody goes on reading behind it.
func TestPanicOfTheCaller(t *testing.T) {
	in := head + strings.Repeat("2027-09-06,Oona,row,60,5,2,\n", 50_000)
	before := runtime.NumGoroutine()
	for range 5 {
		func() {
			defer func() {
				if recover() != "enough" {
					t.Error("the panic was lost")
				}
			}()
			r := NewReader(Options{Workers: 4}, text(in))
			r.opt.blockSize = 1000
			for range r.Batches() {
				panic("enough")
			}
		}()
	}
	for range 100 { // the last one closes a channel
		if runtime.NumGoroutine() <= before {
			return
		}
		runtime.Gosched()
		time.Sleep(time.Millisecond)
	}
	t.Errorf("%d goroutines, %d before", runtime.NumGoroutine(), before)
}

// A rating and a reserve agree where they differ by rounding alone.
func TestRatingBesideReserve(t *testing.T) {
	h := "date,lifter,lift,load,reps,rir,rpe\n"
	for row, want := range map[string]string{
		"2027-01-01,A,squat,100,5,0.4,9.6": "", "2027-01-01,A,squat,100,5,2,8": "", "2027-01-01,A,squat,100,5,0.1,9.9": "",
		"2027-01-01,A,squat,100,5,2,8.5": "want 10 less the rir of the same row, 8",
	} {
		got := readAll(NewReader(Options{}, text(h+row+"\n")))
		if want == "" && (len(got.Rows) != 1 || len(got.Bad) > 0) || want != "" && (len(got.Bad) != 1 || !strings.Contains(got.Bad[0], want)) {
			t.Errorf("%s: %+v", row, got)
		}
	}
}
