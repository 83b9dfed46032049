package main

import "sort"

// job is one thing to route: all pads of a net, or the way from one ground
// pad down to the ground on L2.
type job struct {
	net   int
	lands []int
	class int
	drop  bool // a ground pad's way down

	tracks []track
	vias   []via
	nodes  []int // states of the routed tree
	tries  int
}

// classOf gives each net its track class.
var classOf = map[string]int{
	"VBAT_IN": fat, "VBAT": fat, "VUSB": wide, "VSYS": fat, "SW": fat,
	"+3V3": wide, "+3V3A": wide, "+3V3_RF": wide, "GND": wide, "VREF": wide,
	"VEXC": wide, "ANT": wide, "AERIAL": wide,
}

// startOf names the pad from which a net grows, where it matters: supplies
// grow from their source.
var startOf = map[string]string{"+3V3": "C3.2", "+3V3A": "FB1.2", "+3V3_RF": "R4.2", "VREF": "U5.1"}

// jobs lists what to route, ground ways first, then wide nets, then short
// ones.
func (b *board) jobs() []*job {
	byNet := make([][]int, len(b.nets))
	for i, l := range b.lands {
		if l.net != noNet {
			byNet[l.net] = append(byNet[l.net], i)
		}
	}
	var list []*job
	for net, lands := range byNet {
		class := classOf[b.nets[net]]
		if b.nets[net] == "GND" {
			for _, i := range lands {
				if b.lands[i].drill == 0 {
					list = append(list, &job{net: net, lands: []int{i}, class: class, drop: true})
				}
			}
			continue
		}
		if len(lands) > 1 {
			list = append(list, &job{net: net, lands: b.inOrder(net, lands), class: class})
		}
	}
	sort.SliceStable(list, func(i, j int) bool {
		p, q := list[i], list[j]
		if p.drop != q.drop {
			return p.drop
		}
		if (p.class != thin) != (q.class != thin) {
			return p.class != thin
		}
		return b.span(p) < b.span(q)
	})
	return list
}

// inOrder puts a net's pads in the order in which the tree grows: each next
// pad is the one nearest to those before it.
func (b *board) inOrder(net int, lands []int) []int {
	left := append([]int(nil), lands...)
	first := 0
	for i, l := range left {
		if startOf[b.nets[net]] == b.lands[l].ref+"."+b.lands[l].pin {
			first = i
		}
	}
	order := []int{left[first]}
	left = append(left[:first], left[first+1:]...)
	for len(left) > 0 {
		best, at := 1<<60, 0
		for i, l := range left {
			for _, o := range order {
				if d := reach(b.lands[l].at, b.lands[o].at); d < best {
					best, at = d, i
				}
			}
		}
		order = append(order, left[at])
		left = append(left[:at], left[at+1:]...)
	}
	return order
}

// reach is the distance along x plus that along y.
func reach(p, q point) int {
	return max(p.x-q.x, q.x-p.x) + max(p.y-q.y, q.y-p.y)
}

// span is the half girth of the box around a job's pads.
func (b *board) span(j *job) int {
	lo, hi := b.lands[j.lands[0]].at, b.lands[j.lands[0]].at
	for _, i := range j.lands {
		p := b.lands[i].at
		lo = point{min(lo.x, p.x), min(lo.y, p.y)}
		hi = point{max(hi.x, p.x), max(hi.y, p.y)}
	}
	return reach(lo, hi)
}
