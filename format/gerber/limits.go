package gerber

// Limits that keep a hostile or broken file from eating memory: an image at
// the limit takes about one and a half gigabytes. The largest real board seen
// while writing this has 12 thousand objects on a layer.
const (
	maxObjects   = 4_000_000  // objects in one image, repeats counted
	maxVertices  = 30_000_000 // ring corners in one image, repeats counted
	maxWord      = 1 << 20    // bytes between two asterisks
	maxMacro     = 4 << 20    // bytes of one aperture macro
	maxPrimitive = 100_000    // primitives and assignments in one macro
	maxDepth     = 32         // nesting of blocks and steps, of parentheses in expressions
	maxApertures = 1_000_000  // definitions in one file
	maxWarnings  = 1000
	maxEntries   = 100_000 // attribute names, macros
)
