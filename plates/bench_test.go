package plates

import (
	"fmt"
	"sync"
	"testing"
)

// benchBar is a 20 kg bar with seven kinds of plate and record discs: 25 kg
// times four a side and one each of 20, 15, 10, 5, 2.5, 1.25, 0.5 and 0.25 kg.
func benchBar(b testing.TB) *Loads {
	inv := Inventory{{Plate{25 * Kilogram, KG}, 8}}
	for _, g := range []Mass{20_000, 15_000, 10_000, 5000, 2500, 1250, 500, 250} {
		inv = append(inv, Stock{Plate{g * Gram, KG}, 2})
	}
	l, err := NewLoads(Bar{Mass: 20 * Kilogram}, inv)
	if err != nil {
		b.Fatal(err)
	}
	return l
}

// mixedGym is a rich stock of kilogram and pound plates, with no useful common
// step.
func mixedGym() (Bar, Inventory) {
	var inv Inventory
	for _, g := range []Mass{25_000, 20_000, 15_000, 10_000, 5000, 2500, 1250} {
		inv = append(inv, Stock{Plate{g * Gram, KG}, 4})
	}
	for _, q := range []Mass{180, 100, 40, 20, 10} { // quarter pounds
		inv = append(inv, Stock{Plate{q * Pound / 4, LB}, 4})
	}
	return Bar{Mass: 20 * Kilogram}, inv
}

func BenchmarkNewLoads(b *testing.B) {
	for _, id := range []string{"KG-HOME", "KG-COMP-M", "KG-PL", "MIX-BOTH"} {
		g := gymNamed(b, id)
		b.Run(id, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := NewLoads(g.bar, g.inv); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("mixed", func(b *testing.B) {
		b.ReportAllocs()
		bar, inv := mixedGym()
		var n int
		for b.Loop() {
			l, err := NewLoads(bar, inv)
			if err != nil {
				b.Fatal(err)
			}
			n = l.Len()
		}
		b.ReportMetric(float64(n), "totals")
	})
}

func BenchmarkRound(b *testing.B) {
	l := benchBar(b)
	b.ReportAllocs()
	p := Ratio{115, 1}
	for b.Loop() {
		l.Round((142 * Kilogram).Percent(p), Nearest)
	}
}

func BenchmarkPerSide(b *testing.B) {
	l := benchBar(b)
	b.ReportAllocs()
	for b.Loop() {
		l.PerSide(188 * Kilogram)
	}
}

// A roster of 10,000 lifters with six maxima each, and 240 sets a lift at 55 to
// 95 per cent: 14.4 million roundings, on one goroutine and on two.
func BenchmarkRoster(b *testing.B) {
	const lifters, lifts, sets = 10_000, 6, 240
	percents := make([]Ratio, sets)
	for i := range percents {
		percents[i], _ = NewRatio(int64(550+(i*37)%401), 10)
	}
	bar, inv := mixedGym()
	mixed, err := NewLoads(bar, inv)
	if err != nil {
		b.Fatal(err)
	}
	for _, t := range []struct {
		name string
		l    *Loads
	}{{"kg", benchBar(b)}, {"mixed", mixed}} {
		for _, workers := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s-%d", t.name, workers), func(b *testing.B) {
				p := t.l.Prepare(percents, NearestUp)
				b.ReportAllocs()
				for b.Loop() {
					var wg sync.WaitGroup
					for w := range workers {
						wg.Go(func() {
							dst := make([]int32, 0, sets)
							for i := w * lifters * lifts / workers; i < (w+1)*lifters*lifts/workers; i++ {
								dst = p.Indexes(dst, Mass(80+i%321)*Kilogram/2) // 40 to 200 kg in half kilograms
							}
						})
					}
					wg.Wait()
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/(lifters*lifts*sets), "ns/set")
			})
		}
	}
}

