package logbook

import (
	"bytes"
	"compress/flate"
	"compress/gzip"
	"errors"
	"io"
	"os"
)

// Source is a place that a log is read from. Files that are compressed with
// gzip are recognised by their first bytes, whatever their name.
type Source struct {
	name string
	open func() (io.ReadCloser, error)
}

// Name is what messages call the source.
func (s Source) Name() string { return s.name }

// File is a file of the operating system. It is opened when it is read, and
// can be read again.
func File(path string) Source {
	return Source{path, func() (io.ReadCloser, error) { return os.Open(path) }}
}

// Opener is anything that can be opened, each time from its start.
// Where open gives neither a reader nor an error, reading is a *ReadError.
func Opener(name string, open func() (io.ReadCloser, error)) Source {
	return Source{name, open}
}

// streamKeep is how much of a stream is kept for a second reading.
const streamKeep = 16 << 20

// ErrOnce is the error of reading a stream a second time that was too long to
// be kept.
var ErrOnce = errors.New("a stream can be read only once; give a file")

// Stream is a reader such as standard input. What it gives is kept, up to 16
// MiB, so that a short stream can be read again as a file can; a second reading
// of a longer one is [ErrOnce]. Reading from a nil r is a *ReadError.
func Stream(name string, r io.Reader) Source {
	s := &stream{r: r}
	return Source{name, s.open}
}

type stream struct {
	r       io.Reader
	started bool
	ended   bool // everything is in kept
	kept    []byte
	long    bool
}

func (s *stream) open() (io.ReadCloser, error) {
	switch {
	case s.r == nil:
		return nil, errors.New("the stream is nil: want an io.Reader")
	case !s.started:
		s.started = true
		return io.NopCloser(streamReader{s}), nil
	case s.ended && !s.long:
		return io.NopCloser(bytes.NewReader(s.kept)), nil
	case !s.long:
		// Left half-way: what was read, then the rest.
		return io.NopCloser(io.MultiReader(bytes.NewReader(s.kept[:len(s.kept):len(s.kept)]), streamReader{s})), nil
	}
	return nil, ErrOnce
}

type streamReader struct{ s *stream }

func (r streamReader) Read(p []byte) (int, error) {
	s := r.s
	n, err := s.r.Read(p)
	if !s.long {
		if len(s.kept)+n > streamKeep {
			s.long, s.kept = true, nil
		} else {
			s.kept = append(s.kept, p[:n]...)
		}
	}
	if err == io.EOF {
		s.ended = true
	}
	return n, err
}

// input is an open source.
type input struct {
	io.Reader
	close func() error
	gzip  bool
}

// openInput opens a source and unpacks gzip.
func (s Source) openInput() (*input, error) {
	if s.open == nil {
		return nil, errors.New("nothing to open: a source comes from File, Opener or Stream")
	}
	f, err := s.open()
	if err != nil {
		return nil, err
	}
	if f == nil {
		return nil, errors.New("the source was opened and gave nil: want a reader or an error")
	}
	var magic [2]byte
	n, err := io.ReadFull(f, magic[:])
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		f.Close()
		return nil, err
	}
	rest := io.Reader(f)
	if n > 0 {
		rest = io.MultiReader(bytes.NewReader(magic[:n]), f)
	}
	if n < 2 || magic != [2]byte{0x1f, 0x8b} {
		return &input{Reader: rest, close: f.Close}, nil
	}
	z, err := gzip.NewReader(rest)
	if err != nil {
		f.Close()
		if err == io.EOF { // the file ends within its first bytes
			err = io.ErrUnexpectedEOF
		}
		return nil, unpacking(err)
	}
	return &input{Reader: unpacked{z}, close: f.Close, gzip: true}, nil
}

// unpacked is a compressed file whose errors say that it is one.
type unpacked struct{ z *gzip.Reader }

// Read implements io.Reader.
func (u unpacked) Read(b []byte) (int, error) {
	n, err := u.z.Read(b)
	return n, unpacking(err)
}

// unpackError is what is wrong with a compressed file, in words.
type unpackError struct {
	words string
	err   error
}

func (e *unpackError) Error() string { return e.words }
func (e *unpackError) Unwrap() error { return e.err }

func unpacking(err error) error {
	var corrupt flate.CorruptInputError
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF):
		return &unpackError{"the file is packed with gzip and its end is missing", err}
	case errors.As(err, &corrupt), errors.Is(err, gzip.ErrHeader), errors.Is(err, gzip.ErrChecksum):
		return &unpackError{"the file is packed with gzip and is damaged", err}
	}
	return err
}
