package periodize

import (
	"slices"
	"testing"
)

func TestWeekSet(t *testing.T) {
	for _, c := range []struct {
		set  WeekSet
		text string
		has  []int // of weeks 1 to 6
	}{
		{AllWeeks(), "all", []int{1, 2, 3, 4, 5, 6}},
		{OddWeeks(), "odd", []int{1, 3, 5}},
		{EvenWeeks(), "even", []int{2, 4, 6}},
		{WeekRange(5, 6), "5-6", []int{5, 6}},
		{OnlyWeeks(4, 1, 4), "[1, 4]", []int{1, 4}},
		{OnlyWeeks(2), "2", []int{2}},
	} {
		var has []int
		for w := 1; w <= 6; w++ {
			if c.set.Has(w) {
				has = append(has, w)
			}
		}
		if !slices.Equal(has, c.has) {
			t.Errorf("%s selects %v, want %v", c.text, has, c.has)
		}
		if got := c.set.String(); got != c.text {
			t.Errorf("String() = %q, want %q", got, c.text)
		}
		if c.text[0] != '[' {
			back, err := ParseWeekSet(c.text)
			if err != nil || !back.Equal(c.set) {
				t.Errorf("ParseWeekSet(%q) = %v, %v", c.text, back, err)
			}
		}
	}
}

func TestParseWeekSetRefuses(t *testing.T) {
	for _, s := range []string{"", "0", "6-5", "1-", "-3", "01", "1_0", "0x1", "weeks", "1.5", "5--6", "1000"} {
		if w, err := ParseWeekSet(s); err == nil {
			t.Errorf("ParseWeekSet(%q) = %v, want an error", s, w)
		}
	}
}
