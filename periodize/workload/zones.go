package workload

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/blockwright/blockwright/internal/num"
)

// ZoneEvidence is what may be said about intensity zones beside their numbers.
const ZoneEvidence = "coaching convention without validation; reported second-hand from weightlifters' logs of the 1960s and 1970s, no primary print was found"

// DefaultEdges are the lower edges, as fractions of the maximum, of the zones
// after the first: under 70 %, 70 to under 80, 80 to under 90, and 90 % and
// more. Prints of the table disagree: one leaves 66-69, 76-79 and 86-89 %
// without a zone and one puts 70 and 80 % into two; this is the print with
// contiguous edges (looked-up). See [ZoneEvidence].
func DefaultEdges() []float64 { return []float64{0.70, 0.80, 0.90} }

// Zones counts sets and lifts by intensity. Zone i holds intensities from edge
// i-1 to just under edge i; the first has no lower and the last no upper end.
// An intensity is compared unrounded, so that 69.6 % is under 70. The zero
// value is empty and has the [DefaultEdges].
type Zones struct {
	edges   []float64 // nil: DefaultEdges
	counts  []ZoneCount
	unrated ZoneCount
}

// ZoneCount is what one zone holds.
type ZoneCount struct {
	Sets  int64 `json:"sets"`  // counted sets
	Lifts int64 `json:"lifts"` // their repetitions, of both sides
}

// NewZones is an empty count with the given edges, fractions of the maximum,
// strictly increasing and more than 0.
func NewZones(edges ...float64) (Zones, error) {
	for i, e := range edges {
		if !num.Finite(e) || e <= 0 || i > 0 && e <= edges[i-1] {
			return Zones{}, &FieldError{fmt.Sprintf("edges[%d]", i), e, "fractions of the maximum, increasing, more than 0"}
		}
	}
	z := Zones{edges: slices.Clone(edges), counts: make([]ZoneCount, len(edges)+1)}
	if z.edges == nil {
		z.edges = []float64{}
	}
	return z, nil
}

func (z *Zones) init() {
	if z.counts == nil {
		z.edges = DefaultEdges()
		z.counts = make([]ZoneCount, len(z.edges)+1)
	}
}

// Add counts a set, warm-up or not; a set without a maximum is counted apart.
func (z *Zones) Add(s Set) error {
	if err := s.validate(); err != nil {
		return err
	}
	z.add(s)
	return nil
}

func (z *Zones) add(s Set) {
	z.init()
	c := &z.unrated
	if s.Max > 0 {
		f := s.Load / s.Max
		i := 0
		for i < len(z.edges) && atLeast(f, z.edges[i]) {
			i++
		}
		c = &z.counts[i]
	}
	c.Sets += s.count()
	c.Lifts += s.lifts()
}

// Merge adds another count, which must have the same edges.
func (z *Zones) Merge(o Zones) error {
	z.init()
	o.init()
	if !slices.Equal(z.edges, o.edges) {
		return &MismatchError{"zone edges"}
	}
	for i := range z.counts {
		z.counts[i].Sets += o.counts[i].Sets
		z.counts[i].Lifts += o.counts[i].Lifts
	}
	z.unrated.Sets += o.unrated.Sets
	z.unrated.Lifts += o.unrated.Lifts
	return nil
}

// Zone is one zone with its bounds and what it holds.
type Zone struct {
	From, To float64 // fractions of the maximum; the first From is 0, the last To is +Inf
	ZoneCount
}

// String is the zone in per cent, such as "70 to under 80 %".
func (z Zone) String() string {
	from, to := percent(z.From), percent(z.To)
	switch {
	case z.From == 0 && math.IsInf(z.To, 1):
		return "all"
	case z.From == 0:
		return "under " + to + " %"
	case math.IsInf(z.To, 1):
		return from + " % and more"
	}
	return from + " to under " + to + " %"
}

func percent(f float64) string { return strconv.FormatFloat(100*f, 'g', 6, 64) }

// zoneJSON is a zone as JSON has it: without an upper end where there is none.
type zoneJSON struct {
	From float64
	To   *float64
	ZoneCount
}

// MarshalJSON writes an open end as null, since JSON has no infinity.
func (z Zone) MarshalJSON() ([]byte, error) {
	j := zoneJSON{From: z.From, ZoneCount: z.ZoneCount}
	if !math.IsInf(z.To, 1) {
		j.To = &z.To
	}
	return json.Marshal(j)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (z *Zone) UnmarshalJSON(b []byte) error {
	var j zoneJSON
	if err := json.Unmarshal(b, &j); err != nil {
		return err
	}
	*z = Zone{From: j.From, To: math.Inf(1), ZoneCount: j.ZoneCount}
	if j.To != nil {
		z.To = *j.To
	}
	return nil
}

// All lists the zones from the lightest.
func (z Zones) All() []Zone {
	z.init()
	out := make([]Zone, len(z.counts))
	for i, c := range z.counts {
		out[i] = Zone{To: math.Inf(1), ZoneCount: c}
		if i > 0 {
			out[i].From = z.edges[i-1]
		}
		if i < len(z.edges) {
			out[i].To = z.edges[i]
		}
	}
	return out
}

// Unrated is what had no known maximum.
func (z Zones) Unrated() ZoneCount { return z.unrated }

// Clone is a count that shares nothing with z; a copy made by assignment does.
func (z Zones) Clone() Zones {
	z.edges, z.counts = slices.Clone(z.edges), slices.Clone(z.counts)
	return z
}
