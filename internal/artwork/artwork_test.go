package artwork

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"math"
	"testing"

	"ohmward/demo"
	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/boardread"
	"ohmward/internal/copper"
)

// unpack reads a block as its format is written down, apart from Pack.
func unpack(t *testing.T, block []byte) (Table, []geom.Ring) {
	t.Helper()
	if string(block[:8]) != Magic {
		t.Fatalf("block opens with %q", block[:8])
	}
	n := int(binary.LittleEndian.Uint32(block[8:]))
	if n%4 != 0 {
		t.Errorf("table of %d bytes: the numbers behind it are not aligned", n)
	}
	var table Table
	if err := json.Unmarshal(block[12:12+n], &table); err != nil {
		t.Fatal(err)
	}
	ends := block[12+n:]
	points := ends[4*table.Rings:]
	if len(points) != 8*table.Points {
		t.Fatalf("%d bytes of points, the table says %d points", len(points), table.Points)
	}
	var rings []geom.Ring
	from := 0
	for i := range table.Rings {
		to := int(binary.LittleEndian.Uint32(ends[4*i:]))
		var r geom.Ring
		for ; from < to; from++ {
			x := int32(binary.LittleEndian.Uint32(points[8*from:]))
			y := int32(binary.LittleEndian.Uint32(points[8*from+4:]))
			r = append(r, geom.Point{X: int64(x) + table.Origin[0], Y: int64(y) + table.Origin[1]})
		}
		rings = append(rings, r)
	}
	return table, rings
}

func demoNets(t *testing.T) *copper.Nets {
	t.Helper()
	b, err := boardread.Read(demo.Board(), "demo", boardread.Options{})
	if err != nil {
		t.Fatal(err)
	}
	nets, err := copper.Extract(context.Background(), b, copper.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return nets
}

func TestPackKeepsEveryPolygon(t *testing.T) {
	nets := demoNets(t)
	block, err := Pack(nets)
	if err != nil {
		t.Fatal(err)
	}
	table, rings := unpack(t, block)
	area := make([]float64, len(nets.Nets))
	for _, l := range table.Layers {
		for i := 0; i < len(l.Polygons); i += 3 {
			if net := l.Polygons[i]; net >= 0 {
				for _, r := range rings[l.Polygons[i+1] : l.Polygons[i+1]+l.Polygons[i+2]] {
					area[net] += r.Area() * 1e-18
				}
			}
		}
	}
	for i, n := range nets.Nets {
		if table.Nets[i] != n.Name {
			t.Errorf("net %d is called %q, want %q", i, table.Nets[i], n.Name)
		}
		if math.Abs(area[i]-n.Area) > 1e-9*n.Area {
			t.Errorf("%s: %g m² of copper packed, want %g", n.Name, area[i], n.Area)
		}
	}
	if len(table.Pads) != len(nets.Board.Pads) || len(table.Holes) != len(nets.Board.Holes) {
		t.Errorf("%d pads and %d holes packed, want %d and %d", len(table.Pads), len(table.Holes), len(nets.Board.Pads), len(nets.Board.Holes))
	}
}

func TestPackRefusesWhatIsTooLarge(t *testing.T) {
	nets := demoNets(t)
	nets.Board.Outline = geom.Region{{Outer: geom.Rectangle(geom.Box{Max: geom.FromMM(5000, 10)})}}
	if _, err := Pack(nets); err == nil {
		t.Error("a board 5 m long was packed into 32 bits")
	}
}

// The same board gives the same bytes: a browser may keep them.
func TestPackIsDeterministic(t *testing.T) {
	a, err := Pack(demoNets(t))
	if err != nil {
		t.Fatal(err)
	}
	b, err := Pack(demoNets(t))
	if err != nil {
		t.Fatal(err)
	}
	if string(a) != string(b) {
		t.Error("two packings of one board differ")
	}
}

// TestPackEarly: the early pictures of a board that is still read lie where its drawing
// lies: the same frame and outline, the same layers; the last has the outer layers' copper
// as painted, of no net.
func TestPackEarly(t *testing.T) {
	var blocks [][]byte
	early := func(b *board.Board) {
		block, err := PackEarly(b)
		if err != nil {
			t.Error(err)
		}
		blocks = append(blocks, block)
	}
	b, err := boardread.Read(demo.Board(), "demo", boardread.Options{Early: early})
	if err != nil {
		t.Fatal(err)
	}
	nets, err := copper.Extract(context.Background(), b, copper.Options{})
	if err != nil {
		t.Fatal(err)
	}
	block, err := Pack(nets)
	if err != nil {
		t.Fatal(err)
	}
	full, _ := unpack(t, block)
	for i, block := range blocks {
		table, rings := unpack(t, block)
		if table.Origin != full.Origin || table.Box != full.Box || table.Outline != full.Outline ||
			len(table.Layers) != len(full.Layers) || table.Name != full.Name {
			t.Errorf("early picture %d has another frame than the drawing: %+v", i+1, table)
		}
		if i == 0 && len(rings) != table.Outline[1] {
			t.Errorf("beside the outline the first picture holds %d rings", len(rings)-table.Outline[1])
		}
	}
	last, rings := unpack(t, blocks[len(blocks)-1])
	for l, layer := range last.Layers {
		area := 0.0
		for i := 0; i < len(layer.Polygons); i += 3 {
			if layer.Polygons[i] != -1 {
				t.Fatalf("a net is told of early copper: %d", layer.Polygons[i])
			}
			for _, r := range rings[layer.Polygons[i+1] : layer.Polygons[i+1]+layer.Polygons[i+2]] {
				area += r.Area()
			}
		}
		want := b.Layers[l].Copper.Area()
		if l > 0 && l < len(last.Layers)-1 {
			want = 0
		}
		if math.Abs(area-want) > 1e-9*want || want == 0 && area != 0 {
			t.Errorf("layer %d: %g nm² of copper, want %g", l+1, area, want)
		}
	}
}
