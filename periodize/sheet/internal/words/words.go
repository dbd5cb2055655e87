// Package words holds the words and numbers that all formats of a sheet share,
// so that they say the same.
package words

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// Amount is what one set is: "6", "8-12", "6 open", "30 s", "40 m".
func Amount(s *periodize.Set) string {
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
			b = append(b, " open"...)
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

// Load is a set's weight without its unit: "72.5", "+5" and "-10" for added
// load and assistance of a bodyweight lift, "bw" for bodyweight alone, the
// range of an open weight, or "" where there is none.
func Load(e *periodize.Exercise, s *periodize.Set, u plates.Unit) string {
	body := e.Lift.BodyweightShare.Sign() > 0
	switch {
	case s.Open:
		if !s.HasExpect {
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
		return Mass(m, u)
	case m == 0:
		return "bw"
	case m > 0:
		return "+" + Mass(m, u)
	}
	return Mass(m, u)
}

// Mass is a mass in a unit, without the unit: exact where two decimals are
// enough and rounded to a tenth otherwise, as for a kilogram plate in pounds.
func Mass(m plates.Mass, u plates.Unit) string {
	if Odd(m, u) {
		return plates.ExactOf(m).RoundTo(u.One()/10, plates.Nearest).Text(u)
	}
	return m.Text(u)
}

// Odd reports whether a mass needs more than two decimals in a unit, because
// it comes from plates or figures in the other one.
func Odd(m plates.Mass, u plates.Unit) bool { return m%(u.One()/100) != 0 }

// Mark is "!" beside a weight that is not what was asked for because the gym
// has nothing lighter or heavier, and "^" beside one over the lifter's maximum.
func Mark(p *periodize.Plan, e *periodize.Exercise, s *periodize.Set) string {
	t := ""
	if s.Below || s.Above {
		t = "!"
	}
	if Over(p, e, s) {
		t += "^"
	}
	return t
}

// Over reports whether a set's weight is more than the lifter's maximum,
// bodyweight counted in where it counts.
func Over(p *periodize.Plan, e *periodize.Exercise, s *periodize.Set) bool {
	m, ok := p.Max(e.Lift.Name)
	return ok && s.HasLoad && !s.Open && s.Load+m.Body > m.Max
}

// PerSideText lists the plates of one side, inner first; "empty" for the bare
// bar and "" for what has no plates.
func PerSideText(e *periodize.Exercise, s *periodize.Set, u plates.Unit) string {
	side, ok := PerSide(e, s)
	if !ok {
		return ""
	}
	return Plates(side, u)
}

// Plates lists plates; "empty" for none.
func Plates(side []plates.Plate, u plates.Unit) string {
	if len(side) == 0 {
		return "empty"
	}
	parts := make([]string, len(side))
	for i, p := range side {
		parts[i] = p.Label(u)
	}
	return strings.Join(parts, " ")
}

// PerSide is the plates of one side of a set's weight as the session loads it;
// ok is false where the set has no weight or its implement no plates.
func PerSide(e *periodize.Exercise, s *periodize.Set) ([]plates.Plate, bool) {
	if !s.HasLoad || s.Open || !IsBar(e.Loads) {
		return nil, false
	}
	return s.Side, true
}

// IsBar tells bars, which are loaded with plates, from stations.
func IsBar(l *plates.Loads) bool {
	if l == nil {
		return false
	}
	_, ok := l.Bar()
	return ok
}

// Rest is a rest in minutes and seconds; "" for none.
func Rest(seconds float64) string {
	s := int(math.Round(seconds))
	if s <= 0 {
		return ""
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// Number prints a figure with at most so many decimals and no idle zeros.
func Number(x float64, decimals int) string {
	p := math.Pow(10, float64(decimals))
	return strconv.FormatFloat(math.Round(x*p)/p, 'f', -1, 64)
}

// Reserve is the repetitions left: the predicted ones of the set with
// their range, or the ones asked for.
func Reserve(s *periodize.Set, long bool) string {
	switch {
	case s.AMRAP: // what to stop at, not what the repetitions named would leave
		return s.Leave.String()
	case s.Reserve != nil && s.Reserve.Mid <= -0.5:
		return "<0" // the set is not expected to be completed
	case s.Reserve != nil && long:
		// Whole repetitions: the prediction is no finer than that.
		return fmt.Sprintf("~%s (%s-%s)", Number(max(s.Reserve.Mid, 0), 0), Number(max(s.Reserve.Low, 0), 0), Number(max(s.Reserve.High, 0), 0))
	case s.Reserve != nil:
		return "~" + Number(max(s.Reserve.Mid, 0), 0)
	case s.RIR != nil:
		return Number(*s.RIR, 1)
	}
	return ""
}

// Open says how an open-ended set ends.
func Open(s *periodize.Set) string {
	t := "as many as you can"
	if s.Leave.Sign() > 0 {
		t += ", stopping with " + s.Leave.String() + " in reserve"
	}
	if s.Cap > 0 {
		t += fmt.Sprintf(", at most %d", s.Cap)
	}
	return t
}

// From says where a set's weight came from and what it was before rounding.
func From(e *periodize.Exercise, s *periodize.Set, u plates.Unit) string {
	w := s.Origin.Words(u)
	if !s.HasLoad || w == "" || s.Origin.Kind == periodize.ByLoad && s.Origin.Plain() {
		return w
	}
	step := u.One() / 100
	if Odd(s.Load, u) {
		step = u.One() / 10 // as the weight itself is printed
	}
	exact := s.Exact.RoundTo(step, plates.Nearest)
	if Mass(exact, u) == Mass(s.Load, u) {
		return w
	}
	return w + " = " + signed(exact, u, e.Lift.BodyweightShare.Sign() > 0)
}

// Kind names a kind of set for people; a main set needs no word.
func Kind(k periodize.SetKind) string {
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

// Week is the head of a week's column or page: "week 3", "week 7, deload", "test".
func Week(s *periodize.PlannedSession) string {
	switch s.Kind {
	case periodize.DeloadWeek:
		return fmt.Sprintf("week %d, deload", s.Week)
	case periodize.TestDay:
		return "test day"
	}
	return fmt.Sprintf("week %d", s.Week)
}

// ShortDate is a date in a column head.
func ShortDate(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2 Jan")
}

// LongDate is a date in full.
func LongDate(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("Mon 2 Jan 2006")
}

// Day is a session's date, or its weekday where it has none.
func Day(s *periodize.PlannedSession) string {
	switch {
	case !s.Date.IsZero():
		return LongDate(s.Date)
	case s.Day != nil:
		return s.Day.String()
	}
	return ""
}

// Time is what a session takes and may take, in minutes.
func Time(s *periodize.PlannedSession) string {
	var parts []string
	if m := s.Minutes; m != nil {
		parts = append(parts, fmt.Sprintf("about %s min (%s-%s)", Number(m.Mid, 0), Number(m.Low, 0), Number(m.High, 0)))
	}
	if s.Limit > 0 {
		parts = append(parts, fmt.Sprintf("limit %s min", Number(s.Limit.Minutes(), 0)))
	}
	return strings.Join(parts, ", ")
}

// Max is a maximum, with the interval of an estimated one.
func Max(m *periodize.LiftMax, u plates.Unit) string { return Mass(m.Max, u) }

func Range(m *periodize.LiftMax, u plates.Unit) string {
	if m.Coverage <= 0 {
		return ""
	}
	return Mass(m.Low, u) + "-" + Mass(m.High, u)
}

// Lift is the name of an exercise: its pair, its lift, and whether its amounts
// are for each side of the body. It must not read like the sides of a bar.
func Lift(e *periodize.Exercise) string {
	s := OneLine(e.Lift.Name)
	if e.Pair != "" {
		s = OneLine(e.Pair) + ": " + s
	}
	if len(e.Sets) > 0 && e.Sets[0].Sides == 2 {
		s += ", per side"
	}
	return s
}

// About is what is known of a lifter, in a line.
func About(l *periodize.Lifter, u plates.Unit) string {
	var parts []string
	if l.Level != "" {
		parts = append(parts, string(l.Level))
	}
	if l.Age > 0 {
		parts = append(parts, fmt.Sprintf("%d years", l.Age))
	}
	if l.Bodyweight > 0 {
		parts = append(parts, Mass(l.Bodyweight, u)+" "+u.String())
	}
	return strings.Join(parts, ", ")
}

// Span says when a plan runs.
func Span(p *periodize.Plan) string {
	s := Plural(p.Block.Weeks, "week")
	if n := p.Block.Finish.Deload; n > 0 {
		s += " and " + Plural(n, "deload week")
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

func Plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// Run is a number of consecutive sets that a sheet prints as one line.
type Run struct {
	First, N int // index of the first set, and how many
}

// Runs groups consecutive sets that are done alike.
func Runs(sets []periodize.Set) []Run {
	var out []Run
	for i := range sets {
		if k := len(out); k > 0 && alike(&sets[i-1], &sets[i]) {
			out[k-1].N++
		} else {
			out = append(out, Run{i, 1})
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

// SessionTitle names a session with its week and day.
func SessionTitle(s *periodize.PlannedSession) string {
	title := OneLine(s.Name)
	if s.Kind != periodize.TestDay || !strings.EqualFold(s.Name, "test day") {
		title += ", " + Week(s)
	}
	if d := Day(s); d != "" && !strings.EqualFold(d, s.Name) {
		title += ", " + d
	}
	return title
}

// AmountHead heads the column of what a set is.
func AmountHead(e *periodize.Exercise) string {
	for i := range e.Sets {
		switch s := &e.Sets[i]; {
		case s.Reps > 0:
			return "reps"
		case s.Seconds > 0:
			return "time"
		case s.Metres > 0:
			return "distance"
		}
	}
	return "reps"
}

// Details is what an exercise is done with and why it is there.
func Details(e *periodize.Exercise, u plates.Unit) string {
	var parts []string
	if e.Role != "" {
		parts = append(parts, string(e.Role))
	}
	if e.Lift.Uses != "" {
		uses := OneLine(e.Lift.Uses)
		if IsBar(e.Loads) {
			bar, _ := e.Loads.Bar()
			uses += " " + Mass(bar.Mass, u) + " " + u.String()
			if bar.Collars > 0 {
				uses += " and collars " + Mass(bar.Collars, u)
			}
		}
		if strings.Contains(strings.ToLower(uses), "dumbbell") {
			uses += ", weight of one dumbbell"
		}
		parts = append(parts, uses)
	}
	if e.Lift.Tempo > 0 {
		parts = append(parts, Number(e.Lift.Tempo, 1)+" s a repetition")
	}
	if e.Pair != "" {
		parts = append(parts, "alternates with the other "+OneLine(e.Pair))
	}
	return strings.Join(parts, ", ")
}

// Ranged reports whether any maximum of a plan has an interval to print.
func Ranged(p *periodize.Plan) bool {
	return slices.ContainsFunc(p.Maxes, func(m periodize.LiftMax) bool { return m.Coverage > 0 })
}

// RangeHead heads the column of intervals with their coverage, where all have
// the same.
func RangeHead(p *periodize.Plan) string {
	c := 0.0
	for i := range p.Maxes {
		switch m := &p.Maxes[i]; {
		case m.Coverage <= 0 || m.Coverage == c:
		case c == 0:
			c = m.Coverage
		default:
			return "likely"
		}
	}
	return Number(100*c, 0) + "% range"
}

// OneLine takes the line breaks and other control characters out of text that
// is to stay on one line of a terminal or a plain-text sheet.
func OneLine(s string) string {
	clean := true
	for i := range len(s) {
		if s[i] < 0x20 || s[i] == 0x7f {
			clean = false
			break
		}
	}
	if clean && !strings.ContainsRune(s, '\u0085') && utf8.ValidString(s) {
		return s
	}
	return strings.Join(strings.FieldsFunc(strings.ToValidUTF8(s, "\uFFFD"), func(r rune) bool {
		return r < 0x20 || r >= 0x7f && r < 0xa0 || r == ' '
	}), " ")
}
