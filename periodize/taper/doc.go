// Package taper cuts training down to a date: how far, along which curve, on
// which days the last heavy and the last light session fall, and what to open
// with when the day has come.
//
//	curve, err := taper.ExponentialForMean(14, 0.5, 0) // two weeks, half of the volume in all
//	calendar, err := taper.NewCalendar(meet, curve, taper.CalendarOptions{})
//	attempts, err := taper.Choose(taper.Maximum{Mid: 180, Low: 172, High: 188, Coverage: 0.9}, taper.AttemptOptions{})
//
// # Curves
//
// A [Curve] gives the relative load r of taper day d = 1..D. A load of 1 is
// that of the reference week, the last full week before the taper; day D is the
// day before the meet:
//
//	step         r = 1 - c
//	linear       r = 1 - c d/D
//	exponential  r = f + (1-f) exp(-d/tau)
//
// The names are those of Mujika and Padilla 2003 and Banister, Carter and
// Zarkadas 1999 (looked-up); the formulas are the standard ones. What is cut is
// the volume; the intensity is a separate number. "A cut of half" is two
// things, the mean over the taper and the value on its last day: [Curve.MeanCut]
// and [Curve.FinalCut] report both, and a curve is solved for either or both
// ([ForMean], [ExponentialForMean], [FloorForMean], [ForCuts]).
//
// # Sets
//
// Nobody does 2.4 sets. [ShareOut], [ShareTotal] and [Curve.Sets] turn a cut
// into whole sets that add up to it.
//
// # Dates
//
// [NewCalendar] counts back from the meet to the first taper day, the last
// heavy session and the last session of each lift, by [Rules] that rest on
// surveys of strength athletes. [Assess] measures a plan a coach has written
// against the same windows. Evidence from endurance sport is there too and is
// labelled; see [Published].
//
// # Attempts
//
// [Choose] picks an opener and two further attempts from a maximum and its
// interval, with the chance of a good lift at each weight as a range;
// [CheckPattern] holds attempts against the published pattern; [BackRoom] puts
// the warm-up on the clock.
//
// # Cautions
//
// Trials of tapering in lifters are few and small, and most numbers here are
// surveys of what lifters do. Nothing in this package is medical advice. The
// rules of the meet and of the facility, and a coach who knows the lifter, come
// first.
package taper
