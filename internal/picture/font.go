package picture

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
)

// typeface reads a built-in font when it is first asked for.
func typeface(data []byte) func() *opentype.Font {
	return sync.OnceValue(func() *opentype.Font {
		f, err := opentype.Parse(data)
		if err != nil {
			panic("picture: built-in font: " + err.Error())
		}
		return f
	})
}

var regular, bold = typeface(goregular.TTF), typeface(gobold.TTF)

// faceOf gives the face of a size. It is not safe for use by several
// goroutines at once.
func faceOf(size float64, heavy bool) font.Face {
	face := regular
	if heavy {
		face = bold
	}
	f, err := opentype.NewFace(face(), &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		panic("picture: built-in font: " + err.Error())
	}
	return f
}

// textWidth is the width of a text in pixels.
func textWidth(s string, size float64, heavy bool) float64 {
	return float64(font.MeasureString(faceOf(size, heavy), s)) / 64
}

// fitted cuts a text to a width.
func fitted(s string, size float64, heavy bool, wide float64) string {
	if textWidth(s, size, heavy) <= wide {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && textWidth(string(r)+"…", size, heavy) > wide {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}
