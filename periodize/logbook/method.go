package logbook

import (
	"fmt"
	"math"
	"runtime"
	"slices"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/plates"
)

// Method is a way to predict a maximum from one set, in proportion to its load. The published equations answer 1 for one
// repetition with none left, which is the maximum itself, whatever their formula gives; a method of one's own answers as it says.
type Method struct {
	ID     string
	Family string // methods that are one model under several roundings share it; "" is the ID
	// Factor is the maximum over the load for a set that could have been done n times, 1 <= n, fractions
	// allowed; 0 where the method has no answer. It may be called from several goroutines at once.
	Factor func(n float64) float64
}

// Published is the equations of package estimate of those identifiers; with none,
// all of them. As there, a true single is its own maximum. The error is an
// *estimate.NameError.
func Published(ids ...string) ([]Method, error) {
	eqs := estimate.Equations()
	if len(ids) > 0 {
		eqs = eqs[:0]
		for _, id := range ids {
			e, err := estimate.EquationByID(id)
			if err != nil {
				return nil, err
			}
			eqs = append(eqs, e)
		}
	}
	out := make([]Method, len(eqs))
	for i := range eqs {
		e := eqs[i]
		out[i] = Method{ID: e.ID, Family: e.Family, Factor: func(n float64) float64 {
			m, _, err := e.Max(1, n, 0)
			if err != nil {
				return 0
			}
			return m
		}}
	}
	return out, nil
}

// TestRule says which rows are tests of the maximum.
type TestRule int

const (
	// TestedOrSingle: a single that was made and is marked as tested or
	// reported with nothing in reserve.
	TestedOrSingle TestRule = iota
	// TestedOnly: a single that was made and is marked as tested.
	TestedOnly
)

func (t TestRule) String() string {
	switch t {
	case TestedOrSingle:
		return "singles that are marked as tested or reported with none in reserve"
	case TestedOnly:
		return "singles that are marked as tested"
	}
	return fmt.Sprintf("TestRule(%d)", int(t))
}

// CompareOptions say what a [Comparison] compares. The zero value works. Where a
// default is a choice, it is common practice, no published source.
type CompareOptions struct {
	Methods []Method // nil is every published equation
	Window  int      // days before a test in which sets are put against it, at most 3650; 0 is 14
	Tests   TestRule // default TestedOrSingle
	// Qualifying sets: repetitions from MinReps to MaxReps, at most MaxRIR left.
	MinReps int     // 0 is 1
	MaxReps int     // 0 is 10, where most of the equations end
	MaxRIR  float64 // 0 is 5, where the scale of effort stops counting repetitions; negative: none left
	// UnreportedIsFailure counts a set without a reported reserve as done to
	// failure. Otherwise it does not qualify: nobody knows what it says of the maximum.
	UnreportedIsFailure bool
	// Bands are the lower ends, ascending, of the bands of repetitions
	// (done plus left); nil is 1, 4, 7, 11, 16.
	Bands []float64
	Unit  plates.Unit // of the loads; only carried along

	// SeriesOnly keeps errors by lifter and lift alone, which takes less time and memory. The result then has no
	// bands, choices and refits.
	SeriesOnly bool

	// ChoicesUpTo is for how many lifters with pairs choices are made: the result of a log with more has none. 0 is any
	// number. Rows in no order need sums of every test for choices, 8 bytes for each method, which can be more than all else.
	ChoicesUpTo int

	Workers int // goroutines that sum up; 0 is one for each processor, at most 8. The result does not depend on them
}

// OptionError refuses an option.
type OptionError struct {
	Field string
	Got   string
	Want  string
}

func (e *OptionError) Error() string {
	return fmt.Sprintf("logbook: %s: want %s, got %s", e.Field, e.Want, e.Got)
}

// compare is CompareOptions with the defaults filled in and the methods in a table.
type compare struct {
	ids, families    []string
	methods          []Method // nil after reading from JSON
	window           int32
	tests            TestRule
	minReps, maxReps int16
	maxRIR           float64
	failure          bool
	bands            []float64
	unit             plates.Unit
	seriesOnly       bool
	choicesUpTo      int
	workers          int

	// What the methods answer at a few repetitions: parts made with other equations of the same names must not merge.
	samples [][]float64

	kinds   kinds
	k       int
	factors []float64 // of method j at n = 1 + i/2 in [i*k+j]
	answers []bool    // every method answers at n = 1 + i/2
	band    []int16   // of n = 1 + i/2
}

const mostMethods = 64

