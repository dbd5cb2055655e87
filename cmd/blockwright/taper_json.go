package main

import (
	"time"

	"github.com/blockwright/blockwright/periodize/taper"
)

// What `taper --json` prints.

type jsonFinding struct {
	Code     string   `json:"code"`
	Lift     *string  `json:"lift"`
	Text     string   `json:"text"`
	Evidence []string `json:"evidence"`
}

func jsonFindings(fs []taper.Finding) []jsonFinding {
	out := []jsonFinding{}
	for _, f := range fs {
		out = append(out, jsonFinding{f.Code, orNil(string(f.Lift)), f.Text, append([]string{}, sources(f.Evidence)...)})
	}
	return out
}

type jsonWindow struct {
	Date   string `json:"date"`
	Out    int    `json:"out"`
	First  string `json:"first"`
	Final  string `json:"final"`
	Inside bool   `json:"inside"`
}

func windowJSON(w taper.DateWindow) jsonWindow {
	return jsonWindow{w.Day.Format(time.DateOnly), w.Out, w.First.Format(time.DateOnly), w.Final.Format(time.DateOnly), w.Inside}
}

func (o *taperOptions) jsonCalendar(sh *shell, cal *taper.Calendar, work []taper.Work, remain []int) error {
	type jsonDay struct {
		Date      string  `json:"date"`
		Out       int     `json:"out"`
		Volume    float64 `json:"volume"`
		Intensity float64 `json:"intensity"`
	}
	type jsonLift struct {
		Lift      string     `json:"lift"`
		LastHeavy jsonWindow `json:"last_heavy"`
		Last      jsonWindow `json:"last"`
		Evidence  []string   `json:"evidence"`
		How       string     `json:"how"`
	}
	type jsonSets struct {
		Day    int `json:"day"`
		Sets   int `json:"sets"`
		Remain int `json:"remain"`
	}
	doc := struct {
		Date     string        `json:"date"`
		Curve    string        `json:"curve"`
		Days     []jsonDay     `json:"days"`
		MeanCut  float64       `json:"mean_cut"`
		FinalCut float64       `json:"final_cut"`
		Tau      *float64      `json:"tau"`
		Floor    *float64      `json:"floor"`
		Lifts    []jsonLift    `json:"lifts"`
		Sets     []jsonSets    `json:"sets"`
		Findings []jsonFinding `json:"findings"`
		Caution  string        `json:"caution"`
	}{Date: cal.Meet.Format(time.DateOnly), Curve: string(cal.Curve.Shape()), MeanCut: cal.MeanCut, FinalCut: cal.FinalCut,
		Lifts: []jsonLift{}, Sets: []jsonSets{}, Findings: jsonFindings(cal.Findings), Caution: taperCaution}
	if cal.Curve.Shape() == taper.Exponential {
		tau, floor := cal.Curve.Tau(), cal.Curve.Floor()
		doc.Tau, doc.Floor = &tau, &floor
	}
	for _, d := range cal.Days {
		doc.Days = append(doc.Days, jsonDay{d.Date.Format(time.DateOnly), d.Out, d.Volume, d.Intensity})
	}
	for _, l := range cal.Lifts {
		doc.Lifts = append(doc.Lifts, jsonLift{string(l.Rule.Lift), windowJSON(l.Heavy), windowJSON(l.Last), sources(l.Rule.Evidence), string(l.Rule.How)})
	}
	for i, w := range work {
		doc.Sets = append(doc.Sets, jsonSets{w.Day, w.Sets, remain[i]})
	}
	return sh.printJSON(doc)
}

func jsonAssessed(sh *shell, list []assessed) error {
	type jsonNear struct {
		Date string  `json:"date"`
		Out  int     `json:"out"`
		Top  float64 `json:"top"`
	}
	type jsonTiming struct {
		Lift      string   `json:"lift"`
		As        string   `json:"as"`
		HeavyOut  *int     `json:"heavy_out"`
		HeavyDate *string  `json:"heavy_date"`
		HeavyTop  *float64 `json:"heavy_top"` // heaviest set, fraction of the maximum
		LastOut   *int     `json:"last_out"`
		LastDate  *string  `json:"last_date"`
		LastTop   *float64 `json:"last_top"`
		// Sessions within a hundredth of what counts as heavy, from the last heavy one on.
		Near []jsonNear `json:"near_heavy"`
	}
	type jsonLifter struct {
		Name         *string       `json:"name"` // null for a block by itself
		Date         string        `json:"date"`
		Days         int           `json:"days"`
		Reference    float64       `json:"reference_sets"`
		MeanCut      float64       `json:"mean_cut"`
		FinalCut     float64       `json:"final_cut"`
		RepsMeanCut  float64       `json:"reps_mean_cut"`
		RepsFinalCut float64       `json:"reps_final_cut"`
		DaysOff      int           `json:"days_off"`
		Lifts        []jsonTiming  `json:"lifts"`
		Findings     []jsonFinding `json:"findings"`
	}
	doc := struct {
		Lifters []jsonLifter `json:"lifters"`
		Caution string       `json:"caution"`
	}{[]jsonLifter{}, taperCaution}
	for _, l := range list {
		r := l.r
		j := jsonLifter{Name: orNil(l.name), Date: r.Meet.Format(time.DateOnly), Days: r.Days, Reference: r.Reference, MeanCut: r.MeanCut,
			FinalCut: r.FinalCut, RepsMeanCut: r.RepsMeanCut, RepsFinalCut: r.RepsFinalCut, DaysOff: r.DaysOff, Lifts: []jsonTiming{}, Findings: jsonFindings(r.Findings)}
		for _, x := range r.Lifts {
			near := []jsonNear{}
			for _, n := range x.Near {
				near = append(near, jsonNear{n.Date.Format(time.DateOnly), n.Out, n.Top})
			}
			j.Lifts = append(j.Lifts, jsonTiming{x.Lift, string(x.As), orNil(x.HeavyOut), dateOrNil(x.HeavyDate), orNil(x.HeavyTop),
				orNil(x.LastOut), dateOrNil(x.LastDate), orNil(x.LastTop), near})
			for _, f := range jsonFindings(x.Findings) {
				f.Lift = &x.Lift
				j.Findings = append(j.Findings, f)
			}
		}
		doc.Lifters = append(doc.Lifters, j)
	}
	return sh.printJSON(doc)
}
