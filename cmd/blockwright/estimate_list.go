package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/internal/texttab"
)

// What is known of the equations and curves, for people and for programs.

type listed struct {
	ID         string   `json:"id"`
	Name       string   `json:"name"`
	Formula    string   `json:"formula"`
	Family     *string  `json:"family"`
	VariantOf  *string  `json:"variant_of"`
	Unit       *string  `json:"unit"` // null for equations that take any
	Lift       string   `json:"lift"`
	Population string   `json:"population"`
	From       *float64 `json:"from"` // repetitions
	To         *float64 `json:"to"`
	Range      string   `json:"range"`
	Citation   string   `json:"citation"`
	Have       string   `json:"have"`
	Note       string   `json:"note"`
}

func orNil[T comparable](v T) *T {
	var zero T
	if v == zero {
		return nil
	}
	return &v
}

func listing() (free, bound, velocity []listed) {
	for _, e := range estimate.Equations() {
		free = append(free, listed{ID: e.ID, Name: e.Name, Formula: e.Formula, Family: orNil(e.Family), VariantOf: orNil(e.VariantOf), Lift: e.Lift,
			Population: e.Population, From: orNil(e.From), To: orNil(e.To), Range: e.Range, Citation: e.Citation, Have: string(e.Have), Note: e.Note})
	}
	for _, r := range estimate.Regressions() {
		bound = append(bound, listed{ID: r.ID, Name: r.Name, Formula: r.Formula, Unit: orNil(string(r.Unit)), Lift: r.Lift,
			Population: r.Population, From: orNil(r.From), To: orNil(r.To), Range: r.Range, Citation: r.Citation, Have: string(r.Have), Note: r.Note})
	}
	for _, v := range estimate.VelocityRelations() {
		velocity = append(velocity, listed{ID: v.ID, Name: string(v.Measure), Formula: v.Formula, Lift: v.Exercise, Range: v.Range,
			Citation: v.Citation, Have: string(v.Have), Note: v.Note})
	}
	return free, bound, velocity
}

func (o *estimateOptions) printList(sh *shell) error {
	free, bound, velocity := listing()
	if o.json {
		return sh.printJSON(struct {
			Equations   []listed `json:"equations"`
			Regressions []listed `json:"regressions"`
			Velocity    []listed `json:"velocity"`
		}{free, bound, velocity})
	}
	var b strings.Builder
	write := func(title string, list []listed) {
		b.WriteString(sh.bold(title) + "\n")
		for _, l := range list {
			b.WriteString("\n" + l.ID + "  " + l.Name)
			switch {
			case l.VariantOf != nil:
				b.WriteString(", a variant of " + *l.VariantOf)
			case l.Family != nil && *l.Family != l.ID:
				b.WriteString(", family " + *l.Family)
			}
			b.WriteString("\n")
			about := l.Formula
			if l.Unit != nil {
				about += ", in " + *l.Unit
			}
			b.WriteString(item(about, "    ", sh.width))
			var where []string
			for _, s := range []string{l.Lift, l.Population, l.Range} {
				if s != "" {
					where = append(where, s)
				}
			}
			if l.From != nil && l.To != nil {
				where = append(where, fmt.Sprintf("%s to %s repetitions", decimals(*l.From, 1), decimals(*l.To, 1)))
			}
			if len(where) > 0 {
				b.WriteString(item(strings.Join(where, "; "), "    ", sh.width))
			}
			b.WriteString(item(l.Citation+" ("+l.Have+")", "    ", sh.width))
			if l.Note != "" {
				b.WriteString(item(l.Note, "    ", sh.width))
			}
		}
	}
	write("Equations for any unit: w the load, r the repetitions and those in reserve", free)
	b.WriteString("\n")
	write("Equations tied to a unit, a lift or a test: asked with --tied", bound)
	b.WriteString("\n")
	write("Velocity lines of groups", velocity)
	return sh.print(b.String())
}

