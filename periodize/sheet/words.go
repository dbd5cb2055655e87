package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// The words and numbers that all formats share, so that they say the same.

// AmountText is what one set is: "6", "8-12", "6+", "30 s", "40 m".
func amountText(s *periodize.Set) string {
	return string(appendAmount(nil, s))
}

func appendAmount(b []byte, s *periodize.Set) []byte {
	switch {
	case s.Reps > 0:
		if s.RepsLow > 0 {
			b = strconv.AppendInt(b, int64(s.RepsLow), 10)
			b = append(b, '-')
		}
		b = strconv.AppendInt(b, int64(s.Reps), 10)
		if s.AMRAP {
			b = append(b, '+')
		}
	case s.Seconds > 0:
		b = strconv.AppendFloat(b, s.Seconds, 'f', -1, 64)
		b = append(b, " s"...)
	case s.Metres > 0:
		b = strconv.AppendFloat(b, s.Metres, 'f', -1, 64)
		b = append(b, " m"...)
	}
	return b
}

// loadText is a set's weight without its unit: "72.5", "+5" and "-10" for added
// load and assistance of a bodyweight lift, "bw" for bodyweight alone, the
// range of an open weight, or "" where there is none.
func loadText(e *periodize.Exercise, s *periodize.Set, u plates.Unit) string {
	body := e.Lift.BodyweightShare.Sign() > 0
	switch {
	case s.Open:
		if s.Expect == [2]plates.Mass{} {
			return "?"
		}
		if s.Expect[0] == s.Expect[1] {
			return signed(s.Expect[0], u, body) + "?"
		}
		return signed(s.Expect[0], u, body) + "-" + signed(s.Expect[1], u, body) + "?"
	case s.HasLoad:
		return signed(s.Load, u, body)
	}
	return ""
}

func signed(m plates.Mass, u plates.Unit, body bool) string {
	switch {
	case !body:
		return massText(m, u)
	case m == 0:
		return "bw"
	case m > 0:
		return "+" + massText(m, u)
	}
	return massText(m, u)
}

// massText is a mass in a unit, without the unit, exact where three decimals are
// enough and rounded to a tenth otherwise, as for a kilogram plate in pounds.
func massText(m plates.Mass, u plates.Unit) string {
	s := m.Text(u)
	if _, frac, ok := strings.Cut(s, "."); ok && len(frac) > 3 {
		return plates.ExactOf(m).RoundTo(u.One()/10, plates.Nearest).Text(u)
	}
	return s
}

// mark is "!" beside a weight that is not what was asked for because the gym
// has nothing lighter or heavier.
func mark(s *periodize.Set) string {
	if s.Below || s.Above {
		return "!"
	}
	return ""
}

// perSideText lists the plates of one side, inner first; "empty" for the bare
// bar and "" for what has no plates.
func perSideText(e *periodize.Exercise, s *periodize.Set, u plates.Unit) string {
	side, ok := perSide(e, s)
	if !ok {
		return ""
	}
	if len(side) == 0 {
		return "empty"
	}
	parts := make([]string, len(side))
	for i, p := range side {
		parts[i] = p.Label(u)
	}
	return strings.Join(parts, " ")
}

// perSide is the plates of one side of a set's weight; ok is false where the
// set has no weight or its implement no plates.
func perSide(e *periodize.Exercise, s *periodize.Set) ([]plates.Plate, bool) {
	if !s.HasLoad || s.Open || !isBar(e.Loads) {
		return nil, false
	}
	return e.Loads.PerSide(s.Load)
}

// isBar tells bars, which are loaded with plates, from stations.
func isBar(l *plates.Loads) bool {
	if l == nil {
		return false
	}
	side, ok := l.PerSide(l.Heaviest())
	return ok && len(side) > 0
}

// barMass is what an exercise's empty bar weighs with its collars; ok is false
// for other implements.
func barMass(e *periodize.Exercise) (plates.Mass, bool) {
	if !isBar(e.Loads) {
		return 0, false
	}
	return e.Loads.Lightest(), true
}

