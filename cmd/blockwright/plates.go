package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/plates"
)

// platesOptions are the flags of plates.
type platesOptions struct {
	stock     stockOptions
	sequence  bool
	stack     string
	from      string
	tolerance mass
	floor     mass
	endEmpty  bool
	warmup    bool
	max       mass
	share     bool
	asListed  bool
	together  bool
	over      bool
	draw      bool
	colours   string
	round     string
	strict    bool
	json      bool
}

func platesCommand(sh *shell) *cli.Command {
	o := platesOptions{stack: "desc", round: "nearest"}
	return &cli.Command{
		Name: "plates", Usage: "what goes on the bar, for one weight or a sequence", ArgsUsage: "TARGET...",
		Description: "TARGET is a weight with the bar counted in, loaded with the fewest plates; with --share a lifter's\n" +
			"sets, Wren=60,80,90; with --together a bar's weight, and with --gym NAME=WEIGHT for that bar.",
		Flags: flags(
			group("What there is",
				path(&o.stock.gym, "gym", "bars and plates of the roster `FILE`"),
				text(&o.stock.gymName, "gym-name", "its gym `NAME`, where it has several", "the name of a gym"),
				text(&o.stock.bar, "bar", "`BAR` or station of the gym, or a mass (default the only one, else 20 kg, 45 lb)", "a name or a mass"),
				text(&o.stock.plates, "plates", "`LIST` of plates and how many, such as 25:4,10:4 (default plenty of the usual)", "sizes with how many there are, such as 25:4,10:4"),
				massFlag(&o.stock.collars, "collars", "both collars together weigh `MASS` (default 0)"),
				unitFlag(&o.stock.unit, "bare numbers are in `UNIT`, kg or lb (default the gym's, else kg)"),
			),
			group("How to load; --stack, --from and --floor go with --sequence, --warmup or --share",
				on(&o.sequence, "sequence", "one after the other, with the fewest plate moves in all"),
				on(&o.warmup, "warmup", "a warm-up and then the one target"),
				on(&o.share, "share", "lifters take turns on one bar, in the order with the fewest moves"),
				on(&o.together, "together", "several bars at once from the one stock"),
				choice(&o.round, "round", "what cannot be loaded becomes `HOW`: nearest, down or up", []string{"nearest", "down", "up"}),
				choice(&o.stack, "stack", "`ORDER` on the sleeve: desc (heavier inside) or free", []string{"desc", "free"}),
				text(&o.from, "from", "`LIST` of plates on each side at the start, from the inside", "plates such as 20,10"),
				massFlag(&o.floor, "floor", "from the floor: each side carries a plate of `MASS` or more"),
				massFlag(&o.tolerance, "tolerance", "within `MASS` of each target will do (--sequence, --share; default 0)"),
				on(&o.endEmpty, "end-empty", "take the plates off at the end (--sequence, --share)"),
				massFlag(&o.max, "max", "the maximum is `MASS` (--warmup; default the target)"),
				on(&o.asListed, "as-listed", "keep the order of the lifters (--share)"),
				on(&o.over, "over", "heavier than asked for will do too (--together)"),
			),
			group("Output",
				jsonFlag(&o.json),
				on(&o.draw, "draw", "draw the loaded bar"),
				choice(&o.colours, "colours", "draw in the disc colours of `BODY`: "+oneOf(colourBodies(), "or"), colourBodies()),
				on(&o.strict, "strict", "exit status 1 where a target cannot be loaded exactly"),
			),
		),
		UsageText: "blockwright plates 60 90 110 120 100 --sequence --gym roster.yaml\n" +
			"blockwright plates 225 --unit lb --warmup --draw\n" +
			"blockwright plates --share Iris=40,50,60 Bastian=60,80,95 --gym roster.yaml",
		Action: func(c *cli.Context) error { return o.run(sh, c.Args().Slice()) },
	}
}

