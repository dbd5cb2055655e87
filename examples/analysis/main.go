// Command analysis shows how an analyst reads a log of millions of sets once and gets two
// things out of it: a comparison of equations by lifter and lift, and figures of the analyst's own, the
// tonnage and the highest estimate. It prints a CSV with a line for each lifter and lift.
//
//	go run ./examples/logs -rows 1000000 > log.csv
//	go run ./examples/analysis log.csv > out.csv
//
// The ten formulas are no recommendation; they are a mix of shapes to compare. Every set
// that is no test is put against the nearest test of the next 14 days, sets without a reported reserve as if they
// were done to failure.
package main

import (
	"bufio"
	"cmp"
	"errors"
	"flag"
	"fmt"
	"io"
	"iter"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/blockwright/blockwright/periodize/logbook"
)

var methods = []logbook.Method{
	{ID: "e1", Factor: func(r float64) float64 { return 1 + r/30 }},
	{ID: "e2", Factor: func(r float64) float64 { return 36 / (37 - r) }},
	{ID: "e3", Factor: func(r float64) float64 { return math.Pow(r, 0.10) }},
	{ID: "e4", Factor: func(r float64) float64 { return 100 / (52.2 + 41.9*math.Exp(-0.055*r)) }},
	{ID: "e5", Factor: func(r float64) float64 { return 1 + 0.025*r }},
	{ID: "e6", Factor: func(r float64) float64 { return 100 / (48.8 + 53.8*math.Exp(-0.075*r)) }},
	{ID: "e7", Factor: func(r float64) float64 { return 100 / (101.3 - 2.67123*r) }},
	{ID: "e8", Factor: func(r float64) float64 { return 100 / (100 - 2*r) }},
	{ID: "e9", Factor: func(r float64) float64 { return 1 / (1.0261 * math.Exp(-0.0262*r)) }},
	{ID: "e10", Factor: func(r float64) float64 { return 0.988 + 0.0104*r + 0.0019*r*r - 0.0000584*r*r*r }},
}

func main() {
	workers := flag.Int("workers", 0, "goroutines that parse; 0 is one for each processor")
	out := flag.String("o", "", "file to write; default standard output")
	flag.Parse()
	if flag.NArg() != 1 {
		fmt.Fprintln(os.Stderr, "usage: analysis [-workers N] [-o OUT] LOG")
		os.Exit(2)
	}
	w := io.Writer(os.Stdout)
	if *out != "" {
		f, err := os.Create(*out)
		if err != nil {
			fmt.Fprintln(os.Stderr, "analysis:", err)
			os.Exit(1)
		}
		defer f.Close()
		w = f
	}
	if err := analyse(w, logbook.NewReader(logbook.Options{Workers: *workers}, logbook.File(flag.Arg(0)))); err != nil {
		fmt.Fprintln(os.Stderr, "analysis:", err)
		os.Exit(1)
	}
}

// work is the analyst's own figures of a lifter's lift.
type work struct {
	sets    int64
	tonnage float64
	best    [20]float64 // heaviest load by repetitions, done and left; longer sets say little of a maximum
}

// own adds up work. The numbers of names come in order of appearance, so that slices do for maps.
type own struct {
	byLift  [][]work // by number of lift, then of lifter: lifts are few, so a row waits for memory once
	lifters []string
	lifts   []string
}

func (o *own) add(b *logbook.Batch) {
	for i := len(o.lifters); i < b.Lifters(); i++ {
		o.lifters = append(o.lifters, b.Lifter(int32(i)))
	}
	for i := len(o.lifts); i < b.Lifts(); i++ {
		o.lifts, o.byLift = append(o.lifts, b.Lift(int32(i))), append(o.byLift, nil)
	}
	var w *work
	lifter, lift := int32(-1), int32(-1)
	for i := range b.Sets {
		s := &b.Sets[i]
		if s.Lifter != lifter || s.Lift != lift {
			lifter, lift = s.Lifter, s.Lift
			row := &o.byLift[lift]
			for int(lifter) >= len(*row) {
				*row = append(*row, work{})
			}
			w = &(*row)[lifter]
		}
		w.sets++
		w.tonnage += s.Load * float64(s.Reps)
		if n := int(s.Reps) + int(max(s.RIR, 0)); n < len(w.best) && s.Load > w.best[n] {
			w.best[n] = s.Load
		}
	}
}

