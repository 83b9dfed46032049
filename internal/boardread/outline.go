package boardread

import (
	"cmp"
	"math"
	"slices"

	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

// joinEnds is how near the ends of outline strokes are looked for first, then
// wider; gaps wider than joinSilent, up to a usual pen's width, are joined with
// a doubt. All in nanometres.
const joinEnds = 10_000

// joinSilent is the widest gap that no cutter notices.
const joinSilent = 50_000

var joinLoose = []int64{joinEnds, 50_000, 300_000}

// outline finds what the profile encloses: its centre lines chained into
// closed loops, outer loops minus inner ones. When no loop holds most of
// what is drawn, the bounding box of all lines stands in, with a doubt.
func outline(file string, img *gerber.Image) (geom.Region, []board.Doubt) {
	ways, loops := profileWays(img)
	box := geom.EmptyBox()
	for _, w := range ways {
		box = box.Join(geom.Ring(w).Bounds())
	}
	box = box.Join(geom.Bounds(loops))
	if box.Empty() {
		return nil, []board.Doubt{{Code: board.Outline, File: file, What: "the profile is empty: the board's outline is not known"}}
	}
	for _, tol := range joinLoose {
		all := append(slices.Clone(loops), chain(ways, tol)...)
		if !holdsMost(all, box) {
			continue
		}
		var doubts []board.Doubt
		if tol > joinSilent {
			d := doubtOf(file, 0, "the outline has gaps of more than %.0f µm: closed over", float64(joinSilent)*1e-3)
			d.Code = board.Outline
			doubts = append(doubts, d)
		}
		if r, err := nest(all); err == nil {
			return r, doubts
		}
		break
	}
	return geom.Region{{Outer: geom.Rectangle(box)}}, []board.Doubt{{Code: board.Outline, File: file, What: openOutline}}
}

const openOutline = "the outline does not close: its bounding box is taken"

// profileWays splits the profile into open ways (centre lines of strokes) and
// rings that are closed already (filled regions).
func profileWays(img *gerber.Image) (ways [][]geom.Point, loops []geom.Ring) {
	for o := range dark(img) {
		switch o.Kind {
		case gerber.Draw, gerber.Arc:
			w := centreLine(o)
			if o.Kind == gerber.Arc && o.At == o.To && len(o.Via) > 1 {
				loops = append(loops, geom.Ring(w[:len(w)-1]))
			} else if len(w) > 2 || o.At != o.To {
				ways = append(ways, w)
			}
		case gerber.Fill:
			loops = append(loops, o.Rings...)
		}
	}
	return ways, loops
}

// centreLine is a stroke's way from end to end.
func centreLine(o *gerber.Object) []geom.Point {
	return slices.Concat([]geom.Point{o.At}, o.Via, []geom.Point{o.To})
}

// chain joins ways end to end into closed loops; what closes on nothing is
// left out.
func chain(ways [][]geom.Point, tol int64) []geom.Ring {
	type end struct{ way, side int }
	ends := newGrid[end](tol)
	for i, w := range ways {
		ends.add(w[0], end{i, 0})
		ends.add(w[len(w)-1], end{i, 1})
	}
	used := make([]bool, len(ways))
	next := func(p geom.Point) (end, float64) {
		best, least := end{}, math.Inf(1)
		for e := range ends.around(p) {
			w := ways[e.way]
			d := geom.Distance(p, w[e.side*(len(w)-1)])
			if !used[e.way] && d <= float64(tol) && d < least {
				best, least = e, d
			}
		}
		return best, least
	}
	var out []geom.Ring
	for i := range ways {
		if used[i] {
			continue
		}
		used[i] = true
		ring := geom.Ring(slices.Clone(ways[i]))
		for {
			tail := ring[len(ring)-1]
			e, gap := next(tail)
			if d := geom.Distance(tail, ring[0]); len(ring) > 2 && d <= float64(tol) && d <= gap {
				if tail == ring[0] {
					ring = ring[:len(ring)-1]
				}
				out = append(out, ring)
				break
			}
			if math.IsInf(gap, 1) {
				break
			}
			used[e.way] = true
			w := slices.Clone(ways[e.way])
			if e.side == 1 {
				slices.Reverse(w)
			}
			if w[0] == tail {
				w = w[1:]
			}
			ring = append(ring, w...)
		}
	}
	return out
}

// holdsMost tells whether the loops' boxes, those of a panel together, are
// nearly the whole box.
func holdsMost(loops []geom.Ring, box geom.Box) bool {
	most := 0.0
	for _, l := range loops {
		most += boxArea(l.Bounds())
	}
	return most > 0.5*boxArea(box)
}

func boxArea(b geom.Box) float64 {
	if b.Empty() {
		return 0
	}
	return float64(width(b)) * float64(height(b))
}

// nest paints loops from the largest to the smallest: those at even depth are
// board, those at odd depth are cut out.
func nest(loops []geom.Ring) (geom.Region, error) {
	size := func(r geom.Ring) float64 { return math.Abs(r.Area()) }
	slices.SortStableFunc(loops, func(a, b geom.Ring) int { return cmp.Compare(size(b), size(a)) })
	var coats []geom.Coat
	for i, l := range loops {
		depth := 0
		if in := geom.InsidePoints([]geom.Ring{l}); len(in) > 0 {
			for _, m := range loops[:i] {
				if geom.Winding([]geom.Ring{m}, in[0]) != 0 {
					depth++
				}
			}
		}
		coats = append(coats, geom.Coat{Dark: depth%2 == 0, Rings: []geom.Ring{l}})
	}
	return geom.PaintBounded(coats)
}

// heldBy counts the places that pass.
func heldBy(holds func(geom.Point) bool, places []geom.Point) (n int) {
	for _, p := range places {
		if holds(p) {
			n++
		}
	}
	return n
}

// bestOutline chooses among profile files: the one that closes and holds most
// of the lands; of equals the first.
func (a *assembly) bestOutline(files []*source) (*source, geom.Region, []board.Doubt) {
	lands := geom.Sample(a.lands, 2000)
	var best *source
	var region geom.Region
	var doubts []board.Doubt
	most := -1
	for _, s := range files {
		r, d := outline(s.path, s.img)
		score := 0
		if len(r) > 0 {
			score++
		}
		if len(d) == 0 {
			score++
		}
		if len(lands) > 0 {
			score += 10 * heldBy(r.Bounds().Holds, lands) / len(lands)
		}
		if score > most {
			best, region, doubts, most = s, r, d, score
		}
	}
	return best, region, doubts
}
