package periodize

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

// Blocks that are good by their own review are made without the drafter, and
// briefs are taken from them, so that each brief is known to be feasible.

// yard is invented lifts.
var yard = []Lift{
	{Name: "pull from blocks", Pattern: Hinge, Uses: "bar", Muscles: []Share{{"hamstrings", 1}, {"glutes", 1}, {"back", 0.5}, {"lower back", 0.5}}},
	{Name: "back squat", Pattern: Squat, Uses: "bar", Muscles: []Share{{"quads", 1}, {"glutes", 1}}},
	{Name: "flat press", Pattern: PushHorizontal, Uses: "bar", Curve: "bench press", Muscles: []Share{{"chest", 1}, {"triceps", 0.5}, {"shoulders", 0.5}}},
	{Name: "standing press", Pattern: PushVertical, Uses: "bar", Muscles: []Share{{"shoulders", 1}, {"triceps", 0.5}}},
	{Name: "bent row", Pattern: PullHorizontal, Uses: "bar", Muscles: []Share{{"back", 1}, {"biceps", 0.5}}},
	{Name: "long pull", Pattern: Hinge, Uses: "bar", Tempo: 5, Muscles: []Share{{"hamstrings", 1}, {"glutes", 0.5}, {"quads", 0.5}}, Max: &MaxFrom{Of: "pull from blocks", Percent: ratio(85, 1)}},
	{Name: "high squat", Pattern: Squat, Uses: "bar", Muscles: []Share{{"quads", 1}, {"abs", 0.5}}, Max: &MaxFrom{Of: "back squat", Percent: ratio(80, 1)}},
	{Name: "narrow press", Pattern: PushHorizontal, Uses: "bar", Muscles: []Share{{"triceps", 1}, {"chest", 0.5}}, Max: &MaxFrom{Of: "flat press", Percent: ratio(90, 1)}},
	{Name: "chin", Pattern: PullVertical, BodyweightShare: ratio(100, 1), Muscles: []Share{{"lats", 1}, {"biceps", 0.5}}},
	{Name: "step", Pattern: Lunge, Uses: "bells", Muscles: []Share{{"quads", 1}, {"glutes", 0.5}}},
	{Name: "bell row", Pattern: PullHorizontal, Uses: "bells", Muscles: []Share{{"back", 1}, {"rear shoulders", 0.5}}},
	{Name: "curl", Pattern: Isolation, Region: Upper, Uses: "bells", Muscles: []Share{{"biceps", 1}}},
	{Name: "extension", Pattern: Isolation, Region: Upper, Muscles: []Share{{"triceps", 1}}},
	{Name: "heel raise", Pattern: Isolation, Region: Lower, Muscles: []Share{{"calves", 1}}},
	{Name: "hollow", Pattern: TrunkWork, Region: Trunk, Muscles: []Share{{"abs", 1}, {"obliques", 0.5}}},
	{Name: "long walk", Pattern: Carry, Region: Trunk, Uses: "bells", Muscles: []Share{{"forearms", 1}, {"traps", 0.5}}},
	{Name: "bridge", Pattern: Hinge, Muscles: []Share{{"glutes", 1}}},
	{Name: "push-up", Pattern: PushHorizontal, BodyweightShare: ratio(65, 1), Muscles: []Share{{"chest", 1}, {"triceps", 0.5}}},
}

// hidden is a good block and what a brief needs to know of it.
type hidden struct {
	block  *Block
	review *Review
	peak   int
	heavy  *HeavySets
	level  Level
}

