package sheet

import (
	"slices"
	"time"

	"github.com/blockwright/blockwright/periodize"
)

// Caution is one sentence of care at the foot of a sheet.
type Caution struct {
	ID     string // stable, in snake_case
	Text   string // in neutral words
	Source string // or "house wording"
}

// The triggers that are a number. None is from a published source; each is
// chosen so that the caution comes before the work it is about, and a sheet
// without such work stays short.
const (
	// heavyPercent of the working maximum and up counts as heavy (common
	// practice, no published source).
	heavyPercent = 85
	// nearFailure or fewer repetitions in reserve counts as close to failure
	// (common practice, no published source).
	nearFailure = 1
	// layoff is the gap without training after which the first weeks are a
	// return: two weeks, as in Caterisano A et al. (2019).
	layoff = 14 * 24 * time.Hour
	// A lift's week is a jump when its repetitions are jumpShare times those of
	// the most the lifter has done in an earlier week, and at least jumpReps
	// more (common practice, no published source).
	jumpShare, jumpReps = 1.6, 20
	// oftenHinged is how many days a week with a hinge count as many (common
	// practice, no published source).
	oftenHinged = 3
)

// rule is a caution and when it is printed.
type rule struct {
	Caution
	when func(*facts) bool
}

// facts is what the triggers look at, gathered in one pass over a plan.
type facts struct {
	problems  bool // the plan has findings that somebody has to mend
	age       int
	overhead  bool // heavy or near-failure work under a bar that can fall on the lifter
	strain    bool // heavy or near-failure work of any kind
	test      bool
	estimated bool
	returning bool
	jump      bool
	hinge     bool
}

// rules are in the order of print. Texts are our own; sources as in
// testdata/cautions-sources.csv.
var rules = [...]rule{
	{Caution{"not_medical",
		"Weights are arithmetic from the numbers entered, not medical advice; the facility's rules and licensed practice come first.",
		"house wording"}, nil},
	{Caution{"clearance",
		"An open health question, or a heart, metabolic or kidney condition: clearance from a health professional first.",
		"PAR-Q+: Warburton DER et al. (2011) Health Fit J Can 4(2); Riebe D et al. (2015) Med Sci Sports Exerc 47(11):2473-2479; Whitfield GP et al. (2017) Med Sci Sports Exerc 49(10):2056-2063 (volume and pages of the last two from memory)"}, nil},
	{Caution{"pain",
		"Stop on sharp or joint pain, chest pain, faintness, unusual breathlessness or numbness. Chest pain or collapse: emergency services.",
		"PAR-Q+ questions on chest pain and dizziness (2015 version); house wording for the rest"}, nil},
	{Caution{"technique",
		"Collars closed, both ends loaded evenly. When your technique changes, end the set and lower the weight.",
		"AAP clinical report: Stricker PR et al. (2020) Pediatrics 145(6):e20201011; collars: a general reference on barbells (secondary)"}, nil},
	{Caution{"problems",
		"The checks found problems in this plan, such as sets over the maximum or not predicted possible. Nobody lifts before the coach has read them.",
		"house wording"},
		func(f *facts) bool { return f.problems }},
	{Caution{"youth",
		"Under 18: a qualified adult supervises every session, and technique comes before weight.",
		"Faigenbaum AD et al. (2009) J Strength Cond Res 23(5 Suppl):S60-S79; Stricker PR et al. (2020) Pediatrics 145(6):e20201011"},
		func(f *facts) bool { return 0 < f.age && f.age < 18 }},
	{Caution{"youth_unknown",
		"If you are under 18 (no age is given): a qualified adult supervises every session, and technique comes before weight.",
		"Faigenbaum AD et al. (2009) J Strength Cond Res 23(5 Suppl):S60-S79; Stricker PR et al. (2020) Pediatrics 145(6):e20201011"},
		func(f *facts) bool { return f.age <= 0 }},
	{Caution{"youth_medical",
		"A young lifter with high blood pressure, seizures, a heart condition or past anthracycline treatment needs medical advice first.",
		"Stricker PR et al. (2020) Pediatrics 145(6):e20201011"},
		func(f *facts) bool { return 0 < f.age && f.age < 18 }},
	{Caution{"spotter",
		"Heavy sets over the face, on the shoulders or overhead: trained spotters, or safety bars just below the lowest point.",
		"general spotting principles, seen in a secondary study page; Haff GG, Triplett NT (eds) (2016), chapter on exercise technique (from memory)"},
		func(f *facts) bool { return f.overhead }},
	{Caution{"pressure",
		"Straining with held breath raises blood pressure sharply: with high blood pressure, heart or eye disease or a hernia, ask a clinician first.",
		"Nery SS et al. (2010) Clinics 65(3):271-277 (authors and pages from memory); Niewiadomski W et al. (2008) J Hum Kinet 19:109-120; Pescatello LS et al. (2004) Med Sci Sports Exerc 36(3):533-553"},
		func(f *facts) bool { return f.strain }},
	{Caution{"test",
		"Test day: practised lifts only, warm up in steps, rest three to five minutes between attempts, stop after about five.",
		"ACSM's Guidelines, 9th ed. (2014); Haff GG, Triplett NT (eds) (2016)"},
		func(f *facts) bool { return f.test }},
	{Caution{"return",
		"After two weeks or more without training: less volume and longer rests for the first two to four weeks.",
		"Caterisano A et al. (2019) Strength Cond J 41(3):1-23"},
		func(f *facts) bool { return f.returning }},
	{Caution{"rhabdo",
		"The work of a lift rises steeply. Severe pain, swelling or weakness, or brown urine afterwards: stop, and seek medical care the same day.",
		"Khalil MA, Saab BR (2016) Aust Fam Physician 45(12); Caterisano A et al. (2019) Strength Cond J 41(3):1-23"},
		func(f *facts) bool { return f.jump }},
	{Caution{"deadlift_back",
		"Frequent heavy pulls from the floor: back pain was reported in a training study. Keep strict technique and report pain.",
		"J Hum Kinet (2020), deadlift against squat training in 25 men (group size as analysed)"},
		func(f *facts) bool { return f.hinge }},
	{Caution{"estimate",
		"An estimated maximum can be wrong by several kilograms. When a weight feels wrong, change it.",
		"estimation references of this module"},
		func(f *facts) bool { return f.estimated }},
}

