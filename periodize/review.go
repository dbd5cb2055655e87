package periodize

import (
	"cmp"
	"slices"

	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

// Review is what a plan adds up to, week by week, and what to worry about.
// Warm-up sets are not counted; deload weeks and the test day are.
type Review struct {
	Name     string // of the lifter; "" for a block without one
	Unit     plates.Unit
	Nominal  bool // reviewed without a lifter: masses mean nothing, shares of a maximum do
	Weeks    []WeekReview
	Lifts    []LiftReview
	Findings []Finding
}

// Totals is what some sets add up to.
type Totals struct {
	Sets int // working sets
	Reps int // repetitions of both sides
	// Tonnage is load x repetitions in the review's unit, counted bodyweight included.
	// The load is that of the sheet and the log, which for dumbbells is the mass in
	// each hand; nothing says whether one hand or both have one, so that it counts once.
	Tonnage float64
	// RelativeVolume is the sum of repetitions x load/maximum, and
	// MeanIntensity the repetition-weighted mean of load/maximum in per cent;
	// both over sets whose lift has a maximum.
	RelativeVolume float64
	MeanIntensity  float64
	Heaviest       float64 // largest load/maximum, per cent
	// Expected is the sets among them whose weight is found on the day. They count with
	// the middle of the range that it is expected in.
	Expected int
	// Unknown is the sets whose weight is found on the day and of which nothing is
	// expected. They are in no number but Sets and Reps, counted bodyweight apart.
	Unknown int
}

// WeekReview is one week of a plan.
type WeekReview struct {
	Week int         // from 1
	Kind SessionKind // of its sessions
	Totals
	// Muscles and Patterns are working sets counted in shares, in the order of
	// [Muscles] and [Patterns]; what has none is left out.
	Muscles  []Count
	Patterns []Count
	Sessions []SessionReview
}

// Count is a number of sets of a muscle or pattern.
type Count struct {
	Name string
	Sets float64 // a set counts for the share of it that the lift gives
}

// SessionReview is one session's time.
type SessionReview struct {
	Name    string
	Minutes *Range
	Limit   float64 // minutes; 0 for none
}

// LiftReview is one lift over the weeks.
type LiftReview struct {
	Lift  string
	Weeks []LiftWeek
}

// LiftWeek is one lift in one week.
type LiftWeek struct {
	Week int // from 1
	Totals
}

// sum gathers totals: workload's volume, and the heaviest weight.
type sum struct {
	workload.Volume
	heaviest          float64
	expected, unknown int
}

func (a *sum) add(s *Set, lm *LiftMax, body plates.Mass, u plates.Unit) {
	w := workload.Set{Reps: s.Reps, Sides: s.Sides}
	load, known := s.weight()
	switch {
	case s.Open && known:
		a.expected++
	case s.Open:
		a.unknown++
	}
	if known || body > 0 {
		// more assistance than the share of bodyweight that counts is no load
		w.Load = max((load + body).In(u), 0)
	}
	if known && lm != nil && lm.Max > 0 {
		w.Max = s.maximum(lm).In(u)
		a.heaviest = max(a.heaviest, w.Load/w.Max)
	}
	// Sets of a computed plan are within workload's ranges; one made by hand that
	// is not adds nothing.
	_ = a.Add(w)
}

func (a *sum) totals() Totals {
	return Totals{Sets: int(a.Sets()), Reps: int(a.Lifts()), Tonnage: a.Tonnage(), RelativeVolume: a.RelativeVolume(),
		MeanIntensity: 100 * a.MeanIntensity().Value, Heaviest: 100 * a.heaviest,
		Expected: a.expected, Unknown: a.unknown}
}

// weight is what a set adds up with: its load, or the middle of what an open one is
// expected to be.
func (s *Set) weight() (load plates.Mass, known bool) {
	if s.HasExpect {
		return (s.Expect[0] + s.Expect[1]) / 2, true
	}
	return s.Load, s.HasLoad
}

// maximum is what a set's weight is a share of: of an open one the middle of the
// maximum's range, which an estimated maximum need not lie in.
func (s *Set) maximum(lm *LiftMax) plates.Mass {
	if middle := (lm.Low + lm.High) / 2; s.HasExpect && middle > 0 {
		return middle
	}
	return lm.Max
}

// Review adds up a plan and holds it against the table of [Rules], and against
// checks of the caller's own where there are any; see [NewCheck]. Findings come
// the gravest first; of one severity, those of the plan's weights come first, then
// the table's in its order, then the caller's in the order given. The zero Plan, of no
// lifter and no block, has an empty review.
func (p *Plan) Review(th Thresholds, own ...Check) *Review {
	if p.Lifter == nil || p.Block == nil {
		return &Review{Unit: p.Unit}
	}
	return p.review(&Review{Name: p.Lifter.Name, Unit: p.Unit}, th, own)
}

func (p *Plan) review(r *Review, th Thresholds, own []Check) *Review {
	p.addUp(r)
	c := &reviewer{p: p, r: r, th: th.withDefaults()}
	c.check()
	r.Findings = gravestFirst(append(slices.Clone(p.Warnings), c.found...))
	var more []Finding
	for _, check := range own {
		more = append(more, check.run(p, r)...)
	}
	r.Findings = gravestFirst(append(r.Findings, more...))
	return r
}

// gravestFirst sorts findings by severity and leaves their order be otherwise.
func gravestFirst(fs []Finding) []Finding {
	slices.SortStableFunc(fs, func(a, b Finding) int {
		return cmp.Compare(slices.Index(severities[:], a.Severity), slices.Index(severities[:], b.Severity))
	})
	return fs
}

// addUp fills in the weeks and lifts of a review.
func (p *Plan) addUp(r *Review) {
	lifts := map[string]int{}
	for week := 1; week <= p.Block.Weeks+p.Block.Finish.Deload; week++ {
		w := WeekReview{Week: week, Kind: Training}
		if week > p.Block.Weeks {
			w.Kind = DeloadWeek
		}
		r.Weeks = append(r.Weeks, w)
	}
	for _, ps := range p.Sessions {
		if ps.Week > len(r.Weeks) {
			r.Weeks = append(r.Weeks, WeekReview{Week: ps.Week, Kind: ps.Kind})
		}
		for _, ex := range ps.Exercises {
			if _, ok := lifts[ex.Lift.Name]; !ok {
				lifts[ex.Lift.Name] = len(r.Lifts)
				r.Lifts = append(r.Lifts, LiftReview{Lift: ex.Lift.Name})
			}
		}
	}
	sums := make([]sum, len(r.Lifts))
	for i := range r.Weeks {
		w := &r.Weeks[i]
		var all sum
		clear(sums)
		muscle, pattern := map[string]float64{}, map[string]float64{}
		for k := range p.Sessions {
			ps := &p.Sessions[k]
			if ps.Week != w.Week {
				continue
			}
			w.Sessions = append(w.Sessions, SessionReview{Name: ps.Name, Minutes: ps.Minutes, Limit: ps.Limit.Minutes()})
			for e := range ps.Exercises {
				ex := &ps.Exercises[e]
				lm, _ := p.Max(ex.Lift.Name)
				body := p.bodyOf(ex.Lift)
				for j := range ex.Sets {
					all.add(&ex.Sets[j], lm, body, p.Unit)
					sums[lifts[ex.Lift.Name]].add(&ex.Sets[j], lm, body, p.Unit)
				}
				n := float64(len(ex.Sets))
				for _, m := range ex.Lift.Muscles {
					muscle[string(m.Muscle)] += n * m.Part
				}
				pattern[string(ex.Lift.Pattern)] += n
			}
		}
		w.Totals = all.totals()
		for _, m := range muscles {
			if n := muscle[string(m)]; n > 0 {
				w.Muscles = append(w.Muscles, Count{string(m), n})
			}
		}
		for _, m := range Patterns() {
			if n := pattern[string(m)]; n > 0 {
				w.Patterns = append(w.Patterns, Count{string(m), n})
			}
		}
		for k := range sums {
			if sums[k].Sets() > 0 {
				r.Lifts[k].Weeks = append(r.Lifts[k].Weeks, LiftWeek{Week: w.Week, Totals: sums[k].totals()})
			}
		}
	}
}

// bodyOf is the bodyweight that counts as load for a lift.
func (p *Plan) bodyOf(l *Lift) plates.Mass {
	if lm, ok := p.Max(l.Name); ok {
		return lm.Body
	}
	if l.BodyweightShare.Sign() <= 0 {
		return 0
	}
	return p.Lifter.Bodyweight.Percent(l.BodyweightShare).RoundTo(p.Unit.One()/10, plates.Nearest)
}
