package estimate

import (
	"encoding/json"
	"fmt"
	"slices"
)

// AgreementBands accumulates agreement apart for bands of a key, such as the
// repetitions of the set or the size of the maximum: the errors of a method are
// rarely the same everywhere. Make one with NewAgreementBands. Like Agreement
// it merges and marshals. The zero value has no bands: a sum to merge the first part into.
type AgreementBands struct {
	edges   []float64
	cells   []Agreement
	outside int64
}

// NewAgreementBands makes bands from their edges, ascending: band i holds keys
// from edges[i] up to, and not with, edges[i+1]; the last band includes its
// upper edge. Fewer than two edges, or edges that do not rise, are a
// *FieldError.
func NewAgreementBands(edges ...float64) (*AgreementBands, error) {
	if len(edges) < 2 {
		return nil, &FieldError{Field: "edges", Value: float64(len(edges)), Want: "two or more edges"}
	}
	for i, e := range edges {
		if !finite(e) {
			return nil, &FieldError{Field: fmt.Sprintf("edges[%d]", i), Value: e, Want: "a finite number"}
		}
		if i > 0 && !(e > edges[i-1]) {
			return nil, &FieldError{Field: fmt.Sprintf("edges[%d]", i), Value: e, Want: "above " + number(edges[i-1])}
		}
	}
	return &AgreementBands{edges: slices.Clone(edges), cells: make([]Agreement, len(edges)-1)}, nil
}

// Add adds a pair to the band of key. A key below the first or above the last
// edge is counted (Outside) and left out; a key that is not finite is a
// *FieldError, as are values that Agreement.Add refuses, and any pair for the zero value.
func (b *AgreementBands) Add(key, method, reference float64) error {
	if len(b.edges) == 0 {
		return &FieldError{Field: "edges", Want: "two or more edges: make it with NewAgreementBands"}
	}
	if !finite(key) {
		return &FieldError{Field: "key", Value: key, Want: "a finite number"}
	}
	i, exact := slices.BinarySearch(b.edges, key)
	if !exact {
		i--
	}
	last := len(b.cells) - 1
	if i == last+1 && exact {
		i = last
	}
	if i < 0 || i > last {
		b.outside++
		return nil
	}
	return b.cells[i].Add(method, reference)
}

// Merge adds the pairs of another accumulator. The edges of both must be the same, where neither is the zero value;
// otherwise the error is a *FieldError and nothing changes.
func (b *AgreementBands) Merge(o *AgreementBands) error {
	switch {
	case len(o.edges) == 0:
		return nil
	case len(b.edges) == 0:
		*b = AgreementBands{edges: slices.Clone(o.edges), cells: make([]Agreement, len(o.cells))}
	}
	if !slices.Equal(b.edges, o.edges) {
		return &FieldError{Field: "edges", Value: float64(len(o.edges)), Want: fmt.Sprintf("the same edges, %v", b.edges)}
	}
	for i := range b.cells {
		b.cells[i].Merge(o.cells[i])
	}
	b.outside += o.outside
	return nil
}

// AgreementBand is one band of keys, From <= key < To.
type AgreementBand struct {
	From, To float64
	Pairs    Agreement
}

// Bands returns the bands in order, empty ones too.
func (b *AgreementBands) Bands() []AgreementBand {
	out := make([]AgreementBand, len(b.cells))
	for i := range out {
		out[i] = AgreementBand{b.edges[i], b.edges[i+1], b.cells[i]}
	}
	return out
}

// Outside is the number of pairs whose key lay in no band.
func (b *AgreementBands) Outside() int64 { return b.outside }

type agreementBandsJSON struct {
	Edges   []float64   `json:"edges"`
	Bands   []Agreement `json:"bands"`
	Outside int64       `json:"outside"`
}

// MarshalJSON writes edges and moments, at full precision.
func (b *AgreementBands) MarshalJSON() ([]byte, error) {
	return json.Marshal(agreementBandsJSON{b.edges, b.cells, b.outside})
}

// UnmarshalJSON reads what MarshalJSON wrote. The error is a *DecodeError, with a
// *FieldError for a number out of bounds; it leaves b as it was.
func (b *AgreementBands) UnmarshalJSON(data []byte) error {
	var j agreementBandsJSON
	bad := func(why string, err error) error { return &DecodeError{Type: "agreement bands", Why: why, Err: err} }
	if err := json.Unmarshal(data, &j); err != nil {
		return bad(notJSON, err)
	}
	n, err := NewAgreementBands(j.Edges...)
	if err != nil {
		return bad(impossible, err)
	}
	if len(j.Bands) != len(n.cells) {
		return bad(impossible, &FieldError{Field: "bands", Value: float64(len(j.Bands)), Want: fmt.Sprintf("%d, one between two edges", len(n.cells))})
	}
	if j.Outside < 0 {
		return bad(impossible, &FieldError{Field: "outside", Value: float64(j.Outside), Want: "0 or more"})
	}
	n.cells, n.outside = j.Bands, j.Outside
	*b = *n
	return nil
}
