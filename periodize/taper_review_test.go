package periodize

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/periodize/taper"
	"github.com/blockwright/blockwright/plates"
	"github.com/google/go-cmp/cmp"
)

// fourWeeks trains a focus pull on Monday and a press on Thursday; the pull is
// heavy in week 3 only, and the last week is cut.
func fourWeeks() (*Block, *Roster) {
	b, r := twoDays()
	b.Weeks = 4
	b.Sessions[0].Work[0].Work = Work{Sets: ByWeek(4, 4, 4, 2), Reps: ByWeek(5, 5, 4, 3), Weight: Percent(ByWeek(75, 80, 90, 70))}
	b.Sessions[0].Work = b.Sessions[0].Work[:1]
	b.Sessions[1].Work[0].Work = Work{Sets: ByWeek(4, 4, 4, 2), Reps: Fixed(5), Weight: Percent(Fixed(60))}
	return b, r
}

func TestTaperReviewByHand(t *testing.T) {
	b, r := fourWeeks()
	r.Start = date("2027-09-06")
	p := plan(t, b, r)
	// The test is Monday, 4 October. A week's taper is week 4: 2 + 2 sets after
	// 4 + 4, so that half is cut; in repetitions 6 + 10 after 16 + 20, 16/36 is
	// left.
	k, err := p.TaperReview(date("2027-10-04"), 7)
	if err != nil {
		t.Fatal(err)
	}
	if !cmp.Equal(k.MeanCut, 0.5, nearly) || !cmp.Equal(k.FinalCut, 0.5, nearly) || !cmp.Equal(k.RepsMeanCut, 1-16.0/36, nearly) {
		t.Errorf("cuts %v and %v in sets, %v in repetitions; want 0.5, 0.5 and 0.5556", k.MeanCut, k.FinalCut, k.RepsMeanCut)
	}
	// The last session is Thursday, 30 September: three whole days are off.
	if k.Days != 7 || k.DaysOff != 3 {
		t.Errorf("%d days, %d off; want 7 and 3", k.Days, k.DaysOff)
	}
	// The pull at 90 % is on 20 September, 14 days out, and at 70 % on the 27th,
	// 7 days out. Usual for a deadlift is 7 to 10 and 2 to 4.
	if len(k.Lifts) != 1 {
		t.Fatalf("%d lifts, want the focus lift alone", len(k.Lifts))
	}
	l := k.Lifts[0]
	want := TaperLift{Lift: "pull", As: taper.Deadlift, HeavyOut: 14, LastOut: 7, HeavyTop: 0.9, LastTop: 0.7,
		HeavyDate: date("2027-09-20"), LastDate: date("2027-09-27"), Findings: l.Findings}
	if diff := cmp.Diff(want, l, nearly); diff != "" {
		t.Errorf("pull (-want +got):\n%s", diff)
	}
	var codes []string
	for _, f := range l.Findings {
		codes = append(codes, f.Code)
		if !strings.HasPrefix(f.Text, "pull, timed as deadlift: ") {
			t.Errorf("finding %q does not name the lift", f.Text)
		}
	}
	if diff := cmp.Diff([]string{taper.FindingHeavy, taper.FindingLast}, codes); diff != "" {
		t.Errorf("findings of the pull (-want +got):\n%s", diff)
	}
	for _, f := range k.Findings {
		if f.Lift != "" {
			t.Errorf("finding %q is about a kind of lift, not the plan", f.Text)
		}
	}
	if len(k.Sessions) != 4 {
		t.Errorf("%d days of the pull, want 4", len(k.Sessions))
	}
}

func TestTaperReviewRefuses(t *testing.T) {
	b, r := fourWeeks()
	var e *Error
	if _, err := plan(t, b, r).TaperReview(date("2027-10-04"), 7); !errors.As(err, &e) {
		t.Errorf("a plan without dates: %v", err)
	}
	r.Start = date("2027-09-06")
	var fe *taper.FieldError
	// Nothing is trained in the week before a taper of 60 days.
	if _, err := plan(t, b, r).TaperReview(date("2027-10-04"), 60); !errors.As(err, &fe) {
		t.Errorf("no reference week: %v", err)
	}
	// On the day itself is not before it.
	k, err := plan(t, b, r).TaperReview(date("2027-09-27"), 7)
	if err != nil || k.Lifts[0].LastOut != 7 || k.Lifts[0].HeavyOut != 7 || !k.Lifts[0].LastDate.Equal(date("2027-09-20")) {
		t.Errorf("%+v, %v", k, err)
	}
}

