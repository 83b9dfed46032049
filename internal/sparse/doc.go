// Package sparse solves A x = b for sparse symmetric positive definite A, and
// evaluates many products v' A⁻¹ w of sparse vectors at little cost each.
//
// The steps are the usual ones, each with its own type:
//
//	Builder -> Matrix              sums entries
//	Dissect -> Order               nested dissection on plan coordinates
//	Analyse -> Symbolic            elimination tree, supernodes, storage
//	Symbolic.Factor -> Factor      P A P' = L L', multifrontal, all cores
//	Factor.Solve, SolveMany        x = A⁻¹ b
//	Factor.ForwardMany -> Path     L⁻¹ P v on the elimination path of v only
//	Dot, Gram                      v' A⁻¹ w from two paths
//	AnalyseWithin                  iterates where a factor does not fit
//
// The package knows no physics and no units. Indices in the interface are
// always the caller's ("old") numbering; "new" numbers are those of the
// elimination order. A caller's mistake (an index out of range, a vector of
// the wrong length) panics; a property of the data (a matrix that is not
// positive definite) is an error.
//
// Results do not depend on the number of cores in use: the tree is cut into
// the same tasks whatever GOMAXPROCS is and every sum has a fixed order. They
// may differ in the last bits between processors with and without fused
// multiply-add.
//
// Symbolic, Factor and Path are read-only once made and safe for concurrent
// use. Slices passed in are not retained, except that a Symbolic keeps the
// index slices of the Matrix it analysed and a Factor the Matrix it was made
// of, to check the residual of every solution (Factor.Err).
package sparse
