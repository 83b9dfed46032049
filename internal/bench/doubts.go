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
			out = append(out, answer.Doubt{File: d.File, Line: d.Line, What: d.What, Code: string(d.Code), Part: d.Part})
		}
	}
	return out
}

// trusted gives the error that goes with an answer from files only part-read.
// It names the first such file; of its doubts the one about the whole file, which
// says what to do, before those about a line.
func trusted(p *engine.Board) error {
	if !p.Layout.Partial {
		return nil
	}
	var first *board.Doubt
	for i := range p.Layout.Doubts {
		d := &p.Layout.Doubts[i]
		if d.Part && (first == nil || d.File == first.File && d.Line == 0 && first.Line > 0) {
			first = d
		}
	}
	if first == nil {
		return &answer.Error{Kind: answer.Doubtful, What: "a fabrication file was read only in part: see the doubts"}
	}
	what := first.What
	if first.File != "" {
		what = first.File + ": " + what
	}
	return &answer.Error{Kind: answer.Doubtful, What: what, Hint: "what is printed holds for the part that was read"}
}
