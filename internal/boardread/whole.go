package boardread

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"

	"ohmward/format"
	"ohmward/format/gerber"
	"ohmward/format/ipc2581"
	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/unit"
)

// wholeRole is the role of a file that holds a whole board.
const wholeRole = "whole board"

// readDesign reads a whole board in one IPC-2581 file.
func (s *source) readDesign() {
	s.use, s.role = useWhole, wholeRole
	s.design, s.err = ipc2581.Read(bytes.NewReader(s.data), s.path)
	if d := s.design; d != nil {
		s.why = fmt.Sprintf("IPC-2581 revision %s, step %s", d.Revision, d.Step)
	}
}

// expand makes the sources that a folder of separate files would have given
// out of a whole board, so that both go the same way from here. The file
// itself stays in front, for the list.
func (s *source) expand() []*source {
	d := s.design
	out := []*source{s}
	add := func(p *source) {
		p.path, p.part, p.kind = s.path, true, s.kind
		out = append(out, p)
	}
	drilled := drilledPins(d)
	for i, l := range d.Layers {
		edge := format.Inner
		if i == 0 {
			edge = format.Top
		} else if i == len(d.Layers)-1 {
			edge = format.Bottom
		}
		add(&source{use: useCopper, layer: i + 1, edge: edge, img: asImage(l.Objects, drilled)})
	}
	for i, objects := range [4][]ipc2581.Object{d.Mask.Top, d.Mask.Bottom, d.Paste.Top, d.Paste.Bottom} {
		if len(objects) > 0 {
			add(&source{use: [2]use{useMask, usePaste}[i/2], side: board.Side(i % 2), img: asImage(objects, nil)})
		}
	}
	if len(d.Profile) > 0 {
		img := &gerber.Image{Complete: true}
		for _, r := range d.Profile {
			img.Objects = append(img.Objects, gerber.Object{Kind: gerber.Fill, Dark: true, Rings: []geom.Ring{r}})
		}
		add(&source{use: useProfile, img: img})
	}
	if holes := s.designHoles(); len(holes) > 0 {
		add(&source{use: useDrill, made: holes})
	}
	add(&source{use: useJob, job: designJob(s.path, d)})
	add(&source{use: useComponents, values: designValues(d), parts: designParts(d)})
	return out
}

// onPin is a pin's pad at a place.
type onPin struct {
	ref, pin string
	at       geom.Point
}

// drilledPins finds the pins with a pad at the same place on several layers.
func drilledPins(d *ipc2581.Design) map[onPin]bool {
	layer := map[onPin]int{}
	out := map[onPin]bool{}
	for i, l := range d.Layers {
		for k := range l.Objects {
			o := &l.Objects[k]
			if !o.IsPad || o.Pin == "" {
				continue
			}
			p := onPin{o.Ref, o.Pin, o.At}
			if was, seen := layer[p]; seen && was != i {
				out[p] = true
			}
			layer[p] = i
		}
	}
	return out
}

// asImage turns the objects of a layer into an image as a Gerber file gives.
func asImage(objects []ipc2581.Object, drilled map[onPin]bool) *gerber.Image {
	img := &gerber.Image{Complete: true, Objects: make([]gerber.Object, len(objects)), Bounds: geom.EmptyBox()}
	for i := range objects {
		o := &objects[i]
		g := gerber.Object{Kind: gerber.Fill, Dark: o.Dark, Rings: o.Rings, At: o.At, To: o.At, Line: o.Line}
		if o.Net != "" {
			g.Nets = []string{o.Net}
		}
		if o.IsPad {
			g.Kind, g.Ref, g.Pin = gerber.Flash, o.Ref, o.Pin
			switch {
			case o.Usage == "VIA":
				g.Function = []string{"ViaPad"}
			case o.Pin == "":
			case drilled[onPin{o.Ref, o.Pin, o.At}]:
				g.Function = []string{"ComponentPad"}
			default:
				g.Function = []string{"SMDPad"}
			}
		}
		if o.Dark {
			img.Bounds = img.Bounds.Join(geom.Bounds(o.Rings))
		}
		img.Objects[i] = g
	}
	return img
}

// designHoles turns the design's holes into the board's.
func (s *source) designHoles() []board.Hole {
	var out []board.Hole
	for _, h := range s.design.Holes {
		if h.Diameter > 0 {
			out = append(out, board.Hole{At: h.At, To: h.To, Diameter: h.Diameter, Plated: h.Plated, First: h.First,
				Last: h.Last, File: s.path, Line: h.Line})
		}
	}
	return out
}

// designJob gives the stack-up.
func designJob(path string, d *ipc2581.Design) *job {
	metres := func(nm int64) unit.Length { return unit.Length(nm) * unit.Micrometre / 1000 }
	j := &job{path: path, thickness: metres(d.Thickness)}
	for i, l := range d.Layers {
		j.copper = append(j.copper, metres(l.Thickness))
		if i+1 < len(d.Layers) {
			j.between = append(j.between, metres(l.Below))
		}
	}
	return j
}

func designValues(d *ipc2581.Design) map[string]string {
	out := map[string]string{}
	for _, c := range d.Components {
		out[c.Ref] = cmp.Or(c.Value, c.Part)
	}
	return out
}

func designParts(d *ipc2581.Design) map[string]partData {
	out := map[string]partData{}
	for _, c := range d.Components {
		t := partData{sided: true, body: c.Body, absent: c.Absent, at: c.At, placed: true}
		if c.Side == "BOTTOM" {
			t.side = board.Bottom
		}
		if len(t.body) < 3 {
			t.body = nil
		} else if t.body.Area() < 0 {
			t.body = t.body.Reverse()
		}
		out[c.Ref] = t
	}
	return out
}

// expandWhole replaces a whole board by what it holds, where no separate
// copper files are there. Several whole boards without them are an error.
func expandWhole(set []*source, name string) ([]*source, error) {
	whole := slices.DeleteFunc(slices.Clone(set), func(s *source) bool { return s.use != useWhole })
	if len(whole) == 0 {
		return set, nil
	}
	if slices.ContainsFunc(set, func(s *source) bool { return s.use == useCopper }) {
		for _, s := range whole {
			s.ignore("a whole board in IPC-2581 beside Gerber copper: left alone")
			s.err = nil
		}
		return set, nil
	}
	if len(whole) > 1 {
		return nil, fmt.Errorf("board: %s: %s and %s are both whole boards: name the file to read", name,
			whole[0].path, whole[1].path)
	}
	if whole[0].err != nil {
		return nil, whole[0].err
	}
	var out []*source
	for _, s := range set {
		switch {
		case s.use == useWhole:
			out = append(out, s.expand()...)
			continue
		case s.used() && s.use != useValues && s.use != useNetlist:
			s.ignore("beside a whole board in IPC-2581, which tells the same")
		}
		out = append(out, s)
	}
	return out, nil
}
