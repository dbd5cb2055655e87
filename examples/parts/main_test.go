package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/examples/logs/invent"
	"github.com/blockwright/blockwright/periodize/logbook"
)

// parts cuts an invented log into files with lifters, weeks and sessions across the cuts.
func parts(t *testing.T) []string {
	t.Helper()
	var log bytes.Buffer
	if err := invent.Write(&log, invent.Options{Rows: 900, Lifters: 2, Seed: 7}); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&log).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	var files []string
	for rows := range slices.Chunk(rows[1:], 250) {
		file := filepath.Join(dir, fmt.Sprintf("part%d.csv", len(files)))
		f, err := os.Create(file)
		if err != nil {
			t.Fatal(err)
		}
		f.WriteString(invent.Header)
		if err := csv.NewWriter(f).WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
	}
	return files
}

const want = `Bram, barbell row: 81 sets, 31542 kg moved, maximum 95.5 (92.0 to 99.2)
Bram, floor press: 76 sets, 35980 kg moved, maximum 94.5 (91.1 to 98.2)
Bram, front squat: 107 sets, 54995 kg moved, maximum 107.0 (104.2 to 109.8)
Bram, push press: 69 sets, 28169 kg moved, maximum 74.8 (71.7 to 78.1)
Bram, split squat: 60 sets, 17156 kg moved, maximum 60.2 (58.2 to 62.3)
Bram, trap-bar deadlift: 89 sets, 59230 kg moved, maximum 157.3 (153.7 to 161.0)
Oona, barbell row: 60 sets, 33260 kg moved, maximum 117.9 (114.2 to 121.7)
Oona, floor press: 82 sets, 63545 kg moved, maximum 147.4 (143.9 to 151.0)
Oona, front squat: 50 sets, 31088 kg moved, maximum 151.1 (146.4 to 155.9)
Oona, push press: 72 sets, 36366 kg moved, maximum 97.4 (94.7 to 100.2)
Oona, split squat: 80 sets, 36384 kg moved, maximum 107.0 (102.5 to 111.7)
Oona, trap-bar deadlift: 56 sets, 53745 kg moved, maximum 237.1 (230.6 to 243.7)
`

func TestPartsAreTheWhole(t *testing.T) {
	files := parts(t)
	var sums []string
	var sources []logbook.Source
	for _, file := range files {
		if err := mapFile(file); err != nil {
			t.Fatal(err)
		}
		sums = append(sums, file+".json")
		sources = append(sources, logbook.File(file))
	}
	if len(files) != 4 {
		t.Fatalf("%d files, want 4", len(files))
	}

	// All files read as one log.
	s, err := logbook.Summarise(logbook.NewReader(logbook.Options{}, sources...))
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	whole := filepath.Join(t.TempDir(), "whole.json")
	if err := os.WriteFile(whole, b, 0o666); err != nil {
		t.Fatal(err)
	}

	backwards := slices.Clone(sums)
	slices.Reverse(backwards)
	for name, files := range map[string][]string{"the parts": sums, "the parts backwards": backwards, "the whole": {whole}} {
		var out strings.Builder
		if err := combine(&out, files); err != nil {
			t.Fatal(err)
		}
		if out.String() != want {
			t.Errorf("%s: got\n%s\nwant\n%s", name, out.String(), want)
		}
	}
}

func TestWrongFiles(t *testing.T) {
	dir := t.TempDir()
	for text, want := range map[string]string{
		"date,lifter,lift,load,reps\n2027-01-04,Ivo,push press,5O,5\n": "x:2:27: load: want a load from 0 to 5000 kg",
		"date,lifter\n": "x:1: ",
	} {
		file := filepath.Join(dir, "x")
		if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		if err := mapFile(file); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("map of %q: %v, want %q", text, err, want)
		}
		if _, err := os.Stat(file + ".json"); err == nil {
			t.Errorf("map of %q left a file behind", text)
		}
		if err := combine(&strings.Builder{}, []string{file}); err == nil || !strings.Contains(err.Error(), "x: ") {
			t.Errorf("combine of %q: %v, want an error with the file's name", text, err)
		}
	}
	if err := combine(&strings.Builder{}, []string{filepath.Join(dir, "none.json")}); err == nil {
		t.Error("combine of no file: no error")
	}
}
