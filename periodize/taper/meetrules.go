package taper

import "slices"

// RuleBook is what a federation's rules say about the weights of attempts.
// Masses are in Unit. Rules change: Edition and Date say which text this is.
type RuleBook struct {
	ID        string
	Body      string
	Edition   string
	Date      string  // year or day of the edition; empty where not known
	Unit      string  // "kg" or "lb"
	Increment float64 // weights are multiples of it
	MinRise   float64 // least rise after a good lift
	Record    float64 // least rise over a record, which may break the increment; 0 where not known
	AfterGood float64 // rise when no attempt is handed in after a good lift; 0 where not known
	Attempts  int     // a lift

	How        How      // of the increment
	FromMemory []string // fields that are only remembered; confirm them with the meet
	Note       string
}

// RuleBooks lists the rules there are, the default first. The slice is the
// caller's own. They are no substitute for the rule book of the meet.
func RuleBooks() []RuleBook {
	return []RuleBook{
		{
			ID: "ipl-2019", Body: "IPL", Edition: "Rulebook 2019, item 6.1.1", Date: "2019", Unit: "kg",
			Increment: 2.5, MinRise: 2.5, AfterGood: 2.5, Attempts: 3, How: LookedUp, FromMemory: []string{"attempts"},
			Note: "a later attempt may not be lighter than one already failed; after a failed lift the default is the same load; 60 s to hand in the next attempt",
		},
		{
			ID: "ipf", Body: "IPF", Edition: "Technical Rules Book, order of competition; edition not confirmed", Unit: "kg",
			Increment: 2.5, MinRise: 2.5, Record: 0.5, AfterGood: 2.5, Attempts: 3, How: Memory,
			FromMemory: []string{"increment", "min_rise", "record", "after_good"},
			Note:       "three attempts a lift are looked up (rule 1(d)); the step is from memory and agrees with the IPL text",
		},
		{
			ID: "iwf", Body: "IWF", Edition: "Technical and Competition Rules and Regulations, section 6.5; edition not confirmed", Unit: "kg",
			Increment: 1, MinRise: 1, AfterGood: 1, Attempts: 3, How: LookedUp, FromMemory: []string{"min_rise", "after_good"},
			Note: "whole kilograms, rising through the session; a change of load must come before the final call, 30 s before the end of the time",
		},
		{
			ID: "iwf-2007", Body: "IWF", Edition: "notice of 29 January 2007, rule 5.5.10", Date: "2007-01-01", Unit: "kg",
			Increment: 1, MinRise: 1, AfterGood: 2, Attempts: 3, How: LookedUp,
			Note: "historic: automatic increase of 2 kg from the first to the second attempt; the third could rise by 1 kg",
		},
		{
			ID: "wppo", Body: "World Para Powerlifting", Edition: "rules as summarised by a national body; edition not confirmed", Unit: "kg",
			Increment: 1, MinRise: 1, Record: 0.5, Attempts: 3, How: LookedUp, FromMemory: []string{"increment", "attempts"},
			Note: "at least 1 kg after a good lift; a record attempt at least 0.5 kg above the record",
		},
		{
			ID: "gym-kg", Body: "none", Edition: "a test day without a federation", Unit: "kg",
			Increment: 2.5, MinRise: 2.5, Attempts: 3, How: Practice,
		},
		{
			ID: "gym-lb", Body: "none", Edition: "a test day without a federation", Unit: "lb",
			Increment: 5, MinRise: 5, Attempts: 3, How: Practice,
		},
	}
}

// RuleBookByID finds rules by their ID; the error is a *NameError.
func RuleBookByID(id string) (RuleBook, error) {
	books := RuleBooks()
	if i := slices.IndexFunc(books, func(b RuleBook) bool { return b.ID == id }); i >= 0 {
		return books[i], nil
	}
	var names []string
	for _, b := range books {
		names = append(names, b.ID)
	}
	return RuleBook{}, &NameError{Kind: "rules", Name: id, Choices: names}
}

// AttemptPattern is how a group of lifters spaced their attempts.
type AttemptPattern struct {
	OpenerOfThird float64 // opener as a fraction of the third attempt
	FirstRise     float64 // from first to second attempt, a fraction
	SecondRise    float64 // from second to third attempt
	Population    string
	Source        string
	How           How
	Note          string
}

// PublishedPattern is the one published pattern of attempts that was found. Its
// three rounded figures do not close exactly: 0.91 x 1.05 x 1.03 = 0.984.
func PublishedPattern() AttemptPattern {
	return AttemptPattern{
		OpenerOfThird: 0.91, FirstRise: 0.05, SecondRise: 0.03,
		Population: "elite classic powerlifters with nine good lifts, 66 men and 43 women, world championships 2012 to 2019",
		Source:     "Weight Selection Attempts of Elite Classic Powerlifters",
		How:        LookedUp,
		Note:       "lifters who made every attempt are a biased sample; men opened relatively heavier than women in bench press and deadlift",
	}
}
