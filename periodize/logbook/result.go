package logbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/estimate"
	numeric "github.com/blockwright/blockwright/internal/num"
	"github.com/blockwright/blockwright/plates"
	"gonum.org/v1/gonum/stat/distuv"
)

// ResultOptions say how a [Comparison] is summed up. The zero value works.
type ResultOptions struct {
	Resamples  int     // of lifters, for the intervals; 0 is 2000, negative none
	Seed       uint64  // of the resamples
	Confidence float64 // of the intervals, 0 < c < 1; 0 is 0.95
	Workers    int     // 0 is one for each processor
	Folds      int     // of the cross-validation, 0 is 10

	NoLifts, NoBands, NoLifters bool // leave out the groups of that kind, which takes less time
}

// Result is what a comparison shows. Errors are predicted less tested, in Unit: a
// positive bias means that a method reads high.
type Result struct {
	Unit       plates.Unit
	Counts     Counts
	Lifters    int     // with pairs
	Confidence float64 // of the intervals, such as 0.95
	Resamples  int     // draws of lifters behind them

	All      Group
	ByLift   []Group // by name
	ByBand   []Group // of repetitions done and left, ascending
	ByLifter []Group // by name
	// Paired is every method against every other, over all pairs, in the order of the methods.
	Paired   []Difference
	Choices  []Choice // by lifter, by name; none for more than CompareOptions.ChoicesUpTo
	Refits   []Refit
	Warnings []estimate.Warning
}

// Group is the pairs of one lift, band or lifter, or all of them.
type Group struct {
	Lift, Band, Lifter string    // "" for all
	Pairs              int64     // of a set and a test
	Lifters            int       // that have pairs
	Methods            []Measure // in the order of the methods
}

// Measure is how well a method did in a group. The intervals of the embedded
// result take the pairs for independent, which the sets of one lifter are not. Those
// below are percentile intervals of a bootstrap that draws whole lifters; nil where there are none, for fewer
// than two lifters.
type Measure struct {
	ID, Family string
	estimate.AgreementResult
	BiasBoot, MAEBoot, RMSEBoot *estimate.Interval
	LowerBoot, UpperBoot        *estimate.Interval // of the limits of agreement
}

// Difference is a method's mean absolute error less another's, on the same pairs,
// with its percentile interval over resampled lifters.
type Difference struct {
	A, B     string
	MAE      float64            // of A less that of B: below 0, A errs less
	Interval *estimate.Interval // nil for fewer than two lifters
}

// Told reports whether the interval leaves no doubt which of the two errs less.
func (d *Difference) Told() bool {
	return d.Interval != nil && (d.Interval.Low > 0 || d.Interval.High < 0)
}

// leastTests is how many tests of a lifter a choice needs: with fewer the interval of
// a difference says little, common practice, no published source.
const leastTests = 5

// Choice is which method fits one lifter, as far as the lifter's own tests can tell.
type Choice struct {
	Lifter string
	Tests  int     // of the lifter, with sets before them
	Best   string  // of the smallest mean error
	Error  float64 // mean absolute error of a test's sets, averaged over the tests, in per cent of the test
	// Rivals are methods of other families that the tests cannot tell from Best.
	Rivals  []string
	Decided bool // there are tests enough and no rivals
}

// Words says the choice in words.
func (c *Choice) Words() string {
	switch {
	case c.Tests < leastTests:
		return fmt.Sprintf("too few tests to tell the methods apart: %d, and %d are wanted", c.Tests, leastTests)
	case c.Decided:
		return fmt.Sprintf("%s, off by %.1f %% on average over %d tests", c.Best, c.Error, c.Tests)
	}
	return fmt.Sprintf("%s came nearest in %d tests but cannot be told from %s", c.Best, c.Tests, strings.Join(c.Rivals, ", "))
}

