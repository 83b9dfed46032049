package locate

// Doubt is how much is left to be told about the place, in bits: the entropy
// over the spots that one look takes in.
func (p *Posterior) Doubt() float64 { return p.doubt() }
