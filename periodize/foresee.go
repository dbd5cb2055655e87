package periodize

import (
	"fmt"
	"time"
)

// oldSet is how long before the block a set may lie before a note is made of it.
const oldSet = 90 * 24 * time.Hour

// foresee finds what cannot be done as it is written, the worst set of each lift:
// more than the maximum, or more repetitions than are predicted to be there; and
// maxima that rest on sets of another time.
func (w *writer) foresee() []Finding {
	var out []Finding
	for i := range w.plan.Maxes {
		lm := &w.plan.Maxes[i]
		out = append(out, w.setDates(lm)...)
		out = append(out, w.worst(lm)...)
	}
	return out
}

// worst looks through one lift's sets.
func (w *writer) worst(lm *LiftMax) []Finding {
	var over, short *Finding
	most, least := 1.0, 0.0
	for k := range w.plan.Sessions {
		ps := &w.plan.Sessions[k]
		for e := range ps.Exercises {
			ex := &ps.Exercises[e]
			if ex.Lift.Name != lm.Lift {
				continue
			}
			where := ps.Where(ex.Lift.Name)
			for i := range ex.Sets {
				s := &ex.Sets[i]
				if s.Kind == TestSet || s.Open || !s.HasLoad {
					continue
				}
				share := float64(s.Load+lm.Body) / float64(lm.Max)
				switch {
				case share > most:
					most = share
					f := found("over_maximum", where, "set %d of %d is at %s%% of the maximum", i+1, len(ex.Sets), times(100*share))
					over = &f
				case share > 1 || s.Reserve == nil || s.Reserve.Mid >= least:
				default:
					least = s.Reserve.Mid
					code := "doubtful_set"
					if s.Reserve.High < 0 {
						code = "impossible_set"
					}
					f := found(code, where, "set %d of %d, of %d repetitions, is predicted to end about %s short (%s to %s in reserve)",
						i+1, len(ex.Sets), s.Reps, times(-s.Reserve.Mid), times(s.Reserve.Low), times(s.Reserve.High))
					short = &f
				}
			}
		}
	}
	var out []Finding
	for _, f := range []*Finding{over, short} {
		if f != nil {
			out = append(out, *f)
		}
	}
	return out
}

// setDates looks at when the sets of an estimated maximum were done, or the day that a maximum holds for. That
// may lie within the block: what a log has shown since it began.
func (w *writer) setDates(lm *LiftMax) []Finding {
	start := w.s.cal.start
	if start.IsZero() {
		return nil
	}
	for i := range w.s.lifter.Maxes {
		e := &w.s.lifter.Maxes[i]
		if e.Lift != lm.Lift {
			continue
		}
		var latest time.Time
		for _, s := range e.Sets {
			if s.Date.After(latest) {
				latest = s.Date
			}
		}
		switch {
		case len(e.Sets) == 0 && !e.Date.IsZero() && start.Sub(e.Date) > oldSet:
			return []Finding{w.old(lm, "the maximum", e.Date)}
		case latest.IsZero():
		case latest.After(start):
			return []Finding{found("later_set", lm.Lift, "a set of %s, and the block starts on %s", latest.Format(time.DateOnly), start.Format(time.DateOnly))}
		case start.Sub(latest) > oldSet:
			return []Finding{w.old(lm, "the latest set", latest)}
		}
	}
	return nil
}

// old is what is found of a maximum that is known from a day long past. Nothing
// published says how fast a maximum drifts without a log, so that its range is left as
// it is and the age is said instead.
func (w *writer) old(lm *LiftMax, what string, of time.Time) Finding {
	start := w.s.cal.start
	days := int(start.Sub(of).Hours() / 24)
	age := fmt.Sprintf("%d days", days)
	if days >= 122 {
		age = fmt.Sprintf("%.0f months", float64(days)/30.44)
	}
	text := "%s is of %s, %s before the block starts on %s"
	if lm.Coverage > 0 {
		text += ", and its range is that of then: today's is wider"
	}
	f := found("old_set", lm.Lift, text, what, of.Format(time.DateOnly), age, start.Format(time.DateOnly))
	if days >= 365 {
		f.Severity = Warning
	}
	return f
}

// found is a finding of a rule.
func found(code, where, format string, args ...any) Finding {
	r := rule(code)
	return Finding{Code: code, Severity: r.Severity, Where: where, Text: fmt.Sprintf(format, args...) + ": " + r.Advice, Evidence: r.Evidence}
}
