package session

import (
	"fmt"
	"math"
	"strings"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/locate"
	"ohmward/unit"
)

// ohms writes a resistance with the digits that the case's meter has.
func (j *Session) ohms(r unit.Resistance, fourWire bool) string {
	return r.Shown(unit.Resistance(j.noise().Digit(fourWire)))
}

// rangeWords writes a resistance with its 90 % range.
func rangeWords(m locate.Meter, r answer.Range) string {
	low, high := m.Text(r.Low, false), m.Text(r.High, false)
	if n, u, _ := strings.Cut(low, " "); strings.HasSuffix(high, " "+u) {
		low = n
	}
	return fmt.Sprintf("%s (%s to %s)", m.Text(r.Median, false), low, high)
}

// finest is the least distance, in millimetres, that is told of a place: a tip
// finds no less.
const finest = 0.1

// mmWords writes a distance in millimetres, no finer than a tip finds, and
// from ten on in whole ones.
func mmWords(mm float64) string {
	if mm = max(mm, finest); mm >= 9.95 {
		return fmt.Sprintf("%.0f mm", mm)
	}
	return fmt.Sprintf("%.1f mm", mm)
}

// mmPair is two such distances with one unit.
func mmPair(a, b float64) string { return strings.TrimSuffix(mmWords(a), " mm") + " and " + mmWords(b) }

// widthWords writes a width of copper: below a millimetre in micrometres.
func widthWords(mm float64) string {
	if mm < 1 {
		return fmt.Sprintf("%.0f µm", math.Round(mm*1e3))
	}
	return mmWords(mm)
}

// chanceOf says a chance with what it is the chance of: "9 in 10 that it lies
// within 2.3 mm".
func chanceOf(p float64, of string) string {
	switch chance := chanceWords(p); chance {
	case "almost certain":
		return "almost certain that it " + of
	case "hardly likely":
		return "hardly likely that it " + of
	default:
		return chance + " that it " + of
	}
}

// bestChance says how likely the best place is, and how near it: inside a part no
// point is nearer than another.
func bestChance(b *answer.Best) (radius, chance string) {
	if b.Kind == "part" {
		return "", chanceOf(b.Probability, "is inside "+b.Part)
	}
	radius = "within " + mmWords(b.RadiusMM)
	return radius, fmt.Sprintf("%s; this %s alone %s", chanceOf(b.RadiusMass, "lies "+radius), thing(b.Kind),
		chanceWords(b.Probability))
}

// thing names what a kind of place is, after "this".
func thing(kind string) string {
	if kind == "gap" {
		return "gap"
	}
	return "place"
}

// worksWords says how likely a move works.
func worksWords(p float64) string {
	switch chance := chanceWords(p); {
	case chance == "almost certain":
		return "almost certain to work"
	case chance == "hardly likely":
		return "hardly likely to work"
	default:
		times, of, _ := strings.Cut(chance, " in ")
		return "works " + times + plural(times, " time") + " in " + of
	}
}

// plural ends a word for a count in figures.
func plural(count, word string) string {
	if count == "1" {
		return word
	}
	return word + "s"
}

// sameLookMM is how far apart places of the same words may lie to be one row:
// one look takes in so much.
const sameLookMM = 3.0

// rowsOf puts places into words, likeliest first. Those of the same words
// that one look takes in are one row; those farther apart are told apart by
// where they lie.
func rowsOf(sites []answer.Site, most int, bottom string, turns int) []answer.PlaceView {
	out := []answer.PlaceView{}
	for _, s := range sites {
		row := answer.PlaceView{Words: siteWords(s), P: s.Probability, Layer: s.Layer, X: (s.X + s.X2) / 2,
			Y: (s.Y + s.Y2) / 2}
		if same := sameRow(out, row, s.Kind); same != nil {
			same.P += row.P
		} else if len(out) < most {
			out = append(out, row)
		}
	}
	for i, words := range toldApart(out, bottom, turns) {
		out[i].Words, out[i].Chance = words, chanceWords(out[i].P)
	}
	return out
}

// sameRow gives the row that a place belongs to, or nil.
func sameRow(rows []answer.PlaceView, p answer.PlaceView, kind string) *answer.PlaceView {
	for i := range rows {
		q := &rows[i]
		near := q.Layer == p.Layer && math.Hypot(q.X-p.X, q.Y-p.Y) <= sameLookMM
		if q.Words == p.Words && (near || kind == "part") {
			return q
		}
	}
	return nil
}

// toldApart gives the words of each place, and of those that are alike also where
// they lie: on which side, which is the left one, or at which point.
func toldApart(rows []answer.PlaceView, bottom string, turns int) []string {
	alike := map[string][]int{}
	out := make([]string, len(rows))
	for i, r := range rows {
		alike[r.Words] = append(alike[r.Words], i)
		out[i] = r.Words
	}
	for words, list := range alike {
		if len(list) == 1 {
			continue
		}
		for _, i := range list {
			out[i] = words + ", " + apartWords(rows, list, i, bottom, turns)
		}
	}
	return out
}

// apartWords says how place i differs from the others of a list.
func apartWords(rows []answer.PlaceView, list []int, i int, bottom string, turns int) string {
	layers := map[string]int{}
	for _, k := range list {
		layers[rows[k].Layer]++
	}
	if layers[rows[i].Layer] == 1 {
		return sideWords(rows[i].Layer, bottom)
	}
	if len(list) > 2 {
		return fmt.Sprintf("at %.1f, %.1f mm", rows[i].X, rows[i].Y)
	}
	mid := geom.FromMM((rows[list[0]].X+rows[list[1]].X)/2, (rows[list[0]].Y+rows[list[1]].Y)/2)
	at := geom.FromMM(rows[i].X, rows[i].Y)
	as := lie{bottom: rows[i].Layer == bottom, turns: turns}
	return "the " + directionWords(float64(at.X-mid.X), float64(at.Y-mid.Y), as) + " one"
}

// sideWords says on which layer something lies, as one holds the board.
func sideWords(layer, bottom string) string {
	switch layer {
	case "L1":
		return "on the top"
	case bottom:
		return "on the bottom"
	}
	return "on " + layer
}

// distinctMoves names the moves; those that read alike are told apart by where
// they are.
func distinctMoves(moves []answer.Repair, sites []answer.Site, bottom string, turns int) []string {
	rows := make([]answer.PlaceView, len(moves))
	for i, m := range moves {
		rows[i] = answer.PlaceView{Words: moveWords(m, sites)}
		if k := m.Site - 1; k >= 0 && k < len(sites) {
			s := sites[k]
			rows[i].Layer, rows[i].X, rows[i].Y = s.Layer, (s.X+s.X2)/2, (s.Y+s.Y2)/2
		}
	}
	return toldApart(rows, bottom, turns)
}

// bottomLayer names the copper layer at the bottom; "" where there is one alone.
func (j *Session) bottomLayer() string {
	if n := len(j.pair.Layout.Layers); n > 1 {
		return j.pair.Layout.Layers[n-1].Name
	}
	return ""
}
