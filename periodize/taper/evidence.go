package taper

import (
	"slices"
	"strings"
)

// How says how a published figure was obtained.
type How string

// The marks. Figures that are only remembered are not in [Published].
const (
	LookedUp  How = "looked-up"            // read in the publication or its abstract
	Abstract  How = "looked-up (abstract)" // read in the abstract
	Secondary How = "secondary"            // read in someone else's summary
	Memory    How = "from memory"          // recalled, not confirmed
	Practice  How = "common practice, no published source"
)

// Sport says whom a figure was found in. What is found in endurance athletes is
// not evidence about a maximum in the squat, and is labelled.
type Sport string

// The sports.
const (
	Strength  Sport = "strength"
	Endurance Sport = "endurance"
	Mixed     Sport = "endurance and strength"
)

// Evidence is one published figure about tapering, as printed.
type Evidence struct {
	ID         string // such as "T-46"; rules and findings refer to it
	Sport      Sport
	Kind       string // meta-analysis, review, practice survey, experiment, observational, simulation
	Source     string
	How        How
	Population string
	N          string // as printed: a number of athletes or "27 studies"
	Parameter  string
	Value      string
	Spread     string // SD unless the note says otherwise
	Unit       string
	Note       string
}

// Words is the figure in a line: "volume cut: 58.9 (8.4) %". Where several stand in one row, the parts of the parameter,
// the values, their spreads and units are put together one by one: "duration 7-28 d; volume cut 31-72 %".
func (e Evidence) Words() string {
	head, names := "", strings.Split(e.Parameter, " ; ")
	if before, after, ok := strings.Cut(e.Parameter, ": "); ok {
		head, names = before+": ", strings.Split(after, " ; ")
	}
	values := strings.Split(e.Value, " ; ")
	if len(values) == 1 || len(values) != len(names) {
		return strings.Trim(e.Parameter+": "+quantity(e.Value, e.Spread, e.Unit), ": ")
	}
	spreads, units := strings.Split(e.Spread, " ; "), strings.Split(e.Unit, " ; ")
	of := func(list []string, i int) string { return list[min(i, len(list)-1)] }
	var parts []string
	for i, n := range names {
		parts = append(parts, n+" "+quantity(values[i], of(spreads, i), of(units, i)))
	}
	return head + strings.Join(parts, "; ")
}

func quantity(value, spread, unit string) string {
	if spread != "" {
		value += " (" + spread + ")"
	}
	return strings.TrimSpace(value + " " + unit)
}

// Published is the evidence, strength first, each part in the order of its
// numbers. The slice is the caller's own.
func Published() []Evidence {
	e := slices.Clone(published[:])
	slices.SortStableFunc(e, func(a, b Evidence) int { return rank(a.Sport) - rank(b.Sport) })
	return e
}

func rank(s Sport) int { return slices.Index([]Sport{Strength, Mixed, Endurance}, s) }

// EvidenceByID finds one figure; ok is false where there is none.
func EvidenceByID(id string) (e Evidence, ok bool) {
	for _, e := range published {
		if e.ID == id {
			return e, true
		}
	}
	return Evidence{}, false
}

