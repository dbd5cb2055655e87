// Package figure draws reviews, maxima over time and forecasts as pictures, SVG
// or PNG. It lives at the edge of the module, so that the plotting library
// reaches nobody who does not import it.
//
//	f, err := figure.Review(review)
//	...
//	err = f.Write(w, figure.SVG)
//
// Shapes and labels carry the meaning, colour never alone: bars are volume,
// points joined by a line are intensity, cells carry their numbers. Colours are
// dark enough for 4.5:1 against white.
package figure
