package periodize

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/plates"
	"pgregory.net/rapid"
)

// TestReviewTotalsAreTheSumsOfThePlan holds for random plans: sets and
// repetitions exactly, tonnage and shares by the definition.
func TestReviewTotalsAreTheSumsOfThePlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		prog, err := Compile(drawBlock(t), oneLifter(drawLifter(t)))
		if err != nil {
			t.Fatal(err)
		}
		p := prog.Plan(0)
		r := p.Review(Thresholds{})
		for _, w := range r.Weeks {
			sets, reps := 0, 0
			tonnage := 0.0
			muscle := map[string]float64{}
			for _, s := range p.Sessions {
				if s.Week != w.Week {
					continue
				}
				for _, ex := range s.Exercises {
					for _, set := range ex.Sets {
						sets++
						reps += set.Reps * set.Sides
						load, known := set.weight()
						if body := p.bodyOf(ex.Lift); known || body > 0 {
							tonnage += (load + body).Kilograms() * float64(set.Reps*set.Sides)
						}
						for _, m := range ex.Lift.Muscles {
							muscle[string(m.Muscle)] += m.Part
						}
					}
				}
			}
			if w.Sets != sets || w.Reps != reps {
				t.Fatalf("week %d: %d sets, %d repetitions; the plan has %d and %d", w.Week, w.Sets, w.Reps, sets, reps)
			}
			if math.Abs(w.Tonnage-tonnage) > 1e-9*math.Abs(tonnage) {
				t.Fatalf("week %d: tonnage %v, the plan has %v", w.Week, w.Tonnage, tonnage)
			}
			for _, m := range w.Muscles {
				if m.Sets != muscle[m.Name] {
					t.Fatalf("week %d: %s %v sets, the plan has %v", w.Week, m.Name, m.Sets, muscle[m.Name])
				}
				delete(muscle, m.Name)
			}
			if len(muscle) > 0 {
				t.Fatalf("week %d: muscles left out: %v", w.Week, muscle)
			}
		}
		bySets := 0
		for _, l := range r.Lifts {
			for _, w := range l.Weeks {
				bySets += w.Sets
			}
		}
		all := 0
		for _, w := range r.Weeks {
			all += w.Sets
		}
		if bySets != all {
			t.Fatalf("the lifts add up to %d sets, the weeks to %d", bySets, all)
		}
	})
}

func TestReviewIntensityIsWeightedByRepetitions(t *testing.T) {
	// 5 at 60 % and 1 at 90 %: (5 x 60 + 90)/6 = 65 %.
	b := oneItem(1, Item{Each: []Work{{Reps: Fixed(5), Weight: Percent(Fixed(60))}, {Reps: Fixed(1), Weight: Percent(Fixed(90))}}})
	w := plan(t, b, oneLifter(Lifter{})).Review(Thresholds{}).Weeks[0]
	if math.Abs(w.MeanIntensity-65) > 1e-9 || math.Abs(w.RelativeVolume-3.9) > 1e-12 || w.Tonnage != 390 || math.Abs(w.Heaviest-90) > 1e-9 {
		t.Errorf("%+v, want mean 65, relative volume 3.9, tonnage 390, heaviest 90", w.Totals)
	}
}

