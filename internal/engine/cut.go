package engine

import (
	"errors"
	"slices"

	"ohmward/internal/conduct"
	"ohmward/internal/record"
)

// cutsOf lists the places at which a case's findings cut copper.
func (p *Board) cutsOf(findings []record.Finding) (out []conduct.Cut) {
	for _, f := range findings {
		if f.Done != "cut" || f.Place == "" {
			continue
		}
		if at, layer, err := p.PlaceOf(f.Place); err == nil {
			out = append(out, conduct.Cut{Layer: layer, At: at})
		}
	}
	return out
}

// cutOf gives the cut that a finding made in the copper of the two nets; ok is
// false where it made none that can be followed.
func (t *evidenceReader) cutOf(f record.Finding) (c conduct.Cut, ok bool) {
	cuts := t.cutsOf([]record.Finding{f})
	if len(cuts) == 0 {
		return c, false
	}
	found, err := t.severs(cuts[0])
	return cuts[0], found && err == nil
}

// severs tells whether a cut meets the two nets' copper.
func (t *evidenceReader) severs(c conduct.Cut) (bool, error) {
	b, _, err := t.states.list[0].Solver.Solved()
	if err != nil {
		return false, err
	}
	return b.Severs(c)
}

// state is what the findings so far have done to the copper.
func (t *evidenceReader) state(findings []record.Finding) Alterations {
	st := Alterations{opened: t.OpenParts(findings)}
	for _, f := range findings {
		if f.Done != "cut" {
			continue
		}
		if c, ok := t.cutOf(f); ok && !slices.Contains(st.cuts, c) {
			st.cuts = append(st.cuts, c)
		}
	}
	return st
}

// uncut tells why later readings do not follow a cut.
func (t *evidenceReader) uncut(f record.Finding) {
	const uncutNote = "later readings are predicted as if nothing were cut: "
	cuts := t.cutsOf([]record.Finding{f})
	if len(cuts) == 0 {
		t.doubt(f.Line, uncutNote+"give the place of the cut, as place = \"L1@12.5,30.2\"")
		return
	}
	switch found, err := t.severs(cuts[0]); {
	case errors.Is(err, conduct.ErrWhole):
		t.doubt(f.Line,
			uncutNote+"the copper at %s is too wide to be severed by a cut of 3 mm; name the middle of the track",
			f.Place)
	case err != nil:
		t.doubt(f.Line, uncutNote+"%v", err)
	case !found:
		t.doubt(f.Line, uncutNote+"there is no copper of %s or %s at %s", t.Names[0], t.Names[1], f.Place)
	}
}
