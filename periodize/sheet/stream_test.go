package sheet_test

import (
	"fmt"
	"io"
	"runtime"
	"testing"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
)

// held is the memory that is in use after each plan that is a multiple of
// every, the plans' own aside, which are gone by then.
func held(t testing.TB, r sheet.Renderer, prog *periodize.Program, plans, every int) []uint64 {
	t.Helper()
	var out []uint64
	if err := r.Begin(prog.Block()); err != nil {
		t.Fatal(err)
	}
	for i := range plans {
		if err := r.Plan(prog.Plan(i % prog.Len())); err != nil {
			t.Fatal(err)
		}
		if (i+1)%every == 0 {
			runtime.GC()
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			out = append(out, m.HeapAlloc)
		}
	}
	if err := r.End(); err != nil {
		t.Fatal(err)
	}
	return out
}

// What a renderer holds does not grow with the lifters it has written.
func TestStreams(t *testing.T) {
	prog := example.Program(t)
	for _, f := range sheet.Formats() {
		r, err := sheet.New(f, io.Discard, sheet.Options{Stamp: stamp})
		if err != nil {
			t.Fatal(err)
		}
		m := held(t, r, prog, 160, 40)
		// A lifter's page is about 50 kB of HTML; 120 of them would be 6 MB.
		if m[3] > m[0]+1<<20 {
			t.Errorf("%s: %d kB in use after 40 lifters, %d kB after 160", f, m[0]>>10, m[3]>>10)
		}
	}
}

// BenchmarkSheets writes 1,000 lifters x 12 weeks of 4 days and 6 exercises.
// held-MB is the most memory in use between two plans.
func BenchmarkSheets(b *testing.B) {
	prog := example.Large(b, 12)
	sets := 0
	for _, s := range prog.Plan(0).Sessions {
		for _, e := range s.Exercises {
			sets += len(e.Sets)
		}
	}
	for _, f := range sheet.Formats() {
		for _, lifters := range []int{100, 1000} {
			b.Run(fmt.Sprintf("%s/lifters=%d", f, lifters), func(b *testing.B) {
				b.ReportAllocs()
				most := uint64(0)
				for b.Loop() {
					r, err := sheet.New(f, io.Discard, sheet.Options{Stamp: stamp})
					if err != nil {
						b.Fatal(err)
					}
					for _, m := range held(b, r, prog, lifters, 100) {
						most = max(most, m)
					}
				}
				b.ReportMetric(float64(most)/1e6, "held-MB")
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(lifters*sets), "ns/set")
			})
		}
	}
}

// BenchmarkCSV writes the columns of a plain table of weights, from a plan that
// is there already.
func BenchmarkCSV(b *testing.B) {
	prog := example.Large(b, 12)
	p := prog.Plan(0)
	sets := 0
	for _, s := range p.Sessions {
		for _, e := range s.Exercises {
			sets += len(e.Warmup) + len(e.Sets)
		}
	}
	r, err := sheet.New(sheet.CSV, io.Discard, sheet.Options{Columns: []string{"lifter", "week", "session", "lift", "set", "reps", "load"}})
	if err != nil {
		b.Fatal(err)
	}
	if err := r.Begin(prog.Block()); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := r.Plan(p); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(sets), "ns/row")
}
