package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/plates"
)

// velocityAnswer is the maximum by one published line or threshold.
type velocityAnswer struct {
	ID           string   `json:"id"`
	Exercise     string   `json:"exercise"`
	Measure      string   `json:"measure"`
	Threshold    *float64 `json:"threshold"` // m/s at the maximum; null for a group line
	Percent      *float64 `json:"percent"`   // of the maximum that was on the bar; null for an own line
	Max          float64  `json:"max"`
	Low          *float64 `json:"low"`
	High         *float64 `json:"high"`
	Extrapolated bool     `json:"extrapolated"`
	Source       string   `json:"source"`
	ranged       bool     // the range that was studied is known
}

// printVelocity answers from loads and their velocities.
func (o *estimateOptions) printVelocity(sh *shell, written []writtenSet, u plates.Unit) error {
	var points []estimate.VelocityPoint
	for i := range written {
		m, err := written[i].load.in(u)
		if err != nil {
			return err
		}
		points = append(points, estimate.VelocityPoint{Load: m.In(u), Velocity: written[i].velocity})
	}
	if len(points) == 1 {
		if o.threshold != "" {
			return usagef("--threshold needs a line of your own: two or more loads with their velocities")
		}
		return o.groupLines(sh, points[0], u)
	}
	return o.ownLine(sh, points, u)
}

