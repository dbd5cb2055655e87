package blockfile_test

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize/blockfile"
)

func BenchmarkReadBlock(b *testing.B) {
	data, err := os.ReadFile("testdata/good/autumn-block.yaml")
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := blockfile.ReadBlock("block.yaml", bytes.NewReader(data)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteBlock(b *testing.B) {
	block := mustReadBlock(b, "testdata/good/autumn-block.yaml")
	b.ReportAllocs()
	for b.Loop() {
		if err := blockfile.WriteBlock(io.Discard, block); err != nil {
			b.Fatal(err)
		}
	}
}

// The time of a lifter stays the same however many there are.
func BenchmarkReadRoster(b *testing.B) {
	for _, n := range []int{10, 100, 1000, 10_000} {
		b.Run(fmt.Sprintf("lifters=%d", n), func(b *testing.B) {
			data := largeRoster(n)
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := blockfile.ReadRoster("roster.yaml", strings.NewReader(data)); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/lifter")
		})
	}
}

func largeRoster(n int) string {
	var s strings.Builder
	s.WriteString("gym: {units: kg, bars: {bar: 20}, plates: {20: 4}}\nlifters:\n")
	for i := range n {
		fmt.Fprintf(&s, "  - name: Lifter %d\n    level: novice\n    bodyweight: %d.5\n    maxes: {deadlift: {load: %d, reps: 5, rir: 1.5, date: 2027-03-01}, press: %d}\n    volume: 90\n", i, 60+i%50, 80+i%90, 40+i%30)
	}
	return s.String()
}
