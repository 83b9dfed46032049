package gerber

import (
	"slices"

	"ohmward/geom"
)

// frame collects the objects of an open aperture block or step-and-repeat.
type frame struct {
	block    int // D code of a block; 0: step and repeat
	nx, ny   int
	dx, dy   int64 // nanometres
	objects  []Object
	function []string
}

// emit adds an object to the innermost open frame or to the image.
func (r *reader) emit(o Object) {
	r.objects++
	r.corners += corners(o.Rings) + len(o.Via)
	if r.objects > r.limits.objects || r.corners > r.limits.corners {
		panic(r.tooLarge())
	}
	if reach(o.Rings) > geom.MaxCoord {
		panic(r.beyond())
	}
	if n := len(r.frames); n > 0 {
		f := r.frames[n-1]
		f.objects = append(f.objects, o)
		return
	}
	r.img.Objects = append(r.img.Objects, o)
}

func (r *reader) beyond() error {
	return r.Malformed("object reaches beyond a metre from the origin")
}

func (r *reader) tooLarge() error {
	return r.Unsupported("too large: more than %d objects or %d corners", r.limits.objects, r.limits.corners)
}

func (r *reader) openFrame(f *frame) {
	if len(r.frames) >= maxDepth {
		panic(r.Unsupported("blocks and steps nested deeper than %d", maxDepth))
	}
	r.frames = append(r.frames, f)
}

// closeFrame ends the innermost frame: a block becomes an aperture, a step is
// repeated into what surrounds it.
func (r *reader) closeFrame() {
	f := r.frames[len(r.frames)-1]
	r.frames = r.frames[:len(r.frames)-1]
	if f.block != 0 {
		r.addAperture(&aperture{code: f.block, isBlock: true, block: f.objects, function: f.function})
		return
	}
	r.forget(f.objects) // counted again, once for each copy
	if len(f.objects) == 0 {
		return
	}
	if f.nx*f.ny > r.limits.objects/len(f.objects) {
		panic(r.tooLarge())
	}
	for ix := range f.nx {
		for iy := range f.ny {
			d := geom.Point{X: int64(ix) * f.dx, Y: int64(iy) * f.dy}
			for _, o := range f.objects {
				r.emit(shifted(o, d))
			}
		}
	}
}

// forget takes objects out of the count against the limits.
func (r *reader) forget(objects []Object) {
	r.objects -= len(objects)
	for _, o := range objects {
		r.corners -= corners(o.Rings) + len(o.Via)
	}
}

func shifted(o Object, d geom.Point) Object {
	if d == (geom.Point{}) {
		return o
	}
	o.Rings = move(o.Rings, d)
	o.At.X, o.At.Y = o.At.X+d.X, o.At.Y+d.Y
	o.To.X, o.To.Y = o.To.X+d.X, o.To.Y+d.Y
	if o.Via != nil {
		o.Via = move([]geom.Ring{o.Via}, d)[0]
	}
	return o
}

// flashBlock places a copy of a block. Clear polarity toggles each object's;
// attributes given at the flash win over those inside the block.
func (r *reader) flashBlock(a *aperture, at geom.Point) {
	for _, o := range a.block {
		if len(o.Rings) > 0 && float64(reach(o.Rings))*r.turning.scale > 2*geom.MaxCoord {
			panic(r.beyond())
		}
		if r.turning != unturned {
			o = r.turning.object(o)
			o.Rings = slices.Clone(rings(o.Rings...))
		}
		o = shifted(o, at)
		o.Dark = o.Dark != r.light
		o.Line = r.Line
		r.labels.override(&o)
		r.emit(o)
	}
}
