package main

import "fmt"

// maxTries bounds how often one job is routed before the router gives up.
const maxTries = 60

// router lays all tracks: each job takes the cheapest way, may cross others
// at a price that rises with every try, and those it crosses are ripped up
// and queued again.
type router struct {
	b    *board
	g    *grid
	s    *search
	jobs []*job
}

// route routes every net of the board.
func route(b *board) error {
	r := &router{b: b, g: newGrid(), jobs: b.jobs()}
	r.g.prepare(b)
	r.s = newSearch(r.g)
	queue := append([]*job(nil), r.jobs...)
	for len(queue) > 0 {
		j := queue[0]
		queue = queue[1:]
		if err := r.lay(j); err != nil {
			return err
		}
		queue = append(queue, r.ripUp(j)...)
	}
	for _, j := range r.jobs {
		b.tracks = append(b.tracks, j.tracks...)
		b.vias = append(b.vias, j.vias...)
	}
	return nil
}

// own takes a net's copper out of the fields (d = −1) or puts it back.
func (r *router) own(net, d int) {
	for _, l := range r.b.lands {
		if l.net != net {
			continue
		}
		r.g.hard.stamp(l.shape, l.layers, d)
		if l.drill > 0 {
			r.stampHole(l.at, l.drill, -d)
		}
	}
	for _, j := range r.jobs {
		if j.net == net {
			r.stampJob(j, d)
			for _, v := range j.vias {
				r.stampHole(v.at, viaDrill, -d)
			}
		}
	}
}

// stampHole keeps vias of the same net 0.25 mm, wall to wall, from a hole.
func (r *router) stampHole(at point, drill, d int) {
	eachNear(disc(at, drill), viaDrill/2+250, func(n int) { r.g.holes[n] += uint8(d) })
}

func (r *router) stampJob(j *job, d int) {
	for _, t := range j.tracks {
		r.g.soft.stamp(t.shape(), t.layer, d)
	}
	for _, v := range j.vias {
		r.g.soft.stamp(v.shape(), both, d)
	}
}

// lay routes one job from nothing.
func (r *router) lay(j *job) error {
	j.tries++
	if j.tries > maxTries {
		l := r.b.lands[j.lands[0]]
		return fmt.Errorf("route: net %s (from %s.%s) finds no place after %d tries",
			r.b.nets[j.net], l.ref, l.pin, maxTries)
	}
	r.own(j.net, -1)
	defer r.own(j.net, 1)
	price := 20 + 10*j.tries
	j.nodes = r.landStates(j.lands[0])
	if j.drop {
		return r.connect(j, query{sources: j.nodes, anyVia: true, class: j.class, price: price}, j.lands[0])
	}
	for _, i := range j.lands[1:] {
		l := r.b.lands[i]
		n := nodeAt(l.at)
		q := query{sources: j.nodes, target: point{n % gridX, n / gridX}, layers: l.layers, class: j.class,
			price: price}
		if err := r.connect(j, q, i); err != nil {
			return err
		}
		j.nodes = append(j.nodes, r.landStates(i)...)
	}
	return nil
}

// landStates are the search states of a pad's middle.
func (r *router) landStates(i int) []int {
	l := r.b.lands[i]
	n := nodeAt(l.at)
	var states []int
	for k := range 2 {
		if l.layers&(1<<k) != 0 {
			states = append(states, k*gridN+n)
		}
	}
	return states
}

// connect finds one way and adds it to the job's tree.
func (r *router) connect(j *job, q query, to int) error {
	path := r.s.run(q)
	if path == nil {
		l := r.b.lands[to]
		return fmt.Errorf("route: net %s: no way to %s.%s", r.b.nets[j.net], l.ref, l.pin)
	}
	for _, v := range path {
		if l, n := v/gridN, v%gridN; r.g.soft[thin][l][n] != 0 {
			r.g.history[l][n] += 8
		}
	}
	j.nodes = append(j.nodes, path...)
	ts, vs := r.strokes(j, path)
	j.tracks, j.vias = append(j.tracks, ts...), append(j.vias, vs...)
	// The new copper counts as the net's own until lay puts all back.
	for _, v := range vs {
		r.stampHole(v.at, viaDrill, 1)
	}
	return nil
}

// ripUp removes every job whose copper comes too near to j's.
func (r *router) ripUp(j *job) []*job {
	var gone []*job
	for _, o := range r.jobs {
		if o.net == j.net || len(o.nodes) == 0 || !r.clash(j, o) {
			continue
		}
		r.stampJob(o, -1)
		o.tracks, o.vias, o.nodes = nil, nil, nil
		gone = append(gone, o)
	}
	return gone
}

func (r *router) clash(j, o *job) bool {
	for _, p := range j.coppers() {
		for _, q := range o.coppers() {
			if p.layers&q.layers != 0 && near(p.shape, q.shape, clearance) && gap(p.shape, q.shape) < clearance {
				return true
			}
		}
	}
	return false
}

func (j *job) coppers() []copper {
	var all []copper
	for _, t := range j.tracks {
		all = append(all, copper{shape: t.shape(), layers: t.layer})
	}
	for _, v := range j.vias {
		all = append(all, copper{shape: v.shape(), layers: both})
	}
	return all
}
