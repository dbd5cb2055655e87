package periodize

import "math"

// Rule describes a kind of finding. The table of [Rules] is what the manual
// prints and what tests go through.
type Rule struct {
	Code     string
	Severity Severity // the usual one; some rules go up to Problem in clear cases
	About    string   // what is found
	Default  string   // threshold, in words, where there is one
	Evidence string   // source, or common practice
	Advice   string   // what to do about it
}

const commonPractice = "common practice, no published source"

// Rules lists every kind of finding that a review can print, in the order in
// which they are checked.
func Rules() []Rule {
	return []Rule{
		{"below_minimum", Warning, "a weight under the lightest that can be loaded", "", "arithmetic on the gym's equipment", "use a lighter bar, another lift or a higher percentage"},
		{"above_stock", Warning, "a weight over the heaviest that can be loaded", "a problem from 1.5 times the heaviest", "arithmetic on the gym's equipment", "more plates are needed"},
		{"no_weight", Warning, "a weight asked of a lift that was swapped to one without equipment", "", "arithmetic on the gym's equipment", "swap to a lift that can be loaded, or tell the lifter how hard it should be"},
		{"swap_share", Note, "a lift that goes by a share of another's maximum is swapped to the lift that is done for that other one, and the share is lost", "", "arithmetic on the maxima", "swap to a lift with a share of its own, or take the difference off under adjust"},
		{"swapped_test", Warning, "a test day that works up to a maximum of a lift that is done instead of another", "", commonPractice, "where the swap spares an injury, leave the attempts out, and ask who treats it"},
		{"outside_curve", Warning, "repetitions for which no weight is predicted", "", "range of the repetitions relation", "give a percentage or a load"},
		{"extrapolated", Note, "a weight from the repetitions relation outside its published rows", "", "range of the repetitions relation", "treat it as a starting point"},
		{"over_maximum", Problem, "a set at more than the lifter's maximum", "over 100 % of the maximum, attempts of a test day apart", "arithmetic on the maximum", "a lower percentage, or check the maximum that was typed in"},
		{"old_set", Note, "a maximum that is old, or rests on sets from long before the block", "more than 90 days before day 1; a warning from a year on", commonPractice, "use recent sets, or test"},
		{"later_set", Warning, "a maximum that rests on sets dated after the block's first day", "", "the calendar", "check the dates"},
		{"reserve_off", Note, "a set predicted to leave far more than was asked", "more than 3 repetitions", "recovery model between sets and the gym's steps; the lower aim for novices is " + commonPractice, "another rounding, smaller plates, or aim: middle"},
		{"first_reserve", Note, "a reserve asked for the last set that is taken for the first", "", "recovery model between sets, near failure only", "none is needed"},
		{"impossible_set", Problem, "a set predicted to end before its last repetition", "even at the favourable end of the interval", "recovery model between sets, about 10 to 15 % of repetitions", "fewer repetitions, more rest or less weight"},
		{"doubtful_set", Warning, "a set whose middle prediction ends before its last repetition", "", "recovery model between sets, about 10 to 15 % of repetitions", "fewer repetitions, more rest or less weight"},
		{"idle_sets", Note, "main sets that leave so much in reserve that they do little", "more than 15 repetitions left in the heaviest set of a focus or support lift, so that the way up to it is apart", commonPractice, "more weight, or let the sets count as practice"},
		{"jump_lift", Warning, "a lift's sets grow abruptly from one week to the next", "more than 50 % and at least 4 sets", commonPractice + "; abrupt volume: Khalil and Saab 2016, Caterisano et al. 2019 (looked-up)", "spread the rise over more weeks"},
		{"jump_pattern", Warning, "a movement pattern's sets grow abruptly", "more than 60 % and at least 5 sets", commonPractice, "spread the rise over more weeks"},
		{"jump_muscle", Warning, "a muscle's sets grow abruptly", "more than 60 % and at least 5 sets", commonPractice, "spread the rise over more weeks"},
		{"abrupt_start", Warning, "the first week is far above what the lifter did before", "more than 50 %; 20 % for a novice or after 14 days off", "Caterisano et al. 2019, first weeks back carry less (looked-up); thresholds " + commonPractice, "start with fewer sets"},
		{"no_overreach", Warning, "a developmental block whose volume does not rise to a peak", "the largest week at least 15 % above the first", commonPractice + "; a short overload can help (Bell 2020, looked-up)", "let the sets climb over the first part"},
		{"no_cut", Warning, "volume is not cut after the largest week", "the next week at least 20 % smaller", commonPractice, "cut the sets at once after the overreach"},
		{"small_step_down", Warning, "too small a cut before the end to recover", "the last week, or the deload, at least 30 % under the largest", "strength tapers cut 41 to 59 % (Pritchard 2016, Grgic and Mikulic 2017, Travis 2021, looked-up); threshold " + commonPractice, "cut more sets, keep the weight"},
		{"large_step_down", Note, "so large a cut that training may be lost", "more than 80 % under the largest week for over a week", "tapers of trials cut 31 to 72 % (Travis 2020, secondary); threshold " + commonPractice, "keep a few heavy sets"},
		{"same_peak", Warning, "volume and intensity are highest in the same week", "", commonPractice, "put the heaviest week after the largest one"},
		{"heavy_too_soon", Warning, "the heaviest day follows the largest week too closely", "at least 7 days after the largest week's last session", "last heavy session 7 to 10 days after overload ends: powerlifters' habit (Travis 2021, looked-up); threshold " + commonPractice, "leave a lighter week between them"},
		{"weight_falls", Note, "a focus lift's heaviest set gets lighter during the block", "by more than 2 points; deload weeks, and weeks of a peaking block with sets cut by 20 %, apart", commonPractice, "let the weight climb throughout"},
		{"heavy_reps_rise", Note, "repetitions of the heavy sets go up outside the largest week", "sets from 80 %", commonPractice, "let them come down, with one step back up in the overreach at most"},
		{"reserve_order", Note, "heavy sets of more repetitions are asked to leave less in reserve than singles", "", commonPractice, "leave more room in the longer sets"},
		{"alike_days", Note, "all sessions of a focus lift in a week are of one kind", "within 3 points and one set of each other", commonPractice, "alternate a day with more sets and a day with more weight"},
		{"heavy_days_close", Warning, "heavy days for the same pattern lie too close", "less than 2 days apart, sets from 85 %", commonPractice, "put a day between them"},
		{"behind_over_front", Warning, "another lift carries more heavy work than the focus lift of its region", "sets from 80 %", commonPractice, "give the heavy work to the lift in front"},
		{"two_in_front", Warning, "more than one focus lift for a region", "", commonPractice, "put one lower and one upper lift in front"},
		{"max_without_deload", Warning, "a developmental block tests a maximum without a deload before it", "", commonPractice + "; deload 6.4 +/- 1.7 days is the habit (Rogerson 2024, looked-up)", "add a deload week"},
		{"missing_pattern", Note, "a basic movement pattern with no sets at all", "squat, hinge, push and pull", commonPractice, "add a set or two if nothing speaks against it"},
		{"missing_muscle", Note, "a large muscle with no sets at all", "", commonPractice, "add a set or two if nothing speaks against it"},
		{"few_sets", Note, "a muscle below the weekly sets that keep or build strength", "under 4 a week on average", "minimum about 4 sets a muscle and week (Iversen 2021, looked-up)", "add sets, or accept that it is kept and no more"},
		{"many_sets", Warning, "a muscle above the weekly sets that have been studied", "over 20 a week on average, or 30 in one week", "12 to 20 sets a good range for size (Baz-Valle 2022, looked-up); single week " + commonPractice, "take sets away"},
		{"over_time", Warning, "a session longer than its limit", "", "time model: tempo and rests of the ACSM stand 2009 (looked-up), the rest " + commonPractice, "fewer sets, pairs, or shorter rests"},
		{"rounding_moved", Note, "rounding to the gym's plates moved weights far from what was asked", "more than 2.5 %", "arithmetic on the gym's equipment", "smaller plates, or another rounding"},
	}
}

