package geom

// windings follows the winding numbers of all channels along a walk from face
// to face and judges the face reached.
type windings interface {
	step(ch, w int32)
	inside() bool
}

// judge walks through all faces from the outside and tells for every cycle
// whether its face is inside.
func (f *faces) judge(state windings) (inside []bool) {
	inside = make([]bool, len(f.first))
	seen := make([]bool, len(f.first))
	type frame struct {
		entered  int32 // half-edge crossed to come here, seen from outside
		at, stop int32 // walk around the present cycle
		guests   int32 // next cycle of the same face
	}
	var stack []frame
	// enter pushes a face by its own cycle (-1 for the plane).
	enter := func(face, by int32) {
		slot := face
		if face == plane {
			slot = int32(len(f.first))
		}
		in := state.inside()
		top := frame{entered: by, at: -1, stop: -1, guests: f.guest[slot]}
		if face != plane {
			inside[face], seen[face] = in, true
			top.at, top.stop = f.first[face], f.first[face]
		}
		for g := top.guests; g >= 0; g = f.sibling[g] {
			inside[g], seen[g] = in, true
		}
		stack = append(stack, top)
	}
	enter(plane, -1)
	for len(stack) > 0 {
		top := &stack[len(stack)-1]
		if top.at < 0 {
			if top.guests >= 0 {
				top.at = f.first[top.guests]
				top.stop = top.at
				top.guests = f.sibling[top.guests]
				continue
			}
			if top.entered >= 0 {
				f.pass(state, top.entered^1)
			}
			stack = stack[:len(stack)-1]
			continue
		}
		h := top.at
		if top.at = f.next[h]; top.at == top.stop {
			top.at = -1
		}
		if face := f.home[f.cycle[h^1]]; face >= 0 && !seen[face] {
			f.pass(state, h)
			enter(face, h)
		}
	}
	return inside
}

// pass crosses from the left of half-edge h to its right. An edge u→v of
// weight w has a winding number on its left that is w higher.
func (f *faces) pass(state windings, h int32) {
	n, e := f.net, h>>1
	for k := n.off[e]; k < n.off[e+1]; k++ {
		if h&1 == 0 {
			state.step(n.ch[k], -n.w[k])
		} else {
			state.step(n.ch[k], n.w[k])
		}
	}
}
