package periodize

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/periodize/workload"
	"github.com/blockwright/blockwright/plates"
)

// DraftOptions says how to draft. The zero value works.
type DraftOptions struct {
	Thresholds Thresholds // of the review that a draft is held against
	// RunnersUp is how many other shapes are told besides the best. Default 3;
	// negative: none.
	RunnersUp int
}

// Drafted is a block made from a brief, and why it is as it is.
type Drafted struct {
	Block     *Block
	Score     Score
	Shape     DraftShape
	Reasons   []Reason    // in the order of the block
	RunnersUp []DraftedAs // other shapes, the best first
	Review    *Review     // of the block without lifters
}

// DraftShape is the shape of a draft in a few numbers.
type DraftShape struct {
	Overreach int     // the week of the most sets
	Sets      []int   // of each week
	Rise      float64 // per cent from the first week's sets to the largest week's
	Rests     int     // 0 the usual rests; 1 and 2 shorter ones
}

// DraftedAs is a shape and its score.
type DraftedAs struct {
	Shape DraftShape
	Score Score
}

// Term is one part of a score: less is better.
type Term struct {
	Name  string
	Value float64 // weighted
	About string
}

// Score is what a draft was chosen by, lower being better. Exercises decides
// first; Weeks decides between shapes with the same exercises.
type Score struct {
	Exercises, Weeks float64 // sums of their terms
	Terms            []Term
}

// Reason says why a part of the block is as it is.
type Reason struct {
	Path string // as in sessions[0].work[1].sets; "" for the block
	Text string
}

// Comment is the reason for a path, "" where there is none; it is what
// blockfile.WriteBlockWith takes.
func (d *Drafted) Comment(path string) string {
	for _, r := range d.Reasons {
		if r.Path == path {
			return r.Text
		}
	}
	return ""
}

// Draft makes a block from a brief.
//
// The brief's wishes are met, all of them: what has to be there and what must
// not, minutes of a session, sets of muscles, the overreach, the heaviest sets
// and the reserve. A wish for the sets of a muscle has its low end met in every
// week up to the largest and its high end in all; weeks after the largest are
// cut on purpose. The rise of the overreach is met to the nearest set. Sets
// across keep both ends of the reserve; back-offs keep the low end and, where
// they can, the high one; the last set of an accessory keeps the low end, and
// the sets before it may leave more. A heavy set has the reserve it is given.
// Sets, repetitions and weights are predicted possible by the recovery model
// and the repetitions relation that plans use, for a nominal lifter, and
// session times are those of plans.
//
// Among the blocks that meet the wishes the draft is the one of least score.
// First come the exercises: the set of lifts with the least sum of terms (one
// for each exercise, and penalties for patterns and muscles left out and for
// more work than the sessions have time for), found by best-first search with an
// admissible bound. Then the weeks: for each choice of rests, the sets of the
// week form a ladder on which each step is one set, given to the lift furthest
// below its share (Webster's divisor method); the rungs of all weeks come from
// dynamic programming, and the days from branch and bound, in the order of
// their bounds, so that the first one complete is the best. Repetitions and
// weights come from dynamic programming over the weeks, before the weeks' sets
// are chosen. The best is the best of these shapes: blocks that the ladders do
// not reach are not looked at, very many lifts or crowded days end a search
// early, and a review with warnings sends it on to the next best shape.
// Weights of the terms are common practice, no published source, and are told
// by [Score].
//
// Weeks of the brief are weeks of training: a block that develops adds a deload
// week and a test day after them, and one that peaks a test day.
//
// The error is an [Errors] where the brief says something impossible, and an
// [*InfeasibleError] where its wishes exclude each other.
func Draft(b *Brief, opt DraftOptions) (*Drafted, error) {
	t, err := newDraftTask(b, opt)
	if err != nil {
		return nil, err
	}
	d, bounded := t.best()
	if d != nil {
		return d, nil
	}
	return nil, t.conflict(bounded)
}

// wants is the wishes of a brief, each of which can be taken out.
type wants struct {
	seconds   float64 // of a session; +Inf for no limit
	keep      []bool  // by lift of the brief
	avoid     []bool
	lacking   []Lacking
	low, high []float64 // by place in muscles; 0 and +Inf for no wish
	week      int       // of the overreach; 0 for no wish
	rise      *plates.Ratio
	heavy     *HeavySets
	reserve   *ReserveSpan
}

