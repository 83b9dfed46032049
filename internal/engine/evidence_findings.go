package engine

import (
	"fmt"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
	"ohmward/internal/record"
	"ohmward/unit"
)

// evidenceReader is a case's readings and findings on their way into the work, in
// their order.
type evidenceReader struct {
	*Locator
	c        *record.Case
	states   *networkStates
	findings []record.Finding // as they came
}

func (t *evidenceReader) doubt(line int, format string, args ...any) {
	t.Doubts = append(t.Doubts, board.Doubt{File: t.c.File, Line: line, What: fmt.Sprintf(format, args...)})
}

// outcomes are what findings of a case say, in locate's words.
var outcomes = map[string]string{
	"remains": "remains", "open": "open", "gone": "cleared", "cleared": "cleared", "changed": "changed",
}

// find adds a finding; one that does not bear on the place is reported.
func (t *evidenceReader) find(i int) error {
	f := t.findings[i]
	out := locate.Finding{AfterReading: f.After, Part: f.Part, Done: f.Done, Short: outcomes[f.Short],
		Seen: f.Seen, What: f.What}
	if f.Place != "" {
		at, layer, err := t.PlaceOf(f.Place)
		if err != nil {
			return t.findingError(f, err)
		}
		out.HasPlace, out.Layer = true, layer
		out.X, out.Y = at.MM()
	}
	if err := t.knownPart(f); err != nil {
		return t.findingError(f, err)
	}
	if err := t.sides(i, &out); err != nil {
		return t.findingError(f, err)
	}
	if f.Done == "cut" {
		t.uncut(f)
	}
	t.Locator.findings = append(t.Locator.findings, out)
	if f.Change != nil {
		return t.changed(i)
	}
	if _, cut := t.cutOf(f); cut && out.Short == "" {
		return nil // later readings follow it, which says enough
	}
	if t.stillGone(i) { // nothing that fitting the part did: it was gone before
		t.Locator.findings[len(t.Locator.findings)-1].Short = ""
		return nil
	}
	if why := out.Uninformative(); why != "" {
		t.doubt(f.Line, "the finding %q is only kept: %s", f.Done, why)
	}
	return nil
}

// stillGone tells whether a finding fitted a part again after the short was gone, and
// found it gone as before.
func (t *evidenceReader) stillGone(i int) bool {
	gone := func(f record.Finding) bool { return outcomes[f.Short] == "open" || outcomes[f.Short] == "cleared" }
	if !slices.Contains(closers, t.findings[i].Done) || !gone(t.findings[i]) {
		return false
	}
	for _, f := range slices.Backward(t.findings[:i]) {
		if f.Short != "" && f.Done != "split" {
			return gone(f)
		}
	}
	return false
}

// knownPart refuses a part that the board does not have: a slip of the pen
// would keep alive what was taken off. Where the files name no parts it is a
// doubt.
func (t *evidenceReader) knownPart(f record.Finding) error {
	switch {
	case f.Part == "" || t.partNamed(f.Part) >= 0:
		return nil
	case len(t.Layout.Parts) == 0:
		t.doubt(f.Line, "the files name no parts: the finding on %s bears on no place", f.Part)
		return nil
	}
	if near, ok := t.Layout.NearestRef(f.Part); ok {
		return fmt.Errorf("the board has no part %s: did you mean %s", f.Part, near)
	}
	return fmt.Errorf("the board has no part %s", f.Part)
}

func (t *evidenceReader) findingError(f record.Finding, err error) error {
	return &record.Error{File: t.c.File, Line: f.Line, What: fmt.Sprintf("finding %q: %v", f.Done, err)}
}

// sides tells what an opened part cut off from where the outcome was read.
func (t *evidenceReader) sides(i int, out *locate.Finding) error {
	f := t.findings[i]
	_, cut := t.cutOf(f)
	if !cut && (!slices.Contains(Openers, f.Done) || !t.IsTie(f.Part)) {
		return nil
	}
	n, err := t.states.with(t.state(t.findings[:i+1]))
	if err != nil {
		return err
	}
	var side *copper.Spot
	if f.Side != "" {
		spot, err := t.sideOf(f.Side)
		if err != nil {
			return err
		}
		side = &spot
	}
	if out.Disconnected, err = t.cutOff(n, side); err == nil && out.Disconnected == nil && !cut {
		t.doubt(f.Line,
			"%s lies beside other copper or parts that join the same nets: opening it cuts no listed place off",
			f.Part)
	}
	return err
}

