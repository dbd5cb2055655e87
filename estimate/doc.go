// Package estimate answers what a lifter's one-repetition maximum is, from
// ordinary training sets, and how well that is known.
//
//   - [Max] gives one answer with an interval, from one or several sets of one
//     or several days; [Fit] adds the lifter's own repetitions-%1RM curve.
//   - [Equations] are the published scale-free prediction equations as values,
//     with citation, range, family and pole; [All] puts a set through all of
//     them and [Agreed] counts their families once; [Factors] does very many
//     sets fast. [Regressions] are those tied to a unit, a lift or a test.
//   - [Curves] are relations between repetitions and the fraction of the
//     maximum, with how far lifters differ; [Handbooks] are printed tables.
//   - [RPEToRIR] and [RIRToRPE] translate effort ratings.
//   - The tracker follows a maximum through a log, the velocity lines estimate
//     it from bar speed, and the agreement statistics compare methods.
//
// Loads may be in any one unit throughout, except where a type carries its own.
//
//	e, err := estimate.Max([]estimate.Set{{Load: 100, Reps: 5, RIR: 2}}, estimate.Options{})
//	// e.Max with 90 % between e.Low and e.High; show e.Warnings
//	curve, err := estimate.CurveNamed("general")
//	share, extrapolated, err := curve.Fraction(8) // of the maximum that goes eight times
//
// # What the one answer assumes
//
// The meta-regression of repetitions at %1RM of Nuzzo et al. 2024 ([Curve]) and
// its spread between lifters; one lifter's variation from test to test (Mitter
// et al. 2022); bias and spread of a reported reserve (Halperin et al. 2022,
// Refalo et al. 2023, Hackett et al. 2017; see [Options]). Drift between days, what
// an unreported reserve is and how far a maximal single may be from the maximum
// are assumptions of ours, named where they are set. Sex, age and training
// status do not enter: that paper found no clear moderation by them.
//
// # Calibration
//
// Coverage of the 90 % interval and, in brackets, the median error of the
// maximum, for sets of 2 to 12 repetitions with 0 to 4 reported in reserve, by
// simulation: 2,000 lifters with one set, 500 with four sets over two weeks.
//
//	simulated world                                  one set          four sets
//	the model itself                                 90 % (+0.0 %)   90 % (+0.2 %)
//	loads chosen first, whole repetitions            91 % (+0.0 %)   89 % (-0.6 %)
//	reserve reported with double the spread          84 % (-0.3 %)   79 % (+0.1 %)
//	abilities and errors with heavy tails (t, 4 df)  93 % (-0.2 %)   92 % (+0.4 %)
//	more enduring lifters (+1 SD, spread 1.3 times)  70 % (+3.9 %)   78 % (+3.2 %)
//
// The last row is the caution: for people unlike those of the meta-regression
// the interval is too narrow, and a population that does more repetitions at a
// given load is overestimated. A tested single or sets at different loads of the
// same lifter help more than any equation.
//
// # Cautions
//
// An estimate is no instruction to lift it. Published equations disagree by 10 to
// 16 % at ten repetitions and their bias has no stable sign: older adults were
// underestimated by every equation (Knutzen et al. 1999), college players mostly
// overestimated from long sets (Mayhew et al. 2004). Predict from sets of ten
// repetitions or fewer; test maxima only with clearance, supervision, spotters
// or safety pins, and by the facility's own rules.
package estimate
