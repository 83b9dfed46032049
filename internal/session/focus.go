package session

import (
	"regexp"
	"slices"
	"strings"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/record"
)

// Sides of the board, as the page names them.
const (
	topSide    = "top"
	bottomSide = "bottom"
	bothSides  = "both"
)

// spotView puts a place into words, with the side that it is touched from.
func (j *Session) spotView(spot copper.Spot) answer.SpotWords {
	side := j.sideOf(spot)
	s := spotWords(j.pair.Board, spot, lie{bottom: side == bottomSide, turns: j.c.Steps.Turns})
	s.Side, s.Net = side, j.pair.Nets.Nets[spot.Net].Name
	return s
}

// sideOf tells from which side a tip reaches a place.
func (j *Session) sideOf(spot copper.Spot) string {
	for _, places := range j.pair.Probes {
		for _, p := range places {
			if p.At != spot.At || p.Net != spot.Net || p.Layer != spot.Layer {
				continue
			}
			switch {
			case p.Sides[board.Top] && p.Sides[board.Bottom]:
				return bothSides
			case p.Sides[board.Top]:
				return topSide
			case p.Sides[board.Bottom]:
				return bottomSide
			}
		}
	}
	switch {
	case spot.Rim:
		return bothSides
	case isBottom(j.pair.Layout, spot.Layer):
		return bottomSide
	}
	return topSide
}

func isBottom(b *board.Board, layer int) bool { return layer > 0 && layer == len(b.Layers)-1 }

// lies tells which side the board is to show for the two tips: one that both
// reach, the top first, else that of the red tip; and what is said of it.
func lies(red, black answer.SpotWords) (side, words string) {
	reaches := func(s answer.SpotWords, side string) bool { return s.Side == side || s.Side == bothSides }
	for _, side := range []string{topSide, bottomSide} {
		if !reaches(red, side) || !reaches(black, side) {
			continue
		}
		if side == bottomSide {
			words = "Turn the board over: the bottom faces you."
		}
		return side, words
	}
	return red.Side, "Red is on the " + red.Side + ", black on the " + black.Side +
		": clip black first, then turn the board over."
}

// focus says what the picture is to show at a step.
func (j *Session) focus(v *answer.View) *answer.Focus {
	if j.board == nil {
		return nil
	}
	if v.Target != nil {
		return tipsFocus(v.Target)
	}
	switch v.Step {
	case stepNets, stepPolarity, stepCautions, stepSwap, stepNull:
		return nil
	case stepMetal:
		return j.partFocus(j.board.metalToAsk(j.c).Part)
	case stepRepair:
		if moves := j.moves(); len(moves) > 0 {
			return j.moveFocus(moves[min(j.move, len(moves)-1)])
		}
	case stepRework:
		return j.doingFocus(*j.c.Steps.Doing)
	case stepCool, stepLeads, stepAcross, stepProven, stepClosed:
		if f := lastWork(j.c); f != nil {
			return j.doingFocus(record.Doing{Part: f.Part, Place: f.Place})
		}
	}
	if v.Where != nil && v.Where.Best != nil {
		return j.siteFocus(v.Where.Best.Site)
	}
	return nil
}

// lastWork is the last finding that says where something was done.
func lastWork(c *record.Case) *record.Finding {
	for i := len(c.Findings) - 1; i >= 0; i-- {
		if f := &c.Findings[i]; f.Part != "" || f.Place != "" {
			return f
		}
	}
	return nil
}

func tipsFocus(t *answer.Target) *answer.Focus {
	side, _ := lies(t.Red, t.Black)
	f := &answer.Focus{What: "tips", Side: side, X0: t.Red.X, Y0: t.Red.Y, X1: t.Red.X, Y1: t.Red.Y}
	for _, s := range []*answer.SpotWords{&t.Black, t.ClipRed, t.ClipBlk} {
		if s != nil {
			f.X0, f.Y0, f.X1, f.Y1 = min(f.X0, s.X), min(f.Y0, s.Y), max(f.X1, s.X), max(f.Y1, s.Y)
		}
	}
	return f
}

