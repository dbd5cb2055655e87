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
	Capped  bool    `json:"capped"`
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
	Date     string   `json:"date,omitempty"`
	Sets     int      `json:"sets"`
	DoneSets int      `json:"done_sets"`
	Reps     int      `json:"reps"`
	DoneReps int      `json:"done_reps"`
	MoreSets int      `json:"more_sets"`
	Tonnage  float64  `json:"tonnage"`
	Done     float64  `json:"done_tonnage"`
	Weight   *float64 `json:"weight_share"`
	Share    float64  `json:"done_share"`
}

type nextLifterJSON struct {
	Name     string           `json:"name"`
	Rows     int              `json:"rows"`
	Outside  int              `json:"rows_outside"` // the time of the plan
	Others   int              `json:"rows_unplanned"`
	Due      int              `json:"sets"`
	Done     int              `json:"done_sets"`
	Share    *float64         `json:"done_share"`
	Changes  []nextChangeJSON `json:"changes"`
	Adjust   []nextAdjustJSON `json:"adjust"`
	Lifts    []nextWorkJSON   `json:"lifts"`
	Sessions []nextWorkJSON   `json:"sessions"`
	Notes    []string         `json:"notes"`
}

// json is work with its tonnage, which is in the lifter's unit, in that of the result.
func (w *Work) json(from, to plates.Unit) nextWorkJSON {
	return nextWorkJSON{Sets: w.Sets, DoneSets: w.DoneSets, Reps: w.Reps, DoneReps: w.DoneReps, MoreSets: w.MoreSets,
		Tonnage: in(w.Tonnage, from, to), Done: in(w.DoneTonnage, from, to), Weight: w.Weight, Share: w.Share}
}

func (l *NextLifter) json(unit plates.Unit) nextLifterJSON {
	u := func(m plates.Mass) float64 { return m.In(unit) }
	j := nextLifterJSON{Name: l.Name, Rows: l.Rows, Outside: l.Outside, Others: l.Unmatched, Due: l.Due, Done: l.Done, Share: l.Share,
		Changes: []nextChangeJSON{}, Adjust: []nextAdjustJSON{}, Lifts: []nextWorkJSON{}, Sessions: []nextWorkJSON{}, Notes: append([]string{}, l.Notes...)}
	for _, c := range l.Changes {
		j.Changes = append(j.Changes, nextChangeJSON{c.Lift, u(c.Was), u(c.Now), u(c.Low), u(c.High), c.Changed, c.Capped, c.Why})
	}
	for _, a := range l.Adjust {
		j.Adjust = append(j.Adjust, nextAdjustJSON{a.Week, a.Lift, a.Percent.Float64(), a.Sets, a.Why})
	}
	for i := range l.Lifts {
		w := l.Lifts[i].json(l.Unit, unit)
		w.Lift = l.Lifts[i].Lift
		j.Lifts = append(j.Lifts, w)
	}
	for i := range l.Sessions {
		s := &l.Sessions[i]
		w := s.json(l.Unit, unit)
		w.Week, w.Session = s.Week, s.Name
		if !s.Date.IsZero() {
			w.Date = date(s.Date)
		}
		j.Sessions = append(j.Sessions, w)
	}
	return j
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
	}{Unit: r.Unit.String(), AsOf: dated(r.AsOf), Week: r.Week, Finished: r.Finished, Lifters: []nextLifterJSON{}, Roster: optional(r.Path), Notes: append([]string{}, r.Notes...)}
	for i := range r.Lifters {
		o.Lifters = append(o.Lifters, r.Lifters[i].json(r.Unit))
	}
	return json.Marshal(o)
}

// MarshalJSON writes a lifter by itself, in the lifter's unit.
func (l *NextLifter) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Unit string `json:"unit"`
		nextLifterJSON
	}{l.Unit.String(), l.json(l.Unit)})
}
