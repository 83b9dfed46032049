package conduct

// Half gives what one group adds to a reading across the bridge, at every
// site: the copper, and each of the group's own low-ohm parts. Only the
// reading's contacts on that group count, so a two-wire reading is the sum of
// a half that its first place alone decides and one that its second does.
// Both are nil where the group has no current or no volts.
func (b *Bridge) Half(g int, r Reading) (copper []float64, ties [][]float64, err error) {
	p, err := b.part(r, g, r.In.Group != r.Out.Group, (*Model).Prepare)
	if err != nil || p == nil {
		return nil, nil, err
	}
	n := len(b.Sites[g].Discs)
	copper = make([]float64, n)
	ties = make([][]float64, len(b.Models[g].Group.Ties))
	for t := range ties {
		ties[t] = make([]float64, n)
	}
	return copper, ties, p.add(copper, ties)
}

// Half is Predict for one group alone: what belongs to no set, then one row
// for each set, then the group's low-ohm parts.
func (l *Layers) Half(g int, r Reading) (rows, ties [][]float64, err error) {
	whole, ties, err := l.base.Half(g, r)
	if err != nil || whole == nil {
		return nil, nil, err
	}
	rows, err = l.shares(whole, func(b *Bridge) ([]float64, error) {
		row, _, err := b.Half(g, r)
		return row, err
	})
	return rows, ties, err
}
