package cache

import (
	"crypto/sha256"
	"encoding/binary"
	"hash"
	"math"

	"ohmward/geom"
)

// Hasher makes a key of everything that a result depends on. Lists count
// with their lengths, so that no two inputs run together.
type Hasher struct {
	h   hash.Hash
	buf []byte
}

// NewKey begins the key of one kind of result.
func NewKey(kind string) *Hasher {
	h := &Hasher{h: sha256.New(), buf: make([]byte, 0, 1<<13)}
	h.text(kind)
	return h
}

// Ints takes in whole numbers.
func (h *Hasher) Ints(v ...int64) {
	for _, x := range v {
		h.word(uint64(x))
	}
}

// Floats takes in numbers, bit by bit.
func (h *Hasher) Floats(v ...float64) {
	for _, x := range v {
		h.word(math.Float64bits(x))
	}
}

// Bools takes in truth values.
func (h *Hasher) Bools(v ...bool) {
	for _, x := range v {
		var one uint64
		if x {
			one = 1
		}
		h.word(one)
	}
}

// Points takes in a list of points.
func (h *Hasher) Points(r []geom.Point) {
	h.Ints(int64(len(r)))
	for _, p := range r {
		h.Ints(p.X, p.Y)
	}
}

// Region takes in a region, ring by ring.
func (h *Hasher) Region(r geom.Region) {
	h.Ints(int64(len(r)))
	for _, p := range r {
		h.Ints(int64(len(p.Holes)))
		p.Rings(func(ring geom.Ring) { h.Points(ring) })
	}
}

func (h *Hasher) word(x uint64) {
	h.buf = binary.LittleEndian.AppendUint64(h.buf, x)
	if len(h.buf) > 1<<13-8 {
		h.flush()
	}
}

func (h *Hasher) flush() {
	h.h.Write(h.buf)
	h.buf = h.buf[:0]
}

// Key ends the key.
func (h *Hasher) Key() (k Key) {
	h.flush()
	h.h.Sum(k[:0])
	return k
}
