package plates

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Every step of the protocols against the row of testdata/warmup-protocols.csv
// that it stands for; how each row was obtained is in its column "have".
func TestProtocols(t *testing.T) {
	rows := table(t, "warmup-protocols.csv")
	row := func(protocol, step string) map[string]string {
		for _, r := range rows {
			if strings.HasPrefix(r["protocol"], protocol) && r["step"] == step {
				return r
			}
		}
		t.Fatalf("no step %s of %s", step, protocol)
		return nil
	}
	span := func(lo, hi int) string {
		switch {
		case hi == 0:
			return ""
		case lo == hi:
			return fmt.Sprint(lo)
		}
		return fmt.Sprintf("%d-%d", lo, hi)
	}
	published := map[string]string{"kraemer-fry": "Kraemer and Fry", "acsm": "ACSM public", "laboratory": "Laboratory example", "nsca-upper": "NSCA", "nsca-lower": "NSCA"}
	for _, p := range Protocols() {
		name := published[p.Name]
		for i, st := range p.Steps {
			if st.Low > st.High || st.RepsLow > st.RepsHigh || st.RestLow > st.RestHigh || i > 0 && (st.Low <= p.Steps[i-1].Low || st.High <= p.Steps[i-1].High) {
				t.Errorf("%s step %d: %+v", p.Name, i+1, st)
			}
			if name == "" {
				continue
			}
			r := row(name, fmt.Sprint(i+1))
			if got := span(st.RepsLow, st.RepsHigh); got != r["repetitions"] {
				t.Errorf("%s step %d: %s repetitions, want %s", p.Name, i+1, got, r["repetitions"])
			}
			if got := span(st.RestLow, st.RestHigh); got != strings.TrimSuffix(strings.TrimSuffix(r["rest_s"], " before each attempt"), "short") {
				t.Errorf("%s step %d: rest %s, want %s", p.Name, i+1, got, r["rest_s"])
			}
			switch load := r["load"]; {
			case strings.Contains(load, "% of"):
				mid, share := fmt.Sprintf("%d%%", (st.Low+st.High)/2), fmt.Sprintf("%d-%d%%", st.Low, st.High)
				if !strings.Contains(load, mid) && !strings.Contains(load, share) {
					t.Errorf("%s step %d: %d to %d %%, want %s", p.Name, i+1, st.Low, st.High, load)
				}
			case strings.Contains(load, "half"):
				if st.Low+st.High != 100 {
					t.Errorf("%s step %d: %d to %d %%, want %s", p.Name, i+1, st.Low, st.High, load)
				}
			default: // steps: the range must hold both ends of the step reckoned back from the load
				step := map[string][2]float64{"nsca-upper": {5, 10}, "nsca-lower": {10, 20}}[p.Name]
				lo, hi := 100.0, 100.0
				for range len(p.Steps) - i {
					lo /= 1 + step[1]/100
					hi /= 1 + step[0]/100
				}
				if float64(st.Low) > lo || lo > float64(st.Low)+1.5 || float64(st.High) < hi || hi < float64(st.High)-1.5 {
					t.Errorf("%s step %d: %d to %d %%, want %.1f to %.1f", p.Name, i+1, st.Low, st.High, lo, hi)
				}
			}
		}
	}
	g := General().Steps
	kf := Protocols()[1].Steps
	for i := range kf {
		if g[i].Low != kf[i].Low || g[i].High != kf[i].High || g[i].RepsLow != kf[i].RepsLow || g[i].RepsHigh != kf[i].RepsHigh {
			t.Errorf("general step %d is not Kraemer and Fry's", i+1)
		}
	}
}

func rampText(r *Ramp) string {
	var words []string
	for _, s := range r.Sets {
		words = append(words, fmt.Sprintf("%sx%d/%d", s.Mass.Text(KG), s.Reps, s.RestSeconds))
	}
	return strings.Join(words, " ")
}

