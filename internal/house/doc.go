// Package house holds the tests that look at the module as a whole: which way
// its imports point, that a scratch module can use a checkout, and that every
// command the README shows runs and says what the README says.
package house
