package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/plates"
)

// Equations that are tied to a unit, a lift, a load or measures of the body:
// each answers only what its people did.

// bodyMeasure is a measure that is given in a flag.
type bodyMeasure struct {
	of   estimate.Measure
	unit string
	set  func(*estimate.Measures, float64)
}

func bodyMeasures() []bodyMeasure {
	return []bodyMeasure{
		{estimate.MeasureBiacromial, "cm", func(m *estimate.Measures, v float64) { m.Biacromial = v }},
		{estimate.MeasureArmGirth, "cm", func(m *estimate.Measures, v float64) { m.ArmGirth = v }},
		{estimate.MeasureArmLength, "cm", func(m *estimate.Measures, v float64) { m.ArmLength = v }},
		{estimate.MeasureArmArea, "cm2", func(m *estimate.Measures, v float64) { m.ArmArea = v }},
		{estimate.MeasureChestGirth, "cm", func(m *estimate.Measures, v float64) { m.ChestGirth = v }},
		{estimate.MeasureBodyFat, "per cent", func(m *estimate.Measures, v float64) { m.BodyFat = v }},
	}
}

func measureNames() []string {
	var out []string
	for _, m := range bodyMeasures() {
		out = append(out, string(m.of))
	}
	return out
}

func bodyFlag(dst *[]string, name, usage string) cli.Flag {
	f := texts(dst, name, usage, "a name and a value such as 'arm girth=38'")
	for _, n := range measureNames() {
		valueOf(f).choices = append(valueOf(f).choices, n+"=")
	}
	return f
}

// readMeasures reads NAME=VALUE. What is plausible is the equations' to say.
func readMeasures(texts []string) (map[estimate.Measure]float64, error) {
	out := map[estimate.Measure]float64{}
	for _, s := range texts {
		name, value, has := strings.Cut(s, "=")
		if !has {
			return nil, usagef("--measure: want a name and a value such as 'arm girth=38', got %q", s)
		}
		if !slices.Contains(measureNames(), name) {
			return nil, usagef("--measure: there is no measure %q: %s", name, nearest(name, measureNames()))
		}
		m := estimate.Measure(name)
		if _, twice := out[m]; twice {
			return nil, usagef("--measure: %s is given twice", name)
		}
		v, err := readNumber(value, 0.1, 1000)
		if err != nil {
			return nil, usagef("--measure: %s: want a number above 0, got %q%s", name, value, hint(err))
		}
		out[m] = v
	}
	return out, nil
}

// tiedAnswer is what one of them makes of the sets.
type tiedAnswer struct {
	ID         string     `json:"id"`
	Max        float64    `json:"max"`    // the median over the sets
	BySet      []*float64 `json:"by_set"` // empty where no set is needed
	Lift       string     `json:"lift"`
	Population string     `json:"population"`
	Error      *string    `json:"error"` // as published
	Citation   string     `json:"citation"`
	Have       string     `json:"have"`
	Note       *string    `json:"note"`
}

// tiedNeed is an equation that cannot be asked without more measures.
type tiedNeed struct {
	ID    string   `json:"id"`
	Needs []string `json:"needs"`
}

type tiedAnswers struct {
	Answers []tiedAnswer `json:"answers"`
	Refused []refusal    `json:"refused"`
	Lacking []tiedNeed   `json:"lacking"`
}

