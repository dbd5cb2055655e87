package periodize

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/plates"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// twoDays is two weeks of a pull on Monday and a press on Thursday, with a test
// of the pull. The lifter's maxima are 100 and 50 kg.
func twoDays() (*Block, *Roster) {
	b := &Block{
		Title: "test", Weeks: 2, Focus: []string{"pull"},
		Lifts: []Lift{
			{Name: "pull", Pattern: Hinge, Uses: "bar"},
			{Name: "press", Pattern: PushVertical, Uses: "bar"},
			{Name: "plank", Pattern: TrunkWork, Region: Trunk},
		},
		Sessions: []Session{
			{Name: "A", Day: day(time.Monday), Work: []Item{
				{Lift: "pull", Work: Work{Sets: Fixed(3), Reps: Fixed(5), Weight: Percent(ByWeek(70, 80))}},
				{Lift: "plank", Role: Accessory, Work: Work{Sets: Fixed(2), Seconds: Fixed(30)}},
			}},
			{Name: "B", Day: day(time.Thursday), Work: []Item{
				{Lift: "press", Work: Work{Sets: Fixed(2), Reps: Fixed(4), Weight: Percent(Fixed(60))}},
			}},
		},
		Finish: Finish{Test: true},
	}
	r := oneLifter(Lifter{Maxes: []MaxEntry{{Lift: "pull", Tested: 100 * kg}, {Lift: "press", Tested: 50 * kg}}})
	return b, r
}

var nearly = cmpopts.EquateApprox(1e-12, 1e-12)

func TestDailyByHand(t *testing.T) {
	b, r := twoDays()
	r.Start = date("2027-09-06") // a Monday
	p := plan(t, b, r)
	// By hand: Monday 3x5 at 70 and 80 kg of 100: 15 x 0.7 and 15 x 0.8.
	// Thursday 2x4 at 30 kg of 50: 8 x 0.6 = 4.8. The test is day 15.
	want := []float64{10.5, 0, 0, 4.8, 0, 0, 0, 12, 0, 0, 4.8, 0, 0, 0, 0}
	d, err := p.Daily(DailyOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, d.Load, nearly); diff != "" {
		t.Errorf("relative volume (-want +got):\n%s", diff)
	}
	if d.Test != 15 || d.Sets != 10 || d.LeftOut != 4 || !d.Start.Equal(date("2027-09-06")) || !d.Date(15).Equal(date("2027-09-20")) {
		t.Errorf("test %d, sets %d and %d, start %v", d.Test, d.Sets, d.LeftOut, d.Start)
	}
	if got := d.Week(1) + d.Week(2) + d.Week(9); !cmp.Equal(got, 32.1, nearly) {
		t.Errorf("weeks add up to %v, want 32.1", got)
	}
	for _, s := range []string{"relative volume load", "test day's own attempts do not count", "4 of 14 sets"} {
		if !strings.Contains(d.Method, s) {
			t.Errorf("the method does not say %q: %s", s, d.Method)
		}
	}

	// Tonnage: 15 x 70 = 1050, 15 x 80 = 1200, 8 x 30 = 240 kg.
	d, err = p.Daily(DailyOptions{Measure: TonnageLoad})
	if err != nil {
		t.Fatal(err)
	}
	want = []float64{1050, 0, 0, 240, 0, 0, 0, 1200, 0, 0, 240, 0, 0, 0, 0}
	if diff := cmp.Diff(want, d.Load, nearly); diff != "" || d.Unit != "kg" {
		t.Errorf("tonnage in %s (-want +got):\n%s", d.Unit, diff)
	}

	// The first two attempts of the test are 91 and 95.5 % of 100 kg, loaded as 90
	// and 95 kg; the third is open.
	d, err = p.Daily(DailyOptions{CountTest: true})
	if err != nil {
		t.Fatal(err)
	}
	if !cmp.Equal(d.Load[14], 1.85, nearly) || !strings.Contains(d.Method, "attempts of the test day count") {
		t.Errorf("test day %v, want 1.85; %s", d.Load[14], d.Method)
	}

	// One lift alone, from two days before.
	d, err = p.Daily(DailyOptions{Lifts: []string{"press"}, Start: date("2027-09-04")})
	if err != nil {
		t.Fatal(err)
	}
	want = []float64{0, 0, 0, 0, 0, 4.8, 0, 0, 0, 0, 0, 0, 4.8, 0, 0, 0, 0}
	if diff := cmp.Diff(want, d.Load, nearly); diff != "" || !strings.Contains(d.Method, "of press alone") {
		t.Errorf("press (-want +got):\n%s%s", diff, d.Method)
	}
}