// Result sums up. It closes the comparison. The error is an *OptionError.
func (c *Comparison) Result(opt ResultOptions) (*Result, error) {
	if err := c.made(); err != nil {
		return nil, err
	}
	c.close()
	if opt.Confidence == 0 {
		opt.Confidence = 0.95
	}
	if !(opt.Confidence > 0 && opt.Confidence < 1) {
		return nil, &OptionError{"confidence", fmt.Sprint(opt.Confidence), "above 0, below 1"}
	}
	if opt.Resamples == 0 {
		opt.Resamples = 2000
	}
	opt.Resamples = max(opt.Resamples, 0)
	if opt.Resamples > mostResamples {
		return nil, &OptionError{"resamples", fmt.Sprint(opt.Resamples), fmt.Sprintf("at most %d", mostResamples)}
	}
	if opt.Folds == 0 {
		opt.Folds = 10
	}
	if opt.Folds < 2 {
		return nil, &OptionError{"folds", fmt.Sprint(opt.Folds), "2 or more"}
	}
	s := &summary{c: c, opt: opt}
	return s.result()
}

// summary is what goes into one Result.
type summary struct {
	c   *Comparison
	opt ResultOptions
}

// cluster is the cells of one lifter in a group.
type cluster [][]float64

func (s *summary) result() (*Result, error) {
	c := s.c
	r := &Result{Unit: c.opt.unit, Counts: c.counts, Confidence: s.opt.Confidence, Resamples: s.opt.Resamples}
	byLift := map[string][]cluster{}
	var all []cluster
	var lifters []int32 // of all
	last := int32(-1)
	for _, i := range c.sortedSeries() {
		u := &c.series[i]
		if u.cell == 0 {
			continue
		}
		cell := c.cells.at(u.cell - 1)
		if u.lifter != last {
			all = append(all, nil)
			lifters = append(lifters, u.lifter)
			last = u.lifter
		}
		all[len(all)-1] = append(all[len(all)-1], cell)
		lift := c.names[1].list[u.lift]
		byLift[lift] = append(byLift[lift], cluster{cell})
	}
	r.Lifters = len(lifters)
	var z []float64
	var err error
	if r.All, z, err = s.group(all); err != nil {
		return nil, err
	}
	r.Paired = s.paired(&r.All, z)
	if s.opt.NoLifts {
		clear(byLift)
	}
	lifts := make([]string, 0, len(byLift))
	for l := range byLift {
		lifts = append(lifts, l)
	}
	slices.Sort(lifts)
	for _, l := range lifts {
		g, _, err := s.group(byLift[l])
		if err != nil {
			return nil, err
		}
		g.Lift = l
		r.ByLift = append(r.ByLift, g)
	}
	people := c.sortedPeople()
	n := cellLen(c.opt.k)
	for b := range c.opt.bands {
		if s.opt.NoBands {
			break
		}
		var cs []cluster
		for _, id := range people {
			if cell := c.people[id].bands[b*n : (b+1)*n]; cell[cellN] > 0 {
				cs = append(cs, cluster{cell})
			}
		}
		if len(cs) == 0 {
			continue
		}
		g, _, err := s.group(cs)
		if err != nil {
			return nil, err
		}
		g.Band = c.opt.bandName(b)
		r.ByBand = append(r.ByBand, g)
	}
	if !s.opt.NoLifters {
		for i, id := range lifters {
			g, _, err := s.group(all[i : i+1])
			if err != nil {
				return nil, err
			}
			g.Lifter = c.names[0].list[id]
			r.ByLifter = append(r.ByLifter, g)
		}
	}
	if !c.crowded() {
		r.Choices = s.choices(people)
	}
	r.Refits = s.refits(people, &r.All)
	r.Warnings = s.warnings(r)
	return r, nil
}

