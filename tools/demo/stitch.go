package main

// Stitching vias tie the two pours together (micrometres).
const (
	stitchPitch = 6000
	stitchRoom  = viaPad/2 - 20 // room beyond the clearance around a via
	holeSpacing = viaDrill + 300
)

// stitch adds ground vias about every stitchPitch, and in every piece of
// pour that has none and is worth keeping.
func (p *pourer) stitch() {
	for y := stitchPitch / 2; y < boardH; y += stitchPitch {
		for x := stitchPitch / 2; x < boardW; x += stitchPitch {
			p.stitchNear(point{x, y}, stitchPitch/4)
		}
	}
	main := p.firstGroup()
	for l := range 2 {
		for i, id := range p.label[l] {
			if id != 0 && p.group.Find(id) != p.group.Find(main) {
				p.stitchNear(samplePoint(i), 0)
			}
		}
	}
}

// firstGroup is the group that the first ground via belongs to.
func (p *pourer) firstGroup() int {
	for _, v := range p.b.vias {
		if v.net == p.ground {
			if id := p.label[1][sampleAt(v.at)]; id != 0 {
				return p.group.Find(id)
			}
		}
	}
	return 0
}

// stitchNear puts one via at the roomiest place within reach of at.
func (p *pourer) stitchNear(at point, reach int) {
	best, room := -1, float64(stitchRoom)
	for y := at.y - reach; y <= at.y+reach; y += rasterStep {
		for x := at.x - reach; x <= at.x+reach; x += rasterStep {
			i := sampleAt(point{x, y})
			r := min(p.room[0][i], p.room[1][i])
			if r > room && p.clearOfHoles(point{x, y}) {
				best, room = i, r
			}
		}
	}
	if best < 0 {
		return
	}
	p.b.vias = append(p.b.vias, via{p.ground, samplePoint(best)})
	p.join(p.label[0][best], p.label[1][best])
}

// clearOfHoles tells whether a new via keeps its distance from all holes.
func (p *pourer) clearOfHoles(at point) bool {
	for _, v := range p.b.vias {
		if hypot(float64(v.at.x-at.x), float64(v.at.y-at.y)) < 2*holeSpacing {
			return false
		}
	}
	return true
}
