package gerber

import "errors"

// Limits that keep a hostile or broken file from eating memory or time. An
// image at the limit takes some 200 MB; the largest layer seen while writing
// this has 13 thousand objects with 510 thousand corners.
const (
	maxWord      = 1 << 20   // bytes between two asterisks
	maxMacro     = 4 << 20   // bytes of one aperture macro
	maxPrimitive = 100_000   // primitives and assignments in one macro
	maxOutline   = 50_000    // corners of one macro's shapes before they are joined
	maxEvaluated = 256 << 20 // bytes of macro text evaluated for all apertures
	maxText      = 256 << 20 // bytes of attributes and macros kept
	maxDepth     = 32        // nesting of blocks and steps, of parentheses in expressions
	maxApertures = 1_000_000 // definitions in one file
	maxEntries   = 100_000   // attribute names, macros
)

// limits are those that tests lower.
type limits struct {
	objects int // in one image, repeats and open blocks counted
	corners int // of all rings, likewise
}

var usual = limits{objects: 1_000_000, corners: 4_000_000}

// errTooLarge marks what is refused for its size, not its form.
var errTooLarge = errors.New("too large")