// loaded is a target and what becomes of it.
type loaded struct {
	want    plates.Mass
	got     plates.Mass
	side    []plates.Plate
	off, on []plates.Plate
	why     *plates.NotLoadableError // nil where the target is loaded exactly
	short   string                   // why it is not loaded, where several bars are loaded at once
	bar     *plates.Bar              // where it is not the stock's
	who     string                   // lifter or bar, where there are several
	reps    int                      // of a warm-up set, 0 for others
	rest    int                      // seconds after it
}

func (o *platesOptions) run(sh *shell, args []string) error {
	if len(args) == 0 {
		return usagef("want one or more weights, such as 142.5")
	}
	o.stock.barsNamed = o.together && !slices.ContainsFunc(args, func(a string) bool { return !strings.Contains(a, "=") })
	s, err := o.stock.find(sh)
	if err != nil {
		return err
	}
	opt, err := o.sequenceOptions(s)
	if err != nil {
		return err
	}
	list, seq, err := o.load(s, args, opt)
	if err != nil {
		return err
	}
	if o.json {
		err = o.printJSON(sh, s, list, seq)
	} else {
		err = o.print(sh, s, list, seq)
	}
	if err != nil || !o.strict {
		return err
	}
	n := 0
	for _, l := range list {
		if l.why != nil || l.short != "" {
			n++
		}
	}
	if n > 0 {
		return &strictError{fmt.Sprintf("strict: %s cannot be loaded exactly", plural(n, "target"))}
	}
	return nil
}

// load loads the targets in the way that is asked for.
func (o *platesOptions) load(s *stock, args []string, opt plates.SequenceOptions) ([]loaded, *plates.Sequence, error) {
	switch {
	case o.share:
		return o.shared(s, args, opt)
	case o.together:
		list, err := o.atOnce(s, args)
		return list, nil, err
	}
	targets, err := o.targets(s, args)
	if err != nil {
		return nil, nil, err
	}
	switch {
	case o.warmup:
		return o.warm(s, targets, opt)
	case o.sequence:
		return o.inSequence(s, targets, opt)
	}
	list, err := o.oneByOne(s, targets)
	return list, nil, err
}

// targets reads the arguments.
func (o *platesOptions) targets(s *stock, args []string) ([]plates.Target, error) {
	var out []plates.Target
	tolerance, err := o.massOf(s, o.tolerance, "--tolerance")
	if err != nil {
		return nil, err
	}
	floor, err := o.massOf(s, o.floor, "--floor")
	if err != nil {
		return nil, err
	}
	for _, a := range args {
		m, err := readMass(a, s.unit)
		if err != nil {
			return nil, usagef("want weights such as 142.5, 60kg or 225lb, got %q%s", a, hint(err))
		}
		if most := mostTolerance(m); tolerance > most {
			return nil, usagef("--tolerance %s is too much for a target of %s %s: want at most %s", o.tolerance.text, massText(m, s.unit), s.unit, plates.ExactOf(most).RoundTo(s.unit.One()/100, plates.Down).Text(s.unit))
		}
		out = append(out, plates.Target{Mass: m, Tolerance: tolerance, FloorPlate: floor})
	}
	return out, nil
}

// mostTolerance is how far a load may lie from its target and still stand for
// it: a tenth, 2.5 kg for the lightest and 20 kg for the heaviest. Common
// practice, no published source.
func mostTolerance(target plates.Mass) plates.Mass {
	return min(max(target/10, 2500*plates.Gram), 20*plates.Kilogram)
}

func (o *platesOptions) massOf(s *stock, m mass, flag string) (plates.Mass, error) {
	if !m.given {
		return 0, nil
	}
	v, err := m.in(s.unit)
	if err != nil {
		return 0, usagef("%s: %v", flag, err)
	}
	return v, nil
}

