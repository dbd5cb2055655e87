package periodize

// The numbers that a draft starts from where the brief leaves something open.
// All of them are common practice, no published source, unless a line names
// one: they are where coaches usually start, and none is a finding about
// anybody. A brief's own wish always comes first.

// levelIndex is the column of a table with one entry for each level.
func levelIndex(l Level) int {
	switch l {
	case Novice:
		return 0
	case Advanced:
		return 2
	}
	return 1
}

// peakSets is the number of sets a week that a lift in a role has in the
// largest week, for novices, intermediates and advanced lifters.
var peakSets = map[Role][3]int{
	Focus:         {9, 11, 13},
	Support:       {4, 5, 6},
	Developmental: {4, 4, 5},
	Accessory:     {3, 4, 4},
}

// slotSets is the most sets of one exercise in one session.
var slotSets = map[Role]int{Focus: 8, Support: 5, Developmental: 5, Accessory: 4}

// Rest in seconds after a set, by how much time there is. The first column is
// [DefaultRest]; the others save time, and the draft says so.
var restTable = [...]map[slotKind]float64{
	{heavySlot: 180, volumeSlot: 180, supportSlot: 150, developSlot: 120, accessorySlot: 90},
	{heavySlot: 150, volumeSlot: 150, supportSlot: 120, developSlot: 105, accessorySlot: 75},
	{heavySlot: 120, volumeSlot: 120, supportSlot: 90, developSlot: 90, accessorySlot: 60},
}

// longRests are tried where a shorter rest cannot keep the reserve.
var longRests = [...]float64{0, 30, 60, 90, 120, 180}

// fromTo is a value in the first week and in the last.
type fromTo struct{ from, to float64 }

func (f fromTo) at(week, weeks int) float64 {
	if weeks < 2 {
		return f.from
	}
	return f.from + (f.to-f.from)*float64(week-1)/float64(weeks-1)
}

// heavyAim is the heaviest sets of a focus lift, by goal and level.
func heavyAim(g Goal, level Level) (reps, rir fromTo) {
	i := levelIndex(level)
	if g == Peak {
		return [3]fromTo{{5, 2}, {4, 1}, {4, 1}}[i], [3]fromTo{{3, 2}, {2, 1}, {2, 1}}[i]
	}
	return [3]fromTo{{6, 3}, {5, 2}, {5, 2}}[i], [3]fromTo{{3, 2}, {2, 1}, {2, 1}}[i]
}

// repsAim is the repetitions of sets across of one weight.
func repsAim(k slotKind, g Goal, level Level) fromTo {
	switch k {
	case volumeSlot:
		f := [3]fromTo{{8, 5}, {6, 4}, {6, 4}}[levelIndex(level)]
		if g == Peak {
			f.from, f.to = f.from-1, f.to-1
		}
		return f
	case supportSlot:
		return fromTo{6, 5}
	}
	return fromTo{8, 6}
}

// reserveAim is the reserve that main sets keep where the brief gives none.
func reserveAim(level Level) (low, high float64) {
	return [3]float64{2, 1, 1}[levelIndex(level)], [3]float64{5, 4, 4}[levelIndex(level)]
}

// riseAim is the rise from the first week's sets to the largest week's.
func riseAim(g Goal, level Level) float64 {
	if g == Peak {
		return 0.25
	}
	return [3]float64{0.3, 0.4, 0.5}[levelIndex(level)]
}

// peakWeekAim is the week of the most sets: three fifths of the way in a block
// that develops, and two weeks before the end in one that peaks (tapers of
// strength athletes last 1 to 4 weeks; Travis 2021, looked-up).
func peakWeekAim(g Goal, weeks int) float64 {
	if g == Peak {
		return max(2, float64(weeks-2))
	}
	return max(2, 0.62*float64(weeks))
}

// sharesAfter are the sets of the weeks after the largest, as shares of it. A
// block that develops is cut at once and then goes down slowly while the
// weight climbs; one that peaks goes down to the end, by as much as tapers of
// strength athletes do (41 to 59 %; Pritchard 2016, Grgic and Mikulic 2017,
// Travis 2021, looked-up).
func shareAfter(g Goal, k, n int) float64 {
	if g == Peak {
		return 1 - 0.55*float64(k)/float64(n)
	}
	if n < 2 {
		return 0.6
	}
	return 0.65 - 0.15*float64(k-1)/float64(n-1)
}

// muscleGuide is the most sets a week that a draft gives a muscle on its own
// account (12 to 20 sets a good range for size; Baz-Valle 2022, looked-up).
const muscleGuide = 20

// The weights of the objective. The exercises are chosen first, by the least
// sum of the first group; with them, the week's days, the rests and the sets of
// every week by the least sum of the second.
const (
	// Exercises.
	costExercise     = 1.0  // each exercise beside the focus lifts
	costRepeat       = 0.5  // a support lift of a focus lift's pattern
	costLighter      = 0.8  // a lift behind or developmental work as an accessory
	costPlace        = 1e-3 // for each place further down the brief's list
	costRemedyRank   = 0.3  // for each place further down a remedy's patterns
	costNoBasic      = 8.0  // squat or lunge, hinge, push, pull: none at all
	costNoLarge      = 3.0  // a large muscle without work
	costNoPattern    = 0.7  // any pattern without work
	costNoMuscle     = 0.8  // any muscle without work
	costOverMinute   = 0.12 // each minute a week over what the sessions have
	costAmiss        = 0.5  // each set by which a muscle's usual sets miss a wish
	impossibleLackOf = 1e6  // a wish that no choice of exercises meets

	// Weeks.
	costVolume   = 20.0 // squared shortfall of the largest week's sets, as a share
	costRise     = 8.0  // squared difference of the rise from the usual
	costWished   = 80.0 // squared difference of the rise from the wished one, which is met to the nearest set
	costPeakWeek = 12.0 // squared difference of the largest week's place, as a share of the block
	costUneven   = 10.0 // squared difference of each week's sets from even steps, as a share of the largest
	costRests    = 1.0  // each step of shorter rests
	costLean     = 1.0  // a first week with less than half of the focus lifts' usual sets
	costAlike    = 1.5  // the same, and a week that grows alike instead of by shares
	costEffort   = 0.1  // squared differences of repetitions, reserve and weight from even steps, a week and exercise
	costNoRise   = 1e3  // no rise to speak of, where the goal is to develop
	// Days.
	costClose    = 2.0 // one lift on two days running
	costTwoHeavy = 2.0 // two heavy focus lifts in one session
	costPattern  = 0.7 // two lifts of a pattern in one session; a quarter on days running
	costBalance  = 3.0 // each tenth part that a session is over its share of the week's time
	costTooSoon  = 1e3 // the heaviest day less than a week after the largest week
	costEmptyDay = 1e3 // a day with nothing on it
	// Findings of the review of a finished draft.
	costWarning = 1e3
)
