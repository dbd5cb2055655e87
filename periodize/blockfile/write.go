package blockfile

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/blockwright/blockwright/internal/legible"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// encoder is what the values of a file are written with.
type encoder struct {
	unit  plates.Unit // of bare masses
	weeks int         // of the block
	gyms  []periodize.Gym
}

// gym is a lifter's gym.
func (e *encoder) gym(name string) (*periodize.Gym, bool) {
	return (&periodize.Roster{Gyms: e.gyms}).Gym(name)
}

// tree is a value as it is written.
type tree struct {
	kind  treeKind
	text  string // of a scalar, quoted where it needs to be
	raw   string // of a scalar, without the quotes
	keys  []*tree
	nodes []*tree
	block bool // a line for each entry; otherwise all in one line
}

type treeKind uint8

const (
	scalar treeKind = iota
	mapping
	list
)

func (t *tree) add(key string, v *tree) {
	t.keys = append(t.keys, quoted(key))
	t.nodes = append(t.nodes, v)
}

// plain is a scalar that needs no quotes.
func plain(s string) *tree { return &tree{text: s, raw: s} }

// quoted is a text, in quotes where YAML would take it for something else.
func quoted(s string) *tree { return &tree{text: quote(s), raw: s} }

// quote puts a text in double quotes unless it is plainly a text for every
// reader of YAML 1.1 or 1.2.
func quote(s string) string {
	if isSafe(s) {
		return s
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case r == ' ' || unicode.IsPrint(r):
			b.WriteRune(r)
		case r > 0xffff:
			fmt.Fprintf(&b, `\U%08X`, r)
		default:
			fmt.Fprintf(&b, `\u%04X`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

func isSafe(s string) bool {
	switch strings.ToLower(s) {
	case "", "null", "true", "false", "yes", "no", "on", "off", "y", "n":
		return false
	}
	if first, _ := utf8.DecodeRuneInString(s); !unicode.IsLetter(first) {
		return false
	}
	for _, r := range s {
		if !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r) && !strings.ContainsRune(" -_/.()+'", r) {
			return false
		}
	}
	return !strings.HasSuffix(s, " ")
}

// printer writes trees.
type printer struct {
	w       *bufio.Writer
	comment func(path string) string
}

// print writes a file.
func (t *tree) print(w io.Writer, comment func(path string) string) error {
	p := &printer{bufio.NewWriter(w), comment}
	if c := p.said(nil); c != "" {
		p.lines(c, 0)
	}
	p.entries(t, 0, nil, false)
	return p.w.Flush()
}

// said is the comment on a value.
func (p *printer) said(at *path) string {
	if p.comment == nil {
		return ""
	}
	return strings.Map(func(r rune) rune {
		if r != '\n' && legible.Hidden(r) {
			return ' '
		}
		return r
	}, strings.Trim(p.comment(at.String()), "\n "))
}

// lines writes a comment on lines of its own.
func (p *printer) lines(comment string, indent int) {
	for line := range strings.SplitSeq(comment, "\n") {
		p.indent(indent)
		p.w.WriteString(strings.TrimRight("# "+line, " ") + "\n")
	}
}

func (p *printer) indent(n int) {
	for range n {
		p.w.WriteString("  ")
	}
}

// entries writes the entries of a mapping or list, a line or more each. The
// first one goes on where the line stands if inline is true.
func (p *printer) entries(t *tree, indent int, at *path, inline bool) {
	for i, v := range t.nodes {
		here := &path{up: at, index: i}
		lead := "-"
		if t.kind == mapping {
			here = &path{up: at, key: t.keys[i].raw}
			lead = t.keys[i].text + ":"
		}
		c := p.said(here)
		// Beside a value of one line; above anything longer.
		beside := c != "" && !v.block && !strings.Contains(c, "\n")
		first := inline && i == 0
		if at == nil && i > 0 && v.block {
			p.w.WriteByte('\n')
		}
		if c != "" && !beside && !first {
			p.lines(c, indent)
		}
		if !first {
			p.indent(indent)
		}
		p.w.WriteString(lead)
		switch {
		case !v.block || len(v.nodes) == 0:
			p.w.WriteByte(' ')
			p.flow(v)
			if beside || c != "" && first {
				p.w.WriteString("  # " + strings.ReplaceAll(c, "\n", " "))
			}
			p.w.WriteByte('\n')
		case t.kind == list:
			p.w.WriteByte(' ')
			p.entries(v, indent+1, here, true)
		default:
			p.w.WriteByte('\n')
			p.entries(v, indent+1, here, false)
		}
	}
}

// flow writes a value in one line.
func (p *printer) flow(t *tree) {
	switch t.kind {
	case scalar:
		p.w.WriteString(t.text)
		return
	case list:
		p.w.WriteByte('[')
	case mapping:
		p.w.WriteByte('{')
	}
	for i, v := range t.nodes {
		if i > 0 {
			p.w.WriteString(", ")
		}
		if t.kind == mapping {
			p.w.WriteString(t.keys[i].text + ": ")
		}
		p.flow(v)
	}
	if t.kind == list {
		p.w.WriteByte(']')
	} else {
		p.w.WriteByte('}')
	}
}
