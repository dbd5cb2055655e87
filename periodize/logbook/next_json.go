package logbook

import (
	"encoding/json"

	"github.com/blockwright/blockwright/plates"
)

type nextChangeJSON struct {
	Lift    string  `json:"lift"`
	Was     float64 `json:"was"`
	Now     float64 `json:"now"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	Changed bool    `json:"changed"`
	Why     string  `json:"why"`
}

type nextAdjustJSON struct {
	Week    int     `json:"week"`
	Lift    string  `json:"lift"`
	Percent float64 `json:"percent"`
	Sets    int     `json:"sets"`
	Why     string  `json:"why"`
}

type nextWorkJSON struct {
	Lift     string   `json:"lift,omitempty"`
	Week     int      `json:"week,omitempty"`
	Session  string   `json:"session,omitempty"`
	Sets     int      `json:"sets"`
	DoneSets int      `json:"done_sets"`
	Reps     int      `json:"reps"`
	DoneReps int      `json:"done_reps"`
	Weight   *float64 `json:"weight_share"`
	Share    float64  `json:"done_share"`
}

type nextLifterJSON struct {
	Name     string           `json:"name"`
	Share    *float64         `json:"done_share"`
	Changes  []nextChangeJSON `json:"changes"`
	Adjust   []nextAdjustJSON `json:"adjust"`
	Lifts    []nextWorkJSON   `json:"lifts"`
	Sessions []nextWorkJSON   `json:"sessions"`
	Notes    []string         `json:"notes"`
}

func (w *Work) json() nextWorkJSON {
	return nextWorkJSON{Sets: w.Sets, DoneSets: w.DoneSets, Reps: w.Reps, DoneReps: w.DoneReps, Weight: w.Weight, Share: w.Share}
}

// MarshalJSON writes the result in the form that `next --json` prints, masses in Unit.
func (r *NextResult) MarshalJSON() ([]byte, error) {
	o := struct {
		Unit     string           `json:"unit"`
		AsOf     *string          `json:"as_of"`
		Week     int              `json:"week"`
		Finished bool             `json:"finished"`
		Lifters  []nextLifterJSON `json:"lifters"`
		Roster   *string          `json:"roster"`
		Notes    []string         `json:"notes"`
	}{Unit: r.Unit.String(), Week: r.Week, Finished: r.Finished, Lifters: []nextLifterJSON{}, Roster: optional(r.Path), Notes: append([]string{}, r.Notes...)}
	if !r.AsOf.IsZero() {
		o.AsOf = optional(date(r.AsOf))
	}
	u := func(m plates.Mass) float64 { return m.In(r.Unit) }
	for _, l := range r.Lifters {
		j := nextLifterJSON{Name: l.Name, Share: l.Share, Changes: []nextChangeJSON{}, Adjust: []nextAdjustJSON{}, Lifts: []nextWorkJSON{}, Sessions: []nextWorkJSON{}, Notes: append([]string{}, l.Notes...)}
		for _, c := range l.Changes {
			j.Changes = append(j.Changes, nextChangeJSON{c.Lift, u(c.Was), u(c.Now), u(c.Low), u(c.High), c.Changed, c.Why})
		}
		for _, a := range l.Adjust {
			j.Adjust = append(j.Adjust, nextAdjustJSON{a.Week, a.Lift, a.Percent.Float64(), a.Sets, a.Why})
		}
		for i := range l.Lifts {
			w := l.Lifts[i].json()
			w.Lift = l.Lifts[i].Lift
			j.Lifts = append(j.Lifts, w)
		}
		for i := range l.Sessions {
			w := l.Sessions[i].json()
			w.Week, w.Session = l.Sessions[i].Week, l.Sessions[i].Name
			j.Sessions = append(j.Sessions, w)
		}
		o.Lifters = append(o.Lifters, j)
	}
	return json.Marshal(o)
}
