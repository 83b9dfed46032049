package picture

import (
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// raster paints on pixels, with soft edges.
type raster struct {
	img    *image.RGBA
	within image.Rectangle
	pen    *vector.Rasterizer
}

func newRaster(w, h int) *raster {
	r := &raster{img: image.NewRGBA(image.Rect(0, 0, w, h)), pen: vector.NewRasterizer(1, 1)}
	r.within = r.img.Bounds()
	draw.Draw(r.img, r.within, image.NewUniform(paper), image.Point{}, draw.Src)
	return r
}

func (r *raster) write(w io.Writer) error { return png.Encode(w, r.img) }

func (r *raster) clip(c rect) {
	r.within = image.Rect(int(c.x), int(c.y), int(math.Ceil(c.x+c.w)),
		int(math.Ceil(c.y+c.h))).Intersect(r.img.Bounds())
}

// fill rasterises the rings over their own box alone: most shapes are small.
func (r *raster) fill(paths []path, c color.NRGBA) {
	box := pixelBox(paths).Intersect(r.within)
	if box.Empty() {
		return
	}
	r.pen.Reset(box.Dx(), box.Dy())
	x0, y0 := float64(box.Min.X), float64(box.Min.Y)
	for _, p := range paths {
		// The rasteriser wants finite coordinates near its window; what lies
		// far outside is brought to its border, which leaves the inside as
		// it is.
		for i, q := range near(p, box) {
			x, y := float32(q.x-x0), float32(q.y-y0)
			if i == 0 {
				r.pen.MoveTo(x, y)
			} else {
				r.pen.LineTo(x, y)
			}
		}
		r.pen.ClosePath()
	}
	r.pen.Draw(r.img, box, image.NewUniform(c), image.Point{})
}

// near clips a ring to the rectangle by its four sides in turn (Sutherland
// and Hodgman 1974); the winding within stays as it was.
func near(p path, box image.Rectangle) path {
	const rim = 2
	for _, depth := range []func(pt) float64{
		func(q pt) float64 { return q.x - float64(box.Min.X-rim) },
		func(q pt) float64 { return float64(box.Max.X+rim) - q.x },
		func(q pt) float64 { return q.y - float64(box.Min.Y-rim) },
		func(q pt) float64 { return float64(box.Max.Y+rim) - q.y },
	} {
		if len(p) == 0 {
			return nil
		}
		var out path
		last := p[len(p)-1]
		for _, q := range p {
			a, b := depth(last), depth(q)
			if (a < 0) != (b < 0) {
				t := a / (a - b)
				out = append(out, pt{last.x + t*(q.x-last.x), last.y + t*(q.y-last.y)})
			}
			if b >= 0 {
				out = append(out, q)
			}
			last = q
		}
		p = out
	}
	return p
}

func pixelBox(paths []path) image.Rectangle {
	lo, hi := pt{math.Inf(1), math.Inf(1)}, pt{math.Inf(-1), math.Inf(-1)}
	for _, p := range paths {
		for _, q := range p {
			lo.x, lo.y = min(lo.x, q.x), min(lo.y, q.y)
			hi.x, hi.y = max(hi.x, q.x), max(hi.y, q.y)
		}
	}
	if lo.x > hi.x {
		return image.Rectangle{}
	}
	const far = 1 << 20
	whole := func(x float64) int { return int(max(-far, min(far, x))) }
	return image.Rect(whole(math.Floor(lo.x)), whole(math.Floor(lo.y)), whole(math.Ceil(hi.x))+1,
		whole(math.Ceil(hi.y))+1)
}

func (r *raster) disc(at pt, radius float64, c color.NRGBA) {
	r.fill([]path{circle(at, radius, false)}, c)
}

func (r *raster) ring(at pt, radius, width float64, c color.NRGBA) {
	r.fill([]path{circle(at, radius+width/2, false), circle(at, max(0.01, radius-width/2), true)}, c)
}

func (r *raster) line(pts []pt, closed bool, width float64, c color.NRGBA) {
	r.fill(stroked(pts, closed, width), c)
}

func (r *raster) text(at pt, a anchor, size float64, heavy bool, s string, c color.NRGBA) {
	x := anchored(at.x, a, textWidth(s, size, heavy))
	d := font.Drawer{Dst: r.img.SubImage(r.within).(*image.RGBA), Src: image.NewUniform(c),
		Face: faceOf(size, heavy), Dot: fixed.Point26_6{X: fixed.Int26_6(x * 64), Y: fixed.Int26_6(at.y * 64)}}
	d.DrawString(s)
}

// anchored gives the left end of a text; an anchor counts half widths.
func anchored(x float64, a anchor, wide float64) float64 {
	return x - wide*float64(a)/2
}
