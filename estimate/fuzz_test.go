package estimate

import "testing"

// Whatever numbers come in: no panic, and an answer is finite and ordered.
func FuzzMax(f *testing.F) {
	f.Add(100.0, 5.0, 2.0, 0.0, 95.0, 3.0, 0.0, 7.0, 2.5, 0.9, uint8(0))
	f.Add(100.0, 1.0, 0.0, 0.0, 100.0, 1.0, 0.5, 0.0, 0.0, 0.0, uint8(1))
	f.Add(1e-200, 12.0, 4.0, -1e9, 1e200, 20.0, 0.0, 1e9, 1e-9, 0.999, uint8(7))
	f.Add(60.0, 24.0, 0.1, 3.0, 60.0, 2.0, 30.0, 3.0, 1e6, 0.5, uint8(16))
	f.Fuzz(func(t *testing.T, l1, r1, i1, d1, l2, r2, i2, d2, step, coverage float64, pick uint8) {
		cs := Curves()
		opt := Options{Curve: cs[int(pick)%len(cs)], LoadStep: step, Coverage: coverage}
		sets := []Set{{Load: l1, Reps: r1, RIR: i1, Day: d1, NoRIR: pick&32 != 0}, {Load: l2, Reps: r2, RIR: i2, Day: d2, Tested: pick&64 != 0}}
		for _, ss := range [][]Set{sets[:1], sets} {
			e, err := Max(ss, opt)
			if err != nil {
				continue
			}
			if !finite(e.Max) || !finite(e.High) || !(e.Low > 0 && e.Low <= e.Max && e.Max <= e.High) || !finite(e.Ability) || !finite(e.AbilitySD) {
				t.Fatalf("%+v %+v: %+v", ss, opt, e)
			}
			l, err := Fit(ss, opt)
			if err != nil {
				t.Fatal(err)
			}
			for _, n := range []float64{1, 2, 5, 12} {
				p, err := l.Load(n, 0)
				if err == nil && (!finite(p.High) || !(p.Low > 0 && p.Low <= p.Mid && p.Mid <= p.High)) {
					t.Fatalf("%+v %+v: load for %v: %+v", ss, opt, n, p)
				}
			}
		}
	})
}
