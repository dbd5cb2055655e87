package periodize

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/blockwright/blockwright/plates"
)

// Writing the chosen shape as a block, with the reasons for its numbers.

// whole is a track of whole numbers.
func whole(v []int) Track {
	t := make([]plates.Ratio, len(v))
	for i, x := range v {
		t[i] = ratio(int64(x), 1)
	}
	return trackOf(t)
}

// trackOf is a track with these values, one value where all are the same.
func trackOf(v []plates.Ratio) Track {
	same := true
	t := make(WeekTrack, len(v))
	for i := range v {
		same = same && v[i].Cmp(v[0]) == 0
		t[i].Value = v[i]
	}
	if same {
		return FixedTrack{v[0]}
	}
	return t
}

func pick[T any](e *slotEffort, of func(w weekEffort) T) []T {
	var out []T
	for _, w := range e.weeks {
		out = append(out, of(w))
	}
	return out
}

// reasons gathers the reasons in the order of the block.
type reasons struct{ list []Reason }

func (r *reasons) add(path, format string, args ...any) {
	r.list = append(r.list, Reason{path, fmt.Sprintf(format, args...)})
}

// block writes a shape out.
func (w *weekSearch) block(s *shape) (*Block, []Reason) {
	t := w.t
	b := &Block{Title: t.b.Title, Weeks: t.b.Weeks, Unit: t.b.Unit, Goal: t.b.Goal, Focus: slices.Clone(t.b.Focus), Note: t.b.Note}
	if b.Goal == "" {
		b.Goal = Develop
	}
	b.Finish = Finish{Deload: 1, Cut: ratio(50, 1), Hold: ratio(90, 1), Test: true}
	if b.Goal == Peak {
		b.Finish = Finish{Test: true}
	}
	w.lifts(b)
	why := &reasons{}
	why.add("", "%s", w.about(s))
	for i := range w.sel.chosen {
		if c := &w.sel.chosen[i]; c.loaded && c.free() {
			why.add(liftPath(c.def.Name), "uses %s in the brief, and no maximum is known or derived: the lifter finds the weight", c.def.Uses)
		}
	}
	for d, day := range t.b.Days {
		session := Session{Name: day.String(), Day: &day, Limit: time.Duration(t.b.Minutes) * time.Minute}
		if math.IsInf(t.want.seconds, 1) {
			session.Limit = 0
		}
		for i := range s.layout.places {
			p := &s.layout.places[i]
			if p.day != d {
				continue
			}
			path := fmt.Sprintf("sessions[%d].work[%d]", len(b.Sessions), len(session.Work))
			session.Work = append(session.Work, w.item(s, p, path, why))
		}
		if len(session.Work) > 0 {
			b.Sessions = append(b.Sessions, session)
		}
	}
	if b.Goal == Peak {
		why.add("finish", "the weeks before the test are the taper, so that it meets a recovered lifter")
	} else {
		why.add("finish", "a week of half the sets after the last week, then new maxima")
	}
	return b, why.list
}

// liftPath is where a lift stands in a block file, as blockfile names places.
func liftPath(name string) string {
	if strings.ContainsAny(name, ".[]\"\\") {
		return "lifts[" + strconv.Quote(name) + "]"
	}
	return "lifts." + name
}

// lifts takes over the lifts in use, and those that their maxima come from.
func (w *weekSearch) lifts(b *Block) {
	used := map[string]bool{}
	var use func(name string)
	use = func(name string) {
		if used[name] {
			return
		}
		used[name] = true
		if l, _ := w.t.b.Lift(name); l.Max != nil {
			use(l.Max.Of)
		}
	}
	for i := range w.sel.chosen {
		use(w.sel.chosen[i].def.Name)
	}
	for i := range w.t.b.Lifts {
		if l := w.t.b.Lifts[i]; used[l.Name] {
			l.Muscles = slices.Clone(l.Muscles)
			if i := slices.IndexFunc(w.sel.chosen, func(c candidate) bool { return c.def.Name == l.Name }); i >= 0 && w.sel.chosen[i].free() {
				l.Uses = ""
			}
			b.Lifts = append(b.Lifts, l)
		}
	}
}

// about is the shape in words.
func (w *weekSearch) about(s *shape) string {
	sh := w.shapeOf(s)
	var b strings.Builder
	weeks := make([]string, len(sh.Sets))
	for i, n := range sh.Sets {
		weeks[i] = fmt.Sprint(n)
	}
	fmt.Fprintf(&b, "Drafted from a brief. Sets a week: %s.", strings.Join(weeks, ", "))
	if w.t.b.Weeks > 1 {
		fmt.Fprintf(&b, "\nThe most sets come in week %d, %s%% above the first week", sh.Overreach, short(sh.Rise))
		switch {
		case sh.Overreach == w.t.b.Weeks:
			b.WriteString(".")
		case w.t.b.Goal == Peak:
			b.WriteString("; from there they go down to the end.")
		default:
			b.WriteString("; then they are cut at once.")
		}
	}
	if sh.Rests > 0 {
		b.WriteString("\nRests are shorter than usual")
		if !math.IsInf(w.t.want.seconds, 1) {
			b.WriteString(", so that the sessions fit")
		}
		b.WriteString(".")
	}
	low, high := w.t.span()
	fmt.Fprintf(&b, "\nMain sets are predicted to leave %s to %s repetitions, for a lifter in the middle of the published relation.", short(low), short(high))
	b.WriteString("\nThe rules behind these numbers are common practice unless a source is named. Change what you know better, and review again.")
	return b.String()
}

