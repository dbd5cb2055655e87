// Package blockwright is the root of a module for the mathematics of
// strength-training periodization. It holds no code; these are its packages:
//
// Package estimate answers what a lifter's one-repetition maximum is: the
// published equations with their ranges and sources, the relation between
// repetitions and the share of the maximum, one answer with an interval, a
// maximum tracked through a log, and the statistics to compare methods.
//
// Package plates answers what goes on the bar: exact masses, what a stock of
// plates can load, rounding to it, and loading sequences with few moves.
//
// Package periodize compiles a block for a lifter: the sets, repetitions and
// weights of every session, and where each number came from. It reviews a plan
// against a table of rules, and drafts a block from a brief.
//
// Package periodize/workload measures training: tonnage, number of lifts,
// intensity, hard sets, session time, monotony, strain, acute:chronic ratios,
// and what is left in reserve set after set.
//
// Package periodize/taper cuts volume to a date and chooses attempts.
//
// Package periodize/response simulates and fits fitness-fatigue models, and
// says when the data cannot carry them.
//
// Package periodize/blockfile reads and writes the block, roster and brief
// files, strictly, and generates their JSON Schemas.
//
// Package periodize/logbook reads training logs of any length, adds them up,
// compares estimation equations on them, and holds them against a plan.
//
// Package periodize/sheet prints plans: text, Markdown, HTML, CSV, JSON and
// iCalendar; sheet/workbook makes spreadsheets and sheet/figure pictures.
//
// Command blockwright is a thin command line over them.
//
// Leaves (estimate, plates, periodize/workload, periodize/taper,
// periodize/response) need the standard library and gonum alone, so that a
// program can take one without the rest.
//
// # Cautions
//
// The module does arithmetic on numbers that somebody entered. It gives no
// medical advice. Get clearance first where a health question is open; use
// spotters or safety pins for heavy sets; stop on pain; young lifters train
// under qualified supervision; a facility's own rules and licensed practice come
// first.
package blockwright
