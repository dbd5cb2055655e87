package periodize

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/blockwright/blockwright/plates"
)

// spoil adds a wish that can hardly be met to a feasible brief. It returns
// false where the brief has no room for it.
func spoil(r *rand.Rand, b *Brief) bool {
	focus := b.Focus[0]
	switch r.IntN(8) {
	case 0:
		b.Minutes = 10
	case 1:
		l, _ := b.Lift(focus)
		m := l.Muscles[0].Muscle
		b.WeeklySets = slices.DeleteFunc(b.WeeklySets, func(s SetRange) bool { return s.Muscle == m })
		b.WeeklySets = append(b.WeeklySets, SetRange{Muscle: m, Low: 0, High: 1})
	case 2: // nothing trains it
		b.WeeklySets = slices.DeleteFunc(b.WeeklySets, func(s SetRange) bool { return s.Muscle == "neck" })
		b.WeeklySets = append(b.WeeklySets, SetRange{Muscle: "neck", Low: 4, High: 12})
	case 3:
		b.Avoid = append(b.Avoid, focus)
	case 4:
		l := b.Lifts[r.IntN(len(b.Lifts))].Name
		if slices.Contains(b.Keep, l) || slices.Contains(b.Avoid, l) || slices.Contains(b.Focus, l) {
			return false
		}
		b.Keep, b.Avoid = append(b.Keep, l), append(b.Avoid, l)
	case 5:
		b.Lifts = slices.DeleteFunc(slices.Clone(b.Lifts), func(l Lift) bool {
			return l.Pattern == Lunge && !slices.Contains(b.Keep, l.Name)
		})
		if slices.ContainsFunc(b.Lifts, func(l Lift) bool { return l.Pattern == Lunge }) {
			return false
		}
		b.Avoid = slices.DeleteFunc(b.Avoid, func(n string) bool { _, ok := b.Lift(n); return !ok })
		b.Lacking = append(b.Lacking, "one leg at a time")
	case 6:
		b.Reserve = &ReserveSpan{ratio(2, 1), ratio(2, 1)}
	case 7:
		if b.Weeks < 3 {
			return false
		}
		b.Overreach = &Overreach{Week: 2, Rise: ratio(300, 1)}
	}
	return true
}

// only is a brief with no wishes but those of a conflict, less one of them.
func only(b *Brief, wishes []Wish, less int) *Brief {
	o := &Brief{Title: b.Title, Weeks: b.Weeks, Days: b.Days, Goal: b.Goal, Focus: b.Focus, Lifts: b.Lifts, Level: b.Level}
	for i, w := range wishes {
		if i == less {
			continue
		}
		key, name, _ := strings.Cut(w.Path, ".")
		switch key {
		case "minutes":
			o.Minutes = b.Minutes
		case "keep":
			o.Keep = append(o.Keep, name)
		case "avoid":
			o.Avoid = append(o.Avoid, name)
		case "lacking":
			o.Lacking = append(o.Lacking, Lacking(name))
		case "heavy":
			o.Heavy = b.Heavy
		case "reserve":
			o.Reserve = b.Reserve
		case "weekly_sets":
			at := slices.IndexFunc(b.WeeklySets, func(s SetRange) bool { return string(s.Muscle) == name })
			k := slices.IndexFunc(o.WeeklySets, func(s SetRange) bool { return string(s.Muscle) == name })
			if k < 0 {
				k = len(o.WeeklySets)
				o.WeeklySets = append(o.WeeklySets, SetRange{Muscle(name), 0, 1000})
			}
			if strings.HasPrefix(w.Text, "at least") {
				o.WeeklySets[k].Low = b.WeeklySets[at].Low
			} else {
				o.WeeklySets[k].High = b.WeeklySets[at].High
			}
		}
	}
	return o
}

