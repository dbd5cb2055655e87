package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize/taper"
	"github.com/blockwright/blockwright/plates"
)

// attemptsOptions are the flags of attempts.
type attemptsOptions struct {
	low, high mass
	coverage  *float64
	unit      *plates.Unit
	curve     string
	rules     string
	chances   string
	dayForm   *float64
	least     mass
	openerAt  string
	before    *int
	rest      *float64
	listRules bool
	json      bool
}

func attemptsCommand(sh *shell) *cli.Command {
	o := attemptsOptions{curve: "general", rules: taper.RuleBooks()[0].ID}
	return &cli.Command{
		Name: "attempts", Usage: "openers and further attempts, with the chance of each", ArgsUsage: "MAXIMUM|SET...",
		Description: "MAXIMUM is a tested one, or the middle of --low and --high. SETs are written as for\n" +
			"estimate (100x3+1), and the maximum with its interval is estimated from them.",
		Flags: flags(
			group("The maximum",
				massFlag(&o.low, "low", "its interval starts at `MASS`"),
				massFlag(&o.high, "high", "its interval ends at `MASS`"),
				percent(&o.coverage, "coverage", "the interval holds it with `PERCENT` (default 90)", 1, 99.9),
				text(&o.curve, "curve", "for sets: repetitions-%1RM relation `NAME`", "the name of a curve"),
				unitFlag(&o.unit, "bare weights are in `UNIT`, kg or lb (default: that of the rules)"),
			),
			group("The attempts",
				choice(&o.rules, "rulebook", "steps of the rule book `ID`: "+oneOf(ruleIDs(), "or"), ruleIDs()),
				text(&o.chances, "chances", "chances to aim for, `LIST` in per cent (default "+defaultChances()+")", "three percentages such as 97,80,50"),
				percent(&o.dayForm, "day-form", "form differs from day to day by `PERCENT` (default "+decimals(100*taper.DefaultDayForm, 1)+")", 0, 20),
				massFlag(&o.least, "least", "the lightest attempt there is, bar and collars, is `MASS`"),
			),
			group("The warm-up",
				text(&o.openerAt, "opener-at", "the opener, or the flight with --before, starts at `HH:MM`", "a time such as 10:40"),
				count(&o.before, "before", "`N` attempts of others come before it in the flight", 0, 200),
				number(&o.rest, "rest", "`N` minutes between warm-up sets (default 4)", "minutes", 0.5, 30),
			),
			group("Output",
				on(&o.listRules, "list-rules", "list the rules and their editions instead"),
				jsonFlag(&o.json),
			),
		),
		UsageText: "blockwright attempts 180\n" +
			"blockwright attempts 180 --low 172.5 --high 187.5 --opener-at 10:40\n" +
			"blockwright attempts 165x2+1 150x4+1 --rulebook ipf",
		Action: func(c *cli.Context) error { return o.run(sh, c.Args().Slice()) },
	}
}

func ruleIDs() []string {
	var out []string
	for _, r := range taper.RuleBooks() {
		out = append(out, r.ID)
	}
	return out
}

func defaultChances() string {
	var out []string
	for _, c := range taper.DefaultChances() {
		out = append(out, decimals(100*c, 1))
	}
	return strings.Join(out, ",")
}

