package locate

import (
	"fmt"
	"math"
	"slices"

	"ohmward/internal/suspect"
)

// Advice is whether another reading is worth its time.
type Advice struct {
	Enough bool   // no further reading is worth its time
	Why    string // one clause for people
}

const (
	// lookSeconds is what it takes to clean one more place and look at it,
	// package repair's three minutes: common practice, no source.
	lookSeconds = 180
	// noteSeconds is what a reading takes beside the moving of tips: to write
	// it down and to take in what it says. Common practice, no source.
	noteSeconds = 15
	// lookMM is how far apart two places may lie to be cleaned and looked at in
	// one go, well within the field of a tenfold loupe. Common practice, no
	// source.
	lookMM     = 3.0
	enoughMM   = 0.5 // nobody looks at less of a board than this
	enoughBits = 0.15
	// minReadings is enough without a reading to spare, where readings of one
	// net leave nothing over.
	minReadings = 4
	// surelyMass is the chance above which a place counts as found, and
	// surelyFree how many readings more than unknowns must agree on it.
	surelyMass = 0.9
	surelyFree = 2
	// maxDoubtful readings without settling whether the place is listed, and
	// more of them will not.
	maxDoubtful = 8
)

// Stop weighs the best move against looking at the places as they stand. With
// H bits of doubt left about n = 2^H places are to be looked at, half of them
// on average; a reading of b bits leaves n·2^-b. Within one place a reading
// still saves a little: half a place is counted for where in it to look.
func (p *Posterior) Stop(moves []Move) Advice {
	n := math.Round(math.Exp2(p.Entropy()))
	switch read, more := len(p.model.readings), len(moves) > 0; {
	case p.Fit.Verdict == NoReading && more:
		return Advice{false, "nothing is measured yet"}
	case p.Fit.Verdict == NoReading:
		return Advice{true, "no place that can be touched would tell"}
	case p.Fit.Verdict != OneShort:
		return Advice{false, p.Fit.Why}
	case more && p.Fit.DoF < 1 && read < minReadings:
		return Advice{false, "one more reading checks the others: so far a slipped tip would not show"}
	case more && p.Best.P > surelyMass && p.Fit.DoF < surelyFree:
		return Advice{false, "before an iron is lifted for it, one more reading checks the others: a slipped tip " +
			"or copper of another thickness could still pass for this place"}
	case more && p.Elsewhere > 1-radiusMass && read < maxDoubtful:
		return Advice{false, "a place that is not on the list is still likely; more readings settle it"}
	case p.Best.RadiusMM <= enoughMM && p.Best.RadiusMass >= radiusMass:
		return Advice{true, p.found()}
	case !more:
		return Advice{true, "no place that can be touched would say more"}
	case !moves[0].Informative():
		return Advice{true, "no place that can be touched would say much more"}
	case p.gain(moves[0], lookSeconds) >= 0:
		return Advice{false, "the next reading saves more looking than it takes"}
	case n <= 1:
		return Advice{true, "looking at the likeliest place takes less time than reading on"}
	}
	return Advice{true, fmt.Sprintf("looking at the %.0f places left takes less time than telling them apart", n)}
}

// found says how well the place is known; inside a part no point is nearer than
// another.
func (p *Posterior) found() string {
	if s := p.Case.Sites[p.Best.Site]; s.Kind == suspect.Part {
		return fmt.Sprintf("%s is found: look there", s.Part)
	}
	return fmt.Sprintf("9 in 10 that it lies within %.1f mm: look there", math.Max(0.1, p.Best.RadiusMM))
}

// gain is the time in seconds that a reading is expected to save, less what it
// takes itself, where settling one place takes so long.
func (p *Posterior) gain(m Move, settling float64) float64 {
	n := math.Exp2(p.Entropy())
	saved := 0.5 * settling * (n - 0.5) * (1 - math.Exp2(-m.Bits))
	return saved - m.Seconds - noteSeconds
}

// reworkSeconds is what it takes to rework a place that no look settles: six
// minutes for a small part, forty for a large one. Common practice, no source.
const reworkSeconds = 600

// ReworkSaved is the time in seconds that a reading is expected to save in
// looking and, where places are hidden, in rework, less what it takes itself.
func (p *Posterior) ReworkSaved(m Move) float64 {
	settling, total := 0.0, 0.0
	for _, pl := range p.Places {
		settling += pl.P * (lookSeconds + (1-seen(p.Case.Sites[pl.Site]))*reworkSeconds)
		total += pl.P
	}
	if total == 0 {
		return -m.Seconds
	}
	return p.gain(m, settling/total)
}

// Informative tells whether a reading is expected to say more than hardly
// anything.
func (m Move) Informative() bool { return m.Bits >= enoughBits }

// Entropy is how much is left to be told about the place, in bits: the entropy
// over the spots that one look takes in.
func (p *Posterior) Entropy() float64 {
	var spots []Place
	total := 0.0
	for _, pl := range p.Places {
		x, y := p.Case.Sites[pl.Site].Mid()
		total += pl.P
		at := slices.IndexFunc(spots, func(q Place) bool {
			u, v := p.Case.Sites[q.Site].Mid()
			return math.Hypot(x-u, y-v) < lookMM
		})
		if at < 0 {
			at, spots = len(spots), append(spots, Place{Site: pl.Site})
		}
		spots[at].P += pl.P
	}
	h := 0.0
	for _, s := range spots {
		h -= xlog(s.P/total) / math.Ln2
	}
	return h
}