// wants of a brief built from a conflict, with the overreach's two wishes,
// which a brief can only make together.
func feasibleOnly(t *testing.T, b *Brief, wishes []Wish, less int) bool {
	t.Helper()
	task, err := newDraftTask(only(b, wishes, less), DraftOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i, w := range wishes {
		if i == less {
			continue
		}
		switch w.Path {
		case "overreach.week":
			task.want.week = b.Overreach.Week
		case "overreach.rise":
			task.want.rise = &b.Overreach.Rise
		}
	}
	ok, _ := task.feasible()
	return ok
}

// TestConflictsAreReal: a brief with a wish that cannot be met is refused with
// a set of wishes that cannot be met by itself and can without any one of them;
// and a wish that would fit as told does.
func TestConflictsAreReal(t *testing.T) {
	const groups = 4
	n := 6
	if testing.Short() {
		n = 2
	}
	for g := range groups {
		t.Run(fmt.Sprint(g), func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(uint64(g), 17))
			for i := 0; i < n; {
				b, _ := feasibleBrief(t, r)
				if !spoil(r, b) {
					continue
				}
				i++
				d, err := Draft(b, DraftOptions{RunnersUp: -1})
				if err == nil { // it can be met after all
					if wrong := unmet(b, d.Block); len(wrong) > 0 {
						t.Errorf("brief %d: %v", i, wrong)
					}
					i--
					continue
				}
				var bad *InfeasibleError
				if !errors.As(err, &bad) {
					t.Errorf("brief %d: %v, want an InfeasibleError", i, err)
					continue
				}
				if len(bad.Wishes) == 0 {
					t.Errorf("brief %d: no wishes named", i)
				}
				if feasibleOnly(t, b, bad.Wishes, -1) {
					t.Errorf("brief %d: the conflict is none: %v", i, err)
				}
				for k, w := range bad.Wishes {
					if !feasibleOnly(t, b, bad.Wishes, k) {
						t.Errorf("brief %d: without %s (%s) there is still a conflict: %v", i, w.Path, w.Text, err)
					}
					if w.Fits == "" {
						t.Errorf("brief %d: nothing is said about what would make %s fit", i, w.Path)
					}
				}
			}
		})
	}
}

// TestConflictNamesWhatWouldFit: the figure that is told is the nearest one.
func TestConflictNamesWhatWouldFit(t *testing.T) {
	b := &Brief{Title: "short", Weeks: 5, Days: []time.Weekday{1, 4}, Focus: []string{"back squat", "flat press"}, Lifts: slices.Clone(yard[:5]), Minutes: 15}
	_, err := Draft(b, DraftOptions{})
	var bad *InfeasibleError
	if !errors.As(err, &bad) || len(bad.Wishes) != 1 || bad.Wishes[0].Path != "minutes" {
		t.Fatalf("%v, want a conflict of the minutes alone", err)
	}
	var n int
	if _, err := fmt.Sscanf(bad.Wishes[0].Fits, "%d minutes would fit", &n); err != nil {
		t.Fatalf("%q: %v", bad.Wishes[0].Fits, err)
	}
	b.Minutes = n
	if _, err := Draft(b, DraftOptions{}); err != nil {
		t.Errorf("%d minutes do not fit: %v", n, err)
	}
	b.Minutes = n - 1
	if _, err := Draft(b, DraftOptions{}); err == nil {
		t.Errorf("%d minutes fit too", n-1)
	}
}

// TestBriefErrors: what is wrong with a brief itself is told all at once.
func TestBriefErrors(t *testing.T) {
	b := &Brief{Weeks: 60, Days: []time.Weekday{1, 1}, Minutes: -1, Goal: "x", Level: "y", Focus: []string{"none", "none"},
		Lifts: []Lift{{Name: "a", Pattern: Squat, Uses: "bar"}, {Name: "a", Pattern: "odd"}},
		Keep:  []string{"b"}, Lacking: []Lacking{"luck"},
		WeeklySets: []SetRange{{"quads", 5, 2}, {"quads", 1, 2}, {"nose", 1, 2}},
		Overreach:  &Overreach{Week: 1, Rise: plates.Ratio{}},
		Heavy:      &HeavySets{Reps: [2]int{0, 30}, RIR: [2]plates.Ratio{ratio(-1, 1), ratio(11, 1)}},
		Reserve:    &ReserveSpan{ratio(3, 1), ratio(1, 1)}}
	_, err := Draft(b, DraftOptions{})
	var errs Errors
	if !errors.As(err, &errs) {
		t.Fatalf("%v, want Errors", err)
	}
	for _, want := range []string{"weeks must be", "there twice", "minutes", "goal: must", "level: must", "pattern must", `"none" is not a lift`, `"b" is not a lift`,
		`"luck" is not`, "fewest and the most", `"nose" is not`, "week must be", "rise must be", "reps must be", "rir must be", "least and the most"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("nothing about %q in\n%v", want, err)
		}
	}
	if _, err := Draft(&Brief{}, DraftOptions{}); err == nil {
		t.Error("an empty brief drafts")
	}
}
