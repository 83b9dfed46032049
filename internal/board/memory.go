package board

import (
	"crypto/sha256"
	"slices"
	"sync"

	"ohmward/format/gerber"
	"ohmward/internal/geom"
)

// memory keeps images by the content of their files, as read and as painted,
// so that a set that differs in one file from one read before costs that file
// only.
type memory struct {
	mu      sync.Mutex
	images  map[digest]*gerber.Image
	painted map[digest]geom.Region
}

// digest is a file's content.
type digest [sha256.Size]byte

func newMemory() *memory {
	return &memory{images: map[digest]*gerber.Image{}, painted: map[digest]geom.Region{}}
}

// image gives a copy of the image of a content, reading it where it is new.
func (m *memory) image(d digest, read func() (*gerber.Image, error)) (*gerber.Image, error) {
	m.mu.Lock()
	img := m.images[d]
	m.mu.Unlock()
	if img == nil {
		var err error
		if img, err = read(); err != nil {
			return img, err
		}
		m.mu.Lock()
		m.images[d] = img
		m.mu.Unlock()
	}
	out := *img
	out.Objects = slices.Clone(img.Objects) // pins are written into them
	return &out, nil
}

// region gives what a content paints, painting it where it is new.
func (m *memory) region(d digest, paint func() (geom.Region, error)) (geom.Region, error) {
	m.mu.Lock()
	r, ok := m.painted[d]
	m.mu.Unlock()
	if ok {
		return r, nil
	}
	r, err := paint()
	if err == nil {
		m.mu.Lock()
		m.painted[d] = r
		m.mu.Unlock()
	}
	return r, err
}