func TestWarmup(t *testing.T) {
	club := gymNamed(t, "KG-CLUB").loads(t)
	home := gymNamed(t, "KG-HOME").loads(t)
	rack, err := NewRange("dumbbells", 2*Kilogram, 40*Kilogram, 2*Kilogram)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name    string
		l       *Loads
		working Mass
		opt     WarmupOptions
		want    string
		moves   int
	}{
		// By hand: 40-60 % is 40 to 60 kg, then to 80, then to 90. 100 kg is 40 a
		// side; 20, then 10, then 5, then 5 more pass through all the ranges with
		// one plate a set, which cannot be beaten.
		{"club 100", club, 100 * Kilogram, WarmupOptions{}, "60x8/60 80x4/120 90x2/180", 4},
		{"bar first", club, 100 * Kilogram, WarmupOptions{BarFirst: true}, "20x10/60 60x8/60 80x4/120 90x2/180", 4},
		// 30 a side over 20 (40 to 60 % of 100 kg) and 25 (60 to 80 %).
		{"of a maximum", club, 80 * Kilogram, WarmupOptions{Max: 100 * Kilogram}, "60x8/60 70x4/120", 3},
		// The ranges are 10-15, 15-20 and 20-22.5 kg, and the bar weighs 20.
		{"light", home, 25 * Kilogram, WarmupOptions{}, "20x4/120 22.5x2/180", 3},
		{"empty bar", home, 20 * Kilogram, WarmupOptions{BarFirst: true}, "", 0},
		// The middles of 12-18, 20-24 (weights over 18) and 26 (24 to 27).
		{"dumbbells", rack, 30 * Kilogram, WarmupOptions{}, "14x8/60 22x4/120 26x2/180", 0},
		{"floor", club, 100 * Kilogram, WarmupOptions{FloorPlate: 20 * Kilogram, BarFirst: true}, "60x8/60 80x4/120 90x2/180", 4},
		// 60 kg is the lightest with a 20 on each side, and 86 % of 70.
		{"floor of a light lifter", club, 70 * Kilogram, WarmupOptions{FloorPlate: 20 * Kilogram}, "60x2/180", 2},
		{"too light for the floor", club, 50 * Kilogram, WarmupOptions{FloorPlate: 20 * Kilogram}, "20x8/60 40x4/120 45x2/180", 3},
	} {
		r, err := Warmup(c.l, c.working, c.opt)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := rampText(r); got != c.want || r.Sequence.Moves != c.moves || !r.Sequence.Proven {
			t.Errorf("%s: %q in %d moves, want %q in %d", c.name, got, r.Sequence.Moves, c.want, c.moves)
		}
	}
	var n *NotLoadableError
	if _, err := Warmup(club, 101*Kilogram, WarmupOptions{}); !errors.As(err, &n) {
		t.Error(err)
	}
}

func TestWarmupRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bar, inv := drawGym(t)
		l, err := NewLoads(bar, inv)
		if err != nil {
			t.Fatal(err)
		}
		working := l.At(rapid.IntRange(0, l.Len()-1).Draw(t, "working"))
		opt := WarmupOptions{Protocol: rapid.SampledFrom(Protocols()).Draw(t, "protocol"), BarFirst: rapid.Bool().Draw(t, "bar first"),
			FloorPlate: rapid.SampledFrom([]Mass{0, 0, 10 * Kilogram, 20 * Kilogram}).Draw(t, "floor"), Order: Order(rapid.IntRange(0, 1).Draw(t, "order"))}
		if rapid.Bool().Draw(t, "max") {
			opt.Max = working + Mass(rapid.IntRange(0, 40).Draw(t, "over"))*Kilogram
		}
		r, err := Warmup(l, working, opt)
		if err != nil {
			t.Fatal(err)
		}
		last := Mass(-1)
		for _, s := range r.Sets {
			if s.Mass <= last || s.Mass >= working || s.Reps < 1 || s.RestSeconds < 1 || !l.Has(s.Mass) {
				t.Fatalf("%v to %v: %+v", rampText(r), working, s)
			}
			last = s.Mass
		}
		steps := r.Sequence.Steps
		if len(steps) != len(r.Sets)+1 || steps[len(steps)-1].Loaded != working {
			t.Fatalf("%v does not lead to %v", rampText(r), working)
		}
		var targets []Target
		for _, s := range steps {
			targets = append(targets, s.Target)
		}
		checkPlan(t, l, targets, SequenceOptions{Order: opt.Order}, r.Sequence)
	})
}

// TestWarmupStepsApart: loads that only save plate moves by lying next to each other are no steps.
func TestWarmupStepsApart(t *testing.T) {
	l, err := NewLoads(Bar{Name: "bar", Mass: 20 * Kilogram}, Inventory{
		{Plate: Plate{Mass: 20 * Kilogram}, Count: 8}, {Plate: Plate{Mass: 15 * Kilogram}, Count: 2}, {Plate: Plate{Mass: 10 * Kilogram}, Count: 4},
		{Plate: Plate{Mass: 5 * Kilogram}, Count: 2}, {Plate: Plate{Mass: 2500 * Gram}, Count: 2}, {Plate: Plate{Mass: 1250 * Gram}, Count: 2},
	})
	if err != nil {
		t.Fatal(err)
	}
	for working := 60 * Kilogram; working <= 220*Kilogram; working += 2500 * Gram {
		if !l.Has(working) {
			continue
		}
		r, err := Warmup(l, working, WarmupOptions{})
		if err != nil {
			t.Fatal(err)
		}
		ranges := General().ranges(working)
		for i, s := range r.Sets {
			next := working
			if i+1 < len(r.Sets) {
				next = r.Sets[i+1].Mass
			}
			if next-s.Mass < working/20 {
				t.Errorf("%s: %s is next to %s", working, s.Mass, next)
			}
			if s.Mass > ranges[i][1] {
				t.Errorf("%s: step %d of %s is over %s, as far as its range goes", working, i+1, s.Mass, ranges[i][1])
			}
		}
	}
}