// tiedTo puts the sets, and the measures, through every tied equation.
func (o *estimateOptions) tiedTo(ss []estimate.Set, u plates.Unit) (*tiedAnswers, error) {
	var m estimate.Measures
	for _, b := range bodyMeasures() {
		if v, ok := o.measures[b.of]; ok {
			b.set(&m, v)
		}
	}
	out := &tiedAnswers{Answers: []tiedAnswer{}, Refused: []refusal{}, Lacking: []tiedNeed{}}
	for _, r := range estimate.Regressions() {
		var lacks []string
		ofSet := false
		for _, k := range r.Needs {
			switch _, given := o.measures[k]; {
			case k == estimate.MeasureLoad || k == estimate.MeasureReps:
				ofSet = true
			case !given:
				lacks = append(lacks, string(k))
			}
		}
		if ofSet && len(ss) == 0 {
			lacks = append([]string{"a set"}, lacks...)
		}
		if len(lacks) > 0 {
			out.Lacking = append(out.Lacking, tiedNeed{r.ID, lacks})
			continue
		}
		a := tiedAnswer{ID: r.ID, BySet: []*float64{}, Lift: r.Lift, Population: r.Population, Error: orNil(r.Error),
			Citation: r.Citation, Have: string(r.Have), Note: orNil(r.Note)}
		if !ofSet {
			max, err := r.Max(m, estimate.Unit(u.String()))
			if err != nil {
				out.Refused = append(out.Refused, refusal{ID: r.ID, Why: ofEquation(r.ID, err)})
				continue
			}
			a.Max = max
			out.Answers = append(out.Answers, a)
			continue
		}
		var got []float64
		for i, s := range ss {
			m.Load, m.Reps = s.Load, s.Reps
			if !s.NoRIR {
				m.Reps += s.RIR
			}
			max, err := r.Max(m, estimate.Unit(u.String()))
			if err != nil {
				out.Refused = append(out.Refused, refusal{ID: r.ID, Why: ofEquation(r.ID, err), Set: i + 1})
				a.BySet = append(a.BySet, nil)
				continue
			}
			got = append(got, max)
			a.BySet = append(a.BySet, &max)
		}
		if len(got) > 0 {
			a.Max = medianOfAnswers(got)
			out.Answers = append(out.Answers, a)
		}
	}
	return out, nil
}

// ofEquation is an error's text with the equation that it is of.
func ofEquation(id string, err error) string {
	if s := plain(err); strings.HasPrefix(s, id+": ") {
		return s
	}
	return id + ": " + plain(err)
}

func (a *tiedAnswers) text(sh *shell, u plates.Unit, sets int) string {
	var b strings.Builder
	b.WriteString(sh.bold("Equations of one lift, unit or test") + ": right for the people and the test beside them, if for anyone\n")
	if len(a.Answers) > 0 {
		t := texttab.New(texttab.Left("equation"), texttab.Right(u.String()), texttab.Wrapped("published error", 16), texttab.Filling("lift; people; source"))
		t.Width, t.Style = sh.width, sh.head()
		for _, x := range a.Answers {
			published := "not published"
			if x.Error != nil {
				published = *x.Error
			}
			about := x.Lift + "; " + x.Population + "; " + x.Citation + " (" + x.Have + ")"
			if x.Note != nil {
				about += "; " + *x.Note
			}
			t.Row(x.ID, fixed(x.Max, 1), published, about)
		}
		b.WriteString(t.String())
	}
	for _, r := range a.Refused {
		where := ""
		if sets > 1 && r.Set > 0 {
			where = fmt.Sprintf(", set %d", r.Set)
		}
		b.WriteString(item("no answer"+where+": "+r.Why, "", sh.width))
	}
	for i, l := range a.Lacking {
		same := func(o tiedNeed) bool { return slices.Equal(o.Needs, l.Needs) }
		if slices.IndexFunc(a.Lacking, same) < i {
			continue // said with the first of them
		}
		var ids []string
		for _, o := range a.Lacking {
			if same(o) {
				ids = append(ids, o.ID)
			}
		}
		verb := " needs "
		if len(ids) > 1 {
			verb = " need "
		}
		b.WriteString(item("not asked: "+oneOf(ids, "and")+verb+oneOf(l.Needs, "and"), "", sh.width))
	}
	if sets > 0 {
		b.WriteString(item("They were made from sets to failure: a reserve that was said counts as repetitions made.", "", sh.width))
	}
	return b.String()
}

// printMeasures answers from measures of the body, without a set.
func (o *estimateOptions) printMeasures(sh *shell, u plates.Unit) error {
	tied, err := o.tiedTo(nil, u)
	if err != nil {
		return err
	}
	if o.json {
		return sh.printJSON(struct {
			Unit    string       `json:"unit"`
			Tied    *tiedAnswers `json:"tied"`
			Caution string       `json:"caution"`
		}{u.String(), tied, estimateCaution})
	}
	return sh.print(tied.text(sh, u, 0) + "\n" + sh.para(estimateCaution))
}
