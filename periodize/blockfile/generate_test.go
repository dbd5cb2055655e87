package blockfile_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/blockwright/blockwright/internal/legible"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/plates"
)

// Whatever a block or roster may hold is written so that it reads back the
// same, and fits the schema.

func TestWrittenBlocksReadBack(t *testing.T) {
	schema := compile(t, "block")
	rapid.Check(t, func(t *rapid.T) {
		b := blocks().Draw(t, "block")
		_, text, problem := again(b, blockfile.ReadBlock, blockfile.WriteBlock)
		if problem != "" {
			t.Fatal(problem)
		}
		if err := schema.Validate(document(t, text)); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
	})
}

func TestWrittenRostersReadBack(t *testing.T) {
	schema := compile(t, "roster")
	rapid.Check(t, func(t *rapid.T) {
		r := rosters().Draw(t, "roster")
		_, text, problem := again(r, blockfile.ReadRoster, blockfile.WriteRoster)
		if problem != "" {
			t.Fatal(problem)
		}
		if err := schema.Validate(document(t, text)); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
	})
}

func TestWrittenBriefsReadBack(t *testing.T) {
	schema := compile(t, "brief")
	rapid.Check(t, func(t *rapid.T) {
		b := briefs().Draw(t, "brief")
		_, text, problem := again(b, blockfile.ReadBrief, blockfile.WriteBrief)
		if problem != "" {
			t.Fatal(problem)
		}
		if err := schema.Validate(document(t, text)); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
	})
}

