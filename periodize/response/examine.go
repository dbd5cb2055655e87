package response

import (
	"fmt"
	"math"

	"github.com/blockwright/blockwright/internal/num"
)

// Report is a fit with everything that is needed to doubt it.
type Report struct {
	Fit      *Fit
	Profiles []Profile // of all parameters, in the order of the fit
	Models   []ModelFit
	HoldOut  []HoldOut
	Warnings []Warning // of the fit and of the comparisons
	Refused  bool      // the fit is not to be used; Warnings say why
}

// ModelFit is how well one of the compared models fits all tests.
type ModelFit struct {
	Model     Kind
	RSS       float64 // sum of squared residuals
	AICc, BIC float64 // smaller is better
}

// HoldOut is how well a model that was fitted to the earlier tests predicts the
// later ones. The error on tests that were fitted says little: such models
// describe better than they predict (Imbach et al. 2022, looked-up).
type HoldOut struct {
	Model           Kind
	Trained, Tested int     // tests
	RMSE            float64 // of the tests held out
	MAE             float64 // mean absolute error of the same
	Bias            float64 // mean of test minus prediction
}

// ExamineOptions are the choices of [Examine]; the zero value works.
type ExamineOptions struct {
	Level   float64 // coverage of profile intervals; default 0.95
	HoldOut float64 // share of the tests, the last ones, that are held out; default 0.25
}

// Examine fits a model and compares it with the simpler ones: by information
// criterion over all tests, and by the error on the last tests, held out. A
// component that is not worth its parameters by the criterion is refused
// (in Busso, Carasso and Lacour 1991 it was in six of eight subjects, looked-up).
//
// It returns errors as [FitModel] does. What speaks against a fit is not an
// error: see Report.Warnings and Report.Refused.
func Examine(load []float64, tests []Test, o FitOptions, e ExamineOptions) (*Report, error) {
	if e.Level == 0 {
		e.Level = 0.95
	}
	if e.HoldOut == 0 {
		e.HoldOut = 0.25
	}
	if !(e.Level > 0 && e.Level < 1) {
		return nil, &FieldError{Field: "level", Value: e.Level, Want: "between 0 and 1"}
	}
	if !(e.HoldOut > 0 && e.HoldOut <= 0.5) {
		return nil, &FieldError{Field: "hold out", Value: e.HoldOut, Want: "above 0, at most 0.5"}
	}
	f, err := FitModel(load, tests, o)
	if err != nil {
		return nil, err
	}
	o = f.options
	r := &Report{Fit: f, Warnings: append([]Warning(nil), f.Warnings...)}
	for _, p := range f.Params {
		pr, err := f.Profile(p.Name, e.Level)
		if err != nil {
			return nil, err
		}
		r.Profiles = append(r.Profiles, pr)
		if pr.LowOpen || pr.HighOpen {
			r.Warnings = append(r.Warnings, Warning{Code: OpenInterval, Params: []string{p.Name}, Value: p.Value,
				Text: fmt.Sprintf("the interval of %s reaches the end of its range: the data do not bound it", p.Name)})
		}
	}

	kinds := []Kind{Constant}
	if o.Model != Constant && o.Model != One {
		kinds = append(kinds, One)
	}
	for _, k := range append(kinds, o.Model) {
		if k == o.Model && len(r.Models) > 0 && r.Models[len(r.Models)-1].Model == k {
			continue
		}
		g := f
		if k != o.Model {
			ko := o
			ko.Model, ko.Start = k, nil
			if g, err = fitModel(load, tests, &ko); err != nil {
				return nil, err
			}
		}
		r.Models = append(r.Models, ModelFit{k, g.RSS, g.AICc, g.BIC})
		if k != o.Model && g.AICc <= f.AICc {
			r.Warnings = append(r.Warnings, Warning{Code: NoBetter, Refuse: true, Value: f.AICc - g.AICc,
				Text: fmt.Sprintf("the %s model is not better than the %s one: its corrected Akaike criterion is %.2f higher", o.Model, k, f.AICc-g.AICc)})
		}
	}
	if err := r.holdOut(load, o, e.HoldOut); err != nil {
		return nil, err
	}
	r.Refused = refused(r.Warnings)
	return r, nil
}

