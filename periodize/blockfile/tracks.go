package blockfile

import (
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// cell is what one week of a track holds.
type cell struct {
	kind[plates.Ratio]
	name string // of the track in the schema
	// whole values come from programs' tracks rounded half up, as the compiler
	// rounds them.
	whole bool
}

// counts is a track's cell that holds a whole number.
func counts(name string, low, high int64) cell { return countsAs(name, whole(low, high)) }

func countsAs(name string, k kind[int]) cell {
	return cell{name: name, whole: true, kind: kind[plates.Ratio]{
		want:   k.want,
		schema: k.schema,
		read: func(p place) (plates.Ratio, bool) {
			v, ok := k.read(p)
			return plates.WholeRatio(int64(v)), ok
		},
		write: func(_ *encoder, v plates.Ratio) *tree { return plain(strconv.FormatInt(v.RoundHalfUp(), 10)) },
	}}
}

// masses is a track's cell that holds a mass, as a count of plates.Mass.
func masses() cell {
	k := mass(0, maxMass)
	return cell{name: "load track", kind: kind[plates.Ratio]{
		want:   k.want,
		schema: k.schema,
		read: func(p place) (plates.Ratio, bool) {
			m, ok := k.read(p)
			return plates.WholeRatio(int64(m)), ok
		},
		write: func(e *encoder, v plates.Ratio) *tree { return k.write(e, plates.Mass(v.RoundHalfUp())) },
	}}
}

// numbers is a track's cell that holds a number within bounds.
func numbers(name string, low, high int64, what string) cell {
	return cell{name: name, kind: number(low, high, what)}
}

// rests is a track's cell that holds a duration in seconds.
func rests() cell { return cell{name: "rest track", whole: true, kind: restSeconds()} }

// emptyWeek is the entry of a week without a value.
const emptyWeek = "-"

// track is a track of such cells: one value, a list with an entry for each
// week, or a line or crest.
func track(c cell) kind[periodize.Track] {
	return kind[periodize.Track]{
		want:   c.want + ", a list of one for each week, {from, to} or {from, crest, at, to}",
		schema: c.trackSchema,
		read:   func(p place) (periodize.Track, bool) { return readTrack(p, c, c.read) },
		write:  func(e *encoder, t periodize.Track) *tree { return writeTrack(e, t, nil, c) },
	}
}

// readTrack reads a track, each of its values by read.
func readTrack(p place, c cell, read func(place) (plates.Ratio, bool)) (periodize.Track, bool) {
	switch p.node.Kind {
	case yaml.SequenceNode:
		return readWeeks(p, read)
	case yaml.MappingNode:
		return readLine(p, c, read)
	}
	v, ok := read(p)
	return periodize.FixedTrack{Value: v}, ok
}

func readWeeks(p place, read func(place) (plates.Ratio, bool)) (periodize.Track, bool) {
	items, _ := p.items("")
	fine := false
	if w := p.r.weeks; w > 0 && len(items) != w {
		p.fail("want %d entries, one for each week (%q where there is none), got %d", w, emptyWeek, len(items))
	} else if len(items) > maxWeeks {
		p.fail("want at most %d entries, one for each week, got %d", maxWeeks, len(items))
	} else {
		fine = true
	}
	t := make(periodize.WeekTrack, len(items))
	for i, it := range items[:min(len(items), maxWeeks)] {
		if it.node.Kind == yaml.ScalarNode && it.node.Value == emptyWeek {
			t[i].Empty = true
			continue
		}
		v, ok := read(it)
		t[i].Value = v
		fine = fine && ok
	}
	return t, fine
}

var lineKeys = []string{"from", "crest", "at", "to"}

func readLine(p place, c cell, read func(place) (plates.Ratio, bool)) (periodize.Track, bool) {
	const forms = "{from, to} or {from, crest, at, to}"
	pairs, ok := p.pairs(forms)
	if !ok {
		return nil, false
	}
	got := map[string]place{}
	fine := true
	for _, kv := range pairs {
		key := kv.key.node.Value
		known := false
		for _, k := range lineKeys {
			known = known || k == key
		}
		if !known {
			hint := "want " + forms
			if digitsOnly(key) {
				hint = commaHint
			} else if near := Suggest(key, lineKeys); near != "" {
				hint = "did you mean \"" + near + "\"?"
				got[near] = kv.value
			}
			kv.key.fail("unknown key; %s", hint)
			fine = false
			continue
		}
		got[key] = kv.value
	}
	_, crest := got["crest"]
	_, at := got["at"]
	need := []string{"from", "to"}
	if crest || at {
		need = lineKeys
	}
	var missing []string
	for _, k := range need {
		if _, ok := got[k]; !ok {
			missing = append(missing, k)
		}
	}
	if len(missing) > 0 {
		p.fail("%s missing: want %s", strings.Join(missing, " and "), forms)
		return nil, false
	}
	if !fine {
		return nil, false
	}
	value := func(key string) plates.Ratio {
		v, ok := read(got[key])
		fine = fine && ok
		return v
	}
	if !crest {
		t := periodize.LineTrack{From: value("from"), To: value("to")}
		return t, fine
	}
	t := periodize.CrestTrack{From: value("from"), Crest: value("crest"), To: value("to")}
	t.Peak, ok = weekNumber(got["at"])
	return t, fine && ok
}

// writeTrack writes a track. low, where there is one, is the lower end of
// ranges. Tracks of types that the package does not know, and ranges whose ends
// differ in form, are written week by week.
func writeTrack(e *encoder, t, low periodize.Track, c cell) *tree {
	if t == nil {
		return nil
	}
	text := func(high, low plates.Ratio, ranged bool) *tree {
		h := c.write(e, high)
		if !ranged {
			return h
		}
		if l := c.write(e, low); l.text != h.text {
			return plain(l.text + "-" + h.text)
		}
		return h
	}
	ranged := low != nil
	form := t
	if c.whole && e.weeks > 0 && (broken(t) || ranged && broken(low)) {
		form = nil // ends that the file would round are not those that the weeks between are reckoned from
	}
	switch t := form.(type) {
	case periodize.FixedTrack:
		if l, ok := low.(periodize.FixedTrack); ok || !ranged {
			return text(t.Value, l.Value, ranged)
		}
	case periodize.LineTrack:
		if l, ok := low.(periodize.LineTrack); ok || !ranged {
			out := &tree{kind: mapping}
			out.add("from", text(t.From, l.From, ranged))
			out.add("to", text(t.To, l.To, ranged))
			return out
		}
	case periodize.CrestTrack:
		if l, ok := low.(periodize.CrestTrack); ok && l.Peak == t.Peak || !ranged {
			out := &tree{kind: mapping}
			out.add("from", text(t.From, l.From, ranged))
			out.add("crest", text(t.Crest, l.Crest, ranged))
			out.add("at", plain(strconv.Itoa(t.Peak)))
			out.add("to", text(t.To, l.To, ranged))
			return out
		}
	}
	n := e.weeks
	if w, ok := t.(periodize.WeekTrack); ok {
		n = len(w) // a wrong length is to be seen, not mended
	}
	out := &tree{kind: list}
	for week := 1; week <= n; week++ {
		v, ok := t.At(week, e.weeks)
		if !ok {
			out.nodes = append(out.nodes, quoted(emptyWeek))
			continue
		}
		var l plates.Ratio
		has := false
		if ranged {
			l, has = low.At(week, e.weeks)
		}
		out.nodes = append(out.nodes, text(v, l, has))
	}
	return out
}

// broken reports whether a line or crest has an end that is no whole number.
func broken(t periodize.Track) bool {
	switch t := t.(type) {
	case periodize.LineTrack:
		return t.From.Den() != 1 || t.To.Den() != 1
	case periodize.CrestTrack:
		return t.From.Den() != 1 || t.Crest.Den() != 1 || t.To.Den() != 1
	}
	return false
}

// repetitions is the cell of a number of repetitions.
func repetitions() cell { return countsAs("reps track", wholeAs(repsWant, 1, maxReps)) }

const maxReps = periodize.MaxReps

// Repetitions may be ranges: 8-12.
const repsWant = "a whole number from 1 to 200 or a range such as 8-12"

// repsEnd reads one end of a range of repetitions, both being the number where
// there is no range. ranged is set where there is one.
func repsEnd(upper bool, ranged *bool) func(place) (plates.Ratio, bool) {
	single := repetitions()
	return func(p place) (plates.Ratio, bool) {
		a, b, ok := strings.Cut(p.node.Value, "-")
		if p.node.Kind != yaml.ScalarNode || !ok || a == "" || strings.Trim(a+b, "0123456789") != "" {
			if p.node.Kind == yaml.ScalarNode && !isNull(p.node) {
				return single.read(p)
			}
			return plates.Ratio{}, p.want(repsWant)
		}
		low, errA := strconv.ParseInt(a, 10, 32)
		high, errB := strconv.ParseInt(b, 10, 32)
		if errA != nil || errB != nil || a[0] == '0' || b[0] == '0' || low >= high || high > maxReps {
			return plates.Ratio{}, p.want("a range from a lower to a higher number of at most 200, such as 8-12")
		}
		*ranged = true
		if upper {
			return plates.WholeRatio(high), true
		}
		return plates.WholeRatio(low), true
	}
}

// repsField is the field of the repetitions of a set, held as two tracks where
// they are ranges.
func repsField[T any](doc string, must bool, held func(*T) (high, low *periodize.Track)) field[T] {
	c := repetitions()
	return field[T]{
		key: "reps", doc: doc, must: must, want: repsWant,
		schema: func(s *schemas) object {
			ranged := c
			ranged.schema = func(s *schemas) object {
				return object{{"oneOf", []object{c.kind.schema(s), {{"type", "string"}, {"pattern", `^[1-9][0-9]{0,2}-[1-9][0-9]{0,2}$`}, {"examples", []string{"8-12"}}}}}}
			}
			return ranged.trackSchema(s)
		},
		read: func(p place, t *T) {
			var ranged bool
			v, ok := readTrack(p, c, repsEnd(true, &ranged))
			if !ok {
				return
			}
			high, low := held(t)
			*high = v
			if ranged {
				p.r.quiet = true
				*low, _ = readTrack(p, c, repsEnd(false, &ranged))
				p.r.quiet = false
			}
		},
		write: func(e *encoder, t *T) *tree {
			high, low := held(t)
			return writeTrack(e, *high, *low, c)
		},
	}
}

// weightField is the field of one way of giving the weight.
func weightField(k periodize.WeightKind, c cell, doc string) field[periodize.Work] {
	tr := track(c)
	return field[periodize.Work]{
		key: k.String(), doc: doc, want: tr.want, schema: tr.schema,
		read: func(p place, w *periodize.Work) {
			if t, ok := tr.read(p); ok {
				w.Weight = periodize.Weight{Kind: k, Track: t}
			}
		},
		write: func(e *encoder, w *periodize.Work) *tree {
			if w.Weight.Kind != k {
				return nil
			}
			return tr.write(e, w.Weight.Track)
		},
	}
}
