package periodize

import "github.com/blockwright/blockwright/plates"

// nominalMax is the maximum that stands for everybody's in the review of a
// block by itself. It is large so that rounding to half kilograms is nothing.
const nominalMax = 1000 * plates.Kilogram

// ReviewBlock checks a block by itself, without lifters: every lift has the
// same nominal maximum and can be loaded in half kilograms. Shares of a maximum,
// sets and times mean something, masses and tonnage do not. A weight that the
// block gives as a mass is no share of anybody's maximum and counts as none.
// Checks of the caller's own are run as by [Plan.Review]. The error is that of
// [Compile].
func ReviewBlock(b *Block, th Thresholds, own ...Check) (*Review, error) {
	prog, err := Compile(b, nominalRoster(b))
	if err != nil {
		return nil, err
	}
	plan := prog.Plan(0)
	plan.forgetMasses()
	return plan.review(&Review{Unit: b.Unit, Nominal: true}, th, own), nil
}

// forgetMasses takes out the weights that do not come from a maximum, and what
// was concluded from them.
func (p *Plan) forgetMasses() {
	for i := range p.Sessions {
		for k := range p.Sessions[i].Exercises {
			sets := p.Sessions[i].Exercises[k].Sets
			for j := range sets {
				if s := &sets[j]; s.HasLoad && !s.HasPercent && s.Kind != TestSet {
					s.HasLoad, s.Load, s.Reserve = false, 0, nil
				}
			}
		}
	}
}

// nominalRoster has one lifter who stands for everybody.
func nominalRoster(b *Block) *Roster {
	gym := Gym{Unit: plates.KG}
	l := Lifter{Name: "nobody in particular", Bodyweight: 75 * plates.Kilogram}
	have := map[string]bool{"": true}
	for i := range b.Lifts {
		def := &b.Lifts[i]
		if !have[def.Uses] {
			have[def.Uses] = true
			half := plates.Kilogram / 2
			gym.Stations = append(gym.Stations, Station{Name: def.Uses, To: 4990 * plates.Kilogram, Step: half})
		}
		if def.Max == nil {
			l.Maxes = append(l.Maxes, MaxEntry{Lift: def.Name, Tested: nominalMax})
		}
	}
	return &Roster{Gyms: []Gym{gym}, Lifters: []Lifter{l}}
}