// groupLines puts one load and velocity through the published lines.
func (o *estimateOptions) groupLines(sh *shell, p estimate.VelocityPoint, u plates.Unit) error {
	var answers []velocityAnswer
	var refused []refusal
	for _, r := range estimate.VelocityRelations() {
		f, _, err := r.Fraction(p.Velocity)
		if err != nil {
			refused = append(refused, refusal{ID: r.ID, Why: plain(err), Set: 1})
			continue
		}
		m, extrapolated, err := r.Max(p.Load, p.Velocity)
		if err != nil {
			refused = append(refused, refusal{ID: r.ID, Why: plain(err), Set: 1})
			continue
		}
		pct := 100 * f
		answers = append(answers, velocityAnswer{ID: r.ID, Exercise: r.Exercise, Measure: string(r.Measure), Percent: &pct, Max: m,
			Extrapolated: extrapolated, Source: r.Citation, ranged: r.To > 0})
	}
	if o.json {
		return o.jsonVelocity(sh, []estimate.VelocityPoint{p}, u, nil, answers, refused, nil)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s at %s m/s, by lines of groups. A lifter's own line, from two or more loads, is better.\n\n", decimals(p.Load, 2), u, decimals(p.Velocity, 3))
	t := texttab.New(texttab.Left("line"), texttab.Left("exercise"), texttab.Left("velocity"), texttab.Right("% of max"), texttab.Right(u.String()), texttab.Left(""))
	t.Style = sh.head()
	for _, a := range answers {
		note := ""
		switch {
		case a.Extrapolated && a.ranged:
			note = "beyond what was studied"
		case a.Extrapolated:
			note = "range studied not known"
		}
		t.Row(a.ID, a.Exercise, strings.TrimSuffix(a.Measure, " velocity"), fixed(*a.Percent, 1), fixed(a.Max, 1), note)
	}
	b.WriteString(t.String())
	for _, r := range refused {
		b.WriteString(item("no answer: "+r.Why, "", sh.width))
	}
	b.WriteString("\n" + sh.para(estimateCaution))
	return sh.print(b.String())
}

// thresholds are the velocities at the maximum to answer for: the one asked for,
// or every published one.
func (o *estimateOptions) thresholds() ([]estimate.VelocityThreshold, error) {
	if o.threshold == "" {
		return estimate.VelocityThresholds(), nil
	}
	if v, err := readNumber(o.threshold, 0.01, 2); err == nil {
		return []estimate.VelocityThreshold{{ID: "own", Exercise: "as given", Velocity: v}}, nil
	}
	t, err := estimate.VelocityThresholdByID(o.threshold)
	if err != nil {
		var ne *estimate.NameError
		if errors.As(err, &ne) {
			return nil, usagef("--threshold: want metres per second from 0.01 to 2 or a published one, got %q: %s", o.threshold, nearest(o.threshold, ne.Choices))
		}
		return nil, err
	}
	return []estimate.VelocityThreshold{t}, nil
}

// ownLine fits a lifter's line and reads the maximum off it.
func (o *estimateOptions) ownLine(sh *shell, points []estimate.VelocityPoint, u plates.Unit) error {
	ths, err := o.thresholds()
	if err != nil {
		return err
	}
	line, err := estimate.FitVelocityLine(points)
	if err != nil {
		return err
	}
	var answers []velocityAnswer
	var refused []refusal
	var ws []estimate.Warning
	for _, th := range ths {
		m, err := line.Max(th.Velocity, estimate.VelocityOptions{Coverage: o.level(), ThresholdSD: th.SD})
		if err != nil {
			if o.threshold != "" {
				return err
			}
			refused = append(refused, refusal{ID: th.ID, Why: plain(err), Set: 1})
			continue
		}
		a := velocityAnswer{ID: th.ID, Exercise: th.Exercise, Measure: string(th.Measure), Threshold: &th.Velocity, Max: m.Max, Source: th.Citation}
		if m.HasInterval {
			a.Low, a.High = &m.Low, &m.High
		}
		answers = append(answers, a)
		for _, w := range m.Warnings {
			if !hasWarning(ws, w.Code) {
				ws = append(ws, w)
			}
		}
	}
	if o.json {
		return o.jsonVelocity(sh, points, u, &line, answers, refused, ws)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "line through %s: velocity = %s - %s x load, m/s and %s\n\n", plural(line.N, "load"), decimals(line.Intercept, 4), decimals(-line.Slope, 6), u)
	t := texttab.New(texttab.Left("threshold"), texttab.Left("exercise"), texttab.Right("m/s"), texttab.Right(u.String()),
		texttab.Right(fmt.Sprintf("%s %%", decimals(100*o.level(), 1))))
	t.Style = sh.head()
	for _, a := range answers {
		interval := ""
		if a.Low != nil {
			interval = fixed(*a.Low, 1) + "-" + fixed(*a.High, 1)
		}
		t.Row(a.ID, a.Exercise, fixed(*a.Threshold, 2), fixed(a.Max, 1), interval)
	}
	b.WriteString(t.String())
	for _, r := range refused {
		b.WriteString(item("no answer: "+r.Why, "", sh.width))
	}
	for _, w := range ws {
		b.WriteString(item("- "+w.Text, "", sh.width))
	}
	if o.threshold == "" {
		b.WriteString(item("- choose one with --threshold; the lifter's own velocity of a maximal single is better than any of these", "", sh.width))
	}
	b.WriteString("\n" + sh.para(estimateCaution))
	return sh.print(b.String())
}

func hasWarning(ws []estimate.Warning, code string) bool {
	for _, w := range ws {
		if w.Code == code {
			return true
		}
	}
	return false
}

func (o *estimateOptions) jsonVelocity(sh *shell, points []estimate.VelocityPoint, u plates.Unit, line *estimate.VelocityLine,
	answers []velocityAnswer, refused []refusal, ws []estimate.Warning) error {
	type jsonPoint struct {
		Load     float64 `json:"load"`
		Velocity float64 `json:"velocity"`
	}
	type jsonLine struct {
		Intercept float64 `json:"intercept"`
		Slope     float64 `json:"slope"`
		N         int     `json:"n"`
		Residual  float64 `json:"residual"`
	}
	type jsonMax struct {
		Max      float64  `json:"max"`
		Low      *float64 `json:"low"`
		High     *float64 `json:"high"`
		Coverage float64  `json:"coverage"`
	}
	doc := struct {
		Unit     string           `json:"unit"`
		Points   []jsonPoint      `json:"points"`
		Line     *jsonLine        `json:"line"`
		Answers  []velocityAnswer `json:"answers"`
		Refused  []refusal        `json:"refused"`
		Estimate *jsonMax         `json:"estimate"` // where a threshold was chosen
		Warnings []jsonWarning    `json:"warnings"`
		Caution  string           `json:"caution"`
	}{Unit: u.String(), Answers: append([]velocityAnswer{}, answers...), Refused: append([]refusal{}, refused...), Warnings: warnings(ws), Caution: estimateCaution}
	for _, p := range points {
		doc.Points = append(doc.Points, jsonPoint{p.Load, p.Velocity})
	}
	if line != nil {
		doc.Line = &jsonLine{line.Intercept, line.Slope, line.N, line.Residual}
	}
	if o.threshold != "" && len(answers) == 1 {
		a := &answers[0]
		doc.Estimate = &jsonMax{a.Max, a.Low, a.High, o.level()}
	}
	return sh.printJSON(doc)
}