func (o *attemptsOptions) run(sh *shell, args []string) error {
	if o.listRules {
		if len(args) > 0 {
			return usagef("--list-rules takes no maximum, got %q", args[0])
		}
		return o.printRules(sh)
	}
	book, err := taper.RuleBookByID(o.rules)
	if err != nil {
		return err
	}
	// The rules' unit is the one that attempts are made in.
	u, err := plates.ParseUnit(book.Unit)
	if err != nil {
		return err
	}
	given := u
	if o.unit != nil {
		given = *o.unit
	}
	m, from, err := o.maximum(args, given, u)
	if err != nil {
		return err
	}
	opt := taper.AttemptOptions{Rules: book}
	if opt.Chances, err = o.aims(); err != nil {
		return err
	}
	if o.dayForm != nil {
		if opt.DayForm = *o.dayForm / 100; opt.DayForm == 0 {
			opt.DayForm = -1 // none
		}
	}
	if o.least.given {
		least, err := o.least.in(given)
		if err != nil {
			return usagef("--least: %v", err)
		}
		opt.Least = least.In(u)
	}
	a, err := taper.Choose(m, opt)
	if err != nil {
		return err
	}
	warm, err := o.warmup(a, opt.Least)
	if err != nil {
		return err
	}
	if o.json {
		return o.printJSON(sh, a, warm, u)
	}
	return o.print(sh, a, warm, u, from)
}

// maximum is what the attempts start from, in u, and in words where it comes from.
func (o *attemptsOptions) maximum(args []string, given, u plates.Unit) (m taper.Maximum, from string, err error) {
	if len(args) == 0 {
		return m, "", usagef("want a maximum such as 180, or sets such as 165x2+1")
	}
	if len(args) > 1 || setLike.MatchString(args[0]) {
		return o.estimated(args, given, u)
	}
	mid, err := readMass(args[0], given)
	if err != nil || mid == 0 {
		return m, "", usagef("want a maximum such as 180, 180kg or 400lb, or sets such as 165x2+1, got %q%s", args[0], hint(err))
	}
	m.Mid = mid.In(u)
	switch {
	case !o.low.given && !o.high.given:
		if o.coverage != nil {
			return m, "", usagef("--coverage goes with --low and --high or with sets")
		}
		return m, "taken as tested", nil
	case !o.low.given || !o.high.given:
		return m, "", usagef("want --low and --high, or neither")
	}
	low, err1 := o.low.in(given)
	high, err2 := o.high.in(given)
	if err1 != nil || err2 != nil || !(0 < low && low <= mid && mid <= high) {
		return m, "", usagef("want --low, the maximum and --high in that order, got %s, %s and %s", o.low.text, args[0], o.high.text)
	}
	m.Low, m.High, m.Coverage = low.In(u), high.In(u), o.level()
	return m, fmt.Sprintf("%s %% interval %s to %s", decimals(100*m.Coverage, 1), massText(low, u), massText(high, u)), nil
}

func (o *attemptsOptions) level() float64 {
	if o.coverage != nil {
		return *o.coverage / 100
	}
	return 0.9
}

// estimated is the maximum from sets.
func (o *attemptsOptions) estimated(args []string, given, u plates.Unit) (m taper.Maximum, from string, err error) {
	if o.low.given || o.high.given {
		return m, "", usagef("--low and --high go with a maximum, not with sets")
	}
	e := estimateOptions{curve: o.curve}
	curve, err := e.settle()
	if err != nil {
		return m, "", err
	}
	var written []writtenSet
	for _, a := range args {
		w, err := parseSet(a)
		switch {
		case err != nil:
			return m, "", usagef("%v", err)
		case w.velocity > 0:
			return m, "", usagef("%q: want sets with repetitions", a)
		}
		written = append(written, w)
	}
	ss, err := sets(written, given)
	if err != nil {
		return m, "", err
	}
	est, err := estimate.Max(ss, estimate.Options{Curve: curve, Coverage: o.level()})
	if err != nil {
		return m, "", ofSet(err)
	}
	f := given.One().In(u) // of one unit in the other
	m = taper.Maximum{Mid: est.Max * f, Low: est.Low * f, High: est.High * f, Coverage: est.Coverage}
	return m, fmt.Sprintf("estimated from %s, %s %% interval %s to %s", plural(len(ss), "set"), decimals(100*est.Coverage, 1), fixed(m.Low, 1), fixed(m.High, 1)), nil
}

