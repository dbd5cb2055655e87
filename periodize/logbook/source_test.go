package logbook

import (
	"errors"
	"io"
	"strings"
	"testing"
)

// A source that gives nothing is an error with its name, whoever reads it.
func TestNilSources(t *testing.T) {
	for _, s := range []Source{
		Opener("n", func() (io.ReadCloser, error) { return nil, nil }),
		Stream("n", nil),
		{},
	} {
		for _, workers := range []int{1, 4} {
			got := readAll(NewReader(Options{Workers: workers}, s))
			if got.Err == "" || s.Name() != "" && !strings.HasPrefix(got.Err, "n: ") {
				t.Errorf("%d workers: %q", workers, got.Err)
			}
		}
	}
	var re *ReadError
	for _, err := range NewReader(Options{}, Stream("n", nil)).Batches() {
		if !errors.As(err, &re) || re.File != "n" {
			t.Errorf("got %v, want a *ReadError", err)
		}
	}
}

type panicking struct{ n int }

func (p *panicking) Read(b []byte) (int, error) {
	if p.n--; p.n < 0 {
		panic("a reader's own trouble")
	}
	return copy(b, head+"2027-03-01,Wren,squat,60,5,,\n"), nil
}

// What a source panics with reaches whoever reads, who may recover from it.
func TestSourcePanics(t *testing.T) {
	for _, workers := range []int{1, 4} {
		for before := range 3 {
			func() {
				defer func() {
					if v := recover(); v != "a reader's own trouble" {
						t.Errorf("%d workers, %d: recovered %v", workers, before, v)
					}
				}()
				readAll(NewReader(Options{Workers: workers}, Stream("n", &panicking{before})))
				t.Errorf("%d workers, %d: no panic", workers, before)
			}()
		}
	}
}
