package mesh

import "ohmward/geom"

// basis collects distinct points and the lines between them.
type basis struct {
	index  map[geom.Point]int32
	points []point
	segs   []segment
}

func newBasis() *basis { return &basis{index: map[geom.Point]int32{}} }

func (b *basis) vertex(p geom.Point) int32 {
	if i, ok := b.index[p]; ok {
		return i
	}
	i := int32(len(b.points))
	b.index[p] = i
	b.points = append(b.points, point{float64(p.X) * ticksPerNM, float64(p.Y) * ticksPerNM})
	return i
}

func (b *basis) ring(r geom.Ring, poly, ring int32) {
	for i, p := range r {
		q := r[(i+1)%len(r)]
		if p != q {
			b.segs = append(b.segs, segment{a: b.vertex(p), b: b.vertex(q), poly: poly, ring: ring})
		}
	}
}

func (b *basis) curve(c []geom.Point, curve int32) {
	for i, p := range c {
		v := b.vertex(p)
		if i+1 < len(c) {
			if w := b.vertex(c[i+1]); v != w {
				b.segs = append(b.segs, segment{a: v, b: w, poly: none, ring: none, curves: []int32{curve}})
			}
		}
	}
}
