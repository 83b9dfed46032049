// Package engine binds physics and inference together: a Board is a board with
// the nets that its copper makes, a Pair two of its nets with their copper
// solved, a Locator a pair with the readings and findings of a case, a Result
// what they say about the place. Answers in words and JSON are made elsewhere.
//
// Lengths are nanometres in geometry and metres elsewhere, resistances ohms;
// places are written as a case file has them. A Board may be used by several
// goroutines at once; a Pair by several too, as long as its Predictions are nil
// or one goroutine at a time weighs. Errors are Error values, or errors of the
// packages above with the hint behind a line break (AsError tells them apart).
package engine
