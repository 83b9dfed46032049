// Package ohmward is the root of the program that finds where two nets of a
// circuit board touch that must be apart. It holds no code: the command is in
// cmd/ohmward, its use cases in internal/bench. The test here keeps imports
// running one way.
package ohmward
