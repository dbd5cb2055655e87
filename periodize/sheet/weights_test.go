package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// roster is a number of invented lifters with two maxima each.
func weightsProgram(tb testing.TB, lifters int) *periodize.Program {
	tb.Helper()
	b := &periodize.Block{Title: "weights", Weeks: 6,
		Lifts: []periodize.Lift{{Name: "pull, from the floor", Pattern: periodize.Hinge, Uses: "bar"}, {Name: "press", Pattern: periodize.PushVertical, Uses: "bar"}},
		Sessions: []periodize.Session{{Name: "A", Work: []periodize.Item{
			{Lift: "pull, from the floor", Work: periodize.Work{Sets: periodize.Fixed(4), Reps: periodize.Line(6, 2), Weight: periodize.Percent(periodize.Line(65, 92))}},
			{Lift: "press", Work: periodize.Work{Reps: periodize.Fixed(3), Weight: periodize.Percent(periodize.Line(75, 90))},
				Backoff: &periodize.Backoff{Sets: periodize.Fixed(3), Reps: periodize.Fixed(6), Drop: periodize.Fixed(12)}},
		}}}}
	r := &periodize.Roster{Gyms: []periodize.Gym{{Bars: []periodize.Bar{{Name: "bar", Mass: 20 * plates.Kilogram}},
		Plates: plates.Inventory{{Plate: plates.Plate{Mass: 20 * plates.Kilogram}, Count: 8}, {Plate: plates.Plate{Mass: 10 * plates.Kilogram}, Count: 2},
			{Plate: plates.Plate{Mass: 5 * plates.Kilogram}, Count: 2}, {Plate: plates.Plate{Mass: 2500 * plates.Gram}, Count: 2}, {Plate: plates.Plate{Mass: 1250 * plates.Gram}, Count: 2}}}}}
	for i := range lifters {
		r.Lifters = append(r.Lifters, periodize.Lifter{Name: fmt.Sprintf("lifter %d", i+1), Rounding: plates.Rounding(i % 3),
			Maxes: []periodize.MaxEntry{{Lift: "pull, from the floor", Tested: plates.Mass(80+i%100) * plates.Kilogram}, {Lift: "press", Tested: plates.Mass(40+i%37) * plates.Kilogram}}})
	}
	p, err := periodize.Compile(b, r)
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

func TestWeightsAreTheSameEitherWay(t *testing.T) {
	p := weightsProgram(t, 100)
	// A name and a lift that are too long to be copied whole go the plain way.
	p.Roster().Lifters[37].Name = "somebody with a name of very many letters"
	g, err := p.Grid()
	if err != nil {
		t.Fatal(err)
	}
	var want bytes.Buffer
	if err := writeWeightsByPlan(&want, p, plates.KG); err != nil {
		t.Fatal(err)
	}
	for workers := 1; workers <= 7; workers++ {
		var got bytes.Buffer
		if err := newWeightTable(g, plates.KG).write(&got, workers); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got.Bytes(), want.Bytes()) {
			t.Fatalf("%d workers write other bytes than plan after plan", workers)
		}
	}
	// Computed by hand: 65 % of 80 kg is 52, nearest loadable 52.5.
	first, _, _ := strings.Cut(want.String(), "\r\n")
	if first != `lifter 1,1,A,"pull, from the floor",1,6,52.5` {
		t.Errorf("first row: %s", first)
	}
}

type failing struct{ after int }

func (f *failing) Write(p []byte) (int, error) {
	if f.after--; f.after < 0 {
		return 0, errors.New("disk full")
	}
	return len(p), nil
}

func TestWeightsReportAFailingWriter(t *testing.T) {
	p := weightsProgram(t, 200)
	for after := range 5 {
		if err := WriteWeights(&failing{after}, p, plates.KG); err == nil || err.Error() != "disk full" {
			t.Errorf("after %d writes: %v", after, err)
		}
	}
}

func BenchmarkWriteWeights(b *testing.B) {
	for _, n := range []int{100, 10000} {
		b.Run(fmt.Sprintf("lifters=%d", n), func(b *testing.B) {
			p := weightsProgram(b, n)
			b.ReportAllocs()
			for b.Loop() {
				if err := WriteWeights(io.Discard, p, plates.KG); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(n*48)*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mrows/s")
		})
	}
}
