package response

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/blockwright/blockwright/internal/num"
)

// Kind names a model for fitting.
type Kind string

// The kinds. Constant is no model at all, the one that others have to beat.
const (
	Constant Kind = "constant"
	One      Kind = "one-component"
	Two      Kind = "two-component"
	Variable Kind = "variable-dose"
)

// ParseKind finds a kind by its name; the error is a *NameError.
func ParseKind(s string) (Kind, error) {
	kinds := []Kind{Constant, One, Two, Variable}
	if slices.Contains(kinds, Kind(s)) {
		return Kind(s), nil
	}
	e := &NameError{Kind: "model", Name: s}
	for _, k := range kinds {
		e.Choices = append(e.Choices, string(k))
	}
	return "", e
}

func (k Kind) taus() int {
	switch k {
	case One:
		return 1
	case Two:
		return 2
	case Variable:
		return 3
	}
	return 0
}

func (k Kind) coefs() int {
	switch k {
	case One:
		return 2
	case Two, Variable:
		return 3
	}
	return 1
}

// InitialKind says what is known of training before day 1.
type InitialKind string

// The kinds of start. Training before the first logged day that a fit leaves
// out biases the level upwards (Ludwig et al. 2019, looked-up).
const (
	ZeroStart   InitialKind = "zero"   // none
	SteadyStart InitialKind = "steady" // the same daily load for a long time
	FittedStart InitialKind = "fitted" // the same, of a load that is fitted
)

// Initial is the state before day 1. The zero value is a zero start.
type Initial struct {
	Kind  InitialKind
	Daily float64 // for SteadyStart: load a day, a week's divided by seven
}

// Bounds are the ranges that parameters are searched in. A pair of zeros stands
// for the default, which is an engineering choice: time constants cover the
// published fitness range of 4 to 51 days but not the published extreme of 74
// days for fatigue, which is no longer a plausible fatigue (Vermeire et al.
// 2022, looked-up).
type Bounds struct {
	Tau1     [2]float64 // days; default 4 to 90
	Tau2     [2]float64 // days; default 1 to 40
	Tau3     [2]float64 // days, VariableDose; default 0.5 to 10
	MinRatio float64    // least Tau1/Tau2; default 1.3, 1 for none
	P0       [2]float64 // default within 20 per cent of the mean of the first three tests; 0 to twice that where the start is not zero
}

// Defaults of data that a fit needs: engineering choices.
const (
	DefaultMinTests = 15
	DefaultMinDays  = 60
)

// FitOptions are the choices of a fit. Only Convention has to be given.
type FitOptions struct {
	Model      Kind       // default Two
	Convention Convention // required
	Initial    Initial    // default a zero start
	Bounds     Bounds
	MinTests   int // default 15; never fewer than parameters plus two
	MinDays    int // default 60
	// Start is one starting point for the time constants (and the load before
	// day 1, where it is fitted) instead of the search over a grid.
	Start []float64
}

// Param is a fitted parameter.
type Param struct {
	Name    string  // "p0", "k1", "k2", "k3", "tau1", "tau2", "tau3", "daily before"
	Unit    string  // "performance", "performance/load", "performance/load^2", "d", "load"
	Value   float64 // the most likely
	SE      float64 // asymptotic standard error; 0 where KnownSE is false
	KnownSE bool
	AtBound bool    // the search ended at Low or High
	Low     float64 // least of the search
	High    float64 // most of the search
}

// Fit is a fitted model.
type Fit struct {
	Model      Kind
	Convention Convention
	Initial    Initial // FittedStart: Daily is the fitted load
	Params     []Param
	N          int       // tests
	DF         int       // tests less parameters
	RSS        float64   // sum of squared residuals
	SD         float64   // residual standard deviation, sqrt(RSS/DF)
	R2         float64   // 1 - RSS/total; 0 where all tests are equal
	AICc, BIC  float64   // smaller is better
	Tests      []Test    // by day
	Residuals  []float64 // test minus model
	Starts     int       // starting points that were polished
	Calls      int       // evaluations of the model
	Converged  bool      // the best start settled; otherwise it ran into a limit
	AtRatio    bool      // Tau1/Tau2 is at its least
	Warnings   []Warning

	cov     []float64 // of Params, row by row; 0 for those without an SE
	load    []float64
	options FitOptions
	bounds  Bounds
}

