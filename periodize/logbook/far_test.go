package logbook_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize/logbook"
	"github.com/google/go-cmp/cmp"
)

const farHead = "date,lifter,lift,load,reps,rir\n"

// A load of more than twice every other of the lift is asked about, whatever its repetitions and wherever the log is cut.
func TestFarLoad(t *testing.T) {
	rows := []string{"2027-09-06,Oona,squat,100,5,2\n", "2027-09-08,Oona,squat,102.5,5,2\n", "2027-09-10,Oona,squat,2750,5,2\n", "2027-09-13,Oona,squat,105,5,2\n"}
	want := &logbook.FarLoad{Best: logbook.Best{Reps: 5, Load: 2750, Date: day(2027, 9, 10)}, Next: 105}
	for cut := range len(rows) + 1 {
		s := summarise(t, farHead+strings.Join(rows[:cut], ""))
		if err := s.Merge(summarise(t, farHead+strings.Join(rows[cut:], ""))); err != nil {
			t.Fatal(err)
		}
		b, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		var back logbook.Summary
		if err := json.Unmarshal(b, &back); err != nil {
			t.Fatal(err)
		}
		for _, s := range []*logbook.Summary{s, &back} {
			l := logOf(t, s, logbook.LogOptions{})
			if diff := cmp.Diff(want, l.Lifters[0].Lifts[0].Far); diff != "" {
				t.Errorf("cut at %d (-want +got):\n%s", cut, diff)
			}
			if out, err := json.Marshal(l); err != nil || !strings.Contains(string(out), `"far_load":{"reps":5,"load":2750,"date":"2027-09-10","next_load":105}`) {
				t.Errorf("%v: %s", err, out)
			}
		}
	}
	for name, rows := range map[string][]string{
		"twice is not more":     {"Oona,squat,100,5,2", "Oona,squat,50,5,2", "Oona,squat,50,5,2", "Oona,squat,50,5,2"},
		"few sets":              {"Oona,squat,20,5,2", "Oona,squat,100,5,2", "Oona,squat,100,5,2"},
		"added to bodyweight":   {"Oona,pull,0,5,2", "Oona,pull,0,5,2", "Oona,pull,0,5,2", "Oona,pull,30,5,2"},
		"little in kilograms":   {"Oona,raise,5,9,2", "Oona,raise,5,9,2", "Oona,raise,5,9,2", "Oona,raise,12.5,9,2"},
		"a missed attempt":      {"Oona,squat,50,5,2", "Oona,squat,55,5,2", "Oona,squat,50,5,2", "Oona,squat,55,5,2", "Oona,squat,200,0,"},
		"another lifter's lift": {"Oona,squat,50,5,2", "Oona,squat,50,5,2", "Oona,squat,50,5,2", "Bram,squat,200,5,2"},
	} {
		log := farHead
		for _, r := range rows {
			log += "2027-09-06," + r + "\n"
		}
		for _, p := range logOf(t, summarise(t, log), logbook.LogOptions{}).Lifters {
			for _, x := range p.Lifts {
				if x.Far != nil {
					t.Errorf("%s: %+v", name, x.Far)
				}
			}
		}
	}
}
