package periodize

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/blockwright/blockwright/plates"
	"pgregory.net/rapid"
)

// drawBlock makes a random block that is valid by construction.
func drawBlock(t *rapid.T) *Block {
	weeks := rapid.IntRange(1, 8).Draw(t, "weeks")
	b := &Block{Title: "random", Weeks: weeks, Focus: []string{"pull", "press"},
		Lifts: []Lift{
			{Name: "pull", Pattern: Hinge, Uses: "bar", Muscles: []Share{{"glutes", 1}, {"back", 0.5}}},
			{Name: "press", Pattern: PushVertical, Uses: "bar", Muscles: []Share{{"shoulders", 1}}},
			{Name: "chin", Pattern: PullVertical, Uses: "belt", BodyweightShare: ratio(100, 1)},
			{Name: "helped dip", Pattern: PushVertical, Uses: "assistance", BodyweightShare: ratio(95, 1)},
			{Name: "row", Pattern: PullHorizontal, Uses: "dumbbells"},
			{Name: "plank", Pattern: TrunkWork},
		}}
	track := func(name string, low, high int) Track {
		v := func(k string) plates.Ratio {
			return ratio(int64(rapid.IntRange(low*10, high*10).Draw(t, name+k)), 10)
		}
		switch rapid.IntRange(0, 3).Draw(t, name+" kind") {
		case 0:
			return FixedTrack{v("")}
		case 1:
			l := make(WeekTrack, weeks)
			for i := range l {
				l[i].Value = v(fmt.Sprint(i))
			}
			return l
		case 2:
			return LineTrack{v(" from"), v(" to")}
		}
		return CrestTrack{v(" from"), v(" crest"), v(" to"), rapid.IntRange(1, weeks).Draw(t, name+" at")}
	}
	for s := range rapid.IntRange(1, 3).Draw(t, "sessions") {
		ses := Session{Name: string(rune('A' + s))}
		for range rapid.IntRange(1, 4).Draw(t, "items") {
			it := Item{Lift: rapid.SampledFrom([]string{"pull", "press", "chin", "helped dip", "row"}).Draw(t, "lift")}
			it.Sets = track("sets", 0, 6)
			it.Reps = track("reps", 1, 12)
			switch rapid.IntRange(0, 3).Draw(t, "weight") {
			case 0:
				it.Weight = Percent(track("percent", 10, 150))
			case 1:
				it.Weight = RIR(track("rir", 0, 5))
			case 2:
				it.Weight = RPE(track("rpe", 5, 10))
			case 3:
				it.Weight = Load(plates.Mass(rapid.Int64Range(0, int64(200*kg)).Draw(t, "load")))
			}
			if rapid.Bool().Draw(t, "spread?") {
				it.Spread = ratio(int64(rapid.IntRange(1, 20).Draw(t, "spread")), 2)
				it.Shape = rapid.SampledFrom(Shapes()).Draw(t, "shape")
			}
			if rapid.Bool().Draw(t, "backoff?") {
				it.Backoff = &Backoff{Sets: track("backoff sets", 0, 4), Reps: track("backoff reps", 1, 10), Drop: track("drop", 0, 30)}
			}
			if rapid.Bool().Draw(t, "final?") {
				it.Final = &Final{Cap: 12}
			}
			ses.Work = append(ses.Work, it)
		}
		b.Sessions = append(b.Sessions, ses)
	}
	if rapid.Bool().Draw(t, "finish?") {
		b.Finish = Finish{Deload: rapid.IntRange(0, 2).Draw(t, "deload"), Test: rapid.Bool().Draw(t, "test"),
			Cut: ratio(int64(rapid.IntRange(0, 100).Draw(t, "cut")), 1), Hold: ratio(int64(rapid.IntRange(50, 100).Draw(t, "hold")), 1)}
	}
	return b
}

func drawLifter(t *rapid.T) Lifter {
	l := Lifter{Name: "Ada", Bodyweight: 70 * kg,
		Level:    rapid.SampledFrom(Levels()).Draw(t, "level"),
		Rounding: rapid.SampledFrom([]plates.Rounding{plates.Nearest, plates.Down, plates.Up}).Draw(t, "rounding")}
	for _, lift := range []string{"pull", "press", "chin", "helped dip", "row"} {
		m := MaxEntry{Lift: lift, Tested: plates.Mass(rapid.Int64Range(int64(5*kg), int64(250*kg)).Draw(t, lift))}
		if rapid.Bool().Draw(t, "from sets") {
			rir := ratio(int64(rapid.IntRange(0, 4).Draw(t, "done rir")), 1)
			m.Sets = []DoneSet{{Load: m.Tested, Reps: rapid.IntRange(1, 12).Draw(t, "done reps"), RIR: &rir}}
		}
		l.Maxes = append(l.Maxes, m)
	}
	if rapid.Bool().Draw(t, "volume?") {
		l.Volume = ratio(int64(rapid.IntRange(10, 130).Draw(t, "volume")), 1)
	}
	if rapid.Bool().Draw(t, "working?") {
		l.WorkingMax = ratio(int64(rapid.IntRange(80, 100).Draw(t, "working")), 1)
	}
	if rapid.Bool().Draw(t, "adjust?") {
		l.Adjust = []Adjustment{{Week: 1, Lift: "pull", Percent: ratio(int64(rapid.IntRange(-20, 10).Draw(t, "change")), 1), Sets: rapid.IntRange(-2, 2).Draw(t, "sets change")}}
	}
	return l
}