// draftTask is a brief made ready for drafting.
type draftTask struct {
	b       *Brief
	opt     DraftOptions
	th      Thresholds
	want    wants
	lifts   []draftLift // of the brief, in its order
	offsets []int       // day of the week of each session, from Monday
	prog    *Program    // all lifts of the brief with the nominal roster

	effort map[effortKey]*slotEffort
	spans  map[spanKey][]loadChoice
	left   []workload.Reserve // scratch
	any    bool               // any layout of the days will do, not the best alone
}

// draftLift is a lift of the brief.
type draftLift struct {
	def    *Lift
	place  int // in the brief
	focus  bool
	loaded bool // on something, so that its weight can be a percentage
	priced bool // its maximum is one that a coach knows or can derive
	shares []float64
	curve  *estimate.Curve
	max    *LiftMax
	im     *implement
}

func newDraftTask(b *Brief, opt DraftOptions) (*draftTask, error) {
	if errs := b.check(); len(errs) > 0 {
		return nil, errs
	}
	t := &draftTask{b: b, opt: opt, th: opt.Thresholds.withDefaults(),
		effort: map[effortKey]*slotEffort{}, spans: map[spanKey][]loadChoice{}}
	// One item for each lift, to have maxima and equipment worked out as in a plan.
	all := &Block{Weeks: 1, Unit: b.Unit, Lifts: b.Lifts, Sessions: []Session{{Name: "all"}}}
	for i := range b.Lifts {
		it := Item{Lift: b.Lifts[i].Name, Work: Work{Reps: FixedTrack{ratio(1, 1)}}}
		if b.Lifts[i].Uses != "" {
			it.Weight = Weight{ByPercent, FixedTrack{ratio(50, 1)}}
		}
		all.Sessions[0].Work = append(all.Sessions[0].Work, it)
	}
	prog, err := compile(all, nominalRoster(all))
	if err != nil {
		return nil, err
	}
	t.prog = prog
	s := &prog.lifters[0]
	gear := map[string]bool{}
	for _, f := range b.Focus {
		l, _ := b.Lift(f)
		gear[l.Uses] = l.Uses != ""
	}
	for i := range b.Lifts {
		def := &b.Lifts[i]
		l := draftLift{def: def, place: i, focus: slices.Contains(b.Focus, def.Name), loaded: def.Uses != "", shares: make([]float64, len(muscles))}
		l.priced = l.loaded && (def.Max != nil || l.focus || gear[def.Uses])
		for _, m := range def.Muscles {
			l.shares[slices.Index(muscles[:], m.Muscle)] = m.Part
		}
		if l.loaded {
			if l.curve, err = s.maxes.curve(def); err != nil {
				return nil, err
			}
			if l.im, err = s.implement(def); err != nil {
				return nil, err
			}
			l.max, _ = s.maxes.lookup(def.Name)
		}
		t.lifts = append(t.lifts, l)
	}
	for _, d := range b.Days {
		t.offsets = append(t.offsets, (int(d)+6)%7)
	}
	t.want = b.wants()
	return t, nil
}

// wants takes the wishes out of a brief.
func (b *Brief) wants() wants {
	w := wants{seconds: math.Inf(1), keep: make([]bool, len(b.Lifts)), avoid: make([]bool, len(b.Lifts)),
		lacking: slices.Clone(b.Lacking), low: make([]float64, len(muscles)), high: make([]float64, len(muscles)),
		heavy: b.Heavy, reserve: b.Reserve}
	if b.Minutes > 0 {
		w.seconds = 60 * float64(b.Minutes)
	}
	for i := range b.Lifts {
		w.keep[i] = slices.Contains(b.Keep, b.Lifts[i].Name)
		w.avoid[i] = slices.Contains(b.Avoid, b.Lifts[i].Name)
	}
	for i := range muscles {
		w.high[i] = math.Inf(1)
	}
	for _, r := range b.WeeklySets {
		i := slices.Index(muscles[:], r.Muscle)
		w.low[i], w.high[i] = float64(r.Low), float64(r.High)
	}
	if o := b.Overreach; o != nil {
		w.week, w.rise = o.Week, &o.Rise
	}
	return w
}