// FitModel fits a model to a log by least squares: level and gains are solved
// for inside a bounded grid over the time constants, the best places of the
// grid are polished by Levenberg and Marquardt's method with bounds, and the
// best of them is the fit. [Examine] does that and puts the doubts beside it.
//
// load[0] is the load of day 1; tests may come in any order. Warnings say what
// speaks against the fit ([Warning]); [Fit.Refused] whether it should not be
// used. It returns a *FieldError for numbers out of range, a *NameError for an
// unknown model and a *TooFewError where the data cannot carry a fit.
func FitModel(load []float64, tests []Test, o FitOptions) (*Fit, error) {
	f, err := fitModel(load, tests, &o)
	if err != nil {
		return nil, err
	}
	f.doubt()
	return f, nil
}

func fitModel(load []float64, tests []Test, o *FitOptions) (*Fit, error) {
	if o.Model == "" {
		o.Model = Two
	}
	sorted, err := prepare(load, tests, o)
	if err != nil {
		return nil, err
	}
	b, err := o.Bounds.resolve(sorted, o.Initial)
	if err != nil {
		return nil, err
	}
	s := newSearch(o, load, sorted, b)
	best, err := s.run()
	if err != nil {
		return nil, err
	}
	return s.fit(best), nil
}

// prepare checks a log and its tests for a fit.
func prepare(load []float64, tests []Test, o *FitOptions) ([]Test, error) {
	if _, err := ParseKind(string(o.Model)); err != nil {
		return nil, err
	}
	if err := o.Convention.check(); err != nil {
		return nil, err
	}
	switch o.Initial.Kind {
	case "", ZeroStart, FittedStart:
	case SteadyStart:
		if !okLoad(o.Initial.Daily) {
			return nil, &FieldError{Field: "initial.daily", Value: o.Initial.Daily, Want: "0 to 1e12"}
		}
	default:
		return nil, &FieldError{Field: "initial", Want: "a zero, steady or fitted start"}
	}
	for i, w := range load {
		if !okLoad(w) {
			return nil, badLoad(i, w)
		}
	}
	sorted, err := sortTests(tests, len(load))
	if err != nil {
		return nil, err
	}
	need := cmp.Or(o.MinTests, DefaultMinTests)
	needDays := cmp.Or(o.MinDays, DefaultMinDays)
	need = max(need, o.Model.params(o.Initial)+2, 3)
	days, distinct := 0, 0
	for i, t := range sorted {
		if i == 0 || t.Day != sorted[i-1].Day {
			distinct++
		}
		days = t.Day
	}
	if distinct < need || days < needDays {
		return nil, &TooFewError{Tests: distinct, MinTests: need, Days: days, MinDays: needDays}
	}
	return sorted, nil
}

func (k Kind) params(i Initial) int {
	n := k.taus() + k.coefs()
	if i.Kind == FittedStart && k != Constant {
		n++
	}
	return n
}

func (b Bounds) resolve(sorted []Test, initial Initial) (Bounds, error) {
	for _, d := range []struct {
		name   string
		v      *[2]float64
		lo, hi float64
	}{{"tau1", &b.Tau1, 4, 90}, {"tau2", &b.Tau2, 1, 40}, {"tau3", &b.Tau3, 0.5, 10}} {
		if *d.v == [2]float64{} {
			*d.v = [2]float64{d.lo, d.hi}
		}
		if !(d.v[0] >= 0.05 && d.v[1] >= d.v[0] && d.v[1] <= 1e5) {
			return b, &FieldError{Field: "bounds." + d.name, Value: d.v[0], Want: "0.05 to 100000 days, low end first"}
		}
	}
	if b.MinRatio == 0 {
		b.MinRatio = 1.3
	}
	if !(b.MinRatio >= 1 && b.MinRatio <= 100) {
		return b, &FieldError{Field: "bounds.min_ratio", Value: b.MinRatio, Want: "1 to 100"}
	}
	if b.Tau1[1] < b.MinRatio*b.Tau2[0] {
		return b, &FieldError{Field: "bounds.tau1", Value: b.Tau1[1], Want: "an upper end that the least tau2 times the least ratio does not pass"}
	}
	if b.P0 == [2]float64{} {
		var s num.Sum
		n := min(3, len(sorted))
		for _, t := range sorted[:n] {
			s.Add(t.Performance)
		}
		mean := s.Value() / float64(n)
		b.P0 = [2]float64{0.8 * mean, 1.2 * mean}
		if initial.Kind == SteadyStart || initial.Kind == FittedStart {
			b.P0 = [2]float64{0, 2 * mean}
		}
	}
	if !(b.P0[0] <= b.P0[1] && math.Abs(b.P0[0]) <= maxLevel && math.Abs(b.P0[1]) <= maxLevel) {
		return b, &FieldError{Field: "bounds.p0", Value: b.P0[0], Want: "numbers within 1e12, low end first"}
	}
	return b, nil
}

