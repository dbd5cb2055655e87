package blockfile

import (
	"bytes"
	"fmt"
	"io"

	"github.com/blockwright/blockwright/periodize"
)

// ReadBlock reads a block file. name is what errors call it. The error, where
// there is one, is [Errors] with everything that is wrong.
func ReadBlock(name string, in io.Reader) (*periodize.Block, error) {
	return readFile(name, in, blockRecord())
}

// ReadRoster reads a roster file. name is what errors call it. The error, where
// there is one, is [Errors] with everything that is wrong. Names of lifts are
// not looked up: see [CheckPair].
func ReadRoster(name string, in io.Reader) (*periodize.Roster, error) {
	return readFile(name, in, rosterRecord(false))
}

// ReadBrief reads a brief file. name is what errors call it. The error, where
// there is one, is [Errors] with everything that is wrong.
func ReadBrief(name string, in io.Reader) (*periodize.Brief, error) {
	return readFile(name, in, briefRecord())
}

// ReadGym reads the gyms of a roster file, which need not have anything else;
// what else it has is not looked at. Where the file has one gym, under the key
// gym, it is the only entry and its name is "".
func ReadGym(name string, in io.Reader) ([]periodize.Gym, error) {
	r, err := readFile(name, in, rosterRecord(true))
	if err != nil {
		return nil, err
	}
	return r.Gyms, nil
}

func readFile[T any](name string, in io.Reader, rec *record[T]) (*T, error) {
	r := &reader{file: name, kind: rec.name}
	root, ok := r.parse(in)
	if !ok {
		return nil, r.err()
	}
	v := new(T)
	rec.readInto(r.place(root, nil), v)
	if err := r.err(); err != nil {
		return nil, err
	}
	return v, nil
}

// WriteBlock writes a block file in canonical form, which reads back as the
// same block. Tracks of types that this package does not know are written week
// by week, and numbers with more than six decimals are rounded to six. A block that no
// file could hold is an error and nothing is written.
func WriteBlock(w io.Writer, b *periodize.Block) error { return WriteBlockWith(w, b, nil) }

// WriteBlockWith writes a block file with comments. comment is called with the
// path of each field, list entry and named entry, such as
// sessions[0].work[1].sets and lifts.push press, and "" for the file; what it
// returns is written beside a value of one line, and above anything longer or a
// comment of several lines. nil writes no comments.
func WriteBlockWith(w io.Writer, b *periodize.Block, comment func(path string) string) error {
	return writeFile(w, b, blockRecord(), &encoder{unit: b.Unit, weeks: b.Weeks}, comment)
}

// WriteRoster writes a roster file in canonical form, which reads back as the
// same roster. A roster that no file could hold is an error and nothing is
// written.
func WriteRoster(w io.Writer, r *periodize.Roster) error {
	return writeFile(w, r, rosterRecord(false), &encoder{gyms: r.Gyms}, nil)
}

// WriteBrief writes a brief file in canonical form, which reads back as the
// same brief. A brief that no file could hold is an error and nothing is
// written.
func WriteBrief(w io.Writer, b *periodize.Brief) error {
	return writeFile(w, b, briefRecord(), &encoder{unit: b.Unit, weeks: b.Weeks}, nil)
}

// writeFile writes what it has read back without an error.
func writeFile[T any](w io.Writer, v *T, rec *record[T], e *encoder, comment func(string) string) error {
	var out bytes.Buffer
	if err := rec.tree(e, *v).print(&out, comment); err != nil {
		return err
	}
	if _, err := readFile(rec.name, bytes.NewReader(out.Bytes()), rec); err != nil {
		return fmt.Errorf("blockfile: the %s cannot be written: %w", rec.name, err)
	}
	_, err := w.Write(out.Bytes())
	return err
}
