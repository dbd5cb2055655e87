package estimate

// Ranges that the sources state, and one that they do not.
const (
	toTen    = "10 or fewer repetitions, as its source or its users advise"
	unstated = "not stated by the source; 1 to 10 taken, common practice, no published source"
)

// The citations that several equations share.
const (
	citeEpley    = "Epley B. Poundage chart. In: Boyd Epley Workout. Lincoln NE: Body Enterprises; 1985. p. 86 (citation from memory)"
	citeBrzycki  = "Brzycki M. Strength testing - predicting a one-rep max from reps-to-fatigue. JOPERD 1993;64(1):88-90"
	citeReynolds = "Reynolds JM, Gordon TJ, Robergs RA. Prediction of one repetition maximum strength from multiple repetition maximum testing and anthropometry. J Strength Cond Res 2006;20(3):584-592"
)

// equations are the scale-free equations, in the order of Equations. The
// coefficients keep the digits that were printed. Left out on purpose: rows
// that are recalled with doubt (Berger 1961, Naclerio 2009), rows whose unit is
// not confirmed (Dohoney 2002, Marzagao 2026), and the 2.5 percent rule, which
// codes rep maxima in a meta-analysis and predicts nothing.
var equations = [...]Equation{
	{
		ID: "epley", Name: "Epley 1985", Formula: "w*(1+r/30)", Family: "epley",
		Citation: citeEpley, Have: Secondary, Lift: "general", Population: "coach's poundage chart, no sample reported",
		From: 1, To: 10, Range: "not from a study; the chart is used to about 10", Limit: limitReps,
		form: formLinear, a: 1, b: 1.0 / 30,
	},
	{
		ID: "epley_0333", Name: "Epley, four-digit form", Formula: "w*(1+0.0333*r)", Family: "epley", VariantOf: "epley",
		Citation: citeEpley, Have: Memory, Lift: "general", Population: "coach's poundage chart, no sample reported",
		From: 1, To: 10, Range: "as epley", Limit: limitReps,
		form: formLinear, a: 1, b: 0.0333,
	},
	{
		ID: "welday", Name: "Welday 1988", Formula: "w+0.0333*w*r", Family: "epley", VariantOf: "epley",
		Citation: "Welday J. Should you check for strength with periodic max lifts? Scholastic Coach 1988;57(9):49-68",
		Have:     Memory, Lift: "general", Population: "not known",
		From: 1, To: 10, Range: unstated, Limit: limitReps, Note: "the same numbers as epley_0333",
		form: formLinear, a: 1, b: 0.0333,
	},
	{
		ID: "baechle", Name: "Baechle and Groves", Formula: "w*(1+0.033*r)", Family: "epley", VariantOf: "epley",
		Citation: "Baechle TR, Groves BR. Weight Training: Steps to Success. Human Kinetics (2000 edition used by Lacio 2010)",
		Have:     Memory, Lift: "general", Population: "not known",
		From: 1, To: 10, Range: unstated, Limit: limitReps, Note: "a third rounding of the Epley slope",
		form: formLinear, a: 1, b: 0.033,
	},
	{
		ID: "brzycki", Name: "Brzycki 1993, fraction form", Formula: "w*36/(37-r)", Family: "brzycki",
		Citation: citeBrzycki, Have: Secondary, Lift: "bench press and general", Population: "practitioner article, no sample reported",
		From: 1, To: 10, Range: "its author advises at most 10", Pole: 37, Limit: 31.6,
		Note: "equals epley exactly at 10 repetitions",
		form: formReciprocal, a: 37, b: 1, scale: 36,
	},
	{
		ID: "brzycki_dec", Name: "Brzycki 1993, decimal form", Formula: "w/(1.0278-0.0278*r)", Family: "brzycki", VariantOf: "brzycki",
		Citation: citeBrzycki, Have: Secondary, Lift: "bench press and general", Population: "practitioner article, no sample reported",
		From: 1, To: 10, Range: "as brzycki", Pole: 1.0278 / 0.0278, Limit: 31.57,
		Note: "2.78 is 100/36 rounded, which moves the pole under 37",
		form: formReciprocal, a: 1.0278, b: 0.0278, scale: 1,
	},
	{
		ID: "lander", Name: "Lander 1985", Formula: "100*w/(101.3-2.67123*r)", Family: "brzycki",
		Citation: "Lander J. Maximum based on reps. NSCA J 1985;6(6):60-61", Have: Secondary, Lift: "general", Population: "table in a journal, no sample reported",
		From: 1, To: 10, Range: "its table runs to about 10", Pole: 101.3 / 2.67123, Limit: 32.3,
		Note: "the shape of brzycki with its own rounding; also printed w/(1.013-0.0267123*r)",
		form: formReciprocal, a: 101.3, b: 2.67123, scale: 100,
	},
	{
		ID: "lombardi", Name: "Lombardi 1989", Formula: "w*r^0.10", Family: "lombardi",
		Citation: "Lombardi VP. Beginning Weight Training. Dubuque IA: W.C. Brown; 1989. p. 201 (attribution of the form from memory)",
		Have:     LookedUp, Lift: "general", Population: "textbook, no sample reported",
		From: 1, To: 10, Range: toTen, Limit: limitReps, Note: "grows very slowly",
		form: formPower, a: 0.10,
	},
	{
		ID: "mayhew1992", Name: "Mayhew et al. 1992", Formula: "100*w/(52.2+41.9*exp(-0.055*r))", Family: "mayhew",
		Citation: "Mayhew JL, Ball TE, Arnold MD, Bowen JC. Relative muscular endurance performance as a predictor of bench press strength in college men and women. J Appl Sport Sci Res 1992;6(4):200-206",
		Have:     Memory, Lift: "bench press", Population: "435 college students (number from memory)",
		From: 1, To: 15, Range: "loads of 55 to 95 %1RM, repetitions in one minute; used up to about 15", Limit: limitReps,
		Note: "overstates a true single by 8.9 %",
		form: formExponential, a: 52.2, b: 41.9, c: 0.055, scale: 100,
	},
	{
		ID: "oconner", Name: "O'Conner et al. 1989", Formula: "w*(1+0.025*r)", Family: "oconner",
		Citation: "O'Conner B, Simmons J, O'Shea P. Weight Training Today. St Paul MN: West Publishing; 1989. p. 26-33",
		Have:     Memory, Lift: "general", Population: "textbook, no sample reported",
		From: 1, To: 10, Range: toTen, Limit: limitReps, Note: "also spelled O'Connor",
		form: formLinear, a: 1, b: 0.025,
	},
	{
		ID: "wathen", Name: "Wathen 1994", Formula: "100*w/(48.8+53.8*exp(-0.075*r))", Family: "wathen",
		Citation: "Wathen D. Load assignment. In: Baechle TR, ed. Essentials of Strength Training and Conditioning. Champaign IL: Human Kinetics; 1994. p. 435-439",
		Have:     Memory, Lift: "general", Population: "textbook chapter, no sample reported",
		From: 1, To: 10, Range: unstated, Limit: limitReps, Note: "also spelled Wathan",
		form: formExponential, a: 48.8, b: 53.8, c: 0.075, scale: 100,
	},
	{
		ID: "adams", Name: "Adams 1994", Formula: "w/(1-0.02*r)", Family: "adams",
		Citation: "Adams GM. Exercise Physiology Laboratory Manual. 1994 (2nd) and 1998 (3rd) eds",
		Have:     Memory, Lift: "general", Population: "laboratory manual, no sample reported",
		From: 1, To: 10, Range: toTen, Pole: 50, Limit: 42.5,
		form: formReciprocal, a: 1, b: 0.02, scale: 1,
	},
	{
		ID: "brown", Name: "Brown 1992", Formula: "w*(0.9849+0.0328*r)", Family: "brown",
		Citation: "Brown HL. Lifetime Fitness. Scottsdale AZ: Gorsuch Scarisbrick; 1992",
		Have:     Memory, Lift: "general", Population: "textbook, no sample reported",
		From: 1, To: 10, Range: unstated, Limit: limitReps,
		form: formLinear, a: 0.9849, b: 0.0328,
	},
	{
		ID: "kemmler", Name: "Kemmler et al. 2006", Formula: "w*(0.988+0.0104*r+0.00190*r^2-0.0000584*r^3)", Family: "kemmler",
		Citation: "Kemmler WK, Lauber D, Wassermann A, Mayhew JL. Predicting maximal strength in trained postmenopausal woman. J Strength Cond Res 2006;20(4):838-842",
		Have:     LookedUp, Lift: "machine leg press, bench press, row, leg adduction", Population: "70 trained postmenopausal women, 57.4 (3.1) years",
		From: 3, To: 20, Range: "3-5, 6-10, 11-15 and 16-20 RM", Turn: kemmlerTurn, Limit: kemmlerTurn,
		Note: "a cubic: turns down past 24.15 repetitions, where it is refused",
		form: formCubic, a: 0.988, b: 0.0104, c: 0.00190, d: -0.0000584,
	},
	{
		ID: "reynolds_cp_exp", Name: "Reynolds et al. 2006, chest press nonlinear", Formula: "100*w/(55.51*exp(-0.0723*r)+48.47)", Family: "reynolds chest press",
		Citation: citeReynolds, Have: Memory, Lift: "flat barbell bench press", Population: "70 adults (34 men, 36 women), 18 to 69 years; fitted to group means",
		From: 1, To: 20, Range: "1, 5, 10 and 20 RM", Limit: limitReps, Note: "0.1 % under the load at one repetition",
		form: formExponential, a: 48.47, b: 55.51, c: 0.0723, scale: 100,
	},
	{
		ID: "reynolds_lp_exp", Name: "Reynolds et al. 2006, leg press nonlinear", Formula: "100*w/(78.17*exp(-0.0569*r)+26.41)", Family: "reynolds leg press",
		Citation: citeReynolds, Have: Memory, Lift: "plate-loaded leg press", Population: "70 adults (34 men, 36 women), 18 to 69 years; fitted to group means",
		From: 1, To: 20, Range: "1, 5, 10 and 20 RM", Limit: limitReps, Note: "0.3 % under the load at one repetition",
		form: formExponential, a: 26.41, b: 78.17, c: 0.0569, scale: 100,
	},
}

// kemmlerTurn is the positive root of the derivative of the cubic,
// 0.0104 + 2*0.00190 r - 3*0.0000584 r^2 = 0 (closed form in double precision).
const kemmlerTurn = 24.147730042994258
