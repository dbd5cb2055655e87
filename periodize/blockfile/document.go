package blockfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"github.com/blockwright/blockwright/periodize"
)

// MaxSize is the size of the largest file that is read, 8 MiB.
const MaxSize = 8 << 20

// What a file may hold beyond its size. No file that somebody writes comes near.
const (
	maxDepth   = 24      // lists and mappings inside each other
	maxAliased = 200_000 // values that aliases add to those written out
)

// parse reads one YAML document into nodes. What the YAML library lets pass
// and a strict file does not have (tags, merge keys, a second document,
// control characters, huge expansions) is refused here, so that the walk over
// the nodes need not think of it.
func (r *reader) parse(in io.Reader) (*yaml.Node, bool) {
	data, err := io.ReadAll(io.LimitReader(in, MaxSize+1))
	if err != nil {
		r.errs = append(r.errs, &Error{Pos: periodize.Pos{File: r.file}, Msg: "cannot be read: " + err.Error(), Err: err})
		return nil, false
	}
	if len(data) > MaxSize {
		r.fail(0, 0, "the file is too large: want at most %d MiB", MaxSize>>20)
		return nil, false
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if r.otherFormat(data) || !r.checkText(data) {
		return nil, false
	}
	docs, err := nodes(data)
	if err != nil {
		r.syntax(err, data)
		return nil, false
	}
	if len(docs) == 0 || len(docs[0].Content) == 0 || isNull(docs[0].Content[0]) && len(docs) == 1 {
		r.fail(1, 1, "the file is empty: want a %s", r.kind)
		return nil, false
	}
	if len(docs) > 1 {
		r.fail(docs[1].Line, docs[1].Column, "a second document begins here: want one document in a file")
		return nil, false
	}
	root := docs[0].Content[0]
	if !r.checkTree(root) || r.otherKind(root) {
		return nil, false
	}
	return root, true
}

// checkText refuses bytes that are not UTF-8 text.
func (r *reader) checkText(data []byte) bool {
	line, column := 1, 1
	for i := 0; i < len(data); {
		c, size := rune(data[i]), 1
		if c >= utf8.RuneSelf {
			c, size = utf8.DecodeRune(data[i:])
		}
		switch {
		case c == utf8.RuneError && size == 1:
			r.fail(line, column, "byte 0x%02x is not UTF-8: save the file as UTF-8", data[i])
			return false
		case c < ' ' && c != '\t' && c != '\n' && c != '\r', c == 0x7f, c >= 0x80 && c < 0xa0 && c != 0x85, c == 0xfeff, c == 0xfffe, c == 0xffff:
			r.fail(line, column, "control character U+%04X: want text", c)
			return false
		case c == '\n', c == '\r' && !bytes.HasPrefix(data[i+1:], []byte("\n")):
			line, column = line+1, 0
		}
		i += size
		column++
	}
	return true
}

// nodes is the documents of a file, of which two tell that there is one too
// many. The library panics on a few inputs that it does not expect; such a
// panic is an error like any other here.
func nodes(data []byte) (docs []*yaml.Node, err error) {
	defer func() {
		if p := recover(); p != nil {
			docs, err = nil, fmt.Errorf("yaml: %v", p)
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(allowVersion(data)))
	for len(docs) < 2 {
		doc := &yaml.Node{}
		if err := dec.Decode(doc); errors.Is(err, io.EOF) {
			return docs, nil
		} else if err != nil {
			return nil, err
		}
		docs = append(docs, doc)
	}
	return docs, nil
}

// allowVersion turns the directive of YAML 1.2, which the library does not
// take, into a comment of the same length.
func allowVersion(data []byte) []byte {
	rest := data
	for len(rest) > 0 {
		line, after, _ := bytes.Cut(rest, []byte("\n"))
		if word := bytes.Fields(line); len(word) > 0 && line[0] != '#' {
			if len(word) >= 2 && string(word[0]) == "%YAML" && string(word[1]) == "1.2" {
				data = bytes.Clone(data)
				data[len(data)-len(rest)] = '#'
			}
			return data
		}
		rest = after
	}
	return data
}

// syntax reports what the YAML parser says, which knows the line at most, with
// the commonest causes in plain words.
func (r *reader) syntax(err error, data []byte) {
	msg := strings.TrimPrefix(err.Error(), "yaml: ")
	line := 1
	if rest, ok := strings.CutPrefix(msg, "line "); ok {
		if number, text, ok := strings.Cut(rest, ": "); ok {
			if n, err := strconv.Atoi(number); err == nil {
				line, msg = n, text
			}
		}
	}
	lines := strings.Split(string(data), "\n")
	for _, late := range []string{"<document start>", "node content", "'-' indicator", "key", "',' or "} {
		if strings.HasPrefix(msg, "did not find expected "+late) && strings.HasPrefix(err.Error(), "yaml: line ") {
			line++ // the parser counts these from 0
		}
	}
	line = min(max(line, 1), len(lines))
	// at reports where a pattern is found in the line or the one after it.
	at := func(pattern *regexp.Regexp, msg string) bool {
		for n := line; n <= min(line+1, len(lines)); n++ {
			if loc := pattern.FindStringSubmatchIndex(lines[n-1]); loc != nil {
				r.fail(n, utf8.RuneCountInString(lines[n-1][:loc[2]])+1, "%s", msg)
				return true
			}
		}
		return false
	}
	switch {
	case strings.HasPrefix(msg, "unknown anchor"):
		_, rest, _ := strings.Cut(msg, "'")
		name, _, _ := strings.Cut(rest, "'")
		for n, text := range lines {
			if i := strings.Index(text, "*"+name); i >= 0 {
				r.fail(n+1, utf8.RuneCountInString(text[:i])+1, "there is no anchor &%s before this alias", shorten(name))
				return
			}
		}
	case strings.Contains(msg, "tab character") || msg == "found character that cannot start any token":
		if at(tabIndent, "a tab stands in the indentation: want spaces") {
			return
		}
		if at(oddStart, "a text cannot begin with this character: put it in quotes") {
			return
		}
	case msg == "mapping values are not allowed in this context":
		msg = "a colon where none can stand: check the indentation, and put a text that holds a colon in quotes"
		if at(secondColon, msg) {
			return
		}
	case msg == "did not find expected node content":
		if at(blankDash, `a blank after "-" makes it a list: want - with no blank, or "-" in quotes`) {
			return
		}
		msg = "a value is missing or not understood"
	case strings.HasPrefix(msg, "did not find expected ',' or "):
		if at(openBracket, "a bracket that opens here lacks a comma inside or its end") {
			return
		}
	case msg == "found unexpected end of stream":
		msg = "a quotation mark is never closed"
		if !strings.ContainsAny(lines[line-1], `"'`) {
			line = 1 // the library names the end of the file for a quote in the first line
		}
		if at(lastQuote, msg) {
			return
		}
	}
	text := lines[line-1]
	r.fail(line, len(text)-len(strings.TrimLeft(text, " "))+1, "not valid YAML: %s", msg)
}

// Where the commonest mistakes stand in their line.
var (
	tabIndent   = regexp.MustCompile("^[ -]*(\t)")
	oddStart    = regexp.MustCompile("(?:^|[:,[{-]) *([@`%])")
	secondColon = regexp.MustCompile(`: .*?(:(?: |$))`)
	blankDash   = regexp.MustCompile(`(-) +[],}]`)
	openBracket = regexp.MustCompile(`([[{])`)
	lastQuote   = regexp.MustCompile(`.*(["'])`)
)

// checkTree refuses depth, tags, merge keys and aliases that expand to more
// than anybody writes.
func (r *reader) checkTree(root *yaml.Node) bool {
	size := map[*yaml.Node]int{} // of anchored nodes, aliases expanded; -1 while inside
	aliased := 0
	var ok func(n *yaml.Node, depth int) (int, bool)
	ok = func(n *yaml.Node, depth int) (int, bool) {
		if depth > maxDepth {
			r.fail(n.Line, n.Column, "nested too deeply: want at most %d levels", maxDepth)
			return 0, false
		}
		if n.Kind == yaml.AliasNode {
			s := size[n.Alias]
			if s < 0 {
				r.fail(n.Line, n.Column, "alias *%s stands inside what it stands for", shorten(n.Value))
				return 0, false
			}
			if aliased += s; aliased > maxAliased {
				r.fail(n.Line, n.Column, "aliases expand to more than %d values: write out what is meant", maxAliased)
				return 0, false
			}
			return s, true
		}
		if n.Style&yaml.TaggedStyle != 0 {
			r.fail(n.Line, n.Column, "tag %s: want a value without a tag", shorten(n.Tag))
			return 0, false
		}
		if n.Anchor != "" {
			size[n] = -1
		}
		total := 1
		for i, c := range n.Content {
			if n.Kind == yaml.MappingNode && i%2 == 0 && c.Kind == yaml.ScalarNode && c.Tag == "!!merge" {
				r.fail(c.Line, c.Column, "merge key <<: write the keys out")
				return 0, false
			}
			s, fine := ok(c, depth+1)
			if !fine {
				return 0, false
			}
			total += s
		}
		if n.Anchor != "" {
			size[n] = total
		}
		return total, true
	}
	_, fine := ok(root, 1)
	return fine
}

// fail reports an error at a place of the file; line 0 is the file as a whole.
func (r *reader) fail(line, column int, format string, args ...any) {
	r.errs = append(r.errs, &Error{Pos: periodize.Pos{File: r.file, Line: line, Column: column}, Msg: fmt.Sprintf(format, args...)})
}
