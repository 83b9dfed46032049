package boardread

import (
	"fmt"
	"slices"

	"ohmward/internal/board"
	"ohmward/unit"
)

// Plausible bounds; figures outside are a doubt and not used.
const (
	minCopper = 1 * unit.Micrometre
	maxCopper = 1 * unit.Millimetre
	maxBoard  = 20 * unit.Millimetre
)

// makeStack settles the build across the thickness: the user's word first,
// then the job file's, then the defaults.
func makeStack(n int, opt Options, j *job) (board.Stack, []board.Doubt, error) {
	var doubts []board.Doubt
	s := board.Stack{Copper: make([]unit.Length, n), Plating: DefaultPlating}
	if opt.Plating > 0 {
		s.Plating = opt.Plating
	}
	if k := len(opt.Copper); k > 1 && k != n {
		return s, nil, fmt.Errorf("board: %d copper thicknesses given for %d layers: give one, or one per layer", k,
			n)
	}
	complete := j != nil && len(j.copper) == n
	if j != nil && len(j.copper) > 0 && !complete {
		doubts = append(doubts, doubtOf(j.path, 0, "the stack-up lists %d copper layers, the files hold %d: "+
			"stack-up not used", len(j.copper), n))
	}
	for i := range s.Copper {
		s.Copper[i] = DefaultCopper
		switch {
		case len(opt.Copper) == 1:
			s.Copper[i] = opt.Copper[0]
		case len(opt.Copper) > 1:
			s.Copper[i] = opt.Copper[i]
		case complete && j.copper[i] > 0:
			if j.copper[i] < minCopper || j.copper[i] > maxCopper {
				doubts = append(doubts, doubtOf(j.path, 0, "copper of layer L%d is given as %.4g mm: not plausible, 35 "+
					"um taken", i+1, float64(j.copper[i])*1e3))
				break
			}
			s.Copper[i], s.Given = j.copper[i], true
		}
	}
	gaps, given, more := spacing(n, opt, j, complete, s.Copper)
	s.Gap = gaps
	s.Given = s.Given || given
	return s, append(doubts, more...), nil
}

// spacing gives the distances between the middles of neighbouring layers.
func spacing(n int, opt Options, j *job, complete bool,
	copper []unit.Length) ([]unit.Length, bool, []board.Doubt) {
	if n < 2 {
		return nil, false, nil
	}
	gaps := make([]unit.Length, n-1)
	equal := func(t unit.Length) {
		for i := range gaps {
			gaps[i] = t / unit.Length(n-1)
		}
	}
	if opt.Thickness > 0 {
		equal(opt.Thickness)
		return gaps, false, nil
	}
	if complete && allGiven(j.between) {
		var sum unit.Length
		for i := range gaps {
			gaps[i] = j.between[i] + (copper[i]+copper[i+1])/2
			sum += gaps[i]
		}
		if sum < maxBoard {
			return gaps, true, nil
		}
	}
	t, given := unit.Length(DefaultThickness), false
	var doubts []board.Doubt
	if j != nil && j.thickness > 0 {
		if j.thickness < maxBoard {
			t, given = j.thickness, true
		} else {
			doubts = append(doubts, doubtOf(j.path, 0, "the board's thickness is given as %.4g mm: not plausible, "+
				"1.6 mm taken", float64(j.thickness)*1e3))
		}
	}
	equal(t)
	return gaps, given, doubts
}

func allGiven(between []unit.Length) bool {
	return len(between) > 0 && slices.Min(between) > 0
}
