package main

import (
	"bytes"
	"fmt"
	"slices"
)

// hit is one hole; a slot's ends lie slot apart, along y.
type hit struct {
	at             point
	diameter, slot int
}

// platedHits are the holes through all layers.
func (b *board) platedHits() (hits []hit) {
	for _, p := range b.pads {
		if p.drill > 0 {
			hits = append(hits, hit{p.at, p.drill, p.slot})
		}
	}
	for _, v := range b.vias {
		if v.til == layers {
			hits = append(hits, hit{at: v.at, diameter: v.drill})
		}
	}
	return hits
}

// blindHits are the holes that end on L2.
func (b *board) blindHits() (hits []hit) {
	for _, v := range b.vias {
		if v.til != layers {
			hits = append(hits, hit{at: v.at, diameter: v.drill})
		}
	}
	return hits
}

// drillFile writes an XNC file with one tool for each diameter.
func drillFile(function string, hits []hit) []byte {
	slices.SortStableFunc(hits, func(a, b hit) int { return a.diameter - b.diameter })
	var head, body bytes.Buffer
	head.WriteString("M48\n; #@! TF.GenerationSoftware,ohmward,reference\n")
	fmt.Fprintf(&head, "; #@! TF.FileFunction,%s\nMETRIC\n", function)
	tool, last := 0, 0
	for _, h := range hits {
		if h.diameter != last {
			tool++
			fmt.Fprintf(&head, "T%02dC%s\n", tool, mm(h.diameter))
			fmt.Fprintf(&body, "T%02d\n", tool)
			last = h.diameter
		}
		from, to := h.at.y-h.slot/2, h.at.y+h.slot/2
		fmt.Fprintf(&body, "X%sY%s", mm(h.at.x), mm(from))
		if h.slot > 0 {
			fmt.Fprintf(&body, "G85X%sY%s", mm(h.at.x), mm(to))
		}
		body.WriteString("\n")
	}
	head.WriteString("%\nG05\n")
	body.WriteString("M30\n")
	return append(head.Bytes(), body.Bytes()...)
}
