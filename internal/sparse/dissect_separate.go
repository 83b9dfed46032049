package sparse

// Flags of a vertex while a flow is sought. Each vertex counts as two nodes,
// in and out, with a capacity of one unit between them.
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
// that leaves no path through the band (Menger: as many as there are paths that
// share no vertex; found by augmenting paths one by one).
func (d *dissection) separate(piece, scratch []int32, l cutLine) (counts [3]int) {
	members := d.markBand(piece, l)
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
	d.attach(members, source, sink)
	var path []pathNode // reused
	for d.augment(members, &path) > 0 {
	}
	for _, v := range members {
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
		d.succ[v], d.pred[v], d.flags[v] = none, none, 0
	}
	return d.rearrange(piece, scratch)
}

// markBand classes the piece as near side, band and far side, and returns the
// band: the bins about the line that hold some times as many vertices as the
// separator may, and enough of the edges across those bins that none remains.
func (d *dissection) markBand(piece []int32, l cutLine) []int32 {
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
	members := make([]int32, 0, size+16)
	for _, v := range piece {
		switch b := int(d.class[v] & binMask); {
		case b < lo:
			d.class[v] = nearSide
		case b > hi:
			d.class[v] = farSide
		default:
			d.class[v] = band
			members = append(members, v)
		}
	}
	if l.longest < hi-lo+2 {
		return members // no edge leads across
	}
	for _, v := range piece {
		if d.class[v] != nearSide {
			continue
		}
		for _, w := range d.neighbours(v) {
			if d.class[w] == farSide { // an edge across: its ends join the band
				d.class[v], d.class[w] = band, band
				members = append(members, v, w)
				break
			}
		}
	}
	return members
}

// attach notes which vertices of the band have neighbours beyond it.
func (d *dissection) attach(members []int32, source, sink uint8) {
	for _, v := range members {
		f := uint8(0)
		for _, w := range d.neighbours(v) {
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

// pathNode is a node on the path being sought.
type pathNode struct {
	v   int32
	out bool
	at  int32 // next neighbour to try
}

// augment seeks paths from the source to the sink that share no node with
// another found in this round, adds them to the flow and returns their number.
func (d *dissection) augment(members []int32, buffer *[]pathNode) int {
	for _, v := range members {
		d.flags[v] &^= seenIn | seenOut
	}
	found := 0
	for _, v := range members {
		f := d.flags[v]
		if f&atSource == 0 || f&seenIn != 0 {
			continue
		}
		d.flags[v] |= seenIn
		if d.pred[v] == terminal {
			continue
		}
		*buffer = append((*buffer)[:0], pathNode{v: v, at: d.start[v]})
		if path := d.findPath(buffer); len(path) > 0 {
			d.addPath(path)
			found++
		}
	}
	return found
}

// findPath goes on, depth first, from the only node of a path to the sink. It
// returns the path, empty if there is none.
func (d *dissection) findPath(buffer *[]pathNode) []pathNode {
	path := *buffer
	defer func() { *buffer = path }() // it may have grown
	for len(path) > 0 {
		top := &path[len(path)-1]
		v := top.v
		if !top.out {
			// Through an unused vertex; from a used one only back along its
			// path. Either is tried once.
			to := v
			if d.pred[v] != none {
				to = d.pred[v]
			}
			if to >= 0 && d.flags[to]&seenOut == 0 {
				d.flags[to] |= seenOut
				path = append(path, pathNode{v: to, out: true, at: d.start[to]})
			} else {
				path = path[:len(path)-1]
			}
			continue
		}
		if d.flags[v]&atSink != 0 {
			return path
		}
		if to, ok := d.nextUnseen(top); ok {
			d.flags[to] |= seenIn
			path = append(path, pathNode{v: to})
		} else {
			path = path[:len(path)-1]
		}
	}
	return path
}

// nextUnseen finds the next vertex whose in can be reached from the out of a node
// and was not: a neighbour, or the vertex itself if its own unit is freed.
func (d *dissection) nextUnseen(from *pathNode) (int32, bool) {
	v := from.v
	for ; from.at < d.start[v+1]; from.at++ {
		w := d.next[from.at]
		if d.class[w] == band && d.flags[w]&seenIn == 0 && d.succ[v] != w {
			return w, true
		}
	}
	return v, d.pred[v] != none && d.flags[v]&seenIn == 0
}

// addPath adds a path to the flow: what it goes backwards is taken away first.
func (d *dissection) addPath(path []pathNode) {
	for i := 1; i < len(path); i++ {
		if from, to := path[i-1], path[i]; !from.out && from.v != to.v {
			d.succ[to.v], d.pred[from.v] = none, none
		}
	}
	d.pred[path[0].v] = terminal
	for i := 1; i < len(path); i++ {
		if from, to := path[i-1], path[i]; from.out && from.v != to.v {
			d.succ[from.v], d.pred[to.v] = to.v, from.v
		}
	}
	d.succ[path[len(path)-1].v] = terminal
}

// rearrange sorts a piece by class, otherwise keeping its order.
func (d *dissection) rearrange(piece, scratch []int32) (counts [3]int) {
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
		scratch[at[k]] = v
		at[k]++
	}
	copy(piece, scratch)
	return counts
}
