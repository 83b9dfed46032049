package excellon_test

import (
	"fmt"
	"strings"

	"ohmward/format/excellon"
)

func ExampleRead() {
	file := `M48
; #@! TF.FileFunction,Plated,1,2,PTH
METRIC
T1C0.3
T2C1.0
%
T1
X5.0Y3.0
T2
X8.0Y3.0G85X9.5Y3.0
M30
`
	f, err := excellon.Read(strings.NewReader(file), "board.drl")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, h := range f.Hits {
		fmt.Println(h.At, h.To, h.Diameter, h.Plating == excellon.Plated)
	}
	// Output:
	// {5000000 3000000} {5000000 3000000} 300000 true
	// {8000000 3000000} {9500000 3000000} 1000000 true
}