// holdOut fits every compared model to the earlier tests. Where these are too
// few for a model there is no row for it.
func (r *Report) holdOut(load []float64, o FitOptions, share float64) error {
	sorted := r.Fit.Tests
	cut := len(sorted) - max(1, int(math.Round(share*float64(len(sorted)))))
	// Tests of one day stay together.
	for cut > 0 && cut < len(sorted) && sorted[cut].Day == sorted[cut-1].Day {
		cut--
	}
	var own, bestSimple HoldOut
	for _, m := range r.Models {
		ko := o
		ko.Model, ko.Start = m.Model, nil
		// The limits on the amount of data are for the whole log.
		ko.MinTests, ko.MinDays = 3, 1
		f, err := fitModel(load, sorted[:cut], &ko)
		if _, few := err.(*TooFewError); few {
			continue
		}
		if err != nil {
			return err
		}
		p, err := f.Fitted().Series(nil, load, f.Convention, f.Start())
		if err != nil {
			return err
		}
		h := HoldOut{Model: m.Model, Trained: cut, Tested: len(sorted) - cut}
		var sq, abs, sum num.Sum
		for _, t := range sorted[cut:] {
			d := t.Performance - p[t.Day-1]
			sq.Add(d * d)
			abs.Add(math.Abs(d))
			sum.Add(d)
		}
		n := float64(h.Tested)
		h.RMSE, h.MAE, h.Bias = math.Sqrt(sq.Value()/n), abs.Value()/n, sum.Value()/n
		r.HoldOut = append(r.HoldOut, h)
		switch {
		case m.Model == o.Model:
			own = h
		case bestSimple.Model == "" || h.RMSE < bestSimple.RMSE:
			bestSimple = h
		}
	}
	if own.Model != "" && bestSimple.Model != "" && bestSimple.RMSE < own.RMSE {
		r.Warnings = append(r.Warnings, Warning{Code: HoldOutWorse, Value: own.RMSE,
			Text: fmt.Sprintf("on the %d tests held out the %s model is off by %.3g, the %s model by %.3g", own.Tested, own.Model, own.RMSE, bestSimple.Model, bestSimple.RMSE)})
	}
	return nil
}

// Point is a day of a forecast with its band.
type Point struct {
	Mid, Low, High float64 // performance
}

// Forecast runs a fitted model over a load, the log's and what is to follow,
// with a band from the covariance of its parameters (first order). The band
// holds performance itself; with tests set, a single test with its noise. It
// knows nothing of errors of the model, which are larger. load starts on the
// log's day 1.
//
// It returns a *FieldError for a level or load out of range, and for a fit
// without standard errors, or that [FitModel] did not make, such as one read back from JSON.
func (f *Fit) Forecast(load []float64, level float64, tests bool) ([]Point, error) {
	if !(level > 0 && level < 1) {
		return nil, &FieldError{Field: "level", Value: level, Want: "between 0 and 1"}
	}
	if err := f.made(); err != nil {
		return nil, err
	}
	mid, err := f.Fitted().Series(nil, load, f.Convention, f.Start())
	if err != nil {
		return nil, err
	}
	known := false
	for _, p := range f.Params {
		known = known || p.KnownSE
	}
	if !known {
		return nil, &FieldError{Field: "fit", Want: "one with standard errors"}
	}
	if len(load) == 0 {
		return nil, nil
	}
	// The derivatives at every day: a design with a "test" a day.
	days := make([]Test, len(load))
	for i := range days {
		days[i] = Test{Day: i + 1, Performance: 1}
	}
	d := newDesign(f.Model, f.Convention, load, days, f.Initial)
	nc := d.nCoef
	var theta [maxTheta]float64
	for i, p := range f.Params {
		if i < nc {
			d.coef[i] = p.Value
		} else {
			theta[i-nc] = p.Value
		}
	}
	d.fill(theta[:d.nTheta])
	n := len(f.Params)
	grad := make([][]float64, n)
	for i := range grad {
		if i < nc {
			grad[i] = d.cols[i]
			continue
		}
		grad[i] = make([]float64, len(load))
		d.slope(i-nc, grad[i])
	}
	t := studentQuantile(float64(f.DF), 0.5+level/2)
	out := make([]Point, len(load))
	for k := range out {
		v := 0.0
		for i := range n {
			for j := range n {
				v += grad[i][k] * f.cov[i*n+j] * grad[j][k]
			}
		}
		v = max(0, v)
		if tests {
			v += f.SD * f.SD
		}
		w := t * math.Sqrt(v)
		out[k] = Point{Mid: mid[k], Low: mid[k] - w, High: mid[k] + w}
	}
	return out, nil
}