// aims are the chances to aim for; zero for the defaults.
func (o *attemptsOptions) aims() (out [3]float64, err error) {
	if o.chances == "" {
		return out, nil
	}
	list := splitList(o.chances)
	if len(list) != 3 {
		return out, usagef("--chances: want three percentages such as 97,80,50, got %q", o.chances)
	}
	for i, s := range list {
		x, err := readNumber(strings.TrimSuffix(s, "%"), 0.1, 99.9)
		if err != nil {
			return out, usagef("--chances: want percentages from 0.1 to 99.9, got %q%s", s, hint(err))
		}
		if i > 0 && x/100 >= out[i-1] {
			return out, usagef("--chances: want each lower than the one before, got %q", o.chances)
		}
		out[i] = x / 100
	}
	return out, nil
}

// warmup is the back room before the opener, nil where no time is given. least is
// the lightest weight there, 0 for the usual bar.
func (o *attemptsOptions) warmup(a *taper.Attempts, least float64) ([]taper.WarmupSet, error) {
	if o.openerAt == "" {
		if o.before != nil || o.rest != nil {
			return nil, usagef("--before and --rest go with --opener-at")
		}
		return nil, nil
	}
	at, err := time.Parse("15:04", o.openerAt)
	if err != nil || len(o.openerAt) != 5 {
		return nil, usagef("--opener-at: want a time such as 10:40, got %q", o.openerAt)
	}
	at = at.AddDate(2000, 0, 0) // any day: a warm-up may begin before midnight
	opt := taper.BackRoomOptions{Increment: a.Rules.Increment}
	if a.Rules.Unit == "lb" {
		opt.Least = 45
	}
	if least > 0 {
		opt.Least = least
	}
	if o.rest != nil {
		opt.Rest = time.Duration(*o.rest * float64(time.Minute))
	}
	if o.before != nil {
		at = taper.OpensAt(at, *o.before, 0)
	}
	return taper.BackRoom(a.Attempts[0].Load, at, opt)
}

func (o *attemptsOptions) print(sh *shell, a *taper.Attempts, warm []taper.WarmupSet, u plates.Unit, from string) error {
	var b strings.Builder
	b.WriteString(sh.bold(fmt.Sprintf("maximum %s %s", fixed(a.Max.Mid, 1), u)) + ", " + from + "\n\n")
	t := texttab.New(texttab.Left("attempt"), texttab.Right(u.String()), texttab.Right("chance %"), texttab.Right("between"), texttab.Right("% of max"))
	t.Style = sh.head()
	for _, x := range a.Attempts {
		t.Row(fmt.Sprint(x.Number), decimals(x.Load, 2), fixed(100*x.Chance.Mid, 0), fixed(100*x.Chance.Low, 0)+"-"+fixed(100*x.Chance.High, 0), fixed(100*x.ShareOfMax, 1))
	}
	b.WriteString(t.String())
	b.WriteString(item(fmt.Sprintf("rules: %s, %s (%s); steps of %s %s", a.Rules.ID, a.Rules.Edition, a.Rules.How, decimals(a.Rules.Increment, 2), a.Rules.Unit), "", sh.width))
	if len(a.Rules.FromMemory) > 0 {
		b.WriteString(item("from memory, confirm with the meet: "+strings.Join(a.Rules.FromMemory, ", "), "", sh.width))
	}
	b.WriteString(findingsText(sh, a.Findings))
	if len(warm) > 0 {
		b.WriteString("\n")
		t := texttab.New(texttab.Left("warm-up"), texttab.Right(u.String()), texttab.Right("reps"), texttab.Right("attempts to go"))
		t.Style = sh.head()
		for _, w := range warm {
			t.Row(w.At.Format("15:04"), decimals(w.Load, 2), fmt.Sprint(w.Reps), fmt.Sprint(w.ToGo))
		}
		b.WriteString(t.String())
	}
	b.WriteString("\n" + sh.para(taper.AttemptCaution))
	return sh.print(b.String())
}

