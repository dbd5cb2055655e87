// Package estimate answers what a lifter's one-repetition maximum is, from
// ordinary training sets, and how well that is known.
//
//   - Max gives one answer with an interval for one or several sets.
//   - Equations are the published prediction equations as values.
//   - Curves are relations between repetitions and the fraction of the maximum.
//   - RPEToRIR and RIRToRPE translate effort ratings.
package estimate
