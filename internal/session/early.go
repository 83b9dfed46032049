package session

import (
	"sync"

	"ohmward/internal/answer"
	"ohmward/internal/artwork"
	"ohmward/internal/board"
)

// earlyDrawing is what can be drawn of a board before it is read.
type earlyDrawing struct {
	number int // from 1
	copper bool
	pack   func() ([]byte, error)
}

// showEarly shows what can be drawn by now of the board that is being read.
func (j *Session) showEarly(b *board.Board) {
	next := &earlyDrawing{number: 1, copper: len(b.Layers) > 0 && len(b.Layers[0].Copper) > 0,
		pack: sync.OnceValues(func() ([]byte, error) { return artwork.PackEarly(b) })}
	j.mu.Lock()
	if j.early != nil {
		next.number = j.early.number + 1
	}
	j.early = next
	j.mu.Unlock()
	j.changed()
}

// EarlyDrawing is what can be drawn of the board that is being read, packed as package
// artwork has it; nil where there is nothing yet, and once the board is there.
func (j *Session) EarlyDrawing() ([]byte, error) {
	j.mu.Lock()
	e := j.early
	j.mu.Unlock()
	if e == nil {
		return nil, nil
	}
	block, err := e.pack()
	if err != nil {
		return nil, answer.AsError(err)
	}
	return block, nil
}

// earlyView says what the picture of a board that is not read yet shows; nil where there
// is none. Where reading failed the picture stays, and says so.
func (j *Session) earlyView() *answer.Early {
	if j.early == nil || j.board != nil {
		return nil
	}
	shown := "the outline alone"
	if j.early.copper {
		shown = "the outline and the top copper, undrilled"
	}
	e := &answer.Early{Number: j.early.number, Words: "Still reading: " + j.busy + ". Shown: " + shown + "."}
	if j.busy == "" {
		e.Words = "Not read to its end. Shown: " + shown + "."
	}
	return e
}
