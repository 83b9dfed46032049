package ipcd356

// Scale is a ratio of lengths; the zero Scale is one. It is another than one
// where a netlist's header says a unit that its places are not in.
type Scale struct {
	Times, Over int64 // lengths are multiplied by the one and divided by the other
}

// wrongUnits are the ratios between units that are taken for each other:
// 0.0001 inch and 0.001 mm, and a digit more or less.
var wrongUnits = []Scale{{254, 100}, {100, 254}, {10, 1}, {1, 10}}

// Length gives a length of the netlist in the other frame.
func (s Scale) Length(v int64) int64 {
	if s.Over == 0 {
		return v
	}
	half := s.Over / 2
	if v < 0 {
		half = -half
	}
	return (v*s.Times + half) / s.Over
}