// TestDailyWithoutDates places sessions as a week that begins on a Monday does.
func TestDailyWithoutDates(t *testing.T) {
	b, r := twoDays()
	d, err := plan(t, b, r).Daily(DailyOptions{})
	if err != nil {
		t.Fatal(err)
	}
	want := []float64{10.5, 0, 0, 4.8, 0, 0, 0, 12, 0, 0, 4.8, 0, 0, 0, 0}
	if diff := cmp.Diff(want, d.Load, nearly); diff != "" || !d.Start.IsZero() || !d.Date(3).IsZero() || d.Test != 15 {
		t.Errorf("test %d, %v (-want +got):\n%s", d.Test, d.Start, diff)
	}
}

func TestDailyRefuses(t *testing.T) {
	b, r := twoDays()
	r.Start = date("2027-09-06")
	p := plan(t, b, r)
	for name, o := range map[string]DailyOptions{
		"measure": {Measure: "calories"},
		"lift":    {Lifts: []string{"pul"}},
		"start":   {Start: date("2027-09-07")},
		"year":    {Start: date("0207-09-06")}, // more than a time.Duration holds
		"decade":  {Start: date("2017-09-05")},
	} {
		var e *Error
		if _, err := p.Daily(o); !errors.As(err, &e) {
			t.Errorf("%s: %v, want an *Error", name, err)
		}
	}
	var e *Error
	if _, err := (&Plan{Block: b}).Daily(DailyOptions{}); !errors.As(err, &e) {
		t.Errorf("a plan without sessions: %v", err)
	}
}

// TestDailyAddsUp: over any plan the days' loads are the review's weeks, less
// what is left open.
func TestDailyAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBlock(t)
		r := oneLifter(drawLifter(t))
		prog, err := Compile(b, r)
		if err != nil {
			return
		}
		p := prog.Plan(0)
		if len(p.Sessions) == 0 {
			return
		}
		for i := range p.Sessions {
			for k := range p.Sessions[i].Exercises {
				for _, s := range p.Sessions[i].Exercises[k].Sets {
					if s.Open {
						return
					}
				}
			}
		}
		d, err := p.Daily(DailyOptions{CountTest: true})
		if err != nil {
			t.Fatal(err)
		}
		for i, w := range p.Review(Thresholds{}).Weeks {
			if got := d.Week(i + 1); !cmp.Equal(got, w.RelativeVolume, cmpopts.EquateApprox(1e-9, 1e-9)) {
				t.Fatalf("week %d: %v, want %v", i+1, got, w.RelativeVolume)
			}
		}
	})
}

func TestPlanBlock(t *testing.T) {
	b, _ := twoDays()
	p, err := PlanBlock(b, time.Time{}, date("2027-09-20"))
	if err != nil {
		t.Fatal(err)
	}
	d, err := p.Daily(DailyOptions{})
	if err != nil {
		t.Fatal(err)
	}
	// Dated back two weeks from the test, with the same shares as for any lifter.
	if !d.Start.Equal(date("2027-09-06")) || !cmp.Equal(d.Load[0], 10.5, nearly) || d.Test != 15 {
		t.Errorf("start %v, load %v, test %d", d.Start, d.Load[0], d.Test)
	}
	if m, ok := p.Max("pull"); !ok || m.Max != 1000*plates.Kilogram {
		t.Errorf("nominal maximum %v", m)
	}
}

func TestDaysBetween(t *testing.T) {
	for _, tc := range []struct {
		from, to string
		want     int
	}{
		{"2027-09-06", "2027-09-06", 0},
		{"2027-03-01", "2028-03-01", 366},
		{"1969-12-30", "1970-01-02", 3},
		// 1820 years of 365 days, 455 fourth years from 208 to 2024, less the centuries 300 to 2000 but for every fourth.
		{"0207-09-06", "2027-09-06", 1820*365 + 455 - 13},
	} {
		if got := daysBetween(date(tc.from), date(tc.to)); got != tc.want {
			t.Errorf("%s to %s: %d days, want %d", tc.from, tc.to, got, tc.want)
		}
		if got := daysBetween(date(tc.to), date(tc.from)); got != -tc.want {
			t.Errorf("%s to %s: %d days, want %d", tc.to, tc.from, got, -tc.want)
		}
	}
}