// fitIterations is the limit for a fit, whose two or three time constants
// need some ten; what takes longer has no minimum to find.
const fitIterations = 200

// search is one fit at work.
type search struct {
	o        *FitOptions
	b        Bounds
	load     []float64
	tests    []Test
	d        *design
	w        lsq
	calls    int
	polished int

	lo, hi [maxTheta]float64
	locked bool // tau1 is tied to MinRatio times tau2
	full   [maxTheta]float64
	jac    []float64
	box    lsqProblem
}

func newSearch(o *FitOptions, load []float64, sorted []Test, b Bounds) *search {
	s := &search{o: o, b: b, load: load, tests: sorted, d: newDesign(o.Model, o.Convention, load, sorted, o.Initial)}
	s.lo = [maxTheta]float64{b.Tau1[0], b.Tau2[0], b.Tau3[0]}
	s.hi = [maxTheta]float64{b.Tau1[1], b.Tau2[1], b.Tau3[1]}
	if o.Initial.Kind == FittedStart && o.Model != Constant {
		// The load before may be up to three times the heaviest week's.
		i := s.d.nTheta - 1
		s.lo[i], s.hi[i] = 0, max(3*heaviestWeek(load)/7, 1e-9)
	}
	s.d.coefLo[0], s.d.coefHi[0] = b.P0[0], b.P0[1]
	// Parameters then move by less than a millionth of their standard errors.
	s.w.tol, s.w.maxIter = 1e-12, fitIterations
	return s
}

func heaviestWeek(load []float64) (most float64) {
	sum := 0.0
	for i, w := range load {
		sum += w
		if i >= 7 {
			sum -= load[i-7]
		}
		most = max(most, sum)
	}
	return most
}

// spot is a place in the space of time constants and its sum of squares.
type spot struct {
	theta   [maxTheta]float64
	rss     float64
	ok      bool // converged
	atRatio bool
}

// run finds the best spot.
func (s *search) run() (spot, error) {
	if s.d.nTheta == 0 {
		r := make([]float64, len(s.d.y))
		return spot{rss: s.d.solve(r), ok: true}, nil
	}
	var starts []spot
	if s.o.Start != nil {
		if len(s.o.Start) != s.d.nTheta || !num.Finite(s.o.Start...) {
			return spot{}, &FieldError{Field: "start", Value: float64(len(s.o.Start)), Want: fmt.Sprintf("%d numbers", s.d.nTheta)}
		}
		var p spot
		copy(p.theta[:], s.o.Start)
		starts = []spot{p}
	} else {
		starts = s.grid()
	}
	best := spot{rss: math.Inf(1)}
	for _, p := range starts {
		q := p
		if len(starts) > 1 && !math.IsInf(best.rss, 1) {
			// A few steps show whether another start leads anywhere new.
			s.w.maxIter = 6
			q = s.polish(p.theta)
			s.w.maxIter = fitIterations
			if q.rss > 1.05*best.rss || (q.rss >= best.rss && near(q.theta, best.theta)) {
				continue
			}
		}
		s.polished++
		if q = s.polish(q.theta); q.rss < best.rss {
			best = q
		}
	}
	if math.IsInf(best.rss, 1) {
		return spot{}, &FieldError{Field: "tests", Want: "performances that the model can reach"}
	}
	return best, nil
}

// near says whether two spots are on their way to one minimum.
func near(a, b [maxTheta]float64) bool {
	for j := range a {
		if math.Abs(a[j]-b[j]) > 1e-3*(math.Abs(b[j])+1e-9) {
			return false
		}
	}
	return true
}

// residuals and jacobian are the least-squares problem in theta alone. With the
// ratio locked its first parameter is tau2.
func (s *search) residuals(x, r []float64) {
	s.calls++
	s.d.fill(s.unlock(x))
	s.d.solve(r)
}

func (s *search) unlock(x []float64) []float64 {
	if !s.locked {
		return x
	}
	s.full[0] = s.b.MinRatio * x[0]
	copy(s.full[1:], x)
	return s.full[:s.d.nTheta]
}

// jacobian relies on the columns that the last call of residuals left, which
// was at the same x.
func (s *search) jacobian(_, jac []float64) {
	if !s.locked {
		s.d.projected(jac)
		return
	}
	m := len(s.d.y)
	all := grow(&s.jac, m*s.d.nTheta)
	s.d.projected(all)
	copy(jac, all[m:])
	for i := range m {
		jac[i] += float64(s.b.MinRatio * all[i])
	}
}

