package bench

import (
	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/engine"
)

// Doubts lists what the board's files and copper leave open.
func Doubts(p *engine.Board) []answer.Doubt {
	return DoubtsOf(p.Layout.Doubts, p.Nets.Doubts, p.Notes)
}

// DoubtsOf writes doubts as the answers have them.
func DoubtsOf(lists ...[]board.Doubt) []answer.Doubt {
	out := []answer.Doubt{}
	for _, list := range lists {
		for _, d := range list {
			out = append(out, answer.Doubt{File: d.File, Line: d.Line, What: d.What, Code: string(d.Code)})
		}
	}
	return out
}

// trusted gives the error that goes with an answer from files only part-read.
// It names the first such file.
func trusted(p *engine.Board) error {
	if !p.Layout.Partial {
		return nil
	}
	for _, d := range p.Layout.Doubts {
		if d.Part {
			what := d.What
			if d.File != "" {
				what = d.File + ": " + what
			}
			return &answer.Error{Kind: answer.Doubtful, What: what,
				Hint: "what is printed holds for the part that was read"}
		}
	}
	return &answer.Error{Kind: answer.Doubtful, What: "a fabrication file was read only in part: see the doubts"}
}
