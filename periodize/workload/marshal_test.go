package workload_test

import (
	"encoding"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	w "github.com/blockwright/blockwright/periodize/workload"
)

// accumulator is what every sum can do; it is held through a pointer.
type accumulator interface {
	json.Marshaler
	json.Unmarshaler
	encoding.BinaryMarshaler
	encoding.BinaryAppender
	encoding.BinaryUnmarshaler
}

// fresh makes an empty one of each type, by name.
var fresh = map[string]func() accumulator{
	"volume": func() accumulator { return new(w.Volume) },
	"tally":  func() accumulator { return new(w.Tally) },
	"zones":  func() accumulator { return new(w.Zones) },
	"INOL":   func() accumulator { return new(w.INOL) },
	"totals": func() accumulator { return new(w.Totals) },
	"diary":  func() accumulator { return new(w.Diary) },
}

// fed is one of each type with something in it.
func fed(t tester, sets []w.Set) map[string]accumulator {
	r := w.Rule{IncludeWarmups: true, Below: 0.3, HardOnly: true, HardReserve: 3.5}
	totals := must(w.NewTotals(r, 0.65, 0.75, 0.85))(t)
	var d w.Diary
	for i, s := range sets {
		if err := totals.Add(s); err != nil {
			t.Fatal(err)
		}
		if err := d.Add(100-7*i, s.Load/3); err != nil {
			t.Fatal(err)
		}
	}
	return map[string]accumulator{"volume": &totals.Volume, "tally": &totals.Muscles, "zones": &totals.Zones,
		"INOL": &totals.INOL, "totals": &totals, "diary": &d}
}

// same compares bytes of both forms and the values themselves.
func same(t tester, a, b accumulator) string {
	for _, f := range []func(accumulator) ([]byte, error){
		func(x accumulator) ([]byte, error) { return x.MarshalBinary() },
		func(x accumulator) ([]byte, error) { return x.MarshalJSON() },
	} {
		if diff := cmp.Diff(must(f(a))(t), must(f(b))(t)); diff != "" {
			return diff
		}
	}
	return ""
}

func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for name, a := range fed(t, anySets(t)) {
			b := fresh[name]()
			if err := b.UnmarshalBinary(must(a.MarshalBinary())(t)); err != nil {
				t.Fatal(err)
			}
			if diff := same(t, a, b); diff != "" {
				t.Fatalf("%s, binary (-want +got):\n%s", name, diff)
			}
			c := fresh[name]()
			if err := json.Unmarshal(must(json.Marshal(a))(t), c); err != nil {
				t.Fatal(err)
			}
			if diff := same(t, a, c); diff != "" {
				t.Fatalf("%s, JSON (-want +got):\n%s", name, diff)
			}
			if got := must(a.AppendBinary([]byte("before")))(t); !strings.HasPrefix(string(got), "before") || len(got) != len("before")+len(must(a.MarshalBinary())(t)) {
				t.Fatalf("%s: appended %q", name, got)
			}
		}
	})
}

