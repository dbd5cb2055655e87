package blockfile

import (
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// The tables of a block file.

// The most entries of the lists of a file; beyond what anybody writes.
const (
	maxLifts    = 500
	maxSessions = 1000
	maxWork     = 100
	maxEach     = 50
)

// blockRecord is the whole of a block file.
func blockRecord() *record[periodize.Block] {
	type B = periodize.Block
	return &record[B]{
		name: "block", doc: "What is to be done over some weeks, for nobody in particular.", block: true,
		fields: []field[B]{
			required("block", name("a title"), "title", func(b *B) *string { return &b.Title }),
			weeksField("length in weeks; deload weeks of finish come on top", func(b *B) *int { return &b.Weeks }),
			unitsField(false, "unit of the bare masses of this file", func(b *B) *plates.Unit { return &b.Unit }),
			at("goal", words(periodize.Goals()), "what the block is for, which says which checks apply; default develop", func(b *B) *periodize.Goal { return &b.Goal }),
			at("focus", focusKind(), "the lifts in front, usually one for the lower body and one for the upper", func(b *B) *[]string { return &b.Focus }),
			at("note", note(), "a note to print", func(b *B) *string { return &b.Note }),
			required("lifts", liftsKind(), "the movements that the block uses, by name", func(b *B) *[]periodize.Lift { return &b.Lifts }),
			required("sessions", listOf(sessionRecord().kind(), maxSessions, "a list of sessions", nil), "one week's sessions; every week repeats them with its own numbers", func(b *B) *[]periodize.Session { return &b.Sessions }),
			at("finish", finishRecord().kind(), "what follows the last week", func(b *B) *periodize.Finish { return &b.Finish }),
		},
		start: func(p place, b *B) {
			b.Pos = p.pos()
			p.r.block = b
			p.r.noUnits = noUnits
			p.r.nameLifts(p)
		},
		check: func(p place, b *B, have keys) {
			sameNames(p, b)
			if b.Finish.Test && len(b.Focus) == 0 && !have["focus"] && len(b.Finish.Lifts) == 0 {
				p.at("finish").at("test").fail("a test day is for the focus lifts, and there are none: want focus, lifts beside test, or no test")
			}
		},
	}
}

// noUnits is what is said of a bare mass in a file that has no units.
const noUnits = "write it as 60kg or 45lb, or give units at the top of the file"

// nameLifts notes the names of a file's lifts before anything that refers to
// them is read.
func (r *reader) nameLifts(p place) {
	lifts, ok := p.find("lifts")
	if !ok || lifts.node.Kind != yaml.MappingNode {
		return
	}
	r.lifts, r.hasLift = nil, map[string]bool{}
	for i := 0; i+1 < len(lifts.node.Content); i += 2 {
		if n := lifts.node.Content[i].Value; !r.hasLift[n] {
			r.lifts = append(r.lifts, n)
			r.hasLift[n] = true
		}
	}
}

// weeksField is the length of a block, which the length of tracks is checked
// against.
func weeksField[T any](doc string, held func(*T) *int) field[T] {
	f := required("weeks", whole(1, maxWeeks), doc, held)
	read := f.read
	f.read = func(p place, t *T) {
		read(p, t)
		p.r.weeks = *held(t)
	}
	return f
}

// unitKind is a unit of mass.
func unitKind() kind[plates.Unit] {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.String()
	}
	return kind[plates.Unit]{
		want:   oneOf(names),
		schema: func(*schemas) object { return object{{"enum", names}} },
		read: func(p place) (plates.Unit, bool) {
			s, ok := p.word(oneOf(names), names)
			return units[max(slices.Index(names, s), 0)], ok
		},
		write: func(_ *encoder, u plates.Unit) *tree { return plain(u.String()) },
	}
}

// unitsField is the unit of the bare masses that follow it in the table.
func unitsField[T any](must bool, doc string, held func(*T) *plates.Unit) field[T] {
	f := required("units", unitKind(), doc, held)
	f.must = must
	read := f.read
	f.read = func(p place, t *T) {
		read(p, t)
		p.r.unit, p.r.units = *held(t), true
	}
	return f
}

