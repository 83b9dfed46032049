package boardread

import (
	"math"
	"regexp"
	"strconv"

	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

// partData is what component layers, whole boards and parts tables say of one
// part.
type partData struct {
	side   board.Side
	sided  bool      // the side is given
	body   geom.Ring // nil when it draws none
	at     geom.Point
	placed bool // at is given
	absent bool // not fitted
	value  string
}

// components reads the parts' sides and bodies of a component layer. A body
// outline wins over any other.
func components(img *gerber.Image, side board.Side) map[string]partData {
	type drawn struct{ body, other gerber.Image }
	by := map[string]*drawn{}
	out := map[string]partData{}
	for i := range img.Objects {
		o := &img.Objects[i]
		if o.Ref == "" {
			continue
		}
		out[o.Ref] = partData{side: side, sided: true}
		if first(o.Function) != "ComponentOutline" || o.Kind == gerber.Flash {
			continue
		}
		if by[o.Ref] == nil {
			by[o.Ref] = &drawn{}
		}
		into := &by[o.Ref].other
		if len(o.Function) > 1 && o.Function[1] == "Body" {
			into = &by[o.Ref].body
		}
		into.Objects = append(into.Objects, *o)
	}
	for ref, d := range by {
		body := largestLoop(&d.body)
		if body == nil {
			body = largestLoop(&d.other)
		}
		out[ref] = partData{side: side, sided: true, body: body}
	}
	return out
}

// largestLoop closes the strokes and regions of an image and gives the largest
// ring, counter-clockwise; nil when nothing closes.
func largestLoop(img *gerber.Image) geom.Ring {
	ways, loops := profileWays(img)
	var best geom.Ring
	for _, l := range append(loops, chain(ways, joinEnds)...) {
		if best == nil || math.Abs(l.Area()) > math.Abs(best.Area()) {
			best = l
		}
	}
	if len(best) < 3 || best.Area() == 0 {
		return nil
	}
	if best.Area() < 0 {
		return best.Reverse()
	}
	return best
}

var partAttribute = regexp.MustCompile(`TO\.(C|CVal),([^*%\r\n]*)\*`)

// componentValues takes the parts' values (.CVal) out of a component layer's
// text.
func componentValues(data []byte) map[string]string {
	out := map[string]string{}
	ref := ""
	for _, m := range partAttribute.FindAllSubmatch(data, -1) {
		text := string(m[2])
		if t, err := strconv.Unquote(`"` + text + `"`); err == nil {
			text = t // \uXXXX escapes
		}
		if string(m[1]) == "C" {
			ref = text
		} else if ref != "" {
			out[ref] = text
		}
	}
	return out
}
