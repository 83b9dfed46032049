package placement_test

import (
	"fmt"
	"strings"

	"ohmward/format/placement"
)

func ExampleRead() {
	file := `Designator,Comment,Center-X(mm),Center-Y(mm),Layer,Rotation
C1,100n,12.5,3.25,TopLayer,90
`
	table, err := placement.Read(strings.NewReader(file), "board.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(table.Kind)
	for _, r := range table.Rows {
		fmt.Println(r.Ref, r.Value, r.At, r.Side, r.Rotation)
	}
	// Output:
	// pick-and-place list
	// C1 100n {12500000 3250000} top 90
}
