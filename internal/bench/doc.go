// Package bench holds one use case a command: each opens a board or a case,
// asks the engine and writes the answer. It owns no physics and prints
// nothing.
//
// An answer together with an answer.Error of kind Doubtful is done but not to
// be trusted: it is printed, and the exit code says so. Any other error comes
// with a nil answer.
package bench

import (
	"context"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/trial"
)

// Options say how a board is read and solved.
type Options = engine.Options

// TieEdit is what a person says of a part that joins two nets.
type TieEdit = engine.TieEdit

// TrialOptions set up invented shorts on a board.
type TrialOptions = trial.Options

// UserCache gives the user's own store of what is costly to compute; nil where
// there is none.
var UserCache = engine.UserCache

// open reads a board and finds its nets.
func open(ctx context.Context, path string, o Options) (*engine.Board, error) {
	b, err := engine.Open(ctx, path, o)
	if err != nil {
		return nil, answer.AsError(err)
	}
	return b, nil
}