func (o *platesOptions) sequenceOptions(s *stock) (plates.SequenceOptions, error) {
	opt := plates.SequenceOptions{EndEmpty: o.endEmpty}
	ways := 0
	for _, is := range []bool{o.sequence, o.warmup, o.share, o.together} {
		if is {
			ways++
		}
	}
	switch {
	case ways > 1:
		return opt, usagef("want one of --sequence, --warmup, --share and --together")
	case (ways == 0 || o.together) && (o.from != "" || o.endEmpty || o.stack != "desc" || o.tolerance.given || o.floor.given):
		return opt, usagef("--from, --end-empty, --stack, --tolerance and --floor go with --sequence, --warmup or --share")
	case o.warmup && (o.endEmpty || o.tolerance.given):
		return opt, usagef("--end-empty and --tolerance go with --sequence or --share")
	case o.max.given && !o.warmup:
		return opt, usagef("--max goes with --warmup")
	case o.asListed && !o.share:
		return opt, usagef("--as-listed goes with --share")
	case o.over && !o.together:
		return opt, usagef("--over goes with --together")
	case o.colours != "" && !o.draw:
		return opt, usagef("--colours goes with --draw")
	case o.draw && o.json:
		return opt, usagef("--draw draws text: leave --json out")
	}
	var err error
	if opt.Order, err = plates.ParseOrder(o.stack); err != nil {
		return opt, err
	}
	if o.from != "" {
		if opt.From, err = readSide(o.from, s.unit); err != nil {
			return opt, usagef("--from: %v", err)
		}
	}
	return opt, nil
}

func (o *platesOptions) rounding() plates.Rounding {
	r, err := plates.ParseRounding(o.round)
	if err != nil {
		return plates.Nearest // the flag takes no other word
	}
	return r
}

// rounded is a target as it can be loaded, with the reason where that is not
// exactly.
func (o *platesOptions) rounded(s *stock, t plates.Target) loaded {
	got := s.loads.RoundMass(t.Mass, o.rounding())
	l := loaded{want: t.Mass, got: got.Mass}
	if got.Mass != t.Mass {
		l.why = s.loads.Explain(plates.Target{Mass: t.Mass})
	}
	return l
}

func (o *platesOptions) oneByOne(s *stock, targets []plates.Target) ([]loaded, error) {
	var out []loaded
	for _, t := range targets {
		l := o.rounded(s, t)
		if _, isBar := s.loads.Bar(); isBar {
			l.side, _ = s.loads.PerSide(l.got)
			l.on = l.side
		}
		out = append(out, l)
	}
	return out, nil
}

// settled rounds the targets of a sequence, unless a tolerance says how far they
// may move.
func (o *platesOptions) settled(s *stock, targets []plates.Target) []loaded {
	var out []loaded
	for i := range targets {
		l := loaded{want: targets[i].Mass}
		if !o.tolerance.given && !o.floor.given {
			l = o.rounded(s, targets[i])
			targets[i].Mass = l.got
		}
		out = append(out, l)
	}
	return out
}

func (o *platesOptions) inSequence(s *stock, targets []plates.Target, opt plates.SequenceOptions) ([]loaded, *plates.Sequence, error) {
	list := o.settled(s, targets)
	seq, err := s.loads.Sequence(targets, opt)
	if err != nil {
		return nil, nil, o.explain(s, err)
	}
	for i, st := range seq.Steps {
		list[i].got, list[i].side, list[i].off, list[i].on = st.Loaded, st.Side, st.Off, st.On
	}
	return list, seq, nil
}

func (o *platesOptions) warm(s *stock, targets []plates.Target, opt plates.SequenceOptions) ([]loaded, *plates.Sequence, error) {
	if len(targets) != 1 {
		return nil, nil, usagef("--warmup is for one target, got %d", len(targets))
	}
	last := o.rounded(s, targets[0])
	m, err := o.massOf(s, o.max, "--max")
	if err != nil {
		return nil, nil, err
	}
	if o.max.given && m < targets[0].Mass {
		return nil, nil, usagef("--max %s is less than the target of %s %s: want a maximum of no less", o.max.text, massText(targets[0].Mass, s.unit), s.unit)
	}
	ramp, err := plates.Warmup(s.loads, last.got, plates.WarmupOptions{Max: m, FloorPlate: targets[0].FloorPlate, Order: opt.Order, From: opt.From})
	if err != nil {
		return nil, nil, o.explain(s, err)
	}
	var list []loaded
	for _, w := range ramp.Sets {
		list = append(list, loaded{want: w.Mass, got: w.Mass, side: w.Side, reps: w.Reps, rest: w.RestSeconds})
	}
	list = append(list, last)
	if ramp.Sequence != nil {
		for i, st := range ramp.Sequence.Steps {
			list[i].side, list[i].off, list[i].on = st.Side, st.Off, st.On
		}
	}
	return list, ramp.Sequence, nil
}