// TestEveryWeightIsLoadable holds for every set of random plans: the weight is
// one that the implement can be loaded to; rounding down never goes over the
// exact weight and rounding up never under it, unless the set is marked; the
// plates a side add up to it and are in the stock.
func TestEveryWeightIsLoadable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := oneLifter(drawLifter(t))
		prog, err := Compile(drawBlock(t), r)
		if err != nil {
			t.Fatal(err)
		}
		p := prog.Plan(0)
		for _, s := range p.Sessions {
			for _, ex := range s.Exercises {
				for _, set := range slices.Concat(ex.Warmup, ex.Sets) {
					if set.HasLoad {
						checkLoad(t, p, &ex, &set)
					}
				}
			}
		}
	})
}

func checkLoad(t *rapid.T, p *Plan, ex *Exercise, s *Set) {
	m := s.Load
	if m < 0 {
		m = -m // assistance
	}
	at := ex.Loads.RoundMass(m, plates.Down)
	if at.Mass != m || at.Below || at.Above {
		t.Fatalf("%s: %s cannot be loaded", ex.Lift.Name, s.Load)
	}
	cmp := s.Exact.Cmp(s.Load)
	switch {
	case s.Below && cmp >= 0, s.Above && cmp <= 0:
		t.Fatalf("%s: marked below %v, above %v, but %s lies on the other side of the exact weight", ex.Lift.Name, s.Below, s.Above, s.Load)
	case s.Below || s.Above || s.Kind == WarmupSet:
	case p.Lifter.Rounding == plates.Down && cmp < 0:
		t.Fatalf("%s: rounded down to %s, over the exact %v kg", ex.Lift.Name, s.Load, s.Exact.In(plates.KG))
	case p.Lifter.Rounding == plates.Up && cmp > 0:
		t.Fatalf("%s: rounded up to %s, under the exact %v kg", ex.Lift.Name, s.Load, s.Exact.In(plates.KG))
	}
	if ex.Lift.Uses == "bar" {
		sum := 20 * kg
		count := map[plates.Mass]int{}
		for _, pl := range s.Side {
			sum += 2 * pl.Mass
			count[pl.Mass] += 2
		}
		if sum != m {
			t.Fatalf("plates a side add up to %s, not %s", sum, m)
		}
		for _, st := range smallGym().Plates {
			if count[st.Mass] > st.Count {
				t.Fatalf("%s needs %d plates of %s, and there are %d", m, count[st.Mass], st.Mass, st.Count)
			}
		}
	}
	if s.HasPercent {
		lm, _ := p.Max(ex.Lift.Name)
		if got, want := s.Exact.In(plates.KG), lm.Working.Percent(s.Percent).Add(-lm.Body).In(plates.KG); math.Abs(got-want) > 1e-9*math.Abs(want)+1e-9 {
			t.Fatalf("%s: exact %v is not %s%% of the working maximum, %v", ex.Lift.Name, got, s.Percent, want)
		}
	}
}

// TestDeloadIsTheCutAskedFor holds for random blocks: a deload week has the
// sets of the last week less the cut, to the nearest set.
func TestDeloadIsTheCutAskedFor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBlock(t)
		b.Finish = Finish{Deload: 1, Cut: ratio(int64(rapid.IntRange(0, 100).Draw(t, "cut")), 1)}
		prog, err := Compile(b, oneLifter(drawLifter(t)))
		if err != nil {
			t.Fatal(err)
		}
		p := prog.Plan(0)
		count := map[int]int{}
		for _, s := range p.Sessions {
			for _, ex := range s.Exercises {
				count[s.Week] += len(ex.Sets)
			}
		}
		last, light := count[b.Weeks], count[b.Weeks+1]
		want := int(math.Floor(float64(last)*(100-b.Finish.Cut.Float64())/100 + 0.5))
		if light != want || p.Deload.Before != last || p.Deload.After != light {
			t.Fatalf("deload week has %d sets of %d, want %d; reported %+v", light, last, want, *p.Deload)
		}
	})
}
