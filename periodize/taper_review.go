package periodize

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/blockwright/blockwright/periodize/taper"
)

// TaperReview says how the end of a plan stands against a taper to a date.
type TaperReview struct {
	// Assessment counts volume in working sets, as deload weeks do. Its findings
	// are about the plan as a whole; those about a lift are with the lift.
	*taper.Assessment
	// RepsMeanCut and RepsFinalCut are the same two cuts counted in repetitions,
	// which fall further than sets where sets get shorter.
	RepsMeanCut, RepsFinalCut float64
	// Lifts are the plan's focus lifts, in the block's order.
	Lifts []TaperLift
	// Sessions are the days of the focus lifts, for a calendar of what would be
	// usual on them; see [taper.CalendarOptions].
	Sessions []taper.Session
}

// TaperLift is when a plan trains a focus lift last.
type TaperLift struct {
	Lift string
	// As is the kind of lift whose timing it is held against. Its pattern says
	// which: squat as squat, hinge as deadlift, horizontal push as bench press,
	// others as general.
	As                  taper.Lift
	HeavyOut, LastOut   int     // days before the date; 0 where there is no such session
	HeavyTop, LastTop   float64 // heaviest set of those sessions, fraction of the maximum; 0 where unknown
	HeavyDate, LastDate time.Time
	// Near are the sessions from the last heavy one on whose heaviest set lies within a
	// hundredth of the maximum of [taper.HeavyFrom], either way: half a per cent more or less
	// on the bar would move the last heavy day. By date.
	Near     []NearHeavy
	Findings []taper.Finding
}

// NearHeavy is a session whose heaviest set is hardly over or hardly under what counts as heavy.
type NearHeavy struct {
	Date time.Time
	Out  int     // days before the date
	Top  float64 // heaviest set, fraction of the maximum
}

// nearHeavy is how far from the line a heaviest set is hardly over or under it: a hundredth of the
// maximum, an engineering choice.
const nearHeavy = 0.01

// taperLift is the kind of lift whose timing a lift is held against.
func taperLift(l *Lift) taper.Lift {
	switch l.Pattern {
	case Squat:
		return taper.Squat
	case Hinge:
		return taper.Deadlift
	case PushHorizontal:
		return taper.Bench
	}
	return taper.General
}

// lastWork is what a plan has of one lift on one day.
type lastWork struct {
	lift       *Lift
	date       time.Time
	sets, reps int
	top        float64 // heaviest set, fraction of the maximum
}

// work lists the plan's training by day and lift, the test day left out.
func (p *Plan) work() []lastWork {
	var out []lastWork
	for i := range p.Sessions {
		ps := &p.Sessions[i]
		if ps.Kind == TestDay {
			continue
		}
		for k := range ps.Exercises {
			ex := &ps.Exercises[k]
			w := lastWork{lift: ex.Lift, date: ps.Date, sets: len(ex.Sets)}
			lm, known := p.Max(ex.Lift.Name)
			for j := range ex.Sets {
				s := &ex.Sets[j]
				w.reps += s.Reps * s.Sides
				if !known || lm.Max <= 0 {
					continue
				}
				load := s.Load
				if s.Open { // the middle of what is expected
					load = s.Expect[0] + (s.Expect[1]-s.Expect[0])/2
				}
				if s.HasLoad || s.Open {
					w.top = max(w.top, float64(load+lm.Body)/float64(lm.Max))
				}
			}
			out = append(out, w)
		}
	}
	return out
}

// focusLifts lists the lifts that the lifter trains and that are in front or tested, swaps made.
func (p *Plan) focusLifts() []*Lift {
	var out []*Lift
	for i := range p.Block.Lifts {
		l := &p.Block.Lifts[i]
		trained, front := false, false
		for j := range p.Sessions {
			for k := range p.Sessions[j].Exercises {
				if ex := &p.Sessions[j].Exercises[k]; ex.Lift == l {
					trained = trained || p.Sessions[j].Kind != TestDay
					front = front || ex.Role == Focus // so is everything on the test day
				}
			}
		}
		if trained && front {
			out = append(out, l)
		}
	}
	return out
}

