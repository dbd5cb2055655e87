package main

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The shapes that scripts rely on. Fields may be added, so that only what is
// promised is looked at.

func decode[T any](t *testing.T, words ...string) T {
	t.Helper()
	status, stdout, stderr := runHere("", append(words, "--json")...)
	if status != statusDone || stderr != "" {
		t.Fatalf("%v: status %d, %s", words, status, stderr)
	}
	var v T
	if err := json.Unmarshal([]byte(stdout), &v); err != nil {
		t.Fatalf("%v: %v\n%s", words, err, stdout)
	}
	return v
}

func TestEstimateJSON(t *testing.T) {
	type doc struct {
		Unit string
		Sets []struct {
			Load, Reps float64
			RIR        *float64
		}
		Equations []struct {
			ID, Family   string
			Max          float64
			Extrapolated bool
			BySet        []*float64 `json:"by_set"`
		}
		Refused  []struct{ ID, Why string }
		Estimate struct{ Max, Low, High, Coverage float64 }
		RepsAt   *struct{ Mid, Low, High float64 } `json:"reps_at"`
		LoadFor  *struct{ Mid, Low, High float64 } `json:"load_for"`
	}
	d := decode[doc](t, "estimate", "100x10+0", "--reps-at", "80%", "--load-for", "5")
	if d.Unit != "kg" || len(d.Sets) != 1 || d.Sets[0].Load != 100 || d.Sets[0].Reps != 10 || d.Sets[0].RIR == nil || *d.Sets[0].RIR != 0 {
		t.Errorf("%+v", d)
	}
	for _, e := range d.Equations {
		// 100 kg for ten: w(1+10/30) and 36w/27, by hand. Both are 133.3 kg.
		if (e.ID == "epley" || e.ID == "brzycki") && math.Abs(e.Max-400.0/3) > 1e-9 {
			t.Errorf("%s: %v", e.ID, e.Max)
		}
	}
	if !(d.Estimate.Low < d.Estimate.Max && d.Estimate.Max < d.Estimate.High) || d.Estimate.Coverage != 0.9 {
		t.Errorf("%+v", d.Estimate)
	}
	if d.RepsAt == nil || d.LoadFor == nil || !(d.LoadFor.Low < d.LoadFor.Mid && d.LoadFor.Mid < d.LoadFor.High) {
		t.Errorf("%+v %+v", d.RepsAt, d.LoadFor)
	}
	d = decode[doc](t, "estimate", "100x5", "60x33+0")
	if d.Sets[0].RIR != nil {
		t.Errorf("a reserve that was not said is %v, want null", *d.Sets[0].RIR)
	}
	i := slices.IndexFunc(d.Equations, func(e struct {
		ID, Family   string
		Max          float64
		Extrapolated bool
		BySet        []*float64 `json:"by_set"`
	}) bool {
		return e.ID == "brzycki"
	})
	if i < 0 || len(d.Equations[i].BySet) != 2 || d.Equations[i].BySet[1] != nil || len(d.Refused) == 0 {
		t.Errorf("an equation that refuses one of two sets: %+v, refused %+v", d.Equations, d.Refused)
	}
}

func TestPlatesJSON(t *testing.T) {
	type doc struct {
		Unit  string
		Bar   float64
		Loads []struct {
			Target, Loaded float64
			PerSide        []json.RawMessage `json:"per_side"`
			On, Off        []json.RawMessage
			Below, Above   *float64
		}
		Moves *int
	}
	text := func(list []json.RawMessage) []string {
		out := []string{}
		for _, r := range list {
			out = append(out, string(r))
		}
		return out
	}
	d := decode[doc](t, "plates", "142.5", "141")
	if d.Unit != "kg" || d.Bar != 20 || d.Moves != nil || len(d.Loads) != 2 {
		t.Errorf("%+v", d)
	}
	if diff := cmp.Diff([]string{"25", "25", "10", "1.25"}, text(d.Loads[0].PerSide)); diff != "" {
		t.Errorf("per_side (-want +got):\n%s", diff)
	}
	if l := d.Loads[1]; l.Loaded != 140 || l.Below == nil || *l.Below != 140 || l.Above == nil || *l.Above != 142.5 {
		t.Errorf("%+v", l)
	}
	// A plate of the other unit carries its own.
	d = decode[doc](t, "plates", "60", "--plates", "45lb:2,2.5:2", "--sequence", "--tolerance", "1")
	if d.Moves == nil || *d.Moves != 1 {
		t.Errorf("moves %v", d.Moves)
	}
	if diff := cmp.Diff([]string{`{"plate":"45lb","mass":20.41165665}`}, compacted(t, d.Loads[0].On)); diff != "" {
		t.Errorf("on (-want +got):\n%s", diff)
	}
}

func compacted(t *testing.T, list []json.RawMessage) []string {
	t.Helper()
	out := []string{}
	for _, r := range list {
		var v struct {
			Plate string  `json:"plate"`
			Mass  float64 `json:"mass"`
		}
		if err := json.Unmarshal(r, &v); err != nil {
			t.Fatal(err)
		}
		b, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, string(b))
	}
	return out
}

func TestPlanJSON(t *testing.T) {
	type doc struct {
		Unit, Block string
		Lifters     []struct {
			Name     string
			Maxes    map[string]struct{ Max, Low, High, Working float64 }
			Sessions []struct {
				Week            int
				Name, Day, Date string
				Exercises       []struct {
					Lift, Role string
					Sets       []struct {
						Kind string
						Load *float64
						Reps int
					}
				}
			}
			Warnings []struct{ Code, Severity, Where, Text, Evidence string }
		}
	}
	d := decode[doc](t, "plan", "starter/block.yaml", "starter/roster.yaml", "--lifter", "Bastian", "--week", "2")
	if d.Unit != "kg" || d.Block != "First bridge" || len(d.Lifters) != 1 || len(d.Lifters[0].Sessions) != 2 {
		t.Fatalf("%+v", d)
	}
	s := d.Lifters[0].Sessions[0]
	// 73.75 % of 140 kg is 103.25 kg; 102.5 and 105 can be loaded.
	if s.Name != "Pull" || s.Day != "mon" || s.Date != "2027-05-10" || *s.Exercises[0].Sets[0].Load != 102.5 || len(s.Exercises[0].Sets) != 5 {
		t.Errorf("%+v", s)
	}
	if m := d.Lifters[0].Maxes["sumo deadlift"]; m.Max != 140 || m.Working != 140 {
		t.Errorf("%+v", m)
	}
}

// TestSchemas: what schema prints is what is checked in beside the readers.
func TestSchemas(t *testing.T) {
	for _, kind := range []string{"block", "roster"} {
		want, err := os.ReadFile("../../periodize/blockfile/schema/" + kind + ".json")
		if err != nil {
			t.Fatal(err)
		}
		status, got, stderr := runHere("", "schema", kind)
		if status != statusDone || got != string(want) {
			t.Errorf("%s: status %d %s; not what is checked in", kind, status, stderr)
		}
	}
}
