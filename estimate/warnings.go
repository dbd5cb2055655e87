package estimate

import "fmt"

// warnings says what a reader of an estimate should know.
func (p *posterior) warnings() []Warning {
	var ws []Warning
	c := p.opt.curve
	if p.extra {
		ws = append(ws, Warning{"extrapolated", fmt.Sprintf(
			"a set lies outside the rows of the %s curve (%.0f to %.0f %%1RM); the relation there is our extrapolation",
			c.Name, 100*c.From, 100*c.To)})
	}
	missing, bodyOfWork := 0, 0
	for _, s := range p.sets {
		if s.NoRIR {
			missing++
		}
		if s.Reps+s.RIR > 10 {
			bodyOfWork++
		}
	}
	if missing > 0 {
		ws = append(ws, Warning{"reserve-missing", fmt.Sprintf(
			"%d of %d sets give no reserve; it was taken as anything from none up, %d repetitions on average, which is our assumption",
			missing, len(p.sets), unreportedReserve)})
	}
	if bodyOfWork == len(p.sets) {
		ws = append(ws, Warning{"many-repetitions",
			"every set has more than 10 repetitions counting the reserve; predictions from there are poor (Mayhew JL et al. J Sports Med Phys Fitness 1995;35:108-113: above 10 repetitions all six equations studied were biased)"})
	}
	if c.eq != nil {
		ws = append(ws, Warning{"borrowed-spread", fmt.Sprintf(
			"%s was published without a spread between lifters; the interval borrows that of the general curve", c.eq.Name)})
	} else if c.power != 1 {
		ws = append(ws, Warning{"borrowed-spread", fmt.Sprintf(
			"the %s curve has two published rows; its shape and its spread between lifters are borrowed from the general curve", c.Name)})
	}
	return ws
}
