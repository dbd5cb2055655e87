package main

import (
	"fmt"
	"strings"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// shared is several lifters on one bar. An argument is one lifter's sets:
// 60,80,90 or Wren=60,80,90.
func (o *platesOptions) shared(s *stock, args []string, opt plates.SequenceOptions) ([]loaded, *plates.Sequence, error) {
	if _, isBar := s.loads.Bar(); !isBar {
		return nil, nil, usagef("--share is for a bar, and %s is a station", s.loads.Name())
	}
	var names []string
	var lists [][]plates.Target
	var wants [][]loaded
	for i, a := range args {
		name, sets, ok := strings.Cut(a, "=")
		if !ok {
			name, sets = fmt.Sprintf("lifter %d", i+1), a
		}
		if strings.TrimSpace(name) == "" {
			return nil, nil, usagef("want a lifter's sets such as Wren=60,80,90, got %q", a)
		}
		targets, err := o.targets(s, splitList(sets))
		if err != nil {
			return nil, nil, err
		}
		names = append(names, name)
		wants = append(wants, o.settled(s, targets))
		lists = append(lists, targets)
	}
	sh, err := s.loads.Share(lists, plates.ShareOptions{AsListed: o.asListed, Sequence: opt})
	if err != nil {
		return nil, nil, o.explain(s, err)
	}
	var list []loaded
	for i, turn := range sh.Turns {
		l := wants[turn.Lifter][turn.Set]
		st := sh.Sequence.Steps[i]
		l.who, l.got, l.side, l.off, l.on = names[turn.Lifter], st.Loaded, st.Side, st.Off, st.On
		list = append(list, l)
	}
	return list, sh.Sequence, nil
}

func splitList(s string) []string {
	parts := strings.Split(s, ",")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	return parts
}

// atOnce is several bars from one stock. An argument is a bar's weight; with a
// gym NAME=WEIGHT is for the bar of that name.
func (o *platesOptions) atOnce(s *stock, args []string) ([]loaded, error) {
	usual, isBar := s.loads.Bar()
	if !isBar {
		return nil, usagef("--together is for bars, and %s is a station", s.loads.Name())
	}
	var bars []plates.BarLoad
	for _, a := range args {
		b := plates.BarLoad{Bar: usual}
		weight := a
		if name, rest, ok := strings.Cut(a, "="); ok {
			if s.gym == nil {
				return nil, usagef("%q names a bar: that needs --gym", a)
			}
			if b.Bar, ok = gymBar(s.gym, name); !ok {
				var names []string
				for i := range s.gym.Bars {
					names = append(names, s.gym.Bars[i].Name)
				}
				return nil, usagef("the gym has no bar %q: %s", name, nearest(name, names))
			}
			weight = rest
		}
		m, err := readMass(weight, s.unit)
		if err != nil {
			return nil, usagef("want weights such as 142.5, 60kg or 225lb, got %q%s", weight, hint(err))
		}
		if m < b.Bar.Empty() {
			return nil, usagef("%s %s is less than the empty bar, %s %s", m.Text(s.unit), s.unit, b.Bar.Empty().Text(s.unit), s.unit)
		}
		b.Target = m
		bars = append(bars, b)
	}
	if err := enoughBars(s.gym, bars); err != nil {
		return nil, err
	}
	fit, err := plates.Together(s.inv, bars, plates.TogetherOptions{Over: o.over})
	if err != nil {
		return nil, err
	}
	var list []loaded
	for i, f := range fit.Bars {
		l := loaded{who: bars[i].Bar.Name, bar: &bars[i].Bar, want: f.Target, got: f.Loaded, side: f.Side, on: f.Side}
		if l.got != l.want {
			l.short = fmt.Sprintf("short by %s %s: the plates do not suffice for all", massText(abs(l.want-l.got), s.unit), s.unit)
		}
		list = append(list, l)
	}
	return list, nil
}

// enoughBars checks that a gym has as many of each bar as are to be loaded at
// once. There is no gym to ask where the command line describes the bar.
func enoughBars(g *periodize.Gym, loads []plates.BarLoad) error {
	if g == nil {
		return nil
	}
	wanted := map[string]int{}
	for _, l := range loads {
		wanted[l.Bar.Name]++
	}
	var spare []string
	for _, b := range g.Bars {
		if wanted[b.Name] < max(b.Have, 1) {
			spare = append(spare, b.Name)
		}
	}
	for _, b := range g.Bars {
		have := max(b.Have, 1)
		if wanted[b.Name] <= have {
			continue
		}
		way := fmt.Sprintf("say in the roster how many there are (have: %d)", wanted[b.Name])
		if len(spare) > 0 {
			way = fmt.Sprintf("take %s for the others, such as %s=WEIGHT, or %s", oneOf(spare, "or"), spare[0], way)
		}
		return usagef("%d weights are for the bar %q and the gym has %d of it: %s", wanted[b.Name], b.Name, have, way)
	}
	return nil
}

func abs(m plates.Mass) plates.Mass { return max(m, -m) }
