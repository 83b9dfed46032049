package picture

import "image/color"

// The inks. Lightness (CIE L*) of the paper is about 98, of the second net's
// ochre 70, of the first net's blue 38 and of the heat 35, so that paper, the
// two nets and the marks differ in grey too; the heat differs from the blue
// by its white rim and its shape.
var (
	paper     = color.NRGBA{0xfb, 0xf9, 0xf5, 0xff}
	laminate  = color.NRGBA{0xf1, 0xed, 0xe4, 0xff}
	edge      = color.NRGBA{0x8a, 0x84, 0x7a, 0xff}
	body      = color.NRGBA{0x6b, 0x66, 0x5e, 0xff}
	words     = color.NRGBA{0x2b, 0x2a, 0x28, 0xff}
	quiet     = color.NRGBA{0x6f, 0x6a, 0x62, 0xff}
	white     = color.NRGBA{0xff, 0xff, 0xff, 0xff}
	heat      = color.NRGBA{0xa6, 0x0f, 0x4c, 0xff}
	redLead   = color.NRGBA{0xb3, 0x1b, 0x1b, 0xff}
	blackLead = color.NRGBA{0x1c, 0x1c, 0x1c, 0xff}

	netInks = [2]color.NRGBA{{0x2a, 0x5a, 0x8f, 0xff}, {0xdd, 0xa7, 0x3c, 0xff}}
)

// Shares of each net's ink for copper on the face and behind it. The second
// net is often a pour over the whole board, so it is the paler.
var (
	faceShare   = [2]float64{0.88, 0.70}
	behindShare = [2]float64{0.28, 0.24}
)

// share gives the colour with its opacity scaled.
func share(c color.NRGBA, s float64) color.NRGBA {
	c.A = uint8(float64(c.A)*max(0, min(1, s)) + 0.5)
	return c
}
