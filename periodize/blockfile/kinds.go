package blockfile

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// The forms of value that the tables are made of.

// whole is a whole number within bounds.
func whole(low, high int64) kind[int] {
	want := fmt.Sprintf("a whole number from %d to %d", low, high)
	if high == low+1 {
		want = fmt.Sprintf("%d or %d", low, high)
	}
	return wholeAs(want, low, high)
}

// wholeAs is a whole number within bounds that messages call want.
func wholeAs(want string, low, high int64) kind[int] {
	return kind[int]{
		want: want,
		schema: func(*schemas) object {
			return object{{"type", "integer"}, {"minimum", low}, {"maximum", high}}
		},
		read: func(p place) (int, bool) {
			v, ok := p.whole(want)
			if ok && (v < low || v > high) {
				ok = p.want(want)
			}
			return int(v), ok
		},
		write: func(_ *encoder, v int) *tree { return plain(strconv.Itoa(v)) },
	}
}

// number is an exact decimal number within bounds; what says of what, such as
// " per cent", and may be "".
func number(low, high int64, what string) kind[plates.Ratio] {
	want := fmt.Sprintf("a number from %d to %d%s", low, high, what)
	return kind[plates.Ratio]{
		want: want,
		schema: func(*schemas) object {
			return object{{"type", "number"}, {"minimum", low}, {"maximum", high}}
		},
		read: func(p place) (plates.Ratio, bool) {
			v, ok := p.ratio(want)
			if ok && (v.Cmp(plates.WholeRatio(low)) < 0 || v.Cmp(plates.WholeRatio(high)) > 0) {
				ok = p.want(want)
			}
			return v, ok
		},
		write: func(_ *encoder, v plates.Ratio) *tree { return plain(decimalText(v)) },
	}
}

