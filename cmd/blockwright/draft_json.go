package main

import (
	"strings"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
)

// What `draft --json` prints.

type jsonShape struct {
	Overreach  int     `json:"overreach"` // the week of the most sets
	Sets       []int   `json:"sets"`      // of each week
	Rise       float64 `json:"rise"`      // per cent
	WeeksScore float64 `json:"score"`     // of the weeks, lower being better
}

type jsonTerm struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	About string  `json:"about"`
}

type jsonReason struct {
	Path string `json:"path"`
	Text string `json:"text"`
}

// jsonReviewed is a finding of the review of a draft.
type jsonReviewed struct {
	Code     string `json:"code"`
	Severity string `json:"severity"`
	Where    string `json:"where"`
	Text     string `json:"text"`
	Evidence string `json:"evidence"`
}

func shapeJSON(s periodize.DraftShape, score periodize.Score) jsonShape {
	return jsonShape{s.Overreach, append([]int{}, s.Sets...), s.Rise, score.Weeks}
}

func (o *draftOptions) printDraftJSON(sh *shell, d *periodize.Drafted) error {
	var text strings.Builder
	if err := blockfile.WriteBlockWith(&text, d.Block, d.Comment); err != nil {
		return err
	}
	doc := struct {
		Block     string         `json:"block"` // the title
		File      string         `json:"file"`  // the block file, with its comments
		Shape     jsonShape      `json:"shape"`
		RunnersUp []jsonShape    `json:"runners_up"`
		Exercises float64        `json:"exercises_score"`
		Terms     []jsonTerm     `json:"terms"`
		Reasons   []jsonReason   `json:"reasons"`
		Findings  []jsonReviewed `json:"findings"`
	}{Block: d.Block.Title, File: text.String(), Shape: shapeJSON(d.Shape, d.Score), RunnersUp: []jsonShape{}, Exercises: d.Score.Exercises,
		Terms: []jsonTerm{}, Reasons: []jsonReason{}, Findings: []jsonReviewed{}}
	for _, r := range d.RunnersUp {
		doc.RunnersUp = append(doc.RunnersUp, shapeJSON(r.Shape, r.Score))
	}
	for _, t := range d.Score.Terms {
		doc.Terms = append(doc.Terms, jsonTerm{t.Name, t.Value, t.About})
	}
	for _, r := range d.Reasons {
		doc.Reasons = append(doc.Reasons, jsonReason{r.Path, r.Text})
	}
	for _, f := range d.Review.Findings {
		doc.Findings = append(doc.Findings, jsonReviewed{f.Code, string(f.Severity), f.Where, f.Text, f.Evidence})
	}
	return sh.printJSON(doc)
}

type jsonFitReserve struct {
	Sets      int     `json:"sets"`
	Low       float64 `json:"low"`
	High      float64 `json:"high"`
	Under     int     `json:"under"`
	Over      int     `json:"over"`
	FirstWeek int     `json:"first_week_sets"`
}

func fitReserve(r periodize.FitReserve) *jsonFitReserve {
	if r.Sets == 0 {
		return nil
	}
	return &jsonFitReserve{r.Sets, r.Low, r.High, r.Under, r.Over, r.FirstWeek}
}

type jsonFitChange struct {
	What string  `json:"what"`
	Lift *string `json:"lift"`
	Path *string `json:"path"`
	Was  string  `json:"was"`
	Now  string  `json:"now"`
	Why  string  `json:"why"`
}

type jsonFitted struct {
	Name    string          `json:"name"`
	Lacks   []string        `json:"lacks"`
	Changes []jsonFitChange `json:"changes"`
	Before  *jsonFitReserve `json:"before"` // null where block and lifter did not go together
	After   *jsonFitReserve `json:"after"`
}

func printFitJSON(sh *shell, block *periodize.Block, fits []periodize.Fitted) error {
	doc := struct {
		Block   string       `json:"block"`
		Lifters []jsonFitted `json:"lifters"`
	}{block.Title, []jsonFitted{}}
	for i := range fits {
		f := &fits[i]
		j := jsonFitted{Name: f.Lifter.Name, Lacks: append([]string{}, f.Lacks...), Changes: []jsonFitChange{}, Before: fitReserve(f.Before), After: fitReserve(f.After)}
		for _, c := range f.Changes {
			j.Changes = append(j.Changes, jsonFitChange{c.What, orNil(c.Lift), orNil(c.Path), c.Was, c.Now, c.Why})
		}
		doc.Lifters = append(doc.Lifters, j)
	}
	return sh.printJSON(doc)
}
