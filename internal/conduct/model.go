package conduct

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"ohmward/geom"
	"ohmward/internal/cache"
	"ohmward/internal/mesh"
	"ohmward/internal/parallel"
	"ohmward/internal/sparse"
)

// Disc is a contact: an equipotential disc on one layer, clipped to the
// copper; a disc that touches a plated hole takes that hole's rim along.
type Disc struct {
	Layer    int        // 0-based
	At       geom.Point // its middle
	Diameter int64      // nanometres; 0: only the rim of the hole at At
}

// metres gives the disc's middle and radius in metres.
func (d Disc) metres() (x, y, r float64) {
	return float64(d.At.X) * 1e-9, float64(d.At.Y) * 1e-9, float64(d.Diameter) / 2 * 1e-9
}

// Options says how finely a group is solved.
type Options struct {
	Discs    []Disc             // contacts whose rims the mesh follows
	Sizes    []SheetSize        // wished edge lengths, e.g. at suspect places
	MaxEdge  int64              // longest edge, nanometres; 0: 2.5 mm
	Grading  float64            // growth of edges with distance; 0: 0.5
	MinAngle float64            // degrees; 0: 25
	Simplify int64              // outline simplification, nanometres; negative: none; 0: 1 µm
	Edge     bool               // also solve with nonconforming elements: the other bound
	Progress func(stage string) // told of each stage; nil: nobody

	// Memory is how many bytes factoring one matrix may take; 0: 4 GB. What
	// does not fit is solved by iteration, to the same digits but slower; its
	// vectors and the solutions that are held at once count too.
	Memory int64

	Cache *cache.Store // of meshes and elimination orders; nil: none
}

// SheetSize is a wished edge length on one layer.
type SheetSize struct {
	Layer int // 0-based
	mesh.Size
}

// Model is a group meshed, assembled and factored.
type Model struct {
	Group    Group // what was meshed
	meshes   []*mesh.Mesh
	discs    map[Disc]bool
	rimEdges []map[Disc][]halfEdge // per sheet: the mesh edges on contacts' rims
	rims     *rimFinder
	gone     []map[int]bool // per sheet: triangles that cuts took away
	nodal    *space
	edge     *space // nil unless asked for

	patches *patchStore
	memory  int64
	cache   *cache.Store
	tieOnce sync.Once
	ties    []sparse.Path
}

// Build meshes and factors a group. It fails on a group without copper, and
// with the mesher's or the solver's error.
func Build(ctx context.Context, g Group, o Options) (*Model, error) {
	if len(g.Sheets) == 0 {
		return nil, fmt.Errorf("%s has no copper", g.Name)
	}
	o = o.withDefaults()
	m := &Model{
		Group:   g,
		discs:   map[Disc]bool{},
		rims:    newRimFinder(g.Barrels),
		cache:   o.Cache,
		memory:  o.Memory,
		patches: newPatchStore(),
	}
	o.Discs = slices.DeleteFunc(slices.Clone(o.Discs), func(d Disc) bool {
		known := m.discs[d]
		m.discs[d] = true
		return known
	})
	o.Progress("meshing " + g.Name)
	if err := m.triangulate(ctx, o); err != nil {
		return nil, err
	}
	o.Progress("solving " + g.Name)
	return m, m.solveSpaces(ctx, o.Edge)
}

// sameMesh gives a model of the same mesh and unknowns, to be factored with
// other copper. It has no edge space.
func (m *Model) sameMesh() *Model {
	out := &Model{
		Group: m.Group, meshes: m.meshes, rimEdges: m.rimEdges, discs: m.discs, rims: m.rims, gone: m.gone,
		cache: m.cache, memory: m.memory, patches: newPatchStore(),
	}
	out.nodal = &space{dof: m.nodal.dof, rim: m.nodal.rim, x: m.nodal.x, y: m.nodal.y}
	return out
}

func (o Options) withDefaults() Options {
	o.MaxEdge = cmp.Or(o.MaxEdge, 2_500_000)
	o.Grading = cmp.Or(o.Grading, 0.5)
	o.Simplify = cmp.Or(o.Simplify, 1000)
	o.Memory = cmp.Or(o.Memory, 4<<30)
	if o.Progress == nil {
		o.Progress = func(string) {}
	}
	return o
}