func (o *attemptsOptions) printJSON(sh *shell, a *taper.Attempts, warm []taper.WarmupSet, u plates.Unit) error {
	type jsonRange struct {
		Mid  float64 `json:"mid"`
		Low  float64 `json:"low"`
		High float64 `json:"high"`
	}
	type jsonAttempt struct {
		Number int       `json:"number"`
		Load   float64   `json:"load"`
		Chance jsonRange `json:"chance"`
		Share  float64   `json:"share_of_max"`
	}
	type jsonWarm struct {
		At   string  `json:"at"`
		Load float64 `json:"load"`
		Reps int     `json:"reps"`
		ToGo int     `json:"to_go"`
	}
	type jsonMax struct {
		Max      float64  `json:"max"`
		Low      float64  `json:"low"`
		High     float64  `json:"high"`
		Coverage *float64 `json:"coverage"` // null for a tested one
	}
	m := jsonMax{a.Max.Mid, a.Max.Mid, a.Max.Mid, orNil(a.Max.Coverage)}
	if a.Max.High > 0 {
		m.Low, m.High = a.Max.Low, a.Max.High
	}
	doc := struct {
		Unit     string        `json:"unit"`
		Maximum  jsonMax       `json:"maximum"`
		Attempts []jsonAttempt `json:"attempts"`
		Rules    string        `json:"rules"`
		Edition  string        `json:"edition"`
		Findings []jsonFinding `json:"findings"`
		Warmup   []jsonWarm    `json:"warmup"`
		Caution  string        `json:"caution"`
	}{Unit: u.String(), Maximum: m, Rules: a.Rules.ID, Edition: a.Rules.Edition, Findings: jsonFindings(a.Findings), Warmup: []jsonWarm{}, Caution: taper.AttemptCaution}
	for _, x := range a.Attempts {
		doc.Attempts = append(doc.Attempts, jsonAttempt{x.Number, x.Load, jsonRange(x.Chance), x.ShareOfMax})
	}
	for _, w := range warm {
		doc.Warmup = append(doc.Warmup, jsonWarm{w.At.Format("15:04"), w.Load, w.Reps, w.ToGo})
	}
	return sh.printJSON(doc)
}

func (o *attemptsOptions) printRules(sh *shell) error {
	if o.json {
		type jsonRules struct {
			ID         string   `json:"id"`
			Body       string   `json:"body"`
			Edition    string   `json:"edition"`
			Date       *string  `json:"date"`
			Unit       string   `json:"unit"`
			Increment  float64  `json:"increment"`
			MinRise    float64  `json:"min_rise"`
			Record     *float64 `json:"record"`
			AfterGood  *float64 `json:"after_good"`
			Attempts   int      `json:"attempts"`
			How        string   `json:"how"`
			FromMemory []string `json:"from_memory"`
			Note       string   `json:"note"`
		}
		list := []jsonRules{}
		for _, r := range taper.RuleBooks() {
			list = append(list, jsonRules{r.ID, r.Body, r.Edition, orNil(r.Date), r.Unit, r.Increment, r.MinRise, orNil(r.Record), orNil(r.AfterGood), r.Attempts,
				string(r.How), append([]string{}, r.FromMemory...), r.Note})
		}
		return sh.printJSON(struct {
			Rules []jsonRules `json:"rules"`
		}{list})
	}
	var b strings.Builder
	for i, r := range taper.RuleBooks() {
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(r.ID + "  " + r.Body + "\n")
		b.WriteString(item(r.Edition+" ("+string(r.How)+")", "    ", sh.width))
		b.WriteString(item(fmt.Sprintf("steps of %s %s, at least %s more after a good lift, %d attempts", decimals(r.Increment, 2), r.Unit, decimals(r.MinRise, 2), r.Attempts), "    ", sh.width))
		if len(r.FromMemory) > 0 {
			b.WriteString(item("from memory, confirm with the meet: "+strings.Join(r.FromMemory, ", "), "    ", sh.width))
		}
		if r.Note != "" {
			b.WriteString(item(r.Note, "    ", sh.width))
		}
	}
	return sh.print(b.String())
}
