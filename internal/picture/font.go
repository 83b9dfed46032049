package picture

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// typeface is a parsed font with its faces by size. Faces are not safe for
// use by several goroutines at once, so each use holds the lock.
type typeface struct {
	mu    sync.Mutex
	data  []byte
	font  *opentype.Font
	faces map[float64]font.Face
}

var (
	regular = &typeface{data: goregular.TTF}
	bold    = &typeface{data: gobold.TTF}
)

func typefaceOf(heavy bool) *typeface {
	if heavy {
		return bold
	}
	return regular
}

// with runs do with the face of the size.
func (t *typeface) with(size float64, do func(font.Face)) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.font == nil {
		f, err := opentype.Parse(t.data)
		if err != nil {
			panic("picture: built-in font: " + err.Error())
		}
		t.font, t.faces = f, map[float64]font.Face{}
	}
	face := t.faces[size]
	if face == nil {
		var err error
		face, err = opentype.NewFace(t.font, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
		if err != nil {
			panic("picture: built-in font: " + err.Error())
		}
		t.faces[size] = face
	}
	do(face)
}

// textWidth is the width of a text in pixels.
func textWidth(s string, size float64, heavy bool) float64 {
	var w fixed.Int26_6
	typefaceOf(heavy).with(size, func(f font.Face) { w = font.MeasureString(f, s) })
	return float64(w) / 64
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