// good is a block without findings: sets climb to week 3 and are cut, weight
// climbs, a day with more sets and a day with more weight, all patterns there.
func good() (*Block, *Roster) {
	b := &Block{Title: "good", Weeks: 5, Focus: []string{"pull", "press"},
		Lifts: []Lift{
			{Name: "pull", Pattern: Hinge, Uses: "bar", Muscles: []Share{{"hamstrings", 1}, {"glutes", 1}, {"back", 0.5}}},
			{Name: "press", Pattern: PushVertical, Uses: "bar", Muscles: []Share{{"shoulders", 1}, {"chest", 0.5}}},
			{Name: "squat", Pattern: Squat, Uses: "bar", Muscles: []Share{{"quads", 1}, {"glutes", 0.5}}},
			{Name: "bench", Pattern: PushHorizontal, Uses: "bar", Muscles: []Share{{"chest", 1}}},
			{Name: "row", Pattern: PullHorizontal, Uses: "bar", Muscles: []Share{{"back", 1}}},
		},
		Sessions: []Session{
			{Name: "Volume", Day: day(time.Monday), Limit: 240 * time.Minute, Work: []Item{
				{Lift: "pull", Work: Work{Sets: ByWeek(5, 6, 7, 4, 4), Reps: Fixed(4), Weight: Percent(Line(62.5, 70))}},
				{Lift: "squat", Work: Work{Sets: Fixed(4), Reps: Fixed(5), Weight: Percent(Fixed(65))}},
				{Lift: "bench", Work: Work{Sets: Fixed(4), Reps: Fixed(5), Weight: Percent(Fixed(65))}},
			}},
			{Name: "Heavy", Day: day(time.Thursday), Limit: 240 * time.Minute, Work: []Item{
				{Lift: "press", Work: Work{Sets: ByWeek(5, 6, 7, 5, 4), Reps: ByWeek(4, 4, 3, 2, 2), Weight: Percent(Line(70, 85))}},
				{Lift: "pull", Work: Work{Sets: ByWeek(2, 2, 2, 2, 1), Reps: ByWeek(3, 3, 2, 2, 1), Weight: Percent(ByWeek(75, 77.5, 80, 82.5, 90))}},
				{Lift: "row", Work: Work{Sets: ByWeek(4, 5, 5, 4, 3), Reps: Fixed(5), Weight: Percent(Fixed(65))}},
			}},
		},
		Finish: Finish{Deload: 1, Cut: ratio(50, 1), Hold: ratio(90, 1), Test: true}}
	l := Lifter{Name: "Ada", Recent: &Recent{WeeklySets: new(24)}}
	for _, lift := range b.Lifts {
		l.Maxes = append(l.Maxes, MaxEntry{Lift: lift.Name, Tested: 100 * kg})
	}
	r := oneLifter(l)
	r.Start = date("2027-03-01") // a Monday
	return b, r
}

// setMax is a maximum from one set on a day.
func setMax(lift, day string) MaxEntry {
	rir := ratio(0, 1)
	return MaxEntry{Lift: lift, Sets: []DoneSet{{Load: 100 * kg, Reps: 1, RIR: &rir, Date: date(day)}}}
}

func codes(t *testing.T, b *Block, r *Roster) []string {
	t.Helper()
	var out []string
	for _, f := range plan(t, b, r).Review(Thresholds{}).Findings {
		if f.Evidence == "" || f.Text == "" || f.Where == "" {
			t.Errorf("%s lacks a place, reason or evidence: %+v", f.Code, f)
		}
		out = append(out, f.Code)
	}
	return out
}

func TestGoodBlockHasNoWarnings(t *testing.T) {
	b, r := good()
	for _, f := range plan(t, b, r).Review(Thresholds{}).Findings {
		if f.Severity != Note || f.Code != "extrapolated" {
			t.Errorf("%s %s: %s: %s", f.Severity, f.Code, f.Where, f.Text)
		}
	}
}

// TestRules has for every rule a change of the good block that triggers it;
// the good block itself is the case that does not.
// TestStartAfterNothing: sets before the block that are none are judged; those that
// nobody knows are not.
func TestStartAfterNothing(t *testing.T) {
	b, r := good()
	found := func() string {
		for _, f := range plan(t, b, r).Review(Thresholds{}).Findings {
			if f.Code == "abrupt_start" {
				return string(f.Severity) + ": " + f.Text
			}
		}
		return ""
	}
	r.Lifters[0].Recent = &Recent{WeeklySets: new(0)}
	if got := found(); !strings.Contains(got, "sets after none before the block") {
		t.Errorf("after none: %q", got)
	}
	r.Lifters[0].Recent = &Recent{LastTrained: date("2027-02-26")}
	if got := found(); got != "" {
		t.Errorf("unknown: %q", got)
	}
}