// explain puts what cannot be loaded in the unit of the command line.
func (o *platesOptions) explain(s *stock, err error) error {
	var no *plates.NotLoadableError
	if !errors.As(err, &no) {
		return err
	}
	what := no.Target.Mass.Text(s.unit) + " " + s.unit.String()
	if no.Target.Tolerance > 0 {
		what += " within " + no.Target.Tolerance.Text(s.unit)
	}
	if no.Target.FloorPlate > 0 {
		what += fmt.Sprintf(", with a plate of %s or more on each side,", no.Target.FloorPlate.Text(s.unit))
	}
	return fmt.Errorf("%s cannot be loaded%s", what, near(no, s.unit))
}

// near is what is nearest to a target that cannot be loaded and what is missing.
func near(e *plates.NotLoadableError, u plates.Unit) string {
	s := ""
	switch {
	case e.HaveBelow && e.HaveAbove:
		s = fmt.Sprintf(": nearest are %s and %s %s", massText(e.Below, u), massText(e.Above, u), u)
	case e.HaveBelow:
		s = fmt.Sprintf(": the heaviest is %s %s", massText(e.Below, u), u)
	case e.HaveAbove:
		s = fmt.Sprintf(": the lightest is %s %s", massText(e.Above, u), u)
	}
	if len(e.Missing) > 0 {
		s += "; missing: " + pairsWords(e.Missing, u)
	}
	return s
}

// pairsWords is pairs of plates in words, alike ones, which stand together, as one.
func pairsWords(one []plates.Plate, u plates.Unit) string {
	var words []string
	for i := 0; i < len(one); {
		n := i
		for n < len(one) && one[n] == one[i] {
			n++
		}
		if n-i == 1 {
			words = append(words, "a pair of "+one[i].Label(u))
		} else {
			words = append(words, fmt.Sprintf("%d pairs of %s", n-i, one[i].Label(u)))
		}
		i = n
	}
	return oneOf(words, "and")
}

// sideWords is one side of a bar, from the inside outwards.
func sideWords(side []plates.Plate, u plates.Unit) string {
	if len(side) == 0 {
		return "empty"
	}
	return stackWords(side, u)
}

// manyAlike is from how many on alike plates that stand together are counted.
const manyAlike = 4

// stackWords is plates in their order, many alike ones as 8x25.
func stackWords(list []plates.Plate, u plates.Unit) string {
	if len(list) == 0 {
		return "-"
	}
	var parts []string
	for i := 0; i < len(list); {
		n := 1
		for i+n < len(list) && list[i+n] == list[i] {
			n++
		}
		if n >= manyAlike {
			parts = append(parts, fmt.Sprintf("%dx%s", n, list[i].Label(u)))
		} else {
			parts = append(parts, slices.Repeat([]string{list[i].Label(u)}, n)...)
		}
		i += n
	}
	return strings.Join(parts, " ")
}

