package estimate

import (
	"fmt"
	"math"
)

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
	if p.tired > 0 {
		ws = append(ws, Warning{"tired-sets", fmt.Sprintf(
			"%d of %d sets are left out: another of the same day shows no less weight and no fewer repetitions, so they were done tired or stopped early; give each set its day where they are of several days",
			p.tired, p.tired+len(p.sets))})
	}
	if w, ok := p.corrected(); ok {
		ws = append(ws, w)
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

// corrected says that a reported reserve is not taken at its word, shown on the
// set where that adds most.
func (p *posterior) corrected() (Warning, bool) {
	var most float64
	var of Set
	for _, s := range p.sets {
		if more := p.opt.bias * math.Min(s.RIR, 1); !s.NoRIR && more > most {
			most, of = more, s
		}
	}
	if most == 0 {
		return Warning{}, false
	}
	return Warning{"reserve-corrected", fmt.Sprintf(
		"people leave more in reserve than they report, on average %s repetitions where they stop one or more short%s; so %s repetitions with %s reported in reserve count as about %s to failure, not %s",
		short(p.opt.bias), source(p.opt.bias), short(of.Reps), short(of.RIR), short(of.Reps+of.RIR+most), short(of.Reps+of.RIR))}, true
}

// source is where the default of Options.ReserveBias comes from; the caller
// knows where another one does.
func source(bias float64) string {
	if bias == reserveBias {
		return " (Halperin I et al. Sports Med 2022;52:377-390)"
	}
	return ""
}

// tellingAbility is from how many standard deviations on the lifter's ability is
// named as the reason of an answer: an engineering choice.
const tellingAbility = 0.25

// among says what stands between the sets of a call: that they contradict each
// other, and that they say together what none says by itself.
func (p *posterior) among(answer float64) []Warning {
	if len(p.sets) < 2 {
		return nil
	}
	type span struct{ lo, hi float64 }
	own := make([]span, len(p.sets))
	inSome, low, high := false, 0, 0 // the sets whose interval ends first and begins last
	for i, s := range p.sets {
		own[i].lo, own[i].hi = p.alone(s)
		inSome = inSome || own[i].lo <= answer && answer <= own[i].hi
		if own[i].hi < own[low].hi {
			low = i
		}
		if own[i].lo > own[high].lo {
			high = i
		}
	}
	var ws []Warning
	say := func(i int) string {
		return fmt.Sprintf("%s x %s says %.4g to %.4g", short(p.sets[i].Load), short(p.sets[i].Reps), own[i].lo, own[i].hi)
	}
	if own[low].hi < own[high].lo {
		ws = append(ws, Warning{"sets-disagree", fmt.Sprintf(
			"the sets contradict each other: by itself %s and %s; look for a weight, repetitions or a reserve that is wrong, or a day that was out of the ordinary, before the answer is used",
			say(low), say(high))})
	}
	if ability, _ := p.ability(); !inSome && math.Abs(ability) >= tellingAbility {
		few := "fewer"
		if ability > 0 {
			few = "more"
		}
		ws = append(ws, Warning{"sets-together", fmt.Sprintf(
			"the answer lies in none of the intervals that the sets give by themselves: heavy and light sets together tell the lifter's own ability to do repetitions (here %s than most lifters at the same share of the maximum), which one set cannot",
			few)})
	}
	return ws
}

// alone is the interval of one set by itself, for the day that the answer is for.
func (p *posterior) alone(s Set) (lo, hi float64) {
	q := &posterior{opt: p.opt, sets: []Set{s}, last: s.Day, z: []float64{0}}
	q.opt.layoff += p.last - s.Day
	q.layGrid()
	q.run()
	m := q.marginal()
	tail := (1 - q.opt.coverage) / 2
	lo, hi = math.Exp(q.quantile(m, tail)), math.Exp(q.quantile(m, 1-tail))
	if s.single() {
		lo = math.Min(lo, s.Load) // which is an answer too
	}
	return lo, hi
}

// short is a number in up to four digits.
func short(x float64) string { return fmt.Sprintf("%.4g", x) }