// partFocus shows a part with its pins, on its side; nil where it is not there.
func (j *Session) partFocus(ref string) *answer.Focus {
	i := slices.IndexFunc(j.board.Layout.Parts, func(p board.Part) bool { return p.Ref == ref })
	if i < 0 {
		return nil
	}
	p := &j.board.Layout.Parts[i]
	box := geom.EmptyBox()
	for _, at := range p.Body {
		box = box.Extend(at)
	}
	for _, k := range p.Pads {
		box = box.Extend(j.board.Layout.Pads[k].At)
	}
	if box.Empty() {
		box = box.Extend(p.At)
	}
	f := &answer.Focus{What: "part", Side: topSide, Part: ref}
	if p.Side == board.Bottom {
		f.Side = bottomSide
	}
	f.X0, f.Y0 = box.Min.MM()
	f.X1, f.Y1 = box.Max.MM()
	return f
}

// siteFocus shows where two nets could touch: the part around an end of it, or
// the two ends.
func (j *Session) siteFocus(s answer.Site) *answer.Focus {
	if s.Part != "" {
		if f := j.partFocus(s.Part); f != nil {
			return f
		}
	}
	f := &answer.Focus{What: "place", Side: j.sideOfLayer(s.Layer), X0: min(s.X, s.X2), Y0: min(s.Y, s.Y2),
		X1: max(s.X, s.X2), Y1: max(s.Y, s.Y2)}
	if s.Kind == "layers" {
		f.Side = ""
	}
	return f
}

// sideOfLayer is the side that shows a layer, "" where none does.
func (j *Session) sideOfLayer(name string) string {
	layers := j.board.Layout.Layers
	switch i := slices.IndexFunc(layers, func(l board.Layer) bool { return l.Name == name }); {
	case i == 0:
		return topSide
	case i > 0 && i == len(layers)-1:
		return bottomSide
	}
	return ""
}

// moveFocus shows where a move is made.
func (j *Session) moveFocus(m answer.Repair) *answer.Focus {
	d := j.findingToCome(m)
	if i := m.Site - 1; d.Part == "" && i >= 0 && i < len(j.answer.Sites) {
		return j.siteFocus(j.answer.Sites[i])
	}
	return j.doingFocus(*d)
}

// doingFocus shows where something is done, or was.
func (j *Session) doingFocus(d record.Doing) *answer.Focus {
	if d.Part != "" {
		return j.partFocus(d.Part)
	}
	if j.answer != nil {
		for _, s := range j.answer.Sites {
			if j.midOf(s) == d.Place {
				return j.siteFocus(s)
			}
		}
	}
	at, _, err := j.board.PlaceOf(d.Place)
	if err != nil {
		return nil
	}
	layer, _, _ := strings.Cut(d.Place, "@")
	x, y := at.MM()
	return &answer.Focus{What: "place", Side: j.sideOfLayer(layer), X0: x, Y0: y, X1: x, Y1: y}
}

// refWord is how a part's reference looks among words.
var refWord = regexp.MustCompile(`[A-Za-z]+[0-9]+[A-Za-z]?`)

// named lists the parts that the words on the page speak of, each once.
func (j *Session) named(v *answer.View) []string {
	out := []string{}
	if j.board == nil {
		return out
	}
	words := append([]string{v.Card.Head}, v.Card.Text...)
	for _, o := range v.Card.Doing {
		words = append(words, o.Words)
	}
	if t := v.Target; t != nil {
		for _, s := range []*answer.SpotWords{&t.Red, &t.Black, t.ClipRed, t.ClipBlk} {
			if s != nil {
				words = append(words, s.Part, s.Words)
			}
		}
	}
	if v.Where != nil {
		words = append(words, v.Where.Words)
	}
	for _, ref := range refWord.FindAllString(strings.Join(words, "\n"), -1) {
		is := slices.ContainsFunc(j.board.Layout.Parts, func(p board.Part) bool { return p.Ref == ref })
		if is && !slices.Contains(out, ref) {
			out = append(out, ref)
		}
	}
	return out
}

// rotate turns the picture by quarters, as the board lies in the hand. What was
// picked or aimed at stays.
func rotate(j *Session, next *record.Case, a answer.Act) (bool, error) {
	if a.N < 0 || a.N > 3 {
		return false, &answer.Error{Kind: answer.Misuse, What: "a picture is turned by 0 to 3 quarters"}
	}
	next.Steps.Turns = a.N
	picked, aim, retouch, move := j.picked, j.aim, j.retouch, j.move
	if err := j.save(next, a); err != nil {
		return false, err
	}
	j.picked, j.aim, j.retouch, j.move = picked, aim, retouch, move
	return false, nil
}
