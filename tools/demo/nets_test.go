package main

import (
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// islands labels the connected copper of one picture, from first upward;
// zero is laminate.
func (pic *picture) islands(first int) ([]int, int) {
	mark := make([]int, len(pic.dark))
	next := first
	var stack []int
	for start, d := range pic.dark {
		if !d || mark[start] != noMark {
			continue
		}
		mark[start] = next
		stack = append(stack[:0], start)
		for len(stack) > 0 {
			i := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for _, j := range [4]int{i - 1, i + 1, i - dotsX, i + dotsX} {
				if j >= 0 && j < len(mark) && pic.dark[j] && mark[j] == noMark {
					mark[j] = next
					stack = append(stack, j)
				}
			}
		}
		next++
	}
	return mark, next
}

func dotAt(p point) int { return (p.y+dot25/2)/dot25*dotsX + (p.x+dot25/2)/dot25 }

var reHit = regexp.MustCompile(`^X([0-9.]+)Y([0-9.]+)$`)

// drilled reads the places of the holes of a drill file.
func drilled(t *testing.T, data []byte) []point {
	t.Helper()
	var list []point
	for line := range strings.Lines(string(data)) {
		if m := reHit.FindStringSubmatch(strings.TrimSpace(line)); m != nil {
			x, errX := strconv.ParseFloat(m[1], 64)
			y, errY := strconv.ParseFloat(m[2], 64)
			if errX != nil || errY != nil {
				t.Fatalf("bad hole %q", line)
			}
			list = append(list, point{um(x), um(y)})
		}
	}
	return list
}

// floodedBoard is the copper of the written files, flooded: pieces of both
// layers, joined where a plated hole joins them.
type floodedBoard struct {
	pics  [2]*picture
	marks [2][]int
	group []int // union-find over the pieces, from 1
}

func flooded(t *testing.T, b *board) *floodedBoard {
	t.Helper()
	list, err := outputs(b)
	if err != nil {
		t.Fatal(err)
	}
	data := map[string][]byte{}
	for _, f := range list {
		data[f.path] = f.data
	}
	f := &floodedBoard{}
	next := 1
	for l, name := range []string{"top", "bottom"} {
		f.pics[l] = paintFile(t, data["board/RL-40-copper-"+name+".gbr"])
		f.marks[l], next = f.pics[l].islands(next)
	}
	f.group = make([]int, next)
	for i := range f.group {
		f.group[i] = i
	}
	holes := drilled(t, data["board/RL-40-plated.drl"])
	if want := len(b.vias) + 6; len(holes) != want {
		t.Errorf("plated holes: got %d, want %d", len(holes), want)
	}
	for _, h := range holes {
		m, n := f.marks[0][dotAt(h)], f.marks[1][dotAt(h)]
		if m == noMark || n == noMark {
			t.Errorf("plated hole at %v has no copper on both layers", h)
			continue
		}
		f.group[f.find(m)] = f.find(n)
	}
	return f
}

func (f *floodedBoard) find(i int) int {
	for f.group[i] != i {
		i = f.group[i]
	}
	return i
}

// TestNetsByPicture floods the painted copper of the written files: every
// net is one piece, and no two nets touch.
func TestNetsByPicture(t *testing.T) {
	b := theBoard(t)
	f := flooded(t, b)
	groupOf, netOf := map[string]int{}, map[int]string{}
	named := map[string]bool{}
	for l, pic := range f.pics {
		for _, c := range pic.claims {
			m := f.marks[l][dotAt(c.at)]
			if m == noMark {
				t.Errorf("L%d line %d: no copper at %v", l+1, c.line, c.at)
				continue
			}
			g, net := f.find(m), c.net
			if net == "" || net == "N/C" {
				net = "alone " + c.pin
			} else {
				named[net] = true
			}
			if other, ok := netOf[g]; ok && other != net {
				t.Errorf("L%d line %d: %s touches %s at %v", l+1, c.line, net, other, c.at)
			}
			if other, ok := groupOf[net]; ok && other != g {
				t.Errorf("L%d line %d: %s is in pieces, one at %v", l+1, c.line, net, c.at)
			}
			netOf[g], groupOf[net] = net, g
		}
	}
	if len(named) != len(b.nets) {
		t.Errorf("nets named in the files: got %d, want %d", len(named), len(b.nets))
	}
	for m := 1; m < len(f.group); m++ {
		if _, ok := netOf[f.find(m)]; !ok {
			t.Errorf("piece %d of copper belongs to no net", m)
		}
	}
}