// polish runs down from a starting point. The box knows nothing of the ratio;
// where the way ends beyond it, the best spot lies on that line, which is
// searched by itself.
func (s *search) polish(theta [maxTheta]float64) spot {
	n := s.d.nTheta
	s.locked = false
	s.box = lsqProblem{n: n, m: len(s.d.y), lo: s.lo[:n], hi: s.hi[:n], residuals: s.residuals, jacobian: s.jacobian}
	r := s.w.minimize(&s.box, theta[:n])
	if r.status == lsqNotFinite {
		return spot{rss: math.Inf(1)}
	}
	p := spot{rss: r.rss, ok: r.status == lsqConverged}
	copy(p.theta[:], r.x)
	if s.d.kind.taus() < 2 || p.theta[0] >= s.b.MinRatio*p.theta[1] {
		return p
	}
	return s.polishLocked(p.theta)
}

func (s *search) polishLocked(theta [maxTheta]float64) spot {
	n := s.d.nTheta - 1
	lo, hi := s.lo, s.hi
	copy(lo[:], s.lo[1:])
	copy(hi[:], s.hi[1:])
	lo[0] = max(lo[0], s.lo[0]/s.b.MinRatio)
	hi[0] = min(hi[0], s.hi[0]/s.b.MinRatio)
	if hi[0] < lo[0] {
		return spot{rss: math.Inf(1)}
	}
	s.locked = true
	defer func() { s.locked = false }()
	p := lsqProblem{n: n, m: len(s.d.y), lo: lo[:n], hi: hi[:n], residuals: s.residuals, jacobian: s.jacobian}
	r := s.w.minimize(&p, theta[1:1+n])
	if r.status == lsqNotFinite {
		return spot{rss: math.Inf(1)}
	}
	out := spot{rss: r.rss, ok: r.status == lsqConverged, atRatio: true}
	copy(out.theta[:], s.unlock(r.x))
	return out
}

// at makes the design stand at a spot and returns the residuals there.
func (s *search) at(p spot) []float64 {
	r := make([]float64, len(s.d.y))
	s.d.fill(p.theta[:s.d.nTheta])
	s.d.solve(r)
	return r
}

// fit writes a spot out.
func (s *search) fit(p spot) *Fit {
	r := s.at(p)
	d := s.d
	m, nc, nt := len(d.y), d.nCoef, d.nTheta
	f := &Fit{
		Model: s.o.Model, Convention: s.o.Convention, Initial: s.o.Initial,
		N: m, DF: m - nc - nt, Tests: s.tests, Starts: s.polished, Calls: s.calls,
		Converged: p.ok, AtRatio: p.atRatio,
		load: s.load, options: *s.o, bounds: s.b,
	}
	if f.Initial.Kind == "" {
		f.Initial.Kind = ZeroStart
	}
	for i := range r {
		r[i] = -r[i]
	}
	f.Residuals = r
	var rss, sum, tot num.Sum
	for i, v := range r {
		rss.Add(v * v)
		sum.Add(d.y[i])
	}
	mean := sum.Value() / float64(m)
	for _, v := range d.y {
		tot.Add((v - mean) * (v - mean))
	}
	f.RSS = rss.Value()
	f.SD = math.Sqrt(f.RSS / float64(f.DF))
	if t := tot.Value(); t > 0 {
		f.R2 = 1 - f.RSS/t
	}
	f.AICc, f.BIC = criteria(f.RSS, m, nc+nt, mean)

	f.Params = make([]Param, 0, nc+nt)
	names, units := s.o.Model.names(s.o.Initial)
	for l := range nc {
		q := Param{Name: names[l], Unit: units[l], Value: d.coef[l], Low: d.coefLo[l], High: d.coefHi[l]}
		q.AtBound = d.coef[l] <= q.Low || d.coef[l] >= q.High
		f.Params = append(f.Params, q)
	}
	for j := range nt {
		lo, hi := s.lo[j], s.hi[j]
		q := Param{Name: names[nc+j], Unit: units[nc+j], Value: p.theta[j], Low: lo, High: hi}
		edge := 1e-9 * (hi - lo)
		q.AtBound = q.Value <= lo+edge || q.Value >= hi-edge
		if j == 0 && p.atRatio {
			q.AtBound = true
		}
		f.Params = append(f.Params, q)
	}
	if j := nt - 1; s.o.Initial.Kind == FittedStart && nt > 0 {
		f.Initial.Daily = p.theta[j]
	}
	s.errors(f)
	return f
}