// rule finds a rule by its code.
func rule(code string) Rule {
	for _, r := range Rules() {
		if r.Code == code {
			return r
		}
	}
	return Rule{Code: code, Severity: Note, Evidence: commonPractice}
}

// Thresholds are where the checks of a review draw their lines. The zero value
// of each field stands for its default, as does NaN.
type Thresholds struct {
	IdleReserve     float64 // repetitions left, fresh; default 15
	JumpLift        float64 // rise of a lift's sets as a share; default 0.5
	JumpLiftSets    int     // and in sets; default 4
	JumpGroup       float64 // rise of a muscle's or pattern's sets as a share; default 0.6
	JumpGroupSets   float64 // and in sets; default 5
	StartRise       float64 // first week over recent weeks as a share; default 0.5
	StartRiseCare   float64 // the same for novices and after a lay-off; default 0.2
	LayOffDays      int     // default 14
	Overreach       float64 // rise of the largest week over the first; default 0.15
	CutAfter        float64 // fall of the week after the largest; default 0.2
	SmallStep       float64 // fall from the largest week to the last; default 0.3
	LargeStep       float64 // default 0.8
	DaysAfterLarge  int     // from the largest week to the heaviest day; default 7
	WeightFall      float64 // percentage points; default 2
	AlikePoints     float64 // percentage points; default 3
	HeavyDay        float64 // share of the maximum that makes a day heavy; default 0.85
	HeavyDaysApart  int     // days; default 2
	HeavyWork       float64 // share of the maximum of heavy work; default 0.8
	FewSets         float64 // a week; default 4
	ManySets        float64 // a week on average; default 20
	ManySetsOneWeek float64 // default 30
	RoundingMoved   float64 // share; default 0.025
	ReserveOff      float64 // repetitions more than asked; default 3
}

func (t Thresholds) withDefaults() Thresholds {
	for _, d := range []struct {
		to  *float64
		def float64
	}{
		{&t.IdleReserve, 15}, {&t.JumpLift, 0.5}, {&t.JumpGroup, 0.6}, {&t.JumpGroupSets, 5}, {&t.StartRise, 0.5},
		{&t.StartRiseCare, 0.2}, {&t.Overreach, 0.15}, {&t.CutAfter, 0.2}, {&t.SmallStep, 0.3}, {&t.LargeStep, 0.8},
		{&t.WeightFall, 2}, {&t.AlikePoints, 3}, {&t.HeavyDay, 0.85}, {&t.HeavyWork, 0.8}, {&t.FewSets, 4},
		{&t.ManySets, 20}, {&t.ManySetsOneWeek, 30}, {&t.RoundingMoved, 0.025}, {&t.ReserveOff, 3},
	} {
		if *d.to == 0 || math.IsNaN(*d.to) {
			*d.to = d.def
		}
	}
	for _, d := range []struct {
		to  *int
		def int
	}{
		{&t.JumpLiftSets, 4}, {&t.LayOffDays, 14}, {&t.DaysAfterLarge, 7}, {&t.HeavyDaysApart, 2},
	} {
		if *d.to == 0 {
			*d.to = d.def
		}
	}
	return t
}
