package periodize

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/blockwright/blockwright/plates"
)

// reviewer runs the checks over a plan and its totals.
type reviewer struct {
	p     *Plan
	r     *Review
	th    Thresholds
	found []Finding
}

func (c *reviewer) find(code, where, format string, args ...any) *Finding {
	c.found = append(c.found, found(code, where, format, args...))
	return &c.found[len(c.found)-1]
}

func (c *reviewer) check() {
	c.reserves()
	c.jumps()
	c.start()
	c.shape()
	c.focusLifts()
	c.heavyDays()
	c.front()
	c.coverage()
	c.sessionTimes()
	c.rounding()
}

// training is the weeks of the block proper.
func (c *reviewer) training() []WeekReview {
	n := slices.IndexFunc(c.r.Weeks, func(w WeekReview) bool { return w.Kind != Training })
	if n < 0 {
		return c.r.Weeks
	}
	return c.r.Weeks[:n]
}

func days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return strconv.Itoa(n) + " days"
}

func inWeek(w int) string { return "week " + strconv.Itoa(w) }

func times(n float64) string { return strconv.FormatFloat(math.Round(n*10)/10, 'f', -1, 64) }

// exercises yields each exercise of the plan with its session.
func (c *reviewer) exercises(visit func(ps *PlannedSession, ex *Exercise)) {
	for i := range c.p.Sessions {
		for k := range c.p.Sessions[i].Exercises {
			visit(&c.p.Sessions[i], &c.p.Sessions[i].Exercises[k])
		}
	}
}

// reserves looks at how the reserve that is predicted compares with what was
// asked for, and with what does anything. Sets that cannot be done are found
// with the plan; see foresee.
func (c *reviewer) reserves() {
	off := map[string]*Finding{}
	most := map[string]float64{}
	idle := map[string]bool{}
	c.exercises(func(ps *PlannedSession, ex *Exercise) {
		where := ps.Where(ex.Lift.Name)
		top := heaviest(ex.Sets) // the lighter ones before it are the way up, which is not meant to be hard
		for i := range ex.Sets {
			s := &ex.Sets[i]
			if s.Reserve == nil || s.Open || ps.Kind != Training {
				continue
			}
			name := ex.Lift.Name
			if i == 0 && s.RIR != nil {
				if more := s.Reserve.Mid - *s.RIR; more > max(c.th.ReserveOff, most[name]) {
					most[name] = more
					r := rule("reserve_off")
					off[name] = &Finding{Code: r.Code, Severity: r.Severity, Where: where, Evidence: r.Evidence,
						Text: fmt.Sprintf("%s in reserve was asked for, and about %s is predicted: %s", times(*s.RIR), times(s.Reserve.Mid), r.Advice)}
				}
			}
			if i == top && s.Kind == MainSet && s.RIR == nil && (ex.Role == Focus || ex.Role == Support) && s.Reserve.Mid > c.th.IdleReserve && !idle[name] {
				idle[name] = true
				c.find("idle_sets", where, "a set of %d leaves about %s in reserve", s.Reps, times(s.Reserve.Mid))
			}
		}
	})
	for i := range c.p.Block.Lifts {
		if f := off[c.p.Block.Lifts[i].Name]; f != nil {
			c.found = append(c.found, *f)
		}
	}
}

// jumps compares each week with the one before.
func (c *reviewer) jumps() {
	weeks := c.training()
	for _, l := range c.r.Lifts {
		for i := 1; i < len(l.Weeks); i++ {
			a, b := l.Weeks[i-1], l.Weeks[i]
			if b.Week != a.Week+1 || b.Week > len(weeks) {
				continue
			}
			if rise := b.Sets - a.Sets; rise >= c.th.JumpLiftSets && float64(rise) > c.th.JumpLift*float64(a.Sets) {
				f := c.find("jump_lift", inWeek(b.Week)+", "+l.Lift, "%d sets after %d the week before", b.Sets, a.Sets)
				if float64(rise) > 2*float64(a.Sets) && rise > 2*c.th.JumpLiftSets {
					f.Severity = Problem
				}
			}
		}
	}
	group := func(code string, of func(WeekReview) []Count) {
		for i := 1; i < len(weeks); i++ {
			before := map[string]float64{}
			for _, n := range of(weeks[i-1]) {
				before[n.Name] = n.Sets
			}
			for _, n := range of(weeks[i]) {
				if old := before[n.Name]; n.Sets-old >= c.th.JumpGroupSets && n.Sets-old > c.th.JumpGroup*old {
					c.find(code, inWeek(weeks[i].Week)+", "+n.Name, "%s sets after %s the week before", times(n.Sets), times(old))
				}
			}
		}
	}
	group("jump_pattern", func(w WeekReview) []Count { return w.Patterns })
	group("jump_muscle", func(w WeekReview) []Count { return w.Muscles })
}

