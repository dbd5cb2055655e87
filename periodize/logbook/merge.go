package logbook

import (
	"cmp"
	"encoding/json"
	"math"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/plates"
)

// Merge adds a comparison of another part of the log; both are closed by it and take no
// more rows. Merging is associative and commutative, exactly for counts and up to
// rounding for the rest; the zero value adds nothing, and takes the options of the first that is
// merged into it. Errors are a *MismatchError for other options or other
// tests, and an *OverlapError; they leave c as it was.
func (c *Comparison) Merge(o *Comparison) error {
	if o.opt == nil {
		return nil
	}
	if c.opt == nil {
		n := newComparison(o.opt)
		n.looked, n.print = o.looked, o.print
		*c = *n
	}
	c.close()
	o.close()
	if what := c.opt.differs(o.opt); what != "" {
		return &MismatchError{what}
	}
	if c.looked != o.looked || c.print != o.print {
		return &MismatchError{"tests"}
	}
	byName := map[[2]string]int{}
	for i := range c.series {
		if u := &c.series[i]; c.has(u) {
			byName[c.nameOf(u.seriesKey)] = i
		}
	}
	if !c.looked {
		for i := range o.series {
			n := o.nameOf(o.series[i].seriesKey)
			if _, ok := byName[n]; ok {
				return &OverlapError{n[0], n[1]}
			}
		}
	}
	for i := range o.series {
		if !o.has(&o.series[i]) { // it has no names yet
			continue
		}
		if k, ok := byName[o.nameOf(o.series[i].seriesKey)]; ok && c.parts[k] != nil && o.parts[i] != nil && len(c.parts[k]) != len(o.parts[i]) {
			return &MismatchError{"tests"}
		}
	}
	c.counts.merge(o.counts)
	for i := range o.series {
		u := &o.series[i]
		if !o.has(u) {
			continue
		}
		n := o.nameOf(u.seriesKey)
		k, ok := byName[n]
		if !ok {
			k = len(c.series)
			c.series = append(c.series, series{seriesKey: seriesKey{c.names[0].number(n[0]), c.names[1].number(n[1])}, lastDay: noDay, testDay: noDay})
			c.parts = append(c.parts, nil)
		}
		to := &c.series[k]
		if u.cell != 0 {
			if to.cell == 0 {
				to.cell = c.cells.add() + 1
			}
			mergeCell(c.cells.at(to.cell-1), o.cells.at(u.cell-1))
		}
		if parts := o.parts[i]; parts != nil {
			if c.parts[k] == nil {
				c.parts[k] = make([]float64, len(parts))
			}
			addTo(c.parts[k], parts)
		}
	}
	for id, p := range o.people {
		if p != nil {
			c.person(c.names[0].number(o.names[0].list[id])).merge(p, cellLen(c.opt.k))
		}
	}
	c.thin()
	return nil
}

// has reports whether a series holds anything: look-ups have room for all that have tests.
func (c *Comparison) has(u *series) bool { return !c.looked || u.cell != 0 }

func (c *Comparison) nameOf(k seriesKey) [2]string {
	return [2]string{c.names[0].list[k.lifter], c.names[1].list[k.lift]}
}

func addTo(dst, src []float64) {
	for i, v := range src {
		dst[i] += v
	}
}

func (p *person) merge(o *person, n int) {
	for i := 0; i < len(p.bands); i += n {
		mergeCell(p.bands[i:i+n], o.bands[i:i+n])
	}
	addTo(p.bins, o.bins)
	p.tests += o.tests
	addTo(p.mean, o.mean)
	addTo(p.sq, o.sq)
}

// differs names the first difference between two sets of options; "" for none.
func (c *compare) differs(o *compare) string {
	switch {
	case !slices.Equal(c.ids, o.ids) || !slices.Equal(c.families, o.families) || !sameSamples(c.samples, o.samples):
		return "methods"
	case c.window != o.window:
		return "window"
	case c.tests != o.tests:
		return "tests"
	case c.minReps != o.minReps || c.maxReps != o.maxReps || c.maxRIR != o.maxRIR || c.failure != o.failure:
		return "qualifying sets"
	case !slices.Equal(c.bands, o.bands):
		return "bands"
	case c.unit != o.unit:
		return "unit"
	case c.seriesOnly != o.seriesOnly || c.choicesUpTo != o.choicesUpTo:
		return "kinds of sums"
	}
	return ""
}