// TaperReview measures the end of a plan as a taper of the given number of days (0 for
// the usual 14) to a meet or test, and compares it with what strength athletes
// do. It judges no lifter: whoever does well on something else is right.
//
// It returns an [*Error] for a plan without dates, and the errors of
// [taper.Assess], among them one where the week before the taper has no
// training to compare with.
func (p *Plan) TaperReview(meet time.Time, days int) (*TaperReview, error) {
	if _, ok := p.firstSession(); !ok {
		return nil, &Error{Where: "taper", Msg: "the plan has no dates: want a start or a test day"}
	}
	work := p.work()
	whole := func(volume func(lastWork) int) (*taper.Assessment, error) {
		var all []taper.Session
		for _, w := range work {
			all = append(all, taper.Session{Date: w.date, Lift: taper.General, Volume: float64(volume(w))})
		}
		return taper.Assess(meet, all, days, nil)
	}
	k := &TaperReview{}
	var err error
	if k.Assessment, err = whole(func(w lastWork) int { return w.sets }); err != nil {
		return nil, err
	}
	reps, err := whole(func(w lastWork) int { return w.reps })
	var fe *taper.FieldError
	switch {
	case err == nil:
		k.RepsMeanCut, k.RepsFinalCut = reps.MeanCut, reps.FinalCut
	case errors.As(err, &fe) && fe.Field == "sessions": // no repetitions in the reference week: work for time
		k.RepsMeanCut, k.RepsFinalCut = k.MeanCut, k.FinalCut
	default:
		return nil, err
	}
	k.Assessment.Lifts = nil
	k.Findings = slices.DeleteFunc(k.Findings, func(f taper.Finding) bool { return f.Lift != "" })
	for _, l := range p.focusLifts() {
		pl, sessions, err := p.timeLift(l, work, meet, days)
		if err != nil {
			return nil, err
		}
		k.Lifts = append(k.Lifts, *pl)
		k.Sessions = append(k.Sessions, sessions...)
	}
	return k, nil
}

// timeLift times one lift. The others stand beside it as another kind, so that
// what the assessment says of this kind is about this lift alone.
func (p *Plan) timeLift(l *Lift, work []lastWork, meet time.Time, days int) (*TaperLift, []taper.Session, error) {
	pl := &TaperLift{Lift: l.Name, As: taperLift(l)}
	other := taper.General
	if pl.As == other {
		other = taper.Squat
	}
	var all, own []taper.Session
	for _, w := range work {
		s := taper.Session{Date: w.date, Lift: other, Volume: float64(w.sets)}
		if w.lift == l {
			s.Lift, s.Intensity = pl.As, w.top
			own = append(own, s)
		}
		all = append(all, s)
	}
	a, err := taper.Assess(meet, all, days, nil)
	if err != nil {
		return nil, nil, err
	}
	for _, t := range a.Lifts {
		if t.Lift == pl.As {
			pl.HeavyOut, pl.LastOut = t.HeavyOut, t.LastOut
		}
	}
	for _, s := range own {
		out := taper.DaysOut(meet, s.Date)
		if out < 1 {
			continue
		}
		if out == pl.HeavyOut {
			pl.HeavyDate, pl.HeavyTop = s.Date, max(pl.HeavyTop, s.Intensity)
		}
		if out == pl.LastOut {
			pl.LastDate, pl.LastTop = s.Date, max(pl.LastTop, s.Intensity)
		}
	}
	for _, s := range own {
		out := taper.DaysOut(meet, s.Date)
		if out >= 1 && (pl.HeavyOut == 0 || out <= pl.HeavyOut) && math.Abs(s.Intensity-taper.HeavyFrom) <= nearHeavy+1e-9 {
			pl.Near = append(pl.Near, NearHeavy{s.Date, out, s.Intensity})
		}
	}
	slices.SortStableFunc(pl.Near, func(a, b NearHeavy) int { return b.Out - a.Out })
	for _, f := range a.Findings {
		if f.Lift == pl.As {
			if pl.Lift != string(pl.As) {
				f.Text = fmt.Sprintf("%s, timed as %s: %s", pl.Lift, pl.As, f.Text)
			}
			pl.Findings = append(pl.Findings, f)
		}
	}
	return pl, own, nil
}
