package logbook_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

// simLifter is an invented lifter whose maximum is known.
type simLifter struct {
	perWeek float64 // growth of the maximum's logarithm a week, for four weeks
	ability float64 // to do repetitions, in standard deviations between lifters
	bias    float64 // repetitions more left than reported, where one or more is
	own     float64 // error of all this lifter's reports, repetitions
	err     float64 // standard deviation of the error of a report, repetitions
	form    float64 // standard deviation of a day's form, of the logarithm
	tired   bool    // later sets have less left, by the recovery model
}

// within is the share of one standard deviation between lifters that one lifter differs by from set to set: 0.7
// repetition (Mitter B et al. PLoS ONE 2022;17:e0268074) of 1.90 (Nuzzo 2024), both at 90 %.
const within = 0.7 / 1.90

func (x *simLifter) max(start float64, day int) float64 {
	return start * math.Exp(x.perWeek*float64(min(day, 28))/7)
}

// do does the sets of an exercise on a day with that maximum, and reports them.
func (x *simLifter) do(rng *rand.Rand, sets []periodize.Set, max float64, report func(load float64, reps int, rir float64)) {
	curve := estimate.Curves()[0]
	max *= math.Exp(x.form * rng.NormFloat64())
	model := workload.Recovery{MaxReserve: 100}
	var work []workload.WorkSet
	for k := range sets {
		s := &sets[k]
		load := s.Load.In(plates.KG)
		able := math.Sqrt(1-within*within)*x.ability + within*rng.NormFloat64()
		can := 0.01
		if load < max {
			q := 0.5 * math.Erfc(-math.Min(math.Max(able, -3), 3)/math.Sqrt2)
			var err error
			if can, _, err = curve.RepsAt(load/max, q); err != nil {
				panic(err)
			}
		}
		work = append(work, workload.WorkSet{Reps: float64(s.Reps), Rest: s.Rest, Fresh: workload.Capacity{Mean: can, SD: 1e-6}})
		left := can - float64(s.Reps)
		if x.tired {
			if r, err := model.AppendReserves(nil, work); err == nil && r[k].Known() {
				left = r[k].Left.Mid
			}
		}
		if left < 0 {
			done := math.Max(math.Floor(float64(s.Reps)+left), 0)
			work[k].Reps = math.Max(done, 1)
			report(load, int(done), 0)
			continue
		}
		report(load, s.Reps, math.Max(math.Round(left-x.bias*math.Min(left, 1)+x.own+x.err*rng.NormFloat64()), 0))
	}
}

// simBlock trains a lift twice a week with four to one repetitions in reserve.
func simBlock() *periodize.Block {
	item := func(sets, reps, from, to float64) []periodize.Item {
		return []periodize.Item{{Lift: "pause squat", Work: periodize.Work{Sets: periodize.Fixed(sets), Reps: periodize.Fixed(reps), Weight: periodize.RIR(periodize.Line(from, to))}}}
	}
	return &periodize.Block{
		Title: "Simulated", Weeks: 8, Focus: []string{"pause squat"},
		Lifts: []periodize.Lift{{Name: "pause squat", Pattern: periodize.Squat, Region: periodize.Lower, Uses: "olympic"}},
		Sessions: []periodize.Session{
			{Name: "Volume", Day: weekday(time.Monday), Work: item(4, 6, 4, 2)},
			{Name: "Heavy", Day: weekday(time.Thursday), Work: item(3, 3, 3, 1)},
		},
	}
}

// simulate trains for some weeks, the roster being made anew at the end of each, and gives each week's maximum
// over the first.
func (x *simLifter) simulate(t testing.TB, rng *rand.Rand, weeks int) (shares []float64) {
	const start = 120
	first := logbook.DayOf(day(2027, 9, 6))
	roster := quarryRoster()
	roster.Lifters = []periodize.Lifter{{Name: "Oona", Maxes: []periodize.MaxEntry{{Lift: "pause squat", Tested: kg(start)}}}}
	var log []logbook.Row
	for week := 1; week <= weeks; week++ {
		p := program(t, simBlock(), roster)
		plan := p.Plan(0)
		for i := range plan.Sessions {
			s := &plan.Sessions[i]
			if s.Week != week {
				continue
			}
			on := logbook.DayOf(s.Date)
			for j := range s.Exercises {
				x.do(rng, s.Exercises[j].Sets, x.max(start, on-first), func(load float64, reps int, rir float64) {
					log = append(log, logbook.Row{Day: on, Lifter: "Oona", Lift: "pause squat", Load: load, Written: load, Unit: plates.KG, Reps: reps, RIR: rir, Count: 1})
				})
			}
		}
		n := logbook.NewNext(p, logbook.NextOptions{AsOf: logbook.DateOf(first + 7*week - 1)})
		for i := range log {
			n.Add(&log[i])
		}
		r, err := n.Result()
		if err != nil {
			t.Fatal(err)
		}
		roster = r.Roster
		shares = append(shares, roster.Lifters[0].Maxes[0].Tested.In(plates.KG)/start)
	}
	return shares
}

// TestNextSimulation holds what the comment of PlanNext says of maxima: how seldom one that did not move is moved, and how
// fast one that moved is followed.
func TestNextSimulation(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	worlds := []struct {
		name    string
		x       simLifter
		differ  bool // each lifter has an ability and an error of reporting of its own
		farther float64
	}{
		{"reports off by one repetition", simLifter{err: 1}, false, 1},
		{"and too low on average, sets tire", simLifter{err: 1, bias: 0.95, tired: true}, false, 1},
		{"and lifters differ", simLifter{err: math.Sqrt(0.5), bias: 0.95, tired: true, form: 0.01}, true, 6},
	}
	for _, c := range []struct {
		name      string
		seeds     int
		weeks     int
		change    float64 // of the maximum in four weeks
		mean      float64 // most that the mean is off the first maximum, or least that it goes the right way
		far, most float64 // at most this share of lifters is moved by more than far; or moved the wrong way
	}{
		{"unchanged", 200, 4, 0, 0.01, 0.04, 0.02},
		{"lost 8 %", 30, 8, -0.08, 0.06, 0, 0},
		{"gained 6 %", 30, 8, 0.06, 0.03, 0, 0.05},
	} {
		for _, w := range worlds {
			t.Run(c.name+", "+w.name, func(t *testing.T) {
				t.Parallel()
				rng := rand.New(rand.NewPCG(11, 5))
				x := w.x
				x.perWeek = math.Log(1+c.change) / 4
				week := make([]float64, c.weeks)
				far := 0
				for range c.seeds {
					if w.differ {
						x.ability, x.own = rng.NormFloat64(), math.Sqrt(0.5)*rng.NormFloat64()
					}
					s := x.simulate(t, rng, c.weeks)
					for i := range week {
						week[i] += 100 * (s[i] - 1) / float64(c.seeds)
					}
					switch last := s[c.weeks-1] - 1; {
					case c.change == 0 && math.Abs(last) > c.far, c.change < 0 && last > 0, c.change > 0 && last < 0:
						far++
					}
				}
				mean := week[c.weeks-1] / 100
				t.Logf("week by week %.1f %%, %d of %d far off", week, far, c.seeds)
				if c.change == 0 && math.Abs(mean) > c.mean || c.change < 0 && mean > -c.mean || c.change > 0 && mean < c.mean {
					t.Errorf("mean change %.3f, want %v", mean, c.mean)
				}
				if float64(far) > w.farther*c.most*float64(c.seeds) {
					t.Errorf("%d of %d are far off, want at most a share of %v", far, c.seeds, w.farther*c.most)
				}
			})
		}
	}
}
