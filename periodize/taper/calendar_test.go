package taper_test

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"github.com/blockwright/blockwright/periodize/taper"
)

func cmpNumber(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }

func date(s string) time.Time {
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return d
}

func TestCalendarCountsBack(t *testing.T) {
	c := must(taper.ForMean(taper.Exponential, 10, 0.5))(t)
	cal := must(taper.NewCalendar(date("2027-03-06"), c, taper.CalendarOptions{Intensity: -0.05}))(t)
	if got := cal.Days[0].Date.Format(time.DateOnly); got != "2027-02-24" {
		t.Errorf("the taper starts on %s", got)
	}
	last := cal.Days[9]
	if last.Date.Format(time.DateOnly) != "2027-03-05" || last.Out != 1 || last.Taper != 10 || math.Abs(last.Intensity-0.95) > 1e-12 {
		t.Errorf("last day %+v", last)
	}
	got := map[taper.Lift][2]string{}
	for _, l := range cal.Lifts {
		got[l.Rule.Lift] = [2]string{l.Heavy.Day.Format("01-02"), l.Last.Day.Format("01-02")}
		if !l.Heavy.Inside || !l.Last.Inside {
			t.Errorf("%s is outside its own windows", l.Rule.Lift)
		}
	}
	want := map[taper.Lift][2]string{taper.Squat: {"02-26", "03-03"}, taper.Bench: {"03-01", "03-03"}, taper.Deadlift: {"02-26", "03-03"}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if len(cal.Findings) > 0 {
		t.Errorf("remarks on the usual taper: %+v", cal.Findings)
	}
}

// A day is not always 24 hours: the meet is a fortnight after the clocks change.
func TestCalendarAcrossAClockChange(t *testing.T) {
	loc := time.FixedZone("", 3600)
	if l, err := time.LoadLocation("Europe/Vienna"); err == nil {
		loc = l
	}
	meet := time.Date(2027, 4, 3, 23, 30, 0, 0, loc)
	c := must(taper.NewStep(14, 0.5))(t)
	cal := must(taper.NewCalendar(meet, c, taper.CalendarOptions{}))(t)
	for i, d := range cal.Days {
		if d.Out != 14-i || taper.DaysOut(meet, d.Date) != d.Out || d.Date.Hour() != 0 {
			t.Errorf("%+v", d)
		}
	}
}

func TestCalendarChoosesAmongSessions(t *testing.T) {
	meet := date("2027-03-06") // a Saturday
	var sessions []taper.Session
	for out := 1; out <= 28; out++ {
		d := meet.AddDate(0, 0, -out)
		switch d.Weekday() {
		case time.Monday, time.Thursday:
			sessions = append(sessions, taper.Session{Date: d, Lift: taper.Squat})
		case time.Friday:
			sessions = append(sessions, taper.Session{Date: d, Lift: taper.Bench})
		}
	}
	c := must(taper.NewStep(10, 0.5))(t)
	cal := must(taper.NewCalendar(meet, c, taper.CalendarOptions{Lifts: []taper.Lift{taper.Squat, taper.Bench}, Sessions: sessions}))(t)
	// Squat days out: 2, 5, 9, 12, ...: heavy 9, last 2. Bench: 1, 8, ...: heavy 8 (two
	// days outside 4 to 6; 1 is three), last 1.
	var got []int
	for _, l := range cal.Lifts {
		got = append(got, l.Heavy.Out, l.Last.Out)
	}
	if diff := cmp.Diff([]int{9, 2, 8, 1}, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if !hasFinding(cal.Findings, taper.FindingHeavy) || !hasFinding(cal.Findings, taper.FindingLast) {
		t.Errorf("no remark on the bench press: %+v", cal.Findings)
	}
}

func TestCheckCurve(t *testing.T) {
	for _, tc := range []struct {
		days      int
		cut, load float64
		want      []string
	}{
		{7, 0.4, -0.1, nil},
		{14, 0.6, 0.05, nil},
		{6, 0.5, 0, []string{taper.FindingLength}},
		{21, 0.5, 0, []string{taper.FindingLength}},
		{10, 0.3, 0, []string{taper.FindingCut}},
		{10, 0.7, 0.1, []string{taper.FindingCut, taper.FindingIntensity}},
	} {
		var got []string
		for _, f := range taper.CheckCurve(must(taper.NewStep(tc.days, tc.cut))(t), tc.load) {
			got = append(got, f.Code)
			for _, id := range f.Evidence {
				if e, ok := taper.EvidenceByID(id); !ok || e.Sport != taper.Strength {
					t.Errorf("%s rests on %s, which is no figure from strength sport", f.Code, id)
				}
			}
		}
		if diff := cmp.Diff(tc.want, got); diff != "" {
			t.Errorf("%+v (-want +got):\n%s", tc, diff)
		}
	}
}

func TestAssess(t *testing.T) {
	meet := date("2027-03-06")
	at := func(out int, l taper.Lift, sets, heavy float64) taper.Session {
		return taper.Session{Date: meet.AddDate(0, 0, -out), Lift: l, Volume: sets, Intensity: heavy}
	}
	// Reference week 15 to 21 days out: 14 sets, 2 a day. The 14 days after: 14
	// sets, 1 a day, so a mean cut of half; the last week has 4 of 14 sets.
	sessions := []taper.Session{
		at(20, taper.Squat, 8, 0.8), at(16, taper.Bench, 6, 0.8),
		at(12, taper.Squat, 6, 0.88), at(9, taper.Squat, 4, 0.9),
		at(5, taper.Bench, 2, 0.9), at(3, taper.Squat, 2, 0.75),
		at(0, taper.Squat, 3, 1),
	}
	a := must(taper.Assess(meet, sessions, 0, nil))(t)
	if a.Reference != 14 || math.Abs(a.MeanCut-0.5) > 1e-12 || math.Abs(a.FinalCut-10.0/14) > 1e-12 || a.DaysOff != 2 {
		t.Errorf("%+v", a)
	}
	if diff := cmp.Diff([]taper.LiftTiming{{taper.Squat, 9, 3}, {taper.Bench, 5, 5}}, a.Lifts); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	var codes []string
	for _, f := range a.Findings {
		codes = append(codes, f.Code+" "+string(f.Lift))
	}
	if diff := cmp.Diff([]string{taper.FindingLast + " bench press"}, codes); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	// Ten days off, never heavy, all of the volume gone.
	a = must(taper.Assess(meet, []taper.Session{at(20, taper.Squat, 8, 0.8), at(11, taper.Squat, 1, 0.8)}, 14, nil))(t)
	for _, code := range []string{taper.FindingIdle, taper.FindingCut, taper.FindingNoHeavy, taper.FindingLast} {
		if !hasFinding(a.Findings, code) {
			t.Errorf("no %s in %+v", code, a.Findings)
		}
	}
}

// A kind that is no lift's name is not put into a sentence as one.
func TestAssessNamesLifts(t *testing.T) {
	meet := date("2027-03-06")
	for lift, want := range map[taper.Lift]string{
		taper.Squat:   "the squat is never trained above 85 % of the maximum",
		taper.General: "the lift is never trained above 85 % of the maximum",
	} {
		sessions := []taper.Session{{Date: meet.AddDate(0, 0, -18), Lift: lift, Volume: 8, Intensity: 0.8}, {Date: meet.AddDate(0, 0, -3), Lift: lift, Volume: 4, Intensity: 0.7}}
		a := must(taper.Assess(meet, sessions, 0, nil))(t)
		if !slices.ContainsFunc(a.Findings, func(f taper.Finding) bool { return f.Text == want && f.Lift == lift }) {
			t.Errorf("%s: %+v, want %q", lift, a.Findings, want)
		}
	}
}

func TestCalendarErrors(t *testing.T) {
	meet := date("2027-03-06")
	c := must(taper.NewStep(10, 0.5))(t)
	var fe *taper.FieldError
	var ne *taper.NameError
	if _, err := taper.NewCalendar(meet, taper.Curve{}, taper.CalendarOptions{}); !errors.As(err, &fe) {
		t.Errorf("no curve: %v", err)
	}
	if _, err := taper.NewCalendar(meet, c, taper.CalendarOptions{Intensity: math.NaN()}); !errors.As(err, &fe) {
		t.Errorf("intensity NaN: %v", err)
	}
	if _, err := taper.NewCalendar(meet, c, taper.CalendarOptions{Lifts: []taper.Lift{"curl"}}); !errors.As(err, &ne) {
		t.Errorf("curl: %v", err)
	}
	if _, err := taper.NewCalendar(meet, c, taper.CalendarOptions{Lifts: []taper.Lift{"curl"}, Rules: []taper.Rule{{Lift: "curl"}}}); !errors.As(err, &fe) {
		t.Errorf("empty windows: %v", err)
	}
	own := taper.Rule{Lift: "curl", Heavy: taper.Window{Near: 3, Far: 5}, Last: taper.Window{Near: 1, Far: 2}}
	if _, err := taper.NewCalendar(meet, c, taper.CalendarOptions{Lifts: []taper.Lift{"curl"}, Rules: []taper.Rule{own}}); err != nil {
		t.Errorf("a rule of one's own: %v", err)
	}
	for name, s := range map[string]taper.Session{
		"volume NaN":    {Date: meet, Lift: taper.Squat, Volume: math.NaN()},
		"intensity inf": {Date: meet, Lift: taper.Squat, Intensity: math.Inf(1)},
		"no reference":  {Date: meet.AddDate(0, 0, -3), Lift: taper.Squat, Volume: 3},
	} {
		if _, err := taper.Assess(meet, []taper.Session{s}, 0, nil); !errors.As(err, &fe) {
			t.Errorf("%s: %v, want a *FieldError", name, err)
		}
	}
	if _, err := taper.Assess(meet, []taper.Session{{Date: meet, Lift: "curl"}}, 0, nil); !errors.As(err, &ne) {
		t.Errorf("curl: %v", err)
	}
}

// The evidence is the literature table row for row, less what is from memory.
func TestEvidenceIsTheTable(t *testing.T) {
	rows := records(t, "taper-published.csv")
	n := 0
	for _, r := range rows {
		e, ok := taper.EvidenceByID(r["id"])
		if r["have"] == "memory" {
			if ok {
				t.Errorf("%s is from memory and must not be offered as published", r["id"])
			}
			continue
		}
		n++
		got := []string{e.Kind, e.Source, string(e.How), e.N, e.Parameter, e.Value, e.Spread, e.Unit, e.Note}
		want := []string{r["kind"], r["source"], r["have"], r["n"], r["parameter"], r["value"], r["spread"], r["unit"], r["note"]}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", r["id"], diff)
		}
		if e.Population == "" || e.Population == "same" {
			t.Errorf("%s: population %q", e.ID, e.Population)
		}
	}
	pub := taper.Published()
	if len(pub) != n {
		t.Errorf("%d figures, want %d", len(pub), n)
	}
	if !slices.IsSortedFunc(pub, func(a, b taper.Evidence) int {
		return strings.Compare(order(a.Sport), order(b.Sport))
	}) {
		t.Error("evidence from strength sport does not come first")
	}
}

func order(s taper.Sport) string {
	return map[taper.Sport]string{taper.Strength: "1", taper.Mixed: "2", taper.Endurance: "3"}[s]
}

// Windows and weights of the rules are those printed in the survey of 364
// powerlifters (Travis et al. 2021, looked-up) and the smaller ones.
func TestRulesRestOnStrengthSport(t *testing.T) {
	text := func(lo, hi float64, format func(float64) string) string { return format(lo) + "-" + format(hi) }
	whole := func(x float64) string { return strconv.FormatFloat(x, 'f', 0, 64) }
	one := func(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }
	byLift := map[taper.Lift]taper.Rule{}
	for _, r := range taper.Rules() {
		byLift[r.Lift] = r
		for _, id := range r.Evidence {
			if e, ok := taper.EvidenceByID(id); !ok || e.Sport != taper.Strength {
				t.Errorf("%s rests on %s, which is no figure from strength sport", r.Lift, id)
			}
		}
	}
	for _, tc := range []struct {
		id, got string
	}{
		{"T-46", text(float64(byLift[taper.Squat].Heavy.Near), float64(byLift[taper.Squat].Heavy.Far), whole)},
		{"T-46", text(float64(byLift[taper.Deadlift].Heavy.Near), float64(byLift[taper.Deadlift].Heavy.Far), whole)},
		{"T-47", "less than " + whole(float64(byLift[taper.Bench].Heavy.Far+1))},
		{"T-48", text(100*byLift[taper.Squat].HeavyMax.Low, 100*byLift[taper.Squat].HeavyMax.High, one)},
		{"T-49", text(100*byLift[taper.Bench].LastMax.Low, 100*byLift[taper.Bench].LastMax.High, whole)},
		{"T-50", text(100*byLift[taper.Deadlift].LastMax.Low, 100*byLift[taper.Deadlift].LastMax.High, whole)},
		{"T-61", "less than " + whole(taper.TooLong) + " ; " + text(float64(byLift[taper.General].Last.Near), float64(byLift[taper.General].Last.Far), whole)},
	} {
		if e, _ := taper.EvidenceByID(tc.id); e.Value != tc.got {
			t.Errorf("%s: printed %q, the rule says %q", tc.id, e.Value, tc.got)
		}
	}
}

func TestBackRoom(t *testing.T) {
	at := time.Date(2027, 3, 6, 10, 30, 0, 0, time.UTC)
	sets := must(taper.BackRoom(150, at, taper.BackRoomOptions{}))(t)
	var got []string
	for _, s := range sets {
		got = append(got, s.At.Format("15:04")+" "+cmpNumber(s.Load)+"x"+strconv.Itoa(s.Reps)+" "+strconv.Itoa(s.ToGo))
	}
	// By hand: 52.5, 75, 97.5, 112.5, 127.5, 139.5 to the nearest 2.5; six minutes before, then every four.
	want := []string{"10:04 52.5x5 26", "10:08 75.0x5 22", "10:12 97.5x3 18", "10:16 112.5x2 14", "10:20 127.5x1 10", "10:24 140.0x1 6"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	// A light opener: sets that would be the bar again are left out.
	sets = must(taper.BackRoom(27.5, at, taper.BackRoomOptions{}))(t)
	for i, s := range sets {
		if s.Load >= 27.5 || s.Load < 20 || (i > 0 && s.Load <= sets[i-1].Load) {
			t.Errorf("%+v", sets)
		}
	}
	if got := taper.OpensAt(at, 12, 0); !got.Equal(at.Add(12 * time.Minute)) {
		t.Errorf("opens at %v", got)
	}
	var fe *taper.FieldError
	for name, o := range map[string]taper.BackRoomOptions{
		"falling": {Steps: []taper.WarmupStep{{0.5, 3}, {0.4, 2}}},
		"to all":  {Steps: []taper.WarmupStep{{1, 1}}},
		"NaN":     {Steps: []taper.WarmupStep{{math.NaN(), 1}}},
		"no reps": {Steps: []taper.WarmupStep{{0.5, 0}}},
		"rest":    {Rest: -time.Minute},
		"bar":     {Least: math.Inf(1)},
		"step":    {Increment: math.NaN()},
	} {
		if _, err := taper.BackRoom(150, at, o); !errors.As(err, &fe) {
			t.Errorf("%s: %v, want a *FieldError", name, err)
		}
	}
	if _, err := taper.BackRoom(20, at, taper.BackRoomOptions{}); !errors.As(err, &fe) {
		t.Errorf("opener of the bar: %v", err)
	}
}

// TestWords: a figure in a line, several of a row apart.
func TestWords(t *testing.T) {
	for id, want := range map[string]string{
		"T-32": "volume cut: 58.9 (8.4) %",
		"T-26": "best taper without overload: cut 30.8 (11.8) %; duration 19.3 (2.3) d",
		"T-29": "best performance after overload: progressive 102.2 (1.7) % of performance at the optimal daily load; step 101.8 (1.5) % of performance at the optimal daily load",
		"T-51": "sets x reps in taper: squat 3x2; bench 3x3; deadlift 3x1",
		"T-55": "taper used: linear 36 %; step 33 %",
		"T-62": "duration 7-28 d; volume cut 31-72 %; intensity change -25 to +5.9 %",
	} {
		if e, _ := taper.EvidenceByID(id); e.Words() != want {
			t.Errorf("%s: got %q, want %q", id, e.Words(), want)
		}
	}
	for _, e := range taper.Published() {
		if strings.Contains(e.Words(), " ; ") {
			t.Errorf("%s: %s", e.ID, e.Words())
		}
	}
	if got := (taper.Evidence{}).Words(); got != "" {
		t.Errorf("nothing: %q", got)
	}
}