// hiddenBlock makes one, or nil where its review has a warning.
func hiddenBlock(r *rand.Rand) *hidden {
	between := func(a, b int) int { return a + r.IntN(b-a+1) }
	h := &hidden{level: Levels()[r.IntN(3)]}
	weeks := between(3, 12)
	b := &Block{Title: "hidden", Weeks: weeks, Goal: Goals()[r.IntN(2)]}
	for _, i := range r.Perm(len(yard)) {
		if i < 5 || len(b.Lifts) < 14 {
			b.Lifts = append(b.Lifts, yard[i])
		}
	}
	b.Lifts = slices.DeleteFunc(b.Lifts, func(l Lift) bool {
		return l.Max != nil && !slices.ContainsFunc(b.Lifts, func(o Lift) bool { return o.Name == l.Max.Of })
	})
	b.Focus = []string{yard[r.IntN(2)].Name, yard[2+r.IntN(3)].Name}
	if r.IntN(6) == 0 {
		b.Focus = b.Focus[r.IntN(2):][:1]
	}
	days := between(1, 5)
	for _, d := range slices.Sorted(slices.Values(r.Perm(7)[:days])) {
		day := time.Weekday((d + 1) % 7)
		b.Sessions = append(b.Sessions, Session{Name: day.String(), Day: &day})
	}
	h.peak = between(2, max(2, weeks-2))
	rise := 0.15 + 0.5*r.Float64()
	after := 0.4 + 0.3*r.Float64()
	sets := func(base int) Track {
		t := make(WeekTrack, weeks)
		for w := range t {
			v := float64(base)
			switch {
			case w+1 <= h.peak:
				v *= 1 + rise*float64(w)/float64(h.peak-1)
			default:
				v *= (1 + rise) * (after - 0.1*float64(w+1-h.peak)/float64(weeks))
			}
			t[w].Value = ratio(int64(max(math.Round(v), 1)), 1)
		}
		return t
	}
	across := func(l Lift, reps, most int, rest float64, low, high float64) Item {
		c, err := (&maxima{curves: map[string]*estimate.Curve{}}).curve(&l)
		if err != nil {
			panic(err)
		}
		spend := 0.0
		var m workload.Recovery
		if got, err := m.FreshCapacity(low, slices.Repeat([]workload.WorkSet{{Reps: float64(reps), Rest: rest}}, most)); err == nil {
			spend = got.Mid - low
		}
		from, _, _ := c.Fraction(spend + high)
		to, _, _ := c.Fraction(spend + low)
		it := Item{Lift: l.Name}
		it.Reps = FixedTrack{ratio(int64(reps), 1)}
		round := func(f float64) float64 { return math.Floor(200*f) / 2 }
		it.Weight = Percent(Line(round(from), round(to)))
		it.Rest = FixedTrack{number(rest)}
		return it
	}
	lift := func(name string) Lift { l, _ := b.Lift(name); return *l }
	h.heavy = &HeavySets{Reps: [2]int{between(3, 6), between(1, 3)}}
	h.heavy.RIR = [2]plates.Ratio{ratio(int64(between(3, 6)), 2), ratio(int64(between(1, 3)), 2)}
	order := r.Perm(days)
	for i, f := range b.Focus {
		hd := order[i%days]
		it := Item{Lift: f, Backoff: &Backoff{Sets: sets(between(2, 4)), Reps: Line(float64(h.heavy.Reps[0]), float64(h.heavy.Reps[1])), Drop: Fixed(float64(between(10, 15)))}}
		it.Sets = Fixed(1)
		it.Reps = Line(float64(h.heavy.Reps[0]), float64(h.heavy.Reps[1]))
		it.Weight = Weight{ByRIR, LineTrack{h.heavy.RIR[0], h.heavy.RIR[1]}}
		b.Sessions[hd].Work = append(b.Sessions[hd].Work, it)
		for k := range between(0, 2) {
			if days < 2 || k > 0 && days < 4 {
				break
			}
			vd := order[(i+1+k)%days]
			if vd == hd {
				break
			}
			v := across(lift(f), between(3, 5), 7, 180, 1.5, 3)
			v.Sets = sets(between(3, 5))
			b.Sessions[vd].Work = append(b.Sessions[vd].Work, v)
		}
	}
	for _, l := range b.Lifts {
		if slices.Contains(b.Focus, l.Name) || r.IntN(3) == 0 {
			continue
		}
		for range between(1, 2) {
			d := r.IntN(days)
			if slices.ContainsFunc(b.Sessions[d].Work, func(it Item) bool { return it.Lift == l.Name }) || len(b.Sessions[d].Work) > 5 {
				continue
			}
			var it Item
			switch {
			case l.Uses == "bar":
				it = across(l, between(4, 6), 5, 150, 1.5, 3.5)
				if r.IntN(2) == 0 {
					it.Role = Developmental
				}
			case l.Pattern == Carry:
				it = Item{Lift: l.Name, Role: Accessory}
				it.Metres = Fixed(20)
			case l.Pattern == TrunkWork:
				it = Item{Lift: l.Name, Role: Accessory}
				it.Seconds = Fixed(25)
			default:
				it = Item{Lift: l.Name, Role: Accessory}
				it.Reps, it.Weight = Fixed(10), RIR(Fixed(3))
				if l.Uses != "" {
					it.ReserveOf = LastSet
				}
			}
			it.Sets = sets(between(2, 3))
			b.Sessions[d].Work = append(b.Sessions[d].Work, it)
		}
	}
	if slices.ContainsFunc(b.Sessions, func(s Session) bool { return len(s.Work) == 0 }) {
		return nil
	}
	if b.Goal == Develop {
		b.Finish = Finish{Deload: 1, Cut: ratio(50, 1), Hold: ratio(90, 1), Test: true}
	} else {
		b.Finish = Finish{Test: true}
	}
	h.block = b
	rev, err := ReviewBlock(b, Thresholds{})
	if err != nil {
		panic(err)
	}
	h.review = rev
	if slices.ContainsFunc(rev.Findings, func(f Finding) bool { return f.Severity != Note }) {
		return nil
	}
	return h
}

