package workload_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	w "github.com/blockwright/blockwright/periodize/workload"
)

// bare is a model of repetitions and rests alone, as planned.
func bare() w.TimeModel {
	none := &w.Range{}
	return w.TimeModel{Arrival: none, Setup: none, Switch: none, Move: none, WarmupRest: none, RestFactor: &w.Range{Mid: 1, Low: 1, High: 1}}
}

// straight is an exercise of equal sets.
func straight(sets, reps int, perRep, rest float64) w.TimedExercise {
	return w.TimedExercise{Sets: slices.Repeat([]w.TimedSet{{Reps: reps, PerRep: perRep, Rest: rest}}, sets)}
}

func seconds(t tester, m w.TimeModel, es ...w.TimedExercise) w.Range {
	return must(m.Session(es))(t)
}

func TestSessionPublished(t *testing.T) {
	worked(t, "TI-01", seconds(t, bare(), straight(5, 5, 4, 180)).Mid)
	m := bare()
	m.Setup = &w.Range{Mid: 60, Low: 60, High: 60}
	worked(t, "TI-02", seconds(t, m, straight(4, 8, 4, 120)).Mid)
	if got := seconds(t, m, straight(4, 8, 4, 120)); got != (w.Range{Mid: 548, Low: 548, High: 548}) {
		t.Errorf("nothing left open, and still a range: %+v", got)
	}
}

// warmed puts warm-up sets, with plates to move, before an exercise.
func warmed(e w.TimedExercise, n int) w.TimedExercise {
	up := slices.Repeat([]w.TimedSet{{Reps: 5, Warmup: true, Moves: 2}}, n)
	e.Sets = append(up, e.Sets...)
	return e
}

// Both check values are common practice, no published source; the sessions are
// invented.
func TestSessionCommonPractice(t *testing.T) {
	// A light opening session, three easy sets on each of five or six lower-body
	// exercises, is done within an hour.
	light := []w.TimedExercise{warmed(straight(3, 6, 3, 120), 2), warmed(straight(3, 6, 3, 120), 2)}
	for range 4 {
		light = append(light, straight(3, 8, 3, 90))
	}
	if got := seconds(t, w.TimeModel{}, light...).Scale(1. / 60); got.Mid > 60 || got.Mid < 35 || got.Low > got.Mid {
		t.Errorf("light session of six: %.1f min", got)
	}
	if got := seconds(t, w.TimeModel{}, light[:5]...).Scale(1. / 60); got.Mid > 60 {
		t.Errorf("light session of five: %.1f min", got)
	}
	// A large overreach session, eight sets with long rests on the main
	// developmental work, takes one and a half to two hours.
	large := []w.TimedExercise{
		warmed(straight(8, 4, 3, 240), 4), warmed(straight(8, 5, 3, 180), 2),
		straight(4, 8, 3, 120), straight(4, 8, 3, 120), straight(3, 10, 3, 90),
	}
	if got := seconds(t, w.TimeModel{}, large...).Scale(1. / 60); got.Mid < 90 || got.Mid > 120 {
		t.Errorf("large session: %.1f min", got)
	}
}

func TestSessionByHand(t *testing.T) {
	m := bare()
	m.Setup = &w.Range{Mid: 30, Low: 30, High: 30}
	m.Switch = &w.Range{Mid: 10, Low: 10, High: 10}
	m.Move = &w.Range{Mid: 15, Low: 15, High: 15}
	a, b := straight(2, 5, 4, 90), straight(2, 10, 3, 60)
	// Set up 30, set to 50, rest to 140, set to 160; rest to 250 while the next
	// is set up (to 190); 280, 340, 370.
	if got := seconds(t, m, a, b); got.Mid != 370 || got.High != 370 {
		t.Errorf("straight: %+v", got)
	}
	// The low end goes on at 190: 220, 280, 310.
	if got := seconds(t, m, a, b); got.Low != 310 {
		t.Errorf("straight: %+v", got)
	}
	// Paired: A to 50; B is set up by 80, to 110; A rested at 140 (there by 120),
	// to 160; B rested at 170, there by 170, to 200.
	a.Pair, b.Pair = "A", "A"
	if got := seconds(t, m, a, b); got.Mid != 200 {
		t.Errorf("paired: %+v", got)
	}
	// A pair need not stand together, and takes the place of its first exercise.
	c := straight(1, 5, 2, 0)
	if x, y := seconds(t, m, a, c, b), seconds(t, m, a, b, c); x != y {
		t.Errorf("apart %+v, together %+v", x, y)
	}
	// Plates are moved while resting, and cost time only beyond the rest.
	d := straight(2, 5, 4, 90)
	d.Sets[1].Moves = 6
	if got := seconds(t, m, d); got.Mid != 160 {
		t.Errorf("six plates in 90 s: %+v", got)
	}
	d.Sets[1].Moves = 8
	if got := seconds(t, m, d); got.Mid != 190 {
		t.Errorf("eight plates in 120 s: %+v", got)
	}
	// A side at a time takes twice as long; timed work is taken as given.
	e := w.TimedExercise{Sets: []w.TimedSet{{Reps: 8, PerRep: 3, Sides: 2}}}
	if got := seconds(t, bare(), e); got.Mid != 48 {
		t.Errorf("two sides: %+v", got)
	}
	e.Sets[0].Work = 30
	if got := seconds(t, bare(), e); got.Mid != 60 {
		t.Errorf("two sides of 30 s: %+v", got)
	}
	// Warm-ups rest by the model where they give nothing: 10+60+10 at the middle.
	f := warmed(w.TimedExercise{Sets: []w.TimedSet{{Reps: 5, PerRep: 2}}}, 1)
	n := bare()
	n.WarmupRest, n.RepSeconds = nil, &w.Range{Mid: 2, Low: 2, High: 2}
	if got := seconds(t, n, f); got != (w.Range{Mid: 80, Low: 50, High: 110}) {
		t.Errorf("warm-up: %+v", got)
	}
	// Nobody warms up for nothing.
	for _, es := range [][]w.TimedExercise{nil, {{}}, {{Pair: "A"}, {Pair: "A"}}} {
		if got := seconds(t, w.TimeModel{}, es...); got != (w.Range{}) {
			t.Errorf("empty session: %+v", got)
		}
	}
}

