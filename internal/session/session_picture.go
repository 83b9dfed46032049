package session

import (
	"bytes"
	"slices"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/picture"
)

// Picture draws where the short of the case is, as locate --picture does: a PNG.
func (j *Session) Picture() ([]byte, error) {
	s := j.scene()
	if s == nil {
		return nil, &answer.Error{Kind: answer.Busy, What: "there is nothing to draw yet",
			Hint: "choose the two nets, and wait until their copper is solved"}
	}
	var out bytes.Buffer
	if err := picture.PNG(&out, s); err != nil {
		return nil, answer.AsError(err)
	}
	return out.Bytes(), nil
}

// scene is what the picture shows, red and black as the tips are; nil before the
// nets are solved.
func (j *Session) scene() *picture.Scene {
	j.mu.Lock()
	w, post, a, black := j.work, j.post, j.answer, j.blackNet()
	j.mu.Unlock()
	if w == nil {
		return nil
	}
	s := bench.Scene(w, post, a)
	if black == 0 { // a scene has red on the first net
		swapLeads(s)
	}
	return s
}

// opposite is the sign of the other lead.
var opposite = map[string]string{"I+": "I-", "I-": "I+", "V+": "V-", "V-": "V+", "R": "B", "B": "R"}

// swapLeads changes red and black in a scene, nets, marks and signs.
func swapLeads(s *picture.Scene) {
	if s == nil {
		return
	}
	slices.Reverse(s.Nets)
	for _, marks := range [][]picture.Mark{s.Next, s.Taken} {
		for i := range marks {
			marks[i].Lead = picture.Red + picture.Black - marks[i].Lead
			if other := opposite[marks[i].Sign]; other != "" {
				marks[i].Sign = other
			}
		}
	}
	swapLeads(s.Other)
}
