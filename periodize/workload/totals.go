package workload

// Totals is everything that sets add up to, by one rule: a session, a week, a
// lift's week, a whole log. The zero value is empty, counts by the zero [Rule]
// and has the [DefaultEdges]. The fields are there to be read; feed and join
// them through Add and Merge. Copies made by assignment share storage: use one
// of them only.
type Totals struct {
	Volume   Volume
	Muscles  Tally // hard sets by muscle, fractional
	Patterns Tally // hard sets by movement pattern
	Zones    Zones
	INOL     INOL
}

// NewTotals is an empty sum that counts by a rule and by zones with the given
// edges; without edges it has the [DefaultEdges].
func NewTotals(r Rule, edges ...float64) (Totals, error) {
	v, err := NewVolume(r)
	if err != nil {
		return Totals{}, err
	}
	if len(edges) == 0 {
		edges = DefaultEdges()
	}
	z, err := NewZones(edges...)
	if err != nil {
		return Totals{}, err
	}
	return Totals{Volume: v, Zones: z}, nil
}

// Add counts a set if the rule wants it. A *FieldError leaves t as it was.
func (t *Totals) Add(s Set) error {
	if err := s.validate(); err != nil {
		return err
	}
	r := t.Volume.rule
	counts := r.counts(s)
	t.Volume.add(s, counts)
	if !counts {
		return nil
	}
	t.Zones.add(s)
	t.INOL.add(s)
	if !r.hard(s) {
		return nil
	}
	t.Muscles.addSet(s)
	if s.Pattern != "" {
		t.Patterns.at(s.Pattern).Add(float64(s.count()))
	}
	return nil
}

// Merge adds another sum, which must follow the same rule and edges; otherwise
// a *MismatchError leaves t as it was.
func (t *Totals) Merge(o Totals) error {
	if t.Volume.rule != o.Volume.rule {
		return &MismatchError{"rule"}
	}
	if err := t.Zones.Merge(o.Zones); err != nil {
		return err
	}
	t.Muscles.Merge(o.Muscles)
	t.Patterns.Merge(o.Patterns)
	t.INOL.Merge(o.INOL)
	return t.Volume.Merge(o.Volume)
}

// Clone is a copy that shares nothing with t.
func (t Totals) Clone() Totals {
	t.Muscles, t.Patterns, t.Zones = t.Muscles.Clone(), t.Patterns.Clone(), t.Zones.Clone()
	return t
}