func (o *estimateOptions) printCurves(sh *shell) error {
	if o.json {
		type jsonCurve struct {
			Name     string  `json:"name"`
			From     float64 `json:"from"`
			To       float64 `json:"to"`
			Citation string  `json:"citation"`
			Have     string  `json:"have"`
			Note     string  `json:"note"`
		}
		var list []jsonCurve
		for _, c := range estimate.Curves() {
			list = append(list, jsonCurve{c.Name, c.From, c.To, c.Citation, string(c.Have), c.Note})
		}
		return sh.printJSON(struct {
			Curves []jsonCurve `json:"curves"`
		}{list})
	}
	t := texttab.New(texttab.Left("curve"), texttab.Right("studied,\n% of max"), texttab.Right("repetitions\nat 90 %"), texttab.Right("\n80 %"), texttab.Right("\n70 %"), texttab.Filling("source"))
	t.Width, t.Style = sh.width, sh.head()
	for _, c := range estimate.Curves() {
		row := []string{c.Name, decimals(100*c.From, 0) + "-" + decimals(100*c.To, 0)}
		for _, f := range []float64{0.9, 0.8, 0.7} {
			n, sd, _, err := c.Reps(f)
			switch {
			case err != nil:
				row = append(row, "-")
			default:
				row = append(row, fmt.Sprintf("%s (%s)", fixed(n, 1), fixed(sd, 1)))
			}
		}
		source := "equation (" + string(c.Have) + ")"
		if _, err := estimate.EquationByID(c.Name); err != nil {
			source = c.Citation + " (" + string(c.Have) + ")"
		}
		t.Row(append(row, source)...)
	}
	return sh.print(t.String() + "in brackets: the standard deviation between lifters; the equations are in --list\n")
}

// relation is what one curve answers without any set.
type relation struct {
	Curve        string  `json:"curve"`
	Mid          float64 `json:"mid"`
	Low          float64 `json:"low"`
	High         float64 `json:"high"`
	Extrapolated bool    `json:"extrapolated"`
}

// printRelations answers --reps-at and --load-for for no lifter in particular.
func (o *estimateOptions) printRelations(sh *shell) error {
	tail := (1 - o.level()) / 2
	if tail < 0.001 {
		return usagef("--coverage: want at most 99.8 without sets")
	}
	var reps, loads []relation
	var refused []refusal
	for _, c := range estimate.Curves() {
		if o.repsAt != nil {
			f := *o.repsAt / 100
			r, err := ends(c.Name, func(q float64) (float64, bool, error) { return c.RepsAt(f, q) }, tail)
			if err != nil {
				refused = append(refused, refusal{ID: c.Name, Why: plain(err)})
			} else {
				reps = append(reps, r)
			}
		}
		if o.wantedLoadFor {
			n := float64(o.forReps) + o.forRIR
			r, err := ends(c.Name, func(q float64) (float64, bool, error) {
				x, e, err := c.FractionAt(n, q)
				return 100 * x, e, err
			}, tail)
			if err != nil {
				refused = append(refused, refusal{ID: c.Name, Why: plain(err)})
			} else {
				loads = append(loads, r)
			}
		}
	}
	if o.json {
		return sh.printJSON(struct {
			RepsAt  []relation `json:"reps_at"`
			LoadFor []relation `json:"load_for"`
			Refused []refusal  `json:"refused"`
		}{reps, loads, append([]refusal{}, refused...)})
	}
	var b strings.Builder
	write := func(title, unit string, list []relation) {
		if len(list) == 0 {
			return
		}
		if b.Len() > 0 {
			b.WriteString("\n")
		}
		b.WriteString(title + "\n")
		t := texttab.New(texttab.Left("curve"), texttab.Right(unit), texttab.Right(decimals(100*o.level(), 1)+" % of lifters"), texttab.Left(""))
		t.Style = sh.head()
		for _, r := range list {
			note := ""
			if r.Extrapolated {
				note = "beyond what was studied"
			}
			t.Row(r.Curve, fixed(r.Mid, 1), fixed(r.Low, 1)+"-"+fixed(r.High, 1), note)
		}
		b.WriteString(t.String())
	}
	if o.repsAt != nil {
		write("repetitions at "+decimals(*o.repsAt, 2)+" % of the maximum", "repetitions", reps)
	}
	if o.wantedLoadFor {
		write("load for "+o.forWords()+", in per cent of the maximum", "% of max", loads)
	}
	for _, r := range refused {
		b.WriteString(item("no answer: "+r.Why, "", sh.width))
	}
	b.WriteString("\nwith sets the answer is for their lifter, as in: blockwright estimate 100x5+1 --reps-at 80\n")
	return sh.print(b.String())
}

// ends is an answer for the middle lifter and for those at both ends.
func ends(curve string, at func(q float64) (float64, bool, error), tail float64) (relation, error) {
	mid, extrapolated, err := at(0.5)
	low, _, err1 := at(tail)
	high, _, err2 := at(1 - tail)
	return relation{curve, mid, low, high, extrapolated}, errors.Join(err, err1, err2)
}