// names draws names, many of which YAML would take for something else.
func names() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"true", "007", "1e3", "null", "~", "no", "a.b", "- x", "x: y", "# x", "\"q\"", "'", `\`, "李娜", "e\u0301", "<<", "*x", "&x", "!x", "{x}", "[x]", "x,", "?", "|", ">", "%", "@x", "0x10", "2027-01-01", "12:30", "-", ".inf", "x y", "\U0001f3cb", "=", "a\u2003b"}),
		rapid.StringMatching(`[a-zA-Z][a-z -]{0,12}[a-z]`),
		rapid.Map(rapid.String(), clean).Filter(func(s string) bool { return s != "" }),
	).Filter(func(s string) bool { return s != "none" })
}

// clean keeps of a text what a name may hold.
func clean(s string) string {
	s = strings.Map(func(r rune) rune {
		if legible.Hidden(r) {
			return -1
		}
		return r
	}, s)
	return strings.TrimFunc(s, func(r rune) bool { return !legible.Line(string(r)) })
}

func distinct(least, most int) *rapid.Generator[[]string] {
	return rapid.SliceOfNDistinct(names(), least, most, rapid.ID[string])
}

// notes draws texts of several lines.
func notes() *rapid.Generator[string] {
	return rapid.OneOf(rapid.Just(""), names(), rapid.Map(rapid.SliceOfN(names(), 1, 3), func(s []string) string { return strings.Join(s, "\n\n ") }))
}

func maybe[V any](g *rapid.Generator[V]) *rapid.Generator[V] {
	var zero V
	return rapid.OneOf(rapid.Just(zero), g)
}

// tenths draws a number of tenths within bounds.
func tenths(low, high int64) *rapid.Generator[plates.Ratio] {
	return rapid.Map(rapid.Int64Range(low*10, high*10), func(n int64) plates.Ratio { return ratio(n, 10) })
}

func ratio(n, d int64) plates.Ratio {
	r, err := plates.NewRatio(n, d)
	if err != nil {
		panic(err)
	}
	return r
}

func counts(low, high int64) *rapid.Generator[plates.Ratio] {
	return rapid.Map(rapid.Int64Range(low, high), plates.WholeRatio)
}

func masses(low, high int64) *rapid.Generator[plates.Mass] {
	return rapid.Custom(func(t *rapid.T) plates.Mass {
		unit := rapid.SampledFrom([]plates.Mass{plates.Kilogram, plates.Pound, plates.Kilogram / 8, plates.Pound / 4, plates.Gram, 1}).Draw(t, "unit")
		n := rapid.Int64Range(low*int64(plates.Kilogram/unit), high*int64(plates.Kilogram/unit)).Draw(t, "n")
		return plates.Mass(n) * unit
	})
}

// tracks draws tracks of such values.
func tracks(weeks int, value *rapid.Generator[plates.Ratio]) *rapid.Generator[periodize.Track] {
	return rapid.Custom(func(t *rapid.T) periodize.Track {
		v := func() plates.Ratio { return value.Draw(t, "value") }
		switch rapid.IntRange(0, 3).Draw(t, "form") {
		case 0:
			return periodize.FixedTrack{Value: v()}
		case 1:
			return periodize.LineTrack{From: v(), To: v()}
		case 2:
			return periodize.CrestTrack{From: v(), Crest: v(), To: v(), Peak: rapid.IntRange(1, weeks).Draw(t, "at")}
		}
		tr := make(periodize.WeekTrack, weeks)
		for i := range tr {
			if tr[i].Empty = rapid.Bool().Draw(t, "empty"); !tr[i].Empty {
				tr[i].Value = v()
			}
		}
		return tr
	})
}

// ranges draws tracks of repetitions that are ranges in some places.
func ranges(weeks int) *rapid.Generator[[2]periodize.Track] {
	return rapid.Custom(func(t *rapid.T) [2]periodize.Track {
		high := tracks(weeks, counts(1, 200)).Draw(t, "reps")
		some := false
		low := func(h plates.Ratio) plates.Ratio {
			l := rapid.Int64Range(1, h.Num()).Draw(t, "low")
			some = some || l < h.Num()
			return plates.WholeRatio(l)
		}
		var lows periodize.Track
		switch h := high.(type) {
		case periodize.FixedTrack:
			lows = periodize.FixedTrack{Value: low(h.Value)}
		case periodize.LineTrack:
			lows = periodize.LineTrack{From: low(h.From), To: low(h.To)}
		case periodize.CrestTrack:
			lows = periodize.CrestTrack{From: low(h.From), Crest: low(h.Crest), To: low(h.To), Peak: h.Peak}
		case periodize.WeekTrack:
			l := slices.Clone(h)
			for i := range l {
				if !l[i].Empty {
					l[i].Value = low(l[i].Value)
				}
			}
			lows = l
		}
		if !some {
			lows = nil
		}
		return [2]periodize.Track{high, lows}
	})
}

func weekSets(weeks int) *rapid.Generator[periodize.WeekSet] {
	return rapid.Custom(func(t *rapid.T) periodize.WeekSet {
		week := rapid.IntRange(1, weeks)
		switch rapid.IntRange(0, 4).Draw(t, "form") {
		case 1:
			return periodize.OddWeeks()
		case 2:
			return periodize.EvenWeeks()
		case 3:
			a, b := week.Draw(t, "a"), week.Draw(t, "b")
			return periodize.WeekRange(min(a, b), max(a, b))
		case 4:
			return periodize.OnlyWeeks(rapid.SliceOfN(week, 1, 5).Draw(t, "weeks")...)
		}
		return periodize.AllWeeks()
	})
}

func works(weeks int, l periodize.Lift, drop bool) *rapid.Generator[periodize.Work] {
	return rapid.Custom(func(t *rapid.T) periodize.Work {
		w := periodize.Work{
			Sets:  maybe(tracks(weeks, counts(0, 100))).Draw(t, "sets"),
			Rest:  maybe(tracks(weeks, counts(0, 3600))).Draw(t, "rest"),
			Sides: rapid.IntRange(0, 2).Draw(t, "sides"),
		}
		effort := false
		switch rapid.IntRange(0, 2).Draw(t, "amount") {
		case 0:
			r := ranges(weeks).Draw(t, "reps")
			w.Reps, w.RepsLow = r[0], r[1]
			effort = true
		case 1:
			w.Seconds = tracks(weeks, counts(1, 7200)).Draw(t, "seconds")
		case 2:
			w.Metres = tracks(weeks, tenths(1, 1000)).Draw(t, "metres")
		}
		kinds := []periodize.WeightKind{}
		if l.Uses == "" {
			kinds = append(kinds, periodize.NoWeight)
		} else {
			kinds = append(kinds, periodize.ByPercent, periodize.ByLoad)
			if drop {
				kinds = append(kinds, periodize.ByDrop)
			}
		}
		if effort {
			kinds = append(kinds, periodize.ByRIR, periodize.ByRPE)
		}
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		value := map[periodize.WeightKind]*rapid.Generator[plates.Ratio]{
			periodize.ByPercent: tenths(1, 150), periodize.ByRIR: tenths(0, 30), periodize.ByRPE: tenths(5, 10), periodize.ByDrop: tenths(0, 99),
			periodize.ByLoad: rapid.Map(masses(0, 4999), func(m plates.Mass) plates.Ratio { return plates.WholeRatio(int64(m)) }),
		}[k]
		if value != nil {
			w.Weight = periodize.Weight{Kind: k, Track: tracks(weeks, value).Draw(t, k.String())}
		}
		return w
	})
}

func lifts(name string, others []string) *rapid.Generator[periodize.Lift] {
	return rapid.Custom(func(t *rapid.T) periodize.Lift {
		l := periodize.Lift{
			Name:            name,
			Pattern:         rapid.SampledFrom(periodize.Patterns()).Draw(t, "pattern"),
			Uses:            maybe(names()).Draw(t, "uses"),
			Curve:           maybe(names()).Draw(t, "curve"),
			Tempo:           float64(rapid.IntRange(0, 600).Draw(t, "tempo")) / 10,
			BodyweightShare: tenths(0, 100).Draw(t, "share"),
		}
		region, follows := l.Pattern.Region()
		if !follows {
			l.Region = rapid.SampledFrom(periodize.Regions()).Draw(t, "region")
		} else if rapid.Bool().Draw(t, "say the region") {
			l.Region = region
		}
		for _, m := range rapid.SliceOfDistinct(rapid.SampledFrom(periodize.Muscles()), rapid.ID[periodize.Muscle]).Draw(t, "muscles") {
			l.Muscles = append(l.Muscles, periodize.Share{Muscle: m, Part: float64(rapid.IntRange(1, 100).Draw(t, "part")) / 100})
		}
		if len(others) > 0 && rapid.Bool().Draw(t, "derived") {
			l.Max = &periodize.MaxFrom{
				Of:      rapid.SampledFrom(others).Draw(t, "of"),
				Percent: tenths(1, 300).Draw(t, "percent"),
				Plus:    masses(-500, 500).Draw(t, "plus"),
			}
		}
		return l
	})
}

func items(weeks int, b *periodize.Block) *rapid.Generator[periodize.Item] {
	return rapid.Custom(func(t *rapid.T) periodize.Item {
		l := rapid.SampledFrom(b.Lifts).Draw(t, "lift")
		it := periodize.Item{
			Lift:  l.Name,
			Role:  rapid.SampledFrom(append(periodize.Roles(), "")).Draw(t, "role"),
			Pair:  maybe(rapid.StringMatching("[A-Z]")).Draw(t, "pair"),
			Weeks: weekSets(weeks).Draw(t, "weeks"),
			Note:  notes().Draw(t, "note"),
		}
		form := rapid.IntRange(0, 2).Draw(t, "form")
		if form == 2 && l.Uses == "" {
			form = 0
		}
		var efforts, reps bool
		switch form {
		case 0:
			it.Work = works(weeks, l, false).Draw(t, "work")
			k := it.Weight.Kind
			efforts, reps = k == periodize.ByRIR || k == periodize.ByRPE, it.Reps != nil
			if efforts || k == periodize.ByPercent {
				if it.Spread = tenths(0, 50).Draw(t, "spread"); it.Spread.Sign() > 0 {
					it.Shape = rapid.SampledFrom(append(periodize.Shapes(), "")).Draw(t, "shape")
				}
			}
		case 1:
			it.Each = append(it.Each, works(weeks, l, false).Draw(t, "first"))
			it.Each = append(it.Each, rapid.SliceOfN(works(weeks, l, true), 0, 3).Draw(t, "each")...)
			for _, w := range it.Each {
				efforts = efforts || w.Weight.Kind == periodize.ByRIR || w.Weight.Kind == periodize.ByRPE
			}
			reps = true
		case 2:
			it.Build = &periodize.Build{
				Reps:  tracks(weeks, counts(1, 200)).Draw(t, "reps"),
				ToRIR: tracks(weeks, tenths(0, 30)).Draw(t, "to_rir"),
				Start: tracks(weeks, tenths(1, 150)).Draw(t, "start"),
				Step:  tracks(weeks, tenths(1, 50)).Draw(t, "step"),
				Rest:  maybe(tracks(weeks, counts(0, 3600))).Draw(t, "rest"),
			}
		}
		if efforts {
			it.ReserveOf = rapid.SampledFrom(append(periodize.ReserveOfs(), "")).Draw(t, "rir_of")
		}
		if reps && rapid.Bool().Draw(t, "final") {
			it.Final = &periodize.Final{Cap: rapid.IntRange(0, 200).Draw(t, "cap"), Weeks: weekSets(weeks).Draw(t, "final weeks")}
			if rapid.Bool().Draw(t, "leave") {
				v := tenths(0, 10).Draw(t, "leave")
				it.Final.Leave = &v
			}
		}
		if l.Uses != "" && rapid.Bool().Draw(t, "backoff") {
			r := ranges(weeks).Draw(t, "reps")
			it.Backoff = &periodize.Backoff{
				Sets: tracks(weeks, counts(0, 100)).Draw(t, "sets"), Reps: r[0], RepsLow: r[1],
				Drop: tracks(weeks, tenths(0, 99)).Draw(t, "drop"),
				Rest: maybe(tracks(weeks, counts(0, 3600))).Draw(t, "rest"),
			}
		}
		return it
	})
}

func blocks() *rapid.Generator[*periodize.Block] {
	return rapid.Custom(func(t *rapid.T) *periodize.Block {
		weeks := rapid.IntRange(1, 52).Draw(t, "weeks")
		b := &periodize.Block{
			Title: names().Draw(t, "title"),
			Weeks: weeks,
			Unit:  rapid.SampledFrom([]plates.Unit{plates.KG, plates.LB}).Draw(t, "unit"),
			Goal:  rapid.SampledFrom(append(periodize.Goals(), "")).Draw(t, "goal"),
			Note:  notes().Draw(t, "note"),
		}
		all := distinct(1, 4).Draw(t, "lifts")
		for i, n := range all {
			b.Lifts = append(b.Lifts, lifts(n, all[:i]).Draw(t, "lift"))
		}
		if rapid.Bool().Draw(t, "focus") {
			b.Focus = slices.Clone(all[:rapid.IntRange(1, len(all)).Draw(t, "in front")])
		}
		for _, n := range distinct(1, 3).Draw(t, "sessions") {
			s := periodize.Session{
				Name:  n,
				Limit: time.Duration(rapid.IntRange(60, 8*3600).Draw(t, "limit")) * time.Second,
				Weeks: weekSets(weeks).Draw(t, "weeks"),
				Note:  notes().Draw(t, "note"),
				Work:  rapid.SliceOfN(items(weeks, b), 1, 3).Draw(t, "work"),
			}
			if rapid.Bool().Draw(t, "dated") {
				d := time.Weekday(rapid.IntRange(0, 6).Draw(t, "day"))
				s.Day = &d
			}
			b.Sessions = append(b.Sessions, s)
		}
		if b.Finish.Test = rapid.Bool().Draw(t, "test"); b.Finish.Test && (len(b.Focus) == 0 || rapid.Bool().Draw(t, "tested lifts")) {
			b.Finish.Lifts = slices.Clone(all[:rapid.IntRange(1, len(all)).Draw(t, "tested")])
		}
		if rapid.Bool().Draw(t, "deload") {
			b.Finish.Deload = rapid.IntRange(1, 4).Draw(t, "deloads")
			b.Finish.Cut = tenths(1, 100).Draw(t, "cut")
			b.Finish.Hold = maybe(tenths(1, 150)).Draw(t, "hold")
		}
		return b
	})
}

func dates() *rapid.Generator[time.Time] {
	return rapid.Map(rapid.IntRange(0, 100_000), func(n int) time.Time { return time.Date(1900, 1, 1+n, 0, 0, 0, 0, time.UTC) })
}

func gyms(name string) *rapid.Generator[periodize.Gym] {
	return rapid.Custom(func(t *rapid.T) periodize.Gym {
		g := periodize.Gym{
			Name:    name,
			Unit:    rapid.SampledFrom([]plates.Unit{plates.KG, plates.LB}).Draw(t, "unit"),
			Collars: masses(0, 19).Draw(t, "collars"),
		}
		equipment := distinct(1, 5).Draw(t, "equipment")
		bars := rapid.IntRange(0, len(equipment)).Draw(t, "bars")
		for _, n := range equipment[:bars] {
			bar := periodize.Bar{Name: n, Mass: 1 + masses(0, 100).Draw(t, "mass"), Have: rapid.IntRange(0, 9).Draw(t, "have")}
			if rapid.Bool().Draw(t, "own collars") {
				m := masses(0, 19).Draw(t, "own")
				bar.Collars = &m
			}
			g.Bars = append(g.Bars, bar)
		}
		for _, p := range rapid.SliceOfNDistinct(plateKinds(), min(bars, 1), 6, rapid.ID[plates.Plate]).Draw(t, "plates") {
			g.Plates = append(g.Plates, plates.Stock{Plate: p, Count: rapid.IntRange(0, 40).Draw(t, "count")})
		}
		for _, n := range equipment[bars:] {
			s := periodize.Station{Name: n, Assist: rapid.Bool().Draw(t, "assist")}
			if rapid.Bool().Draw(t, "ladder") {
				s.From = masses(0, 100).Draw(t, "from")
				s.Step = plates.Kilogram/10 + masses(0, 10).Draw(t, "step")
				s.To = s.From + plates.Mass(rapid.Int64Range(0, 99).Draw(t, "steps"))*s.Step
			} else {
				s.List = rapid.SliceOfNDistinct(masses(0, 4999), 1, 5, rapid.ID[plates.Mass]).Draw(t, "list")
				slices.Sort(s.List)
			}
			for _, m := range rapid.SliceOfN(masses(0, 20), 0, 3).Draw(t, "add") {
				s.Add = append(s.Add, m+1)
			}
			g.Stations = append(g.Stations, s)
		}
		return g
	})
}

func plateKinds() *rapid.Generator[plates.Plate] {
	return rapid.Custom(func(t *rapid.T) plates.Plate {
		u := rapid.SampledFrom([]plates.Unit{plates.KG, plates.LB}).Draw(t, "unit")
		return plates.Plate{Unit: u, Mass: u.One() / 4 * plates.Mass(rapid.IntRange(1, 180).Draw(t, "quarters"))}
	})
}

func rosters() *rapid.Generator[*periodize.Roster] {
	return rapid.Custom(func(t *rapid.T) *periodize.Roster {
		r := &periodize.Roster{}
		if rapid.Bool().Draw(t, "one gym") {
			r.Gyms = []periodize.Gym{gyms("").Draw(t, "gym")}
		} else {
			for _, n := range distinct(1, 3).Draw(t, "gyms") {
				r.Gyms = append(r.Gyms, gyms(n).Draw(t, "gym"))
			}
		}
		if rapid.Bool().Draw(t, "dated") {
			r.Start = dates().Draw(t, "start")
			r.Test = r.Start.AddDate(0, 0, rapid.IntRange(1, 400).Draw(t, "days"))
		}
		liftNames := distinct(1, 4).Draw(t, "lifts")
		for _, n := range distinct(1, 4).Draw(t, "lifters") {
			l := periodize.Lifter{
				Name:       n,
				Level:      rapid.SampledFrom(append(periodize.Levels(), "")).Draw(t, "level"),
				Age:        maybe(rapid.IntRange(5, 120)).Draw(t, "age"),
				Sex:        rapid.SampledFrom(append(periodize.Sexes(), "")).Draw(t, "sex"),
				Bodyweight: maybe(masses(10, 699).Filter(func(m plates.Mass) bool { return m >= 10*plates.Kilogram })).Draw(t, "bodyweight"),
				WorkingMax: maybe(tenths(1, 120)).Draw(t, "working_max"),
				Rounding:   rapid.SampledFrom([]plates.Rounding{plates.Nearest, plates.Down, plates.Up}).Draw(t, "rounding"),
				Aim:        rapid.SampledFrom(append(periodize.Aims(), "")).Draw(t, "aim"),
				Volume:     maybe(tenths(1, 300)).Draw(t, "volume"),
			}
			if r.Gyms[0].Name != "" {
				l.Gym = rapid.SampledFrom(r.Gyms).Draw(t, "gym").Name
			}
			for _, lift := range liftNames[:rapid.IntRange(0, len(liftNames)).Draw(t, "maxes")] {
				m := periodize.MaxEntry{Lift: lift}
				if m.Sets = rapid.SliceOfN(doneSets(), 0, 3).Draw(t, "sets"); len(m.Sets) == 0 {
					m.Sets, m.Tested = nil, masses(-500, 4990).Draw(t, "tested")
					if rapid.Bool().Draw(t, "estimated") && m.Tested > -499*plates.Kilogram {
						m.Low, m.High = m.Tested-plates.Kilogram, m.Tested+2*plates.Kilogram
					}
					if rapid.Bool().Draw(t, "known on a day") {
						m.Date = dates().Draw(t, "known")
					}
				}
				l.Maxes = append(l.Maxes, m)
			}
			if rapid.Bool().Draw(t, "recent") {
				l.Recent = &periodize.Recent{WeeklySets: new(rapid.IntRange(0, 1000).Draw(t, "weekly sets")), LastTrained: maybe(dates()).Draw(t, "last trained")}
			}
			if len(liftNames) > 1 && rapid.Bool().Draw(t, "swap") {
				l.Swaps = []periodize.Swap{{From: liftNames[0], To: liftNames[1]}}
			}
			for i := range rapid.IntRange(0, 3).Draw(t, "adjustments") {
				a := periodize.Adjustment{Week: i + 1, Lift: rapid.SampledFrom(liftNames).Draw(t, "adjusted"), Why: notes().Draw(t, "why"),
					Sets: rapid.IntRange(-50, 50).Draw(t, "sets"), Percent: tenths(-90, 100).Draw(t, "percent")}
				if a.Sets == 0 && a.Percent.Sign() == 0 {
					a.Sets = 1
				}
				l.Adjust = append(l.Adjust, a)
			}
			r.Lifters = append(r.Lifters, l)
		}
		return r
	})
}

func doneSets() *rapid.Generator[periodize.DoneSet] {
	return rapid.Custom(func(t *rapid.T) periodize.DoneSet {
		d := periodize.DoneSet{
			Load: masses(-500, 4999).Draw(t, "load"),
			Reps: rapid.IntRange(1, 200).Draw(t, "reps"),
			Date: maybe(dates()).Draw(t, "date"),
		}
		if rapid.Bool().Draw(t, "reserve") {
			v := tenths(0, 30).Draw(t, "rir")
			d.RIR = &v
		}
		return d
	})
}

func briefs() *rapid.Generator[*periodize.Brief] {
	return rapid.Custom(func(t *rapid.T) *periodize.Brief {
		b := &periodize.Brief{
			Title:   names().Draw(t, "title"),
			Weeks:   rapid.IntRange(1, 52).Draw(t, "weeks"),
			Unit:    rapid.SampledFrom([]plates.Unit{plates.KG, plates.LB}).Draw(t, "unit"),
			Days:    rapid.SliceOfNDistinct(rapid.Map(rapid.IntRange(0, 6), func(d int) time.Weekday { return time.Weekday(d) }), 1, 7, rapid.ID[time.Weekday]).Draw(t, "days"),
			Minutes: maybe(rapid.IntRange(10, 480)).Draw(t, "minutes"),
			Goal:    rapid.SampledFrom(append(periodize.Goals(), "")).Draw(t, "goal"),
			Level:   rapid.SampledFrom(append(periodize.Levels(), "")).Draw(t, "level"),
			Note:    notes().Draw(t, "note"),
			Lacking: rapid.SliceOfDistinct(rapid.SampledFrom(periodize.Lackings()), rapid.ID[periodize.Lacking]).Draw(t, "lacking"),
		}
		all := distinct(1, 5).Draw(t, "lifts")
		for i, n := range all {
			b.Lifts = append(b.Lifts, lifts(n, all[:i]).Draw(t, "lift"))
		}
		front := rapid.IntRange(1, len(all)).Draw(t, "in front")
		b.Focus = slices.Clone(all[:front])
		b.Keep = slices.Clone(all[:rapid.IntRange(0, front).Draw(t, "kept")])
		b.Avoid = slices.Clone(all[front:])
		for _, m := range rapid.SliceOfDistinct(rapid.SampledFrom(periodize.Muscles()), rapid.ID[periodize.Muscle]).Draw(t, "muscles") {
			low := rapid.IntRange(0, 100).Draw(t, "low")
			b.WeeklySets = append(b.WeeklySets, periodize.SetRange{Muscle: m, Low: low, High: rapid.IntRange(low, 100).Draw(t, "high")})
		}
		if b.Weeks > 1 && rapid.Bool().Draw(t, "overreach") {
			b.Overreach = &periodize.Overreach{Week: rapid.IntRange(2, b.Weeks).Draw(t, "week"), Rise: tenths(1, 300).Draw(t, "rise")}
		}
		if rapid.Bool().Draw(t, "heavy") {
			reps, rir := rapid.IntRange(1, 20), tenths(0, 10)
			b.Heavy = &periodize.HeavySets{
				Reps: [2]int{reps.Draw(t, "first"), reps.Draw(t, "last")},
				RIR:  [2]plates.Ratio{rir.Draw(t, "first"), rir.Draw(t, "last")},
			}
		}
		if rapid.Bool().Draw(t, "reserve") {
			low := rapid.Int64Range(0, 300).Draw(t, "least")
			b.Reserve = &periodize.ReserveSpan{Low: ratio(low, 10), High: ratio(rapid.Int64Range(low, 300).Draw(t, "most"), 10)}
		}
		return b
	})
}
