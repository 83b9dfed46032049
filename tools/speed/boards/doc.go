// Package boards makes dense circuit boards for measuring speed: a family of
// one design in growing sizes, written as Gerber X2 layers and Excellon drill
// files. Equal sizes and seeds give equal files.
//
// A board is a field of square tiles of 6 mm. Each tile has a ten-pin part on
// top, five two-pin parts at the bottom, ten signal vias on its diagonal and
// four ground vias; signal layers lead 45 degree tracks from tile to tile;
// plane layers are one region per tile with an arc around every via; outer
// layers are a pour with its clearances painted clear. Nothing touches that
// must be apart, so the nets by geometry are those by name.
//
// A second kind, Large, is one IPC-2581 file of twelve copper layers with many
// parts: planes with antipads as cutouts and as negative circles, pad stacks,
// primitives by reference, line descriptions, arcs, a stack-up, nets and a bill
// of materials.
//
// Coordinates are nanometres, y up, the board's lower left corner at (0,0).
package boards
