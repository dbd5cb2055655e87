// Package plates answers what goes on the bar: exact masses, bars and plates,
// everything that a stock can be loaded to, rounding, and loading sequences.
package plates