// focusKind is the lifts in front.
func focusKind() kind[[]string] {
	return listOf(liftName(), 10, "a list of lifts", func(s string) string { return s })
}

// usesNone is what a file writes for a lift that uses nothing.
const usesNone = "none"

// unread is what a lift uses when the file does not say it rightly, so that no
// error about its weights follows from that one.
const unread = "\x00"

// liftRecord is a lift of a block or brief.
func liftRecord() *record[periodize.Lift] {
	type L = periodize.Lift
	uses := name("the name of a bar or a station of the gym, or none")
	readUses, writeUses := uses.read, uses.write
	uses.read = func(p place) (string, bool) {
		s, ok := readUses(p)
		if s == usesNone {
			s = ""
		}
		return s, ok
	}
	uses.write = func(e *encoder, s string) *tree {
		if s == "" {
			s = usesNone
		}
		return writeUses(e, s)
	}
	return &record[L]{
		name: "lift", doc: "A movement.",
		fields: []field[L]{
			required("pattern", words(periodize.Patterns()), "movement pattern", func(l *L) *periodize.Pattern { return &l.Pattern }),
			at("region", words(periodize.Regions()), "part of the body; follows from the pattern except for carry, trunk and isolation, where it is required", func(l *L) *periodize.Region { return &l.Region }),
			at("muscles", musclesKind(part(), func(m periodize.Muscle, f float64) periodize.Share { return periodize.Share{Muscle: m, Part: f} },
				func(s periodize.Share) (periodize.Muscle, float64) { return s.Muscle, s.Part }),
				"the share of a set that counts for each muscle", func(l *L) *[]periodize.Share { return &l.Muscles }),
			required("uses", uses, "the bar or station of the gym that it is loaded on, or none", func(l *L) *string { return &l.Uses }),
			at("curve", name("the name of a repetitions-%1RM relation"), "relation of repetitions to per cent of the maximum, by name; default general", func(l *L) *string { return &l.Curve }),
			at("tempo", tempo(), "seconds that a repetition takes, or its four phases, which are summed", func(l *L) *float64 { return &l.Tempo }),
			optional("max", maxFromRecord().kind(), "where the maximum comes from when the lifter has none for this lift", func(l *L) **periodize.MaxFrom { return &l.Max }),
			at("bodyweight_share", number(0, 100, " per cent"), "per cent of bodyweight that counts as load; default 0", func(l *L) *plates.Ratio { return &l.BodyweightShare }),
		},
		start: func(p place, l *L) { l.Uses = unread },
		extra: func(*schemas) object {
			var open []string
			for _, p := range periodize.Patterns() {
				if _, follows := p.Region(); !follows {
					open = append(open, string(p))
				}
			}
			return object{
				{"if", object{{"properties", object{{"pattern", object{{"enum", open}}}}}, {"required", []string{"pattern"}}}},
				{"then", object{{"required", []string{"region"}}}},
			}
		},
		check: func(p place, l *L, have keys) {
			region, follows := l.Pattern.Region()
			switch {
			case l.Pattern == "":
			case !follows && !have["region"]:
				p.fail("region is missing: want %s, since pattern %s does not say", oneOf(strs(periodize.Regions())), l.Pattern)
			case follows && l.Region != "" && l.Region != region:
				p.at("region").fail("want %s, which follows from pattern %s, got %q", region, l.Pattern, string(l.Region))
			}
		},
	}
}

func strs[S ~string](list []S) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = string(s)
	}
	return out
}

// musclesKind is something for each of some muscles.
func musclesKind[V, T any](value kind[V], join func(periodize.Muscle, V) T, split func(T) (periodize.Muscle, V)) kind[[]T] {
	muscle := words(periodize.Muscles())
	list := muscle.schema
	muscle.schema = func(s *schemas) object { return s.define("muscle", list(s)) }
	return mapOf(muscle, value, len(periodize.Muscles()), "a mapping of muscles",
		func(m periodize.Muscle, v V, _ place) T { return join(m, v) }, split)
}

