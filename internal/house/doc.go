// Package house holds the tests that look at the module as a whole:
//
//   - imports point one way, and a scratch module can use a checkout;
//   - what is exported is recorded, documented and shown in examples;
//   - every command and program of the README and the guides runs and prints
//     what the page says, and links lead somewhere;
//   - the pages of formulas and findings say what the code says.
//
// Run them with -update to rewrite the record and the pages.
package house
