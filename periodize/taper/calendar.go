package taper

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Session is one lift trained on one day.
type Session struct {
	Date      time.Time // its civil date counts, the time of day does not
	Lift      Lift
	Volume    float64 // sets or another measure of volume, the same in all sessions; 0 or more
	Intensity float64 // heaviest set as a fraction of the maximum; 0 where unknown
}

// CalendarOptions are the choices of a calendar. The zero value works.
type CalendarOptions struct {
	Lifts     []Lift  // default squat, bench press, deadlift
	Rules     []Rule  // each replaces the default rule of its lift
	Intensity float64 // change by the last day, a fraction reached in a straight line; default 0, kept

	// Sessions are the days on which lifts can be trained. Of a lift's sessions
	// the one in the window and nearest its middle is chosen, else the one
	// nearest the window; a lift with none may be trained on any day.
	Sessions []Session
}

// Calendar is a taper with dates. Dates are midnights of UTC, whatever the location of the
// meet's: elsewhere there are days without one.
type Calendar struct {
	Meet              time.Time
	Curve             Curve
	MeanCut, FinalCut float64 // fractions: over the whole taper, and on its last day
	Days              []Day
	Lifts             []LiftDates
	Findings          []Finding
}

// Day is one day of the taper. Volume and intensity are relative to the
// reference week, the seven days before the first day of the taper.
type Day struct {
	Date      time.Time
	Out       int     // days before the meet
	Taper     int     // day of the taper, 1 is the first
	Volume    float64 // 1 is that of the reference week
	Intensity float64 // the same of the weights
}

// LiftDates is when a lift is last trained heavily and last trained at all.
type LiftDates struct {
	Rule  Rule
	Heavy DateWindow
	Last  DateWindow
}

// DateWindow is a window with dates, and the day chosen.
type DateWindow struct {
	First, Final time.Time // ends of the window
	Day          time.Time // the day chosen
	Out          int       // its days before the meet
	Inside       bool      // whether it lies in the window
}

// NewCalendar counts a taper back from the date of a meet or test, whose own
// day is not part of the taper.
//
// It returns a *FieldError for a curve without days, an intensity outside -0.5
// to 0.2, or a rule whose windows do not make sense, and a *NameError for an
// unknown lift without a rule.
func NewCalendar(meet time.Time, c Curve, o CalendarOptions) (*Calendar, error) {
	if c.days == 0 {
		return nil, &FieldError{Field: "curve", Want: "one with days"}
	}
	if !(o.Intensity >= -0.5 && o.Intensity <= 0.2) {
		return nil, &FieldError{Field: "intensity", Value: o.Intensity, Want: "a change of -0.5 to 0.2"}
	}
	meet = utcDay(meet)
	cal := &Calendar{Meet: meet, Curve: c, MeanCut: c.MeanCut(), FinalCut: c.FinalCut()}
	for d := 1; d <= c.days; d++ {
		out := c.days - d + 1
		cal.Days = append(cal.Days, Day{
			Date: before(meet, out), Out: out, Taper: d,
			Volume:    c.At(d),
			Intensity: 1 + float64(o.Intensity*float64(d))/float64(c.days),
		})
	}
	lifts := o.Lifts
	if len(lifts) == 0 {
		lifts = []Lift{Squat, Bench, Deadlift}
	}
	cal.Findings = CheckCurve(c, o.Intensity)
	for _, l := range lifts {
		r, err := ruleFor(l, o.Rules)
		if err != nil {
			return nil, err
		}
		var outs []int
		for _, s := range o.Sessions {
			if out := DaysOut(meet, s.Date); s.Lift == l && out > 0 {
				outs = append(outs, out)
			}
		}
		ld := LiftDates{Rule: r, Heavy: place(meet, r.Heavy, outs)}
		// The last session is a light one, so it is a later one where there is one.
		if later := slices.DeleteFunc(slices.Clone(outs), func(o int) bool { return o >= ld.Heavy.Out }); len(later) > 0 {
			outs = later
		}
		ld.Last = place(meet, r.Last, outs)
		cal.Lifts = append(cal.Lifts, ld)
		if !ld.Heavy.Inside {
			cal.Findings = append(cal.Findings, outside(FindingHeavy, "heavy session", r, r.Heavy, ld.Heavy.Out))
		}
		if !ld.Last.Inside {
			cal.Findings = append(cal.Findings, outside(FindingLast, "session", r, r.Last, ld.Last.Out))
		}
	}
	return cal, nil
}