// session is a list of a hundred loads in kilograms, a random walk between
// lifters and back-off sets (made up); shorter lists are its beginning.
var session = [...]float64{60, 65, 70, 77.5, 72.5, 57.5, 62.5, 47.5, 62.5, 67.5, 80, 75, 82.5, 85, 92.5, 72.5, 65, 72.5, 87.5, 100, 107.5, 122.5, 132.5, 137.5, 152.5, 142.5, 157.5, 170, 152.5, 142.5, 135, 137.5, 150, 137.5, 140, 147.5, 160, 175, 187.5, 172.5, 175, 180, 182.5, 175, 155, 165, 180, 185, 197.5, 210, 187.5, 170, 175, 180, 165, 167.5, 162.5, 167.5, 182.5, 175, 185, 190, 170, 185, 195, 187.5, 197.5, 212.5, 197.5, 182.5, 162.5, 142.5, 155, 165, 177.5, 162.5, 167.5, 150, 160, 175, 177.5, 190, 195, 207.5, 212.5, 217.5, 227.5, 240, 120, 112.5, 127.5, 140, 152.5, 167.5, 172.5, 187.5, 182.5, 190, 167.5, 172.5}

// richBar is a 20 kg bar with twelve denominations: 25 kg four times a side and
// one pair each of the others.
func richBar(b testing.TB) *Loads {
	inv := Inventory{{Plate{25 * Kilogram, KG}, 8}}
	for _, g := range []Mass{20_000, 15_000, 10_000, 5000, 2500, 2000, 1500, 1250, 1000, 500, 250} {
		inv = append(inv, Stock{Plate{g * Gram, KG}, 2})
	}
	l, err := NewLoads(Bar{Mass: 20 * Kilogram}, inv)
	if err != nil {
		b.Fatal(err)
	}
	return l
}

func sessionTargets(b testing.TB, n int) []Target {
	out := make([]Target, n)
	for i := range out {
		m, err := MassOf(session[i], KG)
		if err != nil {
			b.Fatal(err)
		}
		out[i].Mass = m
	}
	return out
}

func BenchmarkSequence(b *testing.B) {
	l := richBar(b)
	for _, order := range []Order{Descending, Free} {
		for _, n := range []int{12, 30, 60, 100} {
			targets := sessionTargets(b, n)
			b.Run(fmt.Sprintf("%v-%d", order, n), func(b *testing.B) {
				b.ReportAllocs()
				var moves int
				for b.Loop() {
					s, err := l.Sequence(targets, SequenceOptions{Order: order})
					if err != nil || !s.Proven {
						b.Fatal(err, s)
					}
					moves = s.Moves
				}
				b.ReportMetric(float64(moves), "moves")
			})
		}
	}
	// One bar, many sessions: what was found for one total serves again.
	b.Run("desc-60-again", func(b *testing.B) {
		b.ReportAllocs()
		s, targets := NewSequencer(l), sessionTargets(b, 60)
		for b.Loop() {
			if _, err := s.Sequence(targets, SequenceOptions{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// Lifters on one bar: the best order and loading.
func BenchmarkShare(b *testing.B) {
	l := gymNamed(b, "KG-CLUB").loads(b)
	for _, c := range []struct {
		lifters, rounds int
		order           Order
	}{{3, 3, Descending}, {5, 5, Descending}, {8, 3, Descending}, {8, 5, Descending}, {3, 3, Free}, {4, 4, Free}} {
		b.Run(fmt.Sprintf("%v-%dx%d", c.order, c.lifters, c.rounds), func(b *testing.B) {
			b.ReportAllocs()
			sets := crew(c.lifters, c.rounds)
			for b.Loop() {
				s, err := l.Share(sets, ShareOptions{Sequence: SequenceOptions{Order: c.order}})
				if err != nil || !s.Sequence.Proven {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkTogether(b *testing.B) {
	_, inv := mixedGym()
	for n := 2; n <= 4; n++ {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			want := bars(100*Kilogram, 140*Kilogram, 82*Kilogram, 61*Kilogram)[:n]
			proven := 0.0
			for b.Loop() {
				f, err := Together(inv, want, TogetherOptions{})
				if err != nil {
					b.Fatal(err)
				}
				if proven = 0; f.Proven {
					proven = 1
				}
			}
			b.ReportMetric(proven, "proven")
		})
	}
}

func BenchmarkWarmup(b *testing.B) {
	l := gymNamed(b, "KG-CLUB").loads(b)
	s := NewSequencer(l)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Warmup(120*Kilogram, WarmupOptions{BarFirst: true}); err != nil {
			b.Fatal(err)
		}
	}
}