// maxFromRecord derives a maximum from another lift's.
func maxFromRecord() *record[periodize.MaxFrom] {
	type M = periodize.MaxFrom
	return &record[M]{
		name: "share of a maximum", doc: "A maximum taken from another lift's: a share of it, and a mass that is added.",
		fields: []field[M]{
			required("of", liftName(), "the other lift", func(m *M) *string { return &m.Of }),
			required("percent", number(1, 300, " per cent"), "per cent of its maximum", func(m *M) *plates.Ratio { return &m.Percent }),
			at("plus", mass(-500, 500), "a mass that is added; default 0", func(m *M) *plates.Mass { return &m.Plus }),
		},
	}
}

// liftsKind is the lifts of a block or brief.
func liftsKind() kind[[]periodize.Lift] {
	k := mapOf(name("the name of a lift"), liftRecord().kind(), maxLifts, "a mapping of lifts",
		func(n string, l periodize.Lift, key place) periodize.Lift {
			l.Name, l.Pos = n, key.pos()
			return l
		},
		func(l periodize.Lift) (string, periodize.Lift) { return l.Name, l })
	read := k.read
	k.read = func(p place) ([]periodize.Lift, bool) {
		lifts, ok := read(p)
		circles(p, lifts)
		return lifts, ok
	}
	return lines(k)
}

// circles reports maxima that are a share of themselves.
func circles(p place, lifts []periodize.Lift) {
	of := make(map[string]string, len(lifts))
	for i := range lifts {
		if m := lifts[i].Max; m != nil && m.Of != "" {
			of[lifts[i].Name] = m.Of
		}
	}
	done := map[string]bool{}
	for i := range lifts {
		chain := []string{}
		for n := lifts[i].Name; n != "" && !done[n]; n = of[n] {
			if k := slices.Index(chain, n); k >= 0 {
				circle := append(slices.Clone(chain[k:]), n)
				p.at(n).at("max").at("of").fail("the maximum is a share of itself (%s): want one of them without max", strings.Join(circle, " of "))
				break
			}
			chain = append(chain, n)
		}
		for _, n := range chain {
			done[n] = true
		}
	}
}

// days are the names of the days in a file, from Monday.
var days = [...]string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// dayKind is a day of the week.
func dayKind() kind[time.Weekday] {
	want := oneOf(days[:])
	return kind[time.Weekday]{
		want:   want,
		schema: func(*schemas) object { return object{{"enum", days[:]}} },
		read: func(p place) (time.Weekday, bool) {
			s, ok := p.word(want, days[:])
			return time.Weekday((slices.Index(days[:], s) + 1) % 7), ok
		},
		write: func(_ *encoder, d time.Weekday) *tree { return plain(days[(int(d)+6)%7]) },
	}
}

// sessionRecord is a session of the week.
func sessionRecord() *record[periodize.Session] {
	type S = periodize.Session
	return &record[S]{
		name: "session", doc: "A training session of the week.", block: true,
		fields: []field[S]{
			required("name", name("a name"), "name; two sessions of one name must not share a week", func(s *S) *string { return &s.Name }),
			optional("day", dayKind(), "day of the week; the default spreads the sessions over the week", func(s *S) **time.Weekday { return &s.Day }),
			at("limit", duration(periodize.MinLimit, periodize.MaxLimit), "how long it may take", func(s *S) *time.Duration { return &s.Limit }),
			at("weeks", weekSet(), "the weeks that have it; default all", func(s *S) *periodize.WeekSet { return &s.Weeks }),
			at("note", note(), "a note to print", func(s *S) *string { return &s.Note }),
			required("work", listOf(itemRecord().kind(), maxWork, "a list of exercises", nil), "the exercises in their order", func(s *S) *[]periodize.Item { return &s.Work }),
		},
		start: func(p place, s *S) { s.Pos = p.pos() },
	}
}