// ask takes a brief from a hidden block: each wish is one that the block meets.
func (h *hidden) ask(r *rand.Rand) *Brief {
	b := &Brief{Title: "asked", Weeks: h.block.Weeks, Goal: h.block.Goal, Focus: h.block.Focus, Lifts: h.block.Lifts, Level: h.level}
	used := map[string]bool{}
	longest := 0.0
	for _, s := range h.block.Sessions {
		b.Days = append(b.Days, *s.Day)
		for _, it := range s.Work {
			used[it.Lift] = true
		}
	}
	for _, w := range h.review.Weeks[:b.Weeks] {
		for _, s := range w.Sessions {
			longest = max(longest, s.Minutes.Mid)
		}
	}
	if r.IntN(4) > 0 {
		b.Minutes = int(math.Ceil(longest)) + 5*r.IntN(3)
	}
	for _, l := range b.Lifts {
		switch {
		case used[l.Name] && r.IntN(6) == 0:
			b.Keep = append(b.Keep, l.Name)
		case !used[l.Name] && r.IntN(2) == 0:
			b.Avoid = append(b.Avoid, l.Name)
		}
	}
	largest := 0
	for w, x := range h.review.Weeks[:b.Weeks] {
		if x.Sets > h.review.Weeks[largest].Sets {
			largest = w
		}
	}
	first, most := h.review.Weeks[0].Sets, h.review.Weeks[largest].Sets
	if largest > 0 && r.IntN(3) > 0 {
		b.Overreach = &Overreach{Week: largest + 1, Rise: ratio(int64(100*(most-first)), int64(first))}
	}
	for _, m := range muscles {
		if r.IntN(4) > 0 {
			continue
		}
		low, high := math.Inf(1), 0.0
		for w, x := range h.review.Weeks[:b.Weeks] {
			n := 0.0
			if i := slices.IndexFunc(x.Muscles, func(c Count) bool { return c.Name == string(m) }); i >= 0 {
				n = x.Muscles[i].Sets
			}
			high = max(high, n)
			if w <= largest {
				low = min(low, n)
			}
		}
		b.WeeklySets = append(b.WeeklySets, SetRange{m, max(int(math.Floor(low))-r.IntN(2), 0), int(math.Ceil(high)) + r.IntN(2)})
	}
	if r.IntN(2) == 0 {
		b.Heavy = h.heavy
	}
	if r.IntN(2) == 0 {
		low, high := mainReserves(h.block)
		if low <= high {
			b.Reserve = &ReserveSpan{number(math.Max(math.Floor(2*low)/2, 0)), number(math.Ceil(2*high) / 2)}
		}
	}
	for _, rem := range Remedies() {
		if r.IntN(5) > 0 {
			continue
		}
		for _, l := range b.Lifts {
			// The hidden block has work of the remedy's pattern for its muscles.
			if used[l.Name] && !slices.Contains(b.Focus, l.Name) && slices.Contains(rem.Patterns, l.Pattern) &&
				slices.ContainsFunc(l.Muscles, func(s Share) bool { return slices.Contains(rem.Muscles, s.Muscle) }) {
				b.Lacking = append(b.Lacking, rem.Lacking)
				break
			}
		}
	}
	return b
}

// mainReserves is the least and the most predicted reserve of sets across,
// accessories apart.
func mainReserves(b *Block) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	prog, err := Compile(b, nominalRoster(b))
	if err != nil {
		panic(err)
	}
	for _, ps := range prog.Plan(0).Sessions {
		for _, ex := range ps.Exercises {
			if ps.Kind != Training || ex.Role == Accessory {
				continue
			}
			for i := range ex.Sets {
				if s := &ex.Sets[i]; s.Kind == MainSet && s.Reserve != nil && s.Origin.Kind == ByPercent {
					low, high = min(low, s.Reserve.Mid), max(high, s.Reserve.Mid)
				}
			}
		}
	}
	return low, high
}

