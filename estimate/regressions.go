package estimate

const (
	citePowerlifters = "Prediction of 1 repetition maximum in high-school power lifters. J Strength Cond Res 2003;17(1):167-172 (authors Kravitz L, Akalan C, Nowicki K, Kinzey SJ from memory)"
	citeAbadie       = "Abadie BR, Wentworth MC. Prediction of one repetition maximal strength from a 5-10 repetition submaximal strength test in college-aged females. JEPonline 2000;3(3) (the abstract also prints 4(2):1-6)"
	citeBraith       = "Braith RW, Graves JE, Leggett SH, Pollock ML. Effect of training on the relationship between maximal and submaximal strength. Med Sci Sports Exerc 1993;25(1):132-138"
	citeMacht        = "Macht JW, Abel MG, Mullineaux DR, Yates JW. Development of 1RM prediction equations for bench press in moderately trained men. J Strength Cond Res 2016;30(10):2901-2906"
	citeHetzler      = "Hetzler RK, Schroeder BL, Wages JJ, Stickley CD, Kimura IF. J Strength Cond Res 2010;24(6):1429-1439 (title, volume and pages from memory)"
	citeRoberts      = "Roberts TD, Smith RW, Arnett JE, Ortega DG, Schmidt RJ, Housh TJ. Cross-validation of equations for estimating 1 repetition maximum from repetitions to failure for the bench press and leg extension. J Strength Cond Res 2024"
	adults70         = "70 adults (34 men, 36 women), 18 to 69 years"
	powerlifters     = "18 elite male high-school powerlifters"
	falls            = "below it the printed answer falls as repetitions rise"
	intercept        = "below it the fixed intercept is more than a third of the answer (our limit)"
)

