package logbook

import (
	"runtime"
	"sync"
)

// streamLength is how many states of the generator one resample has for itself.
const streamLength = 1 << 36

// randoms is a stream of random numbers: SplitMix64 (Steele GL, Lea D, Flood CH. OOPSLA
// 2014:453-472; citation from memory), whose state is a counter. State i of the generator of a
// seed is seed + i*gamma modulo 2^64, and gamma is odd, so that no two of its
// 2^64 states are the same. Resample k runs through the states from
// k*streamLength on and uses fewer than streamLength of them; streams of one seed
// therefore never overlap, in whatever order or on however many processors they are drawn.
type randoms struct{ state uint64 }

const gamma = 0x9e3779b97f4a7c15

func newStream(seed, k uint64) randoms {
	return randoms{seed + k*streamLength*gamma}
}

func (s *randoms) next() uint64 {
	s.state += gamma
	z := s.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// counts draws n of n with replacement and counts how often each came: Lemire D. ACM
// Trans Model Comput Simul 2019;29:3 (citation from memory), which is exact, with two draws from one state.
func (s *randoms) counts(dst []uint32) {
	n := uint32(len(dst))
	clear(dst)
	limit := -n % n
	var hi uint32
	have := false
	for drawn := uint32(0); drawn < n; {
		var x uint32
		if have {
			x, have = hi, false
		} else {
			z := s.next()
			x, hi, have = uint32(z), uint32(z>>32), true
		}
		m := uint64(x) * uint64(n)
		if uint32(m) < limit {
			continue
		}
		dst[uint32(m>>32)]++
		drawn++
	}
}

// mostResamples keeps the streams of a seed within its 2^64 states.
const mostResamples = 1 << 20

// Resample draws whole clusters with replacement, as many as there are, and adds up
// their sums, for each of a number of resamples. The sums of cluster i are sums[i*columns : (i+1)*columns],
// those of resample k come back in [k*columns : (k+1)*columns]. The result depends on the seed alone,
// not on the number of workers (0: one for each processor). The random streams of the
// resamples of one seed do not overlap.
func Resample(sums []float64, columns, resamples int, seed uint64, workers int) []float64 {
	if columns < 1 || len(sums) < columns || resamples < 1 {
		return nil
	}
	resamples = min(resamples, mostResamples)
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	n := len(sums) / columns
	lanes := interleave(sums, columns)
	out := make([]float64, resamples*columns)
	workers = min(workers, resamples)
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			counts := make([]uint32, n)
			drawn := [2][]float64{make([]float64, n), make([]float64, n)}
			for k, to := w*resamples/workers, (w+1)*resamples/workers; k < to; k += 2 {
				for i := range drawn {
					if k+i == to {
						clear(drawn[i])
						continue
					}
					s := newStream(seed, uint64(k+i))
					s.counts(counts)
					for j, c := range counts {
						drawn[i][j] = float64(c)
					}
				}
				var second []float64
				first := out[k*columns : (k+1)*columns]
				if k+1 < to {
					second = out[(k+1)*columns : (k+2)*columns]
				}
				weigh(first, second, lanes, drawn[0], drawn[1])
			}
		})
	}
	wg.Wait()
	return out
}

// lane is the sums of four columns.
type lane [4]float64

// interleave puts the columns, four at a time, one lane after the other.
func interleave(sums []float64, columns int) []lane {
	n := len(sums) / columns
	lanes := make([]lane, n*((columns+3)/4))
	for i := range n {
		for j, v := range sums[i*columns : (i+1)*columns] {
			lanes[j/4*n+i][j%4] = v
		}
	}
	return lanes
}

// weigh adds up the sums of two resamples, given how often each cluster was drawn. Four columns
// of two resamples at a time, because their sums then stay in registers.
func weigh(first, second []float64, lanes []lane, a, b []float64) {
	n := len(a)
	b = b[:n]
	for at := 0; at < len(first); at += 4 {
		var a0, a1, a2, a3, b0, b1, b2, b3 float64
		l := lanes[at/4*n:][:n]
		for i := range l {
			x, y, v := a[i], b[i], &l[i]
			a0 += x * v[0]
			a1 += x * v[1]
			a2 += x * v[2]
			a3 += x * v[3]
			b0 += y * v[0]
			b1 += y * v[1]
			b2 += y * v[2]
			b3 += y * v[3]
		}
		copy(first[at:], []float64{a0, a1, a2, a3})
		if second != nil {
			copy(second[at:], []float64{b0, b1, b2, b3})
		}
	}
}
