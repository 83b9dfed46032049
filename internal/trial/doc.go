// Package trial hides invented shorts on a board and lets the engine find each,
// with the meter of a profile: how well the program would do there. The shorts
// lie on meshes and copper of their own, which the engine does not know. It
// gives sums and what became of each short; bench makes the answer.
package trial