// sameNames reports sessions that have a week and a name in common.
func sameNames(p place, b *periodize.Block) {
	items := p.entries("sessions")
	if len(items) != len(b.Sessions) {
		return // some could not be read
	}
	byName := map[string][]int{}
	for i := range b.Sessions {
		s := &b.Sessions[i]
		if s.Name == "" {
			continue
		}
		for _, k := range byName[s.Name] {
			if w := commonWeek(s.Weeks, b.Sessions[k].Weeks, b.Weeks); w > 0 {
				items[i].at("name").fail("a session before it is also called %q and both are in week %d: want another name, or other weeks", s.Name, w)
				break
			}
		}
		byName[s.Name] = append(byName[s.Name], i)
	}
}

func commonWeek(a, b periodize.WeekSet, weeks int) int {
	for w := 1; w <= weeks; w++ {
		if a.Has(w) && b.Has(w) {
			return w
		}
	}
	return 0
}

// Kinds of tracks.
func setsCell() cell    { return counts("sets track", 0, 100) }
func percentCell() cell { return numbers("percent track", 1, 150, " per cent") }
func reserveCell() cell { return numbers("reserve track", 0, 30, " repetitions") }
func rpeCell() cell     { return numbers("rpe track", 5, 10, "") }
func dropCell() cell    { return numbers("drop track", 0, 99, " per cent") }
func stepCell() cell    { return numbers("step track", 1, 50, " percentage points") }
func secondsCell() cell { return counts("seconds track", 1, 7200) }
func metresCell() cell  { return numbers("metres track", 1, 100000, " metres") }

// The keys of one way each of saying how much a set is and how heavy.
var (
	amountKeys = []string{"reps", "seconds", "metres"}
	weightKeys = []string{"percent", "rir", "rpe", "load"}
)

// workFields are the fields of a number of sets, in an item and in an entry of
// each; only the latter has drop.
func workFields(drop bool) []field[periodize.Work] {
	type W = periodize.Work
	f := []field[W]{
		at("sets", track(setsCell()), "number of sets; 0 leaves the exercise out that week; default 1", func(w *W) *periodize.Track { return &w.Sets }),
		repsField("repetitions of a set, or a range, whose upper end the weight is for", false, func(w *W) (high, low *periodize.Track) { return &w.Reps, &w.RepsLow }),
		at("seconds", track(secondsCell()), "how long a set lasts, in seconds", func(w *W) *periodize.Track { return &w.Seconds }),
		at("metres", track(metresCell()), "how far a set goes, in metres", func(w *W) *periodize.Track { return &w.Metres }),
		at("sides", whole(1, 2), "2 for one side at a time, the repetitions being those of a side; default 1", func(w *W) *int { return &w.Sides }),
		weightField(periodize.ByPercent, percentCell(), "weight in per cent of the working maximum"),
		weightField(periodize.ByRIR, reserveCell(), "weight by the repetitions left in reserve"),
		weightField(periodize.ByRPE, rpeCell(), "weight by the rating of perceived exertion, which is 10 less the reserve"),
		weightField(periodize.ByLoad, masses(), "the weight itself"),
	}
	if drop {
		f = append(f, weightField(periodize.ByDrop, dropCell(), "per cent under the item's heaviest set"))
	}
	return append(f, at("rest", track(rests()), "rest after each set; the default is that of the role", func(w *W) *periodize.Track { return &w.Rest }))
}

// eachRecord is an entry of each.
func eachRecord() *record[periodize.Work] {
	return &record[periodize.Work]{
		name: "sets of an item", doc: "One set, or some equal ones, of an exercise that is given set by set.",
		fields: workFields(true),
		groups: []group{
			{keys: amountKeys, must: true, what: "amount"},
			{keys: append(slices.Clone(weightKeys), "drop")},
		},
	}
}

