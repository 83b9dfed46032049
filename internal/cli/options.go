package cli

import "ohmward/internal/bench"

// options gives the figures that the flags say. This file alone knows how
// flags become the options of package bench.
func (f *boardFlags) options() bench.Options {
	o := bench.Options{Filled: f.filled, Ties: f.ties, GivenTies: f.ties != "", TieEdits: f.tieEdits,
		Copy: f.copy, Roles: f.roles}
	override(&o.Copper, &o.GivenCopper, f.copper)
	override(&o.Plating, &o.GivenPlating, f.plating)
	override(&o.Thickness, &o.GivenThickness, f.thickness)
	override(&o.Tip, &o.GivenTip, f.tip)
	override(&o.Close, &o.GivenClose, f.close)
	override(&o.Etch, &o.GivenEtch, f.etch)
	override(&o.Temp, &o.GivenTemp, f.temp)
	return o
}

// options adds what resistance alone asks for.
func (f *resistanceFlags) options() bench.Options {
	o := f.boardFlags.options()
	o.Parts, o.Warm = f.sensitivity, f.warm
	override(&o.Accuracy, new(bool), f.accuracy) // 0 stands for the default
	override(&o.WarmRadius, new(bool), f.warmRadius)
	return o
}

func override[T any](value *T, given *bool, by *T) {
	if by != nil {
		*value, *given = *by, true
	}
}