// analyse reads the log once if it is in order of dates, and otherwise twice.
func analyse(out io.Writer, r *logbook.Reader) error {
	opt := logbook.CompareOptions{Methods: methods, MaxReps: 30, MaxRIR: 6, UnreportedIsFailure: true, SeriesOnly: true}
	c, err := logbook.NewComparison(opt)
	if err != nil {
		return err
	}
	o, err := read(r, c)
	var late *logbook.OrderError
	if errors.As(err, &late) {
		var tests *logbook.Tests
		if tests, err = logbook.CollectTests(r, logbook.TestedOrSingle); err != nil {
			return err
		}
		if c, err = logbook.NewComparisonWith(opt, tests); err != nil {
			return err
		}
		o, err = read(r, c)
	}
	if err != nil {
		return err
	}
	if err := r.Err(); err != nil {
		return err
	}
	return write(out, o, c)
}

func read(r *logbook.Reader, c *logbook.Comparison) (*own, error) {
	o := &own{}
	for b, err := range r.Batches() {
		if err != nil {
			return nil, err
		}
		// Both only read the batch, so they can go on at once.
		var mine sync.WaitGroup
		mine.Go(func() { o.add(b) })
		err := c.AddBatch(b)
		mine.Wait()
		if err != nil {
			return nil, err
		}
	}
	return o, nil
}

func write(out io.Writer, o *own, c *logbook.Comparison) error {
	type row struct {
		lifter, lift string
		*work
	}
	var rows []row
	for l := range o.byLift {
		for a := range o.byLift[l] {
			if w := &o.byLift[l][a]; w.sets > 0 {
				rows = append(rows, row{o.lifters[a], o.lifts[l], w})
			}
		}
	}
	slices.SortFunc(rows, func(a, b row) int {
		return cmp.Or(strings.Compare(a.lifter, b.lifter), strings.Compare(a.lift, b.lift))
	})
	w := bufio.NewWriter(out)
	w.WriteString("athlete,lift,n,tonnage,pairs")
	for _, what := range []string{"best", "bias", "mae", "rmse"} {
		for _, m := range methods {
			fmt.Fprintf(w, ",%s_%s", what, m.ID)
		}
	}
	w.WriteByte('\n')
	factors := make([][len(work{}.best)]float64, len(methods))
	for j, m := range methods {
		for n := range factors[j] {
			factors[j][n] = m.Factor(float64(n))
		}
	}
	// Both go through the same names in the same order.
	series, stop := iter.Pull(c.Series())
	defer stop()
	s, ok := series()
	for _, x := range rows {
		var es []logbook.Errors // none where no set lies before a test
		pairs := int64(0)
		if ok && s.Lifter == x.lifter && s.Lift == x.lift {
			es, pairs = s.Errors, s.Errors[0].Pairs
		}
		fmt.Fprintf(w, "%s,%s,%d,%v,%d", quote(x.lifter), quote(x.lift), x.sets, x.tonnage, pairs)
		number := func(v float64) {
			w.WriteByte(',')
			w.Write(strconv.AppendFloat(w.AvailableBuffer(), v, 'g', -1, 64))
		}
		for j := range methods {
			best := 0.0
			for n, load := range x.best {
				if load > 0 {
					best = max(best, load*factors[j][n])
				}
			}
			number(best)
		}
		for what := range 3 {
			for j := range methods {
				if es == nil {
					w.WriteByte(',')
					continue
				}
				number([]float64{es[j].Bias, es[j].MAE, es[j].RMSE}[what])
			}
		}
		w.WriteByte('\n')
		if es != nil {
			s, ok = series()
		}
	}
	return w.Flush()
}

func quote(s string) string {
	if strings.ContainsAny(s, "\",\n") {
		return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}
