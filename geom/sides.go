package geom

// windings follows the winding numbers of all channels along a walk from face
// to face and judges the face reached.
type windings interface {
	step(ch, w int32)
	inside() bool
}

const (
	unseen uint8 = iota
	out
	in
)

// judge walks through all faces from the outside and tells for every face
// whether it is in or out.
func (f *faces) judge(state windings) (side []uint8) {
	side = make([]uint8, len(f.first)+1)
	type frame struct {
		entered  int32 // half-edge crossed to come here, on the side left
		at, stop int32 // walk around the present cycle
		guests   int32 // next guest of the face
	}
	var stack []frame
	enter := func(face, by int32) {
		side[face] = out
		if state.inside() {
			side[face] = in
		}
		top := frame{by, -1, -1, f.guest[face]}
		if face != f.plane() {
			top.at, top.stop = f.first[face], f.first[face]
		}
		stack = append(stack, top)
	}
	enter(f.plane(), -1)
	for len(stack) > 0 {
		top := &stack[len(stack)-1]
		switch {
		case top.at >= 0:
			h := top.at
			if top.at = f.half[h].next; top.at == top.stop {
				top.at = -1
			}
			if face := f.half[h^1].face; side[face] == unseen {
				f.pass(state, h)
				enter(face, h)
			}
		case top.guests >= 0:
			top.at = f.first[top.guests]
			top.stop = top.at
			top.guests = f.sibling[top.guests]
		default:
			if top.entered >= 0 {
				f.pass(state, top.entered^1)
			}
			stack = stack[:len(stack)-1]
		}
	}
	return side
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
