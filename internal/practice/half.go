package practice

import (
	"sync"

	"ohmward/internal/conduct"
)

// Layers tells what one group adds to a reading, as conduct.Layers does.
type Layers interface {
	Half(g int, r conduct.Reading) (rows, ties [][]float64, err error)
}

// Halves keeps what one group adds to readings, at every short. A two-wire
// reading is the sum of two halves, each decided by one tip; so some hundred
// solutions serve every pair. It may be used by several goroutines.
type Halves struct {
	layers Layers
	mu     sync.Mutex
	known  map[conduct.Reading]*Half
}

// Half is a reading's parts on one group, as conduct.Layers.Half has them, or
// why it has none.
type Half struct {
	Rows, Ties [][]float64 // ohms, by short
	Err        error
	once       sync.Once
}

// mostHalves bounds the memory: 4,000 shorts and three rows make 0.1 MB each.
// What goes beyond is solved anew whenever it is asked for.
const mostHalves = 3000

// NewHalves begins with none known.
func NewHalves(layers Layers) *Halves {
	return &Halves{layers: layers, known: map[conduct.Reading]*Half{}}
}

// TwoWire is the half of a two-wire reading on a tip's group.
func (h *Halves) TwoWire(tip conduct.Probe) *Half {
	far := conduct.Probe{Group: 1 - tip.Group}
	return h.get(conduct.Reading{In: tip, Out: far, High: tip, Low: far})
}

// FourWire is a four-wire reading with current in on a group and out on the
// other, volts between two places of the first.
func (h *Halves) FourWire(in, high, low conduct.Probe) *Half {
	return h.get(conduct.Reading{In: in, Out: conduct.Probe{Group: 1 - in.Group}, High: high, Low: low})
}

func (h *Halves) get(r conduct.Reading) *Half {
	h.mu.Lock()
	one := h.known[r]
	if one == nil {
		one = new(Half)
		if len(h.known) < mostHalves {
			h.known[r] = one
		}
	}
	h.mu.Unlock()
	one.once.Do(func() { one.Rows, one.Ties, one.Err = h.layers.Half(r.In.Group, r) })
	return one
}
