package blockfile

import (
	"slices"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// The tables of a brief file.

// briefRecord is the whole of a brief file.
func briefRecord() *record[periodize.Brief] {
	type B = periodize.Brief
	self := func(s string) string { return s }
	lacking := func(l periodize.Lacking) string { return string(l) }
	return &record[B]{
		name: "brief", doc: "What a block should do, for a draft of it to be made.", block: true,
		fields: []field[B]{
			required("brief", name("a title"), "title", func(b *B) *string { return &b.Title }),
			weeksField("length in weeks", func(b *B) *int { return &b.Weeks }),
			unitsField(false, "unit of the bare masses of this file", func(b *B) *plates.Unit { return &b.Unit }),
			required("days", listOf(dayKind(), len(days), "a list of days", func(d time.Weekday) string { return days[(int(d)+6)%7] }), "the days with a session", func(b *B) *[]time.Weekday { return &b.Days }),
			at("minutes", whole(10, 480), "most minutes of a session; default no limit", func(b *B) *int { return &b.Minutes }),
			at("goal", words(periodize.Goals()), "what the block is for; default develop", func(b *B) *periodize.Goal { return &b.Goal }),
			required("focus", focusKind(), "the lifts in front, usually one for the lower body and one for the upper", func(b *B) *[]string { return &b.Focus }),
			at("note", note(), "a note to keep", func(b *B) *string { return &b.Note }),
			required("lifts", liftsKind(), "the movements that may be used, by name, as in a block", func(b *B) *[]periodize.Lift { return &b.Lifts }),
			at("keep", listOf(liftName(), maxLifts, "a list of lifts", self), "lifts that must appear", func(b *B) *[]string { return &b.Keep }),
			at("avoid", listOf(liftName(), maxLifts, "a list of lifts", self), "lifts that must not appear", func(b *B) *[]string { return &b.Avoid }),
			at("lacking", listOf(words(periodize.Lackings()), len(periodize.Lackings()), "a list of what is lacking", lacking), "what the lifters lack; each stands for patterns of developmental work by a table that is common practice, no published source", func(b *B) *[]periodize.Lacking { return &b.Lacking }),
			at("level", words(periodize.Levels()), "how long and how well trained the lifters are; default intermediate", func(b *B) *periodize.Level { return &b.Level }),
			at("weekly_sets", weeklySetsKind(), "fewest and most hard sets a week, for some muscles", func(b *B) *[]periodize.SetRange { return &b.WeeklySets }),
			optional("overreach", overreachRecord().kind(), "the planned peak of the volume", func(b *B) **periodize.Overreach { return &b.Overreach }),
			optional("heavy", heavyRecord().kind(), "the heaviest sets of the focus lifts", func(b *B) **periodize.HeavySets { return &b.Heavy }),
			optional("reserve", reserveKind(), "least and most predicted reserve of the main sets, in repetitions", func(b *B) **periodize.ReserveSpan { return &b.Reserve }),
		},
		start: func(p place, b *B) {
			b.Pos = p.pos()
			p.r.noUnits = noUnits
			p.r.nameLifts(p)
		},
		check: func(p place, b *B, have keys) {
			avoid := p.entries("avoid")
			for i, n := range b.Avoid {
				for _, wish := range []struct {
					key   string
					lifts []string
				}{{"focus", b.Focus}, {"keep", b.Keep}} {
					if slices.Contains(wish.lifts, n) && len(avoid) == len(b.Avoid) {
						avoid[i].fail("%q is in %s too: want it in one of them", n, wish.key)
					}
				}
			}
		},
	}
}

// two is a list of exactly two values.
func two[V any](k kind[V], want string) kind[[2]V] {
	return kind[[2]V]{
		want: want,
		schema: func(s *schemas) object {
			return object{{"type", "array"}, {"items", k.schema(s)}, {"minItems", 2}, {"maxItems", 2}}
		},
		read: func(p place) (v [2]V, ok bool) {
			items, ok := p.items(want)
			if !ok {
				return v, false
			}
			if len(items) != 2 {
				p.fail("want %s, got a list of %d", want, len(items))
				return v, false
			}
			a, okA := k.read(items[0])
			b, okB := k.read(items[1])
			return [2]V{a, b}, okA && okB
		},
		write: func(e *encoder, v [2]V) *tree {
			return &tree{kind: list, nodes: []*tree{k.write(e, v[0]), k.write(e, v[1])}}
		},
	}
}

// ascending is two values of which the second is not below the first.
func ascending[V any](k kind[[2]V], compare func(a, b V) int) kind[[2]V] {
	read := k.read
	k.read = func(p place) ([2]V, bool) {
		v, ok := read(p)
		if ok && compare(v[0], v[1]) > 0 {
			p.fail("want %s, the lower one first", k.want)
			return v, false
		}
		return v, ok
	}
	return k
}

// weeklySetsKind is bounds of the sets of muscles.
func weeklySetsKind() kind[[]periodize.SetRange] {
	bounds := ascending(two(whole(0, 100), "the fewest and the most sets, such as [8, 18]"), func(a, b int) int { return a - b })
	return musclesKind(bounds,
		func(m periodize.Muscle, v [2]int) periodize.SetRange {
			return periodize.SetRange{Muscle: m, Low: v[0], High: v[1]}
		},
		func(r periodize.SetRange) (periodize.Muscle, [2]int) { return r.Muscle, [2]int{r.Low, r.High} })
}

// reserveKind is bounds of the predicted reserve.
func reserveKind() kind[periodize.ReserveSpan] {
	k := ascending(two(number(0, 30, " repetitions"), "the least and the most repetitions in reserve, such as [1, 4]"), plates.Ratio.Cmp)
	return kind[periodize.ReserveSpan]{
		want:   k.want,
		schema: k.schema,
		read: func(p place) (periodize.ReserveSpan, bool) {
			v, ok := k.read(p)
			return periodize.ReserveSpan{Low: v[0], High: v[1]}, ok
		},
		write: func(e *encoder, r periodize.ReserveSpan) *tree { return k.write(e, [2]plates.Ratio{r.Low, r.High}) },
	}
}

// overreachRecord is the planned peak of the volume.
func overreachRecord() *record[periodize.Overreach] {
	type O = periodize.Overreach
	return &record[O]{
		name: "overreach", doc: "The planned peak of the volume.",
		fields: []field[O]{
			required("week", whole(2, maxWeeks), "the week of the most sets", func(o *O) *int { return &o.Week }),
			required("rise", number(1, 300, " per cent"), "per cent over the sets of the first week", func(o *O) *plates.Ratio { return &o.Rise }),
		},
		check: func(p place, o *O, have keys) {
			if w := p.r.weeks; w > 0 && o.Week > w {
				p.at("week").fail("week %d is not in the block: want a week from 2 to %d", o.Week, w)
			}
		},
	}
}

// heavyRecord is the heaviest sets of the first week and the last.
func heavyRecord() *record[periodize.HeavySets] {
	type H = periodize.HeavySets
	return &record[H]{
		name: "heavy", doc: "The heaviest sets of the focus lifts.",
		fields: []field[H]{
			required("reps", two(whole(1, 20), "the repetitions in the first week and in the last, such as [6, 2]"), "repetitions in the first week and in the last", func(h *H) *[2]int { return &h.Reps }),
			required("rir", two(number(0, 10, " repetitions"), "the reserve in the first week and in the last, such as [2, 0.5]"), "repetitions in reserve in the first week and in the last", func(h *H) *[2]plates.Ratio { return &h.RIR }),
		},
	}
}
