package sparse

import (
	"math"
	"math/bits"
	"slices"
)

// direction is what a cutting line is perpendicular to: one of two slanting
// axes, one of the plan's own, the distance along the graph, or the stack of
// sheets.
type direction int

const (
	byU direction = iota
	byV
	byX
	byY
	byLevel
	bySheet
)

// Boards are upright rectangles, and parallel cuts of a rectangle leave
// pieces with much border. Cuts along axes turned by some 35 degrees leave
// less: on a square mesh, a fifth fewer entries in the factor and a quarter
// less work.
const slantCos, slantSin = 0.82, 0.57

// Where holes stand in rows an upright cut may be so short as to be better
// all the same: its cost is taken times upright to decide. It is not sought
// in pieces smaller than minAxisCut.
const (
	axisPenalty = 1.8
	minAxisCut  = 3000
)

// coordinates of all vertices in a direction.
func (d *dissection) coordinates(along direction) []float64 {
	return [...][]float64{byU: d.u, byV: d.v, byX: d.x, byY: d.y, byLevel: d.level, bySheet: d.sheet}[along]
}

// cutLine cuts a piece between the bins last and last+1 of its scale.
type cutLine struct {
	along      direction
	from, step float64 // bin 1 begins at from; step is one over a bin's width
	last       uint8
	longest    int // most bins that an edge leads on
	crossing   int // about how many vertices a separator takes
	cost       float64
}

// minSheetShare: no sheets smaller than one in so many vertices are parted from
// the rest of a stack; such come off by themselves as the plan is cut.
const minSheetShare = 10

// bins is the number of bins, the first and the last being open to outside.
const bins = 64

// bin of a coordinate.
func (l *cutLine) bin(p float64) uint8 {
	t := (p - l.from) * l.step
	switch {
	case !(t >= 0):
		return 0
	case t >= bins-2:
		return bins - 1
	}
	return uint8(t) + 1
}

// useful tells whether cutting n vertices there is better than not to.
func (l *cutLine) useful(n int) bool { return l.cost < math.Inf(1) && l.crossing <= n/3 }

// assignBins puts the vertices of a piece into a line's bins and writes them to
// class.
func (d *dissection) assignBins(piece []int32, l cutLine, class []uint8) {
	position := d.coordinates(l.along)
	for _, v := range piece {
		b := l.bin(position[v])
		if d.isHub(v) {
			b |= hub
		}
		class[v] = b
	}
}

// bestCut finds where between the lower and the upper two fifths a line in one
// direction crosses least. All its places are judged in one pass: vertex v
// belongs to the near side's border for the lines from v to its farthest
// neighbour on the far side, and so on. A hub counts once for all the lines
// that part it from any neighbour, its neighbours not at all. The classes are
// written to class.
func (d *dissection) bestCut(piece []int32, along direction, class []uint8) cutLine {
	l := cutLine{along: along, cost: math.Inf(1)}
	if !d.fitBins(piece, &l) {
		return l
	}
	d.assignBins(piece, l, class)
	var found tally
	for _, v := range piece {
		own, bit := class[v], &binBits[0]
		if own&hub != 0 {
			bit = &binBits[1]
		}
		seen := uint64(1) << (own & binMask)
		for _, w := range d.neighbours(v) {
			seen |= bit[class[w]]
		}
		if seen&(seen-1) == 0 {
			found.count[own&binMask]++ // all in one bin
			continue
		}
		lowest, highest := bits.TrailingZeros64(seen), bits.Len64(seen)-1
		l.longest = max(l.longest, highest-lowest)
		found.add(int(own&binMask), lowest, highest, own&hub != 0)
	}
	l.choosePosition(&found, len(piece), 1)
	return l
}

// binBits are the bins that neighbours lie in, a bit each, by their classes:
// those that count to a vertex with few neighbours, to which hubs do not, and
// those that count to a hub.
var binBits = func() (bit [2][256]uint64) {
	for c := range outside {
		bit[1][c] = 1 << (c & binMask)
		if c&hub == 0 {
			bit[0][c] = bit[1][c]
		}
	}
	return bit
}()

// tally says in which bins vertices are, and by how much more of them than one bin
// before come to be in a line's near border, in its far one, and as hubs in
// either.
type tally struct{ count, near, far, hubs [bins]int }

// add takes in a vertex whose neighbours and itself lie in bins lowest to highest.
func (a *tally) add(own, lowest, highest int, isHub bool) {
	a.count[own]++
	switch {
	case lowest == highest:
	case isHub:
		a.hubs[lowest]++
		a.hubs[highest]--
	default:
		a.near[own]++
		a.near[highest]--
		a.far[lowest]++
		a.far[own]--
	}
}

