package conduct

// Half gives what one group adds to a reading, at every site, or once where no
// bridge can change it: the copper, and each of the group's own low-ohm parts. Only the
// reading's contacts on that group count, so a two-wire reading is the sum of
// a half that its first place alone decides and one that its second does.
// Both are nil where the group has no current or no volts.
func (b *Bridge) Half(g int, r Reading) (copper []float64, ties [][]float64, err error) {
	p, err := b.part(r, g, (*Model).Prepare)
	if err != nil || p == nil {
		return nil, nil, err
	}
	return b.half(g, r, p)
}

// half is Half of a reading's part on the group.
func (b *Bridge) half(g int, r Reading, p *part) (copper []float64, ties [][]float64, err error) {
	copper, ties = b.zeros(g, r)
	if r.fixed() {
		return copper, ties, p.fixed(copper, ties)
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
