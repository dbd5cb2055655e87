package periodize

import (
	"reflect"
	"testing"
	"time"

	"github.com/blockwright/blockwright/plates"
)

// A program goes on as it was compiled, whatever the caller makes of the block
// and the roster afterwards.
func TestProgramKeepsItsOwn(t *testing.T) {
	day := time.Monday
	b := oneItem(2, Item{Work: Work{Sets: Fixed(2), Reps: ByWeek(5, 3), Weight: Percent(ByWeek(80, 90))}})
	b.Sessions[0].Day = &day
	r := oneLifter(Lifter{})
	p, err := Compile(b, r)
	if err != nil {
		t.Fatal(err)
	}
	before := brief(p.Plan(0))
	b.Weeks = 9
	b.Sessions[0].Work[0].Reps.(WeekTrack)[0].Value = ratio(50, 1)
	b.Sessions = nil
	b.Lifts[0].Name = "other"
	day = time.Weekday(9)
	r.Gyms[0].Bars[0].Mass = 500 * kg
	r.Gyms[0].Plates[0].Count = 0
	r.Lifters[0].Maxes[0].Tested = 1
	r.Lifters[0].Name = "Bea"
	if after := brief(p.Plan(0)); !reflect.DeepEqual(before, after) {
		t.Errorf("the plan was %q and is %q", before, after)
	}
	if _, ok := p.Find("Ada"); !ok {
		t.Error("the lifter was renamed from outside")
	}
}

// Clones are equal to what they are of and share no slice, map or pointer with it.
func TestCloneSharesNothing(t *testing.T) {
	day, leave, collars, rir, sets := time.Monday, ratio(1, 1), 5*kg, ratio(2, 1), 12
	w := Work{Sets: ByWeek(1, 2), Reps: ByWeek(5, 5), RepsLow: ByWeek(4, 4), Seconds: ByWeek(1, 1), Metres: ByWeek(1, 1), Weight: Percent(ByWeek(70, 80)), Rest: ByWeek(60, 60)}
	tr := ByWeek(1, 2)
	b := &Block{Focus: []string{"pull"}, Finish: Finish{Lifts: []string{"pull"}}, Lifts: []Lift{{Name: "pull", Muscles: []Share{{"back", 1}}, Max: &MaxFrom{Of: "x"}}},
		Sessions: []Session{{Day: &day, Weeks: OnlyWeeks(1), Work: []Item{{Work: w, Each: []Work{w},
			Build: &Build{tr, tr, tr, tr, tr}, Final: &Final{Leave: &leave}, Backoff: &Backoff{tr, tr, tr, tr, tr}}}}}}
	r := &Roster{Gyms: []Gym{{Bars: []Bar{{Collars: &collars}}, Plates: plates.Inventory{{Count: 2}},
		Stations: []Station{{List: []plates.Mass{1}, Add: []plates.Mass{1}}}}},
		Lifters: []Lifter{{Maxes: []MaxEntry{{Sets: []DoneSet{{RIR: &rir}}}}, Recent: &Recent{WeeklySets: &sets},
			Swaps: []Swap{{From: "a"}}, Adjust: []Adjustment{{Week: 1}}}}}
	for _, c := range []struct{ of, clone any }{{b, b.Clone()}, {r, r.Clone()}} {
		if !reflect.DeepEqual(c.of, c.clone) {
			t.Errorf("%+v is not %+v", c.clone, c.of)
		}
		held := map[uintptr]bool{}
		pointers(reflect.ValueOf(c.of), "", func(at string, p uintptr) { held[p] = true })
		pointers(reflect.ValueOf(c.clone), reflect.TypeOf(c.of).Elem().Name(), func(at string, p uintptr) {
			if held[p] {
				t.Errorf("%s is shared", at)
			}
		})
	}
}

// pointers visits what can be changed through a value.
func pointers(v reflect.Value, at string, visit func(at string, p uintptr)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			visit(at, v.Pointer())
			pointers(v.Elem(), at, visit)
		}
	case reflect.Slice:
		if v.Len() > 0 {
			visit(at, v.Pointer())
		}
		for i := range v.Len() {
			pointers(v.Index(i), at+"[]", visit)
		}
	case reflect.Interface:
		if !v.IsNil() {
			pointers(v.Elem(), at, visit)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[WeekSet]() || v.Type() == reflect.TypeFor[time.Time]() || v.Type() == reflect.TypeFor[plates.Ratio]() {
			return // values that are never changed in place
		}
		for i := range v.NumField() {
			pointers(v.Field(i), at+"."+v.Type().Field(i).Name, visit)
		}
	}
}
