// Package keep keeps on disk what is costly to compute from a board's files:
// painted copper, meshes, elimination orders, suspects and what answers rest
// on. Each result is filed under a hash of everything that it was computed from
// and of the program that computed it, so that other files, other flags or
// another program never find it; nothing has to be declared out of date.
//
// Any number of processes may share one folder: a result is written to a file
// of its own and renamed into place. The folder is a convenience. What cannot
// be read, is damaged or is not ours counts as absent and is written anew, and
// what cannot be written is not kept: neither is an error.
//
// A nil *Store keeps nothing, and is what callers use to do without.
package cache
