package plates

import "encoding/json"

// loadsJSON is an implement by what its constructor takes: a bar with its plates, or
// a station with its weights.
type loadsJSON struct {
	Name    string    `json:"name,omitempty"`
	Bar     *barJSON  `json:"bar,omitempty"`
	Plates  Inventory `json:"plates,omitempty"`
	Weights []Mass    `json:"weights,omitempty"`
	Add     []Mass    `json:"add,omitempty"`
}

type barJSON struct {
	Mass    Mass `json:"mass"`
	Collars Mass `json:"collars"`
}

// MarshalJSON writes the bar with its pairs of plates, or the station with its
// weights, from which UnmarshalJSON prepares the totals again. The zero value is {}.
func (l Loads) MarshalJSON() ([]byte, error) {
	j := loadsJSON{Name: l.name, Weights: l.fixed, Add: l.add}
	if l.bar != nil {
		j.Bar = &barJSON{l.bar.Mass, l.bar.Collars}
	}
	for _, k := range l.kinds {
		j.Plates = append(j.Plates, Stock{k.plate, 2 * k.pairs})
	}
	return json.Marshal(j)
}

// UnmarshalJSON reads what MarshalJSON wrote and prepares the totals as [NewLoads] and
// [NewStation] do. The error is a [*DecodeError] and leaves l as it was. Loads that were
// handed to others must not be read into.
func (l *Loads) UnmarshalJSON(b []byte) error {
	bad := func(why string, err error) error { return &DecodeError{Type: "loads", Why: why, Err: err} }
	var j loadsJSON
	if err := json.Unmarshal(b, &j); err != nil {
		return bad("is not the JSON form of one", err)
	}
	x := &Loads{}
	var err error
	switch station := j.Weights != nil || j.Add != nil; {
	case j.Bar != nil && station || j.Bar == nil && j.Plates != nil:
		return bad("want a bar with plates, or the weights of a station", nil)
	case j.Bar != nil:
		x, err = NewLoads(Bar{j.Name, j.Bar.Mass, j.Bar.Collars}, j.Plates)
	case station || j.Name != "":
		x, err = NewStation(j.Name, j.Weights, j.Add)
	}
	if err != nil {
		return bad("is not one that can be", err)
	}
	*l = *x
	return nil
}
