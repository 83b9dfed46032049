// Package ohmward is the engine behind the command: it reads the fabrication
// files of a circuit board, knows the copper's resistance from every point to
// every point, and says where two shorted nets touch, from a few readings in
// milliohms.
//
// OpenBoard reads a board; Board.Resistance predicts the copper between two
// places; Board.Pair solves two nets and lists every place where they could
// touch; Pair.Locate weighs those by readings and findings; the Posterior names
// the place, how sure that is, and the reading to take next.
//
// Quantities are SI (package unit), coordinates nanometres in the fabrication
// files' own frame, y up (package geom). Nothing is printed and no file is
// written. Contexts cancel, and WithProgress tells how far work has come. An
// error of the input or the work is an *Error. All types may be used from
// several goroutines at once.
package ohmward
