package bench

import "context"

var errPending = &Error{Kind: Bad, What: "not built yet"}

// Board reads a board; at lists places to name the net of.
func Board(ctx context.Context, path string, at []string, o Options) (*BoardAnswer, error) {
	return nil, errPending
}

// Resistance predicts the copper resistance of each pair of places.
func Resistance(ctx context.Context, path string, pairs []Pair, o Options) (*ResistanceAnswers, error) {
	return nil, errPending
}

// Suspects lists where nets could touch; no nets means all pairs.
func Suspects(ctx context.Context, path string, nets []string, o Options) (*SuspectsAnswer, error) {
	return nil, errPending
}

// Locate says where the short of a case is, and draws it when picture names
// a file.
func Locate(ctx context.Context, casePath, picture string, o Options) (*LocateAnswer, error) {
	return nil, errPending
}

// Practice runs a unit with a hidden short.
func Practice(ctx context.Context, o PracticeOptions) (*PracticeAnswer, error) {
	return nil, errPending
}