func (o CompareOptions) resolve() (*compare, error) {
	c := &compare{methods: o.Methods, window: int32(o.Window), tests: o.Tests, minReps: int16(o.MinReps), maxReps: int16(o.MaxReps),
		maxRIR: o.MaxRIR, failure: o.UnreportedIsFailure, bands: slices.Clone(o.Bands), unit: o.Unit,
		seriesOnly: o.SeriesOnly, choicesUpTo: o.ChoicesUpTo, workers: o.Workers}
	bad := func(field string, got any, want string) error {
		return &OptionError{field, fmt.Sprint(got), want}
	}
	switch {
	case o.Window < 0 || o.Window > 3650:
		return nil, bad("window", o.Window, "0 (the default) or 1 to 3650 days")
	case o.MinReps < 0 || o.MinReps > mostReps:
		return nil, bad("fewest repetitions", o.MinReps, fmt.Sprintf("1 to %d", mostReps))
	case o.MaxReps < 0 || o.MaxReps > 50:
		return nil, bad("most repetitions", o.MaxReps, "0 (the default) or 1 to 50")
	case !(o.MaxRIR <= mostRIR):
		return nil, bad("most repetitions left", o.MaxRIR, fmt.Sprintf("at most %d", mostRIR))
	case o.ChoicesUpTo < 0:
		return nil, bad("lifters with choices", o.ChoicesUpTo, "0 for any number, or more")
	case o.Tests != TestedOrSingle && o.Tests != TestedOnly:
		return nil, bad("tests", int(o.Tests), "TestedOrSingle or TestedOnly")
	}
	if c.methods == nil {
		c.methods, _ = Published()
	}
	if c.window == 0 {
		c.window = 14
	}
	if c.minReps == 0 {
		c.minReps = 1
	}
	if c.maxReps == 0 {
		c.maxReps = 10
	}
	if c.minReps > c.maxReps {
		return nil, bad("fewest repetitions", c.minReps, fmt.Sprintf("at most %d, the most repetitions", c.maxReps))
	}
	switch {
	case c.maxRIR == 0:
		c.maxRIR = 5
	case c.maxRIR < 0:
		c.maxRIR = 0
	}
	if c.bands == nil {
		c.bands = []float64{1, 4, 7, 11, 16}
	}
	if len(c.bands) > 100 {
		return nil, bad("bands", len(c.bands), "at most 100")
	}
	for i, b := range c.bands {
		if !(b >= 0 && b <= 1000) || i > 0 && b <= c.bands[i-1] {
			return nil, bad("bands", b, "repetitions, ascending")
		}
	}
	if len(c.bands) == 0 || c.bands[0] > 1 {
		c.bands = append([]float64{1}, c.bands...)
	}
	if len(c.methods) == 0 || len(c.methods) > mostMethods {
		return nil, bad("methods", len(c.methods), fmt.Sprintf("1 to %d", mostMethods))
	}
	c.k = len(c.methods)
	for i, m := range c.methods {
		if m.ID == "" || m.Factor == nil {
			return nil, bad(fmt.Sprintf("methods[%d]", i), fmt.Sprintf("%q", m.ID), "an identifier and a factor")
		}
		if slices.Contains(c.ids, m.ID) {
			return nil, bad(fmt.Sprintf("methods[%d]", i), m.ID, "identifiers that differ")
		}
		c.ids = append(c.ids, m.ID)
		if m.Family == "" {
			m.Family = m.ID
		}
		c.families = append(c.families, m.Family)
	}
	if c.workers <= 0 {
		c.workers = min(runtime.GOMAXPROCS(0), 8)
	}
	rows := c.rows()
	c.factors = make([]float64, rows*c.k)
	c.answers = make([]bool, rows)
	c.band = make([]int16, rows)
	for i := range rows {
		n := 1 + float64(i)/2
		c.answers[i] = c.row(c.factors[i*c.k:(i+1)*c.k], n)
		c.band[i] = c.bandOf(n)
	}
	for _, m := range c.methods {
		c.samples = append(c.samples, m.sample())
	}
	c.kinds = c.sortKinds()
	return c, nil
}

// sample is what a method answers at 1, 2.5, 5 and 10 repetitions; 0 for no answer.
func (m *Method) sample() []float64 {
	out := []float64{1, 2.5, 5, 10}
	for i, n := range out {
		if out[i] = m.Factor(n); !(out[i] > 0 && out[i] <= 1e6) {
			out[i] = 0
		}
	}
	return out
}

// sameSamples reports whether two lists of answers are the same but for the rounding of processors; none is like any.
func sameSamples(a, b [][]float64) bool {
	for i := range min(len(a), len(b)) {
		for j := range min(len(a[i]), len(b[i])) {
			if x, y := a[i][j], b[i][j]; math.Abs(x-y) > 1e-9*max(x, y) {
				return false
			}
		}
	}
	return true
}

// rows is how many half repetitions qualifying sets may have, from one on.
func (c *compare) rows() int { return int(2*(float64(c.maxReps)+c.maxRIR)) - 1 }

// row fills in the factors of n repetitions and reports whether every method answers.
func (c *compare) row(dst []float64, n float64) bool {
	for j, m := range c.methods {
		f := m.Factor(n)
		if !(f > 0 && f <= 1e6) {
			return false
		}
		dst[j] = f
	}
	return true
}

func (c *compare) bandOf(n float64) int16 {
	i, exact := slices.BinarySearch(c.bands, n)
	if !exact {
		i--
	}
	return int16(max(i, 0))
}

