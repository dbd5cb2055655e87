package periodize

import (
	"errors"
	"fmt"
	"testing"

	"github.com/blockwright/blockwright/plates"
)

func TestGridHasTheWeightsOfThePlans(t *testing.T) {
	r := bigRoster(40)
	for i := range r.Lifters {
		r.Lifters[i].Rounding = []plates.Rounding{plates.Nearest, plates.Down, plates.Up}[i%3]
		r.Lifters[i].WorkingMax = ratio(int64(90+i%11), 1)
	}
	b := bigBlock()
	b.Sessions[1].Work[2].Backoff = &Backoff{Sets: Fixed(2), Reps: Fixed(8), Drop: Fixed(12)}
	b.Finish = Finish{Deload: 1, Cut: ratio(40, 1), Hold: ratio(85, 1)}
	p, err := Compile(b, r)
	if err != nil {
		t.Fatal(err)
	}
	g, err := p.Grid()
	if err != nil {
		t.Fatal(err)
	}
	var at []int32
	var weights []plates.Mass
	for i := range g.Lifters() {
		at = g.Places(i, at)
		weights = g.Price(i, weights)
		row := 0
		for _, ps := range p.Plan(i).Sessions {
			for _, ex := range ps.Exercises {
				for k, set := range ex.Sets {
					gr := &g.Rows[row]
					got := g.Loads(g.Kit(i), gr).At(int(at[gr.At]))
					if got != set.Load || weights[gr.At] != set.Load || gr.Week != ps.Week || gr.Session != ps.Name || gr.Lift != ex.Lift.Name || gr.Set != k+1 || gr.Reps != set.Reps {
						t.Fatalf("%s, row %d: %+v at %s, the plan has %s x %d", g.Name(i), row, *gr, got, set.Load, set.Reps)
					}
					row++
				}
			}
		}
		if row != len(g.Rows) {
			t.Fatalf("%d rows, %d sets in the plan", len(g.Rows), row)
		}
	}
}

func TestGridRefusesWhatIsNotUniform(t *testing.T) {
	for name, with := range map[string]func(*Block, *Roster){
		"reserve": func(b *Block, r *Roster) { b.Sessions[0].Work[0].Weight = RIR(Fixed(2)) },
		"volume":  func(b *Block, r *Roster) { r.Lifters[1].Volume = ratio(80, 1) },
		"swap":    func(b *Block, r *Roster) { r.Lifters[1].Swaps = []Swap{{From: "lift 1", To: "lift 2"}} },
		"test":    func(b *Block, r *Roster) { b.Focus = []string{"lift 1"}; b.Finish.Test = true },
	} {
		b, r := bigBlock(), bigRoster(2)
		with(b, r)
		p, err := Compile(b, r)
		if err != nil {
			t.Fatal(err)
		}
		var not *NotUniformError
		if _, err := p.Grid(); !errors.As(err, &not) {
			t.Errorf("%s: Grid says %v, want a NotUniformError", name, err)
		}
	}
}

// BenchmarkGrid is the weights of one lifter after another, 1,440 sets each.
func BenchmarkGrid(b *testing.B) {
	for _, n := range []int{100, 10000} {
		b.Run(fmt.Sprintf("lifters=%d", n), func(b *testing.B) {
			p, err := Compile(bigBlock(), bigRoster(n))
			if err != nil {
				b.Fatal(err)
			}
			g, err := p.Grid()
			if err != nil {
				b.Fatal(err)
			}
			var weights []plates.Mass
			b.ReportAllocs()
			for b.Loop() {
				for i := range n {
					weights = g.Price(i, weights)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*len(g.Rows)), "ns/set")
		})
	}
}