// itemRecord is an exercise of a session.
func itemRecord() *record[periodize.Item] {
	type I = periodize.Item
	pair := name("one capital letter")
	pair.schema = func(*schemas) object {
		return object{{"type", "string"}, {"pattern", "^[A-Z]$"}, {"examples", []string{"A"}}}
	}
	readPair := pair.read
	pair.read = func(p place) (string, bool) {
		s, ok := readPair(p)
		if ok && (len(s) != 1 || s[0] < 'A' || s[0] > 'Z') {
			ok = p.want(pair.want)
		}
		return s, ok
	}
	fields := []field[I]{
		required("lift", liftName(), "a lift of the block", func(i *I) *string { return &i.Lift }),
		at("role", words(periodize.Roles()), "place in the session, which sets the default rest and the checks; default focus for the focus lifts, support for the rest", func(i *I) *periodize.Role { return &i.Role }),
		at("pair", pair, "exercises with the same letter alternate", func(i *I) *string { return &i.Pair }),
		at("weeks", weekSet(), "the weeks that have it; default all", func(i *I) *periodize.WeekSet { return &i.Weeks }),
		at("note", note(), "a note to print", func(i *I) *string { return &i.Note }),
	}
	fields = append(fields, within(workFields(false), func(i *I) *periodize.Work { return &i.Work })...)
	fields = append(fields,
		at("rir_of", words(periodize.ReserveOfs()), "the set that rir or rpe is the reserve of; default first", func(i *I) *periodize.ReserveOf { return &i.ReserveOf }),
		at("spread", number(0, 50, " percentage points"), "set-to-set change around the prescribed weight, from the lightest set to the heaviest, the mean kept", func(i *I) *plates.Ratio { return &i.Spread }),
		at("shape", words(periodize.Shapes()), "how the spread runs; default ramp", func(i *I) *periodize.Shape { return &i.Shape }),
		optional("build", buildRecord().kind(), "work up to a best set of the day, instead of sets", func(i *I) **periodize.Build { return &i.Build }),
		at("each", lines(listOf(eachRecord().kind(), maxEach, "a list of sets", nil)), "set by set, instead of sets, amount and weight", func(i *I) *[]periodize.Work { return &i.Each }),
		optional("final", finalRecord().kind(), "leaves the last main set open-ended", func(i *I) **periodize.Final { return &i.Final }),
		optional("backoff", backoffRecord().kind(), "lighter sets after the main ones", func(i *I) **periodize.Backoff { return &i.Backoff }),
	)
	return &record[I]{
		name: "work item", doc: "An exercise of a session and what is done of it.", block: true,
		fields: fields,
		hints:  map[string]string{"drop": "drop belongs in each or backoff"},
		groups: []group{{keys: []string{"each", "build"}}, {keys: amountKeys}, {keys: weightKeys}},
		start:  func(p place, i *I) { i.Pos = p.pos() },
		check:  checkItem,
		extra: func(*schemas) object {
			other := anyOf(slices.Concat(amountKeys, weightKeys, []string{"sets", "spread", "shape"})...)
			both := object{{"required", []string{"build", "final"}}}
			return object{
				{"if", object{{"anyOf", anyOf("each", "build")}}},
				{"then", object{{"not", object{{"anyOf", append(other, both)}}}}},
				{"else", object{{"anyOf", anyOf(amountKeys...)}}},
				{"dependentRequired", object{{"shape", []string{"spread"}}}},
			}
		},
	}
}