// bandName is a band in words.
func (c *compare) bandName(i int) string {
	if i+1 == len(c.bands) {
		return short(c.bands[i]) + "+"
	}
	// Half repetitions end a band half a repetition before the next begins; whole ones are what people read.
	top := math.Ceil(c.bands[i+1]) - 1
	if top <= c.bands[i] {
		return short(c.bands[i])
	}
	return short(c.bands[i]) + "-" + short(top)
}

func short(v float64) string { return fmt.Sprintf("%g", v) }

// role is what a row is to the comparison.
type role uint8

const (
	isSet role = iota
	isTest
	isMissed
	isUnreported
	isFewReps
	isManyReps
	isFarOff
	isUnloaded
	isUnanswered
)

// role sorts a row.
func (c *compare) role(s *Set) role {
	switch {
	case s.Reps == 0:
		return isMissed
	case !(s.Load > 0):
		return isUnloaded
	case s.Reps == 1 && (s.Tested || s.RIR == 0 && c.tests == TestedOrSingle):
		return isTest
	case s.RIR < 0 && !c.failure && !s.Tested:
		return isUnreported
	case s.Reps < c.minReps:
		return isFewReps
	case s.Reps > c.maxReps:
		return isManyReps
	case s.RIR > c.maxRIR:
		return isFarOff
	}
	return isSet
}

// kinds is a table of what rows are, by repetitions and half repetitions left, because most rows are as plain as
// that and a table costs less than asking one question after the other.
type kinds struct {
	wide int // entries for each number of repetitions
	rows []kind
}

type kind struct {
	row  int16
	role role
}

// sortKinds fills in the table: nothing reported, and from none left to one more than qualifies.
func (c *compare) sortKinds() kinds {
	t := kinds{wide: int(2*c.maxRIR) + 4}
	for reps := range c.maxReps + 2 {
		for h := range t.wide {
			s := Set{Load: 1, Reps: reps, RIR: float64(h-1) / 2}
			if h == 0 {
				s.RIR = -1
			}
			k := kind{role: c.role(&s)}
			if k.role == isSet {
				if k.row = int16(2*reps-2) + int16(max(h-1, 0)); !c.answers[k.row] {
					k.role = isUnanswered
				}
			}
			t.rows = append(t.rows, k)
		}
	}
	return t
}

// of looks a row up; ok is false for rows that the table does not know.
func (t *kinds) of(s *Set) (r role, row int16, ok bool) {
	h := int(2*s.RIR) + 1
	if s.RIR < 0 {
		h = 0
	} else if float64(h-1) != 2*s.RIR {
		return 0, 0, false
	}
	if uint(h) >= uint(t.wide) || s.Tested || !(s.Load > 0) {
		return 0, 0, false
	}
	if i := int(s.Reps)*t.wide + h; uint(i) < uint(len(t.rows)) {
		k := t.rows[i]
		return k.role, k.row, true
	}
	return 0, 0, false
}

// Counts says what became of the sets of a log. A row counts as often as the sets
// that it stands for.
type Counts struct {
	Rows       int64 `json:"rows"`       // rows, each once
	Sets       int64 `json:"sets"`       // all of them
	Tests      int64 `json:"tests"`      // tests, several a day counted apart
	Missed     int64 `json:"missed"`     // attempts that were not made
	Unloaded   int64 `json:"unloaded"`   // sets without a load
	Unreported int64 `json:"unreported"` // sets that report no reserve
	FewReps    int64 `json:"few_reps"`   // under the fewest repetitions
	ManyReps   int64 `json:"many_reps"`  // over the most repetitions
	FarOff     int64 `json:"far_off"`    // more left than the most
	NoAnswer   int64 `json:"no_answer"`  // some method has no answer for the repetitions
	NoTest     int64 `json:"no_test"`    // qualifying, with no test in the window
	Pairs      int64 `json:"pairs"`      // qualifying, and put against a test
}

func (n *Counts) add(r role, sets int64) {
	switch r {
	case isTest:
		n.Tests += sets
	case isMissed:
		n.Missed += sets
	case isUnreported:
		n.Unreported += sets
	case isFewReps:
		n.FewReps += sets
	case isManyReps:
		n.ManyReps += sets
	case isFarOff:
		n.FarOff += sets
	case isUnloaded:
		n.Unloaded += sets
	case isUnanswered:
		n.NoAnswer += sets
	}
}

func (n *Counts) merge(o Counts) {
	for _, p := range [...]struct {
		to   *int64
		from int64
	}{{&n.Rows, o.Rows}, {&n.Sets, o.Sets}, {&n.Tests, o.Tests}, {&n.Missed, o.Missed}, {&n.Unloaded, o.Unloaded}, {&n.Unreported, o.Unreported},
		{&n.FewReps, o.FewReps}, {&n.ManyReps, o.ManyReps}, {&n.FarOff, o.FarOff}, {&n.NoAnswer, o.NoAnswer}, {&n.NoTest, o.NoTest}, {&n.Pairs, o.Pairs}} {
		*p.to += p.from
	}
}
