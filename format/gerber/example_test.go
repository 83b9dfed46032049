package gerber_test

import (
	"fmt"
	"strings"

	"ohmward/format/gerber"
)

func ExampleRead() {
	file := `%FSLAX24Y24*%
%MOMM*%
%TF.FileFunction,Copper,L1,Top*%
%TA.AperFunction,SMDPad,CuDef*%
%ADD10R,1.2X0.8*%
%TO.P,C7,1*%
%TO.N,GND*%
D10*
X50000Y30000D03*
M02*
`
	img, err := gerber.Read(strings.NewReader(file), "top.gbr")
	if err != nil {
		fmt.Println(err)
		return
	}
	pad := img.Objects[0]
	x, y := pad.At.MM()
	fmt.Println(img.Attributes[".FileFunction"], pad.Ref, pad.Pin, pad.Nets, x, y)
	fmt.Println(pad.Rings[0])
	// Output:
	// [Copper L1 Top] C7 1 [GND] 5 3
	// [{4400000 2600000} {5600000 2600000} {5600000 3400000} {4400000 3400000}]
}
