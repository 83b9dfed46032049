package main

import (
	"bytes"
	"fmt"
	"sort"
)

// hit is one hole of a drill file.
type hit struct {
	at       point
	diameter int
	function string // .AperFunction
}

// platedFile drills vias and through-hole pads.
func platedFile(b *board) []byte {
	var hits []hit
	for _, v := range b.vias {
		hits = append(hits, hit{v.at, viaDrill, "ViaDrill"})
	}
	for _, l := range b.lands {
		if l.drill > 0 {
			hits = append(hits, hit{l.at, l.drill, "ComponentDrill"})
		}
	}
	return drillFile("Plated,1,2,PTH,Drill", hits)
}

// unplatedFile drills the mounting holes.
func unplatedFile(b *board) []byte {
	var hits []hit
	for _, h := range b.holes {
		hits = append(hits, hit{h.at, h.diameter, "MechanicalDrill"})
	}
	return drillFile("NonPlated,1,2,NPTH,Drill", hits)
}

// drillFile writes an XNC file with one tool for each diameter and function.
func drillFile(function string, hits []hit) []byte {
	sort.SliceStable(hits, func(i, j int) bool {
		p, q := hits[i], hits[j]
		if p.diameter != q.diameter {
			return p.diameter < q.diameter
		}
		if p.at.y != q.at.y {
			return p.at.y < q.at.y
		}
		return p.at.x < q.at.x
	})
	var head, body bytes.Buffer
	fmt.Fprintf(&head, "M48\n; #@! TF.GenerationSoftware,%s,%s,%s\n", vendor, application, version)
	fmt.Fprintf(&head, "; #@! TF.CreationDate,%s\n", madeOn)
	fmt.Fprintf(&head, "; #@! TF.ProjectId,%s,%s,%s\n", projectName, projectGUID, projectRev)
	fmt.Fprintf(&head, "; #@! TF.SameCoordinates,%s\n; #@! TF.Part,Single\n", projectName)
	fmt.Fprintf(&head, "; #@! TF.FileFunction,%s\nMETRIC\n", function)
	tool, last := 0, hit{}
	for _, h := range hits {
		if h.diameter != last.diameter || h.function != last.function {
			tool++
			fmt.Fprintf(&head, "; #@! TA.AperFunction,%s\nT%02dC%s\n", h.function, tool, mm(h.diameter))
			fmt.Fprintf(&body, "T%02d\n", tool)
			last = h
		}
		fmt.Fprintf(&body, "X%sY%s\n", mm(h.at.x), mm(h.at.y))
	}
	head.WriteString("; #@! TD\n%\nG05\n")
	body.WriteString("M30\n")
	return append(head.Bytes(), body.Bytes()...)
}