// checkItem checks what the fields of an item must have to do with each other
// and with the lift.
func checkItem(p place, it *periodize.Item, have keys) {
	var lift *periodize.Lift
	if p.r.block != nil {
		if l, ok := p.r.block.Lift(it.Lift); ok && l.Uses != unread {
			lift = l
		}
	}
	form := ""
	for _, k := range []string{"each", "build"} {
		if have[k] {
			form = k
		}
	}
	if form != "" {
		for _, k := range slices.Concat([]string{"sets"}, amountKeys, weightKeys, []string{"spread", "shape"}) {
			if have[k] {
				p.at(k).fail("cannot stand beside %s, which says what the sets are", form)
			}
		}
	} else if !have["reps"] && !have["seconds"] && !have["metres"] {
		p.fail("no amount: want one of %s, or each or build", strings.Join(amountKeys, ", "))
	}
	efforts := false
	switch form {
	case "each":
		each := p.at("each")
		heavy := false
		entries := p.entries("each")
		for i := range it.Each {
			w := &it.Each[i]
			if len(entries) == len(it.Each) { // otherwise some could not be read
				checkWeight(entries[i], w, lift)
			}
			heavy = heavy || w.Weight.Kind != periodize.ByDrop
			efforts = efforts || w.Weight.Kind == periodize.ByRIR || w.Weight.Kind == periodize.ByRPE
			// What the item says of all its sets goes to each that does not say it itself.
			if w.Rest == nil {
				w.Rest = it.Rest
			}
			if w.Sides == 0 {
				w.Sides = it.Sides
			}
		}
		if !heavy && len(it.Each) > 0 {
			each.fail("every set is a drop from the heaviest one: want a set that is not")
		}
		it.Rest, it.Sides = nil, 0
	case "build":
		if have["sides"] {
			p.at("sides").fail("cannot stand beside build")
		}
		if have["final"] {
			p.at("final").fail("cannot stand beside build, whose last set is the best of the day")
		}
		if it.Build != nil && it.Build.Rest == nil {
			it.Build.Rest = it.Rest
		}
		it.Rest = nil
		if lift != nil && lift.Uses == "" {
			p.at("build").fail("%q uses no bar or station, so there is no weight to build up", it.Lift)
		}
	default:
		if have["reps"] || have["seconds"] || have["metres"] {
			checkWeight(p, &it.Work, lift)
		}
		k := it.Weight.Kind
		efforts = k == periodize.ByRIR || k == periodize.ByRPE
		if have["spread"] && (k == periodize.NoWeight && !have["percent"] && !have["rir"] && !have["rpe"] || k == periodize.ByLoad) {
			p.at("spread").fail("want it beside percent, rir or rpe")
		}
		if have["shape"] && !have["spread"] {
			p.at("shape").fail("want spread beside it, the percentage points from the lightest set to the heaviest")
		}
	}
	if have["rir_of"] && !efforts && !have["rir"] && !have["rpe"] {
		p.at("rir_of").fail("want it beside rir or rpe")
	}
	if have["final"] && (have["seconds"] || have["metres"]) {
		p.at("final").fail("want it beside reps, which are what it leaves open")
	}
	if have["backoff"] && lift != nil && lift.Uses == "" {
		p.at("backoff").fail("%q uses no bar or station, so there is no weight to take a drop from", it.Lift)
	}
}

// checkWeight checks the weight of some sets against the lift and the amount.
func checkWeight(p place, w *periodize.Work, lift *periodize.Lift) {
	k := w.Weight.Kind
	if (k == periodize.ByRIR || k == periodize.ByRPE) && w.Reps == nil && (w.Seconds != nil || w.Metres != nil) {
		p.at(k.String()).fail("is a number of repetitions in reserve: want reps beside it")
	}
	if lift == nil {
		return
	}
	given := slices.ContainsFunc(append(slices.Clone(weightKeys), "drop"), func(key string) bool {
		_, ok := p.find(key)
		return ok
	})
	switch {
	case lift.Uses != "" && !given && k == periodize.NoWeight:
		p.fail("no weight, and %q uses %q: want one of %s", lift.Name, lift.Uses, strings.Join(weightKeys, ", "))
	case lift.Uses == "" && (k == periodize.ByPercent || k == periodize.ByLoad || k == periodize.ByDrop):
		p.at(k.String()).fail("%q uses no bar or station, so it has no weight: want rir, rpe or none", lift.Name)
	}
}

// buildRecord is a work-up to a best set.
func buildRecord() *record[periodize.Build] {
	type B = periodize.Build
	must := func(f field[B]) field[B] { f.must = true; return f }
	return &record[B]{
		name: "build", doc: "A work-up to a best set of the day.",
		fields: []field[B]{
			must(at("reps", track(repetitions()), "repetitions of every set", func(b *B) *periodize.Track { return &b.Reps })),
			must(at("to_rir", track(reserveCell()), "repetitions left in reserve by the best set", func(b *B) *periodize.Track { return &b.ToRIR })),
			must(at("start", track(percentCell()), "first weight, in per cent of the working maximum", func(b *B) *periodize.Track { return &b.Start })),
			must(at("step", track(stepCell()), "percentage points from set to set", func(b *B) *periodize.Track { return &b.Step })),
			at("rest", track(rests()), "rest after each set; the default is that of the item or the role", func(b *B) *periodize.Track { return &b.Rest }),
		},
	}
}

