package ipcd356_test

import (
	"fmt"
	"strings"

	"ohmward/format/ipcd356"
	"ohmward/geom"
)

func ExampleRead() {
	file := `P  UNITS CUST 1
P  NNAME1 SUPPLY_OF_THE_ANALOGUE_PART
327NNAME1           U3    -5          A01X+005000Y+003000X0600Y0300R000S0
317GND              VIA        MD0300PA00X+008000Y+003000X0600Y0000R000S3
999
`
	f, err := ipcd356.Read(strings.NewReader(file), "board.ipc")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range f.Records {
		fmt.Println(r.Net, r.Ref, r.Pin, r.At, r.Hole)
	}
	move, _ := ipcd356.Fit(f.Records, []geom.Point{{X: 15_000_000, Y: 3_000_000}, {X: 18_000_000, Y: 3_000_000}})
	fmt.Println(move.Offset, move.Share())
	// Output:
	// SUPPLY_OF_THE_ANALOGUE_PART U3 5 {5000000 3000000} 0
	// GND   {8000000 3000000} 300000
	// {10000000 0} 1
}
