package main

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"testing"
)

// The tests here read the written copper files back with a small painter of
// their own and find the nets by flooding the picture: a check that knows
// nothing of the router or of the writer's shapes.

const (
	dot25  = 25 // micrometres per dot
	dotsX  = boardW/dot25 + 1
	dotsY  = boardH/dot25 + 1
	noMark = 0
)

// picture is a painted layer: copper or not, and what the objects claimed.
type picture struct {
	dark   []bool
	claims []claim
}

// claim is a flash or draw that says which net it belongs to.
type claim struct {
	at   point
	net  string
	pin  string
	line int
}

type penState struct {
	apertures map[string]string
	current   string
	at        point
	net, pin  string
	clear     bool
	ring      []point
	inRegion  bool
}

var (
	reAperture = regexp.MustCompile(`^%ADD(\d+)([CRO]),([0-9.]+)(?:X([0-9.]+))?\*%$`)
	reMove     = regexp.MustCompile(`^X(-?\d+)Y(-?\d+)D0([123])\*$`)
	reSelect   = regexp.MustCompile(`^D(\d+)\*$`)
)

// paintFile paints the subset of Gerber that the demo's copper uses and
// fails on anything else.
func paintFile(t *testing.T, data []byte) *picture {
	t.Helper()
	pic := &picture{dark: make([]bool, dotsX*dotsY)}
	s := &penState{apertures: map[string]string{}}
	sc := bufio.NewScanner(bytes.NewReader(data))
	for n := 1; sc.Scan(); n++ {
		if err := pic.obey(s, sc.Text(), n); err != nil {
			t.Fatalf("line %d: %v", n, err)
		}
	}
	return pic
}

func (pic *picture) obey(s *penState, line string, n int) error {
	switch {
	case strings.HasPrefix(line, "%TO.N,"):
		s.net = strings.TrimSuffix(line[6:], "*%")
	case strings.HasPrefix(line, "%TO.P,"):
		s.pin = strings.ReplaceAll(strings.TrimSuffix(line[6:], "*%"), ",", ".")
	case line == "%TD.N*%":
		s.net = ""
	case line == "%TD.P*%":
		s.pin = ""
	case line == "%LPC*%":
		s.clear = true
	case line == "%LPD*%":
		s.clear = false
	case line == "G36*":
		s.inRegion, s.ring = true, nil
	case line == "G37*":
		s.inRegion = false
		pic.fill(s.ring, !s.clear)
	case reAperture.MatchString(line):
		m := reAperture.FindStringSubmatch(line)
		s.apertures[m[1]] = m[2] + " " + m[3] + " " + m[4]
	case reSelect.MatchString(line):
		s.current = s.apertures[reSelect.FindStringSubmatch(line)[1]]
	case reMove.MatchString(line):
		return pic.move(s, reMove.FindStringSubmatch(line), n)
	case strings.HasPrefix(line, "%T"), line == "%FSLAX46Y46*%", line == "%MOMM*%",
		line == "G01*", line == "G75*", line == "M02*":
	default:
		return fmt.Errorf("not understood: %q", line)
	}
	return nil
}

func (pic *picture) move(s *penState, m []string, n int) error {
	x, errX := strconv.Atoi(m[1])
	y, errY := strconv.Atoi(m[2])
	if errX != nil || errY != nil || x%1000 != 0 || y%1000 != 0 {
		return fmt.Errorf("bad place %v", m)
	}
	to := point{x / 1000, y / 1000}
	switch {
	case s.inRegion:
		s.ring = append(s.ring, to)
	case m[3] == "3":
		pic.stamp(s.current, to, to)
		pic.claims = append(pic.claims, claim{to, s.net, s.pin, n})
	case m[3] == "1":
		pic.stamp(s.current, s.at, to)
		pic.claims = append(pic.claims, claim{to, s.net, "", n})
	}
	s.at = to
	return nil
}

// stamp paints a flash (a = b) or a stroke with a round aperture.
func (pic *picture) stamp(aperture string, a, b point) {
	f := strings.Fields(aperture)
	size := func(i int) float64 {
		if i >= len(f) {
			return 0
		}
		v, _ := strconv.ParseFloat(f[i], 64)
		return v * 1000
	}
	w, h := size(1), size(2)
	if f[0] == "C" {
		h = w
	}
	hit := func(x, y float64) bool {
		switch f[0] {
		case "R":
			return math.Abs(x-float64(a.x)) <= w/2 && math.Abs(y-float64(a.y)) <= h/2
		case "O":
			dx := max(math.Abs(x-float64(a.x))-max(w-h, 0)/2, 0)
			dy := max(math.Abs(y-float64(a.y))-max(h-w, 0)/2, 0)
			return math.Hypot(dx, dy) <= min(w, h)/2
		}
		return strokeDist(x, y, a, b) <= w/2
	}
	r := int(max(w, h)/2) + dot25
	for y := (min(a.y, b.y) - r) / dot25; y <= (max(a.y, b.y)+r)/dot25; y++ {
		for x := (min(a.x, b.x) - r) / dot25; x <= (max(a.x, b.x)+r)/dot25; x++ {
			if hit(float64(x*dot25), float64(y*dot25)) {
				pic.dark[y*dotsX+x] = true
			}
		}
	}
}

// strokeDist is the distance to a segment, by projection.
func strokeDist(x, y float64, a, b point) float64 {
	ux, uy := float64(b.x-a.x), float64(b.y-a.y)
	vx, vy := x-float64(a.x), y-float64(a.y)
	length := math.Hypot(ux, uy)
	if length == 0 {
		return math.Hypot(vx, vy)
	}
	along := min(max((vx*ux+vy*uy)/length, 0), length)
	return math.Hypot(vx-along*ux/length, vy-along*uy/length)
}

// fill paints the inside of a ring, row by row (even-odd).
func (pic *picture) fill(ring []point, dark bool) {
	for y := range dotsY {
		fy := float64(y*dot25) + 0.25
		for _, span := range rowSpans(ring, fy) {
			for i := span[0]; i <= span[1]; i++ {
				pic.dark[y*dotsX+i] = dark
			}
		}
	}
}

// rowSpans gives the spans of dots of one row that lie inside a ring.
func rowSpans(ring []point, fy float64) [][2]int {
	var xs []float64
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (float64(a.y) > fy) != (float64(b.y) > fy) {
			xs = append(xs, float64(a.x)+(fy-float64(a.y))/float64(b.y-a.y)*float64(b.x-a.x))
		}
	}
	sort.Float64s(xs)
	var spans [][2]int
	for i := 0; i+1 < len(xs); i += 2 {
		spans = append(spans, [2]int{int(math.Ceil(xs[i] / dot25)), int(math.Floor(xs[i+1] / dot25))})
	}
	return spans
}