// unmet lists the wishes of a brief that a block does not meet, and the
// problems and warnings of its review.
func unmet(b *Brief, block *Block) []string {
	var out []string
	fail := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	rev, err := ReviewBlock(block, Thresholds{})
	if err != nil {
		return []string{err.Error()}
	}
	for _, f := range rev.Findings {
		if f.Severity != Note {
			fail("%s: %s: %s: %s", f.Severity, f.Code, f.Where, f.Text)
		}
	}
	if block.Weeks != b.Weeks || len(block.Sessions) != len(b.Days) {
		fail("%d weeks of %d sessions", block.Weeks, len(block.Sessions))
	}
	used := map[string]bool{}
	for i, s := range block.Sessions {
		if *s.Day != b.Days[i] {
			fail("session %d is on %s", i, s.Day)
		}
		for _, it := range s.Work {
			used[it.Lift] = true
		}
	}
	for _, n := range slices.Concat(b.Keep, b.Focus) {
		if !used[n] {
			fail("%s does not appear", n)
		}
	}
	for _, n := range b.Avoid {
		if used[n] {
			fail("%s appears", n)
		}
	}
	for _, l := range b.Lacking {
		r, _ := l.Remedy()
		if !slices.ContainsFunc(block.Lifts, func(x Lift) bool {
			return used[x.Name] && !slices.Contains(b.Focus, x.Name) && slices.Contains(r.Patterns, x.Pattern)
		}) {
			fail("nothing for %s", l)
		}
	}
	largest := 0
	for w, x := range rev.Weeks[:b.Weeks] {
		if x.Sets > rev.Weeks[largest].Sets {
			largest = w
		}
		for _, s := range x.Sessions {
			if b.Minutes > 0 && s.Minutes.Mid > float64(b.Minutes) {
				fail("week %d, %s takes %.1f minutes", x.Week, s.Name, s.Minutes.Mid)
			}
		}
	}
	if o := b.Overreach; o != nil {
		first, most := rev.Weeks[0].Sets, rev.Weeks[largest].Sets
		want := o.Rise.Float64()/100*float64(first) + float64(first)
		if largest+1 != o.Week || math.Abs(float64(most)-want) > 0.5+1e-9 {
			fail("%d sets in week 1 and %d in week %d, want %s%% more in week %d", first, most, largest+1, o.Rise, o.Week)
		}
	}
	for _, m := range b.WeeklySets {
		for w, x := range rev.Weeks[:b.Weeks] {
			n := 0.0
			if i := slices.IndexFunc(x.Muscles, func(c Count) bool { return c.Name == string(m.Muscle) }); i >= 0 {
				n = x.Muscles[i].Sets
			}
			if n > float64(m.High)+1e-9 || w <= largest && n < float64(m.Low)-1e-9 {
				fail("week %d: %g sets for %s, want %d to %d", w+1, n, m.Muscle, m.Low, m.High)
			}
		}
	}
	if r := b.Reserve; r != nil {
		if low, high := mainReserves(block); low < r.Low.Float64()-1e-3 || high > r.High.Float64()+1e-3 {
			fail("main sets leave %.2f to %.2f, want %s to %s", low, high, r.Low, r.High)
		}
	}
	if hv := b.Heavy; hv != nil {
		for _, f := range b.Focus {
			// One of the lift's items is the heavy set, from the first wish to the last.
			if !slices.ContainsFunc(block.Sessions, func(s Session) bool {
				return slices.ContainsFunc(s.Work, func(it Item) bool {
					ok := it.Lift == f && it.Weight.Kind == ByRIR
					for i, w := range []int{1, b.Weeks} {
						if ok && (i == 0 || b.Weeks > 1) {
							reps, _ := it.Reps.At(w, b.Weeks)
							rir, _ := it.Weight.Track.At(w, b.Weeks)
							ok = reps.RoundHalfUp() == int64(hv.Reps[i]) && rir.Cmp(hv.RIR[i]) == 0
						}
					}
					return ok
				})
			}) {
				fail("no heavy sets of %s as asked", f)
			}
		}
	}
	return out
}

// TestDraftsOfFeasibleBriefs: every brief taken from a good block drafts, meets
// its wishes and passes its review without a warning.
func TestDraftsOfFeasibleBriefs(t *testing.T) {
	const groups = 10
	n := 50
	if testing.Short() {
		n = 4
	}
	for g := range groups {
		t.Run(fmt.Sprint(g), func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(uint64(g), 2))
			for i := range n {
				b, h := feasibleBrief(t, r)
				if own := unmet(b, h.block); len(own) > 0 {
					t.Fatalf("brief %d does not describe the block it was taken from: %v", i, own)
				}
				d, err := Draft(b, DraftOptions{RunnersUp: -1})
				if err != nil {
					t.Errorf("brief %d: %v", i, err)
					continue
				}
				if wrong := unmet(b, d.Block); len(wrong) > 0 {
					t.Errorf("brief %d: %v", i, wrong)
				}
			}
		})
	}
}

// feasibleBrief takes a brief from a good block, which it makes.
func feasibleBrief(t *testing.T, r *rand.Rand) (*Brief, *hidden) {
	t.Helper()
	for range 1000 {
		if h := hiddenBlock(r); h != nil {
			return h.ask(r), h
		}
	}
	t.Fatal("no good block in 1000 tries")
	return nil, nil
}