func (o *platesOptions) print(sh *shell, s *stock, list []loaded, seq *plates.Sequence) error {
	var b strings.Builder
	b.WriteString(item(s.about, "", sh.width) + "\n")
	u := s.unit
	_, isBar := s.loads.Bar()
	stack := max(sh.width/4, 16) // columns of plates: there are up to three, beside others
	var cols []texttab.Column
	switch {
	case o.share:
		cols = append(cols, texttab.Left("lifter"))
	case o.together:
		cols = append(cols, texttab.Left("bar"))
	}
	cols = append(cols, texttab.Right("target"), texttab.Right(u.String()))
	if o.warmup {
		cols = append(cols, texttab.Right("reps"), texttab.Right("rest"))
	}
	if isBar {
		cols = append(cols, texttab.Wrapped("each side, inner first", stack))
	}
	if isBar && seq != nil {
		cols = append(cols, texttab.Wrapped("take off", stack), texttab.Wrapped("put on", stack))
	}
	cols = append(cols, texttab.Filling(""))
	t := texttab.New(cols...)
	t.Width, t.Style = sh.width, sh.head()
	for _, l := range list {
		target := massText(l.want, u)
		if l.reps > 0 {
			target = "warm-up"
		}
		var row []string
		if o.share || o.together {
			row = append(row, l.who)
		}
		row = append(row, target, massText(l.got, u))
		if o.warmup {
			reps, rest := "", ""
			if l.reps > 0 {
				reps, rest = fmt.Sprint(l.reps), fmt.Sprintf("%d s", l.rest)
			}
			row = append(row, reps, rest)
		}
		if isBar {
			row = append(row, sideWords(l.side, u))
		}
		if isBar && seq != nil {
			row = append(row, stackWords(l.off, u), stackWords(l.on, u))
		}
		note := ""
		switch {
		case l.why != nil:
			note = "not loadable" + near(l.why, u)
		case l.short != "":
			note = l.short
		case !isBar:
			note = partsWords(s.loads, l.got, u)
		}
		t.Row(append(row, note)...)
	}
	b.WriteString(t.String())
	if isBar && o.draw {
		b.WriteString("\n" + o.drawing(sh, s, list) + "\n")
	}
	if isBar && seq != nil {
		if len(seq.Off) > 0 {
			b.WriteString("then take off " + stackWords(seq.Off, u) + "\n")
		}
		fmt.Fprintf(&b, "%s on each side, %s %s", plural(seq.Moves, "plate move"), massText(seq.Moved, u), u)
		if seq.Proven {
			b.WriteString(": there is no way with fewer\n")
		} else {
			fmt.Fprintf(&b, "; no way takes fewer than %d\n", seq.Bound)
		}
	}
	return sh.print(b.String())
}

// drawing is every load as a picture, alike ones once.
func (o *platesOptions) drawing(sh *shell, s *stock, list []loaded) string {
	opt := plates.DrawOptions{Unit: s.unit}
	for _, t := range plates.ColourTables() {
		if t.Body == o.colours && sh.color {
			opt.Colours = &t
			opt.Paint = func(colour, text string) string { return sh.escape(ansi[colour], text) }
		}
	}
	barOf := func(l loaded) plates.Bar {
		if l.bar != nil {
			return *l.bar
		}
		bar, _ := s.loads.Bar()
		return bar
	}
	for _, l := range list {
		plain := plates.DrawOptions{Unit: s.unit}
		opt.OneSide = opt.OneSide || texttab.Width(plates.Draw(barOf(l), l.side, plain)) > sh.width-8
	}
	for _, l := range list {
		plain := plates.DrawOptions{Unit: s.unit, OneSide: opt.OneSide}
		opt.Narrow = opt.Narrow || texttab.Width(plates.Draw(barOf(l), l.side, plain)) > sh.width-8
	}
	t := texttab.New(texttab.Right(""), texttab.Left(""))
	var last string
	for _, l := range list {
		if d := plates.Draw(barOf(l), l.side, opt); d != last {
			t.Row(massText(l.got, s.unit), d)
			last = d
		}
	}
	out := t.String()
	for _, c := range plates.ColourTables() {
		if c.Body == o.colours {
			out += sh.para("colours: " + c.Body + ", " + c.Edition + " (" + c.Have + "); shown where every plate is one of its discs")
		}
	}
	return out
}

// ansi is the escapes of colours on a terminal.
var ansi = map[string]string{"red": "31", "green": "32", "yellow": "33", "blue": "34", "white": "37"}

func colourBodies() []string {
	var out []string
	for _, t := range plates.ColourTables() {
		out = append(out, t.Body)
	}
	return out
}

// partsWords is how a station with additions makes up a total.
func partsWords(l *plates.Loads, total plates.Mass, u plates.Unit) string {
	fixed, added, ok := l.Parts(total)
	if !ok || len(added) == 0 {
		return ""
	}
	parts := []string{fixed.Text(u)}
	for _, m := range added {
		parts = append(parts, m.Text(u))
	}
	return strings.Join(parts, " + ")
}
