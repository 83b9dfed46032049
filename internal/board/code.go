package board

// Code names what a doubt or an error is about where a program can offer a way
// out. It stays the same whatever the words are; "" where there is none.
type Code string

// The codes.
const (
	Panel     Code = "panel"      // several copies of a board, read as one
	NoCopy    Code = "no-copy"    // the copy that was asked for is not there
	Hairline  Code = "hairline"   // slits that no fabricator etches
	DrillUnit Code = "drill-unit" // a drill file that fits the pads only when read otherwise
	Outline   Code = "outline"    // an outline that does not close by itself
	NoNames   Code = "no-names"   // files that name no nets
	Joined    Code = "joined"     // nets that the netlist keeps apart and the copper joins
	NoDrill   Code = "no-drill"   // no drill file
)
