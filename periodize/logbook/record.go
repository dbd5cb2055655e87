package logbook

import "bytes"

// How a file is cut into records. One rule decides, used alike by the cutter
// that makes blocks and by the parsers that read them, so that the rows of a file do
// not depend on where its blocks end:
//
//   - A record is a line, unless a quoted field (one whose first byte is a double
//     quote) runs over the end of it; then it ends with the line on which the last
//     such field closes, as in RFC 4180.
//   - A quote that was opened and does not close properly would swallow what
//     follows. A record over several lines is therefore refused, and only its
//     first line is left out, when the quote is never closed, when it is closed by
//     something other than a delimiter or an end of line, when the record is longer
//     than the limit, or when one of its further lines reads as a row of the log.
type recordKind uint8

const (
	recordWhole    recordKind = iota
	recordUnclosed            // only the first line; the quote that it opens is not closed properly, or would swallow what reads as a row
	recordMore                // the data end before the record does
)

// splitter knows what it takes to find the records of one file.
type splitter struct {
	delim byte
	limit int
	row   func(line []byte) bool // reports whether a line reads as a row
}

// record finds the end of the record that starts at p, which lies behind its line
// end. eof says that nothing follows b. The record has a quote in its first line;
// lines without are whole records by themselves.
func (s *splitter) record(b []byte, p int, eof bool) (end int, kind recordKind) {
	first := lineEnd(b, p)
	if first < 0 {
		if !eof {
			return p, recordMore
		}
		first = len(b)
	}
	i := p
	for {
		if i < len(b) && b[i] == '"' {
			k := closing(b, i+1)
			if (k < 0 || k+1 == len(b)) && !eof && len(b)-p <= s.limit {
				return p, recordMore
			}
			if k < 0 || k+1-p > s.limit {
				return first, recordUnclosed
			}
			i = k + 1
			if i < len(b) && b[i] != s.delim && b[i] != '\n' && !(b[i] == '\r' && i+1 < len(b) && b[i+1] == '\n') {
				if b[i] == '\r' && i+1 == len(b) {
					if !eof && len(b)-p <= s.limit {
						return p, recordMore
					}
				} else if i >= first {
					return first, recordUnclosed
				} else {
					return first, recordWhole // a stray quote within one line: the line is a bad row
				}
			}
		}
		d := bytes.IndexByte(b[i:], s.delim)
		n := lineEnd(b, i)
		if n < 0 {
			if !eof && len(b)-p <= s.limit {
				return p, recordMore
			}
			n = len(b)
		}
		if d >= 0 && i+d < n {
			i += d + 1
			continue
		}
		end = n
		break
	}
	if end <= first {
		return end, recordWhole
	}
	if end-p > s.limit {
		return first, recordUnclosed
	}
	for q := first; q < end; {
		n := lineEnd(b[:end], q)
		if n < 0 {
			n = end
		}
		if s.row != nil && s.row(trimLine(b[q:n])) {
			return first, recordUnclosed // which it is depends on how much of the file is at hand
		}
		q = n
	}
	return end, recordWhole
}

// closing is the place of the quote that closes a field whose text starts at i.
func closing(b []byte, i int) int {
	for {
		k := bytes.IndexByte(b[i:], '"')
		if k < 0 {
			return -1
		}
		k += i
		if k+1 < len(b) && b[k+1] == '"' {
			i = k + 2
			continue
		}
		return k
	}
}

// lineEnd is the place behind the line end that follows p; -1 where there is none.
func lineEnd(b []byte, p int) int {
	n := bytes.IndexByte(b[p:], '\n')
	if n < 0 {
		return -1
	}
	return p + n + 1
}

// trimLine takes the line end off; the last line of a file may have none.
func trimLine(b []byte) []byte {
	if n := len(b); n > 0 && b[n-1] == '\n' {
		b = b[:n-1]
	}
	if n := len(b); n > 0 && b[n-1] == '\r' {
		b = b[:n-1]
	}
	return b
}

// cut is the place behind the last record that b holds whole. Where b starts
// with a record that is not whole, it is 0.
func (s *splitter) cut(b []byte, eof bool) int {
	p := 0
	for {
		q := bytes.IndexByte(b[p:], '"')
		if q < 0 {
			break
		}
		start := p + bytes.LastIndexByte(b[p:p+q], '\n') + 1
		end, kind := s.record(b, start, eof)
		if kind == recordMore {
			return start
		}
		p = end
		if p >= len(b) {
			break
		}
	}
	if eof {
		return len(b)
	}
	return p + bytes.LastIndexByte(b[p:], '\n') + 1
}

// field is a part of a record: its text, unquoted where it was quoted, and where it starts.
type field struct {
	text   []byte
	at     int // in the record
	quoted bool
}

// fields takes a record apart. ok is false where the quotes are wrong, and at is then
// the place of the wrong one.
func fields(dst []field, rec []byte, delim byte) (out []field, at int, ok bool) {
	rec = trimLine(rec)
	for i := 0; ; {
		if i < len(rec) && rec[i] == '"' {
			k := closing(rec, i+1)
			if k < 0 {
				return dst, i, false
			}
			text := rec[i+1 : k]
			if k+1 < len(rec) && rec[k+1] != delim {
				return dst, k, false
			}
			if bytes.IndexByte(text, '"') >= 0 {
				text = bytes.ReplaceAll(text, []byte(`""`), []byte(`"`))
			}
			if bytes.IndexByte(text, '\r') >= 0 {
				text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
			}
			dst = append(dst, field{text, i, true})
			i = k + 1
		} else {
			n := bytes.IndexByte(rec[i:], delim)
			if n < 0 {
				n = len(rec) - i
			}
			text := rec[i : i+n]
			if q := bytes.IndexByte(text, '"'); q >= 0 {
				return dst, i + q, false
			}
			dst = append(dst, field{text, i, false})
			i += n
		}
		if i >= len(rec) {
			return dst, 0, true
		}
		i++ // the delimiter
	}
}