// sideOf reads a side: a place on one of the nets, or a net's name.
func (t *evidenceReader) sideOf(text string) (copper.Spot, error) {
	if n, err := t.Locator.Nets.ByName(text); err == nil {
		g := t.GroupOfNet(n)
		if g < 0 {
			return copper.Spot{}, fmt.Errorf("side: net %s belongs to neither %s nor %s", text, t.Names[0], t.Names[1])
		}
		spot, ok := t.spotOnNet(g, n)
		if !ok {
			return copper.Spot{}, fmt.Errorf("side: net %s has no place to touch", text)
		}
		return spot, nil
	}
	spot, err := t.Resolve(text)
	if err == nil && t.GroupOfNet(spot.Net) < 0 {
		err = fmt.Errorf("side: %s is on neither of the two nets", text)
	}
	return spot, err
}

// PlaceOf gives the point of a finding's place, which may be bare laminate.
func (p *Board) PlaceOf(text string) (at geom.Point, layer int, err error) {
	place, err := copper.ParsePlace(text)
	if err != nil {
		return at, 0, err
	}
	if place.Pin == "" {
		return place.At, place.Layer, nil
	}
	spot, err := p.Resolve(text)
	return spot.At, spot.Layer, err
}

// partNamed is a part's index on the board, or -1.
func (p *Board) partNamed(ref string) int {
	return slices.IndexFunc(p.Layout.Parts, func(q board.Part) bool { return q.Ref == ref })
}

// What warming or chilling a spot does where the case does not say: common
// practice, no source.
const (
	WarmedBy    = 40.0   // kelvin
	chilledBy   = -30.0  // kelvin
	WarmSpread  = 0.4    // relative, of the copper's warming where nobody measured it
	warmKnown   = 0.15   // and where a figure is given
	WarmRadius  = 2.5e-3 // metres
	HeldTouch   = 0.5    // of a touch's noise stays in a difference within one touch
	CopperAlpha = 0.00393
)

// changed adds what a warmed or chilled spot changed a reading by: that
// reading's share in the spot's copper, site by site.
func (t *evidenceReader) changed(i int) error {
	f := t.findings[i]
	k := f.Reading - 1
	if f.Reading == 0 {
		k = f.After - 1
	}
	if k < 0 || k >= len(t.Taken) {
		return t.findingError(f, fmt.Errorf("reading %d of %d is not one to watch: say which with reading = N", k+1,
			len(t.Taken)))
	}
	at, layer, err := t.spotWarmed(f)
	if err != nil {
		return t.findingError(f, err)
	}
	n, err := t.states.with(t.state(t.findings[:i]))
	if err != nil {
		return err
	}
	share, err := n.Solver.Within(t.FourContacts(t.Taken[k]), layer, at, WarmRadius, nil)
	if err != nil {
		return t.findingError(f, err)
	}
	kelvin, spread := WarmedBy, WarmSpread
	if f.Done == "chilled" {
		kelvin = chilledBy
	}
	if f.Kelvin != nil {
		kelvin, spread = *f.Kelvin, warmKnown
	}
	most := 0.0
	for s := range share {
		share[s] *= CopperAlpha / unit.CopperFactor(t.Material.Temp) * kelvin
		most = max(most, share[s], -share[s])
	}
	u := t.Meter.NoiseOhms * HeldTouch
	if t.Taken[k].FourWire {
		u = t.Meter.NoiseFourWireOhms
	}
	t.later = append(t.later, locate.Reading{
		Ohms: float64(*f.Change), U: u, FourWire: true, C: [][]float64{share}, Spread: spread,
		Name: fmt.Sprintf("the change of reading %d on finding %d", k+1, i+1),
	})
	if most < u/2 {
		t.doubt(f.Line, "warming there changes reading %d by %v at most, too little to tell anything", k+1,
			unit.Resistance(most))
	}
	return nil
}

// spotWarmed gives the middle of the part or place that was warmed.
func (t *evidenceReader) spotWarmed(f record.Finding) (geom.Point, int, error) {
	if f.Place != "" {
		return t.PlaceOf(f.Place)
	}
	at := t.partNamed(f.Part)
	if at < 0 {
		return geom.Point{}, 0, fmt.Errorf("there is no part %s on this board", f.Part)
	}
	p, layer := t.Layout.Parts[at], 0
	if p.Side == board.Bottom {
		layer = len(t.Layout.Layers) - 1
	}
	return p.At, layer, nil
}