// restText is a rest in minutes and seconds; "" for none.
func restText(seconds float64) string {
	s := int(math.Round(seconds))
	if s <= 0 {
		return ""
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// number prints a figure with at most so many decimals and no idle zeros.
func number(x float64, decimals int) string {
	p := math.Pow(10, float64(decimals))
	return strconv.FormatFloat(math.Round(x*p)/p, 'f', -1, 64)
}

// reserveText is the repetitions left: the predicted ones of the set with
// their range, or the ones asked for.
func reserveText(s *periodize.Set, long bool) string {
	switch {
	case s.Reserve != nil && long:
		return fmt.Sprintf("~%s (%s-%s)", number(s.Reserve.Mid, 1), number(s.Reserve.Low, 1), number(s.Reserve.High, 1))
	case s.Reserve != nil:
		return "~" + number(s.Reserve.Mid, 0)
	case s.AMRAP:
		return s.Leave.String()
	case s.RIR != nil:
		return number(*s.RIR, 1)
	}
	return ""
}

// openText says how an open-ended set ends.
func openText(s *periodize.Set) string {
	t := "as many as you can"
	if s.Leave.Sign() > 0 {
		t += ", stopping with " + s.Leave.String() + " in reserve"
	}
	if s.Cap > 0 {
		t += fmt.Sprintf(", at most %d", s.Cap)
	}
	return t
}

// fromText says where a set's weight came from and what it was before rounding.
func fromText(e *periodize.Exercise, s *periodize.Set, u plates.Unit) string {
	w := s.Origin.Words(u)
	if !s.HasLoad || w == "" || s.Origin.Kind == periodize.ByLoad && len(s.Origin.Changes) == 0 {
		return w
	}
	exact := s.Exact.RoundTo(u.One()/100, plates.Nearest)
	if exact == s.Load {
		return w
	}
	return w + " = " + signed(exact, u, e.Lift.BodyweightShare.Sign() > 0)
}

// kindWord names a kind of set for people; a main set needs no word.
func kindWord(k periodize.SetKind) string {
	switch k {
	case periodize.HeavySet:
		return "top"
	case periodize.BackoffSet:
		return "back-off"
	case periodize.WarmupSet:
		return "warm-up"
	case periodize.TestSet:
		return "attempt"
	}
	return ""
}

// weekWord is the head of a week's column or page: "week 3", "week 7, deload", "test".
func weekWord(s *periodize.PlannedSession) string {
	switch s.Kind {
	case periodize.DeloadWeek:
		return fmt.Sprintf("week %d, deload", s.Week)
	case periodize.TestDay:
		return "test day"
	}
	return fmt.Sprintf("week %d", s.Week)
}

// shortDate is a date in a column head.
func shortDate(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2 Jan")
}

// longDate is a date in full.
func longDate(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("Mon 2 Jan 2006")
}

// dayText is a session's date, or its weekday where it has none.
func dayText(s *periodize.PlannedSession) string {
	switch {
	case !s.Date.IsZero():
		return longDate(s.Date)
	case s.Day != nil:
		return s.Day.String()
	}
	return ""
}

// timeText is what a session takes and may take, in minutes.
func timeText(s *periodize.PlannedSession) string {
	var parts []string
	if m := s.Minutes; m != nil {
		parts = append(parts, fmt.Sprintf("about %s min (%s-%s)", number(m.Mid, 0), number(m.Low, 0), number(m.High, 0)))
	}
	if s.Limit > 0 {
		parts = append(parts, fmt.Sprintf("limit %s min", number(s.Limit.Minutes(), 0)))
	}
	return strings.Join(parts, ", ")
}

// maxText is a maximum, with the interval of an estimated one.
func maxText(m *periodize.LiftMax, u plates.Unit) string { return massText(m.Max, u) }

func rangeText(m *periodize.LiftMax, u plates.Unit) string {
	if m.Coverage <= 0 {
		return ""
	}
	return massText(m.Low, u) + "-" + massText(m.High, u)
}

// liftLabel is the name of an exercise: its pair, its lift, and whether it is
// done one side at a time.
func liftLabel(e *periodize.Exercise) string {
	s := oneLine(e.Lift.Name)
	if e.Pair != "" {
		s = oneLine(e.Pair) + ": " + s
	}
	if len(e.Sets) > 0 && e.Sets[0].Sides == 2 {
		s += ", each side"
	}
	return s
}

// about is what is known of a lifter, in a line.
func about(l *periodize.Lifter, u plates.Unit) string {
	var parts []string
	if l.Level != "" {
		parts = append(parts, string(l.Level))
	}
	if l.Age > 0 {
		parts = append(parts, fmt.Sprintf("%d years", l.Age))
	}
	if l.Bodyweight > 0 {
		parts = append(parts, massText(l.Bodyweight, u)+" "+u.String())
	}
	return strings.Join(parts, ", ")
}

// span says when a plan runs.
func span(p *periodize.Plan) string {
	s := plural(p.Block.Weeks, "week")
	if n := p.Block.Finish.Deload; n > 0 {
		s += " and " + plural(n, "deload week")
	}
	var first, last, test time.Time
	for i := range p.Sessions {
		d := p.Sessions[i].Date
		switch {
		case d.IsZero():
		case p.Sessions[i].Kind == periodize.TestDay:
			test = d
		default:
			if first.IsZero() || d.Before(first) {
				first = d
			}
			if d.After(last) {
				last = d
			}
		}
	}
	if !first.IsZero() {
		s += ", " + first.Format("2 Jan 2006") + " to " + last.Format("2 Jan 2006")
	}
	if !test.IsZero() {
		s += ", test day " + test.Format("2 Jan 2006")
	}
	return s
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// run is a number of consecutive sets that a sheet prints as one line.
type run struct {
	first, n int // index of the first set, and how many
}

// runs groups consecutive sets that are done alike.
func runs(sets []periodize.Set) []run {
	var out []run
	for i := range sets {
		if k := len(out); k > 0 && alike(&sets[i-1], &sets[i]) {
			out[k-1].n++
		} else {
			out = append(out, run{i, 1})
		}
	}
	return out
}

// alike reports whether two sets read the same on a sheet. The predicted
// reserve falls from set to set and does not part them; the last set's is shown.
func alike(a, b *periodize.Set) bool {
	return a.Kind == b.Kind && a.Reps == b.Reps && a.RepsLow == b.RepsLow && a.Seconds == b.Seconds && a.Metres == b.Metres &&
		a.Sides == b.Sides && a.AMRAP == b.AMRAP && a.Leave.Cmp(b.Leave) == 0 && a.Cap == b.Cap &&
		a.HasLoad == b.HasLoad && a.Open == b.Open && a.Load == b.Load && a.Expect == b.Expect &&
		a.Below == b.Below && a.Above == b.Above && a.Rest == b.Rest && a.HasPercent == b.HasPercent &&
		a.Percent.Cmp(b.Percent) == 0 && sameValue(a.RIR, b.RIR)
}

func sameValue(a, b *float64) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a == *b
}
