package taper

import (
	"fmt"
	"time"

	"github.com/blockwright/blockwright/internal/num"
)

// Assessment says how the end of a written plan stands against a taper.
type Assessment struct {
	Meet      time.Time
	Days      int     // length of the taper that was assumed
	Reference float64 // volume of the reference week, the seven days before it
	MeanCut   float64 // of daily volume over the taper against the reference week; negative where volume rose
	FinalCut  float64 // of the last seven days against the reference week
	DaysOff   int     // days without any session directly before the meet
	Lifts     []LiftTiming
	Findings  []Finding
}

// LiftTiming is when a plan trains a lift last. Days out are 0 where there is
// no such session.
type LiftTiming struct {
	Lift     Lift
	HeavyOut int // last session above HeavyFrom
	LastOut  int // last session of any weight
}

// Assess measures the sessions of a plan before a meet as a taper of the given
// number of days (0 for the usual 14) and compares lengths, cuts and last days
// with what strength athletes do. Sessions on the day of the meet or later are
// left out. Lifts appear in the order of [Lifts]; rules may replace the defaults.
//
// It returns a *FieldError where a session's volume or intensity is not a
// number from 0 up, and where the reference week has no volume to compare with;
// a *NameError for an unknown lift.
func Assess(meet time.Time, sessions []Session, days int, rules []Rule) (*Assessment, error) {
	if days == 0 {
		days = usualDays.Far
	}
	if err := checkDays(days); err != nil {
		return nil, err
	}
	a := &Assessment{Meet: utcDay(meet), Days: days}
	var ref, body, final num.Sum
	timing := map[Lift]*LiftTiming{}
	heaviest := map[Lift]float64{}
	off := 0
	for i, s := range sessions {
		if !(s.Volume >= 0 && s.Volume <= 1e12) {
			return nil, &FieldError{Field: fmt.Sprintf("sessions[%d].volume", i), Value: s.Volume, Want: "0 to 1e12"}
		}
		if !(s.Intensity >= 0 && s.Intensity <= 10) {
			return nil, &FieldError{Field: fmt.Sprintf("sessions[%d].intensity", i), Value: s.Intensity, Want: "a fraction of the maximum, 0 or more"}
		}
		if _, err := ParseLift(string(s.Lift)); err != nil {
			return nil, err
		}
		out := DaysOut(meet, s.Date)
		if out < 1 {
			continue
		}
		switch {
		case out <= days:
			body.Add(s.Volume)
		case out <= days+7:
			ref.Add(s.Volume)
		}
		if out <= 7 {
			final.Add(s.Volume)
		}
		t := timing[s.Lift]
		if t == nil {
			t = &LiftTiming{Lift: s.Lift}
			timing[s.Lift] = t
		}
		if t.LastOut == 0 || out < t.LastOut {
			t.LastOut = out
		}
		if s.Intensity > HeavyFrom && (t.HeavyOut == 0 || out < t.HeavyOut) {
			t.HeavyOut = out
		}
		heaviest[s.Lift] = max(heaviest[s.Lift], s.Intensity)
		if off == 0 || out < off {
			off = out
		}
	}
	a.Reference = ref.Value()
	if !(a.Reference > 0) {
		return nil, &FieldError{Field: "sessions", Want: fmt.Sprintf("training in the reference week, %d to %d days before the meet", days+7, days+1)}
	}
	a.MeanCut = 1 - body.Value()/float64(days)/(a.Reference/7)
	a.FinalCut = 1 - final.Value()/a.Reference
	a.DaysOff = off - 1

	if m := a.MeanCut; m < usualCut.Low-1e-9 || m > usualCut.High+1e-9 {
		a.Findings = append(a.Findings, Finding{Code: FindingCut, Evidence: []string{"T-32", "T-37", "T-45", "T-53", "T-62"},
			Text: fmt.Sprintf("mean volume cut of %s %% over the last %d days; strength athletes usually cut %s to %s %%", percent(m), days, percent(usualCut.Low), percent(usualCut.High))})
	}
	if a.DaysOff >= TooLong {
		a.Findings = append(a.Findings, Finding{Code: FindingIdle, Evidence: []string{"T-35", "T-61", "T-62"},
			Text: fmt.Sprintf("no training in the %d days before the meet; 7 or more is judged too long", a.DaysOff)})
	}
	for _, l := range Lifts() {
		t := timing[l]
		if t == nil {
			continue
		}
		a.Lifts = append(a.Lifts, *t)
		r, err := ruleFor(l, rules)
		if err != nil {
			return nil, err
		}
		switch {
		case t.HeavyOut > 0 && !r.Heavy.Has(t.HeavyOut):
			a.Findings = append(a.Findings, outside(FindingHeavy, "heavy session", r, r.Heavy, t.HeavyOut))
		case t.HeavyOut == 0 && heaviest[l] > 0:
			a.Findings = append(a.Findings, Finding{Code: FindingNoHeavy, Lift: l, Evidence: r.Evidence,
				Text: fmt.Sprintf("the %s is never trained above %s %% of the maximum", l.noun(), percent(HeavyFrom))})
		}
		if !r.Last.Has(t.LastOut) {
			a.Findings = append(a.Findings, outside(FindingLast, "session", r, r.Last, t.LastOut))
		}
	}
	return a, nil
}
