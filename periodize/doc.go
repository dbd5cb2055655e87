// Package periodize turns a block, which is a plan of several weeks for nobody
// in particular, into the plan of one lifter: for every week and session the
// sets, repetitions and weights, each weight one that this lifter can load on
// this gym's equipment.
//
// A [Block] says what is to be done. Its numbers are tracks, one value a week
// ([Fixed], [ByWeek], [Line], [Crest], or any [Track] of your own). A [Roster]
// says who does it and with what. [Compile] checks the two against each other,
// reports everything that is wrong at once, and gives a [Program], from which
// each lifter's [Plan] is computed on demand.
//
//	prog, err := periodize.Compile(block, roster)
//	for plan := range prog.Plans() {
//		review := plan.Review(periodize.Thresholds{}) // weeks added up, and findings
//		...
//	}
//
// # How a weight comes about
//
// A maximum is a tested one, or the estimate from training sets (package
// estimate), or a share of another lift's. The working maximum is the maximum
// times the lifter's working_max, rounded to 0.1 of the gym's unit, halves
// down; that printed number is what percentages apply to. Percentages are exact
// rationals, never floats. A weight given by repetitions in reserve is the
// percentage at which the repetitions-%1RM relation of the lift predicts that
// reserve, to 0.01 %. The exact weight is rounded once, to a total that the bar
// or station of the lift can be loaded to (package plates); ties go down.
//
// Every set keeps its exact weight, its percentage and where the number came
// from. Sets that the gym cannot load are marked and gathered as warnings.
//
// # What is built on plans
//
// [Plan.Review] adds a plan up, week by week, and holds it against the table of
// [Rules] and the checks of your own that [NewCheck] makes; [ReviewBlock] does so
// for a block without lifters. [Program.Grid] prices
// large rosters without making out plans. [Plan.Daily], [Plan.Forecast] and
// [Plan.TaperReview] hand a plan to the models of the leaves. [Draft] searches for a
// block that meets a [Brief], and [Fit] for what each lifter needs changed of one.
//
// Files are read by periodize/blockfile, logs by periodize/logbook, and plans are
// printed by periodize/sheet.
//
// # Sources
//
// Each finding names its evidence in [Rules]; rests, warm-ups and test days name
// theirs where they are set. What no source says is common practice, no published
// source, and is marked so, above all what a draft starts from.
//
// # Cautions
//
// A plan is arithmetic on numbers that somebody typed in. It is no medical
// advice and does not replace a qualified coach, the facility's own rules or
// licensed practice. Predicted weights can be wrong by several kilograms.
package periodize