func TestRules(t *testing.T) {
	item := func(b *Block, s, i int) *Item { return &b.Sessions[s].Work[i] }
	triggers := map[string]func(b *Block, r *Roster){
		"below_minimum": func(b *Block, r *Roster) { item(b, 0, 1).Weight = Percent(Fixed(15)) },
		"above_stock":   func(b *Block, r *Roster) { r.Lifters[0].Maxes[2].Tested = 300 * kg },
		"swap_share": func(b *Block, r *Roster) {
			b.Lifts = append(b.Lifts, Lift{Name: "box squat", Pattern: Squat, Uses: "bar", Muscles: b.Lifts[2].Muscles})
			b.Lifts[3].Max = &MaxFrom{Of: "squat", Percent: ratio(88, 1)}
			r.Lifters[0].Maxes[3].Lift = "box squat"
			r.Lifters[0].Swaps = []Swap{{From: "squat", To: "box squat"}, {From: "bench", To: "box squat"}}
		},
		"swapped_test": func(b *Block, r *Roster) {
			r.Lifters[0].Swaps = []Swap{{From: b.TestLifts()[0], To: "squat"}}
		},
		"outside_curve": func(b *Block, r *Roster) { item(b, 0, 1).Reps, item(b, 0, 1).Weight = Fixed(100), RIR(Fixed(10)) },
		"extrapolated":  func(b *Block, r *Roster) { item(b, 0, 1).Reps, item(b, 0, 1).Weight = Fixed(1), RIR(Fixed(1)) },
		"no_weight": func(b *Block, r *Roster) {
			b.Lifts = append(b.Lifts, Lift{Name: "air squat", Pattern: Squat, Muscles: []Share{{"quads", 1}}})
			r.Lifters[0].Swaps = []Swap{{From: "squat", To: "air squat"}}
		},
		"over_maximum": func(b *Block, r *Roster) { item(b, 0, 1).Reps, item(b, 0, 1).Weight = Fixed(1), Percent(Fixed(105)) },
		"old_set":      func(b *Block, r *Roster) { r.Lifters[0].Maxes[2] = setMax("squat", "2026-10-01") },
		"later_set":    func(b *Block, r *Roster) { r.Lifters[0].Maxes[2] = setMax("squat", "2027-03-02") },
		"reserve_off": func(b *Block, r *Roster) {
			item(b, 0, 1).Weight = RIR(Fixed(1))
			r.Lifters[0].Rounding = plates.Down
			r.Gyms[0].Plates = plates.Inventory{{Plate: plates.Plate{Mass: 20 * kg}, Count: 10}}
		},
		"first_reserve":  func(b *Block, r *Roster) { item(b, 0, 1).Weight, item(b, 0, 1).ReserveOf = RIR(Fixed(9)), LastSet },
		"impossible_set": func(b *Block, r *Roster) { item(b, 0, 1).Reps, item(b, 0, 1).Weight = Fixed(14), Percent(Fixed(85)) },
		"doubtful_set":   func(b *Block, r *Roster) { item(b, 0, 1).Reps, item(b, 0, 1).Weight = Fixed(8), Percent(Fixed(80)) },
		"idle_sets":      func(b *Block, r *Roster) { item(b, 0, 1).Reps, item(b, 0, 1).Weight = Fixed(3), Percent(Fixed(50)) },
		"jump_lift":      func(b *Block, r *Roster) { item(b, 0, 1).Sets = ByWeek(4, 9, 9, 6, 4) },
		"jump_pattern":   func(b *Block, r *Roster) { item(b, 0, 1).Sets = ByWeek(4, 10, 10, 6, 4) },
		"jump_muscle":    func(b *Block, r *Roster) { item(b, 0, 1).Sets = ByWeek(4, 10, 10, 6, 4) },
		"abrupt_start":   func(b *Block, r *Roster) { r.Lifters[0].Recent.WeeklySets = new(10) },
		"no_overreach": func(b *Block, r *Roster) {
			item(b, 0, 0).Sets, item(b, 1, 0).Sets, item(b, 1, 2).Sets = Fixed(5), Fixed(5), Fixed(4)
		},
		"no_cut": func(b *Block, r *Roster) {
			item(b, 0, 0).Sets, item(b, 1, 0).Sets, item(b, 1, 2).Sets = ByWeek(5, 6, 7, 7, 4), ByWeek(5, 6, 7, 7, 4), Fixed(4)
		},
		"small_step_down": func(b *Block, r *Roster) {
			b.Finish.Cut = ratio(0, 1)
			item(b, 0, 0).Sets, item(b, 1, 0).Sets = Fixed(6), Fixed(6)
		},
		"large_step_down": func(b *Block, r *Roster) { b.Finish.Deload, b.Finish.Cut = 2, ratio(90, 1) },
		"same_peak": func(b *Block, r *Roster) {
			item(b, 0, 0).Weight, item(b, 1, 0).Weight = Percent(Crest(60, 90, 3, 60)), Percent(Crest(60, 90, 3, 60))
		},
		"heavy_too_soon": func(b *Block, r *Roster) {
			item(b, 1, 1).Weight = Percent(ByWeek(75, 80, 80, 90, 85))
			b.Sessions[1].Day = nil
			b.Sessions[1].Work, b.Sessions[0].Work = b.Sessions[0].Work, b.Sessions[1].Work
		},
		"weight_falls":    func(b *Block, r *Roster) { item(b, 1, 1).Weight = Percent(ByWeek(75, 85, 77.5, 82.5, 90)) },
		"heavy_reps_rise": func(b *Block, r *Roster) { item(b, 1, 1).Reps = ByWeek(3, 3, 2, 4, 1) },
		"reserve_order": func(b *Block, r *Roster) {
			*item(b, 1, 1) = Item{Lift: "pull", Work: Work{Reps: ByWeek(5, 5, 1, 1, 1), Weight: RIR(ByWeek(1, 1, 2, 2, 2))}, Backoff: &Backoff{Reps: Fixed(5), Drop: Fixed(15)}}
		},
		"alike_days": func(b *Block, r *Roster) { *item(b, 1, 1) = *item(b, 0, 0) },
		"heavy_days_close": func(b *Block, r *Roster) {
			b.Sessions[1].Day = day(time.Tuesday)
			item(b, 0, 0).Weight = Percent(Fixed(90))
		},
		"behind_over_front":  func(b *Block, r *Roster) { item(b, 0, 1).Weight, item(b, 0, 1).Reps = Percent(Fixed(85)), Fixed(2) },
		"two_in_front":       func(b *Block, r *Roster) { b.Focus = append(b.Focus, "squat") },
		"max_without_deload": func(b *Block, r *Roster) { b.Finish.Deload = 0 },
		"missing_pattern":    func(b *Block, r *Roster) { b.Sessions[1].Work = b.Sessions[1].Work[:2] },
		"missing_muscle":     func(b *Block, r *Roster) { b.Lifts[2].Muscles = b.Lifts[2].Muscles[1:] },
		"few_sets":           func(b *Block, r *Roster) { item(b, 0, 1).Sets = Fixed(1) },
		"many_sets":          func(b *Block, r *Roster) { item(b, 0, 1).Sets = Fixed(24) },
		"over_time":          func(b *Block, r *Roster) { b.Sessions[0].Limit = 10 * time.Minute },
		"rounding_moved": func(b *Block, r *Roster) {
			r.Gyms[0].Plates = plates.Inventory{{Plate: plates.Plate{Mass: 20 * kg}, Count: 10}}
		},
	}
	b, r := good()
	clean := codes(t, b, r)
	for _, rule := range Rules() {
		with, ok := triggers[rule.Code]
		if !ok {
			t.Errorf("no case for %s", rule.Code)
			continue
		}
		if slices.Contains(clean, rule.Code) && rule.Code != "extrapolated" {
			t.Errorf("the good block has %s", rule.Code)
		}
		b, r := good()
		with(b, r)
		if got := codes(t, b, r); !slices.Contains(got, rule.Code) {
			t.Errorf("%s is not found; found %v", rule.Code, got)
		}
	}
	if len(triggers) != len(Rules()) {
		t.Errorf("%d cases for %d rules", len(triggers), len(Rules()))
	}
}