// CheckCurve holds a taper's length, mean cut and change of intensity against
// what is usual among strength athletes; see [Usual].
func CheckCurve(c Curve, intensity float64) []Finding {
	var f []Finding
	if !usualDays.Has(c.days) {
		f = append(f, Finding{Code: FindingLength, Evidence: []string{"T-44", "T-52", "T-36", "T-41", "T-62"},
			Text: fmt.Sprintf("%d days; strength athletes usually taper for %d to %d", c.days, usualDays.Near, usualDays.Far)})
	}
	if m := c.MeanCut(); m < usualCut.Low-1e-9 || m > usualCut.High+1e-9 {
		f = append(f, Finding{Code: FindingCut, Evidence: []string{"T-32", "T-37", "T-45", "T-53", "T-62"},
			Text: fmt.Sprintf("mean volume cut of %s %%; strength athletes usually cut %s to %s %%", percent(m), percent(usualCut.Low), percent(usualCut.High))})
	}
	if intensity < usualIntensity.Low-1e-9 || intensity > usualIntensity.High+1e-9 {
		f = append(f, Finding{Code: FindingIntensity, Evidence: []string{"T-58", "T-61", "T-62"},
			Text: fmt.Sprintf("intensity changes by %s %%; it is usually kept to within %s and +%s %%", percent(intensity), percent(usualIntensity.Low), percent(usualIntensity.High))})
	}
	return f
}

// DaysOut is the number of days from a date to the meet, by the calendar:
// 1 the day before, 0 on the day, negative after it.
func DaysOut(meet, date time.Time) int {
	return int(math.Round(utcDay(meet).Sub(utcDay(date)).Hours() / 24))
}

func utcDay(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// before is the date so many days before.
func before(meet time.Time, out int) time.Time { return utcDay(meet).AddDate(0, 0, -out) }

func ruleFor(l Lift, own []Rule) (Rule, error) {
	for i, r := range own {
		if r.Lift != l {
			continue
		}
		for _, w := range []Window{r.Heavy, r.Last} {
			if w.Near < 1 || w.Far < w.Near || w.Far > maxDays {
				return Rule{}, &FieldError{Field: fmt.Sprintf("rules[%d]", i), Value: float64(w.Near), Want: "windows from 1 day out or more, the far end not under the near one"}
			}
		}
		r.Evidence = slices.Clone(r.Evidence)
		return r, nil
	}
	for _, r := range Rules() {
		if r.Lift == l {
			return r, nil
		}
	}
	_, err := ParseLift(string(l))
	return Rule{}, err
}

// place chooses a day of the window out of the days there are.
func place(meet time.Time, w Window, outs []int) DateWindow {
	out := w.Middle()
	if len(outs) > 0 {
		// Distance from the window first, then from its middle, then nearer the meet.
		key := func(o int) [3]int {
			return [3]int{max(w.Near-o, o-w.Far, 0), abs(o - w.Middle()), o}
		}
		out = slices.MinFunc(outs, func(a, b int) int {
			ka, kb := key(a), key(b)
			return slices.Compare(ka[:], kb[:])
		})
	}
	return DateWindow{First: before(meet, w.Far), Final: before(meet, w.Near), Day: before(meet, out), Out: out, Inside: w.Has(out)}
}

func outside(code, what string, r Rule, w Window, out int) Finding {
	return Finding{Code: code, Lift: r.Lift, Evidence: r.Evidence,
		Text: fmt.Sprintf("the last %s for the %s is %s out; usual is %d to %d days out", what, r.Lift.noun(), days(out), w.Near, w.Far)}
}

func days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

func abs(n int) int { return max(n, -n) }
