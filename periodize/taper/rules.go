package taper

import "slices"

// Lift is the kind of lift that a rule of timing is for.
type Lift string

// The kinds. General stands for every other lift.
const (
	Squat         Lift = "squat"
	Bench         Lift = "bench press"
	Deadlift      Lift = "deadlift"
	Weightlifting Lift = "weightlifting" // snatch, clean and jerk
	General       Lift = "general"
)

// Lifts lists the kinds there are rules for.
func Lifts() []Lift { return []Lift{Squat, Bench, Deadlift, Weightlifting, General} }

// noun is what a sentence calls a lift of the kind: "the deadlift", and "the lift"
// where the kind's name is no lift's.
func (l Lift) noun() string {
	if l == Weightlifting || l == General {
		return "lift"
	}
	return string(l)
}

// ParseLift finds a kind by its name; the error is a *NameError.
func ParseLift(s string) (Lift, error) {
	if slices.Contains(Lifts(), Lift(s)) {
		return Lift(s), nil
	}
	var names []string
	for _, l := range Lifts() {
		names = append(names, string(l))
	}
	return "", &NameError{Kind: "lift", Name: s, Choices: names}
}

// Window is a span of days before the meet, both ends in it: {7, 10} is the
// tenth to the seventh day out.
type Window struct {
	Near, Far int // days out
}

// Has reports whether a day so many days out is in the window.
func (w Window) Has(out int) bool { return out >= w.Near && out <= w.Far }

// Middle is the middle day, the one nearer the meet of two.
func (w Window) Middle() int { return (w.Near + w.Far) / 2 }

// Span is a range of fractions, from Low to High.
type Span struct{ Low, High float64 }

// Rule is when a lift is last trained heavily and last trained at all, and with
// what. The zero Span of a weight means that no source names one.
type Rule struct {
	Lift     Lift
	Heavy    Window // last heavy session
	Last     Window // last session
	HeavyMax Span   // weight of the last heavy singles, fraction of the maximum
	LastMax  Span   // weight of the last session
	Evidence []string
	How      How
	Note     string
}

// HeavyFrom is the fraction of the maximum from which a set counts as heavy
// here: above 85 per cent, as the survey of Travis et al. 2021 asked (T-46).
const HeavyFrom = 0.85

// Rules is the default timing, from surveys of strength athletes. Surveys say
// what lifters do, which is habit and not proof. The slice is the caller's own.
func Rules() []Rule {
	return []Rule{
		{
			Lift: Squat, Heavy: Window{7, 10}, Last: Window{2, 4},
			HeavyMax: Span{0.90, 0.925}, LastMax: Span{0.75, 0.80},
			Evidence: []string{"T-46", "T-48", "T-49", "T-33", "T-40", "T-61"}, How: LookedUp,
			Note: "last heavy day, weights: survey of 364 powerlifters; last session: two small surveys and a review",
		},
		{
			Lift: Bench, Heavy: Window{4, 6}, Last: Window{2, 4},
			HeavyMax: Span{0.90, 0.925}, LastMax: Span{0.75, 0.80},
			Evidence: []string{"T-47", "T-48", "T-49", "T-33", "T-40", "T-60", "T-61"}, How: LookedUp,
			Note: "the survey says under 7 days; the near end of 4 is " + string(Practice) + ". Two days off suited the bench press better than four in one small trial",
		},
		{
			Lift: Deadlift, Heavy: Window{7, 10}, Last: Window{2, 4},
			HeavyMax: Span{0.90, 0.925}, LastMax: Span{0.70, 0.75},
			Evidence: []string{"T-46", "T-48", "T-50", "T-33", "T-40", "T-60", "T-61"}, How: LookedUp,
			Note: "four days off suited the deadlift better than two in one small trial",
		},
		{
			Lift: Weightlifting, Heavy: Window{7, 10}, Last: Window{1, 2},
			Evidence: []string{"T-54", "T-52"}, How: LookedUp,
			Note: "the survey gives the end of training, 1.5 (SD 0.6) days out; the last heavy day is taken from powerlifters, " + string(Practice),
		},
		{
			Lift: General, Heavy: Window{7, 10}, Last: Window{2, 4},
			Evidence: []string{"T-61"}, How: Practice,
			Note: "days without training: a review; the last heavy day is borrowed from squat and deadlift",
		},
	}
}

// Defaults of a strength taper, a summary of the surveys and small trials in
// [Published]: 7 to 14 days, a mean volume cut of 40 to 60 per cent, intensity
// kept to within 10 per cent below and 5 per cent above. Step, linear and
// exponential tapers are all defensible.
var (
	usualDays      = Window{7, 14}
	usualCut       = Span{0.40, 0.60}
	usualIntensity = Span{-0.10, 0.05}
)

// Usual returns those defaults: length in days, mean cut, change of intensity.
func Usual() (days Window, meanCut, intensity Span) { return usualDays, usualCut, usualIntensity }

// TooLong is the number of days without training that the lifters of T-35
// judged too long, and beyond which T-62 found no gains.
const TooLong = 7

// Finding is a remark on a taper; it stops nothing.
type Finding struct {
	Code     string   // stable, for programs
	Lift     Lift     // empty where it is about the whole taper
	Text     string   // for people
	Evidence []string // ids in Published
}

// Codes of findings.
const (
	FindingLength    = "taper-length"
	FindingCut       = "mean-cut"
	FindingIntensity = "intensity"
	FindingHeavy     = "last-heavy"
	FindingLast      = "last-session"
	FindingIdle      = "days-off"
	FindingNoHeavy   = "no-heavy-session"
	FindingPattern   = "attempt-pattern"
	FindingStep      = "attempt-step"
	FindingOpener    = "opener-chance"
)
