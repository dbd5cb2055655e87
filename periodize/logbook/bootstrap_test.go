package logbook

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestStreamsApart: a state of the generator is seed + i*gamma, and the streams of two resamples
// are ranges of i that cannot meet: gamma is odd, so that i -> i*gamma is one to one modulo 2^64, and all ranges
// lie within one period.
func TestStreamsApart(t *testing.T) {
	if g := uint64(gamma); g%2 == 0 {
		t.Fatal("gamma is even")
	}
	// The last stream, that of the folds, has number mostResamples.
	end := new(big.Int).Mul(big.NewInt(mostResamples+1), new(big.Int).SetUint64(streamLength))
	if end.Cmp(new(big.Int).Lsh(big.NewInt(1), 64)) > 0 {
		t.Fatal("the streams go round the period")
	}
	// The inverse of gamma gives back the place of any state.
	inverse := new(big.Int).ModInverse(new(big.Int).SetUint64(gamma), new(big.Int).Lsh(big.NewInt(1), 64)).Uint64()
	const seed = 12345
	for _, k := range []uint64{0, 1, 2, 999, mostResamples - 1, mostResamples} {
		s := newStream(seed, k)
		for i := range uint64(1000) {
			s.next()
			if at := (s.state - seed) * inverse; at != k*streamLength+i+1 {
				t.Fatalf("stream %d, draw %d: place %d of the period", k, i, at)
			}
		}
	}
	// How much of its range does a resample of the most lifters use? Two draws a state,
	// and rejection of fewer than one draw in 2^32/n.
	if most := uint64(1_000_000); most/2+most/1000 >= streamLength {
		t.Fatal("a stream is too short")
	}
}

// TestCounts: draws add up, and each cluster is drawn as often as the others.
func TestCounts(t *testing.T) {
	s := newStream(7, 3)
	n := make([]uint32, 100)
	var total [100]float64
	var squares float64
	const rounds = 20000
	for range rounds {
		s.counts(n)
		sum := uint32(0)
		for i, c := range n {
			sum += c
			total[i] += float64(c)
			squares += float64(c) * float64(c)
		}
		if sum != 100 {
			t.Fatalf("%d draws", sum)
		}
	}
	// Each total is binomial(100*rounds, 1/100): standard deviation sqrt(rounds*0.99).
	chi := 0.0
	for _, v := range total {
		d := v - rounds
		chi += d * d / (rounds * 0.99)
	}
	if chi < 50 || chi > 170 { // chi-squared of about 99 degrees of freedom: mean 99, SD 14
		t.Errorf("chi-squared %v", chi)
	}
	// Variance of a count: 100 * 0.01 * 0.99, so E c^2 = 1.99.
	if mean := squares / rounds / 100; math.Abs(mean-1.99) > 0.02 {
		t.Errorf("mean square %v, want 1.99", mean)
	}
}

// TestResample: the sums are those of the clusters drawn, whatever the workers, and spread
// as the theory of means has it.
func TestResample(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	const n, cols, reps = 57, 7, 501
	sums := make([]float64, n*cols)
	for i := range sums {
		sums[i] = rng.NormFloat64()
	}
	got := Resample(sums, cols, reps, 42, 1)
	for _, workers := range []int{2, 3, 8} {
		if !slices.Equal(got, Resample(sums, cols, reps, 42, workers)) {
			t.Fatalf("%d workers give another result", workers)
		}
	}
	counts := make([]uint32, n)
	for k := range reps {
		s := newStream(42, uint64(k))
		s.counts(counts)
		for j := range cols {
			want := 0.0
			for i, c := range counts {
				want += float64(c) * sums[i*cols+j]
			}
			if math.Abs(got[k*cols+j]-want) > 1e-12 {
				t.Fatalf("resample %d, column %d: %v, want %v", k, j, got[k*cols+j], want)
			}
		}
	}
	mean, ss := 0.0, 0.0
	for k := range reps {
		mean += got[k*cols] / reps
	}
	for k := range reps {
		d := got[k*cols] - mean
		ss += d * d / reps
	}
	truth, v := 0.0, 0.0
	for i := range n {
		truth += sums[i*cols] / n
	}
	for i := range n {
		d := sums[i*cols] - truth
		v += d * d
	}
	if math.Abs(ss/v-1) > 0.25 { // variance of a resampled sum: n times the variance of the clusters
		t.Errorf("variance %v, want about %v", ss, v)
	}
	if Resample(nil, 3, 10, 1, 1) != nil || Resample(sums, cols, 0, 1, 1) != nil {
		t.Error("nothing to resample gives something")
	}
}

// 2,000 lifters, 30 figures and the number of pairs, 10,000 resamples.
func BenchmarkResample(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	sums := make([]float64, 2000*31)
	for i := range sums {
		sums[i] = rng.Float64()
	}
	b.ReportAllocs()
	for b.Loop() {
		z := Resample(sums, 31, 10_000, 1, 0)
		v := make([]float64, 10_000)
		for j := range 30 {
			for k := range v {
				v[k] = z[k*31+j+1] / z[k*31]
			}
			slices.Sort(v)
		}
	}
}