// Cautions are the ones that a plan's sheet carries: the short set that is
// always there, and those that something in the plan or the lifter asks for.
func Cautions(p *periodize.Plan) []Caution {
	f := gather(p)
	var out []Caution
	for i := range rules {
		if rules[i].when == nil || rules[i].when(&f) {
			out = append(out, rules[i].Caution)
		}
	}
	return out
}

// AllCautions lists every caution that a sheet can carry, those of every sheet
// first.
func AllCautions() []Caution {
	out := make([]Caution, len(rules))
	for i := range rules {
		out[i] = rules[i].Caution
	}
	return out
}

func gather(p *periodize.Plan) facts {
	f := facts{age: p.Lifter.Age, problems: slices.ContainsFunc(p.Warnings, func(w periodize.Finding) bool { return w.Severity == periodize.Problem })}
	for i := range p.Maxes {
		f.estimated = f.estimated || p.Maxes[i].Coverage > 0
	}
	type liftWeek struct {
		lift *periodize.Lift
		reps int
	}
	var (
		week, hinged int
		setsOfWeek   int
		first        = true // the first week of the plan
		best         []liftWeek
		now          []liftWeek
	)
	add := func(l *periodize.Lift, reps int) {
		for i := range now {
			if now[i].lift == l {
				now[i].reps += reps
				return
			}
		}
		now = append(now, liftWeek{l, reps})
	}
	closeWeek := func() {
		if week == 0 {
			return
		}
		if r := p.Lifter.Recent; first && r != nil && r.WeeklySets != nil && setsOfWeek > 0 && float64(setsOfWeek) >= float64(jumpShare*float64(*r.WeeklySets)) {
			f.jump = true
		}
		for _, n := range now {
			at := slices.IndexFunc(best, func(b liftWeek) bool { return b.lift == n.lift })
			switch {
			case at < 0:
				best = append(best, n)
				continue
			case n.reps-best[at].reps >= jumpReps && float64(n.reps) >= float64(jumpShare*float64(best[at].reps)):
				f.jump = true
			}
			best[at].reps = max(best[at].reps, n.reps)
		}
		f.hinge = f.hinge || hinged >= oftenHinged
		now, hinged, setsOfWeek, first = now[:0], 0, 0, false
	}
	for i := range p.Sessions {
		s := &p.Sessions[i]
		if s.Week != week {
			closeWeek()
			week = s.Week
		}
		if i == 0 && p.Lifter.Recent != nil && !s.Date.IsZero() && !p.Lifter.Recent.LastTrained.IsZero() {
			f.returning = s.Date.Sub(p.Lifter.Recent.LastTrained) >= layoff
		}
		f.test = f.test || s.Kind == periodize.TestDay
		hingeHere := false
		for j := range s.Exercises {
			e := &s.Exercises[j]
			hingeHere = hingeHere || e.Lift.Pattern == periodize.Hinge && e.Role == periodize.Focus
			reps := 0
			for k := range e.Sets {
				st := &e.Sets[k]
				reps += st.Reps * max(st.Sides, 1)
				setsOfWeek++
				if hard(st) {
					f.strain = true
					switch e.Lift.Pattern {
					case periodize.Squat, periodize.PushHorizontal, periodize.PushVertical:
						f.overhead = f.overhead || st.HasLoad && e.Lift.Uses != ""
					}
				}
			}
			add(e.Lift, reps)
		}
		if hingeHere {
			hinged++
		}
	}
	closeWeek()
	return f
}

// hard reports whether a set is heavy or close to failure.
func hard(s *periodize.Set) bool {
	switch {
	case s.Kind == periodize.TestSet, s.AMRAP, s.Open:
		return true
	case s.HasPercent && s.Percent.Float64() >= heavyPercent:
		return true
	case s.RIR != nil && *s.RIR <= nearFailure:
		return true
	}
	return s.Reserve != nil && s.Reserve.Mid <= nearFailure
}