func TestTaperLiftKinds(t *testing.T) {
	for p, want := range map[Pattern]taper.Lift{Squat: taper.Squat, Hinge: taper.Deadlift, PushHorizontal: taper.Bench,
		PushVertical: taper.General, PullVertical: taper.General, Lunge: taper.General} {
		if got := taperLift(&Lift{Pattern: p}); got != want {
			t.Errorf("%s is timed as %s, want %s", p, got, want)
		}
	}
	// A lift of a general kind stands beside others of another.
	b, r := fourWeeks()
	b.Focus = []string{"press"}
	r.Start = date("2027-09-06")
	k, err := plan(t, b, r).TaperReview(date("2027-10-04").Add(15*time.Hour), 7)
	if err != nil || len(k.Lifts) != 1 || k.Lifts[0].As != taper.General || k.Lifts[0].LastOut != 4 || k.Lifts[0].HeavyOut != 0 {
		t.Errorf("%+v, %v", k.Lifts, err)
	}
}

// TestTaperReviewCountsBodyweight: 80 kg of lifter and 10 kg added are 90 of a
// maximum of 100; an open set counts as the middle of what is expected.
func TestTaperReviewCountsBodyweight(t *testing.T) {
	chin := &Lift{Name: "chin", Pattern: PullVertical, BodyweightShare: ratio(100, 1)}
	p := &Plan{
		Block: &Block{Weeks: 1, Lifts: []Lift{*chin}}, Lifter: &Lifter{Name: "Ada"},
		Maxes: []LiftMax{{Lift: "chin", Max: 100 * kg, Body: 80 * kg}},
		Sessions: []PlannedSession{{Week: 1, Date: date("2027-09-06"), Exercises: []Exercise{{Lift: chin, Role: Focus, Sets: []Set{
			{Reps: 2, Sides: 1, HasLoad: true, Load: 10 * kg},
		}}}}},
	}
	if w := p.work(); len(w) != 1 || !cmp.Equal(w[0].top, 0.9, nearly) || w[0].reps != 2 {
		t.Errorf("%+v, want 0.9 of the maximum", w)
	}
	p.Sessions[0].Exercises[0].Sets[0] = Set{Reps: 1, Sides: 1, Open: true, Expect: [2]plates.Mass{12 * kg, 18 * kg}}
	if w := p.work(); !cmp.Equal(w[0].top, 0.95, nearly) {
		t.Errorf("open: %+v, want 0.95 of the maximum", w)
	}
}

// Sessions hardly over or under what counts as heavy are named, from the last heavy one on.
func TestTaperReviewNamesNearHeavy(t *testing.T) {
	for _, tc := range []struct {
		percents []float64
		heavy    int
		near     []int // days out
		whatItIs string
	}{
		{[]float64{84.2, 85.8, 84.2, 70}, 21, []int{21, 14}, "over it, and under it a week later"},
		{[]float64{84.2, 80, 84.2, 70}, 0, []int{28, 14}, "never over it"},
		{[]float64{85.8, 90, 80, 70}, 21, nil, "well over it"},
		{[]float64{75, 80, 82.5, 70}, 0, nil, "well under it"},
	} {
		b, r := fourWeeks()
		b.Sessions[0].Work[0].Work = Work{Sets: Fixed(2), Reps: Fixed(3), Weight: Percent(ByWeek(tc.percents...))}
		// 300 kg in steps of 2.5 kg: 84.2 and 85.8 % to the plate.
		r.Lifters[0].Maxes[0].Tested = 300 * plates.Kilogram
		r.Gyms[0].Plates = append(r.Gyms[0].Plates, plates.Stock{Plate: plates.Plate{Mass: 50 * plates.Kilogram}, Count: 4})
		r.Start = date("2027-09-06")
		k, err := plan(t, b, r).TaperReview(date("2027-10-04"), 7)
		if err != nil {
			t.Fatal(err)
		}
		var near []int
		for _, n := range k.Lifts[0].Near {
			near = append(near, n.Out)
		}
		if l := k.Lifts[0]; l.HeavyOut != tc.heavy || !slices.Equal(near, tc.near) {
			t.Errorf("%s: heavy %d days out and near %+v; want %d and %v", tc.whatItIs, l.HeavyOut, l.Near, tc.heavy, tc.near)
		}
	}
}
