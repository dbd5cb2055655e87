// Package workload adds up training: lifts, tonnage, intensity, hard sets,
// session load, monotony and acute:chronic ratios; it predicts what each of
// several sets leaves in reserve, and how long a session takes.
//
//	var t workload.Totals
//	err := t.Add(workload.Set{Count: 3, Reps: 5, Load: 100, Max: 140})
//	t.Volume.Tonnage() // 1500
//	left, err := workload.Recovery{}.Reserves(sets) // repetitions left in each
//
// # Sums
//
// [Totals] takes [Set] values one at a time and holds a [Volume] (number of
// lifts, tonnage, average load, mean intensity, relative volume), hard sets by
// muscle and pattern ([Tally]), lifts by intensity ([Zones]) and the coaching
// convention [INOL]; each can be had alone. A [Rule] says which sets count,
// warm-ups above all. [Diary] adds up loads by day. All of them merge, so that
// a log can be cut in pieces, and marshal to JSON and to a compact binary form
// that give back exactly what was there. Sums are compensated: their error does
// not grow with the length of the log.
//
// # Load over days
//
// [SessionLoad], [NewWeek] (monotony and strain, with the standard deviation
// named; undefined, not a number, in a flat week), [RollingRatios] (coupled or
// not) and [EWMARatios] (seed named; the first 28 days flagged). They describe.
// None is a risk of injury or illness, and no threshold for any is supported in
// strength training.
//
// # Sets across
//
// [Recovery] predicts the repetitions in reserve of each set from the capacity
// of the first, and in [Recovery.FreshCapacity] the capacity that a wanted
// reserve in the last set needs. It rests on R(t) = 1 - 0.6425 exp(-t/224 s),
// an exploratory fit, or on a bi-exponential curve measured in cycling. What
// both reach on published totals of sets to failure, error in per cent of the
// published number (totals relative to another rest where the study gives them
// so):
//
//	study                           rest       published   single       bi-exponential
//	Senna 2009, 9 sets of 10RM      120 s      66.7 reps    67.5  +1 %   68.2  +2 %
//	                                300 s      80.9 reps    79.9  -1 %   76.3  -6 %
//	Willardson 2005, bench, 4x8RM   120/60 s   1.26         1.14 -10 %   1.10 -13 %
//	                                300/60 s   1.50         1.38  -8 %   1.26 -16 %
//	Willardson 2005, squat, 4x8RM   120/60 s   1.14         1.14   0 %   1.10  -3 %
//	                                300/60 s   1.28         1.38  +8 %   1.26  -2 %
//	Lopes 2018, 6 lifts, 4x10RM     30/120 s   0.878        0.806 -8 %   0.775 -12 %
//	                                60/120 s   0.960        0.880 -8 %   0.907  -5 %
//	Richmond 2004, bench, 2 sets    60/300 s   0.812        0.824 +1 %   0.872  +7 %
//	                                180/300 s  0.873        0.935 +7 %   0.953  +9 %
//
// The first eight rows were among those the single exponential was fitted to;
// Richmond and Godard 2004 was not. The Willardson rows are from a secondary
// source, the others were looked up. Where the literature gives only an order
// (longer rests, more repetitions) or a loss per set, the model agrees with the
// order, but loses repetitions earlier than Ratamess et al. 2007 and Scudese et
// al. 2015 saw at rests of 120 s and more with few repetitions a set: expect
// the prediction to be low rather than high for heavy sets of up to five. It
// says nothing about sets far from failure, repeated maximal singles and paired
// work that may tire the same muscles.
//
// # Session time
//
// [TimeModel.Session] runs a clock through a session: warm-ups, repetitions at
// their tempo, rests, which overlap in pairs, set-up and plate moves. The
// answer is a range, since no set-up times are published and lifters do not
// rest as planned.
//
// # Cautions
//
// Nothing in this package is medical advice or a verdict on a lifter. A
// predicted reserve is no licence to lift near failure without spotters or
// safety pins; stop on pain; the facility's rules and licensed practice come
// first.
package workload