// start compares the first week with what the lifter did before.
func (c *reviewer) start() {
	recent := c.p.Lifter.Recent
	was, known := recent.sets()
	if !known || len(c.p.Sessions) == 0 {
		return
	}
	care := c.p.Lifter.Level == Novice
	if first := c.p.Sessions[0].Date; !first.IsZero() && !recent.LastTrained.IsZero() {
		care = care || first.Sub(recent.LastTrained).Hours() >= 24*float64(c.th.LayOffDays)
	}
	limit := c.th.StartRise
	if care {
		limit = c.th.StartRiseCare
	}
	if n := float64(c.r.Weeks[0].Sets); n > (1+limit)*float64(was) {
		f := c.find("abrupt_start", inWeek(1), "%s sets after %s", times(n), aWeek(was))
		if n > 2*float64(was) && care {
			f.Severity = Problem
		}
	}
}

// aWeek is what was done before the block, in words.
func aWeek(sets int) string {
	if sets == 0 {
		return "none before the block"
	}
	return fmt.Sprintf("about %d a week before the block", sets)
}

// shape looks at volume and intensity over the weeks.
func (c *reviewer) shape() {
	weeks := c.training()
	if len(weeks) < 3 {
		return
	}
	large, heavy := 0, 0
	for i, w := range weeks {
		if w.Sets > weeks[large].Sets {
			large = i
		}
		if w.MeanIntensity >= weeks[heavy].MeanIntensity {
			heavy = i
		}
	}
	peak := weeks[large]
	if peak.Sets == 0 {
		return
	}
	last := weeks[len(weeks)-1]
	develop := c.p.Block.Goal != Peak
	flat := float64(peak.Sets)-float64(weeks[0].Sets) < c.th.Overreach*float64(weeks[0].Sets)
	if flat && develop {
		c.find("no_overreach", "weeks", "the largest week has %d sets, the first %d", peak.Sets, weeks[0].Sets)
	}
	if flat {
		// there is no overreach to cut after
	} else if large+1 < len(weeks) {
		if next := weeks[large+1]; float64(next.Sets) > (1-c.th.CutAfter)*float64(peak.Sets) && develop {
			c.find("no_cut", inWeek(next.Week), "%d sets after %d in the largest week", next.Sets, peak.Sets)
		}
	} else if c.p.Block.Finish.Deload == 0 {
		c.find("no_cut", inWeek(peak.Week), "the largest week is the last one, and nothing follows")
	}
	end := last
	if c.p.Deload != nil {
		end = c.r.Weeks[len(weeks)]
	}
	fall := 1 - float64(end.Sets)/float64(peak.Sets)
	switch {
	case fall < c.th.SmallStep && (c.p.Block.Goal == Peak || c.p.Block.Finish.Test):
		c.find("small_step_down", inWeek(end.Week), "%d sets before the test, %d in the largest week", end.Sets, peak.Sets)
	case fall > c.th.LargeStep && c.p.Block.Finish.Deload > 1:
		c.find("large_step_down", inWeek(end.Week), "%d sets after %d in the largest week", end.Sets, peak.Sets)
	}
	if heavy == large && large > 0 && peak.MeanIntensity > 0 {
		c.find("same_peak", inWeek(peak.Week), "%d sets at a mean of %s%% are the most and the heaviest", peak.Sets, times(peak.MeanIntensity))
	}
	if develop && c.p.Block.Finish.Test && c.p.Block.Finish.Deload == 0 {
		c.find("max_without_deload", "test day", "new maxima follow the last week directly")
	}
}

// focusLifts looks at each lift in front over the weeks.
func (c *reviewer) focusLifts() {
	weeks := c.training()
	if len(weeks) < 2 {
		return
	}
	large := 0
	for i, w := range weeks {
		if w.Sets > weeks[large].Sets {
			large = i
		}
	}
	for _, name := range c.inFront() {
		c.focusLift(name, weeks, large)
	}
}

