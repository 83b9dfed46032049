package conduct

import (
	"errors"
	"maps"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/mesh"
	"ohmward/internal/unionfind"
)

// Cut is a place where the copper of one layer was cut through.
type Cut struct {
	Layer int        // 0-based
	At    geom.Point // its middle
}

// ErrWhole says that no small cut at a place severs the copper there.
var ErrWhole = errors.New("no cut of three millimetres severs the copper there")

// The widths of copper taken away, metres: the first that leaves two pieces
// within cutAround of the place.
var cutRadii = [...]float64{0.1e-3, 0.15e-3, 0.2e-3, 0.3e-3, 0.45e-3, 0.7e-3, 1e-3, 1.5e-3}

const cutAround = 1e-3 // metres beyond the cut in which its two sides are told apart

// Size is how finely the mesh should follow a cut.
func (c Cut) Size() SheetSize {
	return SheetSize{Layer: c.Layer, Size: mesh.Size{At: c.At, Radius: 400_000, Edge: 80_000}}
}

// Sever gives the same copper on the same mesh with a disc of copper gone at
// the cut: the smallest that severs what runs there. The model itself is given
// back where it has no copper there; ErrWhole says that the copper is too wide
// to be cut.
func (m *Model) Sever(c Cut) (*Model, error) {
	gone, err := m.severed(c)
	if gone == nil || err != nil {
		return m, err
	}
	out := m.sameMesh()
	out.gone = gone
	return out, out.nodal.factorise(out)
}

// severed finds the triangles to take away, by sheet; nil where there is
// nothing to cut.
func (m *Model) severed(c Cut) ([]map[int]bool, error) {
	x, y := float64(c.At.X)*1e-9, float64(c.At.Y)*1e-9
	sheet := m.sheetAt(c.Layer, x, y)
	if sheet < 0 {
		return nil, nil
	}
	for _, r := range cutRadii {
		if gone, severed := m.without(sheet, x, y, r); severed {
			return gone, nil
		}
	}
	return nil, ErrWhole
}

// Severs tells whether there is copper of either group to be cut at a place;
// ErrWhole says that it is too wide.
func (b *Bridge) Severs(c Cut) (bool, error) {
	for _, m := range b.Models {
		if gone, err := m.severed(c); gone != nil || err != nil {
			return gone != nil, err
		}
	}
	return false, nil
}

// sheetAt is the sheet of a layer that has copper at a point or close by, -1
// where there is none.
func (m *Model) sheetAt(layer int, x, y float64) int {
	const slack = 0.1e-3
	for i, s := range m.Group.Sheets {
		if s.Layer != layer {
			continue
		}
		for _, d := range [][2]float64{{0, 0}, {slack, 0}, {-slack, 0}, {0, slack}, {0, -slack}} {
			if _, _, found := m.meshes[i].Find(x+d[0], y+d[1]); found {
				return i
			}
		}
	}
	return -1
}

// without marks the triangles of a sheet within r of a point as gone, with
// those gone before, and tells whether what is left around them falls into two
// pieces or more.
func (m *Model) without(sheet int, x, y, r float64) (gone []map[int]bool, severed bool) {
	gone = make([]map[int]bool, len(m.meshes))
	for i := range gone {
		gone[i] = map[int]bool{}
		maps.Copy(gone[i], m.goneOf(i))
	}
	ms := m.meshes[sheet]
	pieces := unionfind.New(len(ms.X))
	var around []int
	for t, tri := range ms.Triangle {
		d := toTriangle(ms, tri, x, y)
		switch {
		case d <= r:
			gone[sheet][t] = true
		case d <= r+cutAround && !gone[sheet][t]:
			pieces.Join(int(tri[0]), int(tri[1]))
			pieces.Join(int(tri[0]), int(tri[2]))
			around = append(around, int(tri[0]))
		}
	}
	apart := func(v int) bool { return pieces.Find(v) != pieces.Find(around[0]) }
	return gone, slices.ContainsFunc(around, apart)
}

// toTriangle is the distance, in metres, from a point to a triangle: zero
// inside.
func toTriangle(ms *mesh.Mesh, tri [3]int32, x, y float64) float64 {
	inside, least := true, math.Inf(1)
	for k := range 3 {
		a, b := tri[k], tri[(k+1)%3]
		ex, ey := ms.X[b]-ms.X[a], ms.Y[b]-ms.Y[a]
		dx, dy := x-ms.X[a], y-ms.Y[a]
		inside = inside && ex*dy-ey*dx >= 0
		t := math.Max(0, math.Min(1, (dx*ex+dy*ey)/(ex*ex+ey*ey)))
		least = math.Min(least, math.Hypot(dx-t*ex, dy-t*ey))
	}
	if inside {
		return 0
	}
	return least
}

// goneOf gives the triangles of a sheet that a cut took away.
func (m *Model) goneOf(sheet int) map[int]bool {
	if sheet < len(m.gone) {
		return m.gone[sheet]
	}
	return nil
}

// Sever gives the bridge with a cut through the copper of either group; the
// same where there is none.
func (b *Bridge) Sever(c Cut) (*Bridge, error) {
	return b.changed(func(m *Model) (*Model, error) { return m.Sever(c) })
}
