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
	fmt.Printf("more than ten triangles: %v, found: %v %v\n", len(m.Triangle) > 10, inside, outside)
	// Output: more than ten triangles: true, found: true false
}
