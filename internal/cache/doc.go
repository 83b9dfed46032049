// Package cache stores on disk what is costly to compute from a board's files:
// painted copper, meshes, elimination orders, suspects and what answers rest
// on. Each entry's key is a hash of everything that its result was computed
// from and of the program that computed it, so that other files, other flags
// or another program never hit it; nothing has to be invalidated.
//
// Any number of processes may share one folder: an entry is a file of its own,
// written whole or not at all. The least recently used entries are evicted to
// keep the folder within its bound. The folder is a convenience. What cannot
// be read, is damaged or is not ours is a miss and is computed anew, and what
// cannot be written is not stored: neither is an error.
//
// A nil *Store stores nothing, and is what callers use to do without.
package cache