// published is copied from the literature table of the module's testdata
// (taper-published.csv), less the rows that are from memory.
var published = [...]Evidence{
	{"T-01", Endurance, "meta-analysis", "Bosquet et al. 2007, Med Sci Sports Exerc 39(8):1358-1365", LookedUp, "competitive endurance athletes", "27 studies", "effect, volume cut 41-60 %", "0.72", "0.36", "SMD", "the printed spread is the 95 % half-width"},
	{"T-02", Endurance, "meta-analysis", "Bosquet et al. 2007, Med Sci Sports Exerc 39(8):1358-1365", LookedUp, "competitive endurance athletes", "27 studies", "effect, 2-week duration", "0.59", "0.33", "SMD", "p<0.001"},
	{"T-03", Endurance, "meta-analysis", "Bosquet et al. 2007, Med Sci Sports Exerc 39(8):1358-1365", LookedUp, "competitive endurance athletes", "27 studies", "effect, intensity kept", "0.33", "0.14", "SMD", ""},
	{"T-04", Endurance, "meta-analysis", "Bosquet et al. 2007, Med Sci Sports Exerc 39(8):1358-1365", LookedUp, "competitive endurance athletes", "27 studies", "effect, frequency kept", "0.35", "0.17", "SMD", ""},
	{"T-19", Endurance, "meta-analysis", "Wang et al. 2023, PLoS ONE 18(5):e0282838", LookedUp, "endurance athletes", "14 studies", "best form", "cut 41-60 %, keep intensity and frequency, up to 21 d", "", "", "time trial SMD -0.45; time to exhaustion 1.28; pre-taper overload helps; no change in maximal oxygen uptake"},
	{"T-20", Endurance, "review", "Mujika & Padilla 2003, Med Sci Sports Exerc 35(7):1182-1187", LookedUp, "mainly endurance", "", "volume cut", "60-90", "", "%", ""},
	{"T-21", Endurance, "review", "Mujika & Padilla 2003, Med Sci Sports Exerc 35(7):1182-1187", LookedUp, "mainly endurance", "", "frequency cut", "no more than 20", "", "%", ""},
	{"T-22", Endurance, "review", "Mujika & Padilla 2003, Med Sci Sports Exerc 35(7):1182-1187", LookedUp, "mainly endurance", "", "duration", "4 to more than 28", "", "d", ""},
	{"T-23", Endurance, "review", "Mujika & Padilla 2003, Med Sci Sports Exerc 35(7):1182-1187", LookedUp, "mainly endurance", "", "performance gain", "3", "0.5-6.0", "%", "progressive non-linear forms better than step"},
	{"T-24", Endurance, "experiment", "Banister, Carter & Zarkadas 1999, Eur J Appl Physiol 79(2):182-191", LookedUp, "triathletes", "", "exponential tau=5 d against step", "better in cycle ergometry (p<=0.05); run better, not significant", "", "", "after a 28-d square wave"},
	{"T-25", Endurance, "experiment", "Banister, Carter & Zarkadas 1999, Eur J Appl Physiol 79(2):182-191", LookedUp, "triathletes", "", "tau=4 d against tau=8 d", "fast better in cycle ergometry (p<=0.05); run better, not significant", "", "", ""},
	{"T-26", Endurance, "simulation", "Thomas & Busso 2005, Med Sci Sports Exerc 37(9):1615-1621", LookedUp, "model of 6 subjects", "6", "best taper without overload: cut ; duration", "30.8 ; 19.3", "11.8 ; 2.3", "% ; d", "variable dose-response model"},
	{"T-27", Endurance, "simulation", "Thomas & Busso 2005, Med Sci Sports Exerc 37(9):1615-1621", LookedUp, "model of 6 subjects", "6", "overload used", "+20 for 28 d", "", "%", ""},
	{"T-28", Endurance, "simulation", "Thomas & Busso 2005, Med Sci Sports Exerc 37(9):1615-1621", LookedUp, "model of 6 subjects", "6", "best taper after overload: cut ; duration", "39.3 ; 28.0", "9.9 ; 5.1", "% ; d", ""},
	{"T-29", Endurance, "simulation", "Thomas & Busso 2005, Med Sci Sports Exerc 37(9):1615-1621", LookedUp, "model of 6 subjects", "6", "best performance after overload: progressive ; step", "102.2 ; 101.8", "1.7 ; 1.5", "% of performance at the optimal daily load", "p<0.005; without overload no difference"},
	{"T-30", Strength, "practice survey", "Pritchard et al. 2016, J Strength Cond Res 30(7):1796-1804", LookedUp, "elite raw powerlifters, New Zealand", "11", "volume peak before contest", "5.2", "1.7", "wk", "intensity kept or slightly reduced; deadlift said to need longest recovery"},
	{"T-31", Strength, "practice survey", "Pritchard et al. 2016, J Strength Cond Res 30(7):1796-1804", LookedUp, "elite raw powerlifters, New Zealand", "11", "intensity peak before contest", "1.9", "0.8", "wk", "intensity kept or slightly reduced; deadlift said to need longest recovery"},
	{"T-32", Strength, "practice survey", "Pritchard et al. 2016, J Strength Cond Res 30(7):1796-1804", LookedUp, "elite raw powerlifters, New Zealand", "11", "volume cut", "58.9", "8.4", "%", "intensity kept or slightly reduced; deadlift said to need longest recovery"},
	{"T-33", Strength, "practice survey", "Pritchard et al. 2016, J Strength Cond Res 30(7):1796-1804", LookedUp, "elite raw powerlifters, New Zealand", "11", "last session before contest", "3.7", "1.6", "d", "intensity kept or slightly reduced; deadlift said to need longest recovery"},
	{"T-34", Strength, "practice survey", "Pritchard et al. 2016, J Strength Cond Res 30(7):1796-1804", LookedUp, "elite raw powerlifters, New Zealand", "11", "assistance work removed before contest", "about 2", "", "wk", "intensity kept or slightly reduced; deadlift said to need longest recovery"},
	{"T-35", Strength, "practice survey", "Pritchard et al. 2016, J Strength Cond Res 30(7):1796-1804", LookedUp, "elite raw powerlifters, New Zealand", "11", "training stopped this long judged too long", "7 or more", "", "d", "intensity kept or slightly reduced; deadlift said to need longest recovery"},
	{"T-36", Strength, "practice survey", "Pritchard et al. 2016, J Strength Cond Res 30(7):1796-1804", Secondary, "elite raw powerlifters, New Zealand", "11", "taper starts before contest", "16.8", "6.3", "d", ""},
	{"T-37", Strength, "practice survey", "Grgic & Mikulic 2017, J Strength Cond Res 31(9):2371-2378", LookedUp, "open-class powerlifters, Croatia", "10", "volume cut", "50.5", "11.7", "%", "step or fast exponential; assistance removed"},
	{"T-38", Strength, "practice survey", "Grgic & Mikulic 2017, J Strength Cond Res 31(9):2371-2378", LookedUp, "open-class powerlifters, Croatia", "10", "intensity peak before contest", "8", "3", "d", "step or fast exponential; assistance removed"},
	{"T-39", Strength, "practice survey", "Grgic & Mikulic 2017, J Strength Cond Res 31(9):2371-2378", LookedUp, "open-class powerlifters, Croatia", "10", "frequency cut in final week", "47.9", "17.5", "%", "step or fast exponential; assistance removed"},
	{"T-40", Strength, "practice survey", "Grgic & Mikulic 2017, J Strength Cond Res 31(9):2371-2378", LookedUp, "open-class powerlifters, Croatia", "10", "last session before contest", "3", "1", "d", "step or fast exponential; assistance removed"},
	{"T-41", Strength, "practice survey", "Grgic & Mikulic 2017, J Strength Cond Res 31(9):2371-2378", Secondary, "open-class powerlifters, Croatia", "10", "taper starts before contest", "18", "8", "d", ""},
	{"T-42", Strength, "practice survey", "Travis et al. 2021, J Strength Cond Res 35(12S):S26-S35", LookedUp, "raw powerlifters, United States and Canada", "364", "highest volume before contest", "5-8", "", "wk", "step taper commonest"},
	{"T-43", Strength, "practice survey", "Travis et al. 2021, J Strength Cond Res 35(12S):S26-S35", LookedUp, "raw powerlifters, United States and Canada", "364", "highest intensity before contest", "2", "", "wk", "step taper commonest"},
	{"T-44", Strength, "practice survey", "Travis et al. 2021, J Strength Cond Res 35(12S):S26-S35", LookedUp, "raw powerlifters, United States and Canada", "364", "taper length, commonest", "7-10", "", "d", "step taper commonest"},
	{"T-45", Strength, "practice survey", "Travis et al. 2021, J Strength Cond Res 35(12S):S26-S35", LookedUp, "raw powerlifters, United States and Canada", "364", "volume cut, commonest", "41-50", "", "%", "step taper commonest"},
	{"T-46", Strength, "practice survey", "Travis et al. 2021, J Strength Cond Res 35(12S):S26-S35", LookedUp, "raw powerlifters, United States and Canada", "364", "last heavy (>85 %) squat and deadlift", "7-10", "", "d out", "step taper commonest"},
	{"T-47", Strength, "practice survey", "Travis et al. 2021, J Strength Cond Res 35(12S):S26-S35", LookedUp, "raw powerlifters, United States and Canada", "364", "last heavy bench press", "less than 7", "", "d out", "step taper commonest"},
	{"T-48", Strength, "practice survey", "Travis et al. 2021, J Strength Cond Res 35(12S):S26-S35", LookedUp, "raw powerlifters, United States and Canada", "364", "last heavy singles", "90.0-92.5", "", "% 1RM", "step taper commonest"},
	{"T-49", Strength, "practice survey", "Travis et al. 2021, J Strength Cond Res 35(12S):S26-S35", LookedUp, "raw powerlifters, United States and Canada", "364", "last session squat and bench", "75-80", "", "% 1RM", "step taper commonest"},
	{"T-50", Strength, "practice survey", "Travis et al. 2021, J Strength Cond Res 35(12S):S26-S35", LookedUp, "raw powerlifters, United States and Canada", "364", "last session deadlift", "70-75", "", "% 1RM", "step taper commonest"},
	{"T-51", Strength, "practice survey", "Travis et al. 2021, J Strength Cond Res 35(12S):S26-S35", LookedUp, "raw powerlifters, United States and Canada", "364", "sets x reps in taper: squat ; bench ; deadlift", "3x2 ; 3x3 ; 3x1", "", "", "step taper commonest"},
	{"T-52", Strength, "practice survey", "Winwood et al. 2023, J Strength Cond Res 37(4):829-839", LookedUp, "weightlifters", "146", "taper length", "8.0", "4.4", "d", "intensity and duration fall, frequency kept or reduced"},
	{"T-53", Strength, "practice survey", "Winwood et al. 2023, J Strength Cond Res 37(4):829-839", LookedUp, "weightlifters", "146", "volume cut", "43.1", "14.6", "%", "intensity and duration fall, frequency kept or reduced"},
	{"T-54", Strength, "practice survey", "Winwood et al. 2023, J Strength Cond Res 37(4):829-839", LookedUp, "weightlifters", "146", "training stops before contest", "1.5", "0.6", "d", "intensity and duration fall, frequency kept or reduced"},
	{"T-55", Strength, "practice survey", "Winwood et al. 2023, J Strength Cond Res 37(4):829-839", LookedUp, "weightlifters", "146", "taper used: linear ; step", "36 ; 33", "", "%", "intensity and duration fall, frequency kept or reduced"},
	{"T-56", Strength, "practice survey", "Winwood et al. 2023, J Strength Cond Res 37(4):829-839", LookedUp, "weightlifters", "146", "athletes who taper", "99", "", "%", "intensity and duration fall, frequency kept or reduced"},
	{"T-57", Strength, "experiment", "Pritchard et al. 2018, J Strength Cond Res 32(2):458-465", LookedUp, "trained men", "8", "3.5 d against 5.5 d without training", "no difference; jump height ES 0.30 and isometric bench ES 0.21 from start to after cessation", "", "", "2-4 d off is safe"},
	{"T-58", Strength, "experiment", "Pritchard et al. 2019, Int J Sports Physiol Perform 14(4):458-463", LookedUp, "trained men", "11", "1-week taper, volume cut about 70 %: intensity +5.9 % against -8.5 %", "no significant difference; jump 38.0 to 39.3 to 40.0 cm; pull 34.7 to 35.9 N/kg", "", "", "small effects favour the heavier taper"},
	{"T-59", Strength, "experiment", "Travis et al. 2021, Front Physiol 12:735932", Abstract, "powerlifters", "16", "1-wk overreach + 1-wk step against 1-wk overreach + 3-wk exponential", "all three lifts and total rose (squat, bench, total p<0.001; deadlift p=0.024)", "", "", "start 1RM 174.7 ; 118.5 ; 189.9 kg; a citing paper says intensity was cut by up to 25 %"},
	{"T-60", Strength, "experiment", "Burke et al. 2023, J Strength Cond Res 37(12):e625-e632", LookedUp, "powerlifters", "12", "2 d against 4 d off after a 1-wk step taper", "2 d: bench g 0.10, total g 0.11; 4 d: deadlift g 0.11 but bench g -0.13", "", "", "bench loses, deadlift gains with longer rest"},
	{"T-61", Strength, "review", "Pritchard et al. 2015, Strength Cond J 37(2)", Abstract, "strength", "", "training stopped: keep ; improve", "less than 7 ; 2-4", "", "d", "cut volume, keep or slightly raise intensity"},
	{"T-62", Strength, "review", "Travis et al. 2020, Sports 8(9):125", Secondary, "strength sports", "", "duration ; volume cut ; intensity change", "7-28 ; 31-72 ; -25 to +5.9", "", "d ; % ; %", "shorter (about 2 wk) with 30-50 % cut looked best; gains only with 7 or fewer days off"},
	{"T-63", Mixed, "review", "Murach & Bagley 2015, Sports 3(3):209-218", Abstract, "endurance, strength, power", "", "rule", "keep intensity, cut volume", "", "", "numbers not in abstract"},
	{"T-64", Strength, "observational", "Coyne et al. 2021, Int J Sports Physiol Perform 16(3):342-352", LookedUp, "elite weightlifters, 8 wk to a qualifier", "21", "link of load indices on the day to performance", "none consistent", "", "", "volatility of the acute:chronic ratio over the last 21 d correlates r=-0.41 to 0.48; simple moving average explained more than EWMA"},
	{"T-65", Endurance, "observational", "Hellard et al. 2013, J Sports Sci Med 12:668-678", Abstract, "elite swimmers", "32", "design", "3 wk overload + 3 wk taper", "", "", "values not in the part seen"},
}
