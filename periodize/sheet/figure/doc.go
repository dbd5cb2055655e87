// Package figure draws pictures, SVG or PNG: what a plan adds up to ([Review]), a
// maximum through a log ([Maximum]), how equations err ([Comparison]), a taper
// ([Taper]), and forecasts and fits of the fitness-fatigue model ([Forecast],
// [ForecastPair], [Fit]). It lives at the edge of the module, so that the plotting
// library reaches nobody who does not import it.
//
//	f, err := figure.Review(review)
//	...
//	err = f.Write(w, figure.SVG)
//
// Shapes and labels carry the meaning, colour never alone: bars are volume,
// points joined by a line are intensity, cells carry their numbers; where a log is long,
// one blue from light to dark counts pairs, as its legend says. Colours of lines are
// dark enough for 4.5:1 against white.
package figure
