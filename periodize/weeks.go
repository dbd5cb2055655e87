package periodize

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// WeekSet selects weeks of a block. The zero value selects all of them. A
// WeekSet is written as in a file: "all", "odd", "even", "5-6", or a list of
// weeks.
type WeekSet struct {
	rule  string // "", "odd", "even", "range" or "list"
	weeks []int  // range: first and last; list: ascending
}

// AllWeeks selects every week.
func AllWeeks() WeekSet { return WeekSet{} }

// OddWeeks selects weeks 1, 3, 5 and so on.
func OddWeeks() WeekSet { return WeekSet{rule: "odd"} }

// EvenWeeks selects weeks 2, 4, 6 and so on.
func EvenWeeks() WeekSet { return WeekSet{rule: "even"} }

// WeekRange selects the weeks from first to last, both included.
func WeekRange(first, last int) WeekSet {
	return WeekSet{rule: "range", weeks: []int{first, last}}
}

// OnlyWeeks selects the weeks named.
func OnlyWeeks(weeks ...int) WeekSet {
	w := slices.Clone(weeks)
	slices.Sort(w)
	return WeekSet{rule: "list", weeks: slices.Compact(w)}
}

// ParseWeekSet reads "all", "odd", "even", a week such as "6" or a range such as "5-6".
// The error is an [*Error].
func ParseWeekSet(s string) (WeekSet, error) {
	switch s {
	case "all":
		return AllWeeks(), nil
	case "odd":
		return OddWeeks(), nil
	case "even":
		return EvenWeeks(), nil
	}
	first, last, isRange := strings.Cut(s, "-")
	a, errA := smallNumber(first)
	if !isRange && errA == nil {
		return OnlyWeeks(a), nil
	}
	b, errB := smallNumber(last)
	if errA != nil || errB != nil || b < a {
		return WeekSet{}, wantWeeks(s)
	}
	return WeekRange(a, b), nil
}

// MarshalText is w as [WeekSet.String] has it: "all", "5-6", "[1, 3, 5]". Weeks outside 1
// to 999, a range that goes backwards and a list of none cannot be read back and are an
// [*Error].
func (w WeekSet) MarshalText() ([]byte, error) {
	s := w.String()
	if back, err := weekSetOf(s); err != nil || !back.Equal(w) {
		return nil, wantWeeks(s)
	}
	return []byte(s), nil
}

// UnmarshalText reads what [ParseWeekSet] reads, and a list of weeks, "[1, 3, 5]". The
// error is an [*Error].
func (w *WeekSet) UnmarshalText(text []byte) error {
	set, err := weekSetOf(string(text))
	if err == nil {
		*w = set
	}
	return err
}

func weekSetOf(s string) (WeekSet, error) {
	list, ok := strings.CutPrefix(s, "[")
	list, end := strings.CutSuffix(list, "]")
	if !ok || !end {
		return ParseWeekSet(s)
	}
	var weeks []int
	for part := range strings.SplitSeq(list, ",") {
		week, err := smallNumber(strings.TrimSpace(part))
		if err != nil {
			return WeekSet{}, wantWeeks(s)
		}
		weeks = append(weeks, week)
	}
	return OnlyWeeks(weeks...), nil
}

func wantWeeks(got string) error {
	return &Error{Msg: fmt.Sprintf("want all, odd, even, a week, a range such as 5-6 or a list of weeks, got %q", got)}
}

// smallNumber reads a whole number from 1 to 999 written in digits alone.
func smallNumber(s string) (int, error) {
	if len(s) == 0 || len(s) > 3 || s[0] == '0' || strings.Trim(s, "0123456789") != "" {
		return 0, strconv.ErrSyntax
	}
	return strconv.Atoi(s)
}

// Has reports whether a week is selected.
func (w WeekSet) Has(week int) bool {
	switch w.rule {
	case "odd":
		return week%2 == 1
	case "even":
		return week%2 == 0
	case "range":
		return w.weeks[0] <= week && week <= w.weeks[1]
	case "list":
		return slices.Contains(w.weeks, week)
	}
	return true
}

// fault is what is wrong with a set in a block of that many weeks; "" for nothing. A rule
// such as even may select nothing in a short block.
func (w WeekSet) fault(weeks int) string {
	want := fmt.Sprintf("want weeks from 1 to %d", weeks)
	switch {
	case w.rule == "list" && len(w.weeks) == 0:
		return "an empty list selects no week: " + want
	case w.rule == "range" && w.weeks[1] < w.weeks[0]:
		return fmt.Sprintf("the range from %d to %d goes backwards: %s, the first before the last", w.weeks[0], w.weeks[1], want)
	}
	for _, k := range w.weeks {
		if k < 1 || k > weeks {
			return fmt.Sprintf("week %d is not in the block: %s", k, want)
		}
	}
	return ""
}

// IsAll reports whether w is the zero value, every week.
func (w WeekSet) IsAll() bool { return w.rule == "" }

// Last is the highest week named, or 0 when the set names none in particular.
func (w WeekSet) Last() int {
	if len(w.weeks) == 0 {
		return 0
	}
	return w.weeks[len(w.weeks)-1]
}

// Weeks lists the weeks named one by one; nil when the set is a rule or a range.
func (w WeekSet) Weeks() []int {
	if w.rule != "list" {
		return nil
	}
	return slices.Clone(w.weeks)
}

// Equal reports whether both sets are written the same.
func (w WeekSet) Equal(o WeekSet) bool { return w.rule == o.rule && slices.Equal(w.weeks, o.weeks) }

// String is the set as a file writes it.
func (w WeekSet) String() string {
	switch w.rule {
	case "":
		return "all"
	case "range":
		return fmt.Sprintf("%d-%d", w.weeks[0], w.weeks[1])
	case "list":
		s := make([]string, len(w.weeks))
		for i, k := range w.weeks {
			s[i] = strconv.Itoa(k)
		}
		if len(s) == 1 {
			return s[0]
		}
		return "[" + strings.Join(s, ", ") + "]"
	}
	return w.rule
}
