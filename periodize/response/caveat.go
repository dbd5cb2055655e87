package response

// Sentences that belong beside every output of these models. They are constants
// so that a test can hold a program to printing them.
const (
	// AllOrNothing is the defect that keeps this package from offering an
	// optimal load.
	AllOrNothing = "The plain fitness-fatigue model is linear in every load, so its optimum is all-or-nothing: full load, then none for the last days. That is a defect of the model, not advice, and no optimal load is offered."

	// NoBarbellParameters is why a forecast runs over a list.
	NoBarbellParameters = "No human barbell parameters for this model are published; every parameter set used here is assumed, not measured on lifters."

	// AssumedMark stands beside each parameter set.
	AssumedMark = "assumed, not measured on lifters"

	// NotAPrediction is what the band can be used for.
	NotAPrediction = "Use it to compare plans that a coach wrote, not to predict a performance: such models describe better than they predict (Imbach et al. 2022)."

	// GoodFitUncertain is how little a good fit pins down.
	GoodFitUncertain = "Even a good fit is uncertain: in nine swimmers, with a mean R2 of 0.79, the time to recover from a session had a bootstrap interval of 7 to 35 days (Hellard et al. 2006)."

	// NoSinglePoint belongs beside fitted parameters.
	NoSinglePoint = "Fitted parameters are so strongly correlated that single values mean nothing; look at the intervals (Hellard et al. 2006)."
)

// Caveats lists the sentences for a forecast, the two that must be printed
// first.
func Caveats() []string {
	return []string{AllOrNothing, NoBarbellParameters, NotAPrediction, GoodFitUncertain}
}