func (c *reviewer) focusLift(name string, weeks []WeekReview, large int) {
	type day struct {
		sets     int
		heaviest float64
	}
	heaviest := make([]float64, len(weeks)) // per week, per cent
	heavyReps := make([]int, len(weeks))
	var bestDate, bestWeek = -1, 0
	best := 0.0
	days := make([][]day, len(weeks))
	var single, longer *float64
	c.exercises(func(ps *PlannedSession, ex *Exercise) {
		if ex.Lift.Name != name || ps.Kind != Training {
			return
		}
		lm, ok := c.p.Max(name)
		if !ok {
			return
		}
		d := day{sets: len(ex.Sets)}
		w := ps.Week - 1
		for i := range ex.Sets {
			s := &ex.Sets[i]
			if s.RIR != nil && s.Kind == HeavySet {
				if s.Reps == 1 && (single == nil || *s.RIR > *single) {
					single = s.RIR
				}
				if s.Reps >= 4 && (longer == nil || *s.RIR < *longer) {
					longer = s.RIR
				}
			}
			share := c.share(s, lm)
			if share == 0 {
				continue
			}
			d.heaviest = max(d.heaviest, share)
			if share > heaviest[w] {
				heaviest[w], heavyReps[w] = share, s.Reps
			}
			if share >= best {
				best, bestWeek = share, ps.Week
				bestDate = c.dayNumber(ps)
			}
		}
		days[w] = append(days[w], d)
	})
	for w := 1; w < len(weeks); w++ {
		if heaviest[w] == 0 || heaviest[w-1] == 0 {
			continue
		}
		if fall := heaviest[w-1] - heaviest[w]; fall > c.th.WeightFall && !c.recovers(weeks, w, large) {
			c.find("weight_falls", inWeek(w+1)+", "+name, "the heaviest set is at %s%% after %s%% the week before", times(heaviest[w]), times(heaviest[w-1]))
		}
		if heavyReps[w] > heavyReps[w-1] && w != large && min(heaviest[w], heaviest[w-1]) >= 100*c.th.HeavyWork {
			c.find("heavy_reps_rise", inWeek(w+1)+", "+name, "the heaviest set has %d repetitions after %d the week before", heavyReps[w], heavyReps[w-1])
		}
	}
	if single != nil && longer != nil && *longer < *single {
		c.find("reserve_order", name, "heavy sets of four or more leave %s, singles %s", times(*longer), times(*single))
	}
	for w, d := range days {
		if len(d) < 2 {
			continue
		}
		alike := true
		for _, x := range d[1:] {
			alike = alike && math.Abs(x.heaviest-d[0].heaviest) <= c.th.AlikePoints && abs(x.sets-d[0].sets) <= 1
		}
		if alike && d[0].heaviest > 0 {
			c.find("alike_days", inWeek(w+1)+", "+name, "%d sessions with %d sets up to %s%% each", len(d), d[0].sets, times(d[0].heaviest))
			break
		}
	}
	if last := c.lastDay(weeks[large].Week); bestDate >= 0 && last >= 0 && bestWeek > weeks[large].Week && bestDate-last < c.th.DaysAfterLarge {
		c.find("heavy_too_soon", inWeek(bestWeek)+", "+name, "the heaviest day comes %d days after the last session of the largest week, week %d", bestDate-last, weeks[large].Week)
	}
}

// recovers reports whether week w of a block that peaks is one of its lighter weeks, in
// which the weight may fall too: volume is cut against the week before, or stays cut
// from the largest week to the end, as in a taper. In a developmental block the weight
// climbs while volume is cut.
func (c *reviewer) recovers(weeks []WeekReview, w, large int) bool {
	if c.p.Block.Goal != Peak {
		return false
	}
	cut := func(week, from WeekReview) bool { return float64(week.Sets) <= (1-c.th.CutAfter)*float64(from.Sets) }
	taper := w > large && !slices.ContainsFunc(weeks[w:], func(x WeekReview) bool { return !cut(x, weeks[large]) })
	return taper || cut(weeks[w], weeks[w-1])
}

