package mesh

import "fmt"

// carve keeps the faces inside the outlines, numbers their polygons and
// drops the rest. Afterwards m.at is no longer valid.
func (m *tin) carve() (piece []int32, err error) {
	state := make([]int32, len(m.t)) // 0 not seen, 1 outside, 2+polygon inside
	var group []int32
	for start := range m.t {
		if state[start] != 0 {
			continue
		}
		poly, outside := int32(none), false
		group = append(group[:0], int32(start))
		state[start] = 1
		for k := 0; k < len(group); k++ {
			f := &m.t[group[k]]
			for i, s := range f.s {
				if s != 0 && m.segs[segIndex(s)].poly >= 0 {
					mine := m.segs[segIndex(s)].poly
					switch {
					case s < 0:
						outside = true
					case poly >= 0 && poly != mine:
						return nil, fmt.Errorf("near %s: polygons %d and %d overlap; unite the shapes first",
							m.where(f.v[next3[i]]), poly, mine)
					default:
						poly = mine
					}
				} else if g := f.n[i]; g >= 0 && state[g>>2] == 0 {
					state[g>>2] = 1
					group = append(group, g>>2)
				} else if g < 0 {
					outside = true
				}
				if poly >= 0 && outside {
					return nil, fmt.Errorf("near %s: rings overlap or run the wrong way round; unite the shapes "+
						"first", m.where(f.v[0]))
				}
			}
		}
		if poly >= 0 {
			for _, t := range group {
				state[t] = 2 + poly
			}
		}
	}
	return m.compact(state), nil
}

// compact removes the faces with state below 2.
func (m *tin) compact(state []int32) []int32 {
	renumber := make([]int32, len(m.t))
	var piece []int32
	for t, st := range state {
		renumber[t] = none
		if st >= 2 {
			renumber[t] = int32(len(piece))
			piece = append(piece, st-2)
		}
	}
	for t := range m.t {
		to := renumber[t]
		if to < 0 {
			continue
		}
		f := m.t[t]
		for i, g := range f.n {
			if g >= 0 {
				if r := renumber[g>>2]; r >= 0 {
					f.n[i] = 4*r | g&3
				} else {
					f.n[i] = none
				}
			}
		}
		m.t[to] = f
	}
	m.t = m.t[:len(piece)]
	return piece
}

// settle gives every constrained edge its own segment, now that all crossings
// are vertices: the ends of a segment are then the places where lines meet.
// piece tells the polygon of each face.
func (m *tin) settle(piece []int32) {
	old := m.segs
	m.segs = make([]segment, 0, len(old))
	for t := range m.t {
		f := &m.t[t]
		for i := range f.s {
			s := f.s[i]
			if s == 0 || f.n[i] >= 0 && f.n[i] < int32(4*t+i) {
				continue
			}
			seg := old[segIndex(s)]
			seg.a, seg.b = f.v[next3[i]], f.v[prev3[i]]
			seg.poly, seg.back = piece[t], none
			if f.n[i] >= 0 {
				seg.back = piece[f.n[i]>>2]
			}
			m.segs = append(m.segs, seg)
			f.s[i] = int32(len(m.segs))
			if g := f.n[i]; g >= 0 {
				m.t[g>>2].s[g&3] = -f.s[i]
			}
		}
	}
	clear(m.on)
}
