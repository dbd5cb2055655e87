package workload

import (
	"encoding/json"

	"github.com/blockwright/blockwright/internal/num"
)

// The JSON form of an accumulator is made to be read again: a sum is the pair
// of its running value and its compensation, whose total is the value. Floats
// are written with as many digits as give the same float again. Unknown fields
// are passed over.

type sumJSON [2]float64

func toJSON(s num.Sum) sumJSON { x, c := s.Parts(); return sumJSON{x, c} }

func (s sumJSON) sum() num.Sum { return num.FromParts(s[0], s[1]) }

// decode reads JSON into a shadow and hands the error over as a *DecodeError.
func decode(name string, b []byte, shadow any) error {
	if err := json.Unmarshal(b, shadow); err != nil {
		return &DecodeError{Type: name, Why: "is not the JSON form of one", Err: err}
	}
	return nil
}

func decoded(name, why string) error {
	if why != "" {
		return &DecodeError{Type: name, Why: why}
	}
	return nil
}

type volumeJSON struct {
	Rule       Rule    `json:"rule"`
	Sets       int64   `json:"sets"`
	Excluded   int64   `json:"excluded"`
	Lifts      int64   `json:"lifts"`
	RatedLifts int64   `json:"rated_lifts"`
	Tonnage    sumJSON `json:"tonnage"`
	Relative   sumJSON `json:"relative_volume"`
}

// MarshalJSON is the JSON form.
func (v Volume) MarshalJSON() ([]byte, error) {
	return json.Marshal(volumeJSON{v.rule, v.sets, v.excluded, v.lifts, v.ratedLifts, toJSON(v.tonnage), toJSON(v.relative)})
}

// UnmarshalJSON reads what MarshalJSON wrote; a *DecodeError leaves v as it was.
func (v *Volume) UnmarshalJSON(b []byte) error {
	var s volumeJSON
	if err := decode("volume", b, &s); err != nil {
		return err
	}
	x := Volume{s.Rule, s.Sets, s.Lifts, s.RatedLifts, s.Excluded, s.Tonnage.sum(), s.Relative.sum()}
	if err := decoded("volume", x.check()); err != nil {
		return err
	}
	*v = x
	return nil
}

type entryJSON struct {
	Key string  `json:"key"`
	Sum sumJSON `json:"sum"`
}

// MarshalJSON is the JSON form, an array in the order of All.
func (t Tally) MarshalJSON() ([]byte, error) {
	s := make([]entryJSON, len(t.entries))
	for i, e := range t.entries {
		s[i] = entryJSON{e.key, toJSON(e.sum)}
	}
	return json.Marshal(s)
}

// UnmarshalJSON reads what MarshalJSON wrote; a *DecodeError leaves t as it was.
func (t *Tally) UnmarshalJSON(b []byte) error {
	var s []entryJSON
	if err := decode("tally", b, &s); err != nil {
		return err
	}
	var x Tally
	for _, e := range s {
		x.entries = append(x.entries, entry{e.Key, e.Sum.sum()})
	}
	if err := decoded("tally", x.check()); err != nil {
		return err
	}
	*t = x
	return nil
}

type zonesJSON struct {
	Edges   []float64   `json:"edges"`
	Counts  []ZoneCount `json:"counts"`
	Unrated ZoneCount   `json:"unrated"`
}

// MarshalJSON is the JSON form.
func (z Zones) MarshalJSON() ([]byte, error) {
	z.init()
	return json.Marshal(zonesJSON{z.edges, z.counts, z.unrated})
}

// UnmarshalJSON reads what MarshalJSON wrote; a *DecodeError leaves z as it was.
func (z *Zones) UnmarshalJSON(b []byte) error {
	var s zonesJSON
	if err := decode("zones", b, &s); err != nil {
		return err
	}
	x := Zones{s.Edges, s.Counts, s.Unrated}
	if x.edges == nil {
		x.edges = []float64{}
	}
	if err := decoded("zones", x.check()); err != nil {
		return err
	}
	*z = x
	return nil
}

type inolJSON struct {
	Sum       sumJSON `json:"sum"`
	AtMaximum int64   `json:"at_maximum"`
}

// MarshalJSON is the JSON form.
func (n INOL) MarshalJSON() ([]byte, error) {
	return json.Marshal(inolJSON{toJSON(n.sum), n.atMaximum})
}

// UnmarshalJSON reads what MarshalJSON wrote; a *DecodeError leaves n as it was.
func (n *INOL) UnmarshalJSON(b []byte) error {
	var s inolJSON
	if err := decode("INOL", b, &s); err != nil {
		return err
	}
	x := INOL{s.Sum.sum(), s.AtMaximum}
	if err := decoded("INOL", x.check()); err != nil {
		return err
	}
	*n = x
	return nil
}

type totalsJSON struct {
	Volume   Volume `json:"volume"`
	Muscles  Tally  `json:"muscles"`
	Patterns Tally  `json:"patterns"`
	Zones    Zones  `json:"zones"`
	INOL     INOL   `json:"inol"`
}

// MarshalJSON is the JSON form.
func (t Totals) MarshalJSON() ([]byte, error) { return json.Marshal(totalsJSON(t)) }

// UnmarshalJSON reads what MarshalJSON wrote; a *DecodeError leaves t as it was.
func (t *Totals) UnmarshalJSON(b []byte) error {
	var s totalsJSON
	if err := decode("totals", b, &s); err != nil {
		return err
	}
	*t = Totals(s)
	return nil
}

type dayJSON struct {
	Day int     `json:"day"`
	Sum sumJSON `json:"sum"`
}

// MarshalJSON is the JSON form, an array by day.
func (d Diary) MarshalJSON() ([]byte, error) {
	s := make([]dayJSON, len(d.days))
	for i, e := range d.days {
		s[i] = dayJSON{e.day, toJSON(e.sum)}
	}
	return json.Marshal(s)
}

// UnmarshalJSON reads what MarshalJSON wrote; a *DecodeError leaves d as it was.
func (d *Diary) UnmarshalJSON(b []byte) error {
	var s []dayJSON
	if err := decode("diary", b, &s); err != nil {
		return err
	}
	var x Diary
	for _, e := range s {
		x.days = append(x.days, daySum{e.Day, e.Sum.sum()})
	}
	if err := decoded("diary", x.check()); err != nil {
		return err
	}
	*d = x
	return nil
}
