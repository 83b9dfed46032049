package ipc2581

// Limits that keep a hostile or broken file from eating memory or time.
const (
	maxDepth   = 64      // open elements
	maxRefs    = 16      // primitives that refer to primitives
	maxShared  = 64      // further pins of one pad
	maxEntries = 1 << 20 // names of each kind: primitives, parts, nets, pins
	maxRepeats = 1000    // copies placed by steps
	maxSides   = 1 << 20 // corners of one primitive
)

// limits are those that tests lower.
type limits struct {
	bytes   int64 // of the file
	token   int   // bytes of one tag, text or comment
	objects int   // painted, in all layers
	corners int   // of all rings, likewise
	visits  int   // primitives looked at while painting
}

var usual = limits{
	bytes: 4 << 30, token: 4 << 20, objects: 4_000_000, corners: 20_000_000, visits: 20_000_000,
}
