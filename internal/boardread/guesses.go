package boardread

import (
	"cmp"
	"fmt"
	"path"
	"slices"

	"ohmward/format"
	"ohmward/format/gerber"
	"ohmward/geom"
)

// dropGuesses ignores files that only a bare word of their name makes copper,
// where another file is that layer for sure.
func (a *assembly) dropGuesses() {
	type spot struct {
		folder       string
		layer, inner int
		bottom       bool
	}
	at := func(s *source) spot {
		in := path.Dir(s.path) // other folders may hold other boards
		switch {
		case s.bottom || s.layer > 1 && s.edge == format.Bottom:
			return spot{folder: in, bottom: true}
		case s.layer > 0:
			return spot{folder: in, layer: s.layer}
		}
		return spot{folder: in, inner: s.inner}
	}
	sure := map[spot]*source{}
	for _, s := range a.of(useCopper) {
		if !s.guessed() && sure[at(s)] == nil {
			sure[at(s)] = s
		}
	}
	for _, s := range a.of(useCopper) {
		if o := sure[at(s)]; o != nil && s.guessed() {
			a.doubt(s.path, "ignored: %s, but %s is that copper layer for sure (%s); if this file is copper, say "+
				"which layer, as --role \"%s=copper L2\"", s.why, o.path, o.why, s.path)
			s.ignore("its name alone made it the same copper layer as " + o.path)
		}
	}
}

// guessed tells whether only a bare word of its name makes a file copper.
func (s *source) guessed() bool { return s.guess && !s.overridden && !s.part }

// attributed tells whether the file itself, or the user, says that it is
// copper.
func (s *source) attributed() bool {
	return s.overridden || s.part || s.img != nil && s.img.Attributes[".FileFunction"] != nil
}

// passOver says how to make a file be ignored.
func passOver(s *source) string {
	return fmt.Sprintf("have it ignored: --role \"%s=ignore\", or the same under [files] in %s", s.path,
		RolesFile)
}

// weaker is the one of two files that is less sure to be copper.
func weaker(x, y *source) *source {
	if x.attributed() != y.attributed() && y.attributed() || x.guessed() && !y.guessed() {
		return x
	}
	return y
}

// oddCount doubts an odd number of copper layers: one may be missing, or a
// drawing may have been taken as copper.
func (a *assembly) oddCount() {
	const rare = "%d copper layers: boards of an odd number are rare: is a file missing?"
	s, n := a.spare, len(a.layers)
	if s == nil || a.job != nil && a.job.layers == n {
		a.doubt("", rare, n)
		return
	}
	a.doubt(s.path, rare+" Or, if this file, taken as L%d (%s), shows no copper but, say, a drawing of pads, %s",
		n, s.layer, s.why, passOver(s))
}

// spares lists the copper files that do not say themselves that they are copper
// and without which the others still make a board.
func (a *assembly) spares(files []*source) (out []*source) {
	for i, s := range files {
		if s.attributed() {
			continue
		}
		rest := slices.Delete(slices.Clone(files), i, i+1)
		if layers, err := a.placeCopper(rest); err == nil && !slices.Contains(layers, nil) {
			out = append(out, s)
		}
	}
	return out
}

// likeliest is the one of some files that is most likely a drawing; nil of
// none.
func (a *assembly) likeliest(files []*source) *source {
	if len(files) == 0 {
		return nil
	}
	box := a.sureBounds(files)
	return slices.MaxFunc(slices.Clone(files), func(x, y *source) int {
		return cmp.Or(cmp.Compare(drawingSigns(x, box), drawingSigns(y, box)), cmp.Compare(x.layer, y.layer),
			cmp.Compare(x.inner, y.inner))
	})
}

// sureBounds is the box of the copper that is not among some files.
func (a *assembly) sureBounds(files []*source) geom.Box {
	box := geom.EmptyBox()
	for _, s := range a.of(useCopper) {
		if s.img != nil && !slices.Contains(files, s) {
			box = box.Join(s.img.Bounds)
		}
	}
	return box
}

// drawingSigns counts what speaks against copper: a name that only hints at
// it, nothing but lands where no negative image is said, something drawn far
// off the other copper.
func drawingSigns(s *source, copper geom.Box) (n int) {
	if s.img == nil {
		return 0
	}
	joins := func(o gerber.Object) bool { return o.Dark && o.Kind != gerber.Flash }
	for _, sign := range []bool{s.guessed(), !s.negative && !slices.ContainsFunc(s.img.Objects, joins),
		!copper.Empty() && !(copper.Grow(outlineSlack).Holds(s.img.Bounds.Min) &&
			copper.Grow(outlineSlack).Holds(s.img.Bounds.Max))} {
		if sign {
			n++
		}
	}
	return n
}
