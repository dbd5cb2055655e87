// Command logs makes up a training log of any size and writes it to standard
// output: invented people with invented numbers, novices and advanced lifters, reserves reported
// wrongly, weeks missed, and slips of the pen where asked for. One seed gives the same bytes every time.
//
//	go run ./examples/logs -rows 100000 -typos 0.001 > log.csv
package main

import (
	"flag"
	"fmt"
	"os"

	"github.com/blockwright/blockwright/examples/logs/invent"
)

func main() {
	var o invent.Options
	flag.IntVar(&o.Rows, "rows", 10_000, "rows to write")
	flag.IntVar(&o.Lifters, "lifters", 0, "lifters; 0 is one for about every 2,500 rows")
	flag.Uint64Var(&o.Seed, "seed", 1, "seed")
	flag.Float64Var(&o.Typos, "typos", 0, "share of rows with a slip of the pen")
	flag.BoolVar(&o.Shuffle, "shuffle", false, "rows in random order instead of by date")
	flag.Parse()
	if err := invent.Write(os.Stdout, o); err != nil {
		fmt.Fprintln(os.Stderr, "logs:", err)
		os.Exit(1)
	}
}
