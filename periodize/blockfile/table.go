package blockfile

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// The tables that the files are read by, written by and described by. A kind
// is a form of value; a field is a key of a record with its kind; a record is a
// mapping with known keys. Checking, suggestions, writing, the JSON Schema and
// the field reference all go through the same tables, so they cannot disagree.

// kind is a form of value that is held as a V.
type kind[V any] struct {
	want   string // in the words of a message: "a whole number from 1 to 52"
	schema func(s *schemas) object
	read   func(p place) (V, bool) // reports what is wrong and then is false
	write  func(e *encoder, v V) *tree
}

// field is a key of a record that is held as a T.
type field[T any] struct {
	key    string
	doc    string // meaning, unit, default
	must   bool   // the key is required
	want   string
	schema func(s *schemas) object
	read   func(p place, t *T)
	write  func(e *encoder, t *T) *tree // nil leaves the key out
}

// group is keys of which at most one may be given, or exactly one.
type group struct {
	keys []string
	must bool
	what string // of what exactly one is wanted: "amount"
}

// record is a mapping with known keys.
type record[T any] struct {
	name   string // in the schema: "work item"
	doc    string
	fields []field[T]
	groups []group
	hints  map[string]string              // for keys that belong elsewhere
	start  func(p place, t *T)            // before the fields are read
	check  func(p place, t *T, have keys) // after, whatever was wrong with them
	block  bool                           // written with a line for each key
	extra  func(s *schemas) object        // what the schema says beyond the fields
}

// keys is the keys of a mapping that are there; those that were misspelt count
// as what they were meant to be, so that one mistake is reported once.
type keys map[string]bool

// at makes a field from the kind of its value and where the value is held. A
// zero value is not written.
func at[T, V any](key string, k kind[V], doc string, held func(*T) *V) field[T] {
	return field[T]{
		key: key, doc: doc, want: k.want, schema: k.schema,
		read: func(p place, t *T) {
			if v, ok := k.read(p); ok {
				*held(t) = v
			}
		},
		write: func(e *encoder, t *T) *tree {
			v := held(t)
			if x := reflect.ValueOf(v).Elem(); x.IsZero() || x.Kind() == reflect.Slice && x.Len() == 0 {
				return nil
			}
			return k.write(e, *v)
		},
	}
}

// required makes a field required; it is written whatever its value.
func required[T, V any](key string, k kind[V], doc string, held func(*T) *V) field[T] {
	f := at(key, k, doc, held)
	f.must = true
	f.write = func(e *encoder, t *T) *tree { return k.write(e, *held(t)) }
	return f
}

// optional makes a field from a pointer that is nil where the key is missing.
func optional[T, V any](key string, k kind[V], doc string, held func(*T) **V) field[T] {
	return field[T]{
		key: key, doc: doc, want: k.want, schema: k.schema,
		read: func(p place, t *T) {
			if v, ok := k.read(p); ok {
				*held(t) = &v
			}
		},
		write: func(e *encoder, t *T) *tree {
			if v := *held(t); v != nil {
				return k.write(e, *v)
			}
			return nil
		},
	}
}

// within lifts the fields of a part into the record that has it.
func within[T, U any](fields []field[U], part func(*T) *U) []field[T] {
	out := make([]field[T], len(fields))
	for i, f := range fields {
		out[i] = field[T]{
			key: f.key, doc: f.doc, must: f.must, want: f.want, schema: f.schema,
			read:  func(p place, t *T) { f.read(p, part(t)) },
			write: func(e *encoder, t *T) *tree { return f.write(e, part(t)) },
		}
	}
	return out
}

func (rec *record[T]) keys() []string {
	out := make([]string, len(rec.fields))
	for i, f := range rec.fields {
		out[i] = f.key
	}
	return out
}

// kind is the record as a form of value.
func (rec *record[T]) kind() kind[T] {
	return kind[T]{
		want:   "a mapping",
		schema: rec.schema,
		read: func(p place) (T, bool) {
			var t T
			ok := rec.readInto(p, &t)
			return t, ok
		},
		write: rec.tree,
	}
}

// readInto reads a mapping. The fields are read in the order of the table, not
// of the file, so that the unit is known before the first mass. It is false
// only where there is no mapping: fields that are wrong have been reported and
// are left zero.
func (rec *record[T]) readInto(p place, t *T) bool {
	names := rec.keys()
	pairs, ok := p.pairs("a mapping with " + oneOf(names))
	if !ok {
		return false
	}
	have := make(keys, len(pairs))
	values := make(map[string]place, len(pairs))
	for _, kv := range pairs {
		key := kv.key.node.Value
		if !slices.Contains(names, key) {
			near := Suggest(key, names)
			have[near] = true
			hint := rec.hints[key]
			switch {
			case hint != "":
			case digitsOnly(key):
				hint = commaHint
			case near != "":
				hint = fmt.Sprintf("did you mean %q?", near)
			default:
				hint = "want " + oneOf(names)
			}
			p.failAt(kv.key.node, kv.key.path, "unknown key; %s", hint)
			continue
		}
		have[key] = true
		values[key] = kv.value
	}
	if rec.start != nil {
		rec.start(p, t)
	}
	for _, f := range rec.fields {
		switch v, ok := values[f.key]; {
		case ok:
			f.read(v, t)
		case f.must && !have[f.key]:
			p.fail("%s is missing: want %s", f.key, f.want)
		}
	}
	rec.checkGroups(p, have)
	if rec.check != nil {
		rec.check(p, t, have)
	}
	return true
}

// checkGroups counts the keys of which one is allowed.
func (rec *record[T]) checkGroups(p place, have keys) {
	for _, g := range rec.groups {
		var given []string
		for _, k := range g.keys {
			if have[k] {
				given = append(given, k)
			}
		}
		switch {
		case len(given) > 1:
			p.at(given[1]).fail("%s exclude each other: want one of them", strings.Join(given, " and "))
		case len(given) == 0 && g.must:
			p.fail("no %s: want one of %s", g.what, strings.Join(g.keys, ", "))
		}
	}
}

// tree is the record as it is written.
func (rec *record[T]) tree(e *encoder, t T) *tree {
	out := &tree{kind: mapping, block: rec.block}
	for _, f := range rec.fields {
		if v := f.write(e, &t); v != nil {
			out.add(f.key, v)
		}
	}
	return out
}

// lines is a form of value that is written with a line for each entry.
func lines[V any](k kind[V]) kind[V] {
	write := k.write
	k.write = func(e *encoder, v V) *tree {
		t := write(e, v)
		t.block = true
		return t
	}
	return k
}
