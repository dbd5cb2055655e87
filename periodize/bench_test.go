package periodize

import (
	"fmt"
	"testing"

	"github.com/blockwright/blockwright/plates"
)

// bigBlock is twelve weeks of four sessions of six exercises of five sets:
// 1,440 sets.
func bigBlock() *Block {
	b := &Block{Title: "twelve weeks", Weeks: 12}
	for e := range 6 {
		b.Lifts = append(b.Lifts, Lift{Name: fmt.Sprintf("lift %d", e+1), Pattern: Squat, Uses: "bar"})
	}
	for d := range 4 {
		s := Session{Name: fmt.Sprintf("day %d", d+1)}
		for e := range 6 {
			w := make(WeekTrack, 12)
			for k := range w {
				w[k].Value = ratio(int64(600+15*k-25*(((k+1)*(d+1)+e)%4)), 10)
			}
			s.Work = append(s.Work, Item{Lift: b.Lifts[e].Name,
				Work: Work{Sets: Fixed(5), Reps: Fixed(float64(3 + (e+d)%6)), Weight: Percent(w)}, Spread: ratio(8, 1)})
		}
		b.Sessions = append(b.Sessions, s)
	}
	return b
}

func bigRoster(n int) *Roster {
	r := &Roster{Gyms: []Gym{smallGym()}}
	for i := range n {
		l := Lifter{Name: fmt.Sprintf("lifter %d", i+1)}
		for e := range 6 {
			l.Maxes = append(l.Maxes, MaxEntry{Lift: fmt.Sprintf("lift %d", e+1), Tested: plates.Mass(60+(i*7+e*13)%90) * kg})
		}
		r.Lifters = append(r.Lifters, l)
	}
	return r
}

// BenchmarkPlan is the plan of one lifter after another; ns/set is what one
// prescribed set costs.
func BenchmarkPlan(b *testing.B) {
	for _, n := range []int{1, 10, 100, 1000} {
		b.Run(fmt.Sprintf("lifters=%d", n), func(b *testing.B) {
			prog, err := Compile(bigBlock(), bigRoster(n))
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			sets := 0
			for b.Loop() {
				sets = 0
				for p := range prog.Plans() {
					for _, s := range p.Sessions {
						for _, ex := range s.Exercises {
							sets += len(ex.Sets)
						}
					}
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(sets), "ns/set")
		})
	}
}

// BenchmarkCompile is checking a block against a roster and preparing it.
func BenchmarkCompile(b *testing.B) {
	for _, n := range []int{10, 1000} {
		b.Run(fmt.Sprintf("lifters=%d", n), func(b *testing.B) {
			block, r := bigBlock(), bigRoster(n)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Compile(block, r); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
