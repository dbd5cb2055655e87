package blockfile

import (
	"bytes"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"github.com/blockwright/blockwright/periodize"
)

// A file that is of another kind than the one wanted has one mistake, not one for
// each of its keys.

// KindError is the cause of an [Error] that says that a file is of another kind
// than the one that was to be read.
type KindError struct {
	Is, Want string // "block", "roster", "brief"; Is may be "log" too
}

func (e *KindError) Error() string {
	return fmt.Sprintf("this is a %s: want a %s", e.Is, e.Want)
}

// kindKeys are the keys that a file of each kind is told by.
var kindKeys = []struct {
	kind string
	keys []string
}{
	{"block", []string{"block", "sessions"}},
	{"roster", []string{"lifters", "gym", "gyms"}},
	{"brief", []string{"brief", "days"}},
}

// otherKind reports a file that has no key of its own kind and some of another.
func (r *reader) otherKind(root *yaml.Node) bool {
	if root.Kind != yaml.MappingNode {
		return false
	}
	have := map[string]bool{}
	for i := 0; i < len(root.Content); i += 2 {
		have[root.Content[i].Value] = true
	}
	is := ""
	for _, k := range kindKeys {
		for _, key := range k.keys {
			switch {
			case have[key] && k.kind == r.kind:
				return false
			case have[key] && is == "":
				is = k.kind
			}
		}
	}
	if is == "" {
		return false
	}
	r.otherwise(is)
	return true
}

func (r *reader) otherwise(is string) {
	err := &KindError{Is: is, Want: r.kind}
	r.errs = append(r.errs, &Error{Pos: periodize.Pos{File: r.file, Line: 1, Column: 1}, Msg: err.Error(), Err: err})
}

// formats are the first bytes of what is handed over by mistake (RFC 1952 section
// 2.3.1 for gzip; the others from memory).
var formats = []struct{ magic, msg string }{
	{"\x1f\x8b", "the file is packed with gzip: unpack it first"},
	{"PK\x03\x04", "the file is a workbook or another zip archive: want a text file in YAML"},
	{"%PDF-", "the file is a PDF: want a text file in YAML"},
	{"\xff\xfe", "the text is in UTF-16: save the file as UTF-8"},
	{"\xfe\xff", "the text is in UTF-16: save the file as UTF-8"},
}

// otherFormat reports a file that is no YAML by its first bytes.
func (r *reader) otherFormat(data []byte) bool {
	for _, f := range formats {
		if bytes.HasPrefix(data, []byte(f.magic)) {
			r.fail(1, 1, "%s", f.msg)
			return true
		}
	}
	first, _, _ := bytes.Cut(bytes.TrimLeft(data[:min(len(data), 4096)], " \r\n"), []byte("\n"))
	names := map[string]bool{}
	for _, name := range strings.FieldsFunc(string(first), func(c rune) bool { return c == ',' || c == ';' || c == '\t' }) {
		names[strings.ToLower(strings.Trim(name, " \r\""))] = true
	}
	if names["date"] && names["lifter"] && names["lift"] {
		r.otherwise("log")
		return true
	}
	return false
}
