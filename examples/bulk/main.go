// Command bulk makes out one block for a large roster from two plain tables and
// writes every lifter's weights as CSV, in the roster's order and in little
// memory: maxima as lifter,m1,m2,... and sets as
// week,day,exercise,set,percent,reps, where exercise 1 takes m1.
//
//	bulk roster.csv program.csv out.csv     (without out.csv: the sum of the weights)
package main

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"log"
	"os"
	"runtime"
	"runtime/debug"
	"strconv"
	"sync"
	"sync/atomic"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/plates"
)

func main() {
	log.SetFlags(0)
	debug.SetGCPercent(50) // the roster stays; there is little else
	if err := run(os.Args[1:], os.Stdout); err != nil {
		log.Fatal(err)
	}
}

func run(args []string, stdout io.Writer) error {
	if len(args) != 2 && len(args) != 3 {
		return fmt.Errorf("want roster.csv program.csv [out.csv], got %d arguments", len(args))
	}
	block, lifts, err := readProgram(args[1])
	if err != nil {
		return err
	}
	roster, err := readRoster(args[0], lifts)
	if err != nil {
		return err
	}
	prog, err := periodize.Compile(block, roster)
	if err != nil {
		return err
	}
	if len(args) == 2 {
		grid, err := prog.Grid()
		if err != nil {
			return err
		}
		fmt.Fprintf(stdout, "%d weights, %.1f kg\n", grid.Lifters()*len(grid.Rows), sum(grid))
		return nil
	}
	out, err := os.Create(args[2])
	if err != nil {
		return err
	}
	if err := errors.Join(sheet.WriteWeights(out, prog, plates.KG), out.Close()); err != nil {
		os.Remove(args[2]) // half a file is worse than none
		return err
	}
	return nil
}

// sum adds up all weights in kilograms, on all processors. It adds whole grams,
// so that the order does not matter.
func sum(g *periodize.Grid) float64 {
	var total, next atomic.Int64
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			var weights []plates.Mass
			var grams int64
			for i := int(next.Add(1)) - 1; i < g.Lifters(); i = int(next.Add(1)) - 1 {
				weights = g.Price(i, weights)
				var mine plates.Mass
				for _, m := range weights {
					mine += m
				}
				grams += int64(mine / plates.Gram)
			}
			total.Add(grams)
		})
	}
	wg.Wait()
	return float64(total.Load()) / 1000
}

// readProgram makes a block of the table of sets: each exercise of a day is an
// item that goes set by set, week by week.
func readProgram(file string) (*periodize.Block, int, error) {
	rows, err := readTable(file)
	if err != nil {
		return nil, 0, err
	}
	b := &periodize.Block{Title: "bulk"}
	session := map[string]int{}
	lifts := map[string]bool{}
	type key struct{ day, exercise, set string }
	at := map[key][2]int{} // item and set
	for _, r := range rows {
		if len(r) != 6 {
			return nil, 0, fmt.Errorf("%s: want week,day,exercise,set,percent,reps, got %d fields", file, len(r))
		}
		week, err := strconv.Atoi(r[0])
		if err != nil || week < 1 || week > 52 {
			return nil, 0, fmt.Errorf("%s: want a week from 1 to 52, got %q", file, r[0])
		}
		b.Weeks = max(b.Weeks, week)
		s, ok := session[r[1]]
		if !ok {
			s = len(b.Sessions)
			session[r[1]] = s
			b.Sessions = append(b.Sessions, periodize.Session{Name: r[1]})
		}
		if !lifts[r[2]] {
			lifts[r[2]] = true
			b.Lifts = append(b.Lifts, periodize.Lift{Name: r[2], Pattern: periodize.Squat, Uses: "bar"})
		}
		work := &b.Sessions[s].Work
		k := key{r[1], r[2], r[3]}
		place, ok := at[k]
		if !ok {
			item := len(*work)
			if item == 0 || (*work)[item-1].Lift != r[2] {
				*work = append(*work, periodize.Item{Lift: r[2]})
			} else {
				item--
			}
			each := &(*work)[item].Each
			*each = append(*each, periodize.Work{Reps: &byWeek{}, Weight: periodize.Percent(&byWeek{})})
			place = [2]int{item, len(*each) - 1}
			at[k] = place
		}
		w := &(*work)[place[0]].Each[place[1]]
		percent, err := plates.ParseRatio(r[4])
		if err != nil {
			return nil, 0, fmt.Errorf("%s: %w", file, err)
		}
		reps, err := plates.ParseRatio(r[5])
		if err != nil {
			return nil, 0, fmt.Errorf("%s: %w", file, err)
		}
		(*w.Weight.Track.(*byWeek))[week-1] = percent
		(*w.Reps.(*byWeek))[week-1] = reps
	}
	return b, len(lifts), nil
}

// byWeek is a track of our own: up to 52 values in place.
type byWeek [52]plates.Ratio

// At implements periodize.Track.
func (t *byWeek) At(week, weeks int) (plates.Ratio, bool) { return t[week-1], true }

// readRoster makes lifters of the table of maxima. The bar and plates are those
// of the job.
func readRoster(file string, lifts int) (*periodize.Roster, error) {
	rows, err := readTable(file)
	if err != nil {
		return nil, err
	}
	stock, err := plates.ParseInventory("25:8, 20:2, 15:2, 10:2, 5:2, 2.5:2, 1.25:2, 0.5:2, 0.25:2", plates.KG)
	if err != nil {
		return nil, err
	}
	gym := periodize.Gym{Bars: []periodize.Bar{{Name: "bar", Mass: 20 * plates.Kilogram}}, Plates: stock}
	r := &periodize.Roster{Gyms: []periodize.Gym{gym}, Lifters: make([]periodize.Lifter, len(rows))}
	maxes := make([]periodize.MaxEntry, len(rows)*lifts)
	names := make([]string, lifts)
	for e := range names {
		names[e] = strconv.Itoa(e + 1)
	}
	for i, row := range rows {
		if len(row) != 1+lifts {
			return nil, fmt.Errorf("%s: want a name and %d maxima, got %d fields", file, lifts, len(row))
		}
		mine := maxes[i*lifts : (i+1)*lifts : (i+1)*lifts]
		for e := range mine {
			m, _, err := plates.ParseMassIn(row[1+e], plates.KG)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", file, err)
			}
			mine[e] = periodize.MaxEntry{Lift: names[e], Tested: m}
		}
		r.Lifters[i] = periodize.Lifter{Name: row[0], Rounding: plates.NearestUp, Maxes: mine}
	}
	return r, nil
}

func readTable(file string) ([][]string, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(bufio.NewReaderSize(f, 1<<16)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if len(rows) < 2 {
		return nil, fmt.Errorf("%s: want a head and at least one row", file)
	}
	return rows[1:], nil
}
