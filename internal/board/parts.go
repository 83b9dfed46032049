package board

import (
	"cmp"
	"slices"
	"strconv"

	"ohmward/internal/geom"
)

// chipGrowth is how far a two-pin part's guessed body reaches beyond its
// pads' hull, in nanometres.
const chipGrowth = 100_000

// parts groups the pads by reference. What a component layer tells of sides
// and bodies wins over guesses, and adds parts that have no pads.
func parts(pads []Pad, layers int, values map[string]string, known map[string]told) []Part {
	byRef := map[string][]int{}
	for ref, t := range known {
		if t.body != nil {
			byRef[ref] = nil
		}
	}
	for i, p := range pads {
		byRef[p.Ref] = append(byRef[p.Ref], i)
	}
	refs := make([]string, 0, len(byRef))
	for r := range byRef {
		refs = append(refs, r)
	}
	slices.SortFunc(refs, CompareRefs)
	out := make([]Part, 0, len(refs))
	for _, r := range refs {
		own := byRef[r]
		p := Part{Ref: r, Value: values[r], Pads: own}
		t, told := known[r]
		if p.Side = t.side; !told {
			p.Side = partSide(pads, own, layers)
		}
		if p.Body = t.body; p.Body == nil {
			p.Body, p.Guessed = guessBody(pads, own), true
		}
		out = append(out, p)
	}
	return out
}

// partSide is the side on which most of its surface pads lie; a part with
// drilled pins only counts as standing on top.
func partSide(pads []Pad, own []int, layers int) Side {
	top, bottom := 0, 0
	for _, i := range own {
		if pads[i].Hole >= 0 && pads[i].Function != "SMDPad" && pads[i].Function != "BGAPad" {
			continue
		}
		switch pads[i].Layer {
		case 0:
			top++
		case layers - 1:
			bottom++
		}
	}
	if bottom > top {
		return Bottom
	}
	return Top
}

// guessBody is the convex hull of the part's pads.
func guessBody(pads []Pad, own []int) geom.Ring {
	var pts []geom.Point
	pins := map[string]bool{}
	for _, i := range own {
		pins[pads[i].Pin] = true
		for _, poly := range pads[i].Shape {
			pts = append(pts, poly.Outer...)
		}
	}
	if len(pins) == 2 {
		for _, p := range pts[:len(pts):len(pts)] {
			for _, d := range [4]geom.Point{{X: 1, Y: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}} {
				pts = append(pts, geom.Point{X: p.X + d.X*chipGrowth, Y: p.Y + d.Y*chipGrowth})
			}
		}
	}
	return hull(pts)
}

// hull is the convex hull, counter-clockwise, by Andrew's monotone chain.
func hull(pts []geom.Point) geom.Ring {
	slices.SortFunc(pts, func(a, b geom.Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	pts = slices.Compact(pts)
	if len(pts) < 3 {
		return slices.Clone(pts)
	}
	chain := func(ps []geom.Point) geom.Ring {
		var c geom.Ring
		for _, p := range ps {
			for len(c) >= 2 && turn(c[len(c)-2], c[len(c)-1], p) <= 0 {
				c = c[:len(c)-1]
			}
			c = append(c, p)
		}
		return c[:len(c)-1]
	}
	lower := chain(pts)
	slices.Reverse(pts)
	return append(lower, chain(pts)...)
}

func turn(a, b, c geom.Point) int64 {
	return (b.X-a.X)*(c.Y-a.Y) - (c.X-a.X)*(b.Y-a.Y)
}

// CompareRefs orders references as people do: C2 before C10.
func CompareRefs(a, b string) int {
	la, na := splitRef(a)
	lb, nb := splitRef(b)
	return cmp.Or(cmp.Compare(la, lb), cmp.Compare(na, nb), cmp.Compare(a, b))
}

func splitRef(s string) (string, int) {
	i := len(s)
	for i > 0 && s[i-1] >= '0' && s[i-1] <= '9' {
		i--
	}
	n, err := strconv.Atoi(s[i:])
	if err != nil {
		return s, -1
	}
	return s[:i], n
}
