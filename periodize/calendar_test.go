package periodize

import (
	"slices"
	"strings"
	"testing"
	"time"
)

func day(d time.Weekday) *time.Weekday { return &d }

func date(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return t
}

func TestDayOffsets(t *testing.T) {
	block := func(days ...*time.Weekday) *Block {
		b := &Block{Weeks: 4}
		for _, d := range days {
			b.Sessions = append(b.Sessions, Session{Day: d})
		}
		return b
	}
	for _, c := range []struct {
		name  string
		b     *Block
		first time.Weekday
		want  []int
	}{
		{"three spread over the week", block(nil, nil, nil), time.Monday, []int{0, 2, 4}},
		{"named days, week from Monday", block(day(time.Monday), day(time.Saturday)), time.Monday, []int{0, 5}},
		{"named days, week from Wednesday", block(day(time.Monday), day(time.Saturday)), time.Wednesday, []int{5, 3}},
		{"a spread session moves on from a taken day", block(day(time.Monday), nil, nil), time.Monday, []int{0, 2, 4}},
		{"taken day", block(nil, day(time.Monday)), time.Monday, []int{1, 0}},
	} {
		if got := dayOffsets(c.b, c.first); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestCalendarDatesBackFromTheTest(t *testing.T) {
	b := &Block{Weeks: 6, Finish: Finish{Deload: 1, Test: true}, Sessions: []Session{{}, {}}}
	// Seven weeks before Saturday 2027-10-23 is Saturday 2027-09-04.
	c := newCalendar(b, time.Time{}, date("2027-10-23"))
	if got := c.start.Format(time.DateOnly); got != "2027-09-04" {
		t.Errorf("start = %s, want 2027-09-04", got)
	}
	if err := c.check(b); err != nil {
		t.Error(err)
	}
	// Second session of week 2: seven days and three of the spread on.
	if got := c.date(b, 2, 1).Format(time.DateOnly); got != "2027-09-14" {
		t.Errorf("date = %s, want 2027-09-14", got)
	}
	// Without a test date, the day after the last week ends.
	c = newCalendar(b, date("2027-09-06"), time.Time{})
	if got := c.test.Format(time.DateOnly); got != "2027-10-25" {
		t.Errorf("test = %s, want 2027-10-25", got)
	}
}

func TestCalendarRefusesATestThatDoesNotFollow(t *testing.T) {
	once := []Item{{Work: Work{Reps: Fixed(5)}}}
	// On Fridays there is nothing in the last week, by the sets or by the weeks.
	never := []Item{{Work: Work{Reps: Fixed(5), Sets: ByWeek(2, 0)}}, {Weeks: OddWeeks(), Work: Work{Reps: Fixed(5)}},
		{Each: []Work{{Reps: Fixed(5), Sets: WeekTrack{{Value: ratio(1, 1)}, {Empty: true}}}}}}
	b := &Block{Weeks: 2, Sessions: []Session{{Day: day(time.Monday), Work: once}, {Day: day(time.Thursday), Work: once}, {Day: day(time.Friday), Work: never}}}
	// From Monday 2027-09-06 the last session is Thursday 2027-09-16, the last
	// week ends on 2027-09-19, and a week beyond is 2027-09-26.
	for _, c := range []struct {
		test string
		ok   bool
	}{{"2027-09-16", false}, {"2027-09-17", true}, {"2027-09-26", true}, {"2027-09-27", false}} {
		err := newCalendar(b, date("2027-09-06"), date(c.test)).check(b)
		if (err == nil) != c.ok {
			t.Errorf("test on %s: %v, want ok = %v", c.test, err, c.ok)
		}
		if err != nil && !strings.Contains(err.Error(), "from 2027-09-17 to 2027-09-26") {
			t.Errorf("the error does not name the possible days: %v", err)
		}
	}
}

// CheckDates takes blocks that nobody has compiled: a day that there is not ends no program.
func TestDatesOfADayThatThereIsNot(t *testing.T) {
	b := oneItem(1, Item{Work: Work{Reps: Fixed(5)}})
	day := time.Weekday(-20)
	b.Sessions[0].Day = &day
	if err := CheckDates(b, &Roster{Start: date("2027-09-06"), Test: date("2027-09-13")}); err != nil {
		t.Error(err)
	}
}

// There are places and days without a midnight; a plan has that day all the same.
func TestDaysWithoutMidnight(t *testing.T) {
	for zone, start := range map[string]time.Time{
		"America/Santiago": time.Date(2026, 8, 23, 0, 0, 0, 0, time.UTC), "America/Sao_Paulo": time.Date(2018, 10, 21, 0, 0, 0, 0, time.UTC),
		"Asia/Beirut": time.Date(2026, 3, 15, 0, 0, 0, 0, time.UTC),
	} {
		loc, err := time.LoadLocation(zone)
		if err != nil {
			t.Fatal(err)
		}
		y, m, d := start.Date()
		b := oneItem(4, Item{Work: Work{Sets: Fixed(1), Reps: Fixed(5), Weight: Percent(Fixed(70))}})
		r := oneLifter(Lifter{})
		r.Start = time.Date(y, m, d, 12, 0, 0, 0, loc)
		for i, s := range plan(t, b, r).Sessions {
			if want := start.AddDate(0, 0, 7*i); !s.Date.Equal(want) || s.Date.Hour() != 0 {
				t.Errorf("%s: week %d is on %v, want %v", zone, i+1, s.Date, want)
			}
		}
	}
}