// decimalText is an exact number in decimals, rounded where it has more than a
// file may hold.
func decimalText(v plates.Ratio) string {
	s := strconv.FormatFloat(v.Float64(), 'f', numberDecimals, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// part is a share above 0 up to 1.
func part() kind[float64] {
	const want = "a number above 0, at most 1"
	return kind[float64]{
		want: want,
		schema: func(*schemas) object {
			return object{{"type", "number"}, {"exclusiveMinimum", 0}, {"maximum", 1}}
		},
		read: func(p place) (float64, bool) {
			v, ok := p.ratio(want)
			f := v.Float64()
			if ok && (f <= 0 || f > 1) {
				ok = p.want(want)
			}
			return f, ok
		},
		write: func(_ *encoder, v float64) *tree { return plain(strconv.FormatFloat(v, 'f', -1, 64)) },
	}
}

// The most characters of a name and of a note.
const (
	nameLength = 200
	noteLength = 4000
)

// name is a text of one line.
func name(want string) kind[string] {
	return kind[string]{
		want: want,
		schema: func(*schemas) object {
			return object{{"type", "string"}, {"minLength", 1}, {"maxLength", nameLength}, {"pattern", `^\S(.*\S)?$`}}
		},
		read:  func(p place) (string, bool) { return p.text(want, nameLength, false) },
		write: func(_ *encoder, v string) *tree { return quoted(v) },
	}
}

// note is a text that may have several lines.
func note() kind[string] {
	const want = "a text"
	return kind[string]{
		want:   want,
		schema: func(*schemas) object { return object{{"type", "string"}, {"pattern", `\S`}, {"maxLength", noteLength}} },
		read:   func(p place) (string, bool) { return p.text(want, noteLength, true) },
		write:  func(_ *encoder, v string) *tree { return quoted(v) },
	}
}

// words is a closed list.
func words[S ~string](list []S) kind[S] {
	names := make([]string, len(list))
	for i, s := range list {
		names[i] = string(s)
	}
	want := oneOf(names)
	return kind[S]{
		want:   want,
		schema: func(*schemas) object { return object{{"enum", names}} },
		read: func(p place) (S, bool) {
			s, ok := p.word(want, names)
			return S(s), ok
		},
		write: func(_ *encoder, v S) *tree { return quoted(string(v)) },
	}
}

// boolean is true or false.
func boolean() kind[bool] {
	return kind[bool]{
		want:   "true or false",
		schema: func(*schemas) object { return object{{"type", "boolean"}} },
		read:   place.boolean,
		write:  func(_ *encoder, v bool) *tree { return plain(strconv.FormatBool(v)) },
	}
}

// yes is true alone, for what is left out otherwise.
func yes() kind[bool] {
	const want = "true, or the key left out"
	return kind[bool]{
		want:   want,
		schema: func(*schemas) object { return object{{"const", true}} },
		read: func(p place) (bool, bool) {
			if !isBool(p.node) || !strings.EqualFold(p.node.Value, "true") {
				return false, p.want(want)
			}
			return true, true
		},
		write: func(_ *encoder, v bool) *tree { return plain("true") },
	}
}

// date is a day.
func date() kind[time.Time] {
	const want = "a date such as 2027-09-06"
	return kind[time.Time]{
		want: want,
		schema: func(*schemas) object {
			return object{{"type", "string"}, {"format", "date"}, {"pattern", `^(19|2[01])[0-9]{2}-[0-9]{2}-[0-9]{2}$`},
				{"examples", []string{"2027-09-06"}}}
		},
		read:  func(p place) (time.Time, bool) { return p.date(want) },
		write: func(_ *encoder, v time.Time) *tree { return plain(v.Format(time.DateOnly)) },
	}
}

// duration is a length of time in whole seconds.
func duration(low, high time.Duration) kind[time.Duration] {
	want := fmt.Sprintf("a duration from %s to %s, such as 90s, 3m or 2m30s", durationText(int64(low.Seconds())), durationText(int64(high.Seconds())))
	return kind[time.Duration]{
		want:   want,
		schema: func(s *schemas) object { return s.duration() },
		read: func(p place) (time.Duration, bool) {
			n, ok := p.seconds(want)
			d := time.Duration(n) * time.Second
			if ok && (d < low || d > high) {
				ok = p.want(want)
			}
			return d, ok
		},
		write: func(_ *encoder, v time.Duration) *tree {
			return plain(durationText(int64(v.Round(time.Second) / time.Second)))
		},
	}
}

// restSeconds is a duration held as a number of seconds.
func restSeconds() kind[plates.Ratio] {
	d := duration(0, time.Hour)
	return kind[plates.Ratio]{
		want:   d.want,
		schema: d.schema,
		read: func(p place) (plates.Ratio, bool) {
			v, ok := d.read(p)
			return plates.WholeRatio(int64(v / time.Second)), ok
		},
		write: func(_ *encoder, v plates.Ratio) *tree { return plain(durationText(v.RoundHalfUp())) },
	}
}

// tempo is the seconds of a repetition.
func tempo() kind[float64] {
	const want = "the seconds of a repetition such as 4s, or its phases such as 3-1-1-0, at most 60 seconds"
	return kind[float64]{
		want: want,
		schema: func(*schemas) object {
			return object{{"type", "string"}, {"pattern", `^([0-9]{1,2}(\.[0-9]{1,6})?s|[0-9](\.[0-9])?(-[0-9](\.[0-9])?){3})$`},
				{"examples", []string{"4s", "3-1-1-0"}}}
		},
		read: func(p place) (float64, bool) { return p.tempo(want) },
		write: func(_ *encoder, v float64) *tree {
			return plain(strconv.FormatFloat(math.Round(v*1e6)/1e6, 'f', -1, 64) + "s")
		},
	}
}

// mass is a mass within bounds in kilograms.
func mass(low, high int64) kind[plates.Mass] {
	want := fmt.Sprintf("a mass from %d to %d kg", low, high)
	if low == 0 {
		want = fmt.Sprintf("a mass of at most %d kg", high)
	}
	lowest, highest := plates.Mass(low)*plates.Kilogram, plates.Mass(high)*plates.Kilogram
	return kind[plates.Mass]{
		want:   want,
		schema: func(s *schemas) object { return s.mass(low < 0) },
		read: func(p place) (plates.Mass, bool) {
			v, ok := p.mass(want)
			if ok && (v < lowest || v > highest) {
				ok = p.want(want)
			}
			return v, ok
		},
		write: func(e *encoder, v plates.Mass) *tree { return plain(massText(v, e.unit)) },
	}
}

// aboveZero is a mass that is not nothing.
func aboveZero() kind[plates.Mass] {
	k := mass(0, maxMass)
	k.want = fmt.Sprintf("a mass above 0, at most %d kg", maxMass)
	read := k.read
	k.read = func(p place) (plates.Mass, bool) {
		v, ok := read(p)
		if ok && v == 0 {
			ok = p.want(k.want)
		}
		return v, ok
	}
	return k
}

// maxMass is the largest mass in kilograms.
const maxMass = int64(periodize.MaxLoad / plates.Kilogram)

// inKilograms is a bound as mass takes it.
func inKilograms(m plates.Mass) int64 { return int64(m / plates.Kilogram) }

// massText is a mass as a file with that unit writes it: a bare number where it
// is a short one, else in the other unit where it is short in that, else
// exactly in kilograms.
func massText(m plates.Mass, u plates.Unit) string {
	if s, ok := inUnit(m, u); ok {
		return s
	}
	other := plates.KG
	if u == plates.KG {
		other = plates.LB
	}
	if s, ok := inUnit(m, other); ok {
		return s + other.String()
	}
	sign, n := "", int64(m)
	if n < 0 {
		sign, n = "-", -n
	}
	return fmt.Sprintf("%s%d.%010dkg", sign, n/int64(plates.Kilogram), n%int64(plates.Kilogram))
}

// inUnit is a mass in a unit where it has at most four decimals in it.
func inUnit(m plates.Mass, u plates.Unit) (string, bool) {
	sign, n := "", int64(m)
	if n < 0 {
		sign, n = "-", -n
	}
	one := int64(u.One())
	units, rest := n/one, n%one
	if rest*10000%one != 0 {
		return "", false
	}
	s := fmt.Sprintf("%s%d.%04d", sign, units, rest*10000/one)
	return strings.TrimRight(strings.TrimRight(s, "0"), "."), true
}

// weekSet selects weeks of the block.
func weekSet() kind[periodize.WeekSet] {
	const want = "all, odd, even, a week, a range such as 5-6 or a list of weeks"
	return kind[periodize.WeekSet]{
		want: want,
		schema: func(s *schemas) object {
			week := object{{"type", "integer"}, {"minimum", 1}, {"maximum", maxWeeks}}
			return s.define("weeks", object{{"description", want}, {"oneOf", []object{
				{{"enum", []string{"all", "odd", "even"}}},
				{{"type", "string"}, {"pattern", `^[1-9][0-9]?(-[1-9][0-9]?)?$`}},
				week,
				{{"type", "array"}, {"items", week}, {"minItems", 1}, {"uniqueItems", true}},
			}}})
		},
		read: func(p place) (periodize.WeekSet, bool) {
			var set periodize.WeekSet
			if p.node.Kind == yaml.SequenceNode {
				items, _ := p.items(want)
				var weeks []int
				fine := true
				for _, it := range items {
					w, ok := weekNumber(it)
					if ok && slices.Contains(weeks, w) {
						it.fail("week %d is given twice", w)
					}
					fine = fine && ok
					weeks = append(weeks, w)
				}
				if len(items) == 0 {
					p.fail("want %s, got an empty list", want)
					return set, false
				}
				return periodize.OnlyWeeks(weeks...), fine
			}
			if p.node.Kind != yaml.ScalarNode || isNull(p.node) {
				return set, p.want(want)
			}
			set, err := periodize.ParseWeekSet(p.node.Value)
			if err != nil {
				return set, p.want(want)
			}
			if last := set.Last(); p.r.weeks > 0 && last > p.r.weeks {
				p.fail("week %d is not in the block: want weeks from 1 to %d", last, p.r.weeks)
				return set, false
			}
			return set, true
		},
		write: func(_ *encoder, v periodize.WeekSet) *tree { return plain(v.String()) },
	}
}

// maxWeeks is the longest block.
const maxWeeks = periodize.MaxWeeks

// weekNumber is a week of the block.
func weekNumber(p place) (int, bool) {
	last := maxWeeks
	if p.r.weeks > 0 {
		last = p.r.weeks
	}
	return whole(1, int64(last)).read(p)
}

// liftName is a lift of the file, where the file has lifts.
func liftName() kind[string] {
	k := name("the name of a lift")
	read := k.read
	k.read = func(p place) (string, bool) {
		s, ok := read(p)
		if ok && p.r.hasLift != nil && !p.r.hasLift[s] {
			p.fail("there is no lift %q: %s", s, nearest(s, p.r.lifts))
			return s, false
		}
		return s, ok
	}
	return k
}

// listOf is a list of values of one kind, of at least one and at most so many;
// each may be held to be there once.
func listOf[V any](k kind[V], most int, want string, once func(V) string) kind[[]V] {
	return kind[[]V]{
		want: want,
		schema: func(s *schemas) object {
			o := object{{"type", "array"}, {"items", k.schema(s)}, {"minItems", 1}, {"maxItems", most}}
			if once != nil {
				o = append(o, member{"uniqueItems", true})
			}
			return o
		},
		read: func(p place) ([]V, bool) {
			items, ok := p.items(want)
			if !ok {
				return nil, false
			}
			if len(items) == 0 {
				p.fail("want %s, got an empty list", want)
				return nil, false
			}
			if len(items) > most {
				p.fail("want at most %d entries, got %d", most, len(items))
				return nil, false
			}
			out := make([]V, 0, len(items))
			var seen map[string]bool
			for _, it := range items {
				v, ok := k.read(it)
				if !ok {
					continue
				}
				if once != nil {
					if seen == nil {
						seen = make(map[string]bool, len(items))
					}
					if seen[once(v)] {
						it.fail("%q is given twice", once(v))
						continue
					}
					seen[once(v)] = true
				}
				out = append(out, v)
			}
			return out, true
		},
		write: func(e *encoder, vs []V) *tree {
			t := &tree{kind: list}
			for _, v := range vs {
				c := k.write(e, v)
				t.block = t.block || c.block
				t.nodes = append(t.nodes, c)
			}
			return t
		},
	}
}

// mapOf is a mapping whose keys are names or values themselves, held as a list
// in the order of the file.
func mapOf[K, V, T any](key kind[K], value kind[V], most int, want string,
	join func(k K, v V, p place) T, split func(T) (K, V)) kind[[]T] {
	return kind[[]T]{
		want: want,
		schema: func(s *schemas) object {
			return object{{"type", "object"}, {"propertyNames", key.schema(s)}, {"additionalProperties", value.schema(s)}, {"minProperties", 1}, {"maxProperties", most}}
		},
		read: func(p place) ([]T, bool) {
			pairs, ok := p.pairs(want)
			if !ok {
				return nil, false
			}
			if len(p.node.Content) == 0 {
				p.fail("want %s, got an empty mapping", want)
				return nil, false
			}
			if len(pairs) > most {
				p.fail("want at most %d entries, got %d", most, len(pairs))
				return nil, false
			}
			out := make([]T, 0, len(pairs))
			for _, kv := range pairs {
				k, fine := key.read(kv.key)
				v, ok := value.read(kv.value)
				if fine && ok {
					out = append(out, join(k, v, kv.key))
				}
			}
			return out, true
		},
		write: func(e *encoder, ts []T) *tree {
			t := &tree{kind: mapping}
			for _, x := range ts {
				k, v := split(x)
				vt := value.write(e, v)
				t.keys = append(t.keys, key.write(e, k))
				t.nodes = append(t.nodes, vt)
				t.block = t.block || vt.block
			}
			return t
		},
	}
}