func TestEmptyRoundTrip(t *testing.T) {
	for name, f := range fresh {
		a, b, c := f(), f(), f()
		if err := b.UnmarshalBinary(must(a.MarshalBinary())(t)); err != nil {
			t.Error(err)
		}
		if err := c.UnmarshalJSON(must(a.MarshalJSON())(t)); err != nil {
			t.Error(err)
		}
		if d := same(t, a, b) + same(t, a, c); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

func TestMarshalledSumsGoOnExactly(t *testing.T) {
	// The compensation travels: what comes back adds up to the same last bit.
	rapid.Check(t, func(t *rapid.T) {
		sets := anySets(t)
		cut := rapid.IntRange(0, len(sets)).Draw(t, "cut")
		whole := sum(t, sets...)
		part := sum(t, sets[:cut]...)
		var back w.Totals
		if err := json.Unmarshal(must(json.Marshal(part))(t), &back); err != nil {
			t.Fatal(err)
		}
		for _, s := range sets[cut:] {
			if err := back.Add(s); err != nil {
				t.Fatal(err)
			}
		}
		if diff := cmp.Diff(viewOf(whole), viewOf(&back)); diff != "" {
			t.Fatalf("(-want +got):\n%s", diff)
		}
	})
}

func TestMarshalRefuses(t *testing.T) {
	for name, in := range map[string][]string{
		"volume": {
			`[]`, `{"sets": -1}`, `{"sets": 1e300}`, `{"lifts": 9007199254740993000}`, `{"rated_lifts": 3}`,
			`{"tonnage": [1e300, 0]}`, `{"rule": {"below": -1}}`,
		},
		"tally":  {`{}`, `[{"key": ""}]`, `[{"key": "b"}, {"key": "a"}]`, `[{"key": "a"}, {"key": "a"}]`, `[{"key": "a", "sum": [1e201, 0]}]`},
		"zones":  {`[]`, `{"edges": [0.7], "counts": [{}]}`, `{"edges": [0.7, 0.6], "counts": [{}, {}, {}]}`, `{"edges": [], "counts": [{"sets": -1}]}`},
		"INOL":   {`3`, `{"at_maximum": -1}`, `{"sum": [-1e250, 0]}`},
		"totals": {`[]`, `{"volume": {"sets": -1}}`, `{"zones": {"edges": [2, 1]}}`},
		"diary":  {`{}`, `[{"day": 2}, {"day": 1}]`, `[{"day": 1.5}]`, `[{"day": 1, "sum": [0, 1e299]}]`},
	} {
		for _, s := range in {
			a := fed(t, uneven)[name]
			before := must(a.MarshalBinary())(t)
			var de *w.DecodeError
			if err := a.UnmarshalJSON([]byte(s)); !errors.As(err, &de) || de.Error() == "" {
				t.Errorf("%s from %s: %v", name, s, err)
			}
			if diff := cmp.Diff(before, must(a.MarshalBinary())(t)); diff != "" {
				t.Errorf("%s from %s changed it", name, s)
			}
		}
	}
	for name, a := range fed(t, uneven) {
		whole := must(a.MarshalBinary())(t)
		for _, in := range [][]byte{nil, {'?', 1}, {whole[0], 2}, append(append([]byte{}, whole...), 0)} {
			var de *w.DecodeError
			if err := a.UnmarshalBinary(in); !errors.As(err, &de) || de.Type != name {
				t.Errorf("%s from % x: %v", name, in, err)
			}
		}
		for n := range whole {
			if err := fresh[name]().UnmarshalBinary(whole[:n]); err == nil {
				t.Errorf("%s from %d of %d bytes", name, n, len(whole))
			}
		}
	}
	// A few bytes that promise 2^40 entries.
	if err := new(w.Tally).UnmarshalBinary([]byte{'T', 1, 0x80, 0x80, 0x80, 0x80, 0x80, 0x20}); err == nil {
		t.Error("a length without the entries")
	}
}

// fuzzForms holds, for whatever bytes decode, that what was decoded encodes to
// a form that decodes to the same, and that reading it and adding to it never
// panics or leaves the finite.
func fuzzForms(t *testing.T, read func(accumulator) error) {
	for name, f := range fresh {
		a := f()
		if read(a) != nil {
			continue
		}
		b, c := f(), f()
		if err := b.UnmarshalBinary(must(a.MarshalBinary())(t)); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if err := c.UnmarshalJSON(must(a.MarshalJSON())(t)); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if d := same(t, a, b) + same(t, a, c); d != "" {
			t.Fatalf("%s: %s", name, d)
		}
		if totals, ok := a.(*w.Totals); ok {
			o := totals.Clone()
			if err := totals.Merge(o); err != nil {
				t.Fatal(err)
			}
			if err := totals.Add(w.Set{Reps: 5, Load: 100, Max: 120, Muscles: []w.Share{{"quads", 1}}}); err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(viewOf(totals), viewOf(totals)) { // NaN differs from itself
				t.Fatalf("%+v", viewOf(totals))
			}
		}
	}
}

func FuzzUnmarshalBinary(f *testing.F) {
	for _, a := range fed(f, uneven) {
		f.Add(must(a.MarshalBinary())(f))
	}
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, b []byte) {
		fuzzForms(t, func(a accumulator) error { return a.UnmarshalBinary(b) })
	})
}

func FuzzUnmarshalJSON(f *testing.F) {
	for _, a := range fed(f, uneven) {
		f.Add(must(a.MarshalJSON())(f))
	}
	f.Add([]byte(`null`))
	f.Add([]byte(`{"rule": {"below": 0.5}, "edges": [0.5], "counts": [{}, {"sets": 2}], "sum": [1, -0.0]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		fuzzForms(t, func(a accumulator) error { return a.UnmarshalJSON(b) })
	})
}

// The last zone has no end, which JSON cannot say in a number.
func TestZoneJSON(t *testing.T) {
	z, err := w.NewZones(0.7, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(z.All())
	if err != nil {
		t.Fatal(err)
	}
	var back []w.Zone
	if err := json.Unmarshal(b, &back); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(back, z.All()) || !math.IsInf(back[2].To, 1) {
		t.Errorf("%s: %+v", b, back)
	}
}
