package workload_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"

	w "github.com/blockwright/blockwright/periodize/workload"
)

func benchSets(n int) []w.Set {
	patterns := []string{"hinge", "push-vertical", "squat"}
	shares := []w.Share{{"glutes", 1}, {"hamstrings", 1}, {"quads", 0.5}}
	out := make([]w.Set, n)
	for i := range out {
		out[i] = w.Set{Count: 1 + i%5, Reps: 1 + i%12, Load: 40 + float64(i%200), Max: 250, Pattern: patterns[i%3], Muscles: shares}
	}
	return out
}

func BenchmarkTotalsAdd(b *testing.B) {
	for _, n := range []int{100, 10_000} {
		sets := benchSets(n)
		b.Run(fmt.Sprintf("sets=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				var t w.Totals
				for _, s := range sets {
					if err := t.Add(s); err != nil {
						b.Fatal(err)
					}
				}
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "sets/s")
		})
	}
}

func BenchmarkTotalsMerge(b *testing.B) {
	a, o := sum(b, benchSets(100)...), sum(b, benchSets(100)...)
	b.ReportAllocs()
	for b.Loop() {
		if err := a.Merge(*o); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMarshal(b *testing.B) {
	t := sum(b, benchSets(1000)...)
	b.Run("binary", func(b *testing.B) {
		b.ReportAllocs()
		var buf []byte
		for b.Loop() {
			buf, _ = t.AppendBinary(buf[:0])
		}
	})
	b.Run("json", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := json.Marshal(t); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkReserves(b *testing.B) {
	for _, n := range []int{1, 5, 20} {
		sets := slices.Repeat([]w.WorkSet{{Reps: 5, Rest: 180}}, n)
		sets[0].Fresh = w.Capacity{Mean: 8.5, SD: 2}
		b.Run(fmt.Sprintf("sets=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			var m w.Recovery
			var buf []w.Reserve
			for b.Loop() {
				var err error
				if buf, err = m.AppendReserves(buf[:0], sets); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSession(b *testing.B) {
	es := []w.TimedExercise{warmed(straight(5, 5, 4, 180), 4), warmed(straight(4, 6, 3, 150), 3), straight(3, 10, 3, 90), straight(3, 12, 3, 90)}
	es[2].Pair, es[3].Pair = "A", "A"
	b.ReportAllocs()
	for b.Loop() {
		if _, err := (w.TimeModel{}).Session(es); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRatios(b *testing.B) {
	days := slices.Repeat(steady, 13) // a year
	b.Run("rolling", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := w.RollingRatios(days, w.Coupled, w.Windows{}); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("ewma", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := w.EWMARatios(days, w.FirstLoad, w.Windows{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
