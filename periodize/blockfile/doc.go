// Package blockfile reads and writes the files that people write: blocks,
// rosters and briefs, in YAML 1.2 or JSON.
//
//	block, err := blockfile.ReadBlock("block.yaml", file)
//	roster, err := blockfile.ReadRoster("roster.yaml", other)
//	err = blockfile.CheckPair(block, roster) // whether the two go together
//
// Reading is strict, and everything that is wrong with a file is found in one
// run. Each [Error] says where (file:line:column), at which field, what is wrong
// and what would be right, with the nearest valid name where a name does not
// resolve:
//
//	block.yaml:4:11: sessions[0].work[0].sets: want a whole number from 0 to 100, got "3.5"
//	block.yaml:9:15: sessions[0].work[2].lift: there is no lift "deadlfit": did you mean "deadlift"?
//
// Unknown and repeated keys, values of the wrong form, numbers out of bounds,
// tracks of the wrong length, names that do not resolve and choices that
// exclude each other are errors. So are a second document, tags, merge keys, and
// aliases that expand to more than anybody writes; other anchors and aliases are
// fine. Numbers are plain decimals, read from their text: 010, 0x10, 1_0, 1e3
// and .inf are errors, and 57.5 is exactly 57.5. The text true, false or null,
// and text that looks like a number, needs quotes where text is wanted.
//
// Masses that carry no unit are in the file's units: a block's own, and in a
// roster those of the gym, in whatever order the keys stand. A block that has
// no bare mass may leave units out.
//
// Writing gives a canonical form that reads back as the same value.
// [WriteBlockWith] puts comments beside the fields.
//
// One table for each record drives reading, suggestions, writing, the JSON
// Schema ([Schema], checked in under schema/) and the field reference
// ([Reference], checked in as FIELDS.md), so that they cannot disagree.
//
// The bounds of values (reps up to 200, rests up to an hour and so on) are
// there to catch slips of the keyboard: common practice, no published source.
// They do not say that what lies within them is wise or safe.
package blockfile
