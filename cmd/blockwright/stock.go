package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/blockfile"
	"github.com/blockwright/blockwright/plates"
)

// stock is what there is to load, of a roster's gym or of the command line.
type stock struct {
	loads *plates.Loads
	unit  plates.Unit // of bare numbers, and of what is printed
	inv   plates.Inventory
	about string         // bar and plates in words
	gym   *periodize.Gym // nil for a stock of the command line
}

// stockOptions are the flags that say what there is.
type stockOptions struct {
	gym, gymName string
	bar          string
	plates       string
	collars      mass
	unit         *plates.Unit
	barsNamed    bool // every weight says which bar it is for: there is none to choose
}

// find is the stock that the flags describe.
func (o *stockOptions) find(sh *shell) (*stock, error) {
	if o.gym == "" {
		return o.inline()
	}
	if o.plates != "" || o.collars.given {
		return nil, usagef("--gym has bars and plates of its own: leave --plates and --collars out")
	}
	gyms, err := readWith(sh, o.gym, "roster file", blockfile.ReadGym)
	if err != nil {
		return nil, err
	}
	g, err := o.choose(gyms)
	if err != nil {
		return nil, err
	}
	return o.of(g)
}

// choose finds the gym that is meant.
func (o *stockOptions) choose(gyms []periodize.Gym) (*periodize.Gym, error) {
	var names []string
	for i := range gyms {
		if gyms[i].Name == o.gymName {
			return &gyms[i], nil
		}
		names = append(names, gyms[i].Name)
	}
	switch {
	case len(gyms) == 1 && o.gymName == "":
		return &gyms[0], nil
	case len(gyms) == 1 && gyms[0].Name == "":
		return nil, usagef("--gym-name: %s has one gym, without a name: leave --gym-name out", o.gym)
	case o.gymName == "":
		return nil, usagef("%s has several gyms: choose one with --gym-name: %s", o.gym, oneOf(names, "or"))
	}
	return nil, usagef("--gym-name: %s has no %q: %s", o.gym, o.gymName, nearest(o.gymName, names))
}

// of is the stock of a gym for the bar or station that is meant.
func (o *stockOptions) of(g *periodize.Gym) (*stock, error) {
	s := &stock{unit: g.Unit, inv: g.Plates, gym: g}
	if o.unit != nil {
		s.unit = *o.unit
	}
	var names []string
	for i := range g.Bars {
		names = append(names, g.Bars[i].Name)
	}
	for i := range g.Stations {
		names = append(names, g.Stations[i].Name)
	}
	name := o.bar
	switch {
	case name != "":
	case len(names) == 0:
		return nil, usagef("%s has neither bars nor stations", o.gym)
	case len(names) == 1 || len(g.Bars) == 1:
		name = names[0]
	case o.barsNamed && len(g.Bars) > 0:
		s.about = platesWords(g.Plates, s.unit)
		name = names[0] // asked for nothing but that it is a bar
	default:
		return nil, usagef("choose a bar or station with --bar: %s", oneOf(names, "or"))
	}
	var err error
	if b, ok := gymBar(g, name); ok {
		s.loads, err = plates.NewLoads(b, g.Plates)
		if s.about == "" {
			s.about = barWords(b, g.Plates, s.unit)
		}
		return s, err
	}
	for i := range g.Stations {
		if st := &g.Stations[i]; st.Name == name {
			if s.loads, err = stationLoads(st); err != nil {
				return nil, err
			}
			s.about = fmt.Sprintf("%s, from %s to %s %s", name, s.loads.Lightest().Text(s.unit), s.loads.Heaviest().Text(s.unit), s.unit)
			return s, nil
		}
	}
	return nil, usagef("--bar: the gym has no %q: %s", name, nearest(name, names))
}

// stationLoads is what a station can be set to, with what can be hung on.
func stationLoads(st *periodize.Station) (*plates.Loads, error) {
	list := st.List
	if st.Step > 0 {
		// As in a plan, the last step may lead to less than the end.
		ladder, err := plates.NewRange(st.Name, st.From, st.To-(st.To-st.From)%st.Step, st.Step)
		if err != nil || len(st.Add) == 0 {
			return ladder, err
		}
		list = slices.Collect(ladder.All())
	}
	return plates.NewStation(st.Name, list, st.Add)
}

