package mesh_test

import (
	"fmt"

	"ohmward/geom"
	"ohmward/internal/mesh"
)

// A strip of copper, 10 mm by 1 mm, with small triangles at its left end.
func Example() {
	strip := geom.Region{{Outer: geom.Ring{{X: 0, Y: 0}, {X: 10_000_000, Y: 0}, {X: 10_000_000, Y: 1_000_000},
		{X: 0, Y: 1_000_000}}}}
	m, err := mesh.Triangulate(mesh.Input{
		Region: strip,
		Sizes:  []mesh.Size{{At: geom.Point{X: 0, Y: 500_000}, Edge: 200_000}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	_, _, inside := m.Find(0.005, 0.0005)
	_, _, outside := m.Find(0.005, 0.0015)
	fmt.Printf("%.1f mm2, least angle at least 25: %v, found: %v %v\n", m.Area*1e6, m.WorstAngle >= 25,
		inside, outside)
	// Output: 10.0 mm2, least angle at least 25: true, found: true false
}