func TestReviewBlockByItself(t *testing.T) {
	b, _ := good()
	r, err := ReviewBlock(b, Thresholds{})
	if err != nil {
		t.Fatal(err)
	}
	// Week 1 of pull: 5 x 4 at 62.5 % and 2 x 3 at 75 %: relative volume 17, mean 17/26.
	got := r.Lifts[0].Weeks[0]
	if r.Lifts[0].Lift != "pull" || math.Abs(got.RelativeVolume-17) > 1e-9 || math.Abs(got.MeanIntensity-100*17./26) > 1e-9 {
		t.Errorf("%+v, want relative volume 17 at a mean of 65.4 %%", got)
	}
	if !r.Nominal || r.Name != "" {
		t.Error("the review does not say that it is nominal")
	}
	b.Weeks = 0
	if _, err := ReviewBlock(b, Thresholds{}); err == nil || !strings.Contains(err.Error(), "weeks must be 1 to 52") {
		t.Errorf("a wrong block: %v", err)
	}
}

// A weight that the block gives as a mass is no share of the maximum that stands
// for everybody's.
func TestReviewBlockByItselfWithMasses(t *testing.T) {
	b := oneItem(1, Item{Work: Work{Sets: Fixed(2), Reps: Fixed(5), Weight: Percent(Fixed(80))}})
	b.Sessions[0].Work = append(b.Sessions[0].Work, Item{Lift: "pull", Work: Work{Sets: Fixed(2), Reps: Fixed(5), Weight: Load(60 * kg)},
		Backoff: &Backoff{Sets: Fixed(1), Reps: Fixed(5), Drop: Fixed(10)}})
	r, err := ReviewBlock(b, Thresholds{})
	if err != nil {
		t.Fatal(err)
	}
	if w := r.Weeks[0]; w.Sets != 5 || w.Reps != 25 || math.Abs(w.MeanIntensity-80) > 1e-9 {
		t.Errorf("%d sets, %d repetitions at %v %%; want 5 and 25 at 80 %%", w.Sets, w.Reps, w.MeanIntensity)
	}
}

