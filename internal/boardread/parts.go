package boardread

import (
	"maps"
	"regexp"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

// parts groups the pads by reference. What files tell of sides and bodies wins
// over guesses; parts that they place or draw are there without pads too.
func (a *assembly) parts(known map[string]partData) []board.Part {
	pads := a.b.Pads
	a.placeParts(known)
	byRef := map[string][]int{}
	for ref, t := range known {
		if t.body != nil || t.placed {
			byRef[ref] = nil
		}
	}
	for i, p := range pads {
		byRef[p.Ref] = append(byRef[p.Ref], i)
	}
	var out []board.Part
	for _, r := range slices.SortedFunc(maps.Keys(byRef), board.CompareRefs) {
		t, own := known[r], byRef[r]
		p := board.Part{Ref: r, Value: t.value, Side: t.side, Pads: own, Body: t.body, At: t.at, Absent: t.absent ||
			saysAbsent(t.value)}
		if !t.sided {
			p.Side = partSide(pads, own, len(a.layers))
		}
		if p.Body == nil {
			p.Body, p.Array = guessBody(pads, bodyPads(pads, own, p.Side, len(a.layers)))
			p.Guessed = true
		}
		if len(p.Body) > 0 && !t.placed {
			p.At = p.Body.Bounds().Mid()
		}
		out = append(out, p)
	}
	return out
}

// absentWords are the customary ways of writing into a value that the part is
// not fitted (common practice, no source).
var absentWords = regexp.MustCompile(`(?i)\b(DN[PFISM]|DO ?NOT ?(FIT|PLACE|POPULATE|INSTALL|STUFF|MOUNT)|` +
	`NOT ?(FITTED|PLACED|POPULATED|MOUNTED|INSTALLED)|NO[ -]?(STUFF|FIT|POP|LOAD)|UNPOPULATED|NICHT BEST(Ü|` +
	`UE)CKT)\b|^\s*(N\.?[FMP]\.?|N/[FMP])\s*$`)

// saysAbsent tells whether a value says that the part is not fitted.
func saysAbsent(value string) bool { return absentWords.MatchString(value) }

// partSide is the side on which most of its surface pads lie; a part with
// drilled pins only counts as standing on top.
func partSide(pads []board.Pad, own []int, layers int) board.Side {
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
		return board.Bottom
	}
	return board.Top
}

// Bounds on how far a pad may lie from the middle of its part's pads and
// still be the part's own, for the body: so many times the median distance
// and so many nanometres. Sockets with pins at both ends of a board stay
// whole, since most of their pins are far from the middle.
const (
	outlierTimes = 3
	outlierMore  = 1_500_000
)

// bodyPads lists the pads that tell a part's body: those on its side and
// drilled ones, without outliers, which pin attributes left standing make.
func bodyPads(pads []board.Pad, own []int, side board.Side, layers int) []int {
	face := 0
	if side == board.Bottom {
		face = layers - 1
	}
	near := slices.DeleteFunc(slices.Clone(own), func(i int) bool { return pads[i].Layer != face })
	if len(near) == 0 {
		near = own
	}
	if len(near) < 3 {
		return near
	}
	var xs, ys []int64
	for _, i := range near {
		xs, ys = append(xs, pads[i].At.X), append(ys, pads[i].At.Y)
	}
	mid := geom.Point{X: medianOf(xs), Y: medianOf(ys)}
	var far []int64
	for _, i := range near {
		far = append(far, int64(geom.Distance(pads[i].At, mid)))
	}
	most := outlierTimes*medianOf(far) + outlierMore
	var out []int
	for k, i := range near {
		if far[k] <= most {
			out = append(out, i)
		}
	}
	return out
}