// errors works out covariance and standard errors of the parameters that are
// not at a bound.
func (s *search) errors(f *Fit) {
	d := s.d
	m, n := len(d.y), len(f.Params)
	f.cov = make([]float64, n*n)
	var use []int
	for i, p := range f.Params {
		if !p.AtBound {
			use = append(use, i)
		}
	}
	jac := make([]float64, len(use)*m)
	for k, i := range use {
		col := jac[k*m : (k+1)*m]
		if i < d.nCoef {
			copy(col, d.cols[i])
		} else {
			d.slope(i-d.nCoef, col)
		}
	}
	inv, ok := inverseGram(jac, m, len(use))
	if !ok {
		return
	}
	v := f.RSS / float64(f.DF)
	for a, i := range use {
		for b, j := range use {
			f.cov[i*n+j] = v * inv[a*len(use)+b]
		}
		se := math.Sqrt(f.cov[i*n+i])
		if num.Finite(se) {
			f.Params[i].SE, f.Params[i].KnownSE = se, true
		}
	}
}

// criteria are Akaike's criterion with the correction for small samples and
// Schwarz's, for normal errors; the residual variance counts as a parameter. A
// sum of squares below what the arithmetic resolves counts as that.
func criteria(rss float64, m, params int, scale float64) (aicc, bic float64) {
	n, k := float64(m), float64(params+1)
	rss = max(rss, n*math.Pow(1e-13*max(math.Abs(scale), 1e-100), 2))
	base := n * math.Log(rss/n)
	aicc = base + 2*k
	if n-k-1 > 0 {
		aicc += 2 * k * (k + 1) / (n - k - 1)
	}
	return aicc, base + k*math.Log(n)
}

func (k Kind) names(i Initial) (names, units []string) {
	switch k {
	case Constant:
		names, units = []string{"p0"}, []string{"performance"}
	case One:
		names, units = []string{"p0", "k1", "tau1"}, []string{"performance", "performance/load", "d"}
	case Two:
		names = []string{"p0", "k1", "k2", "tau1", "tau2"}
		units = []string{"performance", "performance/load", "performance/load", "d", "d"}
	case Variable:
		names = []string{"p0", "k1", "k3", "tau1", "tau2", "tau3"}
		units = []string{"performance", "performance/load", "performance/load^2", "d", "d", "d"}
	}
	if i.Kind == FittedStart && k != Constant {
		names, units = append(names, "daily before"), append(units, "load")
	}
	return names, units
}

// made reports a fit that has lost what its intervals need: JSON has the exported fields alone.
func (f *Fit) made() error {
	if n := len(f.Params); n == 0 || len(f.cov) != n*n {
		return &FieldError{Field: "fit", Value: float64(n), Want: "one that FitModel returned: fit the log again"}
	}
	return nil
}

// Param finds a parameter by name; ok is false where the model has none.
func (f *Fit) Param(name string) (p Param, ok bool) {
	i := slices.IndexFunc(f.Params, func(p Param) bool { return p.Name == name })
	if i < 0 {
		return Param{}, false
	}
	return f.Params[i], true
}

// Corr is the asymptotic correlation of two parameters by name; ok is false
// where one of them has no standard error, and for a Fit that [FitModel] did not make, such as one read back from JSON.
func (f *Fit) Corr(a, b string) (r float64, ok bool) {
	i := slices.IndexFunc(f.Params, func(p Param) bool { return p.Name == a })
	j := slices.IndexFunc(f.Params, func(p Param) bool { return p.Name == b })
	if i < 0 || j < 0 || f.made() != nil || !f.Params[i].KnownSE || !f.Params[j].KnownSE || f.Params[i].SE == 0 || f.Params[j].SE == 0 {
		return 0, false
	}
	return max(-1, min(1, f.cov[i*len(f.Params)+j]/f.Params[i].SE/f.Params[j].SE)), true
}

// Fitted is the fitted model, ready to simulate. A constant is a one-component
// model without gain.
func (f *Fit) Fitted() Model {
	v := func(name string) float64 { p, _ := f.Param(name); return p.Value }
	switch f.Model {
	case One:
		return OneComponent{P0: v("p0"), K: v("k1"), Tau: v("tau1")}
	case Two:
		return TwoComponent{P0: v("p0"), K1: v("k1"), K2: v("k2"), Tau1: v("tau1"), Tau2: v("tau2")}
	case Variable:
		return VariableDose{P0: v("p0"), K1: v("k1"), K3: v("k3"), Tau1: v("tau1"), Tau2: v("tau2"), Tau3: v("tau3")}
	}
	return OneComponent{P0: v("p0"), Tau: 1}
}

// Start is the state before day 1 that the fit used or found.
func (f *Fit) Start() State {
	if f.Initial.Kind == ZeroStart {
		return State{}
	}
	return f.Fitted().Steady(f.Initial.Daily)
}
