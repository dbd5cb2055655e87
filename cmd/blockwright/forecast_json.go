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
