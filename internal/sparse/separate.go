package sparse

// Flags of a vertex while a flow is sought. Each vertex counts as two nodes,
// in and out, with room for one unit between them.
const (
	seenIn   = 1 << iota // in is reached from the source
	seenOut              // out is
	atSource             // a neighbour on the source's side lies outside the band
	atSink
)

// What ahead and back hold if not a vertex.
const (
	none     = -1 // no path leads here
	terminal = -2 // the source or the sink
)

// separate parts a piece sorted into bins along a line. It rearranges the
// piece into the near part, the far part and the separator and returns their
// sizes.
//
// The separator is a smallest set of vertices within a band around the line
// that leaves no way through the band (Menger: as many as there are ways that
// share no vertex; found by augmenting ways one by one).
func (d *dissection) separate(piece, spare []int32, l line) (counts [3]int) {
	strip := d.markBand(piece, l)
	near, far := 0, 0
	for _, v := range piece {
		switch d.class[v] {
		case nearSide:
			near++
		case farSide:
			far++
		}
	}
	source, sink := uint8(nearSide), uint8(farSide)
	if near < far { // the set found is the nearest to the source
		source, sink = sink, source
	}
	d.attach(strip, source, sink)
	var way []stop // room for one
	for d.augment(strip, &way) > 0 {
	}
	for _, v := range strip {
		switch f := d.flags[v]; {
		case f&seenOut != 0:
			d.class[v] = source
		case f&seenIn != 0:
			d.class[v] = outside
			for _, t := range d.trial {
				t[v] = outside
			}
		default:
			d.class[v] = sink
		}
		d.ahead[v], d.back[v], d.flags[v] = none, none, 0
	}
	return d.rearrange(piece, spare)
}

// markBand classes the piece as near side, band and far side, and returns the
// band: the bins about the line that hold some times as many vertices as the
// separator may, and enough of the edges across those bins that none remains.
func (d *dissection) markBand(piece []int32, l line) []int32 {
	var count [bins]int
	for _, v := range piece {
		count[d.class[v]&binMask]++
	}
	lo, hi, size := int(l.last)+1, int(l.last), 0
	for size < 8*l.crossing+16 && (lo > 1 || hi < bins-2) {
		if lo > 1 {
			lo--
			size += count[lo]
		}
		if hi < bins-2 {
			hi++
			size += count[hi]
		}
	}
	strip := make([]int32, 0, size+16)
	for _, v := range piece {
		switch b := int(d.class[v] & binMask); {
		case b < lo:
			d.class[v] = nearSide
		case b > hi:
			d.class[v] = farSide
		default:
			d.class[v] = band
			strip = append(strip, v)
		}
	}
	if l.longest < hi-lo+2 {
		return strip // no edge leads across
	}
	for _, v := range piece {
		if d.class[v] != nearSide {
			continue
		}
		for _, w := range d.around(v) {
			if d.class[w] == farSide { // an edge across: its ends join the band
				d.class[v], d.class[w] = band, band
				strip = append(strip, v, w)
				break
			}
		}
	}
	return strip
}

// attach notes which vertices of the band have neighbours beyond it.
func (d *dissection) attach(strip []int32, source, sink uint8) {
	for _, v := range strip {
		f := uint8(0)
		for _, w := range d.around(v) {
			switch d.class[w] {
			case source:
				f |= atSource
			case sink:
				f |= atSink
			}
		}
		d.flags[v] = f
	}
}

// stop is a node on the way being sought.
type stop struct {
	v   int32
	out bool
	at  int32 // next neighbour to try
}

// augment seeks ways from the source to the sink that share no node with
// another found in this round, adds them to the flow and returns their number.
func (d *dissection) augment(strip []int32, room *[]stop) int {
	for _, v := range strip {
		d.flags[v] &^= seenIn | seenOut
	}
	found := 0
	for _, v := range strip {
		f := d.flags[v]
		if f&atSource == 0 || f&seenIn != 0 {
			continue
		}
		d.flags[v] |= seenIn
		if d.back[v] == terminal {
			continue
		}
		*room = append((*room)[:0], stop{v: v, at: d.start[v]})
		if way := d.seek(room); len(way) > 0 {
			d.lay(way)
			found++
		}
	}
	return found
}

// seek goes on, depth first, from the only stop of a way to the sink. It
// returns the way, empty if there is none.
func (d *dissection) seek(room *[]stop) []stop {
	way := *room
	defer func() { *room = way }() // it may have grown
	for len(way) > 0 {
		top := &way[len(way)-1]
		v := top.v
		if !top.out {
			// Through an unused vertex; from a used one only back along its
			// path. Either is tried once.
			to := v
			if d.back[v] != none {
				to = d.back[v]
			}
			if to >= 0 && d.flags[to]&seenOut == 0 {
				d.flags[to] |= seenOut
				way = append(way, stop{v: to, out: true, at: d.start[to]})
			} else {
				way = way[:len(way)-1]
			}
			continue
		}
		if d.flags[v]&atSink != 0 {
			return way
		}
		if to, ok := d.unseen(top); ok {
			d.flags[to] |= seenIn
			way = append(way, stop{v: to})
		} else {
			way = way[:len(way)-1]
		}
	}
	return way
}

// unseen finds the next vertex whose in can be reached from the out of a stop
// and was not: a neighbour, or the vertex itself if its own unit is freed.
func (d *dissection) unseen(from *stop) (int32, bool) {
	v := from.v
	for ; from.at < d.start[v+1]; from.at++ {
		w := d.next[from.at]
		if d.class[w] == band && d.flags[w]&seenIn == 0 && d.ahead[v] != w {
			return w, true
		}
	}
	return v, d.back[v] != none && d.flags[v]&seenIn == 0
}

// lay adds a way to the flow: what it goes backwards is taken away first.
func (d *dissection) lay(way []stop) {
	for i := 1; i < len(way); i++ {
		if from, to := way[i-1], way[i]; !from.out && from.v != to.v {
			d.ahead[to.v], d.back[from.v] = none, none
		}
	}
	d.back[way[0].v] = terminal
	for i := 1; i < len(way); i++ {
		if from, to := way[i-1], way[i]; from.out && from.v != to.v {
			d.ahead[from.v], d.back[to.v] = to.v, from.v
		}
	}
	d.ahead[way[len(way)-1].v] = terminal
}

// rearrange sorts a piece by class, otherwise keeping its order.
func (d *dissection) rearrange(piece, spare []int32) (counts [3]int) {
	part := func(v int32) int {
		switch d.class[v] {
		case nearSide:
			return 0
		case farSide:
			return 1
		}
		return 2
	}
	for _, v := range piece {
		counts[part(v)]++
	}
	at := [3]int{0, counts[0], counts[0] + counts[1]}
	for _, v := range piece {
		k := part(v)
		spare[at[k]] = v
		at[k]++
	}
	copy(piece, spare)
	return counts
}