// group sums up clusters, and resamples them where there are several.
func (s *summary) group(cs []cluster) (Group, []float64, error) {
	c := s.c
	k := c.opt.k
	m := newMoments(k)
	for _, cl := range cs {
		for _, cell := range cl {
			m.add(cell)
		}
	}
	g := Group{Pairs: int64(m.n), Lifters: len(cs)}
	if m.n == 0 {
		return g, nil, nil
	}
	z := s.resample(cs)
	for j := range k {
		a, err := m.agreement(j)
		if err != nil {
			return g, nil, err
		}
		res, err := a.Result(estimate.AgreementOptions{Confidence: s.opt.Confidence})
		if err != nil {
			return g, nil, err
		}
		g.Methods = append(g.Methods, Measure{ID: c.opt.ids[j], Family: c.opt.families[j], AgreementResult: res})
	}
	if z != nil {
		cols := 1 + 3*k
		v := make([]float64, len(z)/cols)
		for j := range k {
			meas := &g.Methods[j]
			for what, to := range []**estimate.Interval{&meas.BiasBoot, &meas.MAEBoot, &meas.RMSEBoot} {
				for i := range v {
					row := z[i*cols : (i+1)*cols]
					v[i] = row[1+3*j+what] / row[0]
					if what == 2 {
						v[i] = math.Sqrt(math.Max(v[i], 0))
					}
				}
				*to = s.percentiles(v)
			}
			for what, to := range []**estimate.Interval{&meas.LowerBoot, &meas.UpperBoot} {
				sign := float64(2*what - 1)
				for i := range v {
					row := z[i*cols : (i+1)*cols]
					n, d, dd := row[0], row[1+3*j+ofD], row[1+3*j+ofDD]
					v[i] = d/n + sign*meas.Multiplier*math.Sqrt(math.Max((dd-d*d/n)/math.Max(n-1, 1), 0))
				}
				*to = s.percentiles(v)
			}
		}
	}
	return g, z, nil
}

// resample gives, for each resample, the number of pairs and S d, S |d|, S d^2 of each method; nil where
// there is nothing to resample.
func (s *summary) resample(cs []cluster) []float64 {
	if len(cs) < 2 || s.opt.Resamples == 0 {
		return nil
	}
	k := s.c.opt.k
	cols := 1 + 3*k
	sums := make([]float64, len(cs)*cols)
	for i, cl := range cs {
		row := sums[i*cols : (i+1)*cols]
		for _, cell := range cl {
			row[0] += cell[cellN]
			for j := range k {
				for what := range 3 {
					row[1+3*j+what] += cell[cellHead+cellPer*j+what]
				}
			}
		}
	}
	return Resample(sums, cols, s.opt.Resamples, s.opt.Seed, s.opt.Workers)
}

// percentiles sorts v and takes the interval.
func (s *summary) percentiles(v []float64) *estimate.Interval {
	slices.Sort(v)
	tail := (1 - s.opt.Confidence) / 2
	return &estimate.Interval{Low: numeric.Quantile(v, tail), High: numeric.Quantile(v, 1-tail)}
}

func (s *summary) paired(g *Group, z []float64) []Difference {
	k := s.c.opt.k
	cols := 1 + 3*k
	v := make([]float64, len(z)/cols)
	var out []Difference
	for i := range g.Methods {
		for j := i + 1; j < len(g.Methods); j++ {
			d := Difference{A: g.Methods[i].ID, B: g.Methods[j].ID, MAE: g.Methods[i].MAE - g.Methods[j].MAE}
			if z != nil {
				for x := range v {
					row := z[x*cols : (x+1)*cols]
					v[x] = (row[1+3*i+ofAbs] - row[1+3*j+ofAbs]) / row[0]
				}
				d.Interval = s.percentiles(v)
			}
			out = append(out, d)
		}
	}
	return out
}

// judged is a lifter's errors by test.
func (s *summary) judged() []*person {
	c := s.c
	if !c.looked {
		return c.people
	}
	// Looked-up sets come one by one; the sums of each test are whole only now.
	out := make([]*person, len(c.people))
	k := c.opt.k
	mean := make([]float64, k)
	for _, i := range c.sortedSeries() {
		u := &c.series[i]
		for at := 0; at < len(c.parts[i]); at += 1 + k {
			part := c.parts[i][at : at+1+k]
			if part[0] == 0 {
				continue
			}
			p := out[u.lifter]
			if p == nil {
				p = &person{mean: make([]float64, k), sq: make([]float64, k*(k-1)/2)}
				out[u.lifter] = p
			}
			for j := range k {
				mean[j] = part[1+j] / part[0]
			}
			p.judge(mean)
		}
	}
	return out
}