// inFront is the focus lifts as the lifter does them, each once.
func (c *reviewer) inFront() []string {
	var out []string
	for _, name := range c.p.Block.Focus {
		for _, sw := range c.p.Lifter.Swaps {
			if sw.From == name {
				name = sw.To
				break
			}
		}
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// share is a set's weight in per cent of the maximum; 0 where it has none.
func (c *reviewer) share(s *Set, lm *LiftMax) float64 {
	if lm == nil || lm.Max <= 0 {
		return 0
	}
	if load, known := s.weight(); known {
		return 100 * float64(load+lm.Body) / float64(s.maximum(lm))
	}
	return 0
}

// dayNumber counts days from the block's first; without dates the sessions are
// taken as spread over the week.
func (c *reviewer) dayNumber(ps *PlannedSession) int {
	if !ps.Date.IsZero() {
		return int(ps.Date.Sub(c.p.Sessions[0].Date).Hours()/24 + 0.5)
	}
	i := slices.IndexFunc(c.p.Block.Sessions, func(s Session) bool {
		return s.Name == ps.Name && s.Weeks.Has(min(ps.Week, c.p.Block.Weeks))
	})
	if i < 0 {
		return -1
	}
	return 7*(ps.Week-1) + dayOffsets(c.p.Block, 1)[i]
}

// lastDay is the day of a week's last session.
func (c *reviewer) lastDay(week int) int {
	last := -1
	for i := range c.p.Sessions {
		if ps := &c.p.Sessions[i]; ps.Week == week {
			last = max(last, c.dayNumber(ps))
		}
	}
	return last
}

// heavyDays looks for heavy days of one pattern that lie too close.
func (c *reviewer) heavyDays() {
	type heavy struct {
		day     int
		week    int
		session string
	}
	last := map[Pattern]heavy{}
	told := map[Pattern]bool{}
	c.exercises(func(ps *PlannedSession, ex *Exercise) {
		lm, _ := c.p.Max(ex.Lift.Name)
		top := 0.0
		for i := range ex.Sets {
			top = max(top, c.share(&ex.Sets[i], lm))
		}
		if top < 100*c.th.HeavyDay || ps.Kind == TestDay {
			return
		}
		d := c.dayNumber(ps)
		before, ok := last[ex.Lift.Pattern]
		if ok && d > before.day && d-before.day < c.th.HeavyDaysApart && !told[ex.Lift.Pattern] {
			told[ex.Lift.Pattern] = true
			c.find("heavy_days_close", ps.Where(ex.Lift.Name), "heavy %s work %s after %s", ex.Lift.Pattern, days(d-before.day), before.session)
		}
		last[ex.Lift.Pattern] = heavy{d, ps.Week, ps.Name}
	})
}

// front compares the focus lifts with the rest of their region.
func (c *reviewer) front() {
	byRegion := map[Region][]string{}
	for _, f := range c.inFront() {
		if l, ok := c.p.Block.Lift(f); ok {
			byRegion[regionOf(l)] = append(byRegion[regionOf(l)], f)
		}
	}
	heavy := map[string]int{}
	c.exercises(func(ps *PlannedSession, ex *Exercise) {
		lm, _ := c.p.Max(ex.Lift.Name)
		for i := range ex.Sets {
			if c.share(&ex.Sets[i], lm) >= 100*c.th.HeavyWork && ps.Kind == Training {
				heavy[ex.Lift.Name]++
			}
		}
	})
	for _, region := range Regions() {
		front := byRegion[region]
		if len(front) > 1 {
			c.find("two_in_front", string(region), "%s are all in front", strings.Join(front, " and "))
		}
		if len(front) != 1 {
			continue
		}
		for i := range c.p.Block.Lifts {
			l := &c.p.Block.Lifts[i]
			// a share of bodyweight and load together does not compare
			if l.Name != front[0] && regionOf(l) == region && l.BodyweightShare.Sign() <= 0 && heavy[l.Name] > heavy[front[0]] {
				c.find("behind_over_front", l.Name, "%d heavy sets against %d of %s", heavy[l.Name], heavy[front[0]], front[0])
			}
		}
	}
}

func regionOf(l *Lift) Region {
	if l.Region != "" {
		return l.Region
	}
	r, _ := l.Pattern.Region()
	return r
}

// basicPatterns are the patterns whose absence is worth a note; push and pull
// count in either direction.
var basicPatterns = []struct {
	name string
	of   []Pattern
}{
	{"squat or lunge", []Pattern{Squat, Lunge}}, {"hinge", []Pattern{Hinge}},
	{"push", []Pattern{PushHorizontal, PushVertical}}, {"pull", []Pattern{PullHorizontal, PullVertical}},
}

var largeMuscles = []Muscle{"quads", "hamstrings", "glutes", "chest", "back", "shoulders"}

// coverage looks for patterns and muscles with too little or too much.
func (c *reviewer) coverage() {
	weeks := c.training()
	if len(weeks) == 0 {
		return
	}
	pattern, muscle, most := map[string]float64{}, map[string]float64{}, map[string]WeekReview{}
	top := map[string]float64{}
	for _, w := range weeks {
		for _, n := range w.Patterns {
			pattern[n.Name] += n.Sets
		}
		for _, n := range w.Muscles {
			muscle[n.Name] += n.Sets
			if n.Sets > top[n.Name] {
				top[n.Name], most[n.Name] = n.Sets, w
			}
		}
	}
	for _, b := range basicPatterns {
		sets := 0.0
		for _, p := range b.of {
			sets += pattern[string(p)]
		}
		if sets == 0 {
			c.find("missing_pattern", "block", "there is no %s", b.name)
		}
	}
	n := float64(len(weeks))
	for _, m := range muscles {
		sets := muscle[string(m)]
		if m == "back" {
			sets += muscle["lats"]
		}
		switch mean := sets / n; {
		case sets == 0 && len(muscle) > 0 && slices.Contains(largeMuscles, m):
			c.find("missing_muscle", "block", "nothing for the %s", m)
		case sets > 0 && mean < c.th.FewSets && slices.Contains(largeMuscles, m):
			c.find("few_sets", string(m), "%s sets a week on average", times(mean))
		case muscle[string(m)]/n > c.th.ManySets:
			c.find("many_sets", string(m), "%s sets a week on average", times(muscle[string(m)]/n))
		case top[string(m)] > c.th.ManySetsOneWeek:
			c.find("many_sets", inWeek(most[string(m)].Week)+", "+string(m), "%s sets in one week", times(top[string(m)]))
		}
	}
}

// sessionTimes compares sessions with their limits.
func (c *reviewer) sessionTimes() {
	type worst struct {
		week int
		m    *Range
	}
	var names []string
	over := map[string]worst{}
	limits := map[string]float64{}
	for _, w := range c.r.Weeks {
		for _, s := range w.Sessions {
			if s.Minutes == nil || s.Limit == 0 || s.Minutes.Mid <= s.Limit {
				continue
			}
			if o, ok := over[s.Name]; !ok || s.Minutes.Mid > o.m.Mid {
				if !ok {
					names = append(names, s.Name)
				}
				over[s.Name] = worst{w.Week, s.Minutes}
				limits[s.Name] = s.Limit
			}
		}
	}
	for _, name := range names {
		o := over[name]
		f := c.find("over_time", inWeek(o.week)+", "+name, "about %.0f minutes (%.0f to %.0f) against a limit of %.0f", o.m.Mid, o.m.Low, o.m.High, limits[name])
		if o.m.Low > limits[name] {
			f.Severity = Problem
		}
	}
}

// rounding looks for weights that the gym's plates moved far.
func (c *reviewer) rounding() {
	type moved struct {
		sets  int
		worst float64
		where string
		load  plates.Mass
	}
	var names []string
	by := map[string]*moved{}
	c.exercises(func(ps *PlannedSession, ex *Exercise) {
		body := c.p.bodyOf(ex.Lift)
		for i := range ex.Sets {
			s := &ex.Sets[i]
			if !s.HasLoad || s.Below || s.Above {
				continue
			}
			asked := s.Exact.Add(body).In(c.p.Unit)
			if asked <= 0 {
				continue
			}
			off := math.Abs((s.Load+body).In(c.p.Unit)-asked) / asked
			if off <= c.th.RoundingMoved {
				continue
			}
			m := by[ex.Lift.Name]
			if m == nil {
				m = &moved{}
				by[ex.Lift.Name] = m
				names = append(names, ex.Lift.Name)
			}
			m.sets++
			if off > m.worst {
				m.worst, m.where, m.load = off, ps.Where(ex.Lift.Name), s.Load
			}
		}
	})
	for _, name := range names {
		m := by[name]
		sets := "1 set was"
		if m.sets > 1 {
			sets = fmt.Sprintf("%d sets were", m.sets)
		}
		c.find("rounding_moved", m.where, "%s moved by up to %s%%", sets, times(100*m.worst))
	}
}