// check reports what no drafting can mend: names that do not resolve, words
// that are in no list, numbers out of range.
func (b *Brief) check() Errors {
	c := &checker{b: &Block{Lifts: b.Lifts}}
	at := func(where, format string, args ...any) { c.fail(b.Pos, where, format, args...) }
	if b.Weeks < 1 || b.Weeks > 52 {
		at("", "weeks must be 1 to 52, got %d", b.Weeks)
	}
	if len(b.Days) < 1 || len(b.Days) > 7 {
		at("days", "want 1 to 7 days, got %d", len(b.Days))
	}
	for i, d := range b.Days {
		if d < 0 || d > 6 {
			at("days", "%d is no day of the week", int(d))
		} else if slices.Contains(b.Days[:i], d) {
			at("days", "%s is there twice", d)
		}
	}
	if b.Minutes < 0 {
		at("minutes", "want 0 for no limit or more, got %d", b.Minutes)
	}
	if b.Goal != "" && !slices.Contains(Goals(), b.Goal) {
		at("goal", "must be one of %v, got %q", Goals(), b.Goal)
	}
	if b.Level != "" && !slices.Contains(Levels(), b.Level) {
		at("level", "must be one of %v, got %q", Levels(), b.Level)
	}
	names := map[string]bool{}
	for i := range b.Lifts {
		l := &b.Lifts[i]
		if names[l.Name] {
			c.fail(l.Pos, l.Name, "the lift is there twice")
		}
		names[l.Name] = true
		c.lift(l)
	}
	if len(b.Focus) == 0 {
		at("focus", "want at least one lift in front")
	}
	for _, list := range []struct {
		name  string
		lifts []string
	}{{"focus", b.Focus}, {"keep", b.Keep}, {"avoid", b.Avoid}} {
		for i, n := range list.lifts {
			if !names[n] {
				at(list.name, "%q is not a lift of the brief", n)
			} else if list.name == "focus" && slices.Contains(list.lifts[:i], n) {
				at(list.name, "%q is there twice", n)
			}
		}
	}
	for _, l := range b.Lacking {
		if _, ok := l.Remedy(); !ok {
			at("lacking", "%q is not in the list: want one of %s", string(l), strings.Join(lackingNames(), ", "))
		}
	}
	for i, r := range b.WeeklySets {
		if !slices.Contains(muscles[:], r.Muscle) {
			at("weekly_sets", "%q is not in the list of muscles", r.Muscle)
		} else if slices.ContainsFunc(b.WeeklySets[:i], func(o SetRange) bool { return o.Muscle == r.Muscle }) {
			at("weekly_sets", "%s is there twice", r.Muscle)
		}
		if r.Low < 0 || r.High < r.Low || r.High > 1000 {
			at("weekly_sets", "%s: want the fewest and the most sets, got %d and %d", r.Muscle, r.Low, r.High)
		}
	}
	if o := b.Overreach; o != nil {
		if o.Week < 2 || o.Week > b.Weeks {
			at("overreach", "week must be 2 to %d, got %d", b.Weeks, o.Week)
		}
		if r := o.Rise.Float64(); !(r > 0 && r <= 300) {
			at("overreach", "rise must be above 0 up to 300 per cent, got %s", o.Rise)
		}
	}
	if h := b.Heavy; h != nil {
		for i := range h.Reps {
			if h.Reps[i] < 1 || h.Reps[i] > 20 {
				at("heavy", "reps must be 1 to 20, got %d", h.Reps[i])
			}
			if r := h.RIR[i].Float64(); !(r >= 0 && r <= 10) {
				at("heavy", "rir must be 0 to 10, got %s", h.RIR[i])
			}
		}
	}
	if r := b.Reserve; r != nil && (r.Low.Sign() < 0 || r.High.Cmp(r.Low) < 0) {
		at("reserve", "want the least and the most repetitions in reserve, got %s and %s", r.Low, r.High)
	}
	return c.errs
}

func lackingNames() []string {
	var out []string
	for _, l := range Lackings() {
		out = append(out, string(l))
	}
	return out
}

// span is the reserve that main sets keep.
func (t *draftTask) span() (low, high float64) {
	if r := t.want.reserve; r != nil {
		return r.Low.Float64(), r.High.Float64()
	}
	return reserveAim(t.b.Level)
}

// words of a number with at most one decimal.
func short(v float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0") }
