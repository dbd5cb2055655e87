// Package response models performance as fitness minus fatigue that daily
// training load leaves behind: it simulates, fits, forecasts and compares plans,
// and says what such models cannot tell.
//
//	outlook, err := response.Predict(load, response.ForecastOptions{Convention: response.PreviousDay, Daily: week / 7})
//	// outlook.Freshest is a band over assumed parameter sets; show outlook.Caveats
//
// # Models
//
// [OneComponent] has fitness alone, [TwoComponent] is the customary
// impulse-response model, [VariableDose] lets fatigue grow with recent training.
// Two day conventions are in print; every call names one ([PreviousDay],
// [SameDay]) and the state that the lifter starts in ([State]). Series are
// recursions, linear in the number of days. [TwoComponent.BreakEven] and
// [TwoComponent.PeakBenefit] are the closed forms of one session's effect;
// [Filter] is the same model as a state space with a Kalman filter.
//
// # Fitting
//
// [Examine] fits a model to a log with tests and puts everything needed to
// doubt it beside it: standard errors, correlations, profile intervals, error on
// tests held out, and the simpler models. It refuses what the data cannot
// carry. [FitModel] is the fit alone. Two exponentials are a notoriously
// ill-conditioned pair: the least-squares engine is checked against certified
// sets of that form.
//
// # Forecasts
//
// No parameters for a barbell lift have been published. [Predict] therefore runs
// over a named list of parameter sets ([AssumedSets]), each marked as assumed,
// and gives a band and the share of the list that agrees on the freshest day;
// [ComparePlans] sets two plans side by side. [Caveats] are the sentences that
// belong beside every such output.
//
// There is no function for an optimal load and there will be none: the plain
// model is linear in every load, so its optimum is all-or-nothing.
//
// # Sources
//
// Equations from memory of Banister 1975, Morton, Fitz-Clarke and Banister 1990,
// Busso 1994 and 2003, consistent with the abstracts that were seen; closed
// forms of Fitz-Clarke, Morton and Banister 1991, derived again; the state space
// of Kolossa et al. 2017 (looked-up). Bounds and minimum amounts of data are
// engineering choices and say so.
//
// # Cautions
//
// A forecast is no instruction to train or to rest and no medical advice. What
// was fitted describes the past of one lifter; a coach, the facility's rules and
// licensed practice come first.
package response