func (s *summary) choices(people []int) []Choice {
	judged := s.judged()
	out := make([]Choice, 0, len(people))
	quantiles := map[int]float64{}
	for _, id := range people {
		ch := s.choice(judged[id], quantiles)
		ch.Lifter = s.c.names[0].list[id]
		out = append(out, ch)
	}
	return out
}

func (s *summary) choice(p *person, quantiles map[int]float64) Choice {
	if p == nil || p.tests == 0 {
		return Choice{}
	}
	ch := Choice{Tests: int(p.tests)}
	best := 0
	for j, v := range p.mean {
		if less(v, p.mean[best]) {
			best = j
		}
	}
	o := s.c.opt
	ch.Best, ch.Error = o.ids[best], p.mean[best]/p.tests
	if ch.Tests < leastTests {
		return ch
	}
	others := 0
	for _, f := range o.families {
		if f != o.families[best] {
			others++
		}
	}
	t, ok := quantiles[ch.Tests*mostMethods+others]
	if !ok && others > 0 {
		// One-sided for each of the others (Bonferroni): all of them have to be worse.
		t = distuv.StudentsT{Mu: 0, Sigma: 1, Nu: p.tests - 1}.Quantile(1 - (1-s.opt.Confidence)/float64(others))
		quantiles[ch.Tests*mostMethods+others] = t
	}
	for j := range o.ids {
		if o.families[j] == o.families[best] {
			continue
		}
		i, l := min(best, j), max(best, j)
		sq := p.sq[i*(2*o.k-i-1)/2+l-i-1]
		mean := (p.mean[j] - p.mean[best]) / p.tests
		se := math.Sqrt(math.Max(sq-p.tests*mean*mean, 0) / (p.tests - 1) / p.tests)
		if !(mean > t*se) {
			ch.Rivals = append(ch.Rivals, o.ids[j])
		}
	}
	ch.Decided = len(ch.Rivals) == 0 && others > 0
	return ch
}

// less is a < b by more than rounding: of methods that are the same under two names, the
// first is the best of them however the sums were formed.
func less(a, b float64) bool { return a < b*(1-1e-9) }

// leastResamples is how many draws a percentile interval needs for its ends to be more than chance: common practice, no
// published source.
const leastResamples = 200

func (s *summary) warnings(r *Result) []estimate.Warning {
	var out []estimate.Warning
	warn := func(code, format string, args ...any) {
		out = append(out, estimate.Warning{Code: code, Text: fmt.Sprintf(format, args...)})
	}
	switch {
	case r.Counts.Pairs == 0 && r.Counts.Tests == 0:
		warn("no_tests", "the log has no tests: they are %s", s.c.opt.tests)
	case r.Counts.Pairs == 0 && r.Counts.NoAnswer == 0:
		warn("no_pairs", "no qualifying set lies in the %d days before a test of its lift", s.c.opt.window)
	case r.Lifters < 2:
		warn("one_lifter", "one lifter alone says nothing of how lifters differ: there are no intervals over lifters, and no cross-validation")
	case r.Lifters < 10:
		warn("few_lifters", "intervals over %d lifters are too narrow as a rule; ten or more are wanted (common practice, no published source)", r.Lifters)
	}
	if n := r.Counts.NoAnswer; n > 0 {
		warn("no_answer", "%d sets are left out because some method has no answer for their repetitions: methods are compared on the same pairs", n)
	}
	if r.Resamples > 0 && r.Resamples < leastResamples && r.Lifters > 1 {
		warn("few_resamples", "%d draws say little of an interval's ends; %d or more are wanted (common practice, no published source)", r.Resamples, leastResamples)
	}
	if n := r.Counts.Unreported; n > 0 && r.Counts.Pairs+r.Counts.NoTest < n {
		warn("unreported", "sets that report no reserve are left out, and are more than take part: %d", n)
	}
	return out
}
