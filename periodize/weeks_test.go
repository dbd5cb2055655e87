package periodize

import (
	"errors"
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
		text, err := c.set.MarshalText()
		var back WeekSet
		if err == nil {
			err = back.UnmarshalText(text)
		}
		if err != nil || string(text) != c.text || !back.Equal(c.set) {
			t.Errorf("%s is written as %q and read back as %v, %v", c.text, text, back, err)
		}
	}
	for _, set := range []WeekSet{OnlyWeeks(), OnlyWeeks(0, 3), WeekRange(6, 5), WeekRange(1, 1000)} {
		var e *Error
		if text, err := set.MarshalText(); !errors.As(err, &e) {
			t.Errorf("%v is written as %q, %v; want an *Error", set, text, err)
		}
	}
}

func TestParseWeekSetRefuses(t *testing.T) {
	for _, s := range []string{"", "0", "6-5", "1-", "-3", "01", "1_0", "0x1", "weeks", "1.5", "5--6", "1000"} {
		var e *Error
		if w, err := ParseWeekSet(s); !errors.As(err, &e) {
			t.Errorf("ParseWeekSet(%q) = %v, %v; want an *Error", s, w, err)
		}
	}
	for _, s := range []string{"", "[]", "[0]", "[1, x]", "[1,2", "1,2]", "[1-2]", "[[1]]"} {
		w := OddWeeks()
		var e *Error
		if err := w.UnmarshalText([]byte(s)); !errors.As(err, &e) || !w.Equal(OddWeeks()) {
			t.Errorf("%q is read as %v, %v; want an *Error", s, w, err)
		}
	}
}
