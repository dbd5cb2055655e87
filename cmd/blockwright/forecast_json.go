package main

import (
	"encoding/json"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/response"
)

// What `forecast --json` prints. Numbers of days count from 1, the first.

type jsonBand struct {
	Mid  float64 `json:"mid"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

type jsonForecastDay struct {
	Date    *string  `json:"date"` // null for a plan without dates
	Day     int      `json:"day"`
	Mid     float64  `json:"mid"` // relative freshness
	Low     float64  `json:"low"`
	High    float64  `json:"high"`
	Load    float64  `json:"load"`
	Fitness jsonBand `json:"fitness"` // change since the first day, in ranges of freshness
	Fatigue jsonBand `json:"fatigue"`
}

type jsonFreshest struct {
	Date    *string `json:"date"`
	Low     *string `json:"low"`
	High    *string `json:"high"`
	Day     int     `json:"day"`
	LowDay  int     `json:"low_day"`
	HighDay int     `json:"high_day"`
	Share   float64 `json:"share"` // of the list, within three days of day
	Agree   int     `json:"agree"`
	Of      int     `json:"of"`
}

type jsonParameterSet struct {
	Name     string  `json:"name"`
	Tau1     float64 `json:"tau1"`
	Tau2     float64 `json:"tau2"`
	Ratio    float64 `json:"ratio"`
	Mark     string  `json:"mark"`
	From     string  `json:"from"`
	Freshest *int    `json:"freshest"` // day
}

type jsonForecastPlan struct {
	Block    string            `json:"block"`
	Days     []jsonForecastDay `json:"days"`
	Freshest jsonFreshest      `json:"freshest"`
	Test     *int              `json:"test"` // day
}

type jsonComparison struct {
	Day        int       `json:"day"`
	Date       *string   `json:"date"`
	AheadA     int       `json:"ahead_a"`
	AheadB     int       `json:"ahead_b"`
	Even       int       `json:"even"`
	Difference []float64 `json:"difference"` // A less B, by set
	Padded     *string   `json:"padded"`
}

type jsonForecast struct {
	Lifter *string `json:"lifter"`
	jsonForecastPlan
	Measure    string             `json:"measure"`
	LoadUnit   string             `json:"load_unit"`
	Method     string             `json:"method"`
	Before     float64            `json:"before"` // load a day before day 1
	Assumed    string             `json:"assumed"`
	Convention string             `json:"convention"`
	Sets       []jsonParameterSet `json:"sets"`
	Fit        *struct{}          `json:"fit"` // null: a plan has no tests to fit to
	Against    *jsonForecastPlan  `json:"against"`
	Comparison *jsonComparison    `json:"comparison"`
	Caveats    []string           `json:"caveats"`
}

// dateOrNil is a date as JSON has it.
func dateOrNil(d time.Time) *string {
	if d.IsZero() {
		return nil
	}
	s := d.Format(time.DateOnly)
	return &s
}

func forecastJSON(f *forecasted) *jsonForecast {
	x := f.f
	doc := &jsonForecast{
		Lifter: orNil(f.lifter), jsonForecastPlan: forecastPlanJSON(f.block, x),
		Measure: string(x.Daily.Measure), LoadUnit: x.Daily.Unit, Method: x.Daily.Method,
		Before: x.Before, Assumed: x.Assumed, Convention: x.Convention.String(), Caveats: x.Caveats,
	}
	for _, s := range x.Outlook.Sets {
		j := parameterSetsJSON([]response.ParameterSet{s.Set})[0]
		j.Freshest = &s.Freshest
		doc.Sets = append(doc.Sets, j)
	}
	if p := f.pair; p != nil {
		b := forecastPlanJSON(f.other, p.B)
		c := p.Comparison
		doc.Against = &b
		doc.Comparison = &jsonComparison{Day: p.On, Date: dateOrNil(x.Date(p.On)), AheadA: c.AheadA, AheadB: c.AheadB, Even: c.Even,
			Difference: c.Difference, Padded: orNil(p.Padded)}
	}
	return doc
}

func forecastPlanJSON(block string, f *periodize.Forecast) jsonForecastPlan {
	p := jsonForecastPlan{Block: block, Test: orNil(f.Test)}
	for i, d := range f.Days {
		p.Days = append(p.Days, jsonForecastDay{Date: dateOrNil(f.Date(d.Day)), Day: d.Day, Mid: d.Mid, Low: d.Low, High: d.High,
			Load: f.Load[d.Day-1], Fitness: jsonBand(f.Fitness[i]), Fatigue: jsonBand(f.Fatigue[i])})
	}
	r := f.Freshest
	p.Freshest = jsonFreshest{Date: dateOrNil(f.Date(r.Day)), Low: dateOrNil(f.Date(r.Low)), High: dateOrNil(f.Date(r.High)),
		Day: r.Day, LowDay: r.Low, HighDay: r.High, Share: r.Share, Agree: r.Agree, Of: r.Of}
	return p
}

func parameterSetsJSON(sets []response.ParameterSet) []jsonParameterSet {
	var out []jsonParameterSet
	for _, s := range sets {
		out = append(out, jsonParameterSet{Name: s.Name, Tau1: s.Tau1, Tau2: s.Tau2, Ratio: s.Ratio, Mark: s.Mark, From: s.From})
	}
	return out
}

// printLines writes one object a lifter, each on a line of its own.
func (o *forecastOptions) printLines(sh *shell, list []*forecasted) error {
	enc := json.NewEncoder(sh.stdout)
	enc.SetEscapeHTML(false)
	for _, f := range list {
		if err := enc.Encode(forecastJSON(f)); err != nil {
			return err
		}
	}
	return nil
}

type jsonParam struct {
	Name     string   `json:"name"`
	Unit     string   `json:"unit"`
	Value    float64  `json:"value"`
	SE       *float64 `json:"se"` // null where there is none
	Low      *float64 `json:"low"`
	High     *float64 `json:"high"` // of the profile interval; null where it is open
	AtBound  bool     `json:"at_bound"`
	Coverage float64  `json:"coverage"`
}

type jsonModelFit struct {
	Model   string   `json:"model"`
	RSS     float64  `json:"rss"`
	AICc    float64  `json:"aicc"`
	BIC     float64  `json:"bic"`
	Trained *int     `json:"trained"` // tests; null where too few to hold any out
	Tested  *int     `json:"tested"`
	RMSE    *float64 `json:"rmse"` // of the tests held out
	MAE     *float64 `json:"mae"`
	Bias    *float64 `json:"bias"`
}

type jsonCorrelation struct {
	A string  `json:"a"`
	B string  `json:"b"`
	R float64 `json:"r"`
}

type jsonFitWarning struct {
	Code   string   `json:"code"`
	Params []string `json:"params"`
	Refuse bool     `json:"refuse"`
	Text   string   `json:"text"`
}

type jsonFit struct {
	Model        string            `json:"model"`
	Refused      bool              `json:"refused"`
	Params       []jsonParam       `json:"params"`
	Correlations []jsonCorrelation `json:"correlations"`
	Models       []jsonModelFit    `json:"models"`
	Tests        int               `json:"tests"`
	DF           int               `json:"df"`
	RSS          float64           `json:"rss"`
	SD           float64           `json:"sd"`
	R2           float64           `json:"r2"`
	Converged    bool              `json:"converged"`
	Warnings     []jsonFitWarning  `json:"warnings"`
}

// printFitJSON is `forecast --log --json`. The days' band is performance in unit,
// null where the fit is refused.
func (o *forecastOptions) printFitJSON(sh *shell, f *fitted) error {
	type jsonFitDay struct {
		Date *string  `json:"date"`
		Day  int      `json:"day"`
		Load float64  `json:"load"`
		Test *float64 `json:"test"`
		Mid  *float64 `json:"mid"`
		Low  *float64 `json:"low"`
		High *float64 `json:"high"`
	}
	doc := struct {
		Lifter     string        `json:"lifter"`
		Lift       string        `json:"lift"`
		Unit       string        `json:"unit"`
		Days       []jsonFitDay  `json:"days"`
		Freshest   *jsonFreshest `json:"freshest"` // null: a log has no days to come
		Fit        jsonFit       `json:"fit"`
		Measure    string        `json:"measure"`
		LoadUnit   string        `json:"load_unit"`
		Method     string        `json:"method"`
		Before     float64       `json:"before"`
		Convention string        `json:"convention"`
		BadRows    int64         `json:"bad_rows"`
		Caveats    []string      `json:"caveats"`
	}{
		Lifter: f.d.Lifter, Lift: f.d.Lift, Unit: f.unit.String(), Fit: fitJSON(f.r), Measure: string(f.d.Measure), LoadUnit: f.d.Unit,
		Method: f.d.Method, Before: f.before, Convention: f.r.Fit.Convention.String(), BadRows: f.report.Bad, Caveats: f.caveats(),
	}
	for i, w := range f.d.Load {
		d := jsonFitDay{Date: dateOrNil(f.d.Date(i + 1)), Day: i + 1, Load: w}
		if f.band != nil {
			p := f.band[i]
			d.Mid, d.Low, d.High = &p.Mid, &p.Low, &p.High
		}
		doc.Days = append(doc.Days, d)
	}
	for _, t := range f.d.Tests {
		doc.Days[t.Day-1].Test = &t.Load
	}
	if o.lines {
		enc := json.NewEncoder(sh.stdout)
		enc.SetEscapeHTML(false)
		return enc.Encode(doc)
	}
	return sh.printJSON(doc)
}

func fitJSON(r *response.Report) jsonFit {
	f := r.Fit
	j := jsonFit{Model: string(f.Model), Refused: r.Refused, Tests: f.N, DF: f.DF, RSS: f.RSS, SD: f.SD, R2: f.R2, Converged: f.Converged,
		Correlations: []jsonCorrelation{}, Warnings: []jsonFitWarning{}}
	for i, p := range f.Params {
		pr := r.Profiles[i]
		x := jsonParam{Name: p.Name, Unit: p.Unit, Value: p.Value, AtBound: p.AtBound, Coverage: pr.Level}
		if p.KnownSE {
			x.SE = &p.SE
		}
		if !pr.LowOpen {
			x.Low = &pr.Low
		}
		if !pr.HighOpen {
			x.High = &pr.High
		}
		j.Params = append(j.Params, x)
		for _, q := range f.Params[:i] {
			if c, ok := f.Corr(q.Name, p.Name); ok {
				j.Correlations = append(j.Correlations, jsonCorrelation{q.Name, p.Name, c})
			}
		}
	}
	for _, m := range r.Models {
		x := jsonModelFit{Model: string(m.Model), RSS: m.RSS, AICc: m.AICc, BIC: m.BIC}
		for _, h := range r.HoldOut {
			if h.Model == m.Model {
				x.Trained, x.Tested, x.RMSE, x.MAE, x.Bias = &h.Trained, &h.Tested, &h.RMSE, &h.MAE, &h.Bias
			}
		}
		j.Models = append(j.Models, x)
	}
	for _, w := range r.Warnings {
		j.Warnings = append(j.Warnings, jsonFitWarning{string(w.Code), append([]string{}, w.Params...), w.Refuse, w.Text})
	}
	return j
}
