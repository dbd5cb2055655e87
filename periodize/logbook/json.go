package logbook

import (
	"encoding/json"

	"github.com/blockwright/blockwright/estimate"
)

// The JSON of a result, as scripts rely on it: null where there is nothing to say.

type measureJSON struct {
	ID       string   `json:"id"`
	N        int64    `json:"n"`
	Bias     float64  `json:"bias"`
	MAE      float64  `json:"mae"`
	RMSE     float64  `json:"rmse"`
	LoaLow   *float64 `json:"loa_low"`
	LoaHigh  *float64 `json:"loa_high"`
	CCC      *float64 `json:"ccc"`
	BiasLow  *float64 `json:"bias_low"`
	BiasHigh *float64 `json:"bias_high"`
	MAELow   *float64 `json:"mae_low"`
	MAEHigh  *float64 `json:"mae_high"`
	RMSELow  *float64 `json:"rmse_low"`
	RMSEHigh *float64 `json:"rmse_high"`
	// The intervals of the limits of agreement.
	LoaLowFrom  *float64 `json:"loa_low_from"`
	LoaLowTo    *float64 `json:"loa_low_to"`
	LoaHighFrom *float64 `json:"loa_high_from"`
	LoaHighTo   *float64 `json:"loa_high_to"`
}

type groupJSON struct {
	Lift      *string       `json:"lift"`
	Band      *string       `json:"band"`
	Lifter    *string       `json:"lifter"`
	Pairs     int64         `json:"pairs"`
	Lifters   int           `json:"lifters"`
	Equations []measureJSON `json:"equations"`
}

type differenceJSON struct {
	A    string   `json:"a"`
	B    string   `json:"b"`
	MAE  float64  `json:"mae_difference"`
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
}

type choiceJSON struct {
	Lifter  string   `json:"lifter"`
	Tests   int      `json:"tests"`
	Best    *string  `json:"best"`
	Error   *float64 `json:"error_percent"`
	Rivals  []string `json:"rivals"`
	Decided bool     `json:"decided"`
}

type refitJSON struct {
	Formula      string             `json:"formula"`
	Families     []string           `json:"families"`
	Coefficients map[string]float64 `json:"coefficients"`
	RMSE         *float64           `json:"rmse"`
	Validated    *float64           `json:"validated_rmse"`
	Against      *string            `json:"against"`
	Gain         *float64           `json:"gain"`
	Low          *float64           `json:"low"`
	High         *float64           `json:"high"`
	Why          *string            `json:"why"`
}

type warningJSON struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// MarshalJSON writes the result in the form that `compare --json` prints.
func (r *Result) MarshalJSON() ([]byte, error) {
	type out struct {
		Unit      string           `json:"unit"`
		Tests     int64            `json:"tests"`
		Lifters   int              `json:"lifters"`
		Pairs     int64            `json:"pairs"`
		Counts    Counts           `json:"counts"`
		Equations []measureJSON    `json:"equations"`
		By        []groupJSON      `json:"by"`
		Paired    []differenceJSON `json:"paired"`
		Choices   []choiceJSON     `json:"choices"`
		Refits    []refitJSON      `json:"refits"`
		Warnings  []warningJSON    `json:"warnings"`
	}
	o := out{Unit: r.Unit.String(), Tests: r.Counts.Tests, Lifters: r.Lifters, Pairs: r.All.Pairs, Counts: r.Counts, Equations: measures(r.All.Methods),
		By: []groupJSON{}, Paired: []differenceJSON{}, Choices: []choiceJSON{}, Refits: []refitJSON{}, Warnings: []warningJSON{}}
	for _, gs := range [][]Group{r.ByLift, r.ByBand, r.ByLifter} {
		for _, g := range gs {
			o.By = append(o.By, groupJSON{optional(g.Lift), optional(g.Band), optional(g.Lifter), g.Pairs, g.Lifters, measures(g.Methods)})
		}
	}
	for _, d := range r.Paired {
		j := differenceJSON{A: d.A, B: d.B, MAE: d.MAE}
		j.Low, j.High = ends(d.Interval)
		o.Paired = append(o.Paired, j)
	}
	for _, c := range r.Choices {
		j := choiceJSON{Lifter: c.Lifter, Tests: c.Tests, Best: optional(c.Best), Rivals: append([]string{}, c.Rivals...), Decided: c.Decided}
		if c.Tests > 0 {
			j.Error = &c.Error
		}
		o.Choices = append(o.Choices, j)
	}
	for _, f := range r.Refits {
		j := refitJSON{Formula: f.Formula, Families: f.Families, Why: optional(f.Why)}
		if f.Why == "" {
			j.Coefficients = map[string]float64{}
			for i, n := range f.Names {
				j.Coefficients[n] = f.Values[i]
			}
			j.RMSE, j.Validated, j.Gain, j.Against = &f.RMSE, &f.Validated, &f.Gain, &f.Against
			j.Low, j.High = ends(f.GainIn)
		}
		o.Refits = append(o.Refits, j)
	}
	for _, w := range r.Warnings {
		o.Warnings = append(o.Warnings, warningJSON{w.Code, w.Text})
	}
	return json.Marshal(o)
}

func measures(ms []Measure) []measureJSON {
	out := make([]measureJSON, 0, len(ms))
	for i := range ms {
		m := &ms[i]
		j := measureJSON{ID: m.ID, N: m.N, Bias: m.Bias, MAE: m.MAE, RMSE: m.RMSE}
		if m.HasSpread {
			j.LoaLow, j.LoaHigh = &m.Lower, &m.Upper
		}
		if m.HasConcordance {
			j.CCC = &m.CCC
		}
		j.BiasLow, j.BiasHigh = ends(m.BiasBoot)
		j.MAELow, j.MAEHigh = ends(m.MAEBoot)
		j.RMSELow, j.RMSEHigh = ends(m.RMSEBoot)
		j.LoaLowFrom, j.LoaLowTo = ends(m.LowerBoot)
		j.LoaHighFrom, j.LoaHighTo = ends(m.UpperBoot)
		out = append(out, j)
	}
	return out
}

func optional(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

func ends(i *estimate.Interval) (low, high *float64) {
	if i == nil {
		return nil, nil
	}
	return &i.Low, &i.High
}