// item writes one exercise of one session.
func (w *weekSearch) item(s *shape, p *placed, path string, why *reasons) Item {
	c := &w.sel.chosen[p.lift]
	rests := restsOf(s.mode)
	e := w.effort(p.lift, p.kind, rests)
	sets := make([]int, len(s.sets))
	for k, week := range s.sets {
		sets[k] = shareOfSets(p, week[p.lift], s.layout.parts[p.lift], c.draftLift, w.backoffs(p.lift, rests))
	}
	it := Item{Lift: c.def.Name, Pair: p.pair}
	it.Sides = sidesOf(c.def)
	if it.Sides == 1 {
		it.Sides = 0
	}
	if c.role == Developmental || c.role == Accessory {
		it.Role = c.role
	}
	why.add(path+".lift", "%s", w.whyLift(c, p))
	it.Rest = FixedTrack{number(e.rest)}
	reps := whole(pick(e, func(w weekEffort) int { return w.reps }))
	rir := trackOf(pick(e, func(w weekEffort) plates.Ratio { return w.rir }))
	if p.kind == heavySlot && c.loaded {
		it.Sets, it.Reps, it.Weight = FixedTrack{ratio(1, 1)}, reps, Weight{ByRIR, rir}
		if w.t.want.heavy != nil {
			why.add(path+".reps", "the heavy set of the brief, in steps of weight as even as they can be")
		} else {
			why.add(path+".reps", "one heavy set a week; the weight climbs in steps as even as they can be")
		}
		first, last := e.weeks[0].percent, e.weeks[len(e.weeks)-1].percent
		why.add(path+".rir", "about %s to %s%% of the maximum", short(first), short(last))
		back := make([]int, len(sets))
		for k := range sets {
			back[k] = sets[k] - 1
		}
		if e.backoffs > 0 && slices.Max(back) > 0 {
			it.Backoff = &Backoff{Sets: whole(back),
				Reps: whole(pick(e, func(w weekEffort) int { return w.backoff.reps })),
				Drop: trackOf(pick(e, func(w weekEffort) plates.Ratio { return number(w.backoff.drop) }))}
			why.add(path+".backoff", "%s; %s", w.whySets(s, back), reserveWords(e))
		}
		return it
	}
	it.Sets = whole(sets)
	why.add(path+".sets", "%s", w.whySets(s, sets))
	switch {
	case e.seconds > 0:
		it.Seconds = FixedTrack{number(e.seconds)}
	case e.metres > 0:
		it.Metres = FixedTrack{number(e.metres)}
	default:
		it.Reps = reps
		if from := e.weeks[0].from; from > 0 {
			it.RepsLow = FixedTrack{ratio(int64(from), 1)}
		}
	}
	switch {
	case it.Reps == nil:
	case p.kind != accessorySlot && c.loaded:
		it.Weight = Percent(trackOf(pick(e, func(w weekEffort) plates.Ratio { return number(w.percent) })))
		why.add(path+".percent", "%s, with %s s of rest", reserveWords(e), short(e.rest))
	case !c.loaded:
		it.Weight = Weight{ByRIR, rir}
		why.add(path+".rir", "no weight to load, so only the reserve is given")
	case !c.priced:
		it.Weight = Weight{ByRIR, rir}
		why.add(path+".rir", "the lifter finds the weight, since no maximum is known or derived for the lift")
	default:
		it.Weight = Weight{ByRIR, rir}
		if rir.(FixedTrack).Value.Float64() <= 6 { // the model's reach
			it.ReserveOf = LastSet
		}
		why.add(path+".rir", "left after the last set, with %s s of rest", short(e.rest))
	}
	return it
}

func reserveWords(e *slotEffort) string {
	if math.IsInf(e.low, 0) || math.IsNaN(e.low) {
		return "no reserve is predicted"
	}
	return fmt.Sprintf("predicted to leave %s to %s", short(e.low), short(e.high))
}

// whyLift says why an exercise is there.
func (w *weekSearch) whyLift(c *candidate, p *placed) string {
	switch {
	case p.kind == heavySlot:
		return "in front: the heavy day"
	case p.kind == volumeSlot:
		return "in front: the day with more sets, on another day than the heavy one"
	}
	var because []string
	if w.t.want.keep[c.place] {
		because = append(because, "the brief keeps it")
	}
	for _, l := range c.serves {
		r, _ := l.Remedy()
		because = append(because, fmt.Sprintf("for %q: %s (common practice)", string(l), r.Why))
	}
	if len(because) == 0 {
		what := string(c.def.Pattern)
		for i := range c.def.Muscles {
			if i == 0 {
				what += ", and "
			} else {
				what += ", "
			}
			what += string(c.def.Muscles[i].Muscle)
		}
		because = append(because, what)
	}
	switch c.role {
	case Support:
		return "behind the lifts in front: " + strings.Join(because, "; ")
	case Developmental:
		if p.pair != "" {
			return "developmental, paired to save time: " + strings.Join(because, "; ")
		}
		return "developmental: " + strings.Join(because, "; ")
	}
	if p.pair != "" {
		return "accessory, paired to save time: " + strings.Join(because, "; ")
	}
	return "accessory: " + strings.Join(because, "; ")
}

// whySets says how the sets of an exercise run.
func (w *weekSearch) whySets(s *shape, sets []int) string {
	top := slices.Max(sets)
	first, last := sets[0], sets[len(sets)-1]
	at := slices.Index(sets, top) + 1
	switch {
	case first == top && last == top:
		return "the same in all weeks"
	case last == top:
		return fmt.Sprintf("up from %d to %d", first, top)
	case first == top:
		return fmt.Sprintf("%d, and cut to %d after the largest week", top, last)
	}
	return fmt.Sprintf("up from %d to %d in week %d, then cut to %d", first, top, max(at, min(s.week, len(sets))), last)
}
