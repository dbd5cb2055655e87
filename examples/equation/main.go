// Command equation puts an equation of the analyst's own beside the published ones and compares
// them on a log: each set against the next test of its lifter and lift, with intervals over
// lifters. Without a file the log is invented, and its figures are evidence of nothing.
//
//	go run ./examples/equation
//	go run ./examples/equation log.csv
package main

import (
	"bytes"
	"fmt"
	"io"
	"log"
	"os"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/examples/logs/invent"
	"github.com/blockwright/blockwright/periodize/logbook"
)

// ours is a straight line through a true single, which is its own maximum.
var ours = logbook.Method{ID: "ours", Factor: func(n float64) float64 { return 1 + (n-1)/33 }}

func main() {
	source := invented()
	if len(os.Args) > 1 {
		source = logbook.File(os.Args[1])
	}
	if err := compare(os.Stdout, logbook.NewReader(logbook.Options{}, source)); err != nil {
		log.Fatal(err)
	}
}

// invented is a log of twelve lifters who do not exist.
func invented() logbook.Source {
	var b bytes.Buffer
	invent.Write(&b, invent.Options{Rows: 20_000, Lifters: 12, Seed: 4}) // into memory, which does not fail
	return logbook.Stream("invented log", &b)
}

func compare(w io.Writer, r *logbook.Reader) error {
	published, err := logbook.Published()
	if err != nil {
		return err
	}
	c, err := logbook.Compare(r, logbook.CompareOptions{Methods: append(published, ours)})
	if err != nil {
		return err
	}
	res, err := c.Result(logbook.ResultOptions{})
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "%d sets against tests, %d lifters, %.0f %% intervals over them, %s\n", res.All.Pairs, res.Lifters, 100*res.Confidence, res.Unit)
	fmt.Fprintf(w, "%-16s%-24s%-24s%s\n", "", "mean absolute error", "bias", "error less that of ours")
	less := map[string]string{ours.ID: "    -"}
	for _, d := range res.Paired {
		if d.B == ours.ID { // the last of the methods, so never A
			less[d.A] = with(d.MAE, d.Interval)
		}
	}
	for _, m := range res.All.Methods {
		fmt.Fprintf(w, "%-16s%-24s%-24s%s\n", m.ID, with(m.MAE, m.MAEBoot), with(m.Bias, m.BiasBoot), less[m.ID])
	}
	for _, warning := range res.Warnings {
		fmt.Fprintln(w, warning.Text)
	}
	return nil
}

// with is a figure with its interval, which one lifter alone does not give.
func with(v float64, i *estimate.Interval) string { return fmt.Sprintf("%5.2f (%s)", v, i.Text(2)) }
