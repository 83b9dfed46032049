package cache

import (
	"encoding/binary"
	"math"

	"ohmward/geom"
)

// Writer writes a result down: whole numbers in as few bytes as they need.
type Writer struct{ buf []byte }

// Int writes a whole number.
func (w *Writer) Int(v int64) { w.buf = binary.AppendVarint(w.buf, v) }

// Float writes a number, bit by bit.
func (w *Writer) Float(v float64) {
	w.buf = binary.LittleEndian.AppendUint64(w.buf, math.Float64bits(v))
}

// Floats writes a list of numbers.
func (w *Writer) Floats(v []float64) {
	w.Int(int64(len(v)))
	for _, x := range v {
		w.Float(x)
	}
}

// Bools writes a list of truth values.
func (w *Writer) Bools(v []bool) {
	w.Int(int64(len(v)))
	for _, x := range v {
		b := byte(0)
		if x {
			b = 1
		}
		w.buf = append(w.buf, b)
	}
}

// Int32s writes a list of whole numbers, as they differ from one to the next.
func (w *Writer) Int32s(v []int32) {
	w.Int(int64(len(v)))
	last := int32(0)
	for _, x := range v {
		w.Int(int64(x) - int64(last))
		last = x
	}
}

// Region writes a region, each point as it differs from the one before.
func (w *Writer) Region(r geom.Region) {
	w.Int(int64(len(r)))
	var last geom.Point
	for _, p := range r {
		w.Int(int64(len(p.Holes)))
		p.Rings(func(ring geom.Ring) {
			w.Int(int64(len(ring)))
			for _, at := range ring {
				w.Int(at.X - last.X)
				w.Int(at.Y - last.Y)
				last = at
			}
		})
	}
}

// Reader reads a result back. After the first fault it gives zeros, and what
// was read does not count.
type Reader struct {
	left []byte
	bad  bool
}

// Fail notes that what was read cannot be.
func (r *Reader) Fail() { r.bad, r.left = true, nil }

// Bad tells whether there was a fault.
func (r *Reader) Bad() bool { return r.bad }

// done tells whether all was read, soundly.
func (r *Reader) done() bool { return !r.bad && len(r.left) == 0 }

// Int reads a whole number.
func (r *Reader) Int() int64 {
	v, n := binary.Varint(r.left)
	if n <= 0 {
		r.Fail()
		return 0
	}
	r.left = r.left[n:]
	return v
}

// Len reads the length of a list whose items take at least size bytes each:
// no more than are left.
func (r *Reader) Len(size int) int {
	n := r.Int()
	if n < 0 || n > int64(len(r.left)/size) {
		r.Fail()
		return 0
	}
	return int(n)
}

// Float reads a number.
func (r *Reader) Float() float64 {
	if len(r.left) < 8 {
		r.Fail()
		return 0
	}
	v := math.Float64frombits(binary.LittleEndian.Uint64(r.left))
	r.left = r.left[8:]
	return v
}

// Floats reads a list of numbers.
func (r *Reader) Floats() []float64 {
	v := make([]float64, r.Len(8))
	for i := range v {
		v[i] = r.Float()
	}
	return v
}

// Bools reads a list of truth values.
func (r *Reader) Bools() []bool {
	v := make([]bool, r.Len(1))
	for i := range v {
		v[i] = r.left[i] != 0
	}
	r.left = r.left[len(v):]
	return v
}

// Int32s reads a list of whole numbers, each at least lo and below hi.
func (r *Reader) Int32s(lo, hi int) []int32 {
	v := make([]int32, r.Len(1))
	last := int64(0)
	for i := range v {
		last += r.Int()
		if last < int64(lo) || last >= int64(hi) {
			r.Fail()
			return nil
		}
		v[i] = int32(last)
	}
	return v
}

// Region reads a region.
func (r *Reader) Region() geom.Region {
	n := r.Len(8) // a triangle's least
	if n == 0 {
		return nil
	}
	var last geom.Point
	ring := func() geom.Ring {
		out := make(geom.Ring, r.Len(2))
		for i := range out {
			last.X += r.Int()
			last.Y += r.Int()
			out[i] = last
			if last.X > geom.MaxCoord || last.X < -geom.MaxCoord || last.Y > geom.MaxCoord || last.Y < -geom.MaxCoord {
				r.Fail()
				return nil
			}
		}
		if len(out) < 3 {
			r.Fail()
		}
		return out
	}
	out := make(geom.Region, n)
	for i := range out {
		holes := r.Len(7)
		out[i].Outer = ring()
		for range holes {
			out[i].Holes = append(out[i].Holes, ring())
		}
		if r.bad {
			return nil
		}
	}
	return out
}
