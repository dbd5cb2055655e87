// Package plates answers what goes on the bar.
//
// A [Mass] is a whole number of tenths of a microgram, in which kilogram and
// pound plates are both exact; a [Ratio] is an exact rational number. [NewLoads]
// turns a [Bar] and an [Inventory] (how many of each plate a gym owns, used in
// pairs, kilogram and pound plates mixed) into everything that can be loaded;
// [NewStation] and [NewRange] do so for dumbbells, stacks and fixed barbells.
//
//	l, err := plates.NewLoads(bar, inventory)
//	load := l.Round(max.Percent(percent), plates.Down) // never over the exact target
//	side, ok := l.PerSide(load.Mass)                    // fewest plates, innermost first
//
// A percentage of a maximum is rounded from its exact value: 57.5 % of 100 kg is
// 57.5 kg, where binary floating point has a little less and rounding down would
// lose a plate. Totals and plates are never found by filling up with the largest
// plates first, which misses loads of a limited stock and wastes plates on others
// (Kozen and Zaks 1994 and Pearson 1994 say for which unlimited systems it would
// be right; looked-up). [Loads.Prepare] prices whole rosters at a few nanoseconds a set.
//
// Masses, ratios, units and roundings are text in JSON, "142.5kg" and "72.5", and read
// back exactly. [ParseInventory] reads a stock of plates.
//
// [Loads.Sequence] plans a session: which plates come off and go on from load to
// load so that as few as possible are moved, proven, with the outermost plate
// always the first to come off. [Warmup] is a ramp to a working load along
// published protocols, [Loads.Share] the order of several lifters on one bar, and
// [Together] several bars loaded from one stock. [Draw] shows a bar as text.
//
// # Sources
//
// The pound is 0.453 592 37 kg exactly (international yard and pound agreement of
// 1959, looked-up). Federations ask for the largest plate innermost and, for one,
// the fewest plates (looked-up in summaries of their rules); that is the default
// stack order. Protocols and disc colours carry their sources with them.
//
// # Cautions
//
// A label is not a weight: no standard that limits the error of ordinary plates
// was found, and a calibration firm states 1 to 7 % for consumer plates
// (looked-up, not peer reviewed). Decimals beyond the smallest pair of plates say
// nothing. [Free] stack order puts small plates inside large ones, which
// federations forbid and which is unsafe with plates of very different diameter.
// Use collars, and load and strip both sides by turns.
package plates
