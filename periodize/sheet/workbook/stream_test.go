package workbook_test

import (
	"fmt"
	"io"
	"runtime"
	"testing"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
	"github.com/blockwright/blockwright/periodize/sheet/workbook"
)

// held is the memory that is in use after each plan that is a multiple of every.
func held(t testing.TB, prog *periodize.Program, plans, every int) []uint64 {
	t.Helper()
	var out []uint64
	r, err := workbook.New(io.Discard, sheet.Options{Stamp: stamp})
	if err != nil {
		t.Fatal(err)
	}
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

// A workbook keeps the names of its sheets and no more of them.
func TestStreams(t *testing.T) {
	m := held(t, example.Program(t), 45, 15)
	// A lifter's sheet is about 100 kB; 30 of them would be 3 MB.
	if m[2] > m[0]+512<<10 {
		t.Errorf("%d kB in use after 15 lifters, %d kB after 45", m[0]>>10, m[2]>>10)
	}
}

// BenchmarkWorkbook writes lifters x 12 weeks of 4 days, 6 exercises and 5
// sets. held-MB is the most memory in use between two plans.
func BenchmarkWorkbook(b *testing.B) {
	prog := example.Large(b, 12)
	for _, lifters := range []int{10, 100, 1000} {
		b.Run(fmt.Sprintf("lifters=%d", lifters), func(b *testing.B) {
			b.ReportAllocs()
			most := uint64(0)
			for b.Loop() {
				for _, m := range held(b, prog, lifters, lifters/10) {
					most = max(most, m)
				}
			}
			b.ReportMetric(float64(most)/1e6, "held-MB")
		})
	}
}