type comparisonJSON struct {
	Unit      string       `json:"unit"`
	Methods   []string     `json:"methods"`
	Families  []string     `json:"families"`
	Samples   [][]float64  `json:"factors,omitempty"`
	Window    int32        `json:"window"`
	TestRule  TestRule     `json:"test_rule"`
	MinReps   int16        `json:"min_reps"`
	MaxReps   int16        `json:"max_reps"`
	MaxRIR    float64      `json:"max_rir"`
	Failure   bool         `json:"unreported_is_failure"`
	Bands     []float64    `json:"bands"`
	Series    bool         `json:"series_only"`
	Choices   int          `json:"choices_up_to"`
	Looked    bool         `json:"with_tests"`
	Print     uint64       `json:"fingerprint"`
	Counts    Counts       `json:"counts"`
	SeriesOut []seriesJSON `json:"series"`
	People    []personJSON `json:"lifters"`
}

type seriesJSON struct {
	Lifter string    `json:"lifter"`
	Lift   string    `json:"lift"`
	Cell   []float64 `json:"sums,omitempty"`
	Parts  []float64 `json:"by_test,omitempty"`
}

type personJSON struct {
	Lifter string    `json:"lifter"`
	Bands  []float64 `json:"bands"`
	Bins   []float64 `json:"repetitions"`
	Tests  float64   `json:"tests"`
	Mean   []float64 `json:"mean_errors"`
	Sq     []float64 `json:"squared_differences"`
}

// MarshalJSON writes the sums, at full precision, in the order of the names. It closes the comparison.
// The error is an *OptionError for the zero value.
func (c *Comparison) MarshalJSON() ([]byte, error) {
	if err := c.made(); err != nil {
		return nil, err
	}
	c.close()
	o := c.opt
	j := comparisonJSON{Unit: o.unit.String(), Methods: o.ids, Families: o.families, Samples: o.samples, Window: o.window, TestRule: o.tests, MinReps: o.minReps, MaxReps: o.maxReps,
		MaxRIR: o.maxRIR, Failure: o.failure, Bands: o.bands, Series: o.seriesOnly, Choices: o.choicesUpTo, Looked: c.looked, Print: c.print, Counts: c.counts, SeriesOut: []seriesJSON{}, People: []personJSON{}}
	for _, i := range c.sortedSeries() {
		u := &c.series[i]
		n := c.nameOf(u.seriesKey)
		s := seriesJSON{Lifter: n[0], Lift: n[1], Parts: c.parts[i]}
		if u.cell != 0 {
			s.Cell = c.cells.at(u.cell - 1)
		}
		j.SeriesOut = append(j.SeriesOut, s)
	}
	for _, id := range c.sortedPeople() {
		p := c.people[id]
		j.People = append(j.People, personJSON{c.names[0].list[id], p.bands, p.bins, p.tests, p.mean, p.sq})
	}
	return json.Marshal(j)
}

// sortedSeries is the series that hold anything, in the order of their names.
func (c *Comparison) sortedSeries() []int {
	var order []int
	for i := range c.series {
		if c.has(&c.series[i]) {
			order = append(order, i)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		x, y := c.nameOf(c.series[a].seriesKey), c.nameOf(c.series[b].seriesKey)
		return cmp.Or(strings.Compare(x[0], y[0]), strings.Compare(x[1], y[1]))
	})
	return order
}

// sortedPeople is the lifters with pairs, in the order of their names.
func (c *Comparison) sortedPeople() []int {
	var order []int
	for id, p := range c.people {
		if p != nil {
			order = append(order, id)
		}
	}
	slices.SortFunc(order, func(a, b int) int { return strings.Compare(c.names[0].list[a], c.names[0].list[b]) })
	return order
}

