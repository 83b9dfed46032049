package cli

import "ohmward/internal/bench"

// options gives the figures that the flags say. This file alone knows how
// flags become the options of package bench.
func (f *boardFlags) options() bench.Options {
	return bench.Options{
		Copper: f.copper, Plating: f.plating, Thickness: f.thickness, Tip: f.tip, Close: f.close, Etch: f.etch,
		Temp: f.temp, Filled: f.filled, Ties: f.ties, TieEdits: f.tieEdits, Copy: f.copy, Roles: f.roles,
	}
}

// options adds what resistance alone asks for.
func (f *resistanceFlags) options() bench.Options {
	o := f.boardFlags.options()
	o.Parts, o.Warm = f.sensitivity, f.warm
	if f.accuracy != nil {
		o.Accuracy = *f.accuracy
	}
	if f.warmRadius != nil {
		o.WarmRadius = *f.warmRadius
	}
	return o
}