// gymBar is a bar of a gym with its collars.
func gymBar(g *periodize.Gym, name string) (plates.Bar, bool) {
	for i := range g.Bars {
		if g.Bars[i].Name == name {
			b := plates.Bar{Name: name, Mass: g.Bars[i].Mass, Collars: g.Collars}
			if c := g.Bars[i].Collars; c != nil {
				b.Collars = *c
			}
			return b, true
		}
	}
	return plates.Bar{}, false
}

// What is taken where the command line says nothing: common practice, no
// published source. Each size of plate as often as any bar holds.
var assumed = map[plates.Unit]struct {
	bar   string
	sizes []string
}{
	plates.KG: {"20", []string{"25", "20", "15", "10", "5", "2.5", "1.25"}},
	plates.LB: {"45", []string{"45", "35", "25", "10", "5", "2.5"}},
}

// assumedCount is how many of each size are assumed.
const assumedCount = 16

// inline is the stock that the flags spell out.
func (o *stockOptions) inline() (*stock, error) {
	s := &stock{}
	if o.unit != nil {
		s.unit = *o.unit
	}
	if o.gymName != "" {
		return nil, usagef("--gym-name goes with --gym")
	}
	usual := assumed[s.unit]
	var said []string
	bar := plates.Bar{Name: "bar"}
	text := o.bar
	if text == "" {
		text = usual.bar
		said = append(said, "the bar")
	}
	var err error
	if bar.Mass, err = readMass(text, s.unit); err != nil {
		return nil, usagef("--bar: want the mass of a bar such as 20 or 45lb, or a name with --gym, got %q%s", text, hint(err))
	}
	if o.collars.given {
		if bar.Collars, err = o.collars.in(s.unit); err != nil {
			return nil, usagef("--collars: %v", err)
		}
	}
	if o.plates == "" {
		for _, size := range usual.sizes {
			m, err := readMass(size, s.unit)
			if err != nil {
				return nil, err
			}
			s.inv = append(s.inv, plates.Stock{Plate: plates.Plate{Mass: m, Unit: s.unit}, Count: assumedCount})
		}
		said = append(said, "the plates")
	} else if s.inv, err = readPlates(o.plates, s.unit); err != nil {
		return nil, usagef("--plates: %v", err)
	}
	s.about = barWords(bar, s.inv, s.unit)
	if len(said) > 0 {
		s.about += " (" + oneOf(said, "and") + " assumed: give --gym, or --bar and --plates)"
	}
	s.loads, err = plates.NewLoads(bar, s.inv)
	return s, err
}

// readPlates reads 25:4,20:4, sizes with how many of each there are.
func readPlates(text string, u plates.Unit) (plates.Inventory, error) {
	inv, err := plates.ParseInventory(text, u)
	if err != nil {
		return nil, withoutPackage(err)
	}
	for _, s := range inv {
		if s.Mass > mostMass {
			return nil, fmt.Errorf("want plates of at most %s, got %s", mostMass, s.Plate)
		}
	}
	return inv, nil
}

// withoutPackage is an error of reading without the name of the package, which a flag stands for.
func withoutPackage(err error) error {
	var p *plates.ParseError
	if errors.As(err, &p) {
		return fmt.Errorf("want %s, got %q", p.Want, p.Text)
	}
	return err
}

// readSide reads the plates of one side, from the innermost outwards.
func readSide(text string, u plates.Unit) ([]plates.Plate, error) {
	var side []plates.Plate
	for part := range strings.SplitSeq(text, ",") {
		p, err := plates.ParsePlate(strings.TrimSpace(part), u)
		if err != nil {
			return nil, withoutPackage(err)
		}
		side = append(side, p)
	}
	return side, nil
}

// barWords is a bar and its plates in words.
func barWords(b plates.Bar, inv plates.Inventory, u plates.Unit) string {
	s := b.Name + " " + b.Mass.Text(u) + " " + u.String()
	if b.Collars > 0 {
		s += ", collars " + b.Collars.Text(u)
	}
	return s + ", " + platesWords(inv, u)
}

// platesWords is the plates of a stock in words.
func platesWords(inv plates.Inventory, u plates.Unit) string {
	var parts []string
	for _, p := range inv {
		if p.Count > 1 {
			parts = append(parts, fmt.Sprintf("%dx%s", p.Count, p.Label(u)))
		}
	}
	if len(parts) == 0 {
		return "no plates"
	}
	return "plates " + strings.Join(parts, " ")
}
