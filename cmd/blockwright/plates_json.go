package main

import (
	"encoding/json"

	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/plates"
)

// What `plates --json` prints.

type jsonLoad struct {
	Who     *string           `json:"who"` // lifter or bar, where there are several
	Target  float64           `json:"target"`
	Loaded  float64           `json:"loaded"`
	PerSide []json.RawMessage `json:"per_side"` // null for a station
	Off     []json.RawMessage `json:"off"`
	On      []json.RawMessage `json:"on"`
	Below   *float64          `json:"below"` // nearest, where the target cannot be loaded
	Above   *float64          `json:"above"`
	Missing []json.RawMessage `json:"missing"` // plates, one of each missing pair
	Reps    *int              `json:"reps"`    // of a warm-up set
	RestS   *int              `json:"rest_s"`
}

func (o *platesOptions) printJSON(sh *shell, s *stock, list []loaded, seq *plates.Sequence) error {
	u := s.unit
	doc := struct {
		Unit    string            `json:"unit"`
		Name    string            `json:"name"`
		Bar     *float64          `json:"bar"` // null for a station
		Collars *float64          `json:"collars"`
		Loads   []jsonLoad        `json:"loads"`
		Off     []json.RawMessage `json:"off"`   // at the end
		Moves   *int              `json:"moves"` // one side; null without a sequence
		Moved   *float64          `json:"moved"`
		Proven  *bool             `json:"proven"`
		Bound   *int              `json:"bound"`
	}{Unit: u.String(), Name: s.loads.Name(), Loads: []jsonLoad{}, Off: []json.RawMessage{}}
	bar, isBar := s.loads.Bar()
	if isBar {
		m, c := bar.Mass.In(u), bar.Collars.In(u)
		doc.Bar, doc.Collars = &m, &c
	}
	for _, l := range list {
		j := jsonLoad{Target: l.want.In(u), Loaded: l.got.In(u), Missing: []json.RawMessage{}}
		j.Who = orNil(l.who)
		if isBar {
			j.PerSide, j.Off, j.On = jsonPlates(l.side, u), jsonPlates(l.off, u), jsonPlates(l.on, u)
		}
		if l.why != nil {
			if l.why.HaveBelow {
				x := l.why.Below.In(u)
				j.Below = &x
			}
			if l.why.HaveAbove {
				x := l.why.Above.In(u)
				j.Above = &x
			}
			j.Missing = jsonPlates(l.why.Missing, u)
		}
		if l.reps > 0 {
			j.Reps, j.RestS = &l.reps, &l.rest
		}
		doc.Loads = append(doc.Loads, j)
	}
	if isBar && seq != nil {
		moved := seq.Moved.In(u)
		doc.Off, doc.Moves, doc.Moved, doc.Proven, doc.Bound = jsonPlates(seq.Off, u), &seq.Moves, &moved, &seq.Proven, &seq.Bound
	}
	return sh.printJSON(doc)
}

// jsonPlates writes plates as every JSON of the program does.
func jsonPlates(side []plates.Plate, u plates.Unit) []json.RawMessage {
	out := []json.RawMessage{}
	for _, p := range side {
		out = append(out, sheet.AppendPlate(nil, p, u))
	}
	return out
}
