package main

import (
	"encoding/json"
	"fmt"
	"slices"
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
	stock     stockOptions
	openerAt  string
	before    *int
	rest      *float64
	lead      *float64
	protocol  string
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
				massFlag(&o.low, "low", "its interval starts at `MASS` (default no interval)"),
				massFlag(&o.high, "high", "its interval ends at `MASS`"),
				percent(&o.coverage, "coverage", "the interval holds it with `PERCENT` (default 90)", 1, 99.9),
				offering(text(&o.curve, "curve", "for sets: repetitions-%1RM relation `NAME`", "the name of a curve"), curveNames()),
				unitFlag(&o.unit, "bare weights are in `UNIT`, kg or lb (default that of the rules)"),
			),
			group("The attempts",
				choice(&o.rules, "rulebook", "steps of the rule book `ID`, see --list-rules", ruleIDs()),
				text(&o.chances, "chances", "aim for `LIST` of chances, per cent (default "+defaultChances()+", opener 91 % of the third)", "three percentages such as 97,80,50"),
				percent(&o.dayForm, "day-form", "form differs from day to day by `PERCENT` (default "+decimals(100*taper.DefaultDayForm, 1)+")", 0, 20),
				massFlag(&o.least, "least", "the lightest attempt there is, bar and collars, is `MASS` (default one step)"),
			),
			group("The back room, warming up by common practice or a published protocol",
				text(&o.openerAt, "opener-at", "the opener, or the flight with --before, starts at `HH:MM`", "a time such as 10:40"),
				count(&o.before, "before", "`N` attempts of others come before it in the flight", 0, 200),
				choice(&o.protocol, "protocol", "`NAME`: "+oneOf(protocolNames(), "or"), protocolNames()),
				number(&o.rest, "rest", "`N` minutes between warm-up sets (default 4, or the protocol's)", "minutes", 0.5, 30),
				number(&o.lead, "lead", "`N` minutes from the last of them to the opener (default 6)", "minutes", 0.5, 60),
				path(&o.stock.gym, "gym", "bars and plates of the roster `FILE`"),
				text(&o.stock.gymName, "gym-name", "its gym `NAME`, where it has several", "the name of a gym"),
				text(&o.stock.bar, "bar", "`BAR` of the gym, or its mass (default the only one, else 20 kg, 45 lb)", "a name or a mass"),
				text(&o.stock.plates, "plates", "`LIST` of plates and how many, such as 25:4,10:4 (default plenty of the usual)", "sizes with how many there are, such as 25:4,10:4"),
				massFlag(&o.stock.collars, "collars", "both collars together weigh `MASS` (default 0)"),
			),
			group("Output",
				on(&o.listRules, "list-rules", "list the rules and their editions instead"),
				jsonFlag(&o.json),
			),
		),
		UsageText: "blockwright attempts 180 --low 172.5 --high 187.5 --opener-at 10:40\n" +
			"blockwright attempts 180 --protocol nsca-lower --opener-at 10:00 --before 14\n" +
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
	warm, err := o.warmup(sh, a, opt.Least, u)
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
	if len(args) > 1 && !setLike.MatchString(args[0]) {
		return m, "", usagef("want one maximum, or sets such as 165x2+1, got %q and %q; what the maximum may be goes into --low and --high", args[0], args[1])
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

// chanceText is a chance in per cent: whatever the model says, nobody is sure of an attempt.
func chanceText(p float64) string { return fixed(min(max(100*p, 1), 99), 0) }

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

// backRoom is the warm-up before the opener.
type backRoom struct {
	sets  []warmSet
	timed bool   // whether the opener's time is known
	how   string // what the steps rest on
	about string // bar and plates
}

type warmSet struct {
	at     time.Time     // without the opener's time, only differences mean something
	before time.Duration // to the opener
	load   float64
	side   []plates.Plate // nil where no bar is loaded
	reps   int
	rest   time.Duration // to the next set, or to the opener
	toGo   int           // attempts on the platform before the opener
}

func protocolNames() []string {
	var out []string
	for _, p := range plates.Protocols() {
		out = append(out, p.Name)
	}
	return out
}

// defaultLead is the one of taper.BackRoom, for the protocols of package plates.
const defaultLead = 6 * time.Minute

func minutes(m *float64) time.Duration {
	if m == nil {
		return 0
	}
	return time.Duration(*m * float64(time.Minute))
}

// warmup is the back room before the opener. least is the lightest weight there,
// 0 for the empty bar.
func (o *attemptsOptions) warmup(sh *shell, a *taper.Attempts, least float64, u plates.Unit) (*backRoom, error) {
	b := &backRoom{timed: o.openerAt != ""}
	at := time.Date(2000, 1, 2, 0, 0, 0, 0, time.UTC) // any day: a warm-up may begin before midnight
	if b.timed {
		t, err := time.Parse("15:04", o.openerAt)
		if err != nil || len(o.openerAt) < 4 {
			return nil, usagef("--opener-at: want a time such as 10:40, got %q", o.openerAt)
		}
		at = at.Add(time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute)
	} else if o.before != nil {
		return nil, usagef("--before goes with --opener-at")
	}
	if o.before != nil {
		at = taper.OpensAt(at, *o.before, 0)
	}
	o.stock.unit = &u
	s, err := o.stock.find(sh)
	if err != nil {
		return nil, err
	}
	b.about = s.about
	opener, err := plates.MassOf(a.Attempts[0].Load, u)
	if err != nil {
		return nil, err
	}
	switch {
	case opener <= s.loads.Lightest() && (b.timed || o.protocol != ""):
		return nil, usagef("there is no warm-up to an opener of %s %s, which is no heavier than the empty bar (%s): give a lighter one in --bar", opener.Text(u), u, s.loads.Lightest().Text(u))
	case opener <= s.loads.Lightest(): // nothing is lighter
	case o.protocol != "":
		err = o.byProtocol(b, s, a, opener, at, u)
	default:
		err = o.bySteps(b, s, a, opener, least, at, u)
	}
	return b, err
}

// bySteps is the usual warm-up, on what can be loaded.
func (o *attemptsOptions) bySteps(b *backRoom, s *stock, a *taper.Attempts, opener plates.Mass, least float64, at time.Time, u plates.Unit) error {
	if least == 0 {
		least = s.loads.Lightest().In(u)
	}
	if a.Attempts[0].Load <= least {
		return nil
	}
	sets, err := taper.BackRoom(a.Attempts[0].Load, at, taper.BackRoomOptions{Increment: a.Rules.Increment, Least: least, Rest: minutes(o.rest), Lead: minutes(o.lead)})
	if err != nil {
		return err
	}
	b.how = "shares of the opener, rests and times: " + string(taper.Practice)
	for _, w := range sets {
		m, err := plates.MassOf(w.Load, u)
		if err != nil {
			return err
		}
		// Every step is lighter than the opener.
		if near := s.loads.RoundMass(m, plates.Nearest).Mass; near < opener {
			m = near
		} else if m = s.loads.RoundMass(m, plates.Down).Mass; m >= opener {
			continue
		}
		if n := len(b.sets); n > 0 {
			b.sets[n-1].rest = w.At.Sub(b.sets[n-1].at)
		}
		x := warmSet{at: w.At, before: at.Sub(w.At), load: m.In(u), reps: w.Reps, toGo: w.ToGo}
		x.side, _ = s.loads.PerSide(m)
		x.rest = x.before
		b.sets = append(b.sets, x)
	}
	return nil
}

// byProtocol is a published protocol on the clock, with its own rests.
func (o *attemptsOptions) byProtocol(b *backRoom, s *stock, a *taper.Attempts, opener plates.Mass, at time.Time, u plates.Unit) error {
	opt := plates.WarmupOptions{BarFirst: true}
	for _, p := range plates.Protocols() {
		if p.Name == o.protocol {
			opt.Protocol = p
			b.how = p.Name + ": " + p.Source + " (" + p.Have + ")"
		}
	}
	var err error
	if opt.Max, err = plates.MassOf(a.Max.Mid, u); err != nil {
		return err
	}
	ramp, err := plates.Warmup(s.loads, s.loads.RoundMass(opener, plates.Down).Mass, opt)
	if err != nil {
		return err
	}
	before := defaultLead
	if o.lead != nil {
		before = minutes(o.lead)
	}
	rest := before
	for _, w := range slices.Backward(ramp.Sets) {
		b.sets = append(b.sets, warmSet{at: at.Add(-before), before: before, load: w.Mass.In(u), side: w.Side, reps: w.Reps, rest: rest,
			toGo: int(before / time.Minute)})
		rest = time.Duration(w.RestSeconds) * time.Second
		if o.rest != nil {
			rest = minutes(o.rest)
		}
		before += rest
	}
	slices.Reverse(b.sets)
	return nil
}

func (o *attemptsOptions) print(sh *shell, a *taper.Attempts, warm *backRoom, u plates.Unit, from string) error {
	var b strings.Builder
	b.WriteString(sh.bold(fmt.Sprintf("maximum %s %s", fixed(a.Max.Mid, 1), u)) + ", " + from + "\n\n")
	t := texttab.New(texttab.Left("attempt"), texttab.Right(u.String()), texttab.Right("chance %"), texttab.Right("between"), texttab.Right("% of max"))
	if a.Max.High <= a.Max.Low { // a tested maximum has no ends to lie between
		t = texttab.New(texttab.Left("attempt"), texttab.Right(u.String()), texttab.Right("chance %"), texttab.Right("% of max"))
	}
	t.Style = sh.head()
	for _, x := range a.Attempts {
		row := []string{fmt.Sprint(x.Number), decimals(x.Load, 2), chanceText(x.Chance.Mid)}
		if a.Max.High > a.Max.Low {
			row = append(row, chanceText(x.Chance.Low)+"-"+chanceText(x.Chance.High))
		}
		t.Row(append(row, fixed(100*x.ShareOfMax, 1))...)
	}
	b.WriteString(t.String())
	if a.Max.High > a.Max.Low {
		b.WriteString(item(fmt.Sprintf("between: the chances were the maximum at the low or the high end of its %s %% interval", decimals(100*a.Max.Coverage, 1)), "", sh.width))
	}
	b.WriteString(item(fmt.Sprintf("rules: %s, %s (%s); steps of %s %s, where a plan's test day goes by the gym's plates", a.Rules.ID, a.Rules.Edition, a.Rules.How, decimals(a.Rules.Increment, 2), a.Rules.Unit), "", sh.width))
	if len(a.Rules.FromMemory) > 0 {
		b.WriteString(item("from memory, confirm with the meet: "+fieldWords(a.Rules.FromMemory), "", sh.width))
	}
	b.WriteString(item(nextWords(a, u), "", sh.width))
	b.WriteString(findingsText(sh, a.Findings))
	if len(warm.sets) > 0 {
		b.WriteString("\n" + warm.table(sh, u))
	}
	b.WriteString("\n" + sh.para(taper.AttemptCaution))
	return sh.print(b.String())
}

// ruleFields is the fields of a rule book in words.
var ruleFields = map[string]string{
	"increment":  "the step",
	"min_rise":   "the least rise after a good lift",
	"record":     "the least rise over a record",
	"after_good": "the rise where no attempt is handed in",
	"attempts":   "the number of attempts",
}

// fieldWords lists fields of a rule book in words.
func fieldWords(fields []string) string {
	var out []string
	for _, f := range fields {
		if w, ok := ruleFields[f]; ok {
			f = w
		}
		out = append(out, f)
	}
	return strings.Join(out, ", ")
}

// nextWords is what the rules say about the second attempt.
func nextWords(a *taper.Attempts, u plates.Unit) string {
	least, automatic := a.Rules.Following(a.Attempts[0].Load, true)
	s := fmt.Sprintf("after a good opener at least %s %s", decimals(least, 2), u)
	if a.Rules.AfterGood > 0 {
		s += fmt.Sprintf(" (%s where none is handed in)", decimals(automatic, 2))
	}
	return s + ", after a miss no less than the same again"
}

func (w *backRoom) table(sh *shell, u plates.Unit) string {
	var cols []texttab.Column
	if w.timed {
		cols = append(cols, texttab.Left("back room"))
	}
	t := texttab.New(append(cols, texttab.Right("min before"), texttab.Right(u.String()), texttab.Right("reps"), texttab.Right("then rest"),
		texttab.Right("attempts to go"), texttab.Left("each side"))...)
	t.Style = sh.head()
	for _, x := range w.sets {
		var row []string
		if w.timed {
			row = append(row, x.at.Format("15:04"))
		}
		side := ""
		if x.side != nil {
			side = sideWords(x.side, u)
		}
		t.Row(append(row, decimals(x.before.Minutes(), 1), decimals(x.load, 2), fmt.Sprint(x.reps), decimals(x.rest.Minutes(), 1)+" min", fmt.Sprint(x.toGo), side)...)
	}
	return t.String() + item("on "+w.about, "", sh.width) + item(w.how+"; an attempt on the platform takes a minute ("+string(taper.Practice)+")", "", sh.width)
}

func (o *attemptsOptions) printJSON(sh *shell, a *taper.Attempts, warm *backRoom, u plates.Unit) error {
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
		At      *string           `json:"at"` // null where the opener's time is not given
		Before  float64           `json:"minutes_before"`
		Load    float64           `json:"load"`
		Reps    int               `json:"reps"`
		RestS   float64           `json:"rest_s"`
		ToGo    int               `json:"to_go"`
		PerSide []json.RawMessage `json:"per_side"`
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
	for _, w := range warm.sets {
		j := jsonWarm{Before: w.before.Minutes(), Load: w.load, Reps: w.reps, RestS: w.rest.Seconds(), ToGo: w.toGo}
		if warm.timed {
			at := w.at.Format("15:04")
			j.At = &at
		}
		if w.side != nil {
			j.PerSide = jsonPlates(w.side, u)
		}
		doc.Warmup = append(doc.Warmup, j)
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
			b.WriteString(item("from memory, confirm with the meet: "+fieldWords(r.FromMemory), "    ", sh.width))
		}
		if r.Note != "" {
			b.WriteString(item(r.Note, "    ", sh.width))
		}
	}
	return sh.print(b.String())
}
