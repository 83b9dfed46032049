package placement

import (
	"strconv"

	"ohmward/format/fault"
)

// refs are the parts a line names.
func (r *reader) refs(c record) []string {
	cell := r.cell(c, RoleRef)
	if r.table.Kind == Positions { // one part a line
		if !plausible(cell) {
			if !empty(c) {
				r.WarnFirst("%q is not the name of a part: line left out (first such line is told)", fault.Short(cell))
			}
			return nil
		}
		return []string{cell}
	}
	quantity, _ := strconv.Atoi(r.cell(c, RoleQuantity))
	refs, rest := expand(cell, quantity)
	if len(rest) > 0 {
		r.WarnFirst("%q is not the name of a part: left out (first such is told)", fault.Short(rest[0]))
	}
	return refs
}

// fill reads all but the reference.
func (r *reader) fill(row *Row, c record) coordinate {
	row.Value, row.Package = r.cell(c, RoleValue), r.cell(c, RolePackage)
	row.NotFitted = unfitted(r.cell(c, RoleNotFitted), true) || unfitted(r.cell(c, RoleFitted), false) ||
		r.cell(c, RoleQuantity) == "0" || marked(c.cells)
	row.Side = r.side
	mirrored := yes(r.cell(c, RoleMirror))
	if s := r.cell(c, RoleRotation); s != "" {
		var m bool
		if row.Rotation, m, row.HasRotation = angle(s); !row.HasRotation {
			r.Warn("rotation %q is no angle", fault.Short(s))
		}
		mirrored = mirrored || m
	}
	if r.h.has(RoleMirror) {
		row.Side = Top
	}
	if mirrored {
		row.Side = Bottom
	}
	if s := r.cell(c, RoleSide); s != "" {
		side, ok := sideOf(s)
		if r.fromZero {
			side, ok = map[string]Side{"0": Top, "1": Bottom}[s], s == "0" || s == "1"
		}
		if !ok {
			r.Warn("side %q is not known", fault.Short(s))
		} else if side != SideUnknown {
			row.Side = side
		}
	}
	return r.place(c)
}

func (r *reader) place(c record) (p coordinate) {
	sx, sy := r.cell(c, RoleX), r.cell(c, RoleY)
	if sx == "" && sy == "" {
		return p
	}
	x, ux, okX := length(sx)
	y, uy, okY := length(sy)
	if !okX || !okY {
		r.Warn("place %q, %q is no pair of lengths", fault.Short(sx), fault.Short(sy))
		return p
	}
	return coordinate{x, y, ux, uy, true}
}

// add takes a row, unless the part was there already.
func (r *reader) add(row Row, place coordinate) {
	if i, had := r.placed[row.Ref]; had {
		if was := r.table.Rows[i]; was.Value != row.Value || r.raw[i] != place {
			r.WarnAt(row.Line, "part %s stands already in line %d, otherwise: the first holds", fault.Short(row.Ref),
				was.Line)
		}
		return
	}
	r.placed[row.Ref] = len(r.table.Rows)
	r.table.Rows = append(r.table.Rows, row)
	r.raw = append(r.raw, place)
}
