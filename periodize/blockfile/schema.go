package blockfile

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
)

//go:generate go run ./internal/generate

// object is a JSON object whose members keep their order.
type object []member

type member struct {
	key   string
	value any
}

// MarshalJSON implements [json.Marshaler].
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		for _, v := range []any{m.key, m.value} {
			enc := json.NewEncoder(&b)
			enc.SetEscapeHTML(false)
			if err := enc.Encode(v); err != nil {
				return nil, err
			}
			if b.Bytes()[b.Len()-1] == '\n' {
				b.Truncate(b.Len() - 1)
			}
			b.WriteByte(':')
		}
		b.Truncate(b.Len() - 1)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// schemas collects the definitions of one schema.
type schemas struct {
	defs object
}

// define adds a definition once and is the reference to it.
func (s *schemas) define(name string, o object) object {
	if !slices.ContainsFunc(s.defs, func(m member) bool { return m.key == name }) {
		s.defs = append(s.defs, member{name, o})
	}
	return object{{"$ref", "#/$defs/" + pointer(name)}}
}

// pointer is a definition's name as a part of a JSON pointer in a URI.
func pointer(name string) string {
	return string(bytes.ReplaceAll([]byte(name), []byte(" "), []byte("%20")))
}

// schema is the record's definition.
func (rec *record[T]) schema(s *schemas) object {
	if slices.ContainsFunc(s.defs, func(m member) bool { return m.key == rec.name }) {
		return object{{"$ref", "#/$defs/" + pointer(rec.name)}}
	}
	s.defs = append(s.defs, member{rec.name, nil}) // keeps its place before its parts
	i := len(s.defs) - 1
	s.defs[i].value = rec.object(s)
	return object{{"$ref", "#/$defs/" + pointer(rec.name)}}
}

func (rec *record[T]) object(s *schemas) object {
	o := object{{"description", rec.doc}, {"type", "object"}}
	var props object
	var must []string
	for _, f := range rec.fields {
		props = append(props, member{f.key, append(object{{"description", f.doc}}, f.schema(s)...)})
		if f.must {
			must = append(must, f.key)
		}
	}
	o = append(o, member{"properties", props}, member{"additionalProperties", false})
	if must != nil {
		o = append(o, member{"required", must})
	}
	if all := groupSchemas(rec.groups); all != nil {
		o = append(o, member{"allOf", all})
	}
	if rec.extra != nil {
		o = append(o, rec.extra(s)...)
	}
	return o
}

// groupSchemas says which keys exclude each other.
func groupSchemas(groups []group) []object {
	var all []object
	for _, g := range groups {
		given := anyOf(g.keys...)
		if g.must {
			all = append(all, object{{"oneOf", given}})
			continue
		}
		all = append(all, object{{"oneOf", append(given, object{{"not", object{{"anyOf", given}}}})}})
	}
	return all
}

// anyOf is the schemas of which one holds if one of the keys is there.
func anyOf(keys ...string) []object {
	out := make([]object, len(keys))
	for i, k := range keys {
		out[i] = object{{"required", []string{k}}}
	}
	return out
}

// trackSchema is the definition of a track of such cells.
func (c cell) trackSchema(s *schemas) object {
	value := c.schema(s)
	list := object{{"type", "array"}, {"items", object{{"anyOf", []object{value, {{"const", emptyWeek}}}}}}, {"minItems", 1}, {"maxItems", maxWeeks}}
	line := object{{"type", "object"}, {"properties", object{
		{"from", value},
		{"crest", value},
		{"at", object{{"type", "integer"}, {"minimum", 1}, {"maximum", maxWeeks}}},
		{"to", value},
	}}, {"additionalProperties", false}, {"required", []string{"from", "to"}},
		{"dependentRequired", object{{"crest", []string{"at"}}, {"at", []string{"crest"}}}}}
	return s.define(c.name, object{
		{"description", "one value for all weeks, a list of one for each week (\"-\" where there is none), or a line: {from, to}, or up to a crest in week at and down from it"},
		{"anyOf", []object{value, list, line}},
	})
}

// duration is the definition of a length of time.
func (s *schemas) duration() object {
	return s.define("duration", object{
		{"description", "hours, minutes and seconds: 90s, 3m, 2m30s, 1h15m"},
		{"type", "string"}, {"minLength", 2}, {"pattern", `^([0-9]{1,4}h)?([0-9]{1,4}m)?([0-9]{1,5}s)?$`},
	})
}

// mass is the definition of a mass.
func (s *schemas) mass(signed bool) object {
	if signed {
		return s.define("added mass", object{
			{"description", "a mass; below 0 for assistance that takes load off; a bare number is in the file's units"},
			{"oneOf", []object{
				{{"type", "number"}},
				{{"type", "string"}, {"pattern", `^[-+]?[0-9]+(\.[0-9]+)? ?(kg|lb)$`}},
			}},
		})
	}
	return s.define("mass", object{
		{"description", "a mass of at most 5000 kg; a bare number is in the file's units"},
		{"oneOf", []object{
			{{"type", "number"}, {"minimum", 0}},
			{{"type", "string"}, {"pattern", `^\+?[0-9]+(\.[0-9]+)? ?(kg|lb)$`}},
		}},
	})
}

// file is a whole file's schema.
func file[T any](rec *record[T]) object {
	s := &schemas{}
	o := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"$id", "urn:blockwright:" + rec.name},
		{"title", rec.name},
	}
	o = append(o, rec.object(s)...)
	return append(o, member{"$defs", s.defs})
}

// Kinds lists the kinds of file that there are schemas of.
func Kinds() []string { return []string{"block", "roster", "brief"} }

// Schema is the JSON Schema (2020-12) of a kind of file. It is made from the
// tables that files are checked by; what no schema can say, such as names that
// must resolve, is left to reading.
func Schema(kind string) ([]byte, error) {
	o, ok := fileSchemas()[kind]
	if !ok {
		return nil, fmt.Errorf("blockfile: there is no schema %q: %s", kind, nearest(kind, Kinds()))
	}
	b, err := json.Marshal(o)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, b, "", "  "); err != nil {
		return nil, err
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

// fileSchemas is the schema of each kind of file.
func fileSchemas() map[string]object {
	return map[string]object{
		"block":  file(blockRecord()),
		"roster": file(rosterRecord(false)),
		"brief":  file(briefRecord()),
	}
}
