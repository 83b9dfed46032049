// Package locate says where a short is: the posterior over listed places from
// readings and findings, how well it fits, which reading to take next and
// when to stop.
//
// It is independent of how the copper is solved. For a place s the reading k
// is taken as
//
//	y_k = Σ_l κ_l·c_kl(s) + d_k·Rs + w_k·z + ε_k
//
// with c_kl(s) the copper coefficients that the caller supplies, copper
// factors κ Gaussian around 1 (one common, one per component on top), the
// resistance Rs of the short with a log-uniform prior by kind of place, one
// lead residue z per null of the leads, and ε_k the noise of the touch:
// Gaussian, or skewed upward for tips held by hand. Where in its cell of the
// sample grid the short lies is one more Gaussian unknown, so a coarse grid
// costs sharpness but not honesty. κ, z and the cell are integrated in closed
// form (skewed noise: by Laplace's method, exact for the Gaussian), Rs on a
// grid that follows the likelihood.
//
// Units are SI, except plan coordinates and distances whose names end in MM.
// Slices stay the caller's; nothing is kept after a call but Case in the
// Posterior, which must not be changed while the Posterior is in use. A
// Posterior is safe for concurrent readers.
package locate
