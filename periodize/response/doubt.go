package response

import (
	"fmt"
	"math"
	"strings"
)

// Code says what a warning is about; programs may rely on it.
type Code string

// The codes. NotIdentifiable, OnBound and NoBetter refuse a fit: its parameters
// and its forecasts are not to be used. The others warn.
const (
	NotIdentifiable Code = "not-identifiable"  // no interior optimum: time constants run together or the covariance does not exist
	OnBound         Code = "on-bound"          // a parameter lies at the end of its range
	NoBetter        Code = "no-better"         // not better than a simpler model by information criterion
	HighCorrelation Code = "high-correlation"  // two parameters above 0.95
	ErrorAbove      Code = "error-above-value" // a standard error larger than its parameter
	NoReduction     Code = "no-reduced-phase"  // no phase of reduced training with a test in it
	NotConverged    Code = "not-converged"     // the search ended before its end
	HoldOutWorse    Code = "hold-out-worse"    // a simpler model predicted the tests held out better
	OpenInterval    Code = "open-interval"     // a profile interval reaches the end of a parameter's range
)

// CorrelationLimit is the correlation of two parameters above which a fit is
// doubted.
const CorrelationLimit = 0.95

// Warning is one thing that speaks against a fit.
type Warning struct {
	Code   Code
	Params []string // parameters it is about
	Value  float64  // the number it rests on, 0 where there is none
	Refuse bool     // whether the fit is not to be used
	Text   string   // for people
}

// Refused says whether a fit should not be used at all.
func (f *Fit) Refused() bool { return refused(f.Warnings) }

func refused(ws []Warning) bool {
	for _, w := range ws {
		if w.Refuse {
			return true
		}
	}
	return false
}

// doubt collects the warnings that need no other fit.
func (f *Fit) doubt() {
	add := func(w Warning) { f.Warnings = append(f.Warnings, w) }
	if !f.Converged {
		add(Warning{Code: NotConverged, Refuse: true, Text: "the search for the best fit did not come to an end"})
	}
	if f.AtRatio {
		add(Warning{Code: NotIdentifiable, Refuse: true, Params: []string{"tau1", "tau2"}, Value: f.bounds.MinRatio,
			Text: fmt.Sprintf("the time constants run together: the best fit has tau1 at its least, %.3g times tau2, and the gains grow without limit beyond it; the data cannot tell fitness from fatigue", f.bounds.MinRatio)})
	}
	for i, p := range f.Params {
		switch {
		case p.AtBound && !(f.AtRatio && p.Name == "tau1"):
			text := fmt.Sprintf("%s is at the end of its range, %.4g", p.Name, p.Value)
			// A gain of nothing is a model with a component less.
			if p.Value == 0 && strings.HasPrefix(p.Name, "k") {
				text = fmt.Sprintf("%s is 0: the data show no such component", p.Name)
			}
			add(Warning{Code: OnBound, Refuse: true, Params: []string{p.Name}, Value: p.Value, Text: text})
		case !p.AtBound && !p.KnownSE:
			if i == 0 || f.Params[i-1].KnownSE || f.Params[i-1].AtBound {
				add(Warning{Code: NotIdentifiable, Refuse: true, Params: []string{p.Name}, Text: "the parameters depend on each other completely: there are no standard errors"})
			}
		case p.KnownSE && p.SE > math.Abs(p.Value):
			add(Warning{Code: ErrorAbove, Params: []string{p.Name}, Value: p.SE,
				Text: fmt.Sprintf("the standard error of %s, %.3g, is larger than its value, %.3g", p.Name, p.SE, p.Value)})
		}
	}
	for i, a := range f.Params {
		for _, b := range f.Params[:i] {
			if r, ok := f.Corr(a.Name, b.Name); ok && math.Abs(r) > CorrelationLimit {
				add(Warning{Code: HighCorrelation, Params: []string{b.Name, a.Name}, Value: r,
					Text: fmt.Sprintf("%s and %s correlate with %.3f: their single values mean nothing", b.Name, a.Name, r)})
			}
		}
	}
	if f.Model != Constant && f.Model != One && !hasReduction(f.load, f.Tests) {
		add(Warning{Code: NoReduction,
			Text: "no phase of reduced training with a test in it: nothing in the data shows fatigue fade"})
	}
}

// hasReduction looks for a phase of reduced training: seven days with at most 60
// per cent of the mean daily load of the 28 days before them, and a test in them
// or in the week after (an engineering choice).
func hasReduction(load []float64, tests []Test) bool {
	const before, phase, share = 28, 7, 0.6
	var ref, got float64 // sums of the days before and of the phase
	for i, w := range load {
		// The phase is the last seven days up to i, the reference the 28 before.
		got += w
		if i >= phase {
			got -= load[i-phase]
			ref += load[i-phase]
		}
		if i >= phase+before {
			ref -= load[i-phase-before]
		}
		if i < phase+before-1 || !(ref > 0) || got/phase > share*ref/before*(1+1e-9) {
			continue
		}
		start := i - phase + 1 // index of its first day
		for _, t := range tests {
			if t.Day > start && t.Day <= start+2*phase {
				return true
			}
		}
	}
	return false
}
