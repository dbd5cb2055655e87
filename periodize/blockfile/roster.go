package blockfile

import (
	"slices"
	"time"

	"go.yaml.in/yaml/v3"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// The tables of a roster file.

const (
	maxGyms     = 500
	maxBars     = 100
	maxStations = 200
	maxLadder   = 1000 // weights of a station
	maxLifters  = 100_000
	maxDone     = 1000 // sets that a maximum is estimated from
	maxAdjust   = 10_000
)

// rosterRecord is the whole of a roster file. gymOnly leaves everything but
// the gym unread.
func rosterRecord(gymOnly bool) *record[periodize.Roster] {
	type R = periodize.Roster
	gym := gymKind()
	gyms := mapOf(name("the name of a gym"), gym, maxGyms, "a mapping of gyms",
		func(n string, g periodize.Gym, key place) periodize.Gym {
			g.Name, g.Pos = n, key.pos()
			return g
		},
		func(g periodize.Gym) (string, periodize.Gym) { return g.Name, g })
	single := func(r *R) bool { return len(r.Gyms) == 1 && r.Gyms[0].Name == "" }
	rec := &record[R]{
		name: "roster", doc: "Who does a block, and with what.", block: true,
		groups: []group{{keys: []string{"gym", "gyms"}, must: true, what: "gym"}},
		start:  func(p place, r *R) { r.Pos = p.pos() },
	}
	rec.fields = []field[R]{
		{
			key: "gym", doc: "the equipment, where there is one gym", want: gym.want, schema: gym.schema,
			read: func(p place, r *R) {
				g, ok := gym.read(p)
				if ok {
					r.Gyms = []periodize.Gym{g}
				}
				p.r.gyms, p.r.gymsRead = r.Gyms, ok
			},
			write: func(e *encoder, r *R) *tree {
				if !single(r) {
					return nil
				}
				return gym.write(e, r.Gyms[0])
			},
		},
		{
			key: "gyms", doc: "the equipment of several gyms, by name", want: gyms.want, schema: gyms.schema,
			read: func(p place, r *R) {
				gs, ok := gyms.read(p)
				if ok {
					r.Gyms = gs
				}
				// A gym that could not be read is still there to be named.
				p.r.gyms, p.r.gymsRead = gs, ok && len(gs) == len(p.node.Content)/2
			},
			write: func(e *encoder, r *R) *tree {
				if single(r) || len(r.Gyms) == 0 {
					return nil
				}
				return lines(gyms).write(e, r.Gyms)
			},
		},
		at("start", date(), "day 1 of week 1; default none, or the day that the test day is counted back to", func(r *R) *time.Time { return &r.Start }),
		at("test", date(), "day of the test or meet", func(r *R) *time.Time { return &r.Test }),
		required("lifters", lines(listOf(lifterKind(), maxLifters, "a list of lifters", nil)), "the people", func(r *R) *[]periodize.Lifter { return &r.Lifters }),
	}
	if gymOnly {
		for i := range rec.fields {
			f := &rec.fields[i]
			if f.key != "gym" && f.key != "gyms" {
				f.must, f.read = false, func(place, *R) {}
			}
		}
		return rec
	}
	rec.check = func(p place, r *R, have keys) {
		if t, ok := p.find("test"); ok && !r.Test.IsZero() {
			r.TestPos = t.pos()
			if !r.Start.IsZero() && !r.Test.After(r.Start) {
				t.fail("want a day after the start, %s, got %q", r.Start.Format(time.DateOnly), t.node.Value)
			}
		}
		seen := make(map[string]int, len(r.Lifters))
		for i := range r.Lifters {
			l := &r.Lifters[i]
			if first, twice := seen[l.Name]; twice && l.Name != "" {
				p.failPos(l.Pos, &path{up: &path{up: &path{key: "lifters"}, index: i}, key: "name"}, "a second lifter called %q, the first is in line %d: want names that differ", l.Name, first)
				continue
			}
			seen[l.Name] = l.Pos.Line
		}
	}
	return rec
}

// gymKind is a gym, whose bare masses are in its own unit.
func gymKind() kind[periodize.Gym] {
	k := gymRecord().kind()
	write := k.write
	k.write = func(e *encoder, g periodize.Gym) *tree {
		own := *e
		own.unit = g.Unit
		return write(&own, g)
	}
	return k
}

// gymRecord is the equipment of one place.
func gymRecord() *record[periodize.Gym] {
	type G = periodize.Gym
	rec := &record[G]{
		name: "gym", doc: "The equipment of one place.", block: true,
		fields: []field[G]{
			unitsField(true, "unit of the bare masses of the gym and its lifters, and of what is printed", func(g *G) *plates.Unit { return &g.Unit }),
			at("bars", barsKind(), "the bars by name", func(g *G) *[]periodize.Bar { return &g.Bars }),
			at("collars", mass(0, 20), "mass of both collars together; default 0", func(g *G) *plates.Mass { return &g.Collars }),
			platesField(),
			at("stations", stationsKind(), "what has weights of its own, by name: dumbbells, a stack, fixed barbells. Of dumbbells it is the mass in each hand, which maxima, sheets, logs and tonnage go by: of a pair, tonnage counts one", func(g *G) *[]periodize.Station { return &g.Stations }),
		},
		start: func(p place, g *G) {
			g.Pos = p.pos()
			// Where units is missing that is said once, not at each mass.
			p.r.unit, p.r.units = plates.KG, true
		},
		extra: func(*schemas) object {
			return object{{"anyOf", anyOf("bars", "stations")}, {"dependentRequired", object{{"bars", []string{"plates"}}}}}
		},
		check: func(p place, g *G, have keys) {
			if !have["bars"] && !have["stations"] {
				p.fail("a gym without equipment: want bars or stations")
			}
			if have["bars"] && !have["plates"] {
				p.fail("plates is missing: want the plates that go on the bars")
			}
			for _, s := range g.Stations {
				if slices.ContainsFunc(g.Bars, func(b periodize.Bar) bool { return b.Name == s.Name }) {
					p.at("stations").at(s.Name).fail("a bar has the same name: want names that differ")
				}
			}
		},
	}
	return rec
}

// equipmentName is the name of a bar or station.
func equipmentName(what string) kind[string] {
	k := name(what)
	read := k.read
	k.read = func(p place) (string, bool) {
		s, ok := read(p)
		if ok && s == usesNone {
			p.fail("%q means no equipment: want another name", usesNone)
			return s, false
		}
		return s, ok
	}
	return k
}

// barsKind is the bars of a gym, each a mass or a mapping.
func barsKind() kind[[]periodize.Bar] {
	type B = periodize.Bar
	m := aboveZero()
	rec := &record[B]{
		name: "bar", doc: "A bar of the gym.",
		fields: []field[B]{
			required("mass", m, "mass without collars", func(b *B) *plates.Mass { return &b.Mass }),
			optional("collars", mass(0, 20), "mass of both its collars together; default that of the gym", func(b *B) **plates.Mass { return &b.Collars }),
			at("have", whole(1, periodize.MaxBars), "how many there are; default 1", func(b *B) *int { return &b.Have }),
		},
	}
	want := "a mass, or a mapping with mass, collars and have"
	value := kind[B]{
		want:   want,
		schema: func(s *schemas) object { return object{{"oneOf", []object{m.schema(s), rec.schema(s)}}} },
		read: func(p place) (B, bool) {
			if p.node.Kind != yaml.ScalarNode {
				return B{}, p.want(want)
			}
			v, ok := m.read(p)
			return B{Mass: v}, ok
		},
		write: func(e *encoder, b B) *tree {
			if b.Collars == nil && b.Have == 0 {
				return m.write(e, b.Mass)
			}
			return rec.tree(e, b)
		},
	}
	value.read = into(rec, value.read)
	return mapOf(equipmentName("the name of a bar"), value, maxBars, "a mapping of bars",
		func(n string, b B, _ place) B { b.Name = n; return b },
		func(b B) (string, B) { return b.Name, b })
}

// into reads mappings by a record and everything else by read.
func into[T any](rec *record[T], read func(place) (T, bool)) func(place) (T, bool) {
	return func(p place) (T, bool) {
		if p.node.Kind == yaml.MappingNode {
			var t T
			ok := rec.readInto(p, &t)
			return t, ok
		}
		return read(p)
	}
}

// stationsKind is the stations of a gym.
func stationsKind() kind[[]periodize.Station] {
	type S = periodize.Station
	list := listOf(mass(0, maxMass), maxLadder, "a list of masses", nil)
	rec := &record[S]{
		name: "station", doc: "What has weights of its own: a ladder {from, to, step}, or a list.",
		fields: []field[S]{
			at("from", mass(0, maxMass), "lightest weight", func(s *S) *plates.Mass { return &s.From }),
			at("to", mass(0, maxMass), "heaviest weight", func(s *S) *plates.Mass { return &s.To }),
			at("step", aboveZero(), "from weight to weight", func(s *S) *plates.Mass { return &s.Step }),
			at("list", list, "the weights one by one, ascending", func(s *S) *[]plates.Mass { return &s.List }),
			at("add", listOf(aboveZero(), 20, "a list of masses", nil), "small weights that can be hung on, each at most once", func(s *S) *[]plates.Mass { return &s.Add }),
			at("assist", boolean(), "its weights take load off a bodyweight lift; default false", func(s *S) *bool { return &s.Assist }),
		},
		extra: func(*schemas) object {
			return object{{"oneOf", []object{
				{{"required", []string{"list"}}, {"not", object{{"anyOf", anyOf("from", "to", "step")}}}},
				{{"required", []string{"from", "to", "step"}}, {"not", object{{"required", []string{"list"}}}}},
			}}}
		},
		check: func(p place, s *S, have keys) {
			ladder := have["from"] || have["to"] || have["step"]
			switch {
			case ladder && have["list"]:
				p.at("list").fail("cannot stand beside from, to and step: want a ladder or a list")
			case !ladder && !have["list"]:
				p.fail("no weights: want from, to and step, or list")
			case ladder:
				for _, k := range []string{"from", "to", "step"} {
					if !have[k] {
						p.fail("%s is missing: want from, to and step, or list", k)
						return
					}
				}
				if s.Step > 0 && s.To < s.From {
					p.at("to").fail("want a mass of at least from, got %s", p.at("to").got())
				} else if s.Step > 0 && (s.To-s.From)/s.Step >= maxLadder {
					p.at("step").fail("want at most %d weights from %s to %s", maxLadder, p.at("from").got(), p.at("to").got())
				}
			}
			items := p.entries("list")
			for i := 1; i < len(s.List) && len(items) == len(s.List); i++ {
				if s.List[i] <= s.List[i-1] {
					items[i].fail("want a mass above the one before it, got %s", items[i].got())
				}
			}
		},
	}
	// A ladder has both ends, be they nothing.
	for i := range rec.fields[:2] {
		f := &rec.fields[i]
		write := f.write
		f.write = func(e *encoder, s *S) *tree {
			if t := write(e, s); t != nil || s.Step == 0 {
				return t
			}
			return plain("0")
		}
	}
	return mapOf(equipmentName("the name of a station"), rec.kind(), maxStations, "a mapping of stations",
		func(n string, s S, _ place) S { s.Name = n; return s },
		func(s S) (string, S) { return s.Name, s })
}

// lifterKind is one person.
func lifterKind() kind[periodize.Lifter] {
	type L = periodize.Lifter
	rec := &record[L]{
		name: "lifter", doc: "One person.", block: true,
		fields: []field[L]{
			required("name", name("a name"), "name", func(l *L) *string { return &l.Name }),
			gymField(),
			at("level", words(periodize.Levels()), "how long and how well trained; default intermediate", func(l *L) *periodize.Level { return &l.Level }),
			at("age", whole(periodize.MinAge, periodize.MaxAge), "years; chooses cautions", func(l *L) *int { return &l.Age }),
			at("sex", words(periodize.Sexes()), "kept for programs that read the roster; no number here differs by it", func(l *L) *periodize.Sex { return &l.Sex }),
			at("bodyweight", mass(inKilograms(periodize.MinBodyweight), inKilograms(periodize.MaxBodyweight)), "required where a lift counts bodyweight", func(l *L) *plates.Mass { return &l.Bodyweight }),
			at("maxes", maxesKind(), "what is known of the lifter's maxima, by lift: a tested maximum, a maximum with its interval and date, or a set or a list of sets that it is estimated from", func(l *L) *[]periodize.MaxEntry { return &l.Maxes }),
			at("working_max", number(1, 120, " per cent"), "per cent of the maximum that percentages apply to; default 100", func(l *L) *plates.Ratio { return &l.WorkingMax }),
			at("rounding", roundingKind(), "of weights to what is loadable; default nearest", func(l *L) *plates.Rounding { return &l.Rounding }),
			at("aim", words(periodize.Aims()), "the part of the predicted weight that sets by rir or rpe start from; default lower for novices, middle otherwise", func(l *L) *periodize.Aim { return &l.Aim }),
			at("volume", number(1, 300, " per cent"), "per cent of each item's sets; default 100", func(l *L) *plates.Ratio { return &l.Volume }),
			optional("recent", recentRecord().kind(), "what was done before the block, which the first week's jump is judged by", func(l *L) **periodize.Recent { return &l.Recent }),
			at("swap", swapKind(), "lifts of the block that are replaced by others of the block", func(l *L) *[]periodize.Swap { return &l.Swaps }),
			at("adjust", listOf(adjustRecord().kind(), maxAdjust, "a list of changes", nil), "changes of one lift in one week", func(l *L) *[]periodize.Adjustment { return &l.Adjust }),
		},
		start: func(p place, l *L) { l.Pos = p.pos() },
	}
	k := rec.kind()
	k.write = func(e *encoder, l L) *tree {
		own := *e
		if g, ok := e.gym(l.Gym); ok {
			own.unit = g.Unit
		}
		return rec.tree(&own, l)
	}
	read := k.read
	k.read = func(p place) (L, bool) {
		// The unit of the lifter's bare masses is that of the gym, which the
		// field gym changes; where that cannot be known, it has been said.
		p.r.unit, p.r.units = plates.KG, true
		if len(p.r.gyms) > 0 {
			p.r.unit = p.r.gyms[0].Unit
		}
		if _, named := p.find("gym"); !named && len(p.r.gyms) > 1 && p.node.Kind == yaml.MappingNode {
			p.fail("gym is missing: want %s", oneOf(p.r.gymNames()))
		}
		return read(p)
	}
	return k
}

func (r *reader) gymNames() []string {
	out := make([]string, len(r.gyms))
	for i := range r.gyms {
		out[i] = r.gyms[i].Name
	}
	return out
}

// gymField is the gym of a lifter.
func gymField() field[periodize.Lifter] {
	f := at("gym", name("the name of a gym"), "where there are several gyms, the lifter's", func(l *periodize.Lifter) *string { return &l.Gym })
	read := f.read
	f.read = func(p place, l *periodize.Lifter) {
		read(p, l)
		if l.Gym == "" || !p.r.gymsRead {
			return
		}
		for i := range p.r.gyms {
			if p.r.gyms[i].Name == l.Gym {
				p.r.unit = p.r.gyms[i].Unit
				return
			}
		}
		if len(p.r.gyms) == 1 && p.r.gyms[0].Name == "" {
			p.fail("the roster has one gym, without a name: leave this out, or name the gyms under gyms")
			return
		}
		p.fail("there is no gym %q: %s", l.Gym, nearest(l.Gym, p.r.gymNames()))
	}
	return f
}

// roundingKind is a direction of rounding.
func roundingKind() kind[plates.Rounding] {
	all := []plates.Rounding{plates.Down, plates.Nearest, plates.Up}
	names := make([]string, len(all))
	for i, r := range all {
		names[i] = r.String()
	}
	return kind[plates.Rounding]{
		want:   oneOf(names),
		schema: func(*schemas) object { return object{{"enum", names}} },
		read: func(p place) (plates.Rounding, bool) {
			s, ok := p.word(oneOf(names), names)
			return all[max(slices.Index(names, s), 0)], ok
		},
		write: func(_ *encoder, r plates.Rounding) *tree { return plain(r.String()) },
	}
}

// addedMass is a mass on a lift, below zero where it is taken off bodyweight.
func addedMass() kind[plates.Mass] { return mass(inKilograms(periodize.MinAdded), maxMass) }

// doneRecord is a set that was lifted.
func doneRecord() *record[periodize.DoneSet] {
	type D = periodize.DoneSet
	rpe := number(5, 10, "")
	return &record[D]{
		name: "set", doc: "A set that was lifted.",
		fields: []field[D]{
			required("load", addedMass(), "mass; of a lift that counts bodyweight, what was added to it", func(d *D) *plates.Mass { return &d.Load }),
			required("reps", whole(1, maxReps), "repetitions", func(d *D) *int { return &d.Reps }),
			optional("rir", number(0, 30, " repetitions"), "repetitions that were left in reserve", func(d *D) **plates.Ratio { return &d.RIR }),
			{
				key: "rpe", doc: "rating of perceived exertion, which is 10 less rir", want: rpe.want, schema: rpe.schema,
				read: func(p place, d *D) {
					if v, ok := rpe.read(p); ok {
						rir := plates.WholeRatio(10).Sub(v)
						d.RIR = &rir
					}
				},
				write: func(*encoder, *D) *tree { return nil }, // as rir
			},
			at("date", date(), "day", func(d *D) *time.Time { return &d.Date }),
		},
		groups: []group{{keys: []string{"rir", "rpe"}}},
	}
}

// knownRecord is a maximum that is known from elsewhere, such as one that `next` has followed through a log.
func knownRecord() *record[periodize.MaxEntry] {
	type M = periodize.MaxEntry
	end := func(key, doc string, held func(*M) *plates.Mass) field[M] {
		f := at(key, addedMass(), doc, held)
		f.write = func(e *encoder, m *M) *tree {
			if !m.Estimated() {
				return nil
			}
			return addedMass().write(e, *held(m)) // 0 too: nothing added
		}
		return f
	}
	return &record[M]{
		name: "known maximum", doc: "A maximum with what else is known of it. With low and high it is an estimate, without them it was tested.",
		fields: []field[M]{
			required("max", addedMass(), "the maximum; of a lift that counts bodyweight, what is added to it", func(m *M) *plates.Mass { return &m.Tested }),
			end("low", "where its 90 per cent interval begins", func(m *M) *plates.Mass { return &m.Low }),
			end("high", "where its 90 per cent interval ends", func(m *M) *plates.Mass { return &m.High }),
			at("date", date(), "the day that it holds for; a log's sets of later days move it on", func(m *M) *time.Time { return &m.Date }),
		},
		extra: func(*schemas) object {
			return object{{"dependentRequired", object{{"low", []string{"high"}}, {"high", []string{"low"}}}}}
		},
		check: func(p place, m *M, have keys) {
			switch {
			case have["low"] != have["high"]:
				p.fail("want low and high together, or neither")
			case m.Low == 0 || m.High == 0: // wrong, and said; or nothing added, which Compile looks at
			case m.Low >= m.High:
				p.at("high").fail("want a mass above low, %s, got %s", p.at("low").got(), p.at("high").got())
			case m.Tested != 0 && (m.Tested < m.Low || m.Tested > m.High):
				p.at("max").fail("want a mass from low to high, %s to %s, got %s", p.at("low").got(), p.at("high").got(), p.at("max").got())
			}
		},
	}
}

// maxesKind is what is known of a lifter's maxima.
func maxesKind() kind[[]periodize.MaxEntry] {
	type M = periodize.MaxEntry
	tested, known, set := addedMass(), knownRecord(), doneRecord()
	sets := listOf(set.kind(), maxDone, "a list of sets", nil)
	want := "a mass, {max, low, high, date}, a set {load, reps, rir} or a list of sets"
	value := kind[M]{
		want: want,
		schema: func(s *schemas) object {
			return object{{"oneOf", []object{tested.schema(s), known.schema(s), set.schema(s), sets.schema(s)}}}
		},
		read: func(p place) (m M, ok bool) {
			switch p.node.Kind {
			case yaml.MappingNode:
				if _, ok := p.find("max"); ok {
					ok = known.readInto(p, &m)
					return m, ok
				}
				var d periodize.DoneSet
				ok = set.readInto(p, &d)
				m.Sets = []periodize.DoneSet{d}
			case yaml.SequenceNode:
				m.Sets, ok = sets.read(p)
			default:
				if isNull(p.node) {
					return m, p.want(want)
				}
				m.Tested, ok = tested.read(p)
			}
			return m, ok
		},
		write: func(e *encoder, m M) *tree {
			switch len(m.Sets) {
			case 0:
				if m.Estimated() || !m.Date.IsZero() {
					return known.tree(e, m)
				}
				return tested.write(e, m.Tested)
			case 1:
				return set.tree(e, m.Sets[0])
			}
			return sets.write(e, m.Sets)
		},
	}
	return lines(mapOf(name("the name of a lift"), value, maxLifts, "a mapping of lifts",
		func(n string, m M, key place) M {
			m.Lift, m.Pos = n, key.pos()
			return m
		},
		func(m M) (string, M) { return m.Lift, m }))
}

// recentRecord is what a lifter did before the block.
func recentRecord() *record[periodize.Recent] {
	type R = periodize.Recent
	return &record[R]{
		name: "recent training", doc: "What a lifter did before the block.",
		fields: []field[R]{
			optional("weekly_sets", whole(0, 1000), "sets a week; 0 for none", func(r *R) **int { return &r.WeeklySets }),
			at("last_trained", date(), "day of the last session", func(r *R) *time.Time { return &r.LastTrained }),
		},
		extra: func(*schemas) object { return object{{"minProperties", 1}} },
		check: func(p place, r *R, have keys) {
			if !have["weekly_sets"] && !have["last_trained"] {
				p.fail("says nothing: want weekly_sets or last_trained")
			}
		},
	}
}

// swapKind is lifts that are replaced by others.
func swapKind() kind[[]periodize.Swap] {
	return mapOf(name("the name of a lift"), name("the name of a lift"), maxLifts, "a mapping of lifts to lifts",
		func(from, to string, key place) periodize.Swap {
			if from == to {
				key.fail("%q is replaced by itself: want another lift, or the swap left out", from)
			}
			return periodize.Swap{From: from, To: to, Pos: key.pos()}
		},
		func(s periodize.Swap) (string, string) { return s.From, s.To })
}

// adjustRecord is a change of one lift in one week.
func adjustRecord() *record[periodize.Adjustment] {
	type A = periodize.Adjustment
	return &record[A]{
		name: "adjustment", doc: "A change of one lift in one week.",
		fields: []field[A]{
			required("week", whole(1, maxWeeks+maxDeload), "week of the block", func(a *A) *int { return &a.Week }),
			required("lift", name("the name of a lift"), "lift of the block", func(a *A) *string { return &a.Lift }),
			at("percent", number(-90, 100, " per cent"), "change of the weight, in per cent of itself", func(a *A) *plates.Ratio { return &a.Percent }),
			at("sets", whole(-50, 50), "change of the number of sets", func(a *A) *int { return &a.Sets }),
			at("why", note(), "the reason, to print", func(a *A) *string { return &a.Why }),
		},
		start: func(p place, a *A) { a.Pos = p.pos() },
		extra: func(*schemas) object { return object{{"anyOf", anyOf("percent", "sets")}} },
		check: func(p place, a *A, have keys) {
			if !have["percent"] && !have["sets"] {
				p.fail("changes nothing: want percent or sets")
			}
		},
	}
}
