package blockfile_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize/blockfile"
)

// Any bytes are read without a panic; what is refused is refused with places;
// what is read, written and read again is equal.

func FuzzReadBlock(f *testing.F) { fuzz(f, "block", blockfile.ReadBlock, blockfile.WriteBlock) }

func FuzzReadRoster(f *testing.F) { fuzz(f, "roster", blockfile.ReadRoster, blockfile.WriteRoster) }

func FuzzReadBrief(f *testing.F) { fuzz(f, "brief", blockfile.ReadBrief, blockfile.WriteBrief) }

func fuzz[T any](f *testing.F, kind string, read reading[T], write writing[T]) {
	for _, name := range goodFiles(f, kind) {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(data))
	}
	for _, c := range readWrong(f, "testdata/wrong.txt") {
		if c.kind == kind {
			f.Add(c.text(f))
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, err := read("fuzz.yaml", strings.NewReader(text))
		if err == nil {
			if _, _, problem := again(v, read, write); problem != "" {
				t.Error(problem)
			}
			return
		}
		var all blockfile.Errors
		if !errors.As(err, &all) {
			t.Fatalf("%T: %v", err, err)
		}
		for _, e := range all {
			if e.Msg == "" || e.Pos.File != "fuzz.yaml" || e.Pos.Line < 1 || e.Pos.Column < 1 {
				t.Errorf("an error without its place: %#v", e)
			}
		}
	})
}