// choosePosition finds the best place of a line, given one in every few of n
// vertices.
func (l *cutLine) choosePosition(of *tally, n, every int) {
	var a, b, h, left int
	for c := range bins - 1 {
		a, b, h, left = a+of.near[c], b+of.far[c], h+of.hubs[c], left+every*of.count[c]
		smaller := min(left, n-left)
		if smaller <= 0 || l.along == bySheet && smaller < n/minSheetShare {
			continue
		}
		crossing := every * (min(a, b) + h)
		cost := (float64(crossing) + 0.5) * math.Sqrt(float64(n)/float64(2*smaller))
		if l.along == byX || l.along == byY {
			cost *= axisPenalty
		}
		if cost < l.cost {
			l.cost, l.last, l.crossing = cost, uint8(c), crossing
		}
	}
}

// estimateCut estimates the cost of the best line in a direction from a sample
// of the vertices and their neighbours.
func (d *dissection) estimateCut(piece []int32, along direction) float64 {
	l := cutLine{along: along, cost: math.Inf(1)}
	if !d.fitBins(piece, &l) {
		return l.cost
	}
	position := d.coordinates(along)
	// Some sqrt(n) vertices stand along a line: of those a few dozen.
	every := max(1, int(math.Sqrt(float64(len(piece)))/20))
	var found tally
	for i := 0; i < len(piece); i += every {
		v := piece[i]
		own := int(l.bin(position[v]))
		lowest, highest := own, own
		isHub := d.isHub(v)
		for _, w := range d.neighbours(v) {
			if d.class[w] != outside && (isHub || !d.isHub(w)) {
				b := int(l.bin(position[w]))
				lowest, highest = min(lowest, b), max(highest, b)
			}
		}
		found.add(own, lowest, highest, isHub)
	}
	l.choosePosition(&found, len(piece), every)
	return l.cost
}

// isHub tells whether a vertex has many neighbours.
func (d *dissection) isHub(v int32) bool { return d.start[v+1]-d.start[v] > hubDegree }

// fitBins lays the bins over the middle of a piece, by the quantiles of a
// sample. It reports false if all lies at one place.
func (d *dissection) fitBins(piece []int32, l *cutLine) bool {
	var sample [64]float64
	n := min(len(piece), len(sample))
	position := d.coordinates(l.along)
	for i := range n {
		sample[i] = position[piece[i*len(piece)/n]]
	}
	slices.Sort(sample[:n])
	lo, hi := sample[2*n/5], sample[n-1-2*n/5]
	if !(hi > lo) {
		// Many at one place: take what there is on either side of it.
		if lo, hi = sample[0], sample[n-1]; !(hi > lo) {
			return false
		}
	}
	if l.along == bySheet { // the outer sheets are to lie in the outer bins
		lo, hi = lo+(hi-lo)/4, hi-(hi-lo)/4
	}
	l.from, l.step = lo, (bins-2)/(hi-lo)
	return !math.IsInf(l.step, 0)
}

// measureLevels sets the level of a piece's vertices to their distance along
// the graph from one far end; further components follow each other.
func (d *dissection) measureLevels(piece []int32) {
	queue := make([]int32, 0, len(piece))
	far := piece[0]
	for range 3 {
		for _, v := range piece {
			d.level[v] = -1
		}
		queue = d.spread(queue[:0], far, 0)
		far = queue[len(queue)-1]
	}
	for _, v := range piece {
		if d.level[v] < 0 {
			queue = d.spread(queue[:0], v, d.level[far]+1)
			far = queue[len(queue)-1]
		}
	}
}

// spread numbers the levels from v on, breadth first, within its piece.
func (d *dissection) spread(queue []int32, v int32, level float64) []int32 {
	d.level[v] = level
	queue = append(queue, v)
	for i := 0; i < len(queue); i++ {
		u := queue[i]
		for _, w := range d.neighbours(u) {
			if d.class[w] != outside && d.level[w] < 0 {
				d.level[w] = d.level[u] + 1
				queue = append(queue, w)
			}
		}
	}
	return queue
}

// candidates lists the directions in which to seek a line.
func (d *dissection) candidates(piece []int32) []direction {
	var out []direction
	switch {
	case len(piece) >= minAxisCut:
		out = []direction{byU, byV, byX, byY}
	case len(piece) > 300:
		out = []direction{byU, byV}
	default:
		out = []direction{d.longerAxis(piece)}
	}
	if d.sheet != nil {
		out = append(out, bySheet)
	}
	return out
}

// longerAxis is the slanting axis along which a piece is longer.
func (d *dissection) longerAxis(piece []int32) direction {
	ulo, uhi, vlo, vhi := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, w := range piece {
		ulo, uhi = min(ulo, d.u[w]), max(uhi, d.u[w])
		vlo, vhi = min(vlo, d.v[w]), max(vhi, d.v[w])
	}
	if uhi-ulo > vhi-vlo {
		return byU
	}
	return byV
}
