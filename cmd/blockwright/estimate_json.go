package main

import (
	"time"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/plates"
)

// What `estimate --json` prints.

type jsonSet struct {
	Load float64  `json:"load"`
	Reps int      `json:"reps"`
	RIR  *float64 `json:"rir"` // null where nothing was said of it
	Date *string  `json:"date"`
}

type jsonEquation struct {
	ID           string     `json:"id"`
	Max          float64    `json:"max"` // the median over the sets
	Family       string     `json:"family"`
	Extrapolated bool       `json:"extrapolated"`
	BySet        []*float64 `json:"by_set"`
}

// refusal is an equation that gives no answer for a set.
type refusal struct {
	ID  string `json:"id"`
	Why string `json:"why"`
	Set int    `json:"set"` // 1 is the first
}

type jsonEstimate struct {
	Max      float64 `json:"max"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
	Coverage float64 `json:"coverage"`
	Curve    string  `json:"curve"`
}

type jsonFamilies struct {
	Median float64 `json:"median"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	Count  int     `json:"count"`
}

type jsonWarning struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

type jsonPredicted struct {
	Percent      *float64 `json:"percent,omitempty"`
	Reps         *int     `json:"reps,omitempty"`
	RIR          *float64 `json:"rir,omitempty"`
	Mid          float64  `json:"mid"`
	Low          float64  `json:"low"`
	High         float64  `json:"high"`
	Extrapolated bool     `json:"extrapolated"`
}

func (o *estimateOptions) predicted(reps, load *estimate.Predicted) (r, l *jsonPredicted) {
	if reps != nil {
		r = &jsonPredicted{Percent: o.repsAt, Mid: reps.Mid, Low: reps.Low, High: reps.High, Extrapolated: reps.Extrapolated}
	}
	if load != nil {
		l = &jsonPredicted{Reps: &o.forReps, RIR: &o.forRIR, Mid: load.Mid, Low: load.Low, High: load.High, Extrapolated: load.Extrapolated}
	}
	return r, l
}

func warnings(ws []estimate.Warning) []jsonWarning {
	out := []jsonWarning{}
	for _, w := range ws {
		out = append(out, jsonWarning{w.Code, w.Text})
	}
	return out
}

func (o *estimateOptions) jsonSets(sh *shell, written []writtenSet, ss []estimate.Set, u plates.Unit, e estimate.Estimate,
	answers []answer, refused []refusal, reps, load *estimate.Predicted, tied *tiedAnswers) error {
	doc := struct {
		Unit      string         `json:"unit"`
		Sets      []jsonSet      `json:"sets"`
		Equations []jsonEquation `json:"equations"`
		Refused   []refusal      `json:"refused"`
		Families  *jsonFamilies  `json:"families"`
		Estimate  jsonEstimate   `json:"estimate"`
		RepsAt    *jsonPredicted `json:"reps_at"`
		LoadFor   *jsonPredicted `json:"load_for"`
		Tied      *tiedAnswers   `json:"tied"` // null unless asked for
		Warnings  []jsonWarning  `json:"warnings"`
		Caution   string         `json:"caution"`
	}{
		Unit: u.String(), Tied: tied, Equations: []jsonEquation{}, Refused: append([]refusal{}, refused...),
		Estimate: jsonEstimate{e.Max, e.Low, e.High, e.Coverage, e.Curve},
		Warnings: warnings(e.Warnings), Caution: estimateCaution,
	}
	for i := range written {
		s := jsonSet{Load: ss[i].Load, Reps: written[i].reps, RIR: written[i].rir}
		if d := written[i].day; !d.IsZero() {
			text := d.Format(time.DateOnly)
			s.Date = &text
		}
		doc.Sets = append(doc.Sets, s)
	}
	for _, a := range answers {
		j := jsonEquation{ID: a.eq.ID, Max: a.max, Family: a.eq.Family, Extrapolated: a.extrapolated}
		for _, x := range a.bySet {
			if x > 0 {
				j.BySet = append(j.BySet, &x)
			} else {
				j.BySet = append(j.BySet, nil)
			}
		}
		doc.Equations = append(doc.Equations, j)
	}
	if c := agreed(answers); c.Families > 0 {
		doc.Families = &jsonFamilies{c.Median, c.Low, c.High, c.Families}
	}
	doc.RepsAt, doc.LoadFor = o.predicted(reps, load)
	return sh.printJSON(doc)
}