// UnmarshalJSON reads what MarshalJSON wrote: a comparison to merge and to take the
// result of. It takes no rows. The error is a *DecodeError.
func (c *Comparison) UnmarshalJSON(b []byte) error {
	var j comparisonJSON
	bad := func(why string) error { return &DecodeError{"comparison", why} }
	if err := json.Unmarshal(b, &j); err != nil {
		return bad(err.Error())
	}
	unit, err := plates.ParseUnit(j.Unit)
	if err != nil {
		return bad("unit: want kg or lb")
	}
	if j.MinReps < 1 || j.MaxReps < 1 || j.Window < 1 || !(j.MaxRIR >= 0) || len(j.Methods) != len(j.Families) || len(j.Bands) == 0 {
		return bad("options out of bounds")
	}
	opt := CompareOptions{Window: int(j.Window), Tests: j.TestRule, MinReps: int(j.MinReps), MaxReps: int(j.MaxReps), MaxRIR: j.MaxRIR,
		UnreportedIsFailure: j.Failure, Bands: j.Bands, Unit: unit, SeriesOnly: j.Series, ChoicesUpTo: j.Choices}
	if j.MaxRIR == 0 {
		opt.MaxRIR = -1
	}
	for i, id := range j.Methods {
		opt.Methods = append(opt.Methods, Method{ID: id, Family: j.Families[i], Factor: func(float64) float64 { return 0 }})
	}
	if len(j.Methods) == 0 {
		return bad("no methods")
	}
	o, err := opt.resolve()
	if err != nil {
		return bad(err.Error())
	}
	for _, s := range j.Samples {
		if !sound(s, true) {
			return bad("factors out of bounds")
		}
	}
	o.samples = j.Samples
	n := newComparison(o)
	n.closed, n.looked, n.print, n.counts = true, j.Looked, j.Print, j.Counts
	pairs := map[int32]float64{} // by lifter: those of the lifts less those of the bands
	for _, s := range j.SeriesOut {
		k := seriesKey{n.names[0].number(s.Lifter), n.names[1].number(s.Lift)}
		if n.table.find(k) >= 0 {
			return bad("a lifter's lift twice")
		}
		n.table.add(k)
		u := series{seriesKey: k, lastDay: noDay, testDay: noDay}
		if s.Cell != nil {
			if !soundCell(s.Cell, o.k) {
				return bad("sums that no pairs leave behind")
			}
			u.cell = n.cells.add() + 1
			copy(n.cells.at(u.cell-1), s.Cell)
			pairs[k.lifter] += s.Cell[cellN]
		}
		if len(s.Parts)%(1+o.k) != 0 || !sound(s.Parts, true) {
			return bad("sums by test out of bounds")
		}
		n.series = append(n.series, u)
		n.parts = append(n.parts, s.Parts)
	}
	if j.Series && len(j.People) > 0 {
		return bad("sums by lifter and sums of series alone")
	}
	for _, s := range j.People {
		id := n.names[0].number(s.Lifter)
		p := n.person(id)
		if p.tests != 0 || p.bands[cellN] != 0 {
			return bad("a lifter twice")
		}
		if len(s.Bands) != len(p.bands) || len(s.Bins) != len(p.bins) || len(s.Mean) != len(p.mean) || len(s.Sq) != len(p.sq) {
			return bad("sums of another length")
		}
		for i := 0; i < len(s.Bands); i += cellLen(o.k) {
			if !soundCell(s.Bands[i:i+cellLen(o.k)], o.k) {
				return bad("sums that no pairs leave behind")
			}
			pairs[id] -= s.Bands[i+cellN]
		}
		if !sound(s.Bins, true) || !sound(s.Mean, true) || !sound(s.Sq, true) || !(s.Tests >= 0 && s.Tests <= 1e15) {
			return bad("sums out of bounds")
		}
		copy(p.bands, s.Bands)
		copy(p.bins, s.Bins)
		copy(p.mean, s.Mean)
		copy(p.sq, s.Sq)
		p.tests = s.Tests
	}
	for _, left := range pairs {
		if left != 0 && !j.Series {
			return bad("a lifter's lifts and bands have other numbers of pairs")
		}
	}
	*c = *n
	return nil
}

// sound reports whether sums are finite, and not negative where that cannot be.
func sound(v []float64, positive bool) bool {
	for _, x := range v {
		if !(math.Abs(x) <= 1e40) || positive && x < 0 {
			return false
		}
	}
	return true
}

func soundCell(c []float64, k int) bool {
	if len(c) != cellLen(k) || !sound(c, false) || c[cellN] < 0 || c[cellN] != math.Trunc(c[cellN]) || c[cellTT] < 0 {
		return false
	}
	for i := cellHead; i < len(c); i += cellPer {
		if c[i+ofAbs] < 0 || c[i+ofDD] < 0 || c[cellN] == 0 && (c[i+ofAbs] != 0 || c[i+ofDD] != 0) {
			return false
		}
	}
	return true
}
