// Package workbook writes plans as an Office Open XML workbook (xlsx): a sheet
// for each lifter whose weights follow when a maximum is retyped, with columns
// to write down what was done and the maximum that follows from it.
//
// It is a [sheet.Renderer] of its own package, so that programs without
// workbooks do not carry the library:
//
//	r, err := workbook.New(f, sheet.Options{Stamp: now})
//	...
//	err = sheet.Render(r, prog.Block(), prog.Plans())
//
// # How weights follow
//
// A weight is INDEX of the loadable totals at the MATCH of the exact weight
// among the totals' lower bounds, on a sheet named tables: the bounds are the
// midpoints for a lifter who rounds to the nearest, ties going down, and the
// totals themselves for one who rounds down or up. The exact weight is the
// working maximum times the percentage, less the bodyweight that counts,
// rounded to eight decimals so that binary fractions do not decide a tie. Only
// functions that every spreadsheet program has are used, and every formula
// carries its value, so that viewers show numbers.
//
// What a weight cannot be worked out from again does not stay beside the new
// ones: the range of an open weight follows as a share of the maximum, the
// predicted reserve and the words on where a weight is from are blanked, and a
// weight that no formula gets to the last plate becomes "see plan". A cell in
// the maximum's row says whether it is still the plan's.
//
// Warm-ups stand above the sets, without a number; theirs are the shares of the
// first working weight that the plan has. Nothing is protected.
//
// Sources: ISO/IEC 29500-1 clauses 18.3.1.40 and 18.3.1.96 (formula and value
// of a cell); the limits of names and cells are from memory.
package workbook
