// Package logbook reads training logs and draws conclusions from them: what was lifted, how well equations would
// have predicted it, and what to do next.
//
// # Reading
//
// A log is CSV (RFC 4180) with a header; Columns lists the names that it may have, of which date, lifter, lift, load and
// reps are required, in any order and case. [Reader] reads one or more files as one log, compressed with
// gzip or not. Semicolons between columns, decimal commas and a byte-order mark are recognised, and a [Notice] says so. A
// row that cannot be used is a [RowError] with its place and what would be right; reading goes on behind it, every
// row is counted in the [Report], and nothing is concluded from a log with bad rows unless Options.SkipBad says so. A
// quote that is opened and never closed costs its own line and no other. Rows have two forms:
//
//	for row, err := range r.Rows()    // everything that a row says
//	for batch, err := range r.Batches() // thousands of sets at a time, for analyses of long logs
//
// Files are read in blocks by several goroutines; the order and the numbers of what comes out do not depend on how
// many. Memory follows the number of different names, not the length of the log.
//
// # Summing up
//
// [Summarise] gives work, best sets, weeks, session loads and gaps, and, by the state-space model of package estimate, how
// each maximum moved. [Compare] puts every qualifying set against the nearest later test of its lifter and lift
// and gives bias, errors, limits of agreement and concordance of every equation, over all pairs, by lift, by
// band of repetitions and by lifter; intervals from resampled lifters, since the sets of one lifter are no independent evidence; paired
// differences; which equation fits whom, where the lifter's tests can tell; and coefficients refitted to the log, validated on lifters that had no part
// in them. [PlanNext] holds a log against a plan and makes the roster to go on with.
//
// [Summary], [Tests] and [Comparison] are sums that merge and marshal: summarise the parts of a log wherever they
// lie and combine the sums, as the map and combine steps of an existing distributed engine; see the example of
// Comparison.Merge. Parts of a comparison take two rounds, one for the tests and one for the sets, because a set's test
// may lie in another part.
//
// # Cautions
//
// A log is what people wrote down. Reported reserves are off by about a repetition, tests are rarer on bad days, and a
// comparison tells about the lifters and lifts that are in it. Rules that turn a log into changes of weight are common practice, no
// published source, and are marked so; a coach looks at them before anyone lifts by them. No figure here is a verdict on health or risk.
package logbook
