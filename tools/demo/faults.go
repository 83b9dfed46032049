package main

import (
	"encoding/json"
	"fmt"
	"math"
)

// fault is the true place of one failed unit's short. Lengths in the file
// are millimetres in the board's frame, resistances ohms.
type fault struct {
	Case   string      `json:"case"`
	What   string      `json:"what"`
	Kind   string      `json:"kind"`
	Nets   [2]string   `json:"nets"`
	Layer  string      `json:"layer"`
	OnA    string      `json:"on_a"`
	OnB    string      `json:"on_b"`
	X      float64     `json:"x_mm"`
	Y      float64     `json:"y_mm"`
	X2     float64     `json:"x2_mm"`
	Y2     float64     `json:"y2_mm"`
	Gap    float64     `json:"gap_mm"`
	Ohms   float64     `json:"ohms"`
	Hidden bool        `json:"hidden"`
	Metal  []metal     `json:"metal,omitempty"`
	Probes [][2]string `json:"probes"`
}

// metal is a body that the copper files do not show.
type metal struct {
	Part string `json:"part"`
	Net  string `json:"net"`
}

// pin names a pad.
type pin struct{ ref, pin string }

func (p pin) String() string { return p.ref + "." + p.pin }

// faultSpec says between which pads a short lies and where to read it.
type faultSpec struct {
	name, what, kind string
	a, b             pin
	ohms             float64
	hidden           bool
	metal            []metal
	probes           [][2]string
}

var faultSpecs = []faultSpec{
	{"shell", "solder under the card socket's shell joins contact 4 to the shell's inner tab", "gap",
		pin{"J3", "4"}, pin{"J3", "S5"}, 0.002, true, []metal{{"J3", "GND"}},
		[][2]string{{"C3.2", "C3.1"}, {"C9.1", "C9.2"}, {"C8.1", "C8.2"}, {"C25.1", "C25.2"}, {"C26.1", "C26.2"},
			{"C34.1", "C34.2"}}},
	{"capacitor", "a cracked capacitor at the instrumentation amplifier", "part",
		pin{"C14", "1"}, pin{"C14", "2"}, 0.35, false, nil,
		[][2]string{{"FB1.2", "C29.2"}, {"C29.1", "C29.2"}, {"C14.1", "C14.2"}, {"C16.1", "C16.2"},
			{"C33.1", "C33.2"}, {"R10.1", "C10.2"}}},
	{"pins", "a solder bridge between two pins of the microcontroller", "gap",
		pin{"U1", "42"}, pin{"U1", "41"}, 0.008, false, nil,
		[][2]string{{"C8.1", "TP6.1"}, {"R5.2", "R5.1"}, {"C9.1", "C23.1"}, {"TP1.1", "TP6.1"}, {"C7.1", "R5.1"},
			{"C3.2", "C23.1"}}},
}

// faultsFile writes the true places, worked out from the pads.
func faultsFile(b *board) ([]byte, error) {
	var list []fault
	for _, s := range faultSpecs {
		la, lb := b.padOf(s.a.ref, s.a.pin), b.padOf(s.b.ref, s.b.pin)
		p, q, err := facing(la, lb)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.name, err)
		}
		if err := b.checkProbes(s, la.net, lb.net); err != nil {
			return nil, err
		}
		list = append(list, fault{
			Case: s.name, What: s.what, Kind: s.kind, Nets: [2]string{b.nets[la.net], b.nets[lb.net]},
			Layer: "L1", OnA: s.a.String(), OnB: s.b.String(),
			X: float64(p.x) / 1000, Y: float64(p.y) / 1000, X2: float64(q.x) / 1000, Y2: float64(q.y) / 1000,
			Gap:  math.Round(hypot(float64(p.x-q.x), float64(p.y-q.y))) / 1000,
			Ohms: s.ohms, Hidden: s.hidden, Metal: s.metal, Probes: s.probes,
		})
	}
	out, err := json.MarshalIndent(map[string]any{"schema": 1, "faults": list}, "", "  ")
	return append(out, '\n'), err
}

// facing gives the middles of the edges with which two pads face each other.
func facing(a, b land) (point, point, error) {
	if lo, hi := max(a.at.x-a.w/2, b.at.x-b.w/2), min(a.at.x+a.w/2, b.at.x+b.w/2); lo < hi {
		x, up := (lo+hi)/2, sign(b.at.y-a.at.y)
		return point{x, a.at.y + up*a.h/2}, point{x, b.at.y - up*b.h/2}, nil
	}
	if lo, hi := max(a.at.y-a.h/2, b.at.y-b.h/2), min(a.at.y+a.h/2, b.at.y+b.h/2); lo < hi {
		y, right := (lo+hi)/2, sign(b.at.x-a.at.x)
		return point{a.at.x + right*a.w/2, y}, point{b.at.x - right*b.w/2, y}, nil
	}
	return point{}, point{}, fmt.Errorf("pads %s.%s and %s.%s do not face each other", a.ref, a.pin, b.ref,
		b.pin)
}

func sign(v int) int {
	if v < 0 {
		return -1
	}
	return 1
}

// checkProbes makes sure that every probe place is on its net and that no
// body stands over it.
func (b *board) checkProbes(s faultSpec, netA, netB int) error {
	for _, pair := range s.probes {
		for side, name := range pair {
			want := [2]int{netA, netB}[side]
			l, ok := b.landNamed(name)
			if !ok || l.net != want {
				return fmt.Errorf("%s: probe place %s is not on net %s", s.name, name, b.nets[want])
			}
			for _, p := range b.parts {
				if !p.bare && p.body.dist(float64(l.at.x), float64(l.at.y)) <= 0 {
					return fmt.Errorf("%s: probe place %s lies under %s", s.name, name, p.ref)
				}
			}
		}
	}
	return nil
}

// landNamed finds a pad by REF.PIN.
func (b *board) landNamed(name string) (land, bool) {
	for _, l := range b.lands {
		if l.ref+"."+l.pin == name {
			return l, true
		}
	}
	return land{}, false
}
