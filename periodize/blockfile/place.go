package blockfile

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"github.com/blockwright/blockwright/internal/legible"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// reader is the state of one reading.
type reader struct {
	file string
	kind string // "block", "roster" or "brief"
	errs Errors
	more int // errors beyond maxErrors

	unit     plates.Unit // of bare masses, where unitKnown
	units    bool        // unit is known
	noUnits  string      // where a bare mass would take its unit from, in words
	weeks    int         // of the block; 0 where not known
	lifts    []string    // names that may be used; nil where not known
	hasLift  map[string]bool
	gyms     []periodize.Gym
	gymsRead bool
	block    *periodize.Block
	quiet    bool // errors are not reported: they have been
}

// maxErrors is the most errors of one file, so that a file which is something
// else altogether does not fill the memory.
const maxErrors = 10_000

// err is everything that is wrong with the file.
func (r *reader) err() error {
	err := r.errs.sorted()
	if r.more > 0 {
		last := &Error{Pos: periodize.Pos{File: r.file}, Msg: fmt.Sprintf("%d more mistakes are not listed", r.more)}
		err = append(err.(Errors), last)
	}
	return err
}

// path is where a value stands, kept as a chain that is put into words only
// for an error.
type path struct {
	up    *path
	key   string
	index int // where key is ""
}

func (p *path) String() string {
	if p == nil {
		return ""
	}
	up := p.up.String()
	switch {
	case p.key == "":
		return up + "[" + strconv.Itoa(p.index) + "]"
	case strings.ContainsAny(p.key, ".[]\"\\") || !legible.Line(p.key):
		return up + "[" + strconv.Quote(p.key) + "]"
	case up == "":
		return p.key
	}
	return up + "." + p.key
}

// place is a value of the file: its node, and how it was reached.
type place struct {
	r    *reader
	node *yaml.Node // never an alias
	path *path
}

func (r *reader) place(n *yaml.Node, p *path) place {
	if n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	return place{r, n, p}
}

func (p place) pos() periodize.Pos {
	return periodize.Pos{File: p.r.file, Line: p.node.Line, Column: p.node.Column}
}

// fail reports what is wrong with the value.
func (p place) fail(format string, args ...any) { p.failAt(p.node, p.path, format, args...) }

func (p place) failAt(n *yaml.Node, at *path, format string, args ...any) {
	p.failPos(periodize.Pos{File: p.r.file, Line: n.Line, Column: n.Column}, at, format, args...)
}

func (p place) failPos(pos periodize.Pos, at *path, format string, args ...any) {
	if p.r.quiet {
		return
	}
	if len(p.r.errs) == maxErrors {
		p.r.more++
		return
	}
	p.r.errs = append(p.r.errs, &Error{Pos: pos, Path: at.String(), Msg: fmt.Sprintf(format, args...)})
}

// want reports a value of the wrong kind.
func (p place) want(what string) bool {
	p.fail("want %s, got %s", what, p.got())
	return false
}

// got is the value in the words of a message.
func (p place) got() string {
	switch {
	case p.node.Kind == yaml.MappingNode:
		return "a mapping"
	case p.node.Kind == yaml.SequenceNode:
		return "a list"
	case isNull(p.node):
		return "nothing"
	}
	return legible.Escape(strconv.Quote(shorten(p.node.Value)))
}

// shorten keeps what a message quotes to a line. The text may be megabytes long.
func shorten(s string) string {
	const most = 60
	n := 0
	for i := range s {
		if n++; n > most {
			return s[:i] + "..."
		}
	}
	return s
}

// pair is one entry of a mapping.
type pair struct {
	key   place // its path is that of the value
	value place
}

// pairs is the entries of a mapping in their order. Keys that are no scalars
// and keys given twice are reported and left out.
func (p place) pairs(what string) ([]pair, bool) {
	if p.node.Kind != yaml.MappingNode {
		return nil, p.want(what)
	}
	out := make([]pair, 0, len(p.node.Content)/2)
	var lines map[string]int // nil for the usual few keys
	for i := 0; i+1 < len(p.node.Content); i += 2 {
		k := p.node.Content[i]
		if k.Kind != yaml.ScalarNode {
			p.failAt(k, p.path, "want a text as key")
			continue
		}
		at := &path{up: p.path, key: k.Value}
		if k.Value == "" {
			p.failAt(k, p.path, "a key is empty")
			continue
		}
		if n := utf8.RuneCountInString(k.Value); n > nameLength {
			p.failAt(k, p.path, "want a key of at most %d characters, got %d", nameLength, n)
			continue
		}
		if lines == nil {
			lines = make(map[string]int, len(p.node.Content)/2)
		}
		if first, twice := lines[k.Value]; twice {
			p.failAt(k, at, "given twice, first in line %d", first)
			continue
		}
		lines[k.Value] = k.Line
		out = append(out, pair{p.r.place(k, at), p.r.place(p.node.Content[i+1], at)})
	}
	return out, true
}

// find is the value under a key of a mapping.
func (p place) find(key string) (place, bool) {
	if p.node.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(p.node.Content); i += 2 {
			if p.node.Content[i].Value == key {
				return p.r.place(p.node.Content[i+1], &path{up: p.path, key: key}), true
			}
		}
	}
	return place{}, false
}

// at is the value under a key for an error message: the value, or the mapping
// itself where the key is missing.
func (p place) at(key string) place {
	if v, ok := p.find(key); ok {
		return v
	}
	return p
}

// items is the entries of a list.
func (p place) items(what string) ([]place, bool) {
	if p.node.Kind != yaml.SequenceNode {
		return nil, p.want(what)
	}
	out := make([]place, len(p.node.Content))
	for i, n := range p.node.Content {
		out[i] = p.r.place(n, &path{up: p.path, index: i})
	}
	return out, true
}

// entries is the entries of the list under a key; nil where there is none.
func (p place) entries(key string) []place {
	v, ok := p.find(key)
	if !ok || v.node.Kind != yaml.SequenceNode {
		return nil
	}
	out, _ := v.items("")
	return out
}