// regressions builds the table; it holds slices, so each caller gets its own.
// Left out on purpose: equations recalled from memory (Cummings and Finn 1998,
// Tucker 2006, the 225-lb equation of Mayhew 1999, Abadie 1999) and those whose
// unit is not confirmed (Dohoney 2002, Marzagao 2026).
func regressions() []Regression {
	load := []Measure{MeasureLoad, MeasureReps}
	return []Regression{
		{
			ID: "reynolds_cp_5rm", Name: "Reynolds et al. 2006, 5RM chest press", Formula: "1.1307*w+0.6999", Unit: Kilogram, Needs: load,
			Lift: "flat barbell bench press", Population: adults70, Citation: citeReynolds, Have: LookedUp, Error: "Sy.x 2.98 kg, R2 0.993",
			From: 5, To: 5, Range: "a 5RM only", LoadFrom: 1.3, LoadWhy: intercept, constant: 0.6999, load: 1.1307,
		},
		{
			ID: "reynolds_lp_5rm", Name: "Reynolds et al. 2006, 5RM leg press", Formula: "1.0970*w+14.2546", Unit: Kilogram, Needs: load,
			Lift: "plate-loaded leg press", Population: adults70, Citation: citeReynolds, Have: LookedUp, Error: "Sy.x 16.16 kg, R2 0.974",
			From: 5, To: 5, Range: "a 5RM only", LoadFrom: 26, LoadWhy: intercept, constant: 14.2546, load: 1.0970,
		},
		{
			ID: "kravitz_sq", Name: "High-school powerlifters 2003, squat", Formula: "159.9+0.103*r*w-11.552*r", Unit: Kilogram, Needs: load,
			Lift: "squat", Population: powerlifters, Citation: citePowerlifters, Have: LookedUp, Error: "SEE 5.06 kg",
			From: 1, To: 30, Range: "number of repetitions not stated; 1 to 30 taken, our limit", LoadFrom: 11.552 / 0.103, LoadWhy: falls, Share: 0.7, constant: 159.9, loadReps: 0.103, reps: -11.552,
			Note: "printed for a set at 70 %1RM",
		},
		{
			ID: "kravitz_bp", Name: "High-school powerlifters 2003, bench press", Formula: "90.66+0.085*r*w-5.306*r", Unit: Kilogram, Needs: load,
			Lift: "bench press", Population: powerlifters, Citation: citePowerlifters, Have: LookedUp, Error: "SEE 2.69 kg",
			From: 1, To: 30, Range: "number of repetitions not stated; 1 to 30 taken, our limit", LoadFrom: 5.306 / 0.085, LoadWhy: falls, Share: 0.7, constant: 90.66, loadReps: 0.085, reps: -5.306,
			Note: "printed for a set at 70 %1RM",
		},
		{
			ID: "kravitz_dl", Name: "High-school powerlifters 2003, deadlift", Formula: "156.08+0.098*r*w-12.106*r", Unit: Kilogram, Needs: load,
			Lift: "deadlift", Population: powerlifters, Citation: citePowerlifters, Have: LookedUp,
			From: 1, To: 30, Range: "number of repetitions not stated; 1 to 30 taken, our limit", LoadFrom: 12.106 / 0.098, LoadWhy: falls, Share: 0.8, constant: 156.08, loadReps: 0.098, reps: -12.106,
			Note: "printed for a set at 80 %1RM",
		},
		{
			ID: "abadie_cp", Name: "Abadie and Wentworth 2000, chest press", Formula: "7.24+1.05*w", Unit: Pound, Needs: load,
			Lift: "chest press machine", Population: "30 women, 19 to 26 years", Citation: citeAbadie, Have: LookedUp, Error: "SEE 2.5 kg, r 0.91",
			From: 5, To: 10, Range: "5 to 10 RM", LoadFrom: 13.8, LoadWhy: intercept, constant: 7.24, load: 1.05,
			Note: "coefficients are for pounds although the abstract gives means in kilograms",
		},
		{
			ID: "abadie_sp", Name: "Abadie and Wentworth 2000, shoulder press", Formula: "1.43+1.20*w", Unit: Pound, Needs: load,
			Lift: "shoulder press machine", Population: "30 women, 19 to 26 years", Citation: citeAbadie, Have: LookedUp,
			From: 5, To: 10, Range: "5 to 10 RM", LoadFrom: 2.4, LoadWhy: intercept, constant: 1.43, load: 1.20,
			Note: "coefficients are for pounds although the abstract gives means in kilograms",
		},
		{
			ID: "braith_untrained", Name: "Braith et al. 1993, untrained", Formula: "1.554*w-5.181", Unit: Kilogram, Needs: load,
			Lift: "machine knee extension", Population: "33 men and 25 women, 25 (5) years, before training", Citation: citeBraith, Have: LookedUp, Error: "SEE 9.3 kg, R2 0.89",
			From: 7, To: 10, Range: "7 to 10 RM", LoadFrom: 5.181 / 0.554, LoadWhy: "below it the answer is under the load", constant: -5.181, load: 1.554,
			Note: "overpredicts once the same people are trained",
		},
		{
			ID: "braith_trained", Name: "Braith et al. 1993, trained", Formula: "1.172*w+7.704", Unit: Kilogram, Needs: load,
			Lift: "machine knee extension", Population: "the same people after 18 weeks", Citation: citeBraith, Have: LookedUp, Error: "SEE 9.9 kg, R2 0.91",
			From: 7, To: 10, Range: "7 to 10 RM", LoadFrom: 13.15, LoadWhy: intercept, constant: 7.704, load: 1.172,
		},
		{
			ID: "macht_perf", Name: "Macht et al. 2016, performance", Formula: "1.20*w+2.19*r-0.56*biacromial_cm+9.6", Unit: Kilogram,
			Needs: []Measure{MeasureLoad, MeasureReps, MeasureBiacromial},
			Lift:  "bench press", Population: "60 moderately trained men, 21.2 (2.4) years", Citation: citeMacht, Have: LookedUp, Error: "SEE 3.5 kg, R2 0.99",
			From: 1, To: 20, Range: "not stated (a randomly assigned load); 1 to 20 taken, our limit", constant: 9.6, load: 1.20, reps: 2.19, other: []term{{MeasureBiacromial, -0.56}},
		},
		{
			ID: "macht_anthro", Name: "Macht et al. 2016, anthropometric", Formula: "0.997*CSA_cm2+0.401*chest_cm-0.385*pct_fat-0.185*arm_cm+36.7", Unit: Kilogram,
			Needs: []Measure{MeasureArmArea, MeasureChestGirth, MeasureBodyFat, MeasureArmLength},
			Lift:  "bench press", Population: "60 moderately trained men, 21.2 (2.4) years", Citation: citeMacht, Have: LookedUp, Error: "SEE 13.0 kg, R2 0.81",
			constant: 36.7, other: []term{{MeasureArmArea, 0.997}, {MeasureChestGirth, 0.401}, {MeasureBodyFat, -0.385}, {MeasureArmLength, -0.185}},
			Note: "needs no lift; which arm measure the abstract means is not said there, arm length is taken (the coefficient is negative)",
		},
		{
			ID: "hetzler", Name: "Hetzler et al. 2010, 225-lb test", Formula: "299.08+2.47*arm_girth_cm-4.60*arm_length_cm+5.84*reps", Unit: Pound,
			Needs: []Measure{MeasureLoad, MeasureReps, MeasureArmGirth, MeasureArmLength},
			Lift:  "bench press", Population: "87 Division IA football players", Citation: citeHetzler, Have: LookedUp, Error: "SEE 18.3 lb",
			From: 1, To: 30, Range: "14.1 (8.0) repetitions with 225 lb; two standard deviations taken, our limit", Fixed: 225,
			constant: 299.08, reps: 5.84, other: []term{{MeasureArmGirth, 2.47}, {MeasureArmLength, -4.60}},
			Note: "the printed mean maximum is met with an arm length near 37 cm, that is, of the upper arm",
		},
		{
			ID: "roberts_bp", Name: "Roberts et al. 2024, bench press", Formula: "w*r^0.1+1.49", Unit: Kilogram, Needs: load,
			Lift: "bench press", Population: "39 recreationally active men", Citation: citeRoberts, Have: LookedUp,
			From: 4, To: 10, Range: "4 to 10 repetitions to failure near 80 %1RM", LoadFrom: 2.7, LoadWhy: intercept, constant: 1.49, power: 0.1,
			Note: "the offset is the constant error of their own sample; a later study found that such offsets do not carry over",
		},
		{
			ID: "roberts_le", Name: "Roberts et al. 2024, leg extension", Formula: "w*r^0.1+1.06", Unit: Kilogram, Needs: load,
			Lift: "leg extension", Population: "43 recreationally active men", Citation: citeRoberts, Have: LookedUp,
			From: 4, To: 10, Range: "4 to 10 repetitions to failure near 80 %1RM", LoadFrom: 1.9, LoadWhy: intercept, constant: 1.06, power: 0.1,
			Note: "the offset is the constant error of their own sample; a later study found that such offsets do not carry over",
		},
	}
}
