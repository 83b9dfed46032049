package main

import (
	"errors"
	"fmt"
)

// landGap is the least distance between lands of different parts, and
// between a land and a hole (micrometres).
const landGap = 200

// checkPlacement lists every pair of parts that stand in each other's way.
func (b *board) checkPlacement() error {
	var found []error
	for i, l := range b.lands {
		for _, m := range b.lands[:i] {
			if l.ref != m.ref && l.layers&m.layers != 0 && gap(l.shape, m.shape) < landGap {
				found = append(found, fmt.Errorf("placement: %s.%s and %s.%s are closer than %d um", l.ref, l.pin, m.ref,
					m.pin, landGap))
			}
		}
		for _, h := range b.holes {
			if gap(l.shape, disc(h.at, h.diameter)) < 2*landGap {
				found = append(found, fmt.Errorf("placement: %s.%s is too near a mounting hole", l.ref, l.pin))
			}
		}
	}
	for i, p := range b.parts {
		for _, q := range b.parts[:i] {
			if gap(p.body, q.body) <= 0 {
				found = append(found, fmt.Errorf("placement: the bodies of %s and %s overlap", p.ref, q.ref))
			}
		}
	}
	return errors.Join(found...)
}