// A block in which nothing is done for a lifter can be reviewed all the same.
func TestReviewOfNothing(t *testing.T) {
	b := oneItem(3, Item{Work: Work{Sets: Fixed(0), Reps: Fixed(5), Weight: Percent(Fixed(80))}})
	b.Finish = Finish{Deload: 1, Cut: ratio(50, 1)}
	r := plan(t, b, oneLifter(Lifter{Recent: &Recent{WeeklySets: new(20)}})).Review(Thresholds{})
	if len(r.Weeks) != 4 || r.Weeks[0].Sets != 0 {
		t.Errorf("weeks %+v, want four without sets", r.Weeks)
	}
}

// Two sessions of one name in different weeks each have their own day: without
// dates, heavy days a day apart are found from the second one's day too.
func TestDaysOfSessionsOfOneName(t *testing.T) {
	day := func(d time.Weekday) *time.Weekday { return &d }
	b := oneItem(2, Item{Work: Work{Reps: Fixed(1), Weight: Percent(Fixed(90))}})
	b.Sessions[0].Weeks, b.Sessions[0].Day = OnlyWeeks(1), day(time.Thursday)
	second := b.Sessions[0]
	second.Weeks, second.Day = OnlyWeeks(2), day(time.Monday)
	third := second
	third.Name, third.Day = "B", day(time.Tuesday)
	b.Sessions = append(b.Sessions, second, third)
	if got := codes(t, b, oneLifter(Lifter{})); !slices.Contains(got, "heavy_days_close") {
		t.Errorf("found %v, want heavy_days_close", got)
	}
}

// TestChecksFollowASwappedFocusLift holds the lift that a lifter does in the place
// of a focus lift to the checks of one in front.
func TestChecksFollowASwappedFocusLift(t *testing.T) {
	b, r := good()
	b.Lifts = append(b.Lifts, Lift{Name: "rack pull", Pattern: Hinge, Uses: "bar", Muscles: b.Lifts[0].Muscles})
	r.Lifters[0].Maxes = append(r.Lifters[0].Maxes, MaxEntry{Lift: "rack pull", Tested: 100 * kg})
	r.Lifters[0].Swaps = []Swap{{From: "pull", To: "rack pull"}}
	b.Sessions[1].Work[1].Weight = Percent(ByWeek(75, 85, 77.5, 82.5, 90))
	for _, f := range plan(t, b, r).Review(Thresholds{}).Findings {
		if f.Code == "weight_falls" && strings.HasSuffix(f.Where, "rack pull") {
			return
		}
	}
	t.Error("the lift in front falls from 85 % to 77.5 % in week 3, and nothing is found")
}
