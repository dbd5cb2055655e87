package periodize

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Check is a check of a program's own, beside those of the table of [Rules].
// [NewCheck] makes one; [Plan.Review] and [ReviewBlock] take any number of them.
// The zero value finds nothing.
type Check struct {
	rule Rule
	find func(p *Plan, r *Review) []Finding
}

// NewCheck makes a check of the rule that it stands for and of what finds it.
//
// Of the rule, Code, Severity and Evidence are needed. The code is in snake_case;
// one that begins with a name of your own, such as club_late_pulls, keeps clear
// of what later versions add to the table. Evidence is a source, or says that
// there is none, as in "this club's own rule, no published source".
//
// find is called once for each review, with the plan and with the review as it
// stands: weeks and lifts added up, and the findings of the table. It changes
// neither. A finding needs Where, "block" by default and of a session what
// [PlannedSession.Where] says, and Text; Severity only where it is not the rule's. The code, the evidence and the advice, which goes
// behind the text, are the rule's. Plans of one program may be reviewed at the
// same time, and find is then called at the same time.
//
// It returns an [*Error] for a code that the table has or that is not in
// snake_case, a severity that there is not, no evidence, and no find.
func NewCheck(rule Rule, find func(p *Plan, r *Review) []Finding) (Check, error) {
	fail := func(format string, args ...any) (Check, error) {
		return Check{}, &Error{Where: fmt.Sprintf("check %q", rule.Code), Msg: fmt.Sprintf(format, args...)}
	}
	switch {
	case !snakeCase(rule.Code):
		return fail("want a code in snake_case, such as club_late_pulls")
	case slices.ContainsFunc(Rules(), func(r Rule) bool { return r.Code == rule.Code }):
		return fail("the table of rules has this code: want another, such as club_%s", rule.Code)
	case !graded(rule.Severity):
		return fail("severity must be one of %v, got %q", severities, rule.Severity)
	case strings.TrimSpace(rule.Evidence) == "":
		return fail("want evidence: a source, or that there is none")
	case find == nil:
		return fail("want a function that finds it, got nil")
	}
	return Check{rule: rule, find: find}, nil
}

// Rule is what the check stands for.
func (c Check) Rule() Rule { return c.rule }

// run gives the findings their final form.
func (c Check) run(p *Plan, r *Review) []Finding {
	if c.find == nil {
		return nil
	}
	out := slices.Clone(c.find(p, r))
	for i := range out {
		f := &out[i]
		f.Code, f.Evidence = c.rule.Code, c.rule.Evidence
		if !graded(f.Severity) {
			f.Severity = c.rule.Severity
		}
		f.Where = cmp.Or(f.Where, "block")
		f.Text = cmp.Or(f.Text, c.rule.About)
		if c.rule.Advice != "" {
			f.Text += ": " + c.rule.Advice
		}
	}
	return out
}

// severities are listed the gravest first, as reviews print findings.
var severities = [...]Severity{Problem, Warning, Note}

func graded(s Severity) bool { return slices.Contains(severities[:], s) }

// snakeCase reports whether s is lower-case words of letters and digits, joined
// by single underscores, the first beginning with a letter.
func snakeCase(s string) bool {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return false
	}
	for word := range strings.SplitSeq(s, "_") {
		if word == "" || strings.Trim(word, "abcdefghijklmnopqrstuvwxyz0123456789") != "" {
			return false
		}
	}
	return true
}
