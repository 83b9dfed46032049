package geom_test

import (
	"fmt"

	"ohmward/geom"
)

// A plane is painted dark, an antipad clear, and a via pad dark in its middle.
func ExamplePaint() {
	centre := geom.FromMM(5, 5)
	r := geom.Paint([]geom.Coat{
		{Dark: true, Rings: []geom.Ring{geom.Rectangle(geom.Box{Max: geom.FromMM(10, 10)})}},
		{Dark: false, Rings: []geom.Ring{geom.Circle(centre, 500_000, 100)}},
		{Dark: true, Rings: []geom.Ring{geom.Circle(centre, 300_000, 100)}},
	})
	find := geom.NewLocator(r)
	fmt.Println(len(r), "pieces of copper")
	fmt.Println("plane:", find.Locate(geom.FromMM(1, 1)))
	fmt.Println("gap:", find.Locate(geom.FromMM(5.4, 5)))
	fmt.Println("pad:", find.Locate(centre))
	// Output:
	// 2 pieces of copper
	// plane: 0
	// gap: -1
	// pad: 1
}
