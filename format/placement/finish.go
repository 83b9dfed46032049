package placement

import (
	"math"

	"ohmward/format/fault"
	"ohmward/geom"
)

// finish turns places into nanometres and decides whether this is a table.
func (r *reader) finish() *Table {
	t := r.table
	if why := r.doubt(); why != "" {
		return none(why)
	}
	guess := r.guess()
	t.UnitGiven = t.Kind == Positions
	for i, c := range r.raw {
		if !c.has {
			continue
		}
		row := &t.Rows[i]
		ux, uy := r.unitFor(c.ux, RoleX), r.unitFor(c.uy, RoleY)
		if ux == 0 || uy == 0 {
			t.UnitGiven = false
			ux, uy = or(ux, guess), or(uy, guess)
		}
		x, y := math.Round(c.x*ux), math.Round(c.y*uy)
		if math.Abs(x) > geom.MaxCoord || math.Abs(y) > geom.MaxCoord {
			r.WarnAt(row.Line, "part %s lies beyond a metre: place left out", fault.Short(row.Ref))
			continue
		}
		row.At, row.HasAt = geom.Point{X: int64(x), Y: int64(y)}, true
	}
	return t
}

func or(a, b float64) float64 {
	if a != 0 {
		return a
	}
	return b
}

// unitFor is the unit of a coordinate: of the cell, the title or above.
func (r *reader) unitFor(cell float64, role Role) float64 {
	return or(cell, or(r.h.unit[role], r.unit))
}

// guess is millimetres, unless the parts would lie over more than a metre.
func (r *reader) guess() float64 {
	lowest, highest := math.Inf(1), math.Inf(-1)
	for _, c := range r.raw {
		if c.has && r.unitFor(c.ux, RoleX) == 0 {
			lowest, highest = min(lowest, c.x, c.y), max(highest, c.x, c.y)
		}
	}
	if max(highest, -lowest) > geom.MaxCoord/nmPerMM {
		r.WarnAt(max(r.table.Header, 1), "unit not said: taken as mils, since millimetres would be beyond a metre")
		return nmPerMil
	}
	return nmPerMM
}

// doubt says why what looked like a table is none; "": it is one.
func (r *reader) doubt() string {
	named := 0
	for _, row := range r.table.Rows {
		if numbered.MatchString(row.Ref) {
			named++
		}
	}
	rows := len(r.table.Rows)
	switch {
	case rows == 0 && (r.table.LeftOut > 0 || r.h.known < 3):
		return "no part under the titles"
	case rows > 0 && (2*named < rows || 2*rows < r.table.LeftOut):
		return "the lines under the titles name few parts"
	}
	if r.table.Kind == Positions && rows > 0 {
		places := 0
		for _, c := range r.raw {
			if c.has {
				places++
			}
		}
		if 2*places < rows {
			if !r.h.has(RoleValue) && !r.h.has(RolePackage) {
				return "most lines under the titles have no place"
			}
			r.WarnAt(max(r.table.Header, 1), "most parts have no place: taken as a bill of materials")
			r.table.Kind = Parts
		}
	}
	return ""
}
