package periodize

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// clubRule is a rule that a coach might have.
var clubRule = Rule{Code: "club_many_pulls", Severity: Warning, About: "many pulls in a session",
	Evidence: "this club's own rule, no published source", Advice: "move some to another day"}

func newCheck(t *testing.T, r Rule, find func(*Plan, *Review) []Finding) Check {
	t.Helper()
	c, err := NewCheck(r, find)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// saying is a check that finds what it is told to.
func saying(t *testing.T, code string, fs ...Finding) Check {
	r := clubRule
	r.Code = code
	return newCheck(t, r, func(*Plan, *Review) []Finding { return fs })
}

func TestOwnChecksAreSortedAmongTheOthers(t *testing.T) {
	b, roster := good()
	b.Focus = append(b.Focus, "squat")                 // two_in_front, a warning
	b.Sessions[0].Work[1].Weight = Percent(Fixed(105)) // over_maximum, a problem
	b.Lifts[2].Muscles = b.Lifts[2].Muscles[1:]        // missing_muscle, a note
	p := plan(t, b, roster)
	own := []Check{
		saying(t, "club_a", Finding{Severity: Note, Where: "here", Text: "a note"}, Finding{Where: "there", Text: "a warning"}),
		saying(t, "club_b", Finding{Severity: Problem, Where: "week 2", Text: "a problem"}),
	}
	got := p.Review(Thresholds{}, own...).Findings
	table := p.Review(Thresholds{}).Findings

	// Without our own, the order of the table's findings is what it was.
	rest := slices.DeleteFunc(slices.Clone(got), func(f Finding) bool { return strings.HasPrefix(f.Code, "club_") })
	if d := cmp.Diff(table, rest); d != "" {
		t.Errorf("the table's findings are not those of a review without checks (-without +with):\n%s", d)
	}
	// Each of ours is the last of its severity.
	for _, want := range []Finding{
		{"club_b", Problem, "week 2", "a problem: move some to another day", clubRule.Evidence},
		{"club_a", Warning, "there", "a warning: move some to another day", clubRule.Evidence},
		{"club_a", Note, "here", "a note: move some to another day", clubRule.Evidence},
	} {
		i := slices.Index(got, want)
		if i < 1 {
			t.Errorf("there is no %+v, or nothing of the table before it", want)
			continue
		}
		if got[i-1].Severity != want.Severity || i+1 < len(got) && got[i+1].Severity == want.Severity {
			t.Errorf("%s is not the last %s: %v", want.Code, want.Severity, got)
		}
	}
	for range 3 {
		if d := cmp.Diff(got, p.Review(Thresholds{}, own...).Findings); d != "" {
			t.Fatalf("two reviews differ:\n%s", d)
		}
	}
}

func TestOwnCheckSeesThePlanAndTheReview(t *testing.T) {
	b, roster := good()
	b.Focus = append(b.Focus, "squat")
	p := plan(t, b, roster)
	calls := 0
	c := newCheck(t, clubRule, func(got *Plan, r *Review) []Finding {
		calls++
		if got != p || r.Name != "Ada" || len(r.Weeks) == 0 || r.Weeks[0].Sets == 0 || len(r.Lifts) != 5 {
			t.Errorf("the check was given %p, want %p, and the review %+v", got, p, r)
		}
		if len(r.Findings) == 0 || r.Findings[0].Code != "two_in_front" {
			t.Errorf("the check was given the findings %v, want those of the table, sorted", r.Findings)
		}
		return nil
	})
	without := p.Review(Thresholds{}).Findings
	if d := cmp.Diff(without, p.Review(Thresholds{}, c, Check{}).Findings); d != "" || calls != 1 {
		t.Errorf("a check that finds nothing was called %d times and changed the findings:\n%s", calls, d)
	}

	nominal := newCheck(t, clubRule, func(p *Plan, r *Review) []Finding {
		return []Finding{{Where: "weeks", Text: fmt.Sprintf("nominal %v, name %q, %d weeks", r.Nominal, r.Name, p.Block.Weeks)}}
	})
	r, err := ReviewBlock(b, Thresholds{}, nominal)
	if err != nil {
		t.Fatal(err)
	}
	want := Finding{clubRule.Code, Warning, "weeks", `nominal true, name "", 5 weeks: move some to another day`, clubRule.Evidence}
	if !slices.Contains(r.Findings, want) {
		t.Errorf("%v, want among them %+v", r.Findings, want)
	}
}

// What a finding leaves out is the rule's, and what is not its own to say too.
func TestOwnCheckFillsInFindings(t *testing.T) {
	b, roster := good()
	shared := []Finding{{}, {Code: "over_time", Severity: "grave", Evidence: "hearsay", Where: "week 1", Text: "x"}}
	got := plan(t, b, roster).Review(Thresholds{}, saying(t, "club_x", shared...)).Findings
	for _, want := range []Finding{
		{"club_x", Warning, "block", "many pulls in a session: move some to another day", clubRule.Evidence},
		{"club_x", Warning, "week 1", "x: move some to another day", clubRule.Evidence},
	} {
		if !slices.Contains(got, want) {
			t.Errorf("%v, want among them %+v", got, want)
		}
	}
	if shared[1].Code != "over_time" {
		t.Error("the check's own findings were changed")
	}
	quiet := clubRule
	quiet.Advice = ""
	c := newCheck(t, quiet, func(*Plan, *Review) []Finding { return []Finding{{Where: "week 1", Text: "x"}} })
	if got := plan(t, b, roster).Review(Thresholds{}, c).Findings[0]; got.Text != "x" || c.Rule() != quiet {
		t.Errorf("%+v of the rule %+v, want the text without advice", got, c.Rule())
	}
}

func TestNewCheckRefuses(t *testing.T) {
	none := func(*Plan, *Review) []Finding { return nil }
	for _, r := range Rules() {
		mine := clubRule
		mine.Code = r.Code
		if _, err := NewCheck(mine, none); err == nil || !strings.Contains(err.Error(), "club_"+r.Code) {
			t.Errorf("%s: %v, want an error that names another code", r.Code, err)
		}
	}
	with := func(change func(*Rule)) Rule {
		r := clubRule
		change(&r)
		return r
	}
	for _, tt := range []struct {
		rule Rule
		find func(*Plan, *Review) []Finding
		want string
	}{
		{with(func(r *Rule) { r.Code = "over_time" }), none, `periodize: check "over_time": the table of rules has this code: want another, such as club_over_time`},
		{with(func(r *Rule) { r.Code = "" }), none, `periodize: check "": want a code in snake_case, such as club_late_pulls`},
		{with(func(r *Rule) { r.Code = "LatePulls" }), none, `periodize: check "LatePulls": want a code in snake_case, such as club_late_pulls`},
		{with(func(r *Rule) { r.Code = "late__pulls" }), none, `periodize: check "late__pulls": want a code in snake_case, such as club_late_pulls`},
		{with(func(r *Rule) { r.Code = "3_pulls" }), none, `periodize: check "3_pulls": want a code in snake_case, such as club_late_pulls`},
		{with(func(r *Rule) { r.Severity = "" }), none, `periodize: check "club_many_pulls": severity must be one of [problem warning note], got ""`},
		{with(func(r *Rule) { r.Evidence = " " }), none, `periodize: check "club_many_pulls": want evidence: a source, or that there is none`},
		{clubRule, nil, `periodize: check "club_many_pulls": want a function that finds it, got nil`},
	} {
		_, err := NewCheck(tt.rule, tt.find)
		var e *Error
		if !errors.As(err, &e) || err.Error() != tt.want {
			t.Errorf("%v, want %s", err, tt.want)
		}
	}
}

// The codes of the table are as a check's own have to be.
func TestRulesHaveCodesInSnakeCase(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range Rules() {
		if !snakeCase(r.Code) || !graded(r.Severity) || seen[r.Code] {
			t.Errorf("%q (%s), seen before: %v", r.Code, r.Severity, seen[r.Code])
		}
		seen[r.Code] = true
	}
}

// Checks of one's own say places as those of the table do.
func TestWhere(t *testing.T) {
	s := PlannedSession{Week: 3, Name: "Tuesday"}
	for lift, want := range map[string]string{"": "week 3, Tuesday", "rack pull": "week 3, Tuesday, rack pull"} {
		if got := s.Where(lift); got != want {
			t.Errorf("Where(%q) = %q, want %q", lift, got, want)
		}
	}
}
