package logbook_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

func daily(log string, opt logbook.Options, o logbook.DailyOptions) (*logbook.Daily, error) {
	return logbook.ReadDaily(logbook.NewReader(opt, logbook.Stream("log.csv", strings.NewReader(log))), o)
}

// Oona tests the press at 40 and 50 kg and never the row; Bram is somebody else.
const tested = `date,lifter,lift,load,reps,count,tested,session,minutes,effort
2027-09-09,Oona,press,50,1,1,1,C,20,9
2027-09-06,Oona,press,30,5,2,,A,60,6
2027-09-06,Oona,row,40,10,1,,A,,
2027-09-06,Oona,press,40,1,1,1,B,30,5
2027-09-06,Oona,press,45,0,1,1,B,,
2027-09-07,Bram,press,60,5,1,,,50,7
`

var close9 = cmpopts.EquateApprox(1e-12, 1e-12)

func TestDailyByHand(t *testing.T) {
	for _, c := range []struct {
		measure periodize.LoadMeasure
		load    []float64
		unit    string
		left    int
		says    string
	}{
		// Monday 5x30 twice and 1x40 over the heaviest test, 50: 340/50. The missed
		// attempt moved nothing. Thursday the test itself.
		{periodize.RelativeVolume, []float64{6.8, 0, 0, 1}, "repetitions at the heaviest test", 1, "1 of 5 sets are of lifts without a test"},
		{"", []float64{6.8, 0, 0, 1}, "repetitions at the heaviest test", 1, "relative volume load"},
		// And the row of ten with 40.
		{periodize.TonnageLoad, []float64{740, 0, 0, 50}, "kg", 0, "tonnage"},
		// 60 x 6 + 30 x 5, and 20 x 9.
		{logbook.SessionLoad, []float64{510, 0, 0, 180}, "minutes x effort", 0, "session load"},
	} {
		d, err := daily(tested, logbook.Options{}, logbook.DailyOptions{Lifter: "Oona", Measure: c.measure})
		if err != nil {
			t.Fatalf("%s: %v", c.measure, err)
		}
		if diff := cmp.Diff(c.load, d.Load, close9); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.measure, diff)
		}
		if d.Unit != c.unit || d.LeftOut != c.left || !strings.Contains(d.Method, c.says) || d.Start != day(2027, 9, 6) || d.Lift != "press" {
			t.Errorf("%s: %+v", c.measure, d)
		}
		if diff := cmp.Diff([]logbook.DayTest{{Day: 1, Load: 40}, {Day: 4, Load: 50}}, d.Tests); diff != "" {
			t.Errorf("tests (-want +got):\n%s", diff)
		}
	}
}

// TestDailyTakesTheHeaviestTestOfADay, whatever the order of the rows; sets of
// several repetitions are no test.
func TestDailyTakesTheHeaviestTestOfADay(t *testing.T) {
	d, err := daily("date,lifter,lift,load,reps,tested\n2027-09-06,Oona,press,50,1,1\n2027-09-06,Oona,press,45,1,1\n2027-09-06,Oona,press,55,2,1\n",
		logbook.Options{}, logbook.DailyOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]logbook.DayTest{{Day: 1, Load: 50}}, d.Tests); diff != "" {
		t.Errorf("tests (-want +got):\n%s", diff)
	}
}

func TestDailyRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		log  string
		o    logbook.DailyOptions
		want string
	}{
		"several lifters":  {tested, logbook.DailyOptions{}, `one of "Bram", "Oona"`},
		"no such lifter":   {tested, logbook.DailyOptions{Lifter: "Una"}, `one of "Bram", "Oona"`},
		"no tests":         {tested, logbook.DailyOptions{Lifter: "Bram"}, "tested singles"},
		"not tested":       {tested, logbook.DailyOptions{Lifter: "Oona", Lift: "row"}, `"press"`},
		"no such measure":  {tested, logbook.DailyOptions{Lifter: "Oona", Measure: "sets"}, "relative-volume, tonnage or session-load"},
		"two lifts tested": {tested + "2027-09-10,Oona,row,60,1,1,1,,,\n", logbook.DailyOptions{Lifter: "Oona"}, `"press", "row"`},
		"session unrated":  {tested + "2027-09-10,Oona,row,60,5,1,,,,\n", logbook.DailyOptions{Lifter: "Oona", Measure: logbook.SessionLoad}, "1 of 4 sessions without"},
		"nothing":          {"date,lifter,lift,load,reps\n", logbook.DailyOptions{}, "a log with rows"},
		"too long":         {tested + "1987-01-01,Oona,row,60,5,1,,,,\n", logbook.DailyOptions{Lifter: "Oona"}, "at most"},
	} {
		var e *logbook.OptionError
		_, err := daily(c.log, logbook.Options{}, c.o)
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want an *OptionError with %q", name, err, c.want)
		}
	}
	conflict := tested + "2027-09-06,Oona,press,30,5,1,,A,55,6\n"
	var bad *logbook.BadRowsError
	if _, err := daily(conflict, logbook.Options{}, logbook.DailyOptions{Lifter: "Oona", Measure: logbook.SessionLoad}); !errors.As(err, &bad) || bad.Listed[0].Line != 8 {
		t.Errorf("two durations of a session: %v", err)
	}
	d, err := daily(conflict, logbook.Options{SkipBad: true}, logbook.DailyOptions{Lifter: "Oona", Measure: logbook.SessionLoad})
	if err != nil || math.Abs(d.Load[0]-510) > 1e-12 {
		t.Errorf("%v, %v; the first counts", d, err)
	}
	if _, err := daily(tested+"2027-13-01,Oona,press,30,5,1,,,,\n", logbook.Options{}, logbook.DailyOptions{Lifter: "Oona"}); !errors.As(err, &bad) {
		t.Errorf("a bad row: %v", err)
	}
	if _, err := daily("a,b\n1,2\n", logbook.Options{}, logbook.DailyOptions{}); err == nil {
		t.Error("a file that is no log is read")
	}
}
