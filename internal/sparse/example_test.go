package sparse_test

import (
	"fmt"

	"ohmward/internal/sparse"
)

// The resistance between opposite corners of a cube of twelve 1 ohm
// resistors is 5/6 ohm.
func Example() {
	b := sparse.NewBuilder(8)
	x, y := make([]float64, 8), make([]float64, 8)
	for i := range 8 {
		x[i], y[i] = float64(i&1), float64(i>>1&1)
		for _, bit := range []int{1, 2, 4} {
			if j := i ^ bit; i < j {
				b.Add(i, i, 1)
				b.Add(j, j, 1)
				b.Add(i, j, -1)
			}
		}
	}
	b.Add(3, 3, 1) // ground one node
	f, err := sparse.Factorise(b.Build(), x, y)
	if err != nil {
		fmt.Println(err)
		return
	}
	p := f.ForwardMany([]sparse.Vector{{Index: []int32{0, 7}, Value: []float64{1, -1}}})[0]
	fmt.Printf("%.6f ohm\n", sparse.Dot(p, p))
	// Output: 0.833333 ohm
}