func anyExercise(t *rapid.T) w.TimedExercise {
	e := w.TimedExercise{Pair: rapid.SampledFrom([]string{"", "A", "B"}).Draw(t, "pair")}
	for range rapid.IntRange(0, 5).Draw(t, "n") {
		e.Sets = append(e.Sets, w.TimedSet{
			Reps: rapid.IntRange(0, 12).Draw(t, "reps"), PerRep: float64(rapid.IntRange(0, 5).Draw(t, "per")),
			Sides: rapid.IntRange(0, 2).Draw(t, "sides"), Rest: float64(rapid.IntRange(0, 300).Draw(t, "rest")),
			Warmup: rapid.Bool().Draw(t, "warmup"), Moves: rapid.IntRange(0, 4).Draw(t, "moves"),
		})
	}
	return e
}

// unpaired puts the exercises of each pair after each other, without the letters.
func unpaired(es []w.TimedExercise) (out []w.TimedExercise) {
	done := map[string]bool{}
	for i, e := range es {
		if e.Pair == "" {
			out = append(out, e)
			continue
		}
		if done[e.Pair] {
			continue
		}
		done[e.Pair] = true
		for _, o := range es[i:] {
			if o.Pair == e.Pair {
				out = append(out, w.TimedExercise{Sets: o.Sets})
			}
		}
	}
	return out
}

func TestSessionProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		es := rapid.SliceOfN(rapid.Custom(anyExercise), 0, 6).Draw(t, "exercises")
		got := seconds(t, w.TimeModel{}, es...)
		if !(got.Low <= got.Mid && got.Mid <= got.High) {
			t.Fatalf("got %+v", got)
		}
		// Never less than the work, never more than everything in a row.
		work, all, sets := 0.0, 0.0, 0
		for _, e := range es {
			for _, s := range e.Sets {
				per := s.PerRep
				if per == 0 {
					per = 3
				}
				work += per * float64(s.Reps*max(s.Sides, 1))
				all += s.Rest + 60 + 10*float64(s.Moves) + 60 + 10
				sets++
			}
		}
		if got.Mid < work || got.Mid > 300+work+all {
			t.Fatalf("%v s for %v s of work in %d sets", got.Mid, work, sets)
		}
		// Where changing over is free, pairing never costs time: every rest is
		// waited for at most once, and all of them are without pairs.
		m := bare()
		if p, s := seconds(t, m, es...), seconds(t, m, unpaired(es)...); p.Mid > s.Mid+1e-9 {
			t.Fatalf("paired %v, straight %v", p.Mid, s.Mid)
		}
		// One set more never makes it shorter.
		if len(es) > 0 {
			last := &es[len(es)-1]
			last.Sets = append(slices.Clone(last.Sets), w.TimedSet{Reps: 5, Rest: 60})
			if more := seconds(t, w.TimeModel{}, es...); more.Mid < got.Mid || more.Low < got.Low || more.High < got.High {
				t.Fatalf("a set more: %+v, before %+v", more, got)
			}
		}
	})
}

func TestSessionErrors(t *testing.T) {
	nan := math.NaN()
	for _, s := range []w.TimedSet{{Reps: -1}, {PerRep: nan}, {Work: -1}, {Rest: math.Inf(1)}, {Sides: 3}, {Moves: -1}, {Rest: 1e10}} {
		var fe *w.FieldError
		if _, err := (w.TimeModel{}).Session([]w.TimedExercise{{Sets: []w.TimedSet{s}}}); !errors.As(err, &fe) {
			t.Errorf("%+v: %v", s, err)
		}
	}
	for _, r := range []*w.Range{{Mid: 1, Low: 2, High: 3}, {Mid: nan}, {Mid: -1, Low: -1, High: -1}, {Mid: 1, Low: 1, High: math.Inf(1)}} {
		var fe *w.FieldError
		if _, err := (w.TimeModel{Setup: r}).Session(nil); !errors.As(err, &fe) || fe.Field != "setup" {
			t.Errorf("%+v: %v", r, err)
		}
	}
}
