// A module of its own, as a program elsewhere would have it: it builds on what
// the engine exports, and on nothing inside.
module example.org/library

go 1.26.0

require ohmward v0.0.0

replace ohmward => ../..