// finalRecord is an open last set.
func finalRecord() *record[periodize.Final] {
	type F = periodize.Final
	amrap := field[F]{
		key: "amrap", doc: "as many repetitions as the reserve allows; may be left out, since final means it",
		want: yes().want, schema: yes().schema,
		read:  func(p place, f *F) { yes().read(p) },
		write: func(*encoder, *F) *tree { return plain("true") },
	}
	return &record[F]{
		name: "final", doc: "Leaves the last main set open-ended.",
		fields: []field[F]{
			amrap,
			optional("leave", number(0, 10, " repetitions"), "repetitions to keep in reserve; default 1, and 2 for novices", func(f *F) **plates.Ratio { return &f.Leave }),
			at("cap", whole(1, maxReps), "most repetitions; default none", func(f *F) *int { return &f.Cap }),
			at("weeks", weekSet(), "the weeks that have it; default all", func(f *F) *periodize.WeekSet { return &f.Weeks }),
		},
	}
}

// backoffRecord is the lighter sets after the main ones.
func backoffRecord() *record[periodize.Backoff] {
	type B = periodize.Backoff
	must := func(f field[B]) field[B] { f.must = true; return f }
	return &record[B]{
		name: "backoff", doc: "Lighter sets after the main ones.",
		fields: []field[B]{
			must(at("sets", track(setsCell()), "number of sets", func(b *B) *periodize.Track { return &b.Sets })),
			repsField("repetitions of a set", true, func(b *B) (high, low *periodize.Track) { return &b.Reps, &b.RepsLow }),
			must(at("drop", track(dropCell()), "per cent under the item's heaviest set, from that set's exact weight", func(b *B) *periodize.Track { return &b.Drop })),
			at("rest", track(rests()), "rest after each set; default that of the item", func(b *B) *periodize.Track { return &b.Rest }),
		},
	}
}

// maxDeload is the most deload weeks.
const maxDeload = periodize.MaxDeload

// finishRecord is what follows the last week.
func finishRecord() *record[periodize.Finish] {
	type F = periodize.Finish
	return &record[F]{
		name: "finish", doc: "What follows the last week.",
		fields: []field[F]{
			at("deload", whole(0, maxDeload), "weeks of reduced work; default none", func(f *F) *int { return &f.Deload }),
			at("cut", number(0, 100, " per cent"), "per cent of the last week's sets that a deload week leaves out", func(f *F) *plates.Ratio { return &f.Cut }),
			at("hold", number(1, 150, " per cent"), "per cent of the last week's weights that a deload week keeps; default 100", func(f *F) *plates.Ratio { return &f.Hold }),
			at("test", boolean(), "a day for new maxima after the last week, of the focus lifts unless lifts says others", func(f *F) *bool { return &f.Test }),
			at("lifts", focusKind(), "the lifts of the test day, in its order; default the focus lifts", func(f *F) *[]string { return &f.Lifts }),
		},
		extra: func(*schemas) object {
			return object{{"dependentRequired", object{{"cut", []string{"deload"}}, {"hold", []string{"deload"}}, {"lifts", []string{"test"}}}}}
		},
		check: func(p place, f *F, have keys) {
			if have["lifts"] && !f.Test {
				p.at("lifts").fail("are those of a test day: want test: true beside them")
			}
			if have["deload"] {
				if f.Deload > 0 && !have["cut"] {
					p.fail("cut is missing: want the per cent of the last week's sets that the deload leaves out, such as 50")
				}
				return
			}
			for _, k := range []string{"cut", "hold"} {
				if have[k] {
					p.at(k).fail("is for deload weeks: want deload beside it, the number of weeks")
				}
			}
		},
	}
}
