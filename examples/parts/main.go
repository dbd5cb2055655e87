// Command parts sums up a log that lies in many files, cut anywhere: map writes one JSON file for
// each, combine merges those. Comparing equations takes two rounds: see logbook.Comparison.Merge.
//
//	parts map may.csv june.csv && parts combine may.csv.json june.csv.json
package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log"
	"os"

	"github.com/blockwright/blockwright/periodize/logbook"
)

func main() {
	var err error
	switch args := os.Args[1:]; {
	case len(args) > 1 && args[0] == "map":
		for _, file := range args[1:] { // or each on another machine
			err = errors.Join(err, mapFile(file))
		}
	case len(args) > 1 && args[0] == "combine":
		err = combine(os.Stdout, args[1:])
	default:
		err = errors.New("want map and log files, or combine and what map wrote")
	}
	if err != nil {
		log.Fatal(err)
	}
}

// mapFile sums up one file.
func mapFile(file string) error {
	s, err := logbook.Summarise(logbook.NewReader(logbook.Options{}, logbook.File(file)))
	if err != nil {
		return err
	}
	b, err := json.Marshal(s)
	if err != nil {
		return err
	}
	return os.WriteFile(file+".json", b, 0o666)
}

// combine merges sums and prints the whole.
func combine(w io.Writer, files []string) error {
	var all logbook.Summary // takes the unit of the first
	for _, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		var part logbook.Summary
		if err = json.Unmarshal(b, &part); err == nil {
			err = all.Merge(&part)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
	}
	l, err := all.Log(logbook.LogOptions{})
	if err != nil {
		return err
	}
	for _, p := range l.Lifters {
		for _, x := range p.Lifts {
			fmt.Fprintf(w, "%s, %s: %d sets, %.0f kg moved", p.Name, x.Lift, x.Sets, x.Tonnage)
			if x.Max != nil {
				fmt.Fprintf(w, ", maximum %.1f (%.1f to %.1f)", x.Max.Max, x.Max.Low, x.Max.High)
			}
			fmt.Fprintln(w)
		}
	}
	return nil
}
