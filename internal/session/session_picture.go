package session

import (
	"bytes"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/picture"
)

// Picture draws where the short of the case is, as locate --picture does: a PNG.
func (j *Session) Picture() ([]byte, error) {
	j.mu.Lock()
	w, post, a := j.work, j.post, j.answer
	j.mu.Unlock()
	if w == nil {
		return nil, &answer.Error{Kind: answer.Busy, What: "there is nothing to draw yet",
			Hint: "choose the two nets, and wait until their copper is solved"}
	}
	var out bytes.Buffer
	if err := picture.PNG(&out, bench.Scene(w, post, a)); err != nil {
		return nil, answer.AsError(err)
	}
	return out.Bytes(), nil
}