// triangulate meshes every sheet, on all cores.
func (m *Model) triangulate(ctx context.Context, o Options) error {
	m.meshes = make([]*mesh.Mesh, len(m.Group.Sheets))
	m.rimEdges = make([]map[Disc][]halfEdge, len(m.Group.Sheets))
	return parallel.Try(ctx, len(m.meshes), func(i int) error {
		sheet := m.Group.Sheets[i]
		in, curved := m.meshInput(sheet, o)
		got, err := mesh.TriangulateCached(o.Cache, in)
		if err != nil {
			return fmt.Errorf("%s on L%d: %w", m.Group.Name, sheet.Layer+1, err)
		}
		m.meshes[i], m.rimEdges[i] = got, findRims(got, curved)
		return nil
	})
}

// meshInput also gives the disc whose rim each curve is.
func (m *Model) meshInput(sheet Sheet, o Options) (in mesh.Input, curved []Disc) {
	in = mesh.Input{
		Region: sheet.Copper, MaxEdge: o.MaxEdge, Grading: o.Grading,
		MinAngle: o.MinAngle, Simplify: max(0, o.Simplify),
	}
	led := sync.OnceValue(func() *rimTracer { return newRimTracer(sheet, m.rims) })
	for _, d := range o.Discs {
		if d.Layer == sheet.Layer && d.Diameter > 0 {
			in.Curves = append(in.Curves, closed(led().rim(d)))
			curved = append(curved, d)
			in.Sizes = append(in.Sizes, mesh.Size{At: d.At, Radius: d.Diameter, Edge: d.Diameter / contactEdges})
		}
	}
	for _, s := range o.Sizes {
		if s.Layer == sheet.Layer {
			in.Sizes = append(in.Sizes, s.Size)
		}
	}
	return in, curved
}

// halfEdge is the edge of a triangle opposite one of its corners.
type halfEdge struct{ triangle, corner int }

// findRims finds the mesh edges on each disc's rim, each once, as an edge of
// one of its triangles.
func findRims(ms *mesh.Mesh, curved []Disc) map[Disc][]halfEdge {
	wanted := map[[2]int32][]int32{}
	for _, e := range ms.CurveEdges {
		key := [2]int32{min(e.A, e.B), max(e.A, e.B)}
		wanted[key] = append(wanted[key], e.Curve)
	}
	rims := map[Disc][]halfEdge{}
	for t, tri := range ms.Triangle {
		for k := range 3 {
			a, b := tri[(k+1)%3], tri[(k+2)%3]
			key := [2]int32{min(a, b), max(a, b)}
			for _, c := range wanted[key] {
				if d := curved[c]; d.onRim(ms, a) && d.onRim(ms, b) {
					rims[d] = append(rims[d], halfEdge{t, k})
				}
			}
			delete(wanted, key)
		}
	}
	return rims
}

// discSlack is how far, in metres, a vertex on a disc's rim may lie from it:
// where the rim touches an outline it follows that, as simplified.
const discSlack = 2e-6

// onRim tells whether a vertex on the disc's curve lies on the disc: a curve
// that runs along an outline may be led on to the outline's next vertex.
func (d Disc) onRim(ms *mesh.Mesh, v int32) bool {
	x, y, r := d.metres()
	return math.Abs(math.Hypot(ms.X[v]-x, ms.Y[v]-y)-r) < 0.01*r+discSlack
}

// contactEdges is how many edges of the mesh span a contact's diameter around
// it.
const contactEdges = 8

// rimSides is the number of sides of a contact's polygon.
const rimSides = 24

// rim is the contact's outline: a polygon of the disc's area, whose spreading
// resistance is the disc's to better than a part in a thousand. Its corners
// point along the axes and the diagonals, so that on copper just as wide as
// the disc they cut the outline instead of leaving a sliver of copper beside it.
func (d Disc) rim() geom.Ring {
	step := 2 * math.Pi / rimSides
	r := float64(d.Diameter) / 2 * math.Sqrt(step/math.Sin(step))
	ring := make(geom.Ring, rimSides)
	for i := range ring {
		a := step * float64(i)
		ring[i] = geom.Point{
			X: d.At.X + int64(math.Round(r*math.Cos(a))),
			Y: d.At.Y + int64(math.Round(r*math.Sin(a))),
		}
	}
	return ring
}

func closed(r geom.Ring) []geom.Point { return append(append([]geom.Point{}, r...), r[0]) }
