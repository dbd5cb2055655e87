package logbook_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/examples/logs/invent"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/blockwright/blockwright/plates"
	"github.com/google/go-cmp/cmp"
)

func summarise(t testing.TB, log string) *logbook.Summary {
	t.Helper()
	s, err := logbook.Summarise(logbook.NewReader(logbook.Options{}, logbook.Stream("log.csv", strings.NewReader(log))))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func logOf(t testing.TB, s *logbook.Summary, opt logbook.LogOptions) *logbook.Log {
	t.Helper()
	l, err := s.Log(opt)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func day(y, m, d int) time.Time { return time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC) }

const week = `date,lifter,lift,load,reps,rir,count,session,minutes,effort,tested
2027-09-06,Oona,press,40,5,2,3,Mon,60,6,
2027-09-06,Oona,row,50,8,,1,Mon,,,
2027-09-08,Oona,press,42.5,5,1,1,Wed,45,7,
2027-09-11,Oona,press,45,3,1,1,Sat,50,8,
2027-09-11,Oona,press,50,0,,1,Sat,,,1
2027-10-04,Oona,press,47.5,1,0,1,Mon,30,,
2027-10-05,Oona,press,44,3,,1,Tue,30,5,
2027-09-07,Bram,press,60,5,2,1,,60,5,
`

func TestLogByHand(t *testing.T) {
	l := logOf(t, summarise(t, week), logbook.LogOptions{})
	if l.Rows != 8 || len(l.Lifters) != 2 || l.AsOf != day(2027, 10, 5) {
		t.Fatalf("got %+v", l)
	}
	o := l.Lifters[1]
	if o.Name != "Oona" || o.Days != 5 || o.First != day(2027, 9, 6) || o.Last != day(2027, 10, 5) {
		t.Errorf("got %+v", o)
	}
	if diff := cmp.Diff([]logbook.Gap{{From: day(2027, 9, 11), To: day(2027, 10, 4), Days: 22}}, o.Gaps); diff != "" {
		t.Errorf("gaps (-want +got):\n%s", diff)
	}
	p := o.Lifts[0]
	// Tonnage by hand: 3 x 5 x 40 + 5 x 42.5 + 3 x 45 + 47.5 + 3 x 44 = 1127.
	if p.Lift != "press" || p.Sets != 7 || p.Missed != 1 || p.Reps != 27 || p.Tonnage != 1127 {
		t.Errorf("press: %+v", p)
	}
	if diff := cmp.Diff([]logbook.Best{{Reps: 1, Load: 47.5, Date: day(2027, 10, 4)}, {Reps: 3, Load: 45, Date: day(2027, 9, 11)}, {Reps: 5, Load: 42.5, Date: day(2027, 9, 8)}}, p.Bests); diff != "" {
		t.Errorf("bests (-want +got):\n%s", diff)
	}
	if p.Max == nil || !(p.Max.Low < 48 && p.Max.High > 48 && p.Max.High < 56) {
		t.Errorf("max %+v", p.Max)
	}
	if row := o.Lifts[1]; row.Max != nil || !strings.Contains(row.Why, "how near to failure") {
		t.Errorf("row: %+v", row)
	}
	// The week of 2027-09-06: loads 360, 315 and 400 on Monday, Wednesday and Saturday. Mean 1075/7 = 153.5714, sample
	// SD by hand: sum of squares 360^2 + 315^2 + 400^2 = 388825, less 1075^2/7 = 165089.2857, over 6, root: 193.1043.
	w := o.Weeks[0]
	if w.WeekOf != day(2027, 9, 6) || w.Sets != 6 || w.Reps != 31 || w.Tonnage != 3*5*40+8*50+5*42.5+3*45 || w.Load == nil || *w.Load != 1075 || w.Sessions != 3 || w.Rated != 3 {
		t.Errorf("week: %+v", w)
	}
	if sd := math.Sqrt((388825 - 1075.0*1075/7) / 6); w.Week == nil || !near(w.Week.Monotony.Value, 1075.0/7/sd, 0, 1e-12) || !near(w.Week.Strain.Value, 1075*1075.0/7/sd, 0, 1e-12) {
		t.Errorf("monotony %+v", w.Week)
	}
	// In the week of 2027-10-04 one session has no effort.
	if w := o.Weeks[1]; w.WeekOf != day(2027, 10, 4) || w.Load == nil || *w.Load != 150 || w.Week != nil || w.Rated != 1 || w.Sessions != 2 {
		t.Errorf("second week: %+v", w)
	}
	b, err := json.Marshal(l)
	if err != nil {
		t.Fatal(err)
	}
	var j struct {
		Rows    int
		Lifters []struct {
			Name  string
			Lifts []struct {
				Lift string
				Sets int
				Max  *float64
				AsOf *string `json:"as_of"`
			}
		}
		Weeks []struct {
			Lifter   string
			WeekOf   string `json:"week_of"`
			Monotony *float64
		}
	}
	if err := json.Unmarshal(b, &j); err != nil {
		t.Fatal(err)
	}
	if j.Lifters[1].Lifts[0].Max == nil || *j.Lifters[1].Lifts[0].AsOf != "2027-10-05" || j.Lifters[1].Lifts[1].Max != nil || len(j.Weeks) != 3 || j.Weeks[1].Monotony == nil || j.Weeks[2].Monotony != nil {
		t.Errorf("JSON %s", b)
	}
}

// TestAsOf: the day of a log is that of its last row or later; what was later is left out by not adding it.
func TestAsOf(t *testing.T) {
	s := summarise(t, week)
	at := logOf(t, s, logbook.LogOptions{}).Lifters[1].Lifts[0].Max
	later := logOf(t, s, logbook.LogOptions{AsOf: day(2027, 12, 31)})
	if m := later.Lifters[1].Lifts[0].Max; later.AsOf != day(2027, 12, 31) || later.Lifters[1].AsOf != later.AsOf || m.Max != at.Max || !(m.Low < at.Low && m.High > at.High) {
		t.Errorf("later %+v, at the last row %+v", m, at)
	}
	_, err := s.Log(logbook.LogOptions{AsOf: day(2027, 9, 12)})
	var oe *logbook.OptionError
	if !errors.As(err, &oe) || oe.Field != "as_of" {
		t.Errorf("got %v", err)
	}
	part := logbook.NewSummary(plates.KG)
	for row, err := range logbook.NewReader(logbook.Options{}, logbook.Stream("log.csv", strings.NewReader(week))).Rows() {
		if err == nil && row.Day <= logbook.DayOf(day(2027, 9, 12)) {
			part.Add(&row)
		}
	}
	l := logOf(t, part, logbook.LogOptions{AsOf: day(2027, 9, 12)})
	o := l.Lifters[1]
	if o.Days != 3 || len(o.Weeks) != 1 || len(o.Gaps) != 0 || o.Lifts[0].Sets != 5 || o.Lifts[0].Missed != 1 || o.Lifts[0].Bests[0].Load != 45 || o.Lifts[0].Max == nil {
		t.Errorf("%+v", o)
	}
	if _, err := s.Log(logbook.LogOptions{Tracker: estimate.TrackerOptions{Coverage: 2}}); err == nil {
		t.Error("a wrong coverage is accepted")
	}
}

// TestWorkOnly: without the sets that tell of maxima all the rest stays, in parts and through JSON too.
func TestWorkOnly(t *testing.T) {
	want := logOf(t, summarise(t, week), logbook.LogOptions{NoMaxima: true})
	s := summarise(t, week)
	s.WorkOnly()
	var back logbook.Summary
	through(t, s, &back)
	all := summarise(t, "date,lifter,lift,load,reps\n")
	if err := all.Merge(&back); err != nil {
		t.Fatal(err)
	}
	got := logOf(t, all, logbook.LogOptions{})
	for _, l := range []*logbook.Log{want, got} {
		for i := range l.Lifters {
			for j := range l.Lifters[i].Lifts {
				l.Lifters[i].Lifts[j].Last = time.Time{} // the last day that tells
			}
		}
	}
	if diff := cmp.Diff(plain(t, want), plain(t, got)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// TestKeptSets: of a day's sets that measure, the first of the heaviest is followed, in whatever order rows are added.
func TestKeptSets(t *testing.T) {
	for _, c := range []struct{ rows, want string }{
		{"40,8,3, 60,5,2, 60,5,4, 60,3,5,", "60x5+2"},
		{"60,3,1, 60,5,3,", "60x5+3"},
		{"80,1,0, 82.5,2,1,", "80x1+0"},
		{"80,1,,1 85,0,,1 82.5,0,,1", "80x1+0 82.5x0"},
		{"60,5,2, 60,9,8, 62.5,0,,", "60x5+2 60x9+8 62.5x0"},
		{"60,9,8, 60,5,2, 60,0,,", "60x5+2 60x9+8"}, // what was lifted the same day was a slip
		{"60,5,4, 60,5,8,", "60x5+4"},               // the other says no more
		{"60,5,, 62.5,5,, 60,5,1.25,", "60x5+1.25 62.5x5"},
	} {
		log := "date,lifter,lift,load,reps,rir,tested\n"
		for _, r := range strings.Fields(c.rows) {
			log += "2027-09-06,Oona,press," + r + "\n"
		}
		var rows []logbook.Row
		for row, err := range logbook.NewReader(logbook.Options{}, logbook.Stream("log.csv", strings.NewReader(log))).Rows() {
			if err != nil {
				t.Fatal(err)
			}
			rows = append(rows, row)
		}
		for k := range rows { // from each row on, and round
			s := logbook.NewSummary(plates.KG)
			for i := range rows {
				s.Add(&rows[(i+k)%len(rows)])
			}
			var got []string
			for _, p := range logOf(t, s, logbook.LogOptions{}).Lifters[0].Lifts[0].Track.Points {
				x := fmt.Sprintf("%gx%g", p.Set.Load, p.Set.Reps)
				if !p.Set.NoRIR {
					x += fmt.Sprintf("+%g", p.Set.RIR)
				}
				got = append(got, x)
			}
			if g := strings.Join(got, " "); g != c.want {
				t.Errorf("%s: kept %q, want %q", c.rows, g, c.want)
			}
		}
	}
}

// TestConflicts: minutes and effort are given once a session.
func TestConflicts(t *testing.T) {
	log := "date,lifter,lift,load,reps,session,minutes,effort\n" +
		"2027-09-06,Oona,press,40,5,Mon,60,6\n2027-09-06,Oona,press,40,5,Mon,60,\n2027-09-06,Oona,press,40,5,Mon,70,6\n2027-09-06,Oona,press,40,5,Tue,70,8\n2027-09-06,Oona,press,40,5,Mon,60,7\n"
	src := func() logbook.Source { return logbook.Stream("log.csv", strings.NewReader(log)) }
	_, err := logbook.Summarise(logbook.NewReader(logbook.Options{}, src()))
	var bad *logbook.BadRowsError
	if !errors.As(err, &bad) || bad.Bad != 2 || bad.Listed[0].Error() != `log.csv:4: minutes: want the minutes of the session, given once or always the same; log.csv:2 has 60, got "70"` {
		t.Fatalf("got %v", err)
	}
	s, err := logbook.Summarise(logbook.NewReader(logbook.Options{SkipBad: true}, src()))
	if err != nil {
		t.Fatal(err)
	}
	if l := logOf(t, s, logbook.LogOptions{}); len(l.Conflicts) != 2 || *l.Lifters[0].Weeks[0].Load != 60*6+70*8 {
		t.Errorf("got %+v", l)
	}
}

// TestSummaryParts: a log cut in 1 to 16 parts, row by row at random, summed apart, through JSON and
// merged in random order, is that of one reading to 12 digits.
func TestSummaryParts(t *testing.T) {
	log := invented(t, invent.Options{Rows: 6000, Seed: 8, Lifters: 6})
	reader := func() *logbook.Reader {
		return logbook.NewReader(logbook.Options{}, logbook.Stream("log", bytes.NewReader(log)))
	}
	whole, err := logbook.Summarise(reader())
	if err != nil {
		t.Fatal(err)
	}
	want := logOf(t, whole, logbook.LogOptions{})
	rng := rand.New(rand.NewPCG(3, 3))
	for n := 1; n <= 16; n++ {
		parts := make([]*logbook.Summary, n)
		for i := range parts {
			parts[i] = logbook.NewSummary(reader().Unit())
		}
		for row, err := range reader().Rows() {
			if err != nil {
				t.Fatal(err)
			}
			parts[rng.IntN(n)].Add(&row)
		}
		all := logbook.NewSummary(reader().Unit())
		for _, i := range rng.Perm(n) {
			var back logbook.Summary
			through(t, parts[i], &back)
			if err := all.Merge(&back); err != nil {
				t.Fatal(err)
			}
		}
		got := logOf(t, all, logbook.LogOptions{})
		near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b)) })
		a, b := plain(t, want), plain(t, got)
		if diff := cmp.Diff(a, b, near); diff != "" {
			t.Fatalf("%d parts (-want +got):\n%s", n, diff)
		}
	}
}

func plain(t testing.TB, v any) (out any) {
	t.Helper()
	through(t, v, &out)
	return out
}

func FuzzSummaryJSON(f *testing.F) {
	s, err := logbook.Summarise(logbook.NewReader(logbook.Options{}, logbook.Stream("log.csv", strings.NewReader(week))))
	if err != nil {
		f.Fatal(err)
	}
	b, _ := json.Marshal(s)
	f.Add(b)
	f.Fuzz(func(t *testing.T, b []byte) {
		var s logbook.Summary
		if err := json.Unmarshal(b, &s); err != nil {
			return
		}
		l, err := s.Log(logbook.LogOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := json.Marshal(l); err != nil {
			t.Fatal(err)
		}
	})
}

func BenchmarkSummarise(b *testing.B) {
	log := string(invented(b, invent.Options{Rows: 50_000}))
	b.Run("summarise/rows=50000", func(b *testing.B) {
		b.ReportAllocs()
		b.SetBytes(int64(len(log)))
		for b.Loop() {
			summarise(b, log)
		}
	})
	s := summarise(b, log)
	b.Run("log/rows=50000", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			logOf(b, s, logbook.LogOptions{})
		}
	})
}
